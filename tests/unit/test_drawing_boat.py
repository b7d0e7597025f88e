"""Profile view of the boat: to scale, with marks at the right points and no overlapping text."""

from __future__ import annotations

import itertools
import subprocess
import sys

import numpy as np
import pytest
from plans import EXAMPLES, example_text

from bulbcast.ballast.profile_view import boat_profile, floating_line, hull_contour
from bulbcast.drawing.layout import PAPER_WIDTH
from bulbcast.drawing.shapes import Circle, Dimension, Line, Region, Style, Text, dimension_text, text_box
from bulbcast.drawing.svg import svg_text
from bulbcast.files.plan_file import load_plan
from bulbcast.job import run

BARE = (
    'hull_displacement = "2.9 kg"\nwaterline_length = "950 mm"\nbuoyancy_x = "480 mm"\nbuoyancy_z = "-20 mm"\n'
    'waterplane_area = "1050 cm2"\nflotation_x = "500 mm"\nmetacentric_radius = "54 mm"\nhull_draught = "55 mm"\n'
    'metacentric_radius_along = "1.3 m"\nfreeboard = "60 mm"'
)


@pytest.fixture(scope="module")
def jobs(tmp_path_factory):
    """Jobs of the example with a table, a surface and plain numbers, and with a bulb that is too heavy and too far aft."""
    folder = tmp_path_factory.mktemp("boats")
    subprocess.run(
        [sys.executable, str(EXAMPLES / "make_hull.py"), str(folder)], check=True, capture_output=True
    )
    (folder / "larkmoss-offsets.csv").write_bytes((EXAMPLES / "larkmoss-offsets.csv").read_bytes())
    text = example_text("larkmoss")
    table = 'offsets = "larkmoss-offsets.csv"'
    heavy = text.replace("[bulb]\n", '[bulb]\ntarget_mass = "2.4 kg"\nmass_centre_x = "545 mm"\n', 1)
    texts = {
        "table": text,
        "surface": text.replace(table, 'hull = "hull.stl"'),
        "numbers": text.replace(table, BARE),
        "heavy": heavy,
        "imperial": text.replace('"metric"', '"imperial"'),
    }
    found = {}
    for name, words in texts.items():
        path = folder / f"{name}.toml"
        path.write_text(words, encoding="utf-8")
        found[name] = run(*load_plan(path), remedies=False)
    return found


NAMES = ("table", "surface", "numbers", "heavy", "imperial")


@pytest.mark.parametrize("name", NAMES)
def test_no_lettering_stands_on_other_lettering_or_outside_the_view(jobs, name):
    view = boat_profile(jobs[name])
    texts = [one for one in view.shapes if isinstance(one, Text)]
    texts += [dimension_text(one) for one in view.shapes if isinstance(one, Dimension)]
    boxes = [text_box(one) for one in texts]
    for one, other in itertools.combinations(boxes, 2):
        assert not one.meets(other)
    for box in boxes:
        assert view.box.left <= box.left
        assert box.right <= view.box.right
        assert view.box.bottom <= box.bottom
        assert box.top <= view.box.top
    assert view.box.width * view.scale <= PAPER_WIDTH + 4.0


@pytest.mark.parametrize("name", NAMES)
def test_marks_stand_at_the_centres_and_the_bulb_where_it_hangs(jobs, name):
    job = jobs[name]
    boat, view = job.boat, boat_profile(job)
    middles = [one.centre for one in view.shapes if isinstance(one, Circle)]
    for x, z in (
        (boat.mass_centre[0], boat.mass_centre[2]),
        (boat.hung.afloat.x, job.bulb.axis_z + job.bulb.mass_centre_z),
        boat.buoyancy,
    ):
        assert any(at == pytest.approx((1e3 * x, 1e3 * z), abs=1e-9) for at in middles)
    lead = next(one for one in view.shapes if isinstance(one, Region) and one.style is Style.LEAD)
    xs = [x for x, _ in lead.contours[0]]
    assert (min(xs), max(xs)) == (
        pytest.approx(1e3 * job.bulb.nose_x),
        pytest.approx(1e3 * (job.bulb.nose_x + job.bulb.body.length)),
    )
    draught = next(
        one for one in view.shapes if isinstance(one, Dimension) and one.text.startswith("draught")
    )
    assert draught.measured == pytest.approx(-1e3 * job.bulb.underside_z)
    letters = {one.text for one in view.shapes if isinstance(one, Text) and one.style is Style.HEADING}
    assert letters == {"B", "F", "G", "L"}


def test_surface_and_table_show_the_same_hull_and_numbers_show_levels(jobs):
    for name in ("table", "surface"):
        contour = hull_contour(jobs[name].boat)
        assert min(z for _, z in contour) == pytest.approx(-55.0, abs=0.05)
        assert (min(x for x, _ in contour), max(x for x, _ in contour)) == (
            pytest.approx(-25.0, abs=1e-3),
            pytest.approx(975.0, abs=1e-3),
        )
    view = boat_profile(jobs["numbers"])
    assert not any(isinstance(one, Region) and one.style is Style.HULL for one in view.shapes)
    levels = [one.start[1] for one in view.shapes if isinstance(one, Line) and one.style is Style.HIDDEN]
    assert {-55.0, 60.0} <= {round(level, 9) for level in levels}


def test_the_floating_waterline_is_drawn_where_it_parts_from_her_own(jobs):
    def floats(name):
        return [
            one
            for one in boat_profile(jobs[name]).shapes
            if isinstance(one, Line) and one.style is Style.FLOATS
        ]

    assert floats("table") == []
    drawn = floats("heavy")
    # The line itself, and the sample of it that the legend shows.
    assert len(drawn) == 2
    boat = jobs["heavy"].boat
    flotation = 1e3 * boat.flotation.flotation_x
    (_, low), (_, high) = floating_line(boat, flotation, flotation + 1e3 * boat.flotation.length)
    assert low == pytest.approx(1e3 * boat.lies.sinkage)
    assert high - low == pytest.approx(1e3 * boat.lies.trim)


def test_the_picture_is_the_same_bytes_each_time(jobs):
    assert svg_text(boat_profile(jobs["heavy"])) == svg_text(boat_profile(jobs["heavy"]))


def shapes(view, kind, *styles):
    return [shape for shape in view.shapes if isinstance(shape, kind) and shape.style in styles]


def test_the_hull_stands_keel_down_and_fin_and_rudder_have_their_corners(jobs):
    larkmoss = jobs["table"]
    view, plan = boat_profile(larkmoss), larkmoss.plan
    (hull,) = shapes(view, Region, Style.HULL)
    levels = [z for _, z in hull.contours[0]]
    outline = larkmoss.boat.start.hull.outline
    assert (min(levels), max(levels)) == pytest.approx((1e3 * min(outline.keel), 1e3 * max(outline.top)))
    assert min(levels) < 0.0 < max(levels)
    foils = [np.array(s.contours[0]) for s in shapes(view, Region, Style.FIN)]
    for foil, points in zip((plan.fin, plan.rudder), foils, strict=True):
        root, tip = foil.root_leading_edge_x, foil.tip_leading_edge_x
        wanted = [
            (root, foil.root_z),
            (root + foil.root_chord, foil.root_z),
            (tip + foil.tip_chord, foil.tip_z),
            (tip, foil.tip_z),
        ]
        assert points == pytest.approx(1e3 * np.array(wanted))


def test_the_bar_of_the_bulbs_reach_runs_from_end_to_end_with_both_places_on_it(jobs):
    heavy = jobs["heavy"]
    view, boat = boat_profile(heavy), heavy.boat
    (bar,) = shapes(view, Region, Style.REACH)
    xs = [x for x, _ in bar.contours[0]]
    assert (min(xs), max(xs)) == pytest.approx((1e3 * boat.hung.band.fore_x, 1e3 * boat.hung.band.aft_x))
    hangs = [
        s for s in shapes(view, Line, Style.AXIS) if s.end[1] == pytest.approx(1e3 * heavy.bulb.underside_z)
    ]
    assert [s.start[0] for s in hangs] == [pytest.approx(1e3 * boat.hung.afloat.x)]
    wanted = [s.start[0] for s in shapes(view, Line, Style.CURVE) if s.start[0] == s.end[0]]
    assert wanted == [pytest.approx(1e3 * boat.hung.wanted_x)]
    assert abs(boat.hung.wanted_x - boat.hung.afloat.x) > 1e-3


def test_the_centre_of_flotation_is_a_triangle_that_stands_on_the_waterline(jobs):
    larkmoss = jobs["table"]
    x = 1e3 * larkmoss.boat.start.hull.line.flotation_x
    (mark,) = [
        s.contours[0]
        for s in shapes(boat_profile(larkmoss), Region, Style.MARK)
        if len(s.contours[0]) == 3 and min(abs(z) for _, z in s.contours[0]) == 0.0
    ]
    corners = sorted(mark, key=lambda point: point[1])
    assert corners[0] == pytest.approx((x, 0.0))
    assert corners[1][1] > 0.0
    assert 0.5 * (corners[1][0] + corners[2][0]) == pytest.approx(x)
