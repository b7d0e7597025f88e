"""Drawn coordinates of the pocket, fin, screws and pins compared with the plan's figures and the bulb's surface."""

from __future__ import annotations

import math

import numpy as np
import pytest

from bulbcast.bulb.views.charts import hung_mass_bar
from bulbcast.bulb.views.cross_sections import cross_sections
from bulbcast.bulb.views.fairness import fairness
from bulbcast.bulb.views.plan_view import fin_plan, plan_view
from bulbcast.bulb.views.side_view import side_view
from bulbcast.drawing.shapes import Circle, Dimension, Line, Polyline, Region, Style, Text
from bulbcast.fin.tip_section import half_thickness
from bulbcast.job import run
from bulbcast.plan.reading import read_plan_table

SCREW = {
    "diameter": "4 mm", "hole_diameter": "4.5 mm", "head_diameter": "8 mm", "head_height": "2.6 mm", "recess": "8 mm",
    "length": "40 mm",
}  # fmt: skip
PIN = {"diameter": "3 mm", "hole_diameter": "3.4 mm", "length": "26 mm"}
RAKE = math.radians(20.0)
DEPTH, CLEARANCE, CHORD, THICK = 9.0, 0.3, 70.0, 7.0


def job_of(*, screws=(), washers=(), rake="20 deg", bulb=None, **more):
    table = {
        "bulb": {"target_mass": "2.45 kg", "fineness": 5, "width_to_height": 1.3, **(bulb or {})},
        "alloy": {"grade": "pure"},
        "fin": {
            "tip_chord": f"{CHORD} mm", "tip_thickness": f"{THICK} mm", "pocket_depth": f"{DEPTH} mm",
            "pocket_clearance": f"{CLEARANCE} mm", "rake": rake, "elastic_axis": 0.3,
        },
        "screws": [*({**SCREW, "at": at} for at in screws), *washers],
        **more,
    }  # fmt: skip
    return run(read_plan_table(table, source="plan.toml", sha256="0" * 64))


@pytest.fixture(scope="module")
def raked():
    """A flattened bulb on a raked fin with two screws."""
    return job_of(screws=("14 mm", "34 mm"))


@pytest.fixture(scope="module")
def upright():
    return job_of(screws=("14 mm", "34 mm"), rake="0 deg")


@pytest.fixture(scope="module")
def fitted():
    """A bulb with cross pins, a stud and a deep pocket."""
    fin = {"tip_chord": "70 mm", "tip_thickness": "7 mm", "pocket_depth": "22 mm", "pocket": "cored"}
    pins = [{**PIN, "at": at, "height": "8 mm"} for at in ("20 mm", "46 mm")]
    stud = {"at": "32 mm", "diameter": "4 mm", "bore": "2 mm", "below": "15 mm", "above": "30 mm"}
    return job_of(fin=fin, cross_pins=pins, studs=[stud])


def regions(view, style):
    return [np.array(s.contours[0]) for s in view.shapes if isinstance(s, Region) and s.style is style]


def size(points):
    return tuple(points.max(axis=0) - points.min(axis=0))


def middle(points):
    return tuple(0.5 * (points.max(axis=0) + points.min(axis=0)))


def section(job, name):
    return next(view for view in cross_sections(job) if view.name == name)


def half_height(job, x):
    """Half the height of the lead at a given distance from the nose. [mm]"""
    body = job.bulb.body
    return 1e3 * body.radius(1e-3 * np.asarray(x)) / math.sqrt(body.width_to_height)


def framed(job, screw, points):
    """Distances of centreplane points aft of a screw's axis, and along it from the pocket floor. [mm]"""
    x = points[:, 0] - 1e3 * screw.at_x
    z = points[:, 1] - 1e3 * job.bulb.axis.floor
    rake = job.bulb.axis.rake
    return x * math.cos(rake) + z * math.sin(rake), z * math.cos(rake) - x * math.sin(rake)


def planned_seat(job, screw):
    """Position of the screw's seat along its axis: the recess depth above the underside, by bisection. [mm]"""
    sine, cosine = math.sin(job.bulb.axis.rake), math.cos(job.bulb.axis.rake)
    floor, outside, inside = 1e3 * job.bulb.axis.floor, -1e3 * job.bulb.body.height, 0.0
    for _ in range(60):
        at = 0.5 * (outside + inside)
        x, z = 1e3 * screw.at_x - at * sine, floor + at * cosine
        outside, inside = (at, inside) if z < -float(half_height(job, [x])[0]) else (outside, at)
    return inside + 8.0


# The side view


def test_the_pocket_in_the_side_view_is_as_deep_and_long_as_planned_and_leans_with_the_fin(raked):
    pocket = regions(side_view(raked), Style.BEDDING)[0]
    floor = 0.5e3 * raked.bulb.body.height - DEPTH
    lead = 1e3 * raked.bulb.pocket.leading_edge_x
    on_floor = np.isclose(pocket[:, 1], floor, atol=1e-9)
    assert (pocket[on_floor, 0].min(), pocket[on_floor, 0].max()) == pytest.approx(
        (lead - CLEARANCE, lead + CHORD + CLEARANCE), abs=1e-6
    )
    # The rest lies on the lead's upper surface, and within the pocket's two slanting ends.
    mouth = pocket[~on_floor]
    assert len(mouth) > 30
    assert mouth[:, 1] == pytest.approx(half_height(raked, mouth[:, 0]), abs=1e-6)
    foot = mouth[:, 0] + math.tan(RAKE) * (mouth[:, 1] - floor)
    assert (foot.min(), foot.max()) == pytest.approx((lead - CLEARANCE, lead + CHORD + CLEARANCE), abs=1e-6)


@pytest.mark.parametrize("number", [0, 1])
def test_recess_hole_and_screw_in_the_side_view_have_their_planned_sizes_along_the_screw(raked, number):
    view, screw = side_view(raked), raked.bulb.screw_cuts[number]
    seat = planned_seat(raked, screw)
    off, along = framed(raked, screw, regions(view, Style.PLUG)[number])
    at_seat = np.isclose(along, seat, atol=1e-6)
    assert (off[at_seat].min(), off[at_seat].max()) == pytest.approx((-4.0, 4.0), abs=1e-6)
    foot = regions(view, Style.PLUG)[number][~at_seat]
    assert foot[:, 1] == pytest.approx(-half_height(raked, foot[:, 0]), abs=1e-6)
    hole = regions(view, Style.BEDDING)[1 + number]
    off, along = framed(raked, screw, hole)
    assert sorted(off) == pytest.approx([-2.25, -2.25, 2.25, 2.25], abs=1e-9)
    assert sorted(along)[:2] == pytest.approx([seat, seat], abs=1e-6)
    # Its upper end is cut by the level floor.
    assert sorted(hole[:, 1])[2:] == pytest.approx([1e3 * raked.bulb.axis.floor] * 2, abs=1e-9)
    shank, head = regions(view, Style.SCREW)[2 * number : 2 * number + 2]
    for points, across, low, high in ((shank, 4.0, seat, seat + 40.0), (head, 8.0, seat - 2.6, seat)):
        off, along = framed(raked, screw, points)
        assert (off.max() - off.min(), off.max() + off.min()) == pytest.approx((across, 0.0), abs=1e-9)
        assert (along.min(), along.max()) == pytest.approx((low, high), abs=1e-6)


def test_the_mass_centre_is_marked_where_the_ledger_has_it(raked):
    lines = raked.bulb.lines
    mass = math.fsum(line.mass for line in lines)
    x, z = (
        1e3 * math.fsum(line.density * moment(line.piece) for line in lines) / mass
        for moment in (lambda piece: piece.moment_x, lambda piece: piece.moment_z)
    )
    assert abs(z) > 0.05
    (mark,) = [s.centre for s in side_view(raked).shapes if isinstance(s, Circle) and s.style is Style.PAPER]
    assert mark == pytest.approx((x, z), abs=1e-9)
    (mark,) = [s.centre for s in plan_view(raked).shapes if isinstance(s, Circle) and s.style is Style.PAPER]
    assert mark == pytest.approx((x, 0.0), abs=1e-9)


def test_what_is_ahead_of_the_fin_begins_at_the_nose_and_what_is_behind_ends_at_the_tail(raked):
    lead, length = 1e3 * raked.bulb.pocket.leading_edge_x, 1e3 * raked.bulb.body.length
    spans = {
        shape.text.partition(" fin ")[0]: (shape.first[0], shape.second[0])
        for shape in side_view(raked).shapes
        if isinstance(shape, Dimension) and " fin " in shape.text
    }
    assert spans["ahead of"] == pytest.approx((0.0, lead))
    assert spans["behind"] == pytest.approx((lead + CHORD, length))


def test_the_elastic_axis_runs_up_from_its_share_of_the_chord(raked):
    (line,) = [
        (shape.start, shape.end)
        for shape in side_view(raked).shapes
        if isinstance(shape, Line) and shape.style is Style.HIDDEN
    ]
    (x, z), (top_x, top_z) = line
    assert (x, z) == pytest.approx(
        (1e3 * raked.bulb.pocket.leading_edge_x + 0.3 * CHORD, 1e3 * raked.bulb.axis.floor)
    )
    assert math.atan2(x - top_x, top_z - z) == pytest.approx(RAKE)
    (line,) = [
        shape for shape in fin_plan(raked).shapes if isinstance(shape, Line) and shape.style is Style.HIDDEN
    ]
    assert line.start[0] == line.end[0] == pytest.approx(0.3 * CHORD)


@pytest.mark.parametrize("degrees", [3.0, -2.0])
def test_level_rises_aft_beside_the_axis_of_a_bulb_that_hangs_nose_up(degrees):
    view = side_view(job_of(rake="0 deg", bulb={"incidence": f"{degrees} deg"}))
    words = next(s for s in view.shapes if isinstance(s, Text) and s.text.startswith("level: "))
    assert f"nose {'up' if degrees > 0.0 else 'down'}" in words.text
    (level,) = [s for s in view.shapes if isinstance(s, Line) and s.style is Style.OUTLINE]
    across, up = level.end[0] - level.start[0], level.end[1] - level.start[1]
    assert math.degrees(math.atan2(up, across)) == pytest.approx(degrees)


def test_a_washer_is_drawn_as_two_blocks_of_its_width_with_its_hole_between():
    screw = {**SCREW, "at": "20 mm", "washer_diameter": "11 mm", "washer_thickness": "1.5 mm"}
    job = job_of(rake="0 deg", washers=[screw])
    (washer,) = [s for s in side_view(job).shapes if isinstance(s, Region) and s.style is Style.WASHER]
    cut = job.bulb.screw_cuts[0]
    xs = sorted({round(x - 1e3 * cut.at_x, 9) for block in washer.contours for x, _ in block})
    inner = 0.5e3 * cut.washer.hole_diameter
    assert xs == pytest.approx([-5.5, -inner, inner, 5.5])
    (left, right) = ({round(x - 1e3 * cut.at_x, 9) for x, _ in block} for block in washer.contours)
    assert max(left) < 0.0 < min(right)


# The plan view


def test_the_mouth_of_a_raked_pocket_lies_over_its_foot_along_the_fin(raked):
    body = raked.bulb.body
    mouth = regions(plan_view(raked), Style.BEDDING)[0]
    x, y = mouth[:, 0], mouth[:, 1]
    r, k = 1e3 * body.radius(1e-3 * x), body.width_to_height
    z = np.sqrt(r**2 - y**2 / k) / math.sqrt(k)
    foot = x + math.tan(RAKE) * (z - 1e3 * raked.bulb.axis.floor)
    lead = 1e3 * raked.bulb.pocket.leading_edge_x
    assert (foot.min(), foot.max()) == pytest.approx((lead - CLEARANCE, lead + CHORD + CLEARANCE), abs=1e-4)
    assert size(mouth)[1] == pytest.approx(THICK + 2.0 * CLEARANCE, abs=0.02)


def test_recesses_holes_and_screws_from_above_stand_where_their_axes_cross_the_level(raked):
    view = plan_view(raked)
    # The first hidden outline is the pocket's foot.
    recesses = regions(view, Style.HIDDEN)[1:]
    for screw, recess, hole, shank in zip(
        raked.bulb.screw_cuts, recesses, regions(view, Style.HOLE), regions(view, Style.SCREW), strict=True
    ):
        at, seat = 1e3 * screw.at_x, planned_seat(raked, screw)
        # The seat lies below the floor, and there the screw of a fin that is raked aft stands further aft.
        for points, across, x in (
            (recess, 8.0, at - seat * math.sin(RAKE)),
            (hole, 4.5, at),
            (shank, 4.0, at),
        ):
            assert size(points) == pytest.approx((across * math.cos(RAKE), across), rel=1e-9)
            assert middle(points) == pytest.approx((x, 0.0), abs=1e-6)


def test_section_marks_stand_at_the_largest_section_and_at_each_screw(raked):
    view = plan_view(raked)
    marks = {s.start[0] for s in view.shapes if isinstance(s, Line) and s.style is Style.OUTLINE}
    places = [raked.bulb.body.max_at, *(screw.at_x for screw in raked.bulb.screw_cuts)]
    wall = raked.room.pocket.wall
    if any(view.name == "section-b" for view in cross_sections(raked)):
        places.append(wall.x)
    assert sorted(marks) == pytest.approx(sorted(1e3 * at for at in places))


# Sections across


def test_the_pocket_in_a_screws_section_is_as_deep_and_wide_as_planned(upright):
    for number, screw in enumerate(upright.bulb.screw_cuts, start=1):
        pocket = regions(section(upright, f"section-{number}"), Style.BEDDING)[0]
        half, _ = half_thickness(upright.bulb.pocket.tip, np.array([(14.0, 34.0)[number - 1]]) * 1e-3)
        # Drawn straight between points of the fin's outline.
        assert size(pocket)[0] == pytest.approx(2e3 * float(half[0]) + 2.0 * CLEARANCE, abs=0.02)
        # Levels count from the floor; over the fin's middle the pocket reaches the lead's own surface.
        top = float(half_height(upright, [1e3 * screw.at_x])[0]) - 1e3 * upright.bulb.axis.floor
        assert (pocket[:, 1].min(), pocket[:, 1].max()) == pytest.approx((0.0, top), abs=1e-6)
        assert top < DEPTH


@pytest.mark.parametrize("which", ["upright", "raked"])
def test_the_pocket_in_the_largest_section_is_as_deep_as_planned_and_as_wide_as_the_fin_with_its_gaps(
    request, which
):
    job = request.getfixturevalue(which)
    view, body = section(job, "section-a"), job.bulb.body
    pocket = regions(view, Style.BEDDING)[0]
    floor = 0.5e3 * body.height - DEPTH
    assert (pocket[:, 1].min(), pocket[:, 1].max()) == pytest.approx((floor, 0.5e3 * body.height), abs=1e-6)
    (fin,) = regions(view, Style.FIN)
    assert fin[:, 1].min() == pytest.approx(floor)
    # With rake the plane meets another place along the chord at every level.
    at = 1e3 * body.max_at + math.tan(job.bulb.axis.rake) * (fin[:, 1] - floor)
    half, _ = half_thickness(job.bulb.pocket.tip, 1e-3 * at - job.bulb.pocket.leading_edge_x)
    assert np.abs(fin[:, 0]) == pytest.approx(1e3 * half, abs=1e-9)
    # Its sides stand off the fin by the clearance, at every level; upright it is as wide as the fin with both.
    at = 1e3 * body.max_at + math.tan(job.bulb.axis.rake) * (pocket[:, 1] - floor)
    half, _ = half_thickness(job.bulb.pocket.tip, 1e-3 * at - job.bulb.pocket.leading_edge_x)
    assert np.max(np.abs(pocket[:, 0]) - 1e3 * half) <= CLEARANCE + 0.02
    if which == "upright":
        assert size(pocket)[0] == pytest.approx(2e3 * float(half[0]) + 2.0 * CLEARANCE, abs=0.02)


@pytest.mark.parametrize("which", ["upright", "raked"])
def test_hole_head_and_shank_in_a_screws_section_have_their_planned_widths_and_levels(request, which):
    job = request.getfixturevalue(which)
    seat = planned_seat(job, job.bulb.screw_cuts[0])
    view = section(job, "section-1")
    hole, (shank, head) = regions(view, Style.BEDDING)[1], regions(view, Style.SCREW)
    plug = regions(view, Style.PLUG)[0]
    for points, across, low, high in (
        (hole, 4.5, seat, 0.0),
        (head, 8.0, seat - 2.6, seat),
        (shank, 4.0, seat, min(seat + 40.0, shank[:, 1].max())),
    ):
        assert size(points)[0] == pytest.approx(across)
        assert (points[:, 1].min(), points[:, 1].max()) == pytest.approx((low, high), abs=1e-6)
    assert size(plug)[0] == pytest.approx(8.0)
    # In the middle of the recess its depth.
    foot = plug[np.isclose(plug[:, 0], 0.0, atol=1e-9), 1].min()
    assert plug[:, 1].max() - foot == pytest.approx(8.0, abs=1e-6)


def test_walls_are_drawn_to_their_places_on_the_surface(upright):
    room = upright.room.screws[0]
    ends = [
        line.end
        for line in section(upright, "section-1").shapes
        if isinstance(line, Line) and line.style in (Style.WALL_ENOUGH, Style.WALL_SHORT)
    ]
    for wall in (room.hole_wall, room.recess_wall):
        place = (1e3 * wall.y, 1e3 * (wall.z - upright.bulb.axis.floor))
        assert abs(place[0]) > 1.0
        assert any(end == pytest.approx(place, abs=1e-6) for end in ends)


def test_a_plane_that_cuts_a_raked_screw_aslant_meets_recess_and_hole_within_their_radius():
    job = job_of(screws=("22 mm", "34 mm"))
    at = 1e3 * job.bulb.body.max_at
    # One screw so far ahead of the plane that it meets its lower end: a screw raked aft stands further aft there.
    lead = 1e3 * job.bulb.pocket.leading_edge_x
    job = job_of(screws=(f"{at - lead - 6.0:.3f} mm",))
    (screw,) = job.bulb.screw_cuts
    rake, floor, x = job.bulb.axis.rake, 1e3 * job.bulb.axis.floor, 1e3 * job.bulb.body.max_at
    seat = planned_seat(job, screw)
    view = section(job, "section-a")
    for style, radius, low, high in (
        (Style.PLUG, 4.0, -math.inf, seat),
        (Style.SCREW, 4.0, seat - 2.6, seat + 40.0),
    ):
        found = regions(view, style)
        assert found
        for points in found:
            y, z = points[:, 0], points[:, 1] - floor
            off = (x - 1e3 * screw.at_x) * math.cos(rake) + z * math.sin(rake)
            along = z * math.cos(rake) - (x - 1e3 * screw.at_x) * math.sin(rake)
            assert np.max(np.hypot(y, off)) <= radius + 1e-6
            assert low - 1e-6 <= along.min() <= along.max() <= high + 1e-6


def test_a_wall_beside_the_plane_of_its_section_says_on_which_side(raked):
    for number, room in enumerate(raked.room.screws, start=1):
        screw = raked.bulb.screw_cuts[number - 1]
        texts = " | ".join(s.text for s in section(raked, f"section-{number}").shapes if isinstance(s, Text))
        for wall in (room.hole_wall, room.recess_wall):
            off, _ = framed(raked, screw, np.array([[1e3 * wall.x, 1e3 * wall.z]]))
            aside = 1e-3 * float(off[0])
            if abs(aside) >= 0.1 * wall.thickness:
                side = "aft of" if aside > 0.0 else "ahead of"
                assert f"{raked.shown.length(abs(aside))} {side} here" in texts
                break
        else:
            pytest.fail("no wall of the case lies beside its section")


def test_the_pockets_thinnest_wall_ends_on_its_own_side_and_level():
    job = job_of(rake="0 deg", bulb={"width_to_height": 0.5}, screws=())
    wall = job.room.pocket.wall
    view = section(job, "section-b")
    (line,) = [
        s for s in view.shapes if isinstance(s, Line) and s.style in (Style.WALL_ENOUGH, Style.WALL_SHORT)
    ]
    assert line.end == pytest.approx((1e3 * wall.y, 1e3 * wall.z))
    assert math.dist(line.start, line.end) == pytest.approx(1e3 * wall.thickness, rel=0.02)
    assert abs(wall.z) > 0.5e-3


def test_the_pockets_thinnest_wall_seen_from_the_side_is_drawn_as_thick_as_it_is():
    fin = {"tip_chord": "70 mm", "tip_thickness": "7 mm", "pocket_depth": "26 mm", "carry_at": 0.9}
    job = job_of(fin=fin)
    wall = job.room.pocket.wall
    (line,) = [
        s
        for s in side_view(job).shapes
        if isinstance(s, Line) and s.style in (Style.WALL_ENOUGH, Style.WALL_SHORT)
    ]
    assert line.end == pytest.approx((1e3 * wall.x, 1e3 * wall.z))
    assert math.dist(line.start, line.end) == pytest.approx(1e3 * wall.thickness, rel=0.02)


# The fin's tip, pins and studs


def test_the_fin_plan_has_its_rings_at_the_screws_and_its_mark_at_the_share_of_the_chord(raked):
    view = fin_plan(raked)
    for at, recess, hole, shank in zip(
        (14.0, 34.0),
        regions(view, Style.HIDDEN),
        regions(view, Style.HOLE),
        regions(view, Style.SCREW),
        strict=True,
    ):
        for points, across in ((recess, 8.0), (hole, 4.5), (shank, 4.0)):
            assert middle(points) == pytest.approx((at, 0.0), abs=1e-9)
            assert size(points)[1] == pytest.approx(across)
    (mark,) = [s.centre for s in view.shapes if isinstance(s, Circle) and s.style is Style.PAPER]
    assert mark == pytest.approx((raked.balance.along_chord * CHORD, 0.0))


def test_pins_and_studs_are_drawn_where_they_run(fitted):
    view, bulb = side_view(fitted), fitted.bulb
    floor, rake = 1e3 * bulb.axis.floor, bulb.axis.rake
    assert rake == 0.0
    lead = 1e3 * bulb.pocket.leading_edge_x
    for style, across in ((Style.BEDDING, 3.4), (Style.SCREW, 3.0)):
        drawn = [s for s in view.shapes if isinstance(s, Circle) and s.style is style]
        assert [one.centre for one in drawn] == [
            pytest.approx((lead + at, floor + 8.0)) for at in (20.0, 46.0)
        ]
        assert [2.0 * one.radius for one in drawn] == pytest.approx([across, across])
    (stud,), (bore,) = regions(view, Style.SCREW), regions(view, Style.PLUG)
    for points, across in ((stud, 4.0), (bore, 2.0)):
        assert middle(points)[0] == pytest.approx(lead + 32.0)
        assert size(points)[0] == pytest.approx(across)
        assert points[:, 1].min() == pytest.approx(floor - 15.0)
        assert points[:, 1].max() == pytest.approx(
            min(floor + 30.0, regions(view, Style.FIN)[0][0, 1] + 30.0)
        )
    # Seen from above, lead and fin hide a pin: it is dashed.
    above = plan_view(fitted)
    pins = regions(above, Style.HIDDEN)
    assert regions(above, Style.SCREW) == []
    assert [size(points) for points in pins] == [pytest.approx((3.0, 26.0))] * 2


def test_the_hung_mass_bar_is_the_whole_ledger_pins_and_studs_too(raked, fitted):
    for job in (raked, fitted):
        view = hung_mass_bar(job)
        words = " ".join(s.text for s in view.shapes if isinstance(s, Text))
        lead = math.fsum(line.mass for line in job.bulb.lines if line.kind == "lead")
        assert f"{job.shown.mass(lead)}, {job.shown.percent(lead / job.bulb.mass)}" in words
        mass = math.fsum(line.mass for line in job.bulb.lines if line.kind in ("screw", "pin", "stud"))
        assert f"{job.shown.mass(mass)}, {job.shown.percent(mass / job.bulb.mass)}" in words
        assert ("cross pins, studs" in words) == (job is fitted)


# Fairness


def test_slope_zero_line_fin_and_mass_centre_stand_where_they_are_along_the_bulb(raked):
    view, bulb = fairness(raked), raked.bulb
    area, slope = (
        np.array(s.points) for s in view.shapes if isinstance(s, Polyline) and s.style is Style.CURVE
    )
    left, right = area[0, 0], area[-1, 0]

    def across(place):
        return left + (right - left) * place / bulb.body.length

    # The slope crosses its zero line at the largest section, rising sections lie above it.
    zero = min(s.start[1] for s in view.shapes if isinstance(s, Line) and s.style is Style.FRAME)
    ahead = slope[:, 0] < across(bulb.body.max_at) - 1.0
    aft = slope[:, 0] > across(bulb.body.max_at) + 1.0
    assert (slope[ahead, 1] > zero).all()
    assert (slope[aft, 1] < zero).all()
    (band,) = regions(view, Style.BAND)
    lead = bulb.pocket.leading_edge_x
    assert (band[:, 0].min(), band[:, 0].max()) == pytest.approx((across(lead), across(lead + 1e-3 * CHORD)))
    (mark,) = [s.centre for s in view.shapes if isinstance(s, Circle) and s.style is Style.PAPER]
    assert mark[0] == pytest.approx(across(bulb.mass_centre_x))


# Cross pins in section


@pytest.fixture(scope="module")
def pinned():
    """A raked fin with one pin shorter and one pin longer than the width of the lead."""
    fin = {
        "tip_chord": "70 mm",
        "tip_thickness": "7 mm",
        "pocket_depth": "22 mm",
        "pocket": "cored",
        "rake": "8 deg",
    }
    pins = [
        {**PIN, "at": "20 mm", "height": "8 mm"},
        {**PIN, "at": "46 mm", "height": "9 mm", "length": "70 mm"},
    ]
    return job_of(fin=fin, cross_pins=pins)


@pytest.mark.parametrize("number", [1, 2])
def test_a_pin_in_section_lies_where_it_is_drilled_and_grips_what_is_said(pinned, number):
    view, bulb = section(pinned, f"section-p{number}"), pinned.bulb
    pin, room = bulb.pin_cuts[number - 1], pinned.fittings.pins[number - 1]
    (metal,) = regions(view, Style.SCREW)
    x, z = pin.centre(bulb.axis)
    assert size(metal) == pytest.approx((1e3 * pin.length, 1e3 * pin.diameter))
    assert middle(metal) == pytest.approx((0.0, 1e3 * z), abs=1e-9)
    # The hole runs from the pocket to the surface of the lead, whose half width follows from the body's own radius there.
    k = bulb.body.width_to_height
    radius = float(bulb.body.radius(np.array([x]))[0])
    lead = 1e3 * math.sqrt(k * (radius**2 - k * z**2))
    tall = 1e3 * pin.hole_diameter
    holes = [one for one in regions(view, Style.BEDDING) if size(one)[1] == pytest.approx(tall)]
    assert len(holes) == 2
    assert max(one[:, 0].max() for one in holes) == pytest.approx(lead, rel=1e-9)
    pocket = min(np.abs(one[:, 0]).min() for one in holes)
    assert min(0.5e3 * pin.length, lead) - pocket == pytest.approx(1e3 * room.grip, rel=1e-9)
    plugs = [one for one in regions(view, Style.PLUG) if size(one)[1] == pytest.approx(tall)]
    assert len(plugs) == (2 if lead > 0.5e3 * pin.length else 0)
    said = [one.text for one in view.shapes if isinstance(one, Text)]
    assert f"{pinned.shown.length(room.grip)} in lead on each side" in said
    assert f"thinnest hole wall {pinned.shown.length(room.wall)}" in said
    assert any(text.startswith("ends project ") for text in said) is (room.proud > 0.0)


def test_the_plan_view_marks_where_pins_are_cut(pinned):
    names = [one.text for one in plan_view(pinned).shapes if isinstance(one, Text)]
    assert {"P1", "P2"} <= set(names)


def test_two_sections_along_pins_fit_side_by_side_on_a_sheet(example_job):
    # A4 less its margins and the page's own edge, 179.4 mm; a millimetre is left between two.
    for view in cross_sections(example_job("osierling")):
        assert 2.0 * view.box.width * view.scale + 1.0 <= 179.4
