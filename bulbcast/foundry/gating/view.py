"""The mould cut upright as poured: block, parting, keys, cavity, sprue, riser, vents and how high the metal stands.

Shapes in mm on the mould, x from the nose to the right, z up from the bulb's axis; an upright mould stands upright,
an open half lies with its flat face up.
"""

from __future__ import annotations

import math

from bulbcast.bulb.views.outlines import MM, meridian
from bulbcast.drawing.layout import PAPER_WIDTH, Label, Layout, nice_scale
from bulbcast.drawing.shapes import Box, Contour, Hatch, Line, Point, Region, Style, View
from bulbcast.foundry.gating.design import Gating
from bulbcast.foundry.mould.design import MouldDesign
from bulbcast.foundry.mould.section_view import draw_block, draw_keys, frame_of
from bulbcast.foundry.results import FoundryResults

_HATCH_PAPER = 2.2
_HIGHEST_ON_PAPER = 150.0


def gating_view(job: FoundryResults) -> View | None:
    """The gating drawn to scale.

    Args:
        job: The results.

    Returns:
        The view; None where the plan gives no mould.
    """
    mould = job.mould
    gating = None if job.melting is None else job.melting.gating
    if mould is None or gating is None:
        return None
    if gating.mark is not None:
        return _open_view(job, mould, gating)
    return (
        _upright_view(job, mould, gating) if mould.bulb_axis == "upright" else _level_view(job, mould, gating)
    )


def _half_outline(job: FoundryResults, factor: float) -> tuple[list[float], list[float]]:
    """Places along the cavity and its half height or width there, finish and scale in it. [mm]"""
    body, finish, scale = job.bulb.body, job.cast.finish, job.pattern.scale
    x, r = meridian(body)
    along = [0.0, *(MM * scale * (x + finish)).tolist(), MM * scale * (body.length + 2.0 * finish)]
    half = [0.0, *(MM * scale * (factor * r + finish)).tolist()]
    half.append(half[-1])
    return along, half


def _factor(job: FoundryResults, mould: MouldDesign) -> float:
    """Half size upwards over the equal-area radius. [-]"""
    root = math.sqrt(job.bulb.body.width_to_height)
    level = mould.parting == "horizontal"
    upright_bulb = (mould.split == "upper-lower") == level
    return 1.0 / root if upright_bulb else root


def _closed_outline(along: list[float], half: list[float]) -> Contour:
    upper = list(zip(along, half, strict=True))
    return (*upper, *((x, -z) for x, z in reversed(upper)))


def _at(along: list[float], half: list[float], place: float) -> float:
    """Half size at a place, straight between the points. [mm]"""
    for (x0, z0), (x1, z1) in zip(
        zip(along, half, strict=True), zip(along[1:], half[1:], strict=True), strict=False
    ):
        if x0 <= place <= x1:
            return z0 if x1 == x0 else z0 + (z1 - z0) * (place - x0) / (x1 - x0)
    return half[-1]


def _box(left: float, bottom: float, right: float, top: float) -> Contour:
    return ((left, bottom), (right, bottom), (right, top), (left, top))


def _mould(layout: Layout, contour: Contour) -> None:
    layout.add(
        Region(
            contours=(contour,), style=Style.BAND, hatch=Hatch(spacing=layout.paper(_HATCH_PAPER), angle=45.0)
        ),
        Region(contours=(contour,), style=Style.OUTLINE),
    )


def _block(layout: Layout, mould: MouldDesign, cavity: Contour) -> None:
    """The block with its parting and keys, as the mould's own section shows them."""
    frame = frame_of(mould, along=True)
    draw_block(layout, frame, cavity)
    draw_keys(layout, frame)


def _collar(layout: Layout, x: float, half: float, thick: float, foot: float, top: float) -> None:
    """A collar that stands on the mould round a column of metal and is open above."""
    for left, right in ((x - half - thick, x - half), (x + half, x + half + thick)):
        _mould(layout, _box(left, foot, right, top + 0.5 * thick))


def _scale(width: float, height: float) -> float:
    return nice_scale(min((PAPER_WIDTH - 34.0) / width, (_HIGHEST_ON_PAPER - 40.0) / height))


def _level_view(job: FoundryResults, mould: MouldDesign, gating: Gating) -> View:
    shown, margins = job.shown, mould.margins
    riser, sprue, choke = gating.riser, gating.sprue, gating.choke
    if riser is None or sprue is None or choke is None:
        raise ValueError("a level mould has riser, sprue and choke")
    along, half = _half_outline(job, _factor(job, mould))
    length, high = along[-1], 0.5 * MM * gating.cavity.height
    left, right = -MM * margins.ends, length + MM * margins.ends
    bottom, top = -high - MM * margins.below, high + MM * margins.above
    surface = high + MM * gating.over_crown
    layout = Layout(_scale(right - left, max(surface, top) - bottom))
    _block(layout, mould, _closed_outline(along, half))
    collar = layout.paper(2.5)
    thick, at = MM * gating.cavity.thick_at, MM * gating.sprue_at
    columns: list[tuple[float, float, float, float, float]] = [
        (thick, 0.5 * MM * riser.diameter, 0.5 * MM * riser.diameter, _at(along, half, thick) * 0.98, surface)
    ]
    columns += [
        (
            MM * vent.at,
            0.5 * MM * vent.diameter,
            0.5 * MM * vent.diameter,
            _at(along, half, MM * vent.at) * 0.9,
            surface,
        )
        for vent in gating.vents
    ]
    mouth = MM * sprue.height
    columns.append((at, 0.5 * MM * choke.diameter, 0.5 * MM * sprue.top_diameter, 0.0, mouth))
    cup = 1.5 * MM * sprue.top_diameter
    columns.append((at, cup, cup, mouth, surface))
    if surface > top:
        for x, _, wide, start, end in columns:
            if end > max(top, start, mouth):
                _collar(layout, x, wide, collar, max(top, start), end)
        if mouth > top:
            _mould(layout, _box(at - cup - collar, top, at + cup + collar, mouth))
    for x, foot, wide, start, end in columns:
        layout.add(
            Region(
                contours=(((x - foot, start), (x + foot, start), (x + wide, end), (x - wide, end)),),
                style=Style.LEAD,
            )
        )
    layout.add(Region(contours=(_closed_outline(along, half),), style=Style.LEAD))
    layout.add(
        Line(start=(at, 0.0), end=(at, mouth), style=Style.AXIS),
        Line(start=(0.0, 0.0), end=(length, 0.0), style=Style.AXIS),
    )
    layout.extend(Box(left=left, bottom=bottom, right=right, top=max(surface, top)))
    labels = [
        Label(
            point=(thick, surface),
            lines=("riser", f"{shown.length(riser.diameter)} across"),
        ),
        Label(
            point=(at, surface),
            lines=("sprue", f"{shown.length(sprue.top_diameter)} to {shown.length(choke.diameter)}"),
        ),
        *(
            Label(point=(MM * vent.at, surface), lines=("vent", f"{shown.length(vent.diameter)}"))
            for vent in gating.vents
        ),
    ]
    layout.running(
        labels,
        level=max(surface, top) + layout.paper(3.0),
        upwards=1,
        low=left,
        high=right + layout.paper(20.0),
    )
    crown: Point = (thick, high)
    layout.vertical(
        crown, (right, surface), shown.length(gating.over_crown),
        start=right + layout.paper(4.0), outwards=1,
    )  # fmt: skip
    if mould.parting == "horizontal":
        layout.vertical(
            (left, 0.0), (left, surface), f"head {shown.length(gating.head)}",
            start=left - layout.paper(4.0), outwards=-1, beyond=1,
        )  # fmt: skip
    for place, words in _places(gating, shown.length(gating.cavity.thick_at), job):
        layout.horizontal(
            (0.0, bottom), (place, bottom), words, start=bottom - layout.paper(6.0), outwards=-1
        )
    layout.scale_bar(left, layout.lowest - layout.paper(5.0), shown)
    return layout.view(
        "gating", "The mould cut upright along the bulb's axis as it is poured, nose to the left"
    )


def _places(gating: Gating, thick: str, job: FoundryResults) -> list[tuple[float, str]]:
    """Places along the bulb with their words, the nearest to the nose first. [mm]"""
    shown = job.shown
    places = [(MM * vent.at, f"vent {shown.length(vent.at)}") for vent in gating.vents]
    places.append((MM * gating.cavity.thick_at, f"riser {thick}"))
    places.append((MM * gating.sprue_at, f"sprue {shown.length(gating.sprue_at)}"))
    return sorted(places)


def _upright_view(job: FoundryResults, mould: MouldDesign, gating: Gating) -> View:
    shown, margins = job.shown, mould.margins
    riser = gating.riser
    if riser is None:
        raise ValueError("an upright mould has a riser")
    along, half = _half_outline(job, _factor(job, mould))
    length = along[-1]
    nose_up = gating.cavity.high_end == "nose"
    standing: Contour = tuple((x, length - z if nose_up else z) for z, x in _closed_outline(along, half))
    wide = 0.5 * MM * mould.block.length
    bottom, top = -MM * margins.below, length + MM * margins.above
    surface = length + MM * gating.over_crown
    layout = Layout(_scale(2.0 * wide, max(surface, top) - bottom))
    _block(layout, mould, standing)
    collar = layout.paper(2.5)
    across = 0.5 * MM * riser.diameter
    if surface > top:
        _collar(layout, 0.0, across, collar, top, surface)
    layout.add(
        Region(
            contours=(_box(-across, length - 0.02 * length, across, surface),),
            style=Style.LEAD,
        ),
        Region(contours=(standing,), style=Style.LEAD),
        Line(start=(0.0, bottom), end=(0.0, surface), style=Style.AXIS),
    )
    layout.extend(Box(left=-wide, bottom=bottom, right=wide, top=max(surface, top)))
    layout.running(
        [
            Label(
                point=(0.0, surface),
                lines=(
                    f"riser {shown.length(riser.diameter)} across,",
                    f"poured through it in {shown.duration(gating.fill_time)}",
                ),
            )
        ],
        level=max(surface, top) + layout.paper(3.0),
        upwards=1,
        low=-wide,
        high=wide + layout.paper(30.0),
    )
    layout.vertical(
        (across, length), (wide, surface), shown.length(gating.over_crown),
        start=wide + layout.paper(4.0), outwards=1,
    )  # fmt: skip
    layout.vertical((0.0, 0.0), (0.0, length), shown.length(gating.cavity.length),
        start=-wide - layout.paper(4.0), outwards=-1,
    )  # fmt: skip
    layout.scale_bar(-wide, layout.lowest - layout.paper(5.0), shown)
    which = "nose" if nose_up else "tail"
    return layout.view("gating", f"The mould cut upright as it is poured, {which} up")


def _open_view(job: FoundryResults, mould: MouldDesign, gating: Gating) -> View:
    shown, margins, mark = job.shown, mould.margins, gating.mark
    if mark is None:
        raise ValueError("an open mould has a level mark")
    along, half = _half_outline(job, _factor(job, mould))
    length, deep = along[-1], MM * gating.cavity.height
    left, right = -MM * margins.ends, length + MM * margins.ends
    bottom, level = -deep - MM * margins.below, MM * mark.above_face
    layout = Layout(_scale(right - left, 2.0 * (level - bottom)))
    rim = max(level, layout.paper(1.2))
    wall = layout.paper(3.0)
    half_body: Contour = tuple((x, -z) for x, z in zip(along, half, strict=True))
    _block(layout, mould, half_body)
    for ends in ((-wall, 0.0), (length, length + wall)):
        _mould(layout, _box(ends[0], 0.0, ends[1], rim + layout.paper(1.2)))
    layout.add(
        Region(contours=((*half_body, (length, rim), (0.0, rim)),), style=Style.LEAD),
        Line(start=(left, 0.0), end=(right, 0.0), style=Style.AXIS),
    )
    layout.extend(Box(left=left, bottom=bottom, right=right, top=rim))
    layout.running(
        [
            Label(
                point=(0.5 * length, rim),
                lines=(f"level mark {shown.length(mark.above_face)} above the flat face",),
            )
        ],
        level=rim + layout.paper(4.0),
        upwards=1,
        low=left,
        high=right,
    )
    layout.vertical((0.0, -deep), (0.0, 0.0), shown.length(1e-3 * deep),
        start=left - layout.paper(4.0), outwards=-1,
    )  # fmt: skip
    layout.horizontal(
        (0.0, bottom), (length, bottom), shown.length(1e-3 * length),
        start=bottom - layout.paper(6.0), outwards=-1,
    )  # fmt: skip
    layout.scale_bar(left, layout.lowest - layout.paper(5.0), shown)
    return layout.view("gating", "One open half cut upright as it is poured, flat face up, nose to the left")
