"""Template sheets: nothing overlaps or leaves the paper, every template is complete, and every page has scale bars."""

from __future__ import annotations

import itertools
import math
from pathlib import Path

import pytest
from plans import EXAMPLES, example_text
from shapely import LineString, Polygon, STRtree, box

from bulbcast.drawing.pages import Page, Placed
from bulbcast.drawing.paper import bars, shortened, window, wrapped
from bulbcast.drawing.pdf import pdf_bytes, printable
from bulbcast.drawing.shapes import Circle, Line, Polyline, Region, Style, Text, text_box
from bulbcast.drawing.template import Template, box_of
from bulbcast.files.plan_file import load_plan
from bulbcast.job import Job, run
from bulbcast.pattern_shop.templates.collected import FAMILIES, TemplateSet, template_pages, template_set
from bulbcast.plan.reading import read_plan

ROOT = """root_chord = "85 mm"
root_thickness = "9 mm"
root_leading_edge_x = "380 mm"
root_z = "-50 mm"

[[screws]]"""
RIBS = """
[ribs]
count = 4
skin = "1 mm"
plate_thickness = "2 mm"
plate_width = "25 mm"

[templates]
paper = "A3"
"""


def job_of(name: str) -> Job:
    if name != "ribs":
        return run(*load_plan(Path(name)))
    text = example_text("fenwisp")
    return run(read_plan(text.replace("[[screws]]", ROOT, 1) + RIBS, source="fenwisp.toml"))


@pytest.fixture(
    scope="module",
    params=[*map(str, sorted(EXAMPLES.glob("*.toml"))), "ribs"],
    ids=lambda name: Path(name).stem,
)
def job(request: pytest.FixtureRequest) -> Job:
    return job_of(request.param)


@pytest.fixture(scope="module")
def chosen(job: Job) -> TemplateSet:
    return template_set(job)


@pytest.fixture(scope="module")
def pages(job: Job, chosen: TemplateSet) -> tuple[Page, ...]:
    return template_pages(job, chosen)


def moved(point, placed: Placed):
    x, y = point
    if placed.turned:
        x, y = -y, x
    return x + placed.at[0], y + placed.at[1]


def runs_of(shape):
    if isinstance(shape, Line):
        return [(shape.start, shape.end)]
    if isinstance(shape, Polyline):
        return [shape.points]
    if isinstance(shape, Region):
        return [(*contour, contour[0]) for contour in shape.contours]
    if isinstance(shape, Circle):
        x, y = shape.centre
        turn = [2.0 * math.pi * number / 36 for number in range(37)]
        return [[(x + shape.radius * math.cos(a), y + shape.radius * math.sin(a)) for a in turn]]
    return []


def letterings(page: Page):
    """Boxes of the text on a page, without the space around the letters. Text cut off by a tile is left out."""
    for placed in page.placed:
        for shape in placed.shapes:
            if isinstance(shape, Text):
                air = text_box(shape)
                corners = [
                    moved((air.left + 0.1 * shape.height, air.bottom + 0.24 * shape.height), placed),
                    moved((air.right - 0.1 * shape.height, air.top - 0.24 * shape.height), placed),
                ]
                xs, ys = zip(*corners, strict=True)
                area = box(min(xs), min(ys), max(xs), max(ys))
                if placed.clip is None or rectangle(placed.clip).contains(area):
                    yield shape.text, area


def lines(page: Page):
    for placed in page.placed:
        for shape in placed.shapes:
            for run_ in runs_of(shape):
                line = LineString([moved(point, placed) for point in run_])
                if placed.clip is not None:
                    line = line.intersection(rectangle(placed.clip))
                if not line.is_empty:
                    yield line


def rectangle(area):
    return box(area.left, area.bottom, area.right, area.top)


def test_no_lettering_lies_on_lettering_or_on_a_line(pages):
    for number, page in enumerate(pages, start=1):
        texts, strokes = list(letterings(page)), list(lines(page))
        areas, near = STRtree([area for _, area in texts]), STRtree(strokes)
        for index, (words, area) in enumerate(texts):
            beside = [texts[i][0] for i in areas.query(area, predicate="intersects") if i != index]
            assert beside == [], (number, words)
            assert not len(near.query(area, predicate="intersects")), (number, words)


def test_nothing_is_printed_within_five_millimetres_of_the_papers_edge(pages):
    for page in pages:
        inside = box(5.0, 5.0, page.paper.width - 5.0, page.paper.height - 5.0)
        assert all(inside.contains(area) for _, area in letterings(page))
        assert all(inside.contains(stroke) for stroke in lines(page))


def test_no_template_is_cut_by_the_margin(chosen, pages):
    whole = {}
    for page in pages:
        room = rectangle(window(page.paper)).buffer(1e-6)
        for placed in page.placed:
            if placed.clip is None:
                if any(isinstance(s, Region) and s.style is Style.CUT for s in placed.shapes):
                    area = box_of(placed.shapes)
                    corners = [moved(c, placed) for c in ((area.left, area.bottom), (area.right, area.top))]
                    assert all(room.intersects(LineString([corner, corner])) for corner in corners)
            else:
                # A tile: what lies on its pages together is the whole template.
                whole.setdefault(placed.shapes, []).append((page, placed))
    for shapes, tiles in whole.items():
        area = box_of(shapes)
        covered = 0.0
        left = rectangle(area)
        for _, placed in tiles:
            clip = placed.clip
            corners = [
                (clip.left - placed.at[0], clip.bottom - placed.at[1]),
                (clip.right - placed.at[0], clip.top - placed.at[1]),
            ]
            if placed.turned:
                corners = [(y, -x) for x, y in corners]
            (a, b), (c, d) = corners
            seen = box(min(a, c), min(b, d), max(a, c), max(b, d))
            covered += seen.intersection(left).area
            left = left.difference(seen)
        assert left.is_empty or left.area < 1e-9
        assert covered > 0.0
    printed = [one for one in chosen.templates if one.on_paper]
    shown = {shape for page in pages for placed in page.placed for shape in placed.shapes}
    assert all(set(one.shapes) <= shown for one in printed)


def test_neighbouring_tiles_overlap_by_ten_millimetres(pages):
    tiles = {}
    for page in pages:
        for placed in page.placed:
            if placed.clip is not None:
                tiles.setdefault(placed.shapes, []).append(placed)
    for placed in tiles.values():
        xs = sorted({round(one.at[0], 6) for one in placed})
        ys = sorted({round(one.at[1], 6) for one in placed})
        clip = placed[0].clip
        for steps, size in ((xs, clip.width), (ys, clip.height)):
            for low, high in itertools.pairwise(steps):
                assert size - (high - low) == pytest.approx(10.0, abs=1e-5)


def test_every_page_bears_its_number_the_project_and_the_four_bars(job, pages):
    for number, page in enumerate(pages, start=1):
        words = [text for text, _ in letterings(page)]
        assert f"page {number} of {len(pages)}, {page.paper.name}" in words
        assert job.plan.name in words
        assert (
            "Print at actual size (100 %), not fitted to the page. Measure all four bars before you cut."
            in words
        )
        assert words.count("100 mm") == words.count("4 in") == 2
        lengths = {(start, end): length for start, end, length in bars(page.paper)}
        drawn = {
            (shape.start, shape.end)
            for placed in page.placed
            for shape in placed.shapes
            if isinstance(shape, Line)
        }
        assert set(lengths) <= drawn
        assert sorted(lengths.values()) == [100.0, 100.0, 101.6, 101.6]
        assert all(math.dist(*ends) == pytest.approx(length, abs=1e-9) for ends, length in lengths.items())


def test_the_cover_lists_every_family_with_its_pages(chosen, pages):
    cover = [text for text, _ in letterings(pages[0])]
    for family, words in FAMILIES.items():
        if any(one.family == family and one.on_paper for one in chosen.templates):
            assert words in cover


def test_names_of_templates_are_unique_and_outlines_closed_and_simple(chosen):
    names = [one.name for one in chosen.templates]
    assert len(set(names)) == len(names)
    for one in chosen.templates:
        assert one.outlines
        assert one.on_paper or one.in_files
        for outline in one.outlines:
            assert outline[0] != outline[-1]
            assert Polygon(outline).is_valid, one.name


def test_the_same_plan_gives_the_same_bytes(job, pages):
    again = template_pages(job, template_set(job))
    assert pdf_bytes(pages, title="x") == pdf_bytes(again, title="x")
    assert b"CreationDate (D:2000" in pdf_bytes(pages, title="x")


def test_letters_that_the_face_lacks_are_seen_to_be_missing():
    assert printable("Łódź 3 é") == "?ód? 3 é"


def test_words_are_wrapped_and_what_does_not_fit_shows_that_it_goes_on():
    lines_ = wrapped("one two three four five six", 3.0, 20.0)
    assert " ".join(lines_) == "one two three four five six"
    assert len(lines_) > 1
    assert shortened("short", 3.0, 50.0) == "short"
    assert shortened("a very long name indeed", 3.0, 20.0).endswith("...")


def test_a_shape_without_a_layer_is_refused():
    from bulbcast.drawing.parts import sheet_of

    wrong = Template(
        name="x",
        family="x",
        title="x",
        notes=(),
        shapes=(Line(start=(0.0, 0.0), end=(1.0, 0.0), style=Style.AXIS),),
    )
    with pytest.raises(ValueError, match=r"^A template cannot contain this shape"):
        sheet_of([wrong])
