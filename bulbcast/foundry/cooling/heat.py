"""Heat held by a cell as a function of its temperature, and the temperature of a heat: piecewise straight lines.

A cell may hold metal and mould side by side at one temperature. Its heat is the sum of both, and rises with the
temperature in straight pieces; where pure metal freezes the temperature stands still while the heat falls. The
heat is what the solver keeps, so that nothing is lost where a cell freezes within a step.

Gypsum gives off bound water once: what has reacted stays so. Each mould cell remembers the highest temperature
it has had within the range of the reaction, and its curve bends there.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from bulbcast.materials.heat import MetalHeat, MouldHeat

Array = NDArray[np.float64]

LOWEST, HIGHEST = -60.0, 900.0
"""Ends of every curve; beyond them it runs on straight. [degC]"""


@dataclass(slots=True)
class HeatCurves:
    """The curves of all cells.

    Attributes:
        temperature: At the bends, shape (bends, cells), never falling from one bend to the next. [degC]
        heat: Heat above that at 0 degC at the bends, shape (bends, cells), rising. [J]
        slope: Between each bend and the next, shape (bends - 1, cells). [K/J]
    """

    metal: MetalHeat
    mould: MouldHeat
    metal_volume: Array
    mould_volume: Array
    peak: Array
    temperature: Array
    heat: Array
    slope: Array

    def temperatures(self, heat: Array) -> tuple[Array, Array]:
        """Temperature of each cell and what a joule does to it.

        Args:
            heat: Heat of the cells, shape (cells,). [J]

        Returns:
            Temperature [degC] and its slope [K/J], 0 where the cell freezes at one temperature.
        """
        at = _piece(heat, self.heat)
        slope = self.slope.ravel()[at]
        return self.temperature.ravel()[at] + slope * (heat - self.heat.ravel()[at]), slope

    def remember(self, temperature: Array) -> None:
        """Record how far each mould cell's bound water has gone.

        Args:
            temperature: Temperature of the cells, as reached. [degC]
        """
        if self.mould.reaction_heat == 0.0:
            return
        peak = np.clip(np.maximum(self.peak, temperature), self.mould.reaction_from, self.mould.reaction_to)
        if np.any(peak > self.peak):
            self.peak = peak
            self.temperature, self.heat, self.slope = _bends(
                self.metal, self.mould, self.metal_volume, self.mould_volume, peak
            )

    def reacted(self) -> Array:
        """Heat that the bound water has taken so far, shape (cells,). [J]"""
        return self.mould_volume * self.mould.reaction_heat * _share(self.mould, self.peak)


def heat_curves(metal: MetalHeat, mould: MouldHeat, metal_volume: Array, mould_volume: Array) -> HeatCurves:
    """The curves of cells that hold both.

    Args:
        metal: Metal of the casting.
        mould: Material of the block.
        metal_volume: Metal in each cell, shape (cells,). [m3]
        mould_volume: Mould material in each cell, shape (cells,). [m3]
    """
    peak = np.full(len(metal_volume), mould.reaction_from)
    temperature, heat, slope = _bends(metal, mould, metal_volume, mould_volume, peak)
    return HeatCurves(
        metal=metal,
        mould=mould,
        metal_volume=metal_volume,
        mould_volume=mould_volume,
        peak=peak,
        temperature=temperature,
        heat=heat,
        slope=slope,
    )


def heat_at(curves: HeatCurves, metal_temperature: float, mould_temperature: float | Array) -> Array:
    """Heat of the cells at the moment the mould is full: each part at its own temperature.

    Args:
        curves: Curves of the cells.
        metal_temperature: Temperature as poured. [degC]
        mould_temperature: Temperature of the block; or of each cell, shape (cells,). [degC]

    Returns:
        Shape (cells,). [J]
    """
    reacted = _share(curves.mould, np.asarray(mould_temperature, dtype=np.float64))
    return curves.metal_volume * curves.metal.density * curves.metal.heat(metal_temperature) + (
        curves.mould_volume
        * (
            curves.mould.density * curves.mould.specific_heat * mould_temperature
            + curves.mould.reaction_heat * reacted
        )
    )


def solid_share(curves: HeatCurves, heat: Array) -> Array:
    """How much of each cell's metal is solid.

    Args:
        curves: Curves of the cells.
        heat: Heat of the cells, shape (cells,). [J]

    Returns:
        0 liquid to 1 solid, 1 where there is no metal, shape (cells,). [-]
    """
    # Between two bends the heat and the solid share both run straight with the temperature, or both at one.
    shares = np.array([share for _, share in curves.metal.freezing])
    bends = curves.heat[-1 - len(shares) : -1]
    at, count = _piece(heat, bends), len(heat)
    low, high = bends.ravel()[at], bends.ravel()[at + count]
    part = np.minimum(np.maximum((heat - low) / (high - low), 0.0), 1.0)
    place = at // count
    share = shares[place] + part * (shares[place + 1] - shares[place])
    return np.where(curves.metal_volume > 0.0, share, 1.0)


def _piece(heat: Array, bends: Array) -> NDArray[np.int64]:
    """On which piece of its curve each cell is, as the flat number of the bend before it, shape (cells,). [-]"""
    place = np.zeros(len(heat), dtype=np.int8)
    for bend in bends[1:-1]:
        place += heat >= bend
    return np.asarray(place.astype(np.int64) * len(heat) + np.arange(len(heat)))


def _share(mould: MouldHeat, temperature: Array) -> Array:
    """How much of the bound water a temperature drives off. [-]"""
    if mould.reaction_heat == 0.0:
        return np.zeros_like(temperature)
    return np.clip((temperature - mould.reaction_from) / (mould.reaction_to - mould.reaction_from), 0.0, 1.0)


def _bends(
    metal: MetalHeat, mould: MouldHeat, metal_volume: Array, mould_volume: Array, peak: Array
) -> tuple[Array, Array, Array]:
    """Bends: lowest, start of the reaction, its peak so far, its end, those of the freezing, highest; and slopes."""
    fixed = (LOWEST, mould.reaction_from, None, mould.reaction_to)
    at = np.array(
        [*(0.0 if one is None else one for one in fixed), *(one for one, _ in metal.freezing), HIGHEST]
    )
    solid = np.array([1.0] * len(fixed) + [share for _, share in metal.freezing] + [0.0])
    temperature = np.repeat(at[:, None], len(peak), axis=1)
    temperature[2] = peak
    gone = np.ones_like(temperature)
    gone[:3] = _share(mould, peak)
    heat = metal_volume * metal.density * metal.heats(temperature, solid[:, None]) + mould_volume * (
        mould.density * mould.specific_heat * temperature + mould.reaction_heat * gone
    )
    # Where two bends fall together a piece has no length: a breath between them keeps its slope a number.
    for i in range(1, len(heat)):
        heat[i] = np.maximum(heat[i], heat[i - 1] * (1.0 + 1e-15) + 1e-12)
    return temperature, heat, np.diff(temperature, axis=0) / np.diff(heat, axis=0)
