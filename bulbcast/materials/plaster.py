"""Stoichiometry of plaster of Paris: mass when just set, air-dried, baked and over-baked. Also properties of sand.

    CaSO4 . 1/2 H2O + 3/2 H2O -> CaSO4 . 2 H2O        1 kg of hemihydrate takes up 0.1862 kg of water

A mix is 1 kg of plaster, w kg of water and a kg of sand or silica. A fraction p of the plaster is hemihydrate, and the
rest is assumed to be inert. Just set, it weighs 1 + w + a. Dried in air, it has lost its free water and weighs
1 + 0.1862 p + a. Baked back to hemihydrate, it weighs 1 + a, whatever p is. Turned to anhydrite, it weighs 0.0621 p
less than that.

The purity cancels out of the baked mass, because the hemihydrate then weighs the same as it did in the bag. Over-baked
means half-way from hemihydrate to anhydrite, which gives the trade's figure of 57 % at a consistency of 70.
"""

from __future__ import annotations

import math
from functools import cache
from typing import Any

from bulbcast.materials.tables import table
from bulbcast.quantities.frozen import frozen

_WATER_TAKEN_UP = 1.5
"""Moles of water that one mole of hemihydrate takes up on setting."""


class PlasterError(ValueError):
    """Raised for an impossible mix: a proportion is out of range, or there is too little water for the mix to set."""


@cache
def molar_masses() -> tuple[float, float, float]:
    """Return the molar masses of anhydrite, hemihydrate and dihydrate. [kg/mol]"""
    row = table("plaster")["molar_mass"]
    dry, water = float(row["calcium_sulphate"]), float(row["water"])
    return dry, dry + 0.5 * water, dry + 2.0 * water


def water_taken_up() -> float:
    """Water that combines with one kilogram of hemihydrate as it sets, 0.18618 kg. [kg/kg]"""
    _, hemihydrate, _ = molar_masses()
    return _WATER_TAKEN_UP * float(table("plaster")["molar_mass"]["water"]) / hemihydrate


def bound_water() -> float:
    """Water bound in one kilogram of set, dry plaster, 20.93 %. [kg/kg]"""
    _, _, dihydrate = molar_masses()
    return 2.0 * float(table("plaster")["molar_mass"]["water"]) / dihydrate


def hemihydrate_water() -> float:
    """Water bound in one kilogram of hemihydrate, 6.21 %. [kg/kg]"""
    _, hemihydrate, _ = molar_masses()
    return 0.5 * float(table("plaster")["molar_mass"]["water"]) / hemihydrate


@frozen
class PlasterMix:
    """A plaster mix, per kilogram of plaster.

    Attributes:
        water: Ratio of water to plaster by mass; a consistency of 70 is 0.70. [-]
        purity: Mass fraction of the plaster that is hemihydrate. [-]
        sand: Ratio of sand or silica to plaster by mass. [-]

    Raises:
        PlasterError: A figure is not finite, there is too little water for all the plaster to set, the purity is not
            above 0 or exceeds 1, or the sand is below 0.
    """

    water: float
    purity: float = 1.0
    sand: float = 0.0

    def __post_init__(self) -> None:
        if not all(math.isfinite(one) for one in (self.water, self.purity, self.sand)):
            raise PlasterError("All the figures for a mix must be finite numbers.")
        if not 0.0 < self.purity <= 1.0:
            raise PlasterError(
                f"The purity is {self.purity * 100:g} %; it must be above 0 and at most 100 %."
            )
        if self.sand < 0.0:
            raise PlasterError(
                f"The sand is {self.sand * 100:g} % of the plaster's mass; it must be zero or more."
            )
        if self.water < water_taken_up() * self.purity:
            raise PlasterError(
                f"The ratio of water to plaster is {self.water:g}; at least {water_taken_up() * self.purity:.4f} is "
                "needed for the plaster to set."
            )

    @property
    def just_set(self) -> float:
        """Mass of the mix for one kilogram of plaster, before any loss of water. [kg/kg]"""
        return 1.0 + self.water + self.sand

    @property
    def volume(self) -> float:
        """Volume of the slurry without air bubbles, for one kilogram of plaster. [m3/kg]"""
        densities = table("plaster")["density"]
        return (
            1.0 / float(densities["hemihydrate"]["value"])
            + self.water / 1000.0
            + self.sand / float(densities["silica"]["value"])
        )

    @property
    def set_density(self) -> float:
        """Density of the freshly set mix, with all its water. [kg/m3]"""
        return self.just_set / self.volume

    @property
    def air_share(self) -> float:
        """Ratio of the air-dried mass to the freshly set mass; the bound water remains. [-]"""
        return (1.0 + water_taken_up() * self.purity + self.sand) / self.just_set

    @property
    def baked_share(self) -> float:
        """Mass after baking back to hemihydrate, divided by the freshly set mass; the purity cancels out. [-]"""
        return (1.0 + self.sand) / self.just_set

    @property
    def anhydrite_share(self) -> float:
        """Ratio of the mass without any water to the freshly set mass. [-]"""
        return (1.0 - hemihydrate_water() * self.purity + self.sand) / self.just_set

    @property
    def over_baked_share(self) -> float:
        """Mass half-way between hemihydrate and anhydrite, divided by the freshly set mass. Below this ratio, plaster
        is chalky. [-]

        At a consistency of 70 this is 57 %, the figure used in practice. For other mixes the same half-way point is
        used.
        """
        return 0.5 * (self.baked_share + self.anhydrite_share)

    @property
    def air_density(self) -> float:
        """Density after drying in air. [kg/m3]"""
        return self.air_share * self.set_density

    @property
    def baked_density(self) -> float:
        """Density after baking back to hemihydrate, assuming the volume that it had when it set. [kg/m3]"""
        return self.baked_share * self.set_density

    @property
    def setting_rise(self) -> tuple[float, float]:
        """Temperature rise on setting without heat loss, for alpha and for beta hemihydrate. [K]"""
        heat = table("plaster")["heat"]
        _, hemihydrate, _ = molar_masses()
        taken = water_taken_up() * self.purity
        capacity = (
            (1.0 + taken) * _stuff("air")["specific_heat"]
            + (self.water - taken) * float(heat["water"])
            + self.sand * float(heat["silica"])
        )
        low, high = (
            self.purity * float(heat[f"setting_{kind}"]) / hemihydrate / capacity
            for kind in ("alpha", "beta")
        )
        return low, high


def purity_of_test_bar(*, just_set: float, dry: float, water: float, sand: float = 0.0) -> float:
    """Calculate the purity from a bar of the same mix, weighed when freshly set and again after drying in air to constant
    mass.

    Args:
        just_set: Mass with all its water. [kg]
        dry: Mass after drying at 40 to 45 degC in moving air until nothing more is lost. [kg]
        water: Ratio of water to plaster by mass. [-]
        sand: Ratio of sand to plaster by mass. [-]

    Returns:
        Mass fraction of hemihydrate; above 1 if the bar was not yet dry. [-]
    """
    return (dry / just_set * (1.0 + water + sand) - 1.0 - sand) / water_taken_up()


def purity_spread_of_test_bar(
    *, just_set: float, dry: float, water: float, sand: float, scale_spread: float
) -> float:
    """Calculate the standard deviation of the purity from a test bar, given two readings of the scale.

    Args:
        just_set: Mass with all its water. [kg]
        dry: Mass after drying. [kg]
        water: Ratio of water to plaster by mass. [-]
        sand: Ratio of sand to plaster by mass. [-]
        scale_spread: Standard deviation of one reading. [kg]

    Returns:
        Standard deviation. [-]
    """
    ratio = scale_spread * math.hypot(1.0, dry / just_set) / just_set
    return ratio * (1.0 + water + sand) / water_taken_up()


@frozen
class MouldingSand:
    """Rammed moulding sand, dry.

    Attributes:
        density: Density, rammed and dry. [kg/m3]
        density_source: Source of the density.
        highest_moisture: Maximum ratio of water to sand by mass at which lead may be poured. [-]
        moisture_source: Source of the maximum moisture.
        oil: Ratio of oil to sand by mass in an oil-bonded mix. [-]
        oil_source: Source of the oil ratio.
    """

    density: float
    density_source: str
    highest_moisture: float
    moisture_source: str
    oil: float
    oil_source: str


def _stuff(kind: str) -> dict[str, Any]:
    """Return the row of heat.toml for a dry mould."""
    return next(row for row in table("heat")["mould"] if row["kind"] == kind)


FRESH_MORTAR = 2230.0
"""Density of EN 196-1 standard mortar as mixed, from memory. [kg/m3]"""
MORTAR_PARTS = (1.0, 3.0, 0.5)
"""Proportions of cement, sand and water in standard mortar, by mass: EN 196-1."""


def mortar_dry_density() -> float:
    """Density of mortar that has lost all its water except the water bound by its cement. [kg/m3]"""
    return float(_stuff("mortar")["density"])


@cache
def moulding_sand() -> MouldingSand:
    """Return the moulding sand; the table contains only one."""
    row, rammed = table("plaster")["sand"], _stuff("sand")
    return MouldingSand(
        density=float(rammed["density"]),
        density_source=str(rammed["density_source"]),
        highest_moisture=float(row["highest_moisture"]["value"]),
        moisture_source=str(row["highest_moisture"]["source"]),
        oil=float(row["oil"]["value"]),
        oil_source=str(row["oil"]["source"]),
    )
