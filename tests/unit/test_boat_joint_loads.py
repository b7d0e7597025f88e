"""Statics of the joint by hand: hanging, lying flat at 90 degrees, and running aground in three attitudes.

Every balance is written out again in this file. The part of the fin's tip that presses into the lead is cut and
measured with shapely, which the program does not use for this purpose.
"""

from __future__ import annotations

import math
from dataclasses import replace
from itertools import pairwise
from typing import NamedTuple

import numpy as np
import pytest
import shapely

from bulbcast.fin.tip_section import FinTip
from bulbcast.joint.joint_loads import Joint, ahead, hanging, heeled, sideways, tip_part, vertical
from bulbcast.joint.net_section import net_section
from bulbcast.quantities.checked import STANDARD_GRAVITY, BoatFigureError

TIP = FinTip(chord=0.070, thickness=0.007)


class Screw(NamedTuple):
    """Distance aft of the tip's leading edge, half the tip's width there, and diameter of the hole in the lead. [m]"""

    at: float
    half_width: float
    hole: float


def columns(*screws):
    places, half_widths, holes = zip(*screws, strict=True) if screws else ((), (), ())
    return {"places": places, "half_widths": half_widths, "holes": holes}


FORE = Screw(at=0.014, half_width=0.0033, hole=4.5e-3)
AFT = Screw(at=0.042, half_width=0.0030, hole=4.5e-3)
WEIGHT = 2.45 * STANDARD_GRAVITY


def joint(screws=(FORE, AFT), *, mass_centre_at=0.028, pocket_depth=0.006, tip=TIP):
    return Joint(
        weight=WEIGHT, mass_centre_at=mass_centre_at, tip=tip, pocket_depth=pocket_depth, **columns(*screws)
    )


def section(tip, points=4001):
    """The NACA four-digit section as a polygon, from the published coefficients for an open trailing edge."""
    x = 0.5 * (1.0 - np.cos(np.linspace(0.0, math.pi, points)))
    y = 1.4845 * np.sqrt(x) - 0.63 * x - 1.758 * x**2 + 1.4215 * x**3 - 0.5075 * x**4
    x, y = tip.chord * x, tip.thickness * y
    return shapely.Polygon(np.concatenate([np.stack([x, y], 1), np.stack([x, -y], 1)[::-1]]))


def part(tip, low, high):
    return section(tip).intersection(shapely.box(low, -1.0, high, 1.0))


def test_the_pressed_part_of_the_tip_is_cut_as_shapely_cuts_it():
    for low, high in ((0.0, 0.01175), (0.04425, 0.070), (0.0, 0.070)):
        area, at = tip_part(TIP, low, high)
        cut = part(TIP, low, high)
        assert area == pytest.approx(cut.area, rel=1e-6)
        assert at == pytest.approx(cut.centroid.x, rel=1e-6)


def test_screws_on_both_sides_share_weight_and_moment_by_plain_statics():
    found = hanging(joint(mass_centre_at=0.035))
    fore, aft = found.pulls
    assert fore + aft == pytest.approx(WEIGHT, rel=1e-13)
    assert fore * 0.014 + aft * 0.042 == pytest.approx(WEIGHT * 0.035, rel=1e-13)
    assert found.pivot is None
    assert hanging(joint()).pulls == pytest.approx([WEIGHT / 2] * 2, rel=1e-13)
    middle = FORE._replace(at=0.028)
    three = hanging(joint((FORE, middle, AFT), mass_centre_at=0.032)).pulls
    assert sum(three) == pytest.approx(WEIGHT, rel=1e-13)
    assert sum(f * x for f, x in zip(three, (0.014, 0.028, 0.042), strict=True)) == pytest.approx(
        WEIGHT * 0.032
    )


def test_one_screw_ahead_of_the_mass_centre_turns_on_the_tips_edge_with_its_width():
    # The invented case of the issue: 12.97 N, screw 15 mm and mass centre 33.6 mm aft of an edge of a 72 x 8 mm tip,
    # hole 4.5 mm, head 7 mm. On the bare edge 33.6 / 15 of the weight, with the pivot's width more. Before: 13.0 N.
    tip = FinTip(chord=0.072, thickness=0.008)
    screw = Screw(at=0.015, half_width=0.0039, hole=4.5e-3)
    held = Joint(weight=12.967, mass_centre_at=0.0336, tip=tip, pocket_depth=0.007, **columns(screw))
    found = hanging(held)
    edge = part(tip, 0.0, 0.015 - 0.00225)
    pull = 12.967 * (0.0336 - edge.centroid.x) / (0.015 - edge.centroid.x)
    assert found.pulls == (pytest.approx(pull, rel=1e-5),)
    assert found.pulls[0] == pytest.approx(44.8, abs=0.05)
    assert found.pulls[0] > 12.967 * 33.6 / 15
    assert found.pivot.pressure == pytest.approx((pull - 12.967) / edge.area, rel=1e-5)
    # Force and moment balance about the leading edge.
    assert found.pulls[0] - found.pivot.force == pytest.approx(12.967, rel=1e-12)
    assert found.pulls[0] * 0.015 - found.pivot.force * found.pivot.at == pytest.approx(12.967 * 0.0336)
    # Behind the mass centre likewise, over the trailing edge.
    behind = hanging(replace(held, **columns(screw._replace(at=0.050))))
    rear = part(tip, 0.05225, 0.072).centroid.x
    assert behind.pulls[0] == pytest.approx(12.967 * (rear - 0.0336) / (rear - 0.050), rel=1e-5)
    # Under the mass centre it takes the weight and no more.
    assert hanging(replace(held, **columns(screw._replace(at=0.0336)))).pulls == (pytest.approx(12.967),)


def test_two_screws_ahead_of_the_mass_centre_balance_on_the_edge():
    # Mass centre at 60 mm: by the old share the fore screw had 0 and the moment no hold.
    found = hanging(joint(mass_centre_at=0.060))
    p = part(TIP, 0.0, 0.014 - 0.00225).centroid.x
    k = WEIGHT * (0.060 - p) / ((0.014 - p) ** 2 + (0.042 - p) ** 2)
    assert found.pulls == (
        pytest.approx(k * (0.014 - p), rel=1e-5),
        pytest.approx(k * (0.042 - p), rel=1e-5),
    )
    fore, aft = found.pulls
    assert fore + aft - found.pivot.force == pytest.approx(WEIGHT, rel=1e-12)
    assert fore * 0.014 + aft * 0.042 - found.pivot.force * found.pivot.at == pytest.approx(WEIGHT * 0.060)


def test_a_mass_centre_further_off_never_pulls_a_screw_less():
    pulls = [hanging(joint(mass_centre_at=0.001 * mm)).pulls for mm in range(28, 80)]
    largest = [max(one) for one in pulls]
    assert all(later >= earlier - 1e-9 for earlier, later in pairwise(largest))
    assert max(b - a for a, b in pairwise(largest)) < 0.1 * WEIGHT


def test_at_90_degrees_the_screws_pry_so_that_their_moments_make_the_bulbs():
    found = sideways(joint(mass_centre_at=0.035), "at-90", force=WEIGHT, arm=0.014, at=0.035)
    assert found.moment == pytest.approx(WEIGHT * 0.014, rel=1e-14)
    assert found.pulls[0] * 0.0033 + found.pulls[1] * 0.0030 == pytest.approx(found.moment, rel=1e-13)
    assert found.pulls[0] / found.pulls[1] == pytest.approx(0.0033 / 0.0030, rel=1e-13)
    # Aft of the screws' middle at 28 mm it turns one way, ahead of it the other.
    assert found.turning == pytest.approx(WEIGHT * 0.007, rel=1e-12)
    ahead = sideways(joint(), "at-90", force=WEIGHT, arm=0.014, at=0.018)
    assert ahead.turning == pytest.approx(-WEIGHT * 0.010, rel=1e-12)
    # Across: 35 mm lies three quarters of the way from 14 to 42.
    assert found.shears == (pytest.approx(0.25 * WEIGHT), pytest.approx(0.75 * WEIGHT))
    assert sideways(joint(), "at-90", force=WEIGHT, arm=-0.014, at=0.028).moment == pytest.approx(
        WEIGHT * 0.014
    )
    alone = sideways(joint((FORE,)), "at-90", force=WEIGHT, arm=0.014, at=0.028)
    assert alone.shears == (None,)
    assert alone.pulls == (pytest.approx(WEIGHT * 0.014 / 0.0033),)


def test_the_pockets_walls_hold_force_roll_and_turn_as_linear_pressures():
    # Integrate p = a + b (z - h/2) + g (x - c/2) over a wall of chord by depth: force, roll and turn come back.
    depth, chord, at, arm = 0.006, 0.070, 0.042, 0.014
    found = sideways(joint(mass_centre_at=at), "at-90", force=WEIGHT, arm=arm, at=at)
    a = WEIGHT / (chord * depth)
    b = WEIGHT * (arm + 0.5 * depth) / (chord * depth**3 / 12)
    g = WEIGHT * (at - 0.5 * chord) / (depth * chord**3 / 12)
    assert found.wall_pressure == pytest.approx(a + b * depth / 2 + g * chord / 2, rel=1e-12)
    assert sideways(joint(pocket_depth=0.0), "at-90", force=WEIGHT, arm=arm, at=at).wall_pressure is None


def test_aground_ahead_the_nose_is_turned_down_over_the_tips_trailing_edge():
    force, arm = 60.0, 0.014
    found = ahead(joint(), force=force, arm=arm)
    p = part(TIP, 0.042 + 0.00225, 0.070).centroid.x
    moment = force * arm + WEIGHT * (p - 0.028)
    k = moment / ((p - 0.014) ** 2 + (p - 0.042) ** 2)
    assert found.pulls == (
        pytest.approx(k * (p - 0.014), rel=1e-5),
        pytest.approx(max(k * (p - 0.042), WEIGHT / 2), rel=1e-5),
    )
    assert found.pulls[0] > hanging(joint()).pulls[0]
    assert found.shears == (30.0, 30.0)
    assert found.wall_pressure == pytest.approx(force / (0.007 * 0.006), rel=1e-12)
    # A pocket deeper than the axis: the force above the floor turns the nose up, over the leading edge.
    deep = ahead(joint(), force=600.0, arm=-arm)
    assert deep.pulls[1] > deep.pulls[0]
    # No blow: no less than hanging.
    still = ahead(joint(), force=0.0, arm=arm).pulls
    assert all(a >= b for a, b in zip(still, hanging(joint()).pulls, strict=True))


def test_down_on_the_bulb_the_floor_is_pressed_and_only_a_ground_beyond_the_tip_pulls_screws():
    found = vertical(joint(), force=100.0, at=0.035)
    assert found.pulls == (0.0, 0.0)
    assert found.floor_pressure == pytest.approx(100.0 / section(TIP).area, rel=1e-6)
    beyond = vertical(joint(), force=100.0, at=-0.030)
    p = part(TIP, 0.0, 0.014 - 0.00225).centroid.x
    held = beyond.pulls[0] * (0.014 - p) + beyond.pulls[1] * (0.042 - p)
    # The bulb's own weight, aft of that edge, drops its tail: it opens the joint as the ground does.
    assert held == pytest.approx(100.0 * (p + 0.030) + WEIGHT * (joint().mass_centre_at - p), rel=1e-5)
    assert beyond.pivot.force == pytest.approx(100.0 + sum(beyond.pulls), rel=1e-12)


def test_a_blow_on_the_nose_from_the_side_pries_and_shears_with_its_lever():
    hung = hanging(joint()).pulls
    found = sideways(joint(), "aground-sideways", force=40.0, arm=0.011, at=-0.120, hung=hung)
    pried = [a - b for a, b in zip(found.pulls, hung, strict=True)]
    assert pried[0] * 0.0033 + pried[1] * 0.0030 == pytest.approx(40.0 * 0.011, rel=1e-12)
    # Two screws 28 mm apart in plan: moments about each give the other's force.
    assert found.shears == (
        pytest.approx(40.0 * (0.042 + 0.120) / 0.028),
        pytest.approx(40.0 * (0.014 + 0.120) / 0.028),
    )


def test_the_heel_between_upright_and_flat_that_pulls_a_screw_most_is_a_load_of_its_own():
    """Before the fix, only upright and 90 degrees were checked; the pull on a screw forward of the mass centre is 28 %
    higher in between."""
    held = joint((FORE,), mass_centre_at=0.030)
    upright = hanging(held).pulls[0]
    arm = 0.9 * upright * 0.0033 / WEIGHT
    flat = sideways(held, "at-90", force=WEIGHT, arm=arm, at=0.030)
    between = heeled(hanging(held), flat)
    # Degree by degree: the weight's part along the fin hangs, its part across pries.
    most = max(
        math.cos(a) * upright + math.sin(a) * WEIGHT * arm / 0.0033
        for a in np.radians(np.linspace(0.0, 90.0, 9001))
    )
    assert between.pulls[0] == pytest.approx(most, rel=1e-6)
    assert between.pulls[0] > 1.3 * max(upright, flat.pulls[0])
    assert between.shears == (None,)


@pytest.mark.parametrize("degrees", [-30.0, 6.0, 23.0, 40.0])
def test_raked_screws_are_pulled_and_sheared_no_less_than_statics_needs(degrees):
    """Before the fix, screws were assumed square to the floor. At 23 degrees, grounding ahead increases each screw's pull
    by 0.39 of its share of the load."""
    rake = math.radians(degrees)
    raked, arm, force = replace(joint(mass_centre_at=0.035), rake=rake), 0.011, 600.0
    up, aft = np.array([-math.sin(rake), math.cos(rake)]), np.array([math.cos(rake), math.sin(rake)])
    hung = hanging(raked)
    flat = sideways(raked, "at-90", force=WEIGHT, arm=arm, at=0.035)
    run = ahead(raked, force=force, arm=arm)
    levers = 0.0033**2 + 0.0030**2
    edge = part(TIP, 0.042 + 0.00225, 0.070).centroid.x
    about = force * arm + WEIGHT * (edge - 0.035)
    places = (0.014, 0.042)
    turned = [about * (edge - x) / sum((edge - one) ** 2 for one in places) for x in places]
    lifts = {
        "hanging": [(WEIGHT / 2 + WEIGHT * 0.25 * side) for side in (-1, 1)],
        "at-90": [WEIGHT * arm * half / levers for half in (0.0033, 0.0030)],
    }
    lifts["aground-ahead"] = [max(a, b) for a, b in zip(turned, lifts["hanging"], strict=True)]
    across = {"at-90": [WEIGHT * share for share in (0.25, 0.75)]}
    for case in (hung, flat, run):
        push = force / 2 if case is run else 0.0
        for number, lift in enumerate(lifts[case.name]):
            # On the bulb, level and upright: what the screw gives, alone.
            needed = np.array([-push, lift])
            pull, shear = float(needed @ up), float(needed @ aft)
            side = across.get(case.name, (0.0, 0.0))[number]
            assert case.pulls[number] >= pull - 1e-3
            assert case.shears[number] >= math.hypot(shear, side) - 1e-3
            # With friction on the floor for all that is level, the screw only pulls.
            assert case.pulls[number] >= lift / math.cos(rake) - 1e-3
            # And no more than both together.
            assert case.pulls[number] <= lift / math.cos(rake) + max(push * math.sin(rake), 0.0) + 1e-3
    # A ground beyond the tip pulls them by the same rule, and a blow from the side with the hanging bulb's pull.
    beyond = vertical(raked, force=100.0, at=-0.030)
    upright = vertical(joint(mass_centre_at=0.035), force=100.0, at=-0.030)
    assert beyond.pulls == pytest.approx([one / math.cos(rake) for one in upright.pulls], rel=1e-12)
    struck = sideways(raked, "aground-sideways", force=40.0, arm=arm, at=-0.12, hung=hung.pulls)
    pried = [40.0 * arm * half / levers / math.cos(rake) for half in (0.0033, 0.0030)]
    assert struck.pulls == pytest.approx([a + b for a, b in zip(hung.pulls, pried, strict=True)], rel=1e-12)


def test_the_net_section_is_the_section_less_its_holes_as_gridded():
    holes = ((0.014, 0.004), (0.042, 0.004))
    net = net_section(TIP, holes)
    # Strips across the chord, each a solid thickness less the holes' chords: an independent sum.
    x = (np.arange(200_000) + 0.5) / 200_000 * TIP.chord
    s = x / TIP.chord
    half = TIP.thickness * (1.4845 * np.sqrt(s) - 0.63 * s - 1.758 * s**2 + 1.4215 * s**3 - 0.5075 * s**4)
    gap = sum(np.sqrt(np.maximum((0.5 * d) ** 2 - (x - at) ** 2, 0.0)) for at, d in holes)
    dx = TIP.chord / len(x)
    area = np.sum(2 * (half - gap)) * dx
    centre = np.sum(2 * (half - gap) * x) * dx / area
    assert net.area == pytest.approx(area, rel=1e-5)
    assert net.centroid == pytest.approx(centre, rel=1e-5)
    assert net.across == pytest.approx(np.sum(2 / 3 * (half**3 - gap**3)) * dx, rel=1e-5)
    assert net.along == pytest.approx(np.sum(2 * (half - gap) * (x - centre) ** 2) * dx, rel=1e-5)
    assert net.stress(across=2.0) == pytest.approx(2.0 * half.max() / net.across, rel=1e-5)
    assert net.stress(pressed=100.0) == pytest.approx(100.0 / area, rel=1e-5)


def test_twenty_random_joints_are_pulled_no_less_than_statics_needs():
    """A linear program finds, among all pulls and edge forces that balance the bulb, those whose largest pull is
    smallest; the reported pull is never below it."""
    from scipy.optimize import linprog

    rng = np.random.default_rng(10)
    for _ in range(20):
        chord = rng.uniform(0.05, 0.4)
        tip = FinTip(chord=chord, thickness=0.1 * chord)
        places = np.sort(rng.uniform(0.15, 0.85, rng.integers(1, 5))) * chord
        screws = tuple(Screw(at=x, half_width=0.04 * chord, hole=0.02 * chord) for x in places)
        at = rng.uniform(0.05, 1.2) * chord
        held = Joint(weight=WEIGHT, mass_centre_at=at, tip=tip, pocket_depth=0.0, **columns(*screws))
        found = hanging(held)
        # Unknown: pulls, forces of the two edges, and the largest pull.
        count = len(screws)
        forces = [*[1.0] * count, -1.0, -1.0, 0.0]
        moments = [*places, 0.0, -chord, 0.0]
        below = np.hstack([np.eye(count), np.zeros((count, 2)), -np.ones((count, 1))])
        least = linprog(
            [*[0.0] * (count + 2), 1.0],
            A_ub=below,
            b_ub=np.zeros(count),
            A_eq=[forces, moments],
            b_eq=[WEIGHT, WEIGHT * at],
        )
        assert least.success
        assert max(found.pulls) >= least.x[-1] * (1 - 1e-9)
        assert sum(found.pulls) >= WEIGHT * (1 - 1e-9)


@pytest.mark.parametrize(
    ("screws", "message"),
    [
        ((), "The joint has no screw. Give at least one screw, or omit the joint."),
        ((FORE._replace(at=0.08),), "A screw is outside the fin's tip. Give positions within the tip chord."),
    ],
)
def test_a_joint_that_cannot_be_is_refused_in_words(screws, message):
    with pytest.raises(BoatFigureError) as caught:
        joint(screws)
    assert str(caught.value) == message
