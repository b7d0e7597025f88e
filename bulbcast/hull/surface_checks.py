"""What may be odd about a hull that is a sound surface: hollow, upside down, in the wrong unit."""

from __future__ import annotations

import numpy as np

from bulbcast.hull.crossing import section
from bulbcast.hull.faults import HullRemark, fault
from bulbcast.solids.mesh import Triangles
from bulbcast.solids.quadrature import Array

_HOLLOW = 0.2
_LOW_CENTRE = 0.48
_SECTIONS = 21
_SHORTEST, _LONGEST = 0.15, 15.0

# What a length comes out by when a file's unit is taken for another one.
_SLIPS = (
    (25.4, "inches", "mm"),
    (1000.0, "metres", "mm"),
    (10.0, "cm", "mm"),
    (304.8, "feet", "mm"),
    (12.0, "feet", "inches"),
    (2.54, "inches", "cm"),
    (100.0, "metres", "cm"),
    (1000.0 / 25.4, "metres", "inches"),
    (1000.0 / 304.8, "metres", "feet"),
)
_SLIP_WITHIN = 0.1


def waterline_lines(corners: Array, level: float) -> Array:
    """The lines in which facets cross a level plane.

    Args:
        corners: Shape (m, 3, 3). [m]
        level: z of the plane. [m]

    Returns:
        Start and end of each as (x, y), shape (k, 2, 2). [m]
    """
    return section(corners[:, :, [2, 0, 1]], level)


def looks_odd(
    vertices: Array,
    triangles: Triangles,
    *,
    lines: Array,
    design_length: float,
    stated_length: float | None,
    deck_capped: bool,
) -> tuple[list[HullRemark], list[HullRemark]]:
    """Look at a hull as her builder would.

    Args:
        vertices: In boat axes, shape (n, 3). [m]
        triangles: Closed, outward counter-clockwise, shape (m, 3). [-]
        lines: Of the design waterline, shape (k, 2, 2). [m]
        design_length: Of the design waterline as read. [m]
        stated_length: The same as the builder has it; None where not known. [m]
        deck_capped: Whether an open deck showed which way up she is. [-]

    Returns:
        Faults, and remarks that refuse nothing.
    """
    faults = _hollow(lines)
    remarks = [] if deck_capped else _upside_down(vertices, triangles)
    return faults, remarks + _length(design_length, stated_length)


def _hollow(lines: Array) -> list[HullRemark]:
    """A hull modelled with the thickness of her planking, open inside: the water would stand in her."""
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
        fault(
            "hollow",
            f"At the design waterline {100 * share:.0f} % of the hull is open inside: she was modelled with her "
            "wall, and only the wall would float.",
            "Give the outside alone, as one closed surface.",
            found=share,
            limit=_HOLLOW,
        )
    ]


def _upside_down(vertices: Array, triangles: Triangles) -> list[HullRemark]:
    """A body whose sections are fuller below than above; the sheer's rise towards the ends does not blur that."""
    height = _height_of_middle(vertices[triangles])
    if height >= _LOW_CENTRE:
        return []
    return [
        fault(
            "looks-upside-down",
            f"The middle of the hull's sections stands at {100 * height:.0f} % of their height; hulls are fuller above "
            f"than below and have it at 50 % and more.",
            "Look at her the right way up: if she is upside down, mend the axis that points up. A mast or a "
            "cabin in the file would do this too.",
            found=height,
            limit=_LOW_CENTRE,
        )
    ]


def _height_of_middle(corners: Array) -> float:
    """Height of the sections' centres over their own heights, larger sections counting for more. [-]"""
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


def _length(design_length: float, stated_length: float | None) -> list[HullRemark]:
    """A length that only a wrong unit explains."""
    if stated_length is None:
        if _SHORTEST <= design_length <= _LONGEST:
            return []
        return [
            fault(
                "length-unlikely",
                f"The design waterline comes out {design_length:.4g} m long.",
                f"Mend the file's unit or the scale if that is not meant; boats here are {_SHORTEST:g} to "
                f"{_LONGEST:g} m long.",
                found=design_length,
                limit=_SHORTEST if design_length < _SHORTEST else _LONGEST,
                unit="m",
            )
        ]
    ratio = design_length / stated_length
    if abs(ratio - 1.0) <= _SLIP_WITHIN:
        return []
    seen = f"The design waterline comes out {design_length:.4g} m long where {stated_length:.4g} m was stated"
    for factor, larger, smaller in _SLIPS:
        for slip, written, taken in ((ratio / factor, smaller, larger), (ratio * factor, larger, smaller)):
            if abs(slip - 1.0) <= _SLIP_WITHIN:
                how = f"{max(ratio, 1.0 / ratio):.3g} times too {'long' if ratio > 1.0 else 'short'}"
                return [
                    fault(
                        "wrong-unit",
                        f"{seen}, {how}.",
                        f"A file in {written} taken for one in {taken} would do this: mend the unit.",
                        found=ratio,
                        limit=1.0,
                    )
                ]
    return [
        fault(
            "length-differs",
            f"{seen}.",
            "Mend the file's unit, the scale or the length stated.",
            found=ratio,
            limit=1.0,
        )
    ]
