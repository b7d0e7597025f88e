"""Drag of the bulb alone at a given speed, as a range: friction on its wetted area times a form factor.

    R = 1/2 rho V^2 S Cf FF        Cf by ITTC-57 at the Reynolds number based on length

The range covers the published form factors for streamlined bodies of revolution. Each is one author's curve through
measurements in turbulent flow. The differences between them are larger than the effect of the bulb's fineness on any
of them, so none is used alone. The drag of the fin, of the junction and of the square tail face is not included, nor is
drag from leeway and surface waves. The range can rank bulbs of similar shape but cannot find an optimum, because
near the minimum the drag changes with fineness by less than the width of the range.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from bulbcast.quantities.frozen import frozen

Array = NDArray[np.float64]

SLOWEST_REYNOLDS = 1e3
"""Reynolds number below which the friction line is meaningless, because it tends to infinity at 100. Our judgement."""

TURBULENT_FROM = 1e6
"""Reynolds number, based on length, below which the flow around a smooth body may stay laminar and separate from a full
tail. None of the form factors is valid there. The sources give a transition range of 3e5 to 3e6; the single figure is
our judgement."""

A_RANGE_NOT_AN_OPTIMUM = (
    "Drag is given as a range over three published form factors, not as an optimum. Differences smaller than the range "
    "mean nothing."
)


class DragError(ValueError):
    """Raised if the friction line is not valid at this Reynolds number, or no form factor covers this fineness."""


@frozen
class BulbDrag:
    """Drag of one bulb at one speed, as a range.

    Attributes:
        speed: Speed through the water. [m/s]
        reynolds: Reynolds number based on length. [-]
        low: Drag with the lowest form factor. [N]
        high: Drag with the highest form factor. [N]
    """

    speed: float
    reynolds: float
    low: float
    high: float


def drag_words(lowest_reynolds: float, highest_reynolds: float) -> str:
    """Caveat that must accompany drag figures, in complete sentences.

    Args:
        lowest_reynolds: Lowest Reynolds number of the bulbs compared, based on length. [-]
        highest_reynolds: Highest Reynolds number of the bulbs compared. [-]

    Returns:
        Sentences on the range, and on the Reynolds numbers at which laminar flow may dominate.
    """
    if lowest_reynolds >= TURBULENT_FROM:
        return A_RANGE_NOT_AN_OPTIMUM
    low, high = (f"{one / 1e6:.{2 if one >= 1e4 else 4}f}" for one in (lowest_reynolds, highest_reynolds))
    seen = f"is {low}" if low == high else f"runs from {low} to {high}"
    return (
        f"{A_RANGE_NOT_AN_OPTIMUM} The Reynolds number based on length {seen} million. Below {TURBULENT_FROM / 1e6:g} "
        "million, laminar flow and separation on a full tail can dominate, and none of these form factors is valid."
    )


def ittc57(reynolds: float | Array) -> Array:
    """Friction coefficient by the ITTC-57 ship-model correlation line.

    At low Reynolds numbers the line is slightly above the friction of a flat plate. The logarithm is to base 10.

    Args:
        reynolds: Reynolds number based on length, at least 1000. [-]

    Returns:
        Friction coefficient on the wetted area, 0.075 / (log10 Re - 2)^2, in the shape of the input. [-]

    Raises:
        DragError: The Reynolds number is below 1000, or not finite.

    References:
        8th International Towing Tank Conference, Madrid 1957; ITTC 7.5-02-02-01.
    """
    number = _checked(
        reynolds,
        SLOWEST_REYNOLDS,
        "The Reynolds number is {}, but the friction line is used only from 1000 upwards. Give a higher speed.",
    )
    return np.asarray(0.075 / (np.log10(number) - 2.0) ** 2)


def hoerner(fineness: float | Array) -> Array:
    """Hoerner's form factor.

    Args:
        fineness: Length over diameter, at least 1. [-]

    Returns:
        1 + 1.5 f^-1.5 + 7 f^-3, in the shape of the input. [-]

    Raises:
        DragError: The fineness is below 1, or not finite.

    References:
        S. F. Hoerner, Fluid-Dynamic Drag (1965), chapter 6; from memory.
    """
    f = _fineness(fineness)
    return np.asarray(1.0 + 1.5 * f**-1.5 + 7.0 * f**-3.0)


def torenbeek(fineness: float | Array) -> Array:
    """Torenbeek's form factor.

    Args:
        fineness: Length over diameter, at least 1. [-]

    Returns:
        1 + 2.2 f^-1.5 + 3.8 f^-3, in the shape of the input. [-]

    Raises:
        DragError: The fineness is below 1, or not finite.

    References:
        E. Torenbeek, Synthesis of Subsonic Airplane Design (1982), appendix F; from memory.
    """
    f = _fineness(fineness)
    return np.asarray(1.0 + 2.2 * f**-1.5 + 3.8 * f**-3.0)


def raymer(fineness: float | Array) -> Array:
    """Raymer's form factor, which is intended for fuselages and is pessimistic for a smooth bulb.

    Args:
        fineness: Length over diameter, at least 1. [-]

    Returns:
        1 + 60 f^-3 + f / 400, in the shape of the input. [-]

    Raises:
        DragError: The fineness is below 1, or not finite.

    References:
        D. P. Raymer, Aircraft Design: A Conceptual Approach, chapter 12; from memory.
    """
    f = _fineness(fineness)
    return np.asarray(1.0 + 60.0 * f**-3.0 + f / 400.0)


FORM_FACTORS = (hoerner, torenbeek, raymer)


def bulb_drag(
    *,
    length: float,
    fineness: float,
    wetted_area: float,
    speed: float,
    water_density: float,
    kinematic_viscosity: float,
) -> BulbDrag:
    """Calculate the drag of one bulb at one speed, with the lowest and the highest form factor.

    Args:
        length: Length of the finished body. [m]
        fineness: Length of the body over its diameter, at least 1. [-]
        wetted_area: Area of the complete surface. [m2]
        speed: Speed through the water. [m/s]
        water_density: Density of the water. [kg/m3]
        kinematic_viscosity: Kinematic viscosity of the water. [m2/s]

    Returns:
        The drag as a range. It covers the published form factors; the true drag may lie outside it.

    Raises:
        DragError: The Reynolds number is below 1000, the fineness below 1, or either is not finite.

    References:
        See `ittc57` and the form factors.
    """
    reynolds = speed * length / kinematic_viscosity
    bare = 0.5 * water_density * (speed * speed) * wetted_area * ittc57(reynolds)
    factors = [factor(fineness) for factor in FORM_FACTORS]
    return BulbDrag(
        speed=speed, reynolds=reynolds, low=float(bare * min(factors)), high=float(bare * max(factors))
    )


def _fineness(fineness: float | Array) -> Array:
    return _checked(
        fineness,
        1.0,
        "The fineness is {}, but form factors apply only to bodies longer than they are wide. Make it at least 1.",
    )


def _checked(value: float | Array, least: float, words: str) -> Array:
    """Check that a value is finite and not below the minimum. [-]"""
    figure = np.asarray(value, dtype=np.float64)
    if not bool(np.all(np.isfinite(figure) & (figure >= least))):
        worst = float(np.min(figure)) if bool(np.all(np.isfinite(figure))) else float("nan")
        raise DragError(words.format(f"{worst:.4g}"))
    return figure
