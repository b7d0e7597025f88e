"""The pot: its capacity, the number of fillings, and how the metal gets from it to the mould."""

from __future__ import annotations

import math
from typing import Literal

from bulbcast.quantities.frozen import frozen

Way = Literal["lift", "ladle", "tap"]

FILL = 0.75
"""Usable fraction of the brim-full volume: common practice, no source (70 to 75 %)."""
NOMINAL_FILL = 0.85
"""Usable fraction of an electric pot's nominal mass of lead: common practice, no source."""


USUAL_THICKNESS = 0.008
"""Wall thickness assumed for a pot whose mass is not given. Judgement: heavier than most pots sold for lead. [m]"""
IRON = 7850.0
"""Density of mild steel, a little above that of cast iron. [kg/m3]"""


class PotError(ValueError):
    """Raised for an impossible pot: no room, an empty ladle, or pieces without mass."""


TEAM_OF_TWO = 2.0 / 3.0
TEAM_OF_MORE = 0.5
"""Mass that a team of two, or of three, can lift, as a fraction of the sum of what its members can lift alone: HSE,
Manual handling (L23), from memory. The fraction for three is also used for larger teams. [-]"""
MOST_ROUND_A_POT = 2
"""Maximum number of people who carry a hot pot on a bar; more would get in each other's way. Common practice, no
source. [-]"""


def team_lifts(alone: float, people: int) -> float:
    """Return the mass that a number of people can lift together.

    Args:
        alone: Mass that each can lift alone. [kg]
        people: Number of people. [-]

    Returns:
        Mass. [kg]
    """
    if people <= 1:
        return alone
    return alone * people * (TEAM_OF_TWO if people == 2 else TEAM_OF_MORE)


def usual_pot_mass(volume: float) -> float:
    """Estimate the mass of an empty pot: iron 8 mm thick, open at the top, as wide inside as it is deep.

    The estimate is on the heavy side, because the pot has to be lifted and heated.

    Args:
        volume: Inside volume, brim-full. [m3]

    Returns:
        Mass. [kg]
    """
    wide = math.cbrt(4.0 * volume / math.pi)
    outside = 0.25 * math.pi * (wide + 2.0 * USUAL_THICKNESS) ** 2 * (wide + USUAL_THICKNESS)
    return IRON * (outside - volume)


@frozen
class OtherPot:
    """A further pot that is hot at the same time as the first.

    Attributes:
        capacity: Capacity for liquid metal, brim-full. [kg]
        fill: Usable fraction of that capacity. [-]
        mass: Mass of the empty pot. [kg]
    """

    capacity: float
    fill: float
    mass: float


@frozen
class Pot:
    """One pot, or a number of identical pots on the fire at once.

    Attributes:
        capacity: Mass of liquid metal in one pot, brim-full. [kg]
        fill: Usable fraction of that capacity. [-]
        count: Number of pots on the fire at once. [-]
        mass: Mass of one empty pot. [kg]
        way: How the metal is taken out: by lifting and tipping the pot, by ladling, or by tapping or tilting it on a
            stand.
        lift: Mass of pot and metal that one person may carry. [kg]
        ladle: Mass of metal that a ladle holds; None means as much as one person may carry. [kg]
        others: Other pots that are hot at the same time.
        people: Number of people who lift together. [-]
        hoist: Working load limit of the hoist; None if there is no hoist. [kg]
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
        """Usable capacity of the other pots. [kg]"""
        return sum(one.capacity * one.fill for one in self.others)

    @property
    def usable(self) -> float:
        """Usable capacity of all pots together. [kg]"""
        return self.capacity * self.fill * self.count + self.others_take

    @property
    def brim(self) -> float:
        """Brim-full capacity of all pots together. [kg]"""
        return self.capacity * self.count + sum(one.capacity for one in self.others)

    @property
    def number(self) -> int:
        """Number of pots on the fire. [-]"""
        return self.count + len(self.others)

    @property
    def by_hand(self) -> float:
        """Mass of pot and metal that can be carried by the people available, counting at most two of them. [kg]"""
        return team_lifts(self.lift, min(self.people, MOST_ROUND_A_POT))


@frozen
class PotPlan:
    """Division of the charge into fillings of the pot.

    Attributes:
        pieces: Number of castings, poured one after another, each without a pause. [-]
        piece_charge: Charge for one casting. [kg]
        piece_pour: Metal poured into the mould of one casting. [kg]
        fits: Whether the charge for one piece fits.
        melts: Number of times the pots are filled and fired. [-]
        per_melt: Number of castings from one filling. [-]
        charge: Charge of one filling. [kg]
        fill: Fill of the pots with that charge, as a fraction of brim-full. [-]
        lifted: Mass of the heaviest pot with its metal, at its fullest. [kg]
        can_lift: Whether that mass can be carried by hand or by the hoist.
        ladle: Metal in one ladle; None if the metal is not ladled. [kg]
        ladles: Number of ladlefuls for one piece; 0 if the metal is not ladled. [-]
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
    """Pot capacity that would be enough for a piece that does not fit in the pot.

    Attributes:
        capacity: Capacity of a pot that would hold the piece; None if the heel grows as fast as the pot. [kg]
        count: Number of pots like this one on the fire at once; None if the heel grows as fast as the capacity. [-]
    """

    capacity: float | None
    count: int | None


def pot_plan(pot: Pot, *, pieces: int, charge: float, pour: float) -> PotPlan:
    """Divide a charge into fillings of the pot.

    Args:
        pot: The pot.
        pieces: Number of identical castings. [-]
        charge: Charge for all of them. [kg]
        pour: Metal poured into all the moulds. [kg]

    Returns:
        The fillings. A piece is poured without a pause, so no piece is spread over two fillings.

    Raises:
        PotError: A figure is zero or less.
    """
    if not (pieces >= 1 and min(charge, pour, pot.capacity, pot.fill, pot.lift) > 0.0 and pot.count >= 1):
        raise PotError("The pieces, charge, pour, capacity, fill, lift and count must all be above zero.")
    if pot.ladle is not None and not pot.ladle > 0.0:
        raise PotError("The ladle's capacity must be above zero.")
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
    """Calculate the capacity or number of pots for a piece that does not fit in this pot.

    Args:
        pot: The pot.
        piece_charge: Charge for one piece, with the heel of the pots as they are. [kg]
        heel_growth: Growth of one piece's charge with each extra kg of total pot capacity. A ladle leaves a fraction of
            the pot's contents behind, so a bigger pot needs more metal. [-]

    Returns:
        A bigger pot, or more pots.
    """
    room = pot.fill - heel_growth
    if room <= 0.0:
        return WaysOut(capacity=None, count=None)
    # The charge without the heel, divided by the part of each kg of capacity that is left for it.
    together = (piece_charge - pot.others_take - heel_growth * pot.capacity * pot.count) / room
    return WaysOut(capacity=together / pot.count, count=math.ceil(together / pot.capacity - 1e-9))
