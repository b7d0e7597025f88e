"""What is said of how the boat stands up: righting arms, heel and leeway in a wind, other sizes, deeper or heavier.

In the report and in plan.json, and on the terminal of `bulbcast ballast`.
"""

from __future__ import annotations

import math
from collections.abc import Iterator

from bulbcast.materials.gravity import STANDARD_GRAVITY
from bulbcast.quantities import Shown, worded
from bulbcast.quantities.showing import fine_length
from bulbcast.report.chapter import Chapter, Data, Gap, Heading, Json, Line, Part, Picture, Table, Words
from bulbcast.sailing.leeway import HELMBOLD, WHICKER_FEHLNER
from bulbcast.sailing.results import SailingResults
from bulbcast.sailing.righting import RightingArmCurve
from bulbcast.sailing.sailing_work import Leeway, Sailing
from bulbcast.sailing.scale import ScaleComparison, UnderSail
from bulbcast.sailing.trade import LARGEST_TRADED, Trade, Traded
from bulbcast.sailing.views import CAVEAT, righting_arm_plot, trade_plot, wind_heel_plot
from bulbcast.sailing.work import Standing

NOT_AN_ASSESSMENT = "not a stability assessment; crew, downflooding and swamping are not included"
"""As plan.json says `CAVEAT`."""

NOT_TRADED = (
    f"Other bulbs and fins are not worked out on a hull of more than {LARGEST_TRADED} facets, since each takes a "
    "righting arm curve of its own: export her coarser for that, 20 000 facets are plenty."
)
SMALL_ANGLES = "Her shape is not known: heel is read from GM sin(heel), which holds at small angles only."
OTHER_SIZES = (
    "Every length multiplied, her righting arms too; the fin's lift slope the same. In one wind the sail's moment "
    "grows with the cube of the length and her own with the fourth power: the smaller boat is the more tender, "
    "and at her lower speed her fin makes the more leeway. That is why a model of a larger boat wants a deeper "
    "fin and more area than her plan shows."
)
LEEWAY_CAVEAT = (
    "At hull speed; leeway goes with one over the speed squared, so that at half of it there is four times as much. "
    "Rudder and hull hold some of the side force, which is not counted."
)
_FORMULAS = {HELMBOLD: "Helmbold", WHICKER_FEHLNER: "Whicker and Fehlner"}
_DASH = "\u2013"
_EVERY = 10
"""Degrees from row to row of the righting arms, a multiple of 5."""


def standing_chapter(job: SailingResults, standing: Standing) -> Chapter:
    """How she stands up.

    Args:
        job: The results.
        standing: Among them.
    """
    shown, sailing, rigged = job.shown, standing.sailing, job.plan.rig is not None
    parts: list[Part] = []
    if standing.curve is not None:
        parts += _righting(job, standing, standing.curve)
    else:
        missing = standing.curve_missing
        if rigged:
            parts += [Heading(text="Righting arms"), Words(text=missing)]
        values: Json = {"caveat": NOT_AN_ASSESSMENT, "righting_arms": None, "missing": missing}
        parts.append(Data(values={f"stability.{name}": value for name, value in values.items()}))
    if sailing is not None:
        parts += [*_wind(sailing, shown), *_leeway(sailing, shown), *_scale(sailing, shown)]
        parts += _trade(standing.trade, sailing, shown)
    elif standing.sailing_missing:
        parts += [Words(text=standing.sailing_missing)]
        parts.append(Data(values={"wind": {"missing": standing.sailing_missing}}))
    return Chapter(
        name="standing",
        title="How she stands up",
        short="Standing",
        at="boat",
        only="report",
        parts=parts,
    )


def _degrees(radians: float) -> str:
    """An angle as tables show it: "35.3°"."""
    text = f"{math.degrees(radians):.1f}"
    return f"{'0.0' if text == '-0.0' else text}°"


def _righting(job: SailingResults, standing: Standing, curve: RightingArmCurve) -> Iterator[Part]:
    shown = job.shown
    yield Picture(
        draw=lambda: righting_arm_plot(standing, shown),
        caption=f"Righting arms at free sinkage and trim, heeled to {standing.side}, hull, fin"
        f"{', rudder' if job.plan.rudder is not None else ''} and bulb with their volumes and masses. "
        "Dashed: the wind's heeling arm, where a rig is given. A kink is where bulb and fin leave the water, or "
        "the deck goes in.",
    )
    yield Table(
        rows=_stability(standing, curve, shown),
        heading=f"Righting arms, heeled to {standing.side}",
        caption=f"Righting arms. {CAVEAT}",
    )
    yield Gap()
    points = list(zip(curve.heels, curve.arms, curve.sinkages, curve.trims, strict=True))
    yield Table(
        rows=[
            (
                f"{math.degrees(heel):.0f}°",
                fine_length(arm, shown),
                shown.torque(arm * curve.mass * STANDARD_GRAVITY),
                fine_length(sinkage, shown),
                _degrees(trim),
            )
            for heel, arm, sinkage, trim in points
            if round(math.degrees(heel)) % _EVERY == 0
        ],
        heads=("heel", "righting arm", "moment", "origin deeper", "trim"),
        figures=(0, 1, 2, 3, 4),
        caption=f"Heel by heel. {CAVEAT}",
    )
    yield Words(text=CAVEAT, only="terminal")
    told = {
        "caveat": NOT_AN_ASSESSMENT,
        "side": standing.side,
        "metacentric_height_m": curve.gm,
        "upright_sinkage_m": curve.upright.attitude.sinkage,
        "upright_trim_rad": curve.upright.attitude.trim,
        "mass_kg": curve.mass,
        "righting_arms": [
            {"heel_rad": heel, "arm_m": arm + 0.0, "sinkage_m": sinkage, "trim_rad": trim}
            for heel, arm, sinkage, trim in points
        ],
        "largest_arm_heel_rad": curve.largest_arm_heel,
        "surface_over_table": standing.surface_over_table,
        "missing": None,
    }
    yield Data(values={f"stability.{name}": value for name, value in told.items()})


def _stability(standing: Standing, curve: RightingArmCurve, shown: Shown) -> list[Line]:
    """What is read off the righting arms."""

    def line(told: bool, label: str, text: str, remark: str, name: str, value: float | None) -> Line:
        return Line(*((label, text, remark) if told else ("", "", "")), f"stability.{name}", value)

    def area(metres: float | None) -> str:
        """Arm times angle."""
        if metres is None:
            return ""
        if shown.units == "imperial":
            return f"{math.degrees(metres / 0.0254):.1f} in deg"
        return f"{math.degrees(metres * 1e3):.0f} mm deg" if abs(metres) < 1.0 else f"{metres:.3f} m rad"

    begins, ends, spent = curve.positive_from, curve.vanishing, curve.area_spent
    positive, later = curve.positive_area, curve.later_area
    beyond = "beyond it she goes on over"
    if ends is None:
        beyond = "no arm rights her" if positive is None else "beyond the curve"
    elif ends > math.radians(179.5):
        beyond = "she rights herself from any heel"
    lolls = begins is not None and begins > math.radians(0.05)
    return [
        line(
            True,
            "Largest righting arm",
            fine_length(curve.largest_arm, shown),
            f"at {_degrees(curve.largest_arm_heel)} of heel",
            "largest_arm_m",
            curve.largest_arm,
        ),
        line(
            lolls,
            "Lies by herself at",
            _degrees(begins or 0.0),
            f"to {standing.side}",
            "positive_from_rad",
            begins,
        ),
        line(
            True,
            "Vanishing stability",
            _DASH if ends is None else _degrees(ends),
            beyond,
            "vanishing_rad",
            ends,
        ),
        line(
            positive is not None,
            "Positive area",
            area(positive),
            "work of heeling her so far, over her weight",
            "positive_area_m_rad",
            positive,
        ),
        line(
            later is not None and later < -1e-9,
            "Area beyond it",
            area(later),
            "to 180 degrees: what keeps her upside down",
            "area_after_vanishing_m_rad",
            later,
        ),
        line(
            spent is not None,
            "All of it given back at",
            _degrees(spent or 0.0),
            "",
            "area_spent_rad",
            spent,
        ),
    ]


def _wind(sailing: Sailing, shown: Shown) -> Iterator[Part]:
    rig, heel, wind = sailing.rig, sailing.heel, shown.speed(sailing.wind)
    yield Picture(
        draw=lambda: wind_heel_plot(sailing, shown),
        caption="Steady heel over wind: no gust, no roll, no crew.",
    )
    if not sailing.by_curve:
        yield Words(text=SMALL_ANGLES, only="report")
    lines = [
        Line(
            "Sail's arm",
            shown.length(rig.heeling_arm),
            "from its centre of effort down to the centre of lateral resistance at z = "
            f"{shown.length(sailing.lateral_z)}",
            "wind.heeling_arm_m",
        ),
        Line(
            "Side-force coefficient",
            f"{rig.coefficient:g}",
            rig.coefficient_source,
            "wind.force_coefficient",
            rig.coefficient,
        ),
    ]
    lines += [
        Line(
            f"Wind that heels her {math.degrees(one.heel):.0f}°",
            shown.speed(one.wind),
            "steady" if one.rests else "and on past it: no steady heel there",
        )
        for one in sailing.winds
    ]
    if sailing.wind_given:
        lines.append(
            Line(
                f"Heel in {wind}",
                _DASH if heel is None else _degrees(heel),
                "it lays her flat" if heel is None else "the plan's wind, steady",
            )
        )
    yield Table(rows=lines, heading="Heel under wind", caption=f"Heel under wind. {CAVEAT}")
    yield Words(text=CAVEAT if sailing.by_curve else f"{SMALL_ANGLES} {CAVEAT}", only="terminal")
    told = {
        "caveat": NOT_AN_ASSESSMENT,
        "sail_area_m2": rig.area,
        "lateral_z_m": sailing.lateral_z,
        "force_coefficient_source": rig.coefficient_source,
        "heel_exponent": rig.heel_exponent,
        "air_density_kg_m3": rig.air_density,
        "from": "righting arms" if sailing.by_curve else "GM sin(heel)",
        "wind_m_s": sailing.wind,
        "wind_given": sailing.wind_given,
        "heel_rad": heel,
        "side_force_n": sailing.side_force,
        "winds_for_heels": [
            {"heel_rad": one.heel, "wind_m_s": one.wind, "rests": one.rests} for one in sailing.winds
        ],
        "steady": [{"wind_m_s": speed, "heel_rad": angle} for speed, angle in sailing.steady],
    }
    yield Data(values={f"wind.{name}": value for name, value in told.items()})


def _leeway(sailing: Sailing, shown: Shown) -> Iterator[Part]:
    fin, force, heel = sailing.free_fin, sailing.side_force, sailing.heel
    lines = [
        Line(
            "Hull speed",
            shown.speed(sailing.hull_speed),
            "a wave as long as her waterline",
            "leeway.hull_speed_m_s",
        ),
        Line(
            "Fin that stands free",
            shown.area(fin.area),
            f"{shown.length(fin.span)} deep; effective aspect ratio {sailing.aspect_ratio:.2f}, the hull as a mirror",
            "leeway.free_fin_area_m2",
        ),
    ]
    if force is not None and heel is not None:
        whose = "the plan's wind" if sailing.wind_given else "the wind that heels her 20°"
        text = f"{force:.2f} N" if abs(force) < 100.0 else f"{force:.0f} N"
        if shown.units == "imperial":
            text = f"{force / (0.45359237 * STANDARD_GRAVITY):.2f} lbf"
        remark = f"of the sail in {shown.speed(sailing.wind)}, {whose}, at {_degrees(heel)} of heel"
        lines.append(Line("Side force", text, remark))
    for one in sailing.leeways:
        lines += _leeway_lines(one, sailing, shown)
    name = "Side force and leeway"
    yield Table(rows=lines, heading=name, caption=name)
    yield Words(text=LEEWAY_CAVEAT, style="caption")
    told = {
        "free_fin_span_m": fin.span,
        "effective_aspect_ratio": sailing.aspect_ratio,
        "limit_rad": sailing.limit,
        "formulas": [_formula(one) for one in sailing.leeways],
    }
    yield Data(values={f"leeway.{name}": value for name, value in told.items()})


def _leeway_lines(one: Leeway, sailing: Sailing, shown: Shown) -> Iterator[Line]:
    limit, passed, fin = _degrees(sailing.limit), one.at_limit, one.fin
    if one.leeway is not None:
        slope = f"lift slope {one.slope:.2f} a radian"
        yield Line(f"Leeway, {_FORMULAS[one.formula]}", _degrees(one.leeway), slope)
    upright = f"held upright it would be {shown.speed(passed.upright_wind)}"
    yield Line(
        f"{limit} passed at",
        _DASH if passed.wind is None else shown.speed(passed.wind),
        "she is laid flat before"
        if passed.wind is None or passed.heel is None
        else f"at {_degrees(passed.heel)} of heel; {upright}",
    )
    if fin is not None:
        deep = "" if fin.same_span_area is None else f"as deep as now {shown.area(fin.same_span_area)}; "
        yield Line(
            f"Fin that makes {limit} in this wind",
            shown.area(fin.same_shape_area),
            f"of the same shape, {shown.length(fin.same_shape_span)} deep; {deep}"
            f"with these chords {shown.length(fin.same_chord_span)} deep",
        )


def _formula(one: Leeway) -> Json:
    fin = one.fin
    return {
        "formula": one.formula,
        "lift_slope_per_rad": one.slope,
        "leeway_rad": one.leeway,
        "limit_passed_at_wind_m_s": one.at_limit.wind,
        "limit_passed_at_heel_rad": one.at_limit.heel,
        "limit_passed_upright_at_wind_m_s": one.at_limit.upright_wind,
        "fin_for_limit": None
        if fin is None
        else {
            "same_shape_area_m2": fin.same_shape_area,
            "same_shape_span_m": fin.same_shape_span,
            "same_span_area_m2": fin.same_span_area,
            "same_chord_area_m2": fin.same_chord_area,
            "same_chord_span_m": fin.same_chord_span,
        },
    }


def _scale(sailing: Sailing, shown: Shown) -> Iterator[Part]:
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
            ("heel", *(_degrees(one.heel) for one in three)),
            ("hull speed", *(shown.speed(one.speed) for one in three)),
            ("leeway", *(_degrees(one.leeway) for one in three)),
        ],
        heads=("", "she", f"{other}, same wind", f"{other}, scaled wind"),
        figures=(1, 2, 3),
        heading=name,
        caption=name,
    )
    yield Words(text=scale_needs(sailing, scale, shown))
    yield Words(text=OTHER_SIZES, style="caption", only="report")
    told = {
        "ratio": scale.ratio,
        **{place: _under_sail(one) for place, one in boats.items()},
        "like_wind_m_s": scale.like_wind,
        "metacentric_height_needed_m": scale.metacentric_height_needed,
        "metacentric_height_most_m": sailing.highest_gm,
        "fin_area_needed_m2": scale.fin_area_needed,
    }
    yield Data(values={"scale": told})


def _under_sail(one: UnderSail) -> Json:
    return {
        "waterline_m": one.boat.waterline,
        "mass_kg": one.boat.mass,
        "wind_m_s": one.wind,
        "speed_m_s": one.speed,
        "heel_rad": one.heel,
        "side_force_n": one.side_force,
        "leeway_rad": one.leeway,
    }


def scale_needs(sailing: Sailing, scale: ScaleComparison, shown: Shown) -> str:
    """What she would need to stand as the other size does in the same wind.

    Args:
        sailing: Her own.
        scale: Her at the other size.
        shown: The builder's units.
    """
    wind = shown.speed(scale.here.wind)
    as_there = (
        f"In {shown.speed(scale.like_wind)} she heels as she does at {scale.ratio:g} times the length in "
        f"{wind}."
    )
    if scale.metacentric_height_needed > sailing.highest_gm:
        # A figure that nothing reaches is no advice.
        return (
            f"{as_there} In {wind} itself no ballast on this fin stands her up so, not even with all her mass at the "
            "bulb's underside: carry less sail instead."
        )
    return (
        f"{as_there} To do so in {wind} she would need a GM of {shown.length(scale.metacentric_height_needed)} in place of "
        f"{shown.length(scale.here.boat.metacentric_height)}, by GM sin(heel), and at that heel "
        f"{shown.area(scale.fin_area_needed)} of fin in place of {shown.area(sailing.free_fin.area)} for the same leeway."
    )


def _trade(trade: Trade | None, sailing: Sailing, shown: Shown) -> Iterator[Part]:
    if trade is None:
        yield Words(text=NOT_TRADED, style="caption")
        yield Data(values={"trade": None})
        return
    yield Picture(
        draw=lambda: trade_plot(trade, shown),
        caption="Deeper or heavier: the steady wind that heels her 30 degrees. The ring is the plan.",
    )
    yield Table(
        rows=[_traded(one, shown) for one in trade.cells],
        heads=("fin's tip", "bulb", "floats deeper by", "GM", "20°", "30°", "45°", "heel"),
        figures=tuple(range(8)),
        caption=f"Other bulbs on other fins: winds for 20, 30 and 45 degrees, and heel in {shown.speed(sailing.wind)}. "
        f"{CAVEAT}",
        only="report",
    )
    # On the terminal the wind for 30 degrees alone, a row for each depth and a column for each mass.
    grid = [
        (
            worded("{} deep", shown.length(-level)),
            *(_DASH if not one.winds else shown.speed(one.winds[1].wind) for one in trade.row(tip)),
        )
        for tip, level in enumerate(trade.tips)
    ]
    yield Table(
        rows=grid,
        heads=("tip", *(shown.mass(mass) for mass in trade.masses)),
        figures=tuple(range(1, 1 + len(trade.masses))),
        heading="Deeper or heavier: the wind that heels her 30 degrees",
        only="terminal",
    )
    for told in _trade_words(trade, shown):
        yield Words(text=told, style="caption")
    yield Words(text=CAVEAT, only="terminal")
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
    """Depth, mass, sinkage, GM, the winds for 20, 30 and 45 degrees, the heel in the wind."""
    place = (shown.length(-one.tip_z), shown.mass(one.mass))
    if one.gm is None:
        return (*place, *((_DASH,) * 6))
    return (
        *place,
        _DASH if one.sinkage is None else fine_length(one.sinkage, shown),
        fine_length(one.gm, shown),
        *(shown.speed(wind.wind) + ("" if wind.rests else " *") for wind in one.winds),
        _DASH if one.heel is None else _degrees(one.heel),
    )


def _trade_words(trade: Trade, shown: Shown) -> Iterator[str]:
    """What the answers say, in sentences."""
    if trade.depth_worth is not None:
        step = 0.0254 if shown.units == "imperial" else 0.010
        yield (
            f"Near the plan, {shown.length(step)} of depth does as much against the wind as "
            f"{shown.mass(step * trade.depth_worth)} of bulb; depth costs draught and fin, mass costs "
            "freeboard unless as much stays ashore."
        )
    mass = (
        "The fin's mass goes with its volume."
        if trade.fin_scaled
        else "The fin's own mass is not told apart, so that it stays what it is."
    )
    yield (
        "Each answer is worked out anew: the bulb sized and placed, she afloat at the mass she then has, the weigh-in as it "
        f"is. {mass} Chords and the rake of the leading edge stay as they are; a deeper fin lowers the centre of lateral "
        "resistance where that is not given."
    )
    failed = sorted({one.missing for one in trade.cells if one.missing})
    yield from (f"No answer: {reason}" for reason in failed[:3])
    if any(not wind.rests for one in trade.cells for wind in one.winds):
        yield "* She does not rest at that heel: this wind takes her past it."
