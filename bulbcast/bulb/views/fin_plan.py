"""The fin's tip from above, enlarged: pocket, screws, elastic axis, and where the mass centre hangs."""

from __future__ import annotations

import math

from bulbcast.bulb.results import BulbResults
from bulbcast.bulb.views.outlines import MM, contour, screw_plan, seat_of
from bulbcast.bulb.views.side_view import shown_screws
from bulbcast.drawing.layout import PAPER_WIDTH, Label, Layout, nice_scale
from bulbcast.drawing.shapes import Box, Style, View
from bulbcast.fin.tip_section import outline

_SIDES = 28.0


def fin_plan(job: BulbResults) -> View:
    """The pocket floor from above.

    Args:
        job: The results.

    Returns:
        The view; x aft of the tip's leading edge, y to starboard counted up.
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
        above.append(Label(point=(at, 0.0), lines=(f"screw {number}", shown.length(at / MM))))
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
        Label(point=(chord, 0.0), lines=("trailing edge", shown.length(chord / MM))),
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
    )
    layout.extend(Box(left=-layout.paper(_SIDES), bottom=-reach - edge, right=chord, top=reach + edge))
    layout.scale_bar(left, layout.lowest - layout.paper(3.0), shown)
    return layout.view("fin-plan", "The fin's tip on the pocket floor, from above")
