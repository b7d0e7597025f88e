"""What report and terminal both say: verdict, findings, key figures, rows of figures as texts.

Only formatting is done here: every figure comes from the Job and goes through its `Shown`.
"""

from __future__ import annotations

from dataclasses import dataclass

from bulbcast.job import Job
from bulbcast.quantities import worded


@dataclass(frozen=True, slots=True, kw_only=True)
class KeyFigure:
    """One figure of the first glance.

    Attributes:
        name: What it is.
        value: In the builder's units.
        other: In the other system, or "".
        remark: A few words more, or "".
    """

    name: str
    value: str
    other: str = ""
    remark: str = ""


def key_figures(job: Job) -> tuple[KeyFigure, ...]:
    """The figures of the first glance, none of the melt among them.

    Args:
        job: The results.
    """
    bulb, shown, other = job.bulb, job.shown, job.shown.other
    body = bulb.body

    def length(name: str, metres: float, remark: str = "") -> KeyFigure:
        return KeyFigure(name=name, value=shown.length(metres), other=other.length(metres), remark=remark)

    figures = [
        KeyFigure(
            name="Hung mass",
            value=shown.mass(bulb.mass),
            other=other.mass(bulb.mass),
            remark=worded("asked: {}", shown.mass(job.wish.target_mass))
            if job.plan.bulb.target_mass is not None
            else "from the boat",
        ),
        length("Length", body.length, f"fineness {body.fineness:.2f}"),
    ]
    if body.width_to_height == 1.0:
        figures.append(length("Diameter", body.diameter, "at the largest section"))
    else:
        figures += [
            length("Width", body.width, f"{body.width_to_height:g} times the height"),
            length("Height", body.height, worded("area of a diameter of {}", shown.length(body.diameter))),
        ]
    figures += [
        length("Mass centre", bulb.mass_centre_x, "aft of the nose, everything hung"),
        KeyFigure(
            name="Casting",
            value=shown.mass(job.cast.mass),
            other=other.mass(job.cast.mass),
            remark="cold, before filing and cutting",
        ),
        length("Pattern length", job.pattern.length, f"scale {job.pattern.scale:.5f}, before its coat"),
        KeyFigure(
            name="Water displaced",
            value=shown.volume(bulb.displacement),
            other=other.volume(bulb.displacement),
            remark="by bulb and skin",
        ),
        KeyFigure(
            name="Wetted area",
            value=shown.area(bulb.surface.area),
            other=other.area(bulb.surface.area),
            remark="of the bare body, tail face included",
        ),
    ]
    return tuple(figures)
