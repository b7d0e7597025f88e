"""Weights that may be moved to trim her: by how much within the places allowed, one alone or few together."""

from __future__ import annotations

import math

from bulbcast.plan.sections import Plan
from bulbcast.quantities.checked import BoatFigureError, require_finite, require_positive, shown
from bulbcast.quantities.frozen import frozen


@frozen
class MovableWeight:
    """A weight on board whose place is not fixed. Boat axes; a place may be any one coordinate.

    Attributes:
        name: Such as "battery".
        mass: [kg]
        at: Where it is. [m]
        least: Smallest place allowed: furthest forward, or furthest to port. [m]
        most: Largest place allowed. [m]

    Raises:
        BoatFigureError: A mass that is not above 0, or a place outside its own limits.
    """

    name: str
    mass: float
    at: float
    least: float
    most: float

    def __post_init__(self) -> None:
        require_positive(f'The mass of "{self.name}"', self.mass, "kg")
        for end in (self.at, self.least, self.most):
            require_finite(f'A place of "{self.name}"', end, "m")
        if not self.least <= self.at <= self.most:
            raise BoatFigureError(
                f'"{self.name}" is at {shown(self.at, "m")}, outside the places allowed to it, '
                f"{shown(self.least, 'm')} to {shown(self.most, 'm')}. Give limits that hold its place."
            )


@frozen
class WeightMove:
    """One weight moved.

    Attributes:
        name: Of the weight.
        start: Where it was. [m]
        end: Where it goes, within the places allowed. [m]
        moment: What the move gives. [kg m]
        left: What is still required after it. [kg m]
    """

    name: str
    start: float
    end: float
    moment: float
    left: float

    @property
    def distance(self) -> float:
        """How far it goes. [m]"""
        return self.end - self.start

    @property
    def enough(self) -> bool:
        """Whether nothing is left to do but rounding."""
        return abs(self.left) <= 1e-12 * max(abs(self.moment), abs(self.left))


def movable_weights(plan: Plan) -> tuple[MovableWeight, ...]:
    """The weights of a plan that may be moved along the boat.

    Args:
        plan: With [[weights]].

    Raises:
        BoatFigureError: A weight outside its own limits.
    """
    return tuple(
        MovableWeight(
            name=one.name,
            mass=one.mass,
            at=one.x,
            least=one.movable_forward_to,
            most=one.movable_aft_to,
        )
        for one in plan.weights
        if one.x is not None
        and one.movable_forward_to is not None
        and one.movable_aft_to is not None
        and one.mass > 0.0
    )


def single_moves(weights: tuple[MovableWeight, ...], moment: float) -> tuple[WeightMove, ...]:
    """Each weight moved alone, as far as it is allowed.

    Args:
        weights: Those that may be moved.
        moment: Required, aft or to starboard is positive. [kg m]

    Returns:
        One move for each weight: those that are enough first, the shortest way first among them; then
        the others, the most helpful first.
    """

    def unhelpful(one: WeightMove) -> tuple[float, float]:
        return (0.0 if one.enough else abs(one.left), abs(one.distance))

    return tuple(sorted((_moved(weight, moment) for weight in weights), key=unhelpful))


def fewest_moves(weights: tuple[MovableWeight, ...], moment: float) -> tuple[WeightMove, ...]:
    """The fewest weights that give a moment together, those that can give most first.

    Args:
        weights: Those that may be moved.
        moment: Required, aft or to starboard is positive. [kg m]

    Returns:
        Moves in order, each with what is left after it; all weights at their ends where even that is
        not enough, none where nothing is required.
    """
    able = sorted(weights, key=lambda one: -_most(one, moment))
    moves: list[WeightMove] = []
    left = moment
    for weight in able:
        if left == 0.0 or _most(weight, moment) == 0.0:
            break
        move = _moved(weight, left)
        moves.append(move)
        left = 0.0 if move.enough else move.left
    return tuple(moves)


def _most(weight: MovableWeight, moment: float) -> float:
    """Largest moment that a weight can give in the direction required. [kg m]"""
    if moment == 0.0:
        return 0.0
    return weight.mass * ((weight.most - weight.at) if moment > 0.0 else (weight.at - weight.least))


def _moved(weight: MovableWeight, moment: float) -> WeightMove:
    wanted = moment / weight.mass
    end = min(max(weight.at + wanted, weight.least), weight.most)
    given = moment if weight.at + wanted == end else weight.mass * (end - weight.at)
    return WeightMove(
        name=weight.name,
        start=weight.at,
        end=end,
        moment=given,
        left=math.fsum((moment, -given)),
    )
