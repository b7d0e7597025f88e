"""How the boat stands up in words and rows, shared by report and terminal."""

from __future__ import annotations

import math

from bulbcast.quantities import Shown, worded
from bulbcast.quantities.showing import fine_length
from bulbcast.sailing.leeway import WHICKER_FEHLNER
from bulbcast.sailing.sailing_work import Leeway, Sailing
from bulbcast.sailing.scale import UnderSail
from bulbcast.sailing.trade import LARGEST_TRADED, Trade, Traded
from bulbcast.sailing.views import CAVEAT as CAVEAT
from bulbcast.sailing.work import Standing

_FORMULAS = {"helmbold": "Helmbold", WHICKER_FEHLNER: "Whicker and Fehlner"}
_DASH = "\u2013"
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


def degrees(radians: float) -> str:
    """An angle as tables show it: "35.3°"."""
    text = f"{math.degrees(radians):.1f}"
    return f"{'0.0' if text == '-0.0' else text}°"


def force(newtons: float, shown: Shown) -> str:
    """A force: N, or pounds-force."""
    if shown.units == "imperial":
        return f"{newtons / (0.45359237 * 9.80665):.2f} lbf"
    return f"{newtons:.2f} N" if abs(newtons) < 100.0 else f"{newtons:.0f} N"


def stability_rows(standing: Standing, shown: Shown) -> list[tuple[str, str, str]]:
    """What is read off the righting arms; empty where there are none.

    Args:
        standing: From the job.
        shown: The builder's units.
    """
    curve = standing.curve
    if curve is None:
        return []
    rows = [
        (
            "Largest righting arm",
            fine_length(curve.largest_arm, shown),
            f"at {degrees(curve.largest_arm_heel)} of heel",
        ),
    ]
    if curve.positive_from is not None and curve.positive_from > math.radians(0.05):
        rows.append(("Lies by herself at", degrees(curve.positive_from), f"to {standing.side}"))
    if curve.vanishing is None:
        none = curve.positive_area is None
        rows.append(("Vanishing stability", _DASH, "no arm rights her" if none else "beyond the curve"))
    elif curve.vanishing > math.radians(179.5):
        rows.append(("Vanishing stability", degrees(curve.vanishing), "she rights herself from any heel"))
    else:
        rows.append(("Vanishing stability", degrees(curve.vanishing), "beyond it she goes on over"))
    if curve.positive_area is not None:
        rows.append(
            (
                "Positive area",
                _area(curve.positive_area, shown),
                "work of heeling her so far, over her weight",
            )
        )
    if curve.later_area is not None and curve.later_area < -1e-9:
        rows.append(
            ("Area beyond it", _area(curve.later_area, shown), "to 180 degrees: what keeps her upside down")
        )
    if curve.area_spent is not None:
        rows.append(("All of it given back at", degrees(curve.area_spent), ""))
    return rows


def _area(metres: float, shown: Shown) -> str:
    """Arm times angle."""
    if shown.units == "imperial":
        return f"{math.degrees(metres / 0.0254):.1f} in deg"
    return f"{math.degrees(metres * 1e3):.0f} mm deg" if abs(metres) < 1.0 else f"{metres:.3f} m rad"


def arm_rows(standing: Standing, shown: Shown, every: int) -> list[tuple[str, str, str, str, str]]:
    """Heel, righting arm, righting moment, sinkage, trim; empty where there is no curve.

    Args:
        standing: From the job.
        shown: The builder's units.
        every: Degrees from row to row, a multiple of 5. [deg]
    """
    curve = standing.curve
    if curve is None:
        return []
    return [
        (
            f"{math.degrees(heel):.0f}°",
            fine_length(arm, shown),
            shown.torque(arm * curve.mass * 9.80665),
            fine_length(sinkage, shown),
            degrees(trim),
        )
        for heel, arm, sinkage, trim in zip(curve.heels, curve.arms, curve.sinkages, curve.trims, strict=True)
        if round(math.degrees(heel)) % every == 0
    ]


ARM_HEADS = ("heel", "righting arm", "moment", "origin deeper", "trim")


def wind_rows(sailing: Sailing, shown: Shown) -> list[tuple[str, str, str]]:
    """Heel under wind: what, how much, what it means.

    Args:
        sailing: From the job.
        shown: The builder's units.
    """
    rig = sailing.rig
    rows = [
        (
            "Sail's arm",
            shown.length(rig.heeling_arm),
            "from its centre of effort down to the centre of lateral resistance at z = "
            f"{shown.length(sailing.lateral_z)}",
        ),
        ("Side-force coefficient", f"{rig.coefficient:g}", rig.coefficient_source),
    ]
    for one in sailing.winds:
        rows.append(
            (
                f"Wind that heels her {math.degrees(one.heel):.0f}°",
                shown.speed(one.wind),
                "steady" if one.rests else "and on past it: no steady heel there",
            )
        )
    if sailing.wind_given:
        rows.append(
            (
                f"Heel in {shown.speed(sailing.wind)}",
                _DASH if sailing.heel is None else degrees(sailing.heel),
                "it lays her flat" if sailing.heel is None else "the plan's wind, steady",
            )
        )
    return rows


def leeway_rows(sailing: Sailing, shown: Shown) -> list[tuple[str, str, str]]:
    """Side force and leeway: what, how much, what it means.

    Args:
        sailing: From the job.
        shown: The builder's units.
    """
    fin = sailing.free_fin
    rows = [
        ("Hull speed", shown.speed(sailing.hull_speed), "a wave as long as her waterline"),
        (
            "Fin that stands free",
            shown.area(fin.area),
            f"{shown.length(fin.span)} deep; effective aspect ratio {sailing.aspect_ratio:.2f}, the hull as a mirror",
        ),
    ]
    if sailing.side_force is not None and sailing.heel is not None:
        whose = "the plan's wind" if sailing.wind_given else "the wind that heels her 20°"
        rows.append(
            (
                "Side force",
                force(sailing.side_force, shown),
                f"of the sail in {shown.speed(sailing.wind)}, {whose}, at {degrees(sailing.heel)} of heel",
            )
        )
    for one in sailing.leeways:
        rows += _leeway_rows(one, sailing, shown)
    return rows


def _leeway_rows(one: Leeway, sailing: Sailing, shown: Shown) -> list[tuple[str, str, str]]:
    name = _FORMULAS[one.formula]
    rows = []
    if one.leeway is not None:
        rows.append((f"Leeway, {name}", degrees(one.leeway), f"lift slope {one.slope:.2f} a radian"))
    wind = one.at_limit.wind
    rows.append(
        (
            f"{degrees(sailing.limit)} passed at",
            _DASH if wind is None else shown.speed(wind),
            "she is laid flat before"
            if wind is None or one.at_limit.heel is None
            else f"at {degrees(one.at_limit.heel)} of heel; held upright it would be "
            f"{shown.speed(one.at_limit.upright_wind)}",
        )
    )
    if one.fin is not None:
        ways = (
            [f"as deep as now {shown.area(one.fin.same_span_area)}"]
            if one.fin.same_span_area is not None
            else []
        )
        ways.append(f"with these chords {shown.length(one.fin.same_chord_span)} deep")
        rows.append(
            (
                f"Fin that makes {degrees(sailing.limit)} in this wind",
                shown.area(one.fin.same_shape_area),
                f"of the same shape, {shown.length(one.fin.same_shape_span)} deep; {'; '.join(ways)}",
            )
        )
    return rows


def scale_heads(sailing: Sailing) -> tuple[str, str, str, str]:
    """Heads of the columns of `scale_rows`.

    Args:
        sailing: From the job.
    """
    other = "smaller" if sailing.scale is not None and sailing.scale.ratio < 1.0 else "full size"
    return "", "she", f"{other}, same wind", f"{other}, scaled wind"


def scale_rows(sailing: Sailing, shown: Shown) -> list[tuple[str, str, str, str]]:
    """The same boat at another size, side by side; empty where none is compared.

    Args:
        sailing: From the job.
        shown: The builder's units.
    """
    scale = sailing.scale
    if scale is None:
        return []
    three: tuple[UnderSail, UnderSail, UnderSail] = (scale.here, scale.same_wind, scale.scaled_wind)
    rows = [
        ("waterline", *(shown.length(one.boat.waterline) for one in three)),
        ("mass", *(shown.mass(one.boat.mass) for one in three)),
        ("sail", *(shown.area(one.boat.rig.area) for one in three)),
        ("wind", *(shown.speed(one.wind) for one in three)),
        ("heel", *(degrees(one.heel) for one in three)),
        ("hull speed", *(shown.speed(one.speed) for one in three)),
        ("leeway", *(degrees(one.leeway) for one in three)),
    ]
    return [(a, b, c, d) for a, b, c, d in rows]


def scale_needs(sailing: Sailing, shown: Shown) -> str:
    """What she would need to stand as the other size does in the same wind; empty where none is compared."""
    scale = sailing.scale
    if scale is None:
        return ""
    as_there = (
        f"In {shown.speed(scale.like_wind)} she heels as she does at {scale.ratio:g} times the length in "
    )
    as_there += f"{shown.speed(scale.here.wind)}."
    if scale.metacentric_height_needed > sailing.highest_gm:
        # A figure that nothing reaches is no advice.
        return (
            f"{as_there} In {shown.speed(scale.here.wind)} itself no ballast on this fin stands her up so, not even with "
            "all her mass at the bulb's underside: carry less sail instead."
        )
    return (
        f"{as_there} To do so in {shown.speed(scale.here.wind)} she would need a GM of "
        f"{shown.length(scale.metacentric_height_needed)} in place of "
        f"{shown.length(scale.here.boat.metacentric_height)}, by GM sin(heel), and at that heel "
        f"{shown.area(scale.fin_area_needed)} of fin in place of {shown.area(sailing.free_fin.area)} for the same leeway."
    )


TRADE_HEADS = ("fin's tip", "bulb", "floats deeper by", "GM", "20°", "30°", "45°", "heel")


def trade_rows(trade: Trade, shown: Shown) -> list[tuple[str, ...]]:
    """Every answer: depth, mass, sinkage, GM, the winds for 20, 30 and 45 degrees, the heel in the wind.

    Args:
        trade: From the job.
        shown: The builder's units.
    """
    return [_trade_row(one, shown) for one in trade.cells]


def _trade_row(one: Traded, shown: Shown) -> tuple[str, ...]:
    place = (shown.length(-one.tip_z), shown.mass(one.mass))
    if one.gm is None:
        return (*place, *((_DASH,) * 6))
    return (
        *place,
        _DASH if one.sinkage is None else fine_length(one.sinkage, shown),
        fine_length(one.gm, shown),
        *(shown.speed(wind.wind) + ("" if wind.rests else " *") for wind in one.winds),
        _DASH if one.heel is None else degrees(one.heel),
    )


def trade_grid(trade: Trade, shown: Shown) -> list[tuple[str, ...]]:
    """The wind for 30 degrees, a row for each depth and a column for each mass, headed.

    Args:
        trade: From the job.
        shown: The builder's units.
    """
    rows: list[tuple[str, ...]] = [("tip", *(shown.mass(mass) for mass in trade.masses))]
    for tip, level in enumerate(trade.tips):
        winds = [_DASH if not one.winds else shown.speed(one.winds[1].wind) for one in trade.row(tip)]
        rows.append((worded("{} deep", shown.length(-level)), *winds))
    return rows


def trade_words(trade: Trade, shown: Shown) -> list[str]:
    """What the grid says, in sentences.

    Args:
        trade: From the job.
        shown: The builder's units.
    """
    told = []
    if trade.depth_worth is not None:
        step = 0.0254 if shown.units == "imperial" else 0.010
        told.append(
            f"Near the plan, {shown.length(step)} of depth does as much against the wind as "
            f"{shown.mass(step * trade.depth_worth)} of bulb; depth costs draught and fin, mass costs "
            "freeboard unless as much stays ashore."
        )
    told.append(
        "Each answer is worked out anew: the bulb sized and placed, she afloat at the mass she then has, the "
        "weigh-in as it is. "
        + (
            "The fin's mass goes with its volume."
            if trade.fin_scaled
            else "The fin's own mass is not told apart, so that it stays what it is."
        )
        + " Chords and the rake of the leading edge stay as they are; a deeper fin lowers the centre of lateral "
        "resistance where that is not given."
    )
    failed = sorted({one.missing for one in trade.cells if one.missing})
    told += [f"No answer: {reason}" for reason in failed[:3]]
    if any(not wind.rests for one in trade.cells for wind in one.winds):
        told.append("* She does not rest at that heel: this wind takes her past it.")
    return told
