"""Cross pins and cast-in studs as the centreplane and a look from above show them."""

from __future__ import annotations

import math

from bulbcast.bulb.hung.ledger import HungBulb
from bulbcast.bulb.views.outlines import MM, Slant
from bulbcast.drawing.shapes import Circle, Contour, Region, Shape, Style


def fitting_shapes(bulb: HungBulb, top: float) -> list[Shape]:
    """Pins and studs in the centreplane, studs broken off with the fin.

    Args:
        bulb: The sized bulb.
        top: Level at which the fin is broken off. [mm]
    """
    slant = Slant(bulb.axis)
    highest = (top / MM - bulb.axis.floor) / math.cos(bulb.axis.rake)
    shapes: list[Shape] = []
    for stud in bulb.stud_cuts:
        high = min(stud.above, highest)
        for across, style in ((stud.diameter, Style.SCREW), (stud.bore, Style.PLUG)):
            if across > 0.0 and high > -stud.below:
                corners = ((-0.5, -stud.below), (0.5, -stud.below), (0.5, high), (-0.5, high))
                outline: Contour = tuple(
                    slant.point(stud.at_x, share * across, along) for share, along in corners
                )
                shapes.append(Region(contours=(outline,), style=style))
    for pin in bulb.pin_cuts:
        x, z = pin.centre(bulb.axis)
        for across, style in ((pin.hole_diameter, Style.BEDDING), (pin.diameter, Style.SCREW)):
            shapes.append(Circle(centre=(MM * x, MM * z), radius=0.5 * MM * across, style=style))
    return shapes


def fittings_from_above(bulb: HungBulb) -> list[Shape]:
    """Pins along their length, and studs where they cross the pocket floor.

    Args:
        bulb: The sized bulb.
    """
    shapes: list[Shape] = []
    for stud in bulb.stud_cuts:
        centre = (MM * stud.at_x, 0.0)
        shapes.append(Circle(centre=centre, radius=0.5 * MM * stud.diameter, style=Style.SCREW))
        if stud.bore > 0.0:
            shapes.append(Circle(centre=centre, radius=0.5 * MM * stud.bore, style=Style.PLUG))
    for pin in bulb.pin_cuts:
        x, _ = pin.centre(bulb.axis)
        radius, half = 0.5 * pin.diameter, 0.5 * pin.length
        corners = ((x - radius, -half), (x + radius, -half), (x + radius, half), (x - radius, half))
        shapes.append(
            Region(contours=(tuple((MM * across, MM * out) for across, out in corners),), style=Style.SCREW)
        )
    return shapes
