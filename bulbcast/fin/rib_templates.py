"""Rib templates for fin and rudder, with skin and slot subtracted, and a planform that shows the positions of the ribs."""

from __future__ import annotations

from bulbcast.drawing.shapes import Contour, Shape, Style, Text
from bulbcast.drawing.template import (
    LETTER,
    MM,
    Template,
    both_units,
    contour_mm,
    cut,
    lettered,
    marked,
    seen,
)
from bulbcast.fin.built import FoilRibs
from bulbcast.fin.ribs import Rib


def rib_templates(built: FoilRibs) -> tuple[Template, ...]:
    """Draw the planform and the rib templates of one foil.

    Args:
        built: Built-up foil with its ribs.
    """
    ribs = [_rib(built, number, rib) for number, rib in enumerate(built.ribs, start=1) if rib.pieces]
    return (_planform(built), *ribs)


def _rib(built: FoilRibs, number: int, rib: Rib) -> Template:
    mark = f"{built.name[0].upper()}R{number}"
    shapes: list[Shape] = []
    drop = 0.0
    for piece in rib.pieces:
        rings = [contour_mm(ring) for ring in piece]
        if len(rib.pieces) > 1 and piece is rib.pieces[-1]:
            # The second half is set slightly apart, so that the two are separate parts.
            drop = 4.0
            rings = [tuple((x, y - drop) for x, y in ring) for ring in rings]
        shapes.append(cut(*rings))
    outer = contour_mm(rib.section)
    low = min(x for x, _ in outer)
    if built.skin > 0.0 and drop == 0.0:
        shapes.append(seen(*outer, outer[0]))
    if built.plate is None:
        shapes.append(marked((MM * built.skin + low, 0.0), (MM * rib.chord * 0.995 - MM * built.skin, 0.0)))
    where = "at the root" if rib.share == 0.0 else "at the tip" if rib.share == 1.0 else "below the root"
    place = where if rib.share in (0.0, 1.0) else f"{both_units(rib.below_root)} {where}"
    notes = [
        f"{place}; finished chord {both_units(rib.chord)}, finished thickness {both_units(rib.thickness)}"
    ]
    if built.skin > 0.0:
        notes.append(f"{both_units(built.skin)} already subtracted all round for the skin")
    if built.plate is not None:
        notes.append(
            f"slot for the centre plate: {both_units(built.plate.thickness)} by {both_units(built.plate.width)}"
            if built.plate.width is not None
            else f"two halves for a centre plate {both_units(built.plate.thickness)} thick"
        )
    return Template(
        name=f"rib-{built.name}-{number}",
        family="ribs",
        title=f"Rib {mark} of the {built.name}, {'halves' if len(rib.pieces) > 1 else 'whole'}",
        notes=tuple(notes),
        shapes=tuple(shapes),
    )


def _planform(built: FoilRibs) -> Template:
    """Draw the foil in side view, with the root at the top and the leading edge on the left."""
    foil = built.foil
    start = min(foil.root_leading_edge_x, foil.tip_leading_edge_x)

    def edges(share: float) -> tuple[float, float, float]:
        fore = MM * (foil.leading_edge_at(share) - start)
        return fore, fore + MM * foil.chord_at(share), -MM * share * foil.span

    (root_fore, root_aft, _), (tip_fore, tip_aft, low) = edges(0.0), edges(1.0)
    outline: Contour = ((root_fore, 0.0), (tip_fore, low), (tip_aft, low), (root_aft, 0.0))
    shapes: list[Shape] = [cut(outline)]
    for number, rib in enumerate(built.ribs, start=1):
        fore, aft, level = edges(rib.share)
        if 0.0 < rib.share < 1.0:
            shapes.append(marked((fore, level), (aft, level)))
        at = level - 0.9 * LETTER if rib.share < 1.0 else level + 0.9 * LETTER
        shapes.append(lettered((fore + 0.85 * (aft - fore), at), f"{built.name[0].upper()}R{number}"))
    shapes += _plate(built)
    shapes.append(
        Text(at=(0.62 * root_aft, -0.5 * LETTER - 2.0), text="ROOT", height=LETTER, style=Style.ENGRAVED)
    )
    return Template(
        name=f"planform-{built.name}",
        family="ribs",
        title=f"Planform of the {built.name}",
        notes=(
            f"span {both_units(foil.span)}, chords {both_units(foil.root_chord)} and {both_units(foil.tip_chord)}",
            "leading edge on the left; cross lines show the ribs"
            + ("; dotted lines show the centre plate" if built.plate else ""),
        ),
        shapes=tuple(shapes),
    )


def _plate(built: FoilRibs) -> list[Shape]:
    plate, foil = built.plate, built.foil
    if plate is None or plate.width is None:
        return []
    start = min(foil.root_leading_edge_x, foil.tip_leading_edge_x)
    lines: list[Shape] = []
    for side in (-0.5, 0.5):
        ends = []
        for share in (0.0, 1.0):
            middle = foil.leading_edge_at(share) - start + plate.at * foil.chord_at(share)
            ends.append((MM * (middle + side * plate.width), -MM * share * foil.span))
        lines.append(seen(*ends))
    return lines
