"""Hulls known by bare numbers, and what a small weight does to any hull."""

from __future__ import annotations

import pytest

from bulbcast.hull.added_weight import AddedWeightError, draught_change, draught_change_on_line
from bulbcast.hull.faults import HullError
from bulbcast.hull.numbers_hull import design_line_of_numbers

NUMBERS = {
    "displaced_mass": 4.0,
    "water_density": 1000.0,
    "buoyancy_x": 0.5,
    "length": 0.95,
    "buoyancy_z": -0.02,
    "waterplane_area": 0.11,
    "flotation_x": 0.52,
    "beam": 0.18,
    "draught": 0.06,
    "bm_across": 0.06,
    "bm_along": 1.5,
}


def test_what_is_not_given_stays_unknown():
    line = design_line_of_numbers(displaced_mass=4.0, water_density=1000.0, buoyancy_x=0.5, length=0.95)
    assert line.volume == pytest.approx(0.004)
    assert line.mass_per_immersion(1000.0) is None
    assert line.gm_across(-0.1) is None
    assert line.gm_along(-0.1) is None
    assert line.moment_per_trim(1000.0, -0.1) is None


def test_what_is_given_is_used_by_the_handbooks_formulas():
    line = design_line_of_numbers(**NUMBERS)
    assert line.gm_across(-0.1) == pytest.approx(-0.02 + 0.06 + 0.1)
    assert line.gm_along(-0.1) == pytest.approx(-0.02 + 1.5 + 0.1)
    assert line.mass_per_immersion(1000.0) == pytest.approx(110.0)
    assert line.moment_per_trim(1000.0, -0.1) == pytest.approx(4.0 * 1.58 / 0.95)


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"displaced_mass": 0.0}, "The displacement was read as 0. Give a positive number."),
        ({"bm_across": -0.1}, "The BM across was read as -0.1. Give a positive number."),
        (
            {"buoyancy_x": 50.0},
            "The centre of buoyancy at 50000 mm lies off the design waterline, which runs from 0 to 950 mm. "
            "It is measured aft from the forward end of the design waterline.",
        ),
        (
            {"buoyancy_z": 0.02},
            "The centre of buoyancy was read 20 mm above the design waterline. It lies below it and no deeper than 60 mm: "
            "give its height as a negative figure.",
        ),
        (
            {"waterplane_area": 0.2},
            "The waterplane of 0.2 m2 is more than length by beam, 0.171 m2. One of the figures is in another unit or "
            "belongs to another waterline: mend it.",
        ),
        (
            {"displaced_mass": 40.0},
            "The displaced volume of 0.04 m3 is more than waterplane by draught, 0.0066 m3. One of the figures is in "
            "another unit or belongs to another waterline: mend it.",
        ),
    ],
)
def test_numbers_that_no_hull_has_are_refused(changes, words):
    with pytest.raises(HullError) as caught:
        design_line_of_numbers(**NUMBERS | changes)
    assert [fault.words for fault in caught.value.faults] == [words]


def test_all_faults_are_told_at_once():
    with pytest.raises(HullError) as caught:
        design_line_of_numbers(**NUMBERS | {"length": -1.0, "beam": 0.0})
    assert [fault.code for fault in caught.value.faults] == ["not-positive", "not-positive"]


def test_a_weight_on_a_hull_that_does_not_tell_names_what_is_missing():
    line = design_line_of_numbers(**NUMBERS | {"bm_along": None, "flotation_x": None})
    with pytest.raises(AddedWeightError) as caught:
        draught_change_on_line(line, added_mass=0.1, at_x=0.5, water_density=1000.0, mass_centre_z=-0.1)
    assert str(caught.value) == (
        "What a weight does to the trim cannot be told: the hull's centre of flotation and BM along are not known. "
        "Give them, or a surface or a table of offsets."
    )


def test_a_boat_without_resistance_is_refused():
    with pytest.raises(AddedWeightError) as caught:
        draught_change(
            added_mass=0.1,
            at_x=0.5,
            flotation_x=0.5,
            mass_per_immersion=110.0,
            moment_per_trim=-1.0,
            length=1.0,
            forward_x=0.0,
            aft_x=1.0,
        )
    assert str(caught.value) == (
        "The moment for a unit of trim is -1; a small weight has a small effect only where it is positive. "
        "Look at the waterplane and the height of the mass centre."
    )


def test_draughts_change_by_sinkage_and_their_share_of_the_trim():
    line = design_line_of_numbers(**NUMBERS)
    change = draught_change_on_line(line, added_mass=0.1, at_x=0.9, water_density=1000.0, mass_centre_z=-0.1)
    assert change.aft - change.forward == pytest.approx(change.trim, rel=1e-13)
    # At the centre of flotation the draught changes by the sinkage alone.
    share = line.flotation_x / line.length
    assert change.forward + share * change.trim == pytest.approx(change.sinkage, rel=1e-13)
