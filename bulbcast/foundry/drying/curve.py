"""Plot of one part's drying over time, with its weighings, the mass to reach, and the likely and late times for it."""

from __future__ import annotations

import math
from collections.abc import Callable
from datetime import datetime, timedelta
from itertools import pairwise

from bulbcast.drawing.layout import Layout
from bulbcast.drawing.plot_axes import Axis, round_axis
from bulbcast.drawing.shapes import Anchor, Box, Circle, Line, Polyline, Region, Style, Text, View
from bulbcast.foundry.drying.log import DryingState, PartState
from bulbcast.foundry.drying.rules import to_the_hour, when
from bulbcast.quantities import Shown

_LEFT, _WIDTH, _HEIGHT = 18.0, 126.0, 58.0
_HOUR = 3600.0
_STEPS = (1.0, 2.0, 3.0, 6.0, 12.0, 24.0, 48.0, 120.0, 240.0, 480.0, 1200.0, 2400.0, 8760.0)
_MOST_TICKS = 9
_BESIDE: tuple[tuple[float, Anchor], ...] = ((1.8, "start"), (-1.8, "end"))
"""Offsets of a label to the right and left of a mark, each with its text anchor. [mm]"""


def drying_curve(part: PartState, state: DryingState, shown: Shown) -> View | None:
    """Draw the plot for one part; None if its log has nothing to draw.

    Args:
        part: Part with its just-set mass and a weighing.
        state: Drying state of the complete mould.
        shown: The builder's units.
    """
    if part.just_set is None or not part.weighings or state.log is None:
        return None
    set_at = min(
        (one for one in state.log.entries if one.what == "just set" and one.part == part.name),
        key=lambda one: (one.value, one.time),
    ).time
    begin = min(set_at, part.weighings[0].time)
    last = part.weighings[-1].time
    base = part.just_set - state.rules.reinforcement

    def share(mass: float) -> float:
        return 100.0 * (mass - state.rules.reinforcement) / base

    def hours(moment: datetime) -> float:
        return (moment - begin).total_seconds() / _HOUR

    course = part.trend.curve if part.trend is not None else ()
    points = [(hours(set_at), 100.0), *((hours(one.time), share(one.value)) for one in part.weighings)]
    curve = [
        (hours(last) + one.time / _HOUR, share(one.low), share(one.likely), share(one.high)) for one in course
    ]
    levels = [y for _, y in points] + [y for row in curve for y in row[1:]]
    lines = [(part.target, "dry at or below", Style.WALL_ENOUGH)]
    if part.over_baked_below is not None:
        lines.append((part.over_baked_below, "chalky below", Style.WALL_SHORT))
    levels += [share(mass) for mass, _, _ in lines if mass is not None]
    end = max([hours(last) * 1.08, 1.0, *(row[0] for row in curve)])
    up = round_axis([min(levels), 100.0], start=0.0, end=_HEIGHT, most=7)
    across = _time_axis(begin, end)
    layout = Layout(1.0)
    _frame(layout, across, up, begin)
    if curve:
        band = [(across.place(x), up.place(low)) for x, low, _, _ in curve]
        band += [(across.place(x), up.place(high)) for x, _, _, high in reversed(curve)]
        layout.add(
            Region(contours=(tuple(_held(band)),), style=Style.BAND),
            Polyline(
                points=tuple(_held([(across.place(x), up.place(likely)) for x, _, likely, _ in curve])),
                style=Style.CURVE,
            ),
        )
    right = _LEFT + _WIDTH
    for mass, words, style in lines:
        if mass is None:
            continue
        level = up.place(share(mass))
        layout.add(Line(start=(_LEFT, level), end=(right, level), style=style))
        layout.text_if_free(
            [
                Text(at=(right + 2.0, level + shift), text=f"{words} {shown.mass(mass)}", height=layout.letter,
                     anchor="start", style=Style.SMALL)
                for shift in (0.0, -3.2, -6.4)
            ]
        )  # fmt: skip
    layout.add(
        Polyline(points=tuple((across.place(x), up.place(y)) for x, y in points), style=Style.LEADER),
        *(
            Circle(
                centre=(across.place(x), up.place(y)), radius=0.9, style=Style.PAPER if n == 0 else Style.MARK
            )
            for n, (x, y) in enumerate(points)
        ),
    )
    likely_course = _held([(across.place(x), up.place(likely)) for x, _, likely, _ in curve])
    read = [(across.place(x), up.place(y)) for x, y in points]
    for mass, _, _ in lines:
        if mass is not None:
            layout.keep_clear(
                Box(left=_LEFT, bottom=up.place(share(mass)), right=right, top=up.place(share(mass)))
            )
    _kept_clear(layout, likely_course)
    _kept_clear(layout, read)
    x, y = read[-1]
    layout.text_if_free(
        [
            Text(at=(x + dx, y + dy), text=shown.mass(part.weighings[-1].value), height=layout.letter,
                 anchor=anchor)
            for dy in (0.0, 2.6, -2.6, 4.0, -4.0, 5.4, 6.8, 8.2)
            for dx, anchor in _BESIDE
        ]
    )  # fmt: skip
    _projected(layout, part, across, hours)
    return layout.view(f"drying-{part.name}", drying_words(part, shown))


def drying_words(part: PartState, shown: Shown) -> str:
    """Say in one line how far a part has dried and when it is likely to be dry.

    Args:
        part: Part with a weighing.
        shown: The builder's units.
    """
    name = f"The {part.name}"
    if part.holds_until is not None:
        return f"{name} has passed; the pass holds until {when(part.holds_until)}"
    said = f"{name} has reached its dry mass"
    if part.left is not None and part.left > 0.0:
        said = f"{name} has {shown.mass(part.left)} still to lose"
    likely = None if part.trend is None else part.time_after(part.trend.likely)
    if likely is None:
        return said
    return f"{said}; likely to be dry and at constant mass by {when(to_the_hour(likely))}"


def _projected(layout: Layout, part: PartState, across: Axis, hours: Callable[[datetime], float]) -> None:
    """Draw vertical marks at the likely and late times given by the trend."""
    if part.trend is None:
        return
    for seconds, words, level in (
        (part.trend.likely, "likely", _HEIGHT - 2.5),
        (part.trend.late, "late", _HEIGHT - 6.0),
    ):
        at = part.time_after(seconds)
        if at is None or hours(at) > across.high:
            continue
        x = across.place(hours(at))
        layout.add(Line(start=(x, 0.0), end=(x, _HEIGHT), style=Style.AXIS))
        label = f"{words} {to_the_hour(at):%m-%d %H:%M}"
        layout.text_if_free(
            [
                Text(at=(x - 1.0, level - down), text=label, height=layout.letter, anchor="end")
                for down in (0.0, 3.5, 7.0)
            ]
        )


def _kept_clear(layout: Layout, points: list[tuple[float, float]]) -> None:
    """Keep lettering clear of a polyline by reserving a box along every millimetre of it."""
    for start, end in pairwise(points):
        count = max(1, math.ceil(max(abs(end[0] - start[0]), abs(end[1] - start[1]))))
        run, rise = (end[0] - start[0]) / count, (end[1] - start[1]) / count
        corners = [(start[0] + number * run, start[1] + number * rise) for number in range(count + 1)]
        for (x0, y0), (x1, y1) in pairwise(corners):
            layout.keep_clear(Box(left=min(x0, x1), bottom=min(y0, y1), right=max(x0, x1), top=max(y0, y1)))


def _held(points: list[tuple[float, float]]) -> list[tuple[float, float]]:
    """Clip points to the frame."""
    return [(min(max(x, _LEFT), _LEFT + _WIDTH), min(max(y, 0.0), _HEIGHT)) for x, y in points]


def _time_axis(begin: datetime, end: float) -> Axis:
    """Build the time axis in hours from the first reading, marked at round hours and days."""
    step = next((one for one in _STEPS if end / one <= _MOST_TICKS), _STEPS[-1])
    midnight = begin.replace(hour=0, minute=0, second=0, microsecond=0)
    first = (begin - midnight).total_seconds() / _HOUR
    number = int(first // step) + 1
    ticks, labels = [], []
    while number * step - first <= end:
        ticks.append(number * step - first)
        moment = midnight + timedelta(hours=number * step)
        labels.append(f"{moment:%m-%d}" if step >= 24.0 else f"{moment:%d. %H:%M}")
        number += 1
    return Axis(low=0.0, high=end, start=_LEFT, end=_LEFT + _WIDTH, ticks=tuple(ticks), labels=tuple(labels))


def _frame(layout: Layout, across: Axis, up: Axis, begin: datetime) -> None:
    right = _LEFT + _WIDTH
    for tick, label in zip(up.ticks, up.labels, strict=True):
        level = up.place(tick)
        layout.add(Line(start=(_LEFT, level), end=(right, level), style=Style.GRID))
        layout.small((_LEFT - 1.6, level), f"{label} %", "end")
    for tick, label in zip(across.ticks, across.labels, strict=True):
        x = across.place(tick)
        layout.add(Line(start=(x, 0.0), end=(x, _HEIGHT), style=Style.GRID))
        layout.small((x, -3.2), label)
    corners = ((_LEFT, 0.0), (right, 0.0), (right, _HEIGHT), (_LEFT, _HEIGHT))
    layout.add(Polyline(points=(*corners, corners[0]), style=Style.FRAME))
    layout.small((_LEFT, -7.6), f"from {begin:%Y-%m-%d %H:%M}", "start")
    if up.low > 0.0:
        layout.small((right, -7.6), f"axis starts at {up.labels[0]} %, not at 0", "end")
    layout.extend(Box(left=0.0, bottom=-9.0, right=_LEFT + _WIDTH + 34.0, top=_HEIGHT + 2.0))
