"""Parts of the cooling simulation compared with closed forms: cells, heat, conductances, feed paths, freezing time."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest

from bulbcast.foundry.cooling.feed_path import neighbours_of, pools_of, ways_close
from bulbcast.foundry.cooling.freezing import LEVELS, solid_at
from bulbcast.foundry.cooling.grid import Axis, Grid, even, graded
from bulbcast.foundry.cooling.heat import heat_at, heat_curves, solid_share
from bulbcast.foundry.cooling.rule import freezing_time
from bulbcast.foundry.cooling.scene import CASTING, FEEDER, MOULD, Surface, scene_of
from bulbcast.foundry.cooling.solver import Stepping, run_steps
from bulbcast.materials.alloys import alloy_of_grade
from bulbcast.materials.heat import metal_heat, mould_heat
from bulbcast.materials.lead import heat_to_melt
from bulbcast.materials.plaster import PlasterMix

# Cells


def test_cells_of_a_cylinder_and_of_a_sphere_fill_it():
    rod = Grid(
        axes=(Axis(faces=tuple(even(0.0, 0.3, 7))), Axis(faces=tuple(even(0.0, 0.05, 9)), kind="round"))
    )
    assert float(rod.volumes().sum()) == pytest.approx(math.pi * 0.05**2 * 0.3, rel=1e-12)
    ball = Grid(axes=(Axis(faces=tuple(graded(0.0, 0.05, 0.001, 1.3)), kind="ball"),))
    assert float(ball.volumes().sum()) == pytest.approx(4.0 / 3.0 * math.pi * 0.05**3, rel=1e-12)


def test_graded_cells_end_on_both_faces_and_grow_by_the_same_share():
    for start, end in ((0.0, 0.03), (0.1, 0.04)):
        faces = np.array(graded(start, end, 0.002, 1.4))
        widths = np.abs(np.diff(faces))
        assert (faces[0], faces[-1]) == (start, end)
        assert widths[0] <= 0.002
        assert widths[1:] / widths[:-1] == pytest.approx(np.full(len(widths) - 1, 1.4))


# Heat


def curves_of(metal_volume, mould_volume, *, grade="pure", kind="air"):
    return heat_curves(
        metal_heat(alloy_of_grade(grade)), mould_heat(kind), np.array(metal_volume), np.array(mould_volume)
    )


def test_a_kilogram_of_lead_takes_the_handbook_s_heat():
    # 72.5 kJ/kg from 20 to 380 C (materials.md, check value 4: NIST Shomate equations).
    metal = metal_heat(alloy_of_grade("pure"))
    assert metal.heat(380.0) - metal.heat(20.0) == pytest.approx(72.5e3, abs=0.5e3)
    assert metal.heat(380.0) - metal.heat(20.0) == pytest.approx(heat_to_melt(380.0), rel=1e-3)


@pytest.mark.parametrize(
    ("grade", "low", "high"), [("antimonial-4", 28.5e3, 28.9e3), ("antimonial-6", 31.3e3, 31.8e3)]
)
def test_the_heat_of_fusion_of_antimonial_lead_is_the_mass_weighted_one(grade, low, high):
    # 28.7 and 31.6 kJ/kg: materials.md 2b.
    assert low < metal_heat(alloy_of_grade(grade)).heat_of_fusion < high


def test_lead_loses_three_per_cent_in_freezing():
    # 3.0 to 3.1 % of the liquid's volume with 0.98 % of contraction afterwards: materials.md 1.
    found = metal_heat(alloy_of_grade("pure")).freezing_contraction
    assert 0.030 < found / (1.0 + found) < 0.0312


@pytest.mark.parametrize("grade", ["pure", "antimonial-4", "linotype"])
@pytest.mark.parametrize("kind", ["air", "baked", "sand"])
def test_temperature_of_a_heat_is_the_inverse_of_heat_of_a_temperature(grade, kind):
    curves = curves_of([1e-6, 0.0, 4e-7], [0.0, 1e-6, 6e-7], grade=grade, kind=kind)
    for at in (-20.0, 20.0, 99.0, 120.0, 200.0, 240.0, 340.0, 400.0):
        found, slope = curves.temperatures(heat_at(curves, at, at))
        assert found == pytest.approx(np.full(3, at), abs=1e-6)
        assert np.all(slope > 0.0)


def test_half_the_heat_of_fusion_is_half_solid_at_the_melting_point():
    curves = curves_of([2e-6], [0.0])
    metal = curves.metal
    solid = metal.solid_heats[-1] * metal.density * 2e-6
    heat = np.array([solid + 0.5 * metal.heat_of_fusion * metal.density * 2e-6])
    temperature, slope = curves.temperatures(heat)
    assert temperature == pytest.approx([metal.solidus])
    assert slope[0] == 0.0
    assert solid_share(curves, heat) == pytest.approx([0.5])


def test_bound_water_takes_its_heat_once():
    curves = curves_of([0.0], [1e-3])
    mould = curves.mould
    plain = mould.density * mould.specific_heat * 1e-3
    heat = heat_at(curves, 20.0, 20.0)
    hot = heat + plain * 180.0 + mould.reaction_heat * 1e-3
    assert curves.temperatures(hot)[0] == pytest.approx([200.0])
    curves.remember(np.array([200.0]))
    assert curves.reacted() == pytest.approx([mould.reaction_heat * 1e-3])
    # On the way down nothing comes back: the same block at 20 C holds the water's heat for good.
    assert curves.temperatures(hot - plain * 180.0)[0] == pytest.approx([20.0])


def test_half_way_through_the_reaction_half_the_heat_is_kept():
    curves = curves_of([0.0], [1e-3])
    middle = 0.5 * (curves.mould.reaction_from + curves.mould.reaction_to)
    before = heat_at(curves, middle, middle)
    curves.remember(np.array([middle]))
    assert curves.temperatures(before)[0] == pytest.approx([middle])
    assert curves.reacted() == pytest.approx([0.5 * curves.mould.reaction_heat * 1e-3])


def test_air_dried_plaster_holds_the_heat_of_dehydration_and_baked_plaster_its_own_density():
    # 483 kJ/kg of dihydrate; baked, the dihydrate weighs 0.843 of what it did.
    mix = PlasterMix(water=0.70, purity=1.0)
    air = mould_heat("air", dry_density=mix.air_density, gypsum=1.0)
    baked = mould_heat("baked", dry_density=mix.air_density, gypsum=1.0)
    assert air.reaction_heat == pytest.approx(483e3 * mix.air_density)
    assert baked.reaction_heat == 0.0
    assert baked.density == pytest.approx(mix.baked_density, rel=1e-3)
    assert air.density == mix.air_density


# Conductances


def plate_scene(stuff, *, samples=6):
    return scene_of(
        Grid(axes=(Axis(faces=tuple(even(0.0, 0.04, 4))),)),
        stuff,
        metal_conductivity=30.0,
        mould_conductivity=0.3,
        surfaces={(0, 1): Surface(film=10.0, metal_film=25.0, temperature=20.0)},
        samples=samples,
    )


def test_a_link_through_metal_and_mould_is_the_sum_of_both():
    # Metal up to 20 mm: the second link runs 5 mm in each.
    scene = plate_scene(lambda x: np.where(x < 0.02, CASTING, MOULD))
    assert scene.links.conductance == pytest.approx(
        [30.0 / 0.01, 1.0 / (0.005 / 30.0 + 0.005 / 0.3), 0.3 / 0.01]
    )
    assert scene.links.metal.tolist() == [True, False, False]
    assert scene.outer == pytest.approx([0.0, 0.0, 0.0, 1.0 / (0.005 / 0.3 + 0.1)])


def test_parts_of_a_cut_cell_go_to_neighbours_of_their_stuff_and_none_is_lost():
    scene = plate_scene(
        lambda x: np.where(x < 0.0233, CASTING, np.where(x > 0.0375, FEEDER, MOULD)), samples=12
    )
    assert float(scene.casting.sum() + scene.feeder.sum() + scene.mould.sum()) == pytest.approx(0.04)
    assert scene.casting.tolist() == pytest.approx([0.01, 0.01 + 4.0 / 1200.0, 0.0, 0.0])
    assert scene.mould[2] == pytest.approx(0.01 - 4.0 / 1200.0)
    # A feeder that has no neighbour of metal stays where it is.
    assert scene.feeder[3] == pytest.approx(0.0025)


@pytest.mark.parametrize("inner", [0.0150, 0.0157, 0.0163])
def test_heat_flows_between_two_spheres_on_square_cells_as_it_should(inner):
    # An octant; metal inside and outside at 1 and 0 degrees: k 4 pi / (1/a - 1/b) / 8 through the mould between.
    from scipy.sparse import coo_matrix
    from scipy.sparse.linalg import cg

    axis, outer = Axis(faces=tuple(even(0.0, 0.05, 18))), 0.045

    def stuff(x, y, z):
        r2 = x**2 + y**2 + z**2
        return np.where(r2 < inner**2, CASTING, np.where(r2 > outer**2, FEEDER, MOULD))

    scene = scene_of(
        Grid(axes=(axis, axis, axis)),
        stuff,
        metal_conductivity=3e5,
        mould_conductivity=0.3,
        surfaces={},
        samples=4,
    )
    links, n = scene.links, scene.grid.cells
    hot = scene.casting > 0.0
    held = hot | (scene.feeder > 0.0)
    k = coo_matrix((-links.conductance, (links.first, links.second)), shape=(n, n))
    k = (k + k.T).tocsr()
    k.setdiag(-np.asarray(k.sum(axis=1)).ravel())
    solved, _ = cg(k[~held][:, ~held], -k[~held][:, hot] @ np.ones(int(hot.sum())), rtol=1e-6)
    temperature = hot.astype(float)
    temperature[~held] = solved
    flow = float((k @ temperature)[hot].sum())
    assert flow == pytest.approx(0.3 * 0.5 * math.pi / (1.0 / inner - 1.0 / outer), rel=0.01)


# The solver


@pytest.mark.parametrize("grade", ["pure", "antimonial-4"])
def test_no_heat_is_lost_while_a_block_freezes_and_dries(grade):
    grid = Grid(
        axes=(
            Axis(faces=tuple(even(0.0, 0.06, 12))),
            Axis(faces=tuple(even(0.0, 0.04, 8)), kind="round"),
        )
    )
    side = Surface(film=10.0, metal_film=25.0, temperature=20.0)
    metal, mould = metal_heat(alloy_of_grade(grade)), mould_heat("air")
    scene = scene_of(
        grid,
        lambda x, r: np.where((x > 0.02) & (r < 0.018), CASTING, MOULD),
        metal_conductivity=metal.conductivity_solid,
        mould_conductivity=mould.conductivity,
        surfaces={(0, 0): side, (0, 1): side, (1, 1): side},
    )
    curves = heat_curves(metal, mould, scene.metal, scene.mould)
    start = heat_at(curves, 380.0, 20.0)
    last = run_steps(
        scene,
        curves,
        start,
        stepping=Stepping(first=0.05),
        until=lambda state: float(np.max(state.temperature)) < 60.0,
        conductivity=(metal.conductivity_solid, metal.conductivity_liquid),
    )
    given = float(np.sum(start) - np.sum(last.heat))
    assert given == pytest.approx(last.given_off, rel=1e-9)
    assert float(np.min(last.solid)) == 1.0


# Feed paths


def chain(count):
    return [[j for j in (i - 1, i + 1) if 0 <= j < count] for i in range(count)]


def test_a_hot_spot_behind_a_neck_is_cut_off_when_the_neck_closes():
    # Feeder, neck, hot spot: the way of both cells beyond the neck closes with it.
    closed = np.array([100.0, 40.0, 70.0, 90.0])
    ways = ways_close(closed, chain(4), np.array([True, False, False, False]))
    assert ways.tolist() == [100.0, 40.0, 40.0, 40.0]


def test_the_way_that_lasts_longest_counts():
    # A ring: one side closes at 30, the other at 60.
    closed = np.array([100.0, 30.0, 90.0, 60.0])
    ring = [[1, 3], [0, 2], [1, 3], [2, 0]]
    assert ways_close(closed, ring, np.array([True, False, False, False]))[2] == 60.0


def levels_between(start, end):
    """Times at which a cell that freezes at a constant rate passes each given fraction."""
    return np.array([start + level * (end - start) for level in LEVELS])


def test_a_pool_leaves_the_contraction_of_what_was_liquid_when_it_was_cut_off():
    times = np.array([levels_between(0.0, 200.0), levels_between(0.0, 40.0), levels_between(0.0, 100.0)])
    closed = times[:, LEVELS.index(0.7)]
    ways, pools = pools_of(
        times, closed, np.array([0.0, 1e-6, 2e-6]), chain(3), np.array([True, False, False]), contraction=0.03
    )
    # The neck closes at 0.7 of 40 s; 0.28 of the last cell is solid by then.
    assert ways[2] == pytest.approx(28.0)
    assert len(pools) == 1
    assert pools[0].cavity == pytest.approx(0.03 * 0.72 * 2e-6)
    assert (pools[0].cell, pools[0].cut_off) == (2, pytest.approx(28.0))


def test_freezing_towards_the_feeder_leaves_no_pool():
    times = np.array([levels_between(0.0, end) for end in (400.0, 300.0, 200.0, 100.0)])
    _, pools = pools_of(
        times,
        times[:, 7],
        np.array([0.0, 1e-6, 1e-6, 1e-6]),
        chain(4),
        np.array([True, False, False, False]),
        contraction=0.03,
    )
    assert pools == ()


def test_solid_at_a_time_is_straight_between_the_levels():
    times = np.array([levels_between(10.0, 110.0)])
    for when, wanted in ((0.0, 0.0), (60.0, 0.5), (65.0, 0.55), (500.0, 1.0)):
        assert solid_at(times, np.array([when]))[0] == pytest.approx(wanted, abs=1e-9)


def test_neighbours_are_those_across_faces_that_hold_metal():
    first, second = np.array([0, 1, 2]), np.array([1, 2, 3])
    assert neighbours_of(np.array([0, 1, 3]), first, second, 4) == [[1], [0], []]


# The rule

PLASTER = replace(mould_heat("baked"), conductivity=0.35, density=1100.0, specific_heat=900.0)
FIGURES = {"density": 10673.0, "heat": 30763.0, "freezing": 327.46, "start": 20.0, "mould": PLASTER}


def test_without_curvature_the_rule_is_the_modulus_squared():
    once, twice = (freezing_time(modulus, curvature=0.0, **FIGURES) for modulus in (0.008, 0.016))
    assert twice == pytest.approx(4.0 * once)
    wanted = 10673.0 * 30763.0 / (327.46 - 20.0)
    assert once == pytest.approx(0.25 * math.pi * wanted**2 / (0.35 * 1100.0 * 900.0) * 0.008**2)


@pytest.mark.parametrize("curvature", [1e-6, 20.0, 80.0])
def test_the_curved_rule_answers_its_own_equation(curvature):
    time = freezing_time(0.008, curvature=curvature, **FIGURES)
    straight = 2.0 / math.sqrt(math.pi) * math.sqrt(0.35 * 1100.0 * 900.0 * time)
    assert (327.46 - 20.0) / (10673.0 * 30763.0) * (straight + curvature * 0.35 * time) == pytest.approx(
        0.008
    )
