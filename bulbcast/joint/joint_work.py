"""Check of a plan's joint under its loads: screws, washers, threads and the fin's net section.

This is statics with loads and allowables as given, not a classification calculation.
"""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np

from bulbcast.ballast.results import BallastResults
from bulbcast.bulb.fastening.limits import smallest_wall
from bulbcast.fin.shape import numbers_of
from bulbcast.fin.tip_section import half_thickness
from bulbcast.joint.bearing import CREEP_LIMIT, CREEP_LIMIT_SOURCE, largest_force, spread_diameter
from bulbcast.joint.fin_work import grounded_mass
from bulbcast.joint.joint_loads import (
    Joint,
    JointCase,
    ahead,
    hanging,
    heeled,
    sideways,
    vertical,
    weight_of,
)
from bulbcast.joint.net_section import NetSection, net_section
from bulbcast.joint.strength import JointStrength, ScrewStrength
from bulbcast.joint.thread import (
    BONDED_DIVISOR,
    ENGAGED_AT_MOST,
    WOOD_DIVISOR,
    Thread,
    bonded_pull_out,
    coarse_thread,
    pull_out,
    wood_withdrawal,
)
from bulbcast.plan.sections import Plan
from bulbcast.plan.strength_sections import GROUNDINGS, StrengthSection
from bulbcast.quantities.checked import STANDARD_GRAVITY


def joint_of(job: BallastResults, asked: StrengthSection, *, fin_density: float) -> JointStrength | None:
    """Calculate the loads on the joint in every load case of the plan.

    Args:
        job: The sized bulb, and the boat if there is one.
        asked: The plan's [strength].
        fin_density: Density used for the fin's weight. [kg/m3]

    Returns:
        The results for the joint. None if there are no screws, or if a screw is outside the fin.

    Raises:
        BoatFigureError: A figure is impossible.
    """
    plan, bulb, room = job.plan, job.bulb, job.room
    places = np.array([screw.at for screw in plan.screws], dtype=np.float64)
    tip = bulb.pocket.tip
    if not len(places) or np.any(places <= 0.0) or np.any(places >= tip.chord):
        return None
    if any(one.misses for one in room.screws):
        return None
    halves, _ = half_thickness(tip, places)
    joint = Joint(
        weight=weight_of(bulb.mass),
        mass_centre_at=bulb.mass_centre_x - bulb.pocket.leading_edge_x,
        places=tuple(places.tolist()),
        half_widths=tuple(halves.tolist()),
        holes=tuple(cut.hole_diameter for cut in bulb.screw_cuts),
        tip=tip,
        pocket_depth=plan.fin.pocket_depth if plan.fin.slot_depth is None else bulb.pocket_depth,
        rake=bulb.axis.rake,
    )
    arm = bulb.axis.floor - bulb.mass_centre_z
    cases = _cases(job, asked, joint, arm)
    missing = ""
    if asked.section in ("tube-cored", "given"):
        missing = (
            f"the stress there is calculated only for a solid fin, and this fin's section is {asked.section}"
        )
    elif any(one.cheek <= 0.0 for one in room.screws):
        missing = "a hole breaks out of the fin"
    net, stresses = (None, {}) if missing else _net(job, joint, cases, fin_density)
    limit, source = bearing_limit(asked)
    return JointStrength(
        joint=joint,
        arm=arm,
        cases=cases,
        missing=tuple(leaf for leaf in GROUNDINGS if getattr(asked, leaf) is None),
        screws=tuple(_screw(job, asked, index, cases) for index in range(len(plan.screws))),
        thread_in=thread_in(plan, asked),
        preload=asked.tightened_to,
        bearing_limit=limit,
        bearing_source=source,
        wall=smallest_wall(plan.bulb.smallest_wall, bulb.mass),
        net=net,
        net_missing=missing,
        net_stresses=stresses,
        net_allowable=asked.allowable if asked.section == "solid" else None,
    )


def _cases(job: BallastResults, asked: StrengthSection, joint: Joint, arm: float) -> tuple[JointCase, ...]:
    bulb, mass = job.bulb, grounded_mass(job, asked)
    upright = hanging(joint)
    flat = sideways(joint, "at-90", force=joint.weight, arm=arm, at=joint.mass_centre_at)
    cases = [upright, flat, heeled(upright, flat)]
    if mass is None:
        return tuple(cases)
    weight, down, nose = weight_of(mass), bulb.axis.floor, -bulb.pocket.leading_edge_x
    if asked.longitudinal_grounding is not None:
        cases.append(ahead(joint, force=asked.longitudinal_grounding * weight, arm=down))
    if asked.vertical_grounding is not None:
        ground = bulb.underside_x - bulb.nose_x - bulb.pocket.leading_edge_x
        cases.append(vertical(joint, force=asked.vertical_grounding * weight, at=ground))
    if asked.sideways_grounding is not None:
        force = asked.sideways_grounding * weight
        cases.append(sideways(joint, "aground-sideways", force=force, arm=down, at=nose, hung=upright.pulls))
    return tuple(cases)


def _net(
    job: BallastResults, joint: Joint, cases: tuple[JointCase, ...], fin_density: float
) -> tuple[NetSection, dict[str, float]]:
    """Net section of the fin at the tip, perpendicular to the fin's axis and without the screw holes. Also, for each
    load, the stress at the point along the screws where the fin bends most."""
    plan, bulb, tip, pocket = job.plan, job.bulb, joint.tip, job.bulb.pocket
    sine, cosine = math.sin(joint.rake), math.cos(joint.rake)
    square = replace(tip, chord=tip.chord * cosine)
    net = net_section(square, [(screw.at * cosine, screw.diameter) for screw in plan.screws])
    up = max(max(one.thread for one in job.room.screws), 0.0)
    filled = numbers_of(tip.shape).area
    own = fin_density * STANDARD_GRAVITY * 0.5 * filled * square.chord * tip.thickness * up**2
    floor, arm = bulb.axis.floor, bulb.axis.floor - bulb.mass_centre_z
    axis = pocket.leading_edge_x + plan.fin.elastic_axis * tip.chord

    def across(x: float, below: float) -> float:
        """Lever arm of a sideways force on the bulb, along the fin's axis or vertically, whichever is longer. [m]"""
        return max(abs((x - axis) * sine + below * cosine + up), abs(below + up))

    def along(x: float) -> float:
        """Lever arm of a vertical force about the pocket floor or the screws' ends, whichever arm is longer. [m]"""
        off = x - pocket.leading_edge_x - net.centroid / cosine
        return max(abs(off), abs(off + up * sine))

    stresses = {}
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
        else:
            at = bulb.underside_x - bulb.nose_x if case.name == "aground-vertical" else bulb.mass_centre_x
            stress = net.stress(along=force * along(at), pressed=force * cosine)
        stresses[case.name] = stress
    return net, stresses


def _screw(
    job: BallastResults, asked: StrengthSection, index: int, cases: tuple[JointCase, ...]
) -> ScrewStrength:
    plan, cut, its = job.plan, job.bulb.screw_cuts[index], job.room.screws[index]
    thread, engaged = thread_of(plan, index), max(its.thread, 0.0)
    preload = asked.tightened_to or 0.0
    outer, hole = cut.head_diameter, cut.hole_diameter
    if cut.washer is not None:
        # The ring where lead and washer meet, no wider than the washer's thickness can spread the head's force.
        outer = spread_diameter(head=outer, washer=cut.washer.diameter, thickness=cut.washer.thickness)
        hole = max(hole, cut.washer.hole_diameter)
    kind = thread_in(plan, asked)
    counted = engaged if kind in ("wood", "bonded") else min(engaged, ENGAGED_AT_MOST * thread.diameter)
    holds, how, typed = _fin_holds(asked, kind, thread, engaged)
    gives_first = False
    if asked.screw_allowable is not None:
        own = asked.screw_allowable * thread.stress_area
        if holds is None or own < holds:
            holds, how, typed = own, "the screw's stress area, with tensile strength as typed", True
            gives_first = True
    # Limit on a wider recess: the wall gets thinner by half of the increase, and a neighbouring recess may grow too.
    wall = smallest_wall(plan.bulb.smallest_wall, job.bulb.mass)
    spare = 0.0 if its.recess_wall is None else 2.0 * (its.recess_wall.thickness - wall)
    gaps = [gap for one, other, gap in job.room.recess_gaps if index + 1 in (one, other)]
    limit = largest_force(outer=outer, hole=hole, limit=bearing_limit(asked)[0])
    return ScrewStrength(
        number=index + 1,
        cut=cut,
        room=its,
        thread=thread,
        counted=counted,
        pulls=tuple(case.pulls[index] + preload for case in cases),
        shears=tuple(case.shears[index] for case in cases),
        outer=outer,
        hole=hole,
        preload_at_most=max(limit - cases[0].pulls[index], 0.0),
        holds=holds,
        holds_how=how,
        holds_typed=typed,
        gives_first=gives_first,
        room_for=cut.recess_diameter + min([spare, *gaps]),
    )


def thread_of(plan: Plan, index: int) -> Thread:
    """Thread of a screw, with the pitch as typed, or else that of the coarse series.

    Args:
        plan: The plan, with screws.
        index: Index of the screw, from 0.

    Raises:
        BoatFigureError: No coarse thread of that diameter is known, or the pitch is too coarse for it.
    """
    screw = plan.screws[index]
    if screw.pitch is None:
        return coarse_thread(screw.diameter)
    return Thread(diameter=screw.diameter, pitch=screw.pitch)


def bearing_limit(asked: StrengthSection) -> tuple[float, str]:
    """Pressure that lead may bear for months, and the source of that figure.

    Args:
        asked: The plan's [strength].

    Returns:
        The limit [Pa] and its source.
    """
    if asked.bearing_limit is not None:
        return asked.bearing_limit, "as typed"
    return CREEP_LIMIT, CREEP_LIMIT_SOURCE


def thread_in(plan: Plan, asked: StrengthSection) -> str | None:
    """Material that holds the screws: as given, or that of the fin; None if neither is known.

    Args:
        plan: The plan with its fin.
        asked: The plan's [strength].
    """
    if asked.thread_in is not None:
        return asked.thread_in
    by_material = {"metal": "metal", "wood": "wood", "laminate": "bonded"}
    return None if plan.fin.material is None else by_material[plan.fin.material]


def _fin_holds(
    asked: StrengthSection, kind: str | None, thread: Thread, engaged: float
) -> tuple[float | None, str, bool]:
    """Pull that the fin around a screw can hold [N], how that pull was calculated, and whether the builder typed its
    limit."""
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
        how = f"withdrawal strength in {'wet' if wet else 'dry'} wood, divided by {WOOD_DIVISOR:g}"
        return ultimate / WOOD_DIVISOR, how, False
    if kind == "bonded" and shear is None:
        ultimate = bonded_pull_out(diameter=thread.diameter, bonded=engaged) if engaged > 0.0 else 0.0
        return (
            ultimate / BONDED_DIVISOR,
            f"bond strength of filled epoxy, divided by {BONDED_DIVISOR:g}",
            False,
        )
    if kind == "bonded" and shear is not None:
        holds = bonded_pull_out(diameter=thread.diameter, bonded=engaged, shear=shear)
        return holds, "bond, with shear strength as typed", True
    if shear is not None:
        own = None if asked.screw_allowable is None else asked.screw_allowable / math.sqrt(3.0)
        holds = pull_out(thread, min(engaged, ENGAGED_AT_MOST * thread.diameter), shear, screw_shear=own)
        how = f"stripping area of the thread over at most {ENGAGED_AT_MOST:g} diameters, with shear strength as typed"
        return holds, how, True
    return None, "no allowable given", False
