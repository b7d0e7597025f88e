"""Report chapter on the pattern's pieces: the parting, the pieces and their ledger, and whether the pattern draws."""

from __future__ import annotations

from collections.abc import Iterator

from bulbcast.pattern_shop.frame.chapter import frame_object, frame_parts
from bulbcast.pattern_shop.pieces.picture import PiecesPicture
from bulbcast.pattern_shop.printer.chapter import printer_object, printer_parts
from bulbcast.pattern_shop.results import ShopResults
from bulbcast.pattern_shop.shop import DrawRow, Measured, PatternShop, PieceFigures, angle_words
from bulbcast.quantities import Shown, worded
from bulbcast.quantities.typed import bought
from bulbcast.report.chapter import Chapter, Data, Heading, Line, Part, Picture, Table, ToBuy, Words
from bulbcast.report.values import Json, point, values_of

_PLANES = {
    "horizontal": "horizontal, through the axis",
    "vertical": "vertical, fore and aft, through the axis",
    "none": "none: the pattern stays in one piece and is bedded in to half its depth for the first half of the mould",
}
_SIDES = {"horizontal": ("above", "below"), "vertical": ("to starboard of", "to port of")}
_DRAW_HEADS = ("part drawn", "mould moves", "undercut", "smallest draft", "from the nose")


def pieces_chapter(job: ShopResults, shop: PatternShop, picture: PiecesPicture | None) -> Chapter:
    """Chapter on the pieces, printer and frame, for the report and the terminal once the pieces are cut.

    Args:
        job: The results.
        shop: The job's pattern shop.
        picture: Outlines of the pieces; None for no pictures.
    """
    parts: list[Part] = [
        Data(
            values={
                "parting": _parting_object(shop),
                **({} if shop.printer is None else {"printer": printer_object(shop, shop.printer)}),
                **({} if shop.frame is None else {"frame": frame_object(shop.frame)}),
            }
        )
    ]
    if shop.measured is not None:
        if job.stopped:
            words = "A finding says stop, so no files were written for the pattern or its pieces. Do not make them."
            parts.append(Words(text=words, style="stopped", only="report"))
        parts.append(Table(rows=list(_parting_rows(shop, job.shown)), figures=(), only="report"))
        parts += _pieces(job, shop, shop.measured, picture)
        parts += _draw(shop, shop.measured, picture, job.shown)
        if shop.printer is not None:
            parts += printer_parts(job, shop, shop.printer, shop.measured, picture)
        if shop.frame is not None:
            parts += frame_parts(job, shop.frame)
    masses = (
        [] if shop.measured is None else [one.mass for one in shop.measured.pieces if one.mass is not None]
    )
    if masses:
        parts.append(
            ToBuy(
                lines=[
                    Line(
                        "Printing material",
                        bought(sum(masses), job.shown),
                        "for all pieces, with the planned infill",
                    )
                ]
            )
        )
    title = "The pattern in pieces"
    return Chapter(name="pieces", title=title, heading=title, step="pattern", parts=parts)


def _parting_rows(shop: PatternShop, shown: Shown) -> Iterator[tuple[str, str, str]]:
    where = _PLANES[shop.plane]
    if shop.offset != 0.0 and shop.plane != "none":
        side = _SIDES[shop.plane][0 if shop.offset > 0.0 else 1]
        where = f"{where.partition(',')[0]}, {shown.length(abs(shop.offset))} {side} the axis"
    yield "parting", where, shop.plane_why or "set in the plan"
    if shop.plane != "none" and shop.register != "none":
        what = "printed keys" if shop.register == "keys" else "loose dowels"
        yield "located by", f"{what} of {shown.length(shop.dowel)}", f"play {shown.length(shop.fit)}"
    if shop.joints.places:
        places = ", ".join(shown.length(place) for place in shop.joints.places)
        yield "joints across the axis", places, "from the nose; glued and faired before anything else"
    for core in shop.cores:
        prints = [
            f"{shown.length(length)} {side}"
            for length, side in ((core.above, "above"), (core.below, "below"))
            if length is not None
        ]
        bears = f"print {' and '.join(prints)}" if prints else "no print"
        if core.kind == "stud":
            yield core.name, bears, "the stud itself is set in the mould and held down"
        else:
            yield (
                f"core of {'the ' if core.kind == 'pocket' else ''}{core.name}",
                bears,
                "the pattern carries the print; the core is made in its box and set in the mould",
            )
    if shop.plane != "none" and shop.register == "keys":
        lies, other = (
            "the half without keys lies flat",
            "the other half goes on top for the second half of the mould",
        )
        yield "on the moulding board", lies, other
    elif shop.plane != "none":
        lies, other = "both halves lie flat", "the dowels go in when the first half of the mould is made"
        yield "on the moulding board", lies, other


def _pieces(
    job: ShopResults, shop: PatternShop, measured: Measured, picture: PiecesPicture | None
) -> Iterator[Part]:
    shown, printed = job.shown, shop.printer is not None
    if picture is not None and (len(measured.pieces) > 1 or shop.cores):
        from bulbcast.pattern_shop.pieces.views import exploded_view

        yield Picture(
            draw=lambda: exploded_view(picture),
            caption="{title}: exploded view from ahead, above and to port. In the files, the pieces are in bulb axes "
            "and fit together, except in the 3MF files, where each piece is turned as it will be printed.",
        )
    heads = ("piece", "from", "to", "volume", "box", "surface")
    on_bed = ("turned", "plate", "material", "weighs about") if printed else ()
    rows, brief = [], []
    for piece in measured.pieces:
        box = worded("{} x {} x {}", *(shown.length(side) for side in piece.size))
        plate = "" if piece.place is None else str(piece.place.plate)
        volume = shown.volume(piece.volume)
        mass = "" if piece.mass is None else shown.mass(piece.mass)
        material = "" if piece.material_volume is None else shown.volume(piece.material_volume)
        ends = (shown.length(piece.start), shown.length(piece.end))
        row = (piece.name, *ends, volume, box, shown.area(piece.area))
        rows.append((*row, angle_words(piece.angle), plate, material, mass) if printed else row)
        lies = f", {shop.joints.position}, plate {plate}" if plate else ""
        brief.append(
            (piece.name, shown.length(piece.end - piece.start), mass or volume, worded("{}{}", box, lies))
        )
    yield Table(
        rows=rows,
        heads=(*heads, *on_bed),
        figures=(1, 2, 3, 5, 6, 7, 8, 9),
        style="tight",
        caption="Pieces, from the nose",
        only="report",
    )
    if not job.stopped:
        yield Table(rows=brief, figures=(1, 2), only="terminal")
    words = "Positions are measured along the axis from the bulb's nose. "
    if printed:
        words += "The box is the space that the piece occupies on the bed."
    yield Words(text=words, style="caption", only="report")
    lines = [
        (name, volume if amount < 0.0 else worded("+{}", volume))
        for name, amount in measured.lines
        for volume in (shown.volume(amount),)
    ]
    yield Table(
        rows=[
            ("pattern.stl", shown.volume(measured.pattern_volume)),
            *lines,
            ("sum of the pieces", shown.volume(measured.pieces_volume)),
        ],
        heads=("", "volume"),
        total=True,
        caption="From the pattern's volume to that of its pieces",
        only="report",
    )
    gap = abs(measured.ledger_gap)
    met = "less than 1e-9" if gap < 1e-9 else f"{gap:.0e}"
    yield Words(
        text=f"The pieces and the ledger differ by {met} of the pattern's volume.",
        style="caption",
        only="report",
    )


def _draw(
    shop: PatternShop, measured: Measured, picture: PiecesPicture | None, shown: Shown
) -> Iterator[Part]:
    yield Heading(text="Does the pattern draw?", only="report")
    if picture is not None:
        from bulbcast.pattern_shop.pieces.views import draft_view

        yield Picture(
            draw=lambda: draft_view(shop, picture),
            caption="{title}. Draft is the angle between a facet and the pull: darker means steeper. {scale}.",
        )
    rows = [
        (
            row.solid,
            row.pull,
            "none" if row.draw.undercut_area == 0.0 else shown.area(row.draw.undercut_area),
            angle_words(row.draw.smallest),
            shown.length(row.draw.smallest_at[0]),
            shown.area(row.draw.low_area),
            shown.length(row.draw.low_height),
        )
        for row in measured.draws
    ]
    wanted = angle_words(shop.draft)
    heads = (*_DRAW_HEADS, f"below {wanted}", "tallest of these")
    yield Table(rows=rows, heads=heads, figures=(2, 3, 4, 5, 6), style="tight", only="report")
    yield Words(
        text="A round section has no draft at its parting line, but this does no harm because so little height is "
        f"involved. Flat faces need {wanted} of draft. The unparted pattern is listed to show why it has to be parted.",
        style="caption",
        only="report",
    )


def _parting_object(shop: PatternShop) -> Json:
    """Data on the parting, joints, dowels and cores for plan.json, and on the pieces, ledger and draw once the pieces are
    measured."""
    measured = shop.measured
    ledger = (
        ()
        if measured is None
        else (
            ("pattern.stl", measured.pattern_volume),
            *measured.lines,
            ("sum of the pieces", measured.pieces_volume),
        )
    )
    return {
        **values_of(shop, "plane", "offset_m", "register"),
        "dowel_diameter_m": shop.dowel,
        "fit_m": shop.fit,
        "draft_wanted_rad": shop.draft,
        "joints_x_m": list(shop.joints.places),
        "cuts": [
            {"name": cut.name, "start_x_m": cut.start, "end_x_m": cut.end, "cored": cut.in_pattern}
            for cut in shop.cuts
        ],
        "dowels": [
            {
                "kind": pin.kind,
                "across": pin.face,
                "at_m": point(*pin.at),
                "along": pin.along,
                "diameter_m": pin.diameter,
                "hole_diameter_m": pin.hole,
                "depth_m": pin.depth,
            }
            for pin in shop.pins
        ],
        "cores": [
            {"name": core.name, "kind": core.kind, "print_above_m": core.above, "print_below_m": core.below}
            for core in shop.cores
        ],
        "thin_places": [
            {"what": one.name, "where": one.where, "thickness_m": one.thickness} for one in shop.thin
        ],
        "pieces": [] if measured is None else [_piece(piece) for piece in measured.pieces],
        "ledger": [{"name": name, "volume_m3": volume} for name, volume in ledger],
        "draw": [] if measured is None else [_draw_object(row) for row in measured.draws],
    }


def _piece(piece: PieceFigures) -> Json:
    return {
        "name": piece.name,
        "file": piece.file,
        "start_x_m": piece.start,
        "end_x_m": piece.end,
        "volume_m3": piece.volume,
        "area_m2": piece.area,
        "on_bed_m": {"length": piece.size[0], "width": piece.size[1], "height": piece.size[2]},
        "turned_on_bed_rad": piece.angle,
        "plate": None if piece.place is None else piece.place.plate,
        "material_volume_m3": piece.material_volume,
        "material_mass_kg": piece.mass,
    }


def _draw_object(row: DrawRow) -> Json:
    draw = row.draw
    return {
        "solid": row.solid,
        "pull": row.pull,
        "for_comparison": not row.counts,
        "area_m2": draw.area,
        "undercut_area_m2": draw.undercut_area,
        "undercut_at_m": None if draw.undercut_at is None else point(*draw.undercut_at),
        "undercut_rad": draw.undercut_angle,
        "smallest_draft_rad": draw.smallest,
        "smallest_draft_at_m": point(*draw.smallest_at),
        "low_draft_area_m2": draw.low_area,
        "low_draft_height_m": draw.low_height,
    }
