"""Freezing of long round bars, on one row of cells from the axis to the outside of the mould.

This takes milliseconds and needs no sparse-matrix library. All times given before the pour are calculated here, unless
the whole casting was simulated. The bars of one plan or of a whole study are cooled side by side (`rows`). Lengths are
in units of each bar's radius, and times in units of its square.

References:
    M. C. Flemings, Solidification Processing (1974), chapter 7, for how far metal runs. A metal that freezes from the
    skin inwards runs until its channel is frozen through; one with a freezing range runs until so much of its tip is
    solid that the grains lock. From memory.

There is one model of freezing. Before a simulation, the largest section and the feeder are modelled as long round bars
in a mould with the actual wall thickness. Each is solved on one row of cells with its own time steps, without scipy. An
open half loses heat through the cut ends of each ring, and a feeder through its top, spread over its height. The bars
ignore the effect of the feeder and the bulb on each other where they meet. The mould is therefore left alone for 1.35
times the later of the two times in the slowest mould. With `--cooling`, times from the simulation replace those of the
bars.

Metal with a freezing range stops running when it is a quarter solid (our judgement; casting texts give 20 to 35 %), any
other metal when it is frozen through. A range of up to 5 K counts as none.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from bulbcast.foundry.cooling.freezing import LEVELS
from bulbcast.foundry.cooling.rows import Rows, cooled, metal_pieces
from bulbcast.foundry.cooling.rule import rule_for
from bulbcast.materials.heat import AirHeat, MetalHeat, MouldHeat

Array = NDArray[np.float64]

CELLS = 10
"""Number of cells of metal from the axis to the skin. [-]"""
RUNS_UNTIL = 0.25
"""Solid fraction at which a metal with a freezing range stops running; casting texts give 0.20 to 0.35. Our judgement.
[-]"""
FREEZES_FROM_SKIN = 5.0
"""Largest freezing range at which a metal freezes from the skin inwards and runs until it is frozen through. Our
judgement. [K]"""
ENDLESS = 8.0
"""Ratio of a mould's outer radius to the radius of a thin bar in it, which freezes before the outside warms. [-]"""
_THIN = 0.003
_FIRST, _GROWTH = 0.5, 1.35
_STEP, _FIRST_STEP = 0.08, 1e-3


class FreezingError(ValueError):
    """Raised if a bar cannot freeze, because the mould is as hot as the metal's freezing point or the bar has no size."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Bar:
    """A long round bar of metal in a round mould.

    Attributes:
        radius: Radius of the metal. [m]
        outside: Outer radius of the mould. [m]
        conductivity: Conductivity of the mould; None for that of its material. [W/(m K)]
        open_film: Film coefficient from the flat face of half a bar, open at the top, to the air; None for a whole bar.
            [W/(m2 K)]
        end_film: Film coefficient from its open upper end to the air, divided by its height. The bar then has the
            same temperature over its whole height. [W/(m3 K)]
        solid: Solid fraction of the bar at which its freezing time ends; None to freeze the complete bar. [-]
        start: Temperature of the mould; None for the mould temperature of the case. [degC]
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
    """Metal, mould and temperatures of a pour.

    Attributes:
        metal: Metal of the casting.
        mould: Material of the mould.
        air: Heat transfer to the air.
        pour: Temperature of the metal in the full mould. [degC]
        start: Temperature of the mould. [degC]
        surroundings: Temperature of air and bench. [degC]
    """

    metal: MetalHeat
    mould: MouldHeat
    air: AirHeat
    pour: float
    start: float
    surroundings: float


def freezing_times(bars: Sequence[Bar], case: FreezingCase) -> tuple[float, ...]:
    """Calculate how long each bar takes to freeze after its mould is full.

    Args:
        bars: One or more bars.
        case: Metal, mould and temperatures.

    Returns:
        Freezing time of each bar. [s]

    Raises:
        FreezingError: A bar has no size, or a mould is no wider than its bar or is at least as hot as the metal's
            freezing point.
        NotSettledError: A time step did not converge.
    """
    for bar in bars:
        refuse(bar, case)
    return times_of([(bar, case) for bar in bars])


def refuse(bar: Bar, case: FreezingCase) -> None:
    """Refuse a bar that cannot freeze.

    Args:
        bar: Bar to check.
        case: Metal, mould and temperatures.

    Raises:
        FreezingError: The bar has no size, or the mould is no wider than the bar or is at least as hot as the metal's
            freezing point.
    """
    if why := _unfit(bar, case):
        raise FreezingError(why)


def _unfit(bar: Bar, case: FreezingCase) -> str:
    """Reason why a bar cannot freeze; "" if it can."""
    start = case.start if bar.start is None else bar.start
    if not 0.0 < bar.radius < bar.outside:
        return f"a bar of {bar.radius:g} m radius does not fit in a mould of {bar.outside:g} m radius"
    if not start < case.metal.solidus:
        return (
            f"the mould is at {start:g} degC and the metal freezes at {case.metal.solidus:g} degC; a mould that hot "
            "absorbs no heat from the metal"
        )
    return ""


def running_times(bars: Sequence[Bar], case: FreezingCase) -> tuple[float, ...]:
    """Same as `freezing_times`, but cached from one plan to the next, because the time for which the metal flows does
    not depend on the bulb.

    Args:
        bars: Channels for the metal.
        case: Metal, mould and temperatures.

    Returns:
        Time for each channel. [s]

    Raises:
        FreezingError: Same as `freezing_times`.
    """
    return tuple(_running_time(bar, case) for bar in bars)


@lru_cache(maxsize=16)
def _running_time(bar: Bar, case: FreezingCase) -> float:
    return freezing_times((bar,), case)[0]


class FreezingTimes:
    """`freezing_times` with a cache: each bar of a case is calculated once, and bars announced in advance are calculated
    together."""

    def __init__(self) -> None:
        """Start with an empty cache."""
        self._known: dict[tuple[Bar, FreezingCase], float] = {}
        self._cases: dict[FreezingCase, FreezingCase] = {}

    def foresee(self, asked: Iterable[tuple[Bar, FreezingCase]]) -> None:
        """Calculate in advance the freezing times that will be asked for, leaving out bars that cannot freeze.

        Args:
            asked: Any number of bars.

        Raises:
            NotSettledError: A time step did not converge.
        """
        # Equal cases are merged: most rows of a study are cast of one metal in one mould material.
        alike = dict.fromkeys((bar, self._cases.setdefault(case, case)) for bar, case in asked)
        wanted = [one for one in alike if one not in self._known and not _unfit(*one)]
        if wanted:
            self._known.update(zip(wanted, times_of(wanted), strict=True))

    def __call__(self, bars: Sequence[Bar], case: FreezingCase) -> tuple[float, ...]:
        """Freezing times; see `freezing_times`."""
        for bar in bars:
            refuse(bar, case)
        asked = [(bar, case) for bar in bars]
        self.foresee(asked)
        return tuple(self._known[one] for one in asked)


Freezing = Callable[[Sequence[Bar], FreezingCase], tuple[float, ...]]
"""Anything that can be called like `freezing_times`, such as a `FreezingTimes`."""


def times_of(asked: Sequence[tuple[Bar, FreezingCase]]) -> tuple[float, ...]:
    """Calculate the freezing time of each bar in its own case.

    Args:
        asked: Pairs of a bar and its case, all of which pass the check of `refuse`.

    Returns:
        Freezing time of each bar. [s]

    Raises:
        NotSettledError: A time step did not converge.
    """
    cases = list({id(case): case for _, case in asked}.values())
    number = {id(case): i for i, case in enumerate(cases)}
    of_case = np.array([number[id(case)] for _, case in asked])
    stuffs = list(dict.fromkeys((case.metal, case.mould) for case in cases))
    bars = [bar for bar, _ in asked]
    curve = np.array([stuffs.index((case.metal, case.mould)) for case in cases])[of_case]
    curves = _side_by_side([metal_pieces(*one) for one in stuffs])
    times = cooled(_rows(bars, cases, of_case, curve), curves, CELLS, step=_STEP, frozen=LEVELS[-1])
    return tuple((np.array([bar.radius for bar in bars]) ** 2 * times).tolist())


def casting_bars(
    *,
    modulus: float,
    block_radius: float,
    beside: float,
    feeder: tuple[float, float] | None,
    open_above: bool,
    air: AirHeat,
) -> tuple[Bar, ...]:
    """Return the bars that represent a casting: its largest section and its feeder.

    Args:
        modulus: Modulus of the largest section, its area divided by its perimeter. [m]
        block_radius: Radius of the round mould with the same cross-sectional area as the block. [m]
        beside: Thickness of the mould at the sides of the bulb and the feeder. [m]
        feeder: Diameter and height of an open feeder; None without one. [m]
        open_above: Whether half a bulb is poured, open at the top.
        air: Heat transfer from open metal to the air.

    Returns:
        One bar, or two with a feeder.
    """
    section = Bar(radius=2.0 * modulus, outside=block_radius, open_film=air.feeder if open_above else None)
    if feeder is None:
        return (section,)
    diameter, height = feeder
    radius = 0.5 * diameter
    return section, Bar(radius=radius, outside=radius + beside, end_film=air.feeder / height)


def running_bar(metal: MetalHeat, *, start: float | None = None) -> Bar:
    """Thin round channel. The time for which metal runs in it is proportional to the square of its radius.

    Args:
        metal: Metal that runs until it is a quarter solid if it has a freezing range, otherwise until it is frozen
            through.
        start: Temperature of the mould; None for the mould temperature of the case. [degC]
    """
    skin = metal.liquidus - metal.solidus <= FREEZES_FROM_SKIN
    return Bar(radius=_THIN, outside=ENDLESS * _THIN, solid=None if skin else RUNS_UNTIL, start=start)


def _side_by_side(curves: Sequence[Array]) -> Array:
    """Heat curves padded to the number of pieces of the longest curve, shape (5, curves, pieces)."""
    joined = np.zeros((5, len(curves), max(one.shape[1] for one in curves)))
    joined[0] = np.inf
    for i, one in enumerate(curves):
        joined[:, i, : one.shape[1]] = one
    return joined


def _rows(
    bars: Sequence[Bar],
    cases: Sequence[FreezingCase],
    of_case: NDArray[np.int64],
    curve: NDArray[np.int64],
) -> Rows:
    """Cells of the bars from the axis outwards, with lengths in units of each bar's radius."""

    def of(case: Callable[[FreezingCase], float]) -> Array:
        return np.array([case(one) for one in cases])[of_case]

    def typed(values: Iterable[float | None], else_: Array) -> Array:
        given = np.array(list(values), dtype=np.float64)
        return np.where(np.isnan(given), else_, given)

    radius = np.array([bar.radius for bar in bars])
    start = typed((bar.start for bar in bars), of(lambda case: case.start))
    conducts = typed((bar.conductivity for bar in bars), of(lambda case: case.mould.conductivity))
    solid = of(lambda case: case.metal.conductivity_solid)
    at, count = _faces(np.array([bar.outside / bar.radius for bar in bars]))
    nodes = 0.5 * (at[1:] + at[:-1])
    volume = math.pi * np.diff(at * at, axis=0)
    number = np.arange(len(nodes))[:, None]
    # Shells from each node to the face outside it and from there to the next node, without the conductivity.
    out, on = np.log(at[1:] / nodes), np.log(nodes[1:] / at[1:-1])
    inner, outer = 2.0 * math.pi / out[:-1], 2.0 * math.pi / on
    k = np.where(number < CELLS, solid, conducts)
    k[: CELLS - 1] = 1.0
    link = 1.0 / (1.0 / (inner * k[:-1]) + 1.0 / (outer * k[1:]))
    link[CELLS - 2] = 1.0 / (1.0 / inner[CELLS - 2] + 1.0 / outer[CELLS - 2])
    link = np.where(number[1:] < CELLS + count, link, 0.0)
    film = of(lambda case: case.air.block) * radius * at[1:]
    surface = np.where(number == CELLS + count - 1, 2.0 * math.pi / (out / conducts + 1.0 / film), 0.0)
    # Each ring of an open half has two exposed cut ends; the whole ring that represents it has four.
    open_film = typed((bar.open_film for bar in bars), np.zeros(len(bars)))
    surface[:CELLS] = open_film * radius * 4.0 * np.diff(at[: CELLS + 1], axis=0)
    surface[:CELLS] += np.array([bar.end_film for bar in bars]) * radius**2 * volume[:CELLS]
    bound = of(lambda case: case.mould.reaction_heat)
    leaves, left = of(lambda case: case.mould.reaction_from), of(lambda case: case.mould.reaction_to)
    holds = of(lambda case: case.mould.density * case.mould.specific_heat)
    poured = of(lambda case: case.metal.density * case.metal.poured_heat(case.pour))
    gone = np.minimum(np.maximum((start - leaves) / (left - leaves), 0.0), 1.0)
    # For a bar of 1 m radius, the modulus and the mean curvature are both 0.5.
    roughly = {
        (i, warm): rule_for(
            cases[i].metal, cases[i].mould, modulus=0.5, curvature=0.5, pour=cases[i].pour, start=warm
        )
        for i, warm in dict.fromkeys(zip(of_case.tolist(), start.tolist(), strict=True))
    }
    rough = np.array([roughly[one] for one in zip(of_case.tolist(), start.tolist(), strict=True)])
    return Rows(
        curve=curve,
        volume=volume,
        link=link,
        liquid=of(lambda case: case.metal.conductivity_liquid),
        solid=solid,
        outer=surface,
        around=of(lambda case: case.surroundings),
        holds=holds,
        bound=bound,
        leaves=leaves,
        left=left,
        level=typed((bar.solid for bar in bars), np.zeros(len(bars))),
        first=_FIRST_STEP * rough,
        heat=np.where(number < CELLS, poured, holds * start + bound * gone),
    )


def _faces(outside: Array) -> tuple[Array, NDArray[np.int64]]:
    """Faces of the cells from the axis outwards, shape (faces, bars), and the number of mould cells in each bar.

    Mould cells grow from the skin outwards and are all scaled so that the last one ends at the outside of the mould.
    Bars with fewer mould cells than others are padded with unused cells.
    """
    span, width = outside - 1.0, _FIRST / CELLS
    reach = [0.0]
    while reach[-1] < float(np.max(span)) * (1.0 - 1e-9):
        reach.append(reach[-1] + width)
        width *= _GROWTH
    ends = np.array(reach)
    count = np.searchsorted(ends, span * (1.0 - 1e-9))
    metal = np.repeat(np.linspace(0.0, 1.0, CELLS + 1)[:-1, None], len(span), axis=1)
    return np.concatenate((metal, 1.0 + ends[:, None] * (span / ends[count]))), count
