"""Measurements of the lead and fin material left round the pocket and the screws; nothing is judged here."""

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

# Beyond this the surface beside a pocket floor faces up rather than sideways.
_SIDEWAYS = math.cos(math.radians(45.0))


@frozen
class ScrewRoom:
    """Lead and fin material round one screw. Lengths in m; walls are None if the screw's axis misses the lead.

    Attributes:
        at: Distance aft of the tip's leading edge at the floor.
        misses: Whether the screw's axis misses the lead.
        lead_above: Lead along the axis from the underside to the lead's upper surface.
        lead_to_floor: Lead along the axis from the underside to the pocket floor.
        seat_to_floor: Lead left between the seat of the head or washer and the pocket floor.
        rim_depth: Depth of the recess at the shallowest point of its rim.
        thread: Length of the screw above the pocket floor.
        hole_wall: Thinnest wall of the clearance hole.
        recess_wall: Thinnest wall of the recess and the seat.
        inside_pocket: Smallest distance from the hole's rim to the pocket's outline; negative outside the pocket.
        cheek: Minimum thickness of the fin beside the shank; negative if the shank leaves the section.
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
    """Lead round the pocket. Lengths in m, positions aft of the tip's leading edge.

    Attributes:
        wall: Thinnest wall where the pocket is deeper than the required wall thickness; None if it is not that deep
            anywhere.
        side_excess: Distance by which the pocket floor comes out through the side; 0 if it does not.
        side_at: Position at which it comes out furthest.
        proud: Height of the fin's tip above the lead beside it; 0 if it is below.
        proud_at: Position at which it is highest above the lead.
    """

    wall: Wall | None
    side_excess: float
    side_at: float
    proud: float
    proud_at: float


@frozen
class Room:
    """Lead and fin material left round all cuts. `recess_gaps` gives the distances between the rims of neighbouring
    recesses, keyed by pairs of screw numbers, counted from 1. [m]"""

    screws: tuple[ScrewRoom, ...]
    pocket: PocketRoom
    recess_gaps: tuple[tuple[int, int, float], ...]


def room_of(bulb: HungBulb, *, wall_wanted: float, roughly: bool = False) -> Room:
    """Measure the lead and fin round every cut of a sized bulb.

    Args:
        bulb: The sized and placed bulb.
        wall_wanted: Required wall thickness; a pocket wall counts only where it is deeper in the lead than this. [m]
        roughly: Whether to skip the refinement of walls that are more than twice the required thickness.

    Returns:
        The measurements.
    """
    settled = 2.0 * wall_wanted if roughly else math.inf
    columns = _columns(bulb)
    walls = _walls(bulb, bulb.screw_cuts, columns.underside, settled)
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
    return Room(
        screws=_screw_rooms(bulb, columns, walls),
        pocket=_pocket_room(bulb, columns, wall_wanted, settled),
        recess_gaps=gaps,
    )


@frozen
class _Columns:
    """Ends of the lead along the fin's axis, measured from the floor, each in one array; nan where a line misses
    the lead. [m]

    Attributes:
        underside: Lower end on each screw's axis, shape (screws,).
        top: Upper end on each axis.
        rim: Lower end round each recess's rim, shape (screws, angles).
        beside: Upper end along the middle and along the side of the fin's tip, shape (2, points).
    """

    underside: Array
    top: Array
    rim: Array
    beside: Array


_ANGLE = np.linspace(0.0, math.pi, 33)
_AHEAD, _ABEAM = np.cos(_ANGLE), np.sin(_ANGLE)


def _columns(bulb: HungBulb) -> _Columns:
    screws, axis = bulb.screw_cuts, bulb.axis
    at = np.array([screw.at_x for screw in screws]).reshape(-1, 1)
    radius = np.array([0.5 * screw.recess_diameter for screw in screws]).reshape(-1, 1)
    own = _side(bulb.pocket.tip, 0.0, 200, 8)
    ahead, cosine = radius * _AHEAD, math.cos(axis.rake)
    own_s = own[:, 0] + bulb.pocket.leading_edge_x
    # All at once: a column costs little compared with a call.
    s = np.concatenate((at.ravel(), (at + ahead / cosine).ravel(), own_s, own_s))
    y = np.concatenate((np.zeros(len(at)), (radius * _ABEAM).ravel(), np.zeros(len(own)), own[:, 1]))
    low, high = through(bulb.body, axis, s, y)
    missed = low > high
    low, high = np.where(missed, np.nan, low - axis.floor), np.where(missed, np.nan, high - axis.floor)
    axes, rims = len(at), len(at) * (1 + len(_ANGLE))
    rim = low[axes:rims].reshape(ahead.shape) - ahead * math.sin(axis.rake)
    return _Columns(
        underside=low[:axes] / cosine,
        top=high[:axes] / cosine,
        rim=rim / cosine,
        beside=high[rims:].reshape(2, -1),
    )


def undersides(bulb: HungBulb, at_x: Array) -> tuple[Array, Array]:
    """Lower and upper ends of the lead on screw axes, measured along each axis from the floor; nan where an axis misses
    the lead.

    Args:
        bulb: The sized bulb.
        at_x: x at which the axes cross the floor, bulb axes, shape (n,). [m]
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
    """Thinnest wall of the hole, and of the recess with its seat, for any screws in this body.

    Args:
        bulb: The sized bulb.
        screws: The bulb's screws, or trial ones.
        settled_above: Thickness above which walls are not refined; see `bore_walls`. [m]

    Returns:
        A pair for each screw; both are None if the axis misses the lead.
    """
    low, _ = undersides(bulb, np.array([screw.at_x for screw in screws]))
    return _walls(bulb, screws, low, settled_above)


def _walls(
    bulb: HungBulb, screws: tuple[ScrewCut, ...], low: Array, settled_above: float
) -> tuple[tuple[Wall | None, Wall | None], ...]:
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


def _screw_rooms(
    bulb: HungBulb, columns: _Columns, walls: tuple[tuple[Wall | None, Wall | None], ...]
) -> tuple[ScrewRoom, ...]:
    screws, pocket = bulb.screw_cuts, bulb.pocket
    along = np.array([screw.at_x - pocket.leading_edge_x for screw in screws])
    hole = np.array([0.5 * screw.hole_diameter for screw in screws])
    shank = np.array([0.5 * screw.diameter for screw in screws])
    seat = columns.underside + np.array([screw.recess for screw in screws])
    # The depth of the recess at the shallowest point of its rim; it has none if the rim misses the lead.
    bottom = np.where(np.isnan(columns.rim), seat[:, None], columns.rim)
    figures = (
        along,
        columns.underside,
        columns.top,
        seat,
        seat - np.max(bottom, axis=1),
        inside_outline(pocket, along, pocket.clearance, hole),
        inside_outline(pocket, along, 0.0, shank),
    )
    return tuple(
        ScrewRoom(
            at=at,
            misses=math.isnan(underside),
            lead_above=top - underside,
            lead_to_floor=-underside,
            seat_to_floor=-own_seat,
            rim_depth=rim_depth,
            thread=screw.length + screw.under_head(own_seat),
            hole_wall=wall[0],
            recess_wall=wall[1],
            inside_pocket=inside_pocket,
            cheek=cheek,
        )
        for screw, wall, at, underside, top, own_seat, rim_depth, inside_pocket, cheek in zip(
            screws, walls, *(one.tolist() for one in figures), strict=True
        )
    )


@lru_cache(maxsize=64)
def _side(tip: FinTip, clearance: float, along: int, round_corner: int) -> Array:
    """The starboard side of the outline, as a read-only array."""
    points = outline(tip, clearance, along=along, round_corner=round_corner)
    return points[points[:, 1] >= 0.0]


@lru_cache(maxsize=16)
def _starboard(tip: FinTip, clearance: float) -> tuple[Array, Array]:
    """The starboard side of the outline from the leading edge aft, without and with its blunt end, as read-only arrays."""
    side = _side(tip, clearance, 400, 12)[::-1]
    order = np.argsort(side[:, 0], kind="stable")
    side = side[order]
    # The blunt end between the two corners is a straight line across.
    blunt = np.stack([np.full(12, side[-1, 0]), np.linspace(0.0, side[-1, 1], 12)], axis=1)
    return side, np.concatenate([side, blunt])


def inside_outline(pocket: PocketCut, along: Array, clearance: float, radius: Array) -> Array:
    """Distance from circles on the chord line to the outline of the fin's section enlarged by a clearance.

    Args:
        pocket: The pocket, which gives the fin's tip and its position.
        along: Positions of the centres, aft of the tip's leading edge, shape (n,). [m]
        clearance: Clearance; 0 for the section of the fin itself. [m]
        radius: Radius of the circles, shape (n,) or a single value. [m]

    Returns:
        Smallest distance from each circle to the outline, shape (n,); negative where a circle crosses it. [m]
    """
    side, edge = _starboard(pocket.tip, clearance)
    distance: Array = np.min(np.hypot(edge[:, 0] - along[:, None], edge[:, 1]), axis=1)
    width = np.interp(along, side[:, 0], side[:, 1], left=-1.0, right=-1.0)
    signed: Array = np.where(width > 0.0, distance, -distance) - radius
    return signed


def _pocket_room(bulb: HungBulb, columns: _Columns, wall_wanted: float, settled: float) -> PocketRoom:
    body, axis, pocket = bulb.body, bulb.axis, bulb.pocket
    side = _side(pocket.tip, pocket.clearance, 200, 4)
    s = side[:, 0] + pocket.leading_edge_x
    k = body.width_to_height
    r2, _ = body.squared_radius(s)
    inside = (s >= 0.0) & (s <= body.length)
    # Half width of the lead at the floor's level, and whether the surface there faces sideways. A slot that goes right
    # through has no floor, so the widest part of the lead counts instead.
    level = 0.0 if bulb.through else axis.floor
    half = np.sqrt(np.where(inside, np.maximum(k * (r2 - k * level**2), 0.0), 0.0))
    ny, nz = half / k, k * level
    size = np.hypot(ny, nz)
    sideways = np.where(size > 0.0, nz / np.where(size > 0.0, size, 1.0), 1.0) < _SIDEWAYS
    excess = np.where(inside & sideways, side[:, 1] - half, 0.0)
    worst = int(np.argmax(excess))

    # If there is no lead beside it, the tip stands proud by its whole height above the axis.
    gap = np.where(np.isnan(columns.beside), axis.floor, -columns.beside)
    highest = int(np.argmax(gap))
    proud = float(gap.flat[highest])
    return PocketRoom(
        wall=pocket_wall(body, axis, pocket, wall_wanted, settled_above=settled, right_through=bulb.through),
        side_excess=max(float(excess[worst]), 0.0),
        side_at=float(side[worst, 0]),
        proud=max(proud, 0.0),
        proud_at=float(_side(pocket.tip, 0.0, 200, 8)[highest % gap.shape[1], 0]) if proud > 0.0 else 0.0,
    )
