"""The boat's findings, out of the boat with her bulb."""

from __future__ import annotations

from bulbcast.ballast.freeboard_rules import check_freeboard
from bulbcast.ballast.rules import (
    check_hull,
    check_imposed,
    check_ratio,
    check_reach,
    check_upright,
    check_weigh_in,
)
from bulbcast.ballast.structure_rules import check_structure
from bulbcast.ballast.work import BoatJob
from bulbcast.findings import Finding
from bulbcast.hull.unit_rules import check_unit
from bulbcast.plan.boat_sections import ACCEPT_STRUCTURE
from bulbcast.plan.sections import Plan
from bulbcast.quantities import Shown


def boat_findings(plan: Plan, boat: BoatJob, shown: Shown) -> tuple[Finding, ...]:
    """All that the checks say of the boat.

    Args:
        plan: With [boat].
        boat: With her bulb.
        shown: The builder's units.
    """
    waterline = boat.start.hull.line.length
    found: tuple[Finding, ...] = ()
    if not boat.place_imposed:
        found += check_reach(
            short=boat.hung.short,
            wanted_x=boat.hung.wanted_x,
            placed_x=boat.hung.afloat.x,
            moment=boat.hung.short * (boat.hung.afloat.mass - plan.water.density * boat.hung.afloat.volume),
            waterline=waterline,
            reach=boat.reach,
            mends=boat.remedies,
            shown=shown,
        )
    return (
        found
        + check_upright(
            gm=boat.gm,
            total_mass=boat.total_mass,
            side_moment=boat.start.weigh_in.moments[1],
            shown=shown,
        )
        + check_imposed(
            mass_imposed=boat.mass_imposed,
            place_imposed=boat.place_imposed,
            mass=boat.hung.bulb.mass,
            wanted_mass=boat.hung.wanted_mass,
            x=boat.hung.afloat.x,
            wanted_x=boat.hung.wanted_x,
            lies=boat.lies,
            level_sinkage=boat.level_sinkage,
            waterline=waterline,
            shown=shown,
        )
        + check_freeboard(boat.freeboard, shown=shown)
        + check_weigh_in(
            boat.start.weigh_in,
            fin_counted=plan.fin.mass is not None or plan.fin.density is not None,
            target=boat.target_mass,
            spread=boat.mass_spread,
            displacement_spread=0.0 if plan.boat is None else plan.boat.displacement_spread or 0.0,
            following=boat.next,
            shown=shown,
        )
        + check_ratio(boat.ratio, None if plan.boat is None else plan.boat.kind, shown)
        + check_unit(boat.start.unit_slip, unit_of_file=boat.start.hull.unit_of_file, shown=shown)
        + check_hull(boat.start.hull.remarks, boat.flotation_missing)
        + check_structure(
            small_craft=plan.boat is not None and plan.boat.kind == "small-craft",
            accepted=plan.boat is not None and plan.boat.accept_structure == ACCEPT_STRUCTURE,
            accept_line=f'[boat] accept_structure = "{ACCEPT_STRUCTURE}"',
        )
    )
