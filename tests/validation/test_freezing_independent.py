"""Freezing of long bars and of lead with antimony, compared with independent solutions.

Sources: E. Scheil, Zeitschrift fuer Metallkunde 34 (1942), 70, and M. C. Flemings, Solidification Processing (1974),
chapter 2, for the fraction frozen at each temperature (from memory); S. Ashtakala, A. D. Pelton, C. W. Bale, "The
Pb-Sb (lead-antimony) system", Bulletin of Alloy Phase Diagrams 2(1) (1981), for the solubility of antimony,
5.8 atom % at 251.7 degC (from the abstract). Neumann's and Stefan's half spaces and the cylinder with a cold surface
are in test_cooling_exact, which checks the grid solver. Here the bars are compared with that solver on the same cells.
"""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
from scipy.integrate import solve_ivp

from bulbcast.foundry.cooling.freezing import LEVELS
from bulbcast.foundry.cooling.grid import Axis, Grid, even, graded
from bulbcast.foundry.cooling.heat import heat_at, heat_curves
from bulbcast.foundry.cooling.radial import Bar, FreezingCase, freezing_times, running_bar
from bulbcast.foundry.cooling.scene import Links, Scene
from bulbcast.foundry.cooling.solver import Stepping, run_steps
from bulbcast.foundry.melt.heat import melting_heat
from bulbcast.materials.alloys import alloy_of_grade
from bulbcast.materials.heat import air_heat, antimony_of, metal_heat, mould_heat

# Antimony, atom % to mass: 5.8 % of 121.76 g/mol among 207.2 g/mol.
KEPT = (5.8 * 121.76 / (5.8 * 121.76 + 94.2 * 207.2)) / 0.111


def scheil_liquid(c0: float, celsius, liquidus: float, solidus: float = 252.0):
    """Liquid fraction from Scheil's closed form, for a straight liquidus from c0 to 11.1 % antimony."""
    c = c0 + (0.111 - c0) * (liquidus - celsius) / (liquidus - solidus)
    return (c / c0) ** (-1.0 / (1.0 - KEPT))


@pytest.mark.parametrize(
    ("grade", "antimony", "liquidus"),
    [("antimonial-2", 0.02, 314.0), ("antimonial-4", 0.04, 299.0), ("antimonial-6", 0.06, 285.0)],
)
def test_antimonial_lead_freezes_by_scheil(grade: str, antimony: float, liquidus: float) -> None:
    alloy = alloy_of_grade(grade)
    metal = metal_heat(alloy)
    assert alloy.solidus == 252.0
    assert antimony_of(alloy) == pytest.approx(antimony, abs=1e-6)
    # At the bends of the curve as published, to the digits of k; between them chords of a bent line, 0.02 at most.
    bends, share = np.array(metal.freezing[1:]).T
    assert share == pytest.approx(1.0 - scheil_liquid(antimony, bends, liquidus), abs=0.001)
    at = np.linspace(252.01, liquidus, 200)
    assert metal.solid(at) == pytest.approx(1.0 - scheil_liquid(antimony, at, liquidus), abs=0.02)


def test_a_quarter_of_four_per_cent_antimonial_lead_freezes_at_the_eutectic() -> None:
    # (0.111 / 0.04)^(-1 / (1 - 0.314)) = 0.226: of the heat of freezing as much comes at 252 degC.
    metal = metal_heat(alloy_of_grade("antimonial-4"))
    at_eutectic = metal.heats(np.array(252.0), np.array(1.0 - 0.2259)) - metal.heat(252.0)
    assert float(at_eutectic) / metal.heat_of_fusion == pytest.approx(0.226, abs=0.001)
    assert metal.freezing[1] == (252.0, pytest.approx(1.0 - 0.226, abs=0.001))


def test_heat_to_melt_counts_the_antimony() -> None:
    # By mass (Neumann and Kopp), kJ/kg from 20 to 350 degC. Lead: 68.1, its heat of fusion 23.04 in it (NIST
    # Shomate equations). Antimony: 164.9 to melt, 207 J/(kg K) solid to the solidus and 258 liquid from the liquidus
    # (element tables and JANAF, from memory), their mean between. 9 to 10 % more at 4 %.
    antimony = 164.9 + 0.207 * 232.0 + 0.2325 * 47.0 + 0.258 * 51.0
    mixed = 0.96 * 68.1 + 0.04 * antimony
    found = melting_heat(1.0, metal_heat(alloy_of_grade("antimonial-4")), temperature=350.0).metal / 1e3
    assert found == pytest.approx(mixed, rel=0.006)
    assert 1.09 < found / 68.1 < 1.11


def lines_in_time(case: FreezingCase, bar: Bar, *, until: float) -> tuple[float, float]:
    """Times at which the bar reaches the given mean solid fraction and is fully solid, from the enthalpy equation by
    the method of lines.

    The method uses fine equal rings, temperatures from a table of the closed form, and LSODA. It uses nothing from our
    solver, grid, curve or time steps.
    """
    metal, mould = case.metal, case.mould
    rings = 40
    faces = np.concatenate(
        (
            np.linspace(0.0, bar.radius, rings + 1),
            bar.radius + (bar.outside - bar.radius) * np.linspace(0.0, 1.0, 141)[1:] ** 2,
        )
    )
    nodes = 0.5 * (faces[1:] + faces[:-1])
    volume = math.pi * np.diff(faces**2)
    inside = np.arange(len(nodes)) < rings
    # Of metal: a table of heat and temperature, Scheil's closed form in it, the plateau leant by 0.02 K.
    antimony = antimony_of(alloy_of_grade(metal.name))
    c_s = (metal.solid_heats[-1] - metal.solid_heats[-2]) / (metal.knots[-1] - metal.knots[-2])
    table_t = [*metal.knots, metal.solidus + 0.02]
    share = [1.0] * len(metal.knots)
    if metal.liquidus > metal.solidus:
        share.append(1.0 - float(scheil_liquid(antimony, metal.solidus, metal.liquidus)))
        for at in np.linspace(metal.solidus + 0.02, metal.liquidus, 200)[1:]:
            table_t.append(float(at))
            share.append(1.0 - float(scheil_liquid(antimony, at, metal.liquidus)))
    else:
        share.append(0.0)
    table_t.append(900.0)
    share.append(0.0)
    t, f = np.array(table_t), np.array(share)
    sensible = np.interp(t, metal.knots, metal.solid_heats)
    middle = np.clip(t, metal.solidus, metal.liquidus) - metal.solidus
    sensible += 0.5 * (c_s + metal.liquid_specific_heat) * middle
    sensible += metal.liquid_specific_heat * np.maximum(t - metal.liquidus, 0.0)
    h = metal.density * (sensible + metal.heat_of_fusion * (1.0 - f))
    gone = np.array([-60.0, mould.reaction_from, mould.reaction_to, 900.0])
    h_mould = mould.density * mould.specific_heat * gone + mould.reaction_heat * np.array(
        [0.0, 0.0, 1.0, 1.0]
    )

    def state(heat):
        temperature = np.where(inside, np.interp(heat, h, t), np.interp(heat, h_mould, gone))
        solid = np.where(inside, np.interp(heat, h, f), 1.0)
        return temperature, solid

    def change(_, heat):
        temperature, solid = state(heat)
        k = metal.conductivity_liquid + (metal.conductivity_solid - metal.conductivity_liquid) * solid
        k = np.where(inside, k, mould.conductivity)
        way = np.log(faces[1:-1] / nodes[:-1]) / k[:-1] + np.log(nodes[1:] / faces[1:-1]) / k[1:]
        flow = 2.0 * math.pi * (temperature[:-1] - temperature[1:]) / way
        out = np.log(faces[-1] / nodes[-1]) / (2.0 * math.pi * k[-1])
        out += 1.0 / (2.0 * math.pi * faces[-1] * case.air.block)
        net = np.zeros_like(heat)
        net[:-1] -= flow
        net[1:] += flow
        net[-1] -= (temperature[-1] - case.surroundings) / out
        return net / volume

    start = np.where(inside, np.interp(case.pour, t, h), np.interp(case.start, gone, h_mould))
    mean = volume[:rings] / np.sum(volume[:rings])

    def partly(_, heat):
        return float(np.dot(mean, state(heat)[1][:rings])) - until

    def wholly(_, heat):
        return float(np.min(state(heat)[1][:rings])) - 0.98

    wholly.terminal = True
    seen = solve_ivp(
        change,
        (0.0, 1e5),
        start,
        method="LSODA",
        lband=1,
        uband=1,
        rtol=1e-4,
        atol=3e3,
        events=(partly, wholly),
    )
    return float(seen.t_events[0][0]), float(seen.t_events[1][0])


def case_of(grade: str, kind: str) -> FreezingCase:
    alloy = alloy_of_grade(grade)
    return FreezingCase(
        metal=metal_heat(alloy),
        mould=mould_heat(kind),
        air=air_heat(),
        pour=max(350.0, alloy.liquidus + 30.0),
        start=20.0 if kind == "sand" else 60.0,
        surroundings=20.0,
    )


@pytest.mark.parametrize(
    ("grade", "kind"), [("pure", "sand"), ("antimonial-4", "baked"), ("antimonial-2", "air")]
)
def test_a_bar_freezes_as_the_method_of_lines_has_it(grade: str, kind: str) -> None:
    # Bars of 40 mm in a wall of 30 mm: milliseconds of ten cells against a fine grid, seen within 1.4 to 3.1 %.
    case, bar = case_of(grade, kind), Bar(radius=0.020, outside=0.050)
    _, whole = lines_in_time(case, bar, until=0.5)
    assert freezing_times([bar], case)[0] == pytest.approx(whole, rel=0.04)


@pytest.mark.parametrize(("grade", "kind"), [("antimonial-4", "baked"), ("wheel-weights", "sand")])
def test_metal_runs_in_a_thin_end_until_the_method_of_lines_has_a_quarter_solid(
    grade: str, kind: str
) -> None:
    # A tail of 5 mm. By 30 % solid, where the grains lock in many books, the time given must be over.
    case, bar = case_of(grade, kind), Bar(radius=0.0025, outside=0.020)
    runs = running_bar(case.metal)
    given = freezing_times([runs], case)[0] * (bar.radius / runs.radius) ** 2
    quarter, _ = lines_in_time(case, bar, until=0.25)
    third, _ = lines_in_time(case, bar, until=0.30)
    assert given == pytest.approx(quarter, rel=0.06)
    assert given < third


def bar_of_cells(bar: Bar, case: FreezingCase) -> Scene:
    """The bar's ten cells of metal and its mould as a scene for the grid solver, with lengths in metres."""
    metal, mould = case.metal, case.mould
    conducts = mould.conductivity if bar.conductivity is None else bar.conductivity
    faces = even(0.0, bar.radius, 10) + graded(bar.radius, bar.outside, 0.05 * bar.radius, 1.35)[1:]
    axis = Axis(faces=tuple(faces), kind="round")
    nodes, at, volume = axis.centres, np.array(faces), axis.measures()
    inside = nodes < bar.radius
    k = np.where(inside, metal.conductivity_solid, conducts)
    out, on = np.log(at[1:] / nodes), np.log(nodes[1:] / at[1:-1])
    inner, outer = 2.0 * math.pi / out[:-1], 2.0 * math.pi / on
    surface = np.zeros(len(nodes))
    surface[-1] = 2.0 * math.pi / (out[-1] / conducts + 1.0 / (case.air.block * at[-1]))
    # An open half: two cut ends of each ring, four of the whole one. The open end of a feeder: over its volume.
    surface[:10] += (bar.open_film or 0.0) * 4.0 * np.diff(at[:11]) + bar.end_film * volume[:10]
    return Scene(
        grid=Grid(axes=(axis,)),
        casting=np.where(inside, volume, 0.0),
        feeder=np.zeros(len(nodes)),
        mould=np.where(inside, 0.0, volume),
        links=Links(
            first=np.arange(len(nodes) - 1),
            second=np.arange(1, len(nodes)),
            conductance=1.0 / (1.0 / (inner * k[:-1]) + 1.0 / (outer * k[1:])),
            metal=inside[1:],
            area_first=inner,
            area_second=outer,
        ),
        outer=surface,
        outer_heat=surface * case.surroundings,
    )


def stepped_finely(bar: Bar, case: FreezingCase) -> float:
    """Freezing time of the bar from the grid solver.

    After equal steps at the start, each step is at most 0.5 % of the elapsed time.
    """
    scene = bar_of_cells(bar, case)
    curves = heat_curves(case.metal, case.mould, scene.metal, scene.mould)
    seen = [(0.0, 0.0, 0.0)]

    def look(_, after):
        shares = after.solid[:10]
        mean = float(np.dot(scene.casting[:10], shares)) / float(np.sum(scene.casting))
        seen.append((after.time, mean, float(np.min(shares))))

    run_steps(
        scene,
        curves,
        heat_at(curves, case.pour, case.start if bar.start is None else bar.start),
        stepping=Stepping(first=1e-3 * bar.radius**2 * 1e5, growth=1.2, share=lambda state: 0.005),
        until=lambda state: seen[-1][2] >= LEVELS[-1],
        seen=look,
        conductivity=(case.metal.conductivity_solid, case.metal.conductivity_liquid),
    )
    time, mean, least = np.array(seen).T
    if bar.solid is not None:
        return float(np.interp(bar.solid, mean, time))
    return float(np.interp(LEVELS[-1], least[-2:], time[-2:]))


@pytest.mark.parametrize(
    ("grade", "kind"), [("pure", "baked"), ("antimonial-4", "air"), ("antimonial-2", "sand")]
)
def test_bars_cooled_at_once_freeze_as_the_solver_of_grids_has_it(grade: str, kind: str) -> None:
    # The same cells, curves and formula of steps; what is left is the error of the steps, a few 1e-4 here and there.
    case = case_of(grade, kind)
    bars = (
        Bar(radius=0.020, outside=0.050),
        Bar(radius=0.030, outside=0.200, conductivity=0.8 * case.mould.conductivity),
        Bar(radius=0.025, outside=0.060, open_film=25.0),
        Bar(radius=0.025, outside=0.060, end_film=600.0, start=case.start + 15.0),
        replace(running_bar(case.metal), solid=0.25),
    )
    fine = [stepped_finely(bar, case) for bar in bars]
    # The grids' steps err by half of one where a cell freezes: seen up to 2.4e-3.
    assert freezing_times(bars, case) == pytest.approx(fine, rel=4e-3)
