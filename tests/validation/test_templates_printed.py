"""Dimensions of the printed sheets, read by pdfminer and rendered by PDFium, neither of which wrote them.

They are compared with plan.json: the vectors to 0.01 mm, and the page rendered at 600 dpi to 0.1 mm.
"""

from __future__ import annotations

import io
import json
import math

import numpy as np
import pypdfium2
import pytest
from pdfminer.high_level import extract_pages
from pdfminer.layout import LTCurve, LTLine, LTTextBox
from plans import EXAMPLES, command
from shapely import LineString, Polygon

MM = 25.4 / 72.0
DPI = 600
FINE = 0.01
RENDERED = 0.1


@pytest.fixture(scope="module", params=["fenwisp", "puddlejack", "saltmarrow"])
def printed(request, tmp_path_factory):
    """Contents of plan.json, the pages of templates.pdf and the bytes of that file.

    Each page has its width, height, outlines and straight lines in mm, and its words.
    """
    out = tmp_path_factory.mktemp("printed") / request.param
    done = command("plan", EXAMPLES / f"{request.param}.toml", "--out", out)
    assert done.exit_code == 0, done.output
    content = (out / "templates.pdf").read_bytes()
    pages = []
    for page in extract_pages(io.BytesIO(content)):
        outlines = [[(MM * x, MM * y) for x, y in shape.pts] for shape in page if isinstance(shape, LTCurve)]
        words = " ".join(shape.get_text() for shape in page if isinstance(shape, LTTextBox))
        straight = [
            (MM * shape.x0, MM * shape.y0, MM * shape.x1, MM * shape.y1)
            for shape in page
            if isinstance(shape, LTLine)
        ]
        pages.append((MM * page.width, MM * page.height, outlines, straight, words))
    return json.loads((out / "plan.json").read_text("utf-8")), pages, content


def test_the_paper_has_its_size_and_printers_are_reported_not_to_scale(printed):
    plan, pages, content = printed
    width, height = {"A4": (210.0, 297.0), "letter": (215.9, 279.4)}[plan["templates"]["paper"]]
    for page in pages:
        # A sheet stands or lies.
        upright = page[0] < page[1]
        assert page[:2] == pytest.approx((width, height) if upright else (height, width), abs=1e-3)
    assert b"/PrintScaling /None" in content


def test_every_page_has_bars_of_100_mm_and_of_4_in_both_ways(printed):
    _, pages, _ = printed
    for _, _, _, straight, _ in pages:
        for length in (100.0, 101.6):
            level = [one for one in straight if abs(one[2] - one[0] - length) < FINE and one[1] == one[3]]
            upright = [one for one in straight if abs(one[3] - one[1] - length) < FINE and one[0] == one[2]]
            assert len(level) == len(upright) == 1


def test_the_bars_bear_a_tick_at_both_ends_at_their_true_length(printed):
    _, pages, _ = printed
    for _, _, _, straight, _ in pages:
        for length in (100.0, 101.6):
            bar = next(one for one in straight if abs(one[2] - one[0] - length) < FINE and one[1] == one[3])
            for end in (bar[0], bar[2]):
                assert any(
                    abs(one[0] - end) < FINE and abs(one[2] - end) < FINE and 2.0 < one[3] - one[1] < 2.5
                    for one in straight
                    if abs(one[1] - bar[1]) < FINE
                )


def sizes(outline):
    xs, ys = zip(*outline, strict=True)
    return max(xs) - min(xs), max(ys) - min(ys)


def test_every_stations_outline_has_the_size_of_plan_json_in_the_vectors(printed):
    plan, pages, _ = printed
    outlines = [one for page in pages for one in page[2] if len(one) > 300]
    found = 0
    for station in plan["templates"]["pattern_stations"]:
        wanted = sorted((2e3 * station["half_width_m"], 2e3 * station["half_height_m"]))
        same = [one for one in outlines if sorted(sizes(one)) == pytest.approx(wanted, abs=FINE)]
        assert same, station
        area = math.pi * wanted[0] * wanted[1] / 4.0
        # All but an ellipse: the parallel surface of a flattened body differs from one by hundredths of a per mille.
        assert Polygon(same[0]).area == pytest.approx(area, rel=5e-4)
        found += 1
    assert found >= 10


def test_the_silhouette_on_one_or_many_sheets_is_as_long_as_the_pattern(printed):
    plan, pages, _ = printed
    length = 1e3 * plan["pattern"]["length_m"]
    width = 1e3 * plan["pattern"]["width_m"]
    assert any(
        sorted(sizes(one)) == pytest.approx(sorted((length, width)), abs=FINE)
        for page in pages
        for one in page[2]
        if len(one) > 100
    )


def test_what_the_pages_say_can_be_read_back(printed):
    plan, pages, _ = printed
    words = " ".join(page[4] for page in pages)
    assert plan["name"] in words
    for station in plan["templates"]["pattern_stations"]:
        assert f"Station {station['name']}" in words
    for number in range(1, len(pages) + 1):
        assert f"page {number} of {len(pages)}" in words


def rendered(content, number):
    """Page as PDFium renders it, True where there is ink, with the first row at the bottom."""
    page = pypdfium2.PdfDocument(content)[number]
    picture = page.render(scale=DPI / 72.0, grayscale=True).to_numpy()
    return picture.reshape(picture.shape[0], picture.shape[1])[::-1] < 128


def extent(ink):
    """Positions of the first and last strokes along a row of pixels, in mm, each measured at its middle.

    A stroke is a few pixels wide.
    """
    hit = np.flatnonzero(ink)
    breaks = np.flatnonzero(np.diff(hit) > 1)
    first = hit[: breaks[0] + 1] if len(breaks) else hit
    last = hit[breaks[-1] + 1 :] if len(breaks) else hit
    return tuple((float(run.mean()) + 0.5) * 25.4 / DPI for run in (first, last))


def test_bars_measured_from_the_page_at_600_dpi_are_true(printed):
    _, pages, content = printed
    number = 2
    ink = rendered(content, number)
    straight = pages[number][3]
    for length in (100.0, 101.6):
        level = next(one for one in straight if abs(one[2] - one[0] - length) < FINE and one[1] == one[3])
        # Across the end ticks, half a tick above the bar itself.
        row = ink[round((level[1] + 1.8) * DPI / 25.4)]
        left = slice(round((level[0] - 2.0) * DPI / 25.4), round((level[2] + 2.0) * DPI / 25.4))
        low, high = extent(row[left])
        assert high - low == pytest.approx(length, abs=RENDERED)
        upright = next(one for one in straight if abs(one[3] - one[1] - length) < FINE and one[0] == one[2])
        # On a sheet that lies both are edges of one rule, inches inwards.
        inwards = pages[number][0] > pages[number][1] and length == 101.6
        column = ink[:, round((upright[0] + (1.8 if inwards else -1.8)) * DPI / 25.4)]
        along = slice(round((upright[1] - 2.0) * DPI / 25.4), round((upright[3] + 2.0) * DPI / 25.4))
        low, high = extent(column[along])
        assert high - low == pytest.approx(length, abs=RENDERED)


def test_a_stations_breadth_measured_from_the_page_at_600_dpi_is_true(printed):
    _, pages, content = printed
    number, outline = max(
        (
            (number, one)
            for number, page in enumerate(pages)
            for one in page[2]
            # Whole on its page: a tile would show part of it.
            if 300 < len(one) < 2000 and "Station P" in page[4] and max(sizes(one)) < 120.0
        ),
        key=lambda found: min(sizes(found[1])),
    )
    ink = rendered(content, number)
    shape = Polygon(outline)
    left, low, right, high = shape.bounds
    for share in (0.2, 0.35, 0.62):
        level = low + share * (high - low)
        chord = shape.intersection(LineString([(left - 1.0, level), (right + 1.0, level)])).length
        middle = 0.5 * (left + right)
        row = ink[round(level * DPI / 25.4 - 0.5)]
        around = slice(
            round((middle - 0.5 * chord - 0.6) * DPI / 25.4), round((middle + 0.5 * chord + 0.6) * DPI / 25.4)
        )
        first, last = extent(row[around])
        assert last - first == pytest.approx(chord, abs=RENDERED)
