"""Writes pages as PDF: vectors in true millimetres, black on white, reproducible byte for byte.

The page's unit is the millimetre, so the figures in the file are those of the shapes. Lettering is in Helvetica, which
every PDF reader has; missing letters are shown as "?".
"""

from __future__ import annotations

import io
import math
from collections.abc import Sequence
from typing import Any

from bulbcast.drawing import shapes
from bulbcast.drawing.pages import Page, Placed, dimension_shapes
from bulbcast.quantities.frozen import frozen

POINTS = 72.0 / 25.4
"""PDF points per millimetre."""


@frozen
class Look:
    """Appearance of a style on any printer, with or without colour.

    Attributes:
        width: Width of the line; 0 for none. [mm]
        dash: Lengths of dashes and gaps in turn; empty for a continuous line. [mm]
        fill: Shade of grey, from 0 (black) to 1 (white), or None.
    """

    width: float
    dash: tuple[float, ...] = ()
    fill: float | None = None


_FINE = Look(width=0.13)
LOOKS = {
    shapes.Style.CUT: Look(width=0.25),
    shapes.Style.ENGRAVED: Look(width=0.15, dash=(4.0, 0.8, 0.6, 0.8)),
    shapes.Style.REFERENCE: Look(width=0.15, dash=(0.6, 0.7)),
    shapes.Style.LEAD: Look(width=0.42, fill=0.88),
    shapes.Style.FIN: Look(width=0.28, fill=0.98),
    shapes.Style.BEDDING: Look(width=0.12, fill=0.75),
    shapes.Style.PLUG: Look(width=0.18, fill=0.85),
    shapes.Style.SCREW: Look(width=0.20, fill=0.62),
    shapes.Style.HOLE: Look(width=0.20, fill=1.0),
    shapes.Style.SKIN: Look(width=0.20, dash=(1.1, 0.7)),
    shapes.Style.OUTLINE: Look(width=0.42),
    shapes.Style.HIDDEN: Look(width=0.22, dash=(1.4, 0.8)),
    shapes.Style.AXIS: Look(width=0.18, dash=(3.2, 0.8, 0.6, 0.8)),
    shapes.Style.MARK: Look(width=0.12, fill=0.0),
    shapes.Style.PAPER: Look(width=0.20, fill=1.0),
    shapes.Style.FRAME: Look(width=0.20),
    shapes.Style.GRID: Look(width=0.10),
    shapes.Style.BAND: Look(width=0.0, fill=0.93),
    shapes.Style.BREAK: Look(width=0.0, fill=1.0),
    shapes.Style.WALL_ENOUGH: Look(width=0.75),
    shapes.Style.WALL_SHORT: Look(width=1.0, dash=(1.1, 0.5)),
    shapes.Style.CURVE: Look(width=0.55),
    shapes.Style.TOTAL: Look(width=0.20, fill=0.45),
    shapes.Style.MORE: Look(width=0.20, fill=0.5),
    shapes.Style.LESS: Look(width=0.30, fill=1.0),
    shapes.Style.PART_A: Look(width=0.25, fill=0.45),
    shapes.Style.PART_B: Look(width=0.25, fill=0.72),
    shapes.Style.PART_C: Look(width=0.25, fill=0.68),
    shapes.Style.PART_D: Look(width=0.25, fill=0.36),
    shapes.Style.PART_E: Look(width=0.25, fill=0.85),
}
_BOLD = frozenset({shapes.Style.HEADING, shapes.Style.SHORT})


def printable(text: str) -> str:
    """Replace each letter that the typeface lacks with "?"."""
    return text.encode("cp1252", errors="replace").decode("cp1252")


def pdf_bytes(pages: Sequence[Page], *, title: str) -> bytes:
    """Write pages as a PDF file.

    Args:
        pages: Pages in order; each has its own size.
        title: Title of the document.

    Returns:
        The file's bytes. They do not include the time, so the same pages give the same bytes.
    """
    from reportlab.pdfgen.canvas import Canvas

    buffer = io.BytesIO()
    canvas = Canvas(buffer, invariant=1, pageCompression=1)
    canvas.setTitle(printable(title))
    canvas.setCreator("bulbcast")
    canvas.setAuthor("")
    canvas.setViewerPreference("PrintScaling", "None")
    for page in pages:
        canvas.setPageSize((page.paper.width * POINTS, page.paper.height * POINTS))
        canvas.scale(POINTS, POINTS)
        canvas.setLineCap(1)
        canvas.setLineJoin(1)
        for placed in page.placed:
            _place(canvas, placed)
        canvas.showPage()
    canvas.save()
    return buffer.getvalue()


def _place(canvas: Any, placed: Placed) -> None:
    canvas.saveState()
    if placed.clip is not None:
        box = placed.clip
        path = canvas.beginPath()
        path.rect(box.left, box.bottom, box.width, box.height)
        canvas.clipPath(path, stroke=0, fill=0)
    canvas.translate(*placed.at)
    if placed.turned:
        canvas.rotate(90)
    for shape in placed.shapes:
        _paint(canvas, shape)
    canvas.restoreState()


def _paint(canvas: Any, shape: shapes.Shape) -> None:
    if isinstance(shape, shapes.Text):
        _letter(canvas, shape)
        return
    if isinstance(shape, shapes.Dimension):
        lines, heads = dimension_shapes(shape)
        for part in (*lines, *heads):
            _paint(canvas, part)
        _letter(canvas, shapes.dimension_text(shape))
        return
    look = LOOKS.get(shape.style, _FINE)
    canvas.setLineWidth(look.width)
    canvas.setDash(list(look.dash))
    stroke = int(look.width > 0.0)
    filled = look.fill is not None and isinstance(shape, shapes.Region | shapes.Circle)
    if filled:
        canvas.setFillGray(look.fill)
    if isinstance(shape, shapes.Circle):
        canvas.circle(*shape.centre, shape.radius, stroke=stroke, fill=int(filled))
        return
    path = canvas.beginPath()
    if isinstance(shape, shapes.Line):
        _run(path, (shape.start, shape.end))
    elif isinstance(shape, shapes.Polyline):
        _run(path, shape.points)
    else:
        for contour in shape.contours:
            if contour:
                _run(path, contour)
                path.close()
    if isinstance(shape, shapes.Region) and shape.hatch is not None:
        canvas.drawPath(path, stroke=0, fill=int(filled), fillMode=0)
        _hatched(canvas, shape, shape.hatch)
        canvas.drawPath(path, stroke=stroke, fill=0)
        return
    canvas.drawPath(path, stroke=stroke, fill=int(filled), fillMode=0)


def _run(path: Any, points: shapes.Contour) -> None:
    path.moveTo(*points[0])
    for point in points[1:]:
        path.lineTo(*point)


def _hatched(canvas: Any, region: shapes.Region, hatch: shapes.Hatch) -> None:
    """Hatching lines clipped to a region."""
    points = [point for contour in region.contours for point in contour]
    if not points:
        return
    canvas.saveState()
    inside = canvas.beginPath()
    for contour in region.contours:
        _run(inside, contour)
        inside.close()
    canvas.clipPath(inside, stroke=0, fill=0, fillMode=0)
    canvas.setLineWidth(0.1)
    canvas.setDash([])
    turn = math.radians(hatch.angle)
    cosine, sine = math.cos(turn), math.sin(turn)
    along = [x * cosine + y * sine for x, y in points]
    across = [y * cosine - x * sine for x, y in points]
    start, end = min(along), max(along)
    for number in range(math.floor(min(across) / hatch.spacing), math.ceil(max(across) / hatch.spacing) + 1):
        level = number * hatch.spacing
        canvas.line(
            start * cosine - level * sine,
            start * sine + level * cosine,
            end * cosine - level * sine,
            end * sine + level * cosine,
        )
    canvas.restoreState()


def _letter(canvas: Any, text: shapes.Text) -> None:
    canvas.setFillGray(0.25 if text.style is shapes.Style.SMALL else 0.0)
    canvas.setFont("Helvetica-Bold" if text.style in _BOLD else "Helvetica", text.height)
    draw = {
        "start": canvas.drawString,
        "middle": canvas.drawCentredString,
        "end": canvas.drawRightString,
    }[text.anchor]
    words = printable(text.text)
    # The point is the centre of the lettering; the baseline is a third of the height below it.
    if text.angle == 0.0:
        draw(text.at[0], text.at[1] - 0.35 * text.height, words)
        return
    canvas.saveState()
    canvas.translate(*text.at)
    canvas.rotate(text.angle)
    draw(0.0, -0.35 * text.height, words)
    canvas.restoreState()
