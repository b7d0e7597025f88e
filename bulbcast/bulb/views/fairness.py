"""Drawing that shows whether the bulb is fair: the cross-sectional area along the length, and its rate of change."""

from __future__ import annotations

import math

import numpy as np

from bulbcast.bulb.results import BulbResults
from bulbcast.bulb.views.outlines import MM
from bulbcast.drawing.layout import Layout, round_length
from bulbcast.drawing.shapes import Box, Contour, Point, Style, View, rectangle
from bulbcast.solids.quadrature import Array

# On paper: left end and length of the plot, and the heights of area, gap and slope.
_LEFT, _LENGTH, _AREA, _GAP, _SLOPE = 18.0, 140.0, 34.0, 9.0, 18.0


def area_curve(job: BulbResults, count: int = 121) -> tuple[Array, Array, Array]:
    """Cross-sectional area along the length, and its slope, for the drawing.

    Args:
        job: The results.
        count: Number of points, close together at the nose. [-]

    Returns:
        Distance from the nose [m], area [m2], and rate of change of the area along the length [m].
    """
    body = job.bulb.body
    end = 2.0 * math.asin(math.sqrt(body.cut))
    x = body.uncut_length * np.sin(0.5 * np.linspace(0.0, end, count)) ** 2
    r2, slope = body.squared_radius(x)
    return x, math.pi * np.maximum(r2, 0.0), math.pi * slope


def fairness(job: BulbResults) -> View:
    """Drawing of the area curve with its slope below, in millimetres on paper.

    Args:
        job: The results.
    """
    bulb, shown = job.bulb, job.shown
    x, area, slope = area_curve(job)
    length = bulb.body.length
    layout = Layout(1.0)
    base, floor = _SLOPE + _GAP, 0.0
    largest = float(area.max())
    steepest = max(float(slope.max()), 1e-12)
    falling = min(float(slope.min()), 0.0)
    zero = floor - falling / (steepest - falling) * _SLOPE

    def across(place: float) -> float:
        return _LEFT + _LENGTH * place / length

    pocket = bulb.pocket
    fore, aft = (
        min(max(place, 0.0), length)
        for place in (pocket.leading_edge_x, pocket.leading_edge_x + pocket.tip.chord)
    )
    if aft > fore:
        corners = rectangle(across(fore), floor, across(aft), base + _AREA)
        layout.fill(Style.BAND, corners)
        layout.words((0.5 * (across(fore) + across(aft)), base - 0.45 * _GAP), "under the fin", Style.SMALL)
    _ticks(job, layout, floor, base + _AREA)
    layout.line(Style.FRAME, (_LEFT, base), (_LEFT + _LENGTH, base))
    layout.line(Style.FRAME, (_LEFT, zero), (_LEFT + _LENGTH, zero))
    layout.line(Style.CURVE, *_curve(x / length, base + _AREA * area / largest))
    layout.line(Style.CURVE, *_curve(x / length, floor + _SLOPE * (slope - falling) / (steepest - falling)))
    top: Point = (across(bulb.body.max_at), base + _AREA)
    layout.words(
        (top[0], top[1] + 3.0),
        f"largest section {shown.area(largest)}, {shown.length(bulb.body.max_at)} from the nose",
    )
    for level, words in ((base + 0.5 * _AREA, "area"), (floor + 0.5 * _SLOPE, "its slope")):
        layout.words((_LEFT - 2.5, level), words, Style.SMALL, anchor="end")
    centre = across(bulb.mass_centre_x)
    if _LEFT <= centre <= _LEFT + _LENGTH:
        layout.line(Style.AXIS, (centre, base), (centre, base + 0.55 * _AREA))
        layout.centre_mark((centre, base + 0.55 * _AREA), 1.8)
    layout.extend(Box(left=0.0, bottom=floor, right=_LEFT + _LENGTH + 18.0, top=base + _AREA))
    return layout.view(
        "fairness",
        f"The section's area rises to {shown.area(largest)} and falls again; its slope is drawn below",
    )


def _curve(share: Array, level: Array) -> Contour:
    return tuple(zip((_LEFT + _LENGTH * share).tolist(), level.tolist(), strict=True))


def _ticks(job: BulbResults, layout: Layout, floor: float, top: float) -> None:
    """Vertical grid lines at round distances from the nose, labelled below."""
    length = MM * job.bulb.body.length
    step = round_length(length / 4.0, imperial=job.shown.units == "imperial")
    for number in range(int(length / step + 1e-9) + 1):
        at = _LEFT + _LENGTH * number * step / length
        layout.line(Style.GRID, (at, floor - 1.0), (at, top))
        layout.words(
            (at, floor - 3.2), job.shown.length(1e-3 * number * step) if number else "nose", Style.SMALL
        )
