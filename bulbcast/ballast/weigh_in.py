"""The weigh-in: weights of the boat without her bulb, line by line, each with an uncertainty.

Every line's mass and position have a standard deviation; errors of different lines are treated as independent, so their
variances add. A constant error of the scale is not covered, so check the scale with a known mass first.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from enum import StrEnum

from bulbcast.quantities.checked import require_finite, require_not_negative
from bulbcast.quantities.frozen import frozen

FIN_NAME = "fin"
RUDDER_NAME = "rudder"
RESERVE_NAME = "reserve"


class State(StrEnum):
    """State of the mass on a line of the weight list: weighed, estimated or still to come."""

    WEIGHED = "weighed"
    ESTIMATED = "estimated"
    TO_COME = "to come"


@frozen
class Weight:
    """One line of the weigh-in, in boat axes.

    Attributes:
        name: Name of the part.
        mass: Mass. [kg]
        x: Position along the boat; None if not known. [m]
        y: Distance to starboard. [m]
        z: Height above the waterline; None if not known. [m]
        state: Weighed, estimated or to come.
        spread: Standard deviation of the mass; None to use the default for its state, `usual_spread`. [kg]
        place_spread: Standard deviation of each of x, y and z; see `usual_place_spread`. [m]

    Raises:
        BoatFigureError: A mass or spread is below 0, or a figure is not a number.
    """

    name: str
    mass: float
    x: float | None
    y: float = 0.0
    z: float | None = 0.0
    state: State = State.ESTIMATED
    spread: float | None = None
    place_spread: float = 0.0

    def __post_init__(self) -> None:
        require_not_negative(f'The mass of "{self.name}"', self.mass, "kg")
        for axis, place in (("x", self.x), ("y", self.y), ("z", self.z)):
            if place is not None:
                require_finite(f'{axis} of "{self.name}"', place, "m")
        if self.spread is not None:
            require_not_negative(f'The spread of "{self.name}"', self.spread, "kg")
        require_not_negative(f'The spread of the position of "{self.name}"', self.place_spread, "m")

    @property
    def mass_spread(self) -> float:
        """Spread given for the mass, or the default for the line's state. [kg]"""
        return usual_spread(self.state, self.mass) if self.spread is None else self.spread


WEIGHED_SHARE = 0.005
"""Spread of a weighed mass, as a fraction of the mass; it covers errors of the scale and anything sticking to the part.
Judgement. [-]"""
WEIGHED_LEAST = 0.0005
"""Smallest spread of a weighed mass, half a division of a kitchen scale that reads to 1 g. The scale is common practice,
without a source; the figure is our judgement. [kg]"""
ESTIMATED_SHARE = 0.10
"""Spread of an estimated mass, as a fraction of the mass. Judgement. [-]"""
TO_COME_SHARE = 0.15
"""Spread of the mass of a part that is not made yet, as a fraction of the mass. Judgement. [-]"""


def usual_spread(state: State, mass: float) -> float:
    """Return the standard deviation assumed for a line that gives none.

    Args:
        state: State of the line. [-]
        mass: Mass of the line. [kg]

    Returns:
        0.5 % of the mass and at least 0.5 g if weighed, 10 % if estimated, 15 % if still to come; all four are our
        judgement, without a source. [kg]
    """
    if state is State.WEIGHED:
        return max(WEIGHED_SHARE * mass, WEIGHED_LEAST)
    return (ESTIMATED_SHARE if state is State.ESTIMATED else TO_COME_SHARE) * mass


PLACED_SHARE = 0.003
"""Spread of the position of a weighed part, as a fraction of the waterline length; it covers measuring with a tape
along the deck and finding the mass centre within the part. Judgement. [-]"""
GUESSED_SHARE = 0.01
"""Spread of the position of a part that is estimated or still to come, as a fraction of the waterline length.
Judgement. [-]"""
USUAL_LENGTH = 1.0
"""Waterline length assumed for the spread of a position if no length is given. Judgement. [m]"""


def usual_place_spread(state: State, length: float | None) -> float:
    """Return the standard deviation assumed for the position of a line that gives none.

    Args:
        state: State of the line. [-]
        length: Length of her waterline; None if not known. [m]

    Returns:
        0.3 % of the length if weighed, 1 % if not; both are our judgement, without a source. [m]
    """
    share = PLACED_SHARE if state is State.WEIGHED else GUESSED_SHARE
    return share * (USUAL_LENGTH if length is None else length)


@frozen
class WeighIn:
    """Totals of the weight list.

    Attributes:
        weights: Lines of the weigh-in.
        mass: Total mass. [kg]
        mass_spread: Standard deviation of the total mass. [kg]
        moments: First moments of the mass about x, y and z = 0; None if a position is not known. [kg m]
        centre: Mass centre, boat axes; a coordinate is None if any line's position along that axis is not known, and
            all are None if no line has a mass. [m]
    """

    weights: tuple[Weight, ...]
    mass: float
    mass_spread: float
    moments: tuple[float | None, float, float | None]
    centre: tuple[float | None, float | None, float | None]

    def without(self, axis: str) -> tuple[Weight, ...]:
        """Return the lines that have a mass but no position along an axis.

        Args:
            axis: "x" or "z". [-]
        """
        return tuple(one for one in self.weights if getattr(one, axis) is None and one.mass > 0.0)


def weigh_in(weights: Sequence[Weight]) -> WeighIn:
    """Add up the lines of the weigh-in.

    Args:
        weights: Lines of the weigh-in; if there are none, the mass is zero and there is no centre.
    """
    mass = math.fsum(line.mass for line in weights)
    moments = (
        _moment([(line.mass, line.x) for line in weights]),
        math.fsum(line.mass * line.y for line in weights),
        _moment([(line.mass, line.z) for line in weights]),
    )
    x, y, z = (None if one is None or mass <= 0.0 else one / mass for one in moments)
    return WeighIn(
        weights=tuple(weights),
        mass=mass,
        mass_spread=math.sqrt(math.fsum(line.mass_spread**2 for line in weights)),
        moments=moments,
        centre=(x, y, z),
    )


def _moment(lines: Sequence[tuple[float, float | None]]) -> float | None:
    """Return the first moment of masses about zero; None if a line with a mass has no position. [kg m]"""
    placed = [(mass, place) for mass, place in lines if mass > 0.0]
    if any(place is None for _, place in placed):
        return None
    return math.fsum(mass * place for mass, place in placed if place is not None)


@frozen
class WeighNext:
    """Effect that weighing one line has on the spread of the sum.

    Attributes:
        name: Name of the line.
        sum_spread: Spread of the total mass if only this line were weighed. [kg]
        in_turn: Spread of the total mass once this line and all before it in the list are weighed. [kg]
    """

    name: str
    sum_spread: float
    in_turn: float


def weigh_next(weights: Sequence[Weight]) -> tuple[WeighNext, ...]:
    """Find the lines that would most reduce the spread of the sum if weighed next on a typical scale.

    Args:
        weights: Lines of the weigh-in.

    Returns:
        Lines for which weighing would reduce the spread, the most effective first; lines of equal effect keep their
        order.
    """
    variance = weigh_in(weights).mass_spread ** 2
    gains = [
        (line.mass_spread**2 - usual_spread(State.WEIGHED, line.mass) ** 2, line.name) for line in weights
    ]
    found: list[WeighNext] = []
    left = variance
    for gain, name in sorted((one for one in gains if one[0] > 0.0), key=lambda one: -one[0]):
        left -= gain
        found.append(
            WeighNext(
                name=name,
                sum_spread=math.sqrt(max(variance - gain, 0.0)),
                in_turn=math.sqrt(max(left, 0.0)),
            )
        )
    return tuple(found)


def moment_spread_about(weights: Sequence[Weight], x: float) -> float:
    """Return the standard deviation of the total moment of the given lines about a point along the boat.

    Args:
        weights: Lines of the weigh-in; those without a position are ignored.
        x: Point about which moments are taken, in boat axes. [m]

    Returns:
        The standard deviation. [kg m]
    """

    def variance(line: Weight) -> float:
        if line.x is None:
            return 0.0
        # Variance of a product of independent factors.
        mass, where = line.mass_spread**2, line.place_spread**2
        return mass * (line.x - x) ** 2 + where * line.mass**2 + mass * where

    return math.sqrt(math.fsum(variance(line) for line in weights))
