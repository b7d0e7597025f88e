"""Defaults that depend on other values, each with its source."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from bulbcast.bulb.fastening.limits import engagement
from bulbcast.bulb.hung.wish import tail_diameter_for
from bulbcast.pattern.cast_body import FINISH_SOURCE
from bulbcast.pattern_shop.results import ShopResults as Job
from bulbcast.plan.sections import DefaultTaken

if TYPE_CHECKING:
    from bulbcast.hull.read import HullRead

_PRACTICE = "common practice, no source"


def settled_defaults(job: Job, hull: HullRead | None = None) -> tuple[DefaultTaken, ...]:
    """Return the defaults that depend on other values.

    Args:
        job: The results with the charge.
        hull: The hull as read from its file; None if there is no hull file.
    """
    plan, shown, alloy, melt = job.plan, job.shown, job.alloy, job.melt
    share = melt.dross / melt.charge
    of_lots = not math.isclose(share, alloy.dross, rel_tol=1e-9, abs_tol=1e-12)
    feeder = plan.melt.feeder_fraction if plan.melt.feeder_mass is None else plan.melt.feeder_mass
    settled: list[tuple[object, str, str, str]] = []
    if plan.boat is not None and hull is not None and hull.unit is not None:
        source = "as stated in the hull file" if hull.unit_of_file else "default of the plan format"
        settled.append((plan.boat.unit, "boat.unit", hull.unit, source))
    settled += [
        (
            plan.bulb.tail_diameter,
            "bulb.tail_diameter",
            shown.length(tail_diameter_for(job.bulb.body.diameter, None)),
            f"8 % of the diameter, at least 3 mm; {_PRACTICE}",
        ),
        (
            plan.bulb.smallest_wall,
            "bulb.smallest_wall",
            shown.length(job.wall_wanted),
            f"3 mm, or 10 mm for 40 kg and above; {_PRACTICE}",
        ),
        (
            plan.pattern.contraction,
            "pattern.contraction",
            shown.percent(alloy.contraction),
            alloy.contraction_source,
        ),
        (plan.pattern.finish, "pattern.finish", shown.length(job.cast.finish), FINISH_SOURCE),
        (feeder, "melt.feeder", shown.mass(melt.feeder), melt.feeder_source),
        (
            plan.melt.dross,
            "melt.dross",
            shown.percent(share),
            "from the kinds of scrap in the list" if of_lots else alloy.dross_source,
        ),
    ]
    for number, screw in enumerate(plan.screws, start=1):
        where = f"screws[{number}]"
        settled.append(
            (
                screw.engagement,
                f"{where}.engagement",
                shown.length(engagement(None, screw.diameter, plan.fin.material)),
                f"2.5 diameters in metal, 4 in wood and laminate; metal if not stated; {_PRACTICE}",
            )
        )
        if screw.washer_diameter is not None:
            hole, metal = shown.length(screw.hole_diameter), shown.density(screw.density)
            as_hole, as_screw = (
                "judgement: as wide as the hole in the lead",
                "judgement: the metal of the screw",
            )
            settled += [
                (screw.washer_hole, f"{where}.washer_hole", hole, as_hole),
                (screw.washer_density, f"{where}.washer_density", metal, as_screw),
            ]
    return tuple(
        DefaultTaken(key=key, value=value, source=source)
        for typed, key, value, source in settled
        if typed is None
    )
