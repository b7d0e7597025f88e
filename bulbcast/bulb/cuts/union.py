"""Pocket and screw holes as true intersections with the lead body, by quadrature without a mesh.

If every cut is well inside the body and clear of the others, each is a smooth integral or a closed form (a few hundred
nodes). If one leaves the body or meets another, the same volumes come from `scan`, which follows every edge. The two
methods agree where both apply (tests/property).
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import accumulate, pairwise

import numpy as np

from bulbcast.bulb.body.columns import piece_of_columns, through
from bulbcast.bulb.body.pieces import Axis, Piece
from bulbcast.bulb.body.profiles import Profile
from bulbcast.bulb.body.turned import TurnedBody
from bulbcast.bulb.cuts.fittings import (
    PinCut,
    PinSpace,
    StudCut,
    StudSpace,
    clear_of_each_other,
    pin_band,
    pin_space,
    stud_band,
    stud_space,
)
from bulbcast.bulb.cuts.parts import Cuts, PocketCut, ScrewCut, ScrewSpace
from bulbcast.bulb.cuts.scan import Band, outline_band, scan
from bulbcast.bulb.cuts.screws import ScrewColumns, screw_bands, screw_columns, screw_places, screw_space
from bulbcast.fin.tip_section import FinTip, OutlineNodes, outline_nodes, pocket_span
from bulbcast.solids.quadrature import Array


@dataclass(frozen=True, slots=True, kw_only=True)
class FinNodes:
    """Quadrature nodes of the fin section and the pocket outline, calculated once for a solve.

    `thin` has fewer nodes, for a layer's thickness, which hardly varies over the section.
    """

    section: OutlineNodes
    pocket: OutlineNodes
    thin: OutlineNodes


# The curvature of the lead's surface jumps at the knots of a table, which this many nodes on each panel resolve.
_ALONG_KNOTS = 96


@lru_cache(maxsize=16)
def fin_nodes(tip: FinTip, clearance: float, profile: Profile | None = None) -> FinNodes:
    """Nodes for `cuts_of`, which depend on the bulb only through its kind of profile.

    Args:
        tip: The fin's tip.
        clearance: Clearance of the pocket. [m]
        profile: Profile of the bulb; a table of ordinates needs more nodes than a smooth form.
    """
    if profile is not None and len(profile.breaks) > 1:
        return FinNodes(
            section=outline_nodes(tip, 0.0, along=_ALONG_KNOTS),
            pocket=outline_nodes(tip, clearance, along=_ALONG_KNOTS),
            thin=outline_nodes(tip, 0.0, along=_ALONG_KNOTS // 2, across=3),
        )
    return FinNodes(
        section=outline_nodes(tip, 0.0),
        pocket=outline_nodes(tip, clearance),
        thin=outline_nodes(tip, 0.0, along=8, across=3),
    )


def cuts_of(
    body: TurnedBody,
    axis: Axis,
    pocket: PocketCut,
    screws: tuple[ScrewCut, ...],
    nodes: FinNodes | None = None,
    *,
    pins: tuple[PinCut, ...] = (),
    studs: tuple[StudCut, ...] = (),
) -> Cuts:
    """Volumes and moments of everything cut from the body, and of the filler in the gaps.

    Args:
        body: The lead body.
        axis: Direction of the cuts and height of the pocket floor.
        pocket: The pocket.
        screws: The screws, in order.
        nodes: Nodes from `fin_nodes`, shared by repeated calls for the same fin.
        pins: The cross pins, in order.
        studs: Cast-in studs and tubes, in order.

    Returns:
        The cuts; their volumes are those of true intersections, even if a cut leaves the body.
    """
    if nodes is None:
        nodes = fin_nodes(pocket.tip, pocket.clearance, body.profile)
    columns = _columns_of(body, axis, pocket, screws, nodes)
    pocket_piece = _prism(body, axis, pocket, nodes.pocket, columns.pocket)
    if pocket_piece is None:
        pocket_piece = scan(body, axis, (pocket_band(axis, pocket, pocket.clearance),))
    fin_piece = _prism(body, axis, pocket, nodes.section, columns.section)
    if fin_piece is None:
        fin_piece = scan(body, axis, (pocket_band(axis, pocket, 0.0),))
    spaces = tuple(
        screw_space(body, axis, screw, through_screw)
        for screw, through_screw in zip(screws, columns.screws, strict=True)
    )
    pin_spaces = tuple(
        pin_space(body, axis, pocket.tip, pocket.clearance, pocket.leading_edge_x, pin) for pin in pins
    )
    stud_spaces = tuple(stud_space(body, axis, stud) for stud in studs)
    removed = removed_by(
        body,
        axis,
        pocket,
        pocket_piece,
        spaces,
        pins=pin_spaces,
        studs=stud_spaces,
    )
    return Cuts(
        pocket=pocket_piece,
        fin_inside=fin_piece,
        screws=spaces,
        pins=pin_spaces,
        studs=stud_spaces,
        removed=removed,
        trimmed=_trimmed(axis, pocket, nodes.section, columns.section),
    )


def removed_by(
    body: TurnedBody,
    axis: Axis,
    pocket: PocketCut,
    pocket_piece: Piece | None,
    screws: Sequence[ScrewSpace],
    *,
    pins: Sequence[PinSpace] = (),
    studs: Sequence[StudSpace] = (),
) -> Piece:
    """Lead that a set of cuts removes from the body, with overlaps counted once.

    Args:
        body: The lead body.
        axis: Direction of the cuts and height of the pocket floor.
        pocket: The pocket.
        pocket_piece: Lead removed by the pocket alone; None if the pocket is not among the cuts.
        screws: The screws among them, from `cuts_of`.
        pins: The pins among them.
        studs: The studs among them.

    Returns:
        Volume and moments of the union inside the body.
    """
    discs = [
        (one.screw.at_x, 0.5 * max(one.screw.recess_diameter, one.screw.hole_diameter)) for one in screws
    ]
    # A pin hole is calculated outside the pocket: if the pocket is not among the cuts, it is longer.
    whole = pocket_piece is not None or not pins
    if whole and _screws_clear(axis, screws) and clear_of_each_other(axis, discs, pins, studs):
        removed = pocket_piece or Piece()
        for space in screws:
            removed = removed + space.hole + space.recess
        for hole in (*(one.hole for one in pins), *(one.hole for one in studs)):
            removed = removed + hole
        return removed
    bands = [] if pocket_piece is None else [pocket_band(axis, pocket, pocket.clearance)]
    for space in screws:
        bands.extend(screw_bands(axis, space.screw, space.seat))
    bands.extend(pin_band(body, axis, one.pin) for one in pins)
    bands.extend(stud_band(axis, one.stud) for one in studs)
    return scan(body, axis, tuple(bands))


def pocket_band(axis: Axis, pocket: PocketCut, clearance: float) -> Band:
    """Band of columns above the floor for the pocket, or for the fin if the clearance is zero."""
    return outline_band(pocket.tip, clearance, pocket.leading_edge_x, low=axis.floor, high=math.inf)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _PrismColumns:
    """Lowest and highest z of the lead at the nodes, shape (n, m), and at the edge, shape (n,)."""

    low: Array
    high: Array
    edge_low: Array
    edge_high: Array


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Columns:
    pocket: _PrismColumns
    section: _PrismColumns
    screws: tuple[ScrewColumns, ...]


def _columns_of(
    body: TurnedBody, axis: Axis, pocket: PocketCut, screws: tuple[ScrewCut, ...], nodes: FinNodes
) -> _Columns:
    """All the columns that the cuts need, from one call to the body: each call takes time, but extra points take hardly
    any."""
    places: list[Array] = []
    sides: list[Array] = []
    for outline in (nodes.pocket, nodes.section):
        x = pocket.leading_edge_x + outline.x
        places += [np.repeat(x, outline.y.shape[1]), x]
        sides += [outline.y.ravel(), outline.edge]
    for screw in screws:
        along, across = screw_places(screw, axis)
        places += along
        sides += across
    ends = [0, *accumulate(len(place) for place in places)]
    all_low, all_high = through(body, axis, np.concatenate(places), np.concatenate(sides))
    low, high = ([one[start:end] for start, end in pairwise(ends)] for one in (all_low, all_high))
    prisms = [
        _PrismColumns(
            low=low[2 * i].reshape(outline.y.shape),
            high=high[2 * i].reshape(outline.y.shape),
            edge_low=low[2 * i + 1],
            edge_high=high[2 * i + 1],
        )
        for i, outline in enumerate((nodes.pocket, nodes.section))
    ]
    found = tuple(
        screw_columns(axis, low[first : first + 3], high[first : first + 3])
        for first in range(4, 4 + 3 * len(screws), 3)
    )
    return _Columns(pocket=prisms[0], section=prisms[1], screws=found)


def _prism(
    body: TurnedBody, axis: Axis, pocket: PocketCut, nodes: OutlineNodes, columns: _PrismColumns
) -> Piece | None:
    """The part of the prism above the floor that is inside the body; None if the prism's edge leaves the body."""
    s = pocket.leading_edge_x + nodes.x
    depth = columns.high - axis.floor
    if depth.max() <= 0.0 and columns.edge_high.max() <= axis.floor:
        # No part of the body is above the floor within the outline, or the columns miss it.
        return Piece() if _stands_off(body, axis, pocket.leading_edge_x, nodes) else None
    within = columns.low.max() <= axis.floor and columns.edge_low.max() <= axis.floor
    # A blade that goes right through comes out of the lead below over its whole section.
    right_through = columns.low.min() >= axis.floor and columns.edge_low.min() >= axis.floor
    fore, aft, _ = pocket_span(pocket.tip, pocket.clearance)
    whole = (
        depth.min() > 0.0
        and columns.edge_high.min() > axis.floor
        and (within or right_through)
        and pocket.leading_edge_x + fore - pocket.clearance > 0.0
        and pocket.leading_edge_x + aft + pocket.clearance < body.length
    )
    if not whole:
        return None
    floor = np.maximum(columns.low, axis.floor) if right_through else np.full_like(columns.high, axis.floor)
    return piece_of_columns(axis, s[:, None], floor, columns.high, nodes.weight)


def _trimmed(axis: Axis, pocket: PocketCut, nodes: OutlineNodes, columns: _PrismColumns) -> Piece:
    """Part of the fin that comes out below the lead, down to the height of the fin's tip."""
    comes_out = (columns.low > axis.floor) & (columns.low <= columns.high)
    if not comes_out.any():
        return Piece()
    depth = np.where(comes_out, columns.low - axis.floor, 0.0)
    s = pocket.leading_edge_x + nodes.x
    floor = np.full_like(depth, axis.floor)
    return piece_of_columns(axis, s[:, None], floor, floor + depth, nodes.weight)


def _stands_off(body: TurnedBody, axis: Axis, leading_edge_x: float, nodes: OutlineNodes) -> bool:
    """Whether the floor is at or above the crown, or the outline is beyond an end of the body, so that no pocket can
    cut the body."""
    return axis.floor >= 0.5 * body.height or (
        leading_edge_x + float(nodes.x[-1]) + abs(axis.shift) * body.height < 0.0
        or leading_edge_x + float(nodes.x[0]) - abs(axis.shift) * body.height > body.length
    )


def _screws_clear(axis: Axis, screws: Sequence[ScrewSpace]) -> bool:
    """Whether every recess is clear of the others and below the floor, where the pocket begins."""
    cosine, tangent = math.cos(axis.rake), abs(math.tan(axis.rake))
    cuts = [(space.screw.at_x, space.screw.recess_diameter, space.seat) for space in screws]
    apart = all(
        abs(at - other) * cosine >= 0.5 * (wide + its)
        for i, (at, wide, _) in enumerate(cuts)
        for other, its, _ in cuts[i + 1 :]
    )
    return apart and all(math.isnan(seat) or seat + 0.5 * wide * tangent <= 0.0 for _, wide, seat in cuts)
