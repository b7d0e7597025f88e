"""Heat content of a cell as a function of its temperature, and the inverse, both piecewise linear.

A cell can contain both metal and mould, which share one temperature. Its heat is the total for both materials and is
a piecewise linear function of the temperature. While pure metal freezes, its temperature stays constant as its heat
falls. The solver stores the heat, so no energy is lost when a cell freezes within a step.

Gypsum gives off its bound water only once; the reaction is not reversed. Each mould cell stores the highest temperature
it has reached within the range of the reaction, and its curve bends there.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from bulbcast.materials.heat import MetalHeat, MouldHeat

Array = NDArray[np.float64]

LOWEST, HIGHEST = -60.0, 900.0
"""Temperatures at the ends of every curve; beyond them the curve continues linearly. [degC]"""


@dataclass(slots=True)
class HeatCurves:
    """Heat curves of all cells.

    Attributes:
        temperature: Temperature at the bends, never falling from one bend to the next, shape (bends, cells). [degC]
        heat: Heat at the bends, relative to 0 degC and ascending, shape (bends, cells). [J]
        slope: Slope between each bend and the next, shape (bends - 1, cells). [K/J]
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
        """Calculate the temperature of each cell, and its change per joule.

        Args:
            heat: Heat of the cells, shape (cells,). [J]

        Returns:
            Temperature [degC] and its slope [K/J], which is 0 for a cell that is freezing at one temperature.
        """
        at = _piece(heat, self.heat)
        slope = self.slope.ravel()[at]
        return self.temperature.ravel()[at] + slope * (heat - self.heat.ravel()[at]), slope

    def remember(self, temperature: Array) -> None:
        """Record how much of its bound water each mould cell has lost.

        Args:
            temperature: Temperature that the cells have reached. [degC]
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
        """Heat absorbed so far by driving off the bound water, shape (cells,). [J]"""
        return self.mould_volume * self.mould.reaction_heat * _share(self.mould, self.peak)


def heat_curves(metal: MetalHeat, mould: MouldHeat, metal_volume: Array, mould_volume: Array) -> HeatCurves:
    """Build the heat curves of cells that contain metal and mould.

    Args:
        metal: Metal of the casting.
        mould: Material of the block.
        metal_volume: Volume of metal in each cell, shape (cells,). [m3]
        mould_volume: Volume of mould material in each cell, shape (cells,). [m3]
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
    """Calculate the heat of the cells at the moment the mould is full, with each part at its own temperature.

    Args:
        curves: Heat curves of the cells.
        metal_temperature: Temperature of the metal as poured. [degC]
        mould_temperature: Temperature of the block, or of each cell with shape (cells,). [degC]

    Returns:
        Heat of each cell, shape (cells,). [J]
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
    """Calculate how much of each cell's metal is solid.

    Args:
        curves: Heat curves of the cells.
        heat: Heat of the cells, shape (cells,). [J]

    Returns:
        Solid fraction from 0 to 1, and 1 for a cell without metal, shape (cells,). [-]
    """
    # Between two bends, heat and solid fraction are both linear in the temperature, or both change at one temperature.
    shares = np.array([share for _, share in curves.metal.freezing])
    bends = curves.heat[-1 - len(shares) : -1]
    at, count = _piece(heat, bends), len(heat)
    low, high = bends.ravel()[at], bends.ravel()[at + count]
    part = np.minimum(np.maximum((heat - low) / (high - low), 0.0), 1.0)
    place = at // count
    share = shares[place] + part * (shares[place + 1] - shares[place])
    return np.where(curves.metal_volume > 0.0, share, 1.0)


def _piece(heat: Array, bends: Array) -> NDArray[np.int64]:
    """Piece of the heat curve that applies to each cell, as the flat index of the bend before it, shape (cells,). [-]"""
    place = np.zeros(len(heat), dtype=np.int8)
    for bend in bends[1:-1]:
        place += heat >= bend
    return np.asarray(place.astype(np.int64) * len(heat) + np.arange(len(heat)))


def _share(mould: MouldHeat, temperature: Array) -> Array:
    """Fraction of the bound water that has been driven off at a given temperature. [-]"""
    if mould.reaction_heat == 0.0:
        return np.zeros_like(temperature)
    return np.clip((temperature - mould.reaction_from) / (mould.reaction_to - mould.reaction_from), 0.0, 1.0)


def _bends(
    metal: MetalHeat, mould: MouldHeat, metal_volume: Array, mould_volume: Array, peak: Array
) -> tuple[Array, Array, Array]:
    """Temperatures and heats of the bends, and the slopes between them. The bends are at the lowest temperature of the
    curve, the start of the reaction, the peak temperature so far, the end of the reaction, the freezing temperatures,
    and the highest temperature of the curve."""
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
    # If two bends coincide, the piece between them has no length; a tiny gap keeps its slope finite.
    for i in range(1, len(heat)):
        heat[i] = np.maximum(heat[i], heat[i - 1] * (1.0 + 1e-15) + 1e-12)
    return temperature, heat, np.diff(temperature, axis=0) / np.diff(heat, axis=0)
