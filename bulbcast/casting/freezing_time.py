"""How long metal stays liquid in a mould: Chvorinov's rule with the mould's curvature reckoned in.

    V/A = (Tm - T0) / (rho H) [2 / sqrt(pi) sqrt(k rho c t) + n k t / (2 R)]

n = 0 for a flat wall, 1 for a cylinder, 2 for a sphere of radius R. The mould is taken as so thick that its
outside stays cold, its heat as carried by conduction alone, and its surface at the metal's freezing point.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from bulbcast.materials.lead import HEAT_OF_FUSION, MELTING_POINT, heat_to_melt, liquid_density


class FreezingError(ValueError):
    """A freezing time that cannot be: a mould no colder than the metal freezes, or a size not above zero."""


@dataclass(frozen=True, slots=True, kw_only=True)
class MouldHeat:
    """How a mould takes heat.

    Attributes:
        conductivity: [W/(m K)]
        density: Dry, as poured into. [kg/m3]
        heat_capacity: [J/(kg K)]
        temperature: Before the pour. [degC]
    """

    conductivity: float
    density: float
    heat_capacity: float
    temperature: float

    @property
    def effusivity(self) -> float:
        """sqrt(k rho c). [W s^0.5/(m2 K)]"""
        return math.sqrt(self.conductivity * self.density * self.heat_capacity)


PLASTER_CONDUCTIVITY = 0.35
PLASTER_DENSITY = 1100.0
PLASTER_HEAT = 900.0
"""Dry plaster: gypsum board and solid plaster data, from memory; 0.25 to 0.5 W/(m K) is seen, which moves
the time by 40 % either way."""
SAND_CONDUCTIVITY = 0.6
SAND_DENSITY = 1500.0
SAND_HEAT = 1100.0
"""Dry sand: handbook values, from memory."""


def heat_to_freeze(pour_temperature: float) -> float:
    """Heat that a kilogram of lead gives up from the pour until it is solid.

    Args:
        pour_temperature: [degC]

    Returns:
        Heat of fusion and what it is hotter than the melting point by; of lead, for its alloys too. [J/kg]

    Raises:
        LeadRangeError: Below the melting point of lead or above its boiling point.
    """
    return HEAT_OF_FUSION + heat_to_melt(pour_temperature) - heat_to_melt(MELTING_POINT)


def mould_constant(mould: MouldHeat, *, pour_temperature: float, freezing: float = MELTING_POINT) -> float:
    """Chvorinov's constant C in t = C (V/A)^2 for a flat wall.

    Args:
        mould: As it is at the pour.
        pour_temperature: Of the metal. [degC]
        freezing: Temperature that the metal freezes at. [degC]

    Returns:
        (pi/4) [rho H / (Tm - T0)]^2 / (k rho c). [s/m2]

    Raises:
        FreezingError: The mould is no colder than that.

    References:
        Flemings, Solidification Processing (1974), chapter 1.
    """
    drop = _drop(mould, freezing)
    heat = liquid_density(MELTING_POINT) * heat_to_freeze(pour_temperature)
    return 0.25 * math.pi * (heat / drop / mould.effusivity) ** 2


def freezing_time(
    modulus: float,
    mould: MouldHeat,
    *,
    pour_temperature: float,
    rounds: int,
    radius: float,
    freezing: float = MELTING_POINT,
) -> float:
    """Time until a body is frozen, from the pour on.

    Args:
        modulus: Volume over cooled surface. [m]
        mould: As it is at the pour.
        pour_temperature: Of the metal. [degC]
        rounds: 0 for flat walls, 1 for a cylinder, 2 for a sphere. [-]
        radius: Of that cylinder or sphere; not looked at for flat walls. [m]
        freezing: Temperature that the metal freezes at. [degC]

    Returns:
        The positive root of the rule, which is a quadratic in sqrt(t). [s]

    Raises:
        FreezingError: The mould is no colder than the metal freezes, or a size is not above zero.
    """
    if not modulus > 0.0 or (rounds and not radius > 0.0):
        raise FreezingError(f"modulus {modulus:g} m and radius {radius:g} m must be above zero")
    share = _drop(mould, freezing) / (liquid_density(MELTING_POINT) * heat_to_freeze(pour_temperature))
    flat = share * 2.0 / math.sqrt(math.pi) * mould.effusivity
    bent = share * rounds * mould.conductivity / (2.0 * radius) if rounds else 0.0
    # The root in the form that does not cancel where the curvature counts for little.
    root = 2.0 * modulus / (flat + math.sqrt(flat**2 + 4.0 * bent * modulus))
    return root**2


def _drop(mould: MouldHeat, freezing: float) -> float:
    drop = freezing - mould.temperature
    if not drop > 0.0:
        raise FreezingError(
            f"the mould is at {mould.temperature:g} degC and the metal freezes at {freezing:g} degC; "
            f"a mould that hot takes no heat from it"
        )
    return drop
