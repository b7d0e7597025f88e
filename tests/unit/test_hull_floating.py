"""Floating position of a boat at rest, and the curve of righting arms."""

from __future__ import annotations

import math

import numpy as np
import pytest

from bulbcast.hull.floating import FloatingError, float_boat
from bulbcast.hull.hydrostatics import Attitude, directions, hydrostatics
from bulbcast.hull.mesh import HullMesh, hull_with
from bulbcast.hull.offsets_mesh import lofted_hull
from bulbcast.sailing.righting import righting_arm_curve
from bulbcast.solids.mesh import Mesh


def yacht(along=30, up=12):
    """An invented symmetrical hull, 1 m long."""
    x = np.linspace(0.0, 1.0, along + 1)
    keel = -0.06 * (1.0 - np.abs(2.0 * x - 1.0) ** 2.2)
    sheer = 0.06 + 0.03 * (1.0 - x) ** 2
    widest = 0.1 * np.where(x < 0.6, 1.0 - (1.0 - x / 0.6) ** 2, 1.0 - 0.42 * ((x - 0.6) / 0.4) ** 2)
    share = 1.0 - np.cos(0.5 * np.pi * np.arange(up + 1) / up)
    z = keel[:, None] + share * (sheer - keel)[:, None]
    y = widest[:, None] * (1.0 - (1.0 - share) ** 2.3) ** 0.7
    mesh = lofted_hull(x, y, z)
    return HullMesh(vertices=mesh.vertices, triangles=mesh.triangles, design_length=1.0)


HULL = yacht()
LOAD = {"mass": 3.0, "mass_centre": (0.52, 0.0, -0.1), "water_density": 999.1}


def residuals(rest, load=LOAD):
    """Relative error of the displaced mass, and distances aft and to starboard from the mass centre to the centre of
    buoyancy. [-, m, m]"""
    found = hydrostatics(HULL, rest.attitude)
    world = directions(rest.attitude.trim, rest.attitude.heel)
    lever = np.array(found.buoyancy_centre) - np.array(load["mass_centre"])
    return (
        load["water_density"] * found.volume / load["mass"] - 1,
        float(lever @ world.aft),
        float(lever @ world.starboard),
    )


@pytest.mark.parametrize(
    "held", [{}, {"heel": 0.0}, {"heel": 0.7}, {"trim": 0.02}, {"trim": 0.0, "heel": 1.2}]
)
def test_at_rest_weight_and_buoyancy_are_equal_and_in_line_in_what_is_free(held):
    rest = float_boat(HULL, **LOAD, **held)
    mass, aft, athwart = residuals(rest)
    assert abs(mass) < 1e-10
    if "trim" in held:
        assert rest.attitude.trim == held["trim"]
    else:
        assert abs(aft) < 1e-10
    if "heel" in held:
        assert rest.attitude.heel == held["heel"]
        assert rest.righting_arm == pytest.approx(athwart, abs=1e-10)
    else:
        assert abs(athwart) < 1e-10


def test_on_her_own_waterline_she_does_not_move():
    found = hydrostatics(HULL)
    x, _, z = found.buoyancy_centre
    rest = float_boat(HULL, mass=1000.0 * found.volume, mass_centre=(x, 0.0, z - 0.1), water_density=1000.0)
    assert rest.attitude.sinkage == pytest.approx(0.0, abs=1e-12)
    assert rest.attitude.trim == pytest.approx(0.0, abs=1e-12)
    assert rest.attitude.heel == pytest.approx(0.0, abs=1e-12)


def test_weight_to_starboard_heels_her_to_starboard_and_weight_aft_brings_the_stern_down():
    level = float_boat(HULL, **LOAD)
    starboard = float_boat(HULL, **LOAD | {"mass_centre": (0.52, 0.01, -0.1)})
    aft = float_boat(HULL, **LOAD | {"mass_centre": (0.55, 0.0, -0.1)})
    deeper = float_boat(HULL, **LOAD | {"mass": 3.5})
    assert starboard.attitude.heel > 0.01
    assert aft.attitude.trim > level.attitude.trim + 0.005
    assert deeper.attitude.sinkage > level.attitude.sinkage


def test_where_she_starts_does_not_change_where_she_rests():
    there = float_boat(HULL, **LOAD)
    for start in (
        Attitude(sinkage=0.05, trim=0.2, heel=0.9),
        Attitude(sinkage=-0.3, trim=-0.3, heel=-1.2),
        Attitude(sinkage=9.0),
    ):
        again = float_boat(HULL, **LOAD, start=start)
        assert again.attitude.sinkage == pytest.approx(there.attitude.sinkage, abs=1e-11)
        assert again.attitude.trim == pytest.approx(there.attitude.trim, abs=1e-11)
        assert again.attitude.heel == pytest.approx(there.attitude.heel, abs=1e-11)


def test_the_search_closes_in_as_newtons_steps_do():
    # From a trimmed and heeled start with a mass centre to one side: second derivatives that were wrong, the mixed ones
    # too, would still find the place, but in dozens of steps.
    load = LOAD | {"mass_centre": (0.6, 0.02, -0.05)}
    there = float_boat(HULL, **load)
    assert abs(there.attitude.trim) > 0.02
    assert there.attitude.heel > 0.2
    for trim, heel in ((0.05, 0.1), (-0.05, -0.1), (0.1, -0.05)):
        near = Attitude(
            sinkage=there.attitude.sinkage,
            trim=there.attitude.trim + trim,
            heel=there.attitude.heel + heel,
        )
        assert float_boat(HULL, **load, start=near).steps <= 7


@pytest.mark.parametrize(
    "held", [{}, {"heel": 0.0}, {"heel": 0.7}, {"trim": 0.02}, {"trim": 0.02, "heel": 1.2}]
)
def test_the_last_step_is_taken_by_the_derivatives_alone(held):
    # From this near two attitudes are clipped, and what is reported of the third is what clipping her there finds.
    there = float_boat(HULL, **LOAD, **held)
    at = there.attitude
    start = Attitude(
        sinkage=at.sinkage + 1e-5,
        trim=at.trim if "trim" in held else at.trim + 1e-5,
        heel=at.heel if "heel" in held else at.heel + 1e-5,
    )
    near = float_boat(HULL, **LOAD, **held, start=start)
    assert near.steps == 2
    mass, aft, athwart = residuals(near)
    assert abs(mass) < 1e-12
    if "trim" not in held:
        assert abs(aft) < 1e-12
    assert near.righting_arm == pytest.approx(athwart, abs=1e-12)
    assert near.energy == pytest.approx(there.energy, abs=1e-14)


def test_an_inverted_rest_is_never_taken_for_the_upright_one():
    # With the mass centre high she has a hollow upside down as deep as any; from upright and stiff she stays.
    low = LOAD | {"mass_centre": (0.52, 0.0, 0.0)}
    upright = float_boat(HULL, **low)
    assert upright.upright
    assert upright.stable
    assert abs(upright.attitude.heel) < 1e-9
    inverted = float_boat(HULL, **low, start=Attitude(heel=math.pi - 0.05))
    assert not inverted.upright
    assert inverted.stable
    assert abs(math.cos(inverted.attitude.heel) + 1) < 1e-9


def test_a_boat_that_cannot_stand_is_not_said_to_stand():
    # Metacentre below the mass centre by far: held at zero she balances on a ridge; let go she turns over.
    top = LOAD | {"mass_centre": (0.52, 0.0, 0.25)}
    held = float_boat(HULL, **top, heel=0.0)
    assert held.righting_arm == pytest.approx(0.0, abs=1e-12)
    free = float_boat(HULL, **top)
    assert free.stable
    assert not free.upright


def test_a_boat_too_heavy_sinks_and_is_reported_what_she_could_carry():
    with pytest.raises(FloatingError) as caught:
        float_boat(HULL, **LOAD | {"mass": 30.0})
    most = 999.1 * HULL.volume
    assert str(caught.value) == (
        f"hull: the boat sinks, because she weighs 30 kg but displaces only {most:.4g} kg when fully submerged. "
        "Make her lighter, or correct the hull's unit or scale."
    )


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        (
            {"mass": 0.0},
            "hull: the mass is 0 kg and the water density 999.1 kg/m3. Both must be positive.",
        ),
        (
            {"mass_centre": (math.nan, 0.0, 0.0)},
            "hull: a figure for the load is not a finite number. Correct the figure.",
        ),
        (
            {"trim": math.radians(86)},
            "hull: the trim is 86.0 degrees; it must be less than 85.",
        ),
        (
            {"mass_centre": (3.0, 0.0, -0.1)},
            "hull: the boat stands on end, because her trim exceeds 85 degrees. Her waterplane is too small for the "
            "position of her mass centre. Correct the load or its centre.",
        ),
    ],
)
def test_a_load_that_does_not_float_is_refused(changes, words):
    with pytest.raises(FloatingError) as caught:
        float_boat(HULL, **LOAD | changes)
    assert str(caught.value) == words


def test_a_deck_in_the_water_plane_is_the_waterplane_and_dry():
    # The limit from below: water up to the deck's level, none on it.
    x = np.linspace(0.0, 1.0, 9)
    half = 0.1 * np.sin(np.pi * x)
    half[-1] = 0.0
    mesh = lofted_hull(x, np.stack([0.5 * half, half], axis=1), np.tile([-0.05, 0.0], (9, 1)))
    hull = HullMesh(vertices=mesh.vertices, triangles=mesh.triangles, design_length=1.0)
    at, below = hydrostatics(hull), hydrostatics(hull, Attitude(sinkage=-1e-9))
    assert at.volume == pytest.approx(hull.volume, rel=1e-13)
    assert at.waterplane_area == pytest.approx(2 * np.trapezoid(half, x), rel=1e-13)
    assert at.wetted_area == pytest.approx(below.wetted_area, rel=1e-6)
    assert at.bm_across == pytest.approx(below.bm_across, rel=1e-6)


def test_clear_of_the_water_and_all_under_it_there_is_no_waterplane():
    above, under = (hydrostatics(HULL, Attitude(sinkage=depth)) for depth in (-1.0, 1.0))
    assert above.volume == 0.0
    assert above.buoyancy_centre is None
    assert above.bm_across is None
    assert above.draught < 0
    assert under.volume == pytest.approx(HULL.volume, rel=1e-12)
    assert under.waterplane_area == pytest.approx(0.0, abs=1e-15)
    assert under.waterplane_centre is None
    assert above.gm_across((0.0, 0.0, 0.0)) is None


# --- Righting arms ----------------------------------------------------------------------------------------------------


def test_each_arm_of_the_curve_is_the_one_found_from_scratch():
    curve = righting_arm_curve(HULL, **LOAD)
    for place in (3, 12, 18, 25):
        alone = float_boat(HULL, **LOAD, heel=curve.heels[place])
        assert curve.arms[place] == pytest.approx(alone.righting_arm, abs=1e-10)
        assert curve.trims[place] == pytest.approx(alone.attitude.trim, abs=1e-9)
        assert curve.sinkages[place] == pytest.approx(alone.attitude.sinkage, abs=1e-9)


def test_a_deep_bulb_rights_her_from_any_angle():
    curve = righting_arm_curve(HULL, **LOAD | {"mass_centre": (0.52, 0.0, -0.2)})
    assert all(arm > 0 for arm in curve.arms[1:-1])
    assert curve.arms[0] == pytest.approx(0.0, abs=1e-12)
    assert curve.vanishing == pytest.approx(math.pi, abs=1e-9)
    assert curve.later_area == pytest.approx(0.0, abs=1e-12)
    assert curve.area_spent is None
    assert curve.positive_from == 0.0


def test_the_vanishing_angle_is_where_the_arm_is_zero_and_area_is_given_back_after_it():
    load = LOAD | {"mass_centre": (0.52, 0.0, 0.02)}
    curve = righting_arm_curve(HULL, **load)
    assert curve.gm > 0
    assert math.radians(90) < curve.vanishing < math.radians(120)
    at = float_boat(HULL, **load, heel=curve.vanishing)
    assert at.righting_arm == pytest.approx(0.0, abs=1e-12)
    assert curve.positive_area > 0 > curve.later_area
    assert curve.positive_area == pytest.approx(at.energy - curve.energies[0], abs=1e-12)
    assert curve.later_area == pytest.approx(curve.energies[-1] - at.energy, abs=1e-12)
    # Upside down she lies lower than upright: all that was gained is spent before.
    assert curve.area_spent > curve.vanishing
    spent = float_boat(HULL, **load, heel=curve.area_spent)
    assert spent.energy == pytest.approx(curve.energies[0], abs=1e-12)


def test_a_boat_that_lolls_has_her_area_counted_from_the_angle_of_loll():
    load = LOAD | {"mass_centre": (0.52, 0.0, 0.03)}
    curve = righting_arm_curve(HULL, **load)
    assert curve.gm < 0
    lolling = float_boat(HULL, **load)
    assert abs(lolling.attitude.heel) == pytest.approx(curve.positive_from, abs=1e-9)
    assert curve.positive_from > math.radians(3)
    at = float_boat(HULL, **load, heel=curve.vanishing)
    assert curve.positive_area == pytest.approx(at.energy - lolling.energy, abs=1e-12)


def test_a_curve_that_ends_before_the_arms_vanish_says_so_with_none():
    heels = tuple(math.radians(step) for step in range(0, 50, 10))
    curve = righting_arm_curve(HULL, **LOAD, heels=heels)
    assert curve.vanishing is None
    assert curve.later_area is None
    assert curve.positive_area == pytest.approx(curve.energies[-1] - curve.energies[0], abs=1e-15)


def test_a_boat_that_never_rights_has_no_positive_area():
    curve = righting_arm_curve(HULL, **LOAD | {"mass_centre": (0.52, 0.0, 0.25)})
    assert curve.gm < 0
    assert curve.positive_from is None
    assert curve.vanishing is None
    assert curve.positive_area is None


def test_gm_is_the_slope_of_the_curve():
    # She is heeled about her own length, which the trim tips out of level: GZ' = GM cos(trim).
    heels = (0.0, 1e-4)
    curve = righting_arm_curve(HULL, **LOAD, heels=heels)
    assert curve.arms[1] / heels[1] == pytest.approx(curve.gm * math.cos(curve.trims[0]), rel=1e-7)


def test_an_immersed_bulb_of_no_weight_changes_nothing_but_the_buoyancy_it_adds():
    # A bulb as a further surface, carrying its own displacement's mass at its own centre, floats with the hull as if
    # it were not there: weight and buoyancy of it cancel wherever it is under water.
    ball = yacht(10, 6)
    shift = np.array([0.45, 0.0, -0.4])
    bulb = HullMesh(
        vertices=0.15 * (ball.vertices - [0.5, 0, 0]) + shift, triangles=ball.triangles, design_length=1.0
    )
    both = hull_with(HULL, bulb.mesh)
    centre = hydrostatics(bulb, Attitude(sinkage=5.0)).buoyancy_centre
    own = 999.1 * bulb.volume
    mass = LOAD["mass"] + own
    joint = tuple(
        (LOAD["mass"] * a + own * b) / mass for a, b in zip(LOAD["mass_centre"], centre, strict=True)
    )
    for heel in (0.0, 0.5, 1.3):
        plain = float_boat(HULL, **LOAD, heel=heel)
        with_bulb = float_boat(both, mass=mass, mass_centre=joint, water_density=999.1, heel=heel)
        assert with_bulb.righting_arm * mass == pytest.approx(plain.righting_arm * 3.0, abs=1e-10)
        assert with_bulb.attitude.trim == pytest.approx(plain.attitude.trim, abs=1e-10)


def test_a_further_surface_is_added_to_the_hull_without_touching_her():
    bulb = Mesh(vertices=0.1 * HULL.vertices + np.array([0.4, 0.0, -0.4]), triangles=HULL.triangles)
    both = hull_with(HULL, bulb)
    assert both.volume == pytest.approx(1.001 * HULL.volume, rel=1e-12)
    assert both.design_length == HULL.design_length
    assert hydrostatics(both).volume == pytest.approx(
        hydrostatics(HULL).volume + 0.001 * HULL.volume, rel=1e-12
    )


@pytest.mark.parametrize("heels", [(), (0.1,), (0.3, 0.2), (0.0, 4.0), (-0.1, 0.2), (0.0, math.nan)])
def test_heels_out_of_order_or_range_are_refused(heels):
    with pytest.raises(FloatingError) as caught:
        righting_arm_curve(HULL, **LOAD, heels=heels)
    assert str(caught.value) == (
        "hull: a righting arm curve needs at least two heel angles, in ascending order, from 0 to 180 degrees."
    )
