"""The union of cuts inside the body, calculated edge by edge for cuts that meet each other or leave the lead.

A band is a bundle of columns along the fin's axis: an outline in the plane of the floor and, for each column, the range
of heights that it covers. The scan runs over s, the x at which a column crosses the floor, and over y between the
outlines. Along s it uses panels between all the points where outlines begin, end or cross. The ranges in each column
are joined, so that lead shared by two cuts counts once.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from bulbcast.bulb.body.columns import through
from bulbcast.bulb.body.pieces import Axis, Piece
from bulbcast.bulb.body.turned import TurnedBody
from bulbcast.fin.tip_section import FinTip, outline, piece_ends, trailing_corner
from bulbcast.solids.quadrature import Array, gauss

_PANEL_NODES = 10
_SUBPANELS = 3
_ACROSS_NODES = 8
_LOOKS, _FEWEST_LOOKS = 600, 60
"""Number of points searched for crossings along the full range of s, and the minimum number for each stretch between
the ends of bands."""
_MOST_AT_ONCE = 1_000_000
"""Largest number of values handled at once; they take up tens of MB."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Band:
    """A bundle of columns along the fin's axis.

    Attributes:
        start: s at which the outline begins. [m]
        end: s at which the outline ends. [m]
        half: s -> half width of the outline; 0 outside it. [m]
        low: s -> height of the lower end of the column. [m]
        high: s -> height of the upper end of the column. [m]
        marks: Values of s at which the outline turns sharply. [m]
    """

    start: float
    end: float
    half: Callable[[Array], Array]
    low: Callable[[Array], Array]
    high: Callable[[Array], Array]
    marks: tuple[float, ...] = ()


@lru_cache(maxsize=8)
def outline_table(tip: FinTip, clearance: float) -> tuple[Array, Array]:
    """x from the leading edge and the squared half width, at points close enough to be joined by straight lines."""
    points = outline(tip, clearance, along=3000, round_corner=100)
    # From the nose aft: up a blunt face first.
    side = points[points[:, 1] >= 0.0][::-1]
    order = np.argsort(side[:, 0], kind="stable")
    return side[order, 0], side[order, 1] ** 2


def outline_band(tip: FinTip, clearance: float, leading_edge_x: float, *, low: float, high: float) -> Band:
    """The fin's section, grown by the clearance, between two heights.

    Args:
        tip: The fin's tip.
        clearance: [m]
        leading_edge_x: x of the tip's leading edge at the floor. [m]
        low: Lower height. [m]
        high: Upper height; may be infinite. [m]
    """
    x, squares = outline_table(tip, clearance)

    def half(s: Array) -> Array:
        # Near the nose the width is proportional to the square root of the distance, so its square is interpolated.
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
            *(leading_edge_x + place for place in piece_ends(tip, clearance)),
        ),
    )


def disc_band(axis: Axis, at_x: float, radius: float, *, low: float | None, high: float | None) -> Band:
    """A cylinder along the axis between two planes square to it.

    Args:
        axis: Direction and height of the floor.
        at_x: x at which the cylinder's axis crosses the floor. [m]
        radius: [m]
        low: Lower end along the axis from the floor; None for a cylinder that starts below everything. [m]
        high: Upper end along the axis from the floor; None for the horizontal pocket floor. [m]
    """
    cosine, sine = math.cos(axis.rake), math.sin(axis.rake)

    def half(s: Array) -> Array:
        return np.sqrt(np.maximum(radius**2 - ((s - at_x) * cosine) ** 2, 0.0))

    def plane(along: float) -> Callable[[Array], Array]:
        # A point at fore-and-aft offset a on the plane is at height floor + a sin + along cos.
        return lambda s: axis.floor + (s - at_x) * cosine * sine + along * cosine

    return Band(
        start=at_x - radius / cosine,
        end=at_x + radius / cosine,
        half=half,
        low=(lambda s: np.full_like(s, -math.inf)) if low is None else plane(low),
        high=(lambda s: np.full_like(s, axis.floor)) if high is None else plane(high),
    )


def _meeting_half(body: TurnedBody, axis: Axis, s: Array, level: Array) -> Array:
    """Half width at which the columns at s meet the body's surface at a given height; 0 if they do not."""
    k = body.width_to_height
    x = s - axis.shift * (level - axis.floor)
    r2, _ = body.squared_radius(x)
    inside = (x >= 0.0) & (x <= body.length)
    return np.sqrt(np.where(inside, np.maximum(k * (r2 - k * level**2), 0.0), 0.0))


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Curve:
    """A curve in the (s, y) plane across which the integrand may have a kink, and the range of s in which it matters."""

    at: Callable[[Array], Array]
    start: float
    end: float


def _edge_curves(body: TurnedBody, axis: Axis, bands: tuple[Band, ...]) -> list[_Curve]:
    """The bands' outlines, the body's silhouette, and the curves on which a band's lower or upper end meets the surface."""
    curves = [_Curve(at=band.half, start=band.start, end=band.end) for band in bands]
    everywhere = min(band.start for band in bands), max(band.end for band in bands)
    curves.append(
        _Curve(
            at=lambda s: _meeting_half(body, axis, s, np.zeros_like(s)),
            start=everywhere[0],
            end=everywhere[1],
        )
    )
    for band in bands:
        for end in (band.low, band.high):
            if np.isfinite(end(np.array([band.start]))[0]):
                curves.append(
                    _Curve(
                        at=lambda s, end=end: _meeting_half(body, axis, s, end(s)),  # type: ignore[misc]
                        start=band.start,
                        end=band.end,
                    )
                )
    return curves


def scan(body: TurnedBody, axis: Axis, bands: tuple[Band, ...]) -> Piece:
    """The part of the body that the bands cover together.

    Args:
        body: The lead body.
        axis: Direction of the columns and height of the floor.
        bands: Any number of bands; the lead that they share counts once.

    Returns:
        Volume and moments of the union's intersection with the body.
    """
    if not bands:
        return Piece()
    curves = _edge_curves(body, axis, bands)
    edges = _panel_edges(body, bands, curves)
    middles = 0.5 * (edges[:-1] + edges[1:])
    # Only the bands over a stretch are used in it, so the cost is proportional to the number of bands.
    standing = np.array([(band.start <= middles) & (middles <= band.end) for band in bands])
    turns = np.flatnonzero(np.any(standing[:, 1:] != standing[:, :-1], axis=0)) + 1
    taken = Piece()
    for first, last in zip([0, *turns], [*turns, len(middles)], strict=True):
        here = tuple(band for band, stands in zip(bands, standing[:, first], strict=True) if stands)
        if not here:
            continue
        among = [one for one in curves if one.start <= middles[first] <= one.end]
        s, weight = _nodes(edges[first : last + 1])
        most = max(1, _MOST_AT_ONCE // (_ACROSS_NODES * (len(among) + 1) * len(here)))
        for begin in range(0, len(s), most):
            part = slice(begin, begin + most)
            taken = taken + _stretch(body, axis, here, among, s[part], weight[part])
    return taken


def _stretch(
    body: TurnedBody, axis: Axis, bands: tuple[Band, ...], curves: list[_Curve], s: Array, s_weight: Array
) -> Piece:
    """Part of the body that the union covers at the given nodes along s."""
    limits = np.sort(np.stack([curve.at(s) for curve in curves] + [np.zeros_like(s)]), axis=0)
    widest = np.max(np.stack([band.half(s) for band in bands]), axis=0)
    limits = np.minimum(limits, widest)

    share, share_weight = gauss(_ACROSS_NODES)
    # Quarter-wave spacing handles the square-root edges of outlines and sections.
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


def _panel_edges(body: TurnedBody, bands: tuple[Band, ...], curves: list[_Curve]) -> Array:
    """Edges of panels along s: the ends of the outlines and of the body, and the points where curves begin, end or cross."""
    start, end = min(band.start for band in bands), max(band.end for band in bands)
    marks = {start, end, 0.0, body.length}
    for band in bands:
        marks.update((band.start, band.end, *band.marks))
    ends = np.unique([place for band in bands for place in (band.start, band.end)])
    counts = np.maximum(_FEWEST_LOOKS, np.ceil(_LOOKS * np.diff(ends) / (end - start)).astype(int))
    fine = np.concatenate(
        [
            np.linspace(low, high, count + 1)
            for low, high, count in zip(ends[:-1], ends[1:], counts.tolist(), strict=True)
        ]
    )
    found = np.array([*marks, *_changes(fine, curves)])
    edges: Array = np.unique(found[(start <= found) & (found <= end)])
    # Curves that touch at one point report it several times, a rounding error apart.
    apart: Array = edges[np.append(True, np.diff(edges) > 1e-13 * (end - start))]
    return apart


def _nodes(edges: Array) -> tuple[Array, Array]:
    """Nodes and weights along s in the panels between edges."""
    steps = np.arange(_SUBPANELS) / _SUBPANELS
    edges = np.append((edges[:-1, None] + np.diff(edges)[:, None] * steps).ravel(), edges[-1])
    share, share_weight = gauss(_PANEL_NODES)
    spread = np.sin(0.5 * math.pi * share) ** 2
    spread_weight = share_weight * 0.5 * math.pi * np.sin(math.pi * share)
    width = np.diff(edges)
    return (edges[:-1, None] + width[:, None] * spread).ravel(), (width[:, None] * spread_weight).ravel()


def _changes(grid: Array, curves: list[_Curve]) -> Array:
    """Points at which a curve leaves or meets the axis, or crosses another in the same range of s.

    All points are bisected together until the error no longer matters; each curve is evaluated once per step.
    """
    values = np.stack([curve.at(grid) for curve in curves] + [np.zeros_like(grid)])
    axis = len(curves)
    first, second, places = [], [], []
    for i, one in enumerate(curves):
        over = [j for j in range(i + 1, axis) if curves[j].start <= one.end and one.start <= curves[j].end]
        for j in (*over, axis):
            above = values[i] > values[j]
            at = np.flatnonzero(above[:-1] != above[1:])
            first.append(np.full(len(at), i))
            second.append(np.full(len(at), j))
            places.append(at)
    one_of, other_of, at = (np.concatenate(each) for each in (first, second, places))
    low, high, before = grid[at], grid[at + 1], values[one_of, at] > values[other_of, at]
    asked = [(k, np.flatnonzero(one_of == k), np.flatnonzero(other_of == k)) for k in range(axis)]
    for _ in range(24):
        middle = 0.5 * (low + high)
        here, there = np.zeros_like(middle), np.zeros_like(middle)
        for k, ours, theirs in asked:
            if len(ours) + len(theirs):
                figures = curves[k].at(middle[np.concatenate([ours, theirs])])
                here[ours], there[theirs] = figures[: len(ours)], figures[len(ours) :]
        same = (here > there) == before
        low, high = np.where(same, middle, low), np.where(same, high, middle)
    return np.asarray(0.5 * (low + high))


def _joined(axis: Axis, s: Array, weight: Array, starts: Array, ends: Array) -> Piece:
    """Sum of the joined ranges of all columns."""
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
