"""Drawings of cross pins and cast-in studs in the centreplane and from above."""

from __future__ import annotations

import math

from bulbcast.bulb.hung.ledger import HungBulb
from bulbcast.bulb.views.outlines import MM, Slant
from bulbcast.drawing.layout import Layout
from bulbcast.drawing.shapes import Circle, Style, rectangle


def draw_fittings(bulb: HungBulb, layout: Layout, top: float) -> None:
    """Draw pins and studs in the centreplane, with studs broken off at the same height as the fin.

    Args:
        bulb: The sized bulb.
        layout: Layout of the view.
        top: Height at which the fin is broken off. [mm]
    """
    slant = Slant(bulb.axis)
    highest = (top / MM - bulb.axis.floor) / math.cos(bulb.axis.rake)
    for stud in bulb.stud_cuts:
        high = min(stud.above, highest)
        for across, style in ((stud.diameter, Style.SCREW), (stud.bore, Style.PLUG)):
            if across > 0.0 and high > -stud.below:
                layout.fill(style, slant.rectangle(stud.at_x, 0.5 * across, -stud.below, high))
    for pin in bulb.pin_cuts:
        x, z = pin.centre(bulb.axis)
        for across, style in ((pin.hole_diameter, Style.BEDDING), (pin.diameter, Style.SCREW)):
            layout.add(Circle(centre=(MM * x, MM * z), radius=0.5 * MM * across, style=style))


def draw_fittings_from_above(bulb: HungBulb, layout: Layout) -> None:
    """Draw pins from above along their full length, dashed because the lead and the fin hide them, and studs where they
    cross the pocket floor.

    Args:
        bulb: The sized bulb.
        layout: Layout of the view.
    """
    for stud in bulb.stud_cuts:
        centre = (MM * stud.at_x, 0.0)
        for across, style in ((stud.diameter, Style.SCREW), (stud.bore, Style.PLUG)):
            if across > 0.0:
                layout.add(Circle(centre=centre, radius=0.5 * MM * across, style=style))
    for pin in bulb.pin_cuts:
        x, _ = pin.centre(bulb.axis)
        radius, half = 0.5 * pin.diameter, 0.5 * pin.length
        corners = rectangle(x - radius, -half, x + radius, half)
        layout.fill(Style.HIDDEN, tuple((MM * across, MM * out) for across, out in corners))
