"""Plot of a study: its contents, units and axes, and whether it fits the paper."""

from __future__ import annotations

import re
import xml.etree.ElementTree as ElementTree
from dataclasses import replace

import pytest

from bulbcast.compare import COLUMNS, DRAG_COLUMNS, Study, StudyRow, Variation
from bulbcast.compare.plot import study_plot
from bulbcast.compare.plot_marks import raised
from bulbcast.compare.plot_series import figures_of, lines_of
from bulbcast.compare.vary import grid_of
from bulbcast.drawing.plot_axes import axis_at, moved_apart, round_axis
from bulbcast.findings import Severity
from bulbcast.plan.faults import Fault
from bulbcast.quantities import Dimension, Shown

SVG = "{http://www.w3.org/2000/svg}"
METRIC, IMPERIAL = Shown("metric"), Shown("imperial")
FAULT = Fault(file="plan.toml", key="bulb.length", read="9", expected="more", remedy="Take <more> & more.")


def numbers(key="bulb.fineness", values=(4.0, 5.0, 6.0, 7.0), dimension=None):
    labels = tuple(f"{value:g}" for value in values)
    return Variation(key=key, name=key, dimension=dimension, values=labels, labels=labels, numbers=values)


def words(key="alloy.grade", values=("pure", "sheet", "unknown")):
    return Variation(key=key, name=key, dimension=None, values=values, labels=values, numbers=None)


def study_of(*variations, failed=(), stopped=(), speed=None, same=False, **changed):
    """A study with invented figures that rise with the first and second inputs."""
    columns = COLUMNS if speed is None else COLUMNS + DRAG_COLUMNS
    rows = []
    for place, at in enumerate(grid_of(variations)):
        step = 0.0 if same else 0.1 * at[0] + (0.03 * at[1] if len(at) > 1 else 0.0)
        # Each rises in its own way, so that none only follows another.
        values = tuple((0.02 + 0.01 * i) * (1.0 + step) ** (0.5 + 0.5 * i) for i in range(len(columns)))
        if place in failed:
            rows.append(StudyRow(at=at, values=(None,) * len(columns), faults=(FAULT,)))
        else:
            findings = ((Severity.STOP, "wall-thin"),) if place in stopped else ()
            rows.append(StudyRow(at=at, values=values, findings=findings))
    made = Study(
        name="Larkspittle",
        display_units="metric",
        variations=variations,
        columns=columns,
        rows=tuple(rows),
        speed=speed,
        notes=(),
    )
    return replace(made, **changed)


def drawn(study, shown=METRIC):
    return ElementTree.fromstring(study_plot(study, shown))


def texts(root):
    return [element.text for element in root.iter(f"{SVG}text")]


def titles(root):
    return [e.text for e in root.iter(f"{SVG}text") if e.get("class") == "bold"][1:]


def of_class(root, name):
    return [element for element in root.iter() if element.get("class") == name]


def marks(root, *, hollow):
    """Marks in the panels, excluding those in the legend group."""
    legend = {id(mark) for group in root.iter(f"{SVG}g") for mark in group}
    return [
        mark
        for mark in of_class(root, "mark")
        if id(mark) not in legend and (mark.get("fill") == "#fff") is hollow
    ]


# What is drawn


def test_there_is_a_panel_for_each_figure_with_its_unit():
    assert titles(drawn(study_of(numbers("bulb.skin", dimension=Dimension.LENGTH)))) == [
        "hung mass, g",
        "length, mm",
        "diameter, mm",
        "fineness",
        "wetted area, cm²",
        "prismatic",
        "mass centre from nose, mm",
        "mass centre x, mm",
        "displacement, l",
        "cast mass, g",
        "pattern length, mm",
        "charge, g",
    ]


def test_the_units_are_the_builders():
    root = drawn(study_of(numbers("bulb.target_mass", dimension=Dimension.MASS)), IMPERIAL)
    assert titles(root)[:3] == ["hung mass, oz", "length, in", "diameter, in"]
    assert "bulb.target_mass, lb" in texts(root)


def test_an_input_that_is_a_figure_has_no_panel_of_its_own():
    assert "fineness" not in titles(drawn(study_of(numbers("bulb.fineness"))))


def test_what_is_the_same_in_every_row_is_said_and_not_drawn():
    root = drawn(study_of(numbers(), same=True))
    assert titles(root) == []
    assert any(text.startswith("Same in every row: hung mass 20.0 g, length 30.0 mm") for text in texts(root))
    assert "There are no figures to plot." in texts(root)


def test_one_input_makes_a_line_with_a_mark_for_each_plan():
    root = drawn(study_of(numbers()))
    panels = len(titles(root))
    assert len(of_class(root, "line")) == panels
    assert len(marks(root, hollow=False)) == 4 * panels
    assert not marks(root, hollow=True)


def test_a_second_input_makes_lines_told_apart_without_colour_and_named():
    root = drawn(study_of(numbers(), numbers("bulb.target_mass", (2.0, 3.0, 4.0), Dimension.MASS)))
    panels = len(titles(root))
    lines = of_class(root, "line")
    assert len(lines) == 3 * panels
    assert len({line.get("stroke-dasharray") for line in lines}) == 3
    assert texts(root).count("2") == texts(root).count("3") == panels


def test_lines_that_cannot_be_told_apart_are_named_together():
    study = study_of(numbers(), words("fin.pocket", ("cut", "cored")))
    rows = tuple(replace(row, values=study.rows[2 * row.at[0]].values) for row in study.rows)
    shown = texts(drawn(replace(study, rows=rows)))
    assert shown.count("all the same") == len(titles(drawn(study)))
    assert "cored" not in shown


def test_of_many_lines_some_are_named_the_first_and_the_last_among_them():
    second = numbers("fin.carry_at", tuple(0.1 * i for i in range(20)))
    lines = lines_of(study_of(numbers(), second))
    assert len(lines) == 20
    assert sum(line.named for line in lines) == 7
    assert lines[0].named
    assert lines[-1].named


def test_words_make_marks_without_a_line_between():
    root = drawn(study_of(words()))
    assert not of_class(root, "line")
    assert len(marks(root, hollow=False)) == 3 * len(titles(root))
    assert texts(root).count("unknown") == len(titles(root))


def test_words_that_have_no_room_are_turned():
    many = words(values=("antimonial-2", "antimonial-4", "antimonial-6", "wheel-weights", "linotype"))
    turned = [e for e in drawn(study_of(many)).iter(f"{SVG}text") if "rotate" in (e.get("transform") or "")]
    assert len(turned) == 5 * len(titles(drawn(study_of(many))))


def test_drag_is_one_panel_with_a_band_between_its_two_figures():
    study = study_of(numbers(), speed=1.5)
    root = drawn(study)
    assert titles(root)[0] == "drag at 1.50 m/s, mN"
    assert len(of_class(root, "edge")) == 2
    bands = [e for e in root.iter(f"{SVG}path") if e.get("fill-opacity")]
    assert len(bands) == 1
    lower, upper = (_points(edge.get("d")) for edge in of_class(root, "edge")[::-1])
    assert all(low[1] > high[1] for low, high in zip(lower, upper, strict=True)) or all(
        low[1] < high[1] for low, high in zip(lower, upper, strict=True)
    )
    assert _points(bands[0].get("d").rstrip("Z"))[:4] in (lower, upper)


def test_a_band_whose_lower_edge_is_level_is_drawn_all_the_same():
    study = study_of(numbers(), speed=1.5)
    low = [column.key for column in study.columns].index("drag.low_n")
    rows = tuple(replace(row, values=(*row.values[:low], 0.1, *row.values[low + 1 :])) for row in study.rows)
    assert titles(drawn(replace(study, rows=rows)))[0] == "drag at 1.50 m/s, mN"


def test_a_figure_that_rises_runs_up_and_to_the_right_between_ticks_that_say_so():
    study = study_of(numbers())
    root = drawn(study)
    figure = figures_of(study, METRIC)[0]
    first = marks(root, hollow=False)[:4]
    across, down = ([float(mark.get(way)) for mark in first] for way in ("cx", "cy"))
    assert across == sorted(across)
    assert down == sorted(down, reverse=True)
    # Ticks up the side: the end-set figures left of the first panel, down the paper.
    ticks = [
        (float(e.get("y")), float(e.text))
        for e in root.iter(f"{SVG}text")
        if e.get("class") == "quiet end"
        and float(e.get("x")) < across[0]
        and e.text.replace(".", "").isdigit()
    ]
    base = float(re.match(r"M[\d.]+ ([\d.]+)H", of_class(root, "base")[0].get("d"))[1])
    (top, high), (foot, low) = (f(one for one in ticks if one[0] <= base + 2.0) for f in (min, max))
    assert high > low
    # Lettering hangs a little below its tick.
    drop = 0.35 * float(
        next(e for e in root.iter(f"{SVG}text") if e.get("class") == "quiet end").get("font-size")
    )
    for y, value in zip(down, figure.all_shown(), strict=True):
        assert y + drop == pytest.approx(foot + (top - foot) * (value - low) / (high - low), abs=2e-3)
    # And along the foot the first input's own values.
    named = {e.text: float(e.get("x")) for e in root.iter(f"{SVG}text") if e.get("class") == "quiet middle"}
    assert [named[text] for text in ("4", "5", "6", "7")] == sorted(
        named[text] for text in ("4", "5", "6", "7")
    )


def test_the_mark_of_a_band_stands_at_its_lower_edge():
    root = drawn(study_of(numbers(), speed=1.5))
    upper, lower = sorted(
        (_points(edge.get("d")) for edge in of_class(root, "edge")), key=lambda run: run[0][1]
    )
    last = marks(root, hollow=False)[:4]
    assert [(float(mark.get("cx")), float(mark.get("cy"))) for mark in last] == [
        pytest.approx(point, abs=2e-3) for point in lower
    ]
    assert upper[0][1] < lower[0][1]


def test_drag_over_words_is_a_bar_for_each():
    root = drawn(study_of(words(), speed=1.5))
    bars = [e for e in root.iter(f"{SVG}rect") if e.get("fill-opacity")]
    assert len(bars) == 3


def test_a_row_without_a_bulb_breaks_the_line_and_leaves_a_cross():
    root = drawn(study_of(numbers(values=(4.0, 5.0, 6.0, 7.0, 8.0)), failed=(2,)))
    panels = len(titles(root))
    assert len(of_class(root, "line")) == 2 * panels
    assert len(of_class(root, "cross")) == panels + 1
    assert "no bulb (1 of 5)" in texts(root)
    said = {e.text for e in root.iter(f"{SVG}title")}
    assert "fineness 6: bulb.length: read 9; expected more. Take <more> & more." in said


def test_crosses_of_several_lines_stand_in_a_row_each_with_its_name():
    root = drawn(study_of(numbers(), words("fin.pocket", ("cut", "cored")), failed=(0, 1, 3)))
    heights = {
        re.search(r"M[\d.]+ ([\d.]+)", cross.get("d")).group(1) for cross in of_class(root, "cross")[1:4]
    }
    assert len(heights) == 2


def test_a_stop_is_a_hollow_mark():
    root = drawn(study_of(numbers(), stopped=(0, 3)))
    assert len(marks(root, hollow=True)) == 2 * len(titles(root))
    assert "stopped by a finding: do not make as planned (2 of 4)" in texts(root)


def test_where_no_row_has_a_bulb_the_reasons_are_reported():
    shown = texts(drawn(study_of(numbers(), failed=(0, 1, 2, 3))))
    assert "There are no figures to plot." in shown
    assert "fineness 4: bulb.length: read 9; expected more. Take <more> & more." in shown


def test_dense_lines_have_no_marks_but_those_of_a_stop():
    many = numbers(values=tuple(4.0 + 0.1 * i for i in range(60)))
    root = drawn(study_of(many, stopped=(5,)))
    assert not marks(root, hollow=False)
    assert len(marks(root, hollow=True)) == len(titles(root))


def test_a_single_value_is_a_mark():
    root = drawn(study_of(numbers(values=(5.0,)), speed=2.0))
    assert not of_class(root, "line")
    assert len(marks(root, hollow=False)) == len(titles(root))


def test_a_name_is_written_and_not_taken_for_mark_up():
    study = study_of(numbers(), name='<b>"Fen" & wisp</b> m2')
    assert texts(drawn(study))[0] == '<b>"Fen" & wisp</b> m2'


def test_the_same_study_gives_the_same_bytes():
    study = study_of(numbers(), words(), failed=(1,), stopped=(2,), speed=1.0)
    drawn = study_plot(study, METRIC)
    assert drawn == study_plot(study_of(*study.variations, failed=(1,), stopped=(2,), speed=1.0), METRIC)
    assert " style=" not in drawn, "looks are set by classes and attributes"


@pytest.mark.parametrize("shown", [METRIC, IMPERIAL], ids=["metric", "imperial"])
@pytest.mark.parametrize(
    "variations",
    [
        (numbers(),),
        (words(),),
        (numbers(), numbers("bulb.target_mass", tuple(1.0 + 0.2 * i for i in range(12)), Dimension.MASS)),
        (numbers(values=(-2.0, 0.0, 2.0)), words()),
        (words(), numbers()),
        (numbers("bulb.skin", (0.0, 0.001, 0.002), Dimension.LENGTH), words("fin.pocket", ("cut", "cored"))),
    ],
    ids=lambda variations: "-".join(each.leaf for each in variations),
)
def test_everything_keeps_to_the_paper(variations, shown):
    root = drawn(study_of(*variations, failed=(0,), stopped=(1,), speed=1.5), shown)
    width, height = map(float, root.get("viewBox").split()[2:])
    legend = {id(mark) for group in root.iter(f"{SVG}g") for mark in group}
    for path in root.iter(f"{SVG}path"):
        if path.get("class") in ("cross", "rule", "base") or id(path) in legend:
            continue
        for x, y in _points(path.get("d").rstrip("Z")):
            assert 0.0 <= x <= width
            assert 0.0 <= y <= height
    for text in root.iter(f"{SVG}text"):
        assert 0.0 <= float(text.get("x")) <= width - 1.0
        assert 0.0 <= float(text.get("y")) <= height


def _points(run):
    return [tuple(map(float, pair.split())) for pair in run.lstrip("M").split("L")]


def test_figures_keep_their_rows():
    study = study_of(numbers(), failed=(1,))
    figure = next(each for each in figures_of(study, METRIC) if each.title == "length, mm")
    assert [figure.shown(row) for row in range(4)] == [
        pytest.approx(30.0),
        None,
        pytest.approx(36.0),
        pytest.approx(39.0),
    ]


# Axes


@pytest.mark.parametrize(
    ("figures", "ticks", "labels"),
    [
        ((199.1, 315.0), (150, 200, 250, 300, 350), ("150", "200", "250", "300", "350")),
        ((0.565, 0.5704), None, ("0.564", "0.566", "0.568", "0.570", "0.572")),
        ((-0.9, 1.2), (-1, 0, 1, 2), ("-1", "0", "1", "2")),
        ((2.0, 2.0), None, ("1.90", "1.95", "2.00", "2.05", "2.10")),
    ],
)
def test_ticks_are_round_and_hold_the_figures_between_them(figures, ticks, labels):
    axis = round_axis(figures, start=36.0, end=0.0, most=5)
    assert axis.labels == labels
    assert axis.low <= min(figures)
    assert axis.high >= max(figures)
    assert ticks is None or axis.ticks == pytest.approx(ticks)
    assert axis.place(axis.low) == 36.0
    assert axis.place(axis.high) == 0.0


@pytest.mark.parametrize("low", [-3.7e5, -1.0, 0.0, 1e-7, 0.3, 12345.0])
@pytest.mark.parametrize("span", [1e-6, 0.07, 1.0, 9.99, 4e6])
def test_an_axis_never_has_more_ticks_than_asked(low, span):
    axis = round_axis((low, low + span), start=0.0, end=36.0, most=5)
    assert 2 <= len(axis.ticks) <= 5
    assert axis.low <= low + 1e-9 * span
    assert axis.high >= low + span * (1 - 1e-9)
    assert len(set(axis.labels)) == len(axis.labels)


def test_few_figures_are_marked_themselves_and_many_at_round_places():
    few = axis_at((4.0, 4.5, 6.0), start=0.0, end=60.0, margin=2.0, most=9, unit_width=1.5)
    assert few.labels == ("4", "4.5", "6")
    assert few.place(4.0) == pytest.approx(2.0)
    assert few.place(6.0) == pytest.approx(58.0)
    many = axis_at([4 + 0.1 * i for i in range(41)], start=0.0, end=60.0, margin=2.0, most=9, unit_width=1.5)
    assert many.labels == ("4", "5", "6", "7", "8")
    close = axis_at((4.0, 4.001, 8.0), start=0.0, end=60.0, margin=2.0, most=9, unit_width=1.5)
    assert close.labels == ("4", "5", "6", "7", "8")


def test_names_are_moved_apart_no_further_than_they_must():
    assert moved_apart([10.0, 30.0], 3.0, 0.0, 40.0) == [10.0, 30.0]
    assert moved_apart([10.0, 10.0, 10.0], 3.0, 0.0, 40.0) == pytest.approx([7.0, 10.0, 13.0])
    assert moved_apart([20.0, 11.0, 10.0], 3.0, 0.0, 40.0) == pytest.approx([20.0, 12.0, 9.0])
    assert moved_apart([39.5, 39.0], 3.0, 0.0, 40.0) == pytest.approx([40.0, 37.0])
    assert moved_apart([0.5, 0.0], 3.0, 0.0, 40.0) == pytest.approx([3.0, 0.0])
    assert moved_apart([], 3.0, 0.0, 40.0) == []


@pytest.mark.parametrize(
    ("unit", "printed"),
    [
        ("cm2", "cm²"),
        ("in3", "in³"),
        ("231.4 cm3", "231.4 cm³"),
        ("g/cm3", "g/cm³"),
        ("Team2", "Team2"),
        ("4", "4"),
    ],
)
def test_only_the_power_of_a_unit_is_raised(unit, printed):
    assert raised(unit) == printed
