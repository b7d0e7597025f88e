"""Range of the bulb's mass centre under the fin, and every fix applied and checked."""

from __future__ import annotations

from dataclasses import replace

import pytest

from bulbcast.ballast.moving import MovableWeight, fewest_moves, single_moves
from bulbcast.ballast.reach import BulbUnderFin, reach_band, reach_of, remedies
from bulbcast.ballast.target import apparent_weight_factor
from bulbcast.hull.trimming import Flotation
from bulbcast.quantities.checked import BoatFigureError

HANG = BulbUnderFin(
    tip_leading_edge_x=0.400,
    tip_chord=0.070,
    bulb_length=0.250,
    mass_centre_from_nose=0.105,
    overhang_forward=0.060,
    overhang_aft=0.150,
)
FLOTATION = Flotation(
    water_density=1000.0,
    volume=4.2e-3,
    buoyancy_x=0.465,
    waterplane_area=0.16,
    flotation_x=0.500,
    metacentric_height_along=1.1,
    fore_x=0.0,
    aft_x=0.980,
)
FELT, FACTOR = 2.2, apparent_weight_factor(1000.0, 11200.0)


def reach(wanted_x, hang=HANG):
    return reach_of(hang, reach_band(hang), wanted_x=wanted_x, apparent_mass=FELT, flotation=FLOTATION)


def test_the_band_is_bounded_by_each_overhang_in_turn():
    # Length 0.25 over a chord of 0.07: 0.18 of overhang in all; forward 0.03 to 0.06, aft 0.15 to 0.12.
    band = reach_band(HANG)
    assert (band.fore_x, band.aft_x) == (pytest.approx(0.340 + 0.105), pytest.approx(0.370 + 0.105))
    assert (band.fore_bound, band.aft_bound) == ("forward overhang", "after overhang")
    loose = reach_band(replace(HANG, overhang_forward=1.0, overhang_aft=1.0))
    assert loose.fore_x == pytest.approx(0.470 - 0.25 + 0.105)
    assert loose.aft_x == pytest.approx(0.400 + 0.105)
    assert (loose.fore_bound, loose.aft_bound) == ("after overhang", "forward overhang")


def test_turned_end_for_end_the_mass_centre_lies_as_far_from_the_other_end():
    band, turned = reach_band(HANG), reach_band(HANG, tail_first=True)
    assert turned.fore_x - band.fore_x == pytest.approx(0.250 - 2 * 0.105)
    assert turned.aft_x - turned.fore_x == pytest.approx(band.aft_x - band.fore_x)


def test_a_bulb_shorter_than_the_chord_has_no_place_and_one_beyond_both_overhangs_neither():
    assert reach_band(replace(HANG, bulb_length=0.060, mass_centre_from_nose=0.03)) is None
    assert reach_band(replace(HANG, bulb_length=0.280)) is not None
    assert reach_band(replace(HANG, bulb_length=0.2801)) is None


def test_a_weight_moved_to_the_very_end_of_its_room_is_enough():
    (move,) = single_moves(
        (MovableWeight(name="w", mass=0.3, at=0.1, least=0.0, most=0.7),), 0.3 * (0.7 - 0.1)
    )
    assert move.enough
    assert move.end == pytest.approx(0.7, rel=1e-15)


def test_within_the_band_nothing_is_short_and_nothing_need_be_done():
    found = reach(0.460)
    assert found.within
    assert (found.moment, found.ignored.trim) == (0.0, 0.0)
    assert found.placed_x == 0.460
    assert remedies(found, HANG, factor=FACTOR) is None
    ends = reach_band(HANG)
    assert reach(ends.fore_x).within
    assert reach(ends.aft_x).within


def test_short_of_a_place_forward_she_trims_by_the_stern_if_it_is_ignored():
    found = reach(0.425)
    assert found.placed_x == pytest.approx(0.445)
    assert found.moment == pytest.approx(-FELT * 0.020)
    assert found.ignored.trim == pytest.approx(FELT * 0.020 / FLOTATION.moment_per_trim)
    assert found.ignored.deeper_aft > 0.0 > found.ignored.deeper_fore
    assert found.ignored.sinkage == 0.0
    aft = reach(0.495)
    assert (aft.moment, aft.ignored.trim < 0.0) == (pytest.approx(FELT * 0.020), True)


def test_turning_the_bulb_is_offered_where_it_reaches():
    assert reach(0.500).turned_reaches
    assert not reach(0.425).turned_reaches


WEIGHTS = (
    MovableWeight(name="battery", mass=0.12, at=0.30, least=0.20, most=0.80),
    MovableWeight(name="winch", mass=0.10, at=0.55, least=0.50, most=0.60),
    MovableWeight(name="receiver", mass=0.02, at=0.40, least=0.20, most=0.80),
)


def test_one_weight_moved_far_enough_gives_the_moment_and_others_tell_what_is_left():
    moves = single_moves(WEIGHTS, 0.044)
    assert [(move.name, move.enough) for move in moves] == [
        ("battery", True),
        ("receiver", False),
        ("winch", False),
    ]
    assert moves[0].end == pytest.approx(0.30 + 0.044 / 0.12)
    assert (moves[0].moment, moves[0].left) == (0.044, 0.0)
    assert (moves[1].end, moves[1].left) == (0.80, pytest.approx(0.044 - 0.02 * 0.40))
    back = single_moves(WEIGHTS, -0.044)
    assert back[0].end == 0.20
    assert back[0].left == pytest.approx(-0.044 + 0.012)


def test_of_weights_that_are_enough_the_shortest_way_comes_first():
    pair = (
        MovableWeight(name="light", mass=0.1, at=0.5, least=0.0, most=1.0),
        MovableWeight(name="heavy", mass=0.2, at=0.5, least=0.0, most=1.0),
    )
    assert [move.name for move in single_moves(pair, 0.01)] == ["heavy", "light"]


def test_the_fewest_weights_share_a_moment_that_one_cannot_give():
    moves = fewest_moves(WEIGHTS, 0.066)
    assert [move.name for move in moves] == ["battery", "receiver"]
    assert sum(move.moment for move in moves) == pytest.approx(0.066, rel=1e-12)
    assert moves[-1].left == 0.0
    all_of_them = fewest_moves(WEIGHTS, 0.1)
    assert [move.end for move in all_of_them] == [0.80, 0.80, 0.60]
    assert all_of_them[-1].left == pytest.approx(0.1 - 0.06 - 0.008 - 0.005)
    assert fewest_moves(WEIGHTS, 0.0) == ()
    assert fewest_moves((), 0.1) == ()


def test_a_weight_outside_its_own_places_is_refused():
    with pytest.raises(BoatFigureError) as caught:
        MovableWeight(name="battery", mass=0.1, at=0.9, least=0.2, most=0.8)
    assert str(caught.value) == (
        '"battery" is at 0.9 m, outside its limits of 0.2 m to 0.8 m. Give limits that include its position.'
    )


def moment_about_zero(bulb_x, felt=FELT, extra=()):
    """Moment of the bulb and any extra weights. The boat is level if it equals that of the bulb alone at its required
    position."""
    return felt * bulb_x + sum(mass * x for mass, x in extra)


@pytest.mark.parametrize("wanted", [0.425, 0.500])
def test_each_remedy_applied_makes_good_the_shortfall(wanted):
    found = reach(wanted)
    level = moment_about_zero(wanted)
    end = 0.05 if wanted < 0.46 else 0.95
    cure = remedies(
        found,
        HANG,
        factor=FACTOR,
        movable=WEIGHTS,
        trim_lead_at=(end, 1.0 - end),
    )
    # Weights moved together.
    given = sum(move.moment for move in cure.together) + cure.together[-1].left
    assert given == pytest.approx(found.moment, rel=1e-12)
    # Trim lead taken from the bulb, at the right end only; she stays on her line.
    (right,) = cure.trim_lead
    assert moment_about_zero(found.placed_x, FELT - right.mass, [(right.mass, end)]) == pytest.approx(
        level, rel=1e-12
    )
    assert right.bulb_lighter == pytest.approx(right.mass / FACTOR, rel=1e-14)
    # A wider limit.
    (broken,) = cure.overhangs
    assert broken.needed > broken.limit
    wider = {"forward": "overhang_forward", "after": "overhang_aft"}[broken.end]
    assert reach(wanted, replace(HANG, **{wider: broken.needed})).moment == pytest.approx(0.0, abs=1e-15)
    assert cure.turn_bulb is found.turned_reaches


def test_a_place_so_far_aft_that_the_nose_would_draw_back_under_the_fin_breaks_both_limits():
    cure = remedies(reach(0.520), HANG, factor=FACTOR)
    assert [(one.end, one.limit) for one in cure.overhangs] == [("forward", 0.0), ("after", 0.150)]
    assert cure.overhangs[0].needed == pytest.approx(-0.015)


def test_weights_are_moved_forward_as_they_are_moved_aft():
    moves = fewest_moves(WEIGHTS, -0.016)
    assert [move.name for move in moves] == ["battery", "winch"]
    assert sum(move.moment for move in moves) + moves[-1].left == pytest.approx(-0.016, rel=1e-12)
    assert moves[0].end == 0.20
    assert moves[1].end == pytest.approx(0.55 - 0.004 / 0.10)


def test_trim_lead_that_would_take_the_whole_bulb_is_not_offered():
    cure = remedies(reach(0.9), HANG, factor=FACTOR, trim_lead_at=(0.7,))
    assert cure.trim_lead == ()
