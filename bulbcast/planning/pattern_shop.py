"""The pattern shop: parting, joints, dowels, cores, bed and frame of a sized pattern, without a mesh.

What only the cut solid tells (volumes of the pieces, draw) is added by the files room in `measured`.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal, cast

from bulbcast.casting.bed import Bed, usable_bed
from bulbcast.casting.cast_body import CastBody
from bulbcast.casting.joints import CutSpan, Joints, Plane, PrintSpan, joint_room, joints_of
from bulbcast.casting.mould_frame import MouldFrame
from bulbcast.casting.parting import (
    Dowel,
    Register,
    dowel_for,
    joint_dowels,
    parting_dowels,
    print_length_for,
    wall_round,
    widest_plane,
)
from bulbcast.casting.pattern import Pattern
from bulbcast.casting.pattern_outline import PatternOutline, pattern_outline
from bulbcast.casting.printing import Place
from bulbcast.casting.softening import HeatEvent, Verdict, heat_events, verdict
from bulbcast.materials.patterns import PatternMaterial, pattern_materials
from bulbcast.plan.pattern_shop_keys import PARTING_KEYS
from bulbcast.plan.pattern_shop_sections import PartingSection, PrinterSection
from bulbcast.plan.sections import DefaultTaken, Plan
from bulbcast.planning.pattern_frame import frame_of
from bulbcast.quantities import Dimension, Shown, read_quantity
from bulbcast.shape.draw import Draw
from bulbcast.shape.fin_section import trailing_corner
from bulbcast.sizing.ledger import HungBulb

_NO_BED = Bed(length=math.inf, width=math.inf, height=math.inf)
_PRACTICE = "common practice, no source"


@dataclass(frozen=True, slots=True, kw_only=True)
class CorePlan:
    """One core: what it keeps open, and how far its print stands out.

    Attributes:
        name: "pocket", or "screw 1".
        screw: Its index, None for the pocket.
        print_length: [m]
        above: Whether the print stands out of the crown, or of the underside.
    """

    name: str
    screw: int | None
    print_length: float
    above: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class ThinPlace:
    """A thin place of the pieces: what it is, where, and how thick. [m]"""

    name: str
    where: str
    thickness: float


@dataclass(frozen=True, slots=True, kw_only=True)
class PieceFigures:
    """One piece as measured on its solid.

    Attributes:
        name: Such as "upper-1".
        file: Its STL file.
        half: "upper", "lower", "starboard", "port" or "".
        number: From the nose. [-]
        start: Fore end, bulb axes. [m]
        end: Aft end. [m]
        volume: [m3]
        area: Of its whole surface. [m2]
        size: Of the box round it as it lies on the bed: length, width, height. [m]
        angle: Turned on the bed, from the bed's length. [rad]
        aft_face_down: Standing, which end is down.
        place: On the bed; None without [printer].
        material_volume: What a printer lays down; None without [printer]. [m3]
        mass: Of that; None without [printer]. [kg]
    """

    name: str
    file: str
    half: str
    number: int
    start: float
    end: float
    volume: float
    area: float
    size: tuple[float, float, float]
    angle: float
    aft_face_down: bool
    place: Place | None
    material_volume: float | None
    mass: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class DrawRow:
    """The draw of one solid in one direction: what is pulled, which way, what was found.

    `counts` is False where it is told for comparison only.
    """

    solid: str
    pull: str
    draw: Draw
    counts: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Measured:
    """What the cut solids told.

    Attributes:
        pieces: Half by half, from the nose.
        pattern_volume: Of pattern.stl's solid. [m3]
        lines: From there to the sum of the pieces. [m3]
        pieces_volume: Sum of the pieces. [m3]
        whole_volume: Of the pattern with its prints, unparted. [m3]
        draws: Of halves and of the whole.
    """

    pieces: tuple[PieceFigures, ...]
    pattern_volume: float
    lines: tuple[tuple[str, float], ...]
    pieces_volume: float
    whole_volume: float
    draws: tuple[DrawRow, ...]

    @property
    def ledger_gap(self) -> float:
        """Sum of the pieces less pattern and lines, over the pattern. [-]"""
        expected = self.pattern_volume + sum(volume for _, volume in self.lines)
        return (self.pieces_volume - expected) / self.pattern_volume


@dataclass(frozen=True, slots=True, kw_only=True)
class PatternShop:
    """The pattern shop's plan for one pattern.

    Attributes:
        plane: Where the pattern parts.
        plane_why: Why there, where it was not asked for; "" where it was.
        offset: Of the plane from the axis. [m]
        register: What brings the halves together.
        dowel: Diameter. [m]
        fit: Play, on the diameter. [m]
        draft: Wanted. [rad]
        outline: Of the pattern.
        cuts: Stretches of the axis that pocket and holes take.
        cores: Cored cavities.
        joints: Across the axis.
        pins: Dowels and keys, across the parting first.
        thin: Thin places, the thinnest first.
        printer: As planned; None without [printer].
        bed: Within its margins; None without [printer].
        material: What it is printed in; None without [printer].
        heat: When the pattern gets warm.
        drying: How the mould is dried, where the plan says.
        frame: None without [frame].
        defaults: What was settled here.
        fits_in: Pieces that would fit where those asked for do not, with their position.
        measured: What the solids told; None until they are cut.
    """

    plane: Plane
    plane_why: str
    offset: float
    register: Register
    dowel: float
    fit: float
    draft: float
    outline: PatternOutline
    cuts: tuple[CutSpan, ...]
    cores: tuple[CorePlan, ...]
    joints: Joints
    pins: tuple[Dowel, ...]
    thin: tuple[ThinPlace, ...]
    printer: PrinterSection | None
    bed: Bed | None
    material: PatternMaterial | None
    heat: tuple[HeatEvent, ...]
    drying: str | None
    frame: MouldFrame | None
    defaults: tuple[DefaultTaken, ...]
    fits_in: Joints | None
    measured: Measured | None = None

    def heat_verdict(self, material: PatternMaterial, event: HeatEvent) -> Verdict:
        """Whether a material keeps its shape at one such time."""
        return verdict(material, event.temperature)


def pattern_shop_of(
    plan: Plan, bulb: HungBulb, cast: CastBody, pattern: Pattern, shown: Shown, *, drying: str | None = None
) -> PatternShop:
    """Plan the pattern's pieces, bed and frame.

    Args:
        plan: With or without [parting], [printer] and [frame].
        bulb: The sized bulb.
        cast: Its cast body.
        pattern: Its pattern.
        shown: The builder's units.
        drying: How the mould is dried, where the plan says: "air", "oven" or "baked".

    Returns:
        The plan; `measured` is None yet.
    """
    taken: list[DefaultTaken] = []
    parting = plan.parting or _parting_left_out(taken)
    outline = pattern_outline(bulb.body, offset=pattern.offset, scale=pattern.scale)
    cored = any(cast.cored.screws) or (cast.cored.pocket and plan.fin.pocket_depth > 0.0)
    plane, why = _plane(parting, pattern, plan, cored)
    if parting.plane is None:
        taken.append(DefaultTaken(key="parting.plane", value=plane, source=f"the widest plane; {why}"))
    imperial = plan.display_units == "imperial"
    dowel = parting.dowel
    if dowel is None:
        dowel = dowel_for(min(pattern.width, pattern.height), imperial=imperial)
        taken.append(
            DefaultTaken(
                key="parting.dowel",
                value=shown.length(dowel),
                source=f"a usual rod of a tenth of the pattern's smaller side or less; {_PRACTICE}",
            )
        )
    cores = _cores(plan, bulb, cast, pattern, parting.print_length)
    if cores and parting.print_length is None:
        taken.append(
            DefaultTaken(
                key="parting.print_length",
                value=", ".join(f"{core.name} {shown.length(core.print_length)}" for core in cores),
                source=f"as deep as the core goes in, 6 to 40 mm; {_PRACTICE}",
            )
        )
    cuts = cut_spans(bulb, cast, pattern, plan.fin.pocket_depth)
    printer = plan.printer
    bed = (
        None
        if printer is None
        else usable_bed(
            length=printer.bed_length,
            width=printer.bed_width,
            height=printer.bed_height,
            margin=printer.margin,
        )
    )
    wall = max(0.25 * dowel, 0.0012 if printer is None else printer.smallest_wall)
    above = max((core.print_length for core in cores if core.above), default=0.0)
    below = max((core.print_length for core in cores if not core.above), default=0.0)

    # A raked print leans out of its cut's own stretch by so much of its length.
    lean = abs(math.sin(plan.fin.rake))
    prints = tuple(
        PrintSpan(
            start=cut.start - lean * core.print_length,
            end=cut.end + lean * core.print_length,
            length=core.print_length,
            above=core.above,
        )
        for core in cores
        for cut in cuts
        if cut.name == core.name
    )

    def joints_for(position: Literal["lying", "standing"] | None, pieces: int | None) -> Joints:
        return joints_of(
            outline,
            plane=plane,
            bed=_NO_BED if bed is None else bed,
            position=position,
            pieces=pieces,
            cuts=cuts,
            room=joint_room(hole=dowel + parting.fit, wall=wall),
            clear=dowel,
            prints=prints,
        )

    asked = None if printer is None or printer.pieces is None else int(printer.pieces)
    joints = joints_for("lying" if printer is None else printer.position, asked)
    fits_in = None
    if not joints.fits:
        choices = [joints_for(joints.position, None), joints_for(None, None)]
        fits_in = next((one for one in choices if one.fits), None)
    if printer is not None and printer.position is None:
        taken.append(
            DefaultTaken(
                key="printer.position",
                value=joints.position,
                source="whichever takes fewer pieces, lying if equal",
            )
        )
    if printer is not None and printer.pieces is None:
        taken.append(
            DefaultTaken(key="printer.pieces", value=str(joints.pieces), source="as few as the bed allows")
        )
    pins = parting_dowels(
        outline,
        joints,
        plane=plane,
        offset=parting.offset,
        register=parting.register,
        diameter=dowel,
        fit=parting.fit,
        wall=wall,
    ) + joint_dowels(
        outline, joints, plane=plane, offset=parting.offset, diameter=dowel, fit=parting.fit, wall=wall
    )
    frame = None
    if plan.frame is not None:
        frame, told = frame_of(
            plan.frame,
            outline,
            plane=plane,
            mass=cast.mass,
            prints=(above, below),
            print_span=next(
                ((cut.start, cut.end) for cut in cuts if cut.in_pattern and cut.name == "pocket"), None
            ),
            pattern_volume=pattern.volume,
            shown=shown,
        )
        taken += told
    return PatternShop(
        plane=plane,
        plane_why=why,
        offset=parting.offset,
        register=parting.register,
        dowel=dowel,
        fit=parting.fit,
        draft=parting.draft,
        outline=outline,
        cuts=cuts,
        cores=cores,
        joints=joints,
        pins=pins,
        thin=_thin_places(bulb, pattern, outline, plane, parting.offset, pins, cores, shown),
        printer=printer,
        bed=bed,
        material=None
        if printer is None
        else next(one for one in pattern_materials() if one.name == printer.material),
        heat=heat_events(drying=drying),
        drying=drying,
        frame=frame,
        defaults=tuple(taken),
        fits_in=fits_in,
    )


def _parting_left_out(taken: list[DefaultTaken]) -> PartingSection:
    """[parting] as its keys' own defaults have it, each told."""
    values: dict[str, str] = {}
    for key in PARTING_KEYS:
        if key.default is not None:
            values[key.leaf] = key.default
            taken.append(DefaultTaken(key=key.name, value=key.default, source=key.source))
    return PartingSection(
        plane=None,
        offset=read_quantity(values["offset"], Dimension.LENGTH),
        register=cast("Register", values["register"]),
        dowel=None,
        fit=read_quantity(values["fit"], Dimension.LENGTH),
        draft=read_quantity(values["draft"], Dimension.ANGLE),
        print_length=None,
    )


def _plane(parting: PartingSection, pattern: Pattern, plan: Plan, cored: bool) -> tuple[Plane, str]:
    if parting.plane is not None:
        return parting.plane, ""
    return widest_plane(width=pattern.width, height=pattern.height, rake=plan.fin.rake, cored=cored)


def _cores(
    plan: Plan, bulb: HungBulb, cast: CastBody, pattern: Pattern, asked: float | None
) -> tuple[CorePlan, ...]:
    found = []
    if cast.cored.pocket and plan.fin.pocket_depth > 0.0:
        depth = pattern.scale * plan.fin.pocket_depth
        length = print_length_for(depth) if asked is None else asked
        found.append(CorePlan(name="pocket", screw=None, print_length=length, above=True))
    for index, (is_cored, space) in enumerate(zip(cast.cored.screws, bulb.cuts.screws, strict=True)):
        if is_cored and not math.isnan(space.seat):
            depth = pattern.scale * max(-space.underside, 0.0)
            length = print_length_for(depth) if asked is None else asked
            found.append(CorePlan(name=f"screw {index + 1}", screw=index, print_length=length, above=False))
    return tuple(found)


def cut_spans(bulb: HungBulb, cast: CastBody, pattern: Pattern, pocket_depth: float) -> tuple[CutSpan, ...]:
    """Stretches of the axis that pocket and screws take, at the pattern's size.

    Args:
        bulb: The sized bulb.
        cast: Says which are cored.
        pattern: Says the scale.
        pocket_depth: From the crown. [m]
    """
    scale, axis, pocket = pattern.scale, bulb.axis, bulb.pocket
    spans = []
    if pocket_depth > 0.0:
        ends = (
            pocket.leading_edge_x - pocket.clearance,
            pocket.leading_edge_x + pocket.tip.chord + pocket.clearance,
        )
        lean = -axis.shift * pocket_depth
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
        half = 0.5 * screw.head_diameter
        spans.append(
            CutSpan(
                name=f"screw {number}",
                start=scale * (min(screw.at_x, foot) - half),
                end=scale * (max(screw.at_x, foot) + half),
                in_pattern=cast.cored.screws[number - 1],
            )
        )
    return tuple(spans)


def _thin_places(
    bulb: HungBulb,
    pattern: Pattern,
    outline: PatternOutline,
    plane: Plane,
    offset: float,
    pins: tuple[Dowel, ...],
    cores: tuple[CorePlan, ...],
    shown: Shown,
) -> tuple[ThinPlace, ...]:
    """What is thinnest in the pieces: the tail of a half, the edge of a print, walls round dowels."""
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
    if any(core.screw is None for core in cores):
        corner, _ = trailing_corner(bulb.pocket.tip)
        edge = 2.0 * pattern.scale * (corner + bulb.pocket.clearance)
        places.append(
            ThinPlace(name="core print", where="trailing edge of the pocket's print", thickness=edge)
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
    return tuple(sorted(places, key=lambda one: one.thickness))
