"""The boat with her bulb as plan.json and `bulbcast ballast` tell it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from bulbcast.report.values import Json, point

if TYPE_CHECKING:
    from bulbcast.ballast.work import BoatJob


def boat_object(boat: BoatJob, water_density: float) -> Json:
    """The boat with her bulb as JSON; null where the hull's figures do not tell.

    Args:
        boat: From the job.
        water_density: [kg/m3]
    """
    line, start, hung = boat.start.hull.line, boat.start, boat.hung
    return {
        "hull": {
            "how": line.how,
            "displaced_volume_m3": line.volume,
            "buoyancy_x_m": line.buoyancy_x,
            "buoyancy_z_m": line.buoyancy_z,
            "waterplane_area_m2": line.waterplane_area,
            "flotation_x_m": line.flotation_x,
            "waterline_length_m": line.length,
            "waterline_beam_m": line.beam,
            "draught_m": line.draught,
            "metacentric_radius_m": line.bm_across,
            "metacentric_radius_along_m": line.bm_along,
            "wetted_area_m2": line.wetted_area,
            "notes": list(start.hull.notes),
        },
        "fin": {
            "volume_m3": start.fin.volume,
            "volume_centre_x_m": start.fin.centre_x,
            "volume_centre_z_m": start.fin.centre_z,
        },
        **(
            {}
            if start.rudder is None
            else {
                "rudder": {
                    "volume_m3": start.rudder.volume,
                    "volume_centre_x_m": start.rudder.centre_x,
                    "volume_centre_z_m": start.rudder.centre_z,
                }
            }
        ),
        "displacement_kg": boat.displacement(water_density),
        "weights": [
            {
                "name": one.name,
                "state": one.state.value,
                "mass_kg": one.mass,
                "mass_spread_kg": one.mass_spread,
                "place_m": point(one.x, one.y, one.z),
                "place_spread_m": one.place_spread,
            }
            for one in start.weigh_in.weights
        ],
        "weigh_in_kg": start.weigh_in.mass,
        "weigh_in_spread_kg": start.weigh_in.mass_spread,
        "weigh_in_centre_m": None if start.weigh_in.centre is None else point(*start.weigh_in.centre),
        "weigh_next": [{"name": one.name, "weigh_in_spread_then_kg": one.sum_spread} for one in boat.next],
        "target": {
            "mass_kg": boat.target_mass,
            "mass_spread_kg": boat.mass_spread,
            "x_m": (hung if boat.target is None else boat.target).wanted_x,
            "x_spread_m": boat.place_spread,
            "lead_alone_kg": start.closed_form[0],
            "lead_alone_x_m": start.closed_form[1],
            "mass_imposed": boat.mass_imposed,
            "place_imposed": boat.place_imposed,
        },
        "heaviest_bulb_kg": None if boat.heaviest is None else boat.heaviest.bulb.mass,
        "bulb_displacement_x_m": hung.afloat.volume_x,
        "reach": {
            "fore_x_m": None if hung.band is None else hung.band.fore_x,
            "aft_x_m": None if hung.band is None else hung.band.aft_x,
            "wanted_x_m": hung.wanted_x,
            "placed_x_m": hung.afloat.x,
            "short_m": hung.short,
            "trim_if_left_m": None if boat.lies is None else boat.lies.trim,
        },
        "too_heavy_kg": boat.over[0],
        "sinkage_m": None if boat.lies is None else boat.lies.sinkage,
        "trim_by_stern_m": None if boat.lies is None else boat.lies.trim,
        "freeboard": _freeboard(boat),
        "buoyancy_x_m": None if boat.buoyancy is None else boat.buoyancy[0],
        "buoyancy_z_m": None if boat.buoyancy is None else boat.buoyancy[1],
        "total_mass_kg": boat.total_mass,
        "mass_centre_m": point(*boat.mass_centre),
        "ballast_ratio": boat.ratio,
        "metacentric_height_m": boat.gm,
        "mass_per_mm_kg": None if boat.flotation is None else 1e-3 * boat.flotation.mass_per_immersion,
        "moment_per_mm_trim_kg_m": None if boat.flotation is None else 1e-3 * boat.flotation.moment_per_trim,
    }


def _freeboard(boat: BoatJob) -> Json | None:
    """Freeboard on her line and as she lies; a figure without its place has no x."""
    told = boat.freeboard
    if told is None:
        return None
    return {
        "least_on_line_m": told.on_line.height,
        "least_on_line_x_m": told.on_line.x if told.placed else None,
        "least_left_m": None if told.left is None else told.left.height,
        "least_left_x_m": None if told.left is None or not told.placed else told.left.x,
        "bow_left_m": told.bow,
        "stern_left_m": told.stern,
    }
