"""Moving weights within their limits to trim the boat, one at a time or a few together."""

from __future__ import annotations

import math

from bulbcast.plan.sections import Plan
from bulbcast.quantities.checked import BoatFigureError, require_finite, require_positive, shown
from bulbcast.quantities.frozen import frozen


@frozen
class MovableWeight:
    """A weight on board that can be moved. Positions are along one boat axis.

    Attributes:
        name: Name, such as "battery".
        mass: Mass. [kg]
        at: Present position. [m]
        least: Limit forward or to port. [m]
        most: Limit aft or to starboard. [m]

    Raises:
        BoatFigureError: The mass is not above 0, or the position is outside the limits.
    """

    name: str
    mass: float
    at: float
    least: float
    most: float

    def __post_init__(self) -> None:
        require_positive(f'The mass of "{self.name}"', self.mass, "kg")
        for end in (self.at, self.least, self.most):
            require_finite(f'The position of "{self.name}"', end, "m")
        if not self.least <= self.at <= self.most:
            raise BoatFigureError(
                f'"{self.name}" is at {shown(self.at, "m")}, outside its limits of '
                f"{shown(self.least, 'm')} to {shown(self.most, 'm')}. Give limits that include its position."
            )


@frozen
class WeightMove:
    """The move of one weight.

    Attributes:
        name: Name of the weight.
        start: Position before the move. [m]
        end: Position after the move, within the weight's limits. [m]
        moment: Moment produced by the move. [kg m]
        left: Moment still missing after the move. [kg m]
    """

    name: str
    start: float
    end: float
    moment: float
    left: float

    @property
    def distance(self) -> float:
        """Distance moved. [m]"""
        return self.end - self.start

    @property
    def enough(self) -> bool:
        """Whether the move gives the required moment, apart from rounding."""
        return abs(self.left) <= 1e-12 * max(abs(self.moment), abs(self.left))


def movable_weights(plan: Plan) -> tuple[MovableWeight, ...]:
    """Return the weights in a plan that can be moved along the boat.

    Args:
        plan: Plan with [[weights]].

    Raises:
        BoatFigureError: A weight is outside its limits.
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
    """Move each weight alone, as far as necessary and allowed.

    Args:
        weights: Weights that can be moved.
        moment: Moment required, positive aft or to starboard. [kg m]

    Returns:
        One move for each weight: first those that are sufficient alone, shortest move first, then the others, largest
            moment first.
    """

    def unhelpful(one: WeightMove) -> tuple[float, float]:
        return (0.0 if one.enough else abs(one.left), abs(one.distance))

    return tuple(sorted((_moved(weight, moment) for weight in weights), key=unhelpful))


def fewest_moves(weights: tuple[MovableWeight, ...], moment: float) -> tuple[WeightMove, ...]:
    """Find the fewest weights that together give a moment, starting with those that can give the most.

    Args:
        weights: Weights that can be moved.
        moment: Moment required, positive aft or to starboard. [kg m]

    Returns:
        Moves in order, each with the moment left after it. If moving every weight to its limit is still not enough, all
        moves that help are included; if no moment is required, the result is empty.
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
    """Return the largest moment that a weight can give in the required direction. [kg m]"""
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
