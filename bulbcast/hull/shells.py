"""Closed surfaces divided into blocks of neighbouring facets, of which a water plane cuts only a few.

The contribution of a block completely under water is summed beforehand; a block clear of the water adds nothing. A
block counts as cut if its bounding box comes near the plane, and its facets are then checked one by one.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from bulbcast.hull.topology import Indices
from bulbcast.solids.quadrature import Array

_BLOCK = 16
_CELLS = 2**10 - 1  # number of blocks along the longest side
_NEAR = 1e-9
_TURNS = np.array([[0, 1, 2], [1, 2, 0], [2, 0, 1]])


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Shell:
    """A closed surface relative to its own reference point. Its facets are grouped in blocks; the last block is
    padded with empty facets.

    Attributes:
        about: Reference point, shape (3,). [m]
        points: The vertices, shape (n, 3). [m]
        rows: Vertices, one row for each coordinate, shape (3, n). [m]
        corners: Indices of the triangles' corners, one row for each corner, shape (3, m).
        normals: Twice the vector area of each triangle, shape (m, 3). [m2]
        sums: Contribution of each triangle when fully immersed, one row for each, shape (m, 17).
        blocks: Contribution of each block when fully immersed, one column for each, shape (17, blocks).
        middles: Centres of the blocks' bounding boxes, shape (3, blocks). [m]
        reaches: Half sizes of the blocks' bounding boxes, slightly enlarged, shape (3, blocks). [m]
    """

    about: Array
    points: Array
    rows: Array
    corners: Indices
    normals: Array
    sums: Array
    blocks: Array
    middles: Array
    reaches: Array


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Clipped:
    """Facets of a shell that are cut by a water plane.

    Attributes:
        corners: For each cut facet, the corner that is alone on its side of the plane, then the other two in order,
            shape (3, k, 3). [m]
        heights: Heights of these corners above the plane, shape (3, k). [m]
        normals: Normals of the cut facets, shape (k, 3). [m2]
        dips: Whether the corner that is alone is under water, shape (k,).
    """

    corners: Array
    heights: Array
    normals: Array
    dips: NDArray[np.bool_]


_NONE = Clipped(
    corners=np.empty((3, 0, 3)),
    heights=np.empty((3, 0)),
    normals=np.empty((0, 3)),
    dips=np.empty(0, dtype=np.bool_),
)


def shell_of(vertices: Array, triangles: Indices, about: Array) -> Shell:
    """Build a closed surface with the sums needed for clipping.

    Args:
        vertices: Vertices, shape (n, 3). [m]
        triangles: Indices, shape (m, 3).
        about: Point about which integrals are taken, shape (3,). [m]
    """
    points = vertices - about
    rows = np.ascontiguousarray(points.T)
    size = float(np.max(np.ptp(rows, axis=1)))
    order = np.argsort(_places(rows.take(triangles.T, axis=1).sum(axis=1) / 3.0, size), kind="stable")
    missing = -len(order) % _BLOCK
    corners = np.concatenate(
        [triangles[order], np.repeat(triangles[order[-1:], :1], 3, 1).repeat(missing, 0)]
    ).T
    a, b, c = points[corners]
    normals = np.cross(b - a, c - a)
    # Six times the tetrahedron's volume about the point, and the sum of the corners.
    six = np.einsum("ij,ij->i", a, normals)
    total = a + b + c
    sums = np.empty((len(six), 17))
    sums[:, 0] = six
    sums[:, 1:4] = normals
    sums[:, 4:7] = six[:, None] * total
    sums[:, 7:16] = np.einsum("ki,kj->kij", total, normals).reshape(-1, 9)
    sums[:, 16] = 0.5 * np.linalg.norm(normals, axis=1)
    low = np.minimum(np.minimum(a, b), c).reshape(-1, _BLOCK, 3).min(axis=1)
    high = np.maximum(np.maximum(a, b), c).reshape(-1, _BLOCK, 3).max(axis=1)
    shell = Shell(
        about=about,
        points=points,
        rows=rows,
        corners=np.ascontiguousarray(corners),
        normals=normals,
        sums=sums,
        blocks=np.ascontiguousarray(sums.reshape(-1, _BLOCK, 17).sum(axis=1).T),
        middles=np.ascontiguousarray(0.5 * (low + high).T),
        reaches=np.ascontiguousarray(0.5 * (high - low).T + _NEAR * size),
    )
    for name in Shell.__slots__:
        getattr(shell, name).setflags(write=False)
    return shell


def _places(rows: Array, size: float) -> NDArray[np.int64]:
    """Return sort keys that interleave the bits of the coordinates, so that neighbouring points are close in the order.

    References:
        G. M. Morton (1966). Cited from memory.
    """
    cells = (rows - rows.min(axis=1, keepdims=True)) * (_CELLS / size if size > 0.0 else 0.0)
    bits = cells.astype(np.int64)
    # Two empty bits behind each: half of the bits move clear of the other half, then half of each half.
    for shift, kept in ((16, 0x30000FF), (8, 0x300F00F), (4, 0x30C30C3), (2, 0x9249249)):
        bits = (bits | bits << shift) & kept
    place: NDArray[np.int64] = bits[0] | bits[1] << 1 | bits[2] << 2
    return place


def clipped(shell: Shell, up: Array, depth: float) -> tuple[Array, Clipped]:
    """Clip a shell against the water plane.

    Args:
        shell: Shell to clip.
        up: Upward direction in boat axes, shape (3,). [-]
        depth: Depth of the shell's reference point below the water's surface. [m]

    Returns:
        Sums over the facets counted as fully immersed, shape (17,), and the facets that are cut.
    """
    # Long products avoid the linear algebra library: its threads gain nothing here, cost a lot on a
    # busy machine, and would sum in a different order on another one.
    level = np.einsum("ij,i->j", shell.middles, up) - depth
    reach = np.einsum("ij,i->j", shell.reaches, np.abs(up))
    sums = np.einsum("ij,j->i", shell.blocks, (level < -reach).astype(np.float64))
    near = np.flatnonzero(np.abs(level) <= reach)
    if not len(near):
        return sums, _NONE
    facets = (_BLOCK * near[:, None] + np.arange(_BLOCK)).ravel()
    corners = shell.corners.take(facets, axis=1)
    height = (np.einsum("ij,i->j", shell.rows, up) - depth).take(corners)
    # A face in the water plane itself is dry, since it is the waterplane.
    under = height < 0.0
    bit = under.view(np.int8)
    count = bit[0] + bit[1] + bit[2]
    # Facets with two corners under water count whole, less the corner above water; those with one count by the immersed
    # corner. Each facet is then cut once, and only a triangle comes off.
    sums += np.einsum("ij->j", shell.sums.take(facets[count >= 2], axis=0))
    crossed = np.flatnonzero((count == 1) | (count == 2))
    dips = count[crossed] == 1
    alone = under[:, crossed] == dips
    turned = _TURNS.take(alone[1] + 2 * alone[2], axis=1)
    ends = corners[turned, crossed]
    return sums, Clipped(
        corners=shell.points.take(ends, axis=0),
        heights=height[turned, crossed],
        normals=shell.normals.take(facets[crossed], axis=0),
        dips=dips,
    )
