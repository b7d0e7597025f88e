"""Read-back of written solids: each is read again, and accepted only if it matches the intended solid."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from bulbcast.disk.refusals import ReadBackError
from bulbcast.solids.kernel import closed_faults
from bulbcast.solids.mesh import mesh_volume_and_centroid, shared_points
from bulbcast.solids.quadrature import Array
from bulbcast.solids.stl import stl_triangles

# Bounds of the contract. The first allows for the rounding of corners to single precision.
WRITTEN_VOLUME = 1e-6
WRITTEN_CENTRE = 1e-6
QUADRATURE_VOLUME_COARSE = 2e-5
QUADRATURE_VOLUME_FINE = 1e-6
FINE_CHORD_ERROR = 2e-6
COARSE_CHORD_ERROR = 2e-5


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class SolidMeant:
    """Figures that a written solid must match.

    Attributes:
        name: Name of the file, for messages.
        volume: Volume of the solid that was written, in double precision. [m3]
        centroid: Centroid of the solid that was written, shape (3,). [m]
        quadrature_volume: Volume by quadrature, without a mesh. [m3]
        quadrature_centroid: Centroid by quadrature, shape (3,). [m]
        box: Lowest and highest corner of the box that must contain it, shape (2, 3). [m]
        chord_error: Largest allowed distance between facet and surface. [m]
    """

    name: str
    volume: float
    centroid: Array
    quadrature_volume: float
    quadrature_centroid: Array
    box: Array
    chord_error: float


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class SolidRead:
    """Solid as read back, with its volume [m3], centroid of shape (3,) [m] and number of triangles."""

    volume: float
    centroid: Array
    triangles: int


def volume_bound(chord_error: float) -> float:
    """Largest allowed relative difference from the quadrature: 1e-6 up to a chord error of 0.002 mm, 2e-5 at 0.02 mm.

    In between, it is interpolated linearly. Above 0.02 mm it is proportional to the chord error.

    Args:
        chord_error: Largest allowed distance between facet and surface. [m]
    """
    share = (chord_error - FINE_CHORD_ERROR) / (COARSE_CHORD_ERROR - FINE_CHORD_ERROR)
    step = QUADRATURE_VOLUME_COARSE - QUADRATURE_VOLUME_FINE
    if chord_error > COARSE_CHORD_ERROR:
        return QUADRATURE_VOLUME_COARSE * chord_error / COARSE_CHORD_ERROR
    return QUADRATURE_VOLUME_FINE + step * max(share, 0.0)


def read_back(content: bytes, meant: SolidMeant) -> SolidRead:
    """Read a written solid and compare it with the intended one.

    Args:
        content: Bytes of the file.
        meant: Figures that it must match.

    Returns:
        Solid as read.

    Raises:
        ReadBackError: The solid is open, inconsistently wound, outside its box, or wrong in volume or mass centre.
    """
    single, index = shared_points(stl_triangles(content).astype(np.float32).reshape(-1, 3))
    points: Array = single.astype(np.float64) / 1000.0
    triangles = index.reshape(-1, 3)
    faults = closed_faults(triangles)
    if faults:
        _refuse(
            meant,
            f"{faults} edges of the mesh have no opposite edge: the mesh is open or not wound consistently",
        )
    volume, centroid = mesh_volume_and_centroid(points, triangles)
    low, high = points.min(axis=0), points.max(axis=0)
    slack = meant.chord_error + 1e-6
    if np.any(low < meant.box[0] - slack) or np.any(high > meant.box[1] + slack):
        _refuse(meant, f"it extends from {low} to {high} m, outside the expected bounding box")
    if not abs(volume - meant.volume) <= WRITTEN_VOLUME * meant.volume:
        _refuse(meant, f"its volume is {volume:.9g} m3, but {meant.volume:.9g} m3 was written")
    if not np.all(np.abs(centroid - meant.centroid) <= WRITTEN_CENTRE):
        _refuse(meant, f"its mass centre is {centroid} m, but {meant.centroid} m was written")
    bound = volume_bound(meant.chord_error)
    if not abs(volume - meant.quadrature_volume) <= bound * meant.quadrature_volume:
        _refuse(
            meant,
            f"its volume is {volume:.9g} m3, but {meant.quadrature_volume:.9g} m3 by quadrature; the relative "
            f"difference is above {bound:g}",
        )
    if not np.all(np.abs(centroid - meant.quadrature_centroid) <= meant.chord_error):
        _refuse(meant, f"its mass centre is {centroid} m, but {meant.quadrature_centroid} m by quadrature")
    return SolidRead(volume=volume, centroid=centroid, triangles=len(triangles))


def _refuse(meant: SolidMeant, why: str) -> None:
    raise ReadBackError(
        f"{meant.name} failed the read-back: {why}. Nothing was written. Please report this with the plan. "
        "Meanwhile, a smaller pattern.chord_error may help."
    )
