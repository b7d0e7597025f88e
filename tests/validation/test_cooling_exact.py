"""Simulated cooling compared with exact solutions and published expansions, and checked for convergence.

Sources, from memory: H. S. Carslaw, J. C. Jaeger, Conduction of Heat in Solids, 2nd ed. (1959), 11.2 for the
freezing of a half space (Neumann, and Stefan's case of a liquid at its melting point); D. S. Riley, F. T. Smith,
G. Poots, "The inward solidification of spheres and circular cylinders", Int. J. Heat Mass Transfer 17 (1974), for
the first two terms of the freezing time.
"""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
from scipy.optimize import brentq
from scipy.special import erf, erfc

from bulbcast.foundry.cooling.grid import Axis, Grid, even, graded
from bulbcast.foundry.cooling.heat import heat_at, heat_curves
from bulbcast.foundry.cooling.rule import freezing_time
from bulbcast.foundry.cooling.scene import CASTING, MOULD, Surface, scene_of
from bulbcast.foundry.cooling.solver import Stepping, run_steps
from bulbcast.materials.alloys import alloy_of_grade
from bulbcast.materials.heat import MetalHeat, metal_heat, mould_heat

MELTING = 327.46


def plain_metal(*, solid_k=33.0, liquid_k=16.0, solid_c=130.0, liquid_c=147.0, fusion=23040.0) -> MetalHeat:
    """Metal with constant properties that freezes at a single temperature."""
    return replace(
        metal_heat(alloy_of_grade("pure")),
        density=11000.0,
        conductivity_solid=solid_k,
        conductivity_liquid=liquid_k,
        heat_of_fusion=fusion,
        freezing=((MELTING, 1.0), (MELTING, 0.0)),
        knots=(-60.0, 100.0, 150.0, MELTING),
        solid_heats=tuple(solid_c * at for at in (-60.0, 100.0, 150.0, MELTING)),
        liquid_specific_heat=liquid_c,
    )


def front_error(
    metal: MetalHeat, root: float, *, pour: float, wall: float, depth: float, cells: int
) -> float:
    """Root mean square error of the front's position over the second half of its travel into a slab of 0.1 m. [m]

    The front is at a node when half of the node's cell has frozen (V. R. Voller, M. Cross, "Accurate solutions of
    moving boundary problems using the enthalpy method", Int. J. Heat Mass Transfer 24, 1981, from memory).
    """
    alpha = metal.conductivity_solid / (metal.density * solid_c(metal))
    end = (depth / (2.0 * root)) ** 2 / alpha
    grid = Grid(axes=(Axis(faces=tuple(even(0.0, 0.1, cells))),))
    held = Surface(film=math.inf, metal_film=math.inf, temperature=wall)
    scene = scene_of(
        grid,
        lambda x: np.full(x.shape, CASTING),
        metal_conductivity=metal.conductivity_solid,
        mould_conductivity=1.0,
        surfaces={(0, 0): held},
    )
    curves = heat_curves(metal, mould_heat("sand"), scene.metal, scene.mould)
    nodes, errors = grid.axes[0].centres, []

    def look(before, after):
        for i in np.flatnonzero((before.solid < 0.5) & (after.solid >= 0.5)):
            part = (0.5 - before.solid[i]) / (after.solid[i] - before.solid[i])
            when = before.time + part * (after.time - before.time)
            if nodes[i] > 0.5 * depth:
                errors.append(nodes[i] - 2.0 * root * math.sqrt(alpha * when))

    step = end / (4.0 * cells)
    run_steps(
        scene,
        curves,
        heat_at(curves, pour, 20.0),
        stepping=Stepping(
            first=step / 50.0, growth=1.2, share=lambda state: 1e9, longest=step, tolerance=1e-6
        ),
        until=lambda state: state.time >= end,
        seen=look,
        conductivity=(metal.conductivity_solid, metal.conductivity_liquid),
    )
    return float(np.sqrt(np.mean(np.square(errors))))


def stefan_root(metal: MetalHeat, *, wall: float) -> float:
    """Solution x of sqrt(pi) x exp(x^2) erf(x) = c (Tm - T0) / L."""
    number = solid_c(metal) * (MELTING - wall) / metal.heat_of_fusion
    return brentq(lambda x: math.sqrt(math.pi) * x * math.exp(x * x) * erf(x) - number, 1e-6, 3.0)


def neumann_root(metal: MetalHeat, *, pour: float, wall: float) -> float:
    alpha_s = metal.conductivity_solid / solid_c(metal)
    alpha_l = metal.conductivity_liquid / metal.liquid_specific_heat
    ratio = math.sqrt(alpha_s / alpha_l)

    def left(x: float) -> float:
        return (
            math.exp(-x * x) / erf(x)
            + metal.conductivity_liquid
            / metal.conductivity_solid
            * ratio
            * (MELTING - pour)
            / (MELTING - wall)
            * math.exp(-((x * ratio) ** 2))
            / erfc(x * ratio)
            - x * metal.heat_of_fusion * math.sqrt(math.pi) / (solid_c(metal) * (MELTING - wall))
        )

    return brentq(left, 1e-6, 3.0)


def solid_c(metal: MetalHeat) -> float:
    """Specific heat of the solid. [J/(kg K)]"""
    return metal.solid_heats[-1] / metal.knots[-1]


def test_a_slab_at_its_melting_point_freezes_as_stefan_found():
    metal = plain_metal()
    root = stefan_root(metal, wall=20.0)
    errors = np.array(
        [
            front_error(metal, root, pour=MELTING + 1e-6, wall=20.0, depth=0.04, cells=n)
            for n in (20, 40, 80, 160)
        ]
    )
    assert errors[-1] < 5e-4 * 0.04
    assert np.all(np.log2(errors[:-1] / errors[1:]) > 1.0)


def test_a_superheated_slab_freezes_as_neumann_found():
    # Half as deep: the slab's far end must not have felt the wall.
    metal = plain_metal(liquid_k=30.0)
    root = neumann_root(metal, pour=380.0, wall=250.0)
    errors = np.array(
        [front_error(metal, root, pour=380.0, wall=250.0, depth=0.02, cells=n) for n in (20, 40, 80, 160)]
    )
    assert errors[-1] < 2e-3 * 0.02
    assert np.all(np.log2(errors[:-1] / errors[1:]) > 1.0)


def decay_error(cells: int, kind: str) -> float:
    """Largest error of the slowest-decaying mode, with a time step in proportion to the cell size."""
    mould, radius = mould_heat("sand"), 0.1
    alpha = mould.conductivity / (mould.density * mould.specific_heat)
    grid = Grid(axes=(Axis(faces=tuple(even(0.0, radius, cells)), kind=kind),))
    x = grid.axes[0].centres
    # Insulated slab: a half wave of the cosine; sphere held cold: sin(pi r / R) / r.
    if kind == "straight":
        mode, surfaces = np.cos(math.pi * x / radius), {}
    else:
        mode = np.sinc(x / radius)
        surfaces = {(0, 1): Surface(film=math.inf, metal_film=math.inf, temperature=0.0)}
    scene = scene_of(
        grid,
        lambda x: np.full(x.shape, MOULD),
        metal_conductivity=30.0,
        mould_conductivity=mould.conductivity,
        surfaces=surfaces,
    )
    curves = heat_curves(plain_metal(), mould, scene.metal, scene.mould)
    start = scene.mould * mould.density * mould.specific_heat * 40.0 * mode
    end = 0.05 * radius**2 / alpha
    step = end / cells
    last = run_steps(
        scene,
        curves,
        start,
        stepping=Stepping(first=step, growth=1.0, share=lambda state: 1e9, longest=step, tolerance=1e-9),
        until=lambda state: state.time >= end * (1.0 - 1e-9),
    )
    exact = 40.0 * mode * math.exp(-alpha * math.pi**2 * last.time / radius**2)
    return float(np.max(np.abs(last.temperature - exact)))


@pytest.mark.parametrize("kind", ["straight", "ball"])
def test_conduction_without_freezing_is_of_second_order(kind):
    errors = np.array([decay_error(n, kind) for n in (16, 32, 64)])
    assert errors[-1] < 0.02
    orders = np.log2(errors[:-1] / errors[1:])
    assert orders[-1] > 1.9


def freezing_inwards(kind: str, cells: int, beta: float) -> float:
    """alpha t / a^2 at which a ball or rod, initially at its melting point with its surface kept cold, is frozen through."""
    wall = 227.46
    metal = plain_metal(fusion=beta * 130.0 * (MELTING - wall))
    radius = 0.05
    grid = Grid(axes=(Axis(faces=tuple(even(0.0, radius, cells)), kind=kind),))
    scene = scene_of(
        grid,
        lambda r: np.full(r.shape, CASTING),
        metal_conductivity=metal.conductivity_solid,
        mould_conductivity=1.0,
        surfaces={(0, 1): Surface(film=math.inf, metal_film=math.inf, temperature=wall)},
    )
    curves = heat_curves(metal, mould_heat("sand"), scene.metal, scene.mould)
    alpha = metal.conductivity_solid / (metal.density * 130.0)
    guess = beta / 6.0 * radius**2 / alpha
    seen: list[float] = []

    def look(before, after):
        if after.solid[0] >= 1.0 and not seen:
            part = (1.0 - before.solid[0]) / (after.solid[0] - before.solid[0])
            seen.append(before.time + part * (after.time - before.time))

    run_steps(
        scene,
        curves,
        heat_at(curves, MELTING + 1e-6, 20.0),
        stepping=Stepping(
            first=1e-4 * guess, share=lambda state: 1e9, longest=guess / (2.0 * cells), tolerance=1e-6
        ),
        until=lambda state: bool(seen),
        seen=look,
    )
    return seen[0] * alpha / radius**2


@pytest.mark.parametrize(("kind", "terms"), [("ball", 1.0 / 6.0), ("round", 1.0 / 4.0)])
def test_sphere_and_cylinder_freeze_through_in_the_published_time(kind, terms):
    # (beta + 1) / 6 and (beta + 1) / 4; what the expansion leaves out falls with beta: 0.4 % of it at 40.
    beta = 40.0
    found = [freezing_inwards(kind, n, beta) for n in (25, 50, 100)]
    assert found[-1] == pytest.approx((beta + 1.0) * terms, rel=0.01)
    # And by convergence: on grids from 25 to 100 cells the time stays within half a per cent.
    assert max(found) - min(found) < 0.01 * found[-1]
    assert found[1] == pytest.approx(found[2], rel=0.005)


# Name, kind of axis, radius or half thickness [m], n of the rule, rods of the same modulus of 8 mm and larger.
CASTS = (
    ("plate 16 mm", "straight", 0.008, 0),
    ("cylinder 32 mm", "round", 0.016, 1),
    ("cylinder 64 mm", "round", 0.032, 1),
    ("cylinder 170 mm", "round", 0.085, 1),
    ("sphere 48 mm", "ball", 0.024, 2),
    ("sphere 96 mm", "ball", 0.048, 2),
)


def simulated_over_ruled(
    kind: str, radius: float, rounds: int, *, start: float, conducts: float
) -> tuple[float, float, float]:
    """Ratios of the simulated times to freeze 98 % and all of the metal to the time by the rule, and the error of the
    energy balance as a fraction of the metal's energy.

    Args:
        conducts: Conductivity of the metal divided by that of lead. The rule assumes that it is infinite. [-]
    """
    metal, mould = metal_heat(alloy_of_grade("pure")), mould_heat("baked")
    pour, cell = 380.0, radius / 24.0
    conductivity = (conducts * metal.conductivity_solid, conducts * metal.conductivity_liquid)
    faces = even(0.0, radius, 24) + graded(radius, 9.0 * radius, cell, 1.1)[1:]
    grid = Grid(axes=(Axis(faces=tuple(faces), kind=kind),))
    scene = scene_of(
        grid,
        lambda r: np.where(r < radius, CASTING, MOULD),
        metal_conductivity=conductivity[0],
        mould_conductivity=mould.conductivity,
        surfaces={},
    )
    curves = heat_curves(metal, mould, scene.metal, scene.mould)
    heat = heat_at(curves, pour, start)
    figures = {
        "density": metal.density,
        "heat": metal.heat(pour) - metal.solid_heats[-1],
        "freezing": MELTING,
        "start": start,
        "mould": mould,
    }
    ruled = freezing_time(radius / (rounds + 1), curvature=0.5 * rounds / radius, **figures)
    whole = float(np.sum(scene.metal))
    rows: list[tuple[float, float]] = []
    last = run_steps(
        scene,
        curves,
        heat,
        stepping=Stepping(first=1e-4 * ruled, share=lambda state: 0.01),
        until=lambda state: float(np.min(state.solid)) >= 1.0,
        seen=lambda before, after: rows.append(
            (after.time, float(np.sum(after.solid * scene.metal)) / whole)
        ),
        conductivity=conductivity,
    )
    time, solid = np.array(rows).T
    off = abs(float(np.sum(last.heat) - np.sum(heat)) + last.given_off)
    return (
        float(np.interp(0.98, solid, time)) / ruled,
        time[-1] / ruled,
        off / (metal.density * whole * figures["heat"]),
    )


@pytest.mark.parametrize(("name", "kind", "radius", "rounds"), CASTS)
@pytest.mark.parametrize("start", [20.0, 80.0])
def test_chvorinov_with_curvature_holds_where_its_own_assumption_does(name, kind, radius, rounds, start):
    # Metal that conducts without end: the skin stays at the freezing point, and all is frozen within 4 % of the rule.
    _, whole, off = simulated_over_ruled(kind, radius, rounds, start=start, conducts=100.0)
    assert whole == pytest.approx(1.0, abs=0.04)
    assert off < 1e-6


@pytest.mark.parametrize(("name", "kind", "radius", "rounds"), CASTS)
@pytest.mark.parametrize("start", [20.0, 80.0])
def test_chvorinov_with_curvature_holds_within_a_tenth_for_lead(name, kind, radius, rounds, start):
    # Lead's own resistance holds the last drop back, by a tenth in a rod and nearly a fifth in a ball: 98 % is the
    # measure, which is what counts for a mould that may be moved.
    most, whole, off = simulated_over_ruled(kind, radius, rounds, start=start, conducts=1.0)
    assert most == pytest.approx(1.0, abs=0.10)
    assert 1.0 < whole < 1.20
    assert off < 1e-6


def test_the_mould_constant_is_the_reference_s():
    # materials.md 5: lead at 380 C in plaster (0.35 W/m K, 1100 kg/m3, 900 J/kg K): 2.58e6 s/m2 at 20 C,
    # 3.98e6 at 80 C, 5.66e6 at 120 C; heat of fusion 23.04 kJ/kg and 147 J/kg K above the melting point.
    for start, wanted in ((20.0, 2.58e6), (80.0, 3.98e6), (120.0, 5.66e6)):
        found = freezing_time(
            1.0,
            curvature=0.0,
            density=10673.0,
            heat=23040.0 + 147.0 * (380.0 - MELTING),
            freezing=MELTING,
            start=start,
            mould=replace(mould_heat("baked"), conductivity=0.35, density=1100.0, specific_heat=900.0),
        )
        assert found == pytest.approx(wanted, rel=0.005)
