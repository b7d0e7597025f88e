"""Charts of masses: the waterfall adds up, and bars are divided in proportion to the masses."""

from __future__ import annotations

import itertools
import math
import xml.etree.ElementTree as ElementTree
from dataclasses import replace

import pytest

from bulbcast.bulb.views.charts import hung_mass_bar, stacked_bar
from bulbcast.bulb.views.legend import legend
from bulbcast.confidence.views import budget_bars, mass_band
from bulbcast.drawing.layout import MARGIN, NARROW
from bulbcast.drawing.shapes import Region, Style, Text, View, text_box
from bulbcast.drawing.svg import svg_text
from bulbcast.foundry.melt.chapter import melt_chapter
from bulbcast.foundry.melt.charge import melt_of
from bulbcast.foundry.melt.view import stock_and_pot_view
from bulbcast.job import Job, run
from bulbcast.pattern.waterfall import signed, waterfall
from bulbcast.plan.reading import read_plan
from bulbcast.quantities import Shown
from bulbcast.report.chapter import Picture

PLAN = """
name = "Thistledown"
display_units = "{units}"
[bulb]
target_mass = "2.1 kg"
fineness = 5.5
skin = "0.2 mm"
[alloy]
grade = "antimonial-2"
[fin]
tip_chord = "72 mm"
tip_thickness = "7.5 mm"
pocket_depth = "7 mm"
{fin}
[[screws]]
at = "15 mm"
diameter = "4 mm"
hole_diameter = "4.5 mm"
head_diameter = "8 mm"
head_height = "2.6 mm"
recess = "8 mm"
length = "40 mm"
[pattern]
{pattern}
"""


def job_of(*, units: str = "metric", fin: str = "", pattern: str = "") -> Job:
    return run(read_plan(PLAN.format(units=units, fin=fin, pattern=pattern), source="thistledown.toml"))


@pytest.fixture(scope="module")
def job() -> Job:
    return job_of()


def bars(view: View, *styles: Style) -> list[tuple[float, float]]:
    """Left and right ends of every bar in the given styles."""
    return [
        (min(x for x, _ in shape.contours[0]), max(x for x, _ in shape.contours[0]))
        for shape in view.shapes
        if isinstance(shape, Region) and shape.style in styles
    ]


def bars_of(region: Region) -> tuple[float, float]:
    """Left and right ends of one bar."""
    return min(x for x, _ in region.contours[0]), max(x for x, _ in region.contours[0])


def texts(view: View) -> list[str]:
    return [shape.text for shape in view.shapes if isinstance(shape, Text)]


def test_each_bar_of_the_waterfall_begins_where_the_last_one_ended(job):
    view, steps = waterfall(job), job.pattern.steps
    totals = bars(view, Style.TOTAL)
    floating = bars(view, Style.MORE, Style.LESS)
    assert (len(totals), len(floating)) == (2, len(steps) - 1)
    place = totals[0][1]
    scale = (totals[1][1] - totals[0][1]) / (steps[-1].lead_mass - steps[0].lead_mass)
    for (before, step), (left, right) in zip(itertools.pairwise(steps), floating, strict=True):
        grown = scale * (step.lead_mass - before.lead_mass)
        # What adds and what takes away is shown by its tint too.
        tint = next(
            s.style
            for s in view.shapes
            if isinstance(s, Region) and bars_of(s) == pytest.approx((left, right))
        )
        assert tint is (Style.MORE if grown >= 0.0 else Style.LESS)
        start, end = (left, right) if grown >= 0.0 else (right, left)
        assert start == pytest.approx(place, abs=1e-9)
        assert end - start == pytest.approx(grown, abs=1e-9)
        place = end
    assert place == pytest.approx(totals[1][1], abs=1e-9)


def test_the_waterfall_says_every_step_in_grams_percent_and_millimetres(job):
    words = texts(waterfall(job))
    first = job.pattern.steps[0].lead_mass
    for before, step in itertools.pairwise(job.pattern.steps):
        change, longer = step.lead_mass - before.lead_mass, step.length - before.length
        assert signed(job.shown.mass(change)) in words
        said = [line for line in words if line.startswith(signed(job.shown.percent(change / first)))]
        length = f"{signed(job.shown.length(longer))} long" if longer != 0.0 else "same length"
        assert any(line.endswith(length) for line in said)
    assert job.shown.mass(job.pattern.steps[-1].lead_mass) in words


def test_a_pattern_that_needs_nothing_still_makes_a_waterfall():
    job = job_of(
        fin='pocket = "cored"',
        pattern='contraction = "0 %"\nmould_expansion = "0 %"\nfinish = "0 mm"\ncoat = "0 mm"',
    )
    ElementTree.fromstring(svg_text(waterfall(job)))


def test_parts_of_a_bar_share_its_length_as_their_masses_do():
    view = stacked_bar("b", "t", [("one", 3.0), ("none", 0.0), ("other", 1.0)], Shown("metric"))
    (first, second) = bars(view, Style.PART_A, Style.PART_C)
    assert (first[1] - first[0]) / (second[1] - second[0]) == pytest.approx(3.0, rel=1e-12)
    assert first[1] == pytest.approx(second[0], abs=1e-12)
    assert "none" not in texts(view)


def charge_bar(job) -> View:
    return next(part for part in melt_chapter(job).parts if isinstance(part, Picture)).draw()


def test_the_charge_bar_names_all_that_makes_up_the_charge(job):
    words = " ".join(texts(charge_bar(job)))
    melt = job.melt
    for name, mass in (
        ("casting", melt.cast_mass),
        ("feeder", melt.feeder),
        ("reserve", melt.reserve),
        ("dross", melt.dross),
    ):
        assert name in words
        assert f"{job.shown.mass(mass)}, {job.shown.percent(mass / melt.charge)}" in words


def test_the_heel_of_the_pot_stands_in_the_bar_so_that_it_adds_up(job):
    melt = melt_of(2.0, feeder=1.0, reserve=0.1, dross=0.04, heel=0.7)
    view = charge_bar(replace(job, melt=melt))
    share = 0.7 / melt.charge
    assert f"{job.shown.mass(0.7)}, {job.shown.percent(share)}" in " ".join(texts(view))
    widths = [right - left for left, right in bars(view, Style.PART_D)]
    assert any(width / 170.0 == pytest.approx(share, rel=1e-9) for width in widths)


def test_the_hung_mass_bar_adds_up_to_the_hung_mass(job):
    lines = job.bulb.lines
    words = " ".join(texts(hung_mass_bar(job)))
    for kind in ("lead", "screw", "plug", "bedding", "skin"):
        mass = math.fsum(line.mass for line in lines if line.kind == kind)
        assert f"{job.shown.mass(mass)}, {job.shown.percent(mass / job.bulb.mass)}" in words


@pytest.mark.parametrize(
    ("text", "with_sign"),
    [
        ("1.5 g", "+1.5 g"),
        ("-1.5 g", "-1.5 g"),
        ("0.00 g", "0.00 g"),
        ("0 in", "0 in"),
        ("1/32 in", "+1/32 in"),
    ],
)
def test_changes_bear_their_sign(text, with_sign):
    assert signed(text) == with_sign


# On a phone


MELTED = """
[[scrap]]
kind = "sheet"
gross = "4 kg"
condition = "dry"
[pot]
capacity = "900 cm3"
material = "cast-iron"
"""


@pytest.fixture(scope="module")
def narrow_views() -> list[tuple[View, View]]:
    """Pairs of drawings: one in the normal layout and one in the phone layout."""
    text = PLAN.format(units="metric", fin="", pattern="") + MELTED
    found = run(read_plan(text, source="thistledown.toml"))
    charge = next(part for part in melt_chapter(found).parts if isinstance(part, Picture))
    pairs = [(view(found), view(found, narrow=True)) for view in (waterfall, hung_mass_bar, legend)]
    pairs += [
        (charge.draw(), charge.narrow()),
        (stock_and_pot_view(found), stock_and_pot_view(found, narrow=True)),
    ]
    return pairs


def test_drawings_for_a_phone_fit_its_screen_and_no_text_of_theirs_meets_another_or_the_edge(narrow_views):
    for _, view in narrow_views:
        assert view.box.width * view.scale <= NARROW + 2.0 * MARGIN + 1e-9
        boxes = [text_box(shape) for shape in view.shapes if isinstance(shape, Text)]
        assert boxes
        for one, other in itertools.combinations(boxes, 2):
            assert not one.meets(other)
        for box in boxes:
            assert view.box.left <= box.left
            assert box.right <= view.box.right
            assert view.box.bottom <= box.bottom
            assert box.top <= view.box.top


@pytest.mark.parametrize("mass", ["2.1 kg", "1450 kg"])
def test_the_band_of_the_mass_and_its_budget_fit_a_phone_with_all_their_figures(mass):
    text = PLAN.format(units="metric", fin="", pattern="").replace("2.1 kg", mass)
    found = run(read_plan(text, source="thistledown.toml"))
    for view in (mass_band(found.confidence, found.shown), budget_bars(found.confidence, found.shown)):
        assert view.box.width * view.scale <= NARROW + 2.0 * MARGIN + 1e-9
        boxes = [text_box(shape) for shape in view.shapes if isinstance(shape, Text)]
        for one, other in itertools.combinations(boxes, 2):
            assert not one.meets(other)
        assert max(box.right for box in boxes) <= view.box.right


def test_drawings_for_a_phone_have_every_word_and_every_share_of_the_wide_ones(narrow_views):
    for wide, narrow in narrow_views:
        assert sorted(texts(wide)) == sorted(texts(narrow))
        assert wide.name != narrow.name
    for wide, narrow in (narrow_views[1], narrow_views[3]):
        parts = (Style.PART_A, Style.PART_B, Style.PART_C, Style.PART_D, Style.PART_E)
        first, second = bars(wide, *parts), bars(narrow, *parts)
        # Below the bar of a phone stands a list with a swatch for each part.
        assert len(second) == 2 * len(first)
        for (left, right), (low, high) in zip(first, second, strict=False):
            assert (high - low) / NARROW == pytest.approx((right - left) / 170.0, rel=1e-9)
