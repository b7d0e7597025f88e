"""Stations and the turning table: positions of stations, and a roughed blank that always contains the curve."""

from __future__ import annotations

import csv
import io
import itertools

import numpy as np
import pytest

from bulbcast.bulb.body.profiles import four_digit
from bulbcast.bulb.body.turned import turned_body
from bulbcast.pattern.stations import (
    Surface,
    round_step,
    template_stations,
    turning_rows,
)
from bulbcast.pattern_shop.templates.turning import turning_csv, turning_table
from bulbcast.quantities.showing import sixty_fourths

INCH = 0.0254


def surface(width_to_height=1.0):
    body = turned_body(
        four_digit(), diameter=0.0434, tail_diameter=0.004, fineness=6.0, width_to_height=width_to_height
    )
    return Surface(name="pattern", body=body, distance=0.0001, scale=1.0103)


@pytest.mark.parametrize(
    ("inches", "text"),
    [
        (0.0, "0 in"),
        (1.0, "1 in"),
        (43.0 / 64.0, "43/64 in"),
        (2.5, "2 1/2 in"),
        (1.999, "2 in"),
        (-0.25, "-1/4 in"),
    ],
)
def test_inches_are_shown_to_a_sixty_fourth(inches, text):
    assert sixty_fourths(inches * INCH) == text


@pytest.mark.parametrize(
    ("length", "imperial", "step"), [(0.264, False, 0.025), (1.057, False, 0.1), (0.1476, True, 0.5 * INCH)]
)
def test_spaces_are_round_distances(length, imperial, step):
    assert round_step(length, 10, imperial=imperial) == pytest.approx(step)


def test_template_stations_stand_at_whole_spaces_with_halves_at_the_ends():
    made = surface()
    stations = template_stations(made, spacing=0.025, imperial=False)
    places = [station.place for station in stations]
    assert [station.number for station in stations] == list(range(1, len(stations) + 1))
    assert places[:3] == pytest.approx([0.0125, 0.025, 0.05])
    assert places[-2:] == pytest.approx([0.225, 0.25])
    assert places == sorted(places)


def test_the_thickest_section_has_a_station_where_none_is_near():
    made = surface()
    stations = template_stations(made, spacing=0.032, imperial=False)
    odd = [one for one in stations if abs(one.place / 0.016 - round(one.place / 0.016)) > 1e-9]
    assert [one.place for one in odd] == [pytest.approx(made.largest_at)]
    assert odd[0].half_width == pytest.approx(0.5 * made.width, rel=1e-9)


def test_the_turning_table_runs_from_nose_to_tail():
    made = surface()
    rows = turning_rows(made, spacing=0.01, imperial=False)
    assert rows[0].station.place == 0.0
    assert rows[0].station.half_width == pytest.approx(0.0, abs=1e-9)
    assert rows[-1].station.place == pytest.approx(made.length)
    assert rows[-1].station.half_width == pytest.approx(0.5 * 0.004 * 1.0103, abs=1.2e-4)


def test_a_blank_roughed_from_station_to_station_holds_the_whole_curve_and_the_finishing_cut():
    made = surface()
    rows = turning_rows(made, spacing=0.01, imperial=False)
    for row, after in itertools.pairwise(rows):
        among, _ = made.halves(np.linspace(row.station.place, after.station.place, 101))
        assert row.rough_width >= 2.0 * float(np.max(among)) + 0.002 - 1e-9
    assert max(row.rough_width for row in rows) == pytest.approx(made.width + 0.002, abs=1e-9)


def test_the_table_shows_tenths_of_a_millimetre_and_sixty_fourths_of_an_inch():
    made = surface()
    rows = turning_rows(made, spacing=0.01, imperial=False)
    table = turning_table(made, rows)
    assert table.title == "Turning table of the pattern"
    assert table.heads[1:5] == ("from nose, mm", "diameter, mm", "radius, mm", "rough to, mm")
    for cells, row in zip(table.rows, rows, strict=True):
        assert float(cells[2]) == pytest.approx(2e3 * row.station.half_width, abs=0.0501)
        assert cells[6] == sixty_fourths(2.0 * row.station.half_width).removesuffix(" in")


def test_a_flattened_pattern_gets_widths_and_heights_and_is_not_to_be_turned():
    made = surface(1.25)
    table = turning_table(made, turning_rows(made, spacing=None, imperial=True))
    assert table.title == "Carving table of the pattern"
    assert table.heads[1:4] == ("from nose, mm", "width, mm", "height, mm")
    assert (
        table.notes[0]
        == "Flattened sections cannot be turned on a plain lathe. Carve them to the station templates."
    )


def test_the_csv_has_its_units_in_the_heading_and_the_figures_of_the_rows():
    made = surface()
    rows = turning_rows(made, spacing=0.01, imperial=False)
    read = list(csv.DictReader(io.StringIO(turning_csv(made, rows))))
    assert list(read[0])[:5] == [
        "station",
        "from_nose_mm",
        "diameter_mm",
        "radius_mm",
        "rough_diameter_mm",
    ]
    for line, row in zip(read, rows, strict=True):
        assert float(line["radius_mm"]) == pytest.approx(1e3 * row.station.half_width, abs=5.01e-4)
        assert float(line["diameter_in"]) == pytest.approx(2.0 * row.station.half_width / INCH, abs=5.01e-5)
        assert line["from_nose_in_64ths"] == sixty_fourths(row.station.place).removesuffix(" in")
