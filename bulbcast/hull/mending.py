"""From loose facets to one closed surface, each step safe by itself and said, or a fault with its place."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from bulbcast.hull.closing import MOST_NAMED, InFile, openings, said, with_caps
from bulbcast.hull.faults import HullRemark, at, counted, fault
from bulbcast.hull.openings import Kind
from bulbcast.hull.topology import (
    Edges,
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
"""Points this share of the hull's size apart are one, where the surface would else be open. Single
precision, as binary STL has it, resolves a tenth of that."""

FLAT_SHEET = 1e-4
"""A surface thinner than this share of its size encloses nothing. A judgement."""

_MOST_OPEN_EDGES = 20_000


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Mended:
    """A closed surface in the boat's directions, not yet at her origin.

    Attributes:
        vertices: Shape (n, 3). [m]
        triangles: Outward counter-clockwise, shape (m, 3).
        centreplane: Its y. [m]
        deck_capped: Whether an open deck was closed.
        remarks: What was mended.
    """

    vertices: Array
    triangles: Triangles
    centreplane: float
    deck_capped: bool
    remarks: tuple[HullRemark, ...]


def mended(
    facets: Array,
    *,
    to_boat: Array,
    in_file: InFile,
    waterline: float,
    centreplane: float | None,
    half: bool,
) -> tuple[Mended, list[HullRemark]]:
    """Weld, check and mend.

    Args:
        facets: Finite, shape (m, 3, 3). [unit of the file]
        to_boat: Matrix that turns a row in the file's axes into one in the boat's directions, in m,
            shape (3, 3). [m per unit]
        in_file: Turns a point in the boat's directions back into a place in the file.
        waterline: Level of the design waterline. [m]
        centreplane: Its y; None: midway between the sides, or 0 for a half. [m]
        half: Whether the facets are those of one side only. [-]

    Returns:
        The surface, and the faults for which it cannot be used; with faults the surface is as far as it got.
    """
    loose, index = equal_points(facets.reshape(-1, 3))
    vertices = loose @ to_boat
    triangles = without_collapsed(index.reshape(-1, 3))
    size = float(np.max(np.ptp(vertices, axis=0)))
    reach = WELD * size
    remarks: list[HullRemark] = []
    if half:
        plane = 0.0 if centreplane is None else centreplane
        vertices, triangles, remarks = _doubled(vertices, triangles, plane, reach, in_file)
    elif centreplane is None:
        plane = 0.5 * float(vertices[:, 1].min() + vertices[:, 1].max())
    else:
        plane = centreplane
    so_far = Mended(
        vertices=vertices, triangles=triangles, centreplane=plane, deck_capped=False, remarks=tuple(remarks)
    )
    if len(triangles) < 2 or size == 0.0:
        return so_far, [
            fault(
                "no-surface",
                "All facets have shrunk to points or lines.",
                "Export the hull again; a unit of metres with whole numbers would do this.",
            )
        ]
    thickness = float(np.min(np.ptp(vertices, axis=0)))
    if thickness <= FLAT_SHEET * size:
        return so_far, [
            fault(
                "no-thickness",
                f"The surface is a flat sheet, {1e3 * thickness:.3g} mm thick at a size of {1e3 * size:.4g} mm.",
                "Give the hull's outside as one closed surface.",
                found=thickness,
                limit=FLAT_SHEET * size,
                unit="m",
            )
        ]
    once = distinct(triangles)
    triangles, copies, flaps = once.triangles, once.copies, once.flaps
    if len(flaps):
        where = in_file(_middle(vertices, so_far.triangles[flaps[:1]]))
        remarks.append(
            fault(
                "flaps-dropped",
                f"{counted(len(flaps), 'facet', 'facets')} stood back to back, a wall without thickness, first at "
                f"{at(where)}.",
                "They were left out, since they enclose nothing.",
                place=where,
                found=float(len(flaps)),
                mended=True,
            )
        )
    if len(copies):
        where = in_file(_middle(vertices, so_far.triangles[copies[:1]]))
        remarks.append(
            fault(
                "duplicates-dropped",
                f"{counted(len(copies), 'facet was', 'facets were')} given more than once, first at {at(where)}.",
                "One of each was kept.",
                place=where,
                found=float(len(copies)),
                mended=True,
            )
        )
    edges = edges_of(triangles)
    if len(open_edges(edges)):
        vertices, triangles, edges, welded = _welded_at_gaps(vertices, triangles, edges, reach)
        if welded:
            remarks.append(
                fault(
                    "gaps-welded",
                    f"{counted(welded, 'point', 'points')} along gaps no wider than {2e3 * reach:.2g} mm were joined.",
                    "That is the rounding of a file in single precision.",
                    found=float(welded),
                    mended=True,
                )
            )
    faults = _crowded_edges(vertices, edges, in_file)
    if faults:
        return so_far, faults
    return _closed(vertices, triangles, edges, plane, waterline, remarks, in_file, half)


def _closed(
    vertices: Array,
    triangles: Triangles,
    edges: Edges,
    plane: float,
    waterline: float,
    remarks: list[HullRemark],
    in_file: InFile,
    half: bool,
) -> tuple[Mended, list[HullRemark]]:
    """Turn the facets one way round, close the openings, and look whether one body is left."""
    deck_capped = False

    def so_far() -> Mended:
        return Mended(
            vertices=vertices,
            triangles=triangles,
            centreplane=plane,
            deck_capped=deck_capped,
            remarks=tuple(remarks),
        )

    sides = sides_of(triangles, edges)
    if sides.one_sided is not None:
        where = in_file(_middle(vertices, triangles[[sides.one_sided]]))
        return so_far(), [
            fault(
                "one-sided",
                f"The surface has no inside: it closes on itself with a twist, through {at(where)}.",
                "Take the twisted patch out in the modeller and make it anew.",
                place=where,
            )
        ]
    turned = np.flatnonzero(sides.turned)
    if len(turned):
        where = in_file(_middle(vertices, triangles[turned[:1]]))
        remarks.append(
            fault(
                "facets-turned",
                f"{counted(len(turned), 'facet', 'facets')} ran the wrong way round, first at {at(where)}.",
                "They were turned to agree with their neighbours.",
                place=where,
                found=float(len(turned)),
                mended=True,
            )
        )
        triangles = with_turned(triangles, sides.turned)
        edges = edges_of(triangles)
    loose = open_edges(edges)
    is_open = len(loose) > 0
    if len(loose) > min(_MOST_OPEN_EDGES, 0.5 * len(edges.first)):
        where = in_file(vertices[edges.start[loose[0]]])
        return so_far(), [
            fault(
                "not-joined",
                f"{counted(len(loose), 'edge has', 'edges have')} a facet on one side only, first at {at(where)}.",
                "The facets hang together nowhere: export the hull as one joined surface.",
                place=where,
                found=float(len(loose)),
            )
        ]
    # Stray facets of an open surface are told by its holes; a second body is told as such.
    faults = _shells(vertices, triangles, sides.shell, in_file, least=0.1 if is_open else 0.0)
    if faults:
        return so_far(), faults
    inside_out = False
    if is_open:
        # Which way an opening faces is known once the surface has its outside out. Open as it is, its volume
        # about the middle of the rims still has the right sign.
        inside_out = _volume_about_rims(vertices, triangles, edges) < 0.0
        if inside_out:
            triangles = with_turned(triangles, np.ones(len(triangles), dtype=np.bool_))
            edges = edges_of(triangles)
        found, faults = openings(vertices, triangles, edges, plane, waterline, in_file, half)
        if faults:
            return so_far(), faults
        vertices, triangles = with_caps(vertices, triangles, found)
        remarks += said(found, in_file)
        deck_capped = any(each.kind is Kind.DECK for each in found)
        edges = edges_of(triangles)
    left = unbalanced(edges)
    if len(left):
        where = in_file(vertices[edges.start[edges.first[left[0]]]])
        return so_far(), [
            fault(
                "not-closed",
                f"The surface is not closed at {at(where)}.",
                "Close it there in the modeller.",
                place=where,
                found=float(len(left)),
            )
        ]
    if mesh_volume_and_centroid(vertices, triangles)[0] < 0.0:
        triangles = with_turned(triangles, np.ones(len(triangles), dtype=np.bool_))
        inside_out = not inside_out
    if inside_out:
        remarks.append(
            fault(
                "inside-out",
                "The surface was inside out.",
                "Every facet was turned.",
                found=float(len(triangles)),
                mended=True,
            )
        )
    shell = sides_of(triangles, edges).shell
    return so_far(), _shells(vertices, triangles, shell, in_file, least=0.0)


def _doubled(
    vertices: Array, triangles: Triangles, plane: float, reach: float, in_file: InFile
) -> tuple[Array, Triangles, list[HullRemark]]:
    """Both sides from one, joined along the centreplane."""
    on_plane = np.abs(vertices[:, 1] - plane) <= 10.0 * reach
    vertices = vertices.copy()
    vertices[on_plane, 1] = plane
    # A facet that lies in the centreplane closes a half; the whole hull has no wall there.
    triangles = triangles[~on_plane[triangles].all(axis=1)]
    image = vertices * (1.0, -1.0, 1.0) + (0.0, 2.0 * plane, 0.0)
    image[on_plane] = vertices[on_plane]
    joined, index = equal_points(np.concatenate([vertices, image]))
    both = np.concatenate([triangles, triangles[:, [0, 2, 1]] + len(vertices)])
    remark = fault(
        "half-mirrored",
        f"The other side was made as the mirror image of {counted(len(triangles), 'facet', 'facets')}.",
        f"{counted(int(on_plane.sum()), 'point', 'points')} on the centreplane join the two.",
        found=float(len(triangles)),
        mended=True,
    )
    return joined, without_collapsed(index[both]), [remark]


def _welded_at_gaps(
    vertices: Array, triangles: Triangles, edges: Edges, reach: float
) -> tuple[Array, Triangles, Edges, int]:
    """Points of open edges that lie within the reach of one another made one."""
    loose = open_edges(edges)
    rim = np.unique(np.concatenate([edges.start[loose], edges.end[loose]]))
    label = near_points(vertices[rim], reach)
    moved = int(np.sum(label != np.arange(len(rim))))
    if not moved:
        return vertices, triangles, edges, 0
    index = np.arange(len(vertices))
    index[rim] = rim[label]
    triangles = distinct(without_collapsed(index[triangles])).triangles
    return vertices, triangles, edges_of(triangles), moved


def _crowded_edges(vertices: Array, edges: Edges, in_file: InFile) -> list[HullRemark]:
    """Edges on which three or more facets meet and leave no telling which of them is the outside."""
    many = np.flatnonzero(edges.uses > 2)
    odd = np.intersect1d(many, unbalanced(edges))
    if not len(odd):
        return []
    start, end = (side[edges.first[odd[0]]] for side in (edges.start, edges.end))
    where = in_file(0.5 * (vertices[start] + vertices[end]))
    return [
        fault(
            "crowded-edge",
            f"{counted(len(odd), 'edge has', 'edges have')} three facets or more, first at {at(where)}.",
            "A wall without thickness, or an inner face, ends there: take it out, so that only her outside is left.",
            place=where,
            found=float(edges.uses[odd[0]]),
            limit=2.0,
        )
    ]


def _volume_about_rims(vertices: Array, triangles: Triangles, edges: Edges) -> float:
    """Volume of an open surface with its openings closed to the middle of them all. [m3]"""
    loose = open_edges(edges)
    centre = vertices[edges.start[loose]].mean(axis=0)
    a, b, c = (vertices[triangles[:, corner]] - centre for corner in range(3))
    return float(np.einsum("ij,ij->", a, np.cross(b, c))) / 6.0


def _shells(
    vertices: Array, triangles: Triangles, shell: Indices, in_file: InFile, *, least: float
) -> list[HullRemark]:
    """A fault where the facets are those of more than one body, the second not below a share of the first."""
    labels, index = np.unique(shell, return_inverse=True)
    count = np.bincount(index)
    if len(labels) == 1 or np.sort(count)[-2] < least * np.max(count):
        return []
    parts = []
    for each in np.argsort(-count, kind="stable")[:MOST_NAMED]:
        points = vertices[triangles[index == each]].reshape(-1, 3)
        length, width, height = 1e3 * np.ptp(points, axis=0)
        parts.append(
            f"{counted(int(count[each]), 'facet', 'facets')}, {length:.4g} x {width:.4g} x {height:.4g} mm, "
            f"about {at(in_file(0.5 * (points.min(axis=0) + points.max(axis=0))))}"
        )
    more = "" if len(labels) <= MOST_NAMED else f"; and {len(labels) - MOST_NAMED} more"
    return [
        fault(
            "several-bodies",
            f"There are {len(labels)} separate surfaces: {'; '.join(parts)}{more}.",
            "Leave only the hull's outside in the file: take out an inner skin, fittings and stray facets, and "
            "join parts that belong together.",
            found=float(len(labels)),
            limit=1.0,
        )
    ]


def _middle(vertices: Array, triangles: Triangles) -> Array:
    """Middle of the first of some facets, shape (3,). [m]"""
    return np.asarray(vertices[triangles[0]].mean(axis=0))
