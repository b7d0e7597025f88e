"""Check whether an outline fits a printer's bed, and at what angle."""

from __future__ import annotations

import math

import numpy as np

from bulbcast.quantities.frozen import frozen
from bulbcast.solids.quadrature import Array

_STEP = math.radians(0.5)


@frozen
class Bed:
    """The usable space of a printer within its margins.

    Attributes:
        length: The longer usable side. [m]
        width: The other side. [m]
        height: Usable height. [m]
    """

    length: float
    width: float
    height: float

    @property
    def diagonal(self) -> float:
        """Diagonal of the bed from corner to corner. [m]"""
        return math.hypot(self.length, self.width)


def usable_bed(*, length: float, width: float, height: float, margin: float) -> Bed:
    """The bed within its margins, with the larger side first.

    Args:
        length: Length of the bed. [m]
        width: Width of the bed. [m]
        height: Usable height. [m]
        margin: Margin kept clear along each edge. [m]
    """
    sides = sorted((length - 2.0 * margin, width - 2.0 * margin))
    return Bed(length=sides[1], width=sides[0], height=height)


def turned_to_fit(points: Array, bed: Bed) -> float | None:
    """Angle at which an outline fits a bed: zero if possible, or else 90 degrees, or else a slanting angle.

    Args:
        points: Points of the outline, shape (n, 2). [m]
        bed: The bed within its margins.

    Returns:
        The angle [rad]; None if it fits at no angle. If several slanting angles are possible, it is the one that leaves
        the most room.
    """
    spare = _spare(points, bed, np.array([0.0, 0.5 * math.pi]))
    for angle, room in zip((0.0, 0.5 * math.pi), spare, strict=True):
        if room >= 0.0:
            return angle
    angles = np.arange(0.0, math.pi, _STEP)
    spare = _spare(points, bed, angles)
    best = int(np.argmax(spare))
    return float(angles[best]) if spare[best] >= 0.0 else None


def _spare(points: Array, bed: Bed, angles: Array) -> Array:
    """Smallest clearance between the turned outline and the edges of the bed at each angle; negative if the outline
    sticks out. [m]"""
    c, s = np.cos(angles)[:, None], np.sin(angles)[:, None]
    x = np.ptp(c * points[:, 0] - s * points[:, 1], axis=1)
    y = np.ptp(s * points[:, 0] + c * points[:, 1], axis=1)
    spare: Array = np.minimum(bed.length - x, bed.width - y) + 1e-12
    return spare


def rectangle_fits(length: float, width: float, bed: Bed) -> bool:
    """Whether a rectangle fits a bed at some angle, calculated in closed form.

    Args:
        length: The larger side. [m]
        width: The smaller side. [m]
        bed: The bed within its margins.

    References:
        W. B. Carver, American Mathematical Monthly 64 (1957), 114-116 (from memory): for a rectangle longer
        than the bed, bed width >= (2 l w L + (l^2 - w^2) sqrt(l^2 + w^2 - L^2)) / (l^2 + w^2).
    """
    hair = 1e-12
    if length <= bed.length + hair and width <= bed.width + hair:
        return True
    if length <= bed.length + hair or width > bed.width + hair:
        return False
    square = length**2 + width**2
    need = (
        2.0 * length * width * bed.length
        + (length**2 - width**2) * math.sqrt(max(square - bed.length**2, 0.0))
    ) / square
    return need <= bed.width + hair
