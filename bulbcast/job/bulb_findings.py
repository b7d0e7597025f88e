"""What the checks say of the bulb itself, its cuts, casting, pattern and charge."""

from __future__ import annotations

from bulbcast.bulb.fastening.limits import engagement
from bulbcast.bulb.fastening.remedies import room_for_two, screw_remedies
from bulbcast.bulb.fastening.room import Room
from bulbcast.bulb.fastening.screw_rules import ScrewAsked, check_cuts, screw_needs, screws_in_trouble
from bulbcast.bulb.hung.balance import Balance
from bulbcast.bulb.hung.balance_rules import check_balance
from bulbcast.bulb.hung.ledger import HungBulb
from bulbcast.findings import Finding
from bulbcast.foundry.melt.charge import Melt
from bulbcast.foundry.melt.rules import check_alloy, check_casting, check_charge, check_coat, check_tail
from bulbcast.materials.alloys import CastAlloy
from bulbcast.pattern.allowances import Pattern
from bulbcast.pattern.cast_body import CastBody
from bulbcast.plan.sections import Plan
from bulbcast.quantities import Shown


def bulb_findings(
    plan: Plan,
    *,
    alloy: CastAlloy,
    bulb: HungBulb,
    balance: Balance,
    room: Room,
    wall_wanted: float,
    cast_body: CastBody,
    pattern: Pattern,
    melt: Melt,
    pours: int,
    fastened_otherwise: bool,
    accepted: bool,
    search: bool,
    shown: Shown,
) -> tuple[Finding, ...]:
    """Every finding that any plan may have.

    Args:
        plan: As read.
        alloy: What it is cast of.
        bulb: Sized and placed.
        balance: How it sits under the fin.
        room: Lead and fin round the cuts.
        wall_wanted: [m]
        cast_body: The casting.
        pattern: Its pattern.
        melt: The charge.
        pours: Into how many pours it is parted.
        fastened_otherwise: Whether more than screws and bedding holds it.
        accepted: Whether an unknown alloy has been accepted in words.
        search: Whether to search for what would mend a thin wall.
        shown: The builder's units.
    """
    asked = tuple(
        ScrewAsked(
            diameter=screw.diameter,
            hole_diameter=screw.hole_diameter,
            head_diameter=screw.head_diameter,
            head_height=screw.head_height,
            recess=screw.recess,
            length=screw.length,
            washer_thickness=screw.washer_thickness,
            engagement=engagement(screw.engagement, screw.diameter, plan.fin.material),
            engagement_given=screw.engagement is not None or plan.fin.material is not None,
        )
        for screw in plan.screws
    )
    imperial = plan.display_units == "imperial"
    pocket_depth = bulb.body.height if bulb.through else plan.fin.pocket_depth
    trouble = screws_in_trouble(room, asked, wall_wanted, pocket_depth) if search else {}
    remedies = screw_remedies(bulb, trouble, imperial=imperial)
    pair = None
    if search and len(asked) == 1 and not fastened_otherwise:
        pair = room_for_two(bulb, screw_needs(asked[0], wall_wanted), imperial=imperial)
    tail = 2.0 * bulb.body.tail_radius
    thin = min(bulb.body.width_to_height, 1.0 / bulb.body.width_to_height) ** 0.5
    return (
        check_cuts(
            room,
            asked,
            remedies,
            wall_wanted=wall_wanted,
            pocket_depth=pocket_depth,
            pair=pair,
            fastened_otherwise=fastened_otherwise,
            shown=shown,
        )
        + check_balance(
            balance,
            chord=plan.fin.tip_chord,
            bulb_length=bulb.body.length,
            screw_places=tuple(screw.at for screw in plan.screws),
            shown=shown,
        )
        + check_tail(
            tail_thickness=tail * thin,
            tail_diameter=tail,
            typed=plan.bulb.tail_diameter,
            shown=shown,
        )
        + check_coat(
            inwards=-pattern.offset,
            tail_half=0.5 * tail * thin,
            coat=plan.pattern.coat,
            shown=shown,
        )
        + check_alloy(
            alloy,
            contraction_given=plan.pattern.contraction is not None,
            accepted=accepted,
            shown=shown,
        )
        + check_casting(
            cast_body,
            bulb_mass=bulb.mass,
            nose_to_lift=f"with the lifting point over its mass centre {shown.length(cast_body.mass_centre_x)} from "
            "the finished nose",
            shown=shown,
        )
        + check_charge(melt, pours=pours, shown=shown)
    )
