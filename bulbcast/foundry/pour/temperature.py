"""The pouring temperature: fifty degrees above the liquidus, within what mould and lungs allow."""

from __future__ import annotations

from bulbcast.materials.lead import saturated_lead_in_air
from bulbcast.plan.melt_sections import PourSection

ABOVE_LIQUIDUS = 50.0
COOLEST_AIM, HOTTEST_AIM = 340.0, 380.0
"""The aim: melters' guidance; common practice, no source. [K], [degC]"""
CAP = 400.0
"""Above this, a caution: zinc is near its melting point of 419.5 degC, and oxide forms faster. [degC]"""
HOLD_FROM = 430.0
"""From here on the pour is on hold: vapour alone passes 10 micrograms/m3, and zinc has melted. [degC]"""
STOP_FROM = 450.0
"""From here on nothing is poured. [degC]"""
LEAST_ABOVE_LIQUIDUS = 20.0
"""At less than this above the liquidus, the metal may not fill the mould, or may fold; judgement. [K]"""


def pour_aim(liquidus: float) -> float:
    """The temperature to aim at for the pour.

    Args:
        liquidus: Liquidus of the alloy. [degC]

    Returns:
        Liquidus + 50, limited to between 340 and 380. [degC]
    """
    return min(max(liquidus + ABOVE_LIQUIDUS, COOLEST_AIM), HOTTEST_AIM)


def pour_temperature(pour: PourSection | None, liquidus: float) -> float:
    """Temperature of the metal at the pour: the plan's, or else the aim. [degC]

    Args:
        pour: The plan's [pour], or None.
        liquidus: Liquidus of the alloy. [degC]
    """
    return pour_aim(liquidus) if pour is None or pour.temperature is None else pour.temperature


def vapour_bound(temperature: float) -> float:
    """Most lead that air over the pot can hold as vapour, measured in that air once it has cooled to 20 degC.

    An upper bound, for vapour alone: dust of oxide and dross is a hazard at any temperature.

    Args:
        temperature: Temperature of the metal. [degC]

    Returns:
        [kg/m3]

    Raises:
        LeadRangeError: Lead is not liquid at that temperature.
    """
    return saturated_lead_in_air(temperature, 20.0)
