"""Search for points where a hull surface passes through itself, and for the fraction of its volume that this leaves in
doubt.

Crossings are found by comparing facets in pairs. Their effect is measured on sections, because the integrals over a
closed surface count each part of a section as often as the surface winds round it. A part that it winds round twice or
in the wrong direction is therefore an error in the displacement.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from bulbcast.hull.faults import HullRemark, InFile, at, counted
from bulbcast.hull.sections import section
from bulbcast.hull.topology import Indices
from bulbcast.solids.mesh import Triangles
from bulbcast.solids.quadrature import Array

_MATTERS = 1e-4

LARGEST_SEARCHED = 300_000
"""Largest number of facets to search. With more, the search would take longer than all the other work put together."""

_CHUNK = 20_000
_SECTIONS_ALONG = 40
_SECTIONS_NEAR = 12


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Crossing:
    """A surface that passes through itself.

    Attributes:
        pairs: Number of pairs of facets that cross. [-]
        points: A crossing point for each pair, shape (k, 3). [m]
        doubt: Volume that the surface winds round twice or in the wrong direction. [m3]
    """

    pairs: int
    points: Array
    doubt: float


def crossings(
    vertices: Array, triangles: Triangles, volume: float, in_file: InFile
) -> tuple[list[HullRemark], list[HullRemark]]:
    """Check whether a surface passes through itself, which is a fault if it matters and otherwise a remark.

    Args:
        vertices: Vertices of a closed mesh, shape (n, 3). [m]
        triangles: Indices of the facets' corners, shape (m, 3). [-]
        volume: Enclosed volume. [m3]
        in_file: Function that converts a point to a position in the file.

    Returns:
        The faults and the remarks.
    """
    count = len(triangles)
    if count > LARGEST_SEARCHED:
        return [], [
            HullRemark(
                "crossing-not-searched",
                "The surface was not checked for points where it passes through itself, because it has "
                f"{counted(count, 'facet', 'facets')}.",
                f"Export the hull with fewer than {counted(LARGEST_SEARCHED, 'facet', 'facets')} to have it checked.",
                found=float(count),
                limit=float(LARGEST_SEARCHED),
            )
        ]
    crossing = crossing_of(vertices, triangles)
    if crossing is None:
        return [], []
    low, high = crossing.points.min(axis=0), crossing.points.max(axis=0)
    where = in_file(crossing.points[0])
    share = crossing.doubt / volume
    seen = (
        f"The surface passes through itself at {counted(crossing.pairs, 'pair', 'pairs')} of facets, the first at "
        f"{at(where)}, over a length of {1e3 * float(np.max(high - low)):.3g} mm"
    )
    if share > _MATTERS:
        return [
            HullRemark(
                "crosses-itself",
                f"{seen}. As a result, {100 * share:.2g} % of the hull's volume is counted twice or with the wrong "
                "sign.",
                "Join the parts into one body in the modeller, or remove the fold.",
                place=where,
                found=share,
                limit=_MATTERS,
            )
        ], []
    return [], [
        HullRemark(
            "crosses-itself-slightly",
            f"{seen}. As a result, {100 * share:.2g} % of the hull's volume is in doubt.",
            "The surface was left as it is, because the effect on the results is negligible.",
            place=where,
            found=share,
            limit=_MATTERS,
        )
    ]


def crossing_of(vertices: Array, triangles: Triangles) -> Crossing | None:
    """Look for points where a surface passes through itself.

    Facets that share a point, lie in one plane or only touch do not count.

    Args:
        vertices: Vertices of a closed mesh, shape (n, 3). [m]
        triangles: Indices of the facets' corners, shape (m, 3). [-]

    Returns:
        The crossing; None if there is none.
    """
    corners = vertices[triangles]
    first, second = _near_pairs(corners, triangles)
    if not len(first):
        return None
    points = _crossing_points(corners[first], corners[second])
    if not len(points):
        return None
    return Crossing(pairs=len(points), points=points, doubt=_doubtful_volume(corners, points))


def _near_pairs(corners: Array, triangles: Triangles) -> tuple[Indices, Indices]:
    """Find pairs of facets whose bounding boxes meet but that share no corner."""
    import shapely

    low, high = corners.min(axis=1), corners.max(axis=1)
    normal = np.abs(np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])).sum(axis=0)
    # The tree is two-dimensional, so facets are viewed from the side on which they overlap least.
    drop = 1 if normal[1] >= normal[2] else 2
    a, b = (axis for axis in range(3) if axis != drop)
    boxes = shapely.box(low[:, a], low[:, b], high[:, a], high[:, b])
    tree = shapely.STRtree(boxes)
    found_one, found_other = [], []
    for start in range(0, len(boxes), _CHUNK):
        asked, met = tree.query(boxes[start : start + _CHUNK])
        asked = asked + start
        keep = (asked < met) & (low[asked, drop] <= high[met, drop]) & (low[met, drop] <= high[asked, drop])
        asked, met = asked[keep], met[keep]
        shared = (triangles[asked][:, :, None] == triangles[met][:, None, :]).any(axis=(1, 2))
        found_one.append(asked[~shared])
        found_other.append(met[~shared])
    return np.concatenate(found_one), np.concatenate(found_other)


def _crossing_points(one: Array, other: Array) -> Array:
    """For each pair of facets that cross, find a point where an edge of one passes through the other.

    Args:
        one: First facet of each pair, shape (k, 3, 3). [m]
        other: Second facet of each pair, shape (k, 3, 3). [m]
    """
    apart = _all_on_one_side(one, other) | _all_on_one_side(other, one)
    one, other = one[~apart], other[~apart]
    points = np.full((len(one), 3), np.nan)
    for edged, pierced in ((one, other), (other, one)):
        for corner in range(3):
            found = _piercing(edged[:, corner], edged[:, (corner + 1) % 3], pierced)
            points = np.where(np.isnan(points), found, points)
    found_points: Array = points[~np.isnan(points[:, 0])]
    return found_points


def _heights(points: Array, facet: Array) -> Array:
    """Calculate the heights of points (k, j, 3) above the planes of facets (k, 3, 3); zero if within rounding error."""
    normal = np.cross(facet[:, 1] - facet[:, 0], facet[:, 2] - facet[:, 0])
    height = np.einsum("kji,ki->kj", points - facet[:, :1], normal)
    reach = np.abs(points - facet[:, :1]).max(axis=(1, 2)) + np.abs(facet - facet[:, :1]).max(axis=(1, 2))
    limit = 1e-9 * np.linalg.norm(normal, axis=1) * reach
    return np.where(np.abs(height) <= limit[:, None], 0.0, height)


def _all_on_one_side(points: Array, facet: Array) -> NDArray[np.bool_]:
    height = _heights(points, facet)
    return np.asarray((height >= 0.0).all(axis=1) | (height <= 0.0).all(axis=1))


def _piercing(start: Array, end: Array, facet: Array) -> Array:
    """Find points, shape (k, 3), where lines from `start` to `end` pierce the interiors of their facets; nan if none."""
    height = _heights(np.stack([start, end], axis=1), facet)
    through = height[:, 0] * height[:, 1] < 0.0
    with np.errstate(divide="ignore", invalid="ignore"):
        share = height[:, 0] / (height[:, 0] - height[:, 1])
    point = start + np.where(through, share, 0.0)[:, None] * (end - start)
    normal = np.cross(facet[:, 1] - facet[:, 0], facet[:, 2] - facet[:, 0])
    size = np.einsum("ki,ki->k", normal, normal)
    for corner in range(3):
        side = facet[:, (corner + 1) % 3] - facet[:, corner]
        inside = np.einsum("ki,ki->k", np.cross(side, point - facet[:, corner]), normal)
        through &= inside > 1e-9 * size
    return np.where(through[:, None], point, np.nan)


def _doubtful_volume(corners: Array, points: Array) -> float:
    """Calculate the volume that the surface winds round more than once or in the wrong direction, from sections along
    the hull or from more closely spaced sections at the crossing, whichever gives more. [m3]"""
    ends = float(corners[:, :, 0].min()), float(corners[:, :, 0].max())
    # The part wound round twice may reach far beyond the line of crossing, and a small one may fall between sections all
    # along the hull, so the larger of the two figures counts.
    whole = _mean_doubt(corners, *ends, _SECTIONS_ALONG)
    reach = 0.005 * (ends[1] - ends[0])
    near = float(points[:, 0].min()) - reach, float(points[:, 0].max()) + reach
    return max(whole, _mean_doubt(corners, *near, _SECTIONS_NEAR))


def _mean_doubt(corners: Array, low: float, high: float, count: int) -> float:
    """Integrate the doubtful areas of the sections between two positions by the midpoint rule. [m3]"""
    stations = low + (high - low) * (np.arange(count) + 0.5) / count
    return float(np.mean([doubtful_area(corners, x) for x in stations])) * (high - low)


def doubtful_area(corners: Array, x: float) -> float:
    """Calculate the area of a section that the surface winds round more than once or in the wrong direction.

    Args:
        corners: Corners of the facets, shape (m, 3, 3). [m]
        x: x of the section. [m]

    Returns:
        The area, with each part multiplied by the number of times it is counted too often or with the wrong sign. [m2]
    """
    import shapely

    lines = section(corners, x)
    if not len(lines):
        return 0.0
    size = float(np.max(np.abs(lines)))
    net = shapely.union_all(shapely.linestrings(lines), grid_size=1e-9 * size)
    faces = shapely.get_parts(shapely.polygonize(shapely.get_parts(net)))
    inside = shapely.get_coordinates(shapely.point_on_surface(faces))
    doubt = 0.0
    for area, point in zip(shapely.area(faces), inside, strict=True):
        turns = _turns(lines, point)
        if turns not in (0, 1):
            doubt += float(area) * abs(turns - 1 if turns > 0 else turns)
    return doubt


def _turns(lines: Array, point: Array) -> int:
    """Count how many times directed lines wind counter-clockwise round a point."""
    start, end = lines[:, 0] - point, lines[:, 1] - point
    side = start[:, 0] * end[:, 1] - start[:, 1] * end[:, 0]
    up = (start[:, 1] <= 0.0) & (end[:, 1] > 0.0) & (side > 0.0)
    down = (start[:, 1] > 0.0) & (end[:, 1] <= 0.0) & (side < 0.0)
    return int(up.sum() - down.sum())
