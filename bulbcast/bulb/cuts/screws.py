"""One screw's hole and recess inside the lead, their filling, and the quadrature nodes for both.

If the hole and the recess are entirely in the lead, each is calculated in closed form or as a smooth integral.
Otherwise the true intersections come from `scan`.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from bulbcast.bulb.body.columns import through
from bulbcast.bulb.body.pieces import Axis, Piece, cylinder_piece, hole_piece
from bulbcast.bulb.body.turned import TurnedBody
from bulbcast.bulb.cuts.parts import ScrewCut, ScrewSpace
from bulbcast.bulb.cuts.scan import Band, disc_band, scan
from bulbcast.solids.quadrature import Array, gauss

_RADIAL, _AROUND = 6, 14


_RIM_ANGLE = np.linspace(0.0, math.pi, 2 * _AROUND + 1)
_RIM_ALONG, _RIM_ACROSS = np.cos(_RIM_ANGLE), np.sin(_RIM_ANGLE)


def _unit_disc() -> tuple[Array, Array, Array]:
    """Nodes over the starboard half of a unit disc: their positions fore and aft, their positions across, and the
    fraction of the area that each represents."""
    share, weight = gauss(_RADIAL)
    ring = np.sqrt(share)
    angle = math.pi * (np.arange(_AROUND) + 0.5) / _AROUND
    along, across = ring[:, None] * np.cos(angle), ring[:, None] * np.sin(angle)
    return along.ravel(), across.ravel(), (weight[:, None] * np.full(_AROUND, 1.0 / _AROUND)).ravel()


_DISC_ALONG, _DISC_ACROSS, _DISC_SHARE = _unit_disc()


def disc_nodes(radius: float) -> tuple[Array, Array, Array]:
    """Quadrature nodes over a disc's starboard half, with their areas doubled by symmetry.

    Args:
        radius: [m]

    Returns:
        Offsets fore and aft [m], offsets across [m], and the area that each node represents [m2].
    """
    return radius * _DISC_ALONG, radius * _DISC_ACROSS, math.pi * radius**2 * _DISC_SHARE


_RECESS_ALONG = np.concatenate([_DISC_ALONG, _RIM_ALONG])
_RECESS_ACROSS = np.concatenate([_DISC_ACROSS, _RIM_ACROSS])
"""Quadrature nodes of a disc, followed by points on its rim."""


def screw_bands(axis: Axis, screw: ScrewCut, seat: float) -> tuple[Band, ...]:
    """Hole and recess of one screw as bands of columns; none if the screw misses the lead."""
    if math.isnan(seat):
        return ()
    hole = disc_band(axis, screw.at_x, 0.5 * screw.hole_diameter, low=seat, high=None)
    recess = disc_band(axis, screw.at_x, 0.5 * screw.recess_diameter, low=None, high=seat)
    return hole, recess


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class ScrewColumns:
    """Lowest and highest z of the lead over a recess, highest z over a hole's rim, and the underside along the axis."""

    low: Array
    high: Array
    hole_high: Array
    underside: float


def screw_places(screw: ScrewCut, axis: Axis) -> tuple[list[Array], list[Array]]:
    """Points at which the body must be evaluated for one screw: its recess and rim, its hole's rim, and its axis.

    Args:
        screw: The screw.
        axis: Direction of the cuts and height of the pocket floor.

    Returns:
        Positions along the floor and offsets across, three arrays of each, in the order that `screw_columns` expects.
        [m]
    """
    cosine = math.cos(axis.rake)
    a, b = (0.5 * screw.recess_diameter * one for one in (_RECESS_ALONG, _RECESS_ACROSS))
    rim = 0.5 * screw.hole_diameter
    return (
        [screw.at_x + a / cosine, screw.at_x + rim * _RIM_ALONG / cosine, np.array([screw.at_x])],
        [b, rim * _RIM_ACROSS, np.zeros(1)],
    )


def screw_columns(axis: Axis, low: list[Array], high: list[Array]) -> ScrewColumns:
    """Columns for one screw, from the heights of the body at its `screw_places`.

    Args:
        axis: Direction of the cuts and height of the pocket floor.
        low: Lowest z of the lead at each point, one array for each array of points. [m]
        high: Highest z of the lead at each point, one array for each array of points. [m]
    """
    bottom, top = float(low[2][0]), float(high[2][0])
    return ScrewColumns(
        low=low[0],
        high=high[0],
        hole_high=high[1],
        underside=(bottom - axis.floor) / math.cos(axis.rake) if bottom <= top else math.nan,
    )


def screw_space(body: TurnedBody, axis: Axis, screw: ScrewCut, columns: ScrewColumns) -> ScrewSpace:
    """Cuts of one screw inside the body, and their filling.

    Args:
        body: The lead body.
        axis: Direction of the cuts and height of the pocket floor.
        screw: The screw.
        columns: The columns from `screw_columns`.

    Returns:
        Volumes and moments of the true intersections.
    """
    return _regular_space(body, axis, screw, columns) or _scanned_space(body, axis, screw, columns)


def _regular_space(body: TurnedBody, axis: Axis, screw: ScrewCut, columns: ScrewColumns) -> ScrewSpace | None:
    """Cuts of one screw; None unless its recess and hole are entirely in the lead."""
    if math.isnan(columns.underside):
        return None
    sine, cosine = math.sin(axis.rake), math.cos(axis.rake)
    radius = 0.5 * screw.recess_diameter
    seat = columns.underside + screw.recess
    under_head = screw.under_head(seat)
    a = radius * _RECESS_ALONG
    bottom = (columns.low - axis.floor - a * sine) / cosine
    top = (columns.high - axis.floor - a * sine) / cosine
    whole = (
        # The whole rim of the seat must be below the horizontal floor and below the lead's upper surface.
        seat + radius * abs(math.tan(axis.rake)) <= 0.0
        and (columns.high - columns.low).min() >= 0.0
        and bottom.max() <= under_head - screw.head_height
        and top.min() >= seat
        and screw.length >= -under_head
    )
    if not whole:
        return None
    nodes = len(_DISC_SHARE)
    depth = seat - bottom[:nodes]
    part = math.pi * radius**2 * _DISC_SHARE * depth
    middle = seat - 0.5 * depth
    recess = Piece(
        volume=float(part.sum()),
        moment_x=float((part * (screw.at_x + a[:nodes] * cosine - middle * sine)).sum()),
        moment_z=float((part * (axis.floor + a[:nodes] * sine + middle * cosine)).sum()),
    )
    head = cylinder_piece(
        axis,
        screw.at_x,
        0.5 * screw.head_diameter,
        low=under_head - screw.head_height,
        high=under_head,
    )
    if columns.hole_high.min() >= axis.floor:
        hole, shank = (
            hole_piece(axis, screw.at_x, 0.5 * across, seat=seat)
            for across in (screw.hole_diameter, screw.diameter)
        )
    elif columns.hole_high.max() <= axis.floor:
        # The floor is above the lead here: a fin on the crown, or one that stands proud.
        hole, shank = (
            _bore_to_surface(body, axis, screw.at_x, 0.5 * across, seat)
            for across in (screw.hole_diameter, screw.diameter)
        )
    else:
        return None
    plug, bedding = recess - head, hole - shank
    if screw.washer is not None:
        whole_washer, its_hole, its_shank = (
            cylinder_piece(
                axis,
                screw.at_x,
                0.5 * across,
                low=under_head,
                high=seat,
            )
            for across in (screw.washer.diameter, screw.washer.hole_diameter, screw.diameter)
        )
        plug, bedding = plug - whole_washer, bedding + (its_hole - its_shank)
    return ScrewSpace(
        screw=screw,
        underside=columns.underside,
        seat=seat,
        hole=hole,
        recess=recess,
        plug=plug,
        bedding=bedding,
    )


def _bore_to_surface(body: TurnedBody, axis: Axis, at_x: float, radius: float, seat: float) -> Piece:
    """A bore from the seat up to the lead's upper surface, if that is below the horizontal floor everywhere in the bore."""
    sine, cosine = math.sin(axis.rake), math.cos(axis.rake)
    a, b, area = disc_nodes(radius)
    _, high = through(body, axis, at_x + a / cosine, b)
    top = (high - axis.floor - a * sine) / cosine
    part, middle = area * (top - seat), 0.5 * (top + seat)
    return Piece(
        volume=float(part.sum()),
        moment_x=float((part * (at_x + a * cosine - middle * sine)).sum()),
        moment_z=float((part * (axis.floor + a * sine + middle * cosine)).sum()),
    )


def _scanned_space(body: TurnedBody, axis: Axis, screw: ScrewCut, columns: ScrewColumns) -> ScrewSpace:
    """Cuts of one screw whose hole or recess leaves the lead or rises above the floor."""
    underside = columns.underside
    seat = underside + screw.recess
    if math.isnan(underside):
        none = Piece()
        return ScrewSpace(
            screw=screw, underside=underside, seat=underside, hole=none, recess=none, plug=none, bedding=none
        )
    under_head = screw.under_head(seat)
    hole_band, recess_band = screw_bands(axis, screw, seat)
    # A screw too short to reach the floor ends inside its hole, which is filled above it.
    reach = None if screw.length >= -under_head else max(under_head + screw.length, seat)

    def disc(across: float, low: float | None, high: float | None) -> Piece:
        return scan(body, axis, (disc_band(axis, screw.at_x, 0.5 * across, low=low, high=high),))

    hole = scan(body, axis, (hole_band,))
    plug = disc(screw.recess_diameter, None, under_head - screw.head_height)
    bedding = hole - disc(screw.diameter, seat, reach)
    if screw.washer is not None:
        head, washer = (under_head - screw.head_height, under_head), (under_head, seat)
        plug = plug + disc(screw.recess_diameter, *head) - disc(screw.head_diameter, *head)
        plug = plug + disc(screw.recess_diameter, *washer) - disc(screw.washer.diameter, *washer)
        bedding = bedding + disc(screw.washer.hole_diameter, *washer) - disc(screw.diameter, *washer)
    return ScrewSpace(
        screw=screw,
        underside=underside,
        seat=seat,
        hole=hole,
        recess=scan(body, axis, (recess_band,)),
        plug=plug,
        bedding=bedding,
    )
