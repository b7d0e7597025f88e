"""Job to the plan.json object: the one list of keys. SI, the unit at the end of each name."""

from __future__ import annotations

import math
from collections.abc import Sequence

from bulbcast import __version__
from bulbcast.job import Job
from bulbcast.result.boat import boat_part
from bulbcast.result.fittings import fittings_object
from bulbcast.result.ribs import ribs_object
from bulbcast.result.templates import templates_object
from bulbcast.result.values import (
    SCHEMA_NAME,
    SCHEMA_NUMBER,
    FileRecord,
    Json,
    finding_object,
    inputs_object,
    number,
    point,
)
from bulbcast.shape.integrals import second_moments
from bulbcast.shape.pieces import Piece
from bulbcast.shape.walls import Wall


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
        **fittings_object(job),
        "alloy": _alloy(job),
        "water": {"kind": job.plan.water.kind, "density_kg_m3": job.plan.water.density},
        "cast": {
            "volume_m3": job.cast.volume,
            "mass_kg": job.cast.mass,
            "mass_centre_from_nose_m": point(job.cast.mass_centre_x, 0.0, job.cast.mass_centre_z),
            "finish_m": job.cast.finish,
            "finish_mass_kg": job.cast.finish_mass,
            "cut_later_mass_kg": job.cast.cut_later_mass,
            "length_m": job.cast.length,
            "width_m": job.cast.width,
            "height_m": job.cast.height,
        },
        "pattern": _pattern(job),
        "melt": _melt(job),
        "pour": {"withheld": [finding.code for finding in job.pour_withheld]},
        "defaults": [
            {"key": taken.key, "value": taken.value, "source": taken.source} for taken in job.defaults_shown
        ],
        **({} if job.boat is None else {"boat": boat_part(job)}),
        **_judged(job),
        **_shop(job),
        "templates": templates_object(job),
        **({} if job.ribs is None else {"ribs": ribs_object(job.ribs)}),
        **_mould(job),
        **_cooling(job),
        **_resin(job),
        **_melting(job),
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


def _melt(job: Job) -> Json:
    """The charge line by line, null where it is withheld, and the codes that withhold it."""
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
        **{name: None if withheld else mass for name, mass in amounts.items()},
        "withheld": [finding.code for finding in withheld],
    }


def _mould(job: Job) -> Json:
    """The mould's parts of the object; none where the plan gives none."""
    if job.mould is None:
        return {}
    from bulbcast.result.mould import drying_object, mould_object

    told: Json = {"mould": mould_object(job.mould)}
    if job.drying is not None:
        told["drying"] = drying_object(job.drying)
    return told


def _cooling(job: Job) -> Json:
    """The cooling's part of the object; none where it was not asked for."""
    if job.cooling is None:
        return {}
    from bulbcast.result.cooling import cooling_object

    return {"cooling": cooling_object(job.cooling.cooling)}


def _resin(job: Job) -> Json:
    """The way without melting; nothing where the plan does not ask."""
    if job.resin is None:
        return {}
    from bulbcast.result.resin import resin_object

    return {"resin": resin_object(job.resin)}


def _melting(job: Job) -> Json:
    if job.melting is None:
        return {}
    from bulbcast.result.melt import melting_object

    return {"melting": melting_object(job.melting, melt=not job.melt_withheld, pour=not job.pour_withheld)}


def _judged(job: Job) -> Json:
    """[strength] and [limits], where the plan has them."""
    if job.strength is None and not job.limits:
        return {}
    from bulbcast.result.strength import limits_object, strength_object

    told: Json = {} if job.strength is None else {"strength": strength_object(job.strength)}
    return told | ({"limits": limits_object(job.limits)} if job.limits else {})


def _shop(job: Job) -> Json:
    if job.shop is None:
        return {}
    from bulbcast.result.pattern_shop import pattern_shop_parts

    return pattern_shop_parts(job.shop)


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
    return {"thickness_m": wall.thickness, "at_m": point(wall.x, wall.y, wall.z)}


def _walls(job: Job) -> Json:
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
        listed["mass_centre_m"] = point(*record.mass_centre)
    return listed
