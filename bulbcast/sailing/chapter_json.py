"""How the boat stands up, as plan.json and `bulbcast ballast` tell it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from bulbcast.report.values import Json

if TYPE_CHECKING:
    from bulbcast.sailing.righting import RightingArmCurve
    from bulbcast.sailing.sailing_work import Leeway, Sailing
    from bulbcast.sailing.scale import ScaleComparison, UnderSail
    from bulbcast.sailing.trade import Trade
    from bulbcast.sailing.work import Standing

NOT_AN_ASSESSMENT = "not a stability assessment; crew, downflooding and swamping are not included"


def standing_object(standing: Standing | None) -> Json:
    """Parts of the boat's object: stability, and with a rig wind, leeway, scale and trade.

    Args:
        standing: From the job; None where it was not worked out.
    """
    if standing is None:
        return {}
    told: Json = {"stability": _stability(standing)}
    sailing = standing.sailing
    if sailing is not None:
        told["wind"] = _wind(sailing)
        told["leeway"] = _leeway(sailing)
        told["scale"] = None if sailing.scale is None else _scale(sailing.scale, sailing.highest_gm)
        told["trade"] = None if standing.trade is None else _trade(standing.trade)
    elif standing.sailing_missing:
        told["wind"] = {"missing": standing.sailing_missing}
    return told


def _stability(standing: Standing) -> Json:
    curve: RightingArmCurve | None = standing.curve
    told: Json = {"caveat": NOT_AN_ASSESSMENT}
    if curve is None:
        return {**told, "righting_arms": None, "missing": standing.curve_missing}
    return {
        **told,
        "side": standing.side,
        "metacentric_height_m": curve.gm,
        "upright_sinkage_m": curve.upright.attitude.sinkage,
        "upright_trim_rad": curve.upright.attitude.trim,
        "mass_kg": curve.mass,
        "righting_arms": [
            {"heel_rad": heel, "arm_m": arm + 0.0, "sinkage_m": sinkage, "trim_rad": trim}
            for heel, arm, sinkage, trim in zip(
                curve.heels, curve.arms, curve.sinkages, curve.trims, strict=True
            )
        ],
        "positive_from_rad": curve.positive_from,
        "vanishing_rad": curve.vanishing,
        "positive_area_m_rad": curve.positive_area,
        "area_after_vanishing_m_rad": curve.later_area,
        "area_spent_rad": curve.area_spent,
        "largest_arm_m": curve.largest_arm,
        "largest_arm_heel_rad": curve.largest_arm_heel,
        "surface_over_table": standing.surface_over_table,
        "missing": None,
    }


def _wind(sailing: Sailing) -> Json:
    rig = sailing.rig
    return {
        "caveat": NOT_AN_ASSESSMENT,
        "sail_area_m2": rig.area,
        "heeling_arm_m": rig.heeling_arm,
        "lateral_z_m": sailing.lateral_z,
        "force_coefficient": rig.coefficient,
        "force_coefficient_source": rig.coefficient_source,
        "heel_exponent": rig.heel_exponent,
        "air_density_kg_m3": rig.air_density,
        "from": "righting arms" if sailing.by_curve else "GM sin(heel)",
        "wind_m_s": sailing.wind,
        "wind_given": sailing.wind_given,
        "heel_rad": sailing.heel,
        "side_force_n": sailing.side_force,
        "winds_for_heels": [
            {"heel_rad": one.heel, "wind_m_s": one.wind, "rests": one.rests} for one in sailing.winds
        ],
        "steady": [{"wind_m_s": wind, "heel_rad": heel} for wind, heel in sailing.steady],
    }


def _leeway(sailing: Sailing) -> Json:
    def formula(one: Leeway) -> Json:
        fin = one.fin
        return {
            "formula": one.formula,
            "lift_slope_per_rad": one.slope,
            "leeway_rad": one.leeway,
            "limit_passed_at_wind_m_s": one.at_limit.wind,
            "limit_passed_at_heel_rad": one.at_limit.heel,
            "limit_passed_upright_at_wind_m_s": one.at_limit.upright_wind,
            "fin_for_limit": None
            if fin is None
            else {
                "same_shape_area_m2": fin.same_shape_area,
                "same_shape_span_m": fin.same_shape_span,
                "same_span_area_m2": fin.same_span_area,
                "same_chord_area_m2": fin.same_chord_area,
                "same_chord_span_m": fin.same_chord_span,
            },
        }

    return {
        "hull_speed_m_s": sailing.hull_speed,
        "free_fin_area_m2": sailing.free_fin.area,
        "free_fin_span_m": sailing.free_fin.span,
        "effective_aspect_ratio": sailing.aspect_ratio,
        "limit_rad": sailing.limit,
        "formulas": [formula(one) for one in sailing.leeways],
    }


def _scale(scale: ScaleComparison, highest_gm: float) -> Json:
    def boat(one: UnderSail) -> Json:
        return {
            "waterline_m": one.boat.waterline,
            "mass_kg": one.boat.mass,
            "wind_m_s": one.wind,
            "speed_m_s": one.speed,
            "heel_rad": one.heel,
            "side_force_n": one.side_force,
            "leeway_rad": one.leeway,
        }

    return {
        "ratio": scale.ratio,
        "here": boat(scale.here),
        "same_wind": boat(scale.same_wind),
        "scaled_wind": boat(scale.scaled_wind),
        "like_wind_m_s": scale.like_wind,
        "metacentric_height_needed_m": scale.metacentric_height_needed,
        "metacentric_height_most_m": highest_gm,
        "fin_area_needed_m2": scale.fin_area_needed,
    }


def _trade(trade: Trade) -> Json:
    return {
        "bulb_mass_worth_of_depth_kg_m": trade.depth_worth,
        "fin_mass_goes_with_depth": trade.fin_scaled,
        "cells": [
            {
                "bulb_mass_kg": one.mass,
                "fin_tip_z_m": one.tip_z,
                "metacentric_height_m": one.gm,
                "sinkage_m": one.sinkage,
                "winds_for_heels_m_s": [wind.wind for wind in one.winds],
                "heel_rad": one.heel,
                "missing": one.missing or None,
            }
            for one in trade.cells
        ],
    }
