"""Dimensions in an HTML page, and only there, are linked to the plan keys whose values they show."""

from __future__ import annotations

import re
from xml.etree import ElementTree

import pytest
from plans import EXAMPLES, LEAST, SCREW, job_of, with_line

from bulbcast.bulb.views.cross_sections import cross_sections
from bulbcast.bulb.views.plan_view import fin_plan, plan_view
from bulbcast.bulb.views.side_view import side_view
from bulbcast.drawing.shapes import Dimension, Text
from bulbcast.drawing.svg import svg_text
from bulbcast.foundry.mould.section_view import mould_section
from bulbcast.job.html import report_html
from bulbcast.pattern_shop.frame.view import frame_view
from bulbcast.plan.keys import KEYS

ALWAYS = {"fin.tip_thickness", "fin.tip_chord"}
PINNED = LEAST.replace("[fin]\n", '[fin]\npocket_depth = "6 mm"\nmaterial = "metal"\n') + SCREW
STUD = '[[studs]]\nat = "50 mm"\ndiameter = "4 mm"\nbelow = "12 mm"\nabove = "20 mm"\n'
FRAME = '[parting]\n[frame]\nsprue_at = "80 mm"\nvent_diameter = "4 mm"\n'
MADE = {
    "least": (LEAST, {"bulb.tail_diameter"}),
    "length": (with_line("bulb", 'length = "215 mm"'), {"bulb.length", "bulb.tail_diameter"}),
    "diameter": (
        with_line("bulb", 'diameter = "45 mm"\ntail_diameter = "6 mm"'),
        {"bulb.diameter", "bulb.tail_diameter"},
    ),
    "wide": (with_line("bulb", 'diameter = "45 mm"\nwidth_to_height = 1.5'), {"bulb.diameter"}),
    "no tail": (with_line("bulb", 'profile = "spheroid"\ntail_diameter = "0 mm"'), set()),
    "fastened": (
        PINNED + STUD,
        {"bulb.tail_diameter", "fin.pocket_depth", "screws[1].at", "screws[1].recess", "studs[1].at"},
    ),
    "imperial, raked": (
        'display_units = "imperial"\n' + with_line("fin", 'rake = "20 deg"', PINNED),
        {"bulb.tail_diameter", "fin.pocket_depth", "screws[1].at", "screws[1].recess"},
    ),
    "frame": (
        LEAST + FRAME,
        {"bulb.tail_diameter", "frame.sprue_at", "frame.sprue_diameter", "frame.vent_diameter"},
    ),
}


def views_of(job):
    """Views whose dimensions can be linked to a key."""
    moulds = [mould_section(job, along=along) for along in (True, False)] if job.mould is not None else []
    views = [side_view(job), plan_view(job), fin_plan(job), *cross_sections(job), frame_view(job), *moulds]
    return [view for view in views if view is not None]


def keyed(job):
    return [
        shape
        for view in views_of(job)
        for shape in view.shapes
        if isinstance(shape, Dimension | Text) and shape.key
    ]


def value_of(plan, place):
    """Value in the plan for a name such as screws[2].at. [m]"""
    section, number, leaf = re.fullmatch(r"(\w+)(?:\[(\d+)\])?\.(\w+)", place).groups()
    part = getattr(plan, section)
    return getattr(part if number is None else part[int(number) - 1], leaf)


def require_true(job):
    """Require that every linked key exists and that its dimension measures and shows the key's value."""
    taken = {one.key: one.value for one in job.defaults}
    for shape in keyed(job):
        assert re.sub(r"\[\d+\]", "", shape.key) in KEYS
        value = value_of(job.plan, shape.key)
        said = taken[shape.key] if value is None else job.shown.length(value)
        assert re.search(rf"(^|\s){re.escape(said)}($|\s)", shape.text), (shape.key, shape.text, said)
        if isinstance(shape, Dimension):
            if value is None:
                assert job.shown.length(1e-3 * shape.measured) == said, shape.key
            else:
                assert shape.measured == pytest.approx(1e3 * value, rel=1e-9), shape.key


@pytest.mark.parametrize("name", MADE)
def test_each_key_is_that_of_the_value_and_none_is_missed(name):
    text, keys = MADE[name]
    job = job_of(text)
    require_true(job)
    assert {shape.key for shape in keyed(job)} == keys | ALWAYS


@pytest.mark.parametrize("name", sorted(path.stem for path in EXAMPLES.glob("*.toml")))
def test_the_examples_dimensions_and_their_report_carry_true_keys(example_job, name):
    job = example_job(name)
    require_true(job)
    shapes = keyed(job)
    assert {"mould.wall", "mould.floor"} <= {shape.key for shape in shapes} or job.mould is None
    assert sorted(re.findall(r'data-key="([^"]*)"', report_html(job, None))) == sorted(
        one.key for one in shapes
    )


def test_a_file_of_its_own_carries_no_keys_and_a_page_the_lines_with_the_figure():
    view = side_view(job_of(MADE["length"][0]))
    assert "data-key" not in svg_text(view)
    root = ElementTree.fromstring(svg_text(view, width=178.0))
    (group,) = root.findall(".//{*}g[@data-key='bulb.length']") or root.findall(
        ".//g[@data-key='bulb.length']"
    )
    assert [part.tag.rpartition("}")[2] for part in group] == ["path", "path", "text"]
    assert group[-1].text == "length 215.0 mm"
