"""Connections between facets: joined points, edges, shells and the winding of each facet.

All functions work on complete arrays, so a hull of a million facets takes only a few seconds.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from bulbcast.solids.mesh import Triangles
from bulbcast.solids.quadrature import Array

Indices = NDArray[np.int64]
Flags = NDArray[np.bool_]


def equal_points(points: Array) -> tuple[Array, Indices]:
    """Merge points that are equal to the last bit.

    Args:
        points: Points, shape (n, 3). [any length unit]

    Returns:
        The distinct points, shape (m, 3) [same unit], and the index into them for each given point, shape (n,).
    """
    points = points + 0.0  # makes plus and minus zero equal
    order = np.lexsort((points[:, 2], points[:, 1], points[:, 0]))
    ranked = points[order]
    fresh = np.ones(len(order), dtype=np.bool_)
    fresh[1:] = np.any(ranked[1:] != ranked[:-1], axis=1)
    index = np.empty(len(order), dtype=np.int64)
    index[order] = np.cumsum(fresh) - 1
    return ranked[fresh], index


def near_points(points: Array, reach: float) -> Indices:
    """Join points within reach of one another; return, for each point, the index of the first point in its group.

    Args:
        points: Points, shape (n, 3). [any length unit]
        reach: Points closer than this in every direction are always joined. Points up to twice as far apart may be
            joined too, and a group may extend further as a chain of such points. [same unit]

    Returns:
        Indices, shape (n,).
    """
    # Two points within reach share a cell of twice the reach in at least one of eight grids shifted by half a cell, so no
    # pair falls between cells.
    pairs = []
    for shift in np.ndindex(2, 2, 2):
        cells = np.floor(points / (2.0 * reach) + 0.5 * np.array(shift))
        _, index = equal_points(cells)
        order = np.argsort(index, kind="stable")
        same = index[order][1:] == index[order][:-1]
        pairs.append(np.stack([order[1:][same], order[:-1][same]]))
    joined = np.concatenate(pairs, axis=1)
    return connected(len(points), joined[0], joined[1])


def connected(count: int, one: Indices, other: Indices) -> Indices:
    """Label each node of a graph with the smallest index of any node that can be reached from it.

    Args:
        count: Number of nodes. [-]
        one: First end of each link, shape (m,). [-]
        other: Second end of each link, shape (m,). [-]

    Returns:
        Labels, shape (count,).
    """
    label = np.arange(count, dtype=np.int64)
    while True:
        lower = np.minimum(label[one], label[other])
        fresh = label.copy()
        # The roots take the lower label, then every node takes its root's.
        np.minimum.at(fresh, label[one], lower)
        np.minimum.at(fresh, label[other], lower)
        while True:
            deeper = fresh[fresh]
            if np.array_equal(deeper, fresh):
                break
            fresh = deeper
        if np.array_equal(fresh, label):
            return label
        label = fresh


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Edges:
    """The directed edges of all facets, sorted so that edges between the same two points are adjacent.

    Attributes:
        start: First point of each edge, shape (3 m,).
        end: Second point of each edge, shape (3 m,).
        facet: Facet to which each edge belongs, shape (3 m,).
        first: Index of the first use of each undirected edge in the list, shape (k,).
        uses: Number of facets that share each undirected edge, shape (k,).
    """

    start: Indices
    end: Indices
    facet: Indices
    first: Indices
    uses: Indices

    def at(self, chosen: Indices) -> Indices:
        """Return the list indices of all uses of the chosen undirected edges."""
        reach = self.uses[chosen]
        offset = np.arange(int(reach.sum())) - np.repeat(np.cumsum(reach) - reach, reach)
        return np.asarray(np.repeat(self.first[chosen], reach) + offset)


def edges_of(triangles: Triangles) -> Edges:
    """Return all edges of a mesh.

    Args:
        triangles: Indices, shape (m, 3). [-]

    Returns:
        The sorted edges.
    """
    start = triangles.T.reshape(-1)
    end = triangles[:, [1, 2, 0]].T.reshape(-1)
    facet = np.tile(np.arange(len(triangles), dtype=np.int64), 3)
    size = int(triangles.max(initial=0)) + 1
    key = np.minimum(start, end) * size + np.maximum(start, end)
    order = np.argsort(key, kind="stable")
    key = key[order]
    fresh = np.ones(len(key), dtype=np.bool_)
    fresh[1:] = key[1:] != key[:-1]
    first = np.flatnonzero(fresh)
    return Edges(
        start=start[order],
        end=end[order],
        facet=facet[order],
        first=first,
        uses=np.diff(np.append(first, len(key))),
    )


def unbalanced(edges: Edges) -> Indices:
    """Undirected edges at which a surface is not closed, because they are not used equally often in both directions."""
    ahead = np.where(edges.start < edges.end, 1, -1)
    return np.flatnonzero(np.add.reduceat(ahead, edges.first) != 0)


def open_edges(edges: Edges) -> Indices:
    """Indices, in the list of edges, of those with only one facet."""
    places: Indices = edges.first[edges.uses == 1]
    return places


def without_collapsed(triangles: Triangles) -> Triangles:
    """Return, for each facet, whether its three points differ."""
    a, b, c = triangles.T
    whole: Triangles = triangles[(a != b) & (b != c) & (c != a)]
    return whole


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Distinct:
    """Facets without duplicates.

    Attributes:
        triangles: Facets kept, in their original order, shape (k, 3).
        copies: Facets dropped as duplicates, in either winding.
        flaps: Facets dropped because they are back to back and enclose nothing.
    """

    triangles: Triangles
    copies: Indices
    flaps: Indices


def distinct(triangles: Triangles) -> Distinct:
    """Keep one copy of each facet, and drop walls of zero thickness, which are facets back to back on the same three
    points.

    Args:
        triangles: Indices, shape (m, 3). [-]

    Returns:
        The facets kept and those dropped.
    """
    ranked = np.sort(triangles, axis=1)
    order = np.lexsort((ranked[:, 2], ranked[:, 1], ranked[:, 0]))
    fresh = np.ones(len(order), dtype=np.bool_)
    fresh[1:] = np.any(ranked[order[1:]] != ranked[order[:-1]], axis=1)
    if fresh.all():
        none = np.zeros(0, dtype=np.int64)
        return Distinct(triangles=triangles, copies=none, flaps=none)
    group = np.empty(len(order), dtype=np.int64)
    group[order] = np.cumsum(fresh) - 1
    first = order[fresh]  # stable sort: keeps the first of each
    low = np.argmin(triangles, axis=1)
    row = np.arange(len(triangles))
    ahead = triangles[row, (low + 1) % 3] < triangles[row, (low + 2) % 3]
    both_ways = np.bincount(group, weights=ahead) * np.bincount(group, weights=~ahead) > 0
    flap = np.zeros(len(first), dtype=np.bool_)
    flap[both_ways] = _is_flap(triangles[first], both_ways)
    keep = np.zeros(len(triangles), dtype=np.bool_)
    keep[first] = ~flap
    out = np.flatnonzero(~keep)
    return Distinct(triangles=triangles[keep], copies=out[~flap[group[out]]], flaps=out[flap[group[out]]])


def _is_flap(facets: Triangles, both_ways: Flags) -> Flags:
    """Return, for each facet given in both windings, whether it is a wall of zero thickness.

    If a patch of such facets fills a gap in the rest, one facet of each pair belongs there and the other is a copy. If
    the patch only touches the rest or has a free edge, it encloses nothing.
    """
    edges = edges_of(facets)
    edge = np.repeat(np.arange(len(edges.first)), edges.uses)
    double = both_ways[edges.facet]
    others = np.bincount(edge, weights=~double)
    doubles = np.bincount(edge, weights=double)
    # Patches are connected by the edges between their facets.
    place = np.cumsum(both_ways) - 1
    inside = np.flatnonzero((others == 0) & (doubles == 2))
    runs = edges.first[inside]
    patch = connected(int(both_ways.sum()), place[edges.facet[runs]], place[edges.facet[runs + 1]])
    mine = patch[place[edges.facet[double]]]
    fills = np.bincount(mine, weights=(others == 1)[edge[double]], minlength=len(patch))
    border = np.bincount(mine, weights=((others != 0) | (doubles != 2))[edge[double]], minlength=len(patch))
    # A patch without a border is a closed surface given twice.
    return np.asarray(((fills == 0) & (border > 0))[patch])


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Sides:
    """Facets to reverse so that neighbours have the same winding, and the shells they form.

    Attributes:
        turned: True for each facet to reverse, shape (m,). These facets are the minority in each shell.
        shell: Label of each facet's shell, shape (m,).
        one_sided: A facet of a one-sided shell, such as a strip closed with a twist; None if there is no one-sided
            shell.
    """

    turned: Flags
    shell: Indices
    one_sided: int | None


def sides_of(triangles: Triangles, edges: Edges) -> Sides:
    """Use the edges that two facets share to find the facets with the wrong winding.

    Args:
        triangles: Indices, shape (m, 3). [-]
        edges: Edges of these facets. [-]

    Returns:
        The facets to reverse, and the shells.
    """
    count = len(triangles)
    pair = edges.first[edges.uses == 2]
    one, other = edges.facet[pair], edges.facet[pair + 1]
    against = edges.start[pair] == edges.start[pair + 1]  # both run the edge the same way
    # Each facet appears twice, as it is and turned, and a link joins the states that agree. Where both
    # states of a facet become connected, inside and outside cannot be distinguished.
    label = connected(
        2 * count,
        np.concatenate([one, one + count]),
        np.concatenate([np.where(against, other + count, other), np.where(against, other, other + count)]),
    )
    as_is, flipped = label[:count], label[count:]
    shell = np.minimum(as_is, flipped)
    twisted = np.flatnonzero(as_is == flipped)
    turned = as_is > flipped
    # A shell's label is its first facet as given, so `turned` is relative to that facet: if most differ
    # from it, the first is the odd one out.
    size = np.bincount(shell, minlength=count)
    odd = np.bincount(shell, weights=turned, minlength=count)
    turned = turned ^ (2.0 * odd > size)[shell]
    return Sides(turned=turned, shell=shell, one_sided=int(twisted[0]) if len(twisted) else None)


def with_turned(triangles: Triangles, turned: Flags) -> Triangles:
    """Return the facets, with the marked ones reversed."""
    return np.where(turned[:, None], triangles[:, [0, 2, 1]], triangles)
