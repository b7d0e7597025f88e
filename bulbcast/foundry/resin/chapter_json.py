"""The two ways side by side as JSON: lead poured hot, and lead shot in resin. SI, the unit at the end of each name."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from bulbcast.report.values import Json, number

if TYPE_CHECKING:
    from bulbcast.foundry.resin.work import ResinJob, Side


def resin_object(job: ResinJob) -> Json:
    """The comparison.

    Args:
        job: From the job.
    """
    casting = job.casting
    return {
        "density_kg_m3": job.mix.density,
        "density_spread_kg_m3": job.mix.density_spread,
        "density_to_cast_lead": job.mix.density / job.lead.density,
        "mass_in_the_lead_mould_kg": job.in_this_mould,
        "why_not": job.why_not or None,
        "extra_displacement_m3": job.extra_displacement,
        "speed_m_s": job.speed,
        "lead": _side(job.lead),
        "shot_in_resin": None if job.resin is None else _side(job.resin),
        "casting": None
        if casting is None
        else {
            "shot_kg": casting.shot,
            "resin_kg": casting.resin,
            "mass_kg": casting.mass,
            "mass_spread_kg": casting.mass_spread,
            "depth_m": casting.depth,
            "thickest_layer_m": number(casting.thickest_layer),
            "layers": casting.layers,
            "layer_rise_k": casting.layer_rise,
            "rise_at_once_k": casting.rise_at_once,
        },
    }


def _side(side: Side) -> Json:
    bulb, drag = side.bulb, side.drag
    return {
        "density_kg_m3": side.density,
        "hung_mass_kg": bulb.mass,
        "cast_volume_m3": side.cast.volume,
        "length_m": bulb.body.length,
        "diameter_m": bulb.body.diameter,
        "width_m": bulb.body.width,
        "height_m": bulb.body.height,
        "fineness": bulb.body.fineness,
        "frontal_area_m2": 0.25 * math.pi * bulb.body.diameter**2,
        "wetted_area_m2": bulb.surface.area,
        "displacement_m3": bulb.displacement,
        "underside_z_m": bulb.underside_z,
        "nose_x_m": bulb.nose_x,
        "drag_low_n": None if drag is None else drag.low,
        "drag_high_n": None if drag is None else drag.high,
        "drag_area_low_m2": side.drag_areas[0],
        "drag_area_high_m2": side.drag_areas[1],
    }
