"""The cooling's part of plan.json. SI, the unit at the end of each name; places in bulb axes, cold."""

from __future__ import annotations

from bulbcast.foundry.cooling.results import Cooling, Place
from bulbcast.report.values import Json, number

_HISTORY_ROWS = 120


def cooling_object(cooling: Cooling) -> Json:
    """What the simulation saw.

    Args:
        cooling: It.

    Returns:
        A tree of dicts, lists, texts, numbers and None. The history is thinned to some 120 rows.
    """
    setup, energy, rule = cooling.setup, cooling.energy, cooling.rule
    feeder = setup.feeder
    return {
        "orientation": setup.orientation,
        "mould": setup.mould.kind,
        "mould_density_kg_m3": setup.mould.density,
        "mould_conductivity_w_m_k": setup.mould.conductivity,
        "pour_temperature_c": setup.pour,
        "mould_start_c": setup.start,
        "feeder": None
        if feeder is None
        else {"diameter_m": feeder.diameter, "height_m": feeder.height, "volume_m3": cooling.feeder_volume},
        "casting_frozen_s": cooling.frozen,
        "casting_frozen_low_s": cooling.frozen_low,
        "casting_frozen_high_s": cooling.frozen_high,
        "feeder_frozen_s": number(cooling.frozen_feeder),
        "leave_alone_s": cooling.leave_alone,
        "last_to_freeze": _place(cooling, cooling.last),
        "last_of_casting": _place(cooling, cooling.last_in_casting),
        "feed_path_closes_s": cooling.path_closes,
        "solid_at_closing": cooling.solid_at_closing,
        "cavity_volume_m3": cooling.cavity_volume,
        "cavities": [
            {
                "volume_m3": one.volume,
                "place": _place(cooling, one.place),
                "cut_off_s": one.cut_off,
                "frozen_s": one.frozen,
            }
            for one in cooling.cavities
        ],
        "drawn_from_feeder_m3": cooling.drawn,
        "open_after_s": cooling.open_after,
        "open_below_c": setup.open_below,
        "chvorinov": {
            "modulus_m": setup.cavity.modulus,
            "plain_s": rule.plain,
            "curved_s": rule.curved,
        },
        "energy": {
            "given_by_metal_j": energy.given,
            "held_by_mould_j": energy.warmed,
            "bound_water_j": energy.bound_water,
            "to_air_j": energy.to_air,
            "rest_j": energy.rest,
        },
        "history": _history(cooling),
        "grid": {"cells": cooling.cells, "across": setup.cells, "steps": cooling.steps},
        "told": list(cooling.told),
    }


def _place(cooling: Cooling, place: Place) -> Json:
    """Along the cold bulb from the finished nose; across and up as the mould stands."""
    cavity = cooling.setup.cavity
    return {
        "x_from_nose_m": (place.x - cavity.nose) / cavity.scale,
        "across_m": place.across / cavity.scale,
        "up_m": place.up / cavity.scale,
        "part": "casting" if place.in_casting else "feeder",
    }


def _history(cooling: Cooling) -> list[Json]:
    history = cooling.history
    count = len(history.time)
    rows = sorted({round(i * (count - 1) / (_HISTORY_ROWS - 1)) for i in range(_HISTORY_ROWS)} | {count - 1})
    return [
        {
            "time_s": history.time[i],
            "hottest_c": history.hottest[i],
            "coldest_c": history.coldest[i],
            "feeder_c": history.feeder[i] if history.feeder else None,
            "face_c": history.face[i],
            "solid": history.solid[i],
        }
        for i in rows
    ]
