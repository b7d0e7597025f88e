"""Chapter on stability and sailing: righting arms, heel and leeway in a wind, other sizes, and a deeper or heavier bulb.

The chapter appears in the report, in plan.json and in the output of `bulbcast ballast`.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import TYPE_CHECKING

from bulbcast.quantities import Shown
from bulbcast.quantities.checked import STANDARD_GRAVITY
from bulbcast.quantities.showing import fine_length
from bulbcast.report.chapter import Chapter, Data, Gap, Heading, Json, Line, Part, Picture, Table, Words
from bulbcast.report.values import values_of
from bulbcast.sailing.leeway import HELMBOLD, WHICKER_FEHLNER
from bulbcast.sailing.other_boats import DASH, at_other_sizes, deeper_or_heavier, degrees
from bulbcast.sailing.results import SailingResults
from bulbcast.sailing.righting import RightingArmCurve
from bulbcast.sailing.sailing_work import Leeway, Sailing
from bulbcast.sailing.views import righting_arm_plot, wind_heel_plot
from bulbcast.sailing.work import Standing

if TYPE_CHECKING:
    from bulbcast.drawing.shapes import View

CAVEAT = "This is not a stability assessment. It does not include the crew, downflooding, swamping or shifting weights."
NOT_AN_ASSESSMENT = "not a stability assessment; crew, downflooding and swamping are not included"
"""Wording of `CAVEAT` in plan.json."""

SMALL_ANGLES = "The hull's shape is not known, so heel is calculated from GM sin(heel), which is valid only at small angles."
LEEWAY_CAVEAT = (
    "Leeway is given at hull speed. It varies inversely with the speed squared, so at half the speed it is four times as "
    "large. Side force from the rudder and the hull is not counted."
)
_FORMULAS = {HELMBOLD: "Helmbold", WHICKER_FEHLNER: "Whicker and Fehlner"}
_EVERY = 10
"""Step between the rows of the table of righting arms. It must be a multiple of 5. [degrees]"""


def judged(standing: Standing | None) -> bool:
    """Whether the chapter contains anything that could be mistaken for a stability assessment.

    Args:
        standing: Results on stability; None if not calculated.
    """
    return standing is not None and (standing.curve is not None or standing.sailing is not None)


def standing_chapter(job: SailingResults, standing: Standing) -> Chapter:
    """Make the chapter on stability and sailing.

    Args:
        job: The results.
        standing: Results on stability, calculated from the results of `job`.
    """
    shown, sailing, rigged = job.shown, standing.sailing, job.plan.rig is not None
    # The caveat appears once, before anything that could be taken for a stability assessment.
    parts: list[Part] = [Words(text=CAVEAT)] if judged(standing) else []
    if standing.curve is not None:
        parts += _righting(job, standing, standing.curve)
    else:
        missing = standing.curve_missing
        if rigged:
            parts += [Heading(text="Righting arms"), Words(text=missing)]
        values: Json = {"caveat": NOT_AN_ASSESSMENT, "righting_arms": None, "missing": missing}
        parts.append(Data(values={f"stability.{name}": value for name, value in values.items()}))
    if sailing is not None:
        parts += [*_wind(sailing, shown), *_leeway(sailing, shown), *at_other_sizes(sailing, shown)]
        parts += deeper_or_heavier(standing.trade, sailing, shown)
    elif standing.sailing_missing:
        parts += [Words(text=standing.sailing_missing)]
        parts.append(Data(values={"wind": {"missing": standing.sailing_missing}}))
    return Chapter(
        name="standing",
        title="Righting and heel",
        step="float",
        at="boat",
        only="report",
        parts=parts,
    )


def _righting(job: SailingResults, standing: Standing, curve: RightingArmCurve) -> Iterator[Part]:
    shown = job.shown

    def heeled() -> View | None:
        from bulbcast.sailing.heeled import heeled_boat
        from bulbcast.sailing.heeled_view import heeled_view

        found = None if job.boat is None else heeled_boat(job.plan, job.boat, standing)
        return None if found is None else heeled_view(job, found)

    seen = "aft" if standing.side == "starboard" else "ahead"
    yield Picture(
        draw=heeled, caption=f"{{title}}. View from {seen}, with the largest section of the hull. {{scale}}."
    )
    yield Picture(
        draw=lambda: righting_arm_plot(standing, shown),
        caption=f"{{title}}. Sinkage and trim are free, and heel is to {standing.side}. The volumes and masses of the "
        f"hull, fin{', rudder' if job.plan.rudder is not None else ''} and bulb are included. The dashed line is "
        "the wind's heeling arm, if a rig is given. A kink shows where the bulb and fin leave the water, or where "
        "the deck goes under.",
    )
    yield Table(
        rows=_stability(standing, curve, shown),
        heading=f"Righting arms, heeled to {standing.side}",
        caption="Righting arms",
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
                degrees(trim),
            )
            for heel, arm, sinkage, trim in points
            if round(math.degrees(heel)) % _EVERY == 0
        ],
        heads=("heel", "righting arm", "moment", "sinkage", "trim"),
        figures=(0, 1, 2, 3, 4),
        caption="Righting arms by angle of heel",
    )
    said = {
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
    yield Data(values={f"stability.{name}": value for name, value in said.items()})


def _stability(standing: Standing, curve: RightingArmCurve, shown: Shown) -> list[Line]:
    """Table of figures taken from the righting arms."""

    def line(said: bool, label: str, text: str, remark: str, name: str, value: float | None) -> Line:
        return Line(*((label, text, remark) if said else ("", "", "")), f"stability.{name}", value)

    def area(metres: float | None) -> str:
        """Text for an area under the righting arm curve, an arm times an angle."""
        if metres is None:
            return ""
        if shown.units == "imperial":
            return f"{math.degrees(metres / 0.0254):.1f} in deg"
        return f"{math.degrees(metres * 1e3):.0f} mm deg" if abs(metres) < 1.0 else f"{metres:.3f} m rad"

    begins, ends, spent = curve.positive_from, curve.vanishing, curve.area_spent
    positive, later = curve.positive_area, curve.later_area
    beyond = "beyond it the boat turns over"
    if ends is None:
        beyond = "the righting arm is not positive at any heel" if positive is None else "beyond the curve"
    elif ends > math.radians(179.5):
        beyond = "the boat rights herself from any heel"
    lolls = begins is not None and begins > math.radians(0.05)
    return [
        line(
            True,
            "Maximum righting arm",
            fine_length(curve.largest_arm, shown),
            f"at {degrees(curve.largest_arm_heel)} of heel",
            "largest_arm_m",
            curve.largest_arm,
        ),
        line(
            lolls,
            "Heel at rest without wind",
            degrees(begins or 0.0),
            f"to {standing.side}",
            "positive_from_rad",
            begins,
        ),
        line(
            True,
            "Angle of vanishing stability",
            DASH if ends is None else degrees(ends),
            beyond,
            "vanishing_rad",
            ends,
        ),
        line(
            positive is not None,
            "Positive area",
            area(positive),
            "work needed to heel the boat that far, divided by the boat's weight",
            "positive_area_m_rad",
            positive,
        ),
        line(
            later is not None and later < -1e-9,
            "Area beyond vanishing stability",
            area(later),
            "up to 180 degrees; negative area keeps the boat upside down",
            "area_after_vanishing_m_rad",
            later,
        ),
        line(
            spent is not None,
            "Heel at which the positive area is used up",
            degrees(spent or 0.0),
            "",
            "area_spent_rad",
            spent,
        ),
    ]


def _wind(sailing: Sailing, shown: Shown) -> Iterator[Part]:
    rig, heel, wind = sailing.rig, sailing.heel, shown.speed(sailing.wind)
    yield Picture(
        draw=lambda: wind_heel_plot(sailing, shown),
        caption="{title}. Gusts, rolling and crew are not included.",
    )
    low, side = shown.length(sailing.lateral_z), rig.coefficient
    arm = f"from the sail's centre of effort down to the centre of lateral resistance at z = {low}"
    lines = [
        Line("Heeling arm of the sail", shown.length(rig.heeling_arm), arm, "wind.heeling_arm_m"),
        Line("Side-force coefficient", f"{side:g}", rig.coefficient_source, "wind.force_coefficient", side),
    ]
    lines += [
        Line(
            f"Wind that heels the boat {math.degrees(one.heel):.0f}°",
            shown.speed(one.wind),
            "steady" if one.rests else "not steady: the boat heels further",
        )
        for one in sailing.winds
    ]
    if sailing.wind_given:
        lines.append(
            Line(
                f"Heel in {wind}",
                DASH if heel is None else degrees(heel),
                "this wind lays the boat flat" if heel is None else "in the plan's wind, if steady",
            )
        )
    yield Table(rows=lines, heading="Heel under wind", caption="Heel under wind")
    if not sailing.by_curve:
        yield Words(text=SMALL_ANGLES)
    said = {
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
        "winds_for_heels": [values_of(one, "heel_rad", "wind_m_s", "rests") for one in sailing.winds],
        "steady": [{"wind_m_s": speed, "heel_rad": angle} for speed, angle in sailing.steady],
    }
    yield Data(values={f"wind.{name}": value for name, value in said.items()})


def _leeway(sailing: Sailing, shown: Shown) -> Iterator[Part]:
    fin, force, heel = sailing.free_fin, sailing.side_force, sailing.heel
    wave, aspect = "speed of a wave as long as the waterline", f"{sailing.aspect_ratio:.2f}"
    free = f"{shown.length(fin.span)} deep; effective aspect ratio {aspect}, with the hull acting as a mirror"
    lines = [
        Line("Hull speed", shown.speed(sailing.hull_speed), wave, "leeway.hull_speed_m_s"),
        Line("Exposed fin", shown.area(fin.area), free, "leeway.free_fin_area_m2"),
    ]
    if force is not None and heel is not None:
        whose = "the plan's wind" if sailing.wind_given else "the wind that heels the boat 20°"
        text = f"{force:.2f} N" if abs(force) < 100.0 else f"{force:.0f} N"
        if shown.units == "imperial":
            text = f"{force / (0.45359237 * STANDARD_GRAVITY):.2f} lbf"
        remark = f"on the sail in {shown.speed(sailing.wind)}, {whose}, at {degrees(heel)} of heel"
        lines.append(Line("Side force", text, remark))
    for one in sailing.leeways:
        lines += _leeway_lines(one, sailing, shown)
    name = "Side force and leeway"
    yield Table(rows=lines, heading=name, caption=name)
    yield Words(text=LEEWAY_CAVEAT, style="caption")
    said = {
        "free_fin_span_m": fin.span,
        "effective_aspect_ratio": sailing.aspect_ratio,
        "limit_rad": sailing.limit,
        "formulas": [_formula(one) for one in sailing.leeways],
    }
    yield Data(values={f"leeway.{name}": value for name, value in said.items()})


def _leeway_lines(one: Leeway, sailing: Sailing, shown: Shown) -> Iterator[Line]:
    limit, passed, fin = degrees(sailing.limit), one.at_limit, one.fin
    if one.leeway is not None:
        slope = f"lift slope {one.slope:.2f} per radian"
        yield Line(f"Leeway, {_FORMULAS[one.formula]}", degrees(one.leeway), slope)
    upright = f"at {shown.speed(passed.upright_wind)} if the boat were held upright"
    yield Line(
        f"{limit} exceeded at",
        DASH if passed.wind is None else shown.speed(passed.wind),
        "the boat is laid flat first"
        if passed.wind is None or passed.heel is None
        else f"at {degrees(passed.heel)} of heel; {upright}",
    )
    if fin is not None:
        deep = (
            "" if fin.same_span_area is None else f"at the present depth, {shown.area(fin.same_span_area)}; "
        )
        yield Line(
            f"Fin needed for {limit} in this wind",
            shown.area(fin.same_shape_area),
            f"with the same shape, {shown.length(fin.same_shape_span)} deep; {deep}"
            f"with the present chords, {shown.length(fin.same_chord_span)} deep",
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
        else values_of(
            fin,
            "same_shape_area_m2",
            "same_shape_span_m",
            "same_span_area_m2",
            "same_chord_area_m2",
            "same_chord_span_m",
        ),
    }
