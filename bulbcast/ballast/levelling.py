"""Smallest changes that level the boat if no position of the bulb on the fin does: moving weights within their limits, or
putting some ballast inside.

Each move gives a moment in proportion to mass times distance, so finding the moves is a linear program with one equation
and a limit on each move. The smallest set of moves that can give the moment is used. Within a set, the total mass times
distance is minimised by using the moves with the lowest cost per moment first, then the heaviest weights, which move the
shortest distance. With a single equation this is the optimum of the linear program. Ballast placed inside costs more per
moment than a moved weight: buoyancy supports part of the lead's weight in the bulb, so more lead must be removed from the
bulb than is put inside. The bulb's reach does not change linearly with its size, so the bulb is sized again and the
moment corrected until the boat is level with the figures as typed.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from itertools import combinations

from bulbcast.ballast.for_boat import BulbForBoat
from bulbcast.ballast.reach import Reach
from bulbcast.ballast.target import RestOfBoat
from bulbcast.plan.sections import Plan
from bulbcast.quantities import Dimension, Shown, read_quantity
from bulbcast.quantities.frozen import frozen, replace

LEVEL = 1e-6
"""Distance from the required position within which the boat counts as level. [m]"""
LEAD_MOST = 0.3
"""Largest fraction of the bulb's apparent mass to move inside the boat; a larger one would reduce stability too much.
Judgement. [-]"""
_MOST_WAYS = 12
"""Largest number of moves to combine; those with the largest moments are used. 12 moves make 4,095 sets."""
_ROUNDS = 12


@frozen
class Lever:
    """A move that can provide a moment.

    Attributes:
        most: Largest moment it can give in the required direction, 0 or more. [kg m]
        cost: Mass times distance moved, divided by the moment that it gives. [-]
        mass: Mass moved; for ballast, the largest mass. [kg]
    """

    most: float
    cost: float
    mass: float


def cheapest(levers: Sequence[Lever], moment: float) -> tuple[float, ...] | None:
    """Find the smallest set of moves that gives a moment; of sets of equal size, the one with the least movement.

    Args:
        levers: Moves to choose from.
        moment: Moment required, above 0. [kg m]

    Returns:
        Moment that each move gives [kg m]; None if all of them together are not enough.
    """
    able = sorted(
        (one for one in range(len(levers)) if levers[one].most > 0.0), key=lambda one: -levers[one].most
    )
    able = able[:_MOST_WAYS]
    for count in range(1, len(able) + 1):
        best: tuple[tuple[float, float], dict[int, float]] | None = None
        for chosen in combinations(able, count):
            if math.fsum(levers[one].most for one in chosen) < moment:
                continue
            given = _filled(levers, chosen, moment)
            price = math.fsum(levers[one].cost * part for one, part in given.items())
            way = math.fsum(part / levers[one].mass for one, part in given.items())
            # Sums in a different order differ by rounding, so a tiny saving is not worth a longer move.
            key = (float(f"{price:.9e}"), way)
            if best is None or key < best[0]:
                best = (key, given)
        if best is not None:
            return tuple(best[1].get(one, 0.0) for one in range(len(levers)))
    return None


def _filled(levers: Sequence[Lever], chosen: Sequence[int], moment: float) -> dict[int, float]:
    given, left = {}, moment
    for one in sorted(chosen, key=lambda one: (levers[one].cost, -levers[one].mass)):
        given[one] = min(left, levers[one].most)
        left = max(0.0, left - given[one])
    return given


@frozen
class LevelMove:
    """One move of a weight, as a line to type in the plan.

    Attributes:
        number: Number of the weight in the plan, from 1; None for ballast placed inside.
        name: Name of the weight.
        start: Present position; for ballast, its position in the bulb. [m]
        end: New position, as typed. [m]
        mass: Mass moved. [kg]
    """

    number: int | None
    name: str
    start: float
    end: float
    mass: float


@frozen
class Levelling:
    """The combination of moves with the lowest cost that levels the boat.

    Attributes:
        moves: The moves to make, as typed.
        bulb: Bulb's mass after the moves. [kg]
    """

    moves: tuple[LevelMove, ...]
    bulb: float


class Leveller:
    """Moves that can level a plan's boat, with figures rounded as they are typed."""

    def __init__(
        self, plan: Plan, reach: Reach, *, factor: float, lead_at: Sequence[float], lead: bool
    ) -> None:
        """Collect the moves that help to level the boat.

        Args:
            plan: Plan with its weights.
            reach: Reach of the fin, which falls short of the required position.
            factor: Value of 1 - rho_w / rho for the bulb's lead. [-]
            lead_at: Positions where ballast can be put, boat axes. [m]
            lead: Whether ballast may be moved from the bulb; False if the plan gives the bulb's mass.
        """
        self.shown, self.placed, self.aft = Shown(plan.display_units), reach.placed_x, reach.moment > 0.0
        self.ways: list[tuple[int | None, str, float, float]] = []
        self.levers: list[Lever] = []
        for number, one in enumerate(plan.weights, start=1):
            fore, aft = one.movable_forward_to, one.movable_aft_to
            if one.x is None or fore is None or aft is None or one.mass <= 0.0:
                continue
            end = self._typed(aft if self.aft else fore, outwards=False)
            self._add((number, one.name, one.x, end), one.mass * (end - one.x), 1.0, one.mass)
        for x in lead_at if lead else ():
            place = self._typed(x, outwards=False)
            most = LEAD_MOST * reach.apparent_mass
            self._add(
                (None, "trim lead", self.placed, place), most * (place - self.placed), 1.0 / factor, most
            )

    def _add(self, way: tuple[int | None, str, float, float], most: float, cost: float, mass: float) -> None:
        self.ways.append(way)
        self.levers.append(Lever(most=max(0.0, most if self.aft else -most), cost=cost, mass=mass))

    def _typed(self, x: float, *, outwards: bool) -> float:
        """Round a position, in the direction of the moment or against it, to a value that can be typed in the plan. [m]"""
        step = 0.0254 / 32.0 if self.shown.units == "imperial" else 1e-3 if abs(x) >= 1.99 else 1e-4
        ahead = outwards == self.aft
        whole = math.ceil(x / step - 1e-6) if ahead else math.floor(x / step + 1e-6)
        return read_quantity(self.shown.length(whole * step), Dimension.LENGTH)

    def moves(self, moment: float) -> tuple[LevelMove, ...] | None:
        """Return the moves, rounded as typed, that give the required moment; None if no combination does.

        Args:
            moment: Size of the moment required. [kg m]
        """
        parts = cheapest(self.levers, moment)
        if parts is None:
            return None
        found = []
        for (number, name, start, end), lever, part in zip(self.ways, self.levers, parts, strict=True):
            if part <= 0.0:
                continue
            if number is None:
                step = 0.0028349523125 if self.shown.units == "imperial" else 1e-4
                mass = math.ceil(part / abs(end - start) / step - 1e-6) * step
                mass = read_quantity(self.shown.mass(mass), Dimension.MASS)
                found.append(LevelMove(number=None, name=name, start=start, end=end, mass=mass))
                continue
            way = part / lever.mass
            place = self._typed(start + (way if self.aft else -way), outwards=True)
            place = min(place, end) if self.aft else max(place, end)
            found.append(LevelMove(number=number, name=name, start=start, end=place, mass=lever.mass))
        return tuple(found)


def rest_with(rest: RestOfBoat, moves: Sequence[LevelMove]) -> RestOfBoat:
    """Return the boat without her bulb after the moves are made.

    Args:
        rest: Everything but the bulb before the moves, with its position known.
        moves: Moves of a `Leveller`.
    """
    if rest.mass_x is None:
        raise ValueError("the boat can be levelled only if the position of every weight is known")
    lead = math.fsum(one.mass for one in moves if one.number is None)
    moment = math.fsum(one.mass * (one.end - (0.0 if one.number is None else one.start)) for one in moves)
    mass = rest.mass + lead
    return replace(rest, mass=mass, mass_x=(rest.mass * rest.mass_x + moment) / mass)


def levelling_of(
    leveller: Leveller,
    reach: Reach,
    rest: RestOfBoat,
    water_density: float,
    sized: Callable[[RestOfBoat], BulbForBoat | None],
) -> Levelling | None:
    """Find the combination of moves with the lowest cost, corrected until the resized bulb hangs where it levels the
    boat.

    Args:
        leveller: Moves that can level the boat.
        reach: Reach of the fin, which falls short of the required position.
        rest: Everything but the bulb.
        water_density: Density of the water. [kg/m3]
        sized: Function that returns the bulb after everything else has changed.

    Returns:
        The combination; None if no combination levels the boat.
    """
    wanted = abs(reach.moment)
    for _ in range(_ROUNDS):
        moves = leveller.moves(wanted)
        if moves is None:
            return None
        found = sized(rest_with(rest, moves))
        if found is None:
            return None
        if abs(found.short) <= LEVEL:
            return Levelling(moves=moves, bulb=found.bulb.mass)
        wanted += (1.0 if leveller.aft else -1.0) * found.short * found.afloat.apparent(water_density)
        if wanted <= 0.0:
            return None
    return None
