"""Repair of unconnected facets into one closed surface. Each step makes a safe repair and reports it, or gives a fault
with its position."""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np

from bulbcast.hull.faults import HullError, HullRemark, InFile, Place, at, counted
from bulbcast.hull.openings import MOST_NAMED, Kind, left_open, openings, said, with_caps
from bulbcast.hull.topology import (
    Edges,
    Flags,
    Indices,
    distinct,
    edges_of,
    equal_points,
    near_points,
    open_edges,
    sides_of,
    unbalanced,
    with_turned,
    without_collapsed,
)
from bulbcast.solids.mesh import Triangles, mesh_volume_and_centroid
from bulbcast.solids.quadrature import Array

WELD = 1e-6
"""Distance within which points are joined if the surface would otherwise be open, as a fraction of the hull's size. The
single precision of binary STL resolves a tenth of that."""

FLAT_SHEET = 1e-4
"""Thickness below which a surface counts as enclosing nothing, as a fraction of its size. Judgement."""

_MOST_OPEN_EDGES = 20_000


@dataclass(slots=True, kw_only=True, eq=False)
class Repaired:
    """A partly repaired surface in the boat's directions, not yet moved to the boat's origin.

    Attributes:
        vertices: Vertices, shape (n, 3). [m]
        triangles: Indices, shape (m, 3). After all repairs the surface is closed and counter-clockwise seen from
            outside.
        centreplane: y of the centreplane. [m]
        in_file: Function that converts a point to a position in the file.
        half: Whether the original facets cover one side only.
        source: Name of the hull in messages.
        deck_capped: Whether an open deck was closed.
        remarks: Remarks on repairs made.
    """

    vertices: Array
    triangles: Triangles
    centreplane: float
    in_file: InFile
    half: bool
    source: str
    deck_capped: bool = False
    remarks: list[HullRemark] = field(default_factory=list)

    def said(self, code: str, message: str, done: str, count: int, at_facet: Triangles | None = None) -> None:
        """Record a repair. `{at}` in the message is replaced by the position of the first facet."""
        place = None if at_facet is None else self.place(at_facet)
        words = message if place is None else message.replace("{at}", at(place))
        self.remarks.append(HullRemark(code, words, done, place=place, found=float(count), repaired=True))

    def place(self, facets: Triangles) -> Place:
        """Return the middle of the first of these facets as a position in the file."""
        return self.in_file(np.asarray(self.vertices[facets[0]].mean(axis=0)))

    def refuse(self, faults: list[HullRemark]) -> None:
        """Raise an error if there are any faults."""
        if faults:
            raise HullError(self.source, faults)

    def turn(self, which: Flags) -> None:
        """Reverse the winding of the marked facets."""
        self.triangles = with_turned(self.triangles, which)

    def turn_all(self) -> None:
        """Reverse the winding of every facet."""
        self.turn(np.ones(len(self.triangles), dtype=np.bool_))


def repaired(
    facets: Array, *, to_boat: Array, in_file: InFile, waterline: float, half: bool, source: str
) -> Repaired:
    """Join, check and repair facets.

    Args:
        facets: Facets with finite coordinates, shape (m, 3, 3). [unit of the file]
        to_boat: Matrix that converts a row vector in the file's axes to the boat's directions in m, shape (3, 3). [m
            per unit]
        in_file: Function that converts a point in the boat's directions to a position in the file.
        waterline: Height of the design waterline. [m]
        half: Whether the facets cover one side only. If so, the centreplane is at y = 0; otherwise it is midway
            between the sides. [-]
        source: Name of the hull in messages. [-]

    Returns:
        One closed surface, with remarks on the repairs.

    Raises:
        HullError: The hull cannot be used; the error lists every fault found in the step that failed.
    """
    loose, index = equal_points(facets.reshape(-1, 3))
    vertices = loose @ to_boat
    size = float(np.max(np.ptp(vertices, axis=0)))
    surface = Repaired(
        vertices=vertices,
        triangles=without_collapsed(index.reshape(-1, 3)),
        centreplane=0.0 if half else 0.5 * float(vertices[:, 1].min() + vertices[:, 1].max()),
        in_file=in_file,
        half=half,
        source=source,
    )
    reach = WELD * size
    if half:
        _double(surface, reach)
    surface.refuse(_no_body(surface, size))
    _drop_doubles(surface)
    edges = _weld_gaps(surface, reach)
    surface.refuse(_crowded_edges(surface, edges))
    edges, shell, is_open = _turn_to_agree(surface, edges)
    # Stray facets of an open surface show up as holes; a second body is reported as such.
    surface.refuse(_shells(surface, shell, least=0.1 if is_open else 0.0))
    _close(surface, edges, waterline, is_open=is_open)
    surface.refuse(
        _shells(surface, sides_of(surface.triangles, edges_of(surface.triangles)).shell, least=0.0)
    )
    return surface


def _no_body(surface: Repaired, size: float) -> list[HullRemark]:
    """Return faults for facets that form no surface or only a flat one."""
    if len(surface.triangles) < 2 or size == 0.0:
        shrunk = "Every facet has collapsed to a point or a line."
        remedy = (
            "Export the hull again with more decimal places. Coordinates rounded to whole metres cause this."
        )
        return [HullRemark("no-surface", shrunk, remedy)]
    thickness, limit = float(np.min(np.ptp(surface.vertices, axis=0))), FLAT_SHEET * size
    if thickness > limit:
        return []
    flat = f"The surface is a flat sheet, {1e3 * thickness:.3g} mm thick and {1e3 * size:.4g} mm across."
    remedy = "Give the outside of the hull as one closed surface."
    return [HullRemark("no-thickness", flat, remedy, found=thickness, limit=limit, unit="m")]


def _drop_doubles(surface: Repaired) -> None:
    """Keep one copy of each facet, and drop walls of zero thickness."""
    given, once = surface.triangles, distinct(surface.triangles)
    count = len(once.flaps)
    if count:
        surface.said(
            "flaps-dropped",
            f"{counted(count, 'facet', 'facets')} were back to back and formed a wall of zero thickness, the first at "
            f"{{at}}.",
            "They were removed because they enclose nothing.",
            count,
            given[once.flaps[:1]],
        )
    count = len(once.copies)
    if count:
        surface.said(
            "duplicates-dropped",
            f"{counted(count, 'facet was', 'facets were')} in the file more than once, the first at {{at}}.",
            "One copy of each was kept.",
            count,
            given[once.copies[:1]],
        )
    surface.triangles = once.triangles


def _weld_gaps(surface: Repaired, reach: float) -> Edges:
    """Join points of open edges that lie within a small distance of one another, and return the edges that remain."""
    edges = edges_of(surface.triangles)
    loose = open_edges(edges)
    if not len(loose):
        return edges
    rim = np.unique(np.concatenate([edges.start[loose], edges.end[loose]]))
    label = near_points(surface.vertices[rim], reach)
    welded = int(np.sum(label != np.arange(len(rim))))
    if not welded:
        return edges
    index = np.arange(len(surface.vertices))
    index[rim] = rim[label]
    surface.triangles = distinct(without_collapsed(index[surface.triangles])).triangles
    surface.said(
        "gaps-welded",
        f"{counted(welded, 'point was', 'points were')} joined along gaps no wider than {2e3 * reach:.2g} mm.",
        "Gaps of that size come from rounding in a single-precision file.",
        welded,
    )
    return edges_of(surface.triangles)


def _turn_to_agree(surface: Repaired, edges: Edges) -> tuple[Edges, Indices, bool]:
    """Give neighbouring facets the same winding, and return the edges, each facet's shell, and whether the surface is
    open."""
    sides = sides_of(surface.triangles, edges)
    if sides.one_sided is not None:
        where = surface.place(surface.triangles[[sides.one_sided]])
        twisted = f"The surface has no inside, because it is twisted like a Moebius strip at {at(where)}."
        remedy = "Delete the twisted patch in the modeller and build it again."
        surface.refuse([HullRemark("one-sided", twisted, remedy, place=where)])
    turned = np.flatnonzero(sides.turned)
    if len(turned):
        surface.said(
            "facets-turned",
            f"{counted(len(turned), 'facet', 'facets')} faced the wrong way, the first at {{at}}.",
            "They were reversed to match their neighbours.",
            len(turned),
            surface.triangles[turned[:1]],
        )
        surface.turn(sides.turned)
        edges = edges_of(surface.triangles)
    loose = open_edges(edges)
    if len(loose) > min(_MOST_OPEN_EDGES, 0.5 * len(edges.first)):
        where = surface.in_file(surface.vertices[edges.start[loose[0]]])
        seen = f"{counted(len(loose), 'edge has', 'edges have')} a facet on one side only, the first at {at(where)}."
        remedy = "No two facets are joined. Export the hull as one joined surface."
        surface.refuse([HullRemark("not-joined", seen, remedy, place=where, found=float(len(loose)))])
    return edges, sides.shell, len(loose) > 0


def _close(surface: Repaired, edges: Edges, waterline: float, *, is_open: bool) -> Edges:
    """Close openings if allowed, reverse a surface that is inside out, and return the edges between its facets."""
    inside_out = False
    if is_open:
        # Which way an opening faces is known only once the outside faces out. Even of an open surface, the
        # volume about the middle of the rims has the right sign.
        inside_out = _volume_about_rims(surface, edges) < 0.0
        if inside_out:
            surface.turn_all()
            edges = edges_of(surface.triangles)
        found = openings(
            surface.vertices,
            surface.triangles,
            edges,
            centreplane=surface.centreplane,
            waterline=waterline,
        )
        surface.refuse(left_open(found, surface.vertices, surface.in_file, surface.half))
        surface.vertices, surface.triangles = with_caps(surface.vertices, surface.triangles, found)
        surface.remarks += said(found, surface.in_file)
        surface.deck_capped = any(each.kind is Kind.DECK for each in found)
        edges = edges_of(surface.triangles)
    left = unbalanced(edges)
    if len(left):
        where = surface.in_file(surface.vertices[edges.start[edges.first[left[0]]]])
        seen, remedy = (
            f"The surface is not closed at {at(where)}.",
            "Close the surface there in the modeller.",
        )
        surface.refuse([HullRemark("not-closed", seen, remedy, place=where, found=float(len(left)))])
    if mesh_volume_and_centroid(surface.vertices, surface.triangles)[0] < 0.0:
        surface.turn_all()
        inside_out = not inside_out
    if inside_out:
        surface.said(
            "inside-out",
            "The surface was inside out.",
            "Every facet was reversed.",
            len(surface.triangles),
        )
    return edges


def _double(surface: Repaired, reach: float) -> None:
    """Build both sides of the hull from one side, joined along the centreplane."""
    plane, triangles = surface.centreplane, surface.triangles
    on_plane = np.abs(surface.vertices[:, 1] - plane) <= 10.0 * reach
    vertices = surface.vertices.copy()
    vertices[on_plane, 1] = plane
    # A facet in the centreplane closes a half hull; the whole hull has no wall there.
    triangles = triangles[~on_plane[triangles].all(axis=1)]
    image = vertices * (1.0, -1.0, 1.0) + (0.0, 2.0 * plane, 0.0)
    image[on_plane] = vertices[on_plane]
    surface.vertices, index = equal_points(np.concatenate([vertices, image]))
    both = np.concatenate([triangles, triangles[:, [0, 2, 1]] + len(vertices)])
    surface.said(
        "half-mirrored",
        f"The other side was made by mirroring {counted(len(triangles), 'facet', 'facets')}.",
        f"{counted(int(on_plane.sum()), 'point', 'points')} on the centreplane join the two sides.",
        len(triangles),
    )
    surface.triangles = without_collapsed(index[both])


def _crowded_edges(surface: Repaired, edges: Edges) -> list[HullRemark]:
    """Return faults for edges at which three or more facets meet, because it is then unclear which side is outside."""
    odd = np.intersect1d(np.flatnonzero(edges.uses > 2), unbalanced(edges))
    if not len(odd):
        return []
    start, end = (side[edges.first[odd[0]]] for side in (edges.start, edges.end))
    where = surface.in_file(0.5 * (surface.vertices[start] + surface.vertices[end]))
    return [
        HullRemark(
            "crowded-edge",
            f"{counted(len(odd), 'edge is', 'edges are')} shared by three or more facets, the first at {at(where)}.",
            "A wall of zero thickness or an inner face ends there. Remove it and keep only the hull's outer surface.",
            place=where,
            found=float(edges.uses[odd[0]]),
            limit=2.0,
        )
    ]


def _volume_about_rims(surface: Repaired, edges: Edges) -> float:
    """Return the signed volume that an open surface would enclose if its openings were closed to a common centre. [m3]"""
    vertices, triangles = surface.vertices, surface.triangles
    centre = vertices[edges.start[open_edges(edges)]].mean(axis=0)
    a, b, c = (vertices[triangles[:, corner]] - centre for corner in range(3))
    return float(np.einsum("ij,ij->", a, np.cross(b, c))) / 6.0


def _shells(surface: Repaired, shell: Indices, *, least: float) -> list[HullRemark]:
    """Return a fault for facets that form more than one body, unless all but the largest are negligibly small."""
    labels, index = np.unique(shell, return_inverse=True)
    count = np.bincount(index)
    if len(labels) == 1 or np.sort(count)[-2] < least * np.max(count):
        return []
    parts = []
    for each in np.argsort(-count, kind="stable")[:MOST_NAMED]:
        points = surface.vertices[surface.triangles[index == each]].reshape(-1, 3)
        length, width, height = 1e3 * np.ptp(points, axis=0)
        middle = surface.in_file(0.5 * (points.min(axis=0) + points.max(axis=0)))
        parts.append(
            f"{counted(int(count[each]), 'facet', 'facets')}, {length:.4g} x {width:.4g} x {height:.4g} mm, "
            f"near {at(middle)}"
        )
    more = "" if len(labels) <= MOST_NAMED else f"; and {len(labels) - MOST_NAMED} more"
    return [
        HullRemark(
            "several-bodies",
            f"The file contains {len(labels)} separate surfaces: {'; '.join(parts)}{more}.",
            "Leave only the hull's outside in the file: remove any inner skin, fittings and stray facets, and "
            "join parts that belong together.",
            found=float(len(labels)),
            limit=1.0,
        )
    ]
