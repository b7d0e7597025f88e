"""Cross pins and cast-in studs: the lead that they displace, and the filling of the gaps round them.

A cross pin runs athwartships through the lead and the fin; a stud or tube runs along the fin's axis and is cast in.
Normally the lead displaced by a pin is an integral over its disc, and that displaced by a stud is a closed form. If one
leaves the lead or meets another cut, `scan` follows every edge, as for the screws.

A pin that passes clear of the pocket, below its floor or beyond its ends, only holds the two halves together.

The full mass of a cross pin is counted, like that of a screw; the part of the fin that it displaces is not subtracted
from the fin. Its hole is drilled after casting.

A stud leaves a cavity in the cast body. The pattern has the same hole, which shows the stud's position in the mould.

A blade that goes right through the bulb is trimmed flush with the underside. The boat's fin is calculated down to that
level, so the trimmed part is subtracted from the bulb's displacement. The bond line moves the halves apart and removes
no lead. The extra skin along the bond line is ignored.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np

from bulbcast.bulb.body.columns import through
from bulbcast.bulb.body.pieces import Axis, Piece, cylinder_piece, hole_piece
from bulbcast.bulb.body.turned import TurnedBody
from bulbcast.bulb.cuts.scan import Band, disc_band, outline_band, outline_table, scan
from bulbcast.fin.tip_section import FinTip, pocket_span
from bulbcast.quantities.frozen import frozen
from bulbcast.solids.quadrature import Array, gauss

_RINGS, _AROUND = 16, 40


@frozen
class PinCut:
    """One athwartships pin, perpendicular to the centreplane and extending equally far to port and to starboard.

    Attributes:
        at_x: x at which the line through the pin parallel to the fin's axis crosses the pocket floor, measured aft of
            the tip's leading edge for a pin as typed, and in bulb axes once it is cut. [m]
        height: Height of its axis above the floor; negative below it. [m]
        diameter: [m]
        hole_diameter: Diameter of its hole in the lead. [m]
        length: [m]
        density: [kg/m3]
    """

    at_x: float
    height: float
    diameter: float
    hole_diameter: float
    length: float
    density: float

    def centre(self, axis: Axis) -> tuple[float, float]:
        """x and z of the pin's axis, bulb axes. [m]"""
        return self.at_x - axis.shift * self.height, axis.floor + self.height


@frozen
class StudCut:
    """One stud or tube cast in along the fin's axis.

    Attributes:
        at_x: x at which its axis crosses the pocket floor, measured aft of the tip's leading edge for a stud as typed,
            and in bulb axes once it is cut. [m]
        diameter: Outside diameter. [m]
        bore: Inside diameter; 0 for a solid stud. [m]
        below: Length below the floor. [m]
        above: Length above the floor. [m]
        density: [kg/m3]
        fill_density: Density of the filling of its bore. [kg/m3]
    """

    at_x: float
    diameter: float
    bore: float
    below: float
    above: float
    density: float
    fill_density: float


@frozen
class PinSpace:
    """Lead removed by a pin hole, and the filling of the hole.

    Attributes:
        pin: The pin as cut.
        hole: Its hole in the lead, outside the pocket.
        plug: Filling of the hole outboard of the pin's ends.
        bedding: Bedding round the pin in the lead, less the pocket's bedding that the pin itself displaces.
        half_width: Half the lead's width at the pin's axis; 0 if the pin misses the lead. [m]
        off_pocket: Lead between its hole and the pocket in the centreplane; negative if they meet. [m]
        clear: Whether the hole is entirely within the lead, and either entirely above the pocket floor or clear of the
            pocket.
    """

    pin: PinCut
    hole: Piece
    plug: Piece
    bedding: Piece
    half_width: float
    off_pocket: float
    clear: bool


@frozen
class StudSpace:
    """Lead displaced by a stud below the pocket floor; `clear` is true if the whole foot of the stud is in the lead."""

    stud: StudCut
    hole: Piece
    clear: bool


def pin_band(body: TurnedBody, axis: Axis, pin: PinCut) -> Band:
    """Pin hole as a band across the full width of the lead, with the height of the hole at each x."""
    radius, shift = 0.5 * pin.hole_diameter, axis.shift
    slant = 1.0 + shift * shift
    wide = 2.0 * max(body.width, pin.hole_diameter)
    reach = radius * math.sqrt(slant)

    def half_height(s: Array) -> Array:
        # (s - at - shift h)^2 + h^2 = radius^2 about the pin's own height, solved for h.
        return np.sqrt(np.maximum(radius**2 * slant - (s - pin.at_x) ** 2, 0.0)) / slant

    def middle(s: Array) -> Array:
        return axis.floor + pin.height + shift * (s - pin.at_x) / slant

    return Band(
        start=pin.at_x - reach,
        end=pin.at_x + reach,
        half=lambda s: np.where(np.abs(s - pin.at_x) < reach, wide, 0.0),
        low=lambda s: middle(s) - half_height(s),
        high=lambda s: middle(s) + half_height(s),
    )


def stud_band(axis: Axis, stud: StudCut) -> Band:
    """Foot of a stud below the horizontal floor, as a band of columns."""
    return disc_band(axis, stud.at_x, 0.5 * stud.diameter, low=-stud.below, high=None)


def pin_space(
    body: TurnedBody, axis: Axis, tip: FinTip, clearance: float, leading_edge_x: float, pin: PinCut
) -> PinSpace:
    """Lead removed by one pin hole, and the filling of the hole.

    Args:
        body: The lead body.
        axis: Direction of the fin and height of the pocket floor.
        tip: The fin's tip.
        clearance: Clearance of the pocket. [m]
        leading_edge_x: x of the tip's leading edge at the floor, bulb axes. [m]
        pin: The pin.
    """
    centre_x, centre_z = pin.centre(axis)

    def widths(radius: float) -> tuple[Array, Array, Array, Array, Array, Array]:
        a, b, area = _disc(radius)
        x, z = centre_x + a, centre_z + b
        s = x + axis.shift * (z - axis.floor)
        above = z > axis.floor
        pocket = np.where(above, _half_of(tip, clearance, s - leading_edge_x), 0.0)
        fin = np.where(above, _half_of(tip, 0.0, s - leading_edge_x), 0.0)
        return x, z, area, _half_width(body, x, z), pocket, fin

    def summed(x: Array, z: Array, part: Array) -> Piece:
        return Piece(
            volume=float(np.sum(part)), moment_x=float(np.sum(part * x)), moment_z=float(np.sum(part * z))
        )

    half = 0.5 * pin.length
    x, z, area, lead, pocket, _ = widths(0.5 * pin.hole_diameter)
    hole = summed(x, z, 2.0 * area * np.maximum(lead - pocket, 0.0))
    plug = summed(x, z, 2.0 * area * np.maximum(lead - np.maximum(pocket, half), 0.0))
    round_pin = hole - plug
    px, pz, p_area, p_lead, p_pocket, p_fin = widths(0.5 * pin.diameter)
    in_lead = summed(px, pz, 2.0 * p_area * np.maximum(np.minimum(p_lead, half) - p_pocket, 0.0))
    reach = np.minimum(p_lead, half)
    in_gap = summed(px, pz, 2.0 * p_area * (np.minimum(p_pocket, reach) - np.minimum(p_fin, reach)))

    rim_x, rim_z = _rim(0.5 * pin.hole_diameter)
    rim_s = centre_x + rim_x + axis.shift * (centre_z + rim_z - axis.floor)
    off_pocket = _off_pocket(axis, tip, clearance, leading_edge_x, pin)
    pocket_there = 0.0 if off_pocket >= 0.0 else _half_of(tip, clearance, rim_s - leading_edge_x)
    beside = _half_width(body, centre_x + rim_x, centre_z + rim_z) - pocket_there
    clear = bool(np.min(beside) > 0.0) and (pin.height >= 0.5 * pin.hole_diameter or off_pocket >= 0.0)
    if not clear:
        pocket_band = outline_band(tip, clearance, leading_edge_x, low=axis.floor, high=math.inf)
        both = scan(body, axis, (pocket_band, pin_band(body, axis, pin)))
        hole = both - scan(body, axis, (pocket_band,))
    return PinSpace(
        pin=pin,
        hole=hole,
        plug=plug,
        bedding=round_pin - in_lead - in_gap,
        half_width=float(_half_width(body, np.array([centre_x]), np.array([centre_z]))[0]),
        off_pocket=off_pocket,
        clear=clear,
    )


def _off_pocket(axis: Axis, tip: FinTip, clearance: float, leading_edge_x: float, pin: PinCut) -> float:
    """Distance from a pin hole to the pocket's outline in the centreplane; negative if they meet. [m]"""
    ends = [leading_edge_x + end for end in pocket_span(tip, clearance)[:2]]
    if pin.height >= 0.0 and ends[0] <= pin.at_x <= ends[1]:
        return -0.5 * pin.hole_diameter
    x = pin.centre(axis)[0]
    # To the floor, and to each end along the fin's axis.
    distances = [math.hypot(max(ends[0] - x, x - ends[1], 0.0), pin.height)]
    sine, cosine = -math.sin(axis.rake), math.cos(axis.rake)
    for end in ends:
        along = max((x - end) * sine + pin.height * cosine, 0.0)
        distances.append(math.hypot(x - end - along * sine, pin.height - along * cosine))
    return min(distances) - 0.5 * pin.hole_diameter


def stud_space(body: TurnedBody, axis: Axis, stud: StudCut) -> StudSpace:
    """Lead displaced by one stud below the height of the pocket floor.

    Args:
        body: The lead body.
        axis: Direction of the fin and height of the pocket floor.
        stud: The stud.
    """
    radius = 0.5 * stud.diameter
    sine, cosine = math.sin(axis.rake), math.cos(axis.rake)
    angle = np.linspace(0.0, math.pi, 41)
    a, b = radius * np.cos(angle), radius * np.sin(angle)
    low, high = through(body, axis, stud.at_x + a / cosine, b)
    foot = axis.floor + a * sine - stud.below * cosine
    clear = (
        stud.below >= radius * abs(math.tan(axis.rake))
        and bool(np.all(low <= foot))
        and bool(np.all(high >= axis.floor))
    )
    whole = hole_piece(axis, stud.at_x, radius, seat=-stud.below)
    hole = whole if clear else scan(body, axis, (stud_band(axis, stud),))
    return StudSpace(stud=stud, hole=hole, clear=clear)


def pin_piece(axis: Axis, pin: PinCut) -> Piece:
    """Volume and moments of the whole pin."""
    x, z = pin.centre(axis)
    volume = 0.25 * math.pi * pin.diameter**2 * pin.length
    return Piece(volume=volume, moment_x=volume * x, moment_z=volume * z)


def stud_pieces(axis: Axis, stud: StudCut) -> tuple[Piece, Piece]:
    """Volume and moments of the whole stud or tube, and of the filling of its bore."""
    outer, inner = (
        cylinder_piece(
            axis,
            stud.at_x,
            0.5 * across,
            low=-stud.below,
            high=stud.above,
        )
        for across in (stud.diameter, stud.bore)
    )
    return outer - inner, inner


def clear_of_each_other(
    axis: Axis,
    discs: Sequence[tuple[float, float]],
    pins: Sequence[PinSpace],
    studs: Sequence[StudSpace],
) -> bool:
    """Whether every pin and stud is clear of the other cuts, so that the volumes can simply be added.

    Args:
        axis: Direction of the fin and height of the floor.
        discs: Position on the floor and largest radius of each screw's cuts. [m]
        pins: The pins, with the lead that each removes.
        studs: The studs, with the lead that each displaces.
    """
    cosine = math.cos(axis.rake)
    upright = [*discs, *((one.stud.at_x, 0.5 * one.stud.diameter) for one in studs)]
    apart = all(
        abs(one[0] - other[0]) * cosine >= one[1] + other[1]
        for i, one in enumerate(upright)
        for other in upright[max(i + 1, len(discs)) :]
    )
    centres = [(one.pin.centre(axis), one.pin.hole_diameter) for one in pins]
    pins_apart = all(
        math.dist(one, other) >= 0.5 * (wide + hole)
        for i, (one, wide) in enumerate(centres)
        for other, hole in centres[:i]
    )
    # Below the floor a pin is where screws and studs are; above it none of them is in the lead.
    lower = [one for one in pins if one.pin.height < 0.5 * one.pin.hole_diameter]
    below_apart = all(
        abs(one.pin.at_x - at) * cosine >= 0.5 * one.pin.hole_diameter + radius
        for one in lower
        for at, radius in upright
    )
    every_clear = all(one.clear for one in pins) and all(one.clear for one in studs)
    return apart and pins_apart and below_apart and every_clear


def _half_width(body: TurnedBody, x: Array, z: Array) -> Array:
    """Half width of the lead at points of the centreplane; 0 outside the lead. [m]"""
    k = body.width_to_height
    r2, _ = body.squared_radius(x)
    inside = (x >= 0.0) & (x <= body.length)
    return np.sqrt(np.where(inside, np.maximum(k * (r2 - k * z * z), 0.0), 0.0))


def _half_of(tip: FinTip, clearance: float, x: Array) -> Array:
    """Half width of the section grown by the clearance, at x aft of the leading edge; 0 outside the section. [m]"""
    places, squares = outline_table(tip, clearance)
    # The width is proportional to the root of the distance from the nose, so its square is interpolated.
    return np.asarray(np.sqrt(np.interp(x, places, squares, left=0.0, right=0.0)))


def _disc(radius: float) -> tuple[Array, Array, Array]:
    """Nodes over a whole disc, and the area that each represents. [m], [m], [m2]"""
    share, weight = gauss(_RINGS)
    ring = radius * np.sqrt(share)
    angle = 2.0 * math.pi * (np.arange(_AROUND) + 0.5) / _AROUND
    a, b = ring[:, None] * np.cos(angle), ring[:, None] * np.sin(angle)
    area = math.pi * radius**2 / _AROUND * np.broadcast_to(weight[:, None], a.shape)
    return a.ravel(), b.ravel(), area.ravel()


def _rim(radius: float) -> tuple[Array, Array]:
    angle = 2.0 * math.pi * np.arange(2 * _AROUND) / (2 * _AROUND)
    return radius * np.cos(angle), radius * np.sin(angle)
