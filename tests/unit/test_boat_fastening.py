"""The joint: bearing pressure, washers, prying on the screws at 90 degrees, and impossible threads."""

from __future__ import annotations

import math

import pytest

from bulbcast.bulb.cuts.washer import Washer, ring_area
from bulbcast.joint.bearing import CREEP_LIMIT, bearing_pressure, largest_force, outer_for, spread_diameter
from bulbcast.joint.thread import (
    END_GRAIN_SHARE,
    Thread,
    coarse_thread,
    pull_out,
    strip_areas,
    wood_withdrawal,
)
from bulbcast.materials.threads import COARSE_PITCHES
from bulbcast.quantities.checked import BoatFigureError

M4 = coarse_thread(4e-3)


def test_the_pressure_under_a_head_is_force_over_its_ring():
    found = bearing_pressure(50.0, outer=8e-3, hole=4.5e-3)
    assert found == pytest.approx(50.0 / (math.pi / 4 * (8e-3**2 - 4.5e-3**2)), rel=1e-15)
    assert bearing_pressure(0.0, outer=8e-3, hole=4.5e-3) == 0.0


def test_the_washer_that_is_named_keeps_exactly_to_the_limit():
    outer = outer_for(50.0, hole=4.5e-3, limit=CREEP_LIMIT)
    assert largest_force(outer=outer, hole=4.5e-3) == pytest.approx(50.0, rel=1e-13)
    assert bearing_pressure(50.0, outer=outer, hole=4.5e-3) == pytest.approx(CREEP_LIMIT, rel=1e-13)


def test_a_washer_is_a_ledger_line_of_its_ring():
    washer = Washer(diameter=12e-3, hole_diameter=4.3e-3, thickness=1e-3, density=8000.0)
    assert washer.volume == pytest.approx(ring_area(12e-3, 4.3e-3) * 1e-3, rel=1e-15)
    assert washer.mass == pytest.approx(8000.0 * washer.volume, rel=1e-15)


def test_a_washer_spreads_at_45_degrees_through_its_thickness_and_not_past_its_edge():
    # Head 24, washer 44 mm: 0.3 mm thick it is counted to 24.6 mm, 4 mm to 32 mm, 12 mm whole.
    for thick, wide in ((0.3e-3, 24.6e-3), (4e-3, 32e-3), (12e-3, 44e-3)):
        assert spread_diameter(head=24e-3, washer=44e-3, thickness=thick) == pytest.approx(wide, rel=1e-13)


def test_end_grain_holds_three_quarters_of_side_grain():
    wood = {"specific_gravity": 0.5, "diameter": 4e-3, "threaded": 30e-3}
    assert wood_withdrawal(**wood, end_grain=True) == pytest.approx(
        END_GRAIN_SHARE * wood_withdrawal(**wood), rel=1e-15
    )


def test_wet_wood_holds_seven_tenths_of_dry():
    wood = {"specific_gravity": 0.5, "diameter": 4e-3, "threaded": 30e-3}
    assert wood_withdrawal(**wood, wet=True) == pytest.approx(0.7 * wood_withdrawal(**wood), rel=1e-15)
    both = wood_withdrawal(**wood, wet=True, end_grain=True)
    assert both == pytest.approx(0.7 * 0.75 * wood_withdrawal(**wood), rel=1e-15)


def test_every_coarse_thread_is_a_thread_and_its_areas_grow_with_its_size():
    areas = [coarse_thread(size).stress_area for size in sorted(COARSE_PITCHES)]
    assert areas == sorted(areas)
    thread = coarse_thread(4e-3)
    assert thread.core_diameter < thread.minor_diameter < thread.pitch_diameter < thread.diameter
    assert coarse_thread(0.004) == coarse_thread(4 * 0.001)


def test_pull_out_grows_with_what_is_engaged_and_zero_engaged_holds_nothing():
    assert pull_out(M4, 0.0, 10e6) == 0.0
    assert pull_out(M4, 4e-3, 10e6) == pytest.approx(2 * pull_out(M4, 2e-3, 10e6), rel=1e-14)
    # A screw weaker than what it is in strips its own thread.
    assert pull_out(M4, 6e-3, 10e6, screw_shear=5e6) == pytest.approx(
        5e6 * strip_areas(M4, 6e-3).screw, rel=1e-14
    )
    assert strip_areas(M4, 10e-3).hole > strip_areas(M4, 10e-3).screw


@pytest.mark.parametrize(
    ("call", "message"),
    [
        (
            lambda: ring_area(4e-3, 4.5e-3),
            "A head or washer of 0.004 m would pass through a hole of 0.0045 m. Use a larger head, a wider or thicker "
            "washer, or a smaller hole.",
        ),
        (
            lambda: coarse_thread(4.2e-3),
            "No metric coarse thread of 4.2 mm is in the table. Give one of 1.6, 2, 2.5, 3, 4, 5, 6, 8, 10, 12, 14, 16, "
            "20 mm, or give the pitch as well.",
        ),
        (
            lambda: Thread(diameter=1e-3, pitch=1e-3),
            "A pitch of 0.001 m leaves no core in a thread of 0.001 m. The pitch is the distance from one turn to the next.",
        ),
        (
            lambda: wood_withdrawal(specific_gravity=500, diameter=4e-3, threaded=0.03),
            "The wood's specific gravity is 500; it must be between 0.1 and 1.2. Give the ratio of its dry density to "
            "that of water, about 0.35 for spruce.",
        ),
    ],
)
def test_what_cannot_be_is_refused_in_words(call, message):
    with pytest.raises(BoatFigureError) as caught:
        call()
    assert str(caught.value) == message
