"""Plots of righting arms, of heel against wind, and of a deeper fin compared with a heavier bulb.

Dimensions are in millimetres of paper. Each plot has a caveat.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

from bulbcast.drawing.layout import Layout
from bulbcast.drawing.plot_axes import Axis, moved_apart, round_axis
from bulbcast.drawing.shapes import Box, Circle, Line, Point, Polyline, Region, Style, Text, View, text_width
from bulbcast.quantities import Shown, alike
from bulbcast.sailing.righting import RightingArmCurve
from bulbcast.sailing.sailing_work import Sailing
from bulbcast.sailing.trade import TRADE_DEPTH_STEPS, TRADE_MASS_STEPS, Trade
from bulbcast.sailing.work import Standing

_LEFT, _WIDTH, _HEIGHT = 16.0, 138.0, 50.0
_DOT = 0.9
# Lower limits of Beaufort's forces 1 to 12. WMO, Manual on Codes, table 1100. [m/s]
_BEAUFORT = (0.3, 1.6, 3.4, 5.5, 8.0, 10.8, 13.9, 17.2, 20.8, 24.5, 28.5, 32.7)


class _Plot:
    """Axes of a plot with their grid and labels, and functions for drawing within them."""

    def __init__(self, across: Axis, up: Axis, *, across_name: str, up_name: str) -> None:
        self.layout = Layout(1.0)
        self.across = across
        self.up = up
        letter = self.layout.letter
        for tick, label in zip(across.ticks, across.labels, strict=True):
            x = across.place(tick)
            self.layout.add(Line(start=(x, 0.0), end=(x, _HEIGHT), style=Style.GRID))
            self.words((x, -3.0), label, style=Style.SMALL)
        for tick, label in zip(up.ticks, up.labels, strict=True):
            y = up.place(tick)
            self.layout.add(Line(start=(_LEFT, y), end=(_LEFT + _WIDTH, y), style=Style.GRID))
            self.words((_LEFT - 1.8, y), label, anchor="end", style=Style.SMALL)
        level = up.place(0.0) if up.low < 0.0 < up.high else 0.0
        self.layout.add(
            Line(start=(_LEFT, level), end=(_LEFT + _WIDTH, level), style=Style.FRAME),
            Line(start=(_LEFT, 0.0), end=(_LEFT, _HEIGHT), style=Style.FRAME),
        )
        self.words((_LEFT + _WIDTH, -3.0 - 1.6 * letter), across_name, anchor="end")
        self.words((0.0, _HEIGHT + 1.9 * letter), up_name, anchor="start")
        if up.low > 0.0:
            beside = (_LEFT + _WIDTH, _HEIGHT + 1.9 * letter)
            self.words(beside, f"axis starts at {up.labels[0]}, not at 0", anchor="end", style=Style.SMALL)
        self.layout.extend(
            Box(left=0.0, bottom=-4.0 - 2.2 * letter, right=_LEFT + _WIDTH + 2.0, top=_HEIGHT + 3.0 * letter)
        )

    def at(self, x: float, y: float) -> Point:
        return self.across.place(x), self.up.place(y)

    def words(
        self,
        at: Point,
        text: str,
        *,
        anchor: str = "middle",
        style: Style = Style.LETTERING,
    ) -> None:
        self.layout.text(
            Text(at=at, text=text, height=self.layout.letter, style=style, anchor=anchor)  # type: ignore[arg-type]
        )

    def words_if_free(self, places: Sequence[tuple[Point, str]], text: str) -> None:
        self.layout.text_if_free(
            [Text(at=at, text=text, height=self.layout.letter, anchor=anchor) for at, anchor in places]  # type: ignore[arg-type]
        )

    def curve(self, points: Sequence[Point], style: Style = Style.CURVE) -> None:
        self.layout.add(Polyline(points=tuple(points), style=style))

    def dot(self, at: Point, style: Style = Style.MARK) -> None:
        self.layout.add(Circle(centre=at, radius=_DOT, style=style))

    def view(self, name: str, title: str) -> View:
        return self.layout.view(name, title)


def _degrees_axis(high: int, step: int, *, start: float, end: float) -> Axis:
    ticks = tuple(float(tick) for tick in range(0, high + 1, step))
    return Axis(
        low=0.0,
        high=float(high),
        start=start,
        end=end,
        ticks=ticks,
        labels=tuple(f"{tick:.0f}°" for tick in ticks),
    )


def _length_unit(shown: Shown, largest: float) -> tuple[str, float]:
    """Unit for a length axis, and its size in metres."""
    if shown.units == "imperial":
        return "in", 0.0254
    return ("m", 1.0) if largest >= 2.0 else ("mm", 1e-3)


def _arm_words(arm: float, shown: Shown) -> str:
    """Righting arm as text, with more digits than a fraction of an inch would give."""
    return f"{arm / 0.0254:.2f} in" if shown.units == "imperial" else shown.length(arm)


def _speed_unit(shown: Shown) -> tuple[str, float]:
    return ("kn", 1852.0 / 3600.0) if shown.units == "imperial" else ("m/s", 1.0)


def righting_arm_plot(standing: Standing, shown: Shown) -> View | None:
    """Plot righting arms against heel, with the wind's heeling arm if a wind is given; None if there is no curve.

    Args:
        standing: Results on stability and sailing.
        shown: The builder's units.
    """
    curve = standing.curve
    if curve is None:
        return None
    unit, metre = _length_unit(shown, max(abs(arm) for arm in curve.arms))
    arms = [arm / metre for arm in curve.arms]
    degrees = [math.degrees(heel) for heel in curve.heels]
    across = _degrees_axis(180, 30, start=_LEFT, end=_LEFT + _WIDTH)
    up = round_axis([0.0, *arms, 1.12 * max(arms)], start=0.0, end=_HEIGHT, most=7)
    plot = _Plot(across, up, across_name="heel", up_name=f"righting arm, {unit}")
    _area(plot, curve, degrees, arms)
    sailing = standing.sailing
    if sailing is not None:
        _wind_arm(plot, sailing, metre, shown)
    _tangent(plot, curve, metre, shown)
    plot.curve([plot.at(x, y) for x, y in zip(degrees, arms, strict=True)])
    top = plot.at(math.degrees(curve.largest_arm_heel), max(arms))
    plot.words_if_free(
        [((top[0], top[1] + 3.4), "middle"), ((top[0] + 14.0, top[1] + 3.4), "start")],
        f"largest {_arm_words(curve.largest_arm, shown)} at {math.degrees(curve.largest_arm_heel):.0f}°",
    )
    _vanishing(plot, curve)
    return plot.view("righting-arms", righting_words(curve, shown))


def righting_words(curve: RightingArmCurve, shown: Shown) -> str:
    """One-line summary of the righting arm plot.

    Args:
        curve: Righting arms.
        shown: The builder's units.
    """
    if curve.positive_from is None:
        return "There is no righting arm; nothing rights the boat"
    most = f"The righting arm reaches a maximum of {_arm_words(curve.largest_arm, shown)} at "
    most += f"{math.degrees(curve.largest_arm_heel):.0f}° of heel"
    if curve.vanishing is None:
        return most
    ends = math.degrees(curve.vanishing)
    return f"{most}; {'the boat rights herself from any heel' if ends > 179.5 else f'it vanishes at {ends:.0f}°'}"


def _area(plot: _Plot, curve: RightingArmCurve, degrees: list[float], arms: list[float]) -> None:
    """Tint the positive area."""
    if curve.positive_from is None:
        return
    low = math.degrees(curve.positive_from)
    high = 180.0 if curve.vanishing is None else math.degrees(curve.vanishing)
    inside = [
        plot.at(x, max(y, 0.0)) for x, y in zip(degrees, arms, strict=True) if low < x < high and y > 0.0
    ]
    if inside:
        plot.layout.add(
            Region(contours=((plot.at(low, 0.0), *inside, plot.at(high, 0.0)),), style=Style.BAND)
        )


def _wind_arm(plot: _Plot, sailing: Sailing, metre: float, shown: Shown) -> None:
    """Plot the wind's heeling arm and its intersection with the righting arm."""
    points = [(math.degrees(heel), arm / metre) for heel, arm in sailing.wind_arms]
    kept = [(x, y) for x, y in points if y <= plot.up.high]
    if len(kept) > 1:
        plot.curve([plot.at(x, y) for x, y in kept], Style.HIDDEN)
        last = next((point for point in kept if point[0] >= 70.0), kept[-1])
        plot.words_if_free(
            [(plot.at(last[0] - 4.0, last[1] + 0.055 * plot.up.high), "start")], "the wind's arm"
        )
    words = f"wind of {shown.speed(sailing.wind)}"
    if sailing.heel is not None and kept:
        heel = math.degrees(sailing.heel)
        at = plot.at(heel, sailing.arms.arm(sailing.heel) / metre)
        plot.dot(at)
        plot.words_if_free(
            [((at[0] + 2.5, at[1] - 3.0), "start"), ((at[0] + 2.5, at[1] - 7.0), "start")],
            f"{heel:.0f}° in a {words}",
        )


def _tangent(plot: _Plot, curve: RightingArmCurve, metre: float, shown: Shown) -> None:
    """Draw GM as the slope of the curve at zero, up to one radian or to the top of the plot."""
    gm = curve.gm / metre
    if gm <= 0.0:
        return
    reach = min(1.0, plot.up.high / gm)
    end = plot.at(math.degrees(reach), gm * reach)
    plot.layout.add(Line(start=plot.at(0.0, 0.0), end=end, style=Style.AXIS))
    above = [((end[0] - 1.5, end[1] + 2.6), "end"), ((end[0] + 1.5, end[1] + 2.6), "start")]
    below = [((end[0] + 1.5, end[1] - 2.6), "start")]
    hers = min(zip(curve.heels, curve.arms, strict=True), key=lambda one: abs(one[0] - reach))[1]
    places = below if hers > gm * reach * metre else above
    plot.words_if_free(places, f"GM {_arm_words(curve.gm, shown)}")


def _vanishing(plot: _Plot, curve: RightingArmCurve) -> None:
    if curve.vanishing is None:
        return
    heel = math.degrees(curve.vanishing)
    at = plot.at(heel, 0.0)
    plot.dot(at)
    words = "rights herself from any heel" if heel > 179.5 else f"vanishes at {heel:.0f}°"
    if heel > 150.0:
        # There is no room next to the end of the curve, so the label is drawn above it.
        above = (at[0], at[1] + 0.42 * _HEIGHT)
        plot.layout.add(Line(start=(at[0], at[1] + 1.5), end=(above[0], above[1] - 2.0), style=Style.LEADER))
        plot.words(above, words, anchor="end")
        return
    plot.words_if_free([((at[0] + 2.0, at[1] + 3.2), "start"), ((at[0] - 2.0, at[1] - 3.2), "end")], words)


def wind_heel_plot(sailing: Sailing, shown: Shown) -> View | None:
    """Plot steady heel against wind, with the winds for 20, 30 and 45 degrees; None if there is no steady heel.

    Args:
        sailing: The results under sail.
        shown: The builder's units.
    """
    if not sailing.steady:
        return None
    unit, metre = _speed_unit(shown)
    most = 1.25 * max(*(one.wind for one in sailing.winds), sailing.wind if sailing.wind_given else 0.0)
    most = min(most, max(1.05 * sailing.steady[-1][0], 1.1 * sailing.wind))
    kept = [(wind, heel) for wind, heel in sailing.steady if wind <= most]
    across = round_axis([0.0, most / metre], start=_LEFT, end=_LEFT + _WIDTH, most=9)
    up = _degrees_axis(90, 15, start=0.0, end=_HEIGHT)
    name = f"steady wind on the sail, {unit}"
    plot = _Plot(across, up, across_name=name, up_name="heel")
    _beaufort(plot, metre)
    start = [plot.at(0.0, 0.0)] if kept[0][1] < math.radians(6.0) else []
    plot.curve([*start, *(plot.at(wind / metre, math.degrees(heel)) for wind, heel in kept)])
    if sailing.wind_given:
        # Drawn before the lettering, so that the lettering avoids it.
        x = across.place(sailing.wind / metre)
        plot.layout.add(Line(start=(x, 0.0), end=(x, _HEIGHT), style=Style.AXIS))
        plot.layout.keep_clear(Box(left=x, bottom=0.0, right=x, top=_HEIGHT))
    for one in sailing.winds:
        if not one.rests or one.wind > most:
            continue
        at = plot.at(one.wind / metre, math.degrees(one.heel))
        plot.dot(at)
        plot.words_if_free(
            [
                ((at[0] - 2.2, at[1] + 2.4), "end"),
                ((at[0] + 2.2, at[1] - 2.6), "start"),
                ((at[0] + 2.2, at[1] - 6.6), "start"),
            ],
            f"{math.degrees(one.heel):.0f}° at {shown.speed(one.wind)}",
        )
    if sailing.wind_given:
        x = across.place(sailing.wind / metre)
        words = "lays the boat flat" if sailing.heel is None else f"{math.degrees(sailing.heel):.0f}°"
        plot.words_if_free(
            [((x + 1.6, 3.0), "start"), ((x - 1.6, 3.0), "end")],
            f"the plan's {shown.speed(sailing.wind)}: {words}",
        )
    last_wind, last_heel = sailing.steady[-1]
    if last_wind <= most and last_heel < math.radians(85.0):
        at = plot.at(last_wind / metre, math.degrees(last_heel))
        plot.dot(at)
        plot.words_if_free(
            [((at[0] - 2.2, at[1] + 3.0), "end"), ((at[0] - 2.2, at[1] + 7.0), "end")],
            f"{shown.speed(last_wind)}: a stronger wind lays the boat flat",
        )
    return plot.view("wind-and-heel", wind_words(sailing, shown))


def wind_words(sailing: Sailing, shown: Shown) -> str:
    """One-line summary of how far the wind heels the boat.

    Args:
        sailing: The results under sail.
        shown: The builder's units.
    """
    wind = shown.speed(sailing.wind)
    if sailing.heel is None:
        return f"A steady {wind} lays the boat flat"
    return f"A steady {wind} heels the boat {math.degrees(sailing.heel):.0f}°"


def _beaufort(plot: _Plot, metre: float) -> None:
    """Mark the Beaufort forces along the top."""
    bounds = [limit / metre for limit in _BEAUFORT]
    letter = plot.layout.letter
    for force, (low, high) in enumerate(
        zip(bounds, [*bounds[1:], math.inf], strict=True),
        start=1,
    ):
        if low >= plot.across.high:
            break
        left, right = plot.across.place(low), plot.across.place(min(high, plot.across.high))
        plot.layout.add(Line(start=(left, _HEIGHT), end=(left, _HEIGHT + 1.5), style=Style.FRAME))
        if right - left > 5.0:
            plot.words((0.5 * (left + right), _HEIGHT + 0.8 * letter), f"{force}", style=Style.SMALL)
    plot.words((_LEFT + _WIDTH, _HEIGHT + 2.1 * letter), "Beaufort", anchor="end", style=Style.SMALL)


def trade_plot(trade: Trade, shown: Shown) -> View | None:
    """Plot the wind that heels the boat 30 degrees against bulb mass, with a line for each depth; None without results.

    Args:
        trade: Results for other bulbs and fins.
        shown: The builder's units.
    """
    unit, metre = _speed_unit(shown)
    runs = [
        [(one.mass, one.winds[1].wind / metre) for one in trade.row(tip) if one.winds]
        for tip in range(len(trade.tips))
    ]
    every = [wind for run in runs for _, wind in run]
    if not every:
        return None
    labels = [f"{shown.length(-tip)} deep" for tip in trade.tips]
    room = max(text_width(label, 2.5) for label in labels) + 6.0
    masses = trade.masses
    margin = 0.06 * (masses[-1] - masses[0])
    across = Axis(
        low=masses[0] - margin,
        high=masses[-1] + margin,
        start=_LEFT,
        end=_LEFT + _WIDTH - room,
        ticks=masses,
        labels=tuple(shown.mass(mass) for mass in masses),
    )
    up = round_axis(every, start=0.0, end=_HEIGHT, most=7)
    plot = _Plot(
        across, up, across_name="mass of the bulb as hung", up_name=f"wind that heels the boat 30°, {unit}"
    )
    ends = [(label, plot.at(*run[-1])) for label, run in zip(labels, runs, strict=True) if run]
    places = moved_apart([end[1] for _, end in ends], 3.4, 0.0, _HEIGHT)
    planned = TRADE_DEPTH_STEPS.index(0)
    for tip, run in enumerate(runs):
        if not run:
            continue
        points = [plot.at(*point) for point in run]
        style = Style.CURVE if tip == planned else Style.OUTLINE
        plot.curve(points, style)
        for point in points:
            plot.dot(point, Style.MARK)
    for (label, end), y in zip(ends, places, strict=True):
        x = across.end + 1.5
        plot.layout.add(Polyline(points=((end[0] + 1.2, end[1]), (x, y)), style=Style.LEADER))
        is_planned = label == labels[planned]
        plot.words(
            (x + 1.0, y), label, anchor="start", style=Style.HEADING if is_planned else Style.LETTERING
        )
    here = trade.row(planned)[TRADE_MASS_STEPS.index(0)]
    if here.winds:
        at = plot.at(here.mass, here.winds[1].wind / metre)
        plot.layout.add(Circle(centre=at, radius=2.2, style=Style.OUTLINE))
    low, high = (shown.speed(metre * figure) for figure in (min(every), max(every)))
    title = alike("Deeper or heavier: 30° of heel needs a wind of {} to {}", low, high)
    if here.winds:
        title = f"{title}, {shown.speed(here.winds[1].wind)} as planned"
    return plot.view("trade", title)
