"""Parts of a view: plain 2-D shapes with dimensions, independent of any file format.

Coordinates are millimetres on the object, x to the right and y up. The size of lettering is given in the same
millimetres. `View.scale` is the scale for which the view was laid out, so a height of 2.5 / scale becomes 2.5 mm on
paper. Shapes are painted in order: a later shape covers an earlier one.
"""

from __future__ import annotations

from enum import StrEnum
from typing import Literal

from bulbcast.quantities.frozen import frozen

Point = tuple[float, float]
Contour = tuple[Point, ...]
Anchor = Literal["start", "middle", "end"]


def rectangle(left: float, bottom: float, right: float, top: float) -> Contour:
    """Return the corners of a rectangle, counter-clockwise. [mm]"""
    return ((left, bottom), (right, bottom), (right, top), (left, top))


class Style(StrEnum):
    """Meaning of a shape; the writers decide how it looks."""

    LEAD = "lead"
    FIN = "fin"
    BEDDING = "bedding"
    PLUG = "plug"
    SCREW = "screw"
    WASHER = "washer"
    HOLE = "hole"
    SKIN = "skin"
    OUTLINE = "outline"
    HIDDEN = "hidden"
    AXIS = "axis"
    MARK = "mark"
    PAPER = "paper"
    DIMENSION = "dimension"
    LEADER = "leader"
    LETTERING = "lettering"
    SMALL = "small"
    HEADING = "heading"
    INSIDE = "inside"
    SHORT = "short"
    WALL_ENOUGH = "wall-enough"
    WALL_SHORT = "wall-short"
    CURVE = "curve"
    BAND = "band"
    GRID = "grid"
    FRAME = "frame"
    TOTAL = "total"
    MORE = "more"
    LESS = "less"
    BREAK = "break"
    HULL = "hull"
    WATER = "water"
    FLOATS = "floats"
    REACH = "reach"
    PLASTER = "plaster"
    SAND = "sand"
    PARTING = "parting"
    PART_A = "part-a"
    PART_B = "part-b"
    PART_C = "part-c"
    PART_D = "part-d"
    PART_E = "part-e"
    MOULD = "mould"
    HEAT_1 = "heat-1"
    HEAT_2 = "heat-2"
    HEAT_3 = "heat-3"
    HEAT_4 = "heat-4"
    HEAT_5 = "heat-5"
    HEAT_6 = "heat-6"
    HEAT_7 = "heat-7"
    HEAT_8 = "heat-8"
    FROZEN = "frozen"
    MUSHY = "mushy"
    LIQUID = "liquid"
    RING = "ring"
    VOID = "void"
    CURVE_2 = "curve-2"
    CURVE_3 = "curve-3"
    CURVE_4 = "curve-4"
    PATTERN = "pattern"
    PATTERN_FACE = "pattern-face"
    DOWEL = "dowel"
    BOARD = "board"
    BED = "bed"
    DRAFT_UNDERCUT = "draft-undercut"
    DRAFT_LOW = "draft-low"
    DRAFT_SMALL = "draft-small"
    DRAFT_SOME = "draft-some"
    DRAFT_AMPLE = "draft-ample"
    DRAFT_FULL = "draft-full"
    CUT = "cut"
    ENGRAVED = "engraved"
    REFERENCE = "reference"
    ARROW = "force"
    ARROW_2 = "force-2"


@frozen
class Box:
    """A rectangle with its sides along the axes. [mm]"""

    left: float
    bottom: float
    right: float
    top: float

    @property
    def width(self) -> float:
        """Width of the box. [mm]"""
        return self.right - self.left

    @property
    def height(self) -> float:
        """Height of the box. [mm]"""
        return self.top - self.bottom

    def meets(self, other: Box) -> bool:
        """Whether the two boxes share any area."""
        return (
            self.left < other.right
            and other.left < self.right
            and self.bottom < other.top
            and other.bottom < self.top
        )

    def joined(self, other: Box) -> Box:
        """Return the smallest box that contains both."""
        return Box(
            left=min(self.left, other.left),
            bottom=min(self.bottom, other.bottom),
            right=max(self.right, other.right),
            top=max(self.top, other.top),
        )

    @property
    def corners(self) -> Contour:
        """Corners, counter-clockwise from the lower left. [mm]"""
        left, right = self.left, self.right
        return ((left, self.bottom), (right, self.bottom), (right, self.top), (left, self.top))

    @property
    def middle(self) -> Point:
        """Centre of the box. [mm]"""
        return 0.5 * (self.left + self.right), 0.5 * (self.bottom + self.top)

    def grown(self, margin: float) -> Box:
        """Return the box with a margin on every side. [mm]"""
        return Box(
            left=self.left - margin,
            bottom=self.bottom - margin,
            right=self.right + margin,
            top=self.top + margin,
        )


@frozen
class Line:
    """A straight line."""

    start: Point
    end: Point
    style: Style


@frozen
class Polyline:
    """A run of straight lines through points, closed only if the first point is repeated at the end."""

    points: Contour
    style: Style


@frozen
class Hatch:
    """Hatching of a region with parallel lines.

    Attributes:
        spacing: Distance between lines. [mm]
        angle: Angle from the x axis, counter-clockwise. [deg]
    """

    spacing: float
    angle: float


@frozen
class Region:
    """A filled area inside one or more closed contours, by the even-odd rule.

    The first point of a contour is not repeated at its end.
    """

    contours: tuple[Contour, ...]
    style: Style
    hatch: Hatch | None = None


@frozen
class Circle:
    """A circle, filled or not depending on its style."""

    centre: Point
    radius: float
    style: Style


@frozen
class Text:
    """One line of lettering.

    Attributes:
        at: Position of the text: the middle of its height, and the point along the line given by `anchor`.
        text: The text.
        height: Height of the lettering, from baseline to baseline when set solid. [mm]
        anchor: End of the text that is at `at`.
        angle: Angle, counter-clockwise. [deg]
        key: Plan key whose value it shows, such as "screws[1].at"; "" if it shows none.
    """

    at: Point
    text: str
    height: float
    style: Style = Style.LETTERING
    anchor: Anchor = "middle"
    angle: float = 0.0
    key: str = ""


@frozen
class Dimension:
    """A measured distance: extension lines from two points to a line with arrows and a figure.

    Attributes:
        first: One measured point.
        second: The other measured point.
        direction: Axis along which the distance is measured.
        line_at: Position of the dimension line: y if it is horizontal, x if vertical.
        text: The figure, with words if there are any.
        height: Height of the lettering. [mm]
        text_at: Centre of the text.
        outside: Whether the arrows are outside and point inwards because the span is too narrow.
        reach: Coordinate to which the dimension line is extended towards text next to it, or None.
        key: Plan key whose value it shows, such as "bulb.length"; "" if it shows none.
    """

    first: Point
    second: Point
    direction: Literal["horizontal", "vertical"]
    line_at: float
    text: str
    height: float
    text_at: Point
    outside: bool
    reach: float | None = None
    key: str = ""

    @property
    def measured(self) -> float:
        """Distance that the dimension shows. [mm]"""
        i = 0 if self.direction == "horizontal" else 1
        return abs(self.second[i] - self.first[i])


Shape = Line | Polyline | Region | Circle | Text | Dimension


@frozen
class View:
    """One drawing.

    Attributes:
        name: Short name, unique within a report: letters, digits and hyphens.
        title: One line that describes what the drawing shows.
        shapes: Shapes in the order in which they are painted.
        box: Area shown; shapes are cut off at its edges. [mm]
        scale: Ratio of paper to object for which lettering and line weights were laid out. [-]
    """

    name: str
    title: str
    shapes: tuple[Shape, ...]
    box: Box
    scale: float


_NARROW = frozenset("iljtfrI.,:;'|!()[]/ -")
_WIDE = frozenset("mwMW@%")


def text_width(text: str, height: float) -> float:
    """Estimate the width of a line of text: an upper bound for a plain sans-serif typeface.

    Args:
        text: A single line of text. [-]
        height: Height of the lettering. [mm]

    Returns:
        Width. [mm]
    """
    return height * sum(
        0.36 if letter in _NARROW else 0.92 if letter in _WIDE else 0.74 if letter.isupper() else 0.60
        for letter in text
    )


def text_box(text: Text) -> Box:
    """Return the rectangle that a line of text occupies; only for horizontal or vertical text.

    Args:
        text: Text at an angle of 0 or 90. [deg]
    """
    width, half = text_width(text.text, text.height), 0.55 * text.height
    along = {"start": (0.0, width), "middle": (-0.5 * width, 0.5 * width), "end": (-width, 0.0)}[text.anchor]
    x, y = text.at
    if text.angle == 0.0:
        return Box(left=x + along[0], bottom=y - half, right=x + along[1], top=y + half)
    return Box(left=x - half, bottom=y + along[0], right=x + half, top=y + along[1])


def dimension_text(dimension: Dimension) -> Text:
    """Return the lettering of a dimension, which is always horizontal."""
    return Text(at=dimension.text_at, text=dimension.text, height=dimension.height)
