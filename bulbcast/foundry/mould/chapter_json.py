"""The mould, its drying and the way without melting as JSON. SI, the unit at the end of each name."""

from __future__ import annotations

from typing import TYPE_CHECKING

from bulbcast import __version__
from bulbcast.report.values import Json, finding_object, number

if TYPE_CHECKING:
    from bulbcast.foundry.drying.log import DryingState, PartState
    from bulbcast.foundry.mould.design import BlockSize, MouldDesign, MouldPart
    from bulbcast.foundry.results import FoundryResults


def mould_object(design: MouldDesign) -> Json:
    """The mould as planned.

    Args:
        design: The mould.
    """
    mix = design.mix
    return {
        "material": design.material,
        "drying": design.drying,
        "kind": design.kind,
        "orientation": design.orientation,
        "split": design.split,
        "parting": design.parting,
        "pours": design.pours,
        "piece_mass_kg": design.piece_mass,
        "cavity_volume_m3": design.cavity_volume,
        "block": _block(design.block),
        "pattern": _block(design.pattern),
        "margins": {
            "ends_m": design.margins.ends,
            "sides_m": design.margins.sides,
            "below_m": design.margins.below,
            "above_m": design.margins.above,
        },
        "core": design.core,
        "reinforcement_kg": design.reinforcement,
        "mix": None
        if mix is None
        else {
            "water_to_plaster": mix.water,
            "sand_to_plaster": mix.sand,
            "purity": mix.purity,
            "set_density_kg_m3": mix.set_density,
            "dry_in_air_density_kg_m3": mix.air_density,
            "baked_density_kg_m3": mix.baked_density,
            "dry_in_air_to_just_set": mix.air_share,
            "baked_to_just_set": mix.baked_share,
            "over_baked_to_just_set": mix.over_baked_share,
            "anhydrite_to_just_set": mix.anhydrite_share,
            "setting_rise_k": list(mix.setting_rise),
        },
        "parts": [_part(part) for part in design.parts],
        "keys": [
            {"along_m": key.along, "across_m": key.across, "radius_m": key.radius} for key in design.keys
        ],
    }


def _block(size: BlockSize) -> Json:
    return {"length_m": size.length, "width_m": size.width, "height_m": size.height}


def _part(part: MouldPart) -> Json:
    batch = part.batch
    return {
        "name": part.name,
        "block": _block(part.block),
        "volume_m3": part.volume,
        "just_set_kg": part.just_set,
        "dry_in_air_kg": part.dry_in_air,
        "baked_kg": part.baked,
        "over_baked_below_kg": part.over_baked,
        "anhydrite_kg": part.anhydrite,
        "batches": None
        if batch is None
        else {
            "count": batch.count,
            "plaster_kg": batch.plaster,
            "water_kg": batch.water,
            "sand_kg": batch.sand,
            "volume_m3": batch.volume,
        },
    }


def drying_object(state: DryingState) -> Json:
    """How the mould stands by its log.

    Args:
        state: From the job.
    """
    until = state.holds_until
    return {
        "drying": state.rules.drying,
        "judged_at": None if state.moment is None else state.moment.isoformat(),
        "dry": state.passed,
        "holds_until": None if until is None else until.isoformat(),
        "dry_to_just_set": state.rules.computed_share,
        "safe_dry_to_just_set": state.rules.safe_share,
        "parts": [_part_state(part) for part in state.parts],
    }


def _part_state(part: PartState) -> Json:
    trend, last = part.trend, part.latest
    return {
        "name": part.name,
        "just_set_kg": part.just_set,
        "dry_at_or_below_kg": part.target,
        "over_baked_below_kg": part.over_baked_below,
        "last_kg": None if last is None else last.value,
        "last_at": None if last is None else last.time.isoformat(),
        "last_to_just_set": part.share,
        "left_kg": part.left,
        "change": part.change,
        "passed": part.passed,
        "holds_until": None if part.holds_until is None else part.holds_until.isoformat(),
        "lacks": [lack.value for lack in part.lacks],
        "weighings": [
            {
                "at": one.time.isoformat(),
                "mass_kg": one.value,
                "air_c": one.air,
                "moving_air": one.moving_air,
            }
            for one in part.weighings
        ],
        "projected": None
        if trend is None or last is None
        else {
            "early": _after(part, trend.early),
            "likely": _after(part, trend.likely),
            "late": _after(part, trend.late),
            "never_share": trend.never,
            "rate_kg_s": number(trend.rate),
            "time_constant_s": number(trend.time_constant),
            "end_mass_kg": trend.end_mass,
            "readings": trend.used,
        },
    }


def dry_object(job: FoundryResults) -> Json:
    """What `bulbcast dry` says as one JSON object.

    Args:
        job: With a plaster mould.

    Raises:
        ValueError: The job has none.
    """
    if job.mould is None or job.drying is None:
        raise ValueError("the plan gives no plaster mould")
    log = job.drying.log
    return {
        "name": job.plan.name,
        "mould": mould_object(job.mould),
        "drying": drying_object(job.drying),
        "pour_on_hold": bool(job.pour_withheld),
        "holds": [
            finding_object(finding, withheld=job.figures_withheld(finding)) for finding in job.pour_withheld
        ],
        "meta": {
            "format": "bulbcast dry",
            "version": __version__,
            "plan_sha256": job.plan.sha256,
            "drying_log_sha256": None if log is None else log.sha256,
        },
    }


def _after(part: PartState, seconds: float | None) -> str | None:
    at = part.time_after(seconds)
    return None if at is None else at.isoformat(timespec="minutes")
