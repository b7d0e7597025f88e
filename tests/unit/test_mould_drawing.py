"""Drawings of the mould and the plot of its drying agree with the calculated figures."""

from __future__ import annotations

import xml.etree.ElementTree as ET

import numpy as np
import pytest
from plans import bare_example
from shapely.geometry import Polygon, box

from bulbcast.drawing.shapes import Circle, Dimension, Style, Text, text_box
from bulbcast.drawing.svg import svg_text
from bulbcast.files.drying_log import COLUMNS, log_of
from bulbcast.foundry.drying.curve import drying_curve
from bulbcast.foundry.mould.section_view import cavity_across, cavity_along, frame_of, mould_section
from bulbcast.job import run
from bulbcast.plan.reading import read_plan

ORIENTATIONS = ("lying", "on-edge", "nose-up", "tail-up")
HALVES = 'kind = "open-halves"\n'


def job_of(more="", example="fenwisp", log=None):
    # The example's sections on mould and melt are removed, since each test adds its own.
    text = bare_example(example)
    mould = f'\n[mould]\nmaterial = "plaster"\ndrying = "baked"\n{more}'
    return run(read_plan(text + mould, source="x.toml"), drying_log=log)


def turned_volume(outline, along):
    """Volume of a body of revolution from its outline, by slices. [mm3]"""
    points = np.array(outline)
    axis, radius = points[:, along], np.abs(points[:, 1 - along])
    order = np.argsort(axis[: len(axis) // 2], kind="stable")
    return np.pi * np.trapezoid(radius[: len(axis) // 2][order] ** 2, axis[: len(axis) // 2][order])


@pytest.mark.parametrize("orientation", ORIENTATIONS)
def test_the_cavity_that_is_drawn_has_the_volume_that_is_calculated(orientation):
    job = job_of(f'orientation = "{orientation}"\n')
    frame = frame_of(job.mould, along=True)
    drawn = turned_volume(cavity_along(job, frame), 0 if job.mould.bulb_axis == "level" else 1)
    assert drawn * 1e-9 == pytest.approx(job.mould.cavity_volume, rel=0.01)


@pytest.mark.parametrize("more", [*(f'orientation = "{one}"\n' for one in ORIENTATIONS), HALVES])
def test_the_cavity_lies_in_the_block_with_the_margins_round_it(more):
    job = job_of(more)
    design = job.mould
    frame = frame_of(design, along=True)
    cavity = Polygon(cavity_along(job, frame))
    block = box(frame.block.left, frame.block.bottom, frame.block.right, frame.block.top)
    assert cavity.is_valid
    assert block.covers(cavity)
    low, high = cavity.bounds[1] - frame.block.bottom, frame.block.top - cavity.bounds[3]
    assert low == pytest.approx(1e3 * design.margins.below, abs=0.1)
    assert high == pytest.approx(1e3 * design.margins.above, abs=0.1)
    assert frame.block.height == pytest.approx(1e3 * design.block.height)


def test_the_nose_of_a_mould_on_end_is_where_its_name_says():
    for orientation, up in (("nose-up", True), ("tail-up", False)):
        frame = frame_of(job_of(f'orientation = "{orientation}"\n').mould, along=True)
        assert (frame.place(0.0, 0.0)[1] > frame.place(0.1, 0.0)[1]) == up


def test_across_a_flattened_bulb_the_section_has_its_width_and_height():
    job = job_of(example="saltmarrow")
    frame = frame_of(job.mould, along=False)
    left, low, right, high = Polygon(cavity_across(frame)).bounds
    assert (right - left, high - low) == pytest.approx(
        (1e3 * job.mould.pattern.width, 1e3 * job.mould.pattern.height), rel=1e-3
    )
    assert (right - left) / (high - low) == pytest.approx(1.15, rel=5e-3)


@pytest.mark.parametrize("more", [*(f'orientation = "{one}"\n' for one in ORIENTATIONS), HALVES])
@pytest.mark.parametrize("along", [True, False])
def test_every_picture_is_well_formed_and_its_lettering_stays_within_it(more, along):
    view = mould_section(job_of(more), along=along)
    if view is None:
        assert not along
        return
    ET.fromstring(svg_text(view))
    for shape in view.shapes:
        if isinstance(shape, Text):
            written = text_box(shape)
            assert view.box.left <= written.left
            assert written.right <= view.box.right
    spans = [shape.measured for shape in view.shapes if isinstance(shape, Dimension)]
    assert any(span == pytest.approx(1e3 * job_of(more).mould.block.height) for span in spans)


def drying_job():
    rows = [
        ",".join(COLUMNS),
        "2026-06-04T08:00,just set,drag,3000 g,,",
        "2026-06-04T08:00,just set,cope,2600 g,,",
    ]
    for hour, drag, cope in ((12, 2450, 2150), (16, 2110, 1860), (20, 1930, 1700)):
        rows += [
            f"2026-06-04T{hour}:00,weighed,{part},{mass} g,160 C,"
            for part, mass in (("drag", drag), ("cope", cope))
        ]
    return job_of(log=log_of("\n".join(rows).encode(), ("drag", "cope"), source="x.csv"))


def test_the_drying_curve_marks_every_weighing_and_the_projected_dates():
    job = drying_job()
    views = [drying_curve(part, job.drying, job.shown) for part in job.drying.parts]
    assert [view.name for view in views] == ["drying-drag", "drying-cope"]
    for view, part in zip(views, job.drying.parts, strict=True):
        ET.fromstring(svg_text(view))
        marks = [one for one in view.shapes if isinstance(one, Circle)]
        assert [one.style for one in marks] == [Style.PAPER, Style.MARK, Style.MARK, Style.MARK]
        heights = [one.centre[1] for one in marks]
        assert heights == sorted(heights, reverse=True)
        # Heights go with the shares of the just-set mass.
        share = [1.0, *(one.value / part.just_set for one in part.weighings)]
        slopes = np.diff(heights) / np.diff(share)
        assert slopes == pytest.approx(slopes[0], rel=1e-9)
        words = " ".join(one.text for one in view.shapes if isinstance(one, Text))
        for expected in ("likely ", f"dry at or below {job.shown.mass(part.target)}", "chalky below"):
            assert expected in words


def test_a_part_without_weighings_has_no_curve():
    job = job_of()
    assert [drying_curve(part, job.drying, job.shown) for part in job.drying.parts] == [None, None]
