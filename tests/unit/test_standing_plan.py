"""Effects of a plan's rudder and rig on the target, righting arms, heel, leeway, other sizes and other bulbs."""

from __future__ import annotations

import json
import math
import re
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from types import ModuleType
from typing import Any, Literal

import numpy as np
import pytest
from plans import EXAMPLES, command, example_text, the_finding

from bulbcast.ballast.for_boat import BoatWish, BulbForBoat, HardlyAnyLeadError, size_for_boat
from bulbcast.ballast.work import loaded
from bulbcast.bulb.hung.wish import BulbWish
from bulbcast.compare.columns import boat_figures
from bulbcast.drawing.shapes import Circle, Line, Polyline, Region, Style, Text, View, text_box
from bulbcast.files.plan_file import load_plan
from bulbcast.hull.hydrostatics import hydrostatics
from bulbcast.job import Job, run
from bulbcast.job.ballast_text import ballast_text
from bulbcast.job.html import report_html
from bulbcast.job.plan_json import plan_object
from bulbcast.plan.reading import read_plan
from bulbcast.quantities import Shown
from bulbcast.sailing import trade as trade_room
from bulbcast.sailing import work as standing_room
from bulbcast.sailing.other_boats import scale_needs
from bulbcast.sailing.righting_work import afloat_surface
from bulbcast.sailing.rules import check_curve
from bulbcast.sailing.trade import TRADE_DEPTH_STEPS, TRADE_MASS_STEPS, plan_at_depth
from bulbcast.sailing.views import righting_arm_plot, trade_plot, wind_heel_plot
from bulbcast.sailing.wind_heel import ArmsByHeel, heel_on_curve

LARKMOSS = example_text("larkmoss")
CAVEAT = "This is not a stability assessment. It does not include the crew, downflooding, swamping or shifting weights."

BARE = """\
name = "Sedgewarden"
[water]
density = "1000 kg/m3"
[boat]
hull_displacement = "4 kg"
waterline_length = "900 mm"
buoyancy_x = "460 mm"
buoyancy_z = "-20 mm"
metacentric_radius = "60 mm"
[[weights]]
name = "all of her"
mass = "1.9 kg"
x = "440 mm"
z = "20 mm"
state = "weighed"
[bulb]
profile = "spheroid"
fineness = 6.0
tail_diameter = "0 mm"
[alloy]
density = "11 g/cm3"
porosity = "0 %"
[fin]
tip_chord = "70 mm"
tip_thickness = "7 mm"
tip_leading_edge_x = "450 mm"
tip_z = "-330 mm"
root_chord = "90 mm"
root_thickness = "9 mm"
root_leading_edge_x = "435 mm"
root_z = "-40 mm"
density = "1.5 g/cm3"
"""
RIGGED = """\
[rig]
sail_area = "4000 cm2"
effort_z = "600 mm"
wind = "4 m/s"
"""
RUDDER = """\
[rudder]
root_chord = "50 mm"
tip_chord = "50 mm"
root_thickness = "5 mm"
tip_thickness = "5 mm"
root_leading_edge_x = "820 mm"
tip_leading_edge_x = "820 mm"
root_z = "-10 mm"
tip_z = "-130 mm"
mass = "40 g"
"""
RIG = """\
[rig]
sail_area = "3000 cm2"
effort_z = "600 mm"
wind = "3 m/s"
"""
# Area of the four-digit section over chord and thickness, and its centroid in chords: exact sums (NACA TR-460).
AREA, CENTROID = 0.68508333333, 0.42043547014
RUDDER_VOLUME = AREA * 0.05 * 0.005 * 0.12


def written(folder: Path, text: str, *changes: tuple[str, str]) -> Path:
    for old, new in changes:
        assert old in text
        text = text.replace(old, new, 1)
    name = "larkmoss-offsets.csv"
    (folder / name).write_bytes((EXAMPLES / name).read_bytes())
    path = folder / "plan.toml"
    path.write_text(text, encoding="utf-8")
    return path


def job_of(
    folder: Path, text: str, *changes: tuple[str, str], standing: Literal["whole", "briefly"] = "briefly"
) -> Job:
    """Job of a plan, by default with righting arms to 60 degrees and without other bulbs."""
    return run(*load_plan(written(folder, text, *changes)), standing=standing)


def planned(folder: Path, text: str, *changes: tuple[str, str]) -> dict[str, Any]:
    found: dict[str, Any] = json.loads(json.dumps(plan_object(job_of(folder, text, *changes))))
    return found


def codes(plan: dict[str, Any]) -> set[str]:
    return {one["code"] for one in plan["findings"]}


@pytest.fixture(scope="module")
def larkmoss(example_job: Callable[[str], Job]) -> Job:
    return example_job("larkmoss")


@pytest.fixture(scope="module")
def surface_plan(tmp_path_factory: pytest.TempPathFactory, maker: ModuleType) -> Path:
    """Path of the example with the hull as a surface."""
    folder = tmp_path_factory.mktemp("surface")
    (folder / "hull.stl").write_bytes(maker.stl(maker.surface()))
    path = folder / "plan.toml"
    path.write_text(
        LARKMOSS.replace('offsets = "larkmoss-offsets.csv"', 'hull = "hull.stl"'), encoding="utf-8"
    )
    return path


@pytest.fixture(scope="module")
def surfaced(surface_plan: Path) -> Job:
    return run(*load_plan(surface_plan))


def test_an_imposed_mass_is_not_blamed_for_what_the_trim_does(surface_plan: Path, surfaced: Job) -> None:
    text = surface_plan.read_text(encoding="utf-8")
    for place in (0.1, 0.9):
        asked = text.replace(
            'profile = "naca4"', f'target_mass = "{surfaced.bulb.mass!r} kg"\nprofile = "naca4"'
        )
        asked = asked.replace('= "140 mm"', '= "240 mm"').replace(
            '= "180 mm"', f'= "280 mm"\ncarry_at = {place}'
        )
        path = surface_plan.with_name("imposed.toml")
        path.write_text(asked, encoding="utf-8")
        job = run(*load_plan(path), standing="briefly")
        assert job.boat is not None
        assert job.boat.lies is not None
        assert job.boat.flotation is not None
        assert job.boat.level_sinkage is not None
        # Her mass is right to a decigram; off her place she trims by millimetres, and lies higher for that alone.
        assert abs(job.boat.lies.trim) > 5e-3
        assert job.boat.lies.sinkage < -2e-5
        level = job.boat.over[0] / job.boat.flotation.mass_per_immersion
        assert job.boat.level_sinkage == pytest.approx(level, abs=1e-7)
        finding = the_finding(job, "mass-imposed")
        heavier = "heavier" in finding.message
        assert finding.message.endswith(
            f"she floats {job.shown.length(abs(level))} {'deeper' if heavier else 'higher'}."
        )


# The rudder


def test_a_rudder_takes_its_water_less_its_mass_over_the_leads_apparent_weight(tmp_path: Path) -> None:
    without = planned(tmp_path, BARE)["boat"]["target"]
    with_it = planned(tmp_path, BARE + RUDDER)["boat"]["target"]
    more = (1000.0 * RUDDER_VOLUME - 0.040) / (1.0 - 1000.0 / 11000.0)
    assert with_it["lead_alone_kg"] - without["lead_alone_kg"] == pytest.approx(more, rel=1e-9)
    # The shaped bulb, a spheroid without cuts, is the closed form: so is its share of the rudder.
    assert with_it["mass_kg"] - without["mass_kg"] == pytest.approx(more, rel=1e-6)
    x = 0.820 + CENTROID * 0.050
    moment = with_it["lead_alone_kg"] * with_it["lead_alone_x_m"]
    before = without["lead_alone_kg"] * without["lead_alone_x_m"]
    assert moment - before == pytest.approx(more * x, rel=1e-9)


def test_a_rudder_that_hangs_at_the_transom_displaces_only_what_is_under_water(tmp_path: Path) -> None:
    plan = planned(
        tmp_path, BARE + RUDDER, ('root_z = "-10 mm"\ntip_z = "-130', 'root_z = "60 mm"\ntip_z = "-120')
    )
    found = plan["boat"]["rudder"]
    assert found["volume_m3"] == pytest.approx(RUDDER_VOLUME, rel=1e-9)
    assert found["volume_centre_z_m"] == pytest.approx(-0.060, abs=1e-12)
    line = next(one for one in plan["boat"]["weights"] if one["name"] == "rudder")
    assert line["place_m"]["z"] == pytest.approx(-0.030, abs=1e-12)


def test_a_rudder_of_a_density_weighs_its_whole_volume(tmp_path: Path) -> None:
    plan = planned(tmp_path, BARE + RUDDER, ('mass = "40 g"', 'density = "1.2 g/cm3"'))
    line = next(one for one in plan["boat"]["weights"] if one["name"] == "rudder")
    assert line["mass_kg"] == pytest.approx(1200.0 * RUDDER_VOLUME, rel=1e-9)
    assert line["state"] == "estimated"


def test_a_plan_without_rudder_and_rig_has_no_word_of_them(tmp_path: Path) -> None:
    boat = planned(tmp_path, BARE)["boat"]
    assert not {"rudder", "wind", "leeway", "scale", "trade"} & set(boat)
    assert boat["stability"]["righting_arms"] is None


# Righting arms


def test_hull_foils_and_bulb_displace_as_one_surface_what_the_weigh_in_counts(surfaced: Job) -> None:
    boat = surfaced.boat
    assert boat is not None
    hull = boat.start.hull.surface()
    assert hull is not None
    whole = afloat_surface(surfaced.plan, hull, boat.hung.bulb)
    below = loaded(boat.start, boat.hung)
    alone, found = hydrostatics(hull), hydrostatics(whole)
    assert found.volume - alone.volume == pytest.approx(below.below_volume, rel=1e-9)
    assert found.buoyancy_centre is not None
    assert alone.buoyancy_centre is not None
    moment = found.volume * np.array(found.buoyancy_centre) - alone.volume * np.array(alone.buoyancy_centre)
    # The fin's end in the bulb is cut level in place of along the bulb: a hundredth of a millimetre.
    assert moment[0] / below.below_volume == pytest.approx(below.below_x, abs=2e-5)
    assert moment[2] / below.below_volume == pytest.approx(below.below_z, abs=2e-5)


def test_on_a_surface_she_floats_on_her_line_and_gm_is_the_design_lines(surfaced: Job) -> None:
    assert surfaced.standing is not None
    assert surfaced.boat is not None
    curve = surfaced.standing.curve
    assert curve is not None
    assert abs(curve.upright.attitude.sinkage) < 1e-5
    assert abs(curve.upright.attitude.trim) < 1e-5
    assert curve.gm == pytest.approx(surfaced.boat.gm, rel=1e-4)
    assert surfaced.standing.surface_over_table is None


def test_righting_arms_are_37_and_none_comes_from_the_boat_upside_down(larkmoss: Job) -> None:
    assert larkmoss.standing is not None
    curve = larkmoss.standing.curve
    assert curve is not None
    assert len(curve.heels) == 37
    assert curve.upright.upright
    assert curve.upright.stable
    # Her deck turns over once and for all at 90 degrees, trim never jumps, sinkage moves by millimetres a step.
    assert np.abs(np.diff(curve.trims)).max() < math.radians(1.0)
    assert np.abs(np.diff(curve.sinkages)).max() < 0.012


def test_a_boat_that_lists_is_heeled_to_the_side_she_leans_to(tmp_path: Path) -> None:
    heavy = 'name = "battery"\nmass = "118 g"\n'
    to_port = job_of(tmp_path, LARKMOSS, (heavy, heavy + 'y = "-40 mm"\n')).standing
    to_starboard = job_of(tmp_path, LARKMOSS, (heavy, heavy + 'y = "40 mm"\n')).standing
    assert to_port is not None
    assert to_starboard is not None
    assert (to_port.side, to_starboard.side) == ("port", "starboard")
    assert to_port.curve is not None
    assert to_starboard.curve is not None
    np.testing.assert_allclose(to_port.curve.arms, to_starboard.curve.arms, atol=1e-9)
    assert to_port.curve.arms[0] < 0.0
    # 118 g at 40 mm over 3.2 kg, about the metacentre.
    list_angle = math.atan(0.118 * 0.040 / to_port.curve.mass / to_port.curve.gm)
    assert to_port.curve.positive_from == pytest.approx(list_angle, rel=2e-3)


def test_a_boat_with_her_weight_high_goes_on_over_from_some_heel(tmp_path: Path) -> None:
    high = ('mass = "318 g"\nx = "405 mm"\nz = "610 mm"', 'mass = "318 g"\nx = "405 mm"\nz = "1700 mm"')
    standing = job_of(tmp_path, LARKMOSS, high, standing="whole").standing
    assert standing is not None
    curve = standing.curve
    assert curve is not None
    assert curve.vanishing is not None
    assert math.radians(90.0) < curve.vanishing < math.radians(175.0)
    assert curve.later_area is not None
    assert curve.later_area < 0.0
    assert curve.upright.upright


def test_arms_that_end_before_a_right_angle_are_a_caution(larkmoss: Job) -> None:
    standing = larkmoss.standing
    assert standing is not None
    assert standing.curve is not None

    def ending_at(degrees: float) -> list[tuple[str, str]]:
        curve = replace(standing.curve, vanishing=math.radians(degrees))
        alone = replace(standing, curve=curve, surface_over_table=None)
        said = check_curve(alone, True, Shown("metric"))
        return [(one.code, one.message) for one in said]

    early = "The righting arms vanish at 81 degrees, so a boat laid flat will not come back up."
    assert ending_at(81.0) == [("vanishes-early", early)]
    assert ending_at(90.0) == []


def test_bare_numbers_tell_gm_alone_and_say_so(tmp_path: Path) -> None:
    plan = planned(tmp_path, BARE + RIG)
    boat = plan["boat"]
    assert boat["stability"]["righting_arms"] is None
    assert boat["wind"]["from"] == "GM sin(heel)"
    said = next(one for one in plan["findings"] if one["code"] == "righting-arms-not-told")
    assert (said["message"], said["remedy"]) == (
        "A hull given only by figures has a GM, but righting arms at large angles need its shape.",
        "Give the hull as a surface or as a table of offsets.",
    )
    # With GM sin(heel) and cos^2: sin(heel) = 2 k / (1 + sqrt(1 + 4 k^2)), k = 1/2 rho V^2 C A h / (m g GM).
    arm = 0.600 + 0.45 * 0.330
    k = 0.5 * 1.225 * 9.0 * 1.2 * 0.3 * arm / (boat["total_mass_kg"] * 9.80665 * boat["metacentric_height_m"])
    heel = math.asin(2.0 * k / (1.0 + math.sqrt(1.0 + 4.0 * k * k)))
    assert boat["wind"]["heel_rad"] == pytest.approx(heel, rel=1e-4)


def test_a_hull_that_tells_no_gm_says_that_the_wind_is_not_reported(tmp_path: Path) -> None:
    plan = planned(tmp_path, BARE + RIG, ('metacentric_radius = "60 mm"\n', ""))
    assert plan["boat"]["wind"] == {
        "missing": "The heel in a wind is not known, because neither the righting arms nor GM is known."
    }


def test_a_boat_that_sinks_has_neither_arms_nor_wind_and_says_why(tmp_path: Path) -> None:
    plan = planned(
        tmp_path,
        LARKMOSS,
        ("fineness = 6.0", 'fineness = 6.0\ntarget_mass = "14 kg"'),
        ('overhang_forward = "140 mm"', 'overhang_forward = "400 mm"'),
        ('overhang_aft = "180 mm"', 'overhang_aft = "400 mm"'),
    )
    boat = plan["boat"]
    finding = next(one for one in plan["findings"] if one["code"] == "righting-arms-not-told")
    assert finding["severity"] == "caution"
    assert "the boat sinks, because " in finding["message"]
    assert boat["stability"]["righting_arms"] is None
    assert boat["wind"]["missing"] == boat["stability"]["missing"]


# Under sail


def test_at_the_steady_heel_the_winds_moment_is_hers(larkmoss: Job) -> None:
    assert larkmoss.standing is not None
    sailing = larkmoss.standing.sailing
    assert sailing is not None
    assert sailing.heel is not None
    assert larkmoss.boat is not None
    moment = 0.5 * 1.225 * 16.0 * 1.2 * 0.36 * (0.640 + 0.45 * 0.370) * math.cos(sailing.heel) ** 2
    assert larkmoss.boat.total_mass * 9.80665 * sailing.arms.arm(sailing.heel) == pytest.approx(
        moment, rel=1e-9
    )
    for one in sailing.winds:
        needed = 0.5 * 1.225 * one.wind**2 * 1.2 * 0.36 * (0.640 + 0.45 * 0.370) * math.cos(one.heel) ** 2
        assert larkmoss.boat.total_mass * 9.80665 * sailing.arms.arm(one.heel) == pytest.approx(
            needed, rel=1e-9
        )


def test_at_the_wind_of_the_leeway_limit_she_makes_that_leeway(larkmoss: Job) -> None:
    assert larkmoss.standing is not None
    sailing = larkmoss.standing.sailing
    assert sailing is not None
    for one in sailing.leeways:
        wind, heel = one.at_limit.wind, one.at_limit.heel
        assert wind is not None
        assert heel is not None
        force = 0.5 * 1.225 * wind**2 * 1.2 * 0.36 * math.cos(heel) ** 2
        speed = math.sqrt(9.80665 * 0.95 / (2.0 * math.pi))
        area = 0.5 * 0.311 * (0.088 + 0.088 - 0.016 * 311.0 / 318.0)
        made = force / (0.5 * 999.1 * speed**2 * area * one.slope * math.cos(heel))
        assert made == pytest.approx(math.radians(5.0), rel=1e-9)


def test_a_fin_of_the_area_reported_makes_the_limit(tmp_path: Path) -> None:
    # Chords that taper not, so that a fin with the chords as they are is only cut shorter.
    changes = (
        ('tip_chord = "72 mm"', 'tip_chord = "80 mm"'),
        ('tip_leading_edge_x = "484 mm"', 'tip_leading_edge_x = "480 mm"'),
        ('root_chord = "88 mm"', 'root_chord = "80 mm"'),
        ('root_leading_edge_x = "470 mm"', 'root_leading_edge_x = "480 mm"'),
    )
    sailing = job_of(tmp_path, LARKMOSS, *changes).standing.sailing  # type: ignore[union-attr]
    assert sailing is not None
    assert sailing.heel is not None
    assert sailing.side_force is not None
    for one in sailing.leeways:
        assert one.fin is not None
        span = one.fin.same_chord_span
        aspect = 2.0 * span / 0.080
        slope = {
            "helmbold": 2.0 * math.pi * aspect / (2.0 + math.sqrt(4.0 + aspect**2)),
            "whicker-fehlner": 1.8 * math.pi * aspect / (1.8 + math.sqrt(aspect**2 + 4.0)),
        }[one.formula]
        holding = 0.5 * 999.1 * sailing.hull_speed**2 * span * 0.080 * slope * math.cos(sailing.heel)
        assert sailing.side_force / holding == pytest.approx(math.radians(5.0), rel=1e-9)


def test_a_coefficient_of_ones_own_has_its_source_beside_it(tmp_path: Path) -> None:
    plan = planned(
        tmp_path,
        LARKMOSS,
        ("full_size = 8\n", 'force_coefficient = 1.05\ncoefficient_source = "spring balance on the mast"\n'),
    )
    assert plan["boat"]["wind"]["force_coefficient"] == 1.05
    assert plan["boat"]["wind"]["force_coefficient_source"] == "spring balance on the mast"
    assert plan["boat"]["scale"] is None
    default = planned(tmp_path, LARKMOSS)
    taken = {one["key"]: one["source"] for one in default["defaults"]}
    assert "Marchaj" in taken["rig.force_coefficient"]
    assert taken["rig.lateral_z"] == "45 % of the way down to the fin's tip; common practice, no source"


def test_without_a_wind_the_answers_are_for_the_one_that_heels_her_20_degrees(tmp_path: Path) -> None:
    plan = planned(tmp_path, LARKMOSS, ('wind = "4 m/s"\n', ""))
    wind = plan["boat"]["wind"]
    assert wind["wind_given"] is False
    assert wind["heel_rad"] == pytest.approx(math.radians(20.0), rel=1e-9)
    assert "heels-far" not in codes(plan)


def test_a_hull_from_a_full_size_plan_is_compared_with_the_full_size(
    surface_plan: Path, tmp_path: Path
) -> None:
    text = surface_plan.read_text(encoding="utf-8").replace("full_size = 8\n", "")
    text = text.replace('hull = "hull.stl"', 'hull = "hull.stl"\nunit = "cm"\nscale = 0.1')
    (tmp_path / "hull.stl").write_bytes((surface_plan.parent / "hull.stl").read_bytes())
    plan = planned(tmp_path, text)
    scale = plan["boat"]["scale"]
    assert scale["ratio"] == 10.0
    # In a wind scaled by the root of the length she stands as here; in the same wind much stiffer.
    assert scale["scaled_wind"]["heel_rad"] == pytest.approx(scale["here"]["heel_rad"], rel=1e-12)
    assert scale["same_wind"]["heel_rad"] < 0.25 * scale["here"]["heel_rad"]
    assert {"key": "rig.full_size", "value": "10", "source": "1 / boat.scale"} in plan["defaults"]


def test_a_bulb_too_small_for_its_screws_is_searched_for_once_and_not_slowly(monkeypatch) -> None:
    # A bulb hardly larger than its cuts takes the slow search minutes, and there are fifteen beside the plan's.
    asked = []

    def sized(wish: BulbWish, boat: BoatWish, *, slowly: bool = True) -> BulbForBoat:
        asked.append((wish.target_mass, slowly))
        if wish.target_mass < least:
            raise HardlyAnyLeadError("The bulb would be little more than its pocket and screws.")
        return size_for_boat(wish, boat, slowly=slowly)

    job = run(read_plan(BARE + RIGGED, source="sedgewarden.toml"))
    assert job.boat is not None
    assert job.standing is not None
    assert job.standing.sailing is not None
    least = job.boat.hung.bulb.mass
    monkeypatch.setattr(trade_room, "size_for_boat", sized)
    trade = trade_room.trade_of(job.plan, job.boat, job.standing.sailing, None, None)
    assert trade is not None
    assert not any(slowly for _, slowly in asked)
    assert sum(mass < least for mass, _ in asked) <= len([one for one in trade.masses if one < least])
    light = [cell for cell in trade.cells if cell.mass < least]
    assert {cell.missing for cell in light} == {"The bulb would be little more than its pocket and screws."}
    assert all(not cell.missing for cell in trade.cells if cell.mass >= least)


def test_one_heel_in_one_wind_and_one_gm_wherever_they_are_reported(larkmoss: Job) -> None:
    assert larkmoss.standing is not None
    assert larkmoss.boat is not None
    curve, sailing, trade = larkmoss.standing.curve, larkmoss.standing.sailing, larkmoss.standing.trade
    assert curve is not None
    assert sailing is not None
    assert sailing.scale is not None
    assert trade is not None
    planned_cell = trade.row(TRADE_DEPTH_STEPS.index(0))[TRADE_MASS_STEPS.index(0)]
    assert {sailing.heel, sailing.scale.here.heel, sailing.scale.scaled_wind.heel, planned_cell.heel} == {
        sailing.heel
    }
    assert {curve.gm, sailing.gm, planned_cell.gm, sailing.scale.here.boat.metacentric_height} == {curve.gm}
    # Simpson's rules give another figure for the same thing; it is nowhere shown beside the first.
    gm, other = (f"{1e3 * one:.1f} mm" for one in (curve.gm, larkmoss.boat.gm or 0.0))
    assert (gm, other) == ("121.9 mm", "123.0 mm")
    for text in (
        ballast_text(larkmoss, larkmoss.boat, colour=False, width=200, tests=()),
        report_html(larkmoss, None),
    ):
        assert gm in text
        assert other not in text
        assert "35.3" in text
        assert not {"35.2°", "35.9°"} & set(re.findall(r"[0-9.]+°", text))
    assert boat_figures(larkmoss) == (curve.gm,)


def test_the_heel_at_another_size_is_that_of_her_own_righting_arms_scaled(larkmoss: Job) -> None:
    assert larkmoss.standing is not None
    sailing = larkmoss.standing.sailing
    assert sailing is not None
    scale = sailing.scale
    assert scale is not None
    boat = scale.same_wind.boat
    # Froude's law put to work the long way round: arms of eight times the length under the scaled rig.
    arms = ArmsByHeel(heels=sailing.arms.heels, arms=tuple(8.0 * arm for arm in sailing.arms.arms))
    assert scale.same_wind.heel == pytest.approx(
        heel_on_curve(arms, boat.rig, wind=sailing.wind, mass=boat.mass), rel=1e-9
    )


def test_a_gm_that_no_ballast_gives_is_no_advice_and_one_that_can_be_had_is(larkmoss: Job) -> None:
    assert larkmoss.standing is not None
    sailing = larkmoss.standing.sailing
    assert sailing is not None
    assert sailing.scale is not None
    assert sailing.scale.metacentric_height_needed > 0.97
    assert sailing.highest_gm < 0.5
    words = scale_needs(sailing, sailing.scale, Shown("metric"))
    assert words == (
        "In a wind of 1.41 m/s this boat heels as much as a boat 8 times as long does in 4.00 m/s. In 4.00 m/s no "
        "ballast on this fin keeps her to that heel, even with all her mass at the bulb's underside. Carry less sail "
        "instead."
    )
    smaller = replace(sailing.scale, ratio=1.5, metacentric_height_needed=1.5 * sailing.gm)
    words = scale_needs(sailing, smaller, Shown("metric"))
    assert "she would need a GM of 182.8 mm instead of 121.9 mm, calculated from GM sin(heel)" in words


# Deeper or heavier


def test_the_planned_cell_is_the_plan_and_depth_and_mass_both_stiffen_her(larkmoss: Job) -> None:
    standing = larkmoss.standing
    assert standing is not None
    trade, sailing = standing.trade, standing.sailing
    assert trade is not None
    assert sailing is not None
    assert standing.curve is not None
    here = trade.row(TRADE_DEPTH_STEPS.index(0))[TRADE_MASS_STEPS.index(0)]
    assert here.gm == pytest.approx(standing.curve.gm, rel=1e-6)
    assert here.sinkage == 0.0
    for short, whole in zip(here.winds, sailing.winds, strict=True):
        # Read from five heels in place of thirty-seven.
        assert short.wind == pytest.approx(whole.wind, rel=2e-3)
    winds = np.array([[one.winds[1].wind for one in trade.row(tip)] for tip in range(len(trade.tips))])
    assert (np.diff(winds, axis=0) > 0.0).all()
    assert (np.diff(winds, axis=1) > 0.0).all()
    assert trade.depth_worth is not None
    assert trade.depth_worth > 0.0


def test_another_cell_is_what_a_plan_of_that_bulb_and_fin_comes_to(larkmoss: Job, tmp_path: Path) -> None:
    assert larkmoss.standing is not None
    trade = larkmoss.standing.trade
    assert trade is not None
    cell = trade.row(3)[4]
    changed = plan_at_depth(larkmoss.plan, cell.tip_z)
    changed = replace(changed, bulb=replace(changed.bulb, target_mass=cell.mass))
    _, offsets, hull = load_plan(EXAMPLES / "larkmoss.toml")
    job = run(changed, offsets, hull)
    assert job.standing is not None
    assert job.standing.curve is not None
    assert job.standing.sailing is not None
    assert larkmoss.standing.curve is not None
    assert cell.gm == pytest.approx(job.standing.curve.gm, rel=1e-5)
    for short, whole in zip(cell.winds, job.standing.sailing.winds, strict=True):
        assert short.wind == pytest.approx(whole.wind, rel=2e-3)
    deeper = job.standing.curve.upright.attitude.sinkage - larkmoss.standing.curve.upright.attitude.sinkage
    assert cell.sinkage == pytest.approx(deeper, abs=1e-7)
    # The fin's mass went with its volume, its leading edge ran on in its own line.
    assert changed.fin.tip_leading_edge_x == pytest.approx(0.470 + 0.014 * 0.418 / 0.318)
    assert changed.fin.mass == pytest.approx(0.268 * 0.418 / 0.318, rel=1e-12)


def test_a_bulb_too_long_for_the_overhang_leaves_its_cell_empty_with_the_reason(tmp_path: Path) -> None:
    job = job_of(
        tmp_path, LARKMOSS, ('overhang_forward = "140 mm"', 'overhang_forward = "72 mm"'),
        ('overhang_aft = "180 mm"', 'overhang_aft = "72 mm"'), standing="whole",
    )  # fmt: skip
    assert job.standing is not None
    trade = job.standing.trade
    assert trade is not None
    empty = [one for one in trade.cells if one.missing]
    assert empty
    assert all(one.gm is None and one.winds == () for one in empty)
    assert not trade.row(1)[0].missing


# Findings


@pytest.mark.parametrize(
    ("changes", "code"),
    [
        ([('wind = "4 m/s"', 'wind = "3 m/s"')], "heels-far"),
        ([('leeway_limit = "5 deg"', 'leeway_limit = "2 deg"')], "leeway-beyond-limit"),
        ([('mass = "32 g"\n', ""), ("rudder post and tiller", "post"),
          ("winch, rudder servo and receiver", "winch")], "rudder-mass-not-given"),
        ([('name = "rudder post and tiller"', 'name = "Rudder"')], "rudder-counted-twice"),
    ],
)  # fmt: skip
def test_each_finding_has_its_cause_and_goes_with_it(
    tmp_path: Path, changes: list[tuple[str, str]], code: str
) -> None:
    here, there = codes(planned(tmp_path, LARKMOSS)), codes(planned(tmp_path, LARKMOSS, *changes))
    assert len({code} & here) + len({code} & there) == 1


def test_the_sail_reported_for_30_degrees_does_typed_as_shown(tmp_path: Path) -> None:
    plan = planned(tmp_path, LARKMOSS)
    finding = next(one for one in plan["findings"] if one["code"] == "heels-far")
    assert finding["message"] == (
        "A steady wind of 4.00 m/s heels the boat 35 degrees. Beyond 30 degrees she is slow and hard to "
        "steer (common practice)."
    )
    area = finding["remedy"].partition("Carry ")[2].partition(" of sail")[0]
    repaired = planned(tmp_path, LARKMOSS, ('sail_area = "3600 cm2"', f'sail_area = "{area}"'))
    assert "heels-far" not in codes(repaired)
    assert math.degrees(repaired["boat"]["wind"]["heel_rad"]) > 29.5


def test_a_deeper_fin_reported_for_the_leeway_does_typed_as_shown(tmp_path: Path) -> None:
    limit = ('leeway_limit = "5 deg"', 'leeway_limit = "2 deg"')
    job = job_of(tmp_path, LARKMOSS, limit, standing="whole")
    finding = the_finding(job, "leeway-beyond-limit")
    assert finding.message == (
        "At hull speed in a wind of 4.00 m/s the boat makes 2.4 degrees of leeway; the limit is 2.0."
    )
    tip = finding.remedy.partition("z = ")[2].partition(",")[0]
    repaired = job_of(tmp_path, LARKMOSS, limit, ('tip_z = "-370 mm"', f'tip_z = "{tip}"'))
    assert "leeway-beyond-limit" not in {one.code for one in repaired.findings}
    assert repaired.standing is not None
    assert repaired.standing.sailing is not None
    made = max(one.leeway or 0.0 for one in repaired.standing.sailing.leeways)
    assert math.radians(1.97) < made < math.radians(2.0)


def test_a_wind_that_lays_her_flat_is_reported(tmp_path: Path) -> None:
    # A sail whose force does not fall with heel.
    plan = planned(tmp_path, LARKMOSS, ('wind = "4 m/s"', 'wind = "8 m/s"\nheel_exponent = 0'))
    assert plan["boat"]["wind"]["heel_rad"] is None
    finding = next(one for one in plan["findings"] if one["code"] == "blown-flat")
    assert finding["message"] == (
        "A steady wind of 8.00 m/s with these sails lays the boat flat. She has no steady heel below 90 degrees."
    )
    assert plan["boat"]["scale"] is None


# Keys


@pytest.mark.parametrize(
    ("text", "messages"),
    [
        (
            BARE + RUDDER.replace('tip_z = "-130 mm"', 'tip_z = "30 mm"'),
            ['rudder.tip_z: read tip_z = "30 mm" with root_z = "-10 mm"; expected the blade\'s foot below its top. '
                "Measure heights upwards from the waterline; those under water are negative."],
        ),
        (
            BARE + RUDDER.replace('"-10 mm"', '"90 mm"').replace('"-130 mm"', '"30 mm"'),
            ['rudder.tip_z: read tip_z = "30 mm"; expected the blade\'s foot below the waterline. Measure heights '
             'upwards from the waterline; those under water are negative.'],
        ),
        (
            BARE + RUDDER + 'density = "1.2 g/cm3"\n',
            ["[rudder]: read mass and density together; expected one of the two. Keep mass if the blade "
                "has been weighed, and density if it has not."],
        ),
        (
            BARE + RUDDER.replace('tip_thickness = "5 mm"', 'tip_thickness = "50 mm"'),
            ['rudder.tip_thickness: read tip_thickness = "50 mm" with tip_chord = "50 mm"; expected a thickness '
             'less than the chord. '
             "Check whether the two are swapped."],
        ),
        (
            BARE + RUDDER.replace('root_chord = "50 mm"\n', ""),
            ["rudder.root_chord: read nothing; expected a length from 1 mm to 10 m. Add root_chord = \"46 mm\", say, "
             "under [rudder]."],
        ),
        (
            BARE + RIG.replace('effort_z = "600 mm"\n', ""),
            ["rig.effort_z: read nothing; expected a length from -50 m to 50 m. Add effort_z = \"640 mm\", say, under "
             "[rig]."],
        ),
        (
            BARE + RIG.replace('"600 mm"', '"-600 mm"'),
            ['rig.effort_z: read effort_z = "-600 mm"; expected a centre of effort above her waterline. '
                "Measure it upwards from the design waterline."],
        ),
        (
            BARE + RIG.replace("600 mm", "-5 mm") + 'lateral_z = "-165 mm"\n',
            ['rig.effort_z: read effort_z = "-5 mm"; expected a centre of effort above her waterline. '
             "Measure it upwards from the design waterline."],
        ),
        (
            BARE + RIG + 'lateral_z = "700 mm"\n',
            ['rig.lateral_z: read lateral_z = "700 mm" with effort_z = "600 mm"; expected a centre of '
                "lateral resistance below the sails' centre of effort. Measure heights upwards from the "
                "waterline; heights on the fin are negative."],
        ),
        (
            BARE + RIG + 'coefficient_source = "a book"\n',
            ["rig.coefficient_source: read a source without force_coefficient; expected the coefficient "
                "to which the source belongs. Add force_coefficient = 1.2, say, or remove the source."],
        ),
    ],
)  # fmt: skip
def test_a_fault_of_rudder_or_rig_is_reported_in_one_whole_message(
    tmp_path: Path, text: str, messages: list[str]
) -> None:
    path = written(tmp_path, text)
    done = command("ballast", path)
    assert done.exit_code == 2, done.output
    said = [
        line.removeprefix(f"{path}: ") for line in done.stderr.splitlines() if line.startswith(f"{path}: ")
    ]
    assert said == messages


def test_rudder_and_rig_belong_with_a_boat(tmp_path: Path) -> None:
    fin_only = BARE.partition("[boat]\n")[0] + (
        '[bulb]\ntarget_mass = "2 kg"\n[alloy]\ngrade = "pure"\n[fin]\ntip_chord = "70 mm"\ntip_thickness = "7 mm"\n'
    )
    path = written(tmp_path, fin_only + RUDDER + RIG)
    done = command("plan", path, "--json")
    assert done.exit_code == 2
    for section in ("rudder", "rig"):
        assert (
            f"{path}: [{section}]: read a {section} without [boat]; expected [boat] with it, or neither. Add "
            f"[boat] with the hull, or remove [{section}]."
        ) in done.stderr


# What people read


def test_the_report_says_once_and_before_any_arm_what_it_is_not(larkmoss: Job) -> None:
    html = report_html(larkmoss, None)
    assert html.casefold().count("not a stability assessment") == 1
    section = html.partition('<section id="standing">')[2].partition("</section>")[0]
    assert CAVEAT in section.partition("<svg")[0].partition("<table")[0]


def test_ballast_tells_arms_heel_leeway_and_the_trade_each_with_its_caveat() -> None:
    done = command("ballast", EXAMPLES / "larkmoss.toml")
    assert done.exit_code == 0, done.output
    for heading in (
        "Righting arms",
        "Heel under wind",
        "Side force and leeway",
        "The same boat at another size",
        "Deeper or heavier",
    ):
        assert f"\n{heading}" in done.stdout
    assert " ".join(done.stdout.split()).casefold().count("not a stability assessment") == 1
    said = json.loads(command("ballast", EXAMPLES / "larkmoss.toml", "--json").stdout)
    assert len(said["boat"]["stability"]["righting_arms"]) == 37
    assert said["boat"]["stability"]["caveat"].startswith("not a stability assessment")
    assert len(said["boat"]["trade"]["cells"]) == 20


def test_a_plan_without_rig_has_righting_arms_and_no_wind(tmp_path: Path) -> None:
    start, _, rest = LARKMOSS.partition("# The rig that she carries")
    text = start + "# No target_mass" + rest.partition("# No target_mass")[2]
    job = job_of(tmp_path, text, standing="whole")
    assert job.standing is not None
    assert job.standing.curve is not None
    assert job.standing.sailing is None
    html = report_html(job, None)
    section = html.partition('<section id="standing">')[2].partition("</section>")[0]
    assert section.count("<svg") == 2


# Compare


def test_compare_computes_no_curve_unless_a_column_asks_for_one(monkeypatch: pytest.MonkeyPatch) -> None:
    called: list[bool] = []
    honest = standing_room.standing_of

    def counted(*args: Any, **more: Any) -> standing_room.Standing:
        called.append(more["briefly"])
        return honest(*args, **more)

    monkeypatch.setattr(standing_room, "standing_of", counted)
    plain = command("compare", EXAMPLES / "larkmoss.toml", "--vary", "bulb.fineness=5,6")
    assert plain.exit_code == 0, plain.output
    assert "GM" in plain.stdout
    assert called == []
    asked = command("compare", EXAMPLES / "larkmoss.toml", "--vary", "fin.tip_z=-400 mm,-340 mm")
    assert asked.exit_code == 0, asked.output
    assert "wind for 30 degrees" in asked.stdout
    assert called == [True, True]


# What the plots show, read off their own grids


def drawn_shapes(view: View, kind: Any, *styles: Style) -> list[Any]:
    return [shape for shape in view.shapes if isinstance(shape, kind) and shape.style in styles]


def scales(view: View) -> Any:
    """Function that converts points on the paper to pairs of figures, based on the numbered grid."""
    grid = drawn_shapes(view, Line, Style.GRID)
    small = drawn_shapes(view, Text, Style.SMALL)
    ways = []
    for axis, of in ((0, "middle"), (1, "end")):
        lines = {round(s.start[axis], 6) for s in grid if s.start[axis] == s.end[axis]}
        known = sorted(
            (s.at[axis], float(s.text.rstrip("°").split()[0]))
            for s in small
            if s.anchor == of
            and round(s.at[axis], 6) in lines
            and s.text.rstrip("°").replace(".", "").isdigit()
        )
        (a, low), (b, high) = known[0], known[-1]
        ways.append(lambda at, a=a, b=b, low=low, high=high: low + (high - low) * (at - a) / (b - a))
    return lambda points: [(ways[0](x), ways[1](y)) for x, y in points]


def test_righting_arms_are_drawn_over_their_heels_with_the_winds_and_gm(larkmoss: Job) -> None:
    standing = larkmoss.standing
    curve, sailing = standing.curve, standing.sailing
    view = righting_arm_plot(standing, larkmoss.shown)
    read = scales(view)
    (drawn,) = drawn_shapes(view, Polyline, Style.CURVE)
    wanted = [(math.degrees(heel), 1e3 * arm) for heel, arm in zip(curve.heels, curve.arms, strict=True)]
    assert np.array(read(drawn.points)) == pytest.approx(np.array(wanted), abs=1e-6)
    (area,) = drawn_shapes(view, Region, Style.BAND)
    inside = np.array(read(area.contours[0]))
    end = 180.0 if curve.vanishing is None else math.degrees(curve.vanishing)
    assert (inside[:, 0].min(), inside[:, 0].max()) == pytest.approx((math.degrees(curve.positive_from), end))
    assert inside[:, 1].max() == pytest.approx(1e3 * max(curve.arms))
    # Its area is that under the arms. [mm deg]
    x, y = inside[:, 0], inside[:, 1]
    shoelace = 0.5 * abs(np.dot(x, np.roll(y, -1)) - np.dot(y, np.roll(x, -1)))
    heels, arms = np.array(wanted).T
    assert shoelace == pytest.approx(np.trapezoid(np.maximum(arms, 0.0), heels), rel=0.01)
    (wind,) = drawn_shapes(view, Polyline, Style.HIDDEN)
    arms_of_wind = {round(math.degrees(heel), 6): 1e3 * arm for heel, arm in sailing.wind_arms}
    for x, y in read(wind.points):
        assert y == pytest.approx(arms_of_wind[round(x, 6)], abs=1e-6)
    (gm,) = drawn_shapes(view, Line, Style.AXIS)
    ((x, y),) = read([gm.end])
    assert y / math.radians(x) == pytest.approx(1e3 * curve.gm)
    # A stiffer boat's tangent leaves the picture before a radian: at the same slope as its GM says.
    stiff = righting_arm_plot(replace(standing, curve=replace(curve, gm=5.0 * curve.gm)), larkmoss.shown)
    assert stiff is not None
    (gm,) = drawn_shapes(stiff, Line, Style.AXIS)
    ((x, y),) = scales(stiff)([gm.end])
    assert y / math.radians(x) == pytest.approx(5e3 * curve.gm)
    dots = read([s.centre for s in drawn_shapes(view, Circle, Style.MARK)])
    assert dots[0] == pytest.approx(
        (math.degrees(sailing.heel), 1e3 * sailing.arms.arm(sailing.heel)), abs=1e-6
    )
    if curve.vanishing is not None:
        assert dots[1] == pytest.approx((end, 0.0), abs=1e-6)
    largest = next(s for s in view.shapes if isinstance(s, Text) and s.text.startswith("largest "))
    top = drawn.points[int(np.argmax(arms))]
    beside = 0.0 if largest.anchor == "middle" else 14.0
    assert read([(largest.at[0] - beside, 0.0)])[0][0] == pytest.approx(math.degrees(curve.largest_arm_heel))
    assert largest.at[1] > top[1]


def test_steady_heel_rises_with_the_wind_and_the_winds_for_a_heel_lie_on_it(larkmoss: Job) -> None:
    sailing = larkmoss.standing.sailing
    view = wind_heel_plot(sailing, larkmoss.shown)
    read = scales(view)
    (drawn,) = drawn_shapes(view, Polyline, Style.CURVE)
    steady = {round(wind, 6): math.degrees(heel) for wind, heel in sailing.steady}
    points = read(drawn.points)
    assert len(points) > 10
    for wind, heel in points:
        assert heel == pytest.approx(steady.get(round(wind, 6), 0.0), abs=1e-6)
    dots = [(x, y) for x, y in read([s.centre for s in drawn_shapes(view, Circle, Style.MARK)])]
    for one in sailing.winds:
        assert any(dot == pytest.approx((one.wind, math.degrees(one.heel)), abs=1e-6) for dot in dots)


def test_the_plans_wind_strikes_no_figure_whatever_it_is(larkmoss: Job) -> None:
    sailing = larkmoss.standing.sailing
    for wind in np.linspace(0.5, 1.2, 29) * sailing.winds[-1].wind:
        view = wind_heel_plot(replace(sailing, wind=float(wind), wind_given=True), larkmoss.shown)
        (line,) = drawn_shapes(view, Line, Style.AXIS)
        boxes = [(s.text, text_box(s)) for s in drawn_shapes(view, Text, Style.LETTERING)]
        struck = [words for words, box in boxes if box.left < line.start[0] < box.right and box.bottom > 0.0]
        assert [words for words in struck if "kn" in words or "m/s" in words] == []


def test_the_trade_shows_the_wind_for_thirty_degrees_and_rings_the_bulb_as_planned(larkmoss: Job) -> None:
    trade = larkmoss.standing.trade
    view = trade_plot(trade, larkmoss.shown)
    # Masses are named along the foot; winds up the side.
    masses = trade.masses
    ticks = sorted({s.start[0] for s in drawn_shapes(view, Line, Style.GRID) if s.start[0] == s.end[0]})
    assert len(ticks) == len(masses)
    side = sorted(
        (s.at[1], float(s.text))
        for s in drawn_shapes(view, Text, Style.SMALL)
        if s.anchor == "end" and s.text.replace(".", "").isdigit()
    )
    (a, low), (b, high) = side[0], side[-1]
    curves = [np.array(s.points) for s in drawn_shapes(view, Polyline, Style.CURVE, Style.OUTLINE)]
    for tip, points in enumerate(curves):
        for (x, y), one in zip(points, trade.row(tip), strict=True):
            assert x == pytest.approx(np.interp(one.mass, masses, ticks))
            assert math.degrees(one.winds[1].heel) == pytest.approx(30.0)
            assert low + (high - low) * (y - a) / (b - a) == pytest.approx(one.winds[1].wind, abs=1e-6)
    (ring,) = [s for s in view.shapes if isinstance(s, Circle) and s.style is Style.OUTLINE]
    planned = larkmoss.bulb.mass
    assert ring.centre[0] == pytest.approx(np.interp(planned, masses, ticks))
    (as_planned,) = drawn_shapes(view, Polyline, Style.CURVE)
    assert any(ring.centre == pytest.approx(point) for point in as_planned.points)
