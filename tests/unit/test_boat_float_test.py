"""Float test marks calculated from a known error reveal that error, and the correction removes it."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from bulbcast.afloat.marks_to_mass import (
    Mark,
    attitude_from_marks,
    correction,
    float_test,
)
from bulbcast.ballast.moving import MovableWeight
from bulbcast.ballast.target import apparent_weight_factor
from bulbcast.ballast.weigh_in import Weight
from bulbcast.hull.trimming import Flotation, changed_by_moment, deeper_at
from bulbcast.quantities.checked import BoatFigureError

BOAT = Flotation(
    water_density=1026.0,
    volume=4.45e-3,
    buoyancy_x=0.465,
    waterplane_area=0.16,
    flotation_x=0.500,
    metacentric_height_along=1.1,
    metacentric_height=0.13,
    fore_x=0.0,
    aft_x=0.980,
)
PLACES = (("bow", 0.02, 0.0), ("stern", 0.95, 0.0), ("port", 0.48, -0.10), ("starboard", 0.48, 0.10))
LEAD, FILLER = 11200.0, 1200.0
OPTIONS = {
    "lead_density": LEAD,
    "filler_density": FILLER,
    "drill_diameter": 0.006,
    "bulb_fore_x": 0.36,
    "bulb_aft_x": 0.60,
}


def changed_by(flotation, *, mass, x):
    """Change in floating position caused by a weight added at a given position."""
    return changed_by_moment(flotation, mass=mass, moment=mass * (x - flotation.flotation_x))


def marks(change, heel=0.0, places=PLACES):
    return tuple(
        Mark(
            name=name,
            x=x,
            y=y,
            above=deeper_at(BOAT, sinkage=change.sinkage, trim=change.trim, x=x) + y * math.tan(heel),
        )
        for name, x, y in places
    )


@pytest.mark.parametrize(("mass", "x"), [(0.12, 0.30), (-0.08, 0.30), (0.05, 0.9), (-0.05, 0.9)])
def test_a_weight_too_many_or_too_few_is_found_with_its_place(mass, x):
    found = float_test(marks(changed_by(BOAT, mass=mass, x=x)), BOAT, test_density=1026.0)
    assert found.mass == pytest.approx(mass, rel=1e-12)
    assert found.at_x == pytest.approx(x, rel=1e-12)
    assert found.moment == pytest.approx(mass * (x - 0.5), rel=1e-11)
    assert found.attitude.heel == pytest.approx(0.0, abs=1e-15)
    assert found.attitude.misfit == pytest.approx(0.0, abs=1e-16)


def test_on_her_marks_nothing_is_wrong():
    found = float_test(marks(changed_by(BOAT, mass=0.0, x=0.5)), BOAT, test_density=1026.0)
    assert (found.mass, found.moment, found.trim, found.sinkage) == (0.0, 0.0, 0.0, 0.0)
    assert found.at_x is None
    nothing = correction(found, BOAT, **OPTIONS)
    assert (nothing.drilling, nothing.adding, nothing.moves) == (None, None, ())


def test_a_bow_that_is_deep_and_a_stern_that_is_high_mean_too_much_forward():
    read = (Mark(name="bow", x=0.02, y=0.0, above=0.003), Mark(name="stern", x=0.95, y=0.0, above=-0.003))
    found = float_test(read, BOAT, test_density=1026.0)
    assert found.trim < 0.0
    assert found.moment < 0.0
    assert found.attitude.heel is None
    assert found.across is None


def test_in_a_bath_of_fresh_water_a_right_boat_for_the_sea_lies_deep_and_is_still_right():
    # Her mass is that of the salt water at the line; in fresh she displaces more, and her centre of buoyancy at the
    # line is forward of the flotation, so the slice that she sinks by trims her as well.
    fresh = 999.1
    mass = 1026.0 * BOAT.volume
    sinkage = (mass / fresh - BOAT.volume) / BOAT.waterplane_area
    moment = mass * (BOAT.buoyancy_x - 0.5) - fresh * BOAT.volume * (BOAT.buoyancy_x - 0.5)
    trim = moment / (BOAT.moment_per_trim * fresh / 1026.0)
    read = tuple(
        Mark(name=name, x=x, y=y, above=deeper_at(BOAT, sinkage=sinkage, trim=trim, x=x))
        for name, x, y in PLACES
    )
    assert sinkage > 0.0
    found = float_test(read, BOAT, test_density=fresh)
    assert found.mass == pytest.approx(0.0, abs=1e-14)
    assert found.moment == pytest.approx(0.0, abs=1e-14)


def test_what_was_not_aboard_is_added_and_what_should_not_have_been_is_taken_off():
    fault = changed_by(BOAT, mass=0.05, x=0.7)
    battery, camera = Weight(name="battery", mass=0.12, x=0.30), Weight(name="camera", mass=0.04, x=0.60)
    lay = changed_by_moment(
        BOAT,
        mass=fault.mass - 0.12 + 0.04,
        moment=fault.moment - 0.12 * (0.30 - 0.5) + 0.04 * (0.60 - 0.5),
    )
    found = float_test(marks(lay), BOAT, test_density=1026.0, missing=(battery,), extra=(camera,))
    assert found.mass == pytest.approx(0.05, rel=1e-12)
    assert found.at_x == pytest.approx(0.7, rel=1e-12)
    assert found.sinkage == pytest.approx(fault.sinkage, rel=1e-12)
    assert found.trim == pytest.approx(fault.trim, rel=1e-12)


def test_heel_to_starboard_is_starboard_deep_and_wants_weight_to_port():
    lay = changed_by(BOAT, mass=0.05, x=0.5)
    heel = math.radians(2.0)
    found = float_test(marks(lay, heel), BOAT, test_density=1026.0)
    assert found.attitude.heel == pytest.approx(heel, rel=1e-12)
    assert found.across == pytest.approx(BOAT.mass * 0.13 * math.sin(heel), rel=1e-12)
    assert found.mass == pytest.approx(0.05, rel=1e-11)
    unknown = replace(BOAT, metacentric_height=None)
    assert float_test(marks(lay, heel), unknown, test_density=1026.0).across is None


def test_what_was_missing_to_starboard_adds_to_the_heel_and_what_was_extra_takes_from_it():
    lay = marks(changed_by(BOAT, mass=0.0, x=0.5))
    missing, extra = Weight(name="a", mass=0.10, x=0.5, y=0.05), Weight(name="b", mass=0.04, x=0.5, y=0.08)
    found = float_test(lay, BOAT, test_density=1026.0, missing=(missing,), extra=(extra,))
    assert found.across == pytest.approx(0.10 * 0.05 - 0.04 * 0.08, rel=1e-12)


def test_a_mark_misread_shows_as_a_misfit_and_its_spread_in_the_figures():
    read = list(marks(changed_by(BOAT, mass=0.0, x=0.5)))
    read[2] = replace(read[2], above=0.004)
    lay = attitude_from_marks(read, BOAT, reading_spread=0.001)
    assert lay.misfit > 0.0005
    assert lay.heel_spread is not None


def test_spreads_of_two_marks_are_the_closed_form():
    # Symmetrical about the flotation: sinkage is the mean, trim the difference stretched to the waterline length.
    read = (Mark(name="bow", x=0.1, y=0.0, above=0.0), Mark(name="stern", x=0.9, y=0.0, above=0.0))
    lay = attitude_from_marks(read, BOAT, reading_spread=0.001)
    assert lay.sinkage_spread == pytest.approx(0.001 / math.sqrt(2), rel=1e-12)
    assert lay.trim_spread == pytest.approx(0.001 * math.sqrt(2) * 0.98 / 0.8, rel=1e-12)
    assert lay.heel_spread is None
    missing = (Weight(name="sails", mass=0.05, x=0.5, spread=0.01),)
    found = float_test(read, BOAT, test_density=1026.0, reading_spread=0.001, missing=missing)
    assert found.mass_spread == pytest.approx(
        math.hypot(1026.0 * 0.16 * 0.001 / math.sqrt(2), 0.01), rel=1e-12
    )
    # The sails' mass is not known, but they lie at the centre of flotation.
    assert found.moment_spread == pytest.approx(BOAT.moment_per_trim * lay.trim_spread, rel=1e-12)
    assert float_test(read, BOAT, test_density=1026.0).mass_spread == 0.0


def test_heel_of_a_port_and_starboard_pair_spreads_by_their_beam():
    lay = attitude_from_marks(marks(changed_by(BOAT, mass=0.0, x=0.5)), BOAT, reading_spread=0.001)
    assert lay.heel_spread == pytest.approx(0.001 * math.sqrt(2) / 0.2, rel=1e-9)


MOVABLE = (MovableWeight(name="battery", mass=0.12, at=0.30, least=0.10, most=0.90),)


def test_a_heavy_boat_is_drilled_at_the_place_that_rights_her_trim_too():
    found = float_test(marks(changed_by(BOAT, mass=0.10, x=0.45)), BOAT, test_density=1026.0)
    cure = correction(found, BOAT, **OPTIONS, movable=MOVABLE)
    assert cure.adding is None
    assert cure.drilling.x == pytest.approx(0.45, rel=1e-11)
    assert cure.drilling.moment_left == 0.0
    assert cure.drilling.lead - cure.drilling.filler == pytest.approx(0.10, rel=1e-12)
    volume = cure.drilling.depth * math.pi / 4 * 0.006**2
    assert cure.drilling.lead == pytest.approx(LEAD * volume, rel=1e-12)
    assert cure.drilling.filler == pytest.approx(FILLER * volume, rel=1e-12)
    assert cure.moves_after[0].moment == 0.0
    assert cure.moves[0].moment == pytest.approx(-found.moment, rel=1e-12)


def test_where_the_bulb_does_not_reach_the_rest_is_done_by_moving_weight():
    found = float_test(marks(changed_by(BOAT, mass=0.10, x=0.80)), BOAT, test_density=1026.0)
    cure = correction(found, BOAT, **OPTIONS, movable=MOVABLE)
    assert cure.drilling.x is None
    (move,) = cure.moves_after
    assert move.distance < 0.0
    # Drilled at the after end of the bulb and the battery moved, she has no moment left.
    after = found.moment - 0.10 * (0.60 - 0.5) + move.moment
    assert after == pytest.approx(0.0, abs=1e-13)


def test_a_light_boat_is_given_lead_inside_or_more_of_it_outside():
    found = float_test(marks(changed_by(BOAT, mass=-0.10, x=0.20)), BOAT, test_density=1026.0)
    cure = correction(found, BOAT, **OPTIONS, movable=MOVABLE)
    assert cure.drilling is None
    assert cure.adding.inside == pytest.approx(0.10, rel=1e-12)
    assert cure.adding.outside == pytest.approx(0.10 / apparent_weight_factor(1026.0, LEAD), rel=1e-12)
    assert cure.adding.x == pytest.approx(0.20, rel=1e-11)
    # Laid there it makes good the moment.
    assert found.moment + 0.10 * (cure.adding.x - 0.5) == pytest.approx(0.0, abs=1e-13)
    beyond = float_test(marks(changed_by_moment(BOAT, mass=-0.01, moment=0.02)), BOAT, test_density=1026.0)
    outside = correction(beyond, BOAT, **OPTIONS, movable=MOVABLE)
    assert outside.adding.x is None
    left = beyond.moment + 0.01 * (BOAT.fore_x - 0.5)
    assert outside.adding.moment_left == pytest.approx(-left, rel=1e-12)
    assert outside.moves_after[0].moment + outside.moves_after[0].left == pytest.approx(-left, rel=1e-12)


@pytest.mark.parametrize(
    ("read", "found"),
    [
        ((), "none"),
        ((Mark(name="bow", x=0.1, y=0.0, above=0.0),), "bow at x 0.1 m"),
        (
            (Mark(name="port", x=0.5, y=-0.1, above=0.0), Mark(name="starboard", x=0.5, y=0.1, above=0.0)),
            "port at x 0.5 m, starboard at x 0.5 m",
        ),
    ],
)
def test_marks_that_do_not_tell_trim_are_refused(read, found):
    with pytest.raises(BoatFigureError) as caught:
        attitude_from_marks(read, BOAT)
    assert str(caught.value) == (
        f"The marks do not separate sinkage from trim: {found}. Read at least one mark near the bow and one near the stern."
    )


def test_marks_along_one_slanting_line_tell_no_heel():
    slanting = tuple(Mark(name=str(n), x=0.1 + 0.4 * n, y=0.05 * n, above=0.001) for n in range(3))
    assert attitude_from_marks(slanting, BOAT).heel is None


def test_a_filler_as_heavy_as_lead_and_a_reading_that_is_no_number_are_refused():
    found = float_test(marks(changed_by(BOAT, mass=0.10, x=0.45)), BOAT, test_density=1026.0)
    with pytest.raises(BoatFigureError) as caught:
        correction(found, BOAT, **{**OPTIONS, "filler_density": 12000.0})
    assert str(caught.value) == (
        "The filler's density is 12000 kg/m3, which is not below the lead's 11200 kg/m3. Filling the holes with it "
        "removes no mass. Give the density of the filler, about 1200 kg/m3."
    )
    with pytest.raises(
        BoatFigureError, match=r'^The reading at the mark "bow" is nan m; it must be a finite number\.'
    ):
        Mark(name="bow", x=0.0, y=0.0, above=math.nan)
