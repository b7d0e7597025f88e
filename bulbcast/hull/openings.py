"""Openings in a hull surface, which are found, classified, and closed if the effect is negligible.

An open deck or transom is closed straight across, as are small flat openings such as a slot for the fin. Closing
anything else would mean guessing the hull's shape, so it is left to the modeller.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import StrEnum

import numpy as np
from numpy.typing import NDArray

from bulbcast.hull.faults import HullRemark, InFile, at, counted
from bulbcast.hull.sections import section
from bulbcast.hull.topology import Edges, Indices, open_edges, without_collapsed
from bulbcast.solids.mesh import Triangles
from bulbcast.solids.quadrature import Array

FLAT = 0.02
"""Largest distance of a flat opening's rim from a plane, as a fraction of the opening's size. Judgement."""

SMALL = 0.02
"""Largest area of a small opening, as a fraction of the complete surface. Judgement."""

IMMERSED = 0.5
"""Limits within which an open end counts as a transom: the fraction of the opening that is under water, and its immersed
area, seen end on, as a fraction of the largest section. Beyond either limit, part of the hull is missing. Judgement."""

MOST_NAMED = 5
"""Largest number of faults of one kind to report individually."""

_SECTIONS = 21
_LEVEL = 0.9
_MOSTLY = 0.5
_SAME_PLACE = 1e-3
_LONGEST_PAIRED = 3000


class Kind(StrEnum):
    """Types of openings."""

    CRACK = "crack"
    SMALL = "small"
    DECK = "deck"
    END = "end"
    BELOW = "below"
    UNDER_WATER = "under water"
    HOLE = "hole"


_CLOSED = {
    Kind.SMALL: ("small-opening-closed", "A small flat opening", "It was closed straight across."),
    Kind.DECK: (
        "deck-closed",
        "An open deck",
        "It was closed straight across, so righting arms with the deck under water are those of a decked boat.",
    ),
    Kind.END: ("end-closed", "An open transom or bow", "It was closed straight across."),
}


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Opening:
    """An opening, bounded by a closed rim of edges that have a facet on one side only.

    Attributes:
        rim: Points in the order in which the edges of a cap must run, shape (k,).
        kind: Apparent type of opening.
        middle: Mean of the rim's points, shape (3,). [m]
        size: Largest extent of the rim. [m]
        area: Area enclosed by the rim if flattened. [m2]
        immersed: Area of the opening under water, seen end on. [m2]
        across: For each point of the rim, the index of the opposite point on the other side of the centreplane; None if
            the rim is not symmetrical.
    """

    rim: Indices
    kind: Kind
    middle: Array
    size: float
    area: float
    immersed: float
    across: Indices | None


def rims(start: Indices, end: Indices) -> list[Indices]:
    """Find the closed rims formed by edges with only one facet.

    Args:
        start: First point of each of these edges in its facet's direction, shape (k,). [-]
        end: Second point of each edge, shape (k,); each point is a start as often as an end. [-]

    Returns:
        Points of each rim in the direction of a cap's edges, opposite to that of the facets.
    """
    following: dict[int, list[int]] = {}
    for one, other in zip(end.tolist(), start.tolist(), strict=True):
        following.setdefault(one, []).append(other)
    found = []
    while following:
        first = next(iter(following))
        path, place = [first], {first: 0}
        while path:
            here = path[-1]
            ahead = following[here].pop()
            if not following[here]:
                del following[here]
            if ahead in place:
                # If two rims touch at a point, the one just completed is set aside.
                found.append(np.array(path[place[ahead] :], dtype=np.int64))
                for point in path[place[ahead] + 1 :]:
                    del place[point]
                del path[place[ahead] + 1 :]
                if ahead not in following:
                    break
            else:
                place[ahead] = len(path)
                path.append(ahead)
    return found


@dataclass(frozen=True, slots=True, kw_only=True)
class _Whole:
    """Measurements of the surface used to classify openings, in the boat's directions.

    Attributes:
        area: Area of all facets. [m2]
        waterline: Height of the design waterline. [m]
        centreplane: y of the centreplane. [m]
        ends: Smallest and largest x. [m]
        largest_immersed: Largest immersed area of any section. [m2]
    """

    area: float
    waterline: float
    centreplane: float
    ends: tuple[float, float]
    largest_immersed: float


def openings(
    vertices: Array, triangles: Triangles, edges: Edges, *, centreplane: float, waterline: float
) -> list[Opening]:
    """Find and classify all openings of a surface.

    Args:
        vertices: Vertices of the mesh, in the boat's directions, shape (n, 3). [m]
        triangles: Facets with consistent winding, shape (m, 3). [-]
        edges: Edges of these facets. [-]
        centreplane: y of the centreplane. [m]
        waterline: Height of the design waterline. [m]
    """
    loose = open_edges(edges)
    corners = vertices[triangles]
    normals = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
    low, high = float(vertices[:, 0].min()), float(vertices[:, 0].max())
    inside = low + (np.arange(_SECTIONS) + 0.5) / _SECTIONS * (high - low)
    whole = _Whole(
        area=0.5 * float(np.linalg.norm(normals, axis=1).sum()),
        waterline=waterline,
        centreplane=centreplane,
        ends=(low, high),
        largest_immersed=max(immersed_area(section(corners, float(x)), waterline) for x in inside),
    )
    return [_judged(rim, vertices, whole) for rim in rims(edges.start[loose], edges.end[loose])]


def _judged(rim: Indices, vertices: Array, whole: _Whole) -> Opening:
    """Return the opening bounded by a rim, with its type."""
    points = vertices[rim]
    middle = points.mean(axis=0)
    from_middle = points - middle
    outward = 0.5 * np.cross(from_middle, np.roll(from_middle, -1, axis=0)).sum(axis=0)
    area = float(np.linalg.norm(outward))
    size = float(np.max(np.ptp(points, axis=0)))
    spread: NDArray[np.float64] = np.linalg.svd(from_middle, compute_uv=True, full_matrices=False)[2]
    off_plane = float(np.max(np.abs(from_middle @ spread[-1]))) if len(spread) == 3 else 0.0
    flat = off_plane <= FLAT * size
    direction = outward / area if area > 0.0 else np.zeros(3)
    across = _mirrored(points, whole.centreplane, _SAME_PLACE * size)
    above = bool(points[:, 2].min() > whole.waterline)
    fore, aft = whole.ends
    at_an_end = min(middle[0] - fore, aft - middle[0]) < 0.1 * (aft - fore)
    if area <= 1e-6 * size**2:
        kind = Kind.CRACK
    elif flat and area <= SMALL * whole.area:
        kind = Kind.SMALL
    elif (direction[2] >= _MOSTLY and across is not None) or (flat and above and direction[2] >= _LEVEL):
        kind = Kind.DECK
    elif flat and at_an_end and abs(direction[0]) >= _MOSTLY:
        kind = Kind.END
    elif direction[2] <= -_MOSTLY and across is not None:
        kind = Kind.BELOW
    else:
        kind = Kind.HOLE
    across_it = np.stack([points, np.roll(points, -1, axis=0)], axis=1)[:, :, 1:]
    immersed = immersed_area(across_it, whole.waterline)
    end_on = area * abs(float(direction[0]))
    if (kind in (Kind.SMALL, Kind.DECK, Kind.END) and immersed > IMMERSED * whole.largest_immersed) or (
        kind is Kind.END and immersed > IMMERSED * end_on
    ):
        kind = Kind.UNDER_WATER
    return Opening(rim=rim, kind=kind, middle=middle, size=size, area=area, immersed=immersed, across=across)


def immersed_area(lines: Array, waterline: float) -> float:
    """Calculate the immersed area of a figure bounded by lines, even if the figure is open above the water.

    Args:
        lines: Start and end of each line as (y, z), all in the same direction round the figure, shape (k, 2, 2). [m]
        waterline: Height of the design waterline. [m]

    Returns:
        The sum of y dz below the waterline. The line that closes the figure at the waterline is horizontal and adds
        nothing. [m2]
    """
    (y0, z0), (y1, z1) = lines[:, 0].T, lines[:, 1].T
    rise = z1 - z0
    with np.errstate(divide="ignore", invalid="ignore"):
        crossing = np.clip(np.where(rise != 0.0, (waterline - z0) / rise, 0.0), 0.0, 1.0)
    start = np.where(z0 > waterline, crossing, 0.0)
    end = np.where(z1 > waterline, crossing, 1.0)
    middle = y0 + 0.5 * (start + end) * (y1 - y0)
    return abs(float(np.sum(middle * (end - start) * rise)))


def _mirrored(points: Array, centreplane: float, reach: float) -> Indices | None:
    """Return, for each point of a rim, the index of its mirror image; None if the rim is not symmetrical."""
    count = len(points)
    if count > _LONGEST_PAIRED:
        return None
    image = points * (1.0, -1.0, 1.0) + (0.0, 2.0 * centreplane, 0.0)
    # The mirror image runs in the opposite direction, so point i corresponds to point c - i.
    partner = int(np.argmin(np.linalg.norm(points - image[0], axis=1)))
    across: Indices = (partner - np.arange(count)) % count
    if np.max(np.linalg.norm(points[across] - image, axis=1)) > reach:
        return None
    return across


def cap(opening: Opening, vertices: Array) -> tuple[Triangles, Array]:
    """Return facets that close an opening.

    Args:
        opening: Opening to close. [-]
        vertices: Vertices of the mesh, shape (n, 3). [m]

    Returns:
        New facets, shape (k, 3), and any new point they need, shape (0 or 1, 3) [m], numbered after the existing
        vertices.
    """
    rim, none = opening.rim, np.zeros((0, 3))
    if len(rim) == 3:
        return rim[None, :], none
    if opening.kind is Kind.DECK and opening.across is not None:
        return _ladder(rim, opening.across), none
    if opening.kind is Kind.DECK:
        sides = _two_sides(rim, vertices)
        if sides is not None:
            return _zipped(*sides, vertices), none
    following = np.roll(rim, -1)
    centre = np.full(len(rim), len(vertices))
    return np.stack([rim, following, centre], axis=1), opening.middle[None, :]


def _ladder(rim: Indices, across: Indices) -> Triangles:
    """Build a ladder of facets across a rim: each rung joins a point to its mirror image, and two facets fill the gap
    between neighbouring rungs."""
    count = len(rim)
    turn = int(across[0])
    place = np.arange(math.ceil(turn / 2), (turn + count) // 2 + 1)
    here, there = rim[place % count], rim[(turn - place) % count]
    # Each pair of neighbouring rungs, wound as the rim is.
    facets = np.concatenate(
        [
            np.stack([here[:-1], here[1:], there[1:]], axis=1),
            np.stack([here[:-1], there[1:], there[:-1]], axis=1),
        ]
    )
    return without_collapsed(facets)


def _two_sides(rim: Indices, vertices: Array) -> tuple[Indices, Indices] | None:
    """Return the two sides of a rim between its foremost and aftmost points; None unless x increases along both."""
    x = vertices[rim, 0]
    rim = np.roll(rim, -int(np.argmin(x)))
    x = vertices[rim, 0]
    last = int(np.argmax(x))
    one, other = rim[: last + 1], np.append(rim[0], rim[:last:-1])
    other = np.append(other, rim[last])
    if np.any(np.diff(vertices[one, 0]) < 0.0) or np.any(np.diff(vertices[other, 0]) < 0.0):
        return None
    return one, other


def _zipped(one: Indices, other: Indices, vertices: Array) -> Triangles:
    """Build facets between two sides with common ends, always stepping along the side that has advanced less."""
    facets = []
    i = j = 0
    while i < len(one) - 1 or j < len(other) - 1:
        step_one = j == len(other) - 1 or (
            i < len(one) - 1 and vertices[one[i + 1], 0] <= vertices[other[j + 1], 0]
        )
        if step_one:
            facets.append((one[i], one[i + 1], other[j]))
            i += 1
        else:
            facets.append((one[i], other[j + 1], other[j]))
            j += 1
    return without_collapsed(np.array(facets, dtype=np.int64))


def with_caps(vertices: Array, triangles: Triangles, openings: list[Opening]) -> tuple[Array, Triangles]:
    """Return the surface with all openings closed."""
    for opening in openings:
        facets, points = cap(opening, vertices)
        vertices = np.concatenate([vertices, points])
        triangles = np.concatenate([triangles, facets])
    return vertices, triangles


def left_open(found: list[Opening], vertices: Array, in_file: InFile, half: bool) -> list[HullRemark]:
    """Return faults for openings that must not be closed automatically.

    Args:
        found: All the openings found.
        vertices: Vertices of the mesh, shape (n, 3). [m]
        in_file: Function that converts a point to a position in the file.
        half: Whether the original facets cover one side only.
    """
    bad = sorted(
        (each for each in found if each.kind in (Kind.HOLE, Kind.BELOW, Kind.UNDER_WATER)),
        key=lambda each: -each.area,
    )
    faults = [_hole(each, vertices, in_file, half) for each in bad[:MOST_NAMED]]
    if len(bad) > MOST_NAMED:
        more = f"The surface has {counted(len(bad) - MOST_NAMED, 'more hole', 'more holes')}, all of them smaller."
        faults.append(HullRemark("more-holes", more, "Close these holes as well.", found=float(len(bad))))
    return faults


def _hole(opening: Opening, vertices: Array, in_file: InFile, half: bool) -> HullRemark:
    """Return the fault for an opening that the program does not close."""
    where, y, reach = in_file(opening.middle), vertices[:, 1], 1e-4 * opening.size
    on_a_side = max(
        float(np.mean(np.abs(y[opening.rim] - side) <= reach)) for side in (float(y.min()), float(y.max()))
    )
    long, found = f"{1e3 * opening.size:.4g} mm", opening.area
    if opening.kind is Kind.BELOW:
        code, seen = "open-below", f"The surface has a downward-facing opening {long} long, near {at(where)}."
        remedy = (
            "If this is the deck, the hull is upside down: correct the axis that points up. Otherwise close the "
            "opening."
        )
    elif opening.kind is Kind.UNDER_WATER:
        code, found = "open-under-water", opening.immersed
        seen = (
            f"An opening {long} long, near {at(where)}, has {1e4 * opening.immersed:.3g} cm2 under water when seen end "
            "on."
        )
        remedy = (
            "The opening is too deep for a transom, so part of the hull is probably missing. Export the complete hull, "
            "or close that end in the modeller if the hull ends there."
        )
    elif not half and on_a_side >= 0.25:
        code, seen = (
            "half-hull",
            f"The surface is open along a flat side {long} long, near {at(where)}.",
        )
        remedy = (
            "If that side is the centreplane, state in the plan that the file is one half of the hull. Otherwise close "
            "the side."
        )
    else:
        code = "hole"
        seen = f"The surface has a hole {long} across with {len(opening.rim)} edges, near {at(where)}."
        remedy = (
            "The hole is neither small and flat nor an open deck or transom. Close it in the modeller, or export the "
            "hull again if the file was cut short."
        )
    return HullRemark(code, seen, remedy, place=where, found=found, unit="m2")


def said(openings: list[Opening], in_file: InFile) -> list[HullRemark]:
    """Return remarks on the openings that were closed."""
    remarks = []
    cracks = [each for each in openings if each.kind is Kind.CRACK]
    if cracks:
        where = in_file(cracks[0].middle)
        seen = (
            f"{counted(len(cracks), 'crack of zero width was', 'cracks of zero width were')} closed, the first at "
            f"{at(where)}."
        )
        remarks.append(
            HullRemark(
                "cracks-closed",
                seen,
                "Closing them does not change the volume.",
                place=where,
                found=float(len(cracks)),
                repaired=True,
            )
        )
    for each in openings:
        if each.kind in _CLOSED:
            code, what, done = _CLOSED[each.kind]
            where = in_file(each.middle)
            seen = (
                f"{what} {1e3 * each.size:.4g} mm long, with an area of {1e4 * each.area:.3g} cm2, was found near "
                f"{at(where)}."
            )
            remarks.append(
                HullRemark(code, seen, done, place=where, found=each.area, unit="m2", repaired=True)
            )
    return remarks
