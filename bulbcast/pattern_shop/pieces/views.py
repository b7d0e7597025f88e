"""Views of a pattern's pieces: drawn apart, by angle of draft, and as they lie on the printer's bed."""

from __future__ import annotations

from bulbcast.bulb.views.outlines import MM
from bulbcast.drawing.layout import PAPER_WIDTH, Label, Layout, nice_scale
from bulbcast.drawing.shapes import (
    Box,
    Contour,
    Hatch,
    Line,
    Point,
    Polyline,
    Region,
    Style,
    Text,
    View,
    text_width,
)
from bulbcast.pattern_shop.pieces.picture import DRAFT_BANDS, PiecesPicture
from bulbcast.pattern_shop.results import ShopResults
from bulbcast.pattern_shop.shop import Measured, PatternShop

_SIDES = 6.0
_DRAFT_STYLES = (
    Style.DRAFT_UNDERCUT,
    Style.DRAFT_LOW,
    Style.DRAFT_SMALL,
    Style.DRAFT_SOME,
    Style.DRAFT_AMPLE,
    Style.DRAFT_FULL,
)
_SWATCH, _ROW = 8.0, 5.2
_MOST_PLATES_ABREAST = 3


def _box_of(contours: tuple[Contour, ...]) -> Box:
    xs = [x for contour in contours for x, _ in contour]
    ys = [y for contour in contours for _, y in contour]
    return Box(left=min(xs), bottom=min(ys), right=max(xs), top=max(ys))


def _middle(box: Box) -> Point:
    return 0.5 * (box.left + box.right), 0.5 * (box.bottom + box.top)


def exploded_view(picture: PiecesPicture) -> View:
    """The pieces drawn apart, from ahead, above and port, loose dowels on their way between them.

    Args:
        picture: Outlines of the pieces.
    """
    whole = _box_of(tuple(contour for look in picture.looks for contour in look.outline))
    layout = Layout(nice_scale((PAPER_WIDTH - 2.0 * _SIDES) / whole.width))
    layout.extend(whole)
    # Ways first: every piece covers what runs behind it.
    for pin in picture.pins:
        layout.add(Line(start=pin.way[0], end=pin.way[1], style=Style.AXIS))
    above: list[Label] = []
    below: list[Label] = []
    for look in picture.looks:
        layout.add(Region(contours=look.outline, style=Style.PATTERN))
        for curve in look.curves:
            layout.add(Polyline(points=curve, style=Style.LEADER))
        for face in look.faces:
            layout.add(Region(contours=face, style=Style.PATTERN_FACE))
        box = _box_of(look.outline)
        place = max if look.first else min
        edge = place((point for contour in look.outline for point in contour), key=lambda one: one[1])
        label = Label(point=(_middle(box)[0], edge[1]), lines=(look.name,))
        (above if look.first else below).append(label)
    for pin in picture.pins:
        layout.add(Region(contours=(pin.outline,), style=Style.DOWEL))
    layout.running(above, level=whole.top + layout.paper(2.0), upwards=1, low=whole.left, high=whole.right)
    layout.running(
        below, level=whole.bottom - layout.paper(2.0), upwards=-1, low=whole.left, high=whole.right
    )
    return layout.view("pieces", "The pattern's pieces drawn apart")


def draft_view(shop: PatternShop, picture: PiecesPicture) -> View:
    """Both halves square to their pull, facets by the angle they leave the mould at.

    Args:
        shop: The pattern shop.
        picture: Bands of draft.
    """
    whole = _box_of(picture.draft_outline)
    layout = Layout(nice_scale((PAPER_WIDTH - 30.0) / whole.width))
    half = 0.5 * (PAPER_WIDTH - 4.0)
    middle, level = _middle(whole)[0], MM * shop.offset
    layout.extend(
        Box(
            left=middle - layout.paper(half),
            bottom=whole.bottom,
            right=middle + layout.paper(half),
            top=whole.top,
        )
    )
    # The gentlest first, so that the steep and the undercut are painted last and stay in sight.
    for band in sorted(picture.draft, key=lambda one: -one.band):
        hatch = Hatch(spacing=layout.paper(1.0), angle=45.0) if band.band == 0 else None
        layout.add(Region(contours=band.contours, style=_DRAFT_STYLES[band.band], hatch=hatch))
    for contour in picture.draft_outline:
        layout.add(Polyline(points=(*contour, contour[0]), style=Style.OUTLINE))
    reach = layout.paper(5.0)
    layout.add(
        Line(start=(whole.left - reach, level), end=(whole.right + reach, level), style=Style.AXIS),
    )
    _pull(layout, (whole.left - reach, level), up=True)
    _pull(layout, (whole.left - reach, level), up=False)
    top = whole.bottom - layout.paper(6.0)
    _draft_legend(layout, picture, middle - layout.paper(half), top)
    side = "from above" if shop.plane == "vertical" else "from port"
    return layout.view("draft", f"Angle of draft of every facet, seen {side}")


def _pull(layout: Layout, at: Point, *, up: bool) -> None:
    """An arrow along which the mould leaves."""
    sign = 1.0 if up else -1.0
    x, y = at
    tip = y + sign * layout.paper(7.0)
    wing = layout.paper(0.8)
    layout.add(
        Line(start=(x, y), end=(x, tip), style=Style.DIMENSION),
        Region(
            contours=(((x, tip), (x - wing, tip - sign * 2.4 * wing), (x + wing, tip - sign * 2.4 * wing)),),
            style=Style.MARK,
        ),
    )
    layout.extend(Box(left=x - wing, bottom=min(y, tip), right=x + wing, top=max(y, tip)))


def band_words(band: int) -> str:
    """What a band of draft stands for.

    Args:
        band: 0 for the undercut, then from the steepest.
    """
    if band == 0:
        return "undercut: caught in the mould"
    low = DRAFT_BANDS[band - 1]
    if band == len(DRAFT_BANDS):
        return f"{low:g} deg or more"
    return f"{low:g} to {DRAFT_BANDS[band]:g} deg"


def _draft_legend(layout: Layout, picture: PiecesPicture, left: float, top: float) -> None:
    found = {band.band for band in picture.draft}
    x, level = left, top
    width = layout.paper(PAPER_WIDTH - 6.0)
    for band in range(len(DRAFT_BANDS) + 1):
        if band not in found:
            continue
        words = band_words(band)
        size = layout.paper(_SWATCH + 1.5 + 4.0) + text_width(words, layout.letter)
        if x > left and x + size > left + width:
            x, level = left, level - layout.paper(_ROW)
        end, high, low = x + layout.paper(_SWATCH), level + layout.paper(1.5), level - layout.paper(1.5)
        corners = ((x, low), (end, low), (end, high), (x, high))
        hatch = Hatch(spacing=layout.paper(1.0), angle=45.0) if band == 0 else None
        layout.add(Region(contours=(corners,), style=_DRAFT_STYLES[band], hatch=hatch))
        layout.add(Polyline(points=(*corners, corners[0]), style=Style.FRAME))
        layout.text(
            Text(at=(end + layout.paper(1.5), level), text=words, height=layout.letter, anchor="start")
        )
        x += size
    layout.extend(Box(left=left, bottom=level - layout.paper(2.0), right=left + width, top=top))


def bed_view(job: ShopResults, picture: PiecesPicture) -> View | None:
    """The pieces on the printer's bed, plate by plate; None without [printer].

    Args:
        job: With its pattern shop measured.
        picture: Footprints.
    """
    shop = job.shop
    if shop is None or shop.bed is None or shop.printer is None or shop.measured is None:
        return None
    printer = shop.printer
    sides = sorted((MM * printer.bed_length, MM * printer.bed_width), reverse=True)
    margin = MM * printer.margin
    plates = max(piece.place.plate for piece in shop.measured.pieces if piece.place is not None)
    abreast = min(plates, _MOST_PLATES_ABREAST)
    gap = 0.06 * sides[0]
    scale = nice_scale((PAPER_WIDTH - 4.0) / max(abreast * sides[0] + (abreast - 1) * gap, 1.6 * sides[0]))
    layout, foot = Layout(scale), 0.0
    for plate in range(1, plates + 1):
        column, row = (plate - 1) % abreast, (plate - 1) // abreast
        left = column * (sides[0] + gap)
        foot = -row * (sides[1] + gap + layout.paper(6.0))
        _plate(layout, shop.measured, picture, plate, (left, foot), sides, margin, job)
    layout.horizontal(
        (0.0, foot),
        (sides[0], foot),
        job.shown.length(sides[0] / MM),
        start=foot - layout.paper(4.0),
        outwards=-1,
    )
    return layout.view("bed", "The pieces on the printer's bed")


def _plate(
    layout: Layout,
    measured: Measured,
    picture: PiecesPicture,
    plate: int,
    corner: Point,
    sides: list[float],
    margin: float,
    job: ShopResults,
) -> None:
    left, foot = corner
    box = Box(left=left, bottom=foot, right=left + sides[0], top=foot + sides[1])
    layout.extend(box)
    for edge, style in ((box, Style.BED), (box.grown(-margin), Style.HIDDEN)):
        corners = (
            (edge.left, edge.bottom),
            (edge.right, edge.bottom),
            (edge.right, edge.top),
            (edge.left, edge.top),
        )
        layout.add(Region(contours=(corners,), style=style))
    layout.text(
        Text(
            at=(left, box.top + layout.paper(2.4)),
            text=f"plate {plate}",
            height=layout.letter,
            anchor="start",
            style=Style.HEADING,
        )
    )
    for piece in measured.pieces:
        if piece.place is None or piece.place.plate != plate:
            continue
        at = (left + margin + MM * piece.place.x, foot + margin + MM * piece.place.y)
        contours = tuple(
            tuple((at[0] + x, at[1] + y) for x, y in contour) for contour in picture.footprints[piece.name]
        )
        layout.add(Region(contours=contours, style=Style.PATTERN))
        middle = _middle(_box_of(contours))
        width = MM * piece.size[0]
        lines = [piece.name, f"{job.shown.length(piece.size[2])} high"]
        upright = max(text_width(line, layout.letter) for line in lines) > width
        for number, line in enumerate(lines):
            off = (0.5 - number) * 1.3 * layout.letter
            layout.text(
                Text(
                    at=(middle[0] - off, middle[1]) if upright else (middle[0], middle[1] + off),
                    text=line,
                    height=layout.letter,
                    angle=90.0 if upright else 0.0,
                    style=Style.LETTERING if number == 0 else Style.SMALL,
                )
            )
