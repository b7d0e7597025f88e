"""Pocket and screw holes as true intersections with the lead body, by quadrature without a mesh.

Where every cut lies well inside the body and clear of the others, each is a smooth integral or a
closed form (a few hundred nodes). Where one leaves the body or meets another, the same volumes
come from `cut_scan`, which follows every edge; the two agree where both apply (tests/property).
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from bulbcast.shape.body import TurnedBody
from bulbcast.shape.columns import Axis, piece_of_columns, through
from bulbcast.shape.cut_scan import Band, disc_band, outline_band, scan
from bulbcast.shape.fin_section import FinTip, OutlineNodes, outline_nodes
from bulbcast.shape.pieces import Piece, cylinder_piece, hole_piece
from bulbcast.shape.profiles import Profile
from bulbcast.shape.quadrature import Array, gauss

_RADIAL, _AROUND = 6, 14


@dataclass(frozen=True, slots=True, kw_only=True)
class PocketCut:
    """The pocket: the fin's tip section grown by the clearance, from the floor upwards.

    Attributes:
        tip: The fin's tip.
        clearance: On each side, horizontal. [m]
        leading_edge_x: Of the tip at the floor, bulb axes. [m]
    """

    tip: FinTip
    clearance: float
    leading_edge_x: float


@dataclass(frozen=True, slots=True, kw_only=True)
class ScrewCut:
    """One screw with its hole and recess, along the raked axis.

    Attributes:
        at_x: Where its axis crosses the pocket floor, bulb axes. [m]
        diameter: Of the shank. [m]
        hole_diameter: Clearance hole, head seat to pocket floor. [m]
        head_diameter: Of the head and of its recess. [m]
        head_height: [m]
        recess: From the underside at that place up to the seat, along the screw. [m]
        length: Under the head. [m]
    """

    at_x: float
    diameter: float
    hole_diameter: float
    head_diameter: float
    head_height: float
    recess: float
    length: float


@dataclass(frozen=True, slots=True, kw_only=True)
class ScrewSpace:
    """What one screw's cuts take, and what fills them again; places along the axis from the floor.

    Attributes:
        underside: Where the axis leaves the lead below; nan where it misses the lead. [m]
        seat: Of the head; nan likewise. [m]
        hole: Clearance hole inside the lead.
        recess: Recess inside the lead.
        plug: The recess left below the head.
        bedding: The gap round the shank in its hole.
    """

    underside: float
    seat: float
    hole: Piece
    recess: Piece
    plug: Piece
    bedding: Piece


@dataclass(frozen=True, slots=True, kw_only=True)
class Cuts:
    """Everything cut from one body.

    Attributes:
        pocket: Inside the lead body.
        fin_inside: The fin's own section inside the lead body.
        screws: One each, in the order given.
        removed: Pocket, holes and recesses together, overlaps counted once.
    """

    pocket: Piece
    fin_inside: Piece
    screws: tuple[ScrewSpace, ...]
    removed: Piece

    @property
    def pocket_bedding(self) -> Piece:
        """The gap round the fin's tip in the pocket, inside the lead body."""
        return self.pocket - self.fin_inside


@dataclass(frozen=True, slots=True, kw_only=True)
class FinNodes:
    """Quadrature nodes of the fin's section and of the pocket's outline: made once for a solve.

    `thin` are fewer, for a layer's thickness, which hardly varies over the section.
    """

    section: OutlineNodes
    pocket: OutlineNodes
    thin: OutlineNodes


# Across the knots of a table the lead's surface bends by jerks: so many nodes on each panel see them.
_ALONG_KNOTS = 96


def fin_nodes(tip: FinTip, clearance: float, profile: Profile | None = None) -> FinNodes:
    """Nodes for `cuts_of`; of the bulb they depend on its kind of profile alone.

    Args:
        tip: The fin's tip.
        clearance: Of the pocket. [m]
        profile: Of the bulb; a table of ordinates wants more nodes than a smooth form.
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
) -> Cuts:
    """Volumes and moments of everything cut from the body and of what fills the gaps.

    Args:
        body: The lead body.
        axis: Direction of the cuts and level of the pocket floor.
        pocket: The pocket.
        screws: The screws, in order.
        nodes: From `fin_nodes`, when called again and again with one fin.

    Returns:
        The cuts; volumes are those of true intersections, also where a cut leaves the body.
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
    spaces: list[ScrewSpace] = []
    for screw, through_screw in zip(screws, columns.screws, strict=True):
        space = _regular_space(body, axis, screw, through_screw)
        spaces.append(space or _scanned_space(body, axis, screw, through_screw))

    removed = removed_by(body, axis, pocket, pocket_piece, screws, tuple(spaces))
    return Cuts(pocket=pocket_piece, fin_inside=fin_piece, screws=tuple(spaces), removed=removed)


def removed_by(
    body: TurnedBody,
    axis: Axis,
    pocket: PocketCut,
    pocket_piece: Piece | None,
    screws: tuple[ScrewCut, ...],
    spaces: tuple[ScrewSpace, ...],
) -> Piece:
    """What some of the cuts take from the body together, overlaps counted once.

    Args:
        body: The lead body.
        axis: Direction of the cuts and level of the pocket floor.
        pocket: The pocket.
        pocket_piece: What it takes alone; None where it is not among the cuts.
        screws: The screws among them.
        spaces: Theirs, from `cuts_of`.

    Returns:
        The union inside the body.
    """
    if _clear_of_each_other(axis, screws, spaces):
        removed = pocket_piece or Piece()
        for space in spaces:
            removed = removed + space.hole + space.recess
        return removed
    bands = [] if pocket_piece is None else [pocket_band(axis, pocket, pocket.clearance)]
    for screw, space in zip(screws, spaces, strict=True):
        bands.extend(screw_bands(axis, screw, space.seat))
    return scan(body, axis, tuple(bands))


def pocket_band(axis: Axis, pocket: PocketCut, clearance: float) -> Band:
    """The pocket (or with no clearance the fin) as a band of columns above the floor."""
    return outline_band(pocket.tip, clearance, pocket.leading_edge_x, low=axis.floor, high=math.inf)


def screw_bands(axis: Axis, screw: ScrewCut, seat: float) -> tuple[Band, ...]:
    """Hole and recess of one screw as bands of columns; none where it misses the lead."""
    if math.isnan(seat):
        return ()
    hole = disc_band(axis, screw.at_x, 0.5 * screw.hole_diameter, low=seat, high=None)
    recess = disc_band(axis, screw.at_x, 0.5 * screw.head_diameter, low=None, high=seat)
    return hole, recess


@dataclass(frozen=True, slots=True, kw_only=True)
class _PrismColumns:
    """Lowest and highest z at the nodes, shape (n, m), and at the edge, shape (n,)."""

    low: Array
    high: Array
    edge_low: Array
    edge_high: Array


@dataclass(frozen=True, slots=True, kw_only=True)
class _ScrewColumns:
    """Lowest and highest z at a recess's disc nodes and rim, above a hole's rim, and on the axis."""

    low: Array
    high: Array
    hole_high: Array
    underside: float


@dataclass(frozen=True, slots=True, kw_only=True)
class _Columns:
    pocket: _PrismColumns
    section: _PrismColumns
    screws: tuple[_ScrewColumns, ...]


def _columns_of(
    body: TurnedBody, axis: Axis, pocket: PocketCut, screws: tuple[ScrewCut, ...], nodes: FinNodes
) -> _Columns:
    """All the columns that the cuts need, asked of the body in one go: the calls cost, not the points."""
    cosine = math.cos(axis.rake)
    places: list[Array] = []
    sides: list[Array] = []
    for outline in (nodes.pocket, nodes.section):
        x = pocket.leading_edge_x + outline.x
        places += [np.repeat(x, outline.y.shape[1]), x]
        sides += [outline.y.ravel(), outline.edge]
    for screw in screws:
        a, b = _recess_points(0.5 * screw.head_diameter)
        rim = 0.5 * screw.hole_diameter
        places += [screw.at_x + a / cosine, screw.at_x + rim * _RIM_ALONG / cosine, np.array([screw.at_x])]
        sides += [b, rim * _RIM_ACROSS, np.zeros(1)]
    ends = np.cumsum([len(place) for place in places])[:-1]
    all_low, all_high = through(body, axis, np.concatenate(places), np.concatenate(sides))
    low, high = np.split(all_low, ends), np.split(all_high, ends)
    prisms = [
        _PrismColumns(
            low=low[2 * i].reshape(outline.y.shape),
            high=high[2 * i].reshape(outline.y.shape),
            edge_low=low[2 * i + 1],
            edge_high=high[2 * i + 1],
        )
        for i, outline in enumerate((nodes.pocket, nodes.section))
    ]
    found = []
    for i in range(len(screws)):
        first = 4 + 3 * i
        bottom, top = float(low[first + 2][0]), float(high[first + 2][0])
        found.append(
            _ScrewColumns(
                low=low[first],
                high=high[first],
                hole_high=high[first + 1],
                underside=(bottom - axis.floor) / cosine if bottom <= top else math.nan,
            )
        )
    return _Columns(pocket=prisms[0], section=prisms[1], screws=tuple(found))


def _prism(
    body: TurnedBody, axis: Axis, pocket: PocketCut, nodes: OutlineNodes, columns: _PrismColumns
) -> Piece | None:
    """The prism above the floor inside the body; None where its edge leaves the body."""
    s = pocket.leading_edge_x + nodes.x
    depth = columns.high - axis.floor
    if np.max(depth) <= 0.0 and np.max(columns.edge_high) <= axis.floor:
        # Nothing of the body stands above the floor within the outline, or the columns miss it.
        return Piece() if _stands_off(body, axis, pocket.leading_edge_x, nodes) else None
    whole = (
        np.min(depth) > 0.0
        and np.min(columns.edge_high) > axis.floor
        and np.max(columns.low) <= axis.floor
        and np.max(columns.edge_low) <= axis.floor
        and pocket.leading_edge_x - 2.0 * pocket.clearance > 0.0
        and pocket.leading_edge_x + pocket.tip.chord + 2.0 * pocket.clearance < body.length
    )
    if not whole:
        return None
    floor = np.full_like(columns.high, axis.floor)
    return piece_of_columns(axis, s[:, None], floor, columns.high, nodes.weight)


def _stands_off(body: TurnedBody, axis: Axis, leading_edge_x: float, nodes: OutlineNodes) -> bool:
    """Whether the floor lies at or above the crown, where no pocket can cut the body."""
    return axis.floor >= 0.5 * body.height or (
        leading_edge_x + float(nodes.x[-1]) + abs(axis.shift) * body.height < 0.0
        or leading_edge_x + float(nodes.x[0]) - abs(axis.shift) * body.height > body.length
    )


def _clear_of_each_other(axis: Axis, screws: tuple[ScrewCut, ...], spaces: tuple[ScrewSpace, ...]) -> bool:
    """Whether no recess overlaps another or rises above the floor, where the pocket begins."""
    cosine, tangent = math.cos(axis.rake), abs(math.tan(axis.rake))
    apart = all(
        abs(one.at_x - other.at_x) * cosine >= 0.5 * (one.head_diameter + other.head_diameter)
        for i, one in enumerate(screws)
        for other in screws[i + 1 :]
    )
    below = all(
        math.isnan(space.seat) or space.seat + 0.5 * screw.head_diameter * tangent <= 0.0
        for screw, space in zip(screws, spaces, strict=True)
    )
    return apart and below


_RIM_ANGLE = np.linspace(0.0, math.pi, 2 * _AROUND + 1)
_RIM_ALONG, _RIM_ACROSS = np.cos(_RIM_ANGLE), np.sin(_RIM_ANGLE)


def _unit_disc() -> tuple[Array, Array, Array]:
    """Nodes fore and aft and across over the starboard half of a unit disc; their share of its area."""
    share, weight = gauss(_RADIAL)
    ring = np.sqrt(share)
    angle = math.pi * (np.arange(_AROUND) + 0.5) / _AROUND
    along, across = ring[:, None] * np.cos(angle), ring[:, None] * np.sin(angle)
    return along.ravel(), across.ravel(), (weight[:, None] * np.full(_AROUND, 1.0 / _AROUND)).ravel()


_DISC_ALONG, _DISC_ACROSS, _DISC_SHARE = _unit_disc()


def disc_nodes(radius: float) -> tuple[Array, Array, Array]:
    """Quadrature nodes over a disc's starboard half, symmetry reckoned in.

    Args:
        radius: [m]

    Returns:
        Offsets fore and aft [m], offsets across [m], and the area each node stands for [m2].
    """
    return radius * _DISC_ALONG, radius * _DISC_ACROSS, math.pi * radius**2 * _DISC_SHARE


def _recess_points(radius: float) -> tuple[Array, Array]:
    """The disc's quadrature nodes and then points on its rim, fore and aft and across. [m]"""
    return (
        radius * np.concatenate([_DISC_ALONG, _RIM_ALONG]),
        radius * np.concatenate([_DISC_ACROSS, _RIM_ACROSS]),
    )


def _regular_space(
    body: TurnedBody, axis: Axis, screw: ScrewCut, columns: _ScrewColumns
) -> ScrewSpace | None:
    """One screw's cuts where recess and hole lie wholly in the lead; None where they do not."""
    if math.isnan(columns.underside):
        return None
    sine, cosine = math.sin(axis.rake), math.cos(axis.rake)
    radius = 0.5 * screw.head_diameter
    seat = columns.underside + screw.recess
    a, _ = _recess_points(radius)
    bottom = (columns.low - axis.floor - a * sine) / cosine
    top = (columns.high - axis.floor - a * sine) / cosine
    whole = (
        # The whole rim of the seat below the level floor, and below the lead's upper surface.
        seat + radius * abs(math.tan(axis.rake)) <= 0.0
        and np.min(columns.high - columns.low) >= 0.0
        and np.max(bottom) <= seat - screw.head_height
        and np.min(top) >= seat
        and screw.length >= -seat
    )
    if not whole:
        return None
    nodes = len(_DISC_SHARE)
    depth = seat - bottom[:nodes]
    part = math.pi * radius**2 * _DISC_SHARE * depth
    middle = seat - 0.5 * depth
    recess = Piece(
        volume=float(np.sum(part)),
        moment_x=float(np.sum(part * (screw.at_x + a[:nodes] * cosine - middle * sine))),
        moment_z=float(np.sum(part * (axis.floor + a[:nodes] * sine + middle * cosine))),
    )
    head = cylinder_piece(
        at_x=screw.at_x,
        floor=axis.floor,
        rake=axis.rake,
        radius=radius,
        low=seat - screw.head_height,
        high=seat,
    )
    if np.min(columns.hole_high) >= axis.floor:
        hole, shank = (
            hole_piece(at_x=screw.at_x, floor=axis.floor, rake=axis.rake, radius=0.5 * across, seat=seat)
            for across in (screw.hole_diameter, screw.diameter)
        )
    elif np.max(columns.hole_high) <= axis.floor:
        # The floor lies above the lead here: a fin on the crown, or one that stands proud.
        hole, shank = (
            _bore_to_surface(body, axis, screw.at_x, 0.5 * across, seat)
            for across in (screw.hole_diameter, screw.diameter)
        )
    else:
        return None
    return ScrewSpace(
        underside=columns.underside,
        seat=seat,
        hole=hole,
        recess=recess,
        plug=recess - head,
        bedding=hole - shank,
    )


def _bore_to_surface(body: TurnedBody, axis: Axis, at_x: float, radius: float, seat: float) -> Piece:
    """A bore from the seat up to where it leaves the lead, all round below the level floor."""
    sine, cosine = math.sin(axis.rake), math.cos(axis.rake)
    a, b, area = disc_nodes(radius)
    _, high = through(body, axis, at_x + a / cosine, b)
    top = (high - axis.floor - a * sine) / cosine
    part, middle = area * (top - seat), 0.5 * (top + seat)
    return Piece(
        volume=float(np.sum(part)),
        moment_x=float(np.sum(part * (at_x + a * cosine - middle * sine))),
        moment_z=float(np.sum(part * (axis.floor + a * sine + middle * cosine))),
    )


def _scanned_space(body: TurnedBody, axis: Axis, screw: ScrewCut, columns: _ScrewColumns) -> ScrewSpace:
    """One screw's cuts where they leave the lead, or rise above the floor."""
    underside = columns.underside
    seat = underside + screw.recess
    if math.isnan(underside):
        none = Piece()
        return ScrewSpace(
            underside=underside, seat=underside, hole=none, recess=none, plug=none, bedding=none
        )
    radius = 0.5 * screw.head_diameter
    hole_band, recess_band = screw_bands(axis, screw, seat)
    plug_band = disc_band(axis, screw.at_x, radius, low=None, high=seat - screw.head_height)
    # A screw too short to reach the floor ends inside its hole, which is filled above it.
    reach = None if screw.length >= -seat else seat + screw.length
    shank_band = disc_band(axis, screw.at_x, 0.5 * screw.diameter, low=seat, high=reach)
    hole = scan(body, axis, (hole_band,))
    return ScrewSpace(
        underside=underside,
        seat=seat,
        hole=hole,
        recess=scan(body, axis, (recess_band,)),
        plug=scan(body, axis, (plug_band,)),
        bedding=hole - scan(body, axis, (shank_band,)),
    )
