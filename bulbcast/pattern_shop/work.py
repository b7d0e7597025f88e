"""The pattern shop: parting, joints, dowels, cores, bed and frame of a sized pattern, without a mesh.

Figures that need the cut solid (volumes of the pieces, draw) are added in `measured`.
"""

from __future__ import annotations

import math
from dataclasses import replace
from typing import cast

from bulbcast.bulb.hung.ledger import HungBulb
from bulbcast.fin.tip_section import trailing_corner
from bulbcast.findings import sorted_by_severity
from bulbcast.materials.patterns import pattern_materials
from bulbcast.pattern.outline import pattern_outline
from bulbcast.pattern_shop.frame.formers import FramedPattern
from bulbcast.pattern_shop.frame.frame import MouldFrame, frame_of
from bulbcast.pattern_shop.pieces.cores import CorePlan, ThinPlace, cores_of, cut_spans
from bulbcast.pattern_shop.pieces.joints import (
    CutSpan,
    Joints,
    Plane,
    Position,
    PrintSpan,
    ToCut,
    joint_room,
    joints_of,
)
from bulbcast.pattern_shop.pieces.parting import (
    Doweling,
    Register,
    dowel_for,
    dowels_of,
    wall_round,
    widest_plane,
)
from bulbcast.pattern_shop.printer.bed import Bed, usable_bed
from bulbcast.pattern_shop.printer.softening import heat_events
from bulbcast.pattern_shop.results import ShopResults
from bulbcast.pattern_shop.rules import shop_findings
from bulbcast.pattern_shop.shop import PatternShop
from bulbcast.plan.filling import made_from
from bulbcast.plan.keys import section_keys
from bulbcast.plan.pattern_sections import FrameSection, PartingSection, PrinterSection
from bulbcast.plan.sections import DefaultTaken
from bulbcast.quantities import Dimension, Shown, read_quantity

_NO_BED = Bed(length=math.inf, width=math.inf, height=math.inf)
_PRACTICE = "common practice, no source"


def planned_shop(job: ShopResults) -> PatternShop:
    """Plan of the pattern shop for a job, without figures that need the cut solid. It is based on the mould and gating if
    they are known.

    Args:
        job: The results, with or without [parting], [printer] and [frame], and with or without a planned pattern shop.

    Returns:
        The plan; `measured` is None until the pieces are cut.
    """
    if job.shop is not None:
        return job.shop
    plan, bulb, pattern, shown = job.plan, job.bulb, job.pattern, job.shown
    taken: list[DefaultTaken] = []

    def note(key: str, value: str, source: str) -> None:
        taken.append(DefaultTaken(key=key, value=value, source=source))

    parting = plan.parting or _parting_left_out(taken)
    outline = pattern_outline(bulb.body, offset=pattern.offset, scale=pattern.scale)
    plane, why = _plane(job, parting)
    if parting.plane is None:
        note("parting.plane", plane, why)
    dowel = parting.dowel
    if dowel is None:
        dowel = dowel_for(min(pattern.width, pattern.height), imperial=plan.display_units == "imperial")
        rod = "a common rod size, at most a tenth of the pattern's smaller side"
        note("parting.dowel", shown.length(dowel), f"{rod}; {_PRACTICE}")
    cores = cores_of(bulb, job.cast, pattern, parting.print_length)
    said = [core for core in cores if core.kind != "stud"]
    if said and parting.print_length is None:
        lengths = (f"{core.name} {shown.length(core.above or core.below or 0.0)}" for core in said)
        deep = "the depth of the core, but at least 6 mm and at most 40 mm"
        note("parting.print_length", ", ".join(lengths), f"{deep}; {_PRACTICE}")
    cuts = cut_spans(bulb, job.cast, pattern)
    printer = plan.printer
    bed = None
    if printer is not None:
        length, width, height = printer.bed_length, printer.bed_width, printer.bed_height
        bed = usable_bed(length=length, width=width, height=height, margin=printer.margin)
    wall = max(0.25 * dowel, 0.0012 if printer is None else printer.smallest_wall)
    whole = ToCut(
        outline=outline,
        plane=plane,
        bed=_NO_BED if bed is None else bed,
        cuts=cuts,
        room=joint_room(hole=dowel + parting.fit, wall=wall),
        clear=dowel,
        prints=_print_spans(cores, cuts, lean=abs(math.sin(plan.fin.rake))),
    )
    joints, fits_in = _joints(whole, printer)
    if printer is not None and printer.position is None:
        note(
            "printer.position",
            joints.position,
            "the position that needs fewer pieces, or lying if both need the same number",
        )
    if printer is not None and printer.pieces is None:
        note("printer.pieces", str(joints.pieces), "as few as the bed allows")
    doweling = made_from(Doweling, parting, plane=plane, diameter=dowel, wall=wall)
    frame, settled = (None, ()) if plan.frame is None else _frame(job, plan.frame, whole, cores)
    drying = None if plan.mould is None else plan.mould.drying
    shop = made_from(
        PatternShop,
        parting,
        plane=plane,
        plane_why=why,
        dowel=dowel,
        outline=outline,
        cuts=cuts,
        cores=cores,
        joints=joints,
        pins=dowels_of(outline, joints, doweling),
        thin=(),
        printer=printer,
        bed=bed,
        material=next((one for one in pattern_materials() if printer and one.name == printer.material), None),
        heat=heat_events(drying=drying),
        drying=drying,
        frame=frame,
        defaults=(*taken, *settled),
        fits_in=fits_in,
        measured=None,
    )
    return replace(shop, thin=_thin_places(shop, bulb, pattern.scale, shown))


def _parting_left_out(taken: list[DefaultTaken]) -> PartingSection:
    """[parting] with the fixed default of each key, for a plan without this section; the defaults are reported."""
    values: dict[str, str] = {}
    for key in section_keys("parting"):
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


def _plane(job: ShopResults, parting: PartingSection) -> tuple[Plane, str]:
    """Parting plane of the pattern, and the reason for it if the plan does not give one."""
    bulb, cored, pattern = job.bulb, job.cast.cored, job.pattern
    if parting.plane is not None:
        return parting.plane, ""
    if job.mould is not None:
        return "horizontal" if job.mould.split == "upper-lower" else "vertical", "the mould's parting plane"
    if bulb.through:
        return "vertical", "the bulb is cast in two halves, bonded to the fin's blade"
    any_cored = any(cored.screws) or (cored.pocket and bulb.pocket_depth > 0.0) or bool(bulb.stud_cuts)
    return widest_plane(width=pattern.width, height=pattern.height, rake=bulb.axis.rake, cored=any_cored)


def _print_spans(
    cores: tuple[CorePlan, ...], cuts: tuple[CutSpan, ...], *, lean: float
) -> tuple[PrintSpan, ...]:
    """Spans of the core prints. A raked print extends beyond its cut by a distance proportional to the print's length."""
    return tuple(
        PrintSpan(start=cut.start - lean * length, end=cut.end + lean * length, length=length, above=up)
        for core in cores
        for cut in cuts
        if cut.name == core.name
        for up, length in ((True, core.above), (False, core.below))
        if length is not None
    )


def _frame(
    job: ShopResults, section: FrameSection, whole: ToCut, cores: tuple[CorePlan, ...]
) -> tuple[MouldFrame, tuple[DefaultTaken, ...]]:
    """The mould frame, and the defaults chosen for it."""
    crown = next((cut for cut in whole.cuts if cut.in_pattern and cut.name == "pocket"), None)
    pattern = FramedPattern(
        outline=whole.outline,
        plane=whole.plane,
        volume=job.pattern.volume,
        mass=job.cast.mass,
        above=max((core.above or 0.0 for core in cores), default=0.0),
        below=max((core.below or 0.0 for core in cores), default=0.0),
        print_span=None if crown is None else (crown.start, crown.end),
    )
    gating = None if job.melting is None else job.melting.gating
    return frame_of(section, pattern, job.shown, job.mould, gating)


def _joints(whole: ToCut, printer: PrinterSection | None) -> tuple[Joints, Joints | None]:
    """Joints that the plan asks for and, if they do not fit, others that do (otherwise None)."""
    if printer is None:
        return joints_of(whole, "lying", None), None
    joints = joints_of(whole, printer.position, None if printer.pieces is None else int(printer.pieces))
    if joints.fits:
        return joints, None
    positions: tuple[Position | None, ...] = (joints.position, None)
    others = (joints_of(whole, position, None) for position in positions)
    return joints, next((one for one in others if one.fits), None)


def _thin_places(shop: PatternShop, bulb: HungBulb, scale: float, shown: Shown) -> tuple[ThinPlace, ...]:
    """Thinnest points of the pieces: the tail of a half, the edge of a print, and walls round dowels.

    Args:
        shop: The pattern shop, with pins and cores planned.
        bulb: The sized bulb.
        scale: Scale of the pattern. [-]
        shown: The builder's units.

    Returns:
        Thin points, the thinnest first; no thickness is negative, even if an offset plane leaves no tail or a pin
        breaks out.
    """
    places = []
    outline = shop.outline

    def place(name: str, where: str, thickness: float) -> None:
        places.append(ThinPlace(name=name, where=where, thickness=max(thickness, 0.0)))

    if bulb.body.tail_radius > 0.0:
        # The last point of the outline is on the rounded edge; the tail face itself is as wide as the body's, scaled and
        # coated.
        face = scale * bulb.body.tail_radius
        across = math.sqrt(bulb.body.width_to_height)
        wide = max(float(outline.half_width[-1]), face * across)
        high = max(float(outline.half_height[-1]), face / across)
        half = {
            "horizontal": high - abs(shop.offset),
            "vertical": wide - abs(shop.offset),
            "none": 2.0 * min(wide, high),
        }
        place("tail", "at the tail face", half[shop.plane])
    if any(core.kind == "pocket" for core in shop.cores):
        tip = bulb.pocket.tip
        corner, _ = trailing_corner(tip)
        edge = tip.slot.width if tip.slot else 2.0 * (corner + bulb.pocket.clearance)
        place("core print", "along the trailing edge of the pocket's print", scale * edge)
    for pin in shop.pins:
        where = f"round the {pin.kind} across the {pin.face}, {shown.length(pin.at[0])} from the nose"
        place("wall", where, wall_round(outline, pin))
    return tuple(sorted(places, key=lambda one: one.thickness))


def with_shop(job: ShopResults, shop: PatternShop) -> ShopResults:
    """A job with its pattern shop, planned or measured, its defaults listed once and its findings in order.

    Args:
        job: The results.
        shop: The pattern shop of this job.
    """
    others = tuple(one for one in job.findings if one.subject != "pattern shop")
    return replace(job, findings=sorted_by_severity(others)).joined(
        shop=shop, defaults=shop.defaults, findings=shop_findings(job.plan, shop, job.shown)
    )
