"""The figures of the first glance, none of the melt among them, in both systems of units."""

from __future__ import annotations

from bulbcast.job import Job
from bulbcast.quantities import worded
from bulbcast.report.chapter import Chapter, Line, Table, Words


def key_figures(job: Job) -> Chapter:
    """The key figures: on the terminal a table, in the report cards.

    Args:
        job: The results.
    """
    bulb, body, shown, other = job.bulb, job.bulb.body, job.shown, job.shown.other

    def length(label: str, metres: float, remark: str, name: str = "") -> Line:
        return Line(label, shown.length(metres), remark, name=name, other=other.length(metres))

    if body.width_to_height == 1.0:
        shape = [length("Diameter", body.diameter, "at the largest section")]
    else:
        same = worded("area of a diameter of {}", shown.length(body.diameter))
        shape = [
            length("Width", body.width, f"{body.width_to_height:g} times the height"),
            length("Height", body.height, same),
        ]
    asked = worded("asked: {}", shown.mass(job.wish.target_mass))
    lines = (
        Line(
            "Hung mass",
            shown.mass(bulb.mass),
            "from the boat" if job.plan.bulb.target_mass is None else asked,
            name="bulb.hung_mass_kg",
            other=other.mass(bulb.mass),
        ),
        length("Length", body.length, f"fineness {body.fineness:.2f}", "bulb.length_m"),
        *shape,
        length("Mass centre", bulb.mass_centre_x, "aft of the nose, everything hung"),
        Line(
            "Casting",
            shown.mass(job.cast.mass),
            "cold, before filing and cutting",
            other=other.mass(job.cast.mass),
        ),
        length("Pattern length", job.pattern.length, f"scale {job.pattern.scale:.5f}, before its coat"),
        Line(
            "Water displaced",
            shown.volume(bulb.displacement),
            "by bulb and skin",
            name="bulb.displacement_m3",
            other=other.volume(bulb.displacement),
        ),
        Line(
            "Wetted area",
            shown.area(bulb.surface.area),
            "of the bare body, tail face included",
            name="bulb.wetted_area_m2",
            other=other.area(bulb.surface.area),
        ),
    )
    warning = Words(text="As the figures came out; not to be built from.", style="stopped", only="report")
    return Chapter(
        name="figures",
        title="Key figures",
        short="Key figures",
        heading="Key figures",
        parts=(*([warning] if job.stopped else []), Table(rows=lines, figures=(1, 2), style="keys")),
    )
