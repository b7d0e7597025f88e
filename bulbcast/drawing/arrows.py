"""Arrows for forces and moments, their length or sweep as the drawing wants it."""

from __future__ import annotations

import math

from bulbcast.drawing.layout import Layout
from bulbcast.drawing.shapes import Box, Point, Style

_HEAD, _HALF = 2.4, 0.85
_STEPS = 24


def arrow(layout: Layout, start: Point, end: Point, style: Style = Style.CURVE_3) -> None:
    """A straight arrow whose point stands at its end.

    Args:
        layout: To draw on.
        start: Its tail. [mm]
        end: Its point. [mm]
        style: Of the shaft.
    """
    layout.line(style, start, end)
    _head(layout, start, end)
    layout.extend(
        Box(
            left=min(start[0], end[0]),
            bottom=min(start[1], end[1]),
            right=max(start[0], end[0]),
            top=max(start[1], end[1]),
        )
    )


def turning_arrow(
    layout: Layout, centre: Point, radius: float, sweep: tuple[float, float], style: Style = Style.CURVE_3
) -> None:
    """An arc with an arrow's point at its end.

    Args:
        layout: To draw on.
        centre: Of the arc. [mm]
        radius: [mm]
        sweep: From where to where, counter-clockwise from the x axis. [deg]
        style: Of the arc.
    """
    first, last = map(math.radians, sweep)
    x, y = centre
    points = tuple(
        (
            x + radius * math.cos(first + (last - first) * step / _STEPS),
            y + radius * math.sin(first + (last - first) * step / _STEPS),
        )
        for step in range(_STEPS + 1)
    )
    layout.line(style, *points)
    _head(layout, points[-3], points[-1])
    layout.extend(Box(left=x - radius, bottom=y - radius, right=x + radius, top=y + radius))


def _head(layout: Layout, start: Point, end: Point) -> None:
    across, up = end[0] - start[0], end[1] - start[1]
    length = math.hypot(across, up)
    if length == 0.0:
        return
    along = (across / length, up / length)
    deep, half = layout.paper(_HEAD), layout.paper(_HALF)
    back = (end[0] - deep * along[0], end[1] - deep * along[1])
    layout.fill(
        Style.ARROW,
        (
            end,
            (back[0] - half * along[1], back[1] + half * along[0]),
            (back[0] + half * along[1], back[1] - half * along[0]),
        ),
    )
