"""Views of a pattern's pieces: an exploded view, a view shaded by angle of draft, and their layout on the printer's bed."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

from bulbcast.bulb.views.outlines import MM
from bulbcast.drawing import shapes
from bulbcast.drawing.layout import PAPER_WIDTH, Label, Layout, nice_scale
from bulbcast.pattern_shop.pieces.picture import DRAFT_BANDS, PiecesPicture
from bulbcast.pattern_shop.results import ShopResults
from bulbcast.pattern_shop.shop import PatternShop, PieceFigures
from bulbcast.quantities import Shown

_DRAFT_STYLES = (
    shapes.Style.DRAFT_UNDERCUT,
    shapes.Style.DRAFT_LOW,
    shapes.Style.DRAFT_SMALL,
    shapes.Style.DRAFT_SOME,
    shapes.Style.DRAFT_AMPLE,
    shapes.Style.DRAFT_FULL,
)
_SWATCH, _ROW = 8.0, 5.2
_EXPLODED = 140.0
"""Width of the exploded view, which has no scale. The view is wide enough for the holes to show and low enough to share
a page. [mm]"""
_MOST_PLATES_ABREAST = 3


def _box_of(contours: tuple[shapes.Contour, ...]) -> shapes.Box:
    xs = [x for contour in contours for x, _ in contour]
    ys = [y for contour in contours for _, y in contour]
    return shapes.Box(left=min(xs), bottom=min(ys), right=max(xs), top=max(ys))


def _levels(contours: tuple[shapes.Contour, ...], at: float) -> list[float]:
    """Heights at which contours cross a vertical line."""
    levels = []
    for contour in contours:
        for (x0, y0), (x1, y1) in pairwise((*contour, contour[0])):
            if x0 != x1 and min(x0, x1) <= at <= max(x0, x1):
                levels.append(y0 + (y1 - y0) * (at - x0) / (x1 - x0))
    return levels


def exploded_view(picture: PiecesPicture) -> shapes.View:
    """Exploded view of the pieces from ahead, above and port, with loose dowels between them.

    Args:
        picture: Outlines of the pieces.
    """
    whole = _box_of(tuple(contour for look in picture.looks for contour in look.outline))
    layout = Layout(_EXPLODED / whole.width)
    layout.extend(whole)
    # The lines of the dowels come first, since every piece covers what is behind it.
    for pin in picture.pins:
        layout.add(shapes.Line(start=pin.way[0], end=pin.way[1], style=shapes.Style.AXIS))
    above: list[Label] = []
    below: list[Label] = []
    for look in picture.looks:
        layout.add(shapes.Region(contours=look.outline, style=shapes.Style.PATTERN))
        for curve in look.curves:
            layout.add(shapes.Polyline(points=curve, style=shapes.Style.LEADER))
        for face in look.faces:
            layout.add(shapes.Region(contours=face, style=shapes.Style.PATTERN_FACE))
        middle = _box_of(look.outline).middle[0]
        edge = (max if look.first else min)(_levels(look.outline, middle))
        label = Label(point=(middle, edge), lines=(look.name,))
        (above if look.first else below).append(label)
    for pin in picture.pins:
        layout.add(shapes.Region(contours=(pin.outline,), style=shapes.Style.DOWEL))
    gap, ends = layout.paper(2.0), {"low": whole.left, "high": whole.right}
    layout.running(above, level=whole.top + gap, upwards=1, **ends)
    layout.running(below, level=whole.bottom - gap, upwards=-1, **ends)
    count = len(picture.looks)
    return layout.view(
        "pieces", f"The pattern in {count} pieces" if count > 1 else "The pattern in one piece"
    )


def draft_view(shop: PatternShop, picture: PiecesPicture) -> shapes.View:
    """View of both halves at right angles to their pull, with facets shaded by their draft.

    Args:
        shop: The pattern shop.
        picture: Bands of draft.
    """
    whole = _box_of(picture.draft_outline)
    layout = Layout(nice_scale((PAPER_WIDTH - 30.0) / whole.width))
    half = layout.paper(0.5 * (PAPER_WIDTH - 4.0))
    middle, level = whole.middle[0], MM * shop.offset
    layout.extend(replace(whole, left=middle - half, right=middle + half))
    # The gentlest facets come first, so that the steep ones and the undercut are painted last and stay visible.
    for band in sorted(picture.draft, key=lambda one: -one.band):
        hatch = shapes.Hatch(spacing=layout.paper(1.0), angle=45.0) if band.band == 0 else None
        layout.add(shapes.Region(contours=band.contours, style=_DRAFT_STYLES[band.band], hatch=hatch))
    for contour in picture.draft_outline:
        layout.add(shapes.Polyline(points=(*contour, contour[0]), style=shapes.Style.OUTLINE))
    reach = layout.paper(5.0)
    start = (whole.left - reach, level)
    layout.add(shapes.Line(start=start, end=(whole.right + reach, level), style=shapes.Style.AXIS))
    for sign in (1.0, -1.0):
        _pull(layout, start, sign)
    _draft_legend(layout, picture, middle - half, whole.bottom - layout.paper(6.0))
    side = "from above" if shop.plane == "vertical" else "from port"
    return layout.view("draft", f"{draft_words(picture)}; seen {side}")


def draft_words(picture: PiecesPicture) -> str:
    """One line that says how the pattern leaves its mould.

    Args:
        picture: Bands of draft.
    """
    least = min(band.band for band in picture.draft)
    if least == 0:
        return "Part of the pattern is undercut and would be caught in the mould"
    return f"The pattern comes out of the mould: the smallest draft is {band_words(least)}"


def _pull(layout: Layout, at: shapes.Point, sign: float) -> None:
    """Arrow in the direction in which the mould is pulled, up or down."""
    x, y = at
    tip, wing = y + sign * layout.paper(7.0), layout.paper(0.8)
    back = tip - sign * 2.4 * wing
    layout.add(
        shapes.Line(start=at, end=(x, tip), style=shapes.Style.DIMENSION),
        shapes.Region(contours=(((x, tip), (x - wing, back), (x + wing, back)),), style=shapes.Style.MARK),
    )
    layout.extend(shapes.Box(left=x - wing, bottom=min(y, tip), right=x + wing, top=max(y, tip)))


def band_words(band: int) -> str:
    """Return the label of a draft band.

    Args:
        band: 0 for undercuts, 1 for the band with the smallest draft, and so on.
    """
    if band == 0:
        return "undercut: caught in the mould"
    low = DRAFT_BANDS[band - 1]
    if band == len(DRAFT_BANDS):
        return f"{low:g} deg or more"
    return f"{low:g} to {DRAFT_BANDS[band]:g} deg"


def _draft_legend(layout: Layout, picture: PiecesPicture, left: float, top: float) -> None:
    x, level = left, top
    width, gap = layout.paper(PAPER_WIDTH - 6.0), layout.paper(1.5)
    for band in sorted({band.band for band in picture.draft}):
        words = band_words(band)
        size = layout.paper(_SWATCH + 1.5 + 4.0) + shapes.text_width(words, layout.letter)
        if x > left and x + size > left + width:
            x, level = left, level - layout.paper(_ROW)
        end = x + layout.paper(_SWATCH)
        corners = shapes.Box(left=x, bottom=level - gap, right=end, top=level + gap).corners
        hatch = shapes.Hatch(spacing=layout.paper(1.0), angle=45.0) if band == 0 else None
        layout.add(shapes.Region(contours=(corners,), style=_DRAFT_STYLES[band], hatch=hatch))
        layout.add(shapes.Polyline(points=(*corners, corners[0]), style=shapes.Style.FRAME))
        layout.text(shapes.Text(at=(end + gap, level), text=words, height=layout.letter, anchor="start"))
        x += size
    layout.extend(shapes.Box(left=left, bottom=level - layout.paper(2.0), right=left + width, top=top))


def bed_view(job: ShopResults, picture: PiecesPicture) -> shapes.View | None:
    """View of the pieces on the printer's bed, plate by plate; None without [printer].

    Args:
        job: The results, with the pattern's pieces measured.
        picture: Footprints.
    """
    shop = job.shop
    if shop is None or shop.bed is None or shop.printer is None or shop.measured is None:
        return None
    long, short = sorted((MM * shop.printer.bed_length, MM * shop.printer.bed_width), reverse=True)
    pieces = [piece for piece in shop.measured.pieces if piece.place is not None]
    plates = max(piece.place.plate for piece in pieces if piece.place is not None)
    abreast = min(plates, _MOST_PLATES_ABREAST)
    gap = 0.06 * long
    layout = Layout(nice_scale((PAPER_WIDTH - 4.0) / max(abreast * long + (abreast - 1) * gap, 1.6 * long)))
    foot = 0.0
    for plate in range(1, plates + 1):
        row, column = divmod(plate - 1, abreast)
        left, foot = column * (long + gap), -row * (short + gap + layout.paper(6.0))
        bed = shapes.Box(left=left, bottom=foot, right=left + long, top=foot + short)
        layout.extend(bed)
        inside = bed.grown(-MM * shop.printer.margin)
        layout.add(shapes.Region(contours=(bed.corners,), style=shapes.Style.BED))
        layout.add(shapes.Region(contours=(inside.corners,), style=shapes.Style.HIDDEN))
        at, words = (left, bed.top + layout.paper(2.4)), f"plate {plate}"
        layout.text(
            shapes.Text(at=at, text=words, height=layout.letter, anchor="start", style=shapes.Style.HEADING)
        )
        for piece in pieces:
            if piece.place is not None and piece.place.plate == plate:
                corner = (inside.left + MM * piece.place.x, inside.bottom + MM * piece.place.y)
                _lying(layout, piece, picture.footprints[piece.name], corner, job.shown)
    width, below = job.shown.length(long / MM), foot - layout.paper(4.0)
    layout.horizontal((0.0, foot), (long, foot), width, start=below, outwards=-1)
    on = "one plate" if plates == 1 else f"{plates} plates"
    what = "One piece" if len(pieces) == 1 else f"{len(pieces)} pieces"
    return layout.view("bed", f"{what} on {on} of the printer")


def _lying(
    layout: Layout,
    piece: PieceFigures,
    footprint: tuple[shapes.Contour, ...],
    corner: shapes.Point,
    shown: Shown,
) -> None:
    """Draw one piece on its bed, with its name if there is room."""
    contours = tuple(tuple((corner[0] + x, corner[1] + y) for x, y in contour) for contour in footprint)
    layout.add(shapes.Region(contours=contours, style=shapes.Style.PATTERN))
    x, y = _box_of(contours).middle
    lines = (
        (piece.name, shapes.Style.LETTERING),
        (f"{shown.length(piece.size[2])} high", shapes.Style.SMALL),
    )
    upright = max(shapes.text_width(line, layout.letter) for line, _ in lines) > MM * piece.size[0]
    for number, (line, style) in enumerate(lines):
        off = (0.5 - number) * 1.3 * layout.letter
        at, angle = ((x - off, y), 90.0) if upright else ((x, y + off), 0.0)
        layout.text(shapes.Text(at=at, text=line, height=layout.letter, angle=angle, style=style))
