"""Cross sections of the bulb: the largest, one at the pocket's thinnest wall, and one along each screw and cross pin.

They are seen from aft, with starboard on the right. The thinnest lead round a cut is marked with its thickness; its
line style and a label show whether it is thick enough.
"""

from __future__ import annotations

import math

import numpy as np

from bulbcast.bulb.cuts.parts import ScrewCut
from bulbcast.bulb.cuts.walls import Wall
from bulbcast.bulb.results import BulbResults
from bulbcast.bulb.views.cross_outlines import (
    screw_lead,
    screw_pocket,
    screw_recess,
    square_bore,
    square_fin,
    square_lead,
    square_pocket,
)
from bulbcast.bulb.views.outlines import MM, half_width_of_outline, key_of, nearest_on, seat_of
from bulbcast.bulb.views.side_view import shown_screws, wall_is_seen_from_the_side
from bulbcast.drawing.layout import Label, Layout, nice_scale
from bulbcast.drawing.shapes import Box, Contour, Hatch, Point, Style, Text, View, rectangle

MOST_PINS = 4
"""Maximum number of cross pins drawn in section; those with the thinnest lead round them are chosen."""

# Two of them fit side by side on the paper: lead on the left, labels on the right.
_WIDTH, _LEAD, _HEIGHT, _LABELS = 87.0, 36.0, 50.0, 37.0


def cross_sections(job: BulbResults) -> tuple[View, ...]:
    """All cross sections, drawn to one scale.

    Args:
        job: The results.

    Returns:
        The largest section first, then one at the pocket's thinnest wall unless the side view shows it, one along each
        screw that meets the lead, and those along cross pins.
    """
    views = [_largest(job)]
    wall = job.room.pocket.wall
    if wall is not None and not wall_is_seen_from_the_side(job):
        views.append(_pocket_wall(job, wall))
    views += [
        _along_screw(job, number, screw)
        for number, screw in shown_screws(job)
        if not math.isnan(seat_of(job.bulb, screw))
    ]
    views += [_along_pin(job, number) for number in shown_pins(job)]
    return tuple(views)


def shown_pins(job: BulbResults) -> list[int]:
    """Numbers, counted from 1, of the cross pins drawn in section: those with the thinnest lead round them."""
    if job.fittings is None:
        return []
    walls = [
        (room.wall, number) for number, room in enumerate(job.fittings.pins, start=1) if room.wall is not None
    ]
    return sorted(number for _, number in sorted(walls)[:MOST_PINS])


def _scale(job: BulbResults) -> float:
    body = job.bulb.body
    return nice_scale(min(_LEAD / (MM * body.width), _HEIGHT / (1.35 * MM * body.height)))


def _layout(job: BulbResults, middle: float) -> Layout:
    """An empty section of the same size as all the others, in which `middle` is the height of the bulb's axis. [mm]"""
    layout = Layout(_scale(job))
    half = 0.5 * MM * job.bulb.body.height
    left = -layout.paper(0.5 * _LEAD + 3.0)
    layout.extend(
        Box(
            left=left,
            bottom=middle - half - layout.paper(1.0),
            right=left + layout.paper(_WIDTH - 2.0),
            top=middle + 1.7 * half,
        )
    )
    return layout


def _skin(job: BulbResults, layout: Layout, lead: Contour) -> None:
    """Line of the skin outside the lead, at a distance that is clearly visible."""
    if job.bulb.skin <= 0.0 or not lead:
        return
    points = np.array(lead)
    following, before = np.roll(points, -1, axis=0), np.roll(points, 1, axis=0)
    along = following - before
    size = np.hypot(along[:, 0], along[:, 1])
    size = np.where(size > 0.0, size, 1.0)
    # Outlines may run either way round: the outward side is the one away from the middle.
    normal = np.stack([along[:, 1], -along[:, 0]], axis=1) / size[:, None]
    outward = np.sign(np.sum(normal * (points - points.mean(axis=0)), axis=1))
    moved = points + layout.paper(0.8) * normal * outward[:, None]
    layout.fill(Style.SKIN, tuple(map(tuple, moved.tolist())))


def _lead(layout: Layout, outline: Contour) -> None:
    layout.fill(Style.LEAD, outline, hatch=Hatch(spacing=layout.paper(1.7), angle=45.0))


def _heading(layout: Layout, words: str, remark: str) -> None:
    """Add a two-line heading above the section."""
    left, top = layout.left + layout.paper(1.0), layout.highest
    layout.text(
        Text(
            at=(left, top + layout.paper(7.2)),
            text=words,
            height=1.12 * layout.letter,
            style=Style.HEADING,
            anchor="start",
        )
    )
    layout.words((left, top + layout.paper(3.4)), remark, Style.SMALL, anchor="start")


def _square_section(job: BulbResults, layout: Layout, x: float) -> None:
    """Draw everything cut by a plane square to the axis."""
    bulb = job.bulb
    lead = square_lead(bulb, x)
    _skin(job, layout, lead)
    _lead(layout, lead)
    if job.bulb.pocket_depth > 0.0:
        layout.fill(Style.BEDDING, square_pocket(bulb, x))
    top = 0.85 * bulb.body.height
    layout.fill(Style.FIN, square_fin(bulb, x, 0.0, top))
    for _, screw in shown_screws(job):
        seat = seat_of(bulb, screw)
        if math.isnan(seat):
            continue
        head, shank, under = 0.5 * screw.head_diameter, 0.5 * screw.diameter, screw.under_head(seat)
        parts = [
            (square_bore(bulb, x, screw, 0.5 * screw.recess_diameter, -math.inf, seat, top), Style.PLUG),
            (square_bore(bulb, x, screw, 0.5 * screw.hole_diameter, seat, None), Style.BEDDING),
            (square_bore(bulb, x, screw, shank, under, under + screw.length, top), Style.SCREW),
            (square_bore(bulb, x, screw, head, under - screw.head_height, under, top), Style.SCREW),
        ]
        if screw.washer is not None:
            ring = square_bore(bulb, x, screw, 0.5 * screw.washer.diameter, under, seat, top)
            gap = square_bore(bulb, x, screw, 0.5 * screw.washer.hole_diameter, under, seat, top)
            parts[2:2] = [(ring, Style.WASHER), (gap, Style.BEDDING)]
        for outline, style in parts:
            layout.fill(style, outline)
    _centreline(layout, 0.5 * MM * bulb.body.height, MM * top)


def _centreline(layout: Layout, half: float, top: float, middle: float = 0.0) -> None:
    layout.line(Style.AXIS, (0.0, middle - half - layout.paper(2.0)), (0.0, top + layout.paper(1.5)))


def _largest(job: BulbResults) -> View:
    bulb, shown = job.bulb, job.shown
    body = bulb.body
    layout = _layout(job, 0.0)
    _square_section(job, layout, body.max_at)
    half, side = 0.5 * MM * body.height, 0.5 * MM * body.width
    round_ = body.width_to_height == 1.0
    labels, diameter = [], key_of("bulb.diameter", job.plan.bulb.diameter, body.diameter)
    if round_:
        angle = math.radians(-35.0)
        labels.append(
            Label(
                point=(side * math.cos(angle), half * math.sin(angle)),
                lines=(f"dia {shown.length(body.width)}", "of the finished lead"),
                keys=(diameter, ""),
            )
        )
    else:
        labels += [
            Label(point=(side, 0.0), lines=(f"width {shown.length(body.width)}",)),
            Label(
                point=(0.0, -half),
                lines=(f"height {shown.length(body.height)}", f"area of dia {shown.length(body.diameter)}"),
                keys=("", diameter),
            ),
        ]
    width = 2.0 * float(half_width_of_outline(bulb.pocket, np.array([body.max_at]), 0.0)[0])
    if width > 0.0:
        labels.append(
            Label(
                point=(
                    0.5 * MM * width,
                    min(MM * bulb.axis.floor + layout.paper(3.0), 0.8 * MM * body.height),
                ),
                lines=(f"fin {shown.length(width)} thick",),
            )
        )
    _column(layout, labels, half)
    _heading(layout, "Section A", f"the largest, {shown.length(body.max_at)} from the nose")
    return layout.view("section-a", "Section A, the largest section", margin=1.0)


def _column(layout: Layout, labels: list[Label], half: float, middle: float = 0.0) -> None:
    at = layout.right - layout.paper(_LABELS)
    layout.column(labels, at=at, low=middle - half, high=middle + 1.5 * half)


def _verdict(job: BulbResults, thickness: float) -> tuple[Style, str]:
    """Line style and label of a wall; a wall equal to the requirement counts as enough."""
    shown, wanted = job.shown, job.wall_wanted
    if thickness >= wanted:
        return Style.WALL_ENOUGH, f"enough, {shown.length(wanted)} required"
    return (
        Style.WALL_SHORT,
        f"{'SHORT' if thickness > 0.0 else 'BREAKS OUT'}, {shown.length(wanted)} required",
    )


def _wall_label(job: BulbResults, what: str, thickness: float, at: Point, aside: float = 0.0) -> Label:
    style, words = _verdict(job, thickness)
    lines = [f"{what} {job.shown.length(thickness)}", words]
    if abs(aside) >= 0.1 * abs(thickness):
        side = "aft of" if aside > 0.0 else "ahead of"
        lines.append(f"{job.shown.length(abs(aside))} {side} here")
    below = Style.SMALL if style is Style.WALL_ENOUGH else Style.SHORT
    return Label(point=at, lines=tuple(lines), below=below)


def _pocket_wall(job: BulbResults, wall: Wall) -> View:
    bulb = job.bulb
    layout = _layout(job, 0.0)
    _square_section(job, layout, wall.x)
    surface = (MM * wall.y, MM * wall.z)
    edge = square_pocket(bulb, wall.x)
    style, _ = _verdict(job, wall.thickness)
    if edge:
        layout.line(style, nearest_on((edge,), surface), surface)
    half = 0.5 * MM * bulb.body.height
    _column(layout, [_wall_label(job, "pocket wall", wall.thickness, surface)], half)
    _heading(layout, "Section B", f"the pocket's thinnest wall, {job.shown.length(wall.x)} from the nose")
    return layout.view("section-b", "Section B, at the thinnest wall of the pocket", margin=1.0)


def _along_screw(job: BulbResults, number: int, screw: ScrewCut) -> View:
    """The section along one screw, with heights measured along the screw from the pocket floor."""
    bulb, shown = job.bulb, job.shown
    room = job.room.screws[number - 1]
    cosine = math.cos(bulb.axis.rake)
    middle = -MM * bulb.axis.floor / cosine
    half = 0.5 * MM * bulb.body.height
    layout = _layout(job, middle)
    lead = screw_lead(bulb, screw.at_x)
    lowest = min((point[1] for point in lead), default=middle - half)
    layout.extend(Box(left=0.0, bottom=lowest - layout.paper(1.0), right=0.0, top=middle))
    _skin(job, layout, lead)
    _lead(layout, lead)
    pocket = screw_pocket(bulb, screw.at_x, bulb.pocket.clearance)
    if pocket and job.bulb.pocket_depth > 0.0:
        layout.fill(Style.BEDDING, pocket)
    top = middle + 1.7 * half
    fin = MM * float(half_width_of_outline(bulb.pocket, np.array([screw.at_x]), 0.0)[0])
    if fin > 0.0:
        layout.fill(Style.FIN, _upright(fin, 0.0, top))
    seat = seat_of(bulb, screw)
    head, hole, shank, wide = (
        0.5 * MM * d
        for d in (screw.head_diameter, screw.hole_diameter, screw.diameter, screw.recess_diameter)
    )
    for piece in screw_recess(bulb, screw, min(seat, top / MM)):
        layout.fill(Style.PLUG, piece)
    level = MM * seat
    if level < 0.0:
        layout.fill(Style.BEDDING, _upright(hole, level, 0.0))
    under_head = MM * screw.under_head(seat)
    tip = under_head + MM * screw.length
    under = under_head - MM * screw.head_height
    if screw.washer is not None:
        for across, style in (
            (screw.washer.diameter, Style.WASHER),
            (screw.washer.hole_diameter, Style.BEDDING),
        ):
            layout.fill(style, _upright(0.5 * MM * across, under_head, level))
    for radius, low, high in ((shank, under_head, min(tip, top)), (head, under, min(under_head, top))):
        if high > low:
            layout.fill(Style.SCREW, _upright(radius, low, high))
    _centreline(layout, middle - lowest, top, middle)

    labels = []
    if level < 0.0:
        style, _ = _verdict(job, room.seat_to_floor)
        aside = 0.5 * (wide + hole)
        layout.line(style, (aside, level), (aside, 0.0))
        labels.append(
            _wall_label(
                job,
                "above the head" if screw.washer is None else "above the washer",
                room.seat_to_floor,
                (aside, 0.5 * level),
            )
        )
    for what, wall, radius, low, high in (
        ("hole wall", room.hole_wall, hole, level, max(level, 0.0)),
        ("recess wall", room.recess_wall, wide, -math.inf, level),
    ):
        if wall is None:
            continue
        surface, near, aside = _wall_points(job, screw, wall, radius, low, high)
        style, _ = _verdict(job, wall.thickness)
        layout.line(style, near, surface)
        labels.append(_wall_label(job, what, wall.thickness, surface, aside))
    labels.append(
        Label(
            point=(wide, max(lowest, level - MM * screw.recess)),
            lines=(f"recess {shown.length(screw.recess)} deep",),
            keys=(f"screws[{number}].recess",),
        )
    )
    _column(layout, labels, half, middle)
    raked = "" if bulb.axis.rake == 0.0 else ", raked to match"
    _heading(
        layout,
        f"Section {number}",
        f"along screw {number}, {shown.length(screw.at_x)} from the nose{raked}",
    )
    return layout.view(f"section-{number}", f"Section {number}, along screw {number}", margin=1.0)


def _along_pin(job: BulbResults, number: int) -> View:
    """The section along one cross pin, with its grip on each side and the lead round its hole."""
    bulb, shown, pin = job.bulb, job.shown, job.bulb.pin_cuts[number - 1]
    assert job.fittings is not None
    room, lead = job.fittings.pins[number - 1], MM * bulb.cuts.pins[number - 1].half_width
    x, z = pin.centre(bulb.axis)
    level, half = MM * z, 0.5 * MM * bulb.body.height
    layout = _layout(job, 0.0)
    _square_section(job, layout, x)
    hole, thick, long = (0.5 * MM * size for size in (pin.hole_diameter, pin.diameter, pin.length))
    pocket = MM * room.pocket_half
    for side in (-1.0, 1.0):
        # From the pocket to the surface; beyond the pin's end the hole is filled flush.
        inner, outer = sorted((side * pocket, side * lead))
        layout.fill(Style.BEDDING, rectangle(inner, level - hole, outer, level + hole))
        if lead > long:
            inner, outer = sorted((side * long, side * lead))
            layout.fill(Style.PLUG, rectangle(inner, level - hole, outer, level + hole))
    layout.fill(Style.SCREW, rectangle(-long, level - thick, long, level + thick))
    labels = [
        Label(
            point=(0.8 * min(long, lead), level),
            lines=(
                f"pin {shown.length(pin.length)} long",
                f"{shown.length(room.grip)} in lead on each side",
            ),
            keys=(f"cross_pins[{number}].length", ""),
        )
    ]
    if room.wall is not None:
        wanted = room.wall >= job.wall_wanted
        words = "enough" if wanted else "SHORT"
        labels.append(
            Label(
                point=(0.5 * (pocket + lead), level - hole),
                lines=(f"thinnest hole wall {shown.length(room.wall)}",
                       f"{words}, {shown.length(job.wall_wanted)} required"),
                below=Style.SMALL if wanted else Style.SHORT,
            )
        )  # fmt: skip
    if room.proud > 0.0:
        proud = Label(
            point=(long, level), lines=(f"ends project {shown.length(room.proud)}",), style=Style.SHORT
        )
        labels.append(proud)
    _column(layout, labels, half)
    _heading(layout, f"Section P{number}", f"along cross pin {number}, {shown.length(x)} from the nose")
    return layout.view(f"section-p{number}", f"Section P{number}, along cross pin {number}", margin=1.0)


def _upright(half: float, low: float, high: float) -> Contour:
    return rectangle(-half, low, half, high)


def _wall_points(
    job: BulbResults, screw: ScrewCut, wall: Wall, radius: float, low: float, high: float
) -> tuple[Point, Point, float]:
    """Ends of a wall on the surface and on the bore, in the plane of the section, and the distance of the surface point
    aft of that plane (m). Radius and ends of the bore are in mm."""
    bulb = job.bulb
    sine, cosine = math.sin(bulb.axis.rake), math.cos(bulb.axis.rake)
    ahead, up = wall.x - screw.at_x, wall.z - bulb.axis.floor
    along, off = MM * (up * cosine - ahead * sine), ahead * cosine + up * sine
    across = math.hypot(wall.y, off)
    share = wall.y / across if across > 0.0 else 0.0
    near = (min(radius, MM * across) * share, min(max(along, low), high))
    if MM * across > radius:
        near = (radius * share, near[1])
    return (MM * wall.y, along), near, off
