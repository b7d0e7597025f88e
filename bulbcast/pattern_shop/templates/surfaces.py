"""Surfaces, stations and turning rows for templates and tables, from [templates] and the sized bulb."""

from __future__ import annotations

import math
from typing import Literal

from bulbcast.bulb.body.turned import TurnedBody
from bulbcast.pattern.allowances import Pattern
from bulbcast.pattern.stations import (
    FAIRING_STATIONS,
    MOST_STATIONS,
    MOST_TURNING_ROWS,
    Station,
    Surface,
    TurningRow,
    template_stations,
    turning_rows,
)
from bulbcast.pattern_shop.pieces.joints import Plane
from bulbcast.pattern_shop.results import ShopResults
from bulbcast.pattern_shop.work import planned_shop
from bulbcast.plan.faults import Fault, PlanError
from bulbcast.plan.sections import Plan
from bulbcast.quantities.frozen import frozen


@frozen
class Stations:
    """Surfaces and stations of the templates, and the rows that a lathe follows.

    Attributes:
        pattern: Surface of the pattern, before its coat.
        finished: Surface of the finished lead.
        carving: Stations of the pattern.
        fairing: Stations of the finished lead, which are fewer than those of the pattern.
        turning: Turning rows of the pattern.
        parting: Parting plane, at which the half templates end.
    """

    pattern: Surface
    finished: Surface
    carving: tuple[Station, ...]
    fairing: tuple[Station, ...]
    turning: tuple[TurningRow, ...]
    parting: Literal["horizontal", "vertical"]


def stations_of(job: ShopResults) -> Stations:
    """Surfaces of a job, with their stations.

    Args:
        job: The results.
    """
    section, body, pattern = job.plan.templates, job.bulb.body, job.pattern
    imperial = job.plan.display_units == "imperial"
    spacing, turning = (None, None) if section is None else (section.spacing, section.turning_spacing)
    surface = Surface(name="pattern", body=body, distance=pattern.offset, scale=pattern.scale)
    finished = Surface(name="finished bulb", body=body, distance=0.0, scale=1.0)
    return Stations(
        pattern=surface,
        finished=finished,
        carving=template_stations(surface, spacing=spacing, imperial=imperial),
        fairing=template_stations(finished, spacing=spacing, imperial=imperial, about=FAIRING_STATIONS),
        turning=turning_rows(surface, spacing=turning, imperial=imperial),
        parting=parting_of(planned_shop(job).plane, body),
    )


def require_spacing(plan: Plan, body: TurnedBody, pattern: Pattern) -> None:
    """Check that the plan's spacings do not give too many stations or turning rows.

    Args:
        plan: The plan as read.
        body: The finished lead body.
        pattern: The pattern for it.

    Raises:
        PlanError: There are too many stations or rows; the message gives a spacing that works.
    """
    section = plan.templates
    if section is None:
        return
    length = Surface(name="pattern", body=body, distance=pattern.offset, scale=pattern.scale).length
    faults = [
        Fault(
            file=plan.source,
            key=f"templates.{leaf}",
            read=f"a spacing that gives {math.ceil(length / spacing)} {what}",
            expected=f"at most {most} {what}",
            remedy=f'Set {leaf} = "{math.ceil(1e4 * length / most) / 10.0:g} mm" or more.',
        )
        for leaf, spacing, most, what in (
            ("spacing", section.spacing, MOST_STATIONS, "stations"),
            ("turning_spacing", section.turning_spacing, MOST_TURNING_ROWS, "rows in the turning table"),
        )
        if spacing is not None and length / spacing > most
    ]
    if faults:
        raise PlanError(faults)


def paper_of(plan: Plan) -> Literal["A4", "A3", "letter"]:
    """Paper that the plan asks for, or the default paper for its units.

    Args:
        plan: The plan as read.
    """
    if plan.templates is not None and plan.templates.paper is not None:
        return plan.templates.paper
    return "letter" if plan.display_units == "imperial" else "A4"


def parting_of(plane: Plane, body: TurnedBody) -> Literal["horizontal", "vertical"]:
    """Plane at which the half templates end, which is the pattern's parting plane.

    Args:
        plane: Parting plane from the pattern shop.
        body: The finished lead body. For a pattern in one piece, the templates end at its widest plane.
    """
    if plane != "none":
        return plane
    return "horizontal" if body.width_to_height >= 1.0 else "vertical"
