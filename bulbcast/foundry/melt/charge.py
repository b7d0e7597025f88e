"""The charge: how much metal must go into the pot for enough to come out.

charge x (1 - dross) = (cast mass + feeder) x (1 + reserve) + heel

"Feeder" means the liquid metal in the cavity, sprue, cup, feeder and vents, including topping up, less the cold
casting's mass. It is the extra metal to pour, not the metal that is sawn off. Without a mould, the feeder of the
default mould is assumed.
"""

from __future__ import annotations

import math

from bulbcast.plan.melt_sections import MeltSection
from bulbcast.quantities.frozen import frozen

# Handling of hot metal and of pieces: common practice, no source; the first figure is what one
# person carries at arm's length, as manual handling guidance puts it too.
CHARGE_NOT_CARRIED = 10.0
CHARGE_FOR_TWO = 50.0
CHARGE_FOR_A_FOUNDRY = 150.0

# Limits for cold pieces, for castings as well as moulds. Above the first limit, several people or a hoist should lift:
# HSE, INDG143, guideline figure for a man who holds the load close at the height of the waist (16 kg for a woman), from
# memory. Above the second, one person alone should not lift it off the floor: NIOSH publication 94-110, 23 kg x (0.25 m /
# 0.30 m) x 0.775 x 0.88 x 0.90 for hands 30 cm out, from the floor, up by 75 cm, poor grip, rounded to whole kilograms.
PIECE_TO_BE_HOISTED = 25.0
LIFTED_ALONE = 12.0


class MeltError(ValueError):
    """Raised for an impossible melt, with a mass or fraction out of range."""


@frozen
class Melt:
    """The charge and its parts, which add up to it.

    Attributes:
        cast_mass: Mass of the cast body. [kg]
        feeder: Mass of sprue and feeder. [kg]
        reserve: Metal to pour into dry, warm ingot tins. It must never freeze in the pot. [kg]
        dross: Dross skimmed off, clips and dirt included. [kg]
        charge: Metal that goes into the pot. [kg]
        feeder_source: Source of the feeder's mass.
        dross_share: Dross as a fraction of the charge. [-]
        heel: Metal that stays in the pot when the rest is poured; tipped into ingot tins at the end. [kg]
    """

    cast_mass: float
    feeder: float
    reserve: float
    dross: float
    charge: float
    feeder_source: str
    dross_share: float
    heel: float = 0.0

    @property
    def poured(self) -> float:
        """Metal poured into the mould. [kg]"""
        return self.cast_mass + self.feeder

    @property
    def least(self) -> float:
        """Charge without a reserve. [kg]"""
        return (self.cast_mass + self.feeder + self.heel) / (1.0 - self.dross_share)

    @property
    def most(self) -> float:
        """Charge if the fraction of dross doubles or, if that is lower, rises half-way to 100 %. [kg]"""
        share = min(2.0 * self.dross_share, 0.5 * (1.0 + self.dross_share))
        return self.clean / (1.0 - share)

    @property
    def clean(self) -> float:
        """Clean metal that the scrap must yield. [kg]"""
        return self.cast_mass + self.feeder + self.reserve + self.heel


def melt_of(
    cast_mass: float,
    *,
    feeder: float,
    reserve: float,
    dross: float,
    heel: float = 0.0,
    feeder_source: str = "as given",
) -> Melt:
    """Calculate the charge for a casting.

    Args:
        cast_mass: Mass of the cast body. [kg]
        feeder: Mass of sprue and feeder. [kg]
        reserve: Extra metal kept in reserve, as a fraction of what is poured. [-]
        dross: Fraction of the charge that is skimmed off. [-]
        heel: Metal that does not pour out of the pot. [kg]
        feeder_source: Source of the feeder's mass.

    Returns:
        The charge and its parts.

    Raises:
        MeltError: The cast mass is not above zero, the feeder, reserve or heel is below zero, the dross is below zero
            or not below 1, or one of them is not finite.
    """
    if not (math.isfinite(cast_mass) and cast_mass > 0.0):
        raise MeltError(f"The cast mass is {cast_mass:g} kg; it must be above zero.")
    if not (math.isfinite(feeder) and feeder >= 0.0):
        raise MeltError(f"The feeder is {feeder:g} kg; it must be zero or more.")
    if not (math.isfinite(reserve) and reserve >= 0.0):
        raise MeltError(f"The reserve is {reserve * 100:g} % of what is poured; it must be zero or more.")
    if not (math.isfinite(heel) and heel >= 0.0):
        raise MeltError(f"The heel is {heel:g} kg; it must be zero or more.")
    if not 0.0 <= dross < 1.0:
        raise MeltError(
            f"The dross is {dross * 100:g} % of the charge; it must be at least 0 % and below 100 %."
        )
    kept = reserve * (cast_mass + feeder)
    clean = cast_mass + feeder + kept + heel
    skimmed = clean * dross / (1.0 - dross)
    return Melt(
        cast_mass=cast_mass,
        feeder=feeder,
        reserve=kept,
        dross=skimmed,
        charge=clean + skimmed,
        feeder_source=feeder_source,
        dross_share=dross,
        heel=heel,
    )


def planned_melt(
    section: MeltSection,
    cast_mass: float,
    *,
    dross: float,
    heel: float = 0.0,
    gating: tuple[float, str],
) -> Melt:
    """Calculate the charge for a plan, with defaults for what the plan leaves out.

    Args:
        section: The plan's [melt].
        cast_mass: Mass of the cast body. [kg]
        dross: Fraction of the charge that is skimmed off, for the alloy or the scrap. [-]
        heel: Metal that does not pour out of the pot. [kg]
        gating: Mass of sprue and feeder that the mould needs [kg], and its source.

    Returns:
        The charge and its parts.

    Raises:
        MeltError: Same as for `melt_of`.
    """
    share = section.feeder_fraction
    if section.feeder_mass is not None:
        feeder, source = section.feeder_mass, "as given"
    elif share is not None:
        feeder, source = share * cast_mass, f"{share * 100:g} % of the cast mass, as given"
    else:
        feeder, source = gating
    return melt_of(
        cast_mass,
        feeder=feeder,
        reserve=section.reserve,
        dross=dross if section.dross is None else section.dross,
        heel=heel,
        feeder_source=source,
    )
