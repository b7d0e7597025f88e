"""[strength] and [limits] of a plan with all that follows from them: results, findings, defaults."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from bulbcast.bulb.fastening.room import Room
from bulbcast.bulb.hung.ledger import HungBulb
from bulbcast.bulb.hung.wish import BulbWish
from bulbcast.fin.depth import fin_foil
from bulbcast.fin.foil import foil_solid
from bulbcast.findings import Finding
from bulbcast.joint.limits_rules import check_limit
from bulbcast.joint.limits_work import LimitHeld, limits_held
from bulbcast.joint.rules import check_joint_is_whole, check_strength
from bulbcast.joint.work import strength_defaults, strength_of
from bulbcast.plan.sections import DefaultTaken, Plan
from bulbcast.quantities import Shown

if TYPE_CHECKING:
    from bulbcast.joint.strength import Strength


@dataclass(frozen=True, slots=True, kw_only=True)
class Judged:
    """What [strength] and [limits] come to.

    Attributes:
        strength: None where the plan has no [strength].
        limits: Empty where it has no [limits].
        findings: Of both.
        defaults: Of [strength], those that hang on other figures.
    """

    strength: Strength | None
    limits: tuple[LimitHeld, ...]
    findings: tuple[Finding, ...]
    defaults: tuple[DefaultTaken, ...]


def judged(
    plan: Plan,
    bulb: HungBulb,
    wish: BulbWish,
    room: Room,
    boat_mass: float | None,
    shown: Shown,
    *,
    search: bool = True,
    deeper: float = 0.0,
) -> Judged:
    """[strength] and [limits] of a plan.

    Args:
        plan: With one of them at least.
        bulb: The sized bulb.
        wish: What it was sized for.
        room: Lead and fin round the cuts.
        boat_mass: Of boat and bulb; None without a boat. [kg]
        shown: The builder's units.
        search: Whether to look for values that would fix what is broken.
        deeper: How much deeper than her design line she floats over the bulb's underside. [m]

    Raises:
        PlanError: Figures that no fin has.
    """
    findings: tuple[Finding, ...] = ()
    strength = None
    defaults: tuple[DefaultTaken, ...] = ()
    asked = plan.strength
    if asked is not None:
        strength = strength_of(plan, asked, bulb, room, boat_mass, search=search)
        defaults = strength_defaults(plan, asked, strength.fin, shown)
        findings += check_strength(
            strength,
            largest_deflection=asked.largest_deflection,
            largest_twist=asked.largest_twist,
            screw_allowable=asked.screw_allowable,
            allowable_source=asked.allowable_source,
            fin_material=plan.fin.material,
            shown=shown,
        )
        findings += check_joint_is_whole(
            pins=len(bulb.pin_cuts), studs=len(bulb.stud_cuts), through=bulb.through
        )
    held: tuple[LimitHeld, ...] = ()
    if plan.limits is not None:
        held = limits_held(plan, plan.limits, bulb, wish, fin_mass(plan), shown, deeper=deeper)
        findings += tuple(
            check_limit(
                one.name,
                found=one.found,
                limit=one.limit,
                unit=one.unit,
                mends=one.mends,
                rule=plan.limits.rule,
                from_boat=plan.bulb.target_mass is None,
                shown=shown,
            )
            for one in held
            if not one.kept
        )
    return Judged(strength=strength, limits=held, findings=findings, defaults=defaults)


def fin_mass(plan: Plan) -> float | None:
    """Of the whole fin, weighed or by its density; None where neither is given. [kg]"""
    if plan.fin.mass is not None or plan.fin.density is None or plan.fin.root_z is None:
        return plan.fin.mass
    return foil_solid(fin_foil(plan.fin, plan.bulb.incidence), plan.fin.density).mass
