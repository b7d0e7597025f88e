"""Outlines of groups of facets: the edges that remain when those shared by neighbours cancel out."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from bulbcast.solids.mesh import Mesh
from bulbcast.solids.quadrature import Array


def boundary_loops(triangles: NDArray[np.int64]) -> list[list[int]]:
    """Closed loops of points round a group of facets, with the same orientation as the facets.

    Args:
        triangles: Point numbers, shape (n, 3).

    Returns:
        Point numbers of each loop; the loop of a hole runs the opposite way.
    """
    if not len(triangles):
        return []
    edges = np.concatenate([triangles[:, [0, 1]], triangles[:, [1, 2]], triangles[:, [2, 0]]])
    size = int(edges.max()) + 1
    forward, backward = edges[:, 0] * size + edges[:, 1], edges[:, 1] * size + edges[:, 0]
    open_edges = edges[~np.isin(forward, backward)]
    onward: dict[int, list[int]] = {}
    for start, end in open_edges.tolist():
        onward.setdefault(start, []).append(end)
    loops = []
    for start in list(onward):
        while onward.get(start):
            run, at = [start], onward[start].pop()
            while at != start and onward.get(at):
                run.append(at)
                at = onward[at].pop()
            if len(run) > 2:
                loops.append(run)
    return loops


def flat_faces(mesh: Mesh, *, smallest: float) -> list[tuple[Array, float, list[list[int]]]]:
    """Flat faces of a solid that are perpendicular to a coordinate axis, each with its outline.

    Args:
        mesh: Closed mesh. [m]
        smallest: Smallest area of a face to report. [m2]

    Returns:
        Outward normal, position along its axis [m] and outline of each face.
    """
    corners = mesh.vertices[mesh.triangles]
    cross = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
    double = np.linalg.norm(cross, axis=1)
    unit = cross / np.where(double > 0.0, double, 1.0)[:, None]
    found = []
    for axis in range(3):
        for side in (-1.0, 1.0):
            facing = np.flatnonzero(side * unit[:, axis] > 1.0 - 1e-9)
            levels = corners[facing, :, axis].mean(axis=1)
            normal = np.zeros(3)
            normal[axis] = side
            for level in np.unique(np.round(levels, 7)):
                chosen = facing[np.abs(levels - level) < 1e-7]
                if 0.5 * float(np.sum(double[chosen])) >= smallest:
                    found.append((normal, float(level), boundary_loops(mesh.triangles[chosen])))
    return found
