"""Core prints: what stands out of a pattern where a core is to rest in the mould, with draft for the pull.

Bulb axes, before the pattern's scale. A pocket's print is the pocket run on upwards, a screw's the recess run
on downwards, along the fin's axis.
"""

from __future__ import annotations

import math

import numpy as np

from bulbcast.shape.body import TurnedBody
from bulbcast.shape.columns import Axis, through
from bulbcast.shape.cuts import PocketCut, ScrewCut
from bulbcast.shape.facets import Mesh, equal_area_factor, hoop_count
from bulbcast.shape.fin_section import outline, outline_area
from bulbcast.shape.quadrature import Array
from bulbcast.shape.solids import tower

# A print begins a little inside the body, so that the two are one solid.
_SUNK = 0.3


def pocket_print(
    body: TurnedBody,
    axis: Axis,
    pocket: PocketCut,
    *,
    layer: float,
    length: float,
    draft: float,
    sideways: bool,
    chord_error: float,
) -> Mesh:
    """The pocket's core print, from inside the pocket to `length` above the crown.

    Args:
        body: The lead body.
        axis: Direction of the fin and level of the pocket floor.
        pocket: The pocket.
        layer: Of the pattern outside the body. [m]
        length: Above the crown. [m]
        draft: 0 for a straight one. [rad]
        sideways: Whether the half pattern is pulled to the side (the end is then a roof) or up (the sides
            close in; a thin trailing edge by less, so that it keeps some body).
        chord_error: [m]

    Returns:
        A closed mesh. [m]
    """
    along = max(24, min(400, math.ceil(2.0 * math.sqrt(pocket.tip.chord / (8.0 * chord_error)))))
    points = outline(pocket.tip, pocket.clearance, along=along, round_corner=6)
    x, y = points[:, 0], points[:, 1]
    shoelace = 0.5 * float(np.sum(x * np.roll(y, -1) - np.roll(x, -1) * y))
    y = y * (outline_area(pocket.tip, pocket.clearance) / shoelace)
    crown = 0.5 * body.height + layer
    _, high = through(body, axis, pocket.leading_edge_x + x, y)
    # Draft begins at the lowest point of the mouth, and not below the floor.
    mouth = max(float(np.min(np.where(high > axis.floor, high, crown))) - layer, axis.floor)
    foot = axis.floor + _SUNK * (mouth - axis.floor)
    top = crown + length
    taper = math.tan(draft) * (top - mouth)
    middle = 0.5 * (float(x.min()) + float(x.max()))
    shrink_x = max(1.0 - 2.0 * taper / float(np.ptp(x)), 0.2)

    def ring(z: Array, close_x: float = 1.0, closer: float = 0.0) -> Array:
        place = middle + close_x * (x - middle) + pocket.leading_edge_x
        # Sides come in by the whole taper where they are thick enough, and to a third where not.
        half = np.maximum(np.abs(y) - closer, np.abs(y) / 3.0)
        return np.stack([place - axis.shift * (z - axis.floor), np.sign(y) * half, z], axis=1)

    level = np.full_like(x, foot)
    if sideways:
        roof = ring(top - math.tan(draft) * np.abs(y))
        ridge = np.array([middle + pocket.leading_edge_x - axis.shift * (top - axis.floor), 0.0, top])
        return tower([ring(level), roof], tips=(ring(level).mean(axis=0), ridge))
    return tower([ring(level), ring(np.full_like(x, mouth)), ring(np.full_like(x, top), shrink_x, taper)])


def screw_print(
    body: TurnedBody,
    axis: Axis,
    screw: ScrewCut,
    seat: float,
    *,
    layer: float,
    length: float,
    draft: float,
    sideways: bool,
    chord_error: float,
) -> Mesh | None:
    """The core print of a screw's recess, from inside the recess to `length` below the underside.

    Args:
        body: The lead body.
        axis: Direction of the screw and level of the pocket floor.
        screw: The screw.
        seat: Of its head, along the axis from the floor; nan where it misses the lead. [m]
        layer: Of the pattern outside the body. [m]
        length: Below the underside. [m]
        draft: 0 for a straight one. [rad]
        sideways: Whether the half pattern is pulled to the side or down.
        chord_error: [m]

    Returns:
        A closed mesh [m]; None where the screw misses the lead.
    """
    if math.isnan(seat):
        return None
    radius = 0.5 * screw.head_diameter
    count = hoop_count(radius, chord_error)
    angle = 2.0 * math.pi * np.arange(count) / count
    a, b = (radius * equal_area_factor(count) * side(angle) for side in (np.cos, np.sin))
    sine, cosine = math.sin(axis.rake), math.cos(axis.rake)
    low, high = through(body, axis, screw.at_x + a / cosine, b)
    along = (low - axis.floor - a * sine) / cosine - layer / cosine
    usable = low <= high
    if not usable.any():
        return None
    rim, deepest = float(np.max(along[usable])), float(np.min(along[usable]))
    head = rim + (1.0 - _SUNK) * max(seat - rim, 0.0)
    end = deepest - length
    close = max(1.0 - math.tan(draft) * (rim - end) / radius, 0.2)

    def ring(t: Array, size: float = 1.0) -> Array:
        return np.stack(
            [
                screw.at_x + size * a * cosine - t * sine,
                size * b,
                axis.floor + size * a * sine + t * cosine,
            ],
            axis=1,
        )

    top = ring(np.full_like(a, head))
    if sideways:
        ridge = np.array([screw.at_x - end * sine, 0.0, axis.floor + end * cosine])
        return tower([ring(end + math.tan(draft) * np.abs(b)), top], tips=(ridge, top.mean(axis=0)))
    return tower([ring(np.full_like(a, end), close), ring(np.full_like(a, rim)), top])
