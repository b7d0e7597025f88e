"""Chvorinov's rule, plain and with the curvature of the skin.

Metal at its freezing point gives its heat to a mould without end; the mould's resistance alone counts. A curved
skin spreads the heat, so that a bulb freezes sooner than a plate of the same modulus.

Chvorinov's rule with curvature takes the skin as held at the freezing point. Lead's own resistance lets it
fall: 98 % of a plate, rod or ball of lead is frozen within 10 % of the rule's time, the last drop up to 18 %
later. The simulation is the figure that counts.
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
    """Time at which all is frozen, with the skin's curvature.

    Solves V/A = (T - T0) / (rho H) [2 / sqrt(pi) sqrt(k rho c t) + h k t], with the mean curvature h of the skin,
    n / (2 R) of a cylinder (n = 1) and a sphere (n = 2), averaged over the area of any other body. Without curvature
    it is the plain rule: (V/A)^2 (pi / 4) [rho H / (T - T0)]^2 / (k rho c).

    Args:
        modulus: Volume over cooled area. [m]
        curvature: Mean curvature, half the sum of the two principal ones, averaged over the area; 0 for the plain
            rule. [1/m]
        density: Density of the metal at its freezing point. [kg/m3]
        heat: Given off from pouring until frozen. [J/kg]
        freezing: Temperature at which the skin is held. [degC]
        start: Temperature of the mould. [degC]
        mould: What it conducts and holds; its bound water is left out.

    Returns:
        [s]

    References:
        N. Chvorinov, Giesserei 27 (1940); M. C. Flemings, Solidification Processing (1974), chapter 1, by way of an
        encyclopaedia; exact for a sphere whose skin is held at one temperature (H. S. Carslaw, J. C. Jaeger,
        Conduction of Heat in Solids, 9.10), the first two terms of the series for a cylinder. From memory.
    """
    need = modulus * density * heat / (freezing - start)
    straight = 2.0 / math.sqrt(math.pi) * math.sqrt(mould.conductivity * mould.density * mould.specific_heat)
    curved = curvature * mould.conductivity
    if curved <= 0.0:
        return (need / straight) ** 2
    # The root of curved s^2 + straight s - need, in the form that loses no figures on a nearly flat skin.
    root = 2.0 * need / (straight + math.sqrt(straight**2 + 4.0 * curved * need))
    return root**2


def rule_for(
    metal: MetalHeat, mould: MouldHeat, *, modulus: float, curvature: float, pour: float, start: float
) -> float:
    """The rule for a casting metal in a mould; the skin is held midway between its liquidus and solidus.

    Args:
        metal: Metal of the casting.
        mould: Material of the block.
        modulus: Volume over cooled area. [m]
        curvature: Mean, averaged over the area; 0 for the plain rule. [1/m]
        pour: Temperature of the metal in the full mould; below its liquidus it counts as at it. [degC]
        start: Temperature of the mould. [degC]

    Returns:
        [s]
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
    """Area of an ellipse over its perimeter, by Ramanujan's second formula; of a circle half its radius.

    Args:
        across: Half axis. [m]
        up: The other. [m]

    Returns:
        [m]
    """
    h = ((across - up) / (across + up)) ** 2
    perimeter = math.pi * (across + up) * (1.0 + 3.0 * h / (10.0 + math.sqrt(4.0 - 3.0 * h)))
    return math.pi * across * up / perimeter
