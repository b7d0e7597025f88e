"""The joint of [strength], and what the hull is asked for, as plan.json gives them."""

from __future__ import annotations

from bulbcast.joint.joint_loads import JointCase
from bulbcast.joint.strength import JointStrength, RootLoad, ScrewStrength
from bulbcast.report.values import Json


def joint_object(held: JointStrength) -> Json:
    """The joint under every load as JSON; null where nothing is calculated.

    Args:
        held: From the job.
    """
    flat, net = held.at_90, held.net
    return {
        "weight_n": held.joint.weight,
        "arm_m": held.arm,
        "moment_at_90_deg_heel_n_m": flat.moment,
        "turning_n_m": flat.turning,
        "pocket_wall_pressure_pa": flat.wall_pressure,
        "tightened_to_n": held.preload,
        "bearing_judged": held.preload is not None,
        "cases": [_case(one) for one in held.cases],
        "not_calculated": list(held.missing),
        "fin_net_section": None
        if net is None
        else {
            "area_m2": net.area,
            "bending_left": net.share,
            "stresses": [{"case": one.name, "stress_pa": one.stress} for one in held.net_stresses],
            "allowable_pa": held.net_allowable,
        },
        "screws": [_screw(one, held) for one in held.screws],
    }


def root_object(load: RootLoad) -> Json:
    """What one load asks of the hull, as JSON.

    Args:
        load: From the job.
    """
    return {
        "case": load.name,
        "moment_across_n_m": load.across,
        "moment_along_n_m": load.along,
        "shear_n": load.shear,
        "pressed_n": load.pressed,
        "torque_n_m": load.torque,
    }


def _case(case: JointCase) -> Json:
    return {
        "case": case.name,
        "force_n": case.force,
        "moment_n_m": case.moment,
        "turning_n_m": case.turning,
        "pocket_wall_pressure_pa": case.wall_pressure,
        "pocket_floor_pressure_pa": case.floor_pressure,
        "edge": None
        if case.pivot is None
        else {
            "at_m": case.pivot.at,
            "area_m2": case.pivot.area,
            "force_n": case.pivot.force,
            "pressure_pa": case.pivot.pressure,
        },
    }


def _screw(screw: ScrewStrength, held: JointStrength) -> Json:
    index = screw.number - 1
    return {
        "stress_area_m2": screw.thread.stress_area,
        "pitch_m": screw.thread.pitch,
        "engaged_m": screw.engaged,
        "counted_m": screw.counted,
        "strip_area_m2": screw.strip_area,
        "hanging_n": held.hanging.pulls[index],
        "prying_n": screw.prying,
        "shear_n": held.at_90.shears[index],
        "sustained_n": screw.sustained,
        "at_90_deg_heel_n": screw.cases[1].pull,
        "tension_pa": max(one.tension for one in screw.cases),
        "cases": [
            {
                "case": one.name,
                "pull_n": one.pull,
                "shear_n": one.shear,
                "tension_pa": one.tension,
                "equivalent_pa": one.equivalent,
            }
            for one in screw.cases
        ],
        "bearing_pressure_pa": screw.bearing.pressure,
        "bearing_limit_pa": screw.bearing.limit,
        "bearing_limit_source": screw.bearing.limit_source,
        "may_be_drawn_up_to_n": screw.preload_at_most,
        "holds_n": screw.holds,
        "holds_how": screw.holds_how,
    }
