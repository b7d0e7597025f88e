"""A hull's profile and deck edge along its length, for freeboards and drawings.

The outline is in boat axes, sampled at a series of stations with straight lines between them. On a surface, the
deck edge at a station is the outermost point at which a facet that faces upwards at more than 45 degrees meets one
that does not. A cabin or camber above it adds no freeboard, and a cockpit sole inside it removes none.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from bulbcast.hull.mesh import HullMesh
from bulbcast.hull.offsets_hull import OffsetsHull
from bulbcast.hull.simpson import blended
from bulbcast.quantities.frozen import frozen
from bulbcast.solids.quadrature import Array

STATIONS = 161
"""Number of stations along a surface, including those at its ends."""

_SIDE_TO_DECK = 0.5**0.5
"""Smallest upward component of the unit normal of a deck facet, which corresponds to 45 degrees. Judgement. [-]"""


@frozen
class HullOutline:
    """Profile and deck edge, station by station, as arrays of equal length. [m]

    Attributes:
        x: Positions along the boat in ascending order.
        keel: z of the lowest point at each station.
        top: z of the highest point at each station, including any cabin or camber.
        sheer: z of the deck edge, where side and deck meet.
    """

    x: tuple[float, ...]
    keel: tuple[float, ...]
    top: tuple[float, ...]
    sheer: tuple[float, ...]


def outline_of_mesh(hull: HullMesh) -> HullOutline:
    """Find the profile and the deck edge of a surface.

    The profile is that of the facets' edges, which is exact at each station. The deck edge at a station is the
    outermost point at which a facet that faces upwards at more than 45 degrees meets one that does not. If there is no
    such point, the highest point is used.

    Args:
        hull: Closed surface, counter-clockwise seen from outside.

    Returns:
        The outline, at stations closer together towards the ends, where profiles curve most.
    """
    low, high = float(hull.vertices[:, 0].min()), float(hull.vertices[:, 0].max())
    share = 0.5 * (1.0 - np.cos(np.pi * np.arange(STATIONS) / (STATIONS - 1)))
    # The end stations lie slightly inside, or a plumb stem would be met edge on.
    x = low + (high - low) * np.clip(share, 1e-7, 1.0 - 1e-7)
    start, end, is_edge_of_deck = _edges(hull)
    keel, top, sheer = np.empty(STATIONS), np.empty(STATIONS), np.empty(STATIONS)
    for number, station in enumerate(x):
        crossing = (start[:, 0] <= station) & (end[:, 0] > station)
        a, b = start[crossing], end[crossing]
        share_along = (station - a[:, 0]) / (b[:, 0] - a[:, 0])
        points = a + share_along[:, None] * (b - a)
        z = points[:, 2]
        keel[number], top[number] = z.min(), z.max()
        deck = is_edge_of_deck[crossing]
        sheer[number] = z[deck][np.argmax(np.abs(points[deck, 1]))] if np.any(deck) else top[number]
    x[0], x[-1] = low, high
    return _outline(x, keel, top, sheer)


def _edges(hull: HullMesh) -> tuple[Array, Array, NDArray[np.bool_]]:
    """Return the forward and after ends of the edges, shape (k, 3) each, and whether each edge is between side and deck."""
    directed = hull.triangles[:, [[0, 1], [1, 2], [2, 0]]].reshape(-1, 2)
    owner = np.repeat(np.arange(len(hull.triangles)), 3)
    a, b, c = hull.vertices[hull.triangles.T]
    normals = np.cross(b - a, c - a)
    looks_up = normals[:, 2] > _SIDE_TO_DECK * np.linalg.norm(normals, axis=1)
    key = np.sort(directed, axis=1)
    number = key[:, 0].astype(np.int64) * len(hull.vertices) + key[:, 1]
    unique, first, inverse = np.unique(number, return_index=True, return_inverse=True)
    ups = np.bincount(inverse, weights=looks_up[owner])
    owners = np.bincount(inverse)
    ends = hull.vertices[key[first]]
    swapped = ends[:, 0, 0] > ends[:, 1, 0]
    ends[swapped] = ends[swapped][:, ::-1]
    assert len(unique) == len(ends)
    return ends[:, 0], ends[:, 1], (ups > 0) & (ups < owners)


def outline_of_offsets(hull: OffsetsHull) -> HullOutline:
    """Find the profile and deck edge from a table of offsets, faired with the curve that underlies Simpson's rule.

    Args:
        hull: Hull from a table.

    Returns:
        The outline, without camber, because a table ends at the deck edge.
    """
    each = max(1, round((STATIONS - 1) / (len(hull.stations) - 1)))
    steps = np.arange(each) / each
    x = np.append(
        (hull.stations[:-1, None] + np.diff(hull.stations)[:, None] * steps).ravel(), hull.stations[-1]
    )
    sheer = blended(hull.stations, hull.sheer, x)
    return _outline(x, blended(hull.stations, hull.keel, x), sheer, sheer)


def _outline(x: Array, keel: Array, top: Array, sheer: Array) -> HullOutline:
    def plain(row: Array) -> tuple[float, ...]:
        return tuple(float(value) for value in row)

    return HullOutline(x=plain(x), keel=plain(keel), top=plain(top), sheer=plain(sheer))
