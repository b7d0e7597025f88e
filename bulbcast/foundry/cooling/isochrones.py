"""Freezing times on a cut, drawn as filled bands inside the true outline of the casting and its feeder. Lengths are in
mm."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Any

import numpy as np
from numpy.typing import NDArray

from bulbcast.drawing.shapes import Box, Contour, Point
from bulbcast.foundry.cooling.results import Cooling, Slice
from bulbcast.foundry.cooling.setup import Feeder

MM = 1000.0
Array = NDArray[np.float64]
MOST_BANDS = 8
_CLOSER = 1.7
"""Exponent that narrows the bands towards the end, near the hot spot and the feeder; 1 gives equal bands. [-]"""


def round_times(longest: float) -> tuple[float, ...]:
    """Choose round times that divide the freezing time into at most eight bands, which get narrower towards the end.

    Args:
        longest: Time at which the last metal froze. [s]

    Returns:
        Ascending times in whole seconds, tenths of a minute, minutes, tenths of an hour or hours. The last is far
        enough before the end for every label to be different.
    """
    limits = ((60.0, 1.0), (600.0, 6.0), (10800.0, 60.0), (36000.0, 360.0))
    step = next((each for limit, each in limits if longest < limit), 3600.0)
    parts = (1.0 - (1.0 - part / MOST_BANDS) ** _CLOSER for part in range(1, MOST_BANDS))
    rounded = dict.fromkeys(step * round(longest * part / step) for part in parts)
    return tuple(one for one in rounded if 0.0 < one < longest - 0.5 * step)


def outlines(cooling: Cooling, *, along: bool) -> tuple[Contour, Contour, Contour]:
    """Outlines of the casting, feeder and block on a cut, oriented as poured.

    Coordinates increase to the right and upwards.

    Args:
        cooling: Results of the simulation.
        along: True for the cut along the axis, false for the cut across it at the feeder.

    Returns:
        Three contours; that of the feeder is empty if there is none. [mm]
    """
    setup, cavity = cooling.setup, cooling.setup.cavity
    feeder = setup.feeder
    x, up, across = (np.array(one) * MM for one in (cavity.x, cavity.up, cavity.across))
    length, high, wide = x[-1], float(np.max(up)), float(np.max(across))
    ends, sides, below = MM * setup.ends, MM * setup.sides, MM * setup.below
    over = MM * setup.over
    if setup.stands:
        # Upwards means towards the upper end; heights are measured from the nose.
        turn = -1.0 if setup.orientation == "nose-up" else 1.0
        radius = np.sqrt(up * across)
        wide = float(np.max(radius))
        level = turn * x
        body = _run(np.concatenate((radius, -radius[::-1])), np.concatenate((level, level[::-1])))
        top_end = 0.0 if turn < 0.0 else length
        fed = _column(0.0, feeder, top_end) if feeder else ()
        low, high_end = min(level[0], level[-1]), max(level[0], level[-1])
        return body, fed, _rectangle(-wide - sides, low - below, wide + sides, high_end + over)
    top = 0.0 if setup.open_half else high
    if along:
        upper = np.zeros_like(up) if setup.open_half else up
        body = _run(np.concatenate((x, x[::-1])), np.concatenate((-up, upper[::-1])))
        at = 0.0 if feeder is None else MM * feeder.at
        fed = _column(at, feeder, high) if feeder else ()
        return body, fed, _rectangle(-ends, -high - below, length + ends, top + over)
    at = MM * (cavity.thickest if feeder is None else feeder.at)
    a, b = float(np.interp(at, x, across)), float(np.interp(at, x, up))
    angle = np.linspace(math.pi, 2.0 * math.pi if setup.open_half else 3.0 * math.pi, 121)
    body = _run(a * np.cos(angle), b * np.sin(angle))
    fed = _column(0.0, feeder, high) if feeder else ()
    return body, fed, _rectangle(-wide - sides, -high - below, wide + sides, top + over)


def _column(at: float, feeder: Feeder, top: float) -> Contour:
    """Outline of a feeder seen from one side, from its foot to the metal's surface. [mm]"""
    low, high = top - MM * feeder.foot, top + MM * feeder.height
    foot, wide = 0.5 * MM * feeder.diameter, 0.5 * MM * feeder.widest
    return ((at - foot, low), (at + foot, low), (at + wide, high), (at - wide, high))


def less(contour: Contour, other: Contour) -> tuple[Contour, ...]:
    """Part of a contour outside another, used to draw a feeder that cuts into a casting. [mm]"""
    from shapely.geometry import Polygon

    if not contour:
        return ()
    return _contours(Polygon(contour).difference(Polygon(other).buffer(0.0)))


def bands(
    cut: Slice, values: Sequence[Sequence[float | None]], times: Sequence[float], outline: Sequence[Contour]
) -> list[tuple[Contour, ...]]:
    """Divide the metal on a cut into bands of freezing time.

    Args:
        cut: Nodes of the cut.
        values: Time at each node, None in the mould, shape (second, first). [s]
        times: Times that separate the bands, ascending. [s]
        outline: Outline of the metal, as contours whose union it is. [mm]

    Returns:
        Contours of each band, holes included, from the earliest band; there is one more band than `times`.
    """
    import shapely
    from shapely.geometry import Polygon

    first, second, field = _filled(cut, values)
    metal = shapely.union_all([Polygon(one).buffer(0.0) for one in outline if len(one) > 2])
    edges = [-math.inf, *times, math.inf]
    pieces: list[list[Any]] = [[] for _ in range(len(edges) - 1)]
    corners = ((0, 0), (0, 1), (1, 1), (1, 0))
    for j in range(len(second) - 1):
        for i in range(len(first) - 1):
            square = [(first[i + b], second[j + a], field[j + a, i + b]) for a, b in corners]
            # Each square is split into two triangles: the field is linear on each, so its bands are unambiguous.
            for triangle in ((square[0], square[1], square[2]), (square[0], square[2], square[3])):
                low, high = min(p[2] for p in triangle), max(p[2] for p in triangle)
                for number in range(len(edges) - 1):
                    if high <= edges[number] or low > edges[number + 1]:
                        continue
                    part = _between(triangle, edges[number], edges[number + 1])
                    if len(part) > 2:
                        pieces[number].append(Polygon(part))
    return [
        _contours(shapely.intersection(shapely.coverage_union_all(found).buffer(0.0), metal)) if found else ()
        for found in pieces
    ]


Node = tuple[float, float, float]


def _between(triangle: Sequence[Node], low: float, high: float) -> list[Point]:
    """Part of a triangle between two levels of the linear field on it.

    Crossings are calculated from the ends of an edge in a fixed order. Two triangles therefore cut their common edge at
    exactly the same points, and the pieces fit without a gap.
    """
    found: list[Point] = []
    for here, there in zip(triangle, (*triangle[1:], triangle[0]), strict=True):
        if low <= here[2] <= high:
            found.append(here[:2])
        crossed = [level for level in (low, high) if min(here[2], there[2]) < level < max(here[2], there[2])]
        first, last = sorted((here, there))
        for level in crossed if here[2] < there[2] else reversed(crossed):
            share = (level - first[2]) / (last[2] - first[2])
            found.append((first[0] + share * (last[0] - first[0]), first[1] + share * (last[1] - first[1])))
    return found


def _filled(cut: Slice, values: Sequence[Sequence[float | None]]) -> tuple[Array, Array, Array]:
    """Nodes [mm] and times, extended into the mould far enough to cover the outline."""
    field = np.array([[np.nan if v is None else v for v in row] for row in values], dtype=np.float64)
    first, second = MM * np.array(cut.first), MM * np.array(cut.second)
    field = np.pad(field, 1, mode="edge")
    first = np.concatenate(([2 * first[0] - first[1]], first, [2 * first[-1] - first[-2]]))
    second = np.concatenate(([2 * second[0] - second[1]], second, [2 * second[-1] - second[-2]]))
    for _ in range(max(field.shape)):
        empty = np.isnan(field)
        if not empty.any():
            break
        padded = np.pad(field, 1, constant_values=np.nan)
        around = np.stack(
            [
                padded[1 + a : padded.shape[0] - 1 + a, 1 + b : padded.shape[1] - 1 + b]
                for a in (-1, 0, 1)
                for b in (-1, 0, 1)
            ]
        )
        count = np.sum(~np.isnan(around), axis=0)
        mean = np.nansum(around, axis=0) / np.maximum(count, 1)
        field = np.where(empty & (count > 0), mean, field)
    return first, second, np.nan_to_num(field)


def _contours(shape: Any) -> tuple[Contour, ...]:
    found: list[Contour] = []
    for part in getattr(shape, "geoms", [shape]):
        if part.geom_type == "Polygon" and part.area > 1e-3:
            found.append(tuple(part.exterior.coords[:-1]))
            found += [tuple(hole.coords[:-1]) for hole in part.interiors]
    return tuple(found)


def _run(x: Array, y: Array) -> Contour:
    return tuple(zip(x.tolist(), y.tolist(), strict=True))


def _rectangle(left: float, bottom: float, right: float, top: float) -> Contour:
    return ((left, bottom), (right, bottom), (right, top), (left, top))


def box_of(contour: Contour) -> Box:
    """Bounding box of a contour. [mm]"""
    xs, ys = [p[0] for p in contour], [p[1] for p in contour]
    return Box(left=min(xs), bottom=min(ys), right=max(xs), top=max(ys))
