"""Scrap on hand compared with the metal required: the amount melted from each lot, the blend, and the shortage.

Lots go into the pot in the order given until there is enough metal; the rest is left over. Masses and yields of the
lots are assumed to be independent.

The dross of a lot is assumed to have the composition of the lot. If the yield is lower than the dross of its kind
accounts for, the remaining loss is assumed to be sorted out before melting.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

from bulbcast.quantities.frozen import frozen


class StockError(ValueError):
    """Raised if the stock cannot be calculated because a mass, yield or density is out of range."""


@frozen
class Lot:
    """One heap of scrap.

    Attributes:
        name: The builder's name for it.
        gross: Gross mass of the heap. [kg]
        gross_spread: Standard deviation of the gross mass. [kg]
        yield_: Ratio of clean metal to gross mass. [-]
        yield_spread: Standard deviation of the yield. [-]
        dross: Fraction of the charge that is skimmed off. [-]
        density: Density of its sound metal at 20 degC. [kg/m3]
        density_spread: Standard deviation of the density. [kg/m3]
        known: Whether its kind is stated, or its density is given or measured.
    """

    name: str
    gross: float
    gross_spread: float
    yield_: float
    yield_spread: float
    dross: float
    density: float
    density_spread: float
    known: bool

    @property
    def clean(self) -> float:
        """Clean metal that the lot yields. [kg]"""
        return self.gross * self.yield_

    @property
    def clean_spread(self) -> float:
        """Standard deviation of the mass of clean metal. [kg]"""
        return math.hypot(self.gross_spread * self.yield_, self.gross * self.yield_spread)

    @property
    def melted_share(self) -> float:
        """Fraction of the lot's gross mass that goes into the pot; the rest is sorted out first. [-]"""
        return min(self.yield_ / (1.0 - self.dross), 1.0)


@frozen
class Taken:
    """Amount used from one lot.

    Attributes:
        lot: The lot.
        gross: Mass taken from the heap. [kg]
        culled: Mass sorted out of that before melting. [kg]
        melted: Mass that goes into the pot. [kg]
        clean: Clean metal that it yields. [kg]
        left: Mass left on the heap. [kg]
    """

    lot: Lot
    gross: float
    culled: float
    melted: float
    clean: float
    left: float


@frozen
class Stock:
    """All lots compared with the metal required.

    Attributes:
        taken: Amount used from each lot, in order.
        wanted: Clean metal required. [kg]
        available: Clean metal in all lots. [kg]
        spread: Standard deviation of the available metal. [kg]
        density: Density of the blend that is melted. [kg/m3]
        density_spread: Standard deviation of the density. [kg/m3]
        dross: Fraction of the charge that is skimmed off. [-]
    """

    taken: tuple[Taken, ...]
    wanted: float
    available: float
    spread: float
    density: float
    density_spread: float
    dross: float

    @property
    def short(self) -> float:
        """Shortage of clean metal; zero if there is enough. [kg]"""
        return max(self.wanted - self.available, 0.0)

    @property
    def over(self) -> float:
        """Clean metal left over. [kg]"""
        return max(self.available - self.wanted, 0.0)


def stock_of(lots: Sequence[Lot], wanted: float) -> Stock:
    """Calculate the amount melted from each lot, and the blend.

    1 / density = sum of mass fraction / density, as for the elements of an alloy; the dross is assumed to have the
    composition of its lot.

    Args:
        lots: The lots in the order in which they go into the pot.
        wanted: Clean metal required. [kg]

    Returns:
        The stock. If there is not enough metal, the blend is that of all the scrap.

    Raises:
        StockError: There are no lots, or a figure is out of range.
    """
    if not lots:
        raise StockError("The list of scrap lots is empty.")
    for lot in lots:
        _check(lot)
    if not (math.isfinite(wanted) and wanted > 0.0):
        raise StockError(f"The metal required is {wanted:g} kg; it must be above zero.")
    taken, missing = [], wanted
    for lot in lots:
        clean = min(lot.clean, missing)
        missing -= clean
        gross = clean / lot.yield_
        melted = gross * lot.melted_share
        taken.append(
            Taken(
                lot=lot,
                gross=gross,
                culled=gross - melted,
                melted=melted,
                clean=clean,
                left=lot.gross - gross,
            )
        )
    density, spread = blend_of([(one.lot, one.clean) for one in taken if one.clean > 0.0])
    melted = math.fsum(one.melted for one in taken)
    return Stock(
        taken=tuple(taken),
        wanted=wanted,
        available=math.fsum(lot.clean for lot in lots),
        spread=math.hypot(*(lot.clean_spread for lot in lots)),
        density=density,
        density_spread=spread,
        dross=1.0 - math.fsum(one.clean for one in taken) / melted,
    )


def blend_of(parts: Sequence[tuple[Lot, float]]) -> tuple[float, float]:
    """Calculate the density of a blend and its spread.

    Args:
        parts: Lots with the clean metal used from each, above zero. [kg]

    Returns:
        Density by additive volume, and its standard deviation to first order, to which each density contributes by w
        (rho / rho_i)^2 and each mass by (rho / M) (1 - rho / rho_i). [kg/m3], [kg/m3]

    Raises:
        StockError: There are no parts.
    """
    total = math.fsum(mass for _, mass in parts)
    if not total > 0.0:
        raise StockError("A blend without any metal has no density.")
    density = total / math.fsum(mass / lot.density for lot, mass in parts)
    terms = []
    for lot, mass in parts:
        terms.append(mass / total * (density / lot.density) ** 2 * lot.density_spread)
        mass_spread = mass * lot.clean_spread / lot.clean
        terms.append(density / total * (1.0 - density / lot.density) * mass_spread)
    return density, math.hypot(*terms)


def _check(lot: Lot) -> None:
    fine = (
        lot.gross > 0.0
        and 0.0 < lot.yield_ <= 1.0
        and 0.0 <= lot.dross < 1.0
        and lot.density > 0.0
        and min(lot.gross_spread, lot.yield_spread, lot.density_spread) >= 0.0
    )
    if not fine:
        raise StockError(
            f"{lot.name}: the gross mass, yield and density must be above zero, the yield at most 1, the dross below 1, "
            "and no spread below zero"
        )
