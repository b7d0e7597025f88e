"""Time stepping, in which each cell's heat changes only by the flow through its faces.

The method is implicit in time and of second order (two-step backward differences with variable step); the first step is
of first order. The temperatures of a step are found by Newton's method on the heat curves. A cell that is freezing at
one temperature is left out of the linear system of an iteration, and its heat follows from its neighbours. The heats are
then set from the flows at those temperatures, so each cell receives exactly what the next one gives off. Energy is
therefore conserved whatever residual the iteration leaves.

References:
    V. R. Voller, C. R. Swaminathan, "General source-based method for solidification phase change", Numerical
    Heat Transfer B 19 (1991), for the enthalpy method; E. Hairer, G. Wanner, Solving Ordinary Differential
    Equations, for the two-step formula with variable steps. Both from memory.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from bulbcast.foundry.cooling.heat import HeatCurves, solid_share
from bulbcast.foundry.cooling.rows import NotSettledError
from bulbcast.foundry.cooling.scene import Scene
from bulbcast.foundry.cooling.torch import Torch

Array = NDArray[np.float64]

DIRECT_UP_TO = 40000
"""Maximum number of cells for solving a step by elimination, on a grid with fewer than three axes. [-]"""
_FROZEN_STIFF = 1e12
_ITERATIONS, _MOST_STEPS = 16, 5000
_HALVED = (4, 7, 10, 13)
_ROUGHLY, _GRADIENTS = 1e-3, 400


@dataclass(frozen=True, slots=True, kw_only=True)
class State:
    """State of the block at one time.

    Attributes:
        time: Time since the mould was full. [s]
        heat: Heat of the cells, shape (cells,). [J]
        temperature: Temperature of the cells. [degC]
        solid: Solid fraction of the metal in each cell. [-]
        given_off: Heat that has left the block so far. [J]
        brought: Heat supplied by a torch so far. [J]
    """

    time: float
    heat: Array
    temperature: Array
    solid: Array
    given_off: float
    brought: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Stepping:
    """Division of time into steps.

    Attributes:
        first: Length of the first step. [s]
        growth: Maximum ratio of each step to the one before. [-]
        share: Maximum ratio of a step to the elapsed time, as a function of the state. [-]
        longest: Length of the longest step. [s]
        tolerance: Convergence tolerance for the temperatures in a step. [K]
    """

    first: float
    growth: float = 1.25
    share: Callable[[State], float] = lambda state: 0.05
    longest: float = 1e9
    tolerance: float = 1e-3


def run_steps(
    scene: Scene,
    curves: HeatCurves,
    heat: Array,
    *,
    stepping: Stepping,
    until: Callable[[State], bool],
    seen: Callable[[State, State], None] = lambda before, after: None,
    conductivity: tuple[float, float] | None = None,
    torch: Torch | None = None,
    begin: State | None = None,
) -> State:
    """Cool the block down.

    Args:
        scene: Geometry and conductances.
        curves: Heat curves of the cells, which record how much bound water has been lost.
        heat: Heat of the cells at the start, shape (cells,). [J]
        stepping: Division of time into steps.
        until: Function that returns whether a state is the last one.
        seen: Called after each step with the states before and after it.
        conductivity: Conductivity of solid and of liquid metal; None keeps that of the solid. [W/(m K)]
        torch: Torch on the feeder; None if there is none.
        begin: State of an earlier run to continue from, with `curves` as they were then; None to begin with `heat`.

    Returns:
        Last state.

    Raises:
        NotSettledError: A step did not converge, or too many were needed.
    """
    system = _System(scene, curves, conductivity, torch)
    state = begin
    if state is None:
        temperature, _ = curves.temperatures(heat)
        curves.remember(temperature)
        state = State(
            time=0.0,
            heat=heat,
            temperature=temperature,
            solid=solid_share(curves, heat),
            given_off=0.0,
        )
    before: State | None = None
    step = last_step = stepping.first
    for _ in range(_MOST_STEPS):
        if until(state):
            return state
        system.follow(state)
        if torch is not None and torch.plays(state.time):
            # A step ends at the moment the torch is taken away.
            step = min(step, torch.until - state.time)
        after = None
        while after is None:
            after = system.stepped(state, before, step, last_step, stepping.tolerance)
            if after is None:
                step *= 0.4
                if step < 1e-6 * stepping.first:
                    raise NotSettledError(f"A time step of {step:g} s at {state.time:g} s did not converge.")
        curves.remember(after.temperature)
        seen(state, after)
        before, state, last_step = state, after, step
        step = min(
            step * stepping.growth, max(stepping.share(state) * state.time, stepping.first), stepping.longest
        )
    raise NotSettledError(f"{_MOST_STEPS} steps were not enough to cool the block.")


class _System:
    """Linear system of a step, whose sparsity pattern is built once and then filled with values."""

    def __init__(
        self,
        scene: Scene,
        curves: HeatCurves,
        conductivity: tuple[float, float] | None,
        torch: Torch | None,
    ) -> None:
        self.scene, self.curves, self.conductivity, self.torch = scene, curves, conductivity, torch
        self.outer, self.outer_heat = scene.outer, scene.outer_heat
        self._cells = scene.grid.cells
        self._direct = self._cells <= DIRECT_UP_TO and len(scene.grid.axes) < 3
        self._lay_out(scene)
        self._fill(scene.links.conductance)

    def _lay_out(self, scene: Scene) -> None:
        from scipy.sparse import coo_matrix, csr_matrix

        n, links = self._cells, scene.links
        rows = np.concatenate((links.first, links.second, np.arange(n)))
        columns = np.concatenate((links.second, links.first, np.arange(n)))
        pattern = coo_matrix(
            (np.arange(1, len(rows) + 1, dtype=float), (rows, columns)), shape=(n, n)
        ).tocsc()
        # Position of each off-diagonal and diagonal value in the stored columns.
        order = pattern.data.astype(np.int64) - 1
        where = np.empty_like(order)
        where[order] = np.arange(len(order))
        self._off, self._diagonal = where[: 2 * len(links.first)], where[2 * len(links.first) :]
        self.matrix: Any = pattern
        # The same values read by rows, which multiplies faster; the matrix is symmetric.
        self.by_rows: Any = csr_matrix((pattern.data, pattern.indices, pattern.indptr), shape=(n, n))
        if not np.shares_memory(self.by_rows.data, pattern.data):
            raise RuntimeError("the sparse library copied the matrix")

    def _fill(self, conductance: Array) -> None:
        links, n = self.scene.links, self._cells
        self.conductance = conductance
        self.sums = (
            np.bincount(links.first, conductance, n) + np.bincount(links.second, conductance, n) + self.outer
        )
        self.matrix.data[self._off] = np.concatenate((-conductance, -conductance))
        self.matrix.data[self._diagonal] = self.sums

    def follow(self, state: State) -> None:
        """Update the links between metal cells to match their current mix of solid and liquid, and apply the torch."""
        torch = self.torch
        if torch is not None:
            conducts, heat = torch.conductance(state.time, state.temperature[torch.cells])
            self.outer, self.outer_heat = self.scene.outer.copy(), self.scene.outer_heat.copy()
            self.outer[torch.cells] += conducts
            self.outer_heat[torch.cells] += conducts * torch.hold + heat
            self.torch_conducts, self.torch_heat = conducts, heat
        if self.conductivity is None:
            if torch is not None:
                self._fill(self.conductance)
            return
        solid, liquid = self.conductivity
        links = self.scene.links
        # Heat leaves a freezing cell through its frozen part, so the more solid end governs the link between two cells.
        share = np.maximum(state.solid[links.first], state.solid[links.second])
        k = liquid + (solid - liquid) * share
        way = (1.0 / links.area_first + 1.0 / links.area_second) / k
        self._fill(np.where(links.metal, 1.0 / way, links.conductance))

    def flow(self, temperature: Array) -> Array:
        """Heat flow into each cell, including the exchange with the surroundings. [W]"""
        links, n = self.scene.links, self._cells
        across = self.conductance * (temperature[links.first] - temperature[links.second])
        return (
            np.bincount(links.second, across, n)
            - np.bincount(links.first, across, n)
            + self.outer_heat
            - self.outer * temperature
        )

    def stepped(
        self, state: State, before: State | None, step: float, last_step: float, tolerance: float
    ) -> State | None:
        """State one step later; None if the iteration does not converge."""
        start, start_off, start_on, length = state.heat, state.given_off, state.brought, step
        if before is not None:
            ratio = step / last_step
            share = ratio * ratio / (1.0 + 2.0 * ratio)
            start = start + share * (start - before.heat)
            start_off = start_off + share * (start_off - before.given_off)
            start_on = start_on + share * (start_on - before.brought)
            length = step * (1.0 + ratio) / (1.0 + 2.0 * ratio)
        heat = state.heat if before is None else state.heat + step / last_step * (state.heat - before.heat)
        temperature, slope = self.curves.temperatures(heat)
        for turn in range(_ITERATIONS):
            flow = self.flow(temperature)
            rest = heat - start - length * flow
            move = self._solved(slope, length, rest)
            change = -rest - length * (self.by_rows @ move)
            # Cells at a bend of their curve can oscillate between its pieces; halving the move breaks the cycle.
            heat = heat + (0.5 * change if turn in _HALVED else change)
            # When the linear move and the curve agree, the step is complete.
            aimed = temperature + move
            temperature, slope = self.curves.temperatures(heat)
            if turn not in _HALVED and float(np.max(np.abs(temperature - aimed))) < tolerance:
                break
        else:
            return None
        # The heats follow from the flows at the target temperatures, so nothing is lost between cells.
        off = float(np.sum(self.scene.outer * aimed - self.scene.outer_heat))
        on, torch = 0.0, self.torch
        if torch is not None:
            on = float(np.sum(self.torch_conducts * (torch.hold - aimed[torch.cells]) + self.torch_heat))
        return State(
            time=state.time + step,
            heat=heat,
            temperature=temperature,
            solid=solid_share(self.curves, heat),
            given_off=start_off + length * off,
            brought=start_on + length * on,
        )

    def _solved(self, slope: Array, length: float, rest: Array) -> Array:
        """Temperature change in one iteration, from (1 / slope + length K) move = -rest."""
        typical = float(np.max(self.sums)) * length
        with np.errstate(divide="ignore"):
            holding = np.where(slope > 0.0, 1.0 / np.maximum(slope, 1e-300), _FROZEN_STIFF * typical)
        holding = np.minimum(holding, _FROZEN_STIFF * typical)
        own, right = holding / length, -rest / length
        if self._direct:
            from scipy.sparse.linalg import splu

            self.matrix.data[self._diagonal] = own + self.sums
            factors = splu(self.matrix, permc_spec="MMD_AT_PLUS_A", options={"SymmetricMode": True})
            self.matrix.data[self._diagonal] = self.sums
            return np.asarray(factors.solve(right))
        return self._by_gradients(own, right)

    def _by_gradients(self, own: Array, right: Array) -> Array:
        """Solve roughly by conjugate gradients scaled by the diagonal; the next Newton step corrects the residual.

        These few lines replace scipy's routine, which sums through a threaded library. On vectors of this size,
        threads cost more time than they save, and their varying order of addition changes the last digits.
        """
        diagonal = own + self.sums
        found = np.zeros_like(right)
        left = right.copy()
        scaled = left / diagonal
        way = scaled.copy()
        now = _dot(left, scaled)
        enough = _ROUGHLY**2 * now
        for _ in range(_GRADIENTS):
            if now <= enough:
                break
            image = self.by_rows @ way
            image += own * way
            length = now / _dot(way, image)
            found += length * way
            left -= length * image
            scaled = left / diagonal
            last, now = now, _dot(left, scaled)
            way *= now / last
            way += scaled
        return found


def _dot(one: Array, other: Array) -> float:
    return float(np.einsum("i,i->", one, other))
