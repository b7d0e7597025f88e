"""Cross pins: a card laid against the bulb's side with their centres, and their drill list."""

from __future__ import annotations

import numpy as np

from bulbcast.drawing.shapes import Circle, Contour, Shape, Style
from bulbcast.drawing.template import (
    CHORD_ERROR,
    LETTER,
    MM,
    Template,
    both_units,
    contour_mm,
    cut,
    lettered,
    marked,
)
from bulbcast.pattern.stations import Surface
from bulbcast.pattern_shop.results import ShopResults
from bulbcast.pattern_shop.templates.turning import TurningTable, heads_of_both, in_both

_AHEAD = 0.018


def pin_templates(job: ShopResults, finished: Surface) -> tuple[Template, ...]:
    """The side card with the pins' centres; none where there are no pins.

    Args:
        job: The results.
        finished: The finished lead's surface.
    """
    bulb = job.bulb
    if not bulb.pin_cuts:
        return ()
    centres = [pin.centre(bulb.axis) for pin in bulb.pin_cuts]
    fore = max(min(x for x, _ in centres) - _AHEAD, 0.02 * bulb.body.length)
    aft = min(max(x for x, _ in centres) + _AHEAD, 0.98 * bulb.body.length)
    if not fore < aft:
        return ()
    curve = contour_mm(finished.silhouette(from_above=False, chord_error=CHORD_ERROR))
    _, ends = finished.halves(np.array([fore, aft]))
    upper: Contour = (
        (MM * fore, MM * float(ends[0])),
        *((x, y) for x, y in curve if MM * fore < x < MM * aft),
        (MM * aft, MM * float(ends[1])),
    )
    outline: Contour = (*upper, *((x, -y) for x, y in reversed(upper)))
    shapes: list[Shape] = [
        cut(outline),
        marked((MM * fore, 0.0), (MM * aft, 0.0)),
        lettered((MM * fore + 1.5, 1.4 * LETTER), "NOSE", anchor="start"),
    ]
    for number, (pin, (x, z)) in enumerate(zip(bulb.pin_cuts, centres, strict=True), start=1):
        radius = 0.5 * MM * pin.hole_diameter
        at, up = MM * x, MM * z
        side = -1.0 if up > 0.0 else 1.0
        shapes += [
            Circle(centre=(at, up), radius=radius, style=Style.ENGRAVED),
            marked((at - 1.8 * radius, up), (at + 1.8 * radius, up)),
            marked((at, up - 1.8 * radius), (at, up + 1.8 * radius)),
            lettered((at + 1.8 * radius + 1.5, up + side * (1.8 * radius + 1.2)), str(number)),
        ]
    return (
        Template(
            name="pins-side",
            family="saddle",
            title="Cross pins, card for the side",
            notes=(
                f"left edge {both_units(fore)}, right edge {both_units(aft)} from the nose of the finished bulb",
                "seen from port; turned over for starboard; its edges follow crown and underside",
                "drill square to the centreplane, from both sides to the middle",
            ),
            shapes=tuple(shapes),
        ),
    )


def pin_list(job: ShopResults) -> TurningTable | None:
    """Where the pins' holes go; None without pins.

    Args:
        job: The results.
    """
    bulb = job.bulb
    if not bulb.pin_cuts:
        return None
    rows = []
    for number, pin in enumerate(bulb.pin_cuts, start=1):
        x, z = pin.centre(bulb.axis)
        rows.append((str(number), *in_both((x, z, pin.hole_diameter, pin.length))))
    return TurningTable(
        title="Cross pins",
        heads=("", *heads_of_both("from nose", "above axis", "hole", "pin length")),
        rows=tuple(rows),
        notes=("Square to the centreplane. Drill from both sides to the middle, by the card for the side.",),
    )
