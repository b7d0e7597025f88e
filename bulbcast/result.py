"""Job to the plan.json object: the one list of keys. SI, the unit at the end of each name."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from bulbcast import __version__
from bulbcast.findings import Finding
from bulbcast.job import Job
from bulbcast.shape.integrals import second_moments
from bulbcast.shape.pieces import Piece
from bulbcast.shape.walls import Wall

if TYPE_CHECKING:
    from bulbcast.planning.boat import BoatJob

# What makes a plan.json ours: bundles are told from other directories by it.
SCHEMA_NAME = "bulbcast plan"
SCHEMA_NUMBER = 1

Json = dict[str, object]


@dataclass(frozen=True, slots=True, kw_only=True)
class FileRecord:
    """One file of a bundle as plan.json lists it.

    Attributes:
        path: Inside the bundle.
        kind: "report", "bulb solid", "pattern solid", "offsets".
        sha256: Of its bytes.
        volume: Of a solid, as read back; None for other files. [m3]
        mass_centre: Of a solid, as read back, bulb axes; None for other files. [m]
    """

    path: str
    kind: str
    sha256: str
    volume: float | None = None
    mass_centre: tuple[float, float, float] | None = None


def plan_object(job: Job, files: Sequence[FileRecord] = ()) -> Json:
    """The whole result as one JSON object.

    Args:
        job: The results.
        files: What was written besides plan.json, in order.

    Returns:
        A tree of dicts, lists, texts, numbers and None: no nan, no infinity.
    """
    return {
        "name": job.plan.name,
        "bulb": _bulb(job),
        "ledger": [
            {
                "name": line.name,
                "kind": line.kind,
                "volume_m3": line.piece.volume,
                "density_kg_m3": line.density,
                "mass_kg": line.mass,
                "moment_x_kg_m": line.density * line.piece.moment_x,
                "moment_z_kg_m": line.density * line.piece.moment_z,
            }
            for line in job.bulb.lines
        ],
        "balance": _balance(job),
        "walls": _walls(job),
        "alloy": _alloy(job),
        "water": {"kind": job.plan.water.kind, "density_kg_m3": job.plan.water.density},
        "cast": {
            "volume_m3": job.cast.volume,
            "mass_kg": job.cast.mass,
            "mass_centre_from_nose_m": _point(job.cast.mass_centre_x, 0.0, job.cast.mass_centre_z),
            "finish_m": job.cast.finish,
            "finish_mass_kg": job.cast.finish_mass,
            "cut_later_mass_kg": job.cast.cut_later_mass,
            "length_m": job.cast.length,
            "width_m": job.cast.width,
            "height_m": job.cast.height,
        },
        "pattern": _pattern(job),
        "melt": {
            "charge_kg": job.melt.charge,
            "cast_kg": job.melt.cast_mass,
            "feeder_kg": job.melt.feeder,
            "reserve_kg": job.melt.reserve,
            "dross_kg": job.melt.dross,
        },
        "defaults": [
            {"key": taken.key, "value": taken.value, "source": taken.source} for taken in job.defaults
        ],
        **({} if job.boat is None else {"boat": boat_object(job.boat, job.plan.water.density)}),
        "findings": [finding_object(finding) for finding in job.findings],
        "files": [_file(record) for record in files],
        "meta": {
            "format": SCHEMA_NAME,
            "schema": SCHEMA_NUMBER,
            "version": __version__,
            "plan_sha256": job.plan.sha256,
            "inputs": [{"key": one.key, "path": one.path, "sha256": one.sha256} for one in job.inputs],
        },
    }


def finding_object(finding: Finding) -> Json:
    """One finding as JSON; figures that are not numbers are null."""
    return {
        "severity": finding.severity.value,
        "code": finding.code,
        "where": finding.where,
        "found": _number(finding.found),
        "limit": _number(finding.limit),
        "unit": finding.unit,
        "message": finding.message,
        "remedy": finding.remedy,
    }


def _number(value: float | None) -> float | None:
    return value if value is not None and math.isfinite(value) else None


def _point(x: float, y: float, z: float) -> Json:
    # Adding nought turns a minus nought into a plain one.
    return {"x": x + 0.0, "y": y + 0.0, "z": z + 0.0}


def _bulb(job: Job) -> Json:
    bulb, body = job.bulb, job.bulb.body
    volume = bulb.volume.volume
    moments = second_moments(body)
    net: Piece = bulb.net_lead
    return {
        "length_m": body.length,
        "diameter_m": body.diameter,
        "fineness": body.fineness,
        "width_m": body.width,
        "height_m": body.height,
        "tail_diameter_m": 2.0 * body.tail_radius,
        "max_section_from_nose_m": body.max_at,
        "body_volume_m3": volume,
        "body_centroid_from_nose_m": bulb.volume.centroid_x,
        "body_second_moments_m5": {
            "about_x": moments.about_x,
            "about_y": moments.about_y,
            "about_z": moments.about_z,
        },
        "wetted_area_m2": bulb.surface.area,
        "prismatic": volume / (0.25 * math.pi * body.diameter**2 * body.length),
        "net_lead_volume_m3": net.volume,
        "lead_mass_kg": job.wish.cast_density * net.volume,
        "hung_mass_kg": bulb.mass,
        "target_mass_kg": job.wish.target_mass,
        "mass_centre_m": _point(bulb.nose_x + bulb.mass_centre_x, 0.0, bulb.axis_z + bulb.mass_centre_z),
        "mass_centre_from_nose_m": _point(bulb.mass_centre_x, 0.0, bulb.mass_centre_z),
        "nose_x_m": bulb.nose_x,
        "axis_z_m": bulb.axis_z,
        "displacement_m3": bulb.displacement,
        "underside_z_m": bulb.underside_z,
    }


def _balance(job: Job) -> Json:
    balance = job.balance
    return {
        "along_chord": balance.along_chord,
        "from_elastic_axis_m": balance.from_elastic_axis,
        "twist_at_90_deg_heel_n_m": balance.twist_at_90,
        "overhang_fore_m": balance.overhang_fore,
        "overhang_aft_m": balance.overhang_aft,
        "from_screws_middle_m": balance.from_screws_middle,
    }


def _wall(wall: Wall | None) -> Json | None:
    if wall is None:
        return None
    return {"thickness_m": wall.thickness, "at_m": _point(wall.x, wall.y, wall.z)}


def _walls(job: Job) -> Json:
    return {
        "wanted_m": job.wall_wanted,
        "pocket": _wall(job.room.pocket.wall),
        "screws": [
            {
                "hole": _wall(screw.hole_wall),
                "recess": _wall(screw.recess_wall),
                "seat_to_floor_m": _number(screw.seat_to_floor),
                "thread_above_floor_m": _number(screw.thread),
                "fin_beside_shank_m": screw.cheek,
            }
            for screw in job.room.screws
        ],
    }


def _alloy(job: Job) -> Json:
    alloy = job.alloy
    return {
        "name": alloy.name,
        "density_kg_m3": alloy.density,
        "density_spread_kg_m3": alloy.density_spread,
        "porosity": job.plan.alloy.porosity,
        "cast_density_kg_m3": job.wish.cast_density,
        "contraction": alloy.contraction,
        "contraction_spread": alloy.contraction_spread,
        "solidus_c": alloy.solidus,
        "liquidus_c": alloy.liquidus,
    }


def _pattern(job: Job) -> Json:
    pattern = job.pattern
    return {
        "scale": pattern.scale,
        "length_m": pattern.length,
        "width_m": pattern.width,
        "height_m": pattern.height,
        "volume_m3": pattern.volume,
        "contraction": pattern.contraction,
        "mould_expansion": pattern.mould_expansion,
        "coat_m": pattern.coat,
        "own_mass_kg": None
        if job.plan.pattern.density is None
        else job.plan.pattern.density * pattern.volume,
        "steps": [
            {
                "name": step.name,
                "amount_m" if step.is_length else "amount": step.amount,
                "length_m": step.length,
                "width_m": step.width,
                "height_m": step.height,
                "volume_m3": step.volume,
                "lead_mass_kg": step.lead_mass,
            }
            for step in pattern.steps
        ],
        "shop_rules": [
            {
                "name": cost.rule.name,
                "contraction": cost.rule.contraction,
                "scale": cost.scale,
                "mass_change": cost.mass_change,
                "mass_change_kg": cost.mass_change * job.cast.mass,
            }
            for cost in job.rules
        ],
    }


def _file(record: FileRecord) -> Json:
    listed: Json = {"path": record.path, "kind": record.kind, "sha256": record.sha256}
    if record.volume is not None and record.mass_centre is not None:
        listed["volume_m3"] = record.volume
        listed["mass_centre_m"] = _point(*record.mass_centre)
    return listed


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
        "displacement_kg": boat.displacement(water_density),
        "weights": [
            {
                "name": one.name,
                "state": one.state.value,
                "mass_kg": one.mass,
                "mass_spread_kg": one.mass_spread,
                "place_m": _point(one.x, one.y, one.z),
                "place_spread_m": one.place_spread,
            }
            for one in start.weigh_in.weights
        ],
        "weigh_in_kg": start.weigh_in.mass,
        "weigh_in_spread_kg": start.weigh_in.mass_spread,
        "weigh_in_centre_m": None if start.weigh_in.centre is None else _point(*start.weigh_in.centre),
        "weigh_next": [{"name": one.name, "weigh_in_spread_then_kg": one.sum_spread} for one in boat.next],
        "target": {
            "mass_kg": boat.target_mass,
            "mass_spread_kg": boat.mass_spread,
            "x_m": (hung if boat.target is None else boat.target).wanted_x,
            "x_spread_m": boat.place_spread,
            "lead_alone_kg": start.closed_form.lead_mass,
            "lead_alone_x_m": start.closed_form.lead_x,
            "mass_imposed": boat.mass_imposed,
            "place_imposed": boat.place_imposed,
        },
        "heaviest_bulb_kg": None if boat.heaviest is None else boat.heaviest.bulb.mass,
        "bulb_displacement_x_m": hung.afloat.volume_x,
        "reach": {
            "fore_x_m": None if boat.band is None else boat.band.fore_x,
            "aft_x_m": None if boat.band is None else boat.band.aft_x,
            "wanted_x_m": hung.wanted_x,
            "placed_x_m": hung.afloat.x,
            "short_m": hung.short,
            "trim_if_left_m": None if boat.lies is None else boat.lies.trim,
        },
        "too_heavy_kg": boat.over[0],
        "sinkage_m": None if boat.lies is None else boat.lies.sinkage,
        "trim_by_stern_m": None if boat.lies is None else boat.lies.trim,
        "total_mass_kg": boat.total_mass,
        "mass_centre_m": _point(*boat.mass_centre),
        "ballast_ratio": boat.ratio,
        "metacentric_height_m": boat.gm,
        "mass_per_mm_kg": None if boat.flotation is None else 1e-3 * boat.flotation.mass_per_immersion,
        "moment_per_mm_trim_kg_m": None if boat.flotation is None else 1e-3 * boat.flotation.moment_per_trim,
    }


def ballast_object(job: Job) -> Json:
    """What `bulbcast ballast` says as one JSON object.

    Args:
        job: With a boat.

    Raises:
        ValueError: The job has no boat.
    """
    if job.boat is None:
        raise ValueError("the plan gives no boat")
    from bulbcast.planning.boat_findings import of_the_boat

    return {
        "name": job.plan.name,
        "boat": boat_object(job.boat, job.plan.water.density),
        "findings": [finding_object(finding) for finding in job.findings if of_the_boat(finding)],
        "meta": {"format": "bulbcast ballast", "version": __version__, "plan_sha256": job.plan.sha256},
    }
