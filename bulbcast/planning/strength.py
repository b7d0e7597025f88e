"""Fin and joint of a plan held against their loads: the beam at 90 degrees and aground, screws, washers, threads.

Plain beam theory and statics with loads and allowables as given: not a classification calculation.
"""

from __future__ import annotations

import numpy as np

from bulbcast.boat.fastening import (
    CREEP_LIMIT_ANTIMONIAL,
    CREEP_LIMIT_PURE,
    CREEP_LIMIT_SOURCE,
    JointLoads,
    JointScrew,
    bearing,
    joint_at_90,
    largest_force,
)
from bulbcast.boat.figures import BoatFigureError
from bulbcast.boat.strength import FinStrength, ScrewStrength, Strength
from bulbcast.boat.thread import (
    BONDED_DIVISOR,
    BONDED_SHEAR,
    WOOD_DIVISOR,
    Thread,
    bonded_pull_out,
    coarse_thread,
    pull_out,
    strip_areas,
    wood_withdrawal,
)
from bulbcast.plan.faults import Fault, PlanError
from bulbcast.plan.sections import DefaultTaken, Plan
from bulbcast.plan.strength_sections import StrengthSection
from bulbcast.planning.fin_strength import fin_defaults, fin_strength
from bulbcast.quantities import Shown
from bulbcast.shape.fin_section import half_thickness
from bulbcast.sizing.ledger import HungBulb
from bulbcast.sizing.room import Room

CREEP_GRADES = ("antimonial-4", "antimonial-6")
"""Alloys that bear the higher of the two limits."""


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
        search: Whether to look for the root that would mend what is broken.

    Raises:
        PlanError: Figures that no fin has.
    """
    try:
        fin = None if asked.section is None else fin_strength(plan, asked, bulb, boat_mass, search=search)
        joint, screws = _joint(plan, asked, bulb, room)
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
        screws=screws,
        tightened_to=asked.tightened_to,
        typed=frozenset(
            name for name in ("bearing_limit", "thread_shear_allowable") if getattr(asked, name) is not None
        ),
    )


def _joint(
    plan: Plan, asked: StrengthSection, bulb: HungBulb, room: Room
) -> tuple[JointLoads | None, tuple[ScrewStrength, ...]]:
    places = np.array([screw.at for screw in plan.screws], dtype=np.float64)
    chord = bulb.pocket.tip.chord
    if not len(places) or np.any(places <= 0.0) or np.any(places >= chord):
        return None, ()
    if any(one.misses for one in room.screws):
        return None, ()
    halves, _ = half_thickness(bulb.pocket.tip, places)
    threads = [
        coarse_thread(screw.diameter)
        if screw.pitch is None
        else Thread(diameter=screw.diameter, pitch=screw.pitch)
        for screw in plan.screws
    ]
    joint = joint_at_90(
        bulb_mass=bulb.mass,
        arm=bulb.axis.floor - bulb.mass_centre_z,
        mass_centre_at=bulb.mass_centre_x - bulb.pocket.leading_edge_x,
        screws=[
            JointScrew(at=at, half_width=half, thread=thread)
            for at, half, thread in zip(places.tolist(), halves.tolist(), threads, strict=True)
        ],
        tip_chord=chord,
        pocket_depth=plan.fin.pocket_depth,
    )
    limit, source = bearing_limit(plan, asked)
    screws = []
    for number, (load, thread, cut, its) in enumerate(
        zip(joint.screws, threads, bulb.screw_cuts, room.screws, strict=True), start=1
    ):
        # One screw that is not under the mass centre is reckoned with the whole weight.
        share = joint.weight if load.hanging is None else max(load.hanging, 0.0)
        sustained, at_90 = share + asked.tightened_to, load.prying + asked.tightened_to
        outer, hole = cut.head_diameter, cut.hole_diameter
        if cut.washer is not None:
            # The ring that both lead and washer have.
            outer, hole = cut.washer.diameter, max(cut.hole_diameter, cut.washer.hole_diameter)
        engaged = max(its.thread, 0.0)
        holds, how = _holds(plan, asked, thread, engaged)
        screws.append(
            ScrewStrength(
                number=number,
                thread=thread,
                engaged=engaged,
                strip_area=strip_areas(thread, engaged).hole,
                load=load,
                sustained=sustained,
                at_90=at_90,
                tension=max(sustained, at_90) / thread.stress_area,
                bearing=bearing(force=sustained, outer=outer, hole=hole, limit=limit, limit_source=source),
                may_be_drawn_up_to=max(largest_force(outer=outer, hole=hole, limit=limit) - share, 0.0),
                holds=holds,
                holds_how=how,
                washer=cut.washer is not None,
            )
        )
    return joint, tuple(screws)


def bearing_limit(plan: Plan, asked: StrengthSection) -> tuple[float, str]:
    """What the lead may bear for months, and on whose word.

    Args:
        plan: With its alloy.
        asked: Its [strength].

    Returns:
        The limit [Pa] and its source.
    """
    if asked.bearing_limit is not None:
        return asked.bearing_limit, "as typed"
    limit = CREEP_LIMIT_ANTIMONIAL if plan.alloy.grade in CREEP_GRADES else CREEP_LIMIT_PURE
    return limit, CREEP_LIMIT_SOURCE


def thread_in(plan: Plan, asked: StrengthSection) -> str | None:
    """What holds the screws: as said, else by the fin's material; None where neither is known.

    Args:
        plan: With its fin.
        asked: Its [strength].
    """
    if asked.thread_in is not None:
        return asked.thread_in
    by_material = {"metal": "metal", "wood": "wood", "laminate": "bonded"}
    return None if plan.fin.material is None else by_material[plan.fin.material]


def _holds(plan: Plan, asked: StrengthSection, thread: Thread, engaged: float) -> tuple[float | None, str]:
    """Pull that a screw's thread may take in the fin, and how it was reckoned. [N]"""
    kind, shear = thread_in(plan, asked), asked.thread_shear_allowable
    if kind == "wood" and asked.wood_specific_gravity is not None:
        ultimate = wood_withdrawal(
            specific_gravity=asked.wood_specific_gravity,
            diameter=thread.diameter,
            threaded=engaged,
            end_grain=asked.grain != "across the span",
        )
        return ultimate / WOOD_DIVISOR, f"withdrawal from wood over {WOOD_DIVISOR:g}"
    if kind == "bonded":
        if shear is None:
            ultimate = bonded_pull_out(diameter=thread.diameter, bonded=engaged) if engaged > 0.0 else 0.0
            return ultimate / BONDED_DIVISOR, f"bond of filled epoxy over {BONDED_DIVISOR:g}"
        return bonded_pull_out(diameter=thread.diameter, bonded=engaged, shear=shear), "bond, shear as typed"
    if shear is not None:
        return pull_out(thread, engaged, shear), "thread's strip area, shear as typed"
    return None, "no allowable given"


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
    taken = []
    if plan.screws and asked.bearing_limit is None:
        limit, source = bearing_limit(plan, asked)
        taken.append(DefaultTaken(key="strength.bearing_limit", value=shown.pressure(limit), source=source))
    if plan.screws and asked.thread_in is None and plan.fin.material is not None:
        taken.append(
            DefaultTaken(
                key="strength.thread_in", value=thread_in(plan, asked) or "", source="by fin.material"
            )
        )
    if plan.screws and thread_in(plan, asked) == "bonded" and asked.thread_shear_allowable is None:
        taken.append(
            DefaultTaken(
                key="strength.thread_shear_allowable",
                value=shown.pressure(BONDED_SHEAR / BONDED_DIVISOR),
                source='800 psi of filled epoxy over 4; Epoxyworks, R. Monroe, "More on hardware bonding"',
            )
        )
    if plan.screws and thread_in(plan, asked) == "wood" and asked.grain is None:
        taken.append(
            DefaultTaken(
                key="strength.grain", value="along the span", source="judgement: the side that holds less"
            )
        )
    taken += fin_defaults(asked, fin, shown)
    for number, screw in enumerate(plan.screws, start=1):
        if screw.pitch is None:
            taken.append(
                DefaultTaken(
                    key=f"screws[{number}].pitch",
                    value=shown.length(coarse_thread(screw.diameter).pitch),
                    source="metric coarse series, ISO 261, from memory",
                )
            )
    return tuple(taken)
