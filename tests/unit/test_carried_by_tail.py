"""Statics by hand for a boat lifted by the bulb's tail, with every combination of one screw, a rod and cross pins."""

import itertools
import math

import pytest
from plans import codes, job_of

from bulbcast.fin.tip_section import FinTip
from bulbcast.job.plan_json import plan_object
from bulbcast.job.terminal import terminal_text
from bulbcast.joint.joint_loads import Joint, vertical

HEAD = """
[bulb]
target_mass = "2.4 kg"
[alloy]
grade = "pure"
[fin]
material = "metal"
tip_chord = "80 mm"
tip_thickness = "8 mm"
pocket_depth = "12 mm"
root_chord = "80 mm"
root_thickness = "8 mm"
root_leading_edge_x = "0 mm"
root_z = "300 mm"
[strength]
section = "solid"
modulus = "205 GPa"
shear_modulus = "79 GPa"
grounded_mass = "6 kg"
"""
PARTS = {
    "screw": """[[screws]]
at = "40 mm"
diameter = "4 mm"
hole_diameter = "4.5 mm"
head_diameter = "8 mm"
head_height = "2.6 mm"
recess = "8 mm"
length = "45 mm"
""",
    "rod": """[[studs]]
at = "25 mm"
diameter = "5 mm"
below = "15 mm"
above = "20 mm"
""",
    "pins": """[[cross_pins]]
at = "16 mm"
height = "5 mm"
diameter = "2 mm"
length = "12 mm"
[[cross_pins]]
at = "60 mm"
height = "5 mm"
diameter = "2 mm"
length = "12 mm"
""",
}
COMBINATIONS = [kinds for count in range(4) for kinds in itertools.combinations(PARTS, count)]


def with_parts(*kinds: str, head: str = HEAD):
    return job_of(head + "".join(PARTS[kind] for kind in kinds))


@pytest.mark.parametrize("kinds", COMBINATIONS, ids="+".join)
def test_every_combination_is_planned_and_says_what_each_part_bears_alone(kinds):
    job = with_parts(*kinds)
    held = job.carried
    assert bool(held.screws) is ("screw" in kinds)
    assert (held.rod_bending is not None) is ("rod" in kinds)
    assert (held.pin is not None) is ("pins" in kinds)
    assert held.ends is not None
    assert ("bonded-only" in codes(job)) is (not kinds)
    assert ("joint-not-whole" in codes(job)) is bool({"rod", "pins"} & set(kinds))
    said = " ".join(terminal_text(job, colour=False, width=100).split())
    assert "how well lead holds a thread or a bonded rod, so neither is counted on" in said
    assert plan_object(job)["carried"]["moment_n_m"] == held.moment


def test_the_moment_is_that_of_her_weight_at_the_tail_and_the_bulbs_own():
    """Moments about the middle of the tip: 6 kg up at the tail and the bulb's 2.4 kg down at 0.40 of the chord."""
    job = with_parts("screw", "rod", "pins")
    held, bulb = job.carried, job.bulb
    tail = bulb.body.length - bulb.pocket.leading_edge_x
    gravity = 9.80665
    assert held.lever == pytest.approx(tail - 0.040, rel=1e-12)
    by_hand = 6.0 * gravity * (tail - 0.040) + 2.4 * gravity * (0.040 - 0.032)
    assert held.moment == pytest.approx(by_hand, rel=1e-9)
    # One screw half way along turns about the after end: half a chord of lever.
    about_end = 6.0 * gravity * (tail - 0.080) + 2.4 * gravity * (0.080 - 0.032)
    assert held.screws == pytest.approx((about_end / 0.040,), rel=1e-9)
    assert held.rod_bending == held.moment
    assert held.rod_stress == pytest.approx(by_hand / (math.pi * 0.005**3 / 32), rel=1e-9)
    # Two pins 44 mm apart, their middle 38 mm aft: half of what the fin lifts with, and the couple.
    about_pins = 6.0 * gravity * (tail - 0.038) + 2.4 * gravity * (0.038 - 0.032)
    assert held.pin == pytest.approx(0.5 * 3.6 * gravity + about_pins / 0.044, rel=1e-9)
    assert held.ends == pytest.approx(6.0 * by_hand / (0.008 * 0.012**2), rel=1e-9)


def test_one_pin_alone_is_not_calculated():
    one = PARTS["pins"].partition('[[cross_pins]]\nat = "60 mm"')[0]
    job = job_of(HEAD + one)
    assert job.carried.pin is None
    assert "the bulb turns on a single pin" in terminal_text(job, colour=False, width=200)


@pytest.mark.parametrize(("mass", "said"), [("25 kg", True), ("25.1 kg", False), ("2.3 kg", False)])
def test_a_boat_that_nobody_picks_up_is_not_lifted_by_her_bulb(mass, said):
    job = with_parts("screw", head=HEAD.replace('"6 kg"', f'"{mass}"'))
    assert (job.carried is not None) is said


def test_the_bulbs_own_weight_turns_it_the_same_way_as_the_ground_beyond_the_tip():
    joint = Joint(
        weight=20.0,
        mass_centre_at=0.030,
        places=(0.040,),
        half_widths=(0.004,),
        holes=(0.004,),
        tip=FinTip(chord=0.080, thickness=0.008),
        pocket_depth=0.006,
    )
    case = vertical(joint, force=50.0, at=0.120)
    at = case.pivot.at
    pull = (50.0 * (0.120 - at) + 20.0 * (at - 0.030)) / (at - 0.040)
    assert case.pulls == pytest.approx((pull,), rel=1e-12)
    assert case.pivot.force == pytest.approx(50.0 + pull, rel=1e-12)
