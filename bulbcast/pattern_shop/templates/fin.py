"""Templates of the fin's tip section, with a card for marking its pocket on the bulb's crown and a card for the cross
pins."""

from __future__ import annotations

import math

import numpy as np

from bulbcast.bulb.hung.ledger import HungBulb
from bulbcast.bulb.views.outlines import pocket_plan, pocket_side
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
    rectangle,
    seen,
)
from bulbcast.fin.tip_section import FinTip, Slot, outline
from bulbcast.pattern.stations import Surface
from bulbcast.pattern_shop.results import ShopResults
from bulbcast.pattern_shop.templates.turning import TurningTable, heads_of_both, in_both

_ALONG, _CORNER = 160, 6


def tip_outline(tip: FinTip, clearance: float) -> Contour:
    """Outline of the section enlarged by a clearance, with x aft of its leading edge. [mm]"""
    return contour_mm(outline(tip, clearance, along=_ALONG, round_corner=_CORNER))


def fin_templates(bulb: HungBulb) -> tuple[Template, ...]:
    """Templates of the fin's tip and of the pocket, with the positions of the screws.

    Args:
        bulb: The sized bulb; no pocket template is made if the fin stands on the crown.
    """
    pocket = bulb.pocket
    tip = tip_outline(pocket.tip, 0.0)
    chord, half = MM * pocket.tip.chord, 0.5 * MM * pocket.tip.thickness
    screws = [MM * (screw.at_x - pocket.leading_edge_x) for screw in bulb.screw_cuts]
    crosses = [marked((at, -0.7 * half), (at, 0.7 * half)) for at in screws if 0.0 < at < chord]
    found = [
        Template(
            name="fin-tip",
            family="fin",
            title="Fin tip section",
            notes=(
                f"whole; chord {both_units(pocket.tip.chord)}, {both_units(pocket.tip.thickness)} thick, nose left",
                *(("cross lines: the screws, on the pocket floor",) if crosses else ()),
            ),
            shapes=(cut(tip), marked((0.0, 0.0), (chord, 0.0)), *crosses),
        )
    ]
    if bulb.pocket_depth > 1e-9:
        found.append(_pocket_card(bulb, tip, screws))
    return tuple(found)


def _pocket_card(bulb: HungBulb, tip: Contour, screws: list[float]) -> Template:
    """A card with a hole the shape of the pocket, to lay on the crown or hold against the pocket."""
    pocket, depth = bulb.pocket, bulb.pocket_depth
    hole = tip_outline(pocket.tip, pocket.clearance)
    fore, aft = min(x for x, _ in hole), max(x for x, _ in hole)
    left, right, high = fore - 14.0, aft + 14.0, max(y for _, y in hole) + 9.0
    shapes: list[Shape] = [
        cut(rectangle(left, -high, right, high), hole),
        marked((left, 0.0), (fore - 0.5, 0.0)),
        marked((aft + 0.5, 0.0), (right, 0.0)),
        seen(*tip, tip[0]),
        lettered((left + 7.0, high - 3.2), "NOSE"),
        lettered((right - 6.0, high - 3.2), "TAIL"),
        *(Circle(centre=(at, 0.0), radius=0.6, style=Style.REFERENCE) for at in screws),
    ]
    ahead = bulb.axis.shift * depth
    notes = [
        _of_pocket(pocket.tip.slot, pocket.clearance),
        f"leading edge {both_units(pocket.leading_edge_x - ahead)} from the nose at the height of the crown",
    ]
    if bulb.axis.rake != 0.0 and not bulb.through:
        notes.append(
            f"raked {math.degrees(bulb.axis.rake):.1f} deg: {both_units(abs(ahead))} further "
            f"{'aft' if ahead > 0.0 else 'forward'} at the pocket floor"
        )
    notes.append(
        "right through, crown to underside"
        if bulb.through
        else f"pocket {both_units(depth)} deep below the crown"
    )
    return Template(
        name="pocket",
        family="fin",
        title="Pocket outline with clearance" if pocket.tip.slot is None else "Slot outline",
        notes=tuple(notes),
        shapes=tuple(shapes),
    )


def _of_pocket(slot: Slot | None, clearance: float) -> str:
    if slot is None:
        return f"clearance {both_units(clearance)} all round; dotted: the fin's tip"
    size = f"{both_units(slot.length)} long, {both_units(slot.width)} wide"
    return f"slot {size}, starting {both_units(slot.at)} aft of the leading edge; dotted: the fin's tip"


def pocket_from_aside(bulb: HungBulb) -> Contour:
    """Outline of the pocket in the centreplane, bulb axes; empty if none of it is in the lead. [mm]"""
    pieces = pocket_side(bulb.body, bulb.axis, bulb.pocket)
    return max(pieces, key=len, default=())


def pocket_from_above(bulb: HungBulb) -> Contour:
    """Outline of the pocket in the lead's upper surface, seen from above, bulb axes. [mm]"""
    return pocket_plan(bulb, clearance=bulb.pocket.clearance, at_surface=True)


_AHEAD = 0.018


def pin_templates(job: ShopResults, finished: Surface) -> tuple[Template, ...]:
    """Side card with the centres of the pins; nothing if there are no pins.

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
            title="Cross pins, side card",
            notes=(
                f"left edge {both_units(fore)}, right edge {both_units(aft)} from the nose of the finished bulb",
                "seen from port (turn it over for starboard); edges follow the crown and the underside",
                "drill at right angles to the centreplane, from both sides to the middle",
            ),
            shapes=tuple(shapes),
        ),
    )


def pin_list(job: ShopResults) -> TurningTable | None:
    """Table of the holes for the pins; None without pins.

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
        notes=(
            "At right angles to the centreplane. Drill from both sides to the middle, with the side card as a guide.",
        ),
    )
