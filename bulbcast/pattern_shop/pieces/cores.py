"""Effects of cuts on a pattern: cores with their prints, the stretches of the axis that joints avoid, and thin points.

A core print is a projection on the pattern, with draft in the direction of pull, at a point where a core will rest in
the mould. A pocket's print is the pocket extended upwards, and downwards too if the fin's blade goes right through. A
screw's print is its recess extended downwards, and a stud's is the stud itself above the crown. Prints are made in bulb
axes, before scaling to the pattern.

`pattern.stl` includes its cored cavities, as specified. In its pieces they are filled and replaced by core prints,
since no cavity draws. The ledger has a line for each.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from bulbcast.bulb.body.columns import through
from bulbcast.bulb.body.facets import equal_area_factor, hoop_count
from bulbcast.bulb.hung.ledger import HungBulb
from bulbcast.fin.tip_section import outline, outline_area, pocket_span
from bulbcast.pattern.allowances import Pattern
from bulbcast.pattern.cast_body import CastBody
from bulbcast.pattern_shop.pieces.joints import CutSpan
from bulbcast.pattern_shop.pieces.parting import print_length_for
from bulbcast.solids.kernel import tower
from bulbcast.solids.mesh import Mesh
from bulbcast.solids.quadrature import Array


@dataclass(frozen=True, slots=True)
class CorePlan:
    """One core, or a stud set in the mould like a core, with its cavity and the length of its prints.

    Attributes:
        name: Its name, for example "pocket", "screw 1" or "stud 1".
        kind: Kind of core.
        index: Index of the screw or stud, from zero.
        above: Length of its print above the crown; None if it has no print there. [m]
        below: Length of its print below the underside; None if it has no print there. [m]
    """

    name: str
    kind: Literal["pocket", "screw", "stud"]
    index: int
    above: float | None = None
    below: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class ThinPlace:
    """A thin point in the pieces, with its part, position and thickness. [m]"""

    name: str
    where: str
    thickness: float


def cores_of(bulb: HungBulb, cast: CastBody, pattern: Pattern, asked: float | None) -> tuple[CorePlan, ...]:
    """Cored cuts and cast-in studs, with the prints that hold their cores in the mould.

    Args:
        bulb: The sized bulb.
        cast: The cast body, which shows which cuts are cored.
        pattern: The pattern, which gives the scale.
        asked: Length of the prints as given in the plan; None for the default. [m]
    """
    scale, depth = pattern.scale, bulb.pocket_depth

    def length(depth: float) -> float:
        return print_length_for(scale * depth) if asked is None else asked

    found = []
    if cast.cored.pocket and depth > 0.0:
        # The core of a blade that goes right through rests at both ends, so a quarter of its depth is enough at each.
        one = length(0.25 * depth if bulb.through else depth)
        found.append(CorePlan("pocket", "pocket", 0, above=one, below=one if bulb.through else None))
    for index, (is_cored, space) in enumerate(zip(cast.cored.screws, bulb.cuts.screws, strict=True)):
        if is_cored and not math.isnan(space.seat):
            below = length(max(-space.underside, 0.0))
            found.append(CorePlan(f"screw {index + 1}", "screw", index, below=below))
    for index in range(len(bulb.stud_cuts)):
        out = scale * stud_stands_out(bulb, index, max(pattern.offset, 0.0))
        found.append(CorePlan(f"stud {index + 1}", "stud", index, above=out or None))
    return tuple(found)


def cut_spans(bulb: HungBulb, cast: CastBody, pattern: Pattern) -> tuple[CutSpan, ...]:
    """Stretches of the axis occupied by the pocket, screws, studs and cross pins, at the pattern's scale.

    Args:
        bulb: The sized bulb.
        cast: The cast body, which shows which cuts are cored.
        pattern: The pattern, which gives the scale.
    """
    axis, pocket, depth = bulb.axis, bulb.pocket, bulb.pocket_depth
    spans = []

    def span(name: str, start: float, end: float, in_pattern: bool) -> None:
        start, end = pattern.scale * start, pattern.scale * end
        spans.append(CutSpan(name=name, start=start, end=end, in_pattern=in_pattern))

    if depth > 0.0:
        fore, aft = (pocket.leading_edge_x + end for end in pocket_span(pocket.tip, pocket.clearance)[:2])
        lean = -axis.shift * depth
        span("pocket", fore + min(lean, 0.0), aft + max(lean, 0.0), cast.cored.pocket)
    cuts = zip(bulb.screw_cuts, bulb.cuts.screws, cast.cored.screws, strict=True)
    for number, (screw, space, is_cored) in enumerate(cuts, start=1):
        if not math.isnan(space.seat):
            foot = screw.at_x - space.underside * math.sin(axis.rake)
            half = 0.5 * screw.recess_diameter
            span(f"screw {number}", min(screw.at_x, foot) - half, max(screw.at_x, foot) + half, is_cored)
    for number, stud in enumerate(bulb.stud_cuts, start=1):
        reach = [stud.at_x - along * math.sin(axis.rake) for along in (-stud.below, stud.above)]
        half = 0.5 * stud.diameter
        span(f"stud {number}", min(reach) - half, max(reach) + half, True)
    for number, pin in enumerate(bulb.pin_cuts, start=1):
        at, half = pin.centre(axis)[0], 0.5 * pin.hole_diameter
        span(f"cross pin {number}", at - half, at + half, False)
    return tuple(spans)


# A print starts slightly inside the body, so that the two form one solid.
_SUNK = 0.3
# A stud that projects by less than this has no print. [m]
_STANDS_OUT = 0.001


@dataclass(frozen=True, slots=True)
class PrintMaking:
    """Figures for making the prints of a pattern.

    Attributes:
        bulb: The sized bulb.
        layer: Thickness of the pattern outside the lead body. [m]
        draft: Draft of the prints; 0 for straight ones. [rad]
        sideways: Whether the half pattern is pulled sideways rather than up and down. If it is pulled sideways, the
            ends of a print slope like roofs. If it is pulled up and down, the sides taper, though a thin trailing edge
            tapers less to keep some thickness.
        chord_error: Chord error of the facets. [m]
    """

    bulb: HungBulb
    layer: float
    draft: float
    sideways: bool
    chord_error: float


def pocket_print(how: PrintMaking, above: float, below: float | None) -> Mesh:
    """The pocket's core print.

    Args:
        how: Figures for making it.
        above: Length of the print above the crown. [m]
        below: Length of the print below the underside, if the pocket goes right through; otherwise None. [m]

    Returns:
        A closed mesh. [m]
    """
    body, axis, pocket = how.bulb.body, how.bulb.axis, how.bulb.pocket
    along = max(24, min(400, math.ceil(2.0 * math.sqrt(pocket.tip.chord / (8.0 * how.chord_error)))))
    points = outline(pocket.tip, pocket.clearance, along=along, round_corner=6)
    x, y = points[:, 0], points[:, 1]
    shoelace = 0.5 * float(np.sum(x * np.roll(y, -1) - np.roll(x, -1) * y))
    y = y * (outline_area(pocket.tip, pocket.clearance) / shoelace)
    crown = 0.5 * body.height + how.layer
    low, high = through(body, axis, pocket.leading_edge_x + x, y)
    inside = low <= high
    # Draft starts at the lowest point of the mouth and not below the floor; the same at the lower end.
    mouth = max(float(np.min(np.where(inside, high, crown))) - how.layer, axis.floor)
    middle = 0.5 * (float(x.min()) + float(x.max()))

    def ring(z: Array, taper: float = 0.0) -> Array:
        close = max(1.0 - 2.0 * taper / float(np.ptp(x)), 0.2)
        place = middle + close * (x - middle) + pocket.leading_edge_x
        # The sides taper fully where they are thick enough, and otherwise down to a third of the thickness.
        half = np.maximum(np.abs(y) - taper, np.abs(y) / 3.0)
        return np.stack([place - axis.shift * (z - axis.floor), np.sign(y) * half, z], axis=1)

    def end(level: float, away: float, start: float) -> tuple[list[Array], Array]:
        """Rings of points at one end of a print, outwards from the mouth, and the centre point of its end face."""
        tangent = math.tan(how.draft)
        tip = np.array([middle + pocket.leading_edge_x - axis.shift * (level - axis.floor), 0.0, level])
        if how.sideways:
            return [ring(level - away * tangent * np.abs(y))], tip
        rings = [ring(np.full_like(x, start)), ring(np.full_like(x, level), tangent * abs(level - start))]
        return rings, tip

    upper, ridge = end(crown + above, 1.0, mouth)
    if below is None:
        foot = ring(np.full_like(x, axis.floor + _SUNK * (mouth - axis.floor)))
        return tower([foot, *upper], tips=(foot.mean(axis=0), ridge))
    mouth_below = float(np.max(np.where(inside, low, -crown))) + how.layer
    lower, keel = end(-crown - below, -1.0, mouth_below)
    return tower([*lower[::-1], *upper], tips=(keel, ridge))


def screw_print(how: PrintMaking, index: int, length: float) -> Mesh | None:
    """The core print of a screw's recess, from inside the recess to below the underside.

    Args:
        how: Figures for making it.
        index: Index of the screw.
        length: Length below the underside. [m]

    Returns:
        A closed mesh [m]; None if the screw misses the lead.
    """
    axis, screw, seat = how.bulb.axis, how.bulb.screw_cuts[index], how.bulb.cuts.screws[index].seat
    if math.isnan(seat):
        return None
    radius = 0.5 * screw.recess_diameter
    low, _, inside, a = _rim(how, screw.at_x, radius)
    if not inside.any():
        return None
    along = (low - axis.floor - a * math.sin(axis.rake) - how.layer) / math.cos(axis.rake)
    rim, deepest = float(np.max(along[inside])), float(np.min(along[inside]))
    inner = rim + (1.0 - _SUNK) * max(seat - rim, 0.0)
    return _rod(how, screw.at_x, radius, inner=inner, rim=rim, end=deepest - length)


def stud_stands_out(bulb: HungBulb, index: int, layer: float) -> float:
    """Height of a stud above the crown; zero if it is negligible. [m]

    Args:
        bulb: The sized bulb.
        index: Index of the stud.
        layer: Thickness of the pattern outside the body. [m]
    """
    top = bulb.axis.floor + bulb.stud_cuts[index].above * math.cos(bulb.axis.rake)
    out = top - 0.5 * bulb.body.height - layer
    return out if out > _STANDS_OUT else 0.0


def stud_print(how: PrintMaking, index: int) -> Mesh | None:
    """The print of a stud, which is the part of the stud above the crown.

    Args:
        how: Figures for making the print.
        index: Index of the stud.

    Returns:
        A closed mesh [m]; None if the stud does not extend above the crown.
    """
    axis, stud = how.bulb.axis, how.bulb.stud_cuts[index]
    radius = 0.5 * stud.diameter
    _, high, inside, a = _rim(how, stud.at_x, radius)
    if not stud_stands_out(how.bulb, index, how.layer) or not inside.any():
        return None
    along = (high - axis.floor - a * math.sin(axis.rake)) / math.cos(axis.rake)
    rim = float(np.min(along[inside]))
    inner = min(-_SUNK * stud.below, rim - radius)
    return _rod(how, stud.at_x, radius, inner=inner, rim=rim, end=stud.above)


def _rim(how: PrintMaking, at_x: float, radius: float) -> tuple[Array, Array, NDArray[np.bool_], Array]:
    """Lower and upper ends of the lead along each line of a rod's surface, a mask of the lines that meet the lead, and
    the distance of each line aft of the rod's axis. [m]"""
    axis, count = how.bulb.axis, hoop_count(radius, how.chord_error)
    angle = 2.0 * math.pi * np.arange(count) / count
    a, b = radius * np.cos(angle), radius * np.sin(angle)
    low, high = through(how.bulb.body, axis, at_x + a / math.cos(axis.rake), b)
    return low, high, low <= high, a


def _rod(how: PrintMaking, at_x: float, radius: float, *, inner: float, rim: float, end: float) -> Mesh:
    """A rod along the fin's axis, from inside the body past the rim of its hole to its outer end. [m]"""
    axis, count = how.bulb.axis, hoop_count(radius, how.chord_error)
    angle = 2.0 * math.pi * np.arange(count) / count
    a, b = (radius * equal_area_factor(count) * side(angle) for side in (np.cos, np.sin))
    sine, cosine = math.sin(axis.rake), math.cos(axis.rake)

    def ring(t: Array, size: float = 1.0) -> Array:
        return np.stack(
            [at_x + size * a * cosine - t * sine, size * b, axis.floor + size * a * sine + t * cosine], axis=1
        )

    away = 1.0 if end > rim else -1.0
    start = ring(np.full_like(a, inner))
    tip = np.array([at_x - end * sine, 0.0, axis.floor + end * cosine])
    if how.sideways:
        rings = [start, ring(end - away * math.tan(how.draft) * np.abs(b))]
    else:
        close = max(1.0 - math.tan(how.draft) * abs(end - rim) / radius, 0.2)
        rings = [start, ring(np.full_like(a, rim)), ring(np.full_like(a, end), close)]
    tips = (start.mean(axis=0), tip)
    return tower(rings, tips=tips) if away > 0.0 else tower(rings[::-1], tips=tips[::-1])
