"""Volumes that the fin, the pocket, recesses and holes remove from a layer on the lead body: a skin, finish or coat."""

from __future__ import annotations

import math

import numpy as np

from bulbcast.bulb.body.columns import grown_top, piece_of_columns, through
from bulbcast.bulb.body.pieces import Axis, Piece
from bulbcast.bulb.body.turned import TurnedBody
from bulbcast.bulb.cuts.parts import ScrewCut
from bulbcast.bulb.cuts.screws import disc_nodes
from bulbcast.fin.tip_section import OutlineNodes


def outline_through_layer(
    body: TurnedBody,
    axis: Axis,
    leading_edge_x: float,
    nodes: OutlineNodes,
    distance: float,
    *,
    underside: bool = False,
) -> Piece:
    """Part of the prism over an outline, between the lead's upper surface and a parallel surface.

    Args:
        body: The lead body.
        axis: Direction of the prism and the height of its foot, the pocket floor.
        leading_edge_x: x of the leading edge of the fin's tip at the floor, bulb axes. [m]
        nodes: Nodes of the fin's section (the only area that a skin leaves open) or of the pocket's outline.
        distance: Distance to the parallel surface; negative inside the lead. [m]
        underside: Whether to use the lower surface instead of the upper one, for a slot that goes right through.

    Returns:
        Its volume and moments; negative if the parallel surface is inside the lead.
    """
    if distance == 0.0:
        return Piece()
    s = leading_edge_x + nodes.x[:, None]
    low, high = through(body, axis, s, nodes.y)
    if underside:
        moved = grown_top(body, axis, s, nodes.y, distance, underside=True)
        usable = np.isfinite(moved) & (low <= high)
        return piece_of_columns(
            axis, s, np.where(usable, moved, 0.0), np.where(usable, low, 0.0), nodes.weight
        )
    moved = grown_top(body, axis, s, nodes.y, distance)
    bottom = np.maximum(np.where(low <= high, high, -math.inf), axis.floor)
    # Columns that miss the layer (of a fin that extends beyond nose or tail) do not cut it.
    top = np.where(np.isfinite(moved), np.maximum(moved, axis.floor), bottom)
    return piece_of_columns(axis, s, bottom, top, nodes.weight)


def recess_through_layer(body: TurnedBody, axis: Axis, screw: ScrewCut, distance: float) -> Piece:
    """Part of a screw's recess between the lead's underside and a parallel surface.

    Args:
        body: The lead body.
        axis: Direction of the screw and height of the pocket floor.
        screw: The screw.
        distance: Distance to the parallel surface; negative inside the lead. [m]

    Returns:
        Its volume and moments; negative if the parallel surface is inside the lead.
    """
    if distance == 0.0:
        return Piece()
    a, b, area = disc_nodes(0.5 * screw.recess_diameter)
    cosine = math.cos(axis.rake)
    s = screw.at_x + a / cosine
    low, high = through(body, axis, s, b)
    moved = grown_top(body, axis, s, b, distance, underside=True)
    usable = np.isfinite(moved) & (low <= high)
    # dV = ds dy dz over the disc's slanted footprint, which is wider by 1 / cos.
    bottom, top = np.where(usable, moved, 0.0), np.where(usable, low, 0.0)
    return piece_of_columns(axis, s, bottom, top, area / cosine)


def bore_through_layer(body: TurnedBody, axis: Axis, at_x: float, radius: float, distance: float) -> Piece:
    """Part of a screw or stud hole between the lead's upper surface and a parallel one, up to the horizontal floor.

    It is zero if there is a pocket over the hole. On a crown without a pocket the hole continues through any layer
    below the height of the fin's tip.

    Args:
        body: The lead body.
        axis: Direction of the screw and height of the pocket floor.
        at_x: x at which its axis crosses the floor. [m]
        radius: Radius of the hole. [m]
        distance: Distance to the parallel surface; negative inside the lead. [m]

    Returns:
        Its volume and moments; negative if the parallel surface is inside the lead.
    """
    if distance == 0.0:
        return Piece()
    a, b, area = disc_nodes(radius)
    cosine = math.cos(axis.rake)
    s = at_x + a / cosine
    low, high = through(body, axis, s, b)
    moved = grown_top(body, axis, s, b, distance)
    usable = np.isfinite(moved) & (low <= high)
    bottom = np.minimum(np.where(usable, high, axis.floor), axis.floor)
    top = np.minimum(np.where(usable, moved, axis.floor), axis.floor)
    return piece_of_columns(axis, s, bottom, top, area / cosine)
