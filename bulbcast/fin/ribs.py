"""Ribs of a built fin or rudder: the foil's section less its skin all round, less the centre plate's slot.

The skin lies on the ribs and is of one thickness, so that a rib is the parallel curve of the section inwards; a
section scaled down would be too thin at the nose and too thick aft. Section axes: x aft from the leading
edge of the finished foil, y to starboard.
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
    """A plate of one thickness in the foil's centreplane, root to tip.

    Attributes:
        thickness: [m]
        width: Fore and aft; None for one that takes the whole chord, with half ribs on either side. [m]
        at: Where its middle stands, as a fraction of each chord. [-]
    """

    thickness: float
    width: float | None
    at: float


@frozen
class Rib:
    """One rib.

    Attributes:
        share: Of the span below the root. [-]
        below_root: [m]
        chord: Of the finished foil there. [m]
        thickness: Nominal, of the finished foil there. [m]
        section: The finished foil's outline, shape (n, 2). [m]
        pieces: Outlines of what is cut, each with its holes after it; one whole rib, or two halves; none
            where the skin leaves nothing. [m]
        beside_slot: Least of the rib that is left beside the slot; None without a slot, below 0 where the slot
            breaks out. [m]
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
        """Of all that is cut, holes taken off. [m2]"""
        return math.fsum(
            _area(ring) if number == 0 else -_area(ring)
            for piece in self.pieces
            for number, ring in enumerate(piece)
        )


def section_outline(
    chord: float, thickness: float, *, chord_error: float, shape: Shape | None = None
) -> Array:
    """The foil's section as a polygon, counter-clockwise, no point repeated.

    Args:
        chord: [m]
        thickness: Nominal. [m]
        chord_error: Largest distance from the polygon to the curve. [m]
        shape: Of the section; None: the plain four-digit one.

    Returns:
        Shape (n, 2). [m]
    """
    tip = FinTip(chord=chord, thickness=thickness, shape=shape)
    # With points spaced by the cosine the sagitta goes with the square of their number; at the round
    # nose it is about 1.5 thickness / n^2, aft of it far less.
    along = min(max(48, math.ceil(math.sqrt(2.0 * thickness / chord_error))), _MOST_POINTS)
    return outline(tip, 0.0, along=along)


def rib_at(foil: Foil, share: float, *, skin: float, plate: CentrePlate | None, chord_error: float) -> Rib:
    """The rib at one place along the span.

    Args:
        foil: Fin or rudder.
        share: Of the span below the root, 0 to 1. [-]
        skin: Thickness of what is laid on the ribs; 0 for none. [m]
        plate: The centre plate, or None.
        chord_error: Largest distance from outlines to the true curves. [m]

    Returns:
        The rib; without pieces where skin and plate leave nothing.

    Raises:
        BoatFigureError: A share outside the span.
    """
    from shapely import Polygon, box

    if not 0.0 <= share <= 1.0:
        raise BoatFigureError(f"A rib at {share:g} of the span is not between root (0) and tip (1).")
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
    """Ribs evenly spaced, root and tip among them.

    Args:
        foil: Fin or rudder.
        count: Two at least. [-]
        skin: Thickness of what is laid on the ribs. [m]
        plate: The centre plate, or None.
        chord_error: Largest distance from outlines to the true curves. [m]

    Returns:
        Root first.

    Raises:
        BoatFigureError: Fewer than two.
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
    """Least wood between the slot's corners and the rib's outside; below 0 where a corner lies outside."""
    from shapely import Point

    distances = []
    for x in (low, high):
        corner = Point(x, half)
        away = float(rib.exterior.distance(corner))  # type: ignore[attr-defined]
        distances.append(away if rib.contains(corner) else -away)  # type: ignore[attr-defined]
    return min(distances)


def _pieces(shape: object) -> tuple[tuple[Array, ...], ...]:
    """Polygons as outlines with their holes, the upper or foremost first, slivers left out."""
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
    """The width at which a centre plate reaches the edge of the shortest chord: it must be narrower.

    Args:
        foil: Fin or rudder.
        at: Where the plate's middle stands, as a fraction of each chord, 0 to 1. [-]

    Returns:
        [m]
    """
    return 2.0 * min(foil.root_chord, foil.tip_chord) * min(at, 1.0 - at)
