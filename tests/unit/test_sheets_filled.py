"""Template sheets come in order of use. There are as few of them as possible, and they are landscape if that saves
gluing. Their labels show the builder's units first."""

from __future__ import annotations

import itertools
import math
import random

import pytest
from plans import EXAMPLES
from shapely import box

from bulbcast.drawing.filling import GAP, filled
from bulbcast.drawing.pages import PAPERS
from bulbcast.drawing.paper import window
from bulbcast.drawing.shapes import Box, Text
from bulbcast.drawing.sheets import laid_out, sheets_needed
from bulbcast.drawing.template import Template, cut, rectangle
from bulbcast.files.plan_file import load_plan
from bulbcast.job import run
from bulbcast.pattern_shop.templates.collected import template_pages, template_set
from bulbcast.pattern_shop.templates.cover import table_pages
from bulbcast.pattern_shop.templates.turning import TurningTable
from bulbcast.plan.reading import read_plan

ROOM = Box(left=0.0, bottom=0.0, right=100.0, top=100.0)


def plate(name, width, height):
    return Template(
        name=name,
        family="stations",
        title=name,
        notes=("a note",),
        shapes=(cut(rectangle(0.0, 0.0, width, height)),),
    )


def fewest(sizes, room):
    """Minimum number of pages for blocks in order, by trying every division into shelves and pages."""
    count, best = len(sizes), None
    for breaks in itertools.product((0, 1, 2), repeat=count - 1):
        # 0 beside, 1 a new shelf, 2 a new page.
        pages, high, wide, tall, fits = 1, 0.0, sizes[0][0], sizes[0][1], True
        for (width, height), step in zip(sizes[1:], breaks, strict=True):
            if step == 0:
                wide, tall = wide + GAP + width, max(tall, height)
            else:
                fits = fits and wide <= room.width and high + tall <= room.height
                high = 0.0 if step == 2 else high + tall + GAP
                wide, tall = width, height
                pages += step == 2
        fits = fits and wide <= room.width and high + tall <= room.height
        if fits and (best is None or pages < best):
            best = pages
    return best


@pytest.mark.parametrize("seed", range(30))
def test_no_other_way_in_the_same_order_takes_fewer_pages(seed):
    draw = random.Random(seed)
    sizes = [(draw.uniform(20.0, 70.0), draw.uniform(15.0, 60.0)) for _ in range(8)]
    pages = filled([[size] for size in sizes], [ROOM])
    assert [number for page in pages for shelf in page.shelves for number in shelf] == list(range(8))
    for page in pages:
        high = 0.0
        for shelf in page.shelves:
            assert sum(sizes[n][0] for n in shelf) + GAP * (len(shelf) - 1) <= ROOM.width
            high += max(sizes[n][1] for n in shelf)
        assert high + GAP * (len(page.shelves) - 1) <= ROOM.height
    assert len(pages) == fewest(sizes, ROOM)


def test_a_block_that_fits_nowhere_is_refused():
    with pytest.raises(ValueError, match="Block 1 does not fit on any page"):
        filled([[(10.0, 10.0)], [None]], [ROOM])


@pytest.mark.parametrize(
    ("width", "height", "sheets", "lying"),
    [
        (150.0, 100.0, 1, False),
        (264.0, 50.0, 1, True),  # too long for an upright sheet even turned, with its caption
        (50.0, 230.0, 1, False),
        (430.0, 150.0, 2, None),
    ],
)
def test_a_sheet_lies_where_that_saves_one(width, height, sheets, lying):
    template = plate("one", width, height)
    paper = PAPERS["A4"]
    assert sheets_needed(template, paper) == sheets
    pages, where = laid_out((template,), paper, 3)
    assert len(pages) == sheets
    assert where["one"] == tuple(range(3, 3 + sheets))
    if lying is not None:
        assert (pages[0].paper.width > pages[0].paper.height) is lying


def test_a_large_template_comes_after_the_page_of_the_one_before_it():
    templates = (
        plate("a", 60.0, 60.0),
        plate("long", 700.0, 60.0),
        plate("b", 60.0, 60.0),
        plate("c", 60.0, 60.0),
    )
    _, where = laid_out(templates, PAPERS["A4"], 1)
    assert where["a"] == where["b"] == where["c"] == (1,)
    assert where["long"] == (2, 3, 4)


@pytest.fixture(scope="module", params=["fenwisp", "larkmoss", "osierling", "puddlejack", "saltmarrow"])
def job(request):
    return run(*load_plan(EXAMPLES / f"{request.param}.toml"))


BEFORE = {"Fenwisp": 8, "Larkmoss": 8, "Osierling": 8, "Puddlejack": 7, "Saltmarrow": 42}
"""Numbers of pages before the change, with the tallest template first and every sheet in portrait."""


def test_no_example_takes_more_sheets_than_in_the_order_of_height(job):
    assert len(template_pages(job, template_set(job))) <= BEFORE[job.plan.name]


def test_templates_lie_in_the_order_of_their_use(job):
    chosen = template_set(job)
    paper = PAPERS["A4"]
    printed = tuple(one for one in chosen.templates if one.on_paper and sheets_needed(one, paper) <= 12)
    _, where = laid_out(printed, paper, 1)
    single = [where[one.name][0] for one in printed if len(where[one.name]) == 1]
    assert single == sorted(single)
    kinds = [one.name.rstrip("0123456789") for one in printed if one.family == "stations"]
    assert kinds == sorted(kinds, key=lambda kind: "f" in kind.partition("-")[2])
    numbers = [
        int("".join(filter(str.isdigit, one.name))) for one in printed if one.name.startswith("station-p")
    ]
    assert numbers == list(range(1, len(numbers) + 1))
    assert printed[0].family == "silhouettes"


def test_fenwisps_silhouette_needs_no_glue_any_more():
    job = run(*load_plan(EXAMPLES / "fenwisp.toml"))
    chosen = template_set(job)
    outline = next(one for one in chosen.templates if one.family == "silhouettes")
    assert outline.box.width > window(PAPERS["A4"]).height
    assert sheets_needed(outline, PAPERS["A4"]) == 1


def test_what_stands_on_one_page_lies_apart(job):
    for page in template_pages(job, template_set(job))[1:]:
        areas = []
        for placed in page.placed:
            if placed.clip is None and any(getattr(one, "contours", None) for one in placed.shapes):
                points = [
                    point
                    for shape in placed.shapes
                    for contour in getattr(shape, "contours", ())
                    for point in contour
                ]
                if placed.turned:
                    points = [(-y, x) for x, y in points]
                xs = [x + placed.at[0] for x, _ in points]
                ys = [y + placed.at[1] for _, y in points]
                areas.append(box(min(xs), min(ys), max(xs), max(ys)))
        for one, other in itertools.combinations(areas, 2):
            assert one.distance(other) >= GAP - 1e-6


def test_a_builder_who_reads_inches_has_them_first_on_every_label():
    text = (EXAMPLES / "fenwisp.toml").read_text().replace('"metric"', '"imperial"')
    job = run(read_plan(text, source="fenwisp.toml"))
    chosen = template_set(job)
    said = [note for one in chosen.templates for note in (one.title, *one.notes)]
    said += [shape.text for one in chosen.templates for shape in one.shapes if isinstance(shape, Text)]
    both = [words for words in said if " mm" in words and " in" in words]
    assert both
    for words in both:
        assert words.index(" in") < words.index(" mm"), words


@pytest.mark.parametrize("name", ["A4", "letter"])
def test_a_table_fills_its_pages_and_leaves_no_few_lines_alone(name):
    most = 0
    for count in range(1, 150):
        rows = tuple((str(number), "12 3/4") for number in range(count))
        table = TurningTable(title="Lines", heads=("", "from nose, in"), rows=rows, notes=("A note.",))
        pages, (where,) = table_pages(PAPERS[name], [table], 2)
        assert list(where) == [2 + number for number in range(len(pages))]
        lines = [
            sum(isinstance(one, Text) and one.text == "12 3/4" for one in page.placed[0].shapes)
            for page in pages
        ]
        assert sum(lines) == count
        most = count if len(pages) == 1 else most
        assert len(pages) == math.ceil(count / most)
        if len(pages) > 1:
            assert lines[-1] >= 6
            assert len(set(lines[:-2])) <= 1
    assert 40 < most < 149


def test_closer_rows_bring_two_tables_on_one_page():
    paper = PAPERS["letter"]

    def table(title, count):
        rows = tuple((str(number), "1") for number in range(count))
        return TurningTable(title=title, heads=("", "from nose, in"), rows=rows, notes=("A note.",))

    counts = [
        len(table_pages(paper, [table("Turning", n), table("Drill list", 2)], 2)[0]) for n in range(5, 60)
    ]
    assert counts == sorted(counts)
    # 4.5 mm a row leaves room for so many beside the other table; 3.9 mm for some more.
    room = window(paper).height
    at_rest = max(n for n in range(5, 60) if room - 2 * (19.6 + 7.4) - 5.0 - 4.5 * (n + 2) > 0.0)
    assert counts[at_rest + 1 - 5] == 1
