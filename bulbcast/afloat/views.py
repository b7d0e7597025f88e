"""Drawings of a float test: the boat with her marks and the water relative to her design line, and the bulb with the
holes to drill."""

from __future__ import annotations

import math

import numpy as np

from bulbcast.afloat.chapter import verdict_words
from bulbcast.afloat.cure import Holes
from bulbcast.afloat.work import FloatResult
from bulbcast.ballast.profile_view import bulb_contour, foil_contours, hull_contour
from bulbcast.bulb.views.outlines import MM, body_outline, pocket_side
from bulbcast.drawing.layout import PAPER_WIDTH, Label, Layout, nice_scale
from bulbcast.drawing.magnified import magnification, magnified_words
from bulbcast.drawing.shapes import Box, Circle, Hatch, Point, Style, View, rectangle
from bulbcast.quantities import Shown
from bulbcast.sailing.results import SailingResults

_OFF, _HIGHEST = 9.0, 110.0
"""Maximum distance between the water and the design line, and maximum height of the boat, both on paper. [mm]"""

_NOTHING = 5e-5
"""Distance below which a move is ignored. [m]"""


def marks_view(job: SailingResults, result: FloatResult) -> View:
    """Draw the boat from port with her marks, her design line and the water as it was during the test.

    Args:
        job: Results of the plan, with a boat.
        result: Results of the test.

    Returns:
        The drawing in boat axes, x aft, in mm. Heights of the water above the line are magnified by the factor given in
        the view.

    Raises:
        ValueError: The job has no boat.
    """
    boat, shown = job.boat, job.shown
    if boat is None:
        raise ValueError("the plan gives no boat")
    flotation = result.flotation
    hung = [] if result.nose_x is None else [(Style.FIN, one) for one in foil_contours(job)]
    if result.nose_x is not None and not result.without_bulb:
        hung.append((Style.LEAD, bulb_contour(job)))
    hull = hull_contour(boat)
    ends = [(MM * flotation.fore_x, 0.0), (MM * flotation.aft_x, 0.0)]
    ends += [(MM * one.x, 0.0) for one in result.marks]
    box = _round([*ends, *hull, *(point for _, contour in hung for point in contour)])
    layout = Layout(nice_scale(min((PAPER_WIDTH - 14.0) / box.width, _HIGHEST / max(box.height, 1.0))))
    layout.extend(box)
    for style, contour in hung:
        layout.fill(style, contour)
    layout.fill(Style.HULL, hull)
    left, right = box.left - layout.paper(3.0), box.right + layout.paper(3.0)
    layout.line(Style.WATER, (left, 0.0), (right, 0.0))
    times = line_magnification(result, layout.scale)
    water = [(x, MM * times * water_over_line(result, x / MM)) for x in (left, right)]
    layout.line(Style.FLOATS, *water)
    layout.extend(_round(water))
    labels = []
    for mark in result.marks:
        at = (MM * mark.x, MM * times * mark.above)
        layout.line(Style.LEADER, (at[0], 0.0), at)
        layout.add(Circle(centre=at, radius=layout.paper(0.9), style=Style.MARK))
        labels.append(Label(point=at, lines=(mark.name, *_above_lines(mark.above, shown))))
    # Work inside the hull is labelled from above, so that no leader runs through the fin and the bulb.
    inside = _acts_inside(job, result)
    size = layout.paper(0.9)
    for act in inside:
        x, y = act.point
        layout.line(Style.OUTLINE, (x - size, y - size), (x + size, y + size))
        layout.line(Style.OUTLINE, (x - size, y + size), (x + size, y - size))
    layout.running(
        [*labels, *inside], level=layout.highest + layout.paper(2.0), upwards=1, low=left, high=right
    )
    layout.running(
        _drilled(job, result), level=layout.lowest - layout.paper(2.0), upwards=-1, low=left, high=right
    )
    level = layout.lowest - layout.paper(5.0)
    for number, (style, words) in enumerate(
        (
            (Style.WATER, "design waterline"),
            (Style.FLOATS, f"water during the test, {magnified_words(times)}"),
        )
    ):
        y = level - 1.6 * number * layout.letter
        layout.line(style, (left, y), (left + layout.paper(7.0), y))
        layout.words((left + layout.paper(9.0), y), words, anchor="start")
    return layout.view("float-marks", verdict_words(result, shown))


def water_over_line(result: FloatResult, x: float) -> float:
    """Height of the water above the design line at a point on the centreline, from the test.

    Args:
        result: Results of the test.
        x: Position along the boat, boat axes. [m]

    Returns:
        The height; negative if below the line. [m]
    """
    lay, flotation = result.found.attitude, result.flotation
    return lay.sinkage + lay.trim * (x - flotation.flotation_x) / flotation.length


def line_magnification(result: FloatResult, scale: float) -> float:
    """Factor by which the height of the water above the line is magnified.

    Args:
        result: Results of the test.
        scale: Ratio of the length on paper to the real length. [-]
    """
    most = max(
        *(abs(one.above) for one in result.marks),
        *(abs(water_over_line(result, x)) for x in (result.flotation.fore_x, result.flotation.aft_x)),
    )
    return magnification(most, _OFF / scale / MM)


def _above_lines(above: float, shown: Shown) -> tuple[str, ...]:
    if above == 0.0:
        return ("on the line",)
    return (f"{shown.length(abs(above))} {'above' if above > 0.0 else 'below'}",)


def _off_her_line(result: FloatResult) -> bool:
    """Whether the marks show that the boat's mass is wrong for her line."""
    return abs(result.found.mass) > result.found.mass_spread


def _drilled(job: SailingResults, result: FloatResult) -> list[Label]:
    """Label under the bulb for the lead to drill out. There is no label if no lead is to be drilled out, or if
    it cannot be."""
    cure, shown = result.cure, job.shown
    if cure is None or cure.drilling is None or result.within_reading or not _off_her_line(result):
        return []
    if not result.drillable or result.holes is None:
        return []
    lines = (f"drill out {shown.mass(cure.drilling.lead)}", _counted(result.holes, shown))
    return [Label(point=(MM * result.holes.x, MM * job.bulb.underside_z), lines=lines)]


def _acts_inside(job: SailingResults, result: FloatResult) -> list[Label]:
    """Labels for the lead to lay and the weights to move inside the hull, each at its position along the
    design line."""
    shown, cure = job.shown, result.cure
    if cure is None or result.within_reading:
        return []
    heavy = _off_her_line(result)
    if heavy and cure.drilling is not None and not result.drillable:
        return []
    found: list[Label] = []
    if heavy and cure.adding is not None and cure.adding.x is not None:
        found.append(
            Label(point=(MM * cure.adding.x, 0.0), lines=(f"lay {shown.mass(cure.adding.inside)}", "inside"))
        )
    done = bool(found) or bool(_drilled(job, result))
    moves = cure.moves_after if done else cure.moves
    helping = [one for one in moves if one.enough and abs(one.distance) >= _NOTHING]
    for number, one in enumerate(helping):
        how = "or move" if number else "then move" if done else "move"
        way = "aft" if one.distance > 0.0 else "forward"
        lines = (f"{how} {one.name}", f"{shown.length(abs(one.distance))} {way}")
        found.append(Label(point=(MM * one.start, 0.0), lines=lines))
    return found


def _counted(holes: Holes, shown: Shown) -> str:
    each = "1 hole" if holes.count == 1 else f"{holes.count} holes"
    return f"{each} of {shown.length(holes.diameter)}"


def _round(points: list[Point]) -> Box:
    xs, ys = [x for x, _ in points], [y for _, y in points]
    return Box(left=min(xs), bottom=min(ys), right=max(xs), top=max(ys))


def drill_view(job: SailingResults, result: FloatResult) -> View | None:
    """Draw the bulb from port, with the holes to drill from below; None if nothing is drilled.

    Args:
        job: Results of the plan.
        result: Results of the test.

    Returns:
        The drawing, with x aft of the nose and y up from the axis, in mm.
    """
    bulb, shown, holes, cure = job.bulb, job.shown, result.holes, result.cure
    if holes is None or cure is None or cure.drilling is None or result.nose_x is None:
        return None
    if result.within_reading or not result.drillable or abs(result.found.mass) <= result.found.mass_spread:
        return None
    body = bulb.body
    layout = Layout(nice_scale((PAPER_WIDTH - 30.0) / (MM * body.length)))
    up = 1.0 / math.sqrt(body.width_to_height)
    outline = body_outline(body, up)
    layout.fill(Style.LEAD, outline, hatch=Hatch(spacing=layout.paper(1.7), angle=45.0))
    layout.extend(_round(list(outline)))
    for piece in pocket_side(body, bulb.axis, bulb.pocket):
        layout.fill(Style.BEDDING, piece)
    half = 0.5 * MM * holes.diameter
    places = hole_places(job, result.nose_x, holes)
    for x in places:
        foot = -MM * float(body.radius(np.array([x / MM]))[0]) * up
        layout.fill(Style.PLUG, rectangle(x - half, foot, x + half, foot + MM * holes.depth))
        layout.line(
            Style.AXIS, (x, foot - layout.paper(2.0)), (x, foot + MM * holes.depth + layout.paper(2.0))
        )
    labels = [
        Label(point=(MM * one.at_x, 0.5 * MM * body.height), lines=(f"screw {number}", "keep clear"))
        for number, one in enumerate(bulb.screw_cuts, start=1)
        if 0.0 <= one.at_x <= body.length
    ]
    low, high = 0.0, MM * body.length
    layout.running(labels, level=layout.highest + layout.paper(2.0), upwards=1, low=low, high=high)
    below = -0.5 * MM * body.height
    first = (places[0], below)
    layout.horizontal(
        (0.0, 0.0), first, shown.length(places[0] / MM), start=below - layout.paper(5.0), outwards=-1, side=-1
    )
    if holes.count > 1:
        words = f"{shown.length(holes.pitch)} from centre to centre"
        layout.horizontal(first, (places[1], below), words, start=below - layout.paper(5.0), outwards=-1)
    words = f"{_counted(holes, shown)}, each {shown.length(holes.depth)} deep"
    return layout.view(
        "float-drill", f"Drill out {shown.mass(cure.drilling.lead)} of lead from below: {words}"
    )


def hole_places(job: SailingResults, nose_x: float, holes: Holes) -> list[float]:
    """Positions of the hole centres along the bulb axis, measured aft of its nose.

    Args:
        job: Results of the plan.
        nose_x: Position of the bulb's nose, boat axes. [m]
        holes: The holes to drill.

    Returns:
        The positions, starting with the foremost. [mm]
    """
    level = math.cos(job.bulb.incidence)
    return [MM * (holes.first_x + number * holes.pitch - nose_x) / level for number in range(holes.count)]
