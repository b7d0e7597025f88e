"""`bulbcast float`: mass and shift from the readings, errors reported together, and the record saved next to the plan."""

from __future__ import annotations

import json
import math
import re
import subprocess
import sys
import tomllib

import numpy as np
import pytest
import trimesh
from plans import EXAMPLES, LEAST, command, example_text

from bulbcast.files import float_record
from bulbcast.files.plan_file import load_plan
from bulbcast.hull.floating import float_boat
from bulbcast.hull.mesh import hull_from_triangles
from bulbcast.hull.placement import HullPlacement
from bulbcast.job import run as job_of
from bulbcast.plan.faults import PlanError

FRESH = 999.10


@pytest.fixture
def plan(tmp_path):
    """Path of the example, with its table in the same folder."""
    for name in ("larkmoss.toml", "larkmoss-offsets.csv"):
        (tmp_path / name).write_bytes((EXAMPLES / name).read_bytes())
    return tmp_path / "larkmoss.toml"


@pytest.fixture(scope="module")
def surface(tmp_path_factory):
    """Path of the example with the hull as a surface."""
    folder = tmp_path_factory.mktemp("surface")
    script = EXAMPLES / "make_hull.py"
    subprocess.run([sys.executable, str(script), str(folder)], check=True, capture_output=True)
    text = example_text("larkmoss")
    path = folder / "larkmoss.toml"
    path.write_text(text.replace('offsets = "larkmoss-offsets.csv"', 'hull = "hull.stl"'), encoding="utf-8")
    return path


def floated(plan, *words, code=0):
    done = command("float", plan, *words, "--no-record", "--json")
    assert done.exit_code == code, done.output
    return json.loads(done.stdout)


def messages(plan, *words):
    done = command("float", plan, *words, "--no-record")
    assert done.exit_code == 2, done.output
    assert done.stdout == ""
    return [line for line in done.stderr.splitlines() if not line.endswith("have to be fixed:")]


# What it finds


@pytest.mark.parametrize(("mass", "x"), [(0.06, 0.30), (-0.05, 0.62), (0.04, 0.80)])
def test_a_weight_too_many_is_found_from_where_the_exact_hydrostatics_let_her_float(surface, mass, x):
    boat = json.loads(command("ballast", surface, "--json").stdout)["boat"]
    job = json.loads(command("plan", surface, "--json").stdout)
    # Fin, rudder and bulb stay under water: to the hull they are weights less the water that they displace.
    hung = (job["bulb"]["hung_mass_kg"], job["bulb"]["mass_centre_m"]["x"], job["bulb"]["mass_centre_m"]["z"])
    pull = [(one["mass_kg"], one["place_m"]["x"], one["place_m"]["z"]) for one in boat["weights"]]
    pull += [hung, (mass, x, 0.0)]
    for foil in (boat["fin"], boat["rudder"]):
        pull.append((-FRESH * foil["volume_m3"], foil["volume_centre_x_m"], foil["volume_centre_z_m"]))
    pull.append(
        (-FRESH * job["bulb"]["displacement_m3"], boat["bulb_displacement_x_m"], job["bulb"]["axis_z_m"])
    )
    total = sum(one[0] for one in pull)
    centre = [sum(one[0] * one[i] for one in pull) / total for i in (1, 2)]
    hull = hull_from_triangles(
        np.asarray(trimesh.load(surface.parent / "hull.stl").triangles),
        placement=HullPlacement(metres_per_unit=0.001),
    )
    rest = float_boat(hull, mass=total, mass_centre=(centre[0], 0.0, centre[1]), water_density=FRESH)
    # Of a point on the centreplane: x sin(trim) + sinkage over its own upright.
    readings = [
        1e3 * (rest.attitude.sinkage + place * math.sin(rest.attitude.trim)) / math.cos(rest.attitude.trim)
        for place in (0.02, 0.93)
    ]
    found = floated(
        surface,
        *("--bow", f"{readings[0]:.9f} mm", "--bow-at", "20 mm"),
        *("--stern", f"{readings[1]:.9f} mm", "--stern-at", "930 mm"),
    )
    # First order against the exact: the waterplane grows a little as she sinks.
    assert found["too_much"]["mass_kg"] == pytest.approx(mass, rel=0.02)
    assert found["too_much"]["at_x_m"] == pytest.approx(x, abs=0.012)
    assert found["lay"]["water_displaced_kg"] == pytest.approx(boat["total_mass_kg"] + mass, rel=1e-3)


def test_freeboards_tell_what_marks_tell(plan):
    # The deck edge is 90 mm over the line at the stem and 62 mm at the transom.
    by_freeboard = floated(plan, "--bow", "freeboard 88 mm", "--stern", "freeboard 63 mm")
    by_mark = floated(
        plan,
        *("--bow", "2 mm above", "--bow-at", "-25 mm"),
        *("--stern", "1 mm below", "--stern-at", "975 mm"),
    )
    for key in ("mass_kg", "moment_aft_kg_m"):
        assert by_freeboard["too_much"][key] == pytest.approx(by_mark["too_much"][key], rel=1e-9)
    said = floated(plan, "--bow", "freeboard 30 mm of 32 mm", "--stern", "freeboard 1 in of 1 in")
    assert [one["above_line_m"] for one in said["test"]["marks"]] == [pytest.approx(0.002), 0.0]


def test_a_reading_may_have_a_sign_or_a_word(plan):
    signed = floated(plan, "--bow", "+3 mm", "--stern", "-1 mm")
    worded = floated(plan, "--bow", "3 mm above", "--stern", "1 mm below")
    bare = floated(plan, "--bow", "3 mm", "--stern", "−1 mm")
    assert signed["too_much"] == worded["too_much"] == bare["too_much"]
    on = floated(plan, "--bow", "on the line", "--stern", "0 mm")
    assert on["too_much"]["mass_kg"] == 0.0
    assert on["what_to_do"]["within_reading"] is True


def test_the_bulb_ashore_and_its_pull_laid_in_her_by_hand_asks_for_the_bulb_of_the_plan(plan):
    boat = json.loads(command("ballast", plan, "--json").stdout)["boat"]
    bulb = json.loads(command("plan", plan, "--json").stdout)["bulb"]
    water = FRESH * bulb["displacement_m3"]
    pull = bulb["hung_mass_kg"] - water
    x = (bulb["hung_mass_kg"] * bulb["mass_centre_m"]["x"] - water * boat["bulb_displacement_x_m"]) / pull
    found = floated(
        plan,
        *("--bow", "on", "--stern", "on", "--ashore", "bulb"),
        *("--aboard", f"{1e3 * pull:.9f} g @ {1e3 * x:.9f} mm @ 0 mm @ {1e3 * bulb['axis_z_m']:.3f} mm"),
    )
    assert found["too_much"]["mass_kg"] == pytest.approx(0.0, abs=1e-9)
    cast = found["what_to_do"]["bulb_to_cast"]
    assert cast["hung_mass_kg"] == pytest.approx(bulb["hung_mass_kg"], rel=1e-9)
    assert cast["x_m"] == pytest.approx(x, abs=1e-9)
    # 50 g less in her to float on her line: the bulb is lighter by 50 g and the water that its lead displaces.
    less = floated(
        plan,
        *("--bow", "on", "--stern", "on", "--ashore", "bulb"),
        *("--aboard", f"{1e3 * pull - 50.0:.9f} g @ {1e3 * x:.9f} mm"),
    )
    density = json.loads(command("plan", plan, "--json").stdout)["alloy"]["cast_density_kg_m3"]
    assert less["what_to_do"]["bulb_to_cast"]["hung_mass_kg"] == pytest.approx(
        bulb["hung_mass_kg"] - 0.05 / (1.0 - FRESH / density), rel=1e-9
    )


def test_what_was_ashore_is_put_back_by_its_own_mass_and_place(plan):
    full = floated(plan, "--bow", "1 mm", "--stern", "1 mm")
    without = floated(plan, "--bow", "1 mm", "--stern", "1 mm", "--ashore", "Battery")
    by_hand = floated(plan, "--bow", "1 mm", "--stern", "1 mm", "--ashore", "118 g @ 470 mm @ 0 mm @ -22 mm")
    assert without["too_much"]["mass_kg"] - full["too_much"]["mass_kg"] == pytest.approx(0.118, rel=1e-9)
    assert by_hand["too_much"]["mass_kg"] == pytest.approx(without["too_much"]["mass_kg"], rel=1e-12)
    assert by_hand["too_much"]["moment_aft_kg_m"] == pytest.approx(
        without["too_much"]["moment_aft_kg_m"], rel=1e-9
    )
    camera = floated(plan, "--bow", "1 mm", "--stern", "1 mm", "--aboard", "camera: 40 g @ 600 mm")
    assert full["too_much"]["mass_kg"] - camera["too_much"]["mass_kg"] == pytest.approx(0.040, rel=1e-9)


def test_in_salt_water_a_boat_for_fresh_stands_higher_and_is_not_light(plan):
    boat = json.loads(command("ballast", plan, "--json").stdout)["boat"]
    volume = boat["displacement_kg"] / FRESH
    rise = volume * (1026.0 - FRESH) / (1026.0 * boat["hull"]["waterplane_area_m2"])
    found = floated(
        plan,
        "--bow",
        f"{1e3 * rise:.9f} mm below",
        "--stern",
        f"{1e3 * rise:.9f} mm below",
        "--water",
        "salt",
    )
    assert found["too_much"]["mass_kg"] == pytest.approx(0.0, abs=1e-9)
    given = floated(plan, "--bow", "1 mm", "--stern", "1 mm", "--water", "1.012 g/cm3")
    assert given["test"]["water_density_kg_m3"] == pytest.approx(1012.0)


def test_heel_tells_the_moment_across_and_the_way_to_take_it_out(plan):
    found = floated(
        plan,
        *("--bow", "on", "--stern", "on", "--port", "2 mm below", "--starboard", "2 mm above"),
        *("--sides-apart", "160 mm"),
    )
    heel = math.atan(0.004 / 0.160)
    boat = job_of(*load_plan(plan)).boat
    assert boat is not None
    assert boat.gm is not None
    assert found["lay"]["heel_to_starboard_rad"] == pytest.approx(heel, rel=1e-9)
    # GM of the design line, which the marks are read against; the one she floats at is within a hundredth of it.
    assert found["too_much"]["moment_to_starboard_kg_m"] == pytest.approx(
        boat.total_mass * boat.gm * math.sin(heel), rel=1e-6
    )
    reported = json.loads(command("ballast", plan, "--json").stdout)["boat"]
    assert reported["metacentric_height_m"] == reported["stability"]["metacentric_height_m"]
    assert reported["metacentric_height_m"] == pytest.approx(boat.gm, rel=0.01)
    words = " ".join(
        command(
            *(
                "float",
                plan,
                "--bow",
                "on",
                "--stern",
                "on",
                "--port",
                "2 mm below",
                "--starboard",
                "2 mm above",
            ),
            *("--sides-apart", "160 mm", "--no-record"),
        ).stdout.split()
    )
    moment = 1e6 * found["too_much"]["moment_to_starboard_kg_m"]
    assert (
        f"Correct the heel with a moment of {moment:.0f} g mm to port, for example by moving battery "
        f"{moment / 118.0:.1f} mm to port." in words
    )


def test_the_scale_tells_hull_and_weigh_in_apart(plan):
    found = floated(plan, "--bow", "on", "--stern", "on", "--weighed", "3.5 kg")
    boat = json.loads(command("ballast", plan, "--json").stdout)["boat"]
    assert found["too_much"]["displacement_found_less_planned_kg"] == pytest.approx(
        3.5 - boat["displacement_kg"], abs=1e-9
    )
    listed = {one["code"]: one for one in found["findings"]}
    assert listed["displacement-differs"]["message"] == (
        "The boat weighed 3500.0 g on the scale, so at her line she displaces "
        f"{3500.0 - 1e3 * boat['displacement_kg']:.1f} g more than the plan's hull."
    )
    assert listed["weigh-in-differs"]["severity"] == "caution"
    right = floated(plan, "--bow", "on", "--stern", "on", "--weighed", f"{boat['displacement_kg']:.6f} kg")
    assert right["findings"] == []


def test_heavy_is_drilled_and_light_is_given_lead(plan):
    heavy = floated(plan, "--bow", "1 mm", "--stern", "0.7 mm", "--drill", "8 mm")["what_to_do"]
    drill = heavy["drill"]
    volume = drill["holes"] * drill["each_deep_m"] * math.pi / 4 * 0.008**2
    assert drill["lead_kg"] / volume == pytest.approx(11340.0 * 0.995, rel=2e-3)
    assert drill["filler_kg"] / volume == pytest.approx(1200.0, rel=1e-9)
    light = floated(plan, "--bow", "-1 mm", "--stern", "-0.7 mm")["what_to_do"]
    assert light["drill"] is None
    assert light["add"]["on_the_bulb_kg"] > light["add"]["inside_kg"] > 0.0
    words = " ".join(
        command("float", plan, "--bow", "1 mm", "--stern", "0.7 mm", "--no-record").stdout.split()
    )
    assert "Before you drill lead - Shavings, not dust:" in words
    much = command("float", plan, "--bow", "20 mm", "--stern", "20 mm", "--no-record")
    words = " ".join(much.stdout.split())
    assert re.search(
        r"from the boat, or cast another bulb\. \d+\.\d g of lead cannot be drilled out of this bulb\.", words
    )
    assert "(far-from-line)" in words


def test_trim_lead_inside_is_offered_without_drilling_and_before_it(plan):
    found = floated(plan, "--bow", "-3 mm", "--stern", "3 mm")
    (alone,), moment = found["what_to_do"]["trim_lead_alone"], found["too_much"]["moment_aft_kg_m"]
    flotation = json.loads(command("ballast", plan, "--json").stdout)["boat"]["hull"]["flotation_x_m"]
    # By hand: lead's moment about the centre of flotation is what is too much aft, the other way.
    assert alone["mass_kg"] * (flotation - alone["x_m"]) == pytest.approx(moment, rel=1e-6)
    said = " ".join(command("float", plan, "--bow", "-3 mm", "--stern", "3 mm", "--no-record").stdout.split())
    order = [said.index(words) for words in ("Move battery", "and drill nothing", "cannot be undone")]
    assert order == sorted(order)


def test_readings_out_of_one_plane_are_reported(plan):
    found = floated(plan, "--bow", "on", "--stern", "on", "--port", "5 mm", "--starboard", "5 mm")
    finding = next(one for one in found["findings"] if one["code"] == "marks-disagree")
    assert finding["found"] == found["lay"]["misfit_m"] > finding["limit"] == 2.0 * 0.0005


def test_imperial_is_reported_in_inches_and_ounces(plan):
    text = plan.read_text(encoding="utf-8").replace('"metric"', '"imperial"')
    plan.write_text(text, encoding="utf-8")
    words = command("float", plan, "--bow", "1/8 in above", "--stern", "1/16 in below", "--no-record").stdout
    assert "1/8 in above, deep there" in words
    assert " oz too heavy for her line" in words


def test_a_stop_of_the_boat_gives_exit_status_three(plan):
    text = plan.read_text(encoding="utf-8").replace('z = "610 mm"', 'z = "2610 mm"')
    plan.write_text(text, encoding="utf-8")
    found = floated(plan, "--bow", "1 mm", "--stern", "1 mm", code=3)
    assert [one["code"] for one in found["findings"] if one["severity"] == "stop"] == ["will-not-stand"]


# Faults


def test_every_fault_of_the_options_is_reported_in_one_go(plan):
    assert messages(
        plan,
        *("--bow", "3 mm up", "--port", "-2 mm below", "--ashore", "motor", "--aboard", "12 g"),
        *("--water", "2 g", "--when", "yesterday", "--weighed", "0 g", "--sides-at", "60 m"),
    ) == [
        'the command line: --bow: read "3 mm up", with "up" after the unit; expected a length with its unit, such as '
        '"70 mm" or "13 1/4 in". Write the number and its unit and nothing else.',
        'the command line: --port: read "-2 mm below"; expected either a sign or a word, not both. Write "3 mm above" if '
        'the water is above the line, or "2 mm below" if it is below.',
        "the command line: --bow and --stern: read --bow and --port; expected both, because two positions are needed to "
        'separate sinkage from trim. Add, for example, --bow "3 mm above" and --stern "1 mm below".',
        "the command line: --starboard: read --port alone; expected both sides, or neither. Read the mark on the "
        "starboard side too, at the same x.",
        'the command line: --ashore: read "motor"; expected an item in the plan ("hull shell and deck", "rig and sails", '
        '"battery", "winch, rudder servo and receiver", "rudder post and tiller", "paint and fittings", '
        '"spare sail weight", "rudder", "bulb" or "fin"), or a mass '
        'and its position. Write the name as it appears in the plan, or a mass and position such as "120 g @ 380 mm".',
        'the command line: --sides-at: read "60 m"; expected a length from -50 m to 50 m. Check the figure and its unit.',
        'the command line: --aboard: read "12 g"; expected a mass and its x, and if needed its y to starboard '
        "and its z upwards, each after an @. "
        'Write, for example, "40 g @ 600 mm" or "camera: 40 g @ 600 mm @ 20 mm".',
        'the command line: --water: read "2 g", which is a mass; expected fresh, salt, or a density from 950 kg/m3 to '
        '1250 kg/m3. Write --water fresh, or a density such as --water "1012 kg/m3".',
        'the command line: --weighed: read "0 g"; expected a mass above zero and up to 1000 t. Check the '
        "figure and its unit.",
        'the command line: --when: read "yesterday"; expected a date, with or without a time, such as 2026-05-03 or '
        "2026-05-03 14:30, from 1970 to 2199. "
        "Write the year first. To use the current time, omit the option.",
    ]


def test_faults_of_plan_and_options_are_reported_together(plan):
    text = plan.read_text(encoding="utf-8").replace('skin = "0.2 mm"', "skin = 0.2")
    plan.write_text(text, encoding="utf-8")
    listed = messages(plan, "--bow", "three", "--stern", "1 mm")
    assert len(listed) == 2
    assert listed[0].startswith(f"{plan}: bulb.skin: read the bare number 0.2;")
    assert listed[1].startswith('the command line: --bow: read "three"')


def test_marks_at_one_place_and_a_drill_too_wide_are_refused(plan):
    assert messages(
        plan, "--bow", "1 mm", "--stern", "2 mm", "--bow-at", "400 mm", "--stern-at", "400 mm"
    ) == [
        "the command line: --bow-at and --stern-at: read the marks do not separate sinkage from trim: bow at x 0.4 m, "
        "stern at x 0.4 m; expected marks that are well apart along the boat. Read at least one mark near the bow and one "
        "near the stern."
    ]
    (message,) = messages(plan, "--bow", "1 mm", "--stern", "2 mm", "--drill", "30 mm")
    assert message.startswith(
        "the command line: --drill: read 30.0 mm; expected a drill of at most a third of the"
    )


def test_a_mark_off_the_boat_and_a_reading_that_no_boat_lies_at_are_refused(plan):
    assert messages(plan, "--bow", "3 in", "--stern", "20 cm", "--bow-at", "20 m") == [
        "the command line: --bow-at: read 20.000 m; expected a position on this boat, from -475.0 mm to 1425.0 mm. "
        "Measure x aft from the forward end of the waterline, and check the unit.",
        'the command line: --stern: read "20 cm", 200.0 mm from the design line; expected a reading within 142.5 mm of '
        "it. Check the figure and its unit.",
    ]


def test_a_plan_without_a_boat_and_a_hull_that_does_not_tell_are_refused(tmp_path, plan):
    fenwisp = EXAMPLES / "fenwisp.toml"
    assert messages(fenwisp, "--bow", "1 mm", "--stern", "2 mm") == [
        f'{fenwisp}: [boat]: read nothing; expected the boat that you floated. Add [boat] with displacement = "4.2 kg" '
        '(all up), hull = "hull.stl" or offsets = "hull-offsets.csv", and [[weights]] for everything '
        "aboard except the bulb."
    ]
    text = plan.read_text(encoding="utf-8")
    few = 'hull_displacement = "2.9 kg"\nwaterline_length = "950 mm"\nbuoyancy_x = "480 mm"'
    plan.write_text(text.replace('offsets = "larkmoss-offsets.csv"', few), encoding="utf-8")
    assert messages(plan, "--bow", "1 mm", "--stern", "2 mm") == [
        f"{plan}: [boat]: read too little data on the hull: the effect of a weight on trim cannot be calculated "
        "without the hull's vertical centre of buoyancy, waterplane area, centre of flotation, longitudinal BM; expected "
        "the figures a float test needs: waterplane area, centre of flotation and longitudinal BM. Give these figures, or "
        "give the hull as a surface or as offsets."
    ]
    known = (
        f'{few}\nbuoyancy_z = "-20 mm"\nwaterplane_area = "1050 cm2"\nflotation_x = "500 mm"\n'
        'metacentric_radius_along = "1.3 m"'
    )
    plan.write_text(text.replace('offsets = "larkmoss-offsets.csv"', known), encoding="utf-8")
    assert messages(
        plan, "--bow", "freeboard 88 mm", "--stern", "1 mm", "--port", "1 mm", "--starboard", "1 mm"
    ) == [
        'the command line: --bow: read "freeboard 88 mm"; expected the freeboard on the design '
        "line as well, because a hull given only by figures has no deck"
        '. Write, for example, --bow "freeboard 88 mm of 62 mm", or read a mark on the hull.',
        "the command line: --sides-apart: read nothing; expected the distance between the port and "
        'starboard marks, because the plan gives no waterline_beam. Add, for example, --sides-apart "200 mm".',
    ]


# The record


def recorded(plan, *words, when="2026-05-03"):
    return command("float", plan, "--bow", "1 mm", "--stern", "2 mm", "--when", when, *words)


def test_each_test_is_set_under_those_before_it_which_stay_byte_for_byte(plan):
    record = plan.with_name("larkmoss.floats.toml")
    assert recorded(plan).exit_code == 0
    first = record.read_bytes()
    # What a builder adds by hand stays too.
    record.write_bytes(first + b"# windy\n")
    done = recorded(plan, "--aboard", 'a "camera" \\ thing: 40 g @ 600 mm', when="2026-05-04 14:30")
    assert done.exit_code == 0
    second = record.read_bytes()
    assert second.startswith(first + b"# windy\n")
    tests = tomllib.loads(second.decode("utf-8"))["test"]
    assert [str(one["when"]) for one in tests] == ["2026-05-03", "2026-05-04 14:30:00"]
    assert tests[1]["typed"]["aboard"] == ['a "camera" \\ thing: 40 g @ 600 mm']
    found = floated(plan, "--bow", "1 mm", "--stern", "2 mm")
    assert tests[0]["too_much"]["mass_kg"] == found["too_much"]["mass_kg"]
    assert tests[0]["plan_sha256"] == found["meta"]["plan_sha256"]
    # The earlier test is reported, here and by `ballast`; the bundle does not hang on the record.
    assert "Earlier tests" in done.stdout
    assert "Float tests on record" in command("ballast", plan).stdout
    assert sorted(path.name for path in plan.parent.iterdir()) == [
        "larkmoss-offsets.csv",
        "larkmoss.floats.toml",
        "larkmoss.toml",
    ]


def test_without_a_time_the_clocks_is_taken(plan):
    assert command("float", plan, "--bow", "1 mm", "--stern", "2 mm").exit_code == 0
    (test,) = tomllib.loads(plan.with_name("larkmoss.floats.toml").read_text(encoding="utf-8"))["test"]
    assert test["when"].tzinfo is not None


def test_a_record_that_cannot_be_read_is_left_as_it_is(plan):
    record = plan.with_name("larkmoss.floats.toml")
    for content, read in (
        (b"format = ", "text that is not TOML (Invalid value (at end of document))"),
        (b"format = 'something else'\n", "a file of another kind"),
        (b"\xff\xfe", "a file that is not UTF-8 text"),
    ):
        record.write_bytes(content)
        done = recorded(plan)
        assert done.exit_code == 2
        assert done.stdout == ""
        assert done.stderr == (
            f'{record}: the record of float tests: read {read}; expected TOML with format = "bulbcast float tests" and a '
            "[[test]] for each test. Fix it or move it elsewhere; with --no-record it is left alone.\n"
        )
        assert record.read_bytes() == content
    assert recorded(plan, "--no-record").exit_code == 0


@pytest.mark.parametrize(
    ("lines", "read"),
    [
        (
            "[test.too_much]\nmass_kg = nan",
            "mass_kg = nan in test 2; expected a figure from -100000 to 100000 kg. ",
        ),
        (
            "[test.too_much]\nmass_kg = -inf",
            "mass_kg = -inf in test 2; expected a figure from -100000 to 100000 kg. ",
        ),
        (
            "[test.too_much]\ntrim_by_stern_m = 1e300",
            "trim_by_stern_m = 1e+300 in test 2; expected a figure from -100 to 100 m. ",
        ),
        (
            f"[test.too_much]\nmass_kg = {'9' * 400}",
            "mass_kg with 400 digits in test 2; expected a figure from -100000 to 100000 kg. ",
        ),
        (
            'when = "\\u001b[31mred"',
            r'when = "\x1b[31mred" in test 2; expected a day or a time such as 2026-06-01T10:00. ',
        ),
    ],
)
def test_a_record_with_figures_that_no_boat_has_is_refused_by_file_and_test(tmp_path, lines, read):
    plan, record = tmp_path / "boat.toml", tmp_path / "boat.floats.toml"
    content = f'format = "bulbcast float tests"\n[[test]]\nwhen = 2026-05-01\n[[test]]\n{lines}\n'.encode()
    record.write_bytes(content)
    for reading in (lambda: float_record.recorded_tests(plan), lambda: float_record.recorded(plan, {"a": 1})):
        with pytest.raises(PlanError) as caught:
            reading()
        assert [fault.message for fault in caught.value.faults] == [
            f"{record}: the record of float tests: read {read}Fix that line, or put # before each line of that "
            f"test; with "
            "--no-record the file is left alone."
        ]
        assert record.read_bytes() == content


def test_a_record_with_a_byte_order_mark_is_read_and_keeps_it(tmp_path):
    plan, record = tmp_path / "boat.toml", tmp_path / "boat.floats.toml"
    content = b'\xef\xbb\xbfformat = "bulbcast float tests"\r\n[[test]]\r\nwhen = 2026-05-01\r\n'
    record.write_bytes(content)
    float_record.recorded(plan, {"when": "2026-05-02"})
    assert [one.when for one in float_record.recorded_tests(plan)] == ["2026-05-01", "2026-05-02"]
    assert record.read_bytes().startswith(content.rstrip())


def test_nothing_is_recorded_of_a_test_that_cannot_be_shown(plan, monkeypatch):
    record = plan.with_name("larkmoss.floats.toml")

    def fails(*_, **__):
        raise ZeroDivisionError

    monkeypatch.setattr("bulbcast.afloat.chapter.float_text", fails)
    assert recorded(plan).exit_code == 1
    assert not record.exists()


def test_a_faulty_test_is_not_recorded_and_no_record_writes_nothing(plan):
    record = plan.with_name("larkmoss.floats.toml")
    assert command("float", plan, "--bow", "1 mm").exit_code == 2
    assert recorded(plan, "--no-record").exit_code == 0
    assert not record.exists()


def test_tests_recorded_at_the_same_time_are_all_kept(plan):
    words = [sys.executable, "-m", "bulbcast", "float", str(plan), "--bow", "1 mm", "--stern", "2 mm"]
    running = [
        subprocess.Popen(
            [*words, "--when", f"2026-05-0{day}"], stdout=subprocess.DEVNULL, stderr=subprocess.PIPE
        )
        for day in range(1, 5)
    ]
    for one in running:
        _, errors = one.communicate(timeout=120)
        assert one.returncode == 0, errors
    tests = tomllib.loads(plan.with_name("larkmoss.floats.toml").read_text(encoding="utf-8"))["test"]
    assert sorted(str(one["when"]) for one in tests) == [f"2026-05-0{day}" for day in range(1, 5)]


@pytest.mark.parametrize(
    ("said", "plain"),
    [
        ("2 mm high", "2 mm below"),
        ("3 mm deep", "3 mm above"),
        ("3.00 mm above, deep there", "3 mm"),
        ("2.00 mm below, high there", "-2 mm"),
        ("0.00 mm on the line", "on"),
    ],
)
def test_a_reading_is_taken_as_it_is_said_of_the_boat_and_as_the_report_says_it(plan, said, plain):
    """The report's wording of a reading, typed back in, gives the same reading."""
    both = [
        json.loads(command("float", plan, "--bow", one, "--stern", "1 mm", "--no-record", "--json").stdout)
        for one in (said, plain)
    ]
    assert both[0]["too_much"] == both[1]["too_much"]


def test_water_above_and_a_boat_that_is_high_there_are_not_one_reading(plan):
    (message,) = messages(plan, "--bow", "3 mm above, high there", "--stern", "1 mm")
    assert (
        "expected one direction: the boat is deep if the water is above the line, high if it is below"
        in message
    )


def test_a_row_of_holes_longer_than_the_bulb_is_not_advised(plan):
    """Readings of 3 mm and 1 mm need 15 holes of 10 mm; the first would be ahead of the nose."""
    done = command("float", plan, "--bow", "3 mm", "--stern", "1 mm", "--no-record")
    said = " ".join(done.stdout.split())
    assert "As a last step" not in said
    assert "do not fit in a row along this bulb." in said
    assert said.index("Leave spare sail weight (60.0 g) ashore") < said.index(
        "remove the rest from the boat, or cast"
    )
    assert "the largest common drill that fits" in said
    fits = " ".join(command("float", plan, "--bow", "2 mm", "--stern", "0 mm", "--no-record").stdout.split())
    assert float(re.search(r"the first centred ([-\d.]+) mm aft of the bulb's nose", fits)[1]) > 0.0


def test_what_can_be_undone_comes_before_drilling_which_is_given_from_the_nose(plan):
    said = " ".join(
        command("float", plan, "--bow", "1.5 mm", "--stern", "0.5 mm", "--no-record").stdout.split()
    )
    ashore, drill = (
        said.index("Leave spare sail weight (60.0 g) ashore"),
        said.index("As a last step, because it cannot be undone, drill"),
    )
    assert ashore < drill
    assert "aft of the bulb's nose" in said[drill:]
    assert " from centre to centre, with the middle of the row at x = " in said[drill:]
    found = json.loads(
        command("float", plan, "--bow", "1.5 mm", "--stern", "0.5 mm", "--no-record", "--json").stdout
    )
    left = 1e3 * found["too_much"]["mass_kg"] - 60.0
    assert (
        f"With only that left ashore, the boat is {abs(left):.1f} g too {'heavy' if left > 0.0 else 'light'}"
        in said
    )


NUMBERS = """
[boat]
displacement = "2 lb 6 oz"
waterline_length = "21 in"
waterline_beam = "5 1/2 in"
buoyancy_x = "11 in"
buoyancy_z = "-3/4 in"
waterplane_area = "75 sq in"
flotation_x = "11 1/4 in"
metacentric_radius = "1 3/4 in"
metacentric_radius_along = "30 in"
[[weights]]
name = "hull, rig and gear"
mass = "1 lb 2 oz"
x = "11 in"
"""
"""A boat described only by numbers, added by hand to an example without a boat."""
ROOT = """tip_leading_edge_x = "10 in"
root_chord = "2 1/2 in"
root_thickness = "3/8 in"
root_leading_edge_x = "9 3/4 in"
root_z = "-1 in"
"""


@pytest.mark.parametrize("level", ['z = "2 in"\n', ""])
def test_bare_numbers_without_the_fins_root_or_the_weights_z_are_enough_and_near_the_whole_fins(
    tmp_path, level
):
    """Only the height of the mass centre is missing. It has little effect on longitudinal GM, so it is estimated, and
    the text says so."""
    file = tmp_path / "puddlejack.toml"
    fin_tip_only = example_text("puddlejack") + NUMBERS + level
    file.write_text(fin_tip_only, encoding="utf-8")
    read = ("--bow", "3 mm", "--stern", "1 mm")
    done = command("float", file, *read, "--no-record")
    assert done.exit_code == 0, done.output
    said = " ".join(done.stdout.split())
    assert "mass centre, z -2 3/32 in below the waterline by a tenth of its length; our judgement" in said
    estimated = floated(file, *read)["too_much"]
    file.write_text(
        fin_tip_only.replace('tip_z = "-7', f'{ROOT}tip_z = "-7') + ("" if level else 'z = "2 in"\n'),
        encoding="utf-8",
    )
    whole = floated(file, *read)["too_much"]
    assert "mass centre, z" not in command("float", file, *read, "--no-record").stdout
    # The mass depends on the waterplane alone; the moment on GM, which is estimated within 12 %.
    assert estimated["mass_kg"] == pytest.approx(whole["mass_kg"], rel=0.02)
    assert estimated["moment_aft_kg_m"] == pytest.approx(whole["moment_aft_kg_m"], rel=0.12)


def test_of_a_boat_known_by_her_displacement_one_missing_figure_is_asked_for_at_a_time_and_what_is_typed_does(
    tmp_path,
):
    least = LEAST.replace("[bulb]\n", "").replace('target_mass = "2.45 kg"\n', "") + (
        '[boat]\ndisplacement = "4.2 kg"\n[[weights]]\nname = "hull"\nmass = "1.5 kg"\n'
    )
    file = tmp_path / "lark.toml"
    for key in ("waterplane_area", "waterline_length"):
        file.write_text(least, encoding="utf-8")
        done = command("float", file, "--bow", "3 mm above", "--stern", "1 mm below", "--no-record")
        assert done.exit_code == 2
        (fault,) = done.stderr.strip().splitlines()
        assert f"boat.{key}: read nothing" in fault
        line = fault.partition("Add, for example, ")[2].partition(" under [boat]")[0]
        assert line.startswith(key)
        least = least.replace("[boat]\n", f"[boat]\n{line}\n")
    file.write_text(least, encoding="utf-8")
    done = command("float", file, "--bow", "3 mm above", "--stern", "1 mm below", "--no-record")
    assert done.exit_code == 0, done.output
    assert "by the bow" in done.stdout
