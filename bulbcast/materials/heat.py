"""Thermal properties of a casting's metal and of its mould material.

The figures and their sources are in heat.toml. The metal density is that of the solid just below its freezing range,
because a feeder keeps the cavity full until the metal is solid.
"""

from __future__ import annotations

from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from bulbcast.materials.alloys import CastAlloy
from bulbcast.materials.lead import (
    HEAT_OF_FUSION,
    MELTING_POINT,
    SOLID_DENSITY,
    liquid_density,
    liquid_heat,
    solid_heat,
)
from bulbcast.materials.plaster import molar_masses
from bulbcast.materials.tables import table
from bulbcast.quantities.frozen import frozen

Array = NDArray[np.float64]

_KELVIN = 273.15
_KNOTS = (-60.0, 100.0, 150.0)
_PIECES = 8
"""Number of straight segments in a freezing curve. With this number, the fraction solid is within 0.02 of Scheil's
equation at 2 % antimony and above. [-]"""


@frozen
class MetalHeat:
    """Thermal properties of a casting metal.

    Attributes:
        name: Name of the alloy.
        density: Density of the solid just below its freezing range. [kg/m3]
        conductivity_solid: Conductivity of the solid. [W/(m K)]
        conductivity_liquid: Conductivity of the liquid at rest, at the liquidus. [W/(m K)]
        freezing: Temperatures [degC] with their fraction solid, from the solidus (all solid) up to the liquidus (none
            solid); linear in between. Metal that freezes at a single temperature has two entries at that temperature.
        heat_of_fusion: Heat of fusion. [J/kg]
        knots: Temperatures of the points on the solid's heat curve, ending with the solidus. [degC]
        solid_heats: Heat content at those points, relative to 0 degC. [J/kg]
        liquid_specific_heat: Specific heat of the liquid. [J/(kg K)]
        freezing_contraction: Volume lost in freezing, as a fraction of the solid's volume. [-]
        sources: Sources of the figures, one sentence each.
    """

    name: str
    density: float
    conductivity_solid: float
    conductivity_liquid: float
    freezing: tuple[tuple[float, float], ...]
    heat_of_fusion: float
    knots: tuple[float, ...]
    solid_heats: tuple[float, ...]
    liquid_specific_heat: float
    freezing_contraction: float
    sources: tuple[str, ...]

    @property
    def solidus(self) -> float:
        """Solidus, below which all the metal is solid. [degC]"""
        return self.freezing[0][0]

    @property
    def liquidus(self) -> float:
        """Liquidus, above which all the metal is liquid. It equals the solidus for a metal with a single melting point.
        [degC]"""
        return self.freezing[-1][0]

    def solid(self, celsius: Array) -> Array:
        """Return the fraction solid, or the largest value if more than one is possible at that temperature.

        Args:
            celsius: Temperatures, any shape. [degC]

        Returns:
            Same shape, 0 to 1. [-]
        """
        temperature = np.asarray(celsius, dtype=np.float64)
        at, share = zip(*self.freezing[1:], strict=True)
        return np.where(temperature <= self.solidus, 1.0, np.interp(temperature, at, share))

    def heats(self, celsius: Array, solid: Array | None = None) -> Array:
        """Return the heat content relative to the solid at 0 degC.

        Args:
            celsius: Temperatures, any shape. [degC]
            solid: Fraction solid, if it does not follow from the temperature alone. [-]

        Returns:
            Same shape. [J/kg]
        """
        temperature = np.asarray(celsius, dtype=np.float64)
        share = self.solid(temperature) if solid is None else solid
        range_ = np.clip(temperature - self.solidus, 0.0, self.liquidus - self.solidus)
        hot = np.maximum(temperature - self.liquidus, 0.0)
        between = 0.5 * (self._solid_specific_heat + self.liquid_specific_heat)
        sensible = np.interp(temperature, self.knots, self.solid_heats)
        return np.asarray(
            sensible
            + between * range_
            + self.liquid_specific_heat * hot
            + self.heat_of_fusion * (1.0 - share)
        )

    def heat(self, celsius: float) -> float:
        """Heat content relative to 0 degC. At a single melting point, the value is that of the solid. [J/kg]"""
        return float(self.heats(np.array(celsius)))

    def poured_heat(self, celsius: float) -> float:
        """Heat content of the metal as poured, relative to 0 degC. The metal is all liquid; a temperature below the
        liquidus is replaced by the liquidus. [J/kg]"""
        return float(self.heats(np.array(max(celsius, self.liquidus)), np.array(0.0)))

    @property
    def _solid_specific_heat(self) -> float:
        return (self.solid_heats[-1] - self.solid_heats[-2]) / (self.knots[-1] - self.knots[-2])


@frozen
class MouldHeat:
    """Thermal properties of a dry mould.

    Attributes:
        kind: "air", "baked", "sand" or "mortar".
        title: Name of the material in words.
        density: Density. [kg/m3]
        conductivity: Conductivity. [W/(m K)]
        conductivity_low: Lowest conductivity found in the sources. [W/(m K)]
        conductivity_high: Highest conductivity found in the sources. [W/(m K)]
        specific_heat: Specific heat. [J/(kg K)]
        reaction_heat: Heat needed to drive off bound water, per unit volume of block; 0 if no water is bound. [J/m3]
        reaction_from: Temperature at which bound water begins to leave. [degC]
        reaction_to: Temperature at which all bound water has left. [degC]
        sources: Sources of the figures, one sentence each.
    """

    kind: str
    title: str
    density: float
    conductivity: float
    conductivity_low: float
    conductivity_high: float
    specific_heat: float
    reaction_heat: float
    reaction_from: float
    reaction_to: float
    sources: tuple[str, ...]


@frozen
class AirHeat:
    """Heat transfer from hot surfaces to the air.

    Attributes:
        block: Heat transfer coefficient of the block's surfaces. [W/(m2 K)]
        feeder: Heat transfer coefficient of the open feeder. [W/(m2 K)]
        sources: Sources of the figures, one sentence each.
    """

    block: float
    feeder: float
    sources: tuple[str, ...]


def freezing_curve(
    antimony: float, *, solidus: float, liquidus: float, eutectic: float, kept: float
) -> tuple[tuple[float, float], ...]:
    """Calculate the fraction solid at each temperature for a lead-antimony alloy as it freezes in a casting.

    Scheil's equation for a straight liquidus: at a liquid fraction f, the antimony content of the liquid is
    c = c0 f^(k - 1). The temperature falls from the liquidus to the solidus as c rises from c0 to the eutectic content.
    The remaining liquid, a fraction (eutectic / c0)^(1 / (k - 1)), freezes at the eutectic temperature. Beyond the
    eutectic composition, the excess antimony freezes first, by the lever rule.

    Args:
        antimony: Mass fraction in the alloy, c0. [-]
        solidus: Temperature at which the last metal freezes. [degC]
        liquidus: Temperature at which the first metal freezes. [degC]
        eutectic: Mass fraction of antimony in the eutectic. [-]
        kept: Ratio of the antimony fraction in the solid to that in the liquid, k. [-]

    Returns:
        Temperatures [degC] and fractions solid, as in `MetalHeat.freezing`.

    References:
        E. Scheil, Zeitschrift fuer Metallkunde 34 (1942), 70; M. C. Flemings, Solidification Processing (1974),
        chapter 2. From memory.
    """
    if liquidus <= solidus or antimony <= 0.0:
        return ((solidus, 1.0), (max(liquidus, solidus), 0.0))
    if antimony >= eutectic:
        return ((solidus, 1.0), (solidus, (antimony - eutectic) / (1.0 - eutectic)), (liquidus, 0.0))
    # Even steps in the logarithm of the liquid's antimony are even steps in the logarithm of the liquid fraction.
    steps = np.arange(_PIECES, -1.0, -1.0) / _PIECES
    ratio = eutectic / antimony
    at = liquidus - (liquidus - solidus) * (ratio**steps - 1.0) / (ratio - 1.0)
    solid = 1.0 - ratio ** (-steps / (1.0 - kept))
    at[0], at[-1] = solidus, liquidus
    return ((solidus, 1.0), *zip(at.tolist(), solid.tolist(), strict=True))


def antimony_of(alloy: CastAlloy) -> float:
    """Antimony content implied by an alloy's density, assuming that antimony is the only other element. [-]"""
    lead, antimony = SOLID_DENSITY, table("alloys")["elements"]["Sb"]["density"]
    share = (1.0 / alloy.density - 1.0 / lead) / (1.0 / antimony - 1.0 / lead)
    return float(min(max(share, 0.0), 1.0))


@lru_cache(maxsize=32)
def metal_heat(alloy: CastAlloy) -> MetalHeat:
    """Return the thermal properties of a lead alloy.

    They are the properties of pure lead, adjusted for the antimony that the alloy's density implies.

    Args:
        alloy: The alloy as cast.
    """
    row, share, lead = table("heat")["metal"], antimony_of(alloy), SOLID_DENSITY
    fusion = HEAT_OF_FUSION + share * (row["heat_of_fusion_antimony"] - HEAT_OF_FUSION)
    fall = (1.0 - row["conductivity_antimony"]) / row["conductivity_antimony_at"]
    # Above one tenth antimony there is no published figure, so the value at one tenth is used.
    factor = 1.0 - fall * min(share, 0.10)
    solid = alloy.density / (1.0 + alloy.contraction) ** 3
    # The ratio of the alloy's liquid density to its cold solid density is assumed to be that of lead.
    liquid = liquid_density(MELTING_POINT) * alloy.density / lead
    knots = (*_KNOTS, alloy.solidus)
    zero = solid_heat(20.0) - 20.0 * (solid_heat(100.0) - solid_heat(20.0)) / 80.0
    slope = (solid_heat(100.0) - solid_heat(20.0)) / 80.0
    of_lead = (slope * _KNOTS[0], *(solid_heat(at) - zero for at in knots[1:]))
    of_liquid = (liquid_heat(420.0) - liquid_heat(MELTING_POINT)) / (420.0 - MELTING_POINT)
    return MetalHeat(
        name=alloy.name,
        density=solid,
        conductivity_solid=factor * row["conductivity_solid"],
        conductivity_liquid=factor * (9.2 + 0.011 * (max(alloy.liquidus, MELTING_POINT) + _KELVIN)),
        freezing=freezing_curve(
            share,
            solidus=alloy.solidus,
            liquidus=alloy.liquidus,
            eutectic=row["eutectic_antimony"],
            kept=row["antimony_kept"],
        ),
        heat_of_fusion=fusion,
        knots=knots,
        solid_heats=tuple(
            (1.0 - share) * heat + share * row["specific_heat_antimony"] * at
            for at, heat in zip(knots, of_lead, strict=True)
        ),
        liquid_specific_heat=(1.0 - share) * of_liquid + share * row["specific_heat_antimony_liquid"],
        freezing_contraction=max(solid / liquid - 1.0, 0.0),
        sources=(
            f"heat content: {row['heat_source']}; {row['specific_heat_antimony_source']}",
            f"heat of fusion: {row['heat_of_fusion_antimony_source']}; {row['freezing_source']}; "
            f"{row['eutectic_antimony_source']}; {row['antimony_kept_source']}",
            f"conductivity: {row['conductivity_solid_source']}; liquid {row['conductivity_liquid_source']}; "
            f"{row['conductivity_antimony_source']}",
            "shrinkage on freezing: the density of the liquid at the melting point (OECD-NEA 2015) compared with that "
            "of the cold solid, less the contraction of the alloy from the solidus to 20 C",
        ),
    )


@lru_cache(maxsize=32)
def mould_heat(kind: str, *, dry_density: float | None = None, gypsum: float | None = None) -> MouldHeat:
    """Return the thermal properties of a dry mould.

    Args:
        kind: "air", "baked", "sand" or "mortar".
        dry_density: Density of the sand, or of the dried dihydrate block before any baking. None means the value in the
            table. [kg/m3]
        gypsum: Mass fraction of dihydrate in the dry block. None means the value in the table. [-]

    Returns:
        The properties. For air-dried plaster they include the heat needed to drive off its bound water; baked plaster
        has its own density and needs no such heat.

    Raises:
        KeyError: There is no mould of that kind.
    """
    rows = {row["kind"]: row for row in table("heat")["mould"]}
    row, figures = rows[kind], table("heat")["gypsum"]
    share = figures["share"] if gypsum is None else gypsum
    words = [
        f"conductivity {row['conductivity']:g} W/(m K): {row['conductivity_source']}",
        f"specific heat {row['specific_heat']:g} J/(kg K): {row['specific_heat_source']}",
    ]
    reaction = 0.0
    if "density" in row:
        density = row["density"] if dry_density is None else dry_density
        words.append(f"density: {row['density_source']}" if dry_density is None else "density: as given")
    else:
        dry = figures["dry_density"] if dry_density is None else dry_density
        words.append(
            f"density: {figures['dry_density_source']}" if dry_density is None else "density: as mixed"
        )
        density = dry
        if kind == "baked":
            # Whatever is not gypsum keeps its mass in the oven.
            _, hemihydrate, dihydrate = molar_masses()
            density = dry * (1.0 - share * (1.0 - hemihydrate / dihydrate))
            words.append("baked to hemihydrate, calculated from the molar masses")
        else:
            reaction = dry * share * figures["heat_of_dehydration"]
            words.append(
                f"bound water: {figures['heat_of_dehydration_source']}; {figures['reaction_source']}; "
                f"{share:.1%} of the block is gypsum"
            )
    return MouldHeat(
        kind=kind,
        title=row["title"],
        density=density,
        conductivity=row["conductivity"],
        conductivity_low=row["conductivity_low"],
        conductivity_high=row["conductivity_high"],
        specific_heat=row["specific_heat"],
        reaction_heat=reaction,
        reaction_from=figures["reaction_from"],
        reaction_to=figures["reaction_to"],
        sources=tuple(words),
    )


def air_heat() -> AirHeat:
    """Return the heat transfer to the air from the block and the feeder."""
    row = table("heat")["air"]
    return AirHeat(
        block=row["block"],
        feeder=row["feeder"],
        sources=(f"block: {row['block_source']}", f"open feeder: {row['feeder_source']}"),
    )
