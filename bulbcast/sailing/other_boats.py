"""Report text on boats other than the planned boat: the same boat at another size, and other bulbs on other fins."""

from __future__ import annotations

import math
from collections.abc import Iterator

from bulbcast.quantities import Shown, worded
from bulbcast.quantities.showing import fine_length
from bulbcast.report.chapter import Data, Json, Part, Picture, Table, Words
from bulbcast.report.values import values_of
from bulbcast.sailing.sailing_work import Sailing
from bulbcast.sailing.scale import ScaleComparison, UnderSail
from bulbcast.sailing.trade import LARGEST_TRADED, Trade, Traded
from bulbcast.sailing.views import trade_plot

NOT_TRADED = (
    f"Other bulbs and fins are not calculated for a hull of more than {LARGEST_TRADED} facets, because each needs a "
    "separate righting arm curve. To calculate them, export the hull with a coarser mesh; 20 000 facets are plenty."
)


OTHER_SIZES = (
    "Every length is scaled, including righting arms. The fin's lift slope stays the same. In the same wind the sail's "
    "moment grows with the cube of the length, but the righting moment grows with the fourth power. So the smaller "
    "boat is more tender, and at its lower speed it makes more leeway. That is why a model of a larger boat needs a "
    "deeper fin, with more area, than an exact scale copy would have."
)


DASH = "\u2013"


def degrees(radians: float) -> str:
    """Angle as shown in tables, such as "35.3°"."""
    text = f"{math.degrees(radians):.1f}"
    return f"{'0.0' if text == '-0.0' else text}°"


def at_other_sizes(sailing: Sailing, shown: Shown) -> Iterator[Part]:
    """Report section on the same boat at another size.

    Args:
        sailing: The boat under her rig.
        shown: The builder's units.
    """
    scale = sailing.scale
    if scale is None:
        if sailing.scale_missing:
            yield Words(text=sailing.scale_missing, style="caption", only="report")
        yield Data(values={"scale": None})
        return
    boats = {"here": scale.here, "same_wind": scale.same_wind, "scaled_wind": scale.scaled_wind}
    other = "smaller" if scale.ratio < 1.0 else "full size"
    name, three = "The same boat at another size", list(boats.values())
    yield Table(
        rows=[
            ("waterline", *(shown.length(one.boat.waterline) for one in three)),
            ("mass", *(shown.mass(one.boat.mass) for one in three)),
            ("sail", *(shown.area(one.boat.rig.area) for one in three)),
            ("wind", *(shown.speed(one.wind) for one in three)),
            ("heel", *(degrees(one.heel) for one in three)),
            ("hull speed", *(shown.speed(one.speed) for one in three)),
            ("leeway", *(degrees(one.leeway) for one in three)),
        ],
        heads=("", "this boat", f"{other}, same wind", f"{other}, scaled wind"),
        figures=(1, 2, 3),
        heading=name,
        caption=name,
    )
    yield Words(text=scale_needs(sailing, scale, shown))
    yield Words(text=OTHER_SIZES, style="caption", only="report")
    said = {
        "ratio": scale.ratio,
        **{place: _under_sail(one) for place, one in boats.items()},
        "like_wind_m_s": scale.like_wind,
        "metacentric_height_needed_m": scale.metacentric_height_needed,
        "metacentric_height_most_m": sailing.highest_gm,
        "fin_area_needed_m2": scale.fin_area_needed,
    }
    yield Data(values={"scale": said})


def _under_sail(one: UnderSail) -> Json:
    return {
        "waterline_m": one.boat.waterline,
        "mass_kg": one.boat.mass,
        **values_of(one, "wind_m_s", "speed_m_s", "heel_rad", "side_force_n", "leeway_rad"),
    }


def scale_needs(sailing: Sailing, scale: ScaleComparison, shown: Shown) -> str:
    """Sentences on the ballast and fin that the boat would need in order to heel as much as the other size does in the
    same wind.

    Args:
        sailing: The boat at the planned size.
        scale: The boat at the other size.
        shown: The builder's units.
    """
    wind = shown.speed(scale.here.wind)
    as_there = (
        f"In a wind of {shown.speed(scale.like_wind)} this boat heels as much as a boat {scale.ratio:g} times as long "
        f"does in {wind}."
    )
    if scale.metacentric_height_needed > sailing.highest_gm:
        # A figure that cannot be reached is useless as advice.
        return (
            f"{as_there} In {wind} no ballast on this fin keeps her to that heel, even with all her mass at the bulb's "
            "underside. Carry less sail instead."
        )
    return (
        f"{as_there} To do so in {wind} she would need a GM of {shown.length(scale.metacentric_height_needed)} instead "
        f"of {shown.length(scale.here.boat.metacentric_height)}, calculated from GM sin(heel). At that heel she would "
        f"need a fin area of {shown.area(scale.fin_area_needed)} instead of {shown.area(sailing.free_fin.area)} for "
        "the same leeway."
    )


def deeper_or_heavier(trade: Trade | None, sailing: Sailing, shown: Shown) -> Iterator[Part]:
    """Report section on other bulbs on other fins.

    Args:
        trade: Results for all bulbs and fins; None if they would take too long to calculate.
        sailing: The boat under sail as planned.
        shown: The builder's units.
    """
    if trade is None:
        yield Words(text=NOT_TRADED, style="caption")
        yield Data(values={"trade": None})
        return
    yield Picture(
        draw=lambda: trade_plot(trade, shown),
        caption="{title}. The ring marks the plan.",
    )
    yield Table(
        rows=[_traded(one, shown) for one in trade.cells],
        heads=("fin's tip", "bulb", "floats deeper by", "GM", "20°", "30°", "45°", "heel"),
        figures=tuple(range(8)),
        caption=(
            "Other bulbs on other fins: winds that heel the boat 20, 30 and 45 degrees, and heel in a wind of "
            f"{shown.speed(sailing.wind)}."
        ),
        only="report",
    )
    # The terminal shows only the wind for 30 degrees, with a row for each depth and a column for each mass.
    grid = [
        (
            worded("{} deep", shown.length(-level)),
            *(DASH if not one.winds else shown.speed(one.winds[1].wind) for one in trade.row(tip)),
        )
        for tip, level in enumerate(trade.tips)
    ]
    yield Table(
        rows=grid,
        heads=("tip", *(shown.mass(mass) for mass in trade.masses)),
        figures=tuple(range(1, 1 + len(trade.masses))),
        heading="Deeper or heavier: wind that heels the boat 30 degrees",
        only="terminal",
    )
    for said in _trade_words(trade, shown):
        yield Words(text=said, style="caption")
    cells = [
        {
            "bulb_mass_kg": one.mass,
            "fin_tip_z_m": one.tip_z,
            "metacentric_height_m": one.gm,
            "sinkage_m": one.sinkage,
            "winds_for_heels_m_s": [wind.wind for wind in one.winds],
            "heel_rad": one.heel,
            "missing": one.missing or None,
        }
        for one in trade.cells
    ]
    yield Data(
        values={
            "trade.bulb_mass_worth_of_depth_kg_m": trade.depth_worth,
            "trade.fin_mass_goes_with_depth": trade.fin_scaled,
            "trade.cells": cells,
        }
    )


def _traded(one: Traded, shown: Shown) -> tuple[str, ...]:
    """Table row: depth, mass, sinkage, GM, winds for 20, 30 and 45 degrees, and heel in the given wind."""
    place = (shown.length(-one.tip_z), shown.mass(one.mass))
    if one.gm is None:
        return (*place, *((DASH,) * 6))
    return (
        *place,
        DASH if one.sinkage is None else fine_length(one.sinkage, shown),
        fine_length(one.gm, shown),
        *(shown.speed(wind.wind) + ("" if wind.rests else " *") for wind in one.winds),
        DASH if one.heel is None else degrees(one.heel),
    )


def _trade_words(trade: Trade, shown: Shown) -> Iterator[str]:
    """Sentences that sum up the results for other bulbs and fins."""
    if trade.depth_worth is not None:
        step = 0.0254 if shown.units == "imperial" else 0.010
        yield (
            f"Near the planned depth and mass, {shown.length(step)} of extra depth is as effective against the wind "
            f"as {shown.mass(step * trade.depth_worth)} of extra bulb mass. Extra depth increases the draught and the "
            "fin's size. Extra mass reduces freeboard, unless you leave the same mass ashore."
        )
    mass = (
        "The fin's mass changes with its volume."
        if trade.fin_scaled
        else "The fin's mass is not listed separately, so it is not changed."
    )
    yield (
        "Each answer comes from a new calculation, with the bulb sized and positioned again and the boat floating at "
        f"her new mass. The weight list is unchanged. {mass} The chords and the rake of the leading edge stay the same. "
        "A deeper fin lowers the centre of lateral resistance, unless you specify its position."
    )
    failed = sorted({one.missing for one in trade.cells if one.missing})
    yield from (f"No answer: {reason}" for reason in failed[:3])
    if any(not wind.rests for one in trade.cells for wind in one.winds):
        yield "* The boat does not settle at this angle: this wind heels her further."
