"""Vertical section of the mould as poured: block, parting, keys, cavity, sprue, feeder, vents and the metal level.

Shapes are in mm on the mould, with x from the nose to the right and z up from the bulb's axis. An upright mould is drawn
upright, an open half with its flat face up.
"""

from __future__ import annotations

import math

import numpy as np

from bulbcast.bulb.views.outlines import MM, meridian
from bulbcast.drawing.layout import PAPER_WIDTH, Label, Layout, nice_scale
from bulbcast.drawing.shapes import Box, Contour, Hatch, Line, Region, Style, View
from bulbcast.foundry.gating.design import CUP_TO_SPRUE
from bulbcast.foundry.gating.parts import Gating
from bulbcast.foundry.mould.design import MouldDesign
from bulbcast.foundry.mould.section_view import draw_block, draw_keys, frame_of
from bulbcast.foundry.results import FoundryResults
from bulbcast.quantities import Shown

_HATCH_PAPER = 2.2
_HIGHEST_ON_PAPER = 150.0


def gating_view(job: FoundryResults) -> View | None:
    """Draw the gating to scale.

    Args:
        job: Results so far.

    Returns:
        View; None if the plan gives no mould.
    """
    mould = job.mould
    gating = None if job.melting is None else job.melting.gating
    if mould is None or gating is None:
        return None
    along, half = _half_outline(job, mould)
    if gating.mark is not None:
        return _open_view(job.shown, mould, gating, along, half)
    draw = _upright_view if gating.cavity.upright else _level_view
    return draw(job.shown, mould, gating, along, half)


def _half_outline(job: FoundryResults, mould: MouldDesign) -> tuple[list[float], list[float]]:
    """Positions along the cavity and its half height at each, including finish allowance and scale. [mm]"""
    body, finish, scale = job.bulb.body, job.cast.finish, job.pattern.scale
    root = math.sqrt(body.width_to_height)
    upright_bulb = (mould.split == "upper-lower") == (mould.parting == "horizontal")
    factor = 1.0 / root if upright_bulb else root
    x, r = meridian(body)
    along = [0.0, *(MM * scale * (x + finish)).tolist(), MM * scale * (body.length + 2.0 * finish)]
    half = [0.0, *(MM * scale * (factor * r + finish)).tolist()]
    half.append(half[-1])
    return along, half


def _closed_outline(along: list[float], half: list[float]) -> Contour:
    upper = list(zip(along, half, strict=True))
    return (*upper, *((x, -z) for x, z in reversed(upper)))


def _box(left: float, bottom: float, right: float, top: float) -> Contour:
    return ((left, bottom), (right, bottom), (right, top), (left, top))


def _mould(layout: Layout, contour: Contour) -> None:
    hatch = Hatch(spacing=layout.paper(_HATCH_PAPER), angle=45.0)
    layout.add(
        Region(contours=(contour,), style=Style.BAND, hatch=hatch),
        Region(contours=(contour,), style=Style.OUTLINE),
    )


def _block(mould: MouldDesign, cavity: Contour, size: Box, high: float = 1.0) -> Layout:
    """Start a drawing of the given size with the block, parting and keys as in the section of the mould."""
    wide, tall = size.right - size.left, high * (size.top - size.bottom)
    layout = Layout(nice_scale(min((PAPER_WIDTH - 46.0) / wide, (_HIGHEST_ON_PAPER - 40.0) / tall)))
    frame = frame_of(mould, along=True)
    draw_block(layout, frame, cavity)
    draw_keys(layout, frame)
    return layout


def _collar(layout: Layout, x: float, half: float, thick: float, foot: float, top: float) -> None:
    """Draw a collar on the mould, round a column of metal that is open at the top."""
    for left, right in ((x - half - thick, x - half), (x + half, x + half + thick)):
        _mould(layout, _box(left, foot, right, top + 0.5 * thick))


def _level_view(
    shown: Shown, mould: MouldDesign, gating: Gating, along: list[float], half: list[float]
) -> View:
    margins, feeder, sprue, choke = mould.margins, gating.feeder, gating.sprue, gating.choke
    if sprue is None or choke is None:
        raise ValueError("a level mould must have a sprue and a choke")
    length, high = along[-1], 0.5 * MM * gating.cavity.height
    left, right = -MM * margins.ends, length + MM * margins.ends
    bottom, top = -high - MM * margins.below, high + MM * margins.above
    surface = high + MM * gating.over_crown
    size = Box(left=left, bottom=bottom, right=right, top=max(surface, top))
    outline = _closed_outline(along, half)
    layout = _block(mould, outline, size)
    collar = layout.paper(2.5)
    at, mouth = MM * gating.sprue_at, MM * sprue.height
    cup = 0.5 * CUP_TO_SPRUE * MM * sprue.top_diameter
    # Position, half width at the foot and at the top, and heights of foot and top.
    columns = [
        (x, r, r, inside * float(np.interp(x, along, half)), surface)
        for x, r, inside in ((MM * vent.at, 0.5 * MM * vent.diameter, 0.9) for vent in gating.vents)
    ]
    if feeder is not None:
        foot, wide = 0.5 * MM * feeder.diameter, 0.5 * MM * feeder.top_diameter
        columns.insert(0, (MM * feeder.at, foot, wide, high - MM * feeder.foot, surface))
    # A sprue at the side of the bulb is not cut; one on top of it is, down to the skin.
    beside = gating.ingate is not None
    foot = 0.0 if beside else 0.9 * float(np.interp(at, along, half))
    poured = [
        (at, 0.5 * MM * choke.diameter, 0.5 * MM * sprue.top_diameter, foot, mouth),
        (at, 0.5 * MM * sprue.top_diameter, cup, mouth, surface),
    ]
    columns += poured
    if surface > top:
        for x, _, wide, start, end in columns:
            if end > max(top, start, mouth):
                _collar(layout, x, wide, collar, max(top, start), end)
        if mouth > top:
            _mould(layout, _box(at - cup - collar, top, at + cup + collar, mouth))
    for one in columns:
        x, foot, wide, start, end = one
        column = ((x - foot, start), (x + foot, start), (x + wide, end), (x - wide, end))
        if not (beside and one in poured):
            layout.add(Region(contours=(column,), style=Style.LEAD))
    layout.add(
        Region(contours=(outline,), style=Style.LEAD),
        Line(start=(0.0, 0.0), end=(length, 0.0), style=Style.AXIS),
    )
    if beside:
        for x, foot, wide, start, end in poured:
            layout.line(
                Style.HIDDEN,
                (x - foot, start),
                (x - wide, end),
                (x + wide, end),
                (x + foot, start),
                (x - foot, start),
            )
    layout.extend(size)
    labels = [
        Label(
            point=(at, surface),
            lines=("sprue", f"{shown.length(sprue.top_diameter)} to {shown.length(choke.diameter)}"),
        ),
        *(
            Label(point=(MM * vent.at, surface), lines=("vent", f"{shown.length(vent.diameter)}"))
            for vent in gating.vents
        ),
    ]
    if feeder is not None:
        named = ("feeder", f"{shown.length(feeder.diameter)} to {shown.length(feeder.top_diameter)}")
        labels.insert(0, Label(point=(MM * feeder.at, surface), lines=named))
    layout.running(
        labels, level=size.top + layout.paper(3.0), upwards=1, low=left, high=right + layout.paper(20.0)
    )
    over = shown.length(gating.over_crown)
    layout.vertical(
        (MM * gating.cavity.thick_at, high),
        (right, surface),
        over,
        start=right + layout.paper(4.0),
        outwards=1,
    )
    if mould.parting == "horizontal":
        layout.vertical(
            (left, 0.0), (left, surface), f"head {shown.length(gating.head)}",
            start=left - layout.paper(4.0), outwards=-1, beyond=1,
        )  # fmt: skip
    places = [("vent", vent.at) for vent in gating.vents]
    places += [("sprue", gating.sprue_at)] + ([] if feeder is None else [("feeder", feeder.at)])
    below = sorted((MM * place, f"{what} {shown.length(place)}") for what, place in places)
    for number, (reach, words) in enumerate(below):
        level = bottom - layout.paper(6.0 + 4.6 * number)
        # A figure too wide for its span goes ahead of the nose, where no other dimension's lines come down.
        layout.horizontal((0.0, bottom), (reach, bottom), words, start=level, outwards=-1, side=-1)
    layout.scale_bar(left, layout.lowest - layout.paper(5.0), shown)
    return layout.view(
        "gating",
        "Vertical section of the mould along the bulb's axis, in its pouring position, nose to the left",
    )


def _upright_view(
    shown: Shown, mould: MouldDesign, gating: Gating, along: list[float], half: list[float]
) -> View:
    length, nose_up, feeder = along[-1], gating.cavity.high_end == "nose", gating.feeder
    standing: Contour = tuple((x, length - z if nose_up else z) for z, x in _closed_outline(along, half))
    wide, across = 0.5 * MM * mould.block.length, 0.5 * MM * _way_in(gating)
    top_across = across if feeder is None else 0.5 * MM * feeder.top_diameter
    foot = length - 0.02 * length if feeder is None else length - MM * feeder.foot
    bottom, top = -MM * mould.margins.below, length + MM * mould.margins.above
    surface = length + MM * gating.over_crown
    size = Box(left=-wide, bottom=bottom, right=wide, top=max(surface, top))
    layout = _block(mould, standing, size)
    if surface > top:
        _collar(layout, 0.0, top_across, layout.paper(2.5), top, surface)
    column = ((-across, foot), (across, foot), (top_across, surface), (-top_across, surface))
    layout.add(
        Region(contours=(column,), style=Style.LEAD),
        Region(contours=(standing,), style=Style.LEAD),
        Line(start=(0.0, bottom), end=(0.0, surface), style=Style.AXIS),
    )
    layout.extend(size)
    through = (
        f"{'opening' if feeder is None else 'feeder'} {shown.length(_way_in(gating))} across,",
        f"poured through it in {shown.duration(gating.fill_time)}",
    )
    layout.running(
        [Label(point=(0.0, surface), lines=through)],
        level=size.top + layout.paper(3.0), upwards=1, low=-wide, high=wide + layout.paper(30.0),
    )  # fmt: skip
    over = shown.length(gating.over_crown)
    layout.vertical((across, length), (wide, surface), over, start=wide + layout.paper(4.0), outwards=1)
    tall = shown.length(gating.cavity.length)
    layout.vertical((0.0, 0.0), (0.0, length), tall, start=-wide - layout.paper(4.0), outwards=-1)
    layout.scale_bar(-wide, layout.lowest - layout.paper(5.0), shown)
    which = "nose" if nose_up else "tail"
    return layout.view("gating", f"Vertical section of the mould in its pouring position, {which} up")


def _way_in(gating: Gating) -> float:
    """Diameter of the opening through which an upright mould is poured: its feeder or, without one, a hole as wide as the
    stream. [m]"""
    if gating.feeder is not None:
        return gating.feeder.diameter
    return 0.0 if gating.choke is None else gating.choke.diameter


def _open_view(
    shown: Shown, mould: MouldDesign, gating: Gating, along: list[float], half: list[float]
) -> View:
    margins, mark = mould.margins, gating.mark
    if mark is None:
        raise ValueError("an open mould must have a level mark")
    length, deep = along[-1], MM * gating.cavity.height
    left, right = -MM * margins.ends, length + MM * margins.ends
    bottom, level = -deep - MM * margins.below, MM * mark.above_face
    half_body: Contour = tuple((x, -z) for x, z in zip(along, half, strict=True))
    layout = _block(mould, half_body, Box(left=left, bottom=bottom, right=right, top=level), high=2.0)
    rim, wall = max(level, layout.paper(1.2)), layout.paper(3.0)
    for ends in ((-wall, 0.0), (length, length + wall)):
        _mould(layout, _box(ends[0], 0.0, ends[1], rim + layout.paper(1.2)))
    layout.add(
        Region(contours=((*half_body, (length, rim), (0.0, rim)),), style=Style.LEAD),
        Line(start=(left, 0.0), end=(right, 0.0), style=Style.AXIS),
    )
    layout.extend(Box(left=left, bottom=bottom, right=right, top=rim))
    words = f"level mark {shown.length(mark.above_face)} above the flat face"
    layout.running(
        [Label(point=(0.5 * length, rim), lines=(words,))],
        level=rim + layout.paper(4.0), upwards=1, low=left, high=right,
    )  # fmt: skip
    below, start = shown.length(1e-3 * deep), left - layout.paper(4.0)
    layout.vertical((0.0, -deep), (0.0, 0.0), below, start=start, outwards=-1)
    whole, under = shown.length(1e-3 * length), bottom - layout.paper(6.0)
    layout.horizontal((0.0, bottom), (length, bottom), whole, start=under, outwards=-1)
    layout.scale_bar(left, layout.lowest - layout.paper(5.0), shown)
    return layout.view(
        "gating", "Vertical section of one open half as it is poured, flat face up, nose to the left"
    )
