"""How much lead and fin there is round the pocket and the screws: measurements, no judgement."""

from __future__ import annotations

import math
from functools import lru_cache

import numpy as np

from bulbcast.bulb.body.columns import through
from bulbcast.bulb.cuts.parts import PocketCut, ScrewCut
from bulbcast.bulb.cuts.walls import Bore, Wall, bore_walls, pocket_wall
from bulbcast.bulb.hung.ledger import HungBulb
from bulbcast.fin.tip_section import FinTip, outline
from bulbcast.quantities.frozen import frozen
from bulbcast.solids.quadrature import Array

# Beyond this the surface beside a pocket's floor looks up rather than to the side.
_SIDEWAYS = math.cos(math.radians(45.0))


@frozen
class ScrewRoom:
    """The room round one screw. Lengths in m; walls None where the screw's axis misses the lead.

    Attributes:
        at: Aft of the tip's leading edge at the floor.
        misses: Whether its axis misses the lead.
        lead_above: Along the axis from the underside to the lead's upper surface.
        lead_to_floor: Along the axis from the underside to the pocket floor.
        seat_to_floor: Lead left under the pocket floor above the seat of head or washer.
        rim_depth: Depth of the recess where its rim is shallowest.
        thread: Of the screw above the pocket floor.
        hole_wall: Thinnest wall of the clearance hole.
        recess_wall: Thinnest wall of recess and seat.
        inside_pocket: Least distance from the hole's rim to the pocket's outline, negative outside.
        cheek: Least fin beside the shank, negative where the shank leaves the section.
    """

    at: float
    misses: bool
    lead_above: float
    lead_to_floor: float
    seat_to_floor: float
    rim_depth: float
    thread: float
    hole_wall: Wall | None
    recess_wall: Wall | None
    inside_pocket: float
    cheek: float


@frozen
class PocketRoom:
    """The room round the pocket. Lengths in m, places aft of the tip's leading edge.

    Attributes:
        wall: Thinnest wall where the pocket is deeper than the wall wanted, or None.
        side_excess: How far the pocket's floor reaches out through the side, 0 where it does not.
        side_at: Where it does so most.
        proud: How far the fin's tip stands above the lead beside it, 0 where it does not.
        proud_at: Where it does so most.
    """

    wall: Wall | None
    side_excess: float
    side_at: float
    proud: float
    proud_at: float


@frozen
class Room:
    """All of it; `recess_gaps` are the distances between neighbouring recesses' rims, by pairs of
    screw numbers from 1. [m]"""

    screws: tuple[ScrewRoom, ...]
    pocket: PocketRoom
    recess_gaps: tuple[tuple[int, int, float], ...]


def room_of(bulb: HungBulb, *, wall_wanted: float, roughly: bool = False) -> Room:
    """Measure the room round every cut of a sized bulb.

    Args:
        bulb: The sized and placed bulb.
        wall_wanted: From which depth the pocket's walls count. [m]
        roughly: Leave walls of more than twice what is wanted as the first grid finds them.

    Returns:
        The measurements.
    """
    settled = 2.0 * wall_wanted if roughly else math.inf
    walls = screw_walls(bulb, bulb.screw_cuts, settled_above=settled)
    rooms = tuple(_screw_room(bulb, screw, wall) for screw, wall in zip(bulb.screw_cuts, walls, strict=True))
    cosine = math.cos(bulb.axis.rake)
    gaps = tuple(
        (
            i + 1,
            j + 1,
            abs(one.at_x - other.at_x) * cosine - 0.5 * (one.recess_diameter + other.recess_diameter),
        )
        for i, one in enumerate(bulb.screw_cuts)
        for j, other in enumerate(bulb.screw_cuts)
        if i < j
    )
    return Room(screws=rooms, pocket=_pocket_room(bulb, wall_wanted, settled), recess_gaps=gaps)


def undersides(bulb: HungBulb, at_x: Array) -> tuple[Array, Array]:
    """Lower and upper end of the lead on screw axes, along the axis from the floor; nan where missed.

    Args:
        bulb: The sized bulb.
        at_x: Where the axes cross the floor, bulb axes, shape (n,). [m]
    """
    low, high = through(bulb.body, bulb.axis, at_x, np.zeros_like(at_x))
    hit = low <= high
    cosine = math.cos(bulb.axis.rake)
    return (
        np.where(hit, (low - bulb.axis.floor) / cosine, np.nan),
        np.where(hit, (high - bulb.axis.floor) / cosine, np.nan),
    )


def screw_walls(
    bulb: HungBulb, screws: tuple[ScrewCut, ...], *, settled_above: float = math.inf
) -> tuple[tuple[Wall | None, Wall | None], ...]:
    """Thinnest walls of hole and of recess with seat, for any screws in this body.

    Args:
        bulb: The sized bulb.
        screws: The bulb's own, or trial ones.
        settled_above: Walls not to be closed in on, see `shape.walls.bore_walls`. [m]

    Returns:
        A pair each; None twice where the axis misses the lead.
    """
    low, _ = undersides(bulb, np.array([screw.at_x for screw in screws]))
    bores: list[Bore] = []
    for screw, underside in zip(screws, low, strict=True):
        if math.isnan(underside):
            continue
        seat = float(underside) + screw.recess
        bores.append(
            Bore(
                at_x=screw.at_x,
                radius=0.5 * screw.hole_diameter,
                low=seat,
                high=max(seat, 0.0),
                opens_up=True,
            )
        )
        bores.append(
            Bore(
                at_x=screw.at_x, radius=0.5 * screw.recess_diameter, low=-math.inf, high=seat, opens_up=False
            )
        )
    found = iter(bore_walls(bulb.body, bulb.axis, tuple(bores), settled_above=settled_above))
    return tuple((None, None) if math.isnan(underside) else (next(found), next(found)) for underside in low)


def _screw_room(bulb: HungBulb, screw: ScrewCut, walls: tuple[Wall | None, Wall | None]) -> ScrewRoom:
    low, high = undersides(bulb, np.array([screw.at_x]))
    underside, top = float(low[0]), float(high[0])
    seat = underside + screw.recess
    along = screw.at_x - bulb.pocket.leading_edge_x
    return ScrewRoom(
        at=along,
        misses=math.isnan(underside),
        lead_above=top - underside,
        lead_to_floor=-underside,
        seat_to_floor=-seat,
        rim_depth=_rim_depth(bulb, screw, seat),
        thread=screw.length + screw.under_head(seat),
        hole_wall=walls[0],
        recess_wall=walls[1],
        inside_pocket=_inside(bulb, along, bulb.pocket.clearance, 0.5 * screw.hole_diameter),
        cheek=_inside(bulb, along, 0.0, 0.5 * screw.diameter),
    )


def _rim_depth(bulb: HungBulb, screw: ScrewCut, seat: float) -> float:
    """The recess's depth where its rim is shallowest, from columns round the rim. [m]"""
    radius = 0.5 * screw.recess_diameter
    angle = np.linspace(0.0, math.pi, 33)
    a, b = radius * np.cos(angle), radius * np.sin(angle)
    sine, cosine = math.sin(bulb.axis.rake), math.cos(bulb.axis.rake)
    low, high = through(bulb.body, bulb.axis, screw.at_x + a / cosine, b)
    bottom = (low - bulb.axis.floor - a * sine) / cosine
    return float(seat - np.max(np.where(low <= high, bottom, seat)))


@lru_cache(maxsize=16)
def _starboard(tip: FinTip, clearance: float) -> tuple[Array, Array]:
    """The outline's starboard side from the leading edge aft, and the same with its blunt end, not to be written to."""
    points = outline(tip, clearance, along=400, round_corner=12)
    side = points[points[:, 1] >= 0.0]
    order = np.argsort(side[:, 0], kind="stable")
    side = side[order]
    # The blunt end between the two corners is a straight line across.
    blunt = np.stack([np.full(12, side[-1, 0]), np.linspace(0.0, side[-1, 1], 12)], axis=1)
    return side, np.concatenate([side, blunt])


def inside_outline(pocket: PocketCut, along: Array, clearance: float, radius: Array) -> Array:
    """How far circles on the chord line lie inside the fin's section grown by a clearance.

    Args:
        pocket: The fin and its place.
        along: Centres, aft of the tip's leading edge, shape (n,). [m]
        clearance: 0 for the fin's own section. [m]
        radius: Of the circles, shape (n,) or one. [m]

    Returns:
        Least distance from circle to outline, negative where it reaches out, shape (n,). [m]
    """
    side, edge = _starboard(pocket.tip, clearance)
    distance: Array = np.min(np.hypot(edge[:, 0] - along[:, None], edge[:, 1]), axis=1)
    width = np.interp(along, side[:, 0], side[:, 1], left=-1.0, right=-1.0)
    signed: Array = np.where(width > 0.0, distance, -distance) - radius
    return signed


def _inside(bulb: HungBulb, along: float, clearance: float, radius: float) -> float:
    return float(inside_outline(bulb.pocket, np.array([along]), clearance, np.array([radius]))[0])


def _pocket_room(bulb: HungBulb, wall_wanted: float, settled: float) -> PocketRoom:
    body, axis, pocket = bulb.body, bulb.axis, bulb.pocket
    points = outline(pocket.tip, pocket.clearance, along=200, round_corner=4)
    side = points[points[:, 1] >= 0.0]
    s = side[:, 0] + pocket.leading_edge_x
    k = body.width_to_height
    r2, _ = body.squared_radius(s)
    inside = (s >= 0.0) & (s <= body.length)
    # Half width of the lead at the floor's level, and whether the surface there looks sideways.
    # A slot that goes right through has no floor: there it is the lead's widest that counts.
    level = 0.0 if bulb.through else axis.floor
    half = np.sqrt(np.where(inside, np.maximum(k * (r2 - k * level**2), 0.0), 0.0))
    ny, nz = half / k, k * level
    size = np.hypot(ny, nz)
    sideways = np.where(size > 0.0, nz / np.where(size > 0.0, size, 1.0), 1.0) < _SIDEWAYS
    excess = np.where(inside & sideways, side[:, 1] - half, 0.0)
    worst = int(np.argmax(excess))

    own = outline(pocket.tip, 0.0, along=200)
    own = own[own[:, 1] >= 0.0]
    own_s = own[:, 0] + pocket.leading_edge_x
    proud, proud_at = 0.0, 0.0
    for across in (np.zeros(len(own)), own[:, 1]):
        low, high = through(body, axis, own_s, across)
        gap = np.where(low <= high, axis.floor - high, axis.floor)
        highest = int(np.argmax(gap))
        if gap[highest] > proud:
            proud, proud_at = float(gap[highest]), float(own[highest, 0])
    return PocketRoom(
        wall=pocket_wall(body, axis, pocket, wall_wanted, settled_above=settled, right_through=bulb.through),
        side_excess=max(float(excess[worst]), 0.0),
        side_at=float(side[worst, 0]),
        proud=proud,
        proud_at=proud_at,
    )
