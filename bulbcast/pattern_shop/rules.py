"""Checks on the pattern's pieces: does it draw, do the pieces fit the bed and hold, does the print keep its shape."""

from __future__ import annotations

import math
from collections.abc import Sequence

from bulbcast.findings import Finding, Rule, Severity
from bulbcast.materials.patterns import pattern_materials
from bulbcast.pattern_shop.printer.softening import verdict
from bulbcast.quantities import Shown, joined

UNDERCUT = Rule("undercut", Severity.STOP, subject="pattern shop")
DRAFT_SMALL = Rule("draft-small", Severity.CAUTION, subject="pattern shop")
PIECE_OFF_BED = Rule("piece-off-bed", Severity.STOP, subject="pattern shop")
JOINT_IN_CUT = Rule("joint-in-cut", Severity.CAUTION, Severity.NOTE, subject="pattern shop")
WALL_THIN_IN_PIECE = Rule("wall-thin-in-piece", Severity.CAUTION, subject="pattern shop")
STANDS_ON_ITS_TAIL = Rule("stands-on-its-tail", Severity.CAUTION, subject="pattern shop")
PIECE_SLENDER = Rule("piece-slender", Severity.CAUTION, subject="pattern shop")
NO_ROOM_FOR_DOWELS = Rule("no-room-for-dowels", Severity.NOTE, subject="pattern shop")
SPRUE_BESIDE_PATTERN = Rule("sprue-beside-pattern", Severity.CAUTION, subject="pattern shop")
KEY_TOO_WIDE = Rule("key-too-wide", Severity.CAUTION, subject="pattern shop")
PATTERN_SOFTENS = Rule("pattern-softens", Severity.CAUTION, Severity.NOTE, subject="pattern shop")
LAYER_LINES = Rule("layer-lines", Severity.CAUTION, Severity.NOTE, subject="pattern shop")
FRAME_OFF_BED = Rule("frame-off-bed", Severity.CAUTION, subject="pattern shop")
PARTING_OFF_PATTERN = Rule("parting-off-pattern", Severity.STOP, subject="pattern shop")

# A face without draft drags the mould along with it: judgement, higher than this on a small pattern, or than this
# share of the pattern's depth on a large one, it is felt.
LOW_DRAFT_HEIGHT = 0.005
LOW_DRAFT_SHARE = 0.05

# Facets that lean back over less than this are chance of the facets and not a shape. [m2]
UNDERCUT_AREA = 1e-8

# A key takes at most so much of the wall it stands in. Judgement.
KEY_IN_WALL = 0.7

# A piece on end, higher than so many times its foot is wide, is knocked off the bed. Judgement.
SLENDER = 8.0


def angle_words(radians: float) -> str:
    """An angle to a tenth of a degree."""
    return f"{math.degrees(radians):.1f} deg".replace(".0 deg", " deg")


def check_undercut(
    *,
    solid: str,
    pull: str,
    area: float,
    at: tuple[float, float, float] | None,
    angle: float,
    remedy: str,
    shown: Shown,
) -> tuple[Finding, ...]:
    """A half that is caught in its mould: a stop.

    Args:
        solid: What is drawn.
        pull: Which way.
        area: Of the facets that lean back. [m2]
        at: Middle of the worst. [m]
        angle: How far it leans back. [rad]
        remedy: What mends it.
        shown: The builder's units.
    """
    if area <= UNDERCUT_AREA or at is None:
        return ()
    return (
        UNDERCUT(
            where=f"pattern, {solid}",
            found=area,
            limit=UNDERCUT_AREA,
            unit="m2",
            message=f"The {solid} does not draw {pull}: {shown.area(area)} of it leans back under the mould, worst by "
            f"{angle_words(angle)}, {shown.length(at[0])} from the nose.",
            remedy=remedy,
        ),
    )


def check_draft(
    *,
    solid: str,
    height: float,
    depth: float,
    at: tuple[float, float, float] | None,
    wanted: float,
    sideways: bool,
    shown: Shown,
) -> tuple[Finding, ...]:
    """A face so steep and so high that it drags on the mould: a caution.

    Args:
        solid: What is drawn.
        height: Along the pull, of the highest patch of facets with less draft than wanted. [m]
        depth: Of the whole half along the pull. [m]
        at: Top of that patch. [m]
        wanted: Least draft. [rad]
        sideways: Whether it is a core print that a vertical parting would draw.
        shown: The builder's units.
    """
    limit = max(LOW_DRAFT_HEIGHT, LOW_DRAFT_SHARE * depth)
    if at is None or height <= limit:
        return ()
    return (
        DRAFT_SMALL(
            where=f"pattern, {solid}",
            found=height,
            limit=limit,
            unit="m",
            message=f"A face of the {solid} {shown.length(at[0])} from the nose has less than {angle_words(wanted)} of "
            f"draft over a height of {shown.length(height)}, where {shown.length(limit)} still lets go easily.",
            remedy='Set plane = "vertical" under [parting], which draws the core print sideways with all its draft.'
            if sideways
            else f"File it back by {shown.length(height * math.tan(wanted))} at its far edge, or wax that face twice "
            "and draw the pattern dead straight.",
        ),
    )


def check_bed(
    *,
    fits: bool,
    pieces: int,
    position: str,
    longest: float,
    bed: tuple[float, float, float],
    mend: tuple[int, str] | None,
    prints: bool,
    shown: Shown,
) -> tuple[Finding, ...]:
    """A piece that does not fit the bed: a stop, since it cannot be printed as planned.

    Args:
        fits: Whether every piece does.
        pieces: Along the axis. [-]
        position: How they are printed.
        longest: Length of the longest. [m]
        bed: Length, width and height within the margins. [m]
        mend: Count and position that would fit; None where none does.
        prints: Whether core prints stand out of the pieces.
        shown: The builder's units.
    """
    if fits:
        return ()
    room = bed[2] if position == "standing" else math.hypot(bed[0], bed[1])
    way = "high" if position == "standing" else "from corner to corner"
    remedy = (
        f'Set pieces = {mend[0]} and position = "{mend[1]}" under [printer]'
        if mend is not None
        else "No number of pieces fits, since the section itself is too large: take a larger bed, turn or carve it"
    ) + (", or set print_length smaller under [parting]." if prints else ".")
    return (
        PIECE_OFF_BED(
            where="printer.pieces",
            found=longest,
            limit=room,
            unit="m",
            message=f"{'The pattern' if pieces == 1 else f'The longest of {pieces} pieces'}, {position}, is "
            f"{shown.length(longest)} long and does not fit the bed, which is {shown.length(bed[0])} by "
            f"{shown.length(bed[1])} by {shown.length(bed[2])} within its margins, {shown.length(room)} {way}.",
            remedy=remedy,
        ),
    )


def check_joints(
    struck: Sequence[tuple[str, bool]], *, pieces: int, clear_pieces: int | None
) -> tuple[Finding, ...]:
    """Joints that run through a cut: a caution where the pattern bears a print there, else a note.

    Args:
        struck: Name of each such cut, and whether it is cored.
        pieces: Along the axis. [-]
        clear_pieces: A count that would keep clear; None where none does.
    """
    if not struck:
        return ()
    names = joined(["the pocket" if name == "pocket" else name for name, _ in struck], "and")
    cored = any(is_cored for _, is_cored in struck)
    remedy = (
        f"Set pieces = {clear_pieces} under [printer], which keeps every joint clear."
        if clear_pieces is not None
        else "Glue and fair that joint before any other; a longer bed, or the other position, may keep clear of it."
    )
    return (
        JOINT_IN_CUT(
            severity=Severity.CAUTION if cored else Severity.NOTE,
            where="printer.pieces",
            found=float(pieces),
            limit=None if clear_pieces is None else float(clear_pieces),
            message=f"With {pieces} pieces a joint falls in {names}: "
            + (
                "the core's print is parted there, and a step in it lifts the core."
                if cored
                else "the cut comes later, in the lead, and the joint's line shows where it is marked out."
            ),
            remedy=remedy,
        ),
    )


def check_thin(
    thin: Sequence[tuple[str, str, float]], *, smallest: float, shown: Shown
) -> tuple[Finding, ...]:
    """Places thinner than the printer prints soundly: a caution each.

    Args:
        thin: What, where, and how thick [m].
        smallest: Wall wanted. [m]
        shown: The builder's units.
    """
    mends = {
        "tail": "Set bulb.tail_diameter larger, or build the tail up on the print and file it.",
        "core print": "Print it slowly or stiffen that edge with glue, and fair it; the core is as thin there.",
        "wall": "Set parting.dowel smaller.",
    }
    return tuple(
        WALL_THIN_IN_PIECE(
            where=f"pattern, {where}",
            found=thickness,
            limit=smallest,
            unit="m",
            message=f"The pattern's pieces are {shown.length(thickness)} thick {where}; "
            f"{shown.length(smallest)} is wanted of a print.",
            remedy=mends[name],
        )
        for name, where, thickness in thin
        if thickness < smallest - 1e-9
    )


def check_standing(
    *, position: str, pieces: int, slenderness: float, tail: float, shown: Shown
) -> tuple[Finding, ...]:
    """Pieces on end that have no foot, or are high over a small one.

    Args:
        position: How they are printed.
        pieces: Along the axis. [-]
        slenderness: Largest height over the smaller side of its foot. [-]
        tail: Across the tail face. [m]
        shown: The builder's units.
    """
    if position != "standing":
        return ()
    if pieces == 1:
        return (
            STANDS_ON_ITS_TAIL(
                where="printer.position",
                found=tail,
                unit="m",
                message=f"In one piece on end the pattern stands on its tail, {shown.length(tail)} across: it wants "
                "supports, and shakes as it grows.",
                remedy='Set pieces = 2 under [printer], so that both stand on the joint, or position = "lying".',
            ),
        )
    if slenderness <= SLENDER:
        return ()
    return (
        PIECE_SLENDER(
            where="printer.position",
            found=slenderness,
            limit=SLENDER,
            message=f"A piece on end is {slenderness:.1f} times as high as its foot is wide, where {SLENDER:g} "
            "stands safely.",
            remedy="Set more pieces under [printer], or print it with a broad brim and slowly.",
        ),
    )


def check_dowels(*, without: Sequence[str]) -> tuple[Finding, ...]:
    """Pieces and joints that have no room for their dowels: a note.

    Args:
        without: Stretches and joints that lack some of theirs.
    """
    if not without:
        return ()
    return (
        NO_ROOM_FOR_DOWELS(
            where="parting.dowel",
            message=f"{_capital(joined(list(without), 'and'))} {'has' if len(without) == 1 else 'have'} no room for "
            "two dowels in each half.",
            remedy="Glue those pieces to their neighbours by eye, on a flat board, or set parting.dowel smaller.",
        ),
    )


def check_sprue(*, at: float, ends: tuple[float, float], best: float, shown: Shown) -> tuple[Finding, ...]:
    """A sprue that stands beside the pattern: a caution.

    Args:
        at: Its place, from the nose. [m]
        ends: Nose and tail of the pattern. [m]
        best: Where it would stand well. [m]
        shown: The builder's units.
    """
    if ends[0] < at < ends[1]:
        return ()
    return (
        SPRUE_BESIDE_PATTERN(
            where="frame.sprue_at",
            found=at,
            limit=ends[1] if at >= ends[1] else ends[0],
            unit="m",
            message=f"The sprue stands {shown.length(at)} from the nose and misses the pattern, which ends at "
            f"{shown.length(ends[1])}.",
            remedy=f'Set sprue_at = "{shown.length(best)}" under [frame].',
        ),
    )


def check_keys(*, diameter: float, wall: float, shown: Shown) -> tuple[Finding, ...]:
    """Keys as wide as the wall they stand in: a caution.

    Args:
        diameter: [m]
        wall: Of mould material round the pattern. [m]
        shown: The builder's units.
    """
    if diameter <= KEY_IN_WALL * wall:
        return ()
    return (
        KEY_TOO_WIDE(
            where="frame.key_diameter",
            found=diameter,
            limit=KEY_IN_WALL * wall,
            unit="m",
            message=f"Keys of {shown.length(diameter)} in a wall of {shown.length(wall)} leave too little round them: "
            "the mould breaks there.",
            remedy=f'Set key_diameter = "{shown.length(0.45 * wall)}" under [frame].',
        ),
    )


def _capital(words: str) -> str:
    return words[:1].upper() + words[1:]


def check_softening(
    *, material: str, softens_from: float | None, event: str, temperature: float, told: str, shown: Shown
) -> tuple[Finding, ...]:
    """A print that comes near its softening: a caution where setting takes it past that, else a note.

    Args:
        material: Of the print.
        softens_from: [degC]
        event: When it gets warm.
        temperature: How warm. [degC]
        told: "keeps", "marginal", "softens" or "not known".
        shown: The builder's units.
    """
    if told not in ("marginal", "softens") or softens_from is None:
        return ()
    better = next(
        (
            one.name
            for one in pattern_materials()
            if one.name in ("PETG", "ABS") and verdict(one, temperature) == "keeps"
        ),
        None,
    )
    return (
        PATTERN_SOFTENS(
            severity=Severity.CAUTION
            if told == "softens" and "pattern inside" not in event
            else Severity.NOTE,
            where="printer.material",
            found=temperature,
            limit=softens_from,
            unit="degC",
            message=f"{material} gives from {shown.temperature(softens_from)}; {event}: "
            f"{shown.temperature(temperature)} at most, "
            + ("which is past it." if told == "softens" else "which comes close."),
            remedy="Take the pattern out before the mould is dried or baked."
            if "pattern inside" in event
            else "Mix with cold water, pour thick blocks in two lifts and draw the pattern once it has cooled"
            + ("." if better is None else f', or set material = "{better}" under [printer].'),
        ),
    )


def check_layers(*, layer: float, coat: float, position: str, shown: Shown) -> tuple[Finding, ...]:
    """Layer lines grip the mould: a note, a caution where no coat is planned.

    Args:
        layer: Height. [m]
        coat: Of sealer. [m]
        position: How the pieces are printed.
        shown: The builder's units.
    """
    grip = (
        "its layers lie across the pull, and every line is a small ledge"
        if position == "lying"
        else "its layers lie along the pull, which grips less, though it grips"
    )
    none = coat == 0.0
    return (
        LAYER_LINES(
            severity=Severity.CAUTION if none else Severity.NOTE,
            where="pattern.coat",
            found=coat,
            limit=0.25 * layer,
            unit="m",
            message=f"Printed {position}, {grip}: plaster keys into layers of {shown.length(layer)}"
            + (", and no coat of sealer is planned." if none else "."),
            remedy=(
                f'Set coat = "{1e3 * max(0.0001, 0.5 * layer):.2g} mm" under [pattern], and fill'
                if none
                else "Fill"
            )
            + ", sand to 240 grit along the pull, seal in two thin coats, rub down and wax before any plaster.",
        ),
    )


def check_frame(
    *, fits: bool, outside: tuple[float, float], bed: tuple[float, float], shown: Shown
) -> tuple[Finding, ...]:
    """A printed frame that does not fit the bed: a caution, its boards are told instead.

    Args:
        fits: Whether it does.
        outside: Length and width. [m]
        bed: Length and width within the margins. [m]
        shown: The builder's units.
    """
    if fits:
        return ()
    return (
        FRAME_OFF_BED(
            where="frame.kind",
            found=outside[0],
            limit=math.hypot(*bed),
            unit="m",
            message=f"The printed frame is {shown.length(outside[0])} by {shown.length(outside[1])} outside and does not "
            f"fit the bed of {shown.length(bed[0])} by {shown.length(bed[1])}; no file of it was written.",
            remedy='Set kind = "boards" under [frame].',
        ),
    )


def check_plane(*, offset: float, half: float, plane: str, shown: Shown) -> tuple[Finding, ...]:
    """A parting plane that misses the pattern: a stop.

    Args:
        offset: Of the plane from the axis. [m]
        half: Half height or half width of the pattern along it. [m]
        plane: Its kind.
        shown: The builder's units.
    """
    if plane == "none" or abs(offset) < half:
        return ()
    return (
        PARTING_OFF_PATTERN(
            where="parting.offset",
            found=abs(offset),
            limit=half,
            unit="m",
            message=f"The parting plane stands {shown.length(abs(offset))} off the axis and misses the pattern, which "
            f"reaches {shown.length(half)}.",
            remedy='Set offset = "0 mm" under [parting].',
        ),
    )
