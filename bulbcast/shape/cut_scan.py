"""The union of cuts inside the body, followed edge by edge: for cuts that meet or leave the lead.

A band is a bundle of columns along the fin's axis: an outline in the floor's plane and, in each
column, the stretch of height it takes. The scan runs over s in panels between all the places
where outlines begin, end or cross, and over y between the outlines; in each column the
stretches are joined, so that what two cuts share is counted once.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from bulbcast.shape.body import TurnedBody
from bulbcast.shape.columns import Axis, through
from bulbcast.shape.fin_section import FinTip, outline, trailing_corner
from bulbcast.shape.pieces import Piece
from bulbcast.shape.quadrature import Array, gauss

_PANEL_NODES = 10
_SUBPANELS = 3
_ACROSS_NODES = 8


@dataclass(frozen=True, slots=True, kw_only=True)
class Band:
    """A bundle of columns.

    Attributes:
        start: Where the outline begins, s. [m]
        end: Where it ends. [m]
        half: s -> half width of the outline there, 0 outside. [m]
        low: s -> lowest height taken. [m]
        high: s -> highest height taken. [m]
        marks: Places within where the outline turns sharply. [m]
    """

    start: float
    end: float
    half: Callable[[Array], Array]
    low: Callable[[Array], Array]
    high: Callable[[Array], Array]
    marks: tuple[float, ...] = ()


@lru_cache(maxsize=8)
def _outline_table(tip: FinTip, clearance: float) -> tuple[Array, Array]:
    """x from the leading edge and the squared half width, fine enough for a straight line between."""
    points = outline(tip, clearance, along=3000, round_corner=100)
    side = points[points[:, 1] >= 0.0]
    order = np.argsort(side[:, 0], kind="stable")
    return side[order, 0], side[order, 1] ** 2


def outline_band(tip: FinTip, clearance: float, leading_edge_x: float, *, low: float, high: float) -> Band:
    """The fin's section, grown by the clearance, between two levels.

    Args:
        tip: The fin's tip.
        clearance: [m]
        leading_edge_x: Of the tip at the floor. [m]
        low: Level. [m]
        high: Level, may be infinite. [m]
    """
    x, squares = _outline_table(tip, clearance)

    def half(s: Array) -> Array:
        # Near the nose the width goes with the root of the distance: its square is interpolated.
        return np.sqrt(np.interp(s - leading_edge_x, x, squares, left=0.0, right=0.0))

    return Band(
        start=leading_edge_x + float(x[0]),
        end=leading_edge_x + float(x[-1]),
        half=half,
        low=lambda s: np.full_like(s, low),
        high=lambda s: np.full_like(s, high),
        marks=(
            leading_edge_x,
            leading_edge_x + 0.02 * tip.chord,
            leading_edge_x + tip.chord + clearance * math.cos(trailing_corner(tip)[1]),
        ),
    )


def disc_band(axis: Axis, at_x: float, radius: float, *, low: float | None, high: float | None) -> Band:
    """A cylinder along the axis, between planes square to it.

    Args:
        axis: Direction and level of the floor.
        at_x: Where its own axis crosses the floor. [m]
        radius: [m]
        low: Along the axis from the floor; None for "from below everything". [m]
        high: Along the axis from the floor; None for the level pocket floor. [m]
    """
    cosine, sine = math.cos(axis.rake), math.sin(axis.rake)

    def half(s: Array) -> Array:
        return np.sqrt(np.maximum(radius**2 - ((s - at_x) * cosine) ** 2, 0.0))

    def plane(along: float) -> Callable[[Array], Array]:
        # A point at fore-and-aft offset a on the plane stands at floor + a sin + along cos.
        return lambda s: axis.floor + (s - at_x) * cosine * sine + along * cosine

    return Band(
        start=at_x - radius / cosine,
        end=at_x + radius / cosine,
        half=half,
        low=(lambda s: np.full_like(s, -math.inf)) if low is None else plane(low),
        high=(lambda s: np.full_like(s, axis.floor)) if high is None else plane(high),
    )


def _meeting_half(body: TurnedBody, axis: Axis, s: Array, level: Array) -> Array:
    """Half width at which the columns of s meet the body's surface on a level, 0 where they do not."""
    k = body.width_to_height
    x = s - axis.shift * (level - axis.floor)
    r2, _ = body.squared_radius(x)
    inside = (x >= 0.0) & (x <= body.length)
    return np.sqrt(np.where(inside, np.maximum(k * (r2 - k * level**2), 0.0), 0.0))


def _edge_curves(body: TurnedBody, axis: Axis, bands: tuple[Band, ...]) -> list[Callable[[Array], Array]]:
    """Everything in the (s, y) plane across which the integrand may bend: the bands' outlines, the
    body's silhouette, and the curves on which a band's lower or upper end meets the surface."""
    curves = [band.half for band in bands]
    curves.append(lambda s: _meeting_half(body, axis, s, np.zeros_like(s)))
    for band in bands:
        for end in (band.low, band.high):
            if np.isfinite(end(np.array([band.start]))[0]):
                curves.append(lambda s, end=end: _meeting_half(body, axis, s, end(s)))  # type: ignore[misc]
    return curves


def scan(body: TurnedBody, axis: Axis, bands: tuple[Band, ...]) -> Piece:
    """The part of the body that the bands take together.

    Args:
        body: The lead body.
        axis: Direction of the columns and level of the floor.
        bands: Any number; what they share is counted once.

    Returns:
        Volume and moments of the union's intersection with the body.
    """
    if not bands:
        return Piece()
    curves = _edge_curves(body, axis, bands)
    s, s_weight = _panels(body, bands, curves)
    limits = np.sort(np.stack([curve(s) for curve in curves] + [np.zeros_like(s)]), axis=0)
    widest = np.max(np.stack([band.half(s) for band in bands]), axis=0)
    limits = np.minimum(limits, widest)

    share, share_weight = gauss(_ACROSS_NODES)
    # A quarter-wave spacing takes the square-root edges of outlines and sections.
    spread = np.sin(0.5 * math.pi * share) ** 2
    spread_weight = share_weight * 0.5 * math.pi * np.sin(math.pi * share)
    width = np.diff(limits, axis=0)
    y = limits[:-1, :, None] + width[:, :, None] * spread
    weight = 2.0 * s_weight[None, :, None] * width[:, :, None] * spread_weight
    column_s = np.broadcast_to(s[None, :, None], y.shape)
    low, high = through(body, axis, column_s, y)

    starts, ends = [], []
    for band in bands:
        inside = (y < band.half(s)[None, :, None]) & (low < high)
        start = np.maximum(band.low(s)[None, :, None], low)
        end = np.minimum(band.high(s)[None, :, None], high)
        taken = inside & (end > start)
        starts.append(np.where(taken, start, math.inf))
        ends.append(np.where(taken, end, -math.inf))
    return _joined(axis, column_s, weight, np.stack(starts), np.stack(ends))


def _panels(
    body: TurnedBody, bands: tuple[Band, ...], curves: list[Callable[[Array], Array]]
) -> tuple[Array, Array]:
    """Nodes and weights along s: panels between the outlines' ends, the body's, and the crossings."""
    start, end = min(band.start for band in bands), max(band.end for band in bands)
    marks = {start, end, 0.0, body.length}
    for band in bands:
        marks.update((band.start, band.end, *band.marks))
    fine = np.linspace(start, end, 601)
    values = np.stack([curve(fine) for curve in curves])
    for i, curve in enumerate(curves):
        # Where a curve begins or ends, and where it crosses another.
        marks.update(_changes(fine, values[i] > 0.0, lambda s, one=curve: one(s) > 0.0))  # type: ignore[misc]
        for j in range(i + 1, len(curves)):
            marks.update(
                _changes(
                    fine,
                    values[i] > values[j],
                    lambda s, one=curve, other=curves[j]: one(s) > other(s),  # type: ignore[misc]
                )
            )
    edges = np.array(sorted(mark for mark in marks if start <= mark <= end))
    steps = np.arange(_SUBPANELS) / _SUBPANELS
    edges = np.append((edges[:-1, None] + np.diff(edges)[:, None] * steps).ravel(), edges[-1])
    share, share_weight = gauss(_PANEL_NODES)
    spread = np.sin(0.5 * math.pi * share) ** 2
    spread_weight = share_weight * 0.5 * math.pi * np.sin(math.pi * share)
    width = np.diff(edges)
    return (edges[:-1, None] + width[:, None] * spread).ravel(), (width[:, None] * spread_weight).ravel()


def _changes(
    grid: Array, state: NDArray[np.bool_], test: Callable[[Array], NDArray[np.bool_]]
) -> list[float]:
    """Where a yes-or-no changes along a grid, bisected until a wrong place no longer tells, all changes at once."""
    at = np.flatnonzero(state[:-1] != state[1:])
    if not len(at):
        return []
    low, high, before = grid[at], grid[at + 1], state[at]
    for _ in range(24):
        middle = 0.5 * (low + high)
        same = test(middle) == before
        low, high = np.where(same, middle, low), np.where(same, high, middle)
    return [float(place) for place in 0.5 * (low + high)]


def _joined(axis: Axis, s: Array, weight: Array, starts: Array, ends: Array) -> Piece:
    """Sum of the joined stretches of every column."""
    order = np.argsort(starts, axis=0)
    starts = np.take_along_axis(starts, order, axis=0)
    ends = np.take_along_axis(ends, order, axis=0)
    covered = np.full(starts.shape[1:], -math.inf)
    volume = moment_x = moment_z = 0.0
    for start, end in zip(starts, ends, strict=True):
        begin = np.maximum(start, covered)
        taken = np.isfinite(begin) & (end > begin)
        begin = np.where(taken, begin, 0.0)
        depth = np.where(taken, end - begin, 0.0)
        middle = begin + 0.5 * depth
        part = weight * depth
        volume += float(np.sum(part))
        moment_x += float(np.sum(part * (s - axis.shift * (middle - axis.floor))))
        moment_z += float(np.sum(part * middle))
        covered = np.maximum(covered, end)
    return Piece(volume=volume, moment_x=moment_x, moment_z=moment_z)
