"""What cuts mean to a pattern: its cores with their prints, the stretches that joints keep off, its thin places."""

from __future__ import annotations

import math
from dataclasses import replace

from bulbcast.bulb.hung.ledger import HungBulb
from bulbcast.fin.tip_section import trailing_corner
from bulbcast.pattern.allowances import Pattern
from bulbcast.pattern.cast_body import CastBody
from bulbcast.pattern.outline import PatternOutline
from bulbcast.pattern_shop.pieces.core_prints import stud_stands_out
from bulbcast.pattern_shop.pieces.joints import CutSpan, Plane
from bulbcast.pattern_shop.pieces.parting import Dowel, print_length_for, wall_round
from bulbcast.pattern_shop.shop import CorePlan, ThinPlace
from bulbcast.quantities import Shown


def cores_of(bulb: HungBulb, cast: CastBody, pattern: Pattern, asked: float | None) -> tuple[CorePlan, ...]:
    """Cored cuts and cast-in studs, with the prints that hold their cores in the mould.

    Args:
        bulb: The sized bulb.
        cast: Says which cuts are cored.
        pattern: Says the scale.
        asked: Length of prints as the plan gives it; None for a usual one. [m]
    """
    scale = pattern.scale

    def length(depth: float) -> float:
        return print_length_for(scale * depth) if asked is None else asked

    found = []
    depth = bulb.pocket_depth
    if cast.cored.pocket and depth > 0.0:
        # A blade's core that goes right through rests at both ends: a quarter of its depth does at each.
        one = length(0.25 * depth if bulb.through else depth)
        found.append(
            CorePlan(name="pocket", kind="pocket", index=0, above=one, below=one if bulb.through else None)
        )
    for index, (is_cored, space) in enumerate(zip(cast.cored.screws, bulb.cuts.screws, strict=True)):
        if is_cored and not math.isnan(space.seat):
            found.append(
                CorePlan(
                    name=f"screw {index + 1}",
                    kind="screw",
                    index=index,
                    above=None,
                    below=length(max(-space.underside, 0.0)),
                )
            )
    for index, stud in enumerate(bulb.stud_cuts):
        out = scale * stud_stands_out(bulb.body, bulb.axis, stud, max(pattern.offset, 0.0))
        found.append(
            CorePlan(name=f"stud {index + 1}", kind="stud", index=index, above=out or None, below=None)
        )
    return tuple(found)


def cut_spans(bulb: HungBulb, cast: CastBody, pattern: Pattern) -> tuple[CutSpan, ...]:
    """Stretches of the axis that pocket, screws, studs and cross pins take, at the pattern's size.

    Args:
        bulb: The sized bulb.
        cast: Says which are cored.
        pattern: Says the scale.
    """
    scale, axis, pocket = pattern.scale, bulb.axis, bulb.pocket
    spans = []
    depth = bulb.pocket_depth
    if depth > 0.0:
        ends = (
            pocket.leading_edge_x - pocket.clearance,
            pocket.leading_edge_x + pocket.tip.chord + pocket.clearance,
        )
        lean = -axis.shift * depth
        spans.append(
            CutSpan(
                name="pocket",
                start=scale * (ends[0] + min(lean, 0.0)),
                end=scale * (ends[1] + max(lean, 0.0)),
                in_pattern=cast.cored.pocket,
            )
        )
    for number, (screw, space) in enumerate(zip(bulb.screw_cuts, bulb.cuts.screws, strict=True), start=1):
        if math.isnan(space.seat):
            continue
        foot = screw.at_x - space.underside * math.sin(axis.rake)
        half = 0.5 * screw.recess_diameter
        spans.append(
            CutSpan(
                name=f"screw {number}",
                start=scale * (min(screw.at_x, foot) - half),
                end=scale * (max(screw.at_x, foot) + half),
                in_pattern=cast.cored.screws[number - 1],
            )
        )
    for number, stud in enumerate(bulb.stud_cuts, start=1):
        reach = [stud.at_x - along * math.sin(axis.rake) for along in (-stud.below, stud.above)]
        half = 0.5 * stud.diameter
        spans.append(
            CutSpan(
                name=f"stud {number}",
                start=scale * (min(reach) - half),
                end=scale * (max(reach) + half),
                in_pattern=True,
            )
        )
    for number, pin in enumerate(bulb.pin_cuts, start=1):
        at, half = pin.centre(axis)[0], 0.5 * pin.hole_diameter
        spans.append(
            CutSpan(
                name=f"cross pin {number}",
                start=scale * (at - half),
                end=scale * (at + half),
                in_pattern=False,
            )
        )
    return tuple(spans)


def thin_places(
    bulb: HungBulb,
    pattern: Pattern,
    outline: PatternOutline,
    plane: Plane,
    offset: float,
    pins: tuple[Dowel, ...],
    cores: tuple[CorePlan, ...],
    shown: Shown,
) -> tuple[ThinPlace, ...]:
    """What is thinnest in the pieces: the tail of a half, the edge of a print, walls round dowels.

    Args:
        bulb: The sized bulb.
        pattern: Its pattern.
        outline: Of the pattern.
        plane: Where it parts.
        offset: Of the plane from the axis. [m]
        pins: Dowels and keys.
        cores: Cored cuts.
        shown: The builder's units.

    Returns:
        The thinnest first; none is below zero, as where a plane set off leaves no tail or a pin comes out.
    """
    places = []
    wide, high = float(outline.half_width[-1]), float(outline.half_height[-1])
    # The last point lies on the rounded edge: the tail face itself is as wide as the body's, scaled and coated.
    face = pattern.scale * bulb.body.tail_radius
    across = math.sqrt(bulb.body.width_to_height)
    wide, high = max(wide, face * across), max(high, face / across)
    if bulb.body.tail_radius > 0.0:
        half = {
            "horizontal": high - abs(offset),
            "vertical": wide - abs(offset),
            "none": 2.0 * min(wide, high),
        }
        places.append(ThinPlace(name="tail", where="at the tail face", thickness=half[plane]))
    if any(core.kind == "pocket" for core in cores):
        corner, _ = trailing_corner(bulb.pocket.tip)
        edge = 2.0 * pattern.scale * (corner + bulb.pocket.clearance)
        places.append(
            ThinPlace(
                name="core print", where="along the trailing edge of the pocket's print", thickness=edge
            )
        )
    for pin in pins:
        kind = "key" if pin.kind == "key" else "dowel"
        places.append(
            ThinPlace(
                name="wall",
                where=f"round the {kind} across the {pin.face}, {shown.length(pin.at[0])} from the nose",
                thickness=wall_round(outline, pin),
            )
        )
    kept = (replace(one, thickness=max(one.thickness, 0.0)) for one in places)
    return tuple(sorted(kept, key=lambda one: one.thickness))
