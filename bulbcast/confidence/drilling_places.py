"""Possible positions for holes drilled from below or from the pocket floor, and the mass that each may remove."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from bulbcast.bulb.body.turned import TurnedBody
from bulbcast.bulb.cuts.drilled import (
    DrilledHole,
    deepest_from_floor,
    drilled_hole,
    floor_hole,
    highest_top,
    least_volume,
    point_height,
    volume_to,
)
from bulbcast.bulb.hung.ledger import HungBulb
from bulbcast.fin.tip_section import pocket_half, pocket_span
from bulbcast.quantities.frozen import frozen

_APART, _LEAST_BETWEEN = 1.25, 0.002
"""Distance between the centres of neighbouring holes, in diameters, and the minimum thickness of lead between them [m].
Judgement."""
_IN_POCKET = 0.001
"""Minimum clearance on each side of a drill on the pocket floor. Judgement. [m]"""


@frozen
class Place:
    """Possible position of a hole, its diameter, and the minimum and maximum mass that it may remove. [m, kg]"""

    x: float
    size: float
    least: float
    most: float
    floor: bool = False


def hole_at(bulb: HungBulb, body: TurnedBody, place: Place, volume: float) -> DrilledHole:
    """Return the hole that removes a given volume at a given position.

    Args:
        bulb: The bulb as planned.
        body: The casting's body.
        place: Position of the hole.
        volume: Volume to remove. [m3]
    """
    if place.floor:
        return floor_hole(bulb.axis.floor, place.x, place.size, volume)
    return drilled_hole(body, place.x, place.size, volume)


def underside_places(
    bulb: HungBulb, body: TurnedBody, centre: float, size: float, net: float, wall: float
) -> Iterator[Place]:
    """Find the positions where holes may be drilled from below, evenly spaced about a centre, in order from the nose.

    Args:
        bulb: The bulb as planned, with its cuts.
        body: The casting's body.
        centre: Distance from the nose. [m]
        size: Diameter of the drill. [m]
        net: Density of lead less that of the filler. [kg/m3]
        wall: Minimum thickness of lead round a hole. [m]
    """
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
        # If the axis leans, so does the pocket, by less than its own depth.
        under = over[0] <= x <= over[1] and bulb.pocket_depth > 0.0
        ceiling = (bulb.axis.floor if under else 0.5 * body.height) - wall
        top = highest_top(body, x, size, ceiling=ceiling, wall=wall)
        if top is None:
            continue
        least, most = net * least_volume(body, x, size), net * volume_to(body, x, size, top)
        if least < most:
            yield Place(x=x, size=size, least=least, most=most)


def _kept_clear(bulb: HungBulb, room: float) -> Iterator[tuple[float, float]]:
    """Stretches along the bulb that must not contain the centre of a hole. [m]"""
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


def floor_places(
    bulb: HungBulb, body: TurnedBody, under: Sequence[Place], *, size: float, net: float, wall: float
) -> Iterator[Place]:
    """Find the positions where holes may be drilled down from the pocket floor, in order from the nose; none if there
    is no floor.

    Args:
        bulb: The bulb as planned, with its cuts.
        body: The casting's body.
        under: Positions of holes from below that must be kept clear.
        size: Diameter of the drill. [m]
        net: Density of lead less that of the filler. [kg/m3]
        wall: Minimum thickness of lead round a hole. [m]
    """
    pocket, floor = bulb.pocket, bulb.axis.floor
    if bulb.through or bulb.pocket_depth <= 0.0:
        return
    spans = list(_kept_clear(bulb, 0.5 * size + wall))
    spans += [
        (one.x - 0.5 * (one.size + size) - wall, one.x + 0.5 * (one.size + size) + wall) for one in under
    ]
    area, step = 0.25 * math.pi * size**2, max(_APART * size, size + _LEAST_BETWEEN)
    first, last, _ = pocket_span(pocket.tip, pocket.clearance)
    for number in range(math.floor((last - first) / step)):
        at = first + (number + 0.5) * step
        x = pocket.leading_edge_x + at
        half = min(
            pocket_half(pocket.tip, pocket.clearance, at + side) for side in (-0.5 * size, 0.0, 0.5 * size)
        )
        if half < 0.5 * size + _IN_POCKET or any(low < x < high for low, high in spans):
            continue
        deepest = deepest_from_floor(body, floor, x, size, wall=wall)
        point = area * point_height(size) / 3.0
        least, most = net * (point + area * 0.1 * size), net * (point + area * deepest)
        if least < most:
            yield Place(x=x, size=size, least=least, most=most, floor=True)
