"""Hulls described only by numbers, without a surface or table."""

from __future__ import annotations

from dataclasses import replace

import pytest

from bulbcast.hull.design_line import design_line_of_numbers
from bulbcast.hull.faults import HullError
from bulbcast.plan.boat_sections import BoatSection

LEAST = BoatSection(hull_displacement=4.0, buoyancy_x=0.5, waterline_length=0.95)
NUMBERS = replace(
    LEAST,
    buoyancy_z=-0.02,
    waterplane_area=0.11,
    flotation_x=0.52,
    waterline_beam=0.18,
    hull_draught=0.06,
    metacentric_radius=0.06,
    metacentric_radius_along=1.5,
)


def test_what_is_not_given_stays_unknown():
    line = design_line_of_numbers(LEAST, 1000.0)
    assert (line.volume, line.buoyancy_x, line.length) == (pytest.approx(0.004), 0.5, 0.95)
    assert line.mass_per_immersion(1000.0) is None
    assert (
        line.buoyancy_z
        is line.flotation_x
        is line.beam
        is line.draught
        is line.bm_across
        is line.bm_along
        is None
    )


def test_what_is_given_is_taken_as_it_is():
    line = design_line_of_numbers(NUMBERS, 1000.0)
    assert (line.buoyancy_z, line.flotation_x, line.beam, line.draught) == (-0.02, 0.52, 0.18, 0.06)
    assert (line.bm_across, line.bm_along) == (0.06, 1.5)
    assert line.mass_per_immersion(1000.0) == pytest.approx(110.0)


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        (
            {"buoyancy_x": 50.0},
            "The centre of buoyancy at 50000 mm is outside the design waterline, which runs from 0 to 950 mm. Measure "
            "it aft from the forward end of the design waterline.",
        ),
        (
            {"buoyancy_z": 0.02},
            "The centre of buoyancy is given as 20 mm above the design waterline. It must be below the waterline "
            "and no deeper than 60 "
            "mm. Give its height as a negative figure.",
        ),
        (
            {"waterplane_area": 0.2},
            "The waterplane of 0.2 m2 is more than length times beam, 0.171 m2. One of the figures is in the wrong unit "
            "or belongs to a different waterline. Correct it.",
        ),
        (
            {"hull_displacement": 40.0},
            "The displaced volume of 0.04 m3 is more than waterplane area times draught, 0.0066 m3. One of the figures "
            "is in the wrong unit or belongs to a different waterline. Correct it.",
        ),
    ],
)
def test_numbers_that_no_hull_has_are_refused(changes, words):
    with pytest.raises(HullError) as caught:
        design_line_of_numbers(replace(NUMBERS, **changes), 1000.0)
    assert [fault.words for fault in caught.value.faults] == [words]


def test_all_faults_are_reported_at_once():
    with pytest.raises(HullError) as caught:
        design_line_of_numbers(replace(NUMBERS, buoyancy_x=2.0, buoyancy_z=0.1), 1000.0)
    assert [fault.code for fault in caught.value.faults] == ["centre-off-hull", "buoyancy-height"]
