"""Loads to lift (pot, ladle, mould parts, casting and bulb) and who lifts them. The heaviest single lift determines
the number of people or the hoist needed.

For cold pieces the limit is the guideline for one person or a team. For hot metal it is what one person can carry at
arm's length. For a hoist it is the working load limit.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from bulbcast.foundry.melt.charge import LIFTED_ALONE, PIECE_TO_BE_HOISTED
from bulbcast.foundry.melt.pot import Pot, PotPlan, team_lifts
from bulbcast.foundry.results import FoundryResults
from bulbcast.plan.pot_sections import LiftingSection
from bulbcast.quantities.frozen import frozen

if TYPE_CHECKING:
    # Loaded only if the plan has a mould.
    from bulbcast.foundry.mould.design import MouldDesign

MOST_IN_A_TEAM = 4
"""Maximum number of people who have room to stand round a bulb or a mould. Judgement. [-]"""


@frozen
class Lift:
    """One load that is lifted in one piece.

    Attributes:
        what: Description of the load.
        mass: Mass. [kg]
        hot: Whether it contains molten metal.
        people: Number of people needed to lift it by hand; None if it needs a hoist. [-]
    """

    what: str
    mass: float
    hot: bool
    people: int | None

    def by(self, lifting: LiftingSection | None) -> str:
        """Return who can lift the load: "hands", "hoist", or "" if nobody available can.

        Args:
            lifting: The plan's [lifting]; None means one person and no hoist.
        """
        if self.people is not None and self.people <= (1 if lifting is None else lifting.people):
            return "hands"
        hoist = None if lifting is None else lifting.hoist
        return "hoist" if hoist is not None and self.mass <= hoist * (1.0 + 1e-9) else ""


def hands_for(mass: float) -> int | None:
    """Return how many people it takes to lift a cold piece off the floor; None if it needs a hoist.

    Args:
        mass: Mass of the piece. [kg]
    """
    if mass <= LIFTED_ALONE:
        return 1
    enough = (
        people for people in range(2, MOST_IN_A_TEAM + 1) if mass <= team_lifts(PIECE_TO_BE_HOISTED, people)
    )
    return next(enough, None)


def all_lifts(job: FoundryResults) -> tuple[Lift, ...]:
    """Return all heavy loads to lift in a job.

    Args:
        job: Results that include the mould and the melt.
    """
    melting = job.melting
    pot, pots = (None, None) if melting is None else (melting.pot, melting.pots)
    return lifts_of(job.mould, pot, pots, poured=job.melt.poured, hung=job.bulb.mass)


def lifts_of(
    mould: MouldDesign | None, pot: Pot | None, pots: PotPlan | None, *, poured: float, hung: float
) -> tuple[Lift, ...]:
    """Return all heavy loads to lift, in the order in which they are lifted.

    Args:
        mould: The mould; None if the plan has none.
        pot: The pot, with any other pots; None if the plan has none.
        pots: Fillings of the pot; None without a pot.
        poured: Mass poured into all moulds, feeders included; this is the mass lifted out. [kg]
        hung: Mass of the complete bulb as it is lifted to the fin. [kg]
    """
    return tuple(_lifts(mould, pot, pots, poured=poured, hung=hung))


def _lifts(
    mould: MouldDesign | None, pot: Pot | None, pots: PotPlan | None, *, poured: float, hung: float
) -> Iterator[Lift]:
    if mould is not None:
        part = max(mould.parts, key=lambda one: one.just_set)
        wet = "just set" if mould.mix is not None else "rammed"
        yield _cold(f"{part.name} of the mould, {wet}", part.just_set)
    if pot is not None and pots is not None and pot.way == "lift":
        alone = pots.lifted <= pot.lift * (1.0 + 1e-9)
        two = pots.lifted <= team_lifts(pot.lift, 2) * (1.0 + 1e-9)
        yield Lift(
            what="pot and metal", mass=pots.lifted, hot=True, people=1 if alone else 2 if two else None
        )
    if pot is not None and pots is not None and pots.ladle is not None:
        metal = min(pots.ladle, pots.piece_pour)
        yield Lift(
            what="metal in the ladle",
            mass=metal,
            hot=True,
            people=1 if metal <= pot.lift * (1.0 + 1e-9) else None,
        )
    pieces = 1 if mould is None else mould.pours
    yield _cold("casting with its feeder" if pieces == 1 else "half with its overfill", poured / pieces)
    yield _cold("bulb as fitted to the fin", hung)


def _cold(what: str, mass: float) -> Lift:
    return Lift(what=what, mass=mass, hot=False, people=hands_for(mass))
