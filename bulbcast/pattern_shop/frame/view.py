"""The mould frame with the pattern in it, on the parting plane, with keys, sprue and vents."""

from __future__ import annotations

import math

from bulbcast.bulb.views.outlines import MM, contour
from bulbcast.drawing.layout import PAPER_WIDTH, Label, Layout, nice_scale
from bulbcast.drawing.shapes import Box, Circle, Contour, Line, Region, Style, View
from bulbcast.pattern_shop.frame.frame import MouldFrame
from bulbcast.pattern_shop.results import ShopResults
from bulbcast.pattern_shop.shop import PatternShop
from bulbcast.quantities import Shown

_ROUND = 48


def _rectangle(box: Box) -> Contour:
    return (
        (box.left, box.bottom),
        (box.right, box.bottom),
        (box.right, box.top),
        (box.left, box.top),
    )


def frame_view(job: ShopResults) -> View | None:
    """The frame from the side that the pattern parts on; None where the plan asks for none.

    Args:
        job: With its pattern shop.
    """
    shop = job.shop
    if shop is None or shop.frame is None:
        return None
    frame, shown = shop.frame, job.shown
    inside = Box(
        left=MM * frame.along[0],
        bottom=MM * frame.across[0],
        right=MM * frame.along[1],
        top=MM * frame.across[1],
    )
    outside = inside.grown(MM * frame.board)
    layout = Layout(nice_scale((PAPER_WIDTH - 44.0) / outside.width))
    layout.extend(outside)
    layout.add(Region(contours=(_rectangle(outside), _rectangle(inside)), style=Style.BOARD))
    layout.add(Region(contours=(_rectangle(inside),), style=Style.MOULD))
    layout.add(Region(contours=(_pattern(shop),), style=Style.PATTERN))
    for x, across in frame.keys:
        layout.add(
            Circle(centre=(MM * x, MM * across), radius=0.5 * MM * frame.key_diameter, style=Style.HOLE),
            Circle(centre=(MM * x, MM * across), radius=0.25 * MM * frame.key_diameter, style=Style.GRID),
        )
    labels = _formers(layout, frame, shown)
    room = layout.paper(3.0)
    layout.add(Line(start=(outside.left - room, 0.0), end=(outside.right + room, 0.0), style=Style.AXIS))
    layout.running(
        labels,
        level=outside.top + layout.paper(2.0),
        upwards=1,
        low=outside.left,
        high=outside.right,
    )
    layout.horizontal(
        (inside.left, inside.bottom),
        (inside.right, inside.bottom),
        f"{shown.length(frame.inside[0])} inside",
        start=outside.bottom - layout.paper(4.0),
        outwards=-1,
    )
    layout.vertical(
        (inside.right, inside.bottom),
        (inside.right, inside.top),
        f"{shown.length(frame.inside[1])} inside",
        start=outside.right + layout.paper(4.0),
        outwards=1,
    )
    words = "side" if frame.plane == "vertical" else "plan"
    return layout.view("frame", f"The mould frame and the pattern in it, {words} view on the parting plane")


def _pattern(shop: PatternShop) -> Contour:
    import numpy as np

    outline = shop.outline
    half = outline.half_height if shop.plane == "vertical" else outline.half_width
    return contour(np.concatenate([outline.x, outline.x[::-1]]), np.concatenate([half, -half[::-1]]))


def _formers(layout: Layout, frame: MouldFrame, shown: Shown) -> list[Label]:
    """Sprue and vents: rings where they rise from the page, tapers where they lie in it."""
    labels = []
    for one in frame.formers:
        x = MM * one.x
        if frame.plane == "vertical":
            foot, top = 0.5 * MM * one.foot_diameter, 0.5 * MM * one.top_diameter
            low, high = MM * one.foot_z, MM * one.top_z
            corners = ((x - foot, low), (x + foot, low), (x + top, high), (x - top, high))
            layout.add(Region(contours=(corners,), style=Style.HOLE))
            point = (x, high)
        else:
            for diameter, style in ((one.top_diameter, Style.HIDDEN), (one.foot_diameter, Style.HOLE)):
                ring = tuple(
                    (
                        x + 0.5 * MM * diameter * math.cos(2.0 * math.pi * step / _ROUND),
                        MM * one.y + 0.5 * MM * diameter * math.sin(2.0 * math.pi * step / _ROUND),
                    )
                    for step in range(_ROUND)
                )
                layout.add(Region(contours=(ring,), style=style))
            point = (x, MM * one.y + 0.5 * MM * one.foot_diameter)
        labels.append(
            Label(
                point=point,
                lines=(
                    f"{one.kind} {shown.length(one.foot_diameter)}",
                    f"{shown.length(one.x)} from nose",
                ),
            )
        )
    return labels
