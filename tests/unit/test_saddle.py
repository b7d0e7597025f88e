"""Drilling saddle of a raked fin: centres, depth stops and angle by simple trigonometry."""

from __future__ import annotations

import itertools
import math

import numpy as np
import pytest
from shapely import Polygon

from bulbcast.drawing.shapes import Circle, Style
from bulbcast.pattern_shop.templates.collected import template_set
from bulbcast.pattern_shop.templates.fin import pin_list
from bulbcast.pattern_shop.templates.saddle import drill_list

RAKE = math.radians(6.0)


@pytest.fixture(scope="module")
def job(example_job):
    """Job of Saltmarrow: a flattened bulb on a fin raked by 6 degrees, with three screws."""
    return example_job("saltmarrow")


@pytest.fixture(scope="module")
def parts(job):
    return {one.name: one for one in template_set(job).templates if one.family == "saddle"}


def circles(template, diameter):
    return sorted(
        shape.centre[0]
        for shape in template.shapes
        if isinstance(shape, Circle)
        and shape.style is Style.ENGRAVED
        and shape.radius == pytest.approx(diameter / 2)
    )


def underside(job, screw):
    """Point where a screw's axis leaves the underside of the lead, and distance along the axis, by bisection. [mm]"""
    body, axis = job.bulb.body, job.bulb.axis
    low, high = -body.height, 0.0
    for _ in range(60):
        along = 0.5 * (low + high)
        x = screw.at_x - along * math.sin(RAKE)
        z = axis.floor + along * math.cos(RAKE)
        inside = float(body.radius(np.array([x]))[0]) / math.sqrt(body.width_to_height) > -z
        low, high = (low, along) if inside else (along, high)
    return 1e3 * (screw.at_x - high * math.sin(RAKE)), 1e3 * (axis.floor + high * math.cos(RAKE)), -1e3 * high


def test_hole_centres_on_the_plate_lie_where_the_drills_axes_meet_its_lower_face(job, parts):
    plate = parts["saddle-plate"]
    cheek = Polygon(parts["saddle-cheek-forward"].outlines[0])
    level = cheek.bounds[3]
    found = circles(plate, 13.5)
    assert found == pytest.approx(circles(plate, 44.0))
    for centre, screw in zip(found, job.bulb.screw_cuts, strict=True):
        x, z, _ = underside(job, screw)
        assert centre == pytest.approx(x + (level + z) * math.tan(RAKE), abs=1e-6)


def test_both_cheeks_carry_the_plate_at_one_level_clear_of_the_underside(job, parts):
    tops = [Polygon(parts[f"saddle-cheek-{word}"].outlines[0]).bounds[3] for word in ("forward", "after")]
    assert tops[0] == pytest.approx(tops[1], abs=1e-9)
    lowest = max(1e3 * float(job.bulb.body.radius(np.array([s.at_x]))[0]) for s in job.bulb.screw_cuts)
    assert tops[0] > lowest / math.sqrt(job.bulb.body.width_to_height) + 1.9


def test_centres_on_the_strip_are_as_far_apart_as_along_the_keel(job, parts):
    found = circles(parts["saddle-strip"], 13.5)
    body = job.bulb.body
    places = [underside(job, screw)[0] for screw in job.bulb.screw_cuts]
    for (a, b), (one, other) in zip(itertools.pairwise(found), itertools.pairwise(places), strict=True):
        x = np.linspace(one, other, 2001)
        keel = 1e3 * body.radius(1e-3 * x) / math.sqrt(body.width_to_height)
        assert b - a == pytest.approx(float(np.sum(np.hypot(np.diff(x), np.diff(keel)))), abs=1e-3)


def test_the_angle_gauge_leans_by_the_rake(parts):
    (x, y), (u, v) = parts["saddle-angle"].outlines[0][1:3]
    assert math.atan2(x - u, v - y) == pytest.approx(RAKE)
    assert "going in towards the nose" in parts["saddle-angle"].notes[0]
    assert parts["saddle-angle"].notes[1] == "the slanted edge faces the nose"


def test_the_drill_list_counts_depths_from_the_underside(job):
    table = drill_list(job)
    assert table is not None
    for cells, screw in zip(table.rows, job.bulb.screw_cuts, strict=True):
        x, _, deep = underside(job, screw)
        figures = dict(zip(table.heads, cells, strict=True))
        assert float(figures["from nose, mm"]) == pytest.approx(x, abs=0.051)
        assert float(figures["to pocket floor, mm"]) == pytest.approx(deep, abs=0.051)
        assert figures["recess depth, mm"] == "34.0"
        assert figures["recess, in"] == "1 47/64"
    assert table.notes[0] == "Drills: 13.5 mm (17/32 in), 44.0 mm (1 47/64 in)."


def test_an_upright_fin_wants_no_angle_gauge_and_a_bulb_without_screws_no_saddle(example_job):
    upright = {one.name for one in template_set(example_job("fenwisp")).templates}
    assert "saddle-plate" in upright
    assert "saddle-angle" not in upright
    halves = example_job("osierling")
    names = {one.name for one in template_set(halves).templates}
    assert "saddle-plate" not in names
    assert drill_list(halves) is None


def test_the_card_for_cross_pins_has_their_centres_from_nose_and_axis(example_job):
    job = example_job("osierling")
    card = next(one for one in template_set(job).templates if one.name == "pins-side")
    found = sorted(shape.centre for shape in card.shapes if isinstance(shape, Circle))
    rake = math.radians(3.0)
    table = pin_list(job)
    assert table is not None
    for centre, pin, cells in zip(found, job.bulb.pin_cuts, table.rows, strict=True):
        x = 1e3 * (pin.at_x - pin.height * math.tan(rake))
        z = 1e3 * (job.bulb.axis.floor + pin.height)
        assert centre == pytest.approx((x, z), abs=1e-9)
        assert float(cells[1]) == pytest.approx(x, abs=0.051)
        assert float(cells[2]) == pytest.approx(z, abs=0.051)
