"""Side view, from port, of the complete boat on her design waterline, with hull, fin, bulb, centres and bulb reach."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import TYPE_CHECKING

from bulbcast.bulb.views.outlines import MM, body_outline
from bulbcast.drawing.layout import PAPER_WIDTH, Layout, nice_scale
from bulbcast.drawing.shapes import (
    Box,
    Circle,
    Contour,
    Line,
    Point,
    Polyline,
    Region,
    Style,
    Text,
    View,
    text_width,
)

if TYPE_CHECKING:
    from bulbcast.ballast.results import BallastResults
    from bulbcast.ballast.work import BoatJob
    from bulbcast.quantities import Shown

# Paper left and right of the boat, with the draught on the right.
_LEFT, _RIGHT = 5.0, 30.0
_HIGHEST = 150.0
# Smallest distance on paper between floating and design waterline at which both are drawn.
_APART = 0.25
_RADIUS = 1.5
_SAID = 5e-5
"""Smallest sinkage or trim to report. [m]"""


def boat_profile(job: BallastResults) -> View:
    """Draw the side view of a plan's boat.

    Args:
        job: Results of a plan with a boat.

    Returns:
        The view in boat axes, x aft to the right, z up, in mm.

    Raises:
        ValueError: The plan has no boat.
    """
    boat = job.boat
    if boat is None:
        raise ValueError("the plan has no boat")
    box = _extent(job, boat)
    layout = Layout(nice_scale(min((PAPER_WIDTH - 4.0 - _LEFT - _RIGHT) / box.width, _HIGHEST / box.height)))
    layout.extend(
        Box(
            left=box.left - layout.paper(_LEFT),
            bottom=box.bottom,
            right=box.right + layout.paper(_LEFT),
            top=box.top,
        )
    )
    layout.add(*(Region(contours=(one,), style=Style.FIN) for one in foil_contours(job)))
    layout.add(Region(contours=(bulb_contour(job),), style=Style.LEAD))
    _hull(job, boat, layout)
    _waterlines(boat, layout, box)
    marks = centres(job, boat)
    _marks(layout, marks)
    _dimensions(job, boat, layout, box)
    low = _reach(job, boat, layout)
    layout.scale_bar(box.left, min(low, layout.lowest) - layout.paper(3.5), job.shown)
    _legend(job, boat, layout, marks, box)
    return layout.view("boat", boat_words(boat, job.shown))


def boat_words(boat: BoatJob, shown: Shown) -> str:
    """Describe in one line how the boat floats with her bulb.

    Args:
        boat: Boat with her bulb.
        shown: The builder's units.
    """
    lies = boat.lies
    if lies is None:
        return "The boat from port, on her design waterline"
    said = []
    if abs(lies.sinkage) >= _SAID:
        said.append(
            f"{shown.length(abs(lies.sinkage))} {'deeper than' if lies.sinkage > 0.0 else 'above'} her line"
        )
    if abs(lies.trim) >= _SAID:
        said.append(f"{shown.length(abs(lies.trim))} down by the {'stern' if lies.trim > 0.0 else 'bow'}")
    if not said:
        return "With this bulb she floats level on her design waterline"
    return f"With this bulb she floats {' and '.join(said)}"


def foil_contours(job: BallastResults) -> tuple[Contour, ...]:
    """Side view of the fin and rudder under the hull. [mm]"""
    fin, rudder = job.plan.fin, job.plan.rudder
    found = []
    if fin.root_leading_edge_x is not None and fin.root_chord is not None and fin.root_z is not None:
        found.append(
            foil_contour(
                root=(fin.root_leading_edge_x, fin.root_chord, fin.root_z),
                tip=(fin.tip_leading_edge_x, fin.tip_chord, fin.tip_z),
                incidence=job.bulb.incidence,
            )
        )
    if rudder is not None:
        found.append(
            foil_contour(
                root=(rudder.root_leading_edge_x, rudder.root_chord, rudder.root_z),
                tip=(rudder.tip_leading_edge_x, rudder.tip_chord, rudder.tip_z),
            )
        )
    return tuple(found)


def foil_contour(
    *, root: tuple[float, float, float], tip: tuple[float, float, float], incidence: float = 0.0
) -> Contour:
    """Return the outline of a tapered foil in side view.

    Args:
        root: x of the leading edge, chord, and z of the root. [m]
        tip: The same for the tip. [m]
        incidence: Angle of the tip's cut, which is parallel to the bulb's axis, nose up positive. [rad]

    Returns:
        The four corners. [mm]
    """
    corners = (
        (root[0], root[2]),
        (root[0] + root[1], root[2]),
        (tip[0] + tip[1] * math.cos(incidence), tip[2] - tip[1] * math.sin(incidence)),
        (tip[0], tip[2]),
    )
    return tuple((MM * x, MM * z) for x, z in corners)


def bulb_contour(job: BallastResults) -> Contour:
    """Side view of the finished bulb in its position under the boat. [mm]"""
    bulb = job.bulb
    up = 1.0 / math.sqrt(bulb.body.width_to_height)
    sine, cosine = math.sin(bulb.incidence), math.cos(bulb.incidence)
    return tuple(
        (x * cosine + z * sine + MM * bulb.nose_x, z * cosine - x * sine + MM * bulb.axis_z)
        for x, z in body_outline(bulb.body, up)
    )


def hull_contour(boat: BoatJob) -> Contour:
    """Profile of the hull; empty if the hull is given as numbers only. [mm]"""
    outline = boat.start.hull.outline
    if outline is None:
        return ()
    below = [(MM * x, MM * z) for x, z in zip(outline.x, outline.keel, strict=True)]
    above = [(MM * x, MM * z) for x, z in zip(outline.x, outline.top, strict=True)]
    return (*below, *reversed(above))


def centres(job: BallastResults, boat: BoatJob) -> tuple[tuple[str, str, Point], ...]:
    """Known centres, each with its letter, description and position in mm."""
    line, bulb = boat.start.hull.line, job.bulb
    found: list[tuple[str, str, Point]] = []
    if boat.buoyancy is not None:
        found.append(("B", "centre of buoyancy of boat and bulb", _mm(*boat.buoyancy)))
    if line.flotation_x is not None:
        found.append(("F", "centre of flotation", _mm(line.flotation_x, 0.0)))
    x, _, z = boat.mass_centre
    if x is not None and z is not None:
        found.append(("G", "mass centre of boat and bulb", _mm(x, z)))
    found.append(("L", "mass centre of the bulb", _mm(boat.hung.afloat.x, bulb.mass_centre[1])))
    return tuple(found)


def _mm(x: float, z: float) -> Point:
    return MM * x, MM * z


def _extent(job: BallastResults, boat: BoatJob) -> Box:
    """Outlines drawn in the view: hull or waterline, fin and bulb. [mm]"""
    line = boat.start.hull.line
    points: list[Point] = [(0.0, 0.0), (MM * _length(boat), 0.0), *bulb_contour(job), *hull_contour(boat)]
    for contour in foil_contours(job):
        points += contour
    if not hull_contour(boat):
        if line.draught is not None:
            points.append((0.0, -MM * line.draught))
        if boat.freeboard is not None:
            points.append((0.0, MM * boat.freeboard.on_line.height))
    points += [place for _, _, place in centres(job, boat)]
    return Box(
        left=min(x for x, _ in points),
        bottom=min(z for _, z in points),
        right=max(x for x, _ in points),
        top=max(z for _, z in points),
    )


def _length(boat: BoatJob) -> float:
    """Length of the boat's waterline. [m]"""
    length = boat.start.hull.line.length
    if length is None:
        raise ValueError("the boat can be drawn only if the length of her waterline is known")
    return length


def _hull(job: BallastResults, boat: BoatJob, layout: Layout) -> None:
    contour = hull_contour(boat)
    outline, line, shown = boat.start.hull.outline, boat.start.hull.line, job.shown
    if contour and outline is not None:
        layout.add(Region(contours=(contour,), style=Style.HULL))
        if outline.top != outline.sheer:
            layout.add(
                Polyline(
                    points=tuple((MM * x, MM * z) for x, z in zip(outline.x, outline.sheer, strict=True)),
                    style=Style.HIDDEN,
                )
            )
        return
    # Bare numbers give no shape: draw the known levels between the ends of her waterline.
    length = MM * _length(boat)
    levels = (
        [] if line.draught is None else [(-MM * line.draught, f"hull's draught {shown.length(line.draught)}")]
    )
    if boat.freeboard is not None:
        height = boat.freeboard.on_line.height
        levels.append((MM * height, f"freeboard {shown.length(height)}"))
    for level, words in levels:
        layout.add(Line(start=(0.0, level), end=(length, level), style=Style.HIDDEN))
        side = 1.0 if level > 0.0 else -1.0
        layout.text(
            Text(
                at=(layout.paper(1.0), level + side * 0.9 * layout.letter),
                text=words,
                height=layout.letter,
                anchor="start",
                style=Style.SMALL,
            )
        )
    ends = [level for level, _ in levels] + [0.0]
    for x in (0.0, length):
        layout.add(
            Line(
                start=(x, min(ends) - layout.paper(1.0)),
                end=(x, max(ends) + layout.paper(1.0)),
                style=Style.DIMENSION,
            )
        )


def _waterlines(boat: BoatJob, layout: Layout, box: Box) -> None:
    beyond = layout.paper(3.0)
    left, right = box.left - beyond, box.right + beyond
    layout.add(Line(start=(left, 0.0), end=(right, 0.0), style=Style.WATER))
    layout.keep_clear(Box(left=left, bottom=-0.1 * layout.letter, right=right, top=0.1 * layout.letter))
    floats = floating_line(boat, left, right)
    if floats is not None and max(abs(z) for _, z in floats) * layout.scale >= _APART:
        layout.add(Line(start=floats[0], end=floats[1], style=Style.FLOATS))


def floating_line(boat: BoatJob, left: float, right: float) -> tuple[Point, Point] | None:
    """Water surface between two positions along the boat, with the bulb as it hangs; None if not known. [mm]"""
    if boat.lies is None or boat.flotation is None:
        return None
    lies, flotation = boat.lies, boat.flotation
    slope = lies.trim / flotation.length

    def level(x: float) -> float:
        return MM * lies.sinkage + slope * (x - MM * flotation.flotation_x)

    return (left, level(left)), (right, level(right))


def _marks(layout: Layout, marks: tuple[tuple[str, str, Point], ...]) -> None:
    radius = layout.paper(_RADIUS)
    for letter, _, (x, z) in marks:
        if letter in ("G", "L"):
            layout.centre_mark((x, z), radius)
        elif letter == "B":
            layout.add(
                Circle(centre=(x, z), radius=radius, style=Style.PAPER),
                Circle(centre=(x, z), radius=0.3 * radius, style=Style.MARK),
            )
        else:
            half = 0.9 * radius
            corners = ((x - half, z + 1.6 * half), (x + half, z + 1.6 * half), (x, z))
            layout.add(Region(contours=(corners,), style=Style.MARK))
        layout.keep_clear(
            Box(left=x - 1.2 * radius, bottom=z - 1.2 * radius, right=x + 1.2 * radius, top=z + 1.2 * radius)
        )
    away = radius + 0.75 * layout.letter
    for letter, _, (x, z) in marks:
        choices = [
            Text(
                at=(x + away * factor * math.cos(angle), z + away * factor * math.sin(angle)),
                text=letter,
                height=layout.letter,
                style=Style.HEADING,
            )
            for factor in (1.0, 1.6, 2.4, 3.4)
            for angle in (math.radians(degrees) for degrees in (45, 0, 135, 180, -45, -135, 90, -90))
        ]
        layout.text_if_free(choices)


def _reach(job: BallastResults, boat: BoatJob, layout: Layout) -> float:
    """Draw a bar for the reach of the bulb's mass centre and the required position; return the lowest z drawn. [mm]"""
    band = boat.hung.band
    level = layout.lowest - layout.paper(4.5)
    if band is None:
        return layout.lowest
    half = layout.paper(1.0)
    fore, aft = MM * band.fore_x, MM * band.aft_x
    corners = ((fore, level - half), (aft, level - half), (aft, level + half), (fore, level + half))
    layout.add(Region(contours=(corners,), style=Style.REACH))
    hangs = MM * boat.hung.afloat.x
    wanted = hangs if boat.hung.wanted_x is None else MM * boat.hung.wanted_x
    bulb_bottom = MM * job.bulb.underside_z
    layout.add(
        Line(start=(hangs, level - 1.6 * half), end=(hangs, bulb_bottom), style=Style.AXIS),
        Line(start=(wanted, level - 1.6 * half), end=(wanted, level + 1.6 * half), style=Style.CURVE),
    )
    layout.extend(Box(left=min(fore, wanted), bottom=level - 2.0 * half, right=max(aft, wanted), top=level))
    words, room = "reach of the bulb's mass centre", layout.paper(2.0)
    aft_of_it = Text(
        at=(aft + room, level), text=words, height=layout.letter, anchor="start", style=Style.SMALL
    )
    layout.text_if_free([aft_of_it, replace(aft_of_it, at=(fore - room, level), anchor="end")])
    return level - 2.0 * half


def _dimensions(job: BallastResults, boat: BoatJob, layout: Layout, box: Box) -> None:
    shown, length = job.shown, _length(boat)
    underside = job.bulb.underside_z
    layout.vertical(
        (MM * job.bulb.attitude.boat_x(job.bulb.body.length, 0.0), MM * underside),
        (box.right, 0.0),
        f"draught {shown.length(-underside)}",
        start=box.right + layout.paper(5.0),
        outwards=1,
    )
    layout.horizontal(
        (0.0, 0.0),
        (MM * length, 0.0),
        f"waterline {shown.length(length)}",
        start=box.top + layout.paper(4.0),
        outwards=1,
    )


def _legend(
    job: BallastResults,
    boat: BoatJob,
    layout: Layout,
    marks: tuple[tuple[str, str, Point], ...],
    box: Box,
) -> None:
    """Below the drawing, draw the key to its letters and lines, in two columns if they fit."""
    shown = job.shown
    rows = [
        (letter, f"{words}: x {shown.length(x / MM)}, z {shown.length(z / MM)}")
        for letter, words, (x, z) in marks
    ]
    step, level = 1.7 * layout.letter, layout.lowest - 2.2 * layout.letter
    left = box.left
    swatch = layout.paper(8.0)
    lines: list[tuple[Style | str, str]] = [*rows, (Style.WATER, "design waterline")]
    floats = floating_line(boat, box.left, box.right)
    if floats is not None and max(abs(z) for _, z in floats) * layout.scale >= _APART:
        lines.append((Style.FLOATS, "waterline with this bulb"))
    if not hull_contour(boat):
        lines.append((Style.HIDDEN, "heights as given; the hull's shape is not known"))
    if boat.hung.band is not None and boat.hung.wanted_x is not None:
        lines.append((Style.CURVE, f"required for level trim: x {shown.length(boat.hung.wanted_x)}"))
    widths = [text_width(words, layout.letter) + swatch + layout.paper(5.0) for _, words in lines]
    first, second = max(widths[::2]), max(widths[1::2], default=0.0)
    columns = 2 if (first + second) * layout.scale <= PAPER_WIDTH else 1
    # The second column begins in the middle, unless its lines need more room.
    start = min(
        max(first, layout.paper(0.5 * PAPER_WIDTH - 4.0)), max(first, layout.paper(PAPER_WIDTH) - second)
    )
    for number, (sign, words) in enumerate(lines):
        x = left + (number % columns) * start
        z = level - (number // columns) * step
        if isinstance(sign, Style):
            layout.add(Line(start=(x, z), end=(x + 0.8 * swatch, z), style=sign))
        else:
            layout.text(Text(at=(x + 0.4 * swatch, z), text=sign, height=layout.letter, style=Style.HEADING))
        layout.text(Text(at=(x + swatch, z), text=words, height=layout.letter, anchor="start"))
