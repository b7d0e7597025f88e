"""Properties of the boat's statics: scaling, round trips, and weights that are moved only within their range."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from bulbcast.afloat.marks_to_mass import Mark, float_test
from bulbcast.ballast.moving import MovableWeight, fewest_moves
from bulbcast.ballast.reach import BulbUnderFin, reach_band
from bulbcast.ballast.target import BulbAfloat, RestOfBoat, ballast_target, imbalance
from bulbcast.ballast.weigh_in import Weight, weigh_in, weigh_next
from bulbcast.fin.foil import Foil, foil_solid
from bulbcast.hull.trimming import Flotation, changed_by_moment, deeper_at

share = st.floats(0.05, 0.95)
place = st.floats(-1.0, 2.0)


@given(
    volume=st.floats(1e-4, 10.0),
    part=share,
    x_b=place,
    x_g=place,
    water=st.floats(990.0, 1030.0),
    lead=st.floats(7000.0, 11400.0),
    k=st.floats(0.1, 10.0),
)
def test_every_length_times_k_makes_the_lead_k_cubed_and_its_place_k(volume, part, x_b, x_g, water, lead, k):
    def target(scale):
        rest = RestOfBoat(
            volume=volume * scale**3,
            buoyancy_x=x_b * scale,
            mass=part * water * volume * scale**3,
            mass_x=x_g * scale,
        )
        return ballast_target(rest, water_density=water, lead_density=lead)

    one, other = target(1.0), target(k)
    assert other[0] == pytest.approx(one[0] * k**3, rel=1e-11)
    assert other[1] == pytest.approx(one[1] * k, rel=1e-9, abs=1e-9 * k)


@given(volume=st.floats(1e-4, 10.0), part=share, x_b=place, x_g=place, shift=st.floats(-5.0, 5.0))
def test_moving_the_origin_moves_the_bulb_with_it_and_changes_no_mass(volume, part, x_b, x_g, shift):
    rest = RestOfBoat(volume=volume, buoyancy_x=x_b, mass=part * 1000.0 * volume, mass_x=x_g)
    moved = replace(rest, buoyancy_x=x_b + shift, mass_x=x_g + shift)
    one, other = (ballast_target(each, water_density=1000.0, lead_density=11200.0) for each in (rest, moved))
    assert other[0] == one[0]
    assert other[1] - one[1] == pytest.approx(shift, abs=1e-12 * (1 + 40 / (1 - part)))


@given(volume=st.floats(1e-4, 10.0), part=share, x_b=place, x_g=place)
def test_the_target_leaves_neither_mass_nor_moment(volume, part, x_b, x_g):
    rest = RestOfBoat(volume=volume, buoyancy_x=x_b, mass=part * 1000.0 * volume, mass_x=x_g)
    lead, x = ballast_target(rest, water_density=1000.0, lead_density=11200.0)
    bulb = BulbAfloat(mass=lead, x=x, volume=lead / 11200.0, volume_x=x)
    mass, moment = imbalance(rest, bulb, water_density=1000.0)
    assert abs(mass) <= 1e-12 * 1000.0 * volume
    assert abs(moment) <= 1e-11 * 1000.0 * volume


@given(
    mass=st.floats(-0.5, 0.5),
    x=place,
    heel=st.floats(-0.2, 0.2),
    salt=st.booleans(),
    places=st.lists(st.floats(0.0, 1.0), min_size=2, max_size=6, unique=True),
)
def test_a_float_test_gives_back_the_weight_that_made_its_marks(mass, x, heel, salt, places):
    assume(max(places) - min(places) > 0.2)
    boat = Flotation(
        water_density=1026.0 if salt else 999.1,
        volume=5e-3,
        buoyancy_x=0.47,
        waterplane_area=0.16,
        flotation_x=0.52,
        metacentric_height_along=1.2,
        metacentric_height=0.15,
        fore_x=0.0,
        aft_x=1.0,
    )
    change = changed_by_moment(boat, mass=mass, moment=mass * (x - 0.52))

    def read(where, y):
        level = deeper_at(boat, sinkage=change.sinkage, trim=change.trim, x=where)
        return Mark(name="mark", x=where, y=y, above=level + y * math.tan(heel))

    marks = [read(where, 0.0) for where in places] + [read(0.5, -0.1), read(0.5, 0.1)]
    found = float_test(marks, boat, test_density=boat.water_density)
    assert found.mass == pytest.approx(mass, abs=1e-11)
    assert found.moment == pytest.approx(mass * (x - 0.52), abs=1e-10)
    assert found.attitude.heel == pytest.approx(heel, abs=1e-11)


weights = st.lists(
    st.builds(
        lambda mass, at, fore, aft: MovableWeight(name="w", mass=mass, at=at, least=at - fore, most=at + aft),
        st.floats(0.01, 2.0),
        st.floats(0.0, 1.0),
        st.floats(0.0, 0.5),
        st.floats(0.0, 0.5),
    ),
    max_size=6,
)


@given(weights=weights, moment=st.floats(-2.0, 2.0))
def test_weights_moved_together_stay_within_their_places_and_account_for_all(weights, moment):
    moves = fewest_moves(tuple(weights), moment)
    given_in_all = math.fsum(move.moment for move in moves)
    left = moves[-1].left if moves else moment
    most = math.fsum(one.mass * (one.most - one.at if moment > 0 else one.at - one.least) for one in weights)
    assert given_in_all + left == pytest.approx(moment, abs=1e-12)
    assert abs(left) == pytest.approx(max(abs(moment) - most, 0.0), abs=1e-12)
    assert all(move.distance * moment >= 0.0 for move in moves)


@given(
    chord=st.floats(0.01, 1.0),
    length=st.floats(0.01, 3.0),
    at=st.floats(0.2, 0.8),
    fore=st.floats(0.0, 1.0),
    aft=st.floats(0.0, 1.0),
    lead=st.floats(-1.0, 2.0),
)
def test_both_ends_of_a_band_keep_every_overhang(chord, length, at, fore, aft, lead):
    hang = BulbUnderFin(
        tip_leading_edge_x=lead,
        tip_chord=chord,
        bulb_length=length,
        mass_centre_from_nose=at * length,
        overhang_forward=fore,
        overhang_aft=aft,
    )
    for tail_first, centre in ((False, at * length), (True, (1 - at) * length)):
        band = reach_band(hang, tail_first=tail_first)
        if band is None:
            assert length < chord + 1e-9 or length > chord + fore + aft - 1e-9
            continue
        assert band.fore_x <= band.aft_x
        for x in (band.fore_x, band.aft_x):
            nose = x - centre
            assert -2e-9 <= lead - nose <= fore + 2e-9
            assert -2e-9 <= nose + length - (lead + chord) <= aft + 2e-9


@given(
    st.lists(
        st.builds(
            lambda mass, x, spread: Weight(name="w", mass=mass, x=x, spread=spread),
            st.floats(0.0, 5.0),
            st.floats(-1.0, 2.0),
            st.floats(0.0, 1.0),
        ),
        max_size=8,
    )
)
def test_weighing_in_the_order_reported_never_widens_the_sum_and_each_first_is_the_best(lines):
    ranked = weigh_next(lines)
    now = weigh_in(lines).mass_spread
    turns = [row.in_turn for row in ranked]
    assert all(later <= earlier + 1e-12 for earlier, later in zip([now, *turns], turns, strict=False))
    alone = [row.sum_spread for row in ranked]
    assert alone == sorted(alone)


@given(root=share, tip=share, thick=st.floats(0.05, 0.3), sweep=st.floats(-0.5, 0.5), k=st.floats(0.1, 10.0))
def test_a_foil_scaled_by_k_has_k_cubed_the_volume_and_its_centre_at_k(root, tip, thick, sweep, k):
    def foil(scale):
        return Foil(
            root_chord=root * scale,
            tip_chord=tip * scale,
            root_thickness=thick * root * scale,
            tip_thickness=thick * tip * scale,
            root_leading_edge_x=0.4 * scale,
            tip_leading_edge_x=(0.4 + sweep) * scale,
            root_z=-0.1 * scale,
            tip_z=-1.1 * scale,
        )

    one, other = foil_solid(foil(1.0)), foil_solid(foil(k))
    assert other.volume == pytest.approx(one.volume * k**3, rel=1e-12)
    assert other.centre_x == pytest.approx(one.centre_x * k, rel=1e-12, abs=1e-12 * k)
    assert other.centre_z == pytest.approx(one.centre_z * k, rel=1e-12)
