"""The pattern's pieces as solids, cut once from the pattern, measured, and checked against their ledger.

This module also makes the solids for a mould, but only if files are requested. ShopResults contains the figures, never
a mesh.

Whether the pattern draws, and the volumes of its pieces, can only be found from the cut solids. They are measured by
`with_pieces`, which returns the job with those figures and findings. `run` makes no mesh and stays quick, so a study
does not report an undercut.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np

from bulbcast.bulb.cuts.solids import stud_cutter
from bulbcast.disk.refusals import ReadBackError
from bulbcast.fin.tip_section import pocket_span
from bulbcast.pattern.solids import (
    Solid,
    hole_cutters,
    pattern_body,
    pattern_chord_error,
    pattern_solid,
    pocket_cutters,
)
from bulbcast.pattern_shop.frame.formers import sunk
from bulbcast.pattern_shop.frame.frame import MouldFrame
from bulbcast.pattern_shop.frame.solids import core_box, core_solid, former, frame_ring, key_button
from bulbcast.pattern_shop.pieces.cores import CorePlan, PrintMaking, pocket_print, screw_print, stud_print
from bulbcast.pattern_shop.pieces.cutting import (
    HALVES,
    NORMALS,
    Core,
    PatternPieces,
    PieceSolid,
    pattern_pieces,
)
from bulbcast.pattern_shop.pieces.draw import draw_of
from bulbcast.pattern_shop.printer.packing import material_volume, packed, print_turn
from bulbcast.pattern_shop.results import ShopResults
from bulbcast.pattern_shop.rules import frame_fits
from bulbcast.pattern_shop.shop import DrawRow, Measured, PatternShop, PieceFigures
from bulbcast.pattern_shop.work import planned_shop, with_shop
from bulbcast.solids.kernel import KernelSolid
from bulbcast.solids.mesh import Mesh
from bulbcast.solids.quadrature import Array

# The pieces add up to the pattern and its ledger within this fraction; the pattern shop's contract.
LEDGER_BOUND = 1e-6
_HAIR = 2e-4
"""Extra depth of a former's foot below the skin, to allow for facets. [m]"""
_PULLS = {
    "horizontal": (("upwards", (0.0, 0.0, 1.0)), ("downwards", (0.0, 0.0, -1.0))),
    "vertical": (("to starboard", (0.0, 1.0, 0.0)), ("to port", (0.0, -1.0, 0.0))),
}


@dataclass(frozen=True, slots=True, eq=False)
class NamedSolid:
    """A solid, other than the pattern's pieces, that has its own file: name without extension, kind, and kernel solid."""

    name: str
    kind: str
    solid: KernelSolid


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class ShopSolids:
    """Solids that the pattern shop writes to files.

    Attributes:
        pattern: Solid of pattern.stl.
        pieces: The pattern's pieces; none if it is in one piece and has no core prints.
        others: Solids of the frame, keys, formers and core boxes.
    """

    pattern: Solid
    pieces: tuple[PieceSolid, ...]
    others: tuple[NamedSolid, ...]


def with_pieces(job: ShopResults, *, for_files: bool = True) -> tuple[ShopResults, ShopSolids]:
    """Cut the pattern into its pieces and measure them.

    Args:
        job: The results, with or without a planned pattern shop.
        for_files: Whether to make the frame, its formers and the core boxes too; these are not measured.

    Returns:
        The job with the pattern shop's measurements and findings, and the solids.

    Raises:
        ReadBackError: The pieces' volumes do not add up to that of the pattern plus the ledger's lines.
        PlanError: The plan's chord error would need too many facets.
    """
    shop = planned_shop(job)
    solid = pattern_solid(job)
    if shop.misses:
        return with_shop(job, shop), ShopSolids(pattern=solid, pieces=(), others=())
    error = pattern_chord_error(job, solid.finer)
    body, cores = stock(job, shop, error)
    cut = pattern_pieces(body, cores, shop)
    measured = Measured(
        pieces=_figures(shop, cut.pieces),
        pattern_volume=solid.meant.volume,
        lines=cut.lines,
        pieces_volume=sum(piece.volume for piece in cut.pieces),
        whole_volume=cut.whole.volume,
        draws=tuple(_draws(shop, solid, cut)),
    )
    if abs(measured.ledger_gap) > LEDGER_BOUND:
        if job.stopped:
            # A body that must not be made need not come apart. Its stops say why, and no file of it is written.
            return with_shop(job, shop), ShopSolids(pattern=solid, pieces=(), others=())
        raise ReadBackError(
            f"The volume of the pattern's pieces is {measured.pieces_volume:.9g} m3. It differs from the "
            f"ledger's figure by {measured.ledger_gap:.1e} of the pattern's volume. Nothing was written. "
            "Please report this with the plan."
        )
    if shop.frame is not None:
        # The plaster's volume leaves out the pattern as it stands in the mould: cavities filled, with prints.
        more = measured.whole_volume - job.pattern.volume
        shop = replace(shop, frame=replace(shop.frame, mould_volume=shop.frame.mould_volume - more))
    job = with_shop(job, replace(shop, measured=measured))
    split = len(cut.pieces) > 1 or bool(cores)
    made = for_files and not job.stopped
    others = tuple(_core_boxes(job, shop, body, cores)) if made else ()
    if shop.frame is not None and made:
        others += tuple(_frame_parts(shop, shop.frame, body))
    return job, ShopSolids(
        pattern=solid,
        pieces=cut.pieces if split else (),
        others=others,
    )


def stock(job: ShopResults, shop: PatternShop, error: float) -> tuple[KernelSolid, tuple[Core, ...]]:
    """The pattern without its cavities, and its cores, both at the pattern's scale.

    Args:
        job: The results.
        shop: The job's pattern shop.
        error: Chord error of the facets, before scaling. [m]
    """
    scale = job.pattern.scale
    body = KernelSolid.of(pattern_body(job, error)).scaled(scale)
    return body, tuple(_core(job, shop, core, error) for core in shop.cores)


def _core(job: ShopResults, shop: PatternShop, core: CorePlan, error: float) -> Core:
    bulb, scale = job.bulb, job.pattern.scale
    layer = max(job.pattern.offset, 0.0)
    if core.kind == "pocket":
        cutters = pocket_cutters(job, layer=layer, error=error)
    elif core.kind == "screw":
        cutters = hole_cutters(job, core.index, layer=layer, error=error)
    else:
        cutters = [stud_cutter(bulb.axis, bulb.stud_cuts[core.index], chord_error=error)]
    solids = [KernelSolid.of(cutter) for cutter in cutters]

    def made(draft: float) -> KernelSolid | None:
        how = PrintMaking(bulb, layer, draft, shop.plane == "vertical", error)
        if core.kind == "pocket":
            below = None if core.below is None else core.below / scale
            mesh: Mesh | None = pocket_print(how, (core.above or 0.0) / scale, below)
        elif core.kind == "screw":
            mesh = screw_print(how, core.index, (core.below or 0.0) / scale)
        else:
            mesh = stud_print(how, core.index)
        return None if mesh is None else KernelSolid.of(mesh).scaled(scale)

    cavity = solids[0].joined(*solids[1:]).scaled(scale)
    return Core(name=core.name, cavity=cavity, straight=made(0.0), drafted=made(shop.draft))


def _figures(shop: PatternShop, pieces: tuple[PieceSolid, ...]) -> tuple[PieceFigures, ...]:
    joints, printer, bed = shop.joints, shop.printer, shop.bed
    stretches = shop.stretches
    turned: list[tuple[Array, float, bool]] = []
    for piece in pieces:
        start, end = stretches[piece.number - 1]
        aft_down = min(shop.outline.halves(end)) >= min(shop.outline.halves(start))
        # The starboard half is on its face with its top towards the foot of the page, so its outline is the mirror image.
        mirrored = piece.half == "starboard" and joints.position == "lying"
        angle = joints.angles[piece.number - 1] * (-1.0 if mirrored else 1.0) + 0.0
        turn = print_turn(piece.half, joints.position, angle=angle, aft_face_down=aft_down)
        points = piece.mesh.vertices @ turn.T
        turned.append((np.ptp(points, axis=0), angle, aft_down))
    places = (
        [None] * len(pieces)
        if printer is None or bed is None
        else list(packed([(float(size[0]), float(size[1])) for size, _, _ in turned], bed, printer.margin))
    )
    found = []
    for piece, (size, angle, aft_down), place in zip(pieces, turned, places, strict=True):
        material = (
            None
            if printer is None
            else material_volume(piece.volume, piece.area, shell=printer.shell, infill=printer.infill)
        )
        found.append(
            PieceFigures(
                name=piece.name,
                file=f"pattern-{piece.name}.stl",
                half=piece.half,
                number=piece.number,
                start=stretches[piece.number - 1][0],
                end=stretches[piece.number - 1][1],
                volume=piece.volume,
                area=piece.area,
                size=(float(size[0]), float(size[1]), float(size[2])),
                angle=angle,
                aft_face_down=aft_down,
                place=place,
                material_volume=material,
                mass=None if material is None or shop.material is None else material * shop.material.density,
            )
        )
    return tuple(found)


def _draws(shop: PatternShop, solid: Solid, cut: PatternPieces) -> Iterator[DrawRow]:
    """Draw of each half in its direction of pull, of the unparted pattern in every direction, and of the pattern with its
    cavities."""
    plane = shop.mould_plane

    def halves(made: Sequence[KernelSolid], words: str, counts: bool) -> Iterator[DrawRow]:
        for name, half, (pull, way), sign in zip(
            HALVES[plane], made, _PULLS[plane], (1.0, -1.0), strict=True
        ):
            draw = draw_of(half.faces(), np.array(way), wanted=shop.draft, flat_at=sign * shop.offset)
            yield DrawRow(solid=f"{name} half{words}", pull=pull, draw=draw, counts=counts)

    parted = cut.halves if shop.plane != "none" else cut.whole.parted(NORMALS[plane], shop.offset)
    yield from halves(parted, "", True)
    whole = cut.whole.faces()
    for pull, way in (*_PULLS["horizontal"], *_PULLS["vertical"]):
        draw = draw_of(whole, np.array(way), wanted=shop.draft, flat_at=None)
        yield DrawRow(solid="unparted pattern", pull=pull, draw=draw, counts=False)
    if shop.cores:
        as_it_is = KernelSolid.of(solid.mesh).parted(NORMALS[plane], shop.offset)
        yield from halves(as_it_is, " with cavities instead of prints", False)


def _core_boxes(
    job: ShopResults, shop: PatternShop, body: KernelSolid, cores: tuple[Core, ...]
) -> Iterator[NamedSolid]:
    wall = max(2.5 * shop.dowel, 0.006)
    for plan, core in zip(shop.cores, cores, strict=True):
        if plan.kind == "stud":
            continue  # the stud itself stands in the mould
        slope = 0.0
        if shop.plane == "vertical":
            pocket, screws = job.bulb.pocket, job.bulb.screw_cuts
            wide = pocket_span(pocket.tip, pocket.clearance)[2]
            across = wide if plan.kind == "pocket" else screws[plan.index].recess_diameter
            slope = job.pattern.scale * across * float(np.tan(shop.draft))
        halves = core_box(
            core_solid(core, body),
            wall=wall,
            pin=shop.dowel + shop.fit,
            open_above=plan.above is not None,
            chamfer=slope,
        )
        for side, half in zip(("starboard", "port"), halves, strict=True):
            name = f"core-box-{plan.name.replace(' ', '-')}-{side}"
            yield NamedSolid(name, "core box", half)


def _frame_parts(shop: PatternShop, frame: MouldFrame, body: KernelSolid) -> Iterator[NamedSolid]:
    """Solids of the printed frame, the key button and the formers."""
    if frame.kind == "printed" and frame_fits(shop):
        for number, name in enumerate(HALVES[shop.mould_plane]):
            ring = frame_ring(frame, number, draft=shop.draft, offset=shop.offset)
            yield NamedSolid(f"mould-frame-{name}", "mould frame", ring)
    yield NamedSolid("mould-key", "key button", key_button(frame, shop.offset))
    number = 0
    for one in frame.formers:
        # A former on the pattern fits it like a saddle, with a hair more so that no sliver is left.
        deep = sunk(one, shop.outline)
        peg = former(one, frame.plane, shop.offset, deep + _HAIR if deep > 0.0 else 0.0)
        if not one.beside:
            peg = peg.less(body)
        number += one.kind == "vent"
        name = f"mould-vent-{number}" if one.kind == "vent" else f"mould-{one.kind}"
        yield NamedSolid(name, f"{one.kind} former", peg)
