"""Views are to scale, each dimension shows the length it measures, and text never overlaps."""

from __future__ import annotations

import itertools
import math
import xml.etree.ElementTree as ElementTree

import numpy as np
import pytest

from bulbcast.bulb.views.cross_sections import cross_sections
from bulbcast.bulb.views.fairness import area_curve, fairness
from bulbcast.bulb.views.legend import legend
from bulbcast.bulb.views.plan_view import fin_plan, plan_view
from bulbcast.bulb.views.side_view import side_view
from bulbcast.drawing.layout import nice_scale, round_length, scale_words, spread
from bulbcast.drawing.shapes import (
    Box,
    Circle,
    Dimension,
    Hatch,
    Line,
    Region,
    Style,
    Text,
    View,
    dimension_text,
    text_box,
)
from bulbcast.drawing.svg import number, svg_text
from bulbcast.job import Job, run
from bulbcast.plan.reading import read_plan

SCREW = (
    '[[screws]]\nat = "{at}"\ndiameter = "{d}"\nhole_diameter = "{hole}"\nhead_diameter = "{head}"\n'
    'head_height = "{tall}"\nrecess = "{recess}"\nlength = "{length}"\n'
)
MODEL_SCREW = {
    "d": "4 mm",
    "hole": "4.5 mm",
    "head": "8 mm",
    "tall": "2.6 mm",
    "recess": "8 mm",
    "length": "45 mm",
}


def plan_text(
    *,
    mass="2.45 kg",
    size="fineness = 5.0",
    wide="1.0",
    skin="0.2 mm",
    chord="70 mm",
    thick="7 mm",
    depth="6 mm",
    rake="0 deg",
    units="metric",
    screws=("14 mm", "34 mm"),
    screw=None,
    name="Pebblewick",
    more="",
):
    return (
        f'name = \'{name}\'\ndisplay_units = "{units}"\n[water]\nkind = "fresh"\n'
        f'[bulb]\ntarget_mass = "{mass}"\n{size}\nwidth_to_height = {wide}\nskin = "{skin}"\n'
        f'[alloy]\ngrade = "pure"\n'
        f'[fin]\ntip_chord = "{chord}"\ntip_thickness = "{thick}"\npocket_depth = "{depth}"\nrake = "{rake}"\n{more}\n'
        + "".join(SCREW.format(at=at, **(screw or MODEL_SCREW)) for at in screws)
    )


def job_of(**changes) -> Job:
    return run(read_plan(plan_text(**changes), source="pebblewick.toml"))


# A bulb for every way in which a drawing could go wrong.
CASES = {
    "plain": {},
    "imperial": {"units": "imperial"},
    "no screws": {"screws": ()},
    "no pocket": {"depth": "0 mm", "screws": ()},
    "raked aft": {"rake": "22 deg"},
    "raked forward, imperial": {"rake": "-35 deg", "units": "imperial"},
    "wide": {"wide": "3.0"},
    "tall": {"wide": "0.4"},
    "fat": {"size": "fineness = 2", "chord": "50 mm"},
    "slim": {"size": "fineness = 19", "mass": "9 kg"},
    "forty millimetres long": {
        "mass": "20 g",
        "size": 'length = "40 mm"',
        "chord": "18 mm",
        "thick": "2 mm",
        "depth": "1.5 mm",
        "screws": ("6 mm",),
        "screw": {
            "d": "0.6 mm",
            "hole": "0.8 mm",
            "head": "1.4 mm",
            "tall": "0.4 mm",
            "recess": "1.5 mm",
            "length": "9 mm",
        },
    },
    "a metre and a half long": {
        "mass": "300 kg",
        "size": 'length = "1.5 m"',
        "chord": "450 mm",
        "thick": "50 mm",
        "depth": "30 mm",
        "screws": ("90 mm", "160 mm", "240 mm"),
        "screw": {
            "d": "14 mm",
            "hole": "15 mm",
            "head": "28 mm",
            "tall": "9 mm",
            "recess": "40 mm",
            "length": "220 mm",
        },
    },
    "eleven screws": {
        "chord": "120 mm",
        "thick": "12 mm",
        "screws": tuple(f"{8 + 9 * i} mm" for i in range(11)),
        "screw": {
            "d": "2 mm",
            "hole": "2.4 mm",
            "head": "4 mm",
            "tall": "1.5 mm",
            "recess": "8 mm",
            "length": "40 mm",
        },
    },
    "fin longer than the bulb": {"chord": "300 mm", "thick": "24 mm"},
    "recess through the bulb": {"screw": {**MODEL_SCREW, "recess": "60 mm"}},
    "screws outside": {"screws": ("-4 mm", "300 mm", "9 m")},
    "a screw of three metres": {"screws": ("20 mm",), "screw": {**MODEL_SCREW, "length": "3 m"}},
    "a head wider than the bulb": {"screws": ("20 mm",), "screw": {**MODEL_SCREW, "head": "60 mm"}},
}


@pytest.fixture(scope="module")
def jobs() -> dict[str, Job]:
    return {name: job_of(**changes) for name, changes in CASES.items()}


@pytest.fixture(scope="module")
def views(jobs) -> dict[str, tuple[View, ...]]:
    return {name: all_views(job) for name, job in jobs.items()}


def all_views(job: Job) -> tuple[View, ...]:
    side = side_view(job)
    return (
        legend(job),
        side,
        plan_view(job, beneath=side),
        fin_plan(job),
        *cross_sections(job),
        fairness(job),
    )


def texts_of(view: View) -> list[Text]:
    return [
        dimension_text(shape) if isinstance(shape, Dimension) else shape
        for shape in view.shapes
        if isinstance(shape, Text | Dimension)
    ]


def lead_of(view: View) -> np.ndarray:
    region = next(shape for shape in view.shapes if isinstance(shape, Region) and shape.style is Style.LEAD)
    return np.array(region.contours[0])


def extent(points: np.ndarray) -> tuple[float, float]:
    return tuple(points.max(axis=0) - points.min(axis=0))


@pytest.mark.parametrize("case", CASES)
def test_the_side_view_is_as_long_and_as_high_as_the_bulb(jobs, case):
    body = jobs[case].bulb.body
    assert extent(lead_of(side_view(jobs[case]))) == pytest.approx(
        (1e3 * body.length, 1e3 * body.height), rel=1e-9
    )


@pytest.mark.parametrize("case", CASES)
def test_the_plan_view_is_as_long_and_as_wide_as_the_bulb(jobs, case):
    body = jobs[case].bulb.body
    assert extent(lead_of(plan_view(jobs[case]))) == pytest.approx(
        (1e3 * body.length, 1e3 * body.width), rel=1e-9
    )


@pytest.mark.parametrize("case", CASES)
def test_the_largest_section_has_the_bulbs_width_and_height(jobs, case):
    body = jobs[case].bulb.body
    section = next(view for view in cross_sections(jobs[case]) if view.name == "section-a")
    assert extent(lead_of(section)) == pytest.approx((1e3 * body.width, 1e3 * body.height), rel=1e-9)


@pytest.mark.parametrize("case", CASES)
def test_every_dimension_shows_the_distance_it_measures(jobs, views, case):
    shown = jobs[case].shown
    for view in views[case]:
        for shape in view.shapes:
            if isinstance(shape, Dimension) and "mass centre" not in shape.text:
                figure = shown.length(1e-3 * shape.measured)
                assert shape.text.endswith(f" {figure}"), (view.name, shape.text, figure)


def test_the_dimension_to_the_mass_centre_ends_at_the_mass_centre(jobs):
    job = jobs["plain"]
    found = [
        shape
        for shape in side_view(job).shapes
        if isinstance(shape, Dimension) and "mass centre" in shape.text
    ]
    assert [shape.measured for shape in found] == [pytest.approx(1e3 * job.bulb.mass_centre_x, rel=1e-12)]


def test_the_side_view_gives_all_its_dimensions(jobs):
    texts = " | ".join(text.text for text in texts_of(side_view(jobs["plain"])))
    for words in (
        "length ",
        "dia ",
        "pocket 6.00 mm",
        "ahead of fin ",
        "behind fin ",
        "nose to mass centre ",
    ):
        assert words in texts
    for figure in ("14.0 mm", "34.0 mm", "screw 1", "screw 2", "elastic axis"):
        assert figure in texts


@pytest.mark.parametrize("case", CASES)
def test_no_text_meets_another(views, case):
    for view in views[case]:
        boxes = [(text.text, text_box(text).grown(-1e-9)) for text in texts_of(view)]
        met = [(one[0], two[0]) for one, two in itertools.combinations(boxes, 2) if one[1].meets(two[1])]
        assert met == [], view.name


@pytest.mark.parametrize("case", CASES)
def test_no_text_is_cut_off_at_the_edge(views, case):
    for view in views[case]:
        for text in texts_of(view):
            assert view.box.joined(text_box(text)) == view.box, (view.name, text.text)


@pytest.mark.parametrize("case", CASES)
def test_every_view_fits_a_page(views, case):
    for view in views[case]:
        assert view.box.width * view.scale <= 186.0, view.name
        assert view.box.height * view.scale <= 230.0, view.name


@pytest.mark.parametrize("case", CASES)
def test_every_view_parses_as_xml_and_has_its_size_in_millimetres(views, case):
    for view in views[case]:
        root = ElementTree.fromstring(svg_text(view))
        assert root.tag == "{http://www.w3.org/2000/svg}svg"
        assert float(root.get("width").removesuffix("mm")) == pytest.approx(
            view.box.width * view.scale, abs=1e-3
        )
        assert root.get("viewBox") == f"0 0 {root.get('width')[:-2]} {root.get('height')[:-2]}"


def test_names_within_a_report_are_unique(views):
    for drawn in views.values():
        names = [view.name for view in drawn]
        assert len(set(names)) == len(names)


def test_the_same_job_gives_the_same_bytes(jobs):
    again = job_of(**CASES["raked aft"])
    first = [svg_text(view) for view in all_views(jobs["raked aft"])]
    assert first == [svg_text(view) for view in all_views(again)]


def test_a_text_with_markup_in_it_stays_a_text():
    view = View(
        name="odd",
        title="<b>&",
        shapes=(Text(at=(1.0, 1.0), text='</text><script>&"', height=1.0),),
        box=Box(left=0.0, bottom=0.0, right=2.0, top=2.0),
        scale=1.0,
    )
    root = ElementTree.fromstring(svg_text(view))
    assert root.findall(".//{*}text")[0].text == '</text><script>&"'
    assert root.findall(".//{*}script") == []


def test_a_drawing_to_two_scales_keeps_lettering_and_halves_the_object():
    shapes = (Line(start=(0.0, 0.0), end=(10.0, 5.0), style=Style.OUTLINE),)
    box = Box(left=0.0, bottom=0.0, right=10.0, top=5.0)
    full, half = (
        svg_text(View(name="v", title="t", shapes=shapes, box=box, scale=scale), width=10.0 * scale)
        for scale in (1.0, 0.5)
    )
    assert 'd="M0,5L10,0"' in full
    assert 'd="M0,2.5L5,0"' in half


def test_y_up_becomes_y_down_only_on_paper():
    view = View(
        name="v",
        title="t",
        shapes=(
            Region(
                contours=(((0.0, 0.0), (2.0, 0.0), (2.0, 1.0)),),
                style=Style.LEAD,
                hatch=Hatch(spacing=1.0, angle=45.0),
            ),
        ),
        box=Box(left=0.0, bottom=0.0, right=2.0, top=1.0),
        scale=1.0,
    )
    assert 'd="M0,1L2,1L2,0Z"' in svg_text(view)


@pytest.mark.parametrize(
    ("value", "text"),
    [(0.0, "0"), (-0.0, "0"), (-0.0004, "0"), (1.5, "1.5"), (2.0, "2"), (-3.1416, "-3.142")],
)
def test_figures_are_written_short_and_without_a_minus_zero(value, text):
    assert number(value) == text


@pytest.mark.parametrize(
    ("fits", "scale", "words"),
    [(1.0, 1.0, "1:1"), (0.99, 0.8, "1:1.25"), (0.51, 0.5, "1:2"), (0.45, 0.4, "1:2.5"), (0.1, 0.1, "1:10"),
     (0.0999, 0.08, "1:12.5"), (2.4, 2.0, "2:1"), (9.9, 8.0, "8:1"), (10.0, 10.0, "10:1")],
)  # fmt: skip
def test_scales_are_usual_ones_and_never_too_large(fits, scale, words):
    assert nice_scale(fits) == pytest.approx(scale, rel=1e-12)
    assert scale_words(nice_scale(fits)) == words


@pytest.mark.parametrize(
    ("most", "imperial", "length"),
    [
        (36.0, False, 20.0),
        (99.9, False, 50.0),
        (0.7, False, 0.5),
        (26.0, True, 25.4),
        (13.0, True, 12.7),
        (300.0, True, 254.0),
    ],
)
def test_scale_bars_have_round_lengths(most, imperial, length):
    assert round_length(most, imperial=imperial) == pytest.approx(length, rel=1e-12)


def test_labels_that_have_room_stay_where_they_are_wanted():
    assert spread([2.0, 8.0, 20.0], [2.0, 2.0, 2.0], 0.0, 30.0) == [2.0, 8.0, 20.0]


def test_labels_that_touch_move_apart_evenly():
    assert spread([10.0, 10.0, 10.0], [2.0, 2.0, 2.0], 0.0, 30.0) == pytest.approx([8.0, 10.0, 12.0])


def test_labels_stay_within_their_line():
    assert spread([0.0, 0.5], [2.0, 2.0], 0.0, 30.0) == pytest.approx([1.0, 3.0])
    assert spread([29.5, 30.0], [2.0, 2.0], 0.0, 30.0) == pytest.approx([27.0, 29.0])


def test_labels_keep_their_order_and_never_overlap():
    wanted = [1.0, 1.1, 5.0, 5.2, 5.3, 9.0, 30.0]
    sizes = [3.0, 1.0, 2.0, 4.0, 1.0, 2.0, 5.0]
    places = spread(wanted, sizes, 0.0, 40.0)
    ends = [(at - 0.5 * size, at + 0.5 * size) for at, size in zip(places, sizes, strict=True)]
    assert all(one[1] <= two[0] + 1e-12 for one, two in itertools.pairwise(ends))


def test_rake_leans_fin_and_screws_as_the_axis_does(jobs):
    job = jobs["raked aft"]
    view = side_view(job)
    fin = np.array(next(s for s in view.shapes if isinstance(s, Region) and s.style is Style.FIN).contours[0])
    # Foot of the leading edge first, top of it last; tip aft is positive, so that the top lies forward.
    foot, top = fin[0], fin[-1]
    assert (foot[0] - top[0]) / (top[1] - foot[1]) == pytest.approx(math.tan(job.plan.fin.rake), rel=1e-12)
    assert foot == pytest.approx((1e3 * job.bulb.pocket.leading_edge_x, 1e3 * job.bulb.axis.floor), rel=1e-12)
    shank = np.array(
        next(s for s in view.shapes if isinstance(s, Region) and s.style is Style.SCREW).contours[0]
    )
    side = shank[2] - shank[1]
    assert math.atan2(-side[0], side[1]) == pytest.approx(job.plan.fin.rake, rel=1e-9)
    assert np.hypot(*(shank[1] - shank[0])) == pytest.approx(4.0, rel=1e-12)


@pytest.mark.parametrize("case", ["plain", "raked aft", "raked forward, imperial", "wide", "tall"])
def test_pocket_hole_and_plug_are_drawn_inside_the_lead(jobs, case):
    job = jobs[case]
    half = 0.5e3 * job.bulb.body.height
    for shape in side_view(job).shapes:
        if isinstance(shape, Region) and shape.style in (Style.BEDDING, Style.PLUG):
            for contour in shape.contours:
                assert max(abs(y) for _, y in contour) <= half * (1.0 + 1e-9)


def test_the_section_along_a_screw_shows_its_own_figures(jobs):
    job = jobs["plain"]
    room = job.room.screws[0]
    section = next(view for view in cross_sections(job) if view.name == "section-1")
    texts = [text.text for text in texts_of(section)]
    for words, value in (
        ("hole wall", room.hole_wall.thickness),
        ("recess wall", room.recess_wall.thickness),
        ("above the head", room.seat_to_floor),
    ):
        assert f"{words} {job.shown.length(value)}" in texts
    assert texts.count("enough, 3.00 mm required") == 3


@pytest.mark.parametrize("case", ["plain", "a metre and a half long"])
def test_a_wall_in_the_plane_of_its_section_is_drawn_as_long_as_it_is(jobs, case):
    job = jobs[case]
    room = job.room.screws[0]
    section = next(view for view in cross_sections(job) if view.name == "section-1")
    drawn = sorted(
        math.dist(line.start, line.end)
        for line in section.shapes
        if isinstance(line, Line) and line.style is Style.WALL_ENOUGH
    )
    measured = sorted(
        1e3 * value for value in (room.hole_wall.thickness, room.recess_wall.thickness, room.seat_to_floor)
    )
    # What lies a little ahead of or behind the plane is drawn a little short; its label says so.
    assert drawn == pytest.approx(measured, rel=5e-3)


def test_a_short_wall_is_reported_by_line_and_word():
    job = job_of(wide="0.4", screw={**MODEL_SCREW, "length": "75 mm"})
    assert job.room.screws[0].recess_wall.thickness < job.wall_wanted
    section = next(view for view in cross_sections(job) if view.name == "section-1")
    styles = [shape.style for shape in section.shapes if isinstance(shape, Line)]
    assert Style.WALL_SHORT in styles
    assert "SHORT, 3.00 mm required" in [text.text for text in texts_of(section)]


def test_a_wall_just_as_thick_as_wanted_is_enough():
    base = job_of()
    thickness = base.room.screws[0].recess_wall.thickness
    short, enough = (
        job_of(size=f'fineness = 5.0\nsmallest_wall = "{limit!r} m"')
        for limit in (thickness * (1.0 + 1e-6), thickness * (1.0 - 1e-6))
    )

    def lines(job):
        section = next(view for view in cross_sections(job) if view.name == "section-1")
        return [s.style for s in section.shapes if isinstance(s, Line)].count(Style.WALL_SHORT)

    assert (lines(short), lines(enough)) == (1, 0)


def test_a_screw_that_misses_the_lead_has_no_section(jobs):
    names = [view.name for view in cross_sections(jobs["screws outside"])]
    assert "section-1" in names
    assert "section-2" not in names
    assert "section-3" not in names


def test_the_area_curve_is_that_of_the_body(jobs):
    job = jobs["wide"]
    x, area, slope = area_curve(job, count=4001)
    assert area.max() == pytest.approx(0.25 * math.pi * job.bulb.body.diameter**2, rel=1e-6)
    # The area under it is the volume, the slope its derivative.
    assert np.sum(0.5 * (area[1:] + area[:-1]) * np.diff(x)) == pytest.approx(
        job.bulb.volume.volume, rel=1e-5
    )
    assert np.diff(area) / np.diff(x) == pytest.approx(
        0.5 * (slope[1:] + slope[:-1]), abs=2e-3 * abs(slope).max()
    )


def test_plan_and_side_view_stand_under_each_other(jobs):
    for job in jobs.values():
        side = side_view(job)
        plan = plan_view(job, beneath=side)
        assert plan.scale == side.scale
        assert plan.box.left == pytest.approx(side.box.left, abs=1e-9)


def test_the_mark_of_the_mass_centre_covers_no_screw_beside_it():
    text = """
[bulb]
target_mass = "1450 kg"
width_to_height = 1.3
[alloy]
grade = "antimonial-4"
[fin]
material = "metal"
tip_chord = "900 mm"
tip_thickness = "90 mm"
pocket_depth = "80 mm"
[[screws]]
at = "420 mm"
diameter = "30 mm"
hole_diameter = "32 mm"
head_diameter = "50 mm"
head_height = "24 mm"
recess = "60 mm"
length = "420 mm"
"""
    job = run(read_plan(text, source="duchess.toml"))
    view = plan_view(job)
    (mark,) = [s for s in view.shapes if isinstance(s, Circle) and s.style is Style.PAPER]
    screws = [
        min(x for x, _ in s.contours[0])
        for s in view.shapes
        if isinstance(s, Region) and s.style is Style.SCREW
    ]
    assert len(screws) == 1
    assert mark.centre[0] + mark.radius < screws[0]
    # It can still be seen: 2.4 mm across on paper.
    assert mark.radius * view.scale >= 1.2 - 1e-9
