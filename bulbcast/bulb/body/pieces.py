"""A piece: a volume with its first moments, used to add up cuts and ledgers."""

from __future__ import annotations

import math

from bulbcast.quantities.frozen import frozen


@frozen
class Piece:
    """A volume that is symmetrical about the centreplane, with its moments.

    Attributes:
        volume: [m3]
        moment_x: Integral of x over the volume, bulb axes. [m4]
        moment_z: Integral of z over the volume, bulb axes. [m4]
    """

    volume: float = 0.0
    moment_x: float = 0.0
    moment_z: float = 0.0

    def __add__(self, other: Piece) -> Piece:
        return Piece(
            volume=self.volume + other.volume,
            moment_x=self.moment_x + other.moment_x,
            moment_z=self.moment_z + other.moment_z,
        )

    def __sub__(self, other: Piece) -> Piece:
        return Piece(
            volume=self.volume - other.volume,
            moment_x=self.moment_x - other.moment_x,
            moment_z=self.moment_z - other.moment_z,
        )


@frozen
class Axis:
    """Direction of the cuts, and the height at which their positions are measured.

    Attributes:
        rake: Rake of the fin's axis, positive if the tip is aft. [rad]
        floor: Height of the pocket floor in bulb axes. [m]
    """

    rake: float
    floor: float

    @property
    def shift(self) -> float:
        """Distance that a column moves forward for each unit of height. [-]"""
        return math.tan(self.rake)


def cylinder_piece(axis: Axis, at_x: float, radius: float, *, low: float, high: float) -> Piece:
    """A right cylinder along the raked axis, square at both ends.

    Args:
        axis: The direction of the cuts and the height of the pocket floor.
        at_x: x at which its axis crosses the level of the floor. [m]
        radius: [m]
        low: Position of the lower end along the axis, 0 at the floor and positive upwards. [m]
        high: Position of the upper end, measured in the same way. [m]

    Returns:
        Its volume and moments.
    """
    volume = math.pi * radius**2 * (high - low)
    middle = 0.5 * (low + high)
    return Piece(
        volume=volume,
        moment_x=volume * (at_x - middle * math.sin(axis.rake)),
        moment_z=volume * (axis.floor + middle * math.cos(axis.rake)),
    )


def hole_piece(axis: Axis, at_x: float, radius: float, *, seat: float) -> Piece:
    """A hole along the raked axis, from a seat square to the axis up to the horizontal pocket floor.

    Args:
        axis: The direction of the cuts and the height of the pocket floor.
        at_x: x at which its axis crosses the floor. [m]
        radius: [m]
        seat: Position of the seat along the axis, negative below the floor; its whole rim must be below the floor. [m]

    Returns:
        Its volume and moments, in closed form: the floor cuts the cylinder at an angle.
    """
    area = math.pi * radius**2
    second = 0.25 * math.pi * radius**4
    sine, cosine, tangent = math.sin(axis.rake), math.cos(axis.rake), math.tan(axis.rake)
    squares = 0.5 * (tangent**2 * second - seat**2 * area)
    return Piece(
        volume=-seat * area,
        moment_x=-seat * area * at_x - cosine * tangent * second - sine * squares,
        moment_z=-seat * area * axis.floor - sine * tangent * second + cosine * squares,
    )
