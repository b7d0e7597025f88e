"""A template: closed outlines to cut, marks to engrave, lines for reference, and a title and notes.

Coordinates are millimetres at full size, x to the right, y up. The same template is used on paper and in DXF and SVG
files; only the style shows whether a line is cut, engraved or for reference.
"""

from __future__ import annotations

from typing import Literal

import numpy as np
from numpy.typing import NDArray

from bulbcast.drawing.shapes import (
    Box,
    Circle,
    Contour,
    Line,
    Point,
    Polyline,
    Region,
    Shape,
    Style,
    Text,
    text_box,
)
from bulbcast.quantities import Shown
from bulbcast.quantities.frozen import frozen

# Polygons deviate from the true curves by at most a fiftieth of the accuracy of a knife.
CHORD_ERROR = 2e-6
"""Largest distance from an outline to the true curve. [m]"""

LETTER = 3.0
"""Height of the lettering on a template. [mm]"""

MM = 1000.0


@frozen
class Template:
    """One template.

    Attributes:
        name: Name, unique in a job: letters, digits and hyphens.
        family: Group of files that contain it, such as "stations".
        title: Description in a few words.
        notes: Lines of text printed next to it.
        shapes: Regions of style CUT with their closed contours, lines and lettering of style ENGRAVED,
            and lines of style REFERENCE that are neither cut nor engraved.
        on_paper: Whether it is printed; false if a more detailed printed drawing already shows it.
        in_files: Whether the files for the cutting machine contain it.
    """

    name: str
    family: str
    title: str
    notes: tuple[str, ...]
    shapes: tuple[Shape, ...]
    on_paper: bool = True
    in_files: bool = True

    @property
    def outlines(self) -> tuple[Contour, ...]:
        """Return the closed contours to be cut. [mm]"""
        return tuple(
            contour
            for shape in self.shapes
            if isinstance(shape, Region) and shape.style is Style.CUT
            for contour in shape.contours
        )

    @property
    def box(self) -> Box:
        """Return the box around the template's shapes, including lettering. [mm]"""
        return box_of(self.shapes)


def box_of(shapes: tuple[Shape, ...]) -> Box:
    """Return the smallest box around one or more shapes, including lettering. [mm]"""
    found: Box | None = None
    for shape in shapes:
        box = _box(shape)
        found = box if found is None else found.joined(box)
    if found is None:
        raise ValueError("There are no shapes to put a box around.")
    return found


def _box(shape: Shape) -> Box:
    if isinstance(shape, Text):
        return text_box(shape)
    if isinstance(shape, Circle):
        x, y = shape.centre
        return Box(left=x, bottom=y, right=x, top=y).grown(shape.radius)
    points: list[Point] = []
    if isinstance(shape, Line):
        points = [shape.start, shape.end]
    elif isinstance(shape, Polyline):
        points = list(shape.points)
    elif isinstance(shape, Region):
        points = [point for contour in shape.contours for point in contour]
    else:
        points = [shape.first, shape.second, shape.text_at]
    xs, ys = [x for x, _ in points], [y for _, y in points]
    return Box(left=min(xs), bottom=min(ys), right=max(xs), top=max(ys))


def contour_mm(points: NDArray[np.float64]) -> Contour:
    """Convert points in metres, shape (n, 2), to a contour. [mm]"""
    return tuple((MM * float(x), MM * float(y)) for x, y in points)


def cut(*contours: Contour) -> Region:
    """Return a region to be cut, bounded by closed contours; a contour inside another is a hole. [mm]"""
    return Region(contours=contours, style=Style.CUT)


def marked(*points: Point) -> Polyline:
    """Return a line to be engraved. [mm]"""
    return Polyline(points=points, style=Style.ENGRAVED)


def seen(*points: Point) -> Polyline:
    """Return a reference line through the points. [mm]"""
    return Polyline(points=points, style=Style.REFERENCE)


def lettered(
    at: Point,
    text: str,
    *,
    height: float = LETTER,
    angle: float = 0.0,
    anchor: Literal["start", "middle"] = "middle",
) -> Text:
    """Return lettering to be engraved, with its centre or its start at a given point. [mm]"""
    return Text(at=at, text=text, height=height, style=Style.ENGRAVED, angle=angle, anchor=anchor)


def rectangle(left: float, bottom: float, right: float, top: float) -> Contour:
    """Return the corners of a rectangle, counter-clockwise from the lower left. [mm]"""
    return ((left, bottom), (right, bottom), (right, top), (left, top))


def board_border(size: float) -> float:
    """Return the width of card or plywood left around a cut-out of a given size. [mm]"""
    return min(max(0.12 * size, 10.0), 15.0)


def clear_of(text: Text, outline: Contour) -> bool:
    """Whether lettering is clear of all lines of a closed outline."""
    if not outline:
        return True
    from shapely import LinearRing
    from shapely import box as rectangle

    box = text_box(text)
    return not LinearRing(outline).intersects(rectangle(box.left, box.bottom, box.right, box.top))


def both_units(metres: float) -> str:
    """Format a length in millimetres and in inches, regardless of the plan's units: "120.0 mm (4 23/32 in)"."""
    return Shown("metric").length_both(metres)
