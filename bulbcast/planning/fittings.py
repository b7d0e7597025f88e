"""The plan's pins, studs and through-going blade to what the checks ask for."""

from __future__ import annotations

import math

from bulbcast.casting.lift import floating_force
from bulbcast.checks.fittings import PinAsked, StudAsked, check_fittings
from bulbcast.checks.limits import engagement
from bulbcast.findings import Finding
from bulbcast.materials.lead import liquid_density
from bulbcast.plan.sections import Plan
from bulbcast.quantities import Shown
from bulbcast.sizing.fitting_room import FittingRoom
from bulbcast.sizing.ledger import HungBulb
from bulbcast.sizing.wish import StudWish

JUST_MELTED = 350.0
"""Lift is reckoned where lead is densest, and lift largest: when it has just melted. [degC]"""


def stud_lifts(studs: tuple[StudWish, ...], room: FittingRoom) -> tuple[float, ...]:
    """Net upward force on each stud or tube in the mould, its bore closed; negative where it sinks. [N]

    Args:
        studs: As asked.
        room: Measured round them.
    """
    return tuple(_lift(stud, measured.in_lead) for stud, measured in zip(studs, room.studs, strict=True))


def _lift(stud: StudWish, in_lead: float) -> float:
    under = 0.25 * math.pi * stud.diameter**2 * in_lead
    metal = 0.25 * math.pi * (stud.diameter**2 - stud.bore**2) * (stud.below + stud.above)
    if under == 0.0:
        return 0.0
    # All of its mass hangs on the part that the melt covers.
    return floating_force(
        volume=under, density=stud.density * metal / under, metal_density=liquid_density(JUST_MELTED)
    )


def fitting_findings(
    plan: Plan,
    bulb: HungBulb,
    room: FittingRoom,
    studs: tuple[StudWish, ...],
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
                at=stud.at,
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
