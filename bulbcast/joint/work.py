"""Fin and joint of a plan held against their loads: the beam at 90 degrees and aground, screws, washers, threads.

Plain beam theory and statics with loads and allowables as given: not a classification calculation.
"""

from __future__ import annotations

from bulbcast.bulb.fastening.room import Room
from bulbcast.bulb.hung.ledger import HungBulb
from bulbcast.joint.fin_work import fin_defaults, fin_strength
from bulbcast.joint.joint_work import joint_defaults, joint_of, root_loads
from bulbcast.joint.strength import FinStrength, Strength
from bulbcast.plan.faults import Fault, PlanError
from bulbcast.plan.sections import DefaultTaken, Plan
from bulbcast.plan.strength_sections import StrengthSection
from bulbcast.quantities import Shown
from bulbcast.quantities.checked import BoatFigureError


def strength_of(
    plan: Plan,
    asked: StrengthSection,
    bulb: HungBulb,
    room: Room,
    boat_mass: float | None,
    *,
    search: bool = True,
) -> Strength:
    """Fin and joint of a plan with [strength].

    Args:
        plan: The plan.
        asked: Its [strength].
        bulb: The sized bulb.
        room: Lead and fin round the cuts.
        boat_mass: Of boat and bulb; None without a boat. [kg]
        search: Whether to look for the root that would fix what is broken.

    Raises:
        PlanError: Figures that no fin has.
    """
    try:
        fin = None if asked.section is None else fin_strength(plan, asked, bulb, boat_mass, search=search)
        density = plan.fin.density or 0.0 if fin is None else fin.fin_density
        joint = joint_of(plan, asked, bulb, room, boat_mass=boat_mass, fin_density=density)
    except BoatFigureError as error:
        raise PlanError(
            [
                Fault(
                    file=plan.source,
                    key="[strength]",
                    read="figures that no fin has",
                    expected="a fin from the hull down to the bulb, and screws in it",
                    remedy=str(error),
                )
            ]
        ) from None
    return Strength(
        fin=fin,
        joint=joint,
        at_root=() if fin is None else root_loads(fin),
        typed=frozenset(
            name for name in ("bearing_limit", "thread_shear_allowable") if getattr(asked, name) is not None
        ),
    )


def strength_defaults(
    plan: Plan, asked: StrengthSection, fin: FinStrength | None, shown: Shown
) -> tuple[DefaultTaken, ...]:
    """Defaults of [strength] that hang on other figures, each with its source.

    Args:
        plan: The plan.
        asked: Its [strength].
        fin: As a beam; None where the plan does not say how it is made.
        shown: The builder's units.
    """
    taken = list(joint_defaults(plan, asked, shown)) if plan.screws else []
    taken += fin_defaults(asked, fin, shown)
    return tuple(taken)
