"""Drawing of the mould frame and the pattern on the parting plane, with the keys, sprue and vents."""

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
_KEYS = {"sprue": ("frame.sprue_diameter", "frame.sprue_at"), "vent": ("frame.vent_diameter", "")}
"""Plan keys for the diameter and the position of each former."""


def frame_view(job: ShopResults) -> View | None:
    """View of the frame square to the parting plane; None if the plan has no frame.

    Args:
        job: The results, with the job's pattern shop.
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
    layout.add(Region(contours=(outside.corners, inside.corners), style=Style.BOARD))
    layout.add(Region(contours=(inside.corners,), style=Style.MOULD))
    layout.add(Region(contours=(_pattern(shop),), style=Style.PATTERN))
    for x, across in frame.keys:
        for share, style in ((0.5, Style.HOLE), (0.25, Style.GRID)):
            radius = share * MM * frame.key_diameter
            layout.add(Circle(centre=(MM * x, MM * across), radius=radius, style=style))
    labels = _formers(layout, frame, shown)
    room = layout.paper(3.0)
    layout.add(Line(start=(outside.left - room, 0.0), end=(outside.right + room, 0.0), style=Style.AXIS))
    above, below, beside = (layout.paper(gap) for gap in (2.0, 4.0, 4.0))
    layout.running(labels, level=outside.top + above, upwards=1, low=outside.left, high=outside.right)
    wide, high = (f"{shown.length(size)} inside" for size in frame.inside)
    near, far, top = (inside.left, inside.bottom), (inside.right, inside.bottom), (inside.right, inside.top)
    layout.horizontal(near, far, wide, start=outside.bottom - below, outwards=-1)
    layout.vertical(far, top, high, start=outside.right + beside, outwards=1)
    words = "side" if frame.plane == "vertical" else "plan"
    return layout.view("frame", f"The mould frame with the pattern in it, {words} view of the parting plane")


def _pattern(shop: PatternShop) -> Contour:
    import numpy as np

    outline = shop.outline
    half = outline.half_height if shop.plane == "vertical" else outline.half_width
    return contour(np.concatenate([outline.x, outline.x[::-1]]), np.concatenate([half, -half[::-1]]))


def _formers(layout: Layout, frame: MouldFrame, shown: Shown) -> list[Label]:
    """Draw the sprue and vents, as rings if they rise out of the page and as tapers if they lie in its plane."""
    labels = []
    for one in frame.formers:
        x, y = MM * one.x, MM * (one.z if frame.plane == "vertical" else one.y)
        foot, top, length = 0.5 * MM * one.foot_diameter, 0.5 * MM * one.top_diameter, MM * one.length
        # Its direction in the page; none if it rises out of the page.
        flat = {"crown": (0.0, 1.0), "starboard": (0.0, 1.0), "nose": (-1.0, 0.0), "tail": (1.0, 0.0)}[
            one.rise
        ]
        if one.rise == ("starboard" if frame.plane == "vertical" else "crown"):
            for radius, style in ((top, Style.HIDDEN), (foot, Style.HOLE)):
                angles = (2.0 * math.pi * step / _ROUND for step in range(_ROUND))
                ring = tuple((x + radius * math.cos(angle), y + radius * math.sin(angle)) for angle in angles)
                layout.add(Region(contours=(ring,), style=style))
            point = (x, y + foot)
        else:
            along, across = flat
            end = (x + along * length, y + across * length)
            corners = (
                (x - across * foot, y + along * foot),
                (x + across * foot, y - along * foot),
                (end[0] + across * top, end[1] - along * top),
                (end[0] - across * top, end[1] + along * top),
            )
            layout.add(Region(contours=(corners,), style=Style.HOLE))
            point = (end[0], end[1] + abs(along) * top)
        where = "" if one.rise in ("nose", "tail") else f"{shown.length(one.x)} from nose"
        lines = (f"{one.kind} {shown.length(one.foot_diameter)}", where or f"on the {one.rise}")
        keys = _KEYS.get(one.kind, ("", ""))
        labels.append(Label(point=point, lines=lines, keys=keys))
    return labels
