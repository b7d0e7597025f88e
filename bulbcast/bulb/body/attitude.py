"""The bulb's attitude in the boat: the position of its nose and the angle of its axis to the waterline, nose up positive.

Bulb axes turned by that angle about the athwartships axis are boat axes. At an angle of 0 the transformation is exactly
a shift.

The underside is the lowest point of the hung bulb, skin included.

Incidence is positive with the bulb's nose up. The fin's tip is cut along the bulb's axis, and `tip_leading_edge_x` and
`tip_z` give its leading edge. The rake is still that of the fin in the boat, so that pocket and screws lean by rake plus
incidence relative to the bulb. `carry_at` is measured along the tip, `mass_centre_x` and trim in the boat, and overhangs
along the bulb. Nothing else changes in bulb axes: solids, pattern and drawings are those of a horizontal bulb on a fin
with that much more rake. In boat axes, the fin is assumed to end at the height of the middle of its slanting tip, which
is correct to first order.
"""

from __future__ import annotations

import math

import numpy as np

from bulbcast.bulb.body.turned import TurnedBody
from bulbcast.quantities.frozen import frozen
from bulbcast.solids.quadrature import Array

_GRID, _STEPS = 801, 60
_GOLDEN = 0.5 * (math.sqrt(5.0) - 1.0)


@frozen
class Attitude:
    """Position and angle of the bulb axes in the boat axes.

    Attributes:
        nose_x: x of the nose, boat axes. [m]
        nose_z: z of the nose, which is on the bulb's axis; boat axes. [m]
        incidence: Angle of the bulb's axis to the waterline, nose up positive. [rad]
    """

    nose_x: float
    nose_z: float
    incidence: float

    def boat_x(self, x: float, z: float) -> float:
        """x in boat axes of a point on the centreplane given in bulb axes. [m]"""
        return self.nose_x + x * math.cos(self.incidence) + z * math.sin(self.incidence)

    def boat_z(self, x: float, z: float) -> float:
        """z in boat axes of a point on the centreplane given in bulb axes. [m]"""
        return self.nose_z + z * math.cos(self.incidence) - x * math.sin(self.incidence)


def attitude_under_fin(
    *, leading_edge_x: float, tip_z: float, nose_x: float, floor: float, incidence: float
) -> tuple[Attitude, float]:
    """The attitude of a bulb on a fin's tip, from the position of its nose.

    The tip is cut parallel to the bulb's axis; the position given is that of its leading edge.

    Args:
        leading_edge_x: x of the tip's leading edge, boat axes. [m]
        tip_z: Height of the tip at its leading edge, boat axes. [m]
        nose_x: x of the nose, boat axes. [m]
        floor: Height of the tip above the bulb's axis, bulb axes. [m]
        incidence: Angle of the bulb's axis to the waterline, nose up positive. [rad]

    Returns:
        The attitude, and the distance of the tip's leading edge from the nose, bulb axes. [m]
    """
    sine, cosine = math.sin(incidence), math.cos(incidence)
    lead = (leading_edge_x - nose_x - floor * sine) / cosine
    nose_z = tip_z + lead * sine - floor * cosine
    return Attitude(nose_x=nose_x, nose_z=nose_z, incidence=incidence), lead


def nose_for_lead(*, leading_edge_x: float, lead: float, floor: float, incidence: float) -> float:
    """x of the nose for which the tip's leading edge is at a given distance from the nose.

    Args:
        leading_edge_x: x of the tip's leading edge, boat axes. [m]
        lead: Distance of the leading edge from the nose, bulb axes. [m]
        floor: Height of the tip above the bulb's axis, bulb axes. [m]
        incidence: Angle of the bulb's axis to the waterline, nose up positive. [rad]

    Returns:
        x of the nose, boat axes. [m]
    """
    return leading_edge_x - lead * math.cos(incidence) - floor * math.sin(incidence)


def lowest_point(body: TurnedBody, incidence: float) -> tuple[float, float]:
    """The lowest point of the lead body when it hangs on the fin.

    Args:
        body: The lead body.
        incidence: Angle of the bulb's axis to the waterline, nose up positive. [rad]

    Returns:
        The distance of that point from the nose along the axis, and its depth below the nose. [m], [m]
    """
    if incidence == 0.0:
        return body.max_at, 0.5 * body.height
    sine, cosine = math.sin(incidence), math.cos(incidence)
    up = math.sqrt(body.width_to_height)

    def depth(x: Array) -> Array:
        below: Array = x * sine + body.radius(x) / up * cosine
        return below

    # Close together at both ends, where a round end curves fastest.
    share = np.sin(0.5 * math.pi * np.linspace(0.0, 1.0, _GRID)) ** 2
    grid = np.unique(np.append(body.length * share, body.max_at))
    best = int(np.argmax(depth(grid)))
    low, high = float(grid[max(best - 1, 0)]), float(grid[min(best + 1, len(grid) - 1)])
    for _ in range(_STEPS):
        one, other = high - _GOLDEN * (high - low), low + _GOLDEN * (high - low)
        fore, aft = depth(np.array([one, other]))
        low, high = (low, other) if fore >= aft else (one, high)
    trials = np.array([low, high, float(grid[best])])
    found = depth(trials)
    place = int(np.argmax(found))
    return float(trials[place]), float(found[place])
