"""The bulb seen from port, cut along its centreplane, with the lead, fin tip, pocket, screws and point of balance."""

from __future__ import annotations

import math

from bulbcast.bulb.cuts.parts import ScrewCut
from bulbcast.bulb.hung.wish import tail_diameter_for
from bulbcast.bulb.results import BulbResults
from bulbcast.bulb.views.fittings import draw_fittings
from bulbcast.bulb.views.outlines import (
    MM,
    Slant,
    body_outline,
    hole_side,
    key_of,
    nearest_on,
    pocket_side,
    recess_side,
    seat_of,
    skin_outline,
)
from bulbcast.drawing.layout import PAPER_WIDTH, Label, Layout, nice_scale
from bulbcast.drawing.shapes import (
    Box,
    Contour,
    Hatch,
    Point,
    Style,
    View,
    rectangle,
)
from bulbcast.fin.tip_section import pocket_span

# Left and right of the bulb on paper: its height is on the left, the tail's diameter on the right.
LEFT, RIGHT = 28.0, 26.0


def along_scale(job: BulbResults) -> float:
    """Scale of the side and plan views at which the bulb and the fin's tip fit the width of the paper. [-]"""
    low, high = along_extent(job)
    return nice_scale((PAPER_WIDTH - 4.0 - LEFT - RIGHT) / (high - low))


def along_extent(job: BulbResults) -> tuple[float, float]:
    """Range along the bulb shown in the side and plan views, which includes the bulb and the fin's tip. [mm]"""
    bulb = job.bulb
    lead = MM * bulb.pocket.leading_edge_x
    return min(0.0, lead), max(MM * bulb.body.length, lead + MM * bulb.pocket.tip.chord)


def shown_screws(job: BulbResults) -> list[tuple[int, ScrewCut]]:
    """Screws near enough to the bulb to be drawn, with their numbers."""
    bulb = job.bulb
    reach = 0.3 * bulb.body.length
    return [
        (number, screw)
        for number, screw in enumerate(bulb.screw_cuts, start=1)
        if -reach <= screw.at_x <= bulb.body.length + reach
    ]


def stub_top(job: BulbResults) -> float:
    """Height at which the drawings break off the fin: above the highest screw tip, unless that is far up. [mm]"""
    bulb = job.bulb
    crown, height = 0.5 * MM * bulb.body.height, MM * bulb.body.height
    wanted = crown + 0.35 * height
    for _, screw in shown_screws(job):
        seat = seat_of(bulb, screw)
        if not math.isnan(seat):
            along = screw.under_head(seat) + screw.length
            tip = MM * (bulb.axis.floor + along * math.cos(bulb.axis.rake))
            wanted = max(wanted, tip + 0.12 * height)
    return max(min(wanted, crown + 0.9 * height), MM * bulb.axis.floor + 0.3 * height)


def side_view(job: BulbResults) -> View:
    """The side view.

    Args:
        job: The results.

    Returns:
        The view, with x aft of the nose and y up from the axis.
    """
    bulb = job.bulb
    body = bulb.body
    layout = Layout(along_scale(job))
    half = 0.5 * MM * body.height
    low, high = along_extent(job)
    top = stub_top(job)
    layout.extend(Box(left=low - layout.paper(LEFT), bottom=-half, right=high + layout.paper(RIGHT), top=top))
    up = 1.0 / math.sqrt(body.width_to_height)
    if bulb.skin > 0.0:
        layout.fill(Style.SKIN, skin_outline(body, up, layout.paper(0.8)))
    layout.fill(Style.LEAD, body_outline(body, up), hatch=Hatch(spacing=layout.paper(1.7), angle=45.0))
    for piece in pocket_side(body, bulb.axis, bulb.pocket):
        layout.fill(Style.BEDDING, piece)
    _fin(job, layout, top)
    draw_fittings(bulb, layout, top)
    for _, screw in shown_screws(job):
        _screw(job, layout, screw, top)
    axis_room = layout.paper(4.0)
    layout.line(Style.AXIS, (low - axis_room, 0.0), (high + axis_room, 0.0))
    _elastic_axis(job, layout, top)
    centre = (MM * bulb.mass_centre_x, MM * bulb.mass_centre_z)
    layout.centre_mark(centre, layout.paper(2.2))
    layout.keep_clear(_square(centre, layout.paper(2.6)))
    _lettering_above(job, layout, top)
    _dimensions(job, layout, centre, half, low)
    beneath = layout.lowest - layout.paper(3.0)
    layout.scale_bar(low, beneath, job.shown)
    if bulb.incidence != 0.0:
        _level_gauge(job, layout, (low + layout.paper(55.0), beneath))
    return layout.view("side", side_words(job))


def side_words(job: BulbResults) -> str:
    """Title of the side view, on one line.

    Args:
        job: The results.
    """
    bulb, shown = job.bulb, job.shown
    body = bulb.body
    across = f"{shown.length(body.height)} {'in diameter' if body.width_to_height == 1.0 else 'high'}"
    balance = f"balancing {shown.length(bulb.mass_centre_x)} from the nose"
    return f"The bulb from the side: {shown.length(body.length)} long, {across}, {balance}"


def _level_gauge(job: BulbResults, layout: Layout, at: Point) -> None:
    """Small sketch of the bulb's axis and the waterline next to the scale bar, if the axis is not horizontal."""
    incidence = job.bulb.incidence
    reach = layout.paper(34.0)
    end = (at[0] + reach * math.cos(incidence), at[1] + reach * math.sin(incidence))
    layout.line(Style.AXIS, at, (at[0] + reach, at[1]))
    layout.line(Style.OUTLINE, at, end)
    words = (
        f"level: the bulb hangs nose {'up' if incidence > 0.0 else 'down'} {job.shown.angle(abs(incidence))}"
    )
    beside = layout.paper(1.5)
    layout.words((end[0] + beside, end[1]), words, anchor="start")


def _square(at: Point, half: float) -> Box:
    return Box(left=at[0] - half, bottom=at[1] - half, right=at[0] + half, top=at[1] + half)


def _fin(job: BulbResults, layout: Layout, top: float) -> None:
    """Draw the fin's tip in the centreplane, broken off at a given height. [mm]"""
    bulb = job.bulb
    lead, chord = MM * bulb.pocket.leading_edge_x, MM * bulb.pocket.tip.chord
    floor = MM * bulb.axis.floor
    shift = bulb.axis.shift * (top - floor)
    fore, aft = (lead - shift, top), (lead + chord - shift, top)
    # A break line: two small kinks where the fin is broken off.
    kink = min(0.03 * chord, 0.1 * (top - floor))
    middle = 0.5 * (fore[0] + aft[0])
    broken: Contour = (
        aft,
        (middle + 1.5 * kink, top),
        (middle + 0.5 * kink, top + kink),
        (middle - 0.5 * kink, top - kink),
        (middle - 1.5 * kink, top),
        fore,
    )
    layout.fill(Style.FIN, ((lead, floor), (lead + chord, floor), *broken))


def _screw(job: BulbResults, layout: Layout, screw: ScrewCut, top: float) -> None:
    """Draw a screw in the centreplane, with its recess and plug, and its hole and bedding.

    Everything above `top`, the height at which the fin is broken off, is left out. [mm]
    """
    bulb = job.bulb
    limit = (top / MM - bulb.axis.floor) / math.cos(bulb.axis.rake)
    slant = Slant(bulb.axis)
    seat = seat_of(bulb, screw)
    reach = bulb.body.height

    def axis(low: float, high: float) -> None:
        layout.line(Style.AXIS, slant.point(screw.at_x, 0.0, low), slant.point(screw.at_x, 0.0, high))

    if math.isnan(seat):
        axis(-reach, 0.5 * reach)
        return
    for piece in recess_side(bulb, screw, seat, min(seat, limit)):
        layout.fill(Style.PLUG, piece)
    layout.fill(Style.BEDDING, hole_side(bulb, screw, 0.5 * screw.hole_diameter, seat))
    under_head = screw.under_head(seat)
    tip = min(under_head + screw.length, limit)
    head = under_head - screw.head_height
    bores = [
        (0.5 * screw.diameter, under_head, tip),
        (0.5 * screw.head_diameter, head, min(under_head, limit)),
    ]
    if screw.washer is not None:
        # Cut through its middle: two blocks, the gap to the shank between them.
        inner, outer = 0.5 * screw.washer.hole_diameter, 0.5 * screw.washer.diameter
        middle, half = 0.5 * (inner + outer), 0.5 * (outer - inner)
        blocks = (
            tuple(
                slant.point(screw.at_x, side * middle + off, along)
                for off, along in rectangle(-half, under_head, half, seat)
            )
            for side in (-1.0, 1.0)
        )
        layout.fill(Style.WASHER, *blocks)
        bores.reverse()
    for radius, low, high in bores:
        if high > low:
            layout.fill(Style.SCREW, slant.rectangle(screw.at_x, radius, low, high))
    axis(min(head, limit) - 0.12 * reach, min(tip + 0.06 * reach, limit))


def _elastic_axis(job: BulbResults, layout: Layout, top: float) -> None:
    slant = Slant(job.bulb.axis)
    at = job.bulb.pocket.leading_edge_x + job.plan.fin.elastic_axis * job.bulb.pocket.tip.chord
    along = (top + layout.paper(2.0) - MM * job.bulb.axis.floor) / math.cos(job.bulb.axis.rake) / MM
    layout.line(Style.HIDDEN, slant.point(at, 0.0, 0.0), slant.point(at, 0.0, along))


def _lettering_above(job: BulbResults, layout: Layout, top: float) -> None:
    """Positions of the fastenings and the elastic axis, as distances aft of the tip's leading edge."""
    bulb, shown = job.bulb, job.shown
    slant = Slant(bulb.axis)
    pocket = bulb.pocket

    def label(at_x: float, words: str, key: str = "") -> Label:
        # Along the raked axis up to where the fin is broken off.
        along = (top - MM * bulb.axis.floor) / MM / math.cos(bulb.axis.rake)
        return Label(
            point=slant.point(at_x, 0.0, along),
            lines=(words, shown.length(at_x - pocket.leading_edge_x)),
            keys=("", key),
        )

    fastened = (
        ("screw", "screws", shown_screws(job)),
        ("stud", "studs", enumerate(bulb.stud_cuts, start=1)),
        ("cross pin", "cross_pins", enumerate(bulb.pin_cuts, start=1)),
    )
    labels = [
        label(cut.at_x, f"{name} {number}", f"{section}[{number}].at")
        for name, section, cuts in fastened
        for number, cut in cuts
    ]
    labels.append(label(pocket.leading_edge_x + job.plan.fin.elastic_axis * pocket.tip.chord, "elastic axis"))
    labels += _pocket_wall(job, layout)
    low, high = along_extent(job)
    layout.running(labels, level=top + layout.paper(3.0), upwards=1, low=low, high=high)


def _dimensions(job: BulbResults, layout: Layout, centre: Point, half: float, low: float) -> None:
    bulb, shown = job.bulb, job.shown
    body, pocket, plan = bulb.body, bulb.pocket, job.plan
    length = MM * body.length
    lead, chord = MM * pocket.leading_edge_x, MM * pocket.tip.chord
    floor = MM * bulb.axis.floor
    gap = layout.paper(5.0)
    tail = MM * body.tail_radius / math.sqrt(body.width_to_height)

    max_at = MM * body.max_at
    layout.vertical(
        (max_at, -half),
        (max_at, half),
        f"{'dia' if body.width_to_height == 1.0 else 'high'} {shown.length(body.height)}",
        start=low - layout.paper(7.0),
        outwards=-1,
        key=key_of("bulb.diameter", plan.bulb.diameter, body.height),
    )
    if tail > 0.0:
        words = "dia" if body.width_to_height == 1.0 else "high"
        tail_wanted = tail_diameter_for(body.diameter, plan.bulb.tail_diameter)
        layout.vertical(
            (length, -tail),
            (length, tail),
            f"{words} {shown.length(2.0 * tail / MM)}",
            start=length + layout.paper(4.0),
            outwards=1,
            key=key_of("bulb.tail_diameter", tail_wanted, 2.0 * tail / MM),
        )
    # A raked fin leans over one side of the pocket: its depth is shown on the other.
    leans_aft = bulb.axis.rake < 0.0
    depth = job.bulb.pocket_depth
    if depth > 0.0:
        fore, aft, _ = pocket_span(pocket.tip, pocket.clearance)
        edge = lead + MM * (fore if leans_aft else aft)
        side = -1.0 if leans_aft else 1.0
        layout.vertical(
            (edge, floor),
            (max_at, half),
            f"{'blade' if bulb.through else 'pocket'} {shown.length(depth)}",
            start=edge + side * layout.paper(4.0),
            outwards=side,
            beyond=1,
            key=key_of("fin.pocket_depth", plan.fin.pocket_depth, depth),
        )
    level = max(half, floor) + layout.paper(7.0)
    lean = bulb.axis.shift * (level + 3.0 * layout.letter - floor)
    if lead > 0.0:
        layout.horizontal(
            (0.0, 0.0),
            (lead, floor),
            f"ahead of fin {shown.length(lead / MM)}",
            start=level,
            outwards=1,
            side=-1,
            within=(0.0, lead - max(lean, 0.0)),
        )
    if lead + chord < length:
        layout.horizontal(
            (lead + chord, floor),
            (length, tail),
            f"behind fin {shown.length((length - lead - chord) / MM)}",
            start=level,
            outwards=1,
            within=(lead + chord - min(lean, 0.0), length),
        )
    below = -half - gap
    layout.horizontal(
        (0.0, 0.0),
        (centre[0], max(-half, min(half, centre[1]))),
        f"nose to mass centre {shown.length(bulb.mass_centre_x)}",
        start=below - layout.letter,
        outwards=-1,
    )
    layout.horizontal(
        (0.0, 0.0),
        (length, -tail),
        f"length {shown.length(body.length)}",
        start=below - 3.4 * layout.letter,
        outwards=-1,
        key=key_of("bulb.length", plan.bulb.length, body.length),
    )


def wall_is_seen_from_the_side(job: BulbResults) -> bool:
    """Whether the thinnest wall of the pocket is so near the centreplane that no cross section shows it."""
    wall = job.room.pocket.wall
    return wall is not None and abs(wall.y) < 0.1 * job.bulb.body.width


def _pocket_wall(job: BulbResults, layout: Layout) -> list[Label]:
    """Draw and label the pocket's thinnest wall, if it is ahead of, below or behind the pocket."""
    wall = job.room.pocket.wall
    pieces = pocket_side(job.bulb.body, job.bulb.axis, job.bulb.pocket)
    if wall is None or not pieces or not wall_is_seen_from_the_side(job):
        return []
    enough = wall.thickness >= job.wall_wanted
    surface = (MM * wall.x, MM * wall.z)
    near = nearest_on(pieces, surface)
    layout.line(Style.WALL_ENOUGH if enough else Style.WALL_SHORT, near, surface)
    return [
        Label(
            point=(0.5 * (near[0] + surface[0]), 0.5 * (near[1] + surface[1])),
            lines=("pocket wall", f"{job.shown.length(wall.thickness)}, {'enough' if enough else 'SHORT'}"),
            style=Style.LETTERING if enough else Style.SHORT,
        )
    ]
