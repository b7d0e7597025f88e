"""Defaults that hang on other figures, each with its source, as the rooms that own them settled them."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from bulbcast.bulb.fastening.limits import engagement
from bulbcast.bulb.hung.ledger import HungBulb
from bulbcast.bulb.hung.wish import tail_diameter_for
from bulbcast.foundry.melt.charge import Melt
from bulbcast.materials.alloys import CastAlloy
from bulbcast.pattern.cast_body import FINISH_SOURCE, CastBody
from bulbcast.plan.sections import DefaultTaken, Plan
from bulbcast.quantities import Shown

if TYPE_CHECKING:
    from bulbcast.hull.read import HullRead


def settled_defaults(
    plan: Plan,
    alloy: CastAlloy,
    bulb: HungBulb,
    cast_body: CastBody,
    melt: Melt,
    wall_wanted: float,
    shown: Shown,
    hull: HullRead | None = None,
) -> tuple[DefaultTaken, ...]:
    """Defaults that hang on other figures, as the rooms that own them settled them."""
    taken = []

    def note(given: object, key: str, value: str, source: str) -> None:
        if given is None:
            taken.append(DefaultTaken(key=key, value=value, source=source))

    if plan.boat is not None and hull is not None and hull.unit is not None:
        note(
            plan.boat.unit,
            "boat.unit",
            hull.unit,
            "the hull file's own word" if hull.unit_of_file else "the plan format's own default",
        )
    practice = "common practice, no source"
    tail = tail_diameter_for(bulb.body.diameter, None)
    note(
        plan.bulb.tail_diameter,
        "bulb.tail_diameter",
        shown.length(tail),
        f"8 % of the diameter, 3 mm at least; {practice}",
    )
    note(
        plan.bulb.smallest_wall,
        "bulb.smallest_wall",
        shown.length(wall_wanted),
        f"3 mm, 10 mm from 40 kg up; {practice}",
    )
    note(
        plan.pattern.contraction,
        "pattern.contraction",
        shown.percent(alloy.contraction),
        alloy.contraction_source,
    )
    note(plan.pattern.finish, "pattern.finish", shown.length(cast_body.finish), FINISH_SOURCE)
    if plan.melt.feeder_mass is None and plan.melt.feeder_fraction is None:
        note(None, "melt.feeder", shown.mass(melt.feeder), melt.feeder_source)
    dross = melt.dross / melt.charge
    of_lots = not math.isclose(dross, alloy.dross, rel_tol=1e-9, abs_tol=1e-12)
    note(
        plan.melt.dross,
        "melt.dross",
        shown.percent(dross),
        "of the scrap that is listed, by its kinds" if of_lots else alloy.dross_source,
    )
    for number, screw in enumerate(plan.screws, start=1):
        note(
            screw.engagement,
            f"screws[{number}].engagement",
            shown.length(engagement(None, screw.diameter, plan.fin.material)),
            f"2.5 diameters in metal, 4 in wood and laminate, metal where not said; {practice}",
        )
        if screw.washer_diameter is not None:
            note(
                screw.washer_hole,
                f"screws[{number}].washer_hole",
                shown.length(screw.hole_diameter),
                "judgement: as wide as the hole in the lead",
            )
            note(
                screw.washer_density,
                f"screws[{number}].washer_density",
                shown.density(screw.density),
                "judgement: the screw's own metal",
            )
    return tuple(taken)
