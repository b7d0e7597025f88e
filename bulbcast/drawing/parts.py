"""Templates as flat lines on a sheet for a cutting machine, with the same geometry in every file format.

Parts are laid out side by side without overlap. Curves are polygons and lettering consists of single strokes, so a file
contains only lines and does not depend on a typeface.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from functools import cache
from typing import Any

from bulbcast.drawing import shapes
from bulbcast.drawing.template import Template
from bulbcast.quantities.frozen import frozen

LAYERS = {shapes.Style.CUT: "cut", shapes.Style.ENGRAVED: "engrave", shapes.Style.REFERENCE: "reference"}
"""Layer in the files for each style."""

_GAP, _EDGE, _WIDEST, _TITLE = 8.0, 2.0, 600.0, 3.0
_CHORD_ERROR = 0.002


@frozen
class SheetLine:
    """A line on a sheet.

    Attributes:
        layer: "cut", "engrave" or "reference".
        points: Points in order; the first point of a closed line is not repeated. [mm]
        closed: Whether the last point joins the first.
    """

    layer: str
    points: shapes.Contour
    closed: bool


@frozen
class Sheet:
    """All lines of one file, with the origin at the lower left corner. [mm]"""

    width: float
    height: float
    lines: tuple[SheetLine, ...]


def sheet_of(templates: Sequence[Template]) -> Sheet:
    """Lay out templates on a sheet, each with its title below it on the reference layer.

    Args:
        templates: One or more templates.
    """
    blocks = []
    for template in templates:
        box = template.box
        title = shapes.Text(
            at=(box.left, box.bottom - 1.2 * _TITLE),
            text=template.title,
            height=_TITLE,
            style=shapes.Style.REFERENCE,
            anchor="start",
        )
        lines = [line for shape in (*template.shapes, title) for line in _lines(shape)]
        blocks.append((lines, _extent(lines)))
    widest = max(_WIDEST, *(box.width for _, box in blocks))
    placed: list[SheetLine] = []
    left = top = shelf = used = 0.0
    # Shelves grow downwards from zero; everything is shifted into the first quadrant afterwards.
    for lines, box in blocks:
        if left > 0.0 and left + box.width > widest:
            left, top, shelf = 0.0, top - shelf - _GAP, 0.0
        move = (left - box.left, top - box.top)
        placed += [_moved(line, move) for line in lines]
        left += box.width + _GAP
        used = max(used, left - _GAP)
        shelf = max(shelf, box.height)
    height = shelf - top
    return Sheet(
        width=used + 2.0 * _EDGE,
        height=height + 2.0 * _EDGE,
        lines=tuple(_moved(line, (_EDGE, height + _EDGE)) for line in placed),
    )


def _extent(lines: Sequence[SheetLine]) -> shapes.Box:
    xs = [x for line in lines for x, _ in line.points]
    ys = [y for line in lines for _, y in line.points]
    return shapes.Box(left=min(xs), bottom=min(ys), right=max(xs), top=max(ys))


def _moved(line: SheetLine, by: shapes.Point) -> SheetLine:
    return SheetLine(
        layer=line.layer,
        points=tuple((x + by[0], y + by[1]) for x, y in line.points),
        closed=line.closed,
    )


def _lines(shape: shapes.Shape) -> list[SheetLine]:
    if isinstance(shape, shapes.Text):
        return _strokes(shape)
    layer = LAYERS.get(shape.style) if not isinstance(shape, shapes.Dimension) else None
    if layer is None:
        raise ValueError(f"A template cannot contain this shape: {shape}")
    if isinstance(shape, shapes.Region):
        return [SheetLine(layer=layer, points=contour, closed=True) for contour in shape.contours]
    if isinstance(shape, shapes.Circle):
        return [SheetLine(layer=layer, points=_polygon(shape), closed=True)]
    if isinstance(shape, shapes.Line):
        return [SheetLine(layer=layer, points=(shape.start, shape.end), closed=False)]
    if isinstance(shape, shapes.Polyline):
        closed = len(shape.points) > 3 and shape.points[0] == shape.points[-1]
        points = shape.points[:-1] if closed else shape.points
        return [SheetLine(layer=layer, points=points, closed=closed)]
    raise ValueError("A template cannot contain dimensions.")


def _polygon(circle: shapes.Circle) -> shapes.Contour:
    share = min(_CHORD_ERROR / circle.radius, 0.5)
    count = max(24, 4 * math.ceil(0.25 * math.pi / math.acos(1.0 - share)))
    x, y = circle.centre
    return tuple(
        (
            x + circle.radius * math.cos(2.0 * math.pi * number / count),
            y + circle.radius * math.sin(2.0 * math.pi * number / count),
        )
        for number in range(count)
    )


@cache
def _face() -> Any:
    """Return single-stroke letters with a height of 1 from the descender line to the top of the capitals."""
    from HersheyFonts import HersheyFonts

    face = HersheyFonts()
    face.load_default_font("futural")
    face.normalize_rendering(1.0)
    return face


@cache
def _letters(text: str) -> tuple[shapes.Contour, ...]:
    return tuple(tuple((float(x), float(y)) for x, y in stroke) for stroke in _face().strokes_for_text(text))


# The capitals extend between these heights, for a total height of 1.
_BASE, _CAPITAL = 0.25, 1.0


def _strokes(text: shapes.Text) -> list[SheetLine]:
    """Convert lettering to single strokes, centred at the text's position."""
    strokes = _letters(text.text)
    if not strokes:
        return []
    width = max(x for stroke in strokes for x, _ in stroke)
    along = {"start": 0.0, "middle": -0.5 * width, "end": -width}[text.anchor]
    turn = math.radians(text.angle)
    cosine, sine = math.cos(turn), math.sin(turn)
    layer = "reference" if text.style is shapes.Style.REFERENCE else "engrave"
    found = []
    for stroke in strokes:
        points = []
        for x, y in stroke:
            u = text.height * (x + along)
            v = text.height * (y - 0.5 * (_BASE + _CAPITAL))
            points.append((text.at[0] + u * cosine - v * sine, text.at[1] + u * sine + v * cosine))
        if len(points) > 1:
            found.append(SheetLine(layer=layer, points=tuple(points), closed=False))
    return found
