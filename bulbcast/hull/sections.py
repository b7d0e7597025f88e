"""Sections of a surface, and the faults that they reveal, such as a hull that is hollow or upside down."""

from __future__ import annotations

import numpy as np

from bulbcast.hull.faults import HullRemark
from bulbcast.solids.quadrature import Array

_HOLLOW = 0.2
_LOW_CENTRE = 0.48
_SECTIONS = 21


def section(corners: Array, x: float) -> Array:
    """Find the lines in which facets cross a plane of constant x. A facet's winding sets the direction of its line.

    Args:
        corners: Corners of the facets, shape (m, 3, 3). [m]
        x: x of the plane. [m]

    Returns:
        Start and end of each line as (y, z), shape (k, 2, 2). [m]
    """
    behind = corners[:, :, 0] > x
    count = behind.sum(axis=1)
    cut = (count == 1) | (count == 2)
    behind, count, cut_corners = behind[cut], count[cut], corners[cut]
    lone = np.argmax(behind == (count == 1)[:, None], axis=1)
    row = np.arange(len(lone))
    a, b, c = (cut_corners[row, (lone + turn) % 3] for turn in range(3))
    p = a + ((x - a[:, 0]) / (b[:, 0] - a[:, 0]))[:, None] * (b - a)
    q = a + ((x - a[:, 0]) / (c[:, 0] - a[:, 0]))[:, None] * (c - a)
    lines = np.stack([p[:, 1:], q[:, 1:]], axis=1)
    return np.where((count == 1)[:, None, None], lines, lines[:, ::-1])


def waterline_lines(corners: Array, level: float) -> Array:
    """Find the lines in which facets cross a horizontal plane.

    Args:
        corners: Corners of the facets, shape (m, 3, 3). [m]
        level: z of the plane. [m]

    Returns:
        Start and end of each line as (x, y), shape (k, 2, 2). [m]
    """
    return section(corners[:, :, [2, 0, 1]], level)


def hollow(lines: Array) -> list[HullRemark]:
    """Return a fault for a hull modelled with the thickness of its planking, since water would then fill its interior.

    Args:
        lines: Lines in which the facets cross the plane of the design waterline, shape (k, 2, 2). [m]
    """
    import shapely

    size = float(np.max(np.abs(lines)))
    net = shapely.union_all(shapely.linestrings(lines), grid_size=1e-9 * size)
    faces = shapely.polygonize(shapely.get_parts(net))
    outside = shapely.union_all(shapely.polygons(shapely.get_exterior_ring(shapely.get_parts(faces))))
    start, end = lines[:, 0], lines[:, 1]
    solid = 0.5 * float(np.sum(start[:, 0] * end[:, 1] - start[:, 1] * end[:, 0]))
    share = 1.0 - solid / outside.area if outside.area > 0.0 else 0.0
    if share <= _HOLLOW:
        return []
    return [
        HullRemark(
            "hollow",
            f"At the design waterline, {100 * share:.0f} % of the hull is open inside. The model includes the thickness "
            "of the hull wall, so only the wall would displace water.",
            "Give only the outside of the hull, as one closed surface.",
            found=share,
            limit=_HOLLOW,
        )
    ]


def upside_down(corners: Array) -> list[HullRemark]:
    """Return a fault for a hull whose sections are fuller below than above, regardless of the rise of the sheer.

    Args:
        corners: Corners of the hull's facets in boat axes, shape (m, 3, 3). [m]
    """
    height = _height_of_middle(corners)
    if height >= _LOW_CENTRE:
        return []
    return [
        HullRemark(
            "looks-upside-down",
            f"The centre of the hull's sections is at {100 * height:.0f} % of their height. Hulls are fuller above than "
            "below, so it should be at 50 % or more.",
            "If the hull is upside down, correct the axis that points up. A mast or a cabin in the file can also cause "
            "this.",
            found=height,
            limit=_LOW_CENTRE,
        )
    ]


def _height_of_middle(corners: Array) -> float:
    """Return the mean height of the sections' centres as a fraction of section height, weighted by area. [-]"""
    low, high = float(corners[:, :, 0].min()), float(corners[:, :, 0].max())
    areas, shares = [], []
    for number in range(_SECTIONS):
        lines = section(corners, low + (number + 0.5) / _SECTIONS * (high - low))
        (y0, z0), (y1, z1) = lines[:, 0].T, lines[:, 1].T
        turned = y0 * z1 - y1 * z0
        area = 0.5 * float(np.sum(turned))
        bottom, top = float(lines[:, :, 1].min()), float(lines[:, :, 1].max())
        if area == 0.0 or top == bottom:
            continue
        centre = float(np.sum(turned * (z0 + z1))) / 6.0 / area
        areas.append(abs(area))
        shares.append((centre - bottom) / (top - bottom))
    return float(np.average(shares, weights=areas)) if areas else 0.5
