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


TEAM_OF_TWO = 2.0 / 3.0
TEAM_OF_MORE = 0.5
"""Of what each lifts alone, added up: HSE, Manual handling (L23), a team of two and of three; from memory."""
MOST_ROUND_A_POT = 2
"""Who carry a hot pot on a bar between them: more get in each other's way. Common practice, no source. [-]"""


def team_lifts(alone: float, people: int) -> float:
    """What so many people lift together.

    Args:
        alone: What each lifts alone. [kg]
        people: [-]

    Returns:
        [kg]
    """
    if people <= 1:
        return alone
    return alone * people * (TEAM_OF_TWO if people == 2 else TEAM_OF_MORE)


@frozen
class OtherPot:
    """A pot unlike the first that is hot at the same time.

    Attributes:
        capacity: Of liquid metal, brim-full. [kg]
        fill: Of that, as much as may be in it. [-]
        mass: Its own. [kg]
    """

    capacity: float
    fill: float
    mass: float


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
        others: Pots unlike this one, hot at the same time.
        people: Who lift together. [-]
        hoist: Its working load limit; None: there is none. [kg]
    """

    capacity: float
    fill: float
    count: int
    mass: float
    way: Way
    lift: float
    ladle: float | None
    others: tuple[OtherPot, ...] = ()
    people: int = 1
    hoist: float | None = None

    @property
    def others_take(self) -> float:
        """Metal that the other pots take. [kg]"""
        return sum(one.capacity * one.fill for one in self.others)

    @property
    def usable(self) -> float:
        """Of all pots together. [kg]"""
        return self.capacity * self.fill * self.count + self.others_take

    @property
    def brim(self) -> float:
        """Of all pots together, brim-full. [kg]"""
        return self.capacity * self.count + sum(one.capacity for one in self.others)

    @property
    def number(self) -> int:
        """Of pots on the fire. [-]"""
        return self.count + len(self.others)

    @property
    def by_hand(self) -> float:
        """Pot and metal that the people there carry, two of them at most. [kg]"""
        return team_lifts(self.lift, min(self.people, MOST_ROUND_A_POT))


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
        lifted: Pot and metal of the heaviest pot, at its fullest. [kg]
        can_lift: Whether that may be carried, by hand or by the hoist.
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
    own = (pot.mass, pot.capacity * pot.fill)
    share = full / pot.usable
    lifted = max(
        mass + share * takes
        for mass, takes in (own, *((one.mass, one.capacity * one.fill) for one in pot.others))
    )
    carried = max(pot.by_hand, pot.hoist or 0.0)
    ladle = (pot.lift if pot.ladle is None else pot.ladle) if pot.way == "ladle" else None
    return PotPlan(
        pieces=pieces,
        piece_charge=piece,
        piece_pour=pour / pieces,
        fits=fits,
        melts=melts,
        per_melt=per_melt,
        charge=full,
        fill=full / pot.brim,
        lifted=lifted,
        can_lift=lifted <= carried * (1.0 + 1e-9),
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
    together = (piece_charge - pot.others_take - heel_growth * pot.capacity * pot.count) / room
    return WaysOut(capacity=together / pot.count, count=math.ceil(together / pot.capacity - 1e-9))
