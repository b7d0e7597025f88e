"""The bulb from above: outline, the pocket's mouth, screw holes, and where sections are taken."""

from __future__ import annotations

import math

from bulbcast.bulb.results import BulbResults
from bulbcast.bulb.views.fittings import draw_fittings_from_above
from bulbcast.bulb.views.outlines import (
    MM,
    body_outline,
    pocket_plan,
    screw_plan,
    seat_of,
    skin_outline,
)
from bulbcast.bulb.views.side_view import (
    LEFT,
    RIGHT,
    along_extent,
    along_scale,
    shown_screws,
    wall_is_seen_from_the_side,
)
from bulbcast.drawing.layout import MARGIN, Label, Layout
from bulbcast.drawing.shapes import Box, Style, View


def plan_view(job: BulbResults, *, beneath: View | None = None) -> View:
    """The plan view, to the scale of the side view.

    Args:
        job: The results.
        beneath: The side view it is to stand under, nose under nose.

    Returns:
        The view; x aft of the nose, y to starboard counted up.
    """
    bulb, shown = job.bulb, job.shown
    body, pocket = bulb.body, bulb.pocket
    layout = Layout(along_scale(job))
    half = 0.5 * MM * body.width
    low, high = along_extent(job)
    layout.extend(
        Box(left=low - layout.paper(LEFT), bottom=-half, right=high + layout.paper(RIGHT), top=half)
    )
    if beneath is not None:
        margin = layout.paper(MARGIN)
        layout.extend(
            Box(left=beneath.box.left + margin, bottom=-half, right=beneath.box.right - margin, top=half)
        )
    across = math.sqrt(body.width_to_height)
    if bulb.skin > 0.0:
        layout.fill(Style.SKIN, skin_outline(body, across, layout.paper(0.8)))
    layout.fill(Style.LEAD, body_outline(body, across))
    has_pocket = job.bulb.pocket_depth > 0.0
    if has_pocket:
        mouth = pocket_plan(bulb, clearance=pocket.clearance, at_surface=True)
        layout.fill(Style.BEDDING, mouth)
    fin = pocket_plan(bulb, clearance=0.0, at_surface=True)
    layout.fill(Style.FIN, fin)
    if bulb.axis.rake != 0.0:
        foot = pocket_plan(bulb, clearance=pocket.clearance if has_pocket else 0.0, at_surface=False)
        layout.fill(Style.HIDDEN, foot)
    draw_fittings_from_above(bulb, layout)
    for _, screw in shown_screws(job):
        seat = seat_of(bulb, screw)
        if math.isnan(seat):
            continue
        layout.fill(Style.HIDDEN, screw_plan(bulb, screw, 0.5 * screw.recess_diameter, seat))
        layout.fill(Style.HOLE, screw_plan(bulb, screw, 0.5 * screw.hole_diameter, 0.0))
        layout.fill(Style.SCREW, screw_plan(bulb, screw, 0.5 * screw.diameter, 0.0))
    room = layout.paper(4.0)
    layout.line(Style.AXIS, (low - room, 0.0), (high + room, 0.0))
    layout.centre_mark((MM * bulb.mass_centre_x, 0.0), layout.paper(2.2))
    _section_marks(job, layout, half)
    max_at = MM * body.max_at
    layout.vertical(
        (max_at, -half),
        (max_at, half),
        f"{'dia' if body.width_to_height == 1.0 else 'wide'} {shown.length(body.width)}",
        start=low - layout.paper(7.0),
        outwards=-1,
    )
    layout.horizontal(
        (0.0, 0.0),
        (max_at, -half),
        f"nose to largest section {shown.length(body.max_at)}",
        start=-half - layout.paper(8.5),
        outwards=-1,
    )
    layout.scale_bar(low, layout.lowest - layout.paper(3.0), shown)
    return layout.view("plan", "Plan view, from above")


def _section_marks(job: BulbResults, layout: Layout, half: float) -> None:
    """Strokes at the edges of the bulb where sections are taken, each with its section's name."""
    places = section_places(job)
    end = half + layout.paper(3.6)
    for _, at in places:
        for side in (-1.0, 1.0):
            layout.line(Style.OUTLINE, (at, side * (half + layout.paper(1.0))), (at, side * end))
    low, high = along_extent(job)
    layout.running(
        [Label(point=(at, end), lines=(name,), style=Style.HEADING) for name, at in places],
        level=end,
        upwards=1,
        low=low,
        high=high,
    )


def section_places(job: BulbResults) -> list[tuple[str, float]]:
    """The sections across that are drawn: name and place from the nose. [mm]"""
    bulb = job.bulb
    places = [("A", MM * bulb.body.max_at)]
    wall = job.room.pocket.wall
    if wall is not None and not wall_is_seen_from_the_side(job):
        places.append(("B", MM * wall.x))
    places += [
        (str(number), MM * screw.at_x)
        for number, screw in shown_screws(job)
        if not math.isnan(seat_of(bulb, screw))
    ]
    return places
