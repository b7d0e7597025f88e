"""Ribs of a built-up fin or rudder: the foil's section less the skin all round and the slot for the centre plate.

The skin has uniform thickness, so a rib is the section's outline offset inwards. A scaled-down section would be too
thin at the nose and too thick aft. Section axes: x aft from the leading edge of the finished foil, y to starboard.
"""

from __future__ import annotations

import math

import numpy as np

from bulbcast.fin.foil import Foil
from bulbcast.fin.shape import Shape
from bulbcast.fin.tip_section import FinTip, outline
from bulbcast.quantities.checked import BoatFigureError
from bulbcast.quantities.frozen import frozen
from bulbcast.solids.quadrature import Array

_MOST_POINTS = 3000


@frozen
class CentrePlate:
    """A plate of uniform thickness in the foil's centreplane, from root to tip.

    Attributes:
        thickness: Thickness. [m]
        width: Fore-and-aft width; None for a plate over the full chord, with half ribs on either side. [m]
        at: Position of the plate's middle, as a fraction of each chord. [-]
    """

    thickness: float
    width: float | None
    at: float


@frozen
class Rib:
    """A rib of a built-up foil.

    Attributes:
        share: Distance below the root, as a fraction of the span. [-]
        below_root: Distance below the root. [m]
        chord: Chord of the finished foil at the rib. [m]
        thickness: Nominal thickness of the finished foil at the rib. [m]
        section: Outline of the finished foil at the rib, shape (n, 2). [m]
        pieces: Outlines to cut, each followed by its holes: one complete rib, two halves, or none if the skin leaves no
            room. [m]
        beside_slot: Smallest width of rib left next to the slot; None without a slot, negative if the slot cuts through
            the rib's side. [m]
    """

    share: float
    below_root: float
    chord: float
    thickness: float
    section: Array
    pieces: tuple[tuple[Array, ...], ...]
    beside_slot: float | None

    @property
    def area(self) -> float:
        """Area of all pieces, less their holes. [m2]"""
        return math.fsum(
            _area(ring) if number == 0 else -_area(ring)
            for piece in self.pieces
            for number, ring in enumerate(piece)
        )


def section_outline(
    chord: float, thickness: float, *, chord_error: float, shape: Shape | None = None
) -> Array:
    """Return the foil's section as a counter-clockwise polygon without a repeated point.

    Args:
        chord: Chord. [m]
        thickness: Nominal thickness. [m]
        chord_error: Largest distance from the polygon to the curve. [m]
        shape: Shape of the section; None for the plain four-digit section.

    Returns:
        Points of the polygon, shape (n, 2). [m]
    """
    tip = FinTip(chord=chord, thickness=thickness, shape=shape)
    # With cosine spacing the sagitta is inversely proportional to the square of the number of points. At the round nose
    # it is about 1.5 thickness / n^2, and far less aft of it.
    along = min(max(48, math.ceil(math.sqrt(2.0 * thickness / chord_error))), _MOST_POINTS)
    return outline(tip, 0.0, along=along)


def rib_at(foil: Foil, share: float, *, skin: float, plate: CentrePlate | None, chord_error: float) -> Rib:
    """Return the rib at a given fraction of the span.

    Args:
        foil: Fin or rudder.
        share: Distance below the root, as a fraction of the span, 0 to 1. [-]
        skin: Thickness of the skin over the ribs; 0 for none. [m]
        plate: Centre plate, or None.
        chord_error: Largest distance from the outlines to the true curves. [m]

    Returns:
        The rib; it has no pieces if the skin and the plate leave no room for it.

    Raises:
        BoatFigureError: The fraction is outside the range 0 to 1.
    """
    from shapely import Polygon, box

    if not 0.0 <= share <= 1.0:
        raise BoatFigureError(f"A rib at {share:g} of the span is not between the root (0) and the tip (1).")
    chord, thickness = foil.chord_at(share), foil.thickness_at(share)
    section = section_outline(chord, thickness, chord_error=chord_error, shape=foil.shape)
    solid = Polygon(section)
    rib = solid.buffer(-skin, join_style="mitre") if skin > 0.0 else solid
    beside: float | None = None
    if plate is not None and not rib.is_empty:
        half = 0.5 * plate.thickness
        if plate.width is None:
            low, high = -chord, 2.0 * chord
        else:
            low = plate.at * chord - 0.5 * plate.width
            high = low + plate.width
            beside = _beside(rib, low, high, half)
        rib = rib.difference(box(low, -half, high, half))
    return Rib(
        share=share,
        below_root=share * foil.span,
        chord=chord,
        thickness=thickness,
        section=section,
        pieces=_pieces(rib),
        beside_slot=beside,
    )


def ribs_of(
    foil: Foil, count: int, *, skin: float, plate: CentrePlate | None, chord_error: float
) -> tuple[Rib, ...]:
    """Return evenly spaced ribs, including root and tip.

    Args:
        foil: Fin or rudder.
        count: Number of ribs, at least two. [-]
        skin: Thickness of the skin over the ribs. [m]
        plate: Centre plate, or None.
        chord_error: Largest distance from the outlines to the true curves. [m]

    Returns:
        Ribs from the root down.

    Raises:
        BoatFigureError: Fewer than two ribs are requested.
    """
    if count < 2:
        raise BoatFigureError(
            f"{count} ribs were requested, but a foil needs at least two, one at the root and one at the tip."
        )
    return tuple(
        rib_at(foil, number / (count - 1), skin=skin, plate=plate, chord_error=chord_error)
        for number in range(count)
    )


def _beside(rib: object, low: float, high: float, half: float) -> float:
    """Return the minimum width of wood between the slot's corners and the rib's outline, negative if a corner is outside.
    [m]"""
    from shapely import Point

    distances = []
    for x in (low, high):
        corner = Point(x, half)
        away = float(rib.exterior.distance(corner))  # type: ignore[attr-defined]
        distances.append(away if rib.contains(corner) else -away)  # type: ignore[attr-defined]
    return min(distances)


def _pieces(shape: object) -> tuple[tuple[Array, ...], ...]:
    """Convert polygons to outlines, each followed by its holes, and drop slivers. The outlines are sorted from
    starboard to port, then from forward to aft."""
    parts = [each for each in getattr(shape, "geoms", [shape]) if not each.is_empty]
    parts = [each for each in parts if each.area > 1e-9]
    parts.sort(key=lambda each: (-round(each.centroid.y, 9), each.centroid.x))
    return tuple(
        tuple(np.asarray(ring.coords, dtype=np.float64)[:-1] for ring in (each.exterior, *each.interiors))
        for each in parts
    )


def _area(ring: Array) -> float:
    x, y = ring[:, 0], ring[:, 1]
    return 0.5 * abs(float(np.sum(x * np.roll(y, -1) - np.roll(x, -1) * y)))


def plate_room(foil: Foil, at: float) -> float:
    """Return the width at which a centre plate would reach an end of the shorter chord. A plate must be narrower.

    Args:
        foil: Fin or rudder.
        at: Position of the plate's middle, as a fraction of each chord, 0 to 1. [-]

    Returns:
        Limiting width. [m]
    """
    return 2.0 * min(foil.root_chord, foil.tip_chord) * min(at, 1.0 - at)
