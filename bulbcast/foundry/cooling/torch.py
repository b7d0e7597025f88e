"""Flame on the feeder's open surface, modelled as a limited heat flow rather than a fixed temperature.

References:
    Premixed gas flames that meet a surface deliver some 20 to 1000 kW/m2 (C. E. Baukal, B. Gebhart, "A review of
    empirical flame impingement heat transfer correlations", Int. J. Heat and Fluid Flow 17 (1996); we located the
    review, but its figures are from memory). A hand torch played on a small face is in between, and at most a quarter
    of its 1.5 kW goes into the metal. Our judgement.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]

FLUX = 250e3
"""Heat flux from a hand torch onto open metal; see above. [W/m2]"""
POWER = 400.0
"""Maximum total heat flow from a hand torch; see above. [W]"""
HOLD_OVER = 20.0
"""Superheat to which the torch heats the surface, if the metal was not poured hotter.

Our judgement. [K]
"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Torch:
    """Flame on the open cells of a feeder.

    Attributes:
        cells: Flat indices of the cells under the surface, shape (open,).
        area: Area of the surface over each cell, shape (open,). [m2]
        flux: Maximum heat flux. [W/m2]
        hold: Temperature of the metal above which the flame adds no heat. [degC]
        full: Temperature of the metal below which the flame delivers its maximum. [degC]
        until: Time at which it is taken away. [s]
    """

    cells: NDArray[np.int64]
    area: Array
    flux: float
    hold: float
    full: float
    until: float

    def plays(self, time: float) -> bool:
        """Whether the torch is still on the feeder at a given time, allowing for rounding. [s]"""
        return time < self.until * (1.0 - 1e-9)

    def conductance(self, time: float, temperature: Array) -> tuple[Array, Array]:
        """Calculate the heat that a step adds to the open cells. The colder they are, the more they receive, up to the
        flame's maximum.

        Args:
            time: Present time. [s]
            temperature: Temperature of the open cells, shape (open,). [degC]

        Returns:
            Conductance to `hold` [W/K], and heat flow that does not depend on the temperature [W]; both of shape
            (open,).
        """
        if not self.plays(time):
            return np.zeros_like(self.area), np.zeros_like(self.area)
        whole = self.area * self.flux
        cold = temperature < self.full
        between = ~cold & (temperature < self.hold)
        return np.where(between, whole / (self.hold - self.full), 0.0), np.where(cold, whole, 0.0)


def flux_over(area: float) -> float:
    """Calculate the heat flux of a hand torch onto open metal, limited by the flame and by its total power.

    Args:
        area: Area of the open surface. [m2]

    Returns:
        Heat flux. [W/m2]
    """
    return min(FLUX, POWER / area)
