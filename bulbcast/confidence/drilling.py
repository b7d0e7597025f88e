"""The schedule that brings a heavy casting to its target: which holes, where, how deep, so that it balances as before.

Holes go into the underside on the centreplane, clear of screws, pins and studs, under the pocket's floor by the wall, and
are filled flush again. Of all rows of neighbouring places the shortest does that can take the lead off with its centre
where it is required; each hole takes its share of what there is room for.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

import numpy as np

from bulbcast.bulb.body.turned import TurnedBody
from bulbcast.bulb.cuts.drilled import (
    USUAL_DRILLS,
    WIDEST_SHARE,
    DrilledHole,
    drilled_hole,
    highest_top,
    least_volume,
    volume_to,
)
from bulbcast.bulb.hung.ledger import HungBulb
from bulbcast.quantities.frozen import frozen
from bulbcast.solids.quadrature import Array

_APART, _LEAST_BETWEEN = 1.25, 0.002
"""From middle to middle of neighbouring holes, in diameters; and the least lead between them [m]. Judgement."""
_MOST_HOLES = 24
_NOTHING = 1e-6
"""Mass over the bulb's that is not worth a hole. [-]"""


@frozen
class Schedule:
    """What is drilled.

    Attributes:
        holes: From the nose.
        net_density: Of lead less what fills the hole. [kg/m3]
        left: That there is no room for. [kg]
        shift: Of the bulb's mass centre along the bulb by drilling, less what was required; aft is positive. [m]
    """

    holes: tuple[DrilledHole, ...]
    net_density: float
    left: float
    shift: float

    def mass(self, hole: DrilledHole) -> float:
        """What a hole takes off what hangs, its filler counted. [kg]"""
        return self.net_density * hole.piece.volume

    @property
    def taken(self) -> float:
        """[kg]"""
        return math.fsum(self.mass(one) for one in self.holes)


@frozen
class _Place:
    """Where a hole may be: what it may take off, from the least to the most. [kg]"""

    x: float
    least: float
    most: float


def schedule_of(
    bulb: HungBulb,
    *,
    mass: float,
    cast_density: float,
    filler_density: float,
    wall: float,
    within: float,
    shift: float = 0.0,
    body: TurnedBody | None = None,
) -> Schedule:
    """The holes that take a mass off.

    Args:
        bulb: As planned, its cuts with it.
        mass: To be taken off what hangs. [kg]
        cast_density: Of the lead, voids counted in. [kg/m3]
        filler_density: Of what fills the holes. [kg/m3]
        wall: Least lead round a hole. [m]
        within: How far the mass centre may end from where it is required. [m]
        shift: How far it is to be moved by drilling, aft is positive. [m]
        body: Of the casting, where it is not the planned one.

    Returns:
        The schedule with the fewest holes of one usual drill, of those the thinnest; as far as there is room.
    """
    body = bulb.body if body is None else body
    net = cast_density - filler_density
    if mass <= _NOTHING * bulb.mass:
        return Schedule(holes=(), net_density=net, left=max(mass, 0.0), shift=-shift)
    before = bulb.mass + mass
    # Taking lead off ahead of the middle moves it aft: centre of what is taken for the shift that is required.
    centre = bulb.mass_centre_x - shift * bulb.mass / mass
    slack = within * bulb.mass
    best: tuple[list[_Place], Array] | None = None
    drill = 0.0
    largest: tuple[float, float, list[_Place]] | None = None
    for size in USUAL_DRILLS:
        if size > WIDEST_SHARE * body.height and size > USUAL_DRILLS[0]:
            break
        # Thinner ones would need more holes than anybody drills.
        if _MOST_HOLES * 0.25 * math.pi * size**2 * body.height * net < mass and size < USUAL_DRILLS[-1]:
            continue
        places = list(_places(bulb, body, centre, size, net, wall))
        room = math.fsum(one.most for one in places)
        if places and (largest is None or room > largest[0]):
            largest = (room, size, places)
        found = _fewest(places, mass, centre, slack)
        if found is None or (best is not None and len(found[0]) >= len(best[0])):
            continue
        best, drill = found, size
        if len(found[0]) == 1:
            break
    if best is None:
        return _as_far_as_it_goes(body, largest, mass, net, before, centre, bulb, shift)
    places, masses = best
    holes = tuple(
        drilled_hole(body, one.x, drill, float(share) / net)
        for one, share in zip(places, masses, strict=True)
    )
    return Schedule(holes=holes, net_density=net, left=0.0, shift=_off(holes, net, centre, bulb.mass))


def _off(holes: Sequence[DrilledHole], net: float, centre: float, mass: float) -> float:
    """How far the mass centre ends from where it is required, aft is positive. [m]"""
    return -math.fsum(net * (one.piece.moment_x - centre * one.piece.volume) for one in holes) / mass


def _as_far_as_it_goes(
    body: TurnedBody,
    largest: tuple[float, float, list[_Place]] | None,
    mass: float,
    net: float,
    before: float,
    centre: float,
    bulb: HungBulb,
    shift: float,
) -> Schedule:
    """Every hole that there is room for, as deep as it may be, on both sides of the centre alike."""
    if largest is None:
        return Schedule(holes=(), net_density=net, left=mass, shift=-shift)
    _, size, places = largest
    ahead = math.fsum(one.most * (centre - one.x) for one in places if one.x < centre)
    behind = math.fsum(one.most * (one.x - centre) for one in places if one.x >= centre)
    if min(ahead, behind) <= 0.0:
        return Schedule(holes=(), net_density=net, left=mass, shift=-shift)
    share = {True: min(1.0, behind / ahead), False: min(1.0, ahead / behind)}
    total = math.fsum(share[one.x < centre] * one.most for one in places)
    less = min(1.0, mass / total)
    holes = tuple(
        drilled_hole(body, one.x, size, taken / net)
        for one in places
        if (taken := less * share[one.x < centre] * one.most) >= one.least
    )
    taken = math.fsum(net * one.piece.volume for one in holes)
    return Schedule(
        holes=holes, net_density=net, left=mass - taken, shift=_off(holes, net, centre, before - taken)
    )


def _places(
    bulb: HungBulb, body: TurnedBody, centre: float, size: float, net: float, wall: float
) -> Iterator[_Place]:
    """Where a drill may go in, from the nose."""
    spans = list(_kept_clear(bulb, 0.5 * size + wall))
    pocket = bulb.pocket
    over = (
        pocket.leading_edge_x - pocket.clearance - 0.5 * size,
        pocket.leading_edge_x + pocket.tip.chord + pocket.clearance + 0.5 * size,
    )
    step = max(_APART * size, size + _LEAST_BETWEEN)
    first = math.ceil(-centre / step)
    for number in range(first, first + math.ceil(body.length / step) + 1):
        x = centre + number * step
        if not 0.0 < x < body.length or any(low < x < high for low, high in spans):
            continue
        # Where the axis leans the pocket does too, by less than its own depth.
        under = over[0] <= x <= over[1] and bulb.pocket_depth > 0.0
        ceiling = (bulb.axis.floor if under else 0.5 * body.height) - wall
        top = highest_top(body, x, size, ceiling=ceiling, wall=wall)
        if top is None:
            continue
        least, most = net * least_volume(body, x, size), net * volume_to(body, x, size, top)
        if least < most:
            yield _Place(x=x, least=least, most=most)


def _kept_clear(bulb: HungBulb, room: float) -> Iterator[tuple[float, float]]:
    """Stretches along the bulb where no hole's middle may be. [m]"""
    slope = math.tan(bulb.axis.rake)
    floor = bulb.axis.floor
    reach = [0.0, slope * (floor + 0.5 * bulb.body.height)]
    for screw in bulb.screw_cuts:
        half = 0.5 * max(screw.recess_diameter, screw.hole_diameter) + room
        yield screw.at_x + min(reach) - half, screw.at_x + max(reach) + half
    for stud in bulb.stud_cuts:
        half = 0.5 * stud.diameter + room
        yield stud.at_x + min(reach) - half, stud.at_x + max(reach) + half
    for pin in bulb.pin_cuts:
        half = 0.5 * pin.hole_diameter + room
        yield pin.at_x + min(reach) - half, pin.at_x + max(reach) + half
    if bulb.through:
        pocket = bulb.pocket
        low, high = pocket.leading_edge_x, pocket.leading_edge_x + pocket.tip.chord
        yield low - pocket.clearance + min(reach) - room, high + pocket.clearance + max(reach) + room


def _fewest(
    places: Sequence[_Place], mass: float, centre: float, slack: float
) -> tuple[list[_Place], Array] | None:
    """The shortest row of neighbouring places that takes the mass off about the centre, and what each takes. [kg]"""
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


def _shared(row: Sequence[_Place], mass: float, centre: float, slack: float) -> Array | None:
    """What each place of a row takes off, in proportion to its room; None where they cannot about that centre."""
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
