"""Closed surface through the points of a table of offsets, for large angles of heel."""

from __future__ import annotations

import math

import numpy as np

from bulbcast.hull.faults import HullError, HullRemark
from bulbcast.hull.mesh import HullMesh
from bulbcast.hull.offsets_hull import OffsetsHull, section_of
from bulbcast.hull.simpson import blended
from bulbcast.hull.topology import distinct, edges_of, equal_points, unbalanced, without_collapsed
from bulbcast.solids.mesh import Mesh
from bulbcast.solids.quadrature import Array


def mesh_of_offsets(hull: OffsetsHull, *, along: int = 128, up: int = 40) -> HullMesh:
    """Build a closed surface through the points of a table of offsets, for large angles of heel.

    Each section is a curve through its half breadths, and the sections are faired along the hull at matching fractions
    of their height. Both use the curve that underlies Simpson's rule, with half breadths kept from becoming negative.
    Floor, deck and ends are closed straight across.

    Args:
        hull: The table.
        along: Number of steps along the hull; each interval between stations has at least one. [-]
        up: Number of steps from keel to deck. [-]

    Returns:
        The surface, symmetrical about the centreplane, with about 4 x along x up facets.
    """
    # Points are closer together at the keel, where round sections curve most.
    share = 1.0 - np.cos(0.5 * math.pi * np.arange(up + 1) / up)
    share[-1] = 1.0
    heights, breadths = [], []
    for i in range(len(hull.stations)):
        z, y = section_of(
            hull.levels, hull.half_breadths[i], hull.keel[i], hull.sheer[i], hull.sheer_half_breadths[i]
        )
        wanted = z[0] + share * (z[-1] - z[0])
        heights.append(wanted)
        breadths.append(blended(z, y, wanted) if len(z) > 1 else np.full(up + 1, y[0]))
    each = max(1, round(along / (len(hull.stations) - 1)))
    steps = np.arange(each) / each
    x = np.append(
        (hull.stations[:-1, None] + np.diff(hull.stations)[:, None] * steps).ravel(), hull.stations[-1]
    )
    surface = lofted_hull(
        x,
        np.maximum(blended(hull.stations, np.array(breadths), x), 0.0),
        blended(hull.stations, np.array(heights), x),
    )
    return HullMesh(
        vertices=surface.vertices,
        triangles=surface.triangles,
        design_length=hull.design_length,
        source=hull.source,
        remarks=hull.remarks,
    )


def lofted_hull(x: Array, half_breadths: Array, heights: Array) -> Mesh:
    """Build a closed surface through sections that are symmetrical about the centreplane.

    Args:
        x: x of the sections in ascending order, shape (n,). [m]
        half_breadths: Half breadths from the lowest point of each section upwards, not negative, shape (n, k). [m]
        heights: Heights of the same points, shape (n, k). [m]

    Returns:
        Facets, counter-clockwise seen from outside, with floor, deck and ends closed straight across.

    Raises:
        HullError: The sections enclose no volume.
    """
    n, k = half_breadths.shape
    place = np.broadcast_to(x[:, None], (n, k))
    starboard = np.stack([place, half_breadths, heights], axis=-1).reshape(-1, 3)
    points, index = equal_points(np.concatenate([starboard, starboard * (1.0, -1.0, 1.0)]))
    s = np.arange(n * k).reshape(n, k)
    p = s + n * k

    def quads(a: Array, b: Array, c: Array, d: Array) -> Array:
        return np.concatenate(
            [
                np.stack([a, b, c], axis=-1).reshape(-1, 3),
                np.stack([a, c, d], axis=-1).reshape(-1, 3),
            ]
        )

    side = quads(s[:-1, :-1], s[1:, :-1], s[1:, 1:], s[:-1, 1:])
    facets = [
        side[:, ::-1],
        side + n * k,
        quads(s[:-1, 0], s[1:, 0], p[1:, 0], p[:-1, 0]),
        quads(p[:-1, -1], p[1:, -1], s[1:, -1], s[:-1, -1]),
        quads(s[0, :-1], p[0, :-1], p[0, 1:], s[0, 1:]),
        quads(s[-1, :-1], s[-1, 1:], p[-1, 1:], p[-1, :-1]),
    ]
    # A facet whose corners all lie on the centreplane would lie back to back with its image.
    triangles = distinct(without_collapsed(index[np.concatenate(facets)])).triangles
    if not len(triangles) or len(unbalanced(edges_of(triangles))):
        raise HullError(
            "sections",
            [
                HullRemark(
                    "no-body",
                    "The sections enclose no volume.",
                    "Give at least three sections with a breadth above zero.",
                )
            ],
        )
    used, fresh = np.unique(triangles, return_inverse=True)
    return Mesh(vertices=points[used], triangles=fresh.reshape(-1, 3))
