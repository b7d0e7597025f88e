"""Nose and tail gauges: boards with the end's outline hollowed out, slid on along the axis."""

from __future__ import annotations

import numpy as np

from bulbcast.drawing.shapes import Contour
from bulbcast.drawing.template import (
    CHORD_ERROR,
    LETTER,
    MM,
    Template,
    board_border,
    both_units,
    contour_mm,
    cut,
    lettered,
    marked,
)
from bulbcast.pattern.stations import Surface
from bulbcast.solids.quadrature import Array

# How far along the bulb a gauge reaches, in its diameters.
_NOSE, _TAIL = 0.75, 1.25


def end_gauges(surface: Surface, *, letter: str) -> tuple[Template, ...]:
    """Nose and tail gauge in each plane that has an outline of its own.

    Args:
        surface: To carve or to fair.
        letter: That the surface's stations begin with.

    Returns:
        Two of a round surface, four of a flattened one.
    """
    planes = (("", True),) if surface.round else (("side", False), ("plan", True))
    found: list[Template] = []
    for words, from_above in planes:
        curve = surface.silhouette(from_above=from_above, chord_error=CHORD_ERROR)
        found += [_gauge(surface, curve, letter, words, nose=nose) for nose in (True, False)]
    return tuple(found)


def _gauge(surface: Surface, curve: Array, letter: str, plane: str, *, nose: bool) -> Template:
    length = surface.length
    largest = max(surface.width, surface.height)
    if nose:
        deep = min(_NOSE * largest, surface.largest_at)
        kept = _until(curve, deep)
    else:
        deep = min(_TAIL * largest, length - surface.largest_at)
        turned = np.stack([length - curve[::-1, 0], curve[::-1, 1]], axis=1)
        kept = _until(turned, deep)
    border = board_border(MM * largest)
    end = "nose" if nose else "tail"
    side = contour_mm(kept)
    high = side[-1][1] + border
    mouth = MM * deep
    hollow: Contour = (
        *reversed(side),
        *((x, -y) for x, y in side[1:]),
        (mouth, -high),
        (-border, -high),
        (-border, high),
        (mouth, high),
    )
    return Template(
        name=f"{end}-{letter.lower()}" + (f"-{plane}" if plane else ""),
        family="gauges",
        title=f"{end.capitalize()} gauge of the {surface.name}" + (f", {plane}" if plane else ""),
        notes=(
            f"whole; the hollow is {both_units(deep)} deep along the axis",
            "round: turn it about the axis" if surface.round else f"held in the {plane} plane",
        ),
        shapes=(
            cut(hollow),
            marked((-border, 0.0), (-0.5, 0.0)),
            lettered((-border + 2.0, high - LETTER), f"{letter} {end} {plane}".strip(), anchor="start"),
        ),
    )


def _until(curve: Array, deep: float) -> Array:
    """The curve from its end on the axis to where it has come so deep, a last point set there."""
    inside = curve[curve[:, 0] < deep - 1e-12]
    beyond = curve[len(inside)]
    before = inside[-1]
    share = (deep - before[0]) / (beyond[0] - before[0]) if beyond[0] > before[0] else 1.0
    last = before + share * (beyond - before)
    return np.vstack([inside, [[deep, last[1]]]])
