"""Drilling schedule that brings an overweight casting to its target without changing its balance point.

Holes are drilled into the underside on the centreplane and then filled flush. They leave at least the wall thickness
of lead round screws, pins and studs and below the pocket floor. If those holes are not enough, others are drilled
down from the pocket floor. The schedule uses the shortest row of neighbouring positions from which the lead can be
removed about the required centre. Each hole removes a mass in proportion to the room for it.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np

from bulbcast.bulb.body.turned import TurnedBody
from bulbcast.bulb.cuts.drilled import USUAL_DRILLS, WIDEST_SHARE, DrilledHole
from bulbcast.bulb.hung.ledger import HungBulb
from bulbcast.confidence.drilling_places import Place, floor_places, hole_at, underside_places
from bulbcast.quantities.frozen import frozen
from bulbcast.solids.quadrature import Array

_MOST_HOLES = 24
_NOTHING = 1e-6
"""Fraction of the bulb's mass that is too small to be worth drilling for. [-]"""


@frozen
class Schedule:
    """Drilling schedule.

    Attributes:
        holes: Holes in order from the nose.
        net_density: Density of lead less that of the filler in the hole. [kg/m3]
        left: Mass that cannot be removed because there is no room. [kg]
        shift: Shift of the mass centre along the bulb due to drilling, less the required shift; aft is positive. [m]
    """

    holes: tuple[DrilledHole, ...]
    net_density: float
    left: float
    shift: float

    def mass(self, hole: DrilledHole) -> float:
        """Return how much one filled hole reduces the hung mass. [kg]"""
        return self.net_density * hole.piece.volume

    @property
    def taken(self) -> float:
        """Total mass that the holes remove. [kg]"""
        return math.fsum(self.mass(one) for one in self.holes)


def schedule_of(
    bulb: HungBulb,
    *,
    mass: float,
    cast_density: float,
    filler_density: float,
    wall: float,
    within: float,
    shift: float = 0.0,
    drills: Sequence[float] = USUAL_DRILLS,
) -> Schedule:
    """Find the holes that remove a given mass.

    Args:
        bulb: The bulb as planned, with its cuts.
        mass: Mass to remove from the hung mass. [kg]
        cast_density: Density of the lead, voids included. [kg/m3]
        filler_density: Density of the filler in the holes. [kg/m3]
        wall: Minimum thickness of lead round a hole. [m]
        within: Largest allowed distance of the mass centre from its required position. [m]
        shift: Required shift of the mass centre due to drilling; aft is positive. [m]
        drills: Available drill diameters in ascending order. [m]

    Returns:
        The schedule with the fewest holes, all of one drill size; if several have equally few, the one with the
        smallest drill. If there is no room to remove the whole mass, the schedule that removes the most.
    """
    body = bulb.body
    net = cast_density - filler_density
    if mass <= _NOTHING * bulb.mass:
        return Schedule(holes=(), net_density=net, left=max(mass, 0.0), shift=-shift)
    # Removing lead forward of the middle moves the centre aft; this is the centre of the removed lead for the required
    # shift.
    centre = bulb.mass_centre_x - shift * bulb.mass / mass
    slack = within * bulb.mass
    best: tuple[list[Place], Array] | None = None
    for size in _sizes(drills, body):
        # Thinner drills would need an impractical number of holes.
        if _MOST_HOLES * 0.25 * math.pi * size**2 * body.height * net < mass and size < drills[-1]:
            continue
        places = list(underside_places(bulb, body, centre, size, net, wall))
        found = _fewest(places, mass, centre, slack)
        if found is None or (best is not None and len(found[0]) >= len(best[0])):
            continue
        best = found
        if len(found[0]) == 1:
            break
    if best is None:
        return _as_far_as_it_goes(bulb, mass, centre, shift, wall=wall, net=net, slack=slack, drills=drills)
    places, masses = best
    holes = tuple(
        hole_at(bulb, body, one, float(share) / net) for one, share in zip(places, masses, strict=True)
    )
    return Schedule(holes=holes, net_density=net, left=0.0, shift=_off(holes, net, centre, bulb.mass))


def _sizes(drills: Sequence[float], body: TurnedBody) -> Sequence[float]:
    """Return the drills that are not too wide for the bulb; the smallest is always included. [m]"""
    return [one for one in drills if one <= WIDEST_SHARE * body.height] or drills[:1]


def _off(holes: Sequence[DrilledHole], net: float, centre: float, mass: float) -> float:
    """Distance of the mass centre from its required position after drilling; aft is positive. [m]"""
    return -math.fsum(net * (one.piece.moment_x - centre * one.piece.volume) for one in holes) / mass


def _as_far_as_it_goes(
    bulb: HungBulb,
    mass: float,
    centre: float,
    shift: float,
    *,
    wall: float,
    net: float,
    slack: float,
    drills: Sequence[float],
) -> Schedule:
    """Drill both the underside and the pocket floor to remove the required mass, or as much as there is room for,
    balanced about the centre."""
    body = bulb.body
    best: tuple[float, list[Place], Array] = (0.0, [], np.zeros(0))
    for size in _sizes(drills, body):
        under = list(underside_places(bulb, body, centre, size, net, wall))
        places = sorted([*under, *_best_floor(bulb, under, net, wall, drills)], key=lambda one: one.x)
        shares = _balanced(places, mass, centre, slack)
        if float(shares.sum()) > best[0] * (1.0 + 1e-9):
            best = (float(shares.sum()), places, shares)
    holes = tuple(
        hole_at(bulb, body, one, taken / net)
        for one, taken in zip(best[1], best[2].tolist(), strict=True)
        if taken > 0.0
    )
    left = mass - best[0]
    return Schedule(
        holes=holes,
        net_density=net,
        left=left if left > 1e-9 * mass else 0.0,
        shift=_off(holes, net, centre, bulb.mass + left) if holes else -shift,
    )


def _balanced(places: Sequence[Place], mass: float, centre: float, slack: float) -> Array:
    """Mass removed at each position. The masses add up to the total or, if that is not possible, to as much as can be
    removed while the moment about the given centre stays within half the tolerance. Holes smaller than the drill's
    point are then dropped; if that takes the moment outside the whole tolerance, every mass is zero. [kg]"""
    if not places:
        return np.zeros(0)
    wanted = _shared(places, mass, centre, slack)
    if wanted is not None:
        return wanted
    arms = np.array([one.x - centre for one in places])
    least, most = np.array([one.least for one in places]), np.array([one.most for one in places])
    moments = [float(np.maximum(way * arms, 0.0) @ most) for way in (-1.0, 1.0)]
    shares = [
        min(1.0, (other + 0.5 * slack) / one) if one > 0.0 else 1.0
        for one, other in zip(moments, moments[::-1], strict=True)
    ]
    taken: Array = most * np.where(arms < 0.0, shares[0], shares[1])
    taken *= min(1.0, mass / float(taken.sum()))
    # A hole smaller than its drill's point is dropped; dropping it must not upset the balance of the others.
    taken = np.where(taken >= least, taken, 0.0)
    return taken if abs(float(taken @ arms)) <= slack else np.zeros(len(places))


def _best_floor(
    bulb: HungBulb, under: Sequence[Place], net: float, wall: float, drills: Sequence[float]
) -> list[Place]:
    """Positions on the pocket floor, clear of the holes from below, for the drill that removes the most lead there."""
    most: list[Place] = []
    for size in drills:
        found = list(floor_places(bulb, bulb.body, under, size=size, net=net, wall=wall))
        if math.fsum(one.most for one in found) > math.fsum(one.most for one in most):
            most = found
    return most


def _fewest(
    places: Sequence[Place], mass: float, centre: float, slack: float
) -> tuple[list[Place], Array] | None:
    """Shortest row of neighbouring holes that can remove the mass, balanced about the centre, and the mass that each
    removes [kg]; None if there is no such row."""
    x = np.array([one.x for one in places])
    least = np.concatenate([[0.0], np.cumsum([one.least for one in places])])
    most = np.concatenate([[0.0], np.cumsum([one.most for one in places])])
    for count in range(1, min(len(places), _MOST_HOLES) + 1):
        fits = (least[count:] - least[:-count] <= mass) & (most[count:] - most[:-count] >= mass)
        starts = np.flatnonzero(fits)
        middle = np.abs(0.5 * (x[starts] + x[starts + count - 1]) - centre)
        for start in starts[np.argsort(middle, kind="stable")].tolist():
            row = list(places[start : start + count])
            shares = _shared(row, mass, centre, slack)
            if shares is not None:
                return row, shares
    return None


def _shared(row: Sequence[Place], mass: float, centre: float, slack: float) -> Array | None:
    """Mass removed at each position of a row, in proportion to the room there. None if the row cannot remove the total
    about the given centre."""
    off = np.array([one.x - centre for one in row])
    least, most = np.array([one.least for one in row]), np.array([one.most for one in row])
    taken = np.zeros(len(row))
    free = np.ones(len(row), dtype=bool)
    for _ in range(len(row) + 1):
        fixed, fixed_moment = float(taken[~free].sum()), float((taken * off)[~free].sum())
        room, arm = most[free], off[free]
        system = np.array([[room.sum(), room @ arm], [room @ arm, room @ arm**2]])
        right = np.array([mass - fixed, -fixed_moment])
        if len(arm) == 1 or abs(np.linalg.det(system)) < 1e-18 * system[0, 0] ** 2:
            first, slope = (right[0] / system[0, 0] if len(arm) else 0.0), 0.0
        else:
            first, slope = np.linalg.solve(system, right)
        taken[free] = room * (first + slope * arm)
        low, high = free & (taken < least), free & (taken > most)
        if not (low.any() or high.any()):
            break
        taken[low], taken[high] = least[low], most[high]
        free &= ~(low | high)
        if not free.any():
            break
    right_mass = abs(float(taken.sum()) - mass) <= 1e-9 * mass
    return taken if right_mass and abs(float(taken @ off)) <= slack else None
