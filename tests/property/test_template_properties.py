"""Properties of templates for any bulb: outlines are simple, an outside template is its board less half the section,
gauges fit, and blanks are large enough.
"""

from __future__ import annotations

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely import Polygon

from bulbcast.bulb.body.profiles import four_digit, modified_four_digit, sears_haack, series58, spheroid
from bulbcast.bulb.body.turned import turned_body
from bulbcast.drawing.parts import sheet_of
from bulbcast.pattern.stations import Surface, template_stations, turning_rows
from bulbcast.pattern_shop.templates.stations import end_gauges, silhouettes, station_templates

PROFILES = st.sampled_from(
    [
        four_digit(),
        modified_four_digit(max_at=0.4, nose_index=5.0),
        spheroid(),
        sears_haack(),
        series58(max_at=0.4, nose_radius=0.5, tail_radius=0.1, prismatic=0.6),
    ]
)


@st.composite
def surfaces(draw: st.DrawFn) -> Surface:
    diameter = draw(st.floats(0.02, 0.6))
    body = turned_body(
        draw(PROFILES),
        diameter=diameter,
        tail_diameter=draw(st.floats(0.03, 0.3)) * diameter,
        fineness=draw(st.floats(2.5, 14.0)),
        width_to_height=draw(st.sampled_from([1.0, 1.0, 0.6, 1.3, 2.5])),
    )
    return Surface(
        name="pattern",
        body=body,
        distance=draw(st.floats(-0.004, 0.012)) * diameter,
        scale=draw(st.floats(0.99, 1.03)),
    )


@settings(max_examples=25, deadline=None)
@given(surface=surfaces(), imperial=st.booleans(), vertical=st.booleans())
def test_station_templates_close_and_the_board_is_less_by_half_the_section(surface, imperial, vertical):
    stations = template_stations(surface, spacing=None, imperial=imperial)
    assert stations
    assert all(0.0 < one.place < surface.length for one in stations)
    made = {
        one.name: one
        for one in station_templates(
            surface, stations, letter="P", inside=True, parting="vertical" if vertical else "horizontal"
        )
    }
    for station in stations:
        inside = Polygon(made[f"station-p{station.number}-inside"].outlines[0])
        outside = Polygon(made[f"station-p{station.number}-outside"].outlines[0])
        assert inside.is_valid
        assert outside.is_valid
        left, low, right, high = inside.bounds
        sizes = (right - left, high - low)
        wanted = (2e3 * station.half_width, 2e3 * station.half_height)
        assert np.allclose(sorted(sizes), sorted(wanted), atol=5e-3)
        a, b, c, d = outside.bounds
        assert abs((c - a) * (d - b) - outside.area - 0.5 * inside.area) < 1e-6 * inside.area
        assert abs(outside.intersection(inside).area) < 1e-6 * inside.area


@settings(max_examples=25, deadline=None)
@given(surface=surfaces())
def test_gauges_slide_on_the_silhouette_and_take_nothing_of_it(surface):
    stations = template_stations(surface, spacing=None, imperial=False)
    shapes = silhouettes(surface, stations, letter="P", parting="horizontal", pockets=((), ()))
    for one in shapes:
        assert Polygon(one.outlines[0]).is_valid
    plan = Polygon(shapes[-1].outlines[0])
    for gauge in end_gauges(surface, letter="P"):
        board = Polygon(gauge.outlines[0])
        assert board.is_valid
        if gauge.name.startswith("nose") and (surface.round or gauge.name.endswith("plan")):
            # Drawn in the silhouette's own place: the two share an edge and no area.
            assert board.intersection(plan).area < 1e-6 * plan.area
            assert board.distance(plan) == 0.0


@settings(max_examples=25, deadline=None)
@given(surface=surfaces(), imperial=st.booleans())
def test_a_blank_turned_to_the_rough_sizes_holds_the_pattern(surface, imperial):
    rows = turning_rows(surface, spacing=None, imperial=imperial)
    places = np.array([row.station.place for row in rows])
    assert np.all(np.diff(places) > 0.0)
    assert places[0] == 0.0
    assert abs(places[-1] - surface.length) < 1e-12
    fine = np.linspace(0.0, surface.length, 800)
    wide, tall = surface.halves(fine)
    after = np.clip(np.searchsorted(places, fine, side="right"), 1, len(rows) - 1)
    rough = np.array([[row.rough_width, row.rough_height] for row in rows])
    for half, column in ((wide, 0), (tall, 1)):
        blank = np.minimum(rough[after - 1, column], rough[after, column])
        assert np.all(blank >= 2.0 * half)


@settings(max_examples=8, deadline=None)
@given(surface=surfaces())
def test_parts_on_a_sheet_keep_their_areas_and_lie_apart(surface):
    gauges = end_gauges(surface, letter="P")
    sheet = sheet_of(gauges)
    parts = [Polygon(line.points) for line in sheet.lines if line.layer == "cut"]
    wanted = [Polygon(one.outlines[0]).area for one in gauges]
    assert np.allclose([part.area for part in parts], wanted, rtol=1e-9)
    for number, part in enumerate(parts):
        assert not any(part.intersects(other) for other in parts[:number])
