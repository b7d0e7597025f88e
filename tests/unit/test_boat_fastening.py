"""The joint: bearing and washers, the screws prying at 90 degrees, and threads that cannot be."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from bulbcast.boat.fastening import (
    CREEP_LIMIT_ANTIMONIAL,
    CREEP_LIMIT_PURE,
    JointScrew,
    Washer,
    bearing,
    joint_at_90,
    largest_force,
    ring_area,
)
from bulbcast.boat.figures import BoatFigureError
from bulbcast.boat.thread import (
    COARSE_PITCHES,
    END_GRAIN_SHARE,
    Thread,
    coarse_thread,
    pull_out,
    strip_areas,
    wood_withdrawal,
)
from bulbcast.materials.gravity import STANDARD_GRAVITY

M4 = coarse_thread(4e-3)
FORE = JointScrew(at=0.014, half_width=0.0033, thread=M4)
AFT = JointScrew(at=0.042, half_width=0.0030, thread=M4)
WEIGHT = 2.45 * STANDARD_GRAVITY


def joint(screws=(FORE, AFT), *, mass_centre_at=0.028, arm=0.014, pocket_depth=0.006):
    return joint_at_90(
        bulb_mass=2.45,
        arm=arm,
        mass_centre_at=mass_centre_at,
        screws=screws,
        tip_chord=0.070,
        pocket_depth=pocket_depth,
    )


def test_the_pressure_under_a_head_is_force_over_its_ring():
    found = bearing(force=50.0, outer=8e-3, hole=4.5e-3)
    assert found.area == pytest.approx(math.pi / 4 * (8e-3**2 - 4.5e-3**2), rel=1e-15)
    assert found.pressure == pytest.approx(50.0 / found.area, rel=1e-15)
    assert (found.limit, found.holds) == (CREEP_LIMIT_PURE, False)
    assert bearing(force=50.0, outer=8e-3, hole=4.5e-3, limit=CREEP_LIMIT_ANTIMONIAL).holds


def test_the_washer_that_is_told_keeps_exactly_to_the_limit():
    found = bearing(force=50.0, outer=8e-3, hole=4.5e-3)
    assert largest_force(outer=found.outer_needed, hole=4.5e-3) == pytest.approx(50.0, rel=1e-13)
    again = bearing(force=50.0, outer=found.outer_needed * (1 + 1e-12), hole=4.5e-3)
    assert again.holds
    assert bearing(force=0.0, outer=8e-3, hole=4.5e-3).pressure == 0.0


def test_a_washer_is_a_ledger_line_of_its_ring():
    washer = Washer(outer=12e-3, hole=4.3e-3, thickness=1e-3, density=8000.0)
    assert washer.volume == pytest.approx(ring_area(12e-3, 4.3e-3) * 1e-3, rel=1e-15)
    assert washer.mass == pytest.approx(8000.0 * washer.volume, rel=1e-15)


def test_screws_pull_so_that_their_moments_make_the_bulbs():
    found = joint()
    assert found.moment == pytest.approx(WEIGHT * 0.014, rel=1e-14)
    held = sum(load.prying * screw.half_width for load, screw in zip(found.screws, (FORE, AFT), strict=True))
    assert held == pytest.approx(found.moment, rel=1e-13)
    # The bulb turns as one: pull goes with the lever.
    assert found.screws[0].prying / found.screws[1].prying == pytest.approx(0.0033 / 0.0030, rel=1e-13)
    assert found.screws[0].prying_stress == pytest.approx(found.screws[0].prying / M4.stress_area, rel=1e-15)
    twins = joint((FORE, replace(AFT, half_width=0.0033)))
    assert twins.screws[0].prying == pytest.approx(found.moment / (2 * 0.0033), rel=1e-13)


def test_hanging_the_screws_share_weight_and_moment_by_statics():
    found = joint(mass_centre_at=0.035)
    fore, aft = (load.hanging for load in found.screws)
    assert fore + aft == pytest.approx(WEIGHT, rel=1e-13)
    assert fore * 0.014 + aft * 0.042 == pytest.approx(WEIGHT * 0.035, rel=1e-13)
    assert found.turning == pytest.approx(WEIGHT * 0.007, rel=1e-13)
    assert [load.shear for load in found.screws] == pytest.approx([fore, aft], rel=1e-15)
    under = joint()
    assert [load.hanging for load in under.screws] == pytest.approx([WEIGHT / 2] * 2, rel=1e-13)


def test_three_screws_share_by_their_distance_from_the_middle():
    middle = JointScrew(at=0.028, half_width=0.0035, thread=M4)
    found = joint((FORE, middle, AFT), mass_centre_at=0.035)
    shares = [load.hanging for load in found.screws]
    assert sum(shares) == pytest.approx(WEIGHT, rel=1e-13)
    assert sum(s * x for s, x in zip(shares, (0.014, 0.028, 0.042), strict=True)) == pytest.approx(
        WEIGHT * 0.035, rel=1e-13
    )
    assert shares[1] == pytest.approx(WEIGHT / 3, rel=1e-13)


def test_a_screw_alone_holds_only_a_mass_centre_under_it():
    off = joint((FORE,))
    assert (off.screws[0].hanging, off.screws[0].shear) == (None, None)
    assert off.screws[0].prying == pytest.approx(off.moment / 0.0033, rel=1e-13)
    under = joint((FORE,), mass_centre_at=0.014)
    assert under.screws[0].hanging == pytest.approx(WEIGHT, rel=1e-14)


def test_the_pockets_walls_hold_weight_and_moment_as_a_linear_pressure():
    found = joint()
    # Integrate p(z) = mean + gradient (z - h/2) over the depth: force and moment about mid-depth come back.
    depth, chord = 0.006, 0.070
    mean = WEIGHT / (chord * depth)
    gradient = (found.wall_pressure - mean) / (0.5 * depth)
    moment = gradient * chord * depth**3 / 12
    assert moment == pytest.approx(WEIGHT * (0.014 + 0.003), rel=1e-12)
    assert joint(pocket_depth=0.0).wall_pressure is None
    assert joint(pocket_depth=0.012).wall_pressure < found.wall_pressure


def test_a_mass_centre_above_the_pocket_floor_pries_the_other_way_by_as_much():
    assert joint(arm=-0.014).moment == joint(arm=0.014).moment


def test_end_grain_holds_three_quarters_of_side_grain():
    wood = {"specific_gravity": 0.5, "diameter": 4e-3, "threaded": 30e-3}
    assert wood_withdrawal(**wood, end_grain=True) == pytest.approx(
        END_GRAIN_SHARE * wood_withdrawal(**wood), rel=1e-15
    )


def test_every_coarse_thread_is_a_thread_and_its_areas_grow_with_its_size():
    areas = [coarse_thread(size).stress_area for size in sorted(COARSE_PITCHES)]
    assert areas == sorted(areas)
    thread = coarse_thread(4e-3)
    assert thread.core_diameter < thread.minor_diameter < thread.pitch_diameter < thread.diameter
    assert coarse_thread(0.004) == coarse_thread(4 * 0.001)


def test_pull_out_grows_with_what_is_engaged_and_nought_engaged_holds_nothing():
    assert pull_out(M4, 0.0, 10e6) == 0.0
    assert pull_out(M4, 20e-3, 10e6) == pytest.approx(2 * pull_out(M4, 10e-3, 10e6), rel=1e-14)
    assert strip_areas(M4, 10e-3).hole > strip_areas(M4, 10e-3).screw


@pytest.mark.parametrize(
    ("call", "message"),
    [
        (
            lambda: ring_area(4e-3, 4.5e-3),
            "A head or washer of 0.004 m goes through a hole of 0.0045 m. Take a larger head, a washer, or a smaller "
            "hole.",
        ),
        (
            lambda: joint(()),
            "The joint has no screw. Give one at least, or leave the joint out.",
        ),
        (
            lambda: coarse_thread(4.2e-3),
            "No metric coarse thread of 4.2 mm is in the table. Give one of 1.6, 2, 2.5, 3, 4, 5, 6, 8, 10, 12, 14, 16, 20 "
            "mm, or the pitch with the diameter.",
        ),
        (
            lambda: Thread(diameter=1e-3, pitch=1e-3),
            "A pitch of 0.001 m leaves no core in a thread of 0.001 m. Give the distance from one turn to the next.",
        ),
        (
            lambda: wood_withdrawal(specific_gravity=500, diameter=4e-3, threaded=0.03),
            "The wood's specific gravity is 500; it must be between 0.1 and 1.2. Give its dry density over that of water, "
            "about 0.35 for spruce.",
        ),
    ],
)
def test_what_cannot_be_is_refused_in_words(call, message):
    with pytest.raises(BoatFigureError) as caught:
        call()
    assert str(caught.value) == message
