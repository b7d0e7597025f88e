"""Pouring temperature: fifty degrees above the liquidus, within limits that ensure filling and keep the vapour low."""

from __future__ import annotations

from bulbcast.materials.lead import saturated_lead_in_air
from bulbcast.plan.melt_sections import PourSection

ABOVE_LIQUIDUS = 50.0
COOLEST_AIM, HOTTEST_AIM = 340.0, 380.0
"""Target superheat above the liquidus, and the limits of the target temperature, from melters' guidance; common practice,
no source. [K], [degC]"""
CAP = 400.0
"""Temperature above which there is a caution: zinc is near its melting point of 419.5 degC, and oxide forms faster.
[degC]"""
HOLD_FROM = 430.0
"""Temperature at and above which the pour is on hold: vapour alone exceeds 10 micrograms/m3, and zinc has melted. [degC]"""
STOP_FROM = 450.0
"""Temperature at and above which nothing may be poured. [degC]"""
LEAST_ABOVE_LIQUIDUS = 20.0
"""Minimum superheat; closer to the liquidus, the metal may not fill the mould, or may form folds. Our judgement. [K]"""


def pour_aim(liquidus: float) -> float:
    """Choose the temperature to aim at for the pour.

    Args:
        liquidus: Liquidus of the alloy. [degC]

    Returns:
        Liquidus + 50, but no less than 340 and no more than 380. [degC]
    """
    return min(max(liquidus + ABOVE_LIQUIDUS, COOLEST_AIM), HOTTEST_AIM)


def pour_temperature(pour: PourSection | None, liquidus: float) -> float:
    """Return the temperature of the metal at the pour: that of the plan, or the target by default. [degC]

    Args:
        pour: Section [pour] of the plan, or None.
        liquidus: Liquidus of the alloy. [degC]
    """
    return pour_aim(liquidus) if pour is None or pour.temperature is None else pour.temperature


def vapour_bound(temperature: float) -> float:
    """Calculate the maximum mass of lead that the air over the pot can hold as vapour, per volume of that air cooled to
    20 degC.

    This is an upper bound for vapour alone; dust of oxide and dross is a hazard at any temperature.

    Args:
        temperature: Temperature of the metal. [degC]

    Returns:
        Maximum concentration. [kg/m3]

    Raises:
        LeadRangeError: Lead is not liquid at that temperature.
    """
    return saturated_lead_in_air(temperature, 20.0)
