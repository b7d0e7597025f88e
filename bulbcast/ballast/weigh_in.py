"""The weigh-in: what she weighs without the bulb, line by line, with how well each line is known.

Every line's mass and place has a standard deviation; errors of different lines are taken as independent, so
variances add. A scale that reads wrong all through is not such an error: check it with a known mass first.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from enum import StrEnum

from bulbcast.quantities.checked import (
    BoatFigureError,
    require_finite,
    require_not_negative,
    require_positive,
)


class State(StrEnum):
    """How a line's mass is known."""

    WEIGHED = "weighed"
    ESTIMATED = "estimated"
    TO_COME = "to come"


@dataclass(frozen=True, slots=True, kw_only=True)
class Weight:
    """One line of the weigh-in. Boat axes.

    Attributes:
        name: What it is.
        mass: [kg]
        x: [m]
        y: To starboard. [m]
        z: Up. [m]
        state: Weighed, estimated or to come.
        spread: Standard deviation of the mass; None: by its state, `usual_spread`. [kg]
        place_spread: Standard deviation of each of x, y and z. [m]

    Raises:
        BoatFigureError: A mass or spread below 0, or a figure that is no number.
    """

    name: str
    mass: float
    x: float
    y: float = 0.0
    z: float = 0.0
    state: State = State.ESTIMATED
    spread: float | None = None
    place_spread: float = 0.0

    def __post_init__(self) -> None:
        require_not_negative(f'The mass of "{self.name}"', self.mass, "kg")
        for axis, place in (("x", self.x), ("y", self.y), ("z", self.z)):
            require_finite(f'{axis} of "{self.name}"', place, "m")
        if self.spread is not None:
            require_not_negative(f'The spread of "{self.name}"', self.spread, "kg")
        require_not_negative(f'The spread of the place of "{self.name}"', self.place_spread, "m")

    @property
    def mass_spread(self) -> float:
        """The spread given, or the one usual for its state. [kg]"""
        return usual_spread(self.state, self.mass) if self.spread is None else self.spread


WEIGHED_SHARE = 0.005
"""Spread of a weighed mass over the mass: scales and what clings to the part. Judgement. [-]"""
WEIGHED_LEAST = 0.0005
"""Least spread of a weighed mass, half a division of a kitchen scale that reads to 1 g; the scale is
common practice, no source, the figure a judgement. [kg]"""
ESTIMATED_SHARE = 0.10
"""Spread of an estimated mass over the mass. Judgement. [-]"""
TO_COME_SHARE = 0.15
"""Spread of the mass of a part that is not yet made, over the mass. Judgement. [-]"""


def usual_spread(state: State, mass: float) -> float:
    """Standard deviation taken where a line gives none.

    Args:
        state: Of the line. [-]
        mass: Of the line. [kg]

    Returns:
        0.5 % of the mass and 0.5 g at least where weighed, 10 % where estimated, 15 % where to come; all
        four are judgement, no source. [kg]
    """
    if state is State.WEIGHED:
        return max(WEIGHED_SHARE * mass, WEIGHED_LEAST)
    return (ESTIMATED_SHARE if state is State.ESTIMATED else TO_COME_SHARE) * mass


@dataclass(frozen=True, slots=True, kw_only=True)
class WeighIn:
    """The sum of the lines.

    Attributes:
        weights: The lines.
        mass: [kg]
        mass_spread: Standard deviation. [kg]
        moments: First moments of the mass about x, y and z = 0. [kg m]
        moment_spreads: Their standard deviations. [kg m]
        centre: Mass centre, boat axes; None where nothing weighs anything. [m]
        centre_spreads: Its standard deviations; None likewise. [m]
        mass_by_state: Mass of the lines weighed, estimated and to come. [kg]
    """

    weights: tuple[Weight, ...]
    mass: float
    mass_spread: float
    moments: tuple[float, float, float]
    moment_spreads: tuple[float, float, float]
    centre: tuple[float, float, float] | None
    centre_spreads: tuple[float, float, float] | None
    mass_by_state: tuple[float, float, float]


def weigh_in(weights: Sequence[Weight]) -> WeighIn:
    """Add up the lines.

    Args:
        weights: The lines; none gives zero mass and no centre.

    Returns:
        Sums and their spreads. A moment's variance is that of a product of independent factors,
        x^2 s_m^2 + m^2 s_x^2 + s_m^2 s_x^2; the centre's is to first order.
    """
    lines = tuple(weights)
    mass = math.fsum(line.mass for line in lines)
    moments = _three(lambda line, place: line.mass * place, lines)
    variances = _three(_moment_variance, lines)
    centre = centre_spreads = None
    if mass > 0.0:
        centre = (moments[0] / mass, moments[1] / mass, moments[2] / mass)
        centre_spreads = _centre_spreads(lines, mass, centre)
    by_state = tuple(
        math.fsum(line.mass for line in lines if line.state is state)
        for state in (State.WEIGHED, State.ESTIMATED, State.TO_COME)
    )
    return WeighIn(
        weights=lines,
        mass=mass,
        mass_spread=math.sqrt(math.fsum(line.mass_spread**2 for line in lines)),
        moments=moments,
        moment_spreads=(math.sqrt(variances[0]), math.sqrt(variances[1]), math.sqrt(variances[2])),
        centre=centre,
        centre_spreads=centre_spreads,
        mass_by_state=(by_state[0], by_state[1], by_state[2]),
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class WeighNext:
    """What weighing one line would do to the sum.

    Attributes:
        name: Of the line.
        state: As it is now.
        spread: Of its mass now. [kg]
        spread_weighed: Of its mass once weighed. [kg]
        share: Of the variance of the sum that this line brings. [-]
        sum_spread: Of the whole mass if this line alone were weighed. [kg]
        narrowed: By how much that is less than now. [kg]
        moment_spread: Of the whole moment along x if this line alone were weighed. [kg m]
        in_turn: Spread of the whole mass once this line and all before it in the list are weighed. [kg]
    """

    name: str
    state: State
    spread: float
    spread_weighed: float
    share: float
    sum_spread: float
    narrowed: float
    moment_spread: float
    in_turn: float


def weigh_next(weights: Sequence[Weight], *, scale_spread: float | None = None) -> tuple[WeighNext, ...]:
    """Which lines would narrow the sum most if they were weighed next.

    Args:
        weights: The lines.
        scale_spread: Standard deviation of the scale to be used; None: what is usual for a weighed
            line. [kg]

    Returns:
        The lines that weighing would narrow, the most telling first; lines of equal effect keep the
        order they were given in. The place is taken to be known no better than before.

    Raises:
        BoatFigureError: A scale's spread that is below 0.
    """
    if scale_spread is not None:
        require_not_negative("The scale's spread", scale_spread, "kg")
    lines = tuple(weights)
    now = weigh_in(lines)
    variance, moment_variance = now.mass_spread**2, now.moment_spreads[0] ** 2
    rows = []
    for line in lines:
        then = usual_spread(State.WEIGHED, line.mass) if scale_spread is None else scale_spread
        gain = line.mass_spread**2 - then**2
        if gain > 0.0:
            rows.append((gain, line, then))
    rows.sort(key=lambda row: -row[0])
    found: list[WeighNext] = []
    left = variance
    for gain, line, then in rows:
        left -= gain
        alone = math.sqrt(max(variance - gain, 0.0))
        moment_gain = gain * (line.x**2 + line.place_spread**2)
        found.append(
            WeighNext(
                name=line.name,
                state=line.state,
                spread=line.mass_spread,
                spread_weighed=then,
                share=line.mass_spread**2 / variance,
                sum_spread=alone,
                narrowed=now.mass_spread - alone,
                moment_spread=math.sqrt(max(moment_variance - moment_gain, 0.0)),
                in_turn=math.sqrt(max(left, 0.0)),
            )
        )
    return tuple(found)


def scaled_by_cube(mass: float, ratio: float) -> float:
    """Mass of a boat built to another size, lines and materials alike: it goes with the cube.

    Args:
        mass: Of the boat the plan shows. [kg]
        ratio: Length to be built over length of the plan. [-]

    Returns:
        mass x ratio^3; divided by the length's ratio alone it comes out several times wrong. [kg]

    Raises:
        BoatFigureError: A figure that is not above 0.
    """
    require_positive("The plan's mass", mass, "kg")
    require_positive("The ratio of the lengths", ratio, "")
    return mass * ratio**3


def without(weights: Sequence[Weight], names: Sequence[str]) -> tuple[Weight, ...]:
    """The lines but for those left ashore.

    Args:
        weights: The lines.
        names: Of the lines to leave out, each once in the list.

    Returns:
        The rest, in order.

    Raises:
        BoatFigureError: A name that no line bears.
    """
    known = [line.name for line in weights]
    for name in names:
        if name not in known:
            raise BoatFigureError(
                f'No line of the weigh-in is called "{name}". Give one of: {", ".join(known) or "none"}.'
            )
    return tuple(line for line in weights if line.name not in names)


def _three(of: Callable[[Weight, float], float], lines: tuple[Weight, ...]) -> tuple[float, float, float]:
    return (
        math.fsum(of(line, line.x) for line in lines),
        math.fsum(of(line, line.y) for line in lines),
        math.fsum(of(line, line.z) for line in lines),
    )


def moment_spread_about(weights: Sequence[Weight], x: float) -> float:
    """Standard deviation of the moment of some lines along the boat about a place.

    Args:
        weights: The lines.
        x: Boat axes. [m]

    Returns:
        [kg m]
    """
    return math.sqrt(math.fsum(_moment_variance(line, line.x - x) for line in weights))


def _moment_variance(line: Weight, place: float) -> float:
    mass, where = line.mass_spread**2, line.place_spread**2
    return mass * place**2 + where * line.mass**2 + mass * where


def _centre_spreads(
    lines: tuple[Weight, ...], mass: float, centre: tuple[float, float, float]
) -> tuple[float, float, float]:
    def spread(axis: int) -> float:
        return (
            math.sqrt(
                math.fsum(
                    (line.mass_spread * ((line.x, line.y, line.z)[axis] - centre[axis])) ** 2
                    + (line.mass * line.place_spread) ** 2
                    for line in lines
                )
            )
            / mass
        )

    return spread(0), spread(1), spread(2)
