"""Physical constants and basic checks on figures, shared by many files."""

from __future__ import annotations

import math

AIR_DENSITY = 1.225
"""Density of air at sea level and 15 degC, ISO 2533 standard atmosphere. [kg/m3]"""


class BoatFigureError(ValueError):
    """Raised if a figure of the boat is impossible, or if no boat can do what the plan requires."""


def require_positive(what: str, value: float, unit: str) -> None:
    """Refuse a figure that is not finite and above zero.

    Args:
        what: Name of the figure with its article, as at the start of a sentence. [-]
        value: Figure as given. [any unit]
        unit: SI unit for the message, "" for a bare number. [-]

    Raises:
        BoatFigureError: It is zero, negative, infinite or not a number.
    """
    if not (math.isfinite(value) and value > 0.0):
        raise BoatFigureError(
            f"{what} is {shown(value, unit)}; it must be finite and above 0. Give it as measured."
        )


def require_not_negative(what: str, value: float, unit: str) -> None:
    """Refuse a figure that is not finite or is below zero.

    Args:
        what: Name of the figure with its article, as at the start of a sentence. [-]
        value: Figure as given. [any unit]
        unit: SI unit for the message, "" for a bare number. [-]

    Raises:
        BoatFigureError: It is negative, infinite or not a number.
    """
    if not (math.isfinite(value) and value >= 0.0):
        raise BoatFigureError(
            f"{what} is {shown(value, unit)}; it must be finite and 0 or more. Give it as measured."
        )


def require_finite(what: str, value: float, unit: str) -> None:
    """Refuse a figure that is infinite or not a number.

    Args:
        what: Name of the figure with its article, as at the start of a sentence. [-]
        value: Figure as given. [any unit]
        unit: SI unit for the message, "" for a bare number. [-]

    Raises:
        BoatFigureError: It is infinite or not a number.
    """
    if not math.isfinite(value):
        raise BoatFigureError(
            f"{what} is {shown(value, unit)}; it must be a finite number. Give it as measured."
        )


def shown(value: float, unit: str) -> str:
    """Format a figure for an error message, to six significant digits and with its unit."""
    return f"{value:g} {unit}" if unit else f"{value:g}"


STANDARD_GRAVITY = 9.80665
"""Standard acceleration of free fall, ISO 80000-3; CGPM 1901. [m/s2]"""
