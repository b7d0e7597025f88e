"""Grid of cells: the product of one to three axes, each straight, radial round an axis or radial round a point.

A cell's volume and its faces are products of one measure for each axis, so the same code handles slabs, cylinders,
spheres, turned bodies and blocks. Cell arrays have one dimension per axis, in the same order.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]


@dataclass(frozen=True, slots=True, kw_only=True)
class Axis:
    """One axis of the grid.

    Attributes:
        faces: Positions of the cell faces, ascending; a radius starts at 0 or above. [m]
        kind: "straight", "round" for the radius of a body of revolution, or "ball" for the radius of a sphere.
    """

    faces: tuple[float, ...]
    kind: Literal["straight", "round", "ball"] = "straight"

    @property
    def count(self) -> int:
        """Number of cells along this axis."""
        return len(self.faces) - 1

    @property
    def centres(self) -> Array:
        """Nodes at the middle of the cells, shape (count,). [m]"""
        faces = np.array(self.faces, dtype=np.float64)
        return np.asarray(0.5 * (faces[1:] + faces[:-1]), dtype=np.float64)

    @property
    def widths(self) -> Array:
        """Widths of the cells, shape (count,). [m]"""
        return np.asarray(np.diff(np.array(self.faces)))

    def measures(self) -> Array:
        """Factor that this axis contributes to the volume of each cell, shape (count,). [m], [m2] or [m3]"""
        return np.asarray(np.diff(self.measure_to(np.array(self.faces))))

    def measure_to(self, at: Array) -> Array:
        """Length, area or volume from the origin of the axis to a position: x, pi r^2 or 4/3 pi r^3. [m], [m2] or [m3]"""
        if self.kind == "round":
            return math.pi * at**2
        if self.kind == "ball":
            return 4.0 / 3.0 * math.pi * at**3
        return at

    def face_factor(self, at: Array) -> Array:
        """Factor that this axis contributes to the area of a face perpendicular to it: 1, 2 pi r or 4 pi r^2. [-], [m]
        or [m2]"""
        if self.kind == "round":
            return 2.0 * math.pi * at
        if self.kind == "ball":
            return 4.0 * math.pi * at**2
        return np.ones_like(at)

    def refined(self, times: int) -> Axis:
        """Return the same axis with every cell divided into equal parts.

        Args:
            times: Number of parts per cell. [-]
        """
        faces = np.array(self.faces)
        parts = np.arange(times) / times
        fine = (faces[:-1, None] + np.diff(faces)[:, None] * parts).ravel()
        return Axis(faces=(*fine.tolist(), self.faces[-1]), kind=self.kind)


@dataclass(frozen=True, slots=True, kw_only=True)
class Grid:
    """Grid of cells.

    Attributes:
        axes: One to three axes.
        copies: Number of times the modelled part occurs in the complete body: 2 for half a block cut along a plane of
            symmetry. [-]
    """

    axes: tuple[Axis, ...]
    copies: float = 1.0

    @property
    def shape(self) -> tuple[int, ...]:
        """Number of cells along each axis of the grid."""
        return tuple(axis.count for axis in self.axes)

    @property
    def cells(self) -> int:
        """Number of cells in the grid."""
        return math.prod(self.shape)

    def volumes(self) -> Array:
        """Volumes of the cells in the modelled part only, as an array of shape `shape`. [m3]"""
        return product([axis.measures() for axis in self.axes])

    def refined(self, times: int) -> Grid:
        """Return the same block with smaller cells, divided along every axis.

        Args:
            times: Number of parts per cell along each axis. [-]
        """
        return Grid(axes=tuple(axis.refined(times) for axis in self.axes), copies=self.copies)


def product(factors: Sequence[Array]) -> Array:
    """Calculate the outer product of one array per axis.

    Args:
        factors: One-dimensional arrays, in the order of the axes.

    Returns:
        Product, with one dimension per factor.
    """
    result = np.ones((1,) * len(factors))
    for place, factor in enumerate(factors):
        result = result * factor.reshape([-1 if i == place else 1 for i in range(len(factors))])
    return result


def even(start: float, end: float, count: int) -> list[float]:
    """Calculate the faces of equal cells.

    Args:
        start: Position of the first face. [m]
        end: Position of the last face. [m]
        count: Number of cells.
    """
    return [float(face) for face in np.linspace(start, end, count + 1)]


def graded(start: float, end: float, first: float, growth: float) -> list[float]:
    """Calculate the faces of cells that grow from `start` to `end`, which may be on either side of `start`.

    Args:
        start: Position at which the cells are smallest. [m]
        end: Position of the far face. [m]
        first: Maximum width of the cell next to `start`. [m]
        growth: Ratio of each cell's width to the one before. [-]

    Returns:
        Positions of the faces from `start` to `end`, both included.
    """
    span = abs(end - start)
    if span <= 0.0:
        return [start]
    count, total, width = 0, 0.0, first
    while total < span * (1.0 - 1e-9):
        total, width, count = total + width, width * growth, count + 1
    # All are shrunk so that the last one ends on the face.
    widths = np.array([first * growth**i for i in range(count)])
    faces = (
        start + math.copysign(1.0, end - start) * np.concatenate(([0.0], np.cumsum(widths))) * span / total
    )
    faces[-1] = end
    return [float(face) for face in faces]


def capped(start: float, end: float, first: float, growth: float, most: float) -> list[float]:
    """Calculate the faces of cells that grow from `start` up to a maximum width, which the remaining cells keep.

    Args:
        start: Position at which the cells are smallest. [m]
        end: Position of the far face, on either side of `start`. [m]
        first: Maximum width of the cell next to `start`. [m]
        growth: Ratio of each cell's width to the one before. [-]
        most: Maximum width of a cell. [m]

    Returns:
        Positions of the faces from `start` to `end`, both included.
    """
    span, widths = abs(end - start), [0.0]
    while sum(widths) < span * (1.0 - 1e-9):
        widths.append(min(first * growth ** (len(widths) - 1), most))
    if len(widths) == 1:
        return [start]
    faces = start + math.copysign(1.0, end - start) * np.cumsum(widths) * span / sum(widths)
    faces[-1] = end
    return [float(face) for face in faces]
