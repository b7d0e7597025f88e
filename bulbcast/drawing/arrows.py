"""Arrows of a given length that represent forces."""

from __future__ import annotations

import math

from bulbcast.drawing.layout import Layout
from bulbcast.drawing.shapes import Box, Point, Style

_HEAD, _HALF = 2.4, 0.85


def arrow(layout: Layout, start: Point, end: Point, style: Style = Style.CURVE_3) -> None:
    """Draw a straight arrow with a head at its end.

    Args:
        layout: The layout to draw on.
        start: Tail of the arrow. [mm]
        end: Tip of the arrow. [mm]
        style: Style of the shaft, CURVE or CURVE_3; the head has the same colour.
    """
    layout.line(style, start, end)
    _head(layout, start, end, style)
    layout.extend(
        Box(
            left=min(start[0], end[0]),
            bottom=min(start[1], end[1]),
            right=max(start[0], end[0]),
            top=max(start[1], end[1]),
        )
    )


def _head(layout: Layout, start: Point, end: Point, style: Style) -> None:
    across, up = end[0] - start[0], end[1] - start[1]
    length = math.hypot(across, up)
    if length == 0.0:
        return
    along = (across / length, up / length)
    deep, half = layout.paper(_HEAD), layout.paper(_HALF)
    back = (end[0] - deep * along[0], end[1] - deep * along[1])
    layout.fill(
        Style.ARROW_2 if style is Style.CURVE else Style.ARROW,
        (
            end,
            (back[0] - half * along[1], back[1] + half * along[0]),
            (back[0] + half * along[1], back[1] - half * along[0]),
        ),
    )
