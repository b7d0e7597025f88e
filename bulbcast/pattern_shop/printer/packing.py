"""Layout of pieces on a printer's bed, and the material that they need."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np

from bulbcast.pattern_shop.pieces.joints import Position
from bulbcast.pattern_shop.printer.bed import Bed
from bulbcast.quantities.frozen import frozen
from bulbcast.solids.quadrature import Array

_LYING: dict[str, tuple[tuple[float, float, float], ...]] = {
    # Rows: directions of the printer's x, y and z in bulb axes; the parting face is on the bed.
    "upper": ((1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0)),
    "lower": ((1.0, 0.0, 0.0), (0.0, -1.0, 0.0), (0.0, 0.0, -1.0)),
    "starboard": ((1.0, 0.0, 0.0), (0.0, 0.0, -1.0), (0.0, 1.0, 0.0)),
    "port": ((1.0, 0.0, 0.0), (0.0, 0.0, 1.0), (0.0, -1.0, 0.0)),
    "": ((1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0)),
}
# On end, the printer's x is across the edge of the parting plane: athwartships, or up if the parting plane is vertical.
_FORE_FACE_DOWN = ((0.0, 1.0, 0.0), (0.0, 0.0, 1.0), (1.0, 0.0, 0.0))
_AFT_FACE_DOWN = ((0.0, 1.0, 0.0), (0.0, 0.0, -1.0), (-1.0, 0.0, 0.0))
_UPRIGHT_FORE_FACE_DOWN = ((0.0, 0.0, 1.0), (0.0, -1.0, 0.0), (1.0, 0.0, 0.0))
_UPRIGHT_AFT_FACE_DOWN = ((0.0, 0.0, 1.0), (0.0, 1.0, 0.0), (-1.0, 0.0, 0.0))


def print_turn(half: str, position: Position, *, angle: float, aft_face_down: bool) -> Array:
    """Rotation of a piece from bulb axes to those of the printer, z up.

    Args:
        half: "upper", "lower", "starboard", "port", or "" for an unparted piece.
        position: Position on the bed, either flat face down or on end.
        angle: Angle of a further turn about the printer's z, counter-clockwise. [rad]
        aft_face_down: Whether the aft end of a standing piece is down.

    Returns:
        A rotation, shape (3, 3): printer = turn @ bulb. [-]
    """
    if position == "lying":
        rows = _LYING[half]
    elif half in ("starboard", "port"):
        rows = _UPRIGHT_AFT_FACE_DOWN if aft_face_down else _UPRIGHT_FORE_FACE_DOWN
    else:
        rows = _AFT_FACE_DOWN if aft_face_down else _FORE_FACE_DOWN
    c, s = math.cos(angle), math.sin(angle)
    about = np.array([[c, -s, 0.0], [s, c, 0.0], [0.0, 0.0, 1.0]])
    turn: Array = about @ np.array(rows)
    return turn


@frozen
class Place:
    """Position of a piece: the plate, counted from 1, and the lower left corner of the piece's box within the margins.
    [m]"""

    plate: int
    x: float
    y: float


def packed(sizes: Sequence[tuple[float, float]], bed: Bed, gap: float) -> tuple[Place, ...]:
    """Lay out pieces in order, in rows from left to right on one or more plates, each in the first row with room.

    Args:
        sizes: Length and width of the box round each piece once the piece is turned. [m]
        bed: The bed within its margins.
        gap: Gap between pieces. [m]

    Returns:
        A position for each piece; a piece that does not fit the bed has a plate to itself.
    """
    hair = 1e-9
    places: list[Place] = []
    # Rows of each plate: foot, height, and how much of the length is used.
    plates: list[list[list[float]]] = []

    def place(length: float, width: float) -> Place:
        for number, rows in enumerate(plates, start=1):
            for row in rows:
                if row[2] + length <= bed.length + hair and width <= row[1] + hair:
                    found = Place(plate=number, x=row[2], y=row[0])
                    row[2] += length + gap
                    return found
            foot = rows[-1][0] + rows[-1][1] + gap
            if foot + width <= bed.width + hair and length <= bed.length + hair:
                rows.append([foot, width, length + gap])
                return Place(plate=number, x=0.0, y=foot)
        plates.append([[0.0, width, length + gap]])
        return Place(plate=len(plates), x=0.0, y=0.0)

    for length, width in sizes:
        places.append(place(length, width))
    return tuple(places)


def material_volume(volume: float, area: float, *, shell: float, infill: float) -> float:
    """Volume of material in a print with a solid shell under every face and infill inside the shell.

    Args:
        volume: Volume of the piece. [m3]
        area: Area of its complete surface. [m2]
        shell: Thickness of the shell. [m]
        infill: Fraction of the inside that is printed. [-]

    Returns:
        An estimate: the shell is calculated as area times thickness, which slightly overestimates it at edges. [m3]
    """
    solid = min(volume, area * shell)
    return solid + infill * (volume - solid)
