"""At any angle of the bulb to the waterline, the target and the position are reached and the tip stays on the fin."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from bulbcast.bulb.body.attitude import lowest_point
from bulbcast.bulb.body.profiles import four_digit, sears_haack, spheroid
from bulbcast.bulb.body.turned import turned_body
from bulbcast.bulb.cuts.parts import ScrewCut
from bulbcast.bulb.cuts.washer import Washer
from bulbcast.bulb.hung.solve import NoSolutionError, size_and_place
from bulbcast.bulb.hung.wish import BulbWish, FinWish
from bulbcast.fin.tip_section import FinTip

PROFILES = {"naca4": four_digit(), "spheroid": spheroid(), "sears-haack": sears_haack()}
CHORD = 0.068


def wish_for(profile, fineness, ratio, rake, incidence, carry):
    return BulbWish(
        target_mass=2.4,
        profile=PROFILES[profile],
        given="fineness",
        value=fineness,
        width_to_height=ratio,
        tail_diameter=0.004,
        skin=0.0002,
        filler_density=1200.0,
        lead_density=11300.0,
        porosity=0.01,
        fin=FinWish(
            tip=FinTip(chord=CHORD, thickness=0.0075),
            leading_edge_x=0.4,
            tip_z=-0.3,
            pocket_depth=0.006,
            clearance=0.0003,
            rake=rake,
        ),
        screws=(
            ScrewCut(
                at_x=0.3 * CHORD,
                diameter=0.003,
                hole_diameter=0.0034,
                head_diameter=0.006,
                head_height=0.002,
                recess=0.008,
                length=0.035,
                density=8000.0,
                washer=Washer(diameter=0.010, hole_diameter=0.0034, thickness=0.001, density=7900.0),
            ),
        ),
        mass_centre_x=0.4 + carry * CHORD,
        incidence=incidence,
        carried_at=carry * CHORD,
    )


ANGLES = {
    "profile": st.sampled_from(sorted(PROFILES)),
    "fineness": st.floats(3.5, 10.0),
    "ratio": st.floats(0.6, 2.0),
    "rake": st.floats(-0.3, 0.3),
    "incidence": st.floats(-0.1745, 0.1745),
    "carry": st.floats(0.2, 0.7),
}


@settings(max_examples=25, deadline=None, derandomize=True)
@given(**ANGLES)
def test_target_and_place_are_reached_along_the_tip_and_in_the_boat(**figures):
    wish = wish_for(**figures)
    placed = replace(wish, carried_at=None)
    try:
        along, in_boat = size_and_place(wish), size_and_place(placed)
    except NoSolutionError:
        assume(False)
        return
    assert along.mass == pytest.approx(2.4, rel=1e-10)
    assert along.mass_centre_x - along.pocket.leading_edge_x == pytest.approx(wish.carried_at, abs=2e-9)
    assert in_boat.mass == pytest.approx(2.4, rel=1e-10)
    assert in_boat.mass_centre[0] == pytest.approx(placed.mass_centre_x, abs=1e-9)
    for bulb in (along, in_boat):
        lead, floor = bulb.pocket.leading_edge_x, bulb.axis.floor
        assert bulb.attitude.boat_x(lead, floor) == pytest.approx(0.4, abs=1e-12)
        assert bulb.attitude.boat_z(lead, floor) == pytest.approx(-0.3, abs=1e-12)
        assert bulb.axis.rake == pytest.approx(wish.fin.rake + wish.incidence, abs=1e-15)
        assert bulb.underside_z < bulb.mass_centre[1]


@settings(max_examples=40, deadline=None, derandomize=True)
@given(
    profile=st.sampled_from(sorted(PROFILES)),
    ratio=st.floats(0.5, 2.5),
    incidence=st.floats(-0.1745, 0.1745),
    other=st.floats(-0.1745, 0.1745),
)
def test_the_lowest_point_is_one_that_no_other_angle_puts_lower(profile, ratio, incidence, other):
    """The depth is a support function: it is reached by a point of the body, and no other point is lower."""
    body = turned_body(
        PROFILES[profile], diameter=0.05, tail_diameter=0.004, fineness=6.0, width_to_height=ratio
    )
    along, depth = lowest_point(body, incidence)
    half = (depth - along * math.sin(incidence)) / math.cos(incidence)
    assert 0.0 <= along <= body.length
    assert half == pytest.approx(float(body.radius(along)) / math.sqrt(ratio), abs=1e-12)
    rival, rival_depth = lowest_point(body, other)
    rival_half = (rival_depth - rival * math.sin(other)) / math.cos(other)
    assert depth >= rival * math.sin(incidence) + rival_half * math.cos(incidence) - 1e-13
