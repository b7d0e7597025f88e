"""The pattern shop: parting, joints, dowels, cores, bed and frame of a sized pattern, without a mesh.

What only the cut solid tells (volumes of the pieces, draw) is added by the files room in `measured`.
"""

from __future__ import annotations

import math
from dataclasses import replace
from typing import TYPE_CHECKING, Literal, cast

from bulbcast.bulb.hung.ledger import HungBulb
from bulbcast.findings import sorted_by_severity
from bulbcast.foundry.gating.design import Gating
from bulbcast.foundry.mould.design import MouldDesign
from bulbcast.materials.patterns import pattern_materials
from bulbcast.pattern.allowances import Pattern
from bulbcast.pattern.cast_body import CastBody
from bulbcast.pattern.outline import pattern_outline
from bulbcast.pattern_shop.frame.work import frame_of
from bulbcast.pattern_shop.pieces.cores import cores_of, cut_spans, thin_places
from bulbcast.pattern_shop.pieces.joints import Joints, Plane, PrintSpan, joint_room, joints_of
from bulbcast.pattern_shop.pieces.parting import (
    Register,
    dowel_for,
    joint_dowels,
    parting_dowels,
    widest_plane,
)
from bulbcast.pattern_shop.printer.bed import Bed, usable_bed
from bulbcast.pattern_shop.printer.softening import heat_events
from bulbcast.pattern_shop.results import ShopResults
from bulbcast.pattern_shop.shop import PatternShop
from bulbcast.plan.keys import section_keys
from bulbcast.plan.pattern_sections import PartingSection
from bulbcast.plan.sections import DefaultTaken, Plan
from bulbcast.quantities import Dimension, Shown, read_quantity

if TYPE_CHECKING:
    from bulbcast.pattern_shop.shop import PatternShop

_NO_BED = Bed(length=math.inf, width=math.inf, height=math.inf)
_PRACTICE = "common practice, no source"


def pattern_shop_of(
    plan: Plan,
    bulb: HungBulb,
    cast: CastBody,
    pattern: Pattern,
    shown: Shown,
    *,
    mould: MouldDesign | None = None,
    gating: Gating | None = None,
) -> PatternShop:
    """Plan the pattern's pieces, bed and frame.

    Args:
        plan: With or without [parting], [printer] and [frame].
        bulb: The sized bulb.
        cast: Its cast body.
        pattern: Its pattern.
        shown: The builder's units.
        mould: Where the plan gives one: the pattern parts where it does, and is warmed as it is dried.
        gating: Of that mould: the frame's formers are its sprue, riser and vents.

    Returns:
        The plan; `measured` is None yet.
    """
    taken: list[DefaultTaken] = []
    drying = None if plan.mould is None else plan.mould.drying
    parting = plan.parting or _parting_left_out(taken)
    outline = pattern_outline(bulb.body, offset=pattern.offset, scale=pattern.scale)
    plane, why = _plane(parting, bulb, cast, pattern, None if mould is None else mould.split)
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
    cores = cores_of(bulb, cast, pattern, parting.print_length)
    told = [core for core in cores if core.kind != "stud"]
    if told and parting.print_length is None:
        taken.append(
            DefaultTaken(
                key="parting.print_length",
                value=", ".join(
                    f"{core.name} {shown.length(core.above or core.below or 0.0)}" for core in told
                ),
                source=f"as deep as the core goes in, 6 to 40 mm; {_PRACTICE}",
            )
        )
    cuts = cut_spans(bulb, cast, pattern)
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
    above = max((core.above or 0.0 for core in cores), default=0.0)
    below = max((core.below or 0.0 for core in cores), default=0.0)

    # A raked print leans out of its cut's own stretch by so much of its length.
    lean = abs(math.sin(plan.fin.rake))
    prints = tuple(
        PrintSpan(start=cut.start - lean * length, end=cut.end + lean * length, length=length, above=up)
        for core in cores
        for cut in cuts
        if cut.name == core.name
        for up, length in ((True, core.above), (False, core.below))
        if length is not None
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
        frame, settled = frame_of(
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
            mould=mould,
            gating=gating,
        )
        taken += settled
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
        thin=thin_places(bulb, pattern, outline, plane, parting.offset, pins, cores, shown),
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


def _plane(
    parting: PartingSection, bulb: HungBulb, cast: CastBody, pattern: Pattern, split: str | None
) -> tuple[Plane, str]:
    if parting.plane is not None:
        return parting.plane, ""
    if split is not None:
        return "horizontal" if split == "upper-lower" else "vertical", "where the mould parts"
    if bulb.through:
        return "vertical", "the bulb is cast in two halves on the fin's blade"
    cored = any(cast.cored.screws) or (cast.cored.pocket and bulb.pocket_depth > 0.0) or bool(bulb.stud_cuts)
    return widest_plane(width=pattern.width, height=pattern.height, rake=bulb.axis.rake, cored=cored)


def planned_shop(job: ShopResults) -> PatternShop:
    """The pattern shop of a job as far as it can be told without the cut solid, with mould and gating if known.

    Args:
        job: Whose shop is planned already or not.
    """
    if job.shop is not None:
        return job.shop
    from bulbcast.pattern_shop.work import pattern_shop_of

    gating = None if job.melting is None else job.melting.gating
    return pattern_shop_of(
        job.plan, job.bulb, job.cast, job.pattern, job.shown, mould=job.mould, gating=gating
    )


def with_shop(job: ShopResults, shop: PatternShop) -> ShopResults:
    """A job with its pattern shop, planned or measured: its defaults told once, its findings in their place.

    Args:
        job: The results.
        shop: Of this job's pattern.
    """
    from bulbcast.pattern_shop.findings import shop_findings

    others = tuple(one for one in job.findings if one.subject != "pattern shop")
    return replace(job, findings=sorted_by_severity(others)).joined(
        shop=shop, defaults=shop.defaults, findings=shop_findings(job.plan, shop, job.shown)
    )
