"""The study: every row matches a separate run of its plan, failed rows are kept, and several processes give the same
result.
"""

from __future__ import annotations

import copy
import csv
import io
import json
import tomllib
from concurrent.futures import Future
from concurrent.futures.process import BrokenProcessPool

import pytest

from bulbcast.compare import (
    COLUMNS,
    compare,
    offsets_named,
    read_variations,
    study_csv,
    study_object,
    study_table,
)
from bulbcast.findings import Severity
from bulbcast.job import OffsetsTable, run
from bulbcast.job.plan_json import plan_object
from bulbcast.materials.water import water_of_kind
from bulbcast.plan.faults import PlanError
from bulbcast.plan.reading import read_plan, read_plan_table
from bulbcast.quantities import Shown
from bulbcast.sailing.drag import bulb_drag

PLAN = """
name = "Larkspittle"

[bulb]
target_mass = "2.45 kg"
fineness = 5.0
tail_diameter = "4 mm"

[alloy]
grade = "pure"

[fin]
tip_chord = "70 mm"
tip_thickness = "7 mm"
pocket_depth = "6 mm"
material = "metal"

[[screws]]
at = "20 mm"
diameter = "3 mm"
hole_diameter = "3.5 mm"
head_diameter = "6 mm"
head_height = "2 mm"
recess = "8 mm"
length = "45 mm"

[[screws]]
at = "40 mm"
diameter = "3 mm"
hole_diameter = "3.5 mm"
head_diameter = "6 mm"
head_height = "2 mm"
recess = "8 mm"
length = "45 mm"
"""
METRIC = Shown("metric")


def table_of(text=PLAN):
    return tomllib.loads(text)


def study_of(*typed, table=None, **more):
    table = table_of() if table is None else table
    return compare(table, read_variations(typed, table), file=("plan.toml", "00"), **more)


def looked_up(tree, key):
    for name in key.split("."):
        tree = tree[name]
    return tree


# Rows


def test_a_row_is_the_very_plan_that_would_be_typed():
    study = study_of("bulb.fineness=4:6:3")
    for row, fineness in zip(study.rows, ("4", "5", "6"), strict=True):
        plan = read_plan(PLAN.replace("fineness = 5.0", f"fineness = {fineness}"), source="plan.toml")
        result = plan_object(run(plan))
        assert row.values == tuple(looked_up(result, column.key) for column in COLUMNS)
        assert [(str(severity), code) for severity, code in row.findings] == list(
            dict.fromkeys((each["severity"], each["code"]) for each in result["findings"])
        )


def test_rows_come_in_the_order_of_the_grid_the_first_input_slowest():
    study = study_of("bulb.target_mass=2kg,3kg", "bulb.fineness=5,6")
    assert [row.at for row in study.rows] == [(0, 0), (0, 1), (1, 0), (1, 1)]
    assert study.column("bulb.hung_mass_kg") == pytest.approx((2.0, 2.0, 3.0, 3.0), rel=1e-10)
    assert study.column("bulb.fineness") == pytest.approx((5.0, 6.0, 5.0, 6.0), rel=1e-12)
    assert study.labels(study.rows[2]) == ("3 kg", "5")


def test_the_plans_table_is_left_as_it_was():
    table = table_of()
    before = copy.deepcopy(table)
    study_of("screws[1].recess=7mm,8mm", "alloy.density=11.0g/cm3,11.2g/cm3", table=table)
    assert table == before


def test_a_row_that_cannot_be_read_stays_with_its_reason():
    study = study_of("bulb.fineness=5,30")
    good, bad = study.rows
    assert (good.failed, bad.failed, study.failed) == (False, True, 1)
    assert good.reason == ""
    assert bad.values == (None,) * len(COLUMNS)
    assert bad.reason == (
        "bulb.fineness: read 30; expected a bare number from 2 to 20. It must be at most 20."
    )


def test_a_row_without_a_solution_stays_with_its_reason():
    study = study_of("bulb.length=60mm,230mm")
    assert [row.failed for row in study.rows] == [True, False]
    assert study.rows[0].reason.startswith(
        "bulb.length: read 60.0 mm for a hung mass of 2450.0 g; expected a"
    )
    assert "\n" not in study.rows[0].reason


def test_several_faults_of_one_row_are_counted_behind_the_first():
    study = study_of("bulb.profile=naca4,series58")
    assert study.rows[1].reason.startswith("bulb.max_at: read nothing; expected ")
    assert study.rows[1].reason.endswith(" (and 3 more)")


def test_a_row_with_a_stop_says_so_with_its_codes():
    study = study_of("bulb.smallest_wall=1mm,19mm")
    fine, stopped = study.rows
    assert (fine.stopped, stopped.stopped, study.stopped) == (False, True, 1)
    assert stopped.worst is Severity.STOP
    assert "wall-thin" in stopped.worst_codes
    shown = dict(zip((column.key for column in study.columns), stopped.values, strict=True))
    assert [key for key, value in shown.items() if value is None] == ["melt.charge_kg"], (
        "a stop withholds the charge"
    )


def test_a_fault_that_every_row_has_is_the_plans_own():
    table = table_of()
    del table["fin"]["tip_chord"]
    with pytest.raises(PlanError) as caught:
        study_of("bulb.fineness=4,5", table=table)
    assert str(caught.value) == (
        "plan.toml: fin.tip_chord: read nothing; expected a length from 1 mm to 10 m. "
        'Add tip_chord = "70 mm", say, under [fin].'
    )


def test_faults_of_their_own_in_every_row_leave_the_rows():
    study = study_of("bulb.fineness=30,40")
    assert study.failed == 2
    assert [row.reason.split(";")[0] for row in study.rows] == [
        "bulb.fineness: read 30",
        "bulb.fineness: read 40",
    ]


def test_varying_the_diameter_replaces_the_fineness_and_says_so():
    study = study_of("bulb.diameter=44mm,48mm")
    assert study.failed == 0
    assert study.column("bulb.diameter_m") == pytest.approx((0.044, 0.048), rel=1e-12)
    assert study.notes == ("bulb.fineness in the plan is replaced by bulb.diameter.",)


def test_a_plan_without_a_name_is_called_by_its_file():
    table = table_of()
    del table["name"]
    assert study_of("bulb.fineness=5,6", table=table).name == "plan"


# Drag


def test_drag_needs_a_speed():
    assert study_of("bulb.fineness=5,6").columns == COLUMNS
    with pytest.raises(KeyError):
        study_of("bulb.fineness=5,6").column("drag.low_n")


def test_drag_is_that_of_the_finished_bulb_in_the_plans_water():
    table = table_of()
    study = study_of("water.kind=fresh,salt", table=table, speed=1.5)
    for row, kind in enumerate(("fresh", "salt")):
        water = water_of_kind(kind)
        drag = bulb_drag(
            length=study.column("bulb.length_m")[row],
            fineness=study.column("bulb.fineness")[row],
            wetted_area=study.column("bulb.wetted_area_m2")[row],
            speed=1.5,
            water_density=water.density,
            kinematic_viscosity=water.kinematic_viscosity,
        )
        assert study.column("drag.low_n")[row] == drag.low
        assert study.column("drag.high_n")[row] == drag.high
        assert study.column("drag.reynolds")[row] == drag.reynolds
    assert study.notes[-1].startswith(
        "Drag is given as a range over three published form factors, not as an optimum. "
    )
    assert "laminar flow and separation on a full tail can dominate" in study.notes[-1]


def test_too_slow_for_any_friction_line_leaves_the_bulb_and_says_why():
    study = study_of("bulb.fineness=5,6", speed=0.001)
    assert study.failed == 0
    assert study.column("drag.low_n") == (None, None)
    assert study.rows[0].reason.startswith("The Reynolds number is 20")
    assert study.rows[0].reason.endswith(
        ", but the friction line is used only from 1000 upwards. Give a higher speed."
    )
    assert "Give a higher speed." in study_csv(study)


@pytest.mark.parametrize("speed", [0.0, -1.0, 51.0, float("nan"), float("inf")])
def test_a_speed_out_of_range_is_reported(speed):
    with pytest.raises(PlanError) as caught:
        study_of("bulb.fineness=5,6", speed=speed)
    assert str(caught.value) == (
        f"--speed: speed: read {speed:g} m/s; expected a speed above 0 and up to 50 m/s. Correct the figure, and check "
        "its unit."
    )


# Tables of ordinates


def test_two_tables_of_ordinates_can_be_compared():
    table = table_of()
    table["bulb"] |= {"profile": "offsets", "offsets": "a.csv"}
    variations = read_variations(["bulb.offsets=a.csv,b.csv"], table)
    assert offsets_named(table, variations) == ("a.csv", "b.csv")
    places = [i / 40 for i in range(41)]
    loaded = {
        name: OffsetsTable(
            x=tuple(places),
            r=tuple(0.1 * (4 * x * (1 - x)) ** power for x in places),
            width_to_height=None,
            source=name,
        )
        for name, power in (("a.csv", 0.5), ("b.csv", 0.75))
    }
    study = compare(table, variations, file=("plan.toml", "00"), offsets=loaded)
    assert study.failed == 0
    full, fine = study.column("bulb.prismatic")
    # Spheroid 2/3 and Sears-Haack 3 pi / 16, but for the cut tail and the spline.
    assert full == pytest.approx(2 / 3, abs=0.01)
    assert fine == pytest.approx(0.589, abs=0.02)


def test_a_profile_that_is_not_a_table_names_none():
    assert offsets_named(table_of(), read_variations(["bulb.profile=naca4,spheroid"], table_of())) == ()


# Processes


def test_several_processes_give_the_same_study_and_tell_their_progress():
    alone, together = [], []
    one = study_of("bulb.fineness=4:8:12", speed=1.5, workers=1, progress=lambda *done: alone.append(done))
    two = study_of("bulb.fineness=4:8:12", speed=1.5, workers=2, progress=lambda *done: together.append(done))
    assert study_csv(two) == study_csv(one)
    assert two == one
    assert alone == [(i, 12) for i in range(1, 13)]
    assert together == [(5, 12), (10, 12), (12, 12)]


def test_where_no_process_can_be_had_the_rows_are_done_all_the_same(monkeypatch):
    def refuse(*args, **kwargs):
        raise OSError("no processes here")

    monkeypatch.setattr("concurrent.futures.ProcessPoolExecutor", refuse)
    assert study_csv(study_of("bulb.fineness=4:8:6", workers=2)) == study_csv(study_of("bulb.fineness=4:8:6"))


def test_rows_left_by_a_process_that_was_ended_are_done_here(monkeypatch):
    class Ended:
        """A process pool whose first chunk is lost."""

        def __init__(self, *, initializer, initargs, **kwargs):
            initializer(*initargs)

        def submit(self, work, chunk):
            lost = Future()
            lost.set_exception(BrokenProcessPool())
            return lost

        def shutdown(self, **kwargs):
            pass

    monkeypatch.setattr("concurrent.futures.ProcessPoolExecutor", Ended)
    monkeypatch.setattr("signal.signal", lambda *args: None)
    seen = []
    study = study_of("bulb.fineness=4:8:12", workers=2, progress=lambda done, total: seen.append(done))
    assert study_csv(study) == study_csv(study_of("bulb.fineness=4:8:12"))
    assert seen == [5, 6, 7, 8, 9, 10, 11, 12]


# CSV


def test_csv_has_a_heading_with_units_and_every_digit():
    study = study_of("bulb.target_mass=2kg,2.5kg,5 lb", "bulb.profile=naca4,spheroid", speed=1.0)
    text = study_csv(study)
    assert text.count("\r\n") == text.count("\n") == 7
    assert text.endswith("\r\n")
    rows = list(csv.DictReader(io.StringIO(text, newline="")))
    assert list(rows[0]) == [
        "varied.bulb.target_mass_kg",
        "varied.bulb.profile",
        *(column.key for column in study.columns),
        "worst",
        "findings",
        "reason",
    ]
    for read, row in zip(rows, study.rows, strict=True):
        assert float(read["varied.bulb.target_mass_kg"]) == (2.0, 2.5, 2.26796185)[row.at[0]]
        assert read["varied.bulb.profile"] == ("naca4", "spheroid")[row.at[1]]
        assert tuple(float(read[column.key]) for column in study.columns) == row.values


def test_csv_quotes_what_has_to_be_and_leaves_what_is_missing_empty():
    text = study_csv(study_of("bulb.fineness=5,30", "bulb.profile=naca4,series58"))
    rows = list(csv.DictReader(io.StringIO(text, newline="")))
    assert [row["bulb.length_m"] == "" for row in rows] == [False, True, True, True]
    assert '""series58""' in text
    assert rows[1]["reason"].startswith("bulb.max_at: read nothing")
    assert rows[2]["worst"] == rows[2]["findings"] == ""


# JSON


def test_the_object_bears_the_results_keys_and_is_json():
    study = study_of("screws[1].recess=7mm,8mm", "bulb.fineness=5,30", speed=1.0)
    made = study_object(study)
    again = json.loads(json.dumps(made, allow_nan=False))
    assert again == made
    assert made["varied"] == [
        {"key": "screws[1].recess", "typed": ["7mm", "8mm"], "values": [0.007, 0.008], "unit": "m"},
        {"key": "bulb.fineness", "typed": ["5", "30"], "values": [5.0, 30.0], "unit": ""},
    ]
    good, bad = made["rows"][:2]
    assert good["varied"] == {"screws[1].recess": 0.007, "bulb.fineness": 5.0}
    for column, value in zip(study.columns, study.rows[0].values, strict=True):
        assert looked_up(good, column.key) == value
    assert (good["faults"], good["reason"]) == ([], None)
    assert "bulb" not in bad
    assert bad["faults"][0]["key"] == "bulb.fineness"
    assert (made["failed"], made["stopped"], made["speed_m_s"]) == (2, study.stopped, 1.0)


def test_every_figures_key_is_one_of_the_results():
    result = plan_object(run(read_plan_table(table_of(), source="plan.toml", sha256="00")))
    for column in COLUMNS:
        assert isinstance(looked_up(result, column.key), float)


# The table for the terminal


def test_the_table_tells_what_is_the_same_once_and_what_differs_in_columns():
    text = study_table(study_of("bulb.fineness=4:6:3"), METRIC, 200)
    lines = text.splitlines()
    assert lines[0] == "Larkspittle: bulb.fineness 4, 5, 6; 3 plans"
    assert lines[1].startswith("3 bulbs of 2450.0 g: longer is thinner, length ")
    assert lines[2].startswith("Same in every row: hung mass 2450.0 g, mass centre x 28.0 mm")
    heading = lines[4]
    assert heading.startswith("fineness  length  diameter  wetted area")
    assert heading.count("fineness") == 1
    assert lines[5].split() == ["mm", "mm", "cm2", "mm", "cm3", "g", "mm", "g"]
    assert [line.split()[0] for line in lines[6:9]] == ["4", "5", "6"]


@pytest.mark.parametrize("width", [60, 80, 100, 140])
def test_the_table_keeps_to_the_terminals_width(width):
    study = study_of("bulb.fineness=5,6,30", "bulb.target_mass=2kg,2.45kg", speed=1.5)
    text = study_table(study, METRIC, width)
    assert max(map(len, text.splitlines())) <= width
    assert text.count("no bulb: bulb.fineness: read 30") + text.count("no bulb: bulb.fineness:\n") >= 1


def test_the_table_is_in_the_builders_units():
    text = study_table(study_of("bulb.target_mass=4 lb 8 oz:5lb:3"), Shown("imperial"), 200)
    assert "4 lb 12 oz" in text
    assert " mm" not in text
    assert "in2" in text


def test_the_table_counts_failures_and_stops():
    study = study_of("bulb.fineness=5,30", "bulb.smallest_wall=1mm,19mm")
    text = study_table(study, METRIC, 100)
    assert "2 of 4 rows without a bulb." in text
    assert "1 of 4 rows with a stop." in text
    assert "no bulb: bulb.fineness: read 30; expected a bare number from 2 to 20." in text
    assert "stop: " in text


def test_a_study_of_one_plan_shows_all_its_figures():
    text = study_table(study_of("bulb.fineness=5"), METRIC, 300)
    assert "The same" not in text
    assert "2450.0" in text
