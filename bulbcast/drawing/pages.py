"""Pages of paper with shapes placed on them, for use by any writer of printed pages."""

from __future__ import annotations

from bulbcast.drawing.shapes import Box, Dimension, Line, Point, Polyline, Region, Shape, Style
from bulbcast.quantities.frozen import frozen


@frozen
class Paper:
    """A paper size, portrait or landscape.

    Attributes:
        name: Name used by printers.
        width: Width. [mm]
        height: Height. [mm]
    """

    name: str
    width: float
    height: float

    @property
    def lying(self) -> Paper:
        """Return the same paper in landscape."""
        return Paper(name=f"{self.name}, landscape", width=self.height, height=self.width)


# ISO 216:2007 (A series); ANSI/ASME Y14.1 size A, known in offices as Letter.
PAPERS = {
    "A4": Paper(name="A4", width=210.0, height=297.0),
    "A3": Paper(name="A3", width=297.0, height=420.0),
    "letter": Paper(name="Letter", width=215.9, height=279.4),
}


@frozen
class Placed:
    """Shapes on a page.

    Attributes:
        shapes: Shapes in their own coordinates. [mm]
        at: Position of their origin on the page. [mm]
        turned: Whether they are turned 90 degrees to the left about that origin.
        clip: Part of the page to which printing is limited, or None. [mm]
    """

    shapes: tuple[Shape, ...]
    at: Point = (0.0, 0.0)
    turned: bool = False
    clip: Box | None = None


@frozen
class Page:
    """One page, with its origin at the lower left corner.

    Attributes:
        paper: Size of the page.
        title: Title of the contents.
        placed: Placed shapes, in painting order.
    """

    paper: Paper
    title: str
    placed: tuple[Placed, ...]


def dimension_shapes(one: Dimension) -> tuple[tuple[Line | Polyline, ...], tuple[Region, ...]]:
    """Return the lines and arrow heads of a dimension, without its lettering.

    Args:
        one: The dimension.

    Returns:
        Extension lines and dimension line; arrow heads.
    """
    level = one.direction == "horizontal"
    h = one.height
    along, across = (0, 1) if level else (1, 0)
    low, high = sorted((one.first[along], one.second[along]))
    arrow = 0.9 * h

    def point(a: float, b: float) -> Point:
        return (a, b) if level else (b, a)

    lines: list[Line | Polyline] = []
    for measured in (one.first, one.second):
        away = 1.0 if one.line_at >= measured[across] else -1.0
        if abs(one.line_at - measured[across]) > 0.5 * h:
            lines.append(
                Line(
                    start=point(measured[along], measured[across] + away * 0.3 * h),
                    end=point(measured[along], one.line_at + away * 0.5 * h),
                    style=Style.DIMENSION,
                )
            )
    spare = 2.4 * arrow if one.outside else 0.0
    start, end = low - spare, high + spare
    if one.reach is not None:
        start, end = min(start, one.reach), max(end, one.reach)
    lines.append(Polyline(points=(point(start, one.line_at), point(end, one.line_at)), style=Style.DIMENSION))
    heads = []
    for tip, turn in ((low, 1.0), (high, -1.0)):
        back = tip + (-turn if one.outside else turn) * arrow
        corners = (
            point(tip, one.line_at),
            point(back, one.line_at + 0.16 * arrow),
            point(back, one.line_at - 0.16 * arrow),
        )
        heads.append(Region(contours=(corners,), style=Style.MARK))
    return tuple(lines), tuple(heads)
