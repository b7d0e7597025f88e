"""Findings on the pattern's pieces: whether the pattern draws, the pieces fit the bed, and the print keeps its shape."""

from __future__ import annotations

import math
from collections.abc import Iterator

from bulbcast.findings import Finding, Rule, Severity, typed
from bulbcast.materials.patterns import pattern_materials
from bulbcast.pattern_shop.frame.frame import MouldFrame
from bulbcast.pattern_shop.printer.bed import Bed, rectangle_fits
from bulbcast.pattern_shop.printer.softening import verdict
from bulbcast.pattern_shop.shop import DrawRow, PatternShop, angle_words
from bulbcast.plan.pattern_sections import PrinterSection
from bulbcast.plan.sections import Plan
from bulbcast.quantities import Shown, joined

UNDERCUT = Rule(
    "undercut",
    Severity.STOP,
    subject="pattern shop",
    why="A face that leans back under the mould locks the pattern in, and the pattern has to be broken out.",
)
DRAFT_SMALL = Rule(
    "draft-small",
    Severity.CAUTION,
    subject="pattern shop",
    why="A face without draft rubs along the mould all the way out and tears it.",
)
PIECE_OFF_BED = Rule(
    "piece-off-bed",
    Severity.STOP,
    subject="pattern shop",
    why="A piece larger than the bed cannot be printed.",
)
JOINT_IN_CUT = Rule(
    "joint-in-cut",
    Severity.CAUTION,
    Severity.NOTE,
    subject="pattern shop",
    why="A joint across a cut leaves a step where the surface has to be true.",
)
WALL_THIN_IN_PIECE = Rule(
    "wall-thin-in-piece",
    Severity.CAUTION,
    subject="pattern shop",
    why="Walls as thin as one printed line do not print reliably.",
)
STANDS_ON_ITS_TAIL = Rule(
    "stands-on-its-tail",
    Severity.CAUTION,
    subject="pattern shop",
    why="A print on a small foot shakes as it grows and may break off.",
)
PIECE_SLENDER = Rule(
    "piece-slender",
    Severity.CAUTION,
    subject="pattern shop",
    why="A tall, narrow print shakes as it grows and may topple.",
)
NO_ROOM_FOR_DOWELS = Rule(
    "no-room-for-dowels",
    Severity.NOTE,
    subject="pattern shop",
    why="A piece needs two dowels so that it cannot turn, and a thin piece has no room for them.",
)
SPRUE_BESIDE_PATTERN = Rule(
    "sprue-beside-pattern",
    Severity.CAUTION,
    subject="pattern shop",
    why="The metal would not run into the cavity.",
)
KEY_TOO_WIDE = Rule(
    "key-too-wide",
    Severity.CAUTION,
    subject="pattern shop",
    why="A mould wall breaks next to keys that are too large for it.",
)
PATTERN_SOFTENS = Rule(
    "pattern-softens",
    Severity.CAUTION,
    Severity.NOTE,
    subject="pattern shop",
    why="Plaster is warm while it sets and dries. A print that softens loses its shape and sticks.",
)
LAYER_LINES = Rule(
    "layer-lines",
    Severity.CAUTION,
    Severity.NOTE,
    subject="pattern shop",
    why="Plaster grips the steps between printed layers, so the pattern may not draw.",
)
FRAME_OFF_BED = Rule(
    "frame-off-bed",
    Severity.CAUTION,
    subject="pattern shop",
    why="A frame larger than the bed cannot be printed.",
)
PARTING_OFF_PATTERN = Rule(
    "parting-off-pattern",
    Severity.STOP,
    subject="pattern shop",
    why="If the parting plane misses the pattern, the whole pattern is in one half of the mould and cannot come out.",
)

# A face without draft drags on the mould noticeably if it is higher than this on a small pattern, or than this fraction
# of the pattern's depth on a large one. Our judgement.
LOW_DRAFT_HEIGHT = 0.005
LOW_DRAFT_SHARE = 0.05

# A smaller area than this that leans back comes from the facets, not from the shape. [m2]
UNDERCUT_AREA = 1e-8

# Largest fraction of a wall that a key may occupy. Our judgement.
KEY_IN_WALL = 0.7

# A piece on end that is more than this many times as high as its foot is wide gets knocked off the bed. Our judgement.
SLENDER = 8.0


_THIN_REMEDIES = {
    "tail": "Set a larger bulb.tail_diameter, or build the tail up on the print and file it.",
    "core print": "Print it slowly, or stiffen the thin edge with glue and fair it. The core is just as thin there.",
    "wall": "Set a smaller parting.dowel.",
}


def shop_findings(plan: Plan, shop: PatternShop, shown: Shown) -> tuple[Finding, ...]:
    """Every finding on the pattern shop.

    Args:
        plan: The plan.
        shop: The pattern shop, planned and perhaps measured.
        shown: The builder's units.
    """
    found = [*check_plane(shop, shown)]
    for row in () if shop.measured is None else shop.measured.draws:
        if row.counts:
            found += [*check_undercut(shop, row, shown), *check_draft(shop, row, shown)]
    found += check_dowels(shop)
    if shop.frame is not None:
        found += [*check_sprue(shop, shop.frame, shown), *check_keys(shop.frame, shown)]
    if shop.printer is not None and shop.bed is not None:
        found += check_bed(shop, shop.bed, shown)
        found += check_joints(shop)
        found += check_thin(shop, shop.printer.smallest_wall, shown)
        found += check_standing(shop, shown)
        found += check_softening(shop, shown)
        found.append(check_layers(shop.printer, plan.pattern.coat, shop.joints.position, shown))
        if shop.frame is not None:
            found += check_frame(shop, shop.frame, shop.bed, shown)
    return tuple(found)


def check_plane(shop: PatternShop, shown: Shown) -> Iterator[Finding]:
    """A finding with severity "stop" for a parting plane that misses the pattern."""
    if shop.misses:
        off, half = abs(shop.offset), shop.half_along_pull
        yield PARTING_OFF_PATTERN(
            "parting.offset",
            f"The parting plane is {shown.length(off)} off the axis and misses the pattern, which extends only "
            f"{shown.length(half)} from the axis.",
            f"Set {typed('parting.offset', '0 mm')} under [parting].",
            found=off,
            limit=half,
            unit="m",
        )


def check_undercut(shop: PatternShop, row: DrawRow, shown: Shown) -> Iterator[Finding]:
    """A finding with severity "stop" for a half that is caught in its mould."""
    draw = row.draw
    if draw.undercut_area <= UNDERCUT_AREA or draw.undercut_at is None:
        return
    if shop.offset != 0.0:
        remedy = f"Set {typed('parting.offset', '0 mm')} under [parting], so that the pattern is parted at its widest point."
    elif shop.plane != "vertical" and shop.cores:
        remedy = f"Set {typed('parting.plane', 'vertical')} under [parting]: raked core prints can only be drawn sideways."
    else:
        remedy = "Choose the other plane under [parting], or make the core there shallower."
    yield UNDERCUT(
        f"pattern, {row.solid}",
        f"The {row.solid} does not draw {row.pull}: {shown.area(draw.undercut_area)} of it leans back under the mould, "
        f"by up to {angle_words(draw.undercut_angle)}, {shown.length(draw.undercut_at[0])} from the nose.",
        remedy,
        found=draw.undercut_area,
        limit=UNDERCUT_AREA,
        unit="m2",
    )


def check_draft(shop: PatternShop, row: DrawRow, shown: Shown) -> Iterator[Finding]:
    """A caution for a face that is steep and high enough to drag on the mould."""
    height, at = row.draw.low_height, row.draw.low_at
    limit = max(LOW_DRAFT_HEIGHT, LOW_DRAFT_SHARE * shop.half_along_pull)
    if at is None or height <= limit:
        return
    on_print = any(cut.in_pattern and cut.start <= at[0] <= cut.end for cut in shop.cuts)
    yield DRAFT_SMALL(
        f"pattern, {row.solid}",
        f"A face of the {row.solid} {shown.length(at[0])} from the nose has less than {angle_words(shop.draft)} of draft "
        f"over a height of {shown.length(height)}; faces up to {shown.length(limit)} high come free easily.",
        f"Set {typed('parting.plane', 'vertical')} under [parting] to draw the core print sideways with its full draft."
        if shop.cores and shop.plane == "horizontal" and on_print
        else f"File it back by {shown.length(height * math.tan(shop.draft))} at its far edge, or wax that face twice and "
        "draw the pattern perfectly straight.",
        found=height,
        limit=limit,
        unit="m",
    )


def check_dowels(shop: PatternShop) -> Iterator[Finding]:
    """A note on pieces and joints that have no room for their dowels."""
    across = [pin.at[0] for pin in shop.pins if pin.face == "parting"]
    without = [
        f"stretch {number} (counted from the nose)" if shop.joints.pieces > 1 else "the pattern"
        for number, (start, end) in enumerate(shop.stretches, start=1)
        if shop.plane != "none" and shop.register != "none" and sum(start <= x <= end for x in across) < 2
    ]
    pairs = 2 if shop.plane == "none" else 4
    without += [
        f"joint {number}"
        for number, place in enumerate(shop.joints.places, start=1)
        if sum(pin.face == "joint" and pin.at[0] == place for pin in shop.pins) < pairs
    ]
    if without:
        names = joined(without, "and")
        yield NO_ROOM_FOR_DOWELS(
            "parting.dowel",
            f"{names[:1].upper()}{names[1:]} {'has' if len(without) == 1 else 'have'} no room for two dowels in each "
            "half.",
            "Align those pieces with their neighbours by eye and glue them on a flat board, or set a smaller parting.dowel.",
        )


def check_sprue(shop: PatternShop, frame: MouldFrame, shown: Shown) -> Iterator[Finding]:
    """A caution for a sprue that misses the pattern."""
    nose, tail = shop.outline.nose, shop.outline.tail
    if frame.formers and not nose < frame.formers[0].x < tail:
        at = frame.formers[0].x
        yield SPRUE_BESIDE_PATTERN(
            "frame.sprue_at",
            f"The sprue is {shown.length(at)} from the nose and misses the pattern, which ends at {shown.length(tail)}.",
            f"Set {typed('frame.sprue_at', shown.length(shop.outline.widest_at))} under [frame].",
            found=at,
            limit=tail if at >= tail else nose,
            unit="m",
        )


def check_keys(frame: MouldFrame, shown: Shown) -> Iterator[Finding]:
    """A caution for keys that are too wide for their wall."""
    diameter, wall = frame.key_diameter, frame.wall
    if diameter > KEY_IN_WALL * wall:
        yield KEY_TOO_WIDE(
            "frame.key_diameter",
            f"Keys of {shown.length(diameter)} are too large for a wall of {shown.length(wall)}, so the mould would "
            "break next to them.",
            f"Set {typed('frame.key_diameter', shown.length(0.45 * wall))} under [frame].",
            found=diameter,
            limit=KEY_IN_WALL * wall,
            unit="m",
        )


def check_bed(shop: PatternShop, bed: Bed, shown: Shown) -> Iterator[Finding]:
    """A finding with severity "stop" for a piece that does not fit the bed and so cannot be printed as planned."""
    joints, hair = shop.joints, 1e-5
    measured_fit = shop.measured is None or all(
        side <= most + hair
        for piece in shop.measured.pieces
        for side, most in zip(piece.size, (bed.length, bed.width, bed.height), strict=True)
    )
    if joints.fits and measured_fit:
        return
    standing, fix = joints.position == "standing", shop.fits_in
    longest = max(end - start for start, end in shop.stretches)
    room = bed.height if standing else bed.diagonal
    corners = f"{shown.length(room)} from corner to corner"
    what = "The pattern" if joints.pieces == 1 else f"The longest of {joints.pieces} pieces"
    remedy = (
        f"Set {typed('printer.pieces', str(fix.pieces))} and {typed('printer.position', fix.position, also=True)} under "
        "[printer]"
        if fix is not None
        else "The section is too large for the bed, whatever the number of pieces: use a larger bed, or turn the "
        "pattern on a lathe, or carve it"
    )
    yield PIECE_OFF_BED(
        "printer.pieces",
        f"{what}, printed {joints.position}, is {shown.length(longest)} long and does not fit the bed, which is "
        f"{shown.length(bed.length)} by {shown.length(bed.width)} by {shown.length(bed.height)} "
        + ("high within its margins." if standing else f"within its margins and {corners}."),
        f"{remedy}, or set a smaller print_length under [parting]." if shop.cores else f"{remedy}.",
        found=longest,
        limit=room,
        unit="m",
    )


def check_joints(shop: PatternShop) -> Iterator[Finding]:
    """A caution for joints that run through a cut with a core print, and a note for joints through other cuts."""
    joints = shop.joints
    if not joints.struck:
        return
    names = joined(["the pocket" if cut.name == "pocket" else cut.name for cut in joints.struck], "and")
    cored = any(cut.in_pattern for cut in joints.struck)
    yield JOINT_IN_CUT(
        "printer.pieces",
        f"With {joints.pieces} pieces, a joint runs through {names}: "
        + (
            "it divides the core print, and a step there lifts the core."
            if cored
            else "the cut is made later in the lead, and the line of the joint will be visible where you mark it out."
        ),
        f"Set {typed('printer.pieces', str(joints.clear_pieces))} under [printer], which "
        "keeps the joints clear of the cuts."
        if joints.clear_pieces is not None
        else "Glue and fair that joint before any other. A longer bed or the other printing position may avoid it.",
        severity=Severity.CAUTION if cored else Severity.NOTE,
        found=float(joints.pieces),
        limit=None if joints.clear_pieces is None else float(joints.clear_pieces),
    )


def check_thin(shop: PatternShop, smallest: float, shown: Shown) -> Iterator[Finding]:
    """A caution for each point that is too thin to print reliably."""
    for one in shop.thin:
        if one.thickness < smallest - 1e-9:
            yield WALL_THIN_IN_PIECE(
                f"pattern, {one.where}",
                f"The pattern's pieces are {shown.length(one.thickness)} thick {one.where}; a print needs at least "
                f"{shown.length(smallest)}.",
                _THIN_REMEDIES[one.name],
                found=one.thickness,
                limit=smallest,
                unit="m",
            )


def check_standing(shop: PatternShop, shown: Shown) -> Iterator[Finding]:
    """Findings on pieces printed on end with a small foot or none."""
    outline = shop.outline
    if not shop.joints.fits or shop.joints.position != "standing":
        return
    if shop.joints.pieces == 1:
        tail = 2.0 * min(outline.halves(outline.tail - 1e-9))
        yield STANDS_ON_ITS_TAIL(
            "printer.position",
            f"Printed on end in one piece, the pattern stands on its tail, which is {shown.length(tail)} across. It "
            "needs supports, and it shakes as it grows.",
            f"Set {typed('printer.pieces', '2')} under [printer], so that both pieces stand on the joint, or "
            f"{typed('printer.position', 'lying')}.",
            found=tail,
            unit="m",
        )
        return
    slenderness = 0.0
    for start, end in shop.stretches:
        foot = max(min(outline.halves(x)) for x in (start, end))
        if foot > 0.0:
            slenderness = max(slenderness, (end - start) / (foot if shop.plane != "none" else 2.0 * foot))
    if slenderness > SLENDER:
        yield PIECE_SLENDER(
            "printer.position",
            f"A piece on end is {slenderness:.1f} times as high as its foot is wide; the limit for stability is "
            f"{SLENDER:g} times.",
            "Set a larger number of pieces under [printer], or print the piece slowly and with a wide brim.",
            found=slenderness,
            limit=SLENDER,
        )


def check_softening(shop: PatternShop, shown: Shown) -> Iterator[Finding]:
    """A caution if setting plaster softens the print; a note if it nearly does, or if only drying does."""
    material = shop.material
    if material is None or material.softens_from is None:
        return
    # If the plan does not say how the mould is dried, only the setting counts, since the builder removes the pattern first.
    for event in shop.heat if shop.drying is not None else shop.heat[:1]:
        softens, inside = verdict(material, event.temperature), "pattern inside" in event.name
        if softens == "keeps":
            continue
        better = next(
            (
                one.name
                for one in pattern_materials()
                if one.name in ("PETG", "ABS") and verdict(one, event.temperature) == "keeps"
            ),
            None,
        )
        cooler = "Mix with cold water, pour thick blocks in two layers and draw the pattern once the plaster has cooled"
        instead = "." if better is None else f", or set {typed('printer.material', better)} under [printer]."
        yield PATTERN_SOFTENS(
            "printer.material",
            f"{material.name} starts to soften at {shown.temperature(material.softens_from)}. The print may "
            f"reach {shown.temperature(event.temperature)} ({event.name}), which "
            f"{'is above that' if softens == 'softens' else 'comes close to that'}.",
            "Remove the pattern before the mould is dried or baked." if inside else cooler + instead,
            severity=Severity.CAUTION if softens == "softens" and not inside else Severity.NOTE,
            found=event.temperature,
            limit=material.softens_from,
            unit="degC",
        )


def check_layers(printer: PrinterSection, coat: float, position: str, shown: Shown) -> Finding:
    """A note on layer lines, which grip the mould; a caution if no coat of sealer is planned.

    Args:
        printer: The plan's [printer].
        coat: Thickness of the coat of sealer. [m]
        position: Position of the pieces when printed.
        shown: The builder's units.
    """
    grip = (
        "its layers lie across the direction of pull, so every layer line is a small ledge"
        if position == "lying"
        else "its layers lie along the direction of pull, so they grip the mould less, but still grip it"
    )
    none, thick = coat == 0.0, 1e3 * max(0.0001, 0.5 * printer.layer)
    return LAYER_LINES(
        "pattern.coat",
        f"When the pattern is printed {position}, {grip}. Plaster keys into layers of {shown.length(printer.layer)}"
        + (", and no coat of sealer is planned." if none else "."),
        (f"Set {typed('pattern.coat', f'{thick:.2g} mm')} under [pattern], and fill" if none else "Fill")
        + ", sand to 240 grit along the pull, seal with two thin coats, rub down and wax before any plaster goes on.",
        severity=Severity.CAUTION if none else Severity.NOTE,
        found=coat,
        limit=0.25 * printer.layer,
        unit="m",
    )


def frame_fits(shop: PatternShop) -> bool:
    """Whether a printed frame fits the bed; True if no printed frame is required or no bed is given.

    Args:
        shop: The pattern shop, with or without a frame.
    """
    if shop.frame is None or shop.frame.kind != "printed" or shop.bed is None:
        return True
    length, width = sorted(_outside(shop.frame, shop.draft), reverse=True)
    return rectangle_fits(length, width, shop.bed) and max(shop.frame.depths) <= shop.bed.height


def _outside(frame: MouldFrame, draft: float) -> tuple[float, float]:
    """Length and width of a printed frame, taper included. [m]"""
    taper = 2.0 * max(frame.depths) * math.tan(draft)
    return frame.outside[0] + taper, frame.outside[1] + taper


def check_frame(shop: PatternShop, frame: MouldFrame, bed: Bed, shown: Shown) -> Iterator[Finding]:
    """A caution for a printed frame that does not fit the bed; the fix is a frame of boards."""
    if not frame_fits(shop):
        length, width = sorted(_outside(frame, shop.draft), reverse=True)
        deepest = max(frame.depths)
        lies = rectangle_fits(length, width, bed)
        size = f"{shown.length(length)} by {shown.length(width)} on the outside and does not fit the bed of"
        said = f"{size} {shown.length(bed.length)} by {shown.length(bed.width)}"
        if lies:
            said = f"{shown.length(deepest)} high; the printer has room for {shown.length(bed.height)}"
        yield FRAME_OFF_BED(
            "frame.kind",
            f"The printed frame is {said}. No file was written for it.",
            f"Set {typed('frame.kind', 'boards')} under [frame].",
            found=deepest if lies else length,
            limit=bed.height if lies else bed.diagonal,
            unit="m",
        )
