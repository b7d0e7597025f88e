"""A flame on the feeder's open surface: a bounded heat, and no temperature that is held whatever it costs.

References:
    Flames of premixed gas that meet a surface bring some 20 to 1000 kW/m2 (C. E. Baukal, B. Gebhart, "A review of
    empirical flame impingement heat transfer correlations", Int. J. Heat and Fluid Flow 17 (1996); the review was found, its
    figures are from memory). A hand torch played on a small face is in between; a quarter of its
    1.5 kW at the most goes into the metal. Judgement.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]

FLUX = 250e3
"""What a hand torch brings onto open metal; see above. [W/m2]"""
POWER = 400.0
"""What it brings in all at the most; see above. [W]"""
HOLD_OVER = 20.0
"""It is played on the surface until the metal there is as hot as it was poured, and so far above its liquidus at least.

Judgement. [K]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Torch:
    """The flame on the open cells of a feeder.

    Attributes:
        cells: Flat numbers of the cells under the surface, shape (open,).
        area: Area of the surface over each, shape (open,). [m2]
        flux: The most that it brings. [W/m2]
        hold: Temperature from which it is played off the surface. [degC]
        full: Temperature below which it brings all that it can. [degC]
        until: When it is taken away. [s]
    """

    cells: NDArray[np.int64]
    area: Array
    flux: float
    hold: float
    full: float
    until: float

    def plays(self, time: float) -> bool:
        """Whether it is still on the feeder, but for rounding. [s]"""
        return time < self.until * (1.0 - 1e-9)

    def conductance(self, time: float, temperature: Array) -> tuple[Array, Array]:
        """What a step that begins now adds to the open cells: the more heat the colder they are, up to the flame's own.

        Args:
            time: Now. [s]
            temperature: Temperature of the open cells, shape (open,). [degC]

        Returns:
            Conductance to `hold` [W/K], and heat that does not ask for the temperature [W]; shape (open,) both.
        """
        if not self.plays(time):
            return np.zeros_like(self.area), np.zeros_like(self.area)
        whole = self.area * self.flux
        cold = temperature < self.full
        between = ~cold & (temperature < self.hold)
        return np.where(between, whole / (self.hold - self.full), 0.0), np.where(cold, whole, 0.0)


def flux_over(area: float) -> float:
    """What a hand torch brings onto so much open metal: bounded by the flame and by all that it burns.

    Args:
        area: Area of the open surface. [m2]

    Returns:
        [W/m2]
    """
    return min(FLUX, POWER / area)
