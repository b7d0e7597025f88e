"""Drawing of the boat heeled by the wind, seen from aft, with her centres of mass and buoyancy and the two balanced
couples."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable

import numpy as np

from bulbcast.drawing.arrows import arrow
from bulbcast.drawing.layout import Layout, nice_scale
from bulbcast.drawing.shapes import Box, Circle, Contour, Hatch, Point, Style, Text, View
from bulbcast.hull.hydrostatics import directions
from bulbcast.hull.sections import section
from bulbcast.quantities import Shown
from bulbcast.quantities.checked import STANDARD_GRAVITY
from bulbcast.quantities.showing import fine_length
from bulbcast.sailing.heeled import Heeled
from bulbcast.sailing.results import SailingResults
from bulbcast.sailing.sail import heeling_moment
from bulbcast.sailing.sailing_work import Sailing

MM = 1000.0
_WIDE, _HIGH = 110.0, 94.0
"""Maximum size of the boat on paper. [mm]"""

_ARROW, _RADIUS, _ROUND, _STATIONS = 13.0, 1.5, 64, 21

Projected = Callable[[float, float, float], Point]
"""Function that maps a point in boat axes [m] to a point in the picture [mm]."""


def heeled_view(job: SailingResults, heeled: Heeled) -> View:
    """Draw the heeled boat.

    Args:
        job: The results, with the boat and her stability.
        heeled: The boat at rest at the given heel.

    Returns:
        View along a horizontal fore-and-aft line, with x towards the low side and the water's surface at y = 0. [mm]
    """
    shown, sailing = job.shown, _wind_of(job)
    place = projection(heeled)
    parts = [*_foils(job, place), _bulb(job, place), *hull_sections(heeled, place)]
    points = [point for _, contour in parts for point in contour]
    if sailing is not None:
        points.append(place(0.0, 0.0, sailing.lateral_z + sailing.rig.heeling_arm))
    box = _round(points)
    layout = Layout(nice_scale(min(_WIDE / box.width, _HIGH / box.height)))
    layout.extend(box)
    for style, contour in parts:
        hatch = Hatch(spacing=layout.paper(1.7), angle=45.0) if style is Style.LEAD else None
        layout.fill(style, contour, hatch=hatch)
    left, right = box.left - layout.paper(12.0), box.right + layout.paper(12.0)
    layout.line(Style.WATER, (left, 0.0), (right, 0.0))
    layout.extend(Box(left=left, bottom=0.0, right=right, top=0.0))
    layout.keep_clear(Box(left=left, bottom=-0.1 * layout.letter, right=right, top=0.1 * layout.letter))
    marks = centres(heeled, place)
    _upright_lines(layout, marks)
    low = MM * job.bulb.underside_z
    high = box.top if sailing is None else MM * (sailing.lateral_z + sailing.rig.heeling_arm)
    layout.line(Style.AXIS, *(place(0.0, 0.0, level / MM) for level in (low, high)))
    _righting(layout, marks)
    if sailing is not None:
        _heeling(layout, sailing, place, shown)
    _marks(layout, marks)
    g, b = marks["G"], marks["B"]
    layout.horizontal(
        g,
        b,
        f"righting arm {fine_length(heeled.arm, shown)}",
        start=layout.lowest - layout.paper(5.0),
        outwards=-1,
    )
    _legend(layout, job, sailing, "M" in marks, box.left)
    return layout.view("heeled", heeled_words(job, heeled))


def _wind_of(job: SailingResults) -> Sailing | None:
    """Results under sail, if the boat has a steady heel in the given wind."""
    sailing = None if job.standing is None else job.standing.sailing
    return sailing if sailing is not None and sailing.by_curve and sailing.heel is not None else None


def heeled_words(job: SailingResults, heeled: Heeled) -> str:
    """One-line summary of the drawing.

    Args:
        job: The results, with the boat and her stability.
        heeled: The boat at rest at the given heel.
    """
    shown, sailing, degrees = job.shown, _wind_of(job), math.degrees(heeled.attitude.heel)
    if sailing is None:
        turns = "rights her with" if heeled.arm > 0.0 else "heels her further with"
        return f"At {degrees:.0f}° of heel, the boat's weight {turns} {shown.torque(abs(_weight(job) * heeled.arm))}"
    moment = shown.torque(heeling_moment(sailing.rig, sailing.wind, sailing.heel or 0.0))
    return (
        f"In a wind of {shown.speed(sailing.wind)} the boat heels {degrees:.0f}°; weight and buoyancy balance the "
        f"wind's {moment}"
    )


def _weight(job: SailingResults) -> float:
    """Weight of the boat and the bulb together. [N]"""
    if job.boat is None:
        raise ValueError("the plan gives no boat")
    return job.boat.total_mass * STANDARD_GRAVITY


def projection(heeled: Heeled) -> Projected:
    """Map from boat axes to the picture, with the low side at the right and the water's surface at 0.

    Args:
        heeled: The boat at rest.
    """
    lies = heeled.attitude
    world = directions(lies.trim, lies.heel)

    def place(x: float, y: float, z: float) -> Point:
        at = np.array([x, y, z])
        return MM * float(at @ world.starboard), MM * (float(at @ world.up) - lies.sinkage)

    return place


def hull_sections(heeled: Heeled, place: Projected) -> list[tuple[Style, Contour]]:
    """Largest cross-section of the hull, as one or more outlines.

    Args:
        heeled: The heeled boat with her hull.
        place: Map from boat axes to the picture.
    """
    import shapely

    corners = heeled.hull.vertices[heeled.hull.triangles]
    low, high = float(corners[:, :, 0].min()), float(corners[:, :, 0].max())
    stations = [low + (number + 0.5) / _STATIONS * (high - low) for number in range(_STATIONS)]
    x = max(stations, key=lambda one: _area(section(corners, one)))
    lines = section(corners, x)
    size = float(np.max(np.abs(lines)))
    net = shapely.union_all(shapely.linestrings(lines), grid_size=1e-9 * size)
    faces = shapely.get_parts(shapely.polygonize(shapely.get_parts(net)))
    return [
        (
            Style.HULL,
            tuple(place(x, float(y), float(z)) for y, z in shapely.get_coordinates(face.exterior)[:-1]),
        )
        for face in faces
    ]


def _area(lines: np.ndarray[tuple[int, ...], np.dtype[np.float64]]) -> float:
    (y0, z0), (y1, z1) = lines[:, 0].T, lines[:, 1].T
    return abs(0.5 * float(np.sum(y0 * z1 - y1 * z0)))


def _foils(job: SailingResults, place: Projected) -> Iterable[tuple[Style, Contour]]:
    """Fin seen end on, with its thickness at the hull and at the tip."""
    fin = job.plan.fin
    if fin.root_z is None:
        return
    root = 0.5 * (fin.tip_thickness if fin.root_thickness is None else fin.root_thickness)
    tip, x = 0.5 * fin.tip_thickness, job.bulb.mass_centre[0]
    corners = ((root, fin.root_z), (tip, fin.tip_z), (-tip, fin.tip_z), (-root, fin.root_z))
    yield Style.FIN, tuple(place(x, y, z) for y, z in corners)


def _bulb(job: SailingResults, place: Projected) -> tuple[Style, Contour]:
    """Largest section of the lead."""
    bulb = job.bulb
    wide, high = 0.5 * bulb.body.width, 0.5 * bulb.body.height
    turns = (2.0 * math.pi * step / _ROUND for step in range(_ROUND))
    x = bulb.nose_x + bulb.body.max_at
    return Style.LEAD, tuple(
        place(x, wide * math.cos(turn), bulb.axis_z + high * math.sin(turn)) for turn in turns
    )


def _round(points: Iterable[Point]) -> Box:
    every = list(points)
    xs, ys = [x for x, _ in every], [y for _, y in every]
    return Box(left=min(xs), bottom=min(ys), right=max(xs), top=max(ys))


def centres(heeled: Heeled, place: Projected) -> dict[str, Point]:
    """Points G, B and M. M is the point where the vertical through B crosses the centreplane above B. It is left out if
    the boat is upright or heels 75 degrees or more. [mm]

    Args:
        heeled: The boat at rest.
        place: Map from boat axes to the picture.
    """
    g, b = place(*heeled.mass_centre), place(*heeled.buoyancy)
    found = {"G": g, "B": b}
    heel = heeled.attitude.heel
    # The boat's centreline in the picture passes through any point of the centreplane at B's x.
    foot = place(heeled.buoyancy[0], 0.0, heeled.buoyancy[2])
    if 1e-3 < heel < math.radians(75.0):
        found["M"] = (b[0], foot[1] + (b[0] - foot[0]) / math.tan(heel))
    return found


def _upright_lines(layout: Layout, marks: dict[str, Point]) -> None:
    """Plumb line through B, up to M."""
    b, g = marks["B"], marks["G"]
    top = max(marks.get("M", b)[1], b[1], g[1]) + layout.paper(4.0)
    layout.line(Style.HIDDEN, (b[0], b[1]), (b[0], top))
    layout.extend(Box(left=b[0], bottom=b[1], right=b[0], top=top))


def _righting(layout: Layout, marks: dict[str, Point]) -> None:
    """Arrows for the weight at G and the buoyancy at B."""
    g, b, long = marks["G"], marks["B"], layout.paper(_ARROW)
    arrow(layout, g, (g[0], g[1] - long), Style.CURVE)
    arrow(layout, b, (b[0], b[1] + long), Style.CURVE)


def _heeling(layout: Layout, sailing: Sailing, place: Projected, shown: Shown) -> None:
    """Arrows for the force of the wind on the sail and of the water on the fin, perpendicular to the mast."""
    top = place(0.0, 0.0, sailing.lateral_z + sailing.rig.heeling_arm)
    low = place(0.0, 0.0, sailing.lateral_z)
    heel, long = sailing.heel or 0.0, layout.paper(_ARROW)
    across = (math.cos(heel), -math.sin(heel))
    arrow(layout, (top[0] - long * across[0], top[1] - long * across[1]), top)
    drawn_to = (low[0] - long * across[0], low[1] - long * across[1])
    arrow(layout, low, drawn_to)
    force = shown.force(sailing.side_force or 0.0)
    tail = (top[0] - long * across[0], top[1] - long * across[1] + layout.letter)
    layout.words(tail, f"wind {force}", anchor="end")
    aside, x, y = layout.paper(1.0), *drawn_to
    layout.text_if_free(
        [
            Text(at=(x - aside, y + off), text=f"water {force}", height=layout.letter, anchor="end")
            for off in (0.0, 1.2 * layout.letter, -1.2 * layout.letter, 2.0 * layout.letter)
        ]
    )


def _marks(layout: Layout, marks: dict[str, Point]) -> None:
    radius = layout.paper(_RADIUS)
    for letter, (x, y) in marks.items():
        if letter == "G":
            layout.centre_mark((x, y), radius)
        else:
            layout.add(
                Circle(centre=(x, y), radius=radius, style=Style.PAPER),
                Circle(centre=(x, y), radius=0.3 * radius, style=Style.MARK),
            )
        layout.keep_clear(
            Box(left=x - 1.2 * radius, bottom=y - 1.2 * radius, right=x + 1.2 * radius, top=y + 1.2 * radius)
        )
    away = radius + 0.75 * layout.letter
    for letter, (x, y) in marks.items():
        layout.text_if_free(
            [
                Text(
                    at=(x + away * factor * math.cos(turn), y + away * factor * math.sin(turn)),
                    text=letter,
                    height=layout.letter,
                    style=Style.HEADING,
                )
                for factor in (1.0, 1.6, 2.4)
                for turn in (math.radians(degrees) for degrees in (0, 180, 45, 135, -45, -135))
            ]
        )


def _legend(layout: Layout, job: SailingResults, sailing: Sailing | None, crossed: bool, left: float) -> None:
    """Key to the letters and arrows, with the boat's weight and the wind's heeling arm."""
    shown, weight = job.shown, _weight(job)
    rows: list[tuple[str | Style, str]] = [
        ("G", f"mass centre of the boat and bulb; total weight {shown.force(weight)}"),
        ("B", "centre of buoyancy at this heel"),
    ]
    if crossed:
        rows.append(
            (
                "M",
                "point where the vertical through B crosses the boat's centreline; at small heel, the metacentre",
            )
        )
    wind = (
        []
        if sailing is None
        else [
            (
                Style.CURVE_3,
                f"forces of the wind and the water, {shown.length(sailing.rig.heeling_arm)} apart",
            )
        ]
    )
    rows += [(Style.CURVE, "weight and buoyancy, one righting arm apart"), *wind]
    step, level = 1.6 * layout.letter, layout.lowest - 2.2 * layout.letter
    x = min(left, layout.left)
    for number, (sign, words) in enumerate(rows):
        y = level - number * step
        if isinstance(sign, Style):
            layout.line(sign, (x, y), (x + 2.0 * layout.letter, y))
        else:
            layout.words((x + layout.letter, y), sign, Style.HEADING)
        layout.words((x + 3.0 * layout.letter, y), words, anchor="start")
