"""Freezing of long round bars: the same solver on cells in one row, from the axis to the outside of the mould.

Milliseconds of work, without a sparse library. Every time that is given before the pour comes from here, unless the
whole casting was simulated. Bars are solved side by side: each is measured in its own radius, and its time in the
square of it, so that one step of time serves all.

References:
    M. C. Flemings, Solidification Processing (1974), chapter 7, for how far metal runs: one that freezes from the
    skin inwards until its way is frozen through, one with a freezing range until so much of its tip is solid that
    the grains lock. From memory.

One model of freezing. Before a simulation largest section and feeder are long round bars in the mould's real
wall, solved by the same solver on cells in one row: 30 ms, no scipy. An open half loses heat through each
ring's cut ends, a feeder through its top spread over its height. The mould is left alone for 1.35 times the
later of the two in the slowest mould: where feeder and bulb meet the bars know nothing of each other. With
`--cooling` the simulation's own times take the place of the bars'.

Metal with a freezing range stops running a quarter solid (judgement, 20 to 35 % in casting texts), any other
when it is frozen through. Up to 5 K count as none.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from bulbcast.foundry.cooling.freezing import LEVELS
from bulbcast.foundry.cooling.grid import Axis, Grid, even, graded
from bulbcast.foundry.cooling.heat import heat_at, heat_curves
from bulbcast.foundry.cooling.rule import rule_for
from bulbcast.foundry.cooling.scene import Links, Scene
from bulbcast.foundry.cooling.solver import State, Stepping, run_steps
from bulbcast.materials.heat import AirHeat, MetalHeat, MouldHeat

Array = NDArray[np.float64]

CELLS = 10
"""Of metal, from the axis to the skin. [-]"""
RUNS_UNTIL = 0.25
"""Solid share at which a metal with a freezing range stops running: 0.20 to 0.35 in casting texts; judgement. [-]"""
FREEZES_FROM_SKIN = 5.0
"""Freezing range up to which a metal freezes from the skin inwards and runs until it is frozen through; judgement. [K]"""
ENDLESS = 8.0
"""Outside of a mould over the radius of a thin bar in it, which freezes before the outside warms. [-]"""
_THIN = 0.003
_FIRST, _GROWTH = 0.5, 1.35
_STEP, _STEP_LATE, _LATE = 0.07, 0.02, 0.8


class FreezingError(ValueError):
    """A freezing time that cannot be: a mould as hot as the metal freezes, or a bar of no size."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Bar:
    """A long round bar of metal in a round mould.

    Attributes:
        radius: Of the metal. [m]
        outside: Of the mould. [m]
        conductivity: Of the mould; None: its own. [W/(m K)]
        open_film: Heat that the flat face of half a bar, open above, gives to the air; None: a whole bar.
            [W/(m2 K)]
        end_film: Heat that its open upper end gives to the air, over its height; the bar is then taken as of one
            temperature along its height. [W/(m3 K)]
        solid: Share of the bar whose freezing ends its time; None: all of it. [-]
        start: Of the mould; None: as the case has it. [degC]
    """

    radius: float
    outside: float
    conductivity: float | None = None
    open_film: float | None = None
    end_film: float = 0.0
    solid: float | None = None
    start: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class FreezingCase:
    """What is poured into what.

    Attributes:
        metal: Of the casting.
        mould: Round it.
        air: What it gives to the air.
        pour: Temperature of the metal in the full mould. [degC]
        start: Of the mould. [degC]
        surroundings: Air and bench. [degC]
    """

    metal: MetalHeat
    mould: MouldHeat
    air: AirHeat
    pour: float
    start: float
    surroundings: float


def freezing_times(bars: Sequence[Bar], case: FreezingCase) -> tuple[float, ...]:
    """Time in which each bar freezes, from the moment its mould is full.

    Args:
        bars: Any number, one at least.
        case: Metal, mould and temperatures.

    Returns:
        One time for each bar. [s]

    Raises:
        FreezingError: A bar of no size, a mould no wider than its bar, or one that is as hot as the metal freezes.
        NotSettledError: A step of time did not settle.
    """
    metal, mould = case.metal, case.mould
    starts = [case.start if bar.start is None else bar.start for bar in bars]
    for bar, start in zip(bars, starts, strict=True):
        if not 0.0 < bar.radius < bar.outside:
            raise FreezingError(f"a bar of {bar.radius:g} m radius in a mould of {bar.outside:g} m is none")
        if not start < metal.solidus:
            raise FreezingError(
                f"the mould is at {start:g} degC and the metal freezes at {metal.solidus:g} degC; a mould that hot "
                f"takes no heat from it"
            )
    rows = [_row(bar, case) for bar in bars]
    scene = _side_by_side(rows)
    curves = heat_curves(metal, mould, scene.metal, scene.mould)
    ends = np.cumsum([0, *(row.grid.cells for row in rows)])
    shares = [row.casting[:CELLS] / float(np.sum(row.casting)) for row in rows]
    reached: list[float | None] = [None] * len(bars)
    done = [0.0] * len(bars)

    def solid_of(state: State, i: int) -> float:
        return float(np.dot(shares[i], state.solid[ends[i] : ends[i] + CELLS]))

    def progress(state: State, i: int) -> float:
        level = bars[i].solid
        if level is None:
            return float(np.min(state.solid[ends[i] : ends[i] + CELLS])) / LEVELS[-1]
        return solid_of(state, i) / level

    def look(before: State, after: State) -> None:
        for i in range(len(bars)):
            if reached[i] is None:
                was, done[i] = done[i], progress(after, i)
                if done[i] >= 1.0:
                    part = (1.0 - was) / (done[i] - was)
                    reached[i] = before.time + part * (after.time - before.time)

    def longest(state: State) -> float:
        late = any(reached[i] is None and solid_of(state, i) > _LATE for i in range(len(bars)))
        return _STEP_LATE if late else _STEP

    # Of a bar of 1 m radius: its modulus is half of that, and its mean curvature.
    rough = rule_for(metal, mould, modulus=0.5, curvature=0.5, pour=case.pour, start=min(starts))
    cold = np.repeat(starts, [row.grid.cells for row in rows])
    run_steps(
        scene,
        curves,
        heat_at(curves, max(case.pour, metal.liquidus), cold),
        stepping=Stepping(first=1e-4 * rough, growth=1.6, share=longest, tolerance=0.02),
        until=lambda state: all(one is not None for one in reached),
        seen=look,
        conductivity=(metal.conductivity_solid, metal.conductivity_liquid),
    )
    return tuple(
        bar.radius**2 * (0.0 if time is None else time) for bar, time in zip(bars, reached, strict=True)
    )


def casting_bars(
    *,
    modulus: float,
    block_radius: float,
    beside: float,
    feeder: tuple[float, float] | None,
    open_above: bool,
    air: AirHeat,
) -> tuple[Bar, ...]:
    """The bars that stand for a casting: its largest section and its feeder.

    Args:
        modulus: Of the largest section, its area over its perimeter. [m]
        block_radius: Of the round mould whose section has the area of the block's across the bulb. [m]
        beside: Of mould beside bulb and feeder. [m]
        feeder: Diameter and height of an open one; None without one. [m]
        open_above: Whether half a bulb is poured, open above.
        air: What open metal gives to it.

    Returns:
        One, or two with a feeder.
    """
    section = Bar(radius=2.0 * modulus, outside=block_radius, open_film=air.feeder if open_above else None)
    if feeder is None:
        return (section,)
    diameter, height = feeder
    radius = 0.5 * diameter
    return section, Bar(radius=radius, outside=radius + beside, end_film=air.feeder / height)


def running_bar(metal: MetalHeat, *, start: float | None = None) -> Bar:
    """A thin round way in which metal runs; its time goes with the square of its radius.

    Args:
        metal: That runs: until it is a quarter solid where it has a freezing range, else until it is frozen through.
        start: Of the mould; None: as the case has it. [degC]
    """
    skin = metal.liquidus - metal.solidus <= FREEZES_FROM_SKIN
    return Bar(radius=_THIN, outside=ENDLESS * _THIN, solid=None if skin else RUNS_UNTIL, start=start)


def _row(bar: Bar, case: FreezingCase) -> Scene:
    """Cells from the axis outwards, lengths in the bar's radius."""
    metal, mould = case.metal, case.mould
    conducts = mould.conductivity if bar.conductivity is None else bar.conductivity
    faces = even(0.0, 1.0, CELLS)
    faces += graded(1.0, bar.outside / bar.radius, _FIRST / CELLS, _GROWTH)[1:]
    axis = Axis(faces=tuple(faces), kind="round")
    nodes, at, volume = axis.centres, np.array(faces), axis.measures()
    is_metal = nodes < 1.0
    k = np.where(is_metal, metal.conductivity_solid, conducts)
    # From each node to the face outside it, and from there to the next node: shells, without the conductivity.
    out, on = np.log(at[1:] / nodes), np.log(nodes[1:] / at[1:-1])
    inner = 2.0 * math.pi / out[:-1]
    outer = 2.0 * math.pi / on
    count = len(nodes)
    surface = np.zeros(count)
    surface[-1] = 2.0 * math.pi / (out[-1] / conducts + 1.0 / (case.air.block * bar.radius * at[-1]))
    if bar.open_film is not None:
        # Each ring of the half shows its two cut ends; the whole ring that stands for it, four.
        surface[:CELLS] = bar.open_film * bar.radius * 4.0 * np.diff(at[: CELLS + 1])
    surface[:CELLS] += bar.end_film * bar.radius**2 * volume[:CELLS]
    nothing = np.zeros(count)
    return Scene(
        grid=Grid(axes=(axis,)),
        casting=np.where(is_metal, volume, 0.0),
        feeder=nothing,
        mould=np.where(is_metal, 0.0, volume),
        links=Links(
            first=np.arange(count - 1),
            second=np.arange(1, count),
            conductance=1.0 / (1.0 / (inner * k[:-1]) + 1.0 / (outer * k[1:])),
            metal=is_metal[1:],
            area_first=inner,
            area_second=outer,
        ),
        outer=surface,
        outer_heat=surface * case.surroundings,
    )


def _side_by_side(rows: Sequence[Scene]) -> Scene:
    """Rows one after the other, with a link that carries nothing from each to the next."""
    count = sum(row.grid.cells for row in rows)

    def joined(values: Sequence[Array], between: float) -> Array:
        parts: list[Array] = []
        for one in values:
            parts += [one, np.array([between])]
        return np.concatenate(parts[:-1])

    return Scene(
        grid=Grid(axes=(Axis(faces=tuple(range(count + 1))),)),
        casting=np.concatenate([row.casting for row in rows]),
        feeder=np.zeros(count),
        mould=np.concatenate([row.mould for row in rows]),
        links=Links(
            first=np.arange(count - 1),
            second=np.arange(1, count),
            conductance=joined([row.links.conductance for row in rows], 0.0),
            metal=joined([row.links.metal.astype(np.float64) for row in rows], 0.0) > 0.5,
            area_first=joined([row.links.area_first for row in rows], 1.0),
            area_second=joined([row.links.area_second for row in rows], 1.0),
        ),
        outer=np.concatenate([row.outer for row in rows]),
        outer_heat=np.concatenate([row.outer_heat for row in rows]),
    )
