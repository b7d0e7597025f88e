"""The bulb from above with the positions of its sections, and an enlarged view of the fin's tip on the pocket floor."""

from __future__ import annotations

import math

from bulbcast.bulb.results import BulbResults
from bulbcast.bulb.views.cross_sections import shown_pins
from bulbcast.bulb.views.fittings import draw_fittings_from_above
from bulbcast.bulb.views.outlines import (
    MM,
    body_outline,
    contour,
    key_of,
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
from bulbcast.drawing.layout import MARGIN, PAPER_WIDTH, Label, Layout, nice_scale
from bulbcast.drawing.shapes import Box, Style, View
from bulbcast.fin.tip_section import outline


def plan_view(job: BulbResults, *, beneath: View | None = None) -> View:
    """The plan view, at the scale of the side view.

    Args:
        job: The results.
        beneath: The side view above this one; its nose is aligned with the nose in this view.

    Returns:
        The view, with x aft of the nose and y to starboard drawn upwards.
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
    layout.centre_mark((MM * bulb.mass_centre_x, 0.0), _mark_radius(job, layout))
    _section_marks(job, layout, half)
    max_at = MM * body.max_at
    layout.vertical(
        (max_at, -half),
        (max_at, half),
        f"{'dia' if body.width_to_height == 1.0 else 'wide'} {shown.length(body.width)}",
        start=low - layout.paper(7.0),
        outwards=-1,
        key=key_of("bulb.diameter", job.plan.bulb.diameter, body.width),
    )
    layout.horizontal(
        (0.0, 0.0),
        (max_at, -half),
        f"nose to largest section {shown.length(body.max_at)}",
        start=-half - layout.paper(8.5),
        outwards=-1,
    )
    layout.scale_bar(low, layout.lowest - layout.paper(3.0), shown)
    wide = f"greatest width {shown.length(body.width)}, {shown.length(body.max_at)} from the nose"
    return layout.view("plan", f"The bulb from above: {wide}")


def _mark_radius(job: BulbResults, layout: Layout) -> float:
    """Radius of the mark at the mass centre, smaller if a screw is close to it. [mm]"""
    centre = job.bulb.mass_centre_x
    room = (MM * (abs(screw.at_x - centre) - 0.5 * screw.recess_diameter) for _, screw in shown_screws(job))
    return max(min(layout.paper(2.2), min(room, default=math.inf) - layout.paper(0.2)), layout.paper(1.2))


def _section_marks(job: BulbResults, layout: Layout, half: float) -> None:
    """Marks at the edges of the bulb where sections are taken, each with the name of its section."""
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
    """Name and distance from the nose of each cross section drawn. [mm]"""
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
    places += [
        (f"P{number}", MM * bulb.pin_cuts[number - 1].centre(bulb.axis)[0]) for number in shown_pins(job)
    ]
    return places


_SIDES = 28.0


def fin_plan(job: BulbResults) -> View:
    """View of the pocket floor from above.

    Args:
        job: The results.

    Returns:
        The view, with x aft of the tip's leading edge and y to starboard drawn upwards.
    """
    bulb, shown = job.bulb, job.shown
    pocket = bulb.pocket
    chord = MM * pocket.tip.chord
    lead = MM * pocket.leading_edge_x
    layout = Layout(nice_scale((PAPER_WIDTH - 2.0 * _SIDES) / chord))
    half = 0.5 * MM * pocket.tip.thickness
    layout.extend(Box(left=-layout.paper(_SIDES), bottom=-half, right=chord + layout.paper(_SIDES), top=half))
    if job.bulb.pocket_depth > 0.0:
        points = outline(pocket.tip, pocket.clearance, along=48, round_corner=4)
        layout.fill(Style.BEDDING, contour(points[:, 0], points[:, 1]))
    points = outline(pocket.tip, 0.0, along=48)
    layout.fill(Style.FIN, contour(points[:, 0], points[:, 1]))
    reach, above = half, []
    for number, screw in shown_screws(job):
        at = MM * screw.at_x - lead
        if not -0.2 * chord <= at <= 1.2 * chord:
            continue
        above.append(
            Label(
                point=(at, 0.0),
                lines=(f"screw {number}", shown.length(at / MM)),
                keys=("", f"screws[{number}].at"),
            )
        )
        if not math.isnan(seat_of(bulb, screw)):
            rings = (
                (0.5 * screw.recess_diameter, Style.HIDDEN),
                (0.5 * screw.hole_diameter, Style.HOLE),
                (0.5 * screw.diameter, Style.SCREW),
            )
            for radius, style in rings:
                ring = tuple((x - lead, y) for x, y in screw_plan(bulb, screw, radius, 0.0))
                layout.fill(style, ring)
            head = 0.5 * MM * screw.recess_diameter
            layout.keep_clear(Box(left=at - head, bottom=-head, right=at + head, top=head))
            reach = max(reach, min(head, 0.22 * chord))
    edge = layout.paper(3.0)
    layout.line(Style.AXIS, (-edge, 0.0), (chord + edge, 0.0))
    elastic = job.plan.fin.elastic_axis * chord
    layout.line(Style.HIDDEN, (elastic, -reach - edge), (elastic, reach + edge))
    centre = MM * bulb.mass_centre_x - lead
    below = [
        Label(point=(0.0, 0.0), lines=("leading edge", shown.length(0.0))),
        Label(point=(elastic, -reach - edge), lines=("elastic axis", shown.length(elastic / MM))),
        Label(
            point=(chord, 0.0), lines=("trailing edge", shown.length(chord / MM)), keys=("", "fin.tip_chord")
        ),
    ]
    if -0.3 * chord <= centre <= 1.3 * chord:
        layout.centre_mark((centre, 0.0), layout.paper(2.2))
        below.append(
            Label(
                point=(centre, -layout.paper(2.2)),
                lines=(
                    "mass centre",
                    f"{shown.length(centre / MM)}, {job.balance.along_chord:.2f} of the chord",
                ),
            )
        )
    left, right = -layout.paper(_SIDES - 4.0), chord + layout.paper(_SIDES - 4.0)
    layout.running(above, level=reach + 1.3 * edge, upwards=1, low=left, high=right)
    layout.running(below, level=-reach - 1.3 * edge, upwards=-1, low=left, high=right)
    layout.vertical(
        (0.3 * chord, -half),
        (0.3 * chord, half),
        f"fin {shown.length(pocket.tip.thickness)}",
        start=-layout.paper(7.0),
        outwards=-1,
        key="fin.tip_thickness",
    )
    layout.extend(Box(left=-layout.paper(_SIDES), bottom=-reach - edge, right=chord, top=reach + edge))
    layout.scale_bar(left, layout.lowest - layout.paper(3.0), shown)
    size = f"{shown.length(pocket.tip.chord)} by {shown.length(pocket.tip.thickness)}"
    return layout.view("fin-plan", f"The fin's tip on the pocket floor, {size}, from above")
