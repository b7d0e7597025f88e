"""A hull given as a table of offsets. Its figures for the upright boat on the design waterline come from
Simpson's rules."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from bulbcast.hull.design_line import DesignLine
from bulbcast.hull.faults import HullError, HullRemark, counted
from bulbcast.hull.placement import HullPlacement
from bulbcast.hull.simpson import Rule, blended, integration_rule
from bulbcast.solids.quadrature import Array

Flags = NDArray[np.bool_]

SAME = 1e-9
"""Tolerance within which lengths count as equal. [m]"""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class HullTable:
    """A table of offsets as the plan gives it. [m]

    Attributes:
        stations: x of the stations, measured aft, in ascending order, shape (n,), n at least 3.
        levels: z of the waterlines in ascending order, shape (k,), k at least 2.
        half_breadths: Half breadths, shape (n, k), None or nan if blank.
        keel: z of the hull's lowest point at each station; None if the table has no such row.
        sheer: z of the deck edge at each station; None if the table has no such row.
        sheer_half_breadths: Half breadths at the deck edge; None if `sheer` is.
    """

    stations: Sequence[float] | Array
    levels: Sequence[float] | Array
    half_breadths: Sequence[Sequence[float | None]] | Array
    keel: Sequence[float] | Array | None = None
    sheer: Sequence[float] | Array | None = None
    sheer_half_breadths: Sequence[float] | Array | None = None


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class OffsetsHull:
    """A table of offsets in boat axes.

    Attributes:
        stations: x of the stations in ascending order, shape (n,). [m]
        levels: z of the waterlines in ascending order, 0 at the design waterline, shape (k,). [m]
        half_breadths: Half breadths, shape (n, k); nan if the hull does not reach the waterline at that station. [m]
        keel: z of the hull's lowest point at each station, shape (n,). [m]
        sheer: z of the deck edge at each station, shape (n,). [m]
        sheer_half_breadths: Half breadth at the deck edge, shape (n,). [m]
        design_length: Length of the design waterline; its forward end is at x = 0. [m]
        source: Name of the hull in messages and reports.
        remarks: Remarks on missing rows of the table.
    """

    stations: Array
    levels: Array
    half_breadths: Array
    keel: Array
    sheer: Array
    sheer_half_breadths: Array
    design_length: float
    source: str
    remarks: tuple[HullRemark, ...]

    def __post_init__(self) -> None:
        for name in ("stations", "levels", "half_breadths", "keel", "sheer", "sheer_half_breadths"):
            getattr(self, name).setflags(write=False)


def offsets_hull(table: HullTable, placement: HullPlacement, source: str) -> OffsetsHull:
    """Return a hull from a table of offsets in its original scale and axes.

    Without a keel row the hull ends at the lowest waterline, with a flat floor wherever it has breadth there. Without
    sheer rows it is decked at the highest waterline. A blank half breadth means that the hull does not reach that
    waterline. A blank below the hull requires the keel's height at that station, and a blank above it requires the
    sheer's.

    Args:
        table: Table as given.
        placement: Height and ends of the design waterline, and the scale. Ends not given are found from the table.
        source: Name of the hull in messages. [-]

    Returns:
        The table in boat axes.

    Raises:
        HullError: The table is not usable; every fault is given with its position.
    """
    x, z = np.asarray(table.stations, dtype=np.float64), np.asarray(table.levels, dtype=np.float64)
    y = np.asarray(table.half_breadths, dtype=np.float64)
    rows = {"keel": table.keel, "sheer": table.sheer, "sheer half breadth": table.sheer_half_breadths}
    given = {name: np.asarray(row, dtype=np.float64) for name, row in rows.items() if row is not None}
    faults = _shape_faults(x, z, y, given) or _blank_faults(x, z, y, given)
    if faults:
        raise HullError(source, faults)
    bottom = given.get("keel", np.full(len(x), z[0]))
    top = given.get("sheer", np.full(len(x), z[-1]))
    top_breadth = given.get("sheer half breadth", y[:, -1])
    level, scale = placement.waterline_level, placement.scale
    at_line = np.array(
        [
            _half_breadth_at(*section_of(z, y[i], bottom[i], top[i], top_breadth[i]), level)
            for i in range(len(x))
        ]
    )
    forward, aft = _design_ends(x, at_line, given.get("keel"), placement, source)
    return OffsetsHull(
        stations=scale * (x - forward),
        levels=scale * (z - level),
        half_breadths=scale * y,
        keel=scale * (bottom - level),
        sheer=scale * (top - level),
        sheer_half_breadths=scale * top_breadth,
        design_length=scale * (aft - forward),
        source=source,
        remarks=_rows_missing(given),
    )


def _rows_missing(given: dict[str, Array]) -> tuple[HullRemark, ...]:
    """Return remarks on rows missing from the table."""
    no_keel = HullRemark(
        "no-keel-row",
        "The table does not give keel heights.",
        "The hull was given a flat bottom at the lowest waterline. Give keel heights if the hull goes deeper.",
    )
    no_sheer = HullRemark(
        "no-sheer-rows",
        "The table does not give the deck edge.",
        "The hull was decked at the highest waterline, so righting arms with that waterline under water mean nothing.",
    )
    return (*(() if "keel" in given else (no_keel,)), *(() if "sheer" in given else (no_sheer,)))


def _design_ends(
    x: Array, at_line: Array, keel: Array | None, placement: HullPlacement, source: str
) -> tuple[float, float]:
    """Return the ends of the design waterline, either given or found from the table."""
    level = placement.waterline_level
    if not np.any(at_line > 0.0):
        fault = HullRemark(
            "waterline-off-hull",
            f"The design waterline, at a height of {1e3 * level:.5g} mm, has no half breadth at any station.",
            "Correct the height or the table's unit.",
            found=level,
            unit="m",
        )
        raise HullError(source, [fault])
    forward, aft = _line_ends(x, at_line, keel, level)
    forward = forward if placement.forward_end is None else placement.forward_end
    aft = aft if placement.aft_end is None else placement.aft_end
    if not aft - forward > 0.0:
        fault = HullRemark(
            "ends-crossed",
            f"The design waterline's aft end at {1e3 * aft:.5g} mm is not aft of its forward end at "
            f"{1e3 * forward:.5g} mm.",
            "Correct the two ends.",
            found=aft - forward,
            limit=0.0,
            unit="m",
        )
        raise HullError(source, [fault])
    return forward, aft


def _shape_faults(x: Array, z: Array, y: Array, given: dict[str, Array]) -> list[HullRemark]:
    """Return faults in a table that is too small, out of order, or impossible for a hull."""
    found = []
    if len(x) < 3 or len(z) < 2:
        found.append(
            HullRemark(
                "table-too-small",
                f"The table has {x.size} stations and {z.size} waterlines.",
                "Give at least three stations and two waterlines. Eleven stations and six waterlines make a good table.",
            )
        )
    if ("sheer" in given) != ("sheer half breadth" in given):
        found.append(
            HullRemark(
                "sheer-alone",
                "The table gives either the height or the half breadth of the deck edge, but not both.",
                "Give both or neither.",
            )
        )
    if found:
        return found
    for name, row in (("stations", x), ("waterlines", z)):
        wrong = np.flatnonzero(np.diff(row) <= 0.0)
        if len(wrong):
            n = int(wrong[0])
            found.append(
                HullRemark(
                    "not-ascending",
                    f"The {name} are not in ascending order. Number {n + 2}, at {1e3 * row[n + 1]:.5g} mm, follows "
                    f"{1e3 * row[n]:.5g} mm.",
                    "Sort them: stations from the bow aft, waterlines upwards.",
                )
            )
    for block in (y, given.get("sheer half breadth", np.zeros(0))[:, None]):
        for i, j in np.argwhere(block < 0.0)[:1]:
            found.append(
                HullRemark(
                    "negative-half-breadth",
                    f"The half breadth at station {i + 1}, column {j + 1} was read as {1e3 * block[i, j]:.5g} mm.",
                    "Half breadths are measured outwards from the centreplane and are never negative.",
                )
            )
    return found


def _blank_faults(x: Array, z: Array, y: Array, given: dict[str, Array]) -> list[HullRemark]:
    """Return faults for blanks that the keel and the sheer do not explain, and for figures outside the hull."""
    found = []

    def wrong(code: str, message: str, remedy: str) -> None:
        found.append(HullRemark(code, message, remedy))

    for i in range(len(x)):
        filled = np.flatnonzero(~np.isnan(y[i]))
        where = f"station {i + 1} (x = {1e3 * x[i]:.5g} mm)"
        if len(filled) and np.any(np.isnan(y[i, filled[0] : filled[-1] + 1])):
            wrong(
                "blank-between",
                f"The table has a blank between two figures at {where}.",
                "Fill in the blank from the lines plan.",
            )
        first, last = (filled[0], filled[-1]) if len(filled) else (len(z), -1)
        if first > 0 and "keel" not in given:
            wrong(
                "blank-without-keel",
                f"The lowest waterline is blank at {where}, and the table does not give keel heights.",
                "Give the keel's height at every station, or enter 0 where the hull has no breadth.",
            )
        if last < len(z) - 1 and "sheer" not in given:
            wrong(
                "blank-without-sheer",
                f"The highest waterline is blank at {where}, and the table does not give the deck edge.",
                "Give the height and half breadth of the deck edge at every station.",
            )
        low = given["keel"][i] if "keel" in given else z[0]
        high = given["sheer"][i] if "sheer" in given else z[-1]
        if low > high + SAME:
            wrong(
                "keel-above-sheer",
                f"The keel is above the deck edge at {where}.",
                "Correct one of them. Both are heights above the table's baseline.",
            )
            continue
        outside = [j for j in filled if (z[j] < low - SAME or z[j] > high + SAME) and y[i, j] > 0.0]
        if outside:
            wrong(
                "breadth-outside",
                f"The waterline at {1e3 * z[outside[0]]:.5g} mm has a half breadth at {where}, where the hull extends "
                f"from {1e3 * low:.5g} to {1e3 * high:.5g} mm.",
                "Leave the half breadth blank, or correct the height of the keel or the deck edge.",
            )
    return found


def section_of(z: Array, y: Array, low: float, high: float, top_breadth: float) -> tuple[Array, Array]:
    """Return heights and half breadths of the section at one station, from its lowest point to the deck edge."""
    inside = ~np.isnan(y) & (z >= low - SAME) & (z <= high + SAME)
    heights, breadths = list(z[inside]), list(y[inside])
    if not heights or heights[0] > low + SAME:
        heights, breadths = [low, *heights], [0.0, *breadths]
    if heights[-1] < high - SAME:
        heights, breadths = [*heights, high], [*breadths, top_breadth]
    return np.array(heights), np.array(breadths)


def _half_breadth_at(heights: Array, breadths: Array, level: float) -> float:
    """Return the half breadth of a section at a given height; zero outside the section. [m]"""
    if level < heights[0] - SAME or level > heights[-1] + SAME:
        return 0.0
    if len(heights) == 1:
        return float(breadths[0])
    return max(0.0, float(blended(heights, breadths, np.array([level]))[0]))


def _line_ends(x: Array, at_line: Array, keel: Array | None, level: float) -> tuple[float, float]:
    """Find the ends of the design waterline. An end is where the keel crosses the waterline; failing that, it is the
    next station outwards, which has no breadth there, or the end of the table."""
    wet = np.flatnonzero(at_line > 0.0)
    ends = []
    for station, step in ((int(wet[0]), -1), (int(wet[-1]), 1)):
        beyond = station + step
        if not 0 <= beyond < len(x):
            ends.append(float(x[station]))
        elif keel is None or keel[beyond] <= level:
            ends.append(float(x[beyond]))
        else:
            ends.append(_keel_crossing(x, keel, level, station, beyond))
    return ends[0], ends[1]


def _keel_crossing(x: Array, keel: Array, level: float, wet: int, dry: int) -> float:
    """Find the x between two stations at which the keel crosses a given height. [m]"""
    low, high = float(x[wet]), float(x[dry])
    for _ in range(60):
        middle = 0.5 * (low + high)
        if float(blended(x, keel, np.array([middle]))[0]) < level:
            low = middle
        else:
            high = middle
    return 0.5 * (low + high)


def design_line_of_offsets(hull: OffsetsHull) -> tuple[DesignLine, tuple[str, ...]]:
    """Calculate the figures of a hull upright on its design waterline, by Simpson's rules.

    Args:
        hull: The table.

    Returns:
        The figures, and sentences that say for which intervals the trapezoid rule was used instead.

    References:
        Displacement, centres and moments of inertia by Simpson's rules on sections and the waterplane, as in handbooks;
        I across = 2/3 int y^3 dx, I along = 2 int x^2 y dx less area x (centre)^2.
    """
    x_all, length = hull.stations, hull.design_length
    areas, moments, breadths, odd, intervals, lowest = [], [], [], 0, 0, 0.0
    for i in range(len(x_all)):
        heights, half = section_of(
            hull.levels, hull.half_breadths[i], hull.keel[i], hull.sheer[i], hull.sheer_half_breadths[i]
        )
        area, moment, rule = _section_integrals(heights, half)
        areas.append(area)
        moments.append(moment)
        breadths.append(_half_breadth_at(heights, half, 0.0))
        if rule is not None:
            odd += rule.by_trapezoid
            intervals += len(rule.weights) - 1
            lowest = min(lowest, float(heights[0]))
    inside = (x_all > SAME) & (x_all < length - SAME)
    x = np.concatenate([[0.0], x_all[inside], [length]])
    a, m, y = (_with_ends(x_all, np.array(row), inside, length) for row in (areas, moments, breadths))
    along = integration_rule(x)
    w = along.weights
    volume = float(w @ a)
    waterplane = 2.0 * float(w @ y)
    flotation = 2.0 * float(w @ (x * y)) / waterplane
    notes = []
    if odd:
        notes.append(
            f"Within the sections, the trapezoid rule was used for {odd} of "
            f"{counted(intervals, 'interval', 'intervals')}. These are single intervals of a different height, such as "
            "the one from the keel to the lowest waterline."
        )
    if along.by_trapezoid:
        places = ", ".join(
            f"{1e3 * x[piece.first]:.4g} to {1e3 * x[piece.last]:.4g} mm"
            for piece in along.pieces
            if piece.rule == "trapezoid"
        )
        notes.append(f"Along the hull, the trapezoid rule was used for the single intervals from {places}.")
    line = DesignLine(
        volume=volume,
        buoyancy_x=float(w @ (x * a)) / volume,
        buoyancy_z=float(w @ m) / volume,
        waterplane_area=waterplane,
        flotation_x=flotation,
        length=length,
        beam=2.0 * float(np.max(y)),
        draught=-lowest,
        bm_across=2.0 / 3.0 * float(w @ y**3) / volume,
        bm_along=(2.0 * float(w @ (x * x * y)) - waterplane * flotation**2) / volume,
        wetted_area=None,
        how=f"table of {len(x_all)} stations by {len(hull.levels)} waterlines, Simpson's rules",
    )
    return line, tuple(notes)


def _section_integrals(heights: Array, half: Array) -> tuple[float, float, Rule | None]:
    """Return the area of a section below the design waterline, its moment about the waterline, and the integration rule
    used."""
    if heights[0] >= -SAME:
        return 0.0, 0.0, None
    below = heights < -SAME
    top = min(0.0, float(heights[-1]))
    z = np.append(heights[below], 0.0) if top == 0.0 else heights[below]
    if len(z) < 2:
        return 0.0, 0.0, None
    y = np.append(half[below], _half_breadth_at(heights, half, 0.0)) if top == 0.0 else half[below]
    rule = integration_rule(z)
    return 2.0 * float(rule.weights @ y), 2.0 * float(rule.weights @ (z * y)), rule


def _with_ends(x: Array, row: Array, inside: Flags, length: float) -> Array:
    """Return the ordinates between the waterline's ends and at both ends. At an end the ordinate is that of a station
    there, or zero if there is none."""
    ends = []
    for end in (0.0, length):
        near = int(np.argmin(np.abs(x - end)))
        ends.append(float(row[near]) if abs(x[near] - end) <= SAME else 0.0)
    return np.concatenate([[ends[0]], row[inside], [ends[1]]])
