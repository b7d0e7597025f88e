"""Drag of the bulb alone at a speed: friction of its wetted area times a form factor, as a range.

    R = 1/2 rho V^2 S Cf FF        Cf by ITTC-57 at the Reynolds number on the length

The range is that of the published form factors. What the fin, the junction, the square tail face, leeway
and a wave at the surface add is not in it. It ranks bulbs of like shape; it finds no optimum, since the
minimum over fineness is flatter than the range is wide.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from bulbcast.sailing.form_factor import form_factor_range
from bulbcast.sailing.friction import ittc57, reynolds_number

Array = NDArray[np.float64]

TURBULENT_FROM = 1e6
"""Reynolds number on the length below which a smooth body may keep laminar flow, and lose it from a
full tail: none of the form factors is valid there. After the sources' range of transition, 3e5 to 3e6;
the single figure is a judgement."""

A_RANGE_NOT_AN_OPTIMUM = (
    "Drag is a range over three published form factors and not an optimum: differences smaller than the "
    "range say nothing."
)


@dataclass(frozen=True, slots=True, kw_only=True)
class BulbDrag:
    """What one bulb costs at one speed.

    Attributes:
        speed: Through the water. [m/s]
        reynolds: On the length. [-]
        friction_coefficient: ITTC-57, on the wetted area. [-]
        form_factor_low: The lowest of the published ones at this fineness. [-]
        form_factor_high: The highest. [-]
        low: Drag with the lowest form factor. [N]
        high: Drag with the highest. [N]
    """

    speed: float
    reynolds: float
    friction_coefficient: float
    form_factor_low: float
    form_factor_high: float
    low: float
    high: float

    @property
    def may_be_laminar(self) -> bool:
        """Whether the Reynolds number is too low for any of the form factors to be valid."""
        return self.reynolds < TURBULENT_FROM

    @property
    def words(self) -> str:
        """What has to be said with the figures, in whole sentences."""
        return drag_words(self.reynolds, self.reynolds)


def drag_words(lowest_reynolds: float, highest_reynolds: float) -> str:
    """What has to be said beside drag figures, in whole sentences.

    Args:
        lowest_reynolds: Of the bulbs compared, on the length. [-]
        highest_reynolds: Likewise. [-]

    Returns:
        That it is a range, and where laminar flow may rule.
    """
    if lowest_reynolds >= TURBULENT_FROM:
        return A_RANGE_NOT_AN_OPTIMUM
    low, high = _millions(lowest_reynolds), _millions(highest_reynolds)
    seen = f"is {low}" if low == high else f"runs from {low} to {high}"
    return (
        f"{A_RANGE_NOT_AN_OPTIMUM} The Reynolds number on the length {seen} million; below "
        f"{TURBULENT_FROM / 1e6:g} million laminar flow, and separation on a full tail, can dominate and "
        "none of these form factors is valid."
    )


def _millions(reynolds: float) -> str:
    return f"{reynolds / 1e6:.2f}" if reynolds >= 1e4 else f"{reynolds / 1e6:.4f}"


def drag_range(
    *,
    length: float | Array,
    fineness: float | Array,
    wetted_area: float | Array,
    speed: float | Array,
    water_density: float | Array,
    kinematic_viscosity: float | Array,
) -> tuple[Array, Array]:
    """Drag with the lowest and with the highest form factor, one bulb or many at once.

    Args:
        length: Of the finished body. [m]
        fineness: Its length over its diameter, at least 1. [-]
        wetted_area: Of the whole surface. [m2]
        speed: Through the water. [m/s]
        water_density: [kg/m3]
        kinematic_viscosity: Of the water. [m2/s]

    Returns:
        Lowest and highest, in the common shape of the inputs. [N]

    Raises:
        FrictionError: A Reynolds number below 1000, or not finite.
        FormFactorError: A fineness below 1, or not finite.

    References:
        As `ittc57` and the form factors say.
    """
    friction = ittc57(reynolds_number(speed, length, kinematic_viscosity))
    stream = 0.5 * np.asarray(water_density) * np.asarray(speed) ** 2
    bare = stream * np.asarray(wetted_area) * friction
    low, high = form_factor_range(fineness)
    return np.asarray(bare * low), np.asarray(bare * high)


def bulb_drag(
    *,
    length: float,
    fineness: float,
    wetted_area: float,
    speed: float,
    water_density: float,
    kinematic_viscosity: float,
) -> BulbDrag:
    """Drag of one bulb at one speed, with what it was made from.

    Args:
        length: Of the finished body. [m]
        fineness: Its length over its diameter, at least 1. [-]
        wetted_area: Of the whole surface. [m2]
        speed: Through the water. [m/s]
        water_density: [kg/m3]
        kinematic_viscosity: Of the water. [m2/s]

    Returns:
        The range and its parts.

    Raises:
        FrictionError: A Reynolds number below 1000, or not finite.
        FormFactorError: A fineness below 1, or not finite.
    """
    reynolds = float(reynolds_number(speed, length, kinematic_viscosity))
    low, high = drag_range(
        length=length,
        fineness=fineness,
        wetted_area=wetted_area,
        speed=speed,
        water_density=water_density,
        kinematic_viscosity=kinematic_viscosity,
    )
    least, most = form_factor_range(fineness)
    return BulbDrag(
        speed=speed,
        reynolds=reynolds,
        friction_coefficient=float(ittc57(reynolds)),
        form_factor_low=float(least),
        form_factor_high=float(most),
        low=float(low),
        high=float(high),
    )
