"""Chvorinov's rule, plain and with the curvature of the skin.

Metal at its freezing point gives its heat to an infinite mould, and only the mould's resistance counts. A curved skin
spreads the heat, so a bulb freezes sooner than a plate of the same modulus.

Chvorinov's rule with curvature assumes that the skin stays at the freezing point. In fact it gets cooler, because lead
itself has some resistance: 98 % of a plate, rod or ball of lead is frozen within 10 % of the rule's time, and the last
drop freezes up to 18 % later. Rely on the figure from the simulation.
"""

from __future__ import annotations

import math

from bulbcast.materials.heat import MetalHeat, MouldHeat


def freezing_time(
    modulus: float,
    *,
    curvature: float,
    density: float,
    heat: float,
    freezing: float,
    start: float,
    mould: MouldHeat,
) -> float:
    """Calculate the time until everything is frozen, with the effect of the skin's curvature.

    Solves V/A = (T - T0) / (rho H) [2 / sqrt(pi) sqrt(k rho c t) + h k t], with the mean curvature h of the skin, n /
    (2 R) for a cylinder (n = 1) and a sphere (n = 2), and averaged over the area for any other body. Without curvature
    it is the plain rule: (V/A)^2 (pi / 4) [rho H / (T - T0)]^2 / (k rho c).

    Args:
        modulus: Volume over cooled area. [m]
        curvature: Mean curvature, half the sum of the two principal ones, averaged over the area; 0 for the plain rule.
            [1/m]
        density: Density of the metal at its freezing point. [kg/m3]
        heat: Heat given off from the pour until frozen. [J/kg]
        freezing: Constant temperature of the skin. [degC]
        start: Temperature of the mould. [degC]
        mould: Conductivity and heat capacity of the mould; its bound water is ignored.

    Returns:
        Freezing time. [s]

    References:
        N. Chvorinov, Giesserei 27 (1940); M. C. Flemings, Solidification Processing (1974), chapter 1, as quoted by an
        encyclopaedia; exact for a sphere whose skin is held at one temperature (H. S. Carslaw, J. C. Jaeger, Conduction
        of Heat in Solids, 9.10), the first two terms of the series for a cylinder. From memory.
    """
    need = modulus * density * heat / (freezing - start)
    straight = 2.0 / math.sqrt(math.pi) * math.sqrt(mould.conductivity * mould.density * mould.specific_heat)
    curved = curvature * mould.conductivity
    if curved <= 0.0:
        return (need / straight) ** 2
    # Root of curved s^2 + straight s - need, in the form that loses no digits for a nearly flat skin.
    root = 2.0 * need / (straight + math.sqrt(straight**2 + 4.0 * curved * need))
    return root**2


def rule_for(
    metal: MetalHeat, mould: MouldHeat, *, modulus: float, curvature: float, pour: float, start: float
) -> float:
    """Apply the rule to a metal in a mould, with the skin midway between liquidus and solidus.

    Args:
        metal: Metal of the casting.
        mould: Material of the block.
        modulus: Volume over cooled area. [m]
        curvature: Mean curvature, averaged over the area; 0 for the plain rule. [1/m]
        pour: Temperature of the metal in the full mould; if below the liquidus, it counts as the liquidus. [degC]
        start: Temperature of the mould. [degC]

    Returns:
        Freezing time. [s]
    """
    return freezing_time(
        modulus,
        curvature=curvature,
        density=metal.density,
        heat=metal.poured_heat(pour) - metal.solid_heats[-1],
        freezing=0.5 * (metal.liquidus + metal.solidus),
        start=start,
        mould=mould,
    )


def section_modulus(across: float, up: float) -> float:
    """Calculate an ellipse's area divided by its perimeter, by Ramanujan's second formula; for a circle, half its radius.

    Args:
        across: One half-axis. [m]
        up: The other half-axis. [m]

    Returns:
        Area divided by perimeter. [m]
    """
    h = ((across - up) / (across + up)) ** 2
    perimeter = math.pi * (across + up) * (1.0 + 3.0 * h / (10.0 + math.sqrt(4.0 - 3.0 * h)))
    return math.pi * across * up / perimeter
