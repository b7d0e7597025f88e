"""Complete simulation: setup, cooling until the mould can be opened, and results.

The state of each cell is its heat. Its temperature follows from a piecewise linear curve of sensible heat, heat of
freezing (at one temperature for pure lead; by Scheil's equation, with the rest at the eutectic, for lead with antimony)
and heat of dehydration (only once, as it is not reversed). Steps are implicit and of second order, and are solved by
Newton's method on the curves. Cells that freeze at one temperature are left out of the linear system. The heats are set
from the flows, so energy is conserved to rounding error whatever residual the iteration leaves. Bodies of revolution are
solved by direct elimination, and three-dimensional blocks by conjugate gradients. The latter method is
coded in this package, because the library's version splits its sums over threads. In this simulation that costs more
time than it saves, and the order of addition varies from run to run.

Three things matter most for the accuracy. Heat leaves a freezing cell through its frozen part; otherwise the front lags
by half a cell. A link through the skin has the mean *resistance* of its rods; the mean of their conductances is 6 % too
high on coarse cells. The smaller part of a cell cut by the skin is added to its neighbour of the same material. The
first was found from the exact solutions in `tests/validation`, the second from the flow between two spheres in
`tests/unit`, the third from finer grids.

A path to the feeder stays open as long as its narrowest cell lets metal through (below 70 % solid). Cells are joined in
reverse order of closing. Metal that is cut off and freezes later leaves a cavity equal to its contraction.

The default grid of some 12,000 cells takes 4 s on two cores shared with other work, and finding how long the feeder
must be kept liquid takes as long again. The time grows with about the 1.7th power of the number of cells. Fenwisp's
freezing time is 512, 502 and 496 s on 5,280, 12,012 and 25,872 cells. Saltmarrow's is 10,410, 10,282 and 10,244 s on
4,712, 12,600 and 22,680 cells.

Ratio of simulated time to that by Chvorinov's rule with curvature, for lead at 380 C in baked plaster at 20 C:

| casting | all frozen, metal of infinite conductivity | 98 % frozen, lead | all frozen, lead |
| --- | --- | --- | --- |
| plate 16 mm | 1.00 | 0.98 | 1.02 |
| cylinder 32, 64, 170 mm | 1.02 | 1.06 | 1.11 |
| sphere 48, 96 mm | 1.01 | 1.09 | 1.17 |
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from bulbcast.foundry.cooling.feed_path import Pool, neighbours_of, pools_of
from bulbcast.foundry.cooling.freezing import FreezingRecord, solid_at
from bulbcast.foundry.cooling.heat import HeatCurves, heat_at, heat_curves, solid_share
from bulbcast.foundry.cooling.keeping import MOST, STEP_EARLY, STEP_FREEZING, STEP_LATE
from bulbcast.foundry.cooling.radial import casting_bars, freezing_times
from bulbcast.foundry.cooling.results import (
    Cooling,
    EnergyBalance,
    History,
    Place,
    ShrinkageCavity,
    Slice,
)
from bulbcast.foundry.cooling.rule import rule_for, section_modulus
from bulbcast.foundry.cooling.scene import Scene
from bulbcast.foundry.cooling.setup import (
    COVER,
    FIBRE_CONDUCTIVITY,
    SLEEVE_WALL,
    CoolingSetup,
    scene_for,
    torch_on,
)
from bulbcast.foundry.cooling.solver import State, Stepping, run_steps
from bulbcast.foundry.cooling.torch import FLUX, POWER

Array = NDArray[np.float64]

SMALLEST_CAVITY = 1e-4
"""Cavities smaller than this fraction of the casting's volume are not listed individually. Our judgement. [-]"""
STEP_COOLING = 0.08
"""Maximum ratio of a step to the elapsed time, once everything is frozen. [-]"""


def simulated(setup: CoolingSetup, progress: Callable[[float], None] = lambda done: None) -> Cooling:
    """Simulate a pour as it freezes and cools.

    Args:
        setup: Casting and mould to cool.
        progress: Called with the progress so far, from 0 to 1.

    Returns:
        Results of the simulation.

    Raises:
        NotSettledError: A time step did not converge.
    """
    scene = scene_for(setup)
    curves = heat_curves(setup.metal, setup.mould, scene.metal, scene.mould)
    start = heat_at(curves, setup.pour, setup.start)
    watch = _Watch(setup, scene, curves, solid_share(curves, start), progress)
    last = run_steps(
        scene,
        curves,
        start,
        stepping=Stepping(first=1e-4 * _rule(setup, setup.cavity.mean_curvature), share=watch.share),
        until=watch.done,
        seen=watch.see,
        conductivity=(setup.metal.conductivity_solid, setup.metal.conductivity_liquid),
        torch=torch_on(setup, scene),
    )
    progress(1.0)
    return _read_out(setup, scene, curves, watch, start, last)


class _Watch:
    """Observer that records the cooling and ends it when the block is cold enough."""

    def __init__(
        self,
        setup: CoolingSetup,
        scene: Scene,
        curves: HeatCurves,
        solid: Array,
        progress: Callable[[float], None],
    ) -> None:
        self.setup, self.curves, self.progress = setup, curves, progress
        self.record = FreezingRecord(scene, solid)
        self.casting, self.feeder = scene.casting, scene.feeder
        # A sliver of metal in a cell of mould shows nothing about the metal's temperature.
        full = 0.5 * (scene.casting + scene.feeder + scene.mould)
        self.in_casting, self.in_feeder = scene.casting >= full, scene.feeder >= full
        self.outer = (scene.outer > 0.0) & ~_top(setup, scene)
        self.rows: list[tuple[float, ...]] = []
        self.steps = 0
        self.all_solid: tuple[State, float] | None = None
        self._span = setup.pour - setup.open_below
        self._latent = setup.metal.heat_of_fusion / setup.metal.liquid_specific_heat

    def done(self, state: State) -> bool:
        if not self.rows:
            self._keep(state)
        metal = self.in_casting | self.in_feeder
        return float(np.max(state.temperature[metal])) < self.setup.open_below

    def share(self, state: State) -> float:
        solid, solid_feeder = self.rows[-1][5:7]
        if solid < 0.5:
            return STEP_EARLY
        if solid < MOST:
            return STEP_FREEZING
        return STEP_LATE if solid < 1.0 or solid_feeder < 1.0 else STEP_COOLING

    def see(self, before: State, after: State) -> None:
        self.record.see(before, after)
        self._keep(after)
        self.steps += 1
        # Progress of the cooling, with freezing counted as a number of kelvins.
        hottest, solid, solid_feeder = self.rows[-1][1], self.rows[-1][5], self.rows[-1][6]
        # The feeder counts too: metal still freezing at one temperature holds heat that its temperature does not show.
        if solid >= 1.0 and not solid_feeder < 1.0 and self.all_solid is None:
            self.all_solid = after, float(np.sum(self.curves.reacted()))
        fallen = self.setup.pour - hottest + self._latent * solid
        self.progress(min(max(fallen / (self._span + self._latent), 0.0), 1.0))

    def _keep(self, state: State) -> None:
        def extreme(which: NDArray[np.bool_], most: bool) -> float:
            values = state.temperature[which]
            return float("nan") if not len(values) else float(np.max(values) if most else np.min(values))

        def solid(volume: Array) -> float:
            whole = float(np.sum(volume))
            return float("nan") if whole == 0.0 else float(np.sum(volume * state.solid)) / whole

        self.rows.append(
            (
                state.time,
                extreme(self.in_casting, True),
                extreme(self.in_casting, False),
                extreme(self.in_feeder, True),
                extreme(self.outer & ~self.in_feeder & ~self.in_casting, True),
                solid(self.casting),
                solid(self.feeder),
            )
        )

    def history(self) -> History:
        time, hottest, coldest, feeder, face, solid, _ = (
            tuple(column) for column in zip(*self.rows, strict=True)
        )
        return History(
            time=time,
            hottest=hottest,
            coldest=coldest,
            feeder=feeder if np.any(self.in_feeder) else (),
            face=face,
            solid=solid,
        )


def _top(setup: CoolingSetup, scene: Scene) -> NDArray[np.bool_]:
    """Whether each cell is in the top layer of the block."""
    top = np.zeros(scene.grid.shape, dtype=bool)
    if setup.stands:
        top[0 if setup.orientation == "nose-up" else -1] = True
    else:
        top[..., -1] = True
    return top.ravel()


def _read_out(
    setup: CoolingSetup, scene: Scene, curves: HeatCurves, watch: _Watch, start: Array, last: State
) -> Cooling:
    record, copies = watch.record, scene.grid.copies
    cells = record.cells
    casting, feeder = scene.casting[cells], scene.feeder[cells]
    neighbours = neighbours_of(cells, scene.links.first, scene.links.second, scene.grid.cells)
    sources = feeder > 0.0
    if setup.open_half:
        # An open face sinks as it feeds, so take the top row of metal.
        sources = _top(setup, scene)[cells]
    inner = np.where(sources & (setup.feeder is not None), 0.0, casting)
    way, pools = pools_of(
        record.times,
        record.closed,
        inner,
        neighbours,
        sources,
        contraction=setup.metal.freezing_contraction,
    )
    frozen, closed = record.frozen, record.closed
    in_casting = casting >= feeder
    of_casting = np.flatnonzero(in_casting & (casting > 0.0))
    closes = float(np.max(way[of_casting]))
    solid_then = solid_at(record.times[of_casting], np.full(len(of_casting), closes))
    feed_cells = np.flatnonzero(~in_casting)

    def place(cell: int, casting_there: bool) -> Place:
        return _place(setup, scene, int(cells[cell]), casting_there)

    last_of_casting = int(of_casting[np.argmax(frozen[of_casting])])
    last_cell = int(np.argmax(frozen))
    if len(feed_cells) and np.max(closed[feed_cells]) >= np.max(closed[of_casting]):
        # In metal exactly at its melting point, all but the last cells freeze almost at once.
        last_cell = int(feed_cells[np.argmax(frozen[feed_cells])])
    whole = copies * float(np.sum(scene.casting))
    empty = copies * float(sum(pool.cavity for pool in pools))
    frozen_at = float(frozen[last_of_casting])
    frozen_feeder = float(np.max(frozen[feed_cells])) if len(feed_cells) else None
    quick, slow = _band(setup)
    contracted = setup.metal.freezing_contraction * copies * float(np.sum(scene.metal))
    return Cooling(
        setup=setup,
        cells=scene.grid.cells,
        steps=watch.steps,
        casting_volume=whole,
        feeder_volume=copies * float(np.sum(scene.feeder)),
        frozen=frozen_at,
        frozen_low=quick * frozen_at,
        frozen_high=slow * frozen_at,
        frozen_feeder=frozen_feeder,
        leave_alone=slow * max(frozen_at, 0.0 if frozen_feeder is None else frozen_feeder),
        last=place(last_cell, bool(in_casting[last_cell]) and not (setup.open_half and sources[last_cell])),
        last_in_casting=place(last_of_casting, True),
        path_closes=closes,
        solid_at_closing=float(np.sum(casting[of_casting] * solid_then) / np.sum(casting[of_casting])),
        cavities=_cavities(pools, place, copies, whole),
        cavity_volume=empty,
        drawn=max(contracted - empty, 0.0),
        open_after=last.time,
        rule_plain=_rule(setup, 0.0),
        rule_curved=_rule(setup, setup.cavity.mean_curvature),
        energy=_energy(setup, scene, watch.all_solid or (last, float(np.sum(curves.reacted())))),
        history=watch.history(),
        along=_slice(setup, scene, record, along=True),
        through=None if setup.stands else _slice(setup, scene, record, along=False),
        said=_reported(setup),
    )


def _cavities(
    pools: tuple[Pool, ...], place: Callable[[int, bool], Place], copies: float, whole: float
) -> tuple[ShrinkageCavity, ...]:
    """Convert pools to cavities. A cavity and its mirror image are reported as one, with their total volume."""
    return tuple(
        ShrinkageCavity(
            volume=copies * pool.cavity,
            place=place(pool.cell, True),
            cut_off=pool.cut_off,
            frozen=pool.frozen,
        )
        for pool in pools
        if copies * pool.cavity >= SMALLEST_CAVITY * whole
    )


def _place(setup: CoolingSetup, scene: Scene, cell: int, in_casting: bool) -> Place:
    index = np.unravel_index(cell, scene.grid.shape)
    at = [float(axis.centres[i]) for axis, i in zip(scene.grid.axes, index, strict=True)]
    if setup.stands:
        return Place(x=at[0], across=at[1], up=0.0, in_casting=in_casting)
    # The first row next to the plane of symmetry represents the axis.
    across = 0.0 if index[1] == 0 else at[1]
    return Place(x=at[0], across=across, up=at[2], in_casting=in_casting)


def _band(setup: CoolingSetup) -> tuple[float, float]:
    """Freezing times in the best- and worst-conducting moulds, as ratios to the time in this mould.

    They are calculated for long round bars, because simulating the block three times would take three times as long.
    """
    cavity, feeder, mould = setup.cavity, setup.feeder, setup.mould
    modulus = section_modulus(max(cavity.across), max(cavity.up))
    bars = casting_bars(
        modulus=modulus,
        block_radius=2.0 * modulus + setup.sides,
        beside=setup.sides,
        feeder=None if feeder is None else (feeder.diameter, feeder.height),
        open_above=setup.open_half,
        air=setup.air,
    )
    conducts = (mould.conductivity_high, mould.conductivity, mould.conductivity_low)
    times = freezing_times([replace(bar, conductivity=one) for one in conducts for bar in bars], setup)
    quick, own, slow = (max(times[i : i + len(bars)]) for i in range(0, len(times), len(bars)))
    return quick / own, slow / own


def _rule(setup: CoolingSetup, curvature: float) -> float:
    """Freezing time of the cavity by Chvorinov's rule. [s]"""
    return rule_for(
        setup.metal,
        setup.mould,
        modulus=setup.cavity.modulus,
        curvature=curvature,
        pour=setup.pour,
        start=setup.start,
    )


def _energy(setup: CoolingSetup, scene: Scene, at: tuple[State, float]) -> EnergyBalance:
    """Energy balance, from the heat in the metal and in the mould of each cell. Both are calculated from the cell's
    temperature, because the solver stores only their sum."""
    (state, reacted), copies, mould = at, scene.grid.copies, setup.mould
    of_metal = scene.metal * setup.metal.density * setup.metal.heats(state.temperature)
    poured = float(np.sum(scene.metal)) * setup.metal.density * setup.metal.heat(setup.pour)
    warmed = scene.mould * mould.density * mould.specific_heat * (state.temperature - setup.start)
    given = copies * (poured - float(np.sum(of_metal)))
    bound, to_air, held = copies * reacted, copies * state.given_off, copies * float(np.sum(warmed))
    torch = copies * state.brought
    return EnergyBalance(
        given=given,
        warmed=held,
        bound_water=bound,
        to_air=to_air,
        torch=torch,
        rest=given + torch - held - bound - to_air,
    )


def _slice(setup: CoolingSetup, scene: Scene, record: FreezingRecord, *, along: bool) -> Slice:
    """Freezing times on a vertical cut."""
    full = np.full(scene.grid.cells, np.nan)
    shut = full.copy()
    full[record.cells] = record.frozen
    shut[record.cells] = record.closed
    full, shut = full.reshape(scene.grid.shape), shut.reshape(scene.grid.shape)
    centres = [axis.centres for axis in scene.grid.axes]
    if setup.stands:
        first = np.concatenate((-centres[1][::-1], centres[1]))
        second, flip = centres[0], setup.orientation == "nose-up"
        cut = [np.concatenate((a[:, ::-1], a), axis=1) for a in (full, shut)]
        if flip:
            # Upwards means towards the nose, so x increases downwards.
            second, cut = -second[::-1], [a[::-1] for a in cut]
    elif along:
        first, second = centres[0], centres[2]
        cut = [a[:, 0, :].T for a in (full, shut)]
    else:
        at = setup.cavity.thickest if setup.feeder is None else setup.feeder.at
        here = int(np.argmin(np.abs(centres[0] - at)))
        first, second = np.concatenate((-centres[1][::-1], centres[1])), centres[2]
        cut = [np.concatenate((a[here, ::-1, :], a[here]), axis=0).T for a in (full, shut)]
    whole, part = (
        tuple(tuple(None if np.isnan(v) else float(v) for v in row) for row in a.tolist()) for a in cut
    )
    return Slice(first=tuple(first.tolist()), second=tuple(second.tolist()), frozen=whole, closed=part)


def _reported(setup: CoolingSetup) -> tuple[str, ...]:
    feeder = setup.feeder
    said = [
        "The mould is assumed to fill instantly, with metal at one temperature, and to contain no free water.",
        "The liquid metal is assumed to be at rest. Currents, which even out its temperature, are ignored.",
        "Lead and antimony segregate by Scheil's equation as they freeze, so the last liquid freezes at the solidus.",
        "A cored pocket and cored holes are modelled as metal, and the sprue and vents as mould.",
    ]
    if setup.stands:
        said.append(
            "The model is a body of revolution in a round block with walls of the same thickness. A square block is "
            "colder at its corners."
        )
        if abs(max(setup.cavity.across) / max(setup.cavity.up) - 1.0) > 1e-9:
            said.append("The elliptical section is modelled as a circle of the same area.")
    if feeder is None and not setup.open_half:
        said.append(
            "Shrinkage before the metal starts to freeze adds to the volume that freezing leaves empty."
        )
    if feeder is not None and feeder.kept:
        said.append(
            f"The torch delivers {FLUX * 1e-3:.0f} kW/m2 to the feeder's open face, at most {POWER:.0f} W in total, until "
            "the metal there is as hot as when it was poured. A flame delivers 20 to 1000 kW/m2 (Baukal and Gebhart "
            "1996, from memory). The heat in the metal used to top up the feeder is ignored."
        )
    if feeder is not None and feeder.sleeved:
        said.append(
            f"The sleeve is {SLEEVE_WALL * 1e3:.1f} mm of ceramic fibre with a conductivity of "
            f"{FIBRE_CONDUCTIVITY:g} W/(m K), and {COVER * 1e3:.0f} mm of it covers the feeder's top (makers' tables, from "
            "memory)."
        )
    if setup.mould.reaction_heat > 0.0:
        said.append(
            "Bound water absorbs heat where it is driven off. The steam's path through the mould is ignored."
        )
    said.append(
        "Metal and mould are assumed to touch everywhere. A gap that opens as the casting shrinks would slow the "
        "cooling a little."
    )
    return tuple(said)
