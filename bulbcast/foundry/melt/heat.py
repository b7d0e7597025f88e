"""Heat, time and fuel to melt a charge. Only the heat that reaches the metal and the pot counts; the flame wastes most of
its heat."""

from __future__ import annotations

from bulbcast.materials.heat import MetalHeat
from bulbcast.quantities.frozen import frozen

LOWEST_EFFICIENCY, HIGHEST_EFFICIENCY = 0.05, 0.40
"""Efficiencies of a flame under an open pot. In one observed melt, 454 kg took 5.5 h and 6.35 kg of propane, which is 12
%. With water in a small pan, 42 to 50 % was measured. Poor set-ups stay below 5 %."""
START = 20.0
"""Temperature of the scrap and the pot before heating. [degC]"""

FUELS = {
    "propane": (46.35e6, "lower heating value 46.35 MJ/kg, gas tables, from memory"),
    "butane": (45.75e6, "lower heating value 45.75 MJ/kg, gas tables, from memory"),
    "paraffin": (43.1e6, "lower heating value 43.1 MJ/kg, from memory"),
}
"""Net heat of combustion of each fuel, with the water that forms left as steam, and its source. [J/kg]"""

POT_HEAT = {
    "cast-iron": (460.0, "cast iron, 0.46 kJ/(kg K)"),
    "steel": (490.0, "carbon steel, 0.49 kJ/(kg K), from memory"),
    "stainless": (500.0, "stainless steel, 0.50 kJ/(kg K), from memory"),
}
"""Specific heat of each pot material, with its source. [J/(kg K)]"""


class FiringError(ValueError):
    """Raised for a burner without power or with an impossible efficiency."""


@frozen
class Firing:
    """Time and fuel for one charge over one burner at a given efficiency.

    Attributes:
        efficiency: Fraction of the burner's heat that gets into the metal and the pot. [-]
        time: Time from cold to the pouring temperature. [s]
        fuel: Fuel burnt in that time; None for an electric burner. [kg]
    """

    efficiency: float
    time: float
    fuel: float | None


@frozen
class MeltingHeat:
    """Heat needed for the metal and the pot.

    Attributes:
        metal: Heat into the metal. [J]
        pot: Heat into the pot. [J]
    """

    metal: float
    pot: float

    @property
    def total(self) -> float:
        """Heat of the metal and the pot together. [J]"""
        return self.metal + self.pot


def melting_heat(
    charge: float, metal: MetalHeat, *, temperature: float, pot_mass: float = 0.0, pot_heat: float = 0.0
) -> MeltingHeat:
    """Calculate the heat needed to bring a charge and its pot from cold to the pouring temperature.

    Args:
        charge: Mass of scrap, with dross counted as metal. [kg]
        metal: The alloy, with its antimony.
        temperature: Temperature of the metal at the pour. [degC]
        pot_mass: Mass of the empty pot. [kg]
        pot_heat: Specific heat of the pot. [J/(kg K)]

    Returns:
        Heat into the metal and the pot, without losses.
    """
    return MeltingHeat(
        metal=charge * (metal.heat(temperature) - metal.heat(START)),
        pot=pot_mass * pot_heat * (temperature - START),
    )


def firing(heat: float, *, power: float, efficiency: float, heat_value: float | None) -> Firing:
    """Calculate the time and the fuel needed to supply a given heat.

    Args:
        heat: Heat into the metal and the pot. [J]
        power: Total heat output of the burner. [W]
        efficiency: Fraction of that output that gets into the metal and the pot. [-]
        heat_value: Heating value of the fuel; None for electricity. [J/kg]

    Returns:
        Time, heat / (power x efficiency), and the fuel burnt in that time.

    Raises:
        FiringError: The power is not above zero, or the efficiency is not above 0 and at most 1.
    """
    if not power > 0.0 or not 0.0 < efficiency <= 1.0:
        raise FiringError(
            f"The power is {power:g} W and must be above zero; the efficiency is {efficiency:g} "
            "and must be above 0 and at most 1."
        )
    return Firing(
        efficiency=efficiency,
        time=heat / (power * efficiency),
        fuel=None if heat_value is None else heat / efficiency / heat_value,
    )
