"""[strength] and [limits] as plan.json gives them."""

from __future__ import annotations

from collections.abc import Sequence

from bulbcast.joint.fin_axis import fin_axis
from bulbcast.joint.fin_beam import NOT_A_CLASSIFICATION_CALCULATION, Stress
from bulbcast.joint.fin_buckling import BUCKLING_RESERVE
from bulbcast.joint.joint_json import joint_object, root_object
from bulbcast.joint.limits_work import LimitHeld
from bulbcast.joint.strength import Aground, FinStrength, Strength
from bulbcast.report.values import Json


def strength_object(strength: Strength) -> Json:
    """Fin and joint under their loads as JSON; null where the plan does not say.

    Args:
        strength: From the job.
    """
    return {
        "not": NOT_A_CLASSIFICATION_CALCULATION,
        "fin": None if strength.fin is None else _fin(strength.fin),
        "joint": None if strength.joint is None else joint_object(strength.joint),
        "at_the_hull": [root_object(one) for one in strength.at_root],
    }


def limits_object(limits: Sequence[LimitHeld]) -> list[Json]:
    """The typed limits as JSON, in order.

    Args:
        limits: From the job.
    """
    return [
        {
            "name": one.name,
            f"found_{one.unit}": one.found,
            f"limit_{one.unit}": one.limit,
            "kept": one.kept,
        }
        for one in limits
    ]


def _fin(fin: FinStrength) -> Json:
    held, foil = fin.knockdown, fin.foil
    axis = fin_axis(foil, fin.section, fin.elastic_axis)
    root, tip = axis.station(0.0), axis.station(1.0)
    return {
        "span_m": foil.span,
        "axis_rake_rad": axis.rake,
        "axis_length_m": axis.length,
        "bending_stiffness_root_n_m2": root.bending,
        "bending_stiffness_tip_n_m2": tip.bending,
        "torsion_stiffness_root_n_m2": root.torsion,
        "torsion_stiffness_tip_n_m2": tip.torsion,
        "own_density_kg_m3": fin.fin_density,
        "own_density_source": None if fin.density_estimate is None else fin.density_estimate.source,
        "at_90_deg_heel": {
            "root_moment_n_m": held.root_moment,
            "root_shear_n": held.root_shear,
            "root_torque_n_m": held.root_torque,
            "tip_deflection_m": held.tip_deflection,
            "bulb_deflection_m": held.bulb_deflection,
            "tip_slope_rad": held.tip_slope,
            "twist_rad": held.twist,
            "root_stress_factor": held.root_stress_factor,
            "stresses": [_stress(one) for one in held.stresses],
        },
        "grounded_mass_kg": fin.grounded_mass,
        "vertical_grounding": None if fin.vertical is None else _aground(fin.vertical),
        "longitudinal_grounding": None if fin.longitudinal is None else _aground(fin.longitudinal),
        "sideways_grounding": None if fin.sideways is None else _aground(fin.sideways),
    }


def _stress(stress: Stress) -> Json:
    return {
        "material": stress.material,
        "at_z_m": stress.at_z,
        "strain": stress.strain,
        "stress_pa": stress.stress,
        "allowable_pa": stress.allowable,
        "used": stress.used,
    }


def _aground(aground: Aground) -> Json:
    return {
        "multiple": aground.multiple,
        "force_n": aground.load.force,
        "root_moment_n_m": aground.load.root_moment,
        "buckling_force_n": aground.load.buckling_force,
        "buckling_reserve": BUCKLING_RESERVE,
        "bears_multiple": aground.bears,
        "stresses": [_stress(one) for one in aground.load.stresses],
    }
