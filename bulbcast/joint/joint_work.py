"""The joint of a plan under its loads: screws, washers, threads, the fin's net section, and what the hull is asked for.

Statics with loads and allowables as given: not a classification calculation.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

import numpy as np

from bulbcast.bulb.cuts.parts import ScrewCut
from bulbcast.bulb.fastening.limits import smallest_wall
from bulbcast.bulb.fastening.room import Room, ScrewRoom
from bulbcast.bulb.hung.ledger import HungBulb
from bulbcast.fin.tip_section import AREA_COEFFICIENT, half_thickness
from bulbcast.joint.bearing import (
    CREEP_LIMIT,
    CREEP_LIMIT_SOURCE,
    bearing,
    largest_force,
    spread_diameter,
)
from bulbcast.joint.joint_loads import (
    Joint,
    JointCase,
    JointScrew,
    ahead,
    hanging,
    heeled,
    sideways,
    vertical,
    weight_of,
)
from bulbcast.joint.net_section import NetSection, net_section
from bulbcast.joint.strength import (
    FinStrength,
    JointStrength,
    NetStress,
    RootLoad,
    ScrewCase,
    ScrewStrength,
)
from bulbcast.joint.thread import (
    BONDED_DIVISOR,
    BONDED_SHEAR,
    ENGAGED_AT_MOST,
    WOOD_DIVISOR,
    Thread,
    bonded_pull_out,
    coarse_thread,
    pull_out,
    strip_areas,
    wood_screw_limits,
    wood_withdrawal,
)
from bulbcast.materials.gravity import STANDARD_GRAVITY
from bulbcast.plan.sections import DefaultTaken, Plan
from bulbcast.plan.strength_sections import GROUNDINGS, StrengthSection
from bulbcast.quantities import Shown


def joint_of(
    plan: Plan,
    asked: StrengthSection,
    bulb: HungBulb,
    room: Room,
    *,
    boat_mass: float | None,
    fin_density: float,
) -> JointStrength | None:
    """The joint under every load that the plan asks for.

    Args:
        plan: The plan.
        asked: Its [strength].
        bulb: The sized bulb.
        room: Lead and fin round the cuts.
        boat_mass: Of boat and bulb; None without a boat. [kg]
        fin_density: Of its own weight that is counted. [kg/m3]

    Returns:
        The joint; None without screws, or where one stands outside the fin.

    Raises:
        BoatFigureError: A figure that cannot be.
    """
    places = np.array([screw.at for screw in plan.screws], dtype=np.float64)
    tip = bulb.pocket.tip
    if not len(places) or np.any(places <= 0.0) or np.any(places >= tip.chord):
        return None
    if any(one.misses for one in room.screws):
        return None
    halves, _ = half_thickness(tip, places)
    threads = [
        coarse_thread(screw.diameter)
        if screw.pitch is None
        else Thread(diameter=screw.diameter, pitch=screw.pitch)
        for screw in plan.screws
    ]
    joint = Joint(
        weight=weight_of(bulb.mass),
        mass_centre_at=bulb.mass_centre_x - bulb.pocket.leading_edge_x,
        screws=tuple(
            JointScrew(at=at, half_width=half, hole=cut.hole_diameter, thread=thread)
            for at, half, cut, thread in zip(
                places.tolist(), halves.tolist(), bulb.screw_cuts, threads, strict=True
            )
        ),
        tip=tip,
        pocket_depth=plan.fin.pocket_depth,
        rake=bulb.axis.rake,
    )
    arm = bulb.axis.floor - bulb.mass_centre_z
    cases = _cases(asked, joint, arm, bulb, boat_mass)
    missing = ""
    if asked.section in ("tube-cored", "given"):
        missing = f"only a solid fin is calculated there, and this one's section is {asked.section}"
    elif any(one.cheek <= 0.0 for one in room.screws):
        missing = "a hole leaves the fin"
    net, stresses = (None, ()) if missing else _net(plan, joint, cases, bulb, room, fin_density)
    limit, source = bearing_limit(asked)
    wall = smallest_wall(plan.bulb.smallest_wall, bulb.mass)
    screws = []
    for index, (cut, its) in enumerate(zip(bulb.screw_cuts, room.screws, strict=True)):
        held = _Held(
            plan=plan,
            asked=asked,
            thread=threads[index],
            engaged=max(its.thread, 0.0),
            cut=cut,
            its=its,
            wall=wall,
            room_for=_room_for(index, cut, room, wall),
        )
        screws.append(_screw(index, held, cases, limit, source))
    return JointStrength(
        joint=joint,
        arm=arm,
        cases=cases,
        missing=tuple(leaf for leaf in GROUNDINGS if getattr(asked, leaf) is None),
        screws=tuple(screws),
        preload=asked.tightened_to,
        edge_limit=limit,
        net=net,
        net_missing=missing,
        net_stresses=stresses,
        net_allowable=asked.allowable if asked.section == "solid" else None,
    )


def _cases(
    asked: StrengthSection, joint: Joint, arm: float, bulb: HungBulb, boat_mass: float | None
) -> tuple[JointCase, ...]:
    upright = hanging(joint)
    flat = sideways(joint, "at-90", force=joint.weight, arm=arm, at=joint.mass_centre_at)
    cases = [upright, flat, heeled(upright, flat)]
    mass = boat_mass if asked.grounded_mass is None else asked.grounded_mass
    if mass is None:
        return tuple(cases)
    weight, down = weight_of(mass), bulb.axis.floor
    if asked.longitudinal_grounding is not None:
        cases.append(ahead(joint, force=asked.longitudinal_grounding * weight, arm=down))
    if asked.vertical_grounding is not None:
        ground = bulb.underside_x - bulb.nose_x - bulb.pocket.leading_edge_x
        cases.append(vertical(joint, force=asked.vertical_grounding * weight, at=ground))
    if asked.sideways_grounding is not None:
        cases.append(
            sideways(
                joint,
                "aground-sideways",
                force=asked.sideways_grounding * weight,
                arm=down,
                at=-bulb.pocket.leading_edge_x,
                hung=upright.pulls,
            )
        )
    return tuple(cases)


def _net(
    plan: Plan,
    joint: Joint,
    cases: tuple[JointCase, ...],
    bulb: HungBulb,
    room: Room,
    fin_density: float,
) -> tuple[NetSection, tuple[NetStress, ...]]:
    """The fin less the holes, square to its axis at the tip, stressed where it bends most of all the way the screws go."""
    tip, pocket = joint.tip, bulb.pocket
    sine, cosine = math.sin(joint.rake), math.cos(joint.rake)
    square = replace(tip, chord=tip.chord * cosine)
    net = net_section(square, [(screw.at * cosine, screw.diameter) for screw in plan.screws])
    up = max(max(one.thread for one in room.screws), 0.0)
    own = fin_density * STANDARD_GRAVITY * 0.5 * AREA_COEFFICIENT * square.chord * tip.thickness * up**2
    floor, arm = bulb.axis.floor, bulb.axis.floor - bulb.mass_centre_z
    axis = pocket.leading_edge_x + plan.fin.elastic_axis * tip.chord

    def across(x: float, below: float) -> float:
        """Lever of a force across the bulb: along the fin's axis, or straight up where that is more. [m]"""
        return max(abs((x - axis) * sine + below * cosine + up), abs(below + up))

    def along(x: float) -> float:
        """Lever of a force straight up or down, at the pocket floor or the screws' ends. [m]"""
        off = x - pocket.leading_edge_x - net.centroid / cosine
        return max(abs(off), abs(off + up * sine))

    stresses = []
    for case in cases:
        force = case.force
        if case.name == "heeled":
            continue  # the fin bends most at 90 degrees
        if case.name == "at-90":
            stress = net.stress(across=force * across(bulb.mass_centre_x, arm) + own)
        elif case.name == "aground-sideways":
            stress = net.stress(across=force * across(0.0, floor))
        elif case.name == "aground-ahead":
            stress = net.stress(along=force * abs(floor + up * cosine), pressed=force * sine)
        elif case.name == "aground-vertical":
            stress = net.stress(along=force * along(bulb.underside_x - bulb.nose_x), pressed=force * cosine)
        else:
            stress = net.stress(along=force * along(bulb.mass_centre_x), pressed=force * cosine)
        stresses.append(NetStress(name=case.name, stress=stress))
    return net, tuple(stresses)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Held:
    """One screw and what it is screwed into."""

    plan: Plan
    asked: StrengthSection
    thread: Thread
    engaged: float
    cut: ScrewCut
    its: ScrewRoom
    wall: float
    room_for: float


def _room_for(index: int, cut: ScrewCut, room: Room, wall_wanted: float) -> float:
    """Diameter to which a recess may grow: its wall thins by half of that, and a neighbour may grow as well. [m]"""
    wall = room.screws[index].recess_wall
    spare = 0.0 if wall is None else 2.0 * (wall.thickness - wall_wanted)
    gaps = [gap for one, other, gap in room.recess_gaps if index + 1 in (one, other)]
    return cut.recess_diameter + min([spare, *gaps])


def _screw(index: int, held: _Held, cases: tuple[JointCase, ...], limit: float, source: str) -> ScrewStrength:
    asked, thread, cut = held.asked, held.thread, held.cut
    preload = asked.tightened_to or 0.0
    own = []
    for case in cases:
        pull, shear = case.pulls[index] + preload, case.shears[index]
        tension = pull / thread.stress_area
        across = 0.0 if shear is None else shear / thread.core_area
        own.append(
            ScrewCase(
                name=case.name,
                pull=pull,
                shear=shear,
                tension=tension,
                equivalent=math.hypot(tension, math.sqrt(3.0) * across),
            )
        )
    share = cases[0].pulls[index]
    outer, hole = cut.head_diameter, cut.hole_diameter
    if cut.washer is not None:
        # The ring that both lead and washer have, no wider than the washer's thickness spreads the head's force.
        outer = spread_diameter(
            head=cut.head_diameter, washer=cut.washer.diameter, thickness=cut.washer.thickness
        )
        hole = max(cut.hole_diameter, cut.washer.hole_diameter)
    kind = thread_in(held.plan, asked)
    metal = kind != "wood" and kind != "bonded"
    counted = min(held.engaged, ENGAGED_AT_MOST * thread.diameter) if metal else held.engaged
    holds, how, typed = _holds(held, kind)
    screw = held.plan.screws[index]
    sizes = wood_screw_limits(screw.length)
    return ScrewStrength(
        number=index + 1,
        thread=thread,
        engaged=held.engaged,
        counted=counted,
        strip_area=strip_areas(thread, counted).hole,
        cases=tuple(own),
        prying=cases[1].pulls[index],
        bearing=bearing(force=share + preload, outer=outer, hole=hole, limit=limit, limit_source=source),
        head=cut.head_diameter,
        head_height=screw.head_height,
        recess=screw.recess,
        recess_diameter=cut.recess_diameter,
        rim_drop=screw.recess - held.its.rim_depth,
        recess_at_most=screw.recess + held.its.seat_to_floor - held.wall,
        hole=hole,
        length=screw.length,
        washer_thickness=0.0 if cut.washer is None else cut.washer.thickness,
        preload_at_most=max(largest_force(outer=outer, hole=hole, limit=limit) - share, 0.0),
        holds=holds,
        holds_how=how,
        holds_typed=typed,
        wood=(sizes is not None and sizes[0] <= thread.diameter <= sizes[1]) if kind == "wood" else None,
        end_grain=kind == "wood" and asked.grain != "across the span",
        washer=cut.washer is not None,
        room_for=held.room_for,
    )


def bearing_limit(asked: StrengthSection) -> tuple[float, str]:
    """What the lead may bear for months, and on whose word.

    Args:
        asked: Its [strength].

    Returns:
        The limit [Pa] and its source.
    """
    if asked.bearing_limit is not None:
        return asked.bearing_limit, "as typed"
    return CREEP_LIMIT, CREEP_LIMIT_SOURCE


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


def _holds(held: _Held, kind: str | None) -> tuple[float | None, str, bool]:
    """Pull that fin and screw may take, the smaller of the two, how it was calculated, and whether typed. [N]"""
    fin, how, typed = _fin_holds(held, kind)
    allowable = held.asked.screw_allowable
    if allowable is None:
        return fin, how, typed
    screw = allowable * held.thread.stress_area
    if fin is None or screw < fin:
        return screw, "the screw's own stress area, tension as typed", True
    return fin, how, typed


def _fin_holds(held: _Held, kind: str | None) -> tuple[float | None, str, bool]:
    asked, thread, engaged = held.asked, held.thread, held.engaged
    shear = asked.thread_shear_allowable
    if kind == "wood" and asked.wood_specific_gravity is not None:
        wet = asked.wood_moisture != "dry"
        ultimate = wood_withdrawal(
            specific_gravity=asked.wood_specific_gravity,
            diameter=thread.diameter,
            threaded=engaged,
            end_grain=asked.grain != "across the span",
            wet=wet,
        )
        return (
            ultimate / WOOD_DIVISOR,
            f"withdrawal from {'wet' if wet else 'dry'} wood over {WOOD_DIVISOR:g}",
            False,
        )
    if kind == "bonded":
        if shear is None:
            ultimate = bonded_pull_out(diameter=thread.diameter, bonded=engaged) if engaged > 0.0 else 0.0
            return ultimate / BONDED_DIVISOR, f"bond of filled epoxy over {BONDED_DIVISOR:g}", False
        return (
            bonded_pull_out(diameter=thread.diameter, bonded=engaged, shear=shear),
            "bond, shear as typed",
            True,
        )
    if shear is not None:
        own = None if asked.screw_allowable is None else asked.screw_allowable / math.sqrt(3.0)
        return (
            pull_out(thread, min(engaged, ENGAGED_AT_MOST * thread.diameter), shear, screw_shear=own),
            f"thread's strip area over {ENGAGED_AT_MOST:g} diameters at most, shear as typed",
            True,
        )
    return None, "no allowable given", False


def root_loads(fin: FinStrength) -> tuple[RootLoad, ...]:
    """What each load asks of the hull where it holds the fin.

    Args:
        fin: The fin as a beam.
    """
    flat = fin.knockdown
    loads = [
        RootLoad(
            name="at-90",
            across=flat.root_moment,
            along=0.0,
            shear=flat.root_shear,
            pressed=0.0,
            torque=abs(flat.root_torque),
        )
    ]
    if fin.longitudinal is not None:
        load = fin.longitudinal.load
        loads.append(
            RootLoad(
                name="aground-ahead",
                across=0.0,
                along=load.root_moment,
                shear=load.force,
                pressed=0.0,
                torque=0.0,
            )
        )
    if fin.vertical is not None:
        load = fin.vertical.load
        loads.append(
            RootLoad(
                name="aground-vertical",
                across=0.0,
                along=load.root_moment,
                shear=0.0,
                pressed=load.force,
                torque=0.0,
            )
        )
    if fin.sideways is not None:
        struck = fin.sideways.load
        loads.append(
            RootLoad(
                name="aground-sideways",
                across=struck.root_moment,
                along=0.0,
                shear=struck.force,
                pressed=0.0,
                torque=abs(fin.sideways_torque),
            )
        )
    return tuple(loads)


def joint_defaults(plan: Plan, asked: StrengthSection, shown: Shown) -> tuple[DefaultTaken, ...]:
    """Defaults of [strength] for the joint, each with its source.

    Args:
        plan: With screws.
        asked: Its [strength].
        shown: The builder's units.
    """
    taken = []
    kind = thread_in(plan, asked)
    if asked.bearing_limit is None:
        limit, source = bearing_limit(asked)
        taken.append(DefaultTaken(key="strength.bearing_limit", value=shown.pressure(limit), source=source))
    if asked.thread_in is None and kind is not None:
        taken.append(DefaultTaken(key="strength.thread_in", value=kind, source="by fin.material"))
    if kind == "bonded" and asked.thread_shear_allowable is None:
        taken.append(
            DefaultTaken(
                key="strength.thread_shear_allowable",
                value=shown.pressure(BONDED_SHEAR / BONDED_DIVISOR),
                source='800 psi of filled epoxy over 4; Epoxyworks, R. Monroe, "More on hardware bonding"',
            )
        )
    if kind == "wood" and asked.grain is None:
        taken.append(
            DefaultTaken(
                key="strength.grain", value="along the span", source="judgement: the side that holds less"
            )
        )
    if kind == "wood" and asked.wood_moisture is None and asked.wood_specific_gravity is not None:
        taken.append(
            DefaultTaken(
                key="strength.wood_moisture",
                value="wet",
                source="judgement: a fin stands in water; wet wood holds 0.7 of dry by the National Design "
                "Specification for Wood Construction, from memory",
            )
        )
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
