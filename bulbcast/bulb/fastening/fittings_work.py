"""The plan's pins, studs and through-going blade to what the checks ask for."""

from __future__ import annotations

from bulbcast.bulb.cuts.fittings import StudCut
from bulbcast.bulb.fastening.fitting_room import FittingRoom
from bulbcast.bulb.fastening.fitting_rules import PinAsked, StudAsked, check_fittings
from bulbcast.bulb.fastening.limits import engagement
from bulbcast.bulb.hung.ledger import HungBulb
from bulbcast.findings import Finding
from bulbcast.plan.sections import Plan
from bulbcast.quantities import Shown


def fitting_findings(
    plan: Plan,
    bulb: HungBulb,
    room: FittingRoom,
    studs: tuple[StudCut, ...],
    lifts: tuple[float, ...],
    wall_wanted: float,
    shown: Shown,
) -> tuple[Finding, ...]:
    """All that the checks say of pins, studs and a through-going blade.

    Args:
        plan: As read.
        bulb: Sized and placed.
        room: Measured round them.
        studs: As asked.
        lifts: From `stud_lifts`. [N]
        wall_wanted: [m]
        shown: The builder's units.
    """
    return check_fittings(
        room,
        tuple(
            PinAsked(
                at=cut.at_x - bulb.pocket.leading_edge_x,
                height=cut.height,
                diameter=cut.diameter,
                hole_diameter=cut.hole_diameter,
                length=cut.length,
            )
            for cut in bulb.pin_cuts
        ),
        tuple(
            StudAsked(
                at=stud.at_x,
                diameter=stud.diameter,
                below=stud.below,
                above=stud.above,
                engagement=engagement(None, stud.diameter, plan.fin.material),
                lift=lift,
            )
            for stud, lift in zip(studs, lifts, strict=True)
        ),
        wall_wanted=wall_wanted,
        pocket_depth=bulb.body.height if bulb.through else plan.fin.pocket_depth,
        pocket_cored=plan.fin.pocket == "cored",
        through=bulb.through,
        chord=plan.fin.tip_chord,
        shown=shown,
    )
