"""A hull's profile and the edge of her deck along her length: for freeboards, and for pictures.

Boat axes. The outline is sampled at a row of stations, with straight lines between them.

Deck's edge of a surface: the outermost place at a station where a facet that faces up by more than 45 degrees
meets one that does not. A cabin or camber above it adds no freeboard, and a cockpit sole inside it takes none
away.
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
"""Number of stations along a surface, ends included."""

_SIDE_TO_DECK = 0.5**0.5
"""A facet that faces up by more than 45 degrees belongs to the deck. A judgement. [-]"""


@frozen
class HullOutline:
    """Profile and deck's edge, station by station. Arrays of equal length. [m]

    Attributes:
        x: Aft, ascending.
        keel: z of the lowest point there.
        top: z of the highest point there, a cabin's or a camber's.
        sheer: z of the deck's edge, where the side turns into the deck.
    """

    x: tuple[float, ...]
    keel: tuple[float, ...]
    top: tuple[float, ...]
    sheer: tuple[float, ...]


def outline_of_mesh(hull: HullMesh) -> HullOutline:
    """Profile and deck's edge of a surface.

    The profile is that of the facets' edges, which is exact at each station. The deck's edge at a station
    is the outermost place where a facet that faces up by more than 45 degrees meets one that does not; where
    there is none, the highest point is used.

    Args:
        hull: Closed, outward counter-clockwise.

    Returns:
        The outline at stations that are closer together towards the ends, where profiles curve most.
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
    """Edges from their forward to their after end, shape (k, 3) each, and whether each lies between side and deck."""
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
    """Profile and deck's edge of a table of offsets, faired between stations with the curve that underlies Simpson's rule.

    Args:
        hull: The table.

    Returns:
        The outline, without camber, as a table ends at the deck's edge.
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
