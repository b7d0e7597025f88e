"""Closed triangle mesh, with its volume and centroid, and the merging of coincident corners."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from bulbcast.solids.quadrature import Array

Triangles = NDArray[np.int64]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Mesh:
    """Closed mesh whose triangles are counter-clockwise seen from outside.

    Attributes:
        vertices: Vertices, shape (n, 3). [m]
        triangles: Indices of the vertices, shape (m, 3).
    """

    vertices: Array
    triangles: Triangles


def mesh_volume_and_centroid(vertices: Array, triangles: Triangles) -> tuple[float, Array]:
    """Calculate the volume and centroid of a closed mesh, by signed tetrahedra about the middle of its bounding box.

    Args:
        vertices: Vertices, shape (n, 3). [any length unit]
        triangles: Indices of the vertices, shape (m, 3).

    Returns:
        Volume [unit cubed] and centroid, shape (3,) [unit]; the middle of its bounding box if it has no volume.
    """
    origin = 0.5 * (vertices.min(axis=0) + vertices.max(axis=0))
    corners = vertices[triangles] - origin
    a, b, c = corners[:, 0], corners[:, 1], corners[:, 2]
    six_volumes = np.einsum("ij,ij->i", a, np.cross(b, c))
    six = float(np.sum(six_volumes))
    centroid = (six_volumes @ (a + b + c)) / (4.0 * six) if six else np.zeros(3)
    return six / 6.0, centroid + origin


def shared_points(corners: NDArray[np.float32]) -> tuple[NDArray[np.float32], Triangles]:
    """Join equal points and sort them, which turns loose triangles into a mesh.

    Args:
        corners: Single-precision points, shape (n, 3). [any unit]

    Returns:
        Distinct points in ascending order, shape (m, 3), and the index of each corner's point, shape (n,).
    """
    # Adding zero makes plus and minus zero equal; sorting by the bits of a float is as good as by its value.
    bits = (np.ascontiguousarray(corners) + np.float32(0.0)).view(np.uint32).astype(np.uint64)
    first = (bits[:, 0] << np.uint64(32)) | bits[:, 1]
    order = np.lexsort((bits[:, 2], first))
    first, last = first[order], bits[order, 2]
    fresh = np.ones(len(order), dtype=np.bool_)
    fresh[1:] = (first[1:] != first[:-1]) | (last[1:] != last[:-1])
    index = np.empty(len(order), dtype=np.int64)
    index[order] = np.cumsum(fresh) - 1
    return corners[order[fresh]], index
