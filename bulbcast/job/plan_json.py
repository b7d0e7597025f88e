"""Job to the plan.json object: the one list of keys. SI, the unit at the end of each name."""

from __future__ import annotations

import math
from collections.abc import Sequence

from bulbcast import __version__
from bulbcast.bulb.body.integrals import second_moments
from bulbcast.bulb.body.pieces import Piece
from bulbcast.bulb.cuts.walls import Wall
from bulbcast.job import Job
from bulbcast.report.chapter import joined_data
from bulbcast.report.values import (
    SCHEMA_NAME,
    SCHEMA_NUMBER,
    FileRecord,
    Json,
    finding_object,
    inputs_object,
    number,
    point,
)


def plan_object(job: Job, files: Sequence[FileRecord] = ()) -> Json:
    """The whole result as one JSON object.

    Args:
        job: The results.
        files: What was written besides plan.json, in order.

    Returns:
        A tree of dicts, lists, texts, numbers and None: no nan, no infinity.
    """
    from bulbcast.job.chapters import chapters

    return {
        "name": job.plan.name,
        "water": {"kind": job.plan.water.kind, "density_kg_m3": job.plan.water.density},
        **joined_data(list(chapters(job))),
        "defaults": [
            {"key": taken.key, "value": taken.value, "source": taken.source} for taken in job.defaults_shown
        ],
        "findings": [
            finding_object(finding, withheld=job.figures_withheld(finding)) for finding in job.findings
        ],
        "files": [_file(record) for record in files],
        "meta": {
            "format": SCHEMA_NAME,
            "schema": SCHEMA_NUMBER,
            "version": __version__,
            "plan_sha256": job.plan.sha256,
            "inputs": inputs_object(job),
            **(
                {}
                if job.drying is None or job.drying.log is None
                else {"drying_log_sha256": job.drying.log.sha256}
            ),
        },
    }


def bulb_data(job: Job) -> Json:
    """The bulb, and what hangs line by line."""
    return {
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
    }


def melt_data(job: Job) -> Json:
    """The charge line by line, null where it is withheld, and the codes that withhold melt and pour."""
    withheld = job.melt_withheld
    amounts = {
        "charge_kg": job.melt.charge,
        "cast_kg": job.melt.cast_mass,
        "feeder_kg": job.melt.feeder,
        "reserve_kg": job.melt.reserve,
        "dross_kg": job.melt.dross,
        "heel_kg": job.melt.heel,
    }
    return {
        "melt": {
            **{name: None if withheld else mass for name, mass in amounts.items()},
            "withheld": [finding.code for finding in withheld],
        },
        "pour": {"withheld": [finding.code for finding in job.pour_withheld]},
    }


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
        "mass_centre_m": point(bulb.mass_centre[0], 0.0, bulb.mass_centre[1]),
        "mass_centre_from_nose_m": point(bulb.mass_centre_x, 0.0, bulb.mass_centre_z),
        "nose_x_m": bulb.nose_x,
        "axis_z_m": bulb.axis_z,
        "incidence_rad": bulb.incidence,
        "displacement_m3": bulb.displacement,
        "underside_z_m": bulb.underside_z,
    }


def balance_data(job: Job) -> Json:
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
    return {"thickness_m": wall.thickness, "at_m": point(wall.x, wall.y, wall.z)}


def walls_data(job: Job) -> Json:
    return {
        "wanted_m": job.wall_wanted,
        "pocket": _wall(job.room.pocket.wall),
        "screws": [
            {
                "hole": _wall(screw.hole_wall),
                "recess": _wall(screw.recess_wall),
                "seat_to_floor_m": number(screw.seat_to_floor),
                "thread_above_floor_m": number(screw.thread),
                "fin_beside_shank_m": screw.cheek,
            }
            for screw in job.room.screws
        ],
    }


def alloy_data(job: Job) -> Json:
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


def _file(record: FileRecord) -> Json:
    listed: Json = {"path": record.path, "kind": record.kind, "sha256": record.sha256}
    if record.volume is not None and record.mass_centre is not None:
        listed["volume_m3"] = record.volume
        listed["mass_centre_m"] = point(*record.mass_centre)
    return listed
