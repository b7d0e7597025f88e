"""Check whether a printed pattern keeps its shape while the plaster sets, and while a mould dries with the pattern
inside."""

from __future__ import annotations

from typing import Literal

from bulbcast.foundry.drying.log import HIGHEST_OVEN
from bulbcast.materials.patterns import PatternMaterial
from bulbcast.quantities.frozen import frozen

# Hydration of plaster of Paris (beta hemihydrate) to gypsum: heat of setting, the water it takes up, and heat capacities
# of gypsum and of the water left over. Formation enthalpies and capacities from memory of the usual tables; the 483 kJ/kg
# quoted for the reverse reaction, with steam, is another figure.
HEAT_OF_SETTING = 118e3  # [J/kg of plaster]
WATER_TAKEN_UP = 0.1862  # [kg/kg]
_GYPSUM_CAPACITY, _WATER_CAPACITY = 1090.0, 4180.0  # [J/kg K]

# Peaks measured in a 5 litre vessel were 46.9 to 50.8 degC (German statutory accident insurers, IFA project 3148).
MEASURED_PEAK = (46.9, 50.8)

# Closer to softening than this is marginal, because the plaster's weight loads the print. Our judgement. [K]
MARGIN = 5.0

Verdict = Literal["keeps", "marginal", "softens", "not known"]


@frozen
class HeatEvent:
    """One occasion on which the pattern gets warm.

    Attributes:
        name: Name of the occasion, in the words of the trade.
        temperature: Highest temperature. [degC]
        source: Source of the temperature.
    """

    name: str
    temperature: float
    source: str


def setting_peak(*, water_to_plaster: float, start: float) -> float:
    """Highest temperature of a setting mix that loses no heat, an upper bound that is reached inside thick blocks.

    Args:
        water_to_plaster: Ratio by mass, greater than the ratio that setting consumes. [-]
        start: Initial temperature of water and plaster. [degC]

    Returns:
        The temperature. [degC]
    """
    capacity = (1.0 + WATER_TAKEN_UP) * _GYPSUM_CAPACITY + (
        water_to_plaster - WATER_TAKEN_UP
    ) * _WATER_CAPACITY
    return start + HEAT_OF_SETTING / capacity


def heat_events(
    *, water_to_plaster: float = 0.70, start: float = 20.0, drying: str | None = None
) -> tuple[HeatEvent, ...]:
    """Occasions on which a pattern left in the mould gets warm, with the temperature of each.

    Args:
        water_to_plaster: Ratio of the mix by mass. [-]
        start: Temperature of the water. [degC]
        drying: Drying method of the mould ("air", "oven" or "baked") if the plan gives one; None for all methods.
    """
    events = [
        HeatEvent(
            name="plaster setting in a thick block",
            temperature=setting_peak(water_to_plaster=water_to_plaster, start=start),
            source=f"no heat lost, {water_to_plaster:g} parts of water to 1 of plaster at {start:g} degC; "
            f"{MEASURED_PEAK[0]:g} to {MEASURED_PEAK[1]:g} degC measured in 5 litres (IFA project 3148)",
        )
    ]
    ways = (
        ("air", "dried in warm moving air with the pattern inside", 49.0, "plaster trade: 43 to 49 degC"),
        ("oven", "dried in an oven with the pattern inside", 110.0, "common practice, no source"),
        # The oven's highest temperature is from the rules of drying; founders bake moulds for other metals hotter.
        (
            "baked",
            "baked for casting with the pattern inside",
            HIGHEST_OVEN,
            "plaster turns chalky above this temperature; calcining practice",
        ),
    )
    events += [
        HeatEvent(name=name, temperature=heat, source=source)
        for way, name, heat, source in ways
        if drying is None or drying == way
    ]
    return tuple(events)


def verdict(material: PatternMaterial, temperature: float) -> Verdict:
    """Whether a material keeps its shape.

    Args:
        material: The material, with its softening range if it is known.
        temperature: Temperature that the print reaches. [degC]
    """
    if material.softens_from is None:
        return "not known"
    if temperature >= material.softens_from:
        return "softens"
    return "marginal" if temperature > material.softens_from - MARGIN else "keeps"
