"""What conducts and holds heat: the metal of a casting and the stuff of its mould.

The figures and their sources stand in heat.toml. Densities are those at which the heat is reckoned: of the
metal, solid just below its freezing range, which is what a fed cavity holds in the end.
"""

from __future__ import annotations

from dataclasses import dataclass

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
from bulbcast.materials.tables import table

Array = NDArray[np.float64]

_KELVIN = 273.15
_KNOTS = (-60.0, 100.0, 150.0)
_HOTTEST = 900.0


@dataclass(frozen=True, slots=True, kw_only=True)
class MetalHeat:
    """A casting metal's heat and conduction.

    Attributes:
        name: Of the alloy.
        density: Solid, just below its freezing range. [kg/m3]
        conductivity_solid: [W/(m K)]
        conductivity_liquid: At rest, at the liquidus. [W/(m K)]
        solidus: Below it all is solid. [degC]
        liquidus: Above it all is liquid; the solidus again for a metal with a melting point. [degC]
        heat_of_fusion: [J/kg]
        knots: Temperatures of the solid's curve, the solidus last. [degC]
        solid_heats: Heat above that at 0 degC at the knots. [J/kg]
        liquid_specific_heat: [J/(kg K)]
        freezing_contraction: Volume lost in freezing, of the solid's volume. [-]
        sources: Where the figures come from, a sentence each.
    """

    name: str
    density: float
    conductivity_solid: float
    conductivity_liquid: float
    solidus: float
    liquidus: float
    heat_of_fusion: float
    knots: tuple[float, ...]
    solid_heats: tuple[float, ...]
    liquid_specific_heat: float
    freezing_contraction: float
    sources: tuple[str, ...]

    def heats(self, celsius: Array, *, liquid: bool = False) -> Array:
        """Heat above that at 0 degC.

        Args:
            celsius: Any shape. [degC]
            liquid: Which of the two at the liquidus: of a metal with one melting point.

        Returns:
            Same shape. [J/kg]
        """
        temperature = np.asarray(celsius, dtype=np.float64)
        ends = (*self.knots, max(self.liquidus, self.solidus + 1e-9), _HOTTEST)
        at_liquidus = self.heat_at_liquidus
        heats = (
            *self.solid_heats,
            at_liquidus,
            at_liquidus + self.liquid_specific_heat * (_HOTTEST - self.liquidus),
        )
        found = np.interp(temperature, ends, heats)
        if liquid:
            found = np.where(temperature >= self.liquidus, np.maximum(found, at_liquidus), found)
        return found

    def heat(self, celsius: float) -> float:
        """Heat above that at 0 degC; at a melting point, of the solid. [J/kg]"""
        return float(self.heats(np.array(celsius)))

    @property
    def heat_at_liquidus(self) -> float:
        """Of the liquid, above that of the solid at 0 degC. [J/kg]"""
        sensible = 0.5 * (self._solid_specific_heat + self.liquid_specific_heat)
        return self.solid_heats[-1] + sensible * (self.liquidus - self.solidus) + self.heat_of_fusion

    @property
    def _solid_specific_heat(self) -> float:
        return (self.solid_heats[-1] - self.solid_heats[-2]) / (self.knots[-1] - self.knots[-2])


@dataclass(frozen=True, slots=True, kw_only=True)
class MouldHeat:
    """A dry mould's heat and conduction.

    Attributes:
        kind: "air", "baked" or "sand".
        title: In words.
        density: [kg/m3]
        conductivity: [W/(m K)]
        conductivity_low: Least met with. [W/(m K)]
        conductivity_high: Most met with. [W/(m K)]
        specific_heat: [J/(kg K)]
        reaction_heat: That bound water takes as it leaves, of the block's volume; 0 where none is bound. [J/m3]
        reaction_from: Where it begins to leave. [degC]
        reaction_to: Where all has left. [degC]
        sources: Where the figures come from, a sentence each.
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


@dataclass(frozen=True, slots=True, kw_only=True)
class AirHeat:
    """Heat that the air takes from a hot face.

    Attributes:
        block: From the block's faces. [W/(m2 K)]
        feeder: From the open feeder. [W/(m2 K)]
        sources: Where the figures come from, a sentence each.
    """

    block: float
    feeder: float
    sources: tuple[str, ...]


def metal_heat(alloy: CastAlloy) -> MetalHeat:
    """Heat and conduction of a lead alloy.

    Lead's own figures, with the antimony that its density tells of for the heat of fusion and the conductivity.

    Args:
        alloy: As it is cast.
    """
    row, elements = table("heat")["metal"], table("alloys")["elements"]
    lead, antimony = SOLID_DENSITY, elements["Sb"]["density"]
    share = (1.0 / alloy.density - 1.0 / lead) / (1.0 / antimony - 1.0 / lead)
    share = min(max(share, 0.0), 1.0)
    fusion = HEAT_OF_FUSION + share * (row["heat_of_fusion_antimony"] - HEAT_OF_FUSION)
    fall = (1.0 - row["conductivity_antimony"]) / row["conductivity_antimony_at"]
    # Beyond a tenth of antimony there is no figure to go by: held there.
    factor = 1.0 - fall * min(share, 0.10)
    solid = alloy.density / (1.0 + alloy.contraction) ** 3
    # Its liquid stands to its cold solid as that of lead does.
    liquid = liquid_density(MELTING_POINT) * alloy.density / lead
    knots = (*_KNOTS, alloy.solidus)
    zero = solid_heat(20.0) - 20.0 * (solid_heat(100.0) - solid_heat(20.0)) / 80.0
    slope = (solid_heat(100.0) - solid_heat(20.0)) / 80.0
    heats = (slope * _KNOTS[0], *(solid_heat(at) - zero for at in knots[1:]))
    return MetalHeat(
        name=alloy.name,
        density=solid,
        conductivity_solid=factor * row["conductivity_solid"],
        conductivity_liquid=factor * (9.2 + 0.011 * (max(alloy.liquidus, MELTING_POINT) + _KELVIN)),
        solidus=alloy.solidus,
        liquidus=alloy.liquidus,
        heat_of_fusion=fusion,
        knots=knots,
        solid_heats=heats,
        liquid_specific_heat=(liquid_heat(420.0) - liquid_heat(MELTING_POINT)) / (420.0 - MELTING_POINT),
        freezing_contraction=max(solid / liquid - 1.0, 0.0),
        sources=(
            f"heat: {row['heat_source']}",
            f"heat of freezing: {row['heat_of_fusion_antimony_source']}; {row['freezing_source']}",
            f"conductivity: {row['conductivity_solid_source']}; liquid {row['conductivity_liquid_source']}; "
            f"{row['conductivity_antimony_source']}",
            "contraction in freezing: the liquid's density at the melting point (OECD-NEA 2015) against the cold "
            "solid's, less the alloy's own contraction from the solidus to 20 C",
        ),
    )


def mould_kinds() -> tuple[str, ...]:
    """The kinds of mould there are figures for."""
    return tuple(row["kind"] for row in table("heat")["mould"])


def mould_heat(kind: str, *, dry_density: float | None = None, gypsum: float | None = None) -> MouldHeat:
    """Heat and conduction of a dry mould.

    Args:
        kind: "air", "baked" or "sand".
        dry_density: Of the dried dihydrate block, before any baking; of the sand for sand. None: the table's
            own. [kg/m3]
        gypsum: Share of dihydrate in the dry block. None: the table's own. [-]

    Returns:
        Air-dried plaster with the heat that its bound water takes; baked plaster with its own density, without.

    Raises:
        KeyError: There is no such kind.
    """
    rows = {row["kind"]: row for row in table("heat")["mould"]}
    row, figures = rows[kind], table("heat")["gypsum"]
    share = figures["share"] if gypsum is None else gypsum
    words = [
        f"conductivity {row['conductivity']:g} W/(m K): {row['conductivity_source']}",
        f"specific heat {row['specific_heat']:g} J/(kg K): {row['specific_heat_source']}",
    ]
    reaction = 0.0
    if kind == "sand":
        density = row["density"] if dry_density is None else dry_density
        words.append(f"density: {row['density_source']}" if dry_density is None else "density: as given")
    else:
        dry = figures["dry_density"] if dry_density is None else dry_density
        words.append(
            f"density: {figures['dry_density_source']}" if dry_density is None else "density: as mixed"
        )
        density = dry
        if kind == "baked":
            # What is not gypsum keeps its mass in the oven.
            density = dry * (1.0 - share * (1.0 - figures["hemihydrate_share"]))
            words.append(f"baked to hemihydrate: {figures['hemihydrate_share_source']}")
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
    """What the air takes from block and feeder."""
    row = table("heat")["air"]
    return AirHeat(
        block=row["block"],
        feeder=row["feeder"],
        sources=(f"block: {row['block_source']}", f"open feeder: {row['feeder_source']}"),
    )
