"""A float test as JSON: how she lay, what is too much, what to do. SI, the unit at the end of each name."""

from __future__ import annotations

from typing import TYPE_CHECKING

from bulbcast import __version__
from bulbcast.report.values import Json, finding_object, inputs_object

if TYPE_CHECKING:
    from collections.abc import Sequence

    from bulbcast.afloat.work import FloatResult
    from bulbcast.ballast.moving import WeightMove
    from bulbcast.findings import Finding
    from bulbcast.sailing.results import SailingResults

FORMAT = "bulbcast float"


def float_object(
    job: SailingResults, result: FloatResult, findings: Sequence[Finding], record: str | None
) -> Json:
    """What `bulbcast float` says as one JSON object.

    Args:
        job: Of the plan.
        result: The test.
        findings: On the test and on the boat.
        record: Name of the file that it was recorded in; None where it was not.
    """
    return {
        "name": job.plan.name,
        "test": {
            "marks": [
                {"name": one.name, "x_m": one.x, "y_m": one.y, "above_line_m": one.above}
                for one in result.marks
            ],
            "water_density_kg_m3": result.test_density,
            "reading_spread_m": result.reading_spread,
            "ashore": [{"name": one.name, "felt_mass_kg": one.mass, "x_m": one.x} for one in result.missing],
            "aboard_besides": [{"name": one.name, "mass_kg": one.mass, "x_m": one.x} for one in result.extra],
            "weighed_kg": result.asked.weighed,
            "taken": [{"key": one.key, "value": one.value, "source": one.source} for one in result.taken],
        },
        **figures_object(result),
        "what_to_do": _cure(result),
        "findings": [finding_object(one) for one in findings],
        "record": record,
        "meta": {
            "format": FORMAT,
            "version": __version__,
            "plan_sha256": job.plan.sha256,
            "inputs": inputs_object(job),
        },
    }


def figures_object(result: FloatResult) -> Json:
    """How she lay and what is too much: the figures that are recorded too."""
    found, lay = result.found, result.found.attitude
    return {
        "lay": {
            "sinkage_m": lay.sinkage,
            "trim_by_stern_m": lay.trim,
            "heel_to_starboard_rad": lay.heel,
            "misfit_m": lay.misfit,
            "water_displaced_kg": result.floated,
            "weigh_in_aboard_kg": result.weigh_in,
        },
        "too_much": {
            "mass_kg": found.mass,
            "mass_spread_kg": found.mass_spread,
            "moment_aft_kg_m": found.moment,
            "moment_spread_kg_m": found.moment_spread,
            "at_x_m": found.at_x,
            "moment_to_starboard_kg_m": found.across,
            "sinkage_m": found.sinkage,
            "trim_by_stern_m": found.trim,
            "displacement_found_less_planned_kg": result.hull_differs,
        },
    }


def _cure(result: FloatResult) -> Json:
    cure = result.cure
    drilling = None if cure is None else cure.drilling
    adding = None if cure is None else cure.adding
    return {
        "within_reading": result.within_reading,
        "drill": None
        if drilling is None or result.holes is None
        else {
            "lead_kg": drilling.lead,
            "filler_kg": drilling.filler,
            "drill_m": drilling.diameter,
            "holes": result.holes.count,
            "each_deep_m": result.holes.depth,
            "middle_x_m": result.holes.x,
            "moment_left_kg_m": drilling.moment_left,
        },
        "add": None
        if adding is None
        else {
            "inside_kg": adding.inside,
            "on_the_bulb_kg": adding.outside,
            "x_m": adding.x,
            "moment_left_kg_m": adding.moment_left,
        },
        "move": [] if cure is None else [_move(one) for one in cure.moves],
        "move_after_drilling_or_adding": [] if cure is None else [_move(one) for one in cure.moves_after],
        "trim_lead_against_bulb": [{"mass_kg": one.mass, "x_m": one.x} for one in result.trim_lead],
        "bulb_to_cast": None
        if result.to_cast is None
        else {"hung_mass_kg": result.to_cast.mass, "x_m": result.to_cast.x},
    }


def _move(one: WeightMove) -> Json:
    return {
        "name": one.name,
        "from_x_m": one.start,
        "to_x_m": one.end,
        "enough": one.enough,
        "moment_left_kg_m": one.left,
    }


def record_object(job: SailingResults, result: FloatResult) -> Json:
    """A float test as it is recorded: when, what was typed, and the figures that came of it.

    Args:
        job: Of the plan.
        result: The test.
    """
    typed: dict[str, object] = {}
    for name, text in result.asked.typed:
        key = name.replace("-", "_")
        if key in ("ashore", "aboard"):
            listed = typed.setdefault(key, [])
            assert isinstance(listed, list)
            listed.append(text)
        else:
            typed[key] = text
    return {
        "when": result.asked.when,
        "plan_sha256": job.plan.sha256,
        "version": __version__,
        "water_density_kg_m3": result.test_density,
        "typed": typed,
        **figures_object(result),
    }
