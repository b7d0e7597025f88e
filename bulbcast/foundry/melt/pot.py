"""The pot: what it takes, how often it is filled, how the metal gets from it to the mould."""

from __future__ import annotations

import math
from typing import Literal

from bulbcast.quantities.frozen import frozen

Way = Literal["lift", "ladle", "tap"]

FILL = 0.75
"""Of the brim: common practice, no source (70 to 75 %)."""
NOMINAL_FILL = 0.85
"""Of an electric pot's nominal mass of lead: common practice, no source."""


class PotError(ValueError):
    """A pot that cannot be: no room, no ladle, or pieces of no mass."""


@frozen
class Pot:
    """One pot, or several alike that are on the fire at once.

    Attributes:
        capacity: Of liquid metal, one pot, brim-full. [kg]
        fill: Of that, as much as may be in it. [-]
        count: How many are on the fire at once. [-]
        mass: Own mass of one. [kg]
        way: How the metal gets out: lifted and tipped, ladled, or tapped and tilted on a stand.
        lift: Pot and metal that may be carried. [kg]
        ladle: Metal that a ladle takes; None: as much as may be carried. [kg]
    """

    capacity: float
    fill: float
    count: int
    mass: float
    way: Way
    lift: float
    ladle: float | None

    @property
    def usable(self) -> float:
        """Of all pots together. [kg]"""
        return self.capacity * self.fill * self.count


@frozen
class PotPlan:
    """The charge in the pot.

    Attributes:
        pieces: Castings, poured one after the other, each in one go. [-]
        piece_charge: Into the pot for one of them. [kg]
        piece_pour: Out of it into the mould of one. [kg]
        fits: Whether one piece's charge goes in.
        melts: Times that the pots are filled and fired. [-]
        per_melt: Pieces from one filling. [-]
        charge: Into the pots at one filling. [kg]
        fill: Of the brim, by that. [-]
        lifted: Pot and metal of one pot, at its fullest. [kg]
        can_lift: Whether that may be carried.
        ladle: Metal in one ladle; None where it is not ladled. [kg]
        ladles: For one piece; 0 where it is not ladled. [-]
    """

    pieces: int
    piece_charge: float
    piece_pour: float
    fits: bool
    melts: int
    per_melt: int
    charge: float
    fill: float
    lifted: float
    can_lift: bool
    ladle: float | None
    ladles: int


@frozen
class WaysOut:
    """What would do where one piece does not fit the pot.

    Attributes:
        capacity: Of a pot that takes it; None where the heel grows as fast as the pot. [kg]
        count: Of pots like this, on the fire at once; None likewise. [-]
    """

    capacity: float | None
    count: int | None


def pot_plan(pot: Pot, *, pieces: int, charge: float, pour: float) -> PotPlan:
    """How a charge goes through a pot.

    Args:
        pot: The pot.
        pieces: Castings, alike. [-]
        charge: Into the pot for all of them. [kg]
        pour: Out of it into the moulds of all. [kg]

    Returns:
        The plan. A piece is poured in one go, so that no piece is spread over two fillings.

    Raises:
        PotError: A figure is not above zero.
    """
    if not (pieces >= 1 and min(charge, pour, pot.capacity, pot.fill, pot.lift) > 0.0 and pot.count >= 1):
        raise PotError("pieces, charge, pour, capacity, fill, lift and count must be above zero")
    if pot.ladle is not None and not pot.ladle > 0.0:
        raise PotError("a ladle must take something")
    piece = charge / pieces
    fits = piece <= pot.usable * (1.0 + 1e-9)
    per_melt = min(pieces, max(math.floor(pot.usable / piece + 1e-9), 1))
    melts = math.ceil(pieces / per_melt)
    per_melt = math.ceil(pieces / melts)
    full = per_melt * piece
    lifted = pot.mass + full / pot.count
    ladle = (pot.lift if pot.ladle is None else pot.ladle) if pot.way == "ladle" else None
    return PotPlan(
        pieces=pieces,
        piece_charge=piece,
        piece_pour=pour / pieces,
        fits=fits,
        melts=melts,
        per_melt=per_melt,
        charge=full,
        fill=full / (pot.capacity * pot.count),
        lifted=lifted,
        can_lift=lifted <= pot.lift * (1.0 + 1e-9),
        ladle=ladle,
        ladles=0 if ladle is None else math.ceil(pour / pieces / ladle - 1e-9),
    )


def ways_out(pot: Pot, piece_charge: float, *, heel_growth: float = 0.0) -> WaysOut:
    """What would take a piece that this pot does not.

    Args:
        pot: The pot.
        piece_charge: Into the pot for one piece, the heel of the pots as they are included. [kg]
        heel_growth: What the charge of one piece grows by with each kg that the pots together hold more: a ladle
            leaves a share of the pot, so that a bigger pot asks for more metal. [-]

    Returns:
        A bigger pot, or more pots.
    """
    room = pot.fill - heel_growth
    if room <= 0.0:
        return WaysOut(capacity=None, count=None)
    # All but the heel, over what of each kg of capacity is left for it.
    together = (piece_charge - heel_growth * pot.capacity * pot.count) / room
    return WaysOut(capacity=together / pot.count, count=math.ceil(together / pot.capacity - 1e-9))
