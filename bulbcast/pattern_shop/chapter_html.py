"""The pattern shop in the report: pieces drawn apart, ledger, draw, bed, heat and mould frame."""

from __future__ import annotations

import math

from bulbcast.drawing.layout import scale_words
from bulbcast.materials.patterns import pattern_materials
from bulbcast.pattern_shop.frame.view import frame_view
from bulbcast.pattern_shop.pieces.picture import PiecesPicture
from bulbcast.pattern_shop.pieces.views import bed_view, draft_view, exploded_view
from bulbcast.pattern_shop.results import ShopResults
from bulbcast.pattern_shop.rules import angle_words
from bulbcast.pattern_shop.shop import Measured, PatternShop
from bulbcast.quantities import Shown, worded
from bulbcast.report.markup import figure, paragraph, section, sources, table

_PLANES = {
    "horizontal": "level, through the axis",
    "vertical": "upright, fore and aft, through the axis",
    "none": "nowhere: it stays whole, and is bedded in to its middle for the first half of the mould",
}
_VERDICTS = {
    "keeps": "keeps its shape",
    "marginal": "marginal",
    "softens": "softens",
    "not known": "not known",
}


def pattern_shop_section(job: ShopResults, picture: PiecesPicture | None) -> str:
    """All of the pattern shop; empty where nothing was cut.

    Args:
        job: With its pattern shop measured.
        picture: Outlines of the pieces; None leaves the pictures out.
    """
    shop = job.shop
    if shop is None or shop.measured is None:
        return ""
    shown, measured = job.shown, shop.measured
    body = ""
    if job.stopped:
        body += paragraph(
            "A finding says stop: no file of the pattern or its pieces was written, and none is to be made.",
            "stopped",
        )
    body += _parting(shop, shown)
    if picture is not None and (len(measured.pieces) > 1 or shop.cores):
        body += figure(
            exploded_view(picture),
            "Pieces drawn apart, seen from ahead, above and port. Files hold them in bulb axes, where they "
            "fit together; in the 3MF files each lies as it is printed.",
        )
    body += _pieces(shop, measured, shown)
    body += _ledger(measured, shown)
    body += "<h3>Does it draw?</h3>\n"
    if picture is not None:
        view = draft_view(shop, picture)
        body += figure(
            view,
            "Draft is the angle between a facet and the pull: the darker, the steeper. "
            f"{scale_words(view.scale)} when printed without fitting to the page.",
        )
    body += _draw(shop, measured, shown)
    if shop.printer is not None:
        body += _printer(job, shop, measured, picture)
    if shop.frame is not None:
        body += _frame(job, shop)
    return section("pieces", "The pattern in pieces", body)


def _parting(shop: PatternShop, shown: Shown) -> str:
    where = _PLANES[shop.plane]
    if shop.offset != 0.0 and shop.plane != "none":
        side = {"horizontal": ("above", "below"), "vertical": ("to starboard of", "to port of")}[shop.plane]
        where = (
            f"{where.partition(',')[0]}, {shown.length(abs(shop.offset))} "
            f"{side[0] if shop.offset > 0.0 else side[1]} the axis"
        )
    rows = [("parts", where, shop.plane_why or "as asked")]
    if shop.plane != "none" and shop.register != "none":
        what = "printed keys" if shop.register == "keys" else "loose dowels"
        rows.append(
            ("brought together by", f"{what} of {shown.length(shop.dowel)}", f"play {shown.length(shop.fit)}")
        )
    if shop.joints.places:
        places = ", ".join(shown.length(place) for place in shop.joints.places)
        rows.append(
            ("joints across the axis", places, "from the nose; glued and faired before anything else")
        )
    for core in shop.cores:
        prints = [
            f"{shown.length(length)} {side}"
            for length, side in ((core.above, "above"), (core.below, "below"))
            if length is not None
        ]
        rows.append(
            (
                core.name
                if core.kind == "stud"
                else f"core of {'the ' if core.kind == 'pocket' else ''}{core.name}",
                f"print {' and '.join(prints)}" if prints else "no print",
                "the stud itself stands in the mould, held against its lift"
                if core.kind == "stud"
                else "the pattern bears the print; the core is made in its box and set into the mould",
            )
        )
    if shop.plane != "none":
        keyed = shop.register == "keys"
        rows.append(
            (
                "on the moulding board",
                "the half without keys lies flat" if keyed else "both halves lie flat",
                "the other half is set on it for the second half of the mould"
                if keyed
                else "the dowels go in when the first half of the mould is made",
            )
        )
    return table(("", "", ""), rows)


def pieces_rows(shop: PatternShop, measured: Measured, shown: Shown) -> tuple[tuple[str, str, str, str], ...]:
    """A line for each piece: name, length, mass in print or volume, and the box round it as it lies.

    Args:
        shop: The pattern shop.
        measured: Its pieces.
        shown: The builder's units.
    """
    return tuple(
        (
            piece.name,
            shown.length(piece.end - piece.start),
            shown.volume(piece.volume) if piece.mass is None else shown.mass(piece.mass),
            worded(
                "{} x {} x {}{}",
                *(shown.length(side) for side in piece.size),
                "" if piece.place is None else f", {shop.joints.position}, plate {piece.place.plate}",
            ),
        )
        for piece in measured.pieces
    )


def _pieces(shop: PatternShop, measured: Measured, shown: Shown) -> str:
    printed = shop.printer is not None
    heads = ["piece", "from", "to", "volume", "box", "surface"]
    figures = [1, 2, 3, 5]
    if printed:
        heads += ["turned", "plate", "material", "weighs about"]
        figures += [6, 7, 8, 9]
    rows = []
    for piece in measured.pieces:
        row = [
            piece.name,
            shown.length(piece.start),
            shown.length(piece.end),
            shown.volume(piece.volume),
            worded("{} x {} x {}", *(shown.length(side) for side in piece.size)),
            shown.area(piece.area),
        ]
        if printed:
            row += [
                angle_words(piece.angle),
                "" if piece.place is None else str(piece.place.plate),
                "" if piece.material_volume is None else shown.volume(piece.material_volume),
                "" if piece.mass is None else shown.mass(piece.mass),
            ]
        rows.append(row)
    text = table(heads, rows, figures=figures, style="tight", caption="Pieces, from the nose")
    words = "Places along the axis, from the nose of the bulb. "
    if printed:
        words += "The box is that round the piece as it lies on the bed."
    return text + paragraph(words, "caption")


def _ledger(measured: Measured, shown: Shown) -> str:
    rows = [("pattern.stl", shown.volume(measured.pattern_volume))]
    rows += [(name, _signed(volume, shown)) for name, volume in measured.lines]
    rows.append(("sum of the pieces", shown.volume(measured.pieces_volume)))
    body = table(("", "volume"), rows, figures=(1,), total=True, caption="From the pattern to its pieces")
    gap = abs(measured.ledger_gap)
    met = "below 1e-9" if gap < 1e-9 else f"{gap:.0e}"
    return body + paragraph(f"Pieces and ledger agree to {met} of the pattern.", "caption")


def _signed(volume: float, shown: Shown) -> str:
    text = shown.volume(volume)
    return text if volume < 0.0 else worded("+{}", text)


def _draw(shop: PatternShop, measured: Measured, shown: Shown) -> str:
    rows = []
    for row in measured.draws:
        draw = row.draw
        rows.append(
            (
                row.solid,
                row.pull,
                "none" if draw.undercut_area == 0.0 else shown.area(draw.undercut_area),
                angle_words(draw.smallest),
                shown.length(draw.smallest_at[0]),
                shown.area(draw.low_area),
                shown.length(draw.low_height),
            )
        )
    wanted = angle_words(shop.draft)
    return table(
        (
            "what is drawn",
            "mould leaves",
            "undercut",
            "smallest draft",
            "from the nose",
            f"below {wanted}",
            "highest such face",
        ),
        rows,
        figures=(2, 3, 4, 5, 6),
        style="tight",
    ) + paragraph(
        "A round section has no draft just where it parts, over so small a height that it does no harm; flat faces "
        f"want {wanted}. The whole, unparted, is there to show why it parts.",
        "caption",
    )


def _printer(job: ShopResults, shop: PatternShop, measured: Measured, picture: PiecesPicture | None) -> str:
    shown, printer, bed = job.shown, shop.printer, shop.bed
    assert printer is not None
    assert bed is not None
    body = "<h3>On the printer</h3>\n"
    if picture is not None:
        view = bed_view(job, picture)
        if view is not None:
            body += figure(view, "The bed from above; the dashed line is its margin.")
    material = sum(piece.material_volume or 0.0 for piece in measured.pieces)
    mass = sum(piece.mass or 0.0 for piece in measured.pieces)
    rows = [
        ("position", shop.joints.position, f"{shop.joints.pieces} along the axis"),
        (
            "bed within its margins",
            worded("{} by {} by {}", *map(shown.length, (bed.length, bed.width, bed.height))),
            f"{shown.length(bed.diagonal)} from corner to corner",
        ),
        (
            "material",
            shown.volume(material),
            f"{printer.material}, shell {shown.length(printer.shell)}, infill {shown.percent(printer.infill)}",
        ),
        (
            "all pieces weigh about",
            shown.mass(mass),
            "an estimate: the shell is reckoned as surface times thickness",
        ),
    ]
    if shop.thin:
        thinnest = shop.thin[0]
        rows.append(("thinnest place", shown.length(max(thinnest.thickness, 0.0)), thinnest.where))
    body += table(("", "", ""), rows, figures=(1,))
    body += _heat(shop, shown)
    body += paragraph(
        "Layer lines grip plaster. Glue and fair the pieces, fill, sand to 240 grit along the pull, seal in two thin "
        f"coats (the pattern's ledger counts {shown.length(job.plan.pattern.coat)}), rub down and wax; then measure the "
        "largest width and height against the ledger before the mould is made.",
        "remarks",
    )
    return body


def _heat(shop: PatternShop, shown: Shown) -> str:
    softening = [
        one for one in pattern_materials() if one.softens_from is not None and one.softens_to is not None
    ]
    rows = [
        (
            one.name,
            f"{shown.temperature(one.softens_from or 0.0)} to {shown.temperature(one.softens_to or 0.0)}",
            *(_VERDICTS[shop.heat_verdict(one, event)] for event in shop.heat),
        )
        for one in softening
    ]
    heads = (
        "material",
        "gives from",
        *(f"{event.name}: {shown.temperature(event.temperature)}" for event in shop.heat),
    )
    text = table(heads, rows, caption="When the mould warms the pattern", style="tight")
    return text + sources(
        (
            *(f"{event.name}: {event.source}" for event in shop.heat),
            *(f"{one.name}: {one.softens_source}" for one in softening),
        )
    )


def _frame(job: ShopResults, shop: PatternShop) -> str:
    frame, shown = shop.frame, job.shown
    assert frame is not None
    body = "<h3>The mould frame</h3>\n"
    view = frame_view(job)
    if view is not None:
        body += figure(
            view, f"Frame, pattern, keys and passages. {scale_words(view.scale)} when printed at its size."
        )
    deep = " and ".join(dict.fromkeys(shown.length(depth) for depth in frame.depths))
    rows = [
        ("inside", worded("{} by {}", *map(shown.length, frame.inside)), f"{deep} deep"),
        (
            "mould material",
            shown.volume(frame.mould_volume),
            f"both halves; walls {shown.length(frame.wall)}, floors {shown.length(frame.floor)}",
        ),
        (
            "keys",
            worded(f"{len(frame.keys)} of {{}}", shown.length(frame.key_diameter)),
            f"round, {shown.length(frame.key_height)} high, one off the middle so that the halves go together one way",
        ),
    ]
    for one in frame.formers:
        taper = math.atan2(0.5 * (one.top_diameter - one.foot_diameter), one.length)
        rows.append(
            (
                one.kind,
                worded(
                    "{} at the pattern, {} at the top",
                    *map(shown.length, (one.foot_diameter, one.top_diameter)),
                ),
                f"{shown.length(one.length)} long, {shown.length(one.x)} from the nose, {angle_words(taper)} of taper"
                + (
                    f"; {shown.length(one.y)} beside the axis, a gate cut from its foot"
                    if one.y > 0.0
                    else ""
                )
                + ("; cut to sit on the crown" if one.kind == "riser" else ""),
            )
        )
    body += table(("", "", ""), rows)
    if frame.boards:
        boards = [
            (
                one.name,
                str(one.count),
                shown.length(one.length),
                shown.length(one.width),
                shown.length(one.thickness),
            )
            for one in frame.boards
        ]
        body += table(
            ("boards", "how many", "length", "width", "thickness"),
            boards,
            figures=(1, 2, 3, 4),
            caption="Cut list",
        )
        body += paragraph(
            "Ends stand between the sides. Screw it, do not glue it: it has to come away from the mould. Wax it and "
            "seal its corners with clay.",
            "remarks",
        )
    return body
