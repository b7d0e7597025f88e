"""How pieces lie on a printer's bed, and what they take of material."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from bulbcast.casting.bed import Bed
from bulbcast.casting.joints import Position
from bulbcast.shape.quadrature import Array

# The usual filament. [m]
FILAMENT = 0.00175

_LYING: dict[str, tuple[tuple[float, float, float], ...]] = {
    # Rows: where the printer's x, y and z point in bulb axes; the parting face comes down on the bed.
    "upper": ((1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0)),
    "lower": ((1.0, 0.0, 0.0), (0.0, -1.0, 0.0), (0.0, 0.0, -1.0)),
    "starboard": ((1.0, 0.0, 0.0), (0.0, 0.0, -1.0), (0.0, 1.0, 0.0)),
    "port": ((1.0, 0.0, 0.0), (0.0, 0.0, 1.0), (0.0, -1.0, 0.0)),
    "": ((1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0)),
}
_FORE_FACE_DOWN = ((0.0, 1.0, 0.0), (0.0, 0.0, 1.0), (1.0, 0.0, 0.0))
_AFT_FACE_DOWN = ((0.0, 0.0, 1.0), (0.0, 1.0, 0.0), (-1.0, 0.0, 0.0))


def print_turn(half: str, position: Position, *, angle: float, aft_face_down: bool) -> Array:
    """How a piece is turned from bulb axes to the printer's, z up.

    Args:
        half: "upper", "lower", "starboard", "port", or "" for an unparted one.
        position: Flat face down, or on end.
        angle: About the printer's z afterwards, counter-clockwise. [rad]
        aft_face_down: Standing, which end is down.

    Returns:
        A rotation, shape (3, 3): printer = turn @ bulb. [-]
    """
    rows = _LYING[half] if position == "lying" else _AFT_FACE_DOWN if aft_face_down else _FORE_FACE_DOWN
    c, s = math.cos(angle), math.sin(angle)
    about = np.array([[c, -s, 0.0], [s, c, 0.0], [0.0, 0.0, 1.0]])
    turn: Array = about @ np.array(rows)
    return turn


@dataclass(frozen=True, slots=True, kw_only=True)
class Place:
    """Where a piece lies: plate, counted from 1, and the lower left corner of its box within the margins. [m]"""

    plate: int
    x: float
    y: float


def packed(sizes: Sequence[tuple[float, float]], bed: Bed, gap: float) -> tuple[Place, ...]:
    """Pieces in their order on as few plates as rows of them take: from left to right, row above row.

    Args:
        sizes: Length and width of the box round each, as it is turned. [m]
        bed: Within its margins.
        gap: Between pieces. [m]

    Returns:
        A place for each; one that fits no bed has a plate to itself.
    """
    places: list[Place] = []
    plate, x, y, row = 1, 0.0, 0.0, 0.0
    for length, width in sizes:
        if x > 0.0 and x + length > bed.length + 1e-9:
            x, y, row = 0.0, y + row + gap, 0.0
        if y > 0.0 and y + width > bed.width + 1e-9:
            plate, x, y, row = plate + 1, 0.0, 0.0, 0.0
        places.append(Place(plate=plate, x=x, y=y))
        x, row = x + length + gap, max(row, width)
    return tuple(places)


def material_volume(volume: float, area: float, *, shell: float, infill: float) -> float:
    """Material in a print: a solid shell under every face, and infill in the rest.

    Args:
        volume: Of the piece. [m3]
        area: Of its whole surface. [m2]
        shell: Thickness. [m]
        infill: Share of the inside that is printed. [-]

    Returns:
        An estimate: the shell is reckoned as area times thickness, which is a little much at edges. [m3]
    """
    solid = min(volume, area * shell)
    return solid + infill * (volume - solid)


def filament_length(volume: float) -> float:
    """Length of the usual filament of 1.75 mm. [m]

    Args:
        volume: Of material. [m3]
    """
    return volume / (0.25 * math.pi * FILAMENT**2)
