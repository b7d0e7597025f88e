"""The fin's tip section, NACA four-digit or another shape, and the outline of the pocket round it.

Fin axes: x aft from the tip's leading edge, y to starboard, in a horizontal plane.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from functools import lru_cache

import numpy as np

from bulbcast.fin.foil_section import FOUR_DIGIT_COEFFICIENTS
from bulbcast.fin.shape import Powers, Rounding, Shape, half_of, plate_shape
from bulbcast.solids.quadrature import Array, gauss, gauss_on_panels

# Two panels along the chord, since the grown curve turns within a few per cent of the leading edge.
_PANELS = (0.0, 0.12, 1.0)
_ALONG, _ACROSS, _ROUND = 12, 8, 6
_FEW_PIECES = 4
_AT_THE_NOSE = (0.0, 0.05, 0.25, 1.0)
_STRAIGHT = 1e-6
"""An edge whose normal is within this angle of the fore-and-aft direction has no corner to round. [rad]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Slot:
    """A straight slot with round ends, as milled with a cutter whose diameter is the slot's width.

    Attributes:
        at: Distance of its fore end aft of the tip's leading edge. [m]
        length: Overall length. [m]
        width: Width. [m]
    """

    at: float
    length: float
    width: float

    @property
    def outline(self) -> FinTip:
        """Return the slot as the section of a plate with fully rounded edges, measured from the slot's fore end."""
        return FinTip(
            chord=self.length, thickness=self.width, shape=plate_shape(self.length, self.width, None)
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class FinTip:
    """The fin's tip section where it meets the bulb.

    Attributes:
        chord: Chord. [m]
        thickness: Nominal maximum thickness. [m]
        shape: Shape of the section; None for the plain four-digit section.
        slot: Slot whose outline replaces the enlarged section if the clearance is above zero; None for no slot.
    """

    chord: float
    thickness: float
    shape: Shape | None = None
    slot: Slot | None = None


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class OutlineNodes:
    """Quadrature nodes over the starboard half of an outline's area, with weights for both sides.

    Attributes:
        x: Positions along the chord, shape (n,). [m]
        y: Positions across the chord, shape (n, m), each row from the centreline to the outline. [m]
        weight: Area represented by each node, for both sides together, shape (n, m). [m2]
        edge: Half width of the outline at x, shape (n,). [m]
    """

    x: Array
    y: Array
    weight: Array
    edge: Array


def half_thickness(tip: FinTip, x: Array) -> tuple[Array, Array]:
    """Return the half thickness and the slope of the tip's section.

    Args:
        tip: The fin's tip.
        x: Distance from the leading edge, within the chord; the slope is infinite at 0. [m]

    Returns:
        Half thickness [m] and slope [-], both with the shape of x.

    References:
        NACA TR-460 (1933); NASA TM-4741 (1996), published open coefficients.
    """
    if tip.shape is not None:
        y, slope = half_of(tip.shape, np.asarray(x, dtype=np.float64) / tip.chord)
        return tip.thickness * y, tip.thickness / tip.chord * slope
    xi = np.asarray(x, dtype=np.float64) / tip.chord
    a0, a1, a2, a3, a4 = FOUR_DIGIT_COEFFICIENTS
    root = np.sqrt(xi)
    y = a0 * root + xi * (a1 + xi * (a2 + xi * (a3 + xi * a4)))
    with np.errstate(divide="ignore"):
        slope = 0.5 * a0 / root + a1 + xi * (2.0 * a2 + xi * (3.0 * a3 + xi * 4.0 * a4))
    return tip.thickness * y, tip.thickness / tip.chord * slope


def _grown_curve(tip: FinTip, clearance: float, u: Array) -> tuple[Array, Array]:
    """Return points of the outline's curved side: the section at x = chord u^2, offset along the normal."""
    xi = u * u
    y, slope = half_thickness(tip, tip.chord * np.maximum(xi, 1e-300))
    length = np.sqrt(1.0 + slope * slope)
    # At the leading edge the slope is infinite and the normal points straight forward.
    return tip.chord * xi - clearance * slope / length, y + clearance / length


def trailing_corner(tip: FinTip) -> tuple[float, float]:
    """Return the half thickness at the open trailing edge [m], and the angle of the side's normal there, measured from
    aft towards starboard [rad]."""
    if tip.shape is not None:
        return edge_corners(tip)[1]
    y, slope = half_thickness(tip, np.array([tip.chord]))
    return float(y[0]), math.atan2(1.0, -float(slope[0]))


@lru_cache(maxsize=32)
def outline(tip: FinTip, clearance: float, *, along: int = 64, round_corner: int = 8) -> Array:
    """Return the section's outline enlarged by the clearance, with rounded corners, as a closed polygon.

    Args:
        tip: The fin's tip.
        clearance: Horizontal clearance on each side. [m]
        along: Number of points on each side. [-]
        round_corner: Number of points on the arc round each trailing corner. [-]

    Returns:
        Points in counter-clockwise order seen from above (x aft, y to starboard), without a repeated first point, shape
        (n, 2). Do not modify this array, because later calls return the same one. [m]
    """
    if tip.slot is not None and clearance > 0.0:
        own = outline(tip.slot.outline, 0.0, along=along, round_corner=round_corner)
        moved: Array = own + np.array([tip.slot.at, 0.0])
        moved.setflags(write=False)
        return moved
    if tip.shape is not None:
        x, y = _side_in_pieces(tip, clearance, along, round_corner)
    else:
        u = 0.5 * (1.0 - np.cos(np.linspace(0.0, math.pi, along + 1)))
        x, y = _grown_curve(tip, clearance, u)
        x[0], y[0] = -clearance, 0.0
    corner, angle = trailing_corner(tip)
    turn = np.linspace(angle, 0.0, round_corner + 1)[1:] if clearance > 0.0 else np.array([])
    x = np.concatenate([x, tip.chord + clearance * np.cos(turn)])
    y = np.concatenate([y, corner + clearance * np.sin(turn)])
    starboard = np.stack([x, y], axis=1)
    port = starboard[1:][::-1] * np.array([1.0, -1.0])
    # Starboard runs aft, port forward: with y to starboard that is clockwise from above; reverse.
    points = np.concatenate([starboard, port])[::-1].copy()
    points.setflags(write=False)
    return points


def pocket_span(tip: FinTip, clearance: float) -> tuple[float, float, float]:
    """Return the positions of the pocket's fore and aft ends, measured aft from the tip's leading edge, and its maximum
    width. [m]"""
    if tip.slot is not None and clearance > 0.0:
        return tip.slot.at, tip.slot.at + tip.slot.length, tip.slot.width
    return -clearance, tip.chord + clearance, tip.thickness + 2.0 * clearance


def pocket_half(tip: FinTip, clearance: float, x: float) -> float:
    """Return half the pocket width at a given distance aft of the tip's leading edge; 0 beyond the ends of the slot, or
    of the fin chord if there is no slot. [m]"""
    if tip.slot is not None and clearance > 0.0:
        slot = tip.slot.outline
        inside = 0.0 <= x - tip.slot.at <= slot.chord
        return float(half_thickness(slot, np.array([x - tip.slot.at]))[0][0]) if inside else 0.0
    return float(half_thickness(tip, np.array([x]))[0][0]) + clearance if 0.0 <= x <= tip.chord else 0.0


def outline_area(tip: FinTip, clearance: float) -> float:
    """Return the area inside the enlarged outline. [m2]"""
    return float(np.sum(outline_nodes(tip, clearance).weight))


def outline_nodes(
    tip: FinTip, clearance: float, *, along: int = _ALONG, across: int = _ACROSS
) -> OutlineNodes:
    """Return Gauss nodes over the area inside the enlarged outline.

    Args:
        tip: The fin's tip.
        clearance: Horizontal clearance on each side; 0 for the fin's own section. [m]
        along: Number of nodes on each of the two panels along the chord. [-]
        across: Number of nodes from the centreline to the outline. [-]

    Returns:
        The nodes. With the default numbers, a smooth function is integrated over the area with an error of about 1e-12.
    """
    if tip.slot is not None and clearance > 0.0:
        own = outline_nodes(tip.slot.outline, 0.0, along=along, across=across)
        return replace(own, x=own.x + tip.slot.at)
    if tip.shape is not None:
        x, y, weight = _nodes_in_pieces(tip, clearance, along)
    else:
        share, share_weight = gauss_on_panels(_PANELS, along)
        x, y = _grown_curve(tip, clearance, share)
        weight = share_weight * _curve_speed(tip, clearance, share)
    if clearance > 0.0:
        corner, angle = trailing_corner(tip)
        turn, turn_weight = gauss(_ROUND)
        around = angle * (1.0 - turn)
        x = np.concatenate([x, tip.chord + clearance * np.cos(around)])
        y = np.concatenate([y, corner + clearance * np.sin(around)])
        weight = np.concatenate([weight, turn_weight * angle * clearance * np.sin(around)])
    spread, spread_weight = gauss(across)
    return OutlineNodes(
        x=x,
        y=y[:, None] * spread,
        weight=2.0 * (weight * y)[:, None] * spread_weight,
        edge=y,
    )


def _curve_speed(tip: FinTip, clearance: float, u: Array) -> Array:
    """Return dx/du of the enlarged curve at u, where x = chord u^2 on the section itself."""
    a0, a1, a2, a3, a4 = FOUR_DIGIT_COEFFICIENTS
    xi = u * u
    ratio = tip.thickness / tip.chord
    # slope = g / u with g smooth; sin of its angle is g / sqrt(u^2 + g^2).
    g = ratio * (0.5 * a0 + u * (a1 + xi * (2.0 * a2 + xi * (3.0 * a3 + xi * 4.0 * a4))))
    dg = ratio * (a1 + xi * (6.0 * a2 + xi * (15.0 * a3 + xi * 28.0 * a4)))
    dsine = (dg * u - g) * u / (u * u + g * g) ** 1.5
    return 2.0 * tip.chord * u - clearance * dsine


# For any other shape, piece by piece


def edge_corners(tip: FinTip) -> tuple[tuple[float, float], tuple[float, float]]:
    """Return the half thickness at the leading and trailing edges [m], and the angle of the side's normal at each,
    measured from aft towards starboard [rad]. The angle is a half turn at a round nose, and zero at a round
    trailing edge."""
    shape = tip.shape
    assert shape is not None
    found = []
    for piece, end in ((shape.pieces[0], 0.0), (shape.pieces[-1], 1.0)):
        at, first, _ = piece.curve(np.array([end]))
        along, across = tip.chord * float(first[0, 0]), tip.thickness * float(first[1, 0])
        found.append((tip.thickness * float(at[1, 0]), math.atan2(along, -across)))
    return found[0], found[1]


def grown_piece(
    tip: FinTip, clearance: float, piece: Powers | Rounding, share: Array
) -> tuple[Array, Array, Array]:
    """Return x and y of a piece offset along its normal, and their derivatives with respect to the fraction along the
    piece. [m]"""
    at, first, second = piece.curve(share)
    x, y = tip.chord * at[0], tip.thickness * at[1]
    dx, dy = tip.chord * first[0], tip.thickness * first[1]
    size = np.hypot(dx, dy)
    # A parallel curve runs the same way, faster by the offset times the curvature.
    faster = 1.0 - clearance * (dx * tip.thickness * second[1] - dy * tip.chord * second[0]) / size**3
    return x - clearance * dy / size, y + clearance * dx / size, np.stack([dx, dy]) * faster


def piece_ends(tip: FinTip, clearance: float) -> tuple[float, ...]:
    """Return the positions of both ends of each piece of the enlarged outline, measured aft from the leading edge;
    empty for the four-digit section. [m]"""
    if tip.slot is not None and clearance > 0.0:
        return tuple(tip.slot.at + place for place in piece_ends(tip.slot.outline, 0.0))
    pieces = () if tip.shape is None else tip.shape.pieces
    ends = [grown_piece(tip, clearance, piece, np.array([0.0, 1.0]))[0].tolist() for piece in pieces]
    return tuple(place for pair in ends for place in pair)


def _side_in_pieces(tip: FinTip, clearance: float, along: int, round_corner: int) -> tuple[Array, Array]:
    """Return the outline's starboard side, from the centreline at the nose to the end of the last piece."""
    shape = tip.shape
    assert shape is not None
    face, angle = edge_corners(tip)[0]
    x, y = [np.array([-clearance])], [np.array([0.0])]
    turn = np.linspace(math.pi, angle, round_corner + 1)
    if clearance <= 0.0 or math.pi - angle < _STRAIGHT:
        turn = turn[:1]
    if face > 0.0:
        # A blunt face has points as dense as the corner behind it, since distances are measured to points.
        up = np.linspace(0.0, face, round_corner + 1)[1:-1]
        x.append(np.full_like(up, -clearance))
        y.append(up)
    elif turn.size > 1:
        turn = turn[1:]
    if face > 0.0 or turn.size > 1:
        x.append(clearance * np.cos(turn))
        y.append(face + clearance * np.sin(turn))
    each = along if len(shape.pieces) <= _FEW_PIECES else max(along // 2, 8)
    for piece in shape.pieces:
        some_x, some_y, _ = grown_piece(tip, clearance, piece, np.linspace(0.0, 1.0, each + 1)[1:])
        x.append(some_x)
        y.append(some_y)
    return np.concatenate(x), np.concatenate(y)


def _nodes_in_pieces(tip: FinTip, clearance: float, along: int) -> tuple[Array, Array, Array]:
    """Return the nodes on one side of the outline, up to the end of the last piece: x, half width, and the length in x
    that each represents. [m]"""
    shape = tip.shape
    assert shape is not None
    each = along if len(shape.pieces) <= _FEW_PIECES else max(along // 2, _ROUND)
    columns = []
    for number, piece in enumerate(shape.pieces):
        share, share_weight = gauss_on_panels((0.0, 1.0) if number else _AT_THE_NOSE, each)
        x, y, speed = grown_piece(tip, clearance, piece, share)
        columns.append((x, y, share_weight * speed[0]))
    face, angle = edge_corners(tip)[0]
    if clearance > 0.0 and math.pi - angle > _STRAIGHT:
        turn, turn_weight = gauss(_ROUND)
        around = math.pi - (math.pi - angle) * turn
        weight = turn_weight * (math.pi - angle) * clearance * np.sin(around)
        columns.insert(0, (clearance * np.cos(around), face + clearance * np.sin(around), weight))
    xs, ys, weights = zip(*columns, strict=True)
    return np.concatenate(xs), np.concatenate(ys), np.concatenate(weights)
