"""The ribs' part of plan.json."""

from __future__ import annotations

from bulbcast.fin.ribs_work import FoilRibs
from bulbcast.report.values import Json


def ribs_object(foils: tuple[FoilRibs, ...]) -> list[Json]:
    """Every foil with its ribs as JSON.

    Args:
        foils: From the job.
    """
    return [
        {
            "foil": one.name,
            "skin_m": one.skin,
            "plate": None
            if one.plate is None
            else {"thickness_m": one.plate.thickness, "width_m": one.plate.width, "at": one.plate.at},
            "ribs": [
                {
                    "below_root_m": rib.below_root,
                    "chord_m": rib.chord,
                    "thickness_m": rib.thickness,
                    "area_m2": rib.area,
                    "beside_slot_m": rib.beside_slot,
                }
                for rib in one.ribs
            ],
        }
        for one in foils
    ]
