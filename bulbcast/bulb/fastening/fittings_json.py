"""Cross pins, studs and the bond of two halves as plan.json tells them."""

from __future__ import annotations

from bulbcast.bulb.results import BulbResults
from bulbcast.report.values import Json, number, point


def fittings_object(job: BulbResults) -> Json:
    """What holds the bulb besides screws, with the lead and the fin round it; empty where nothing does.

    Args:
        job: The results.
    """
    bulb, room = job.bulb, job.fittings
    if room is None:
        return {}
    pins: list[Json] = []
    for wish, cut, measured in zip(job.wish.pins, bulb.pin_cuts, room.pins, strict=True):
        x, z = cut.centre(bulb.axis)
        pins.append(
            {
                "centre_from_nose_m": point(x, 0.0, z),
                "diameter_m": cut.diameter,
                "hole_diameter_m": cut.hole_diameter,
                "length_m": cut.length,
                "density_kg_m3": wish.density,
                "fin_beside_m": measured.in_fin,
                "grip_in_lead_each_side_m": measured.grip,
                "proud_m": measured.proud,
                "wall_m": None if measured.wall is None else number(measured.wall),
            }
        )
    studs: list[Json] = []
    for stud, placed, around in zip(job.wish.studs, bulb.stud_cuts, room.studs, strict=True):
        studs.append(
            {
                "at_floor_from_nose_m": placed.at_x,
                "diameter_m": placed.diameter,
                "bore_m": placed.bore,
                "below_floor_m": placed.below,
                "above_floor_m": placed.above,
                "density_kg_m3": stud.density,
                "wall_m": None if around.wall is None else number(around.wall.thickness),
                "lead_below_m": around.lead_below,
                "fin_beside_m": around.cheek,
                "lift_in_melt_n": job.stud_lifts[len(studs)],
            }
        )
    return {
        "fastenings": {
            "blade_through": bulb.through,
            "bond_volume_m3": bulb.bond.volume,
            "cross_pins": pins,
            "studs": studs,
        }
    }
