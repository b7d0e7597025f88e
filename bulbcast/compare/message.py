"""One-line summary of a study: number of bulbs, their differences, and their drag."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from itertools import pairwise

from bulbcast.compare.rows import Study
from bulbcast.quantities import Shown, alike

_DIFFER = 0.005
"""Fraction by which the largest figure must exceed the smallest for the difference to be mentioned. [-]"""


def study_message(study: Study, shown: Shown) -> str:
    """Return a one-line summary of a study.

    Args:
        study: The study.
        shown: The builder's units.
    """
    kept = [row for row in study.rows if not row.failed]
    if not kept:
        return f"No bulb in any of the {len(study.rows)} plans" if len(study.rows) > 1 else "No bulb"
    masses = _of(study, "bulb.hung_mass_kg")
    count = "One bulb" if len(kept) == 1 else f"{len(kept)} bulbs"
    lengths, diameters = _of(study, "bulb.length_m"), _of(study, "bulb.diameter_m")
    words = [_ways(lengths, diameters), f"length {_span(lengths, shown.length)}"]
    if not _differ(lengths) and _differ(diameters):
        words.append(f"diameter {_span(diameters, shown.length)}")
    words.append(_drag(study))
    said = ", ".join(word for word in words if word)
    return f"{count} of {_span(masses, shown.mass)}: {said}"


def _of(study: Study, key: str) -> list[float]:
    return [value for value in study.column(key) if value is not None]


def _span(values: Sequence[float], show: Callable[[float], str]) -> str:
    """Format the range from the smallest to the largest, or a single figure if they agree within 0.5 %."""
    low, high = min(values), max(values)
    return alike("{} to {}", show(low), show(high)) if _differ(values) else show(low)


def _differ(values: Sequence[float]) -> bool:
    return max(values) - min(values) > _DIFFER * abs(min(values))


def _ways(lengths: Sequence[float], diameters: Sequence[float]) -> str:
    """Return a note if the diameter always falls, or always rises, with length; otherwise ""."""
    if not (_differ(lengths) and _differ(diameters)):
        return ""
    across = [diameter for _, diameter in sorted(zip(lengths, diameters, strict=True))]
    steps = [after - before for before, after in pairwise(across)]
    if all(step <= 0.0 for step in steps):
        return "longer is thinner"
    return "longer is thicker" if all(step >= 0.0 for step in steps) else ""


def _drag(study: Study) -> str:
    """Return a note on the difference in drag at the lowest form factor; "" if drag was not requested."""
    if study.speed is None:
        return ""
    low = _of(study, "drag.low_n")
    if len(low) < 2 or min(low) <= 0.0:
        return ""
    return f"drag differs by {100.0 * (max(low) / min(low) - 1.0):.1f} % at the lowest form factor"
