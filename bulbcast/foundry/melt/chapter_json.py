"""Gating, scrap, pot, burner and pour as JSON: SI, the unit at the end of each name."""

from __future__ import annotations

from bulbcast.foundry.gating.design import Gating
from bulbcast.foundry.melt.stock import Stock
from bulbcast.foundry.melt.work import FiringPlan, MeltJob
from bulbcast.foundry.pour.temperature import vapour_bound
from bulbcast.materials.lead import MELTING_POINT
from bulbcast.report.values import Json


def melting_object(job: MeltJob, *, melt: bool, pour: bool) -> Json:
    """All of melt and pour that the plan gives; null where it does not, and what is withheld is null too.

    Args:
        job: From the job.
        melt: Whether nothing withholds the melt.
        pour: Whether nothing withholds the pour.
    """
    pot, pots = (job.pot, job.pots) if melt else (None, None)
    return {
        "pour": pour_figures(job) if pour else None,
        "gating": None if job.gating is None else gating_object(job.gating, melt=melt),
        "scrap": None if job.stock is None or not melt else _stock(job, job.stock),
        "pot": None
        if pot is None or pots is None
        else {
            "capacity_kg": pot.capacity,
            "usable_kg": pot.usable,
            "count": pot.count,
            "pieces": pots.pieces,
            "piece_charge_kg": pots.piece_charge,
            "piece_pour_kg": pots.piece_pour,
            "fits": pots.fits,
            "melts": pots.melts,
            "pieces_a_melt": pots.per_melt,
            "charge_a_melt_kg": pots.charge,
            "fill": pots.fill,
            "lifted_kg": pots.lifted if pot.way == "lift" else None,
            "ladles_a_piece": pots.ladles if pot.way == "ladle" else None,
        },
        "burner": None if job.firing is None or not melt else _firing(job.firing),
    }


def pour_figures(job: MeltJob) -> Json:
    """The heat of metal and mould, for plan.json and the pour card alike.

    Args:
        job: From the job.
    """
    return {
        "temperature_c": job.temperature,
        "mould_temperature_c": job.mould_temperature,
        "vapour_bound_kg_m3": vapour_bound(max(job.temperature, MELTING_POINT)),
    }


def gating_object(gating: Gating, *, melt: bool) -> Json:
    """The gating as JSON.

    Args:
        gating: Of a mould.
        melt: Whether nothing withholds the melt: else its masses of metal are null.
    """
    riser, sprue, choke, mark, force = gating.riser, gating.sprue, gating.choke, gating.mark, gating.force
    return {
        "feed_demand": gating.feed,
        "cavity_volume_m3": gating.cavity.volume,
        "modulus_m": gating.cavity.modulus,
        "thick_modulus_m": gating.cavity.thick_modulus,
        "shadow_m2": gating.cavity.shadow,
        "over_crown_m": gating.over_crown,
        "head_m": gating.head,
        "fill_time_s": gating.fill_time,
        "pour_rate_kg_s": gating.pour_rate,
        "thin_end_freezes_s": gating.thin_time,
        "casting_freezes_s": gating.thick_time,
        "riser_freezes_s": gating.riser_time,
        "leave_alone_s": gating.leave_alone,
        "times_simulated": gating.simulated,
        "longest_pause_s": gating.pause,
        "choke": None
        if choke is None
        else {"head_m": choke.head, "area_m2": choke.area, "diameter_m": choke.diameter},
        "sprue": None
        if sprue is None
        else {
            "from_nose_m": gating.sprue_at,
            "height_m": sprue.height,
            "top_diameter_m": sprue.top_diameter,
            "foot_diameter_m": sprue.foot_diameter,
        },
        "riser": None
        if riser is None
        else {
            # Of an upright mould the riser stands over the end that is up.
            "from_nose_m": gating.cavity.thick_at if gating.cavity.high_end is None else None,
            "diameter_m": riser.diameter,
            "height_m": riser.height,
            "volume_m3": riser.volume,
            "modulus_m": riser.modulus,
            "modulus_wanted_m": riser.modulus_wanted,
            "volume_wanted_m3": riser.volume_wanted,
            "rule": riser.rule,
        },
        "vents": [{"from_nose_m": vent.at, "diameter_m": vent.diameter} for vent in gating.vents],
        "level_mark": None
        if mark is None
        else {"above_face_m": mark.above_face, "mean_sink_m": mark.mean_sink},
        "force": None
        if force is None
        else {
            "on": "cope" if gating.cavity.parting == "horizontal" else "each half",
            "static_n": force.force,
            "to_be_held_n": force.wanted,
            "own_mass_kg": force.own_mass,
            "weight_kg": force.weight,
            "clamp_n": force.clamp,
        },
        "cores": [
            {
                "name": lift.core.name,
                "material": lift.core.material,
                "volume_m3": lift.core.volume,
                "floating_n": lift.floating,
                "thrust_n": lift.thrust,
                "to_be_held_n": lift.held.wanted,
            }
            for lift in gating.cores
        ],
        "poured_kg": gating.poured if melt else None,
        "feeder_kg": gating.feeder if melt else None,
        "above_cope_m": gating.above_cope,
    }


def _stock(job: MeltJob, stock: Stock) -> Json:
    effect = job.effect
    return {
        "lots": [
            {
                "name": one.lot.name,
                "gross_kg": one.lot.gross,
                "gross_spread_kg": one.lot.gross_spread,
                "yield": one.lot.yield_,
                "yield_spread": one.lot.yield_spread,
                "density_kg_m3": one.lot.density,
                "density_spread_kg_m3": one.lot.density_spread,
                "known": one.lot.known,
                "taken_gross_kg": one.gross,
                "culled_kg": one.culled,
                "melted_kg": one.melted,
                "clean_kg": one.clean,
                "left_kg": one.left,
            }
            for one in stock.taken
        ],
        "wanted_kg": stock.wanted,
        "available_kg": stock.available,
        "available_spread_kg": stock.spread,
        "short_kg": stock.short,
        "over_kg": stock.over,
        "dross": stock.dross,
        "blend_density_kg_m3": stock.density,
        "blend_density_spread_kg_m3": stock.density_spread,
        "hung_mass_change_kg": None if effect is None else effect.hung_change,
        "length_of_blend_m": None if effect is None else effect.length,
        "diameter_of_blend_m": None if effect is None else effect.diameter,
        "purchases": [{"kind": one.kind, "gross_kg": one.gross} for one in job.purchases],
    }


def _firing(plan: FiringPlan) -> Json:
    return {
        "heat_metal_j": plan.heat.metal,
        "heat_pot_j": plan.heat.pot,
        "efficiency": plan.likely.efficiency,
        "time_s": plan.likely.time,
        "time_best_s": plan.best.time,
        "time_worst_s": plan.worst.time,
        "fuel_kg": plan.likely.fuel,
        "fuel_best_kg": plan.best.fuel,
        "fuel_worst_kg": plan.worst.fuel,
        "fuel_with_margin_kg": plan.fuel,
        "fuel_in_poor_set_up_kg": plan.fuel_poor,
        "fuel_on_hand_kg": plan.on_hand,
    }
