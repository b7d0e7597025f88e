"""What cuts mean to a pattern: its cores with their prints, the stretches that joints keep off, its thin places."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

from bulbcast.bulb.hung.ledger import HungBulb
from bulbcast.pattern.allowances import Pattern
from bulbcast.pattern.cast_body import CastBody
from bulbcast.pattern_shop.pieces.core_prints import stud_stands_out
from bulbcast.pattern_shop.pieces.joints import CutSpan
from bulbcast.pattern_shop.pieces.parting import print_length_for


@dataclass(frozen=True, slots=True)
class CorePlan:
    """One core, or a stud that stands in the mould like one: what it keeps open, and how far its prints stand out.

    Attributes:
        name: "pocket", "screw 1", "stud 1".
        kind: Which of them.
        index: Of the screw or stud, from zero.
        above: Length of its print above the crown; None where it has none there. [m]
        below: Likewise below the underside. [m]
    """

    name: str
    kind: Literal["pocket", "screw", "stud"]
    index: int
    above: float | None = None
    below: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class ThinPlace:
    """A thin place of the pieces: what it is, where, and how thick. [m]"""

    name: str
    where: str
    thickness: float


def cores_of(bulb: HungBulb, cast: CastBody, pattern: Pattern, asked: float | None) -> tuple[CorePlan, ...]:
    """Cored cuts and cast-in studs, with the prints that hold their cores in the mould.

    Args:
        bulb: The sized bulb.
        cast: Says which cuts are cored.
        pattern: Says the scale.
        asked: Length of prints as the plan gives it; None for a usual one. [m]
    """
    scale, depth = pattern.scale, bulb.pocket_depth

    def length(depth: float) -> float:
        return print_length_for(scale * depth) if asked is None else asked

    found = []
    if cast.cored.pocket and depth > 0.0:
        # A blade's core that goes right through rests at both ends: a quarter of its depth does at each.
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
    """Stretches of the axis that pocket, screws, studs and cross pins take, at the pattern's size.

    Args:
        bulb: The sized bulb.
        cast: Says which are cored.
        pattern: Says the scale.
    """
    axis, pocket, depth = bulb.axis, bulb.pocket, bulb.pocket_depth
    spans = []

    def span(name: str, start: float, end: float, in_pattern: bool) -> None:
        start, end = pattern.scale * start, pattern.scale * end
        spans.append(CutSpan(name=name, start=start, end=end, in_pattern=in_pattern))

    if depth > 0.0:
        fore = pocket.leading_edge_x - pocket.clearance
        aft = pocket.leading_edge_x + pocket.tip.chord + pocket.clearance
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
