"""Constants of nature and the plain checks on figures that several files of this room share."""

from __future__ import annotations

import math

AIR_DENSITY = 1.225
"""Of air at sea level and 15 degC, ISO 2533 standard atmosphere. [kg/m3]"""


class BoatFigureError(ValueError):
    """A figure of the boat that cannot be, or a wish that no boat fulfils."""


def require_positive(what: str, value: float, unit: str) -> None:
    """Refuse a figure that is not finite and above zero.

    Args:
        what: The figure's name, with its article, as a sentence begins. [-]
        value: As given. [any unit]
        unit: SI unit for the message, "" for a bare number. [-]

    Raises:
        BoatFigureError: It is zero, negative, infinite or no number.
    """
    if not (math.isfinite(value) and value > 0.0):
        raise BoatFigureError(
            f"{what} is {shown(value, unit)}; it must be finite and above 0. Give it as measured."
        )


def require_not_negative(what: str, value: float, unit: str) -> None:
    """Refuse a figure that is not finite or is below zero.

    Args:
        what: The figure's name, with its article, as a sentence begins. [-]
        value: As given. [any unit]
        unit: SI unit for the message, "" for a bare number. [-]

    Raises:
        BoatFigureError: It is negative, infinite or no number.
    """
    if not (math.isfinite(value) and value >= 0.0):
        raise BoatFigureError(
            f"{what} is {shown(value, unit)}; it must be finite and 0 or more. Give it as measured."
        )


def require_finite(what: str, value: float, unit: str) -> None:
    """Refuse a figure that is infinite or no number.

    Args:
        what: The figure's name, with its article, as a sentence begins. [-]
        value: As given. [any unit]
        unit: SI unit for the message, "" for a bare number. [-]

    Raises:
        BoatFigureError: It is infinite or no number.
    """
    if not math.isfinite(value):
        raise BoatFigureError(
            f"{what} is {shown(value, unit)}; it must be a finite number. Give it as measured."
        )


def shown(value: float, unit: str) -> str:
    """A figure as the messages of this room show it, six figures and its unit."""
    return f"{value:g} {unit}" if unit else f"{value:g}"


STANDARD_GRAVITY = 9.80665
"""Standard acceleration of free fall, ISO 80000-3; CGPM 1901. [m/s2]"""
