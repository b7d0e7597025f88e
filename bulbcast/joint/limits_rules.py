"""Findings on the limits that a plan types in: a stop where one is broken."""

from __future__ import annotations

from collections.abc import Sequence

from bulbcast.findings import Finding, Rule, Severity
from bulbcast.quantities import Shown

LIMIT_WORDS = {
    "draught": "The bulb's underside lies {found} below the water she floats in",
    "bulb_mass": "The bulb weighs {found}",
    "fin_with_bulb": "Fin and bulb weigh {found}",
    "bulb_width": "The bulb is {found} wide over its skin",
    "bulb_length": "The bulb is {found} long over its skin",
}
"""What each limit is held against, by its key in [limits]."""
LIMITS = {name: Rule(f"limit-{name.replace('_', '-')}", Severity.STOP) for name in LIMIT_WORDS}


_JOINT_AGAIN = " Then plan the joint again: the bulb round it is another."
"""Of a limit whose fix changes the bulb's size or shape, and with it what its pocket and screws have round them."""


def check_limit(
    name: str,
    *,
    found: float,
    limit: float,
    unit: str,
    mends: Sequence[str],
    rule: str | None,
    from_boat: bool,
    shown: Shown,
) -> Finding:
    """A limit that is broken.

    Args:
        name: Its key in [limits].
        found: [SI]
        limit: [SI]
        unit: "m" or "kg".
        mends: Lines of the plan that would each keep to it.
        rule: What the limits are taken from; None where not said.
        from_boat: Whether the bulb's mass comes from the boat.
        shown: The builder's units.
    """
    write = shown.mass if unit == "kg" else shown.length
    over = write(found - limit)
    source = "the limit typed in" if rule is None else rule
    if mends:
        remedy = f"Set {', or '.join(mends)}."
        if from_boat and name in ("bulb_mass", "fin_with_bulb"):
            remedy = (
                f"Lighten the boat or carry the difference inside; or impose it, {' or '.join(mends)}, and she floats "
                "light by what is left off."
            )
        if name != "draught":
            remedy += _JOINT_AGAIN
    else:
        remedy = (
            "Nothing that this plan gives would do alone: change more of its shape, or see the rule again."
        )
    return LIMITS[name](
        where=f"limits.{name}",
        found=found,
        limit=limit,
        unit=unit,
        message=f"{LIMIT_WORDS[name].format(found=write(found))}, {over} more than the {write(limit)} allowed ({source}).",
        remedy=remedy,
    )
