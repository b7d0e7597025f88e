"""Format figures rounded to the safe side, so that they work when typed as shown."""

from __future__ import annotations

import math
from collections.abc import Callable
from functools import cache

from bulbcast.quantities import Dimension, Shown, read_quantity


@cache
def _one(unit: str, dimension: Dimension) -> float:
    """Size of one unit, in SI."""
    return read_quantity(f"1 {unit}", dimension)


def _up(value: float, unit: str, steps: tuple[float, ...], dimension: Dimension) -> str:
    """Round up to the coarsest step that adds at most 1 %, otherwise to the finest."""
    amount = value / _one(unit, dimension)
    for step in steps:
        count = math.ceil(amount / step - 1e-9)
        if count * step <= 1.01 * amount:
            break
    return _written(count * step, unit)


def _written(amount: float, unit: str) -> str:
    """Format an amount as a builder writes it: "2 1/16 in", or "10 lb 9 oz" for whole ounces from one pound up."""
    if unit == "oz" and amount >= 16.0:
        pounds, ounces = divmod(round(amount, 6), 16.0)
        return f"{pounds:g} lb {ounces:.6g} oz" if ounces else f"{pounds:g} lb"
    if unit == "in" and amount > 0.0 and (amount * 32.0).is_integer():
        return Shown("imperial").length(amount * _one(unit, Dimension.LENGTH))
    return f"{amount:.6g} {unit}"


def mass_up(kilograms: float, shown: Shown) -> str:
    """Format a mass for typing, rounded up.

    Args:
        kilograms: Mass, above zero. [kg]
        shown: Formatter for the builder's units.

    Returns:
        Text such as "1240 g" or "12.6 kg"; "2 lb 12 oz" or "31.5 lb".
    """
    if shown.units == "imperial":
        if kilograms < 5.0:
            return _up(kilograms, "oz", (1.0, 0.1, 0.01), Dimension.MASS)
        return _up(kilograms, "lb", (1.0, 0.5, 0.1), Dimension.MASS)
    if kilograms < 5.0:
        return _up(kilograms, "g", (10.0, 1.0, 0.1), Dimension.MASS)
    return _up(kilograms, "kg", (1.0, 0.1, 0.01), Dimension.MASS)


def bought(kilograms: float, shown: Shown) -> str:
    """Format a mass for buying, rounded up to two digits, but no finer than a gram or a quarter of an ounce.

    Args:
        kilograms: Mass, above zero. [kg]
        shown: Formatter for the builder's units.

    Returns:
        Text such as "360 g" or "3.4 kg"; "13 oz" or "7.3 lb".
    """
    small, large = ("oz", "lb") if shown.units == "imperial" else ("g", "kg")
    unit = small if kilograms < _one(large, Dimension.MASS) else large
    amount = kilograms / _one(unit, Dimension.MASS)
    # No shop sells a tenth of a gram.
    least = 1.0 if unit == "g" else 0.25 if unit == "oz" else 0.0
    step = max(10.0 ** (math.floor(math.log10(amount)) - 1), least)
    return f"{math.ceil(amount / step - 1e-9) * step:.6g} {unit}"


def round_mass(kilograms: float, shown: Shown) -> str:
    """Format the limit of a published rule, in whole kilograms or pounds.

    Args:
        kilograms: The limit. [kg]
        shown: Formatter for the builder's units.

    Returns:
        Text such as "25 kg" or "55 lb".
    """
    if shown.units == "imperial":
        return f"{kilograms / _one('lb', Dimension.MASS):.0f} lb"
    return f"{kilograms:.0f} kg"


def mass_down(kilograms: float, shown: Shown) -> str:
    """Format a small mass for typing, rounded down to one significant figure.

    Args:
        kilograms: Mass, above zero. [kg]
        shown: Formatter for the builder's units.

    Returns:
        Text such as "0.4 g" or "0.02 oz".
    """
    unit = "oz" if shown.units == "imperial" else "g"
    amount = kilograms / _one(unit, Dimension.MASS)
    step = 10.0 ** math.floor(math.log10(amount))
    return f"{math.floor(amount / step * (1.0 + 1e-9)) * step:g} {unit}"


def volume_up(cubic_metres: float, shown: Shown) -> str:
    """Format a volume for typing, rounded up.

    Args:
        cubic_metres: Volume, above zero. [m3]
        shown: Formatter for the builder's units.

    Returns:
        Text such as "1.9 l" or "116 in3".
    """
    if shown.units == "imperial":
        return _up(cubic_metres, "in3", (10.0, 1.0, 0.1), Dimension.VOLUME)
    return _up(cubic_metres, "l", (1.0, 0.1, 0.01, 0.001), Dimension.VOLUME)


def length_up(metres: float, shown: Shown) -> str:
    """Format a length for typing, rounded up.

    Args:
        metres: Length, above zero. [m]
        shown: Formatter for the builder's units.

    Returns:
        Text such as "78 mm" or "3 1/16 in".
    """
    if shown.units == "imperial":
        return _up(metres, "in", (0.125, 0.0625, 0.03125), Dimension.LENGTH)
    return _up(metres, "mm", (1.0, 0.1), Dimension.LENGTH)


def length_sold(metres: float, shown: Shown) -> str:
    """Format the nominal length of a screw, without the trailing zeros of a measured length.

    Args:
        metres: Length, above zero. [m]
        shown: Formatter for the builder's units.

    Returns:
        Text such as "40 mm", "3.5 mm" or "1 1/4 in".
    """
    return shown.length(metres) if shown.units == "imperial" else f"{metres * 1e3:.6g} mm"


def length_bought(metres: float, shown: Shown) -> str:
    """Format the side of a block to be bought, rounded up to a whole millimetre or an eighth of an inch.

    Args:
        metres: Length, above zero. [m]
        shown: Formatter for the builder's units.

    Returns:
        Text such as "45 mm" or "5 7/8 in".
    """
    unit, step = ("in", 0.125) if shown.units == "imperial" else ("mm", 1.0)
    return _up(metres, unit, (step,), Dimension.LENGTH)


def power_up(watts: float, shown: Shown) -> str:
    """Format a power for typing, rounded up.

    Args:
        watts: Power, above zero. [W]
        shown: Formatter for the builder's units.

    Returns:
        Text such as "4.2 kW" or "14500 BTU/h".
    """
    if shown.units == "imperial":
        return _up(watts, "BTU/h", (500.0, 100.0, 10.0), Dimension.POWER)
    return _up(watts, "kW", (1.0, 0.1, 0.01), Dimension.POWER)


def whole_degrees(celsius: float, shown: Shown, rounding: Callable[[float], int] = math.floor) -> str:
    """Format a temperature for typing, in whole degrees.

    Args:
        celsius: [degC]
        shown: Formatter for the builder's units.
        rounding: `math.floor` or `math.ceil`.

    Returns:
        Text such as "399 C" or "750 F".
    """
    if shown.units == "imperial":
        return f"{rounding(celsius * 9.0 / 5.0 + 32.0)} F"
    return f"{rounding(celsius)} C"


def thickness_up(metres: float, shown: Shown) -> str:
    """Format a length rounded up to the digits shown, so that it works when typed as shown.

    Args:
        metres: Length, above zero. [m]
        shown: Formatter for the builder's units.

    Returns:
        Text such as "9.70 mm" or "1 1/32 in".
    """
    step = 0.0254 / 32.0 if shown.units == "imperial" else 1e-4
    return shown.length(math.ceil(metres / step - 1e-9) * step)


def force_down(newtons: float, shown: Shown) -> str:
    """Format a force for typing, rounded down to two digits: nobody sets a preload more accurately.

    Args:
        newtons: Force, zero or above. [N]
        shown: Formatter for the builder's units.

    Returns:
        Text such as "32 N", "0.81 kN" or "7.2 lbf".
    """
    unit = "lbf" if shown.units == "imperial" else "N"
    amount = newtons / _one(unit, Dimension.FORCE)
    if amount <= 0.0:
        return f"0 {unit}"
    step = 10.0 ** (math.floor(math.log10(amount) + 1e-12) - 1)
    return f"{math.floor(amount / step + 1e-9) * step:.6g} {unit}"


def length_down(metres: float, shown: Shown) -> str:
    """Format a length for typing, rounded down.

    The step is at most a hundredth of the length, but never smaller than 0.1 mm or 1/32 in.

    Args:
        metres: Length, above zero. [m]
        shown: Formatter for the builder's units.

    Returns:
        Text such as "77 mm" or "3 1/32 in".
    """
    unit, steps = ("in", (0.125, 0.0625, 0.03125)) if shown.units == "imperial" else ("mm", (1.0, 0.1))
    amount = metres / _one(unit, Dimension.LENGTH)
    step = next((one for one in steps if one <= 0.01 * amount), steps[-1])
    return _written(math.floor(amount / step + 1e-9) * step, unit)
