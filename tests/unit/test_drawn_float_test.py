"""Drawn coordinates of a float test's marks and holes compared with the readings and the drilling."""

from __future__ import annotations

import base64
import hashlib
import itertools
import math
import re

import pytest
from plans import EXAMPLES, command

from bulbcast.afloat.views import drill_view, hole_places, line_magnification, marks_view, water_over_line
from bulbcast.drawing.shapes import Circle, Dimension, Line, Region, Style, Text, dimension_text, text_box
from bulbcast.files.float_record import record_path
from bulbcast.files.float_test import load_float_test

READINGS = {
    "a little heavy": {"bow": "0.2 mm above", "stern": "0.8 mm above"},
    "light": {"bow": "1 mm below", "stern": "0.4 mm below"},
    "by the bow": {"bow": "4 mm above", "stern": "4 mm below"},
    "heeled": {"bow": "1 mm above", "stern": "1 mm above", "port": "0 mm above", "starboard": "2 mm above"},
    "far too heavy": {"bow": "30 mm above", "stern": "40 mm above"},
    "on her line": {"bow": "on the line", "stern": "on the line"},
}


@pytest.fixture
def plan(tmp_path):
    for name in ("larkmoss.toml", "larkmoss-offsets.csv"):
        (tmp_path / name).write_bytes((EXAMPLES / name).read_bytes())
    return tmp_path / "larkmoss.toml"


def floated_as(readings, plan=EXAMPLES / "larkmoss.toml"):
    return load_float_test(plan, dict(readings), ashore=(), aboard=())


@pytest.fixture(scope="module", params=READINGS)
def floated(request):
    return floated_as(READINGS[request.param])


def texts(view):
    return [one for one in view.shapes if isinstance(one, Text)] + [
        dimension_text(one) for one in view.shapes if isinstance(one, Dimension)
    ]


def test_every_mark_stands_where_it_was_read_so_many_times_larger(floated):
    job, result = floated
    view = marks_view(job, result)
    times = line_magnification(result, view.scale)
    dots = [one.centre for one in view.shapes if isinstance(one, Circle)]
    assert len(dots) == len(result.marks)
    for mark, (x, y) in zip(result.marks, dots, strict=True):
        assert x / 1e3 == pytest.approx(mark.x)
        assert y / 1e3 / times == pytest.approx(mark.above, abs=1e-12)
    assert any(f"{times:g} times" in one.text or "drawn to scale" in one.text for one in texts(view))


def test_the_water_drawn_runs_through_the_marks_on_her_centreline(floated):
    job, result = floated
    view = marks_view(job, result)
    times = line_magnification(result, view.scale)
    line = next(one for one in view.shapes if isinstance(one, Line) and one.style is Style.FLOATS)
    slope = (line.end[1] - line.start[1]) / (line.end[0] - line.start[0])
    lay, length = result.found.attitude, result.flotation.length
    assert slope * length / times == pytest.approx(lay.trim, abs=1e-9)
    at_centre = line.start[1] + slope * (1e3 * result.flotation.flotation_x - line.start[0])
    assert at_centre / 1e3 / times == pytest.approx(lay.sinkage, abs=1e-9)
    for mark in result.marks:
        if mark.y == 0.0:
            assert water_over_line(result, mark.x) == pytest.approx(mark.above, abs=lay.misfit + 1e-9)


def test_the_holes_drawn_take_out_the_lead_that_is_said(floated):
    job, result = floated
    view = drill_view(job, result)
    heavy = result.found.mass > result.found.mass_spread and result.drillable and not result.within_reading
    assert (view is not None) == heavy
    if view is None:
        return
    holes = [one.contours[0] for one in view.shapes if isinstance(one, Region) and one.style is Style.PLUG]
    assert len(holes) == result.holes.count
    volume = 0.0
    for contour, place in zip(holes, hole_places(job, result.nose_x, result.holes), strict=True):
        xs, ys = [x for x, _ in contour], [y for _, y in contour]
        assert 0.5 * (min(xs) + max(xs)) == pytest.approx(place)
        volume += 0.25 * math.pi * (max(xs) - min(xs)) ** 2 * (max(ys) - min(ys))
    # Cylinders from the underside up, at the drill's full diameter: pi d^2 h / 4 each.
    assert 1e-9 * volume * job.wish.cast_density == pytest.approx(result.cure.drilling.lead, rel=1e-9)
    assert job.shown.mass(result.cure.drilling.lead) in view.title
    first = next(one for one in view.shapes if isinstance(one, Dimension))
    assert first.measured == pytest.approx(hole_places(job, result.nose_x, result.holes)[0])


def test_no_text_meets_another_or_is_cut_off(floated):
    for view in filter(None, (marks_view(*floated), drill_view(*floated))):
        boxes = [(one.text, text_box(one).grown(-1e-9)) for one in texts(view)]
        assert [(a[0], b[0]) for a, b in itertools.combinations(boxes, 2) if a[1].meets(b[1])] == []
        assert all(view.box.joined(box) == view.box for _, box in boxes)
        assert view.box.width * view.scale <= 186.0
        assert view.box.height * view.scale <= 230.0


def test_no_extension_line_strikes_a_figure(floated):
    view = drill_view(*floated)
    for one in [] if view is None else [s for s in view.shapes if isinstance(s, Dimension)]:
        for x, y in (one.first, one.second):
            low, high = sorted((y, one.line_at))
            for text in texts(view):
                box = text_box(text)
                assert not (box.left < x < box.right and box.bottom < high and low < box.top), text.text


def test_no_leader_of_what_is_done_inside_runs_through_fin_and_bulb(floated):
    view = marks_view(*floated)
    words = [
        one for one in view.shapes if isinstance(one, Text) and re.match("(or |then )?move|lay ", one.text)
    ]
    for one in words:
        assert one.at[1] > max(0.0, *(s.centre[1] for s in view.shapes if isinstance(s, Circle)))
    crosses = [s for s in view.shapes if isinstance(s, Line) and s.style is Style.OUTLINE]
    assert len(crosses) == 2 * len(words)


def test_the_sheet_says_what_the_command_says_and_loads_nothing(plan, tmp_path):
    sheet = tmp_path / "float.html"
    done = command("float", plan, "--bow", "0.2 mm above", "--stern", "0.8 mm above", "--sheet", sheet)
    assert done.exit_code == 0, done.output
    html = sheet.read_text(encoding="utf-8")
    assert f"Drawings: {sheet}" in done.stdout
    said = " ".join(done.stdout.split())
    for item in re.findall(r"<li>(.*?)</li>", html):
        plain = item.replace("&#x27;", "'").replace("&quot;", '"').replace("&amp;", "&")
        assert plain in said
    assert html.count("<svg") == 2
    style = re.search(r"<style>(.*?)</style>", html, re.DOTALL)[1]
    own = base64.b64encode(hashlib.sha256(style.encode()).digest()).decode()
    assert f"default-src 'none'; style-src 'sha256-{own}'; script-src 'none'" in html
    assert not re.search(r"https?://(?!www\.w3\.org)|<script|<img|<link", html)


def test_a_sheet_that_is_there_is_left_alone_and_nothing_is_recorded(plan, tmp_path):
    sheet = tmp_path / "float.html"
    sheet.write_text("mine", encoding="utf-8")
    done = command("float", plan, "--bow", "1 mm above", "--stern", "1 mm above", "--sheet", sheet)
    assert done.exit_code == 2
    assert "already exists and was not changed" in done.stderr
    assert sheet.read_text(encoding="utf-8") == "mine"
    assert not record_path(plan).exists()
    nowhere = command(
        "float", plan, "--bow", "1 mm above", "--stern", "1 mm above", "--sheet", tmp_path / "no" / "a.html"
    )
    assert nowhere.exit_code != 0
    assert not record_path(plan).exists()
    wrong = command(
        "float", plan, "--bow", "9 m above", "--stern", "1 mm above", "--sheet", tmp_path / "b.html"
    )
    assert wrong.exit_code == 2
    assert not (tmp_path / "b.html").exists()
