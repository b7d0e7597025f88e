"""Pictures of the cooling: the freezing map, the freezing front at several times, and temperatures against time."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace

from bulbcast.drawing.layout import PAPER_WIDTH, Label, Layout, nice_scale
from bulbcast.drawing.plot_axes import round_axis
from bulbcast.drawing.shapes import (
    Box,
    Circle,
    Contour,
    Hatch,
    Line,
    Point,
    Polyline,
    Region,
    Style,
    Text,
    View,
    text_width,
)
from bulbcast.foundry.cooling.isochrones import MM, bands, box_of, less, outlines, round_times
from bulbcast.foundry.cooling.results import Cooling, Place
from bulbcast.quantities import Shown

HEAT = (
    Style.HEAT_1, Style.HEAT_2, Style.HEAT_3, Style.HEAT_4, Style.HEAT_5, Style.HEAT_6, Style.HEAT_7, Style.HEAT_8,
)  # fmt: skip
"""Colours from light (first to freeze) to dark (last to freeze)."""
_TALLEST, _TALLEST_ACROSS = 120.0, 80.0
"""Maximum height on paper of a map along the axis and of one across it, chosen so that both fit on one page. [mm]"""
_SOLID_SHARES = (0.25, 0.5, 0.75, 0.95)


def freezing_map(cooling: Cooling, shown: Shown, *, along: bool = True) -> View:
    """Draw the time at which each point froze, on a vertical section of the mould as it stands, with its parts labelled.

    Args:
        cooling: Results of the simulation.
        shown: The builder's units.
        along: True for the cut along the axis, false for the cut across it at the feeder.

    Returns:
        View in which the darkest areas freeze last.
    """
    cut = cooling.along if along or cooling.through is None else cooling.through
    casting, feeder, block = outlines(cooling, along=along)
    frame = box_of(block)
    tallest = _TALLEST if along else _TALLEST_ACROSS
    layout = Layout(nice_scale(min((PAPER_WIDTH - 8.0) / frame.width, tallest / frame.height)))
    longest = max(cooling.frozen, cooling.frozen_feeder or 0.0)
    times = round_times(longest)
    layout.add(
        Region(contours=(block,), style=Style.MOULD, hatch=Hatch(spacing=layout.paper(2.4), angle=60.0))
    )
    looks = _looks(len(times) + 1)
    for look, found in zip(looks, bands(cut, cut.frozen, times, (casting, feeder)), strict=True):
        if found:
            layout.add(Region(contours=found, style=look))
    _edges(layout, casting, feeder)
    layout.extend(frame)
    _marks(cooling, layout, along)
    foot = _named(cooling, layout, shown, (casting, feeder), frame, along=along)
    _key(layout, looks, times, longest, replace(frame, bottom=foot))
    if along:
        return layout.view("freezing-map", "Freezing map, vertical section along the axis")
    where = "at the feeder" if feeder else "at the largest section"
    return layout.view("freezing-map-across", f"Freezing map, vertical section across the axis {where}")


def fronts(cooling: Cooling, shown: Shown) -> View:
    """Draw the solid and the liquid metal at four times, in pictures side by side or in two rows.

    Args:
        cooling: Results of the simulation.
        shown: The builder's units.
    """
    cut = cooling.along
    casting, feeder, _ = outlines(cooling, along=True)
    metal = box_of(casting) if not feeder else box_of(casting).joined(box_of(feeder))
    beside = metal.height > metal.width
    count = len(_SOLID_SHARES)
    across, up = (count, 1) if beside else (2, 2)
    scale = nice_scale(
        min(
            (PAPER_WIDTH - 8.0 - 8.0 * across) / (across * metal.width),
            (_TALLEST - 14.0 * up) / (up * metal.height),
        )
    )
    layout = Layout(scale)
    gap_x = max(layout.paper(8.0), layout.paper(46.0) - metal.width)
    step_x, step_y = metal.width + gap_x, metal.height + layout.paper(14.0)
    for number, share in enumerate(_SOLID_SHARES):
        when = time_at_solid(cooling, share)
        column, row = (number, 0) if beside else (number % 2, number // 2)
        move = (column * step_x, -row * step_y)
        soft = bands(cut, cut.frozen, (when,), (casting, feeder))[1]
        liquid = bands(cut, cut.closed, (when,), (casting, feeder))[1]
        for state, style in (
            ((feeder,) if feeder else (), Style.FROZEN),
            ((casting,), Style.FROZEN),
            (soft, Style.MUSHY),
            (liquid, Style.LIQUID),
        ):
            if state:
                layout.add(Region(contours=tuple(_moved(one, move) for one in state), style=style))
        _edges(layout, casting, feeder, move)
        box = box_of(_moved(((metal.left, metal.bottom), (metal.right, metal.top)), move))
        layout.extend(box)
        layout.text(
            Text(
                at=(0.5 * (box.left + box.right), box.bottom - layout.paper(4.0)),
                text=f"{shown.duration(when)}: {share:.0%} solid",
                height=layout.letter,
            )
        )
    return layout.view(
        "freezing-fronts", "Freezing front at four times: dark metal still flows, light metal is solid"
    )


def time_at_solid(cooling: Cooling, share: float) -> float:
    """Calculate when a given fraction of the casting was solid.

    Args:
        cooling: Results of the simulation.
        share: Solid fraction. [-]

    Returns:
        Time, interpolated linearly between the steps. [s]
    """
    history = cooling.history
    for i in range(1, len(history.time)):
        low, high = history.solid[i - 1], history.solid[i]
        if high >= share:
            part = 0.0 if high <= low else max(share - low, 0.0) / (high - low)
            return history.time[i - 1] + part * (history.time[i] - history.time[i - 1])
    return history.time[-1]


def history_plot(cooling: Cooling, shown: Shown) -> View:
    """Plot temperatures against the time since the pour. The plot is in millimetres on paper, and each axis has its own
    scale.

    Args:
        cooling: Results of the simulation.
        shown: The builder's units.
    """
    history, setup = cooling.history, cooling.setup
    layout = Layout(1.0)
    left, width, height = 16.0, 148.0, 62.0
    fahrenheit = shown.units == "imperial"

    def degrees(celsius: float) -> float:
        return 1.8 * celsius + 32.0 if fahrenheit else celsius

    # Freezing takes a tenth of the time or less, so a square-root scale gives it room.
    longest = history.time[-1]

    def across(seconds: float) -> float:
        return left + width * math.sqrt(max(seconds, 0.0) / longest)

    up = round_axis([0.0, degrees(max(history.hottest))], start=0.0, end=height, most=6)
    for tick, label in zip(up.ticks, up.labels, strict=True):
        layout.add(Line(start=(left, up.place(tick)), end=(left + width, up.place(tick)), style=Style.GRID))
        layout.small((left - 1.5, up.place(tick)), label, "end")
    for seconds in _time_ticks(longest):
        at = across(seconds)
        layout.add(Line(start=(at, 0.0), end=(at, height), style=Style.GRID))
        layout.small((at, -3.0), short_time(seconds))
    layout.small((left - 1.5, height + 4.0), "°F" if fahrenheit else "°C", "end")
    for seconds in (cooling.frozen, cooling.open_after):
        layout.add(Line(start=(across(seconds), 0.0), end=(across(seconds), height), style=Style.AXIS))
    layout.small((across(cooling.frozen) + 1.0, height - 3.0), "all solid", "start")
    opened = f"do not open before {shown.duration(cooling.open_after)}"
    layout.small((across(cooling.open_after) - 1.0, height - 7.0), opened, "end")
    curves = [
        ("casting, hottest", history.hottest, Style.CURVE),
        ("casting, coldest", history.coldest, Style.CURVE_2),
    ]
    if history.feeder:
        curves.append(("feeder, hottest", history.feeder, Style.CURVE_3))
    curves.append(("block, hottest side", history.face, Style.CURVE_4))
    for _, values, style in curves:
        points = ((across(t), up.place(degrees(v))) for t, v in zip(history.time, values, strict=True))
        layout.add(Polyline(points=tuple(points), style=style))
    layout.add(
        Line(start=(left, 0.0), end=(left + width, 0.0), style=Style.FRAME),
        Line(start=(left, 0.0), end=(left, height), style=Style.FRAME),
    )
    place = left
    for words, _, style in curves:
        layout.add(Line(start=(place, -9.5), end=(place + 8.0, -9.5), style=style))
        layout.small((place + 9.5, -9.5), words, "start")
        place += 38.0
    layout.extend(Box(left=0.0, bottom=-12.0, right=left + width + 10.0, top=height + 6.0))
    title = f"Temperatures from the pour until the hottest metal has cooled to {shown.temperature(setup.open_below)}"
    return layout.view("cooling-history", title)


def short_time(seconds: float, hours_from: float = 3600.0) -> str:
    """Write a round time in short form, such as "30 s", "2.5 min" or "4 h".

    Args:
        seconds: Time. [s]
        hours_from: Time from which hours replace minutes. [s]
    """
    figure, unit = seconds, "s"
    if seconds >= hours_from:
        figure, unit = seconds / 3600.0, "h"
    elif seconds >= 60.0:
        figure, unit = seconds / 60.0, "min"
    return f"{round(figure, 0 if figure >= 10.0 else 1):g} {unit}"


def _time_ticks(longest: float) -> list[float]:
    """Choose a few round times for the square-root scale, closer together at its start."""
    nice = (
        10, 30, 60, 120, 300, 600, 1200, 1800, 3600, 7200, 10800, 14400, 21600, 28800, 43200, 57600, 86400, 172800,
    )  # fmt: skip
    ticks = [0.0]
    for one in nice:
        if one <= longest and math.sqrt(one / longest) - math.sqrt(ticks[-1] / longest) > 0.07:
            ticks.append(float(one))
    return ticks


def _looks(count: int) -> list[Style]:
    """Evenly spaced selection from the eight styles, with the darkest last."""
    if count == 1:
        return [HEAT[-1]]
    return [HEAT[round(i * (len(HEAT) - 1) / (count - 1))] for i in range(count)]


def _on_cut(cooling: Cooling, place: Place, along: bool) -> Point:
    if cooling.setup.stands:
        turn = -1.0 if cooling.setup.orientation == "nose-up" else 1.0
        return MM * place.across, turn * MM * place.x
    return (MM * place.x, MM * place.up) if along else (MM * place.across, MM * place.up)


def _marks(cooling: Cooling, layout: Layout, along: bool) -> None:
    """Mark where the casting freezes last and where its largest cavity opens."""
    if not _shows_hot_spot(cooling, along):
        return
    at = _on_cut(cooling, cooling.last_in_casting, along)
    size = layout.paper(2.0)
    layout.add(
        Circle(centre=at, radius=0.7 * size, style=Style.RING),
        Line(start=(at[0] - size, at[1]), end=(at[0] + size, at[1]), style=Style.RING),
        Line(start=(at[0], at[1] - size), end=(at[0], at[1] + size), style=Style.RING),
    )
    for one in cooling.cavities[:1]:
        volume = one.volume if one.volume > 0.0 else 0.0
        radius = MM * (0.75 * volume / math.pi) ** (1.0 / 3.0)
        layout.add(Circle(centre=_on_cut(cooling, one.place, along), radius=radius, style=Style.VOID))


def _named(
    cooling: Cooling,
    layout: Layout,
    shown: Shown,
    metal: tuple[Contour, Contour],
    frame: Box,
    *,
    along: bool,
) -> float:
    """Write the main line above the map, and label the parts and the point where the casting freezes last.

    Returns:
        Height below which nothing has been drawn yet. [mm]
    """
    setup, kept = cooling.setup, cooling.kept
    casting = box_of(metal[0])
    labels = []
    if metal[1]:
        column = box_of(metal[1])
        way = "left alone" if kept is None else f"kept liquid for {shown.duration(kept.until)}"
        sleeved = setup.feeder is not None and setup.feeder.sleeved
        lines = ("feeder", "in a sleeve" if sleeved else way)
        labels.append(Label(point=(0.5 * (column.left + column.right), column.top), lines=lines))
    level = layout.running(
        labels, level=frame.top + layout.paper(2.5), upwards=1, low=frame.left,
        high=max(frame.right, frame.left + layout.paper(80.0)),
    )  # fmt: skip
    layout.words((frame.left + layout.paper(1.5), frame.bottom + layout.paper(2.5)), "mould", anchor="start")
    if along and setup.stands:
        up, down = ("nose", "tail") if setup.orientation == "nose-up" else ("tail", "nose")
        beside = frame.left - layout.paper(2.0)
        layout.words((beside, casting.top), up, anchor="end")
        layout.words((beside, casting.bottom), down, anchor="end")
    elif along:
        under = casting.bottom - layout.paper(4.0)
        layout.words((casting.left, under), "nose", anchor="start")
        layout.words((casting.right, under), "tail", anchor="end")
    layout.words(
        (frame.left, level + layout.paper(5.0)),
        _message(cooling, shown, along),
        Style.HEADING,
        anchor="start",
    )
    if _shows_hot_spot(cooling, along):
        return _hot_spot(cooling, layout, casting, frame, along=along)
    return frame.bottom


def _shows_hot_spot(cooling: Cooling, along: bool) -> bool:
    """Whether the last point of the casting to freeze lies in this cut, or close to it."""
    feeder, last = cooling.setup.feeder, cooling.last_in_casting
    return along or feeder is None or abs(last.x - feeder.at) <= 0.5 * feeder.diameter


def _hot_spot(cooling: Cooling, layout: Layout, casting: Box, frame: Box, *, along: bool) -> float:
    """Label the point that freezes last, below the casting or, if the bulb stands on end, to the right of it.

    Returns:
        Height below which nothing has been drawn yet. [mm]
    """
    at = _on_cut(cooling, cooling.last_in_casting, along)
    lines = ("hot spot:", "the casting freezes last here")
    step = 1.25 * layout.letter
    if cooling.setup.stands:
        # The feeder stands on the upper end: the name goes to the right.
        beside = frame.right + layout.paper(2.0)
        layout.line(Style.LEADER, at, (beside - 0.4 * layout.letter, at[1]))
        for rank, line in enumerate(lines):
            layout.words((beside, at[1] - rank * step), line, anchor="start")
        return frame.bottom
    room = casting.bottom - frame.bottom
    start = casting.bottom if room > layout.paper(11.0) else frame.bottom
    foot = start - layout.paper(2.5)
    half = 0.5 * max(text_width(line, layout.letter) for line in lines)
    middle = min(max(at[0], frame.left + half), max(frame.right - half, frame.left + half))
    layout.line(Style.LEADER, at, (at[0], foot))
    for rank, line in enumerate(lines):
        layout.words((middle, foot - 0.8 * layout.letter - rank * step), line)
    return min(frame.bottom, foot - 0.8 * layout.letter - 2.0 * step)


def _message(cooling: Cooling, shown: Shown, along: bool) -> str:
    """Main line of a map: the time at which the casting (in the map along the axis) or the feeder (in the map across it)
    is solid."""
    if along:
        band = f"{shown.duration(cooling.frozen_low)} to {shown.duration(cooling.frozen_high)}"
        return f"Casting solid after {shown.duration(cooling.frozen)}; {band}, depending on the mould's conductivity"
    if cooling.frozen_feeder is None:
        return "Across the axis, at the largest section"
    return f"Across the axis, at the feeder, which is solid after {shown.duration(cooling.frozen_feeder)}"


def _key(layout: Layout, looks: Sequence[Style], times: Sequence[float], longest: float, frame: Box) -> None:
    """Draw the legend: a row of squares, one per band, each with the end time of its band beneath it."""
    size, step = layout.paper(5.0), layout.paper(18.0)
    top = frame.bottom - layout.paper(5.0)
    left = frame.left
    for number, look in enumerate(looks):
        at = left + number * step
        end = times[number] if number < len(times) else longest
        corners = ((at, top - size), (at + step, top - size), (at + step, top), (at, top))
        layout.add(Region(contours=(corners,), style=look))
        below = (at + 0.5 * step, top - size - layout.paper(3.0))
        layout.small(below, f"to {short_time(end, 3.0 * 3600.0)}")
    layout.extend(
        Box(left=left, bottom=top - size - layout.paper(5.0), right=left + len(looks) * step, top=top)
    )


def _edges(layout: Layout, casting: Contour, feeder: Contour, move: Point = (0.0, 0.0)) -> None:
    """Draw the outlines of the casting and of the part of the feeder outside it."""
    for one in (*less(feeder, casting), casting):
        layout.add(Region(contours=(_moved(one, move),), style=Style.OUTLINE))


def _moved(contour: Contour, by: Point) -> Contour:
    return tuple((x + by[0], y + by[1]) for x, y in contour)
