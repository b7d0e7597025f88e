"""Pure lead near and above its melting point: density, heat and vapour.

These properties come from published equations, each with its range of validity. The alloys for the bulb are in
`alloys`; their heat and vapour are assumed to be those of lead.
"""

from __future__ import annotations

import math

MOLAR_MASS = 0.2072
"""Molar mass of lead. [kg/mol]; IUPAC."""

MELTING_POINT = 327.46
"""Melting point of lead. [degC]; 600.61 K, CRC Handbook as listed in the chemicals package (600.612)."""

HEAT_OF_FUSION = 4774.0 / MOLAR_MASS
"""Heat of fusion of lead. [J/kg]; 4774 J/mol, CRC Handbook as listed in the chemicals package. OECD-NEA gives 23.07
kJ/kg."""

SOLID_DENSITY = 11340.0
"""Density of solid lead at 20 degC. [kg/m3]; Perry, Chemical Engineers' Handbook (1973), as quoted on a producer's page."""

_GAS_CONSTANT = 8.314462618  # J/(mol K), CODATA 2018
_ZERO_CELSIUS = 273.15
_LOWEST_LIQUID, _HIGHEST_LIQUID = 600.6, 2021.0  # K, range of the OECD-NEA equations
_LOWEST_SOLID = 293.15  # K; the Shomate range starts at 298 K, 5 K of it are extrapolated

# Shomate constants in J/(mol K) and K/1000: NIST Chemistry WebBook (Chase, JANAF 1998) as listed in the chemicals
# package; solid 298 to 600.6 K, liquid 600.6 to 2019 K.
_SOLID_HEAT = (25.01450, 5.441836, 4.061367, -1.236214, -0.010657)
_LIQUID_HEAT = (38.00449, -14.62249, 7.255475, -1.033370, -0.330775)


class LeadRangeError(ValueError):
    """Raised if a temperature is outside the range of an equation for lead."""


def liquid_density(celsius: float) -> float:
    """Calculate the density of liquid lead, 11441 - 1.2795 T with T in kelvin.

    Args:
        celsius: Temperature, from the melting point to the boiling point. [degC]

    Returns:
        Density. [kg/m3]

    Raises:
        LeadRangeError: The temperature is below 600.6 K or above 2021 K.

    References:
        OECD-NEA, Handbook on Lead-bismuth Eutectic Alloy and Lead Properties (2015), fit of
        Sobolev (2008). Wang et al. (2003) measure 0.35 % less at the melting point.
    """
    return 11441.0 - 1.2795 * _liquid_kelvin(celsius)


def vapour_pressure(celsius: float) -> float:
    """Calculate the saturated vapour pressure over liquid lead, 5.76e9 exp(-22131 / T) with T in kelvin.

    Args:
        celsius: Temperature, from the melting point to the boiling point. [degC]

    Returns:
        Vapour pressure. [Pa]

    Raises:
        LeadRangeError: The temperature is below 600.6 K or above 2021 K.

    References:
        OECD-NEA Handbook (2015), fit of Sobolev (2011). The Alcock equation gives 5 % more at
        400 degC and 18 % more at 700 degC.
    """
    return 5.76e9 * math.exp(-22131.0 / _liquid_kelvin(celsius))


def saturated_lead_in_air(celsius: float, air_celsius: float | None = None) -> float:
    """Calculate the maximum mass of lead vapour that the air above the pot can contain, by the ideal gas law.

    This is an upper limit for the vapour alone. Dust from oxide and dross is a hazard at any temperature and is not
    included.

    Args:
        celsius: Temperature of the lead. [degC]
        air_celsius: Temperature at which that air is measured; None means the temperature of the pot. [degC]

    Returns:
        Mass of lead per unit volume of air. [kg/m3]

    Raises:
        LeadRangeError: Same as for `vapour_pressure`.
    """
    air = celsius if air_celsius is None else air_celsius
    return vapour_pressure(celsius) * MOLAR_MASS / (_GAS_CONSTANT * (air + _ZERO_CELSIUS))


def heat_to_melt(celsius: float, from_celsius: float = 20.0) -> float:
    """Calculate the heat needed to bring cold lead to a pouring temperature, not counting losses or the pot.

    This is the sum of the heat of the solid up to the melting point, the heat of fusion, and the heat of the liquid
    above the melting point.

    Args:
        celsius: Temperature of the liquid. [degC]
        from_celsius: Temperature of the cold solid, 20 degC or more. [degC]

    Returns:
        Heat. [J/kg]

    Raises:
        LeadRangeError: The pouring temperature is outside the range for liquid lead, or the cold lead is below 20 degC
            or above the melting point.

    References:
        NIST Chemistry WebBook, Shomate equations, as listed in the chemicals package.
    """
    end, start, melting = _liquid_kelvin(celsius), from_celsius + _ZERO_CELSIUS, MELTING_POINT + _ZERO_CELSIUS
    if not _LOWEST_SOLID <= start <= melting:
        raise LeadRangeError(
            f"The cold lead is at {from_celsius:g} degC; the equation is valid for solid lead from 20 to "
            f"{MELTING_POINT:g} degC."
        )
    solid = _shomate(_SOLID_HEAT, melting) - _shomate(_SOLID_HEAT, start)
    liquid = _shomate(_LIQUID_HEAT, end) - _shomate(_LIQUID_HEAT, melting)
    return (solid + liquid) / MOLAR_MASS + HEAT_OF_FUSION


def solid_heat(celsius: float) -> float:
    """Return the heat content of solid lead relative to 20 degC.

    Args:
        celsius: Temperature, from 20 degC to the melting point. [degC]

    Returns:
        Heat. [J/kg]

    Raises:
        LeadRangeError: The temperature is below 20 degC or above the melting point.

    References:
        Same as for `heat_to_melt`.
    """
    kelvin = celsius + _ZERO_CELSIUS
    if not _LOWEST_SOLID <= kelvin <= MELTING_POINT + _ZERO_CELSIUS:
        raise LeadRangeError(
            f"The solid lead is at {celsius:g} degC; the equation is valid from 20 to {MELTING_POINT:g} degC."
        )
    return (_shomate(_SOLID_HEAT, kelvin) - _shomate(_SOLID_HEAT, _LOWEST_SOLID)) / MOLAR_MASS


def liquid_heat(celsius: float) -> float:
    """Return the heat content of liquid lead relative to solid lead at 20 degC, including the heat of fusion.

    Args:
        celsius: Temperature, from the melting point up. [degC]

    Returns:
        Heat. [J/kg]

    Raises:
        LeadRangeError: Same as for `heat_to_melt`.
    """
    return heat_to_melt(celsius)


def _shomate(constants: tuple[float, float, float, float, float], kelvin: float) -> float:
    """Integral of the Shomate heat capacity, without the constant of integration. [J/mol]"""
    a, b, c, d, e = constants
    t = kelvin / 1000.0
    return 1000.0 * (a * t + b * t**2 / 2 + c * t**3 / 3 + d * t**4 / 4 - e / t)


def _liquid_kelvin(celsius: float) -> float:
    """Convert to kelvin and check that lead is liquid at that temperature, with a tolerance of a millionth of a kelvin."""
    kelvin = celsius + _ZERO_CELSIUS
    if not _LOWEST_LIQUID - 1e-6 <= kelvin <= _HIGHEST_LIQUID + 1e-6:
        raise LeadRangeError(
            f"The lead is at {celsius:g} degC; the equation is valid for liquid lead from "
            f"{_LOWEST_LIQUID - _ZERO_CELSIUS:g} to {_HIGHEST_LIQUID - _ZERO_CELSIUS:g} degC."
        )
    return kelvin
