"""Layout of a view: scale, lettering, and dimensions, which are moved outwards until no text overlaps.

A `Layout` is mutable: it collects shapes while a view is drawn and returns them as a frozen `View`.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Literal

from bulbcast.drawing import shapes
from bulbcast.quantities import Shown
from bulbcast.quantities.frozen import frozen

# Lettering on paper: 2.5 mm is the minimum height that the drawing standards allow on small sheets.
LETTERING = 2.5
PAPER_WIDTH = 178.0
"""Width that fits both A4 and Letter paper with a margin for punching. [mm]"""

NARROW = 78.0
"""Width that fits the screen of a phone at full size without scrolling. [mm]"""

MARGIN = 2.0
"""Margin around every view on paper. [mm]"""

_TIERS = 60
_NICE = (1.0, 1.25, 1.5, 2.0, 2.5, 3.0, 4.0, 5.0, 6.0, 8.0)


def nice_scale(largest: float) -> float:
    """Return the largest standard drawing scale that fits.

    Args:
        largest: Largest ratio of paper to object that fits. [-]

    Returns:
        Scale, for example 2, 1, 0.5 (1:2) or 0.4 (1:2.5). [-]
    """
    # Scales n:1 above full size and 1:n below it.
    if largest >= 1.0:
        power = 10.0 ** math.floor(math.log10(largest) + 1e-12)
        return power * max(step for step in _NICE if step <= largest / power * (1.0 + 1e-12))
    power = 10.0 ** math.floor(math.log10(1.0 / largest) - 1e-12)
    steps = [step for step in (*_NICE, 10.0) if step >= 1.0 / largest / power * (1.0 - 1e-12)]
    return 1.0 / (power * min(steps))


def scale_words(scale: float) -> str:
    """Format a scale as on drawings: "2:1", "1:1", "1:2.5"."""
    return f"{scale:g}:1" if scale >= 1.0 else f"1:{1.0 / scale:.6g}"


def round_length(most: float, *, imperial: bool) -> float:
    """Return the longest round length up to `most`: 1, 2 or 5 times a power of ten, or an inch doubled or halved
    repeatedly. [mm]"""
    if imperial and most < 5.0 * 25.4:
        return float(25.4 * 2.0 ** math.floor(math.log2(most / 25.4)))
    unit = 25.4 if imperial else 1.0
    power = 10.0 ** math.floor(math.log10(most / unit))
    return float(unit * power * max(step for step in (1.0, 2.0, 5.0) if step * power * unit <= most))


def spread(wanted: Sequence[float], sizes: Sequence[float], low: float, high: float) -> list[float]:
    """Place labels along a line without overlap, with their centres as close as possible to the requested positions.

    Args:
        wanted: Requested centres, in ascending order. [mm]
        sizes: Length of each label. [mm]
        low: Start of the line. [mm]
        high: End of the line; labels that need more room extend beyond it. [mm]

    Returns:
        Centres in the same order. [mm]
    """
    # Each block of touching labels is placed at the mean of the positions requested for them.
    blocks: list[tuple[float, float, int]] = []  # sum of wanted starts, size, count
    for middle, size in zip(wanted, sizes, strict=True):
        pull, length, count = middle - 0.5 * size, size, 1
        while blocks:
            before_pull, before_length, before_count = blocks[-1]
            if before_pull / before_count + before_length <= pull / count:
                break
            blocks.pop()
            pull = before_pull + pull - before_length * count
            length, count = before_length + length, before_count + count
        blocks.append((pull, length, count))
    starts: list[float] = []
    free = low
    total_after = sum(length for _, length, _ in blocks)
    index = 0
    for pull, length, count in blocks:
        start = max(free, min(pull / count, high - total_after))
        total_after -= length
        for _ in range(count):
            starts.append(start)
            start += sizes[index]
            index += 1
        free = start
    return [start + 0.5 * size for start, size in zip(starts, sizes, strict=True)]


@frozen
class Label:
    """A labelled point for `Layout.running`.

    Attributes:
        point: The point on the object. [mm]
        lines: Lines of the label.
        style: Style of the lettering; in a column, that of the first line.
        below: In a column, style of the lines below the first.
        keys: Plan key whose value each line shows, one for each line; "" if a line shows none.
    """

    point: shapes.Point
    lines: tuple[str, ...]
    style: shapes.Style = shapes.Style.LETTERING
    below: shapes.Style = shapes.Style.SMALL
    keys: tuple[str, ...] = ()

    def key(self, line: int) -> str:
        """Return the key whose value a line shows, or ""."""
        return self.keys[line] if self.keys else ""


class Layout:
    """Collects the shapes of one view and keeps its lettering from overlapping."""

    def __init__(self, scale: float) -> None:
        self.scale = scale
        self.letter = LETTERING / scale
        self._shapes: list[shapes.Shape] = []
        self._texts: list[shapes.Box] = []
        self._lines: list[shapes.Box] = []
        self._box: shapes.Box | None = None

    def paper(self, millimetres: float) -> float:
        """Convert millimetres on paper to millimetres on the object."""
        return millimetres / self.scale

    def add(self, *shapes: shapes.Shape) -> None:
        """Add shapes. Separate methods add text and dimensions."""
        self._shapes.extend(shapes)

    def fill(self, style: shapes.Style, *contours: shapes.Contour, hatch: shapes.Hatch | None = None) -> None:
        """Add the area inside closed contours; if there are none, add nothing."""
        if any(contours):
            self._shapes.append(shapes.Region(contours=contours, style=style, hatch=hatch))

    def line(self, style: shapes.Style, *points: shapes.Point) -> None:
        """Add a straight line or a run of lines."""
        if len(points) == 2:
            self._shapes.append(shapes.Line(start=points[0], end=points[1], style=style))
        else:
            self._shapes.append(shapes.Polyline(points=points, style=style))

    def words(
        self,
        at: shapes.Point,
        text: str,
        style: shapes.Style = shapes.Style.LETTERING,
        *,
        anchor: shapes.Anchor = "middle",
        key: str = "",
    ) -> None:
        """Add text at a given position, in the view's lettering."""
        self.text(shapes.Text(at=at, text=text, height=self.letter, style=style, anchor=anchor, key=key))

    def extend(self, box: shapes.Box) -> None:
        """Make sure that the view includes a given area."""
        self._box = box if self._box is None else self._box.joined(box)

    def keep_clear(self, box: shapes.Box) -> None:
        """Keep dimension labels and optional text out of an area; shapes may extend into it."""
        self._lines.append(box)

    def text(self, text: shapes.Text) -> None:
        """Add text at a given position, even if it overlaps other text."""
        box = shapes.text_box(text)
        self._shapes.append(text)
        self._texts.append(box)
        self.extend(box)

    def small(
        self, at: shapes.Point, words: str, anchor: Literal["start", "middle", "end"] = "middle"
    ) -> None:
        """Add subdued text next to a drawing, such as a figure on an axis.

        Args:
            at: Position of the text. [mm]
            words: The text.
            anchor: End of the text that is at that position.
        """
        self.words(at, words, shapes.Style.SMALL, anchor=anchor)

    def free(self, text: shapes.Text) -> bool:
        """Whether text would be clear of all other text and of the lines that must not be covered."""
        box = shapes.text_box(text).grown(0.15 * self.letter)
        return not any(box.meets(other) for other in (*self._texts, *self._lines))

    def text_if_free(self, choices: Sequence[shapes.Text]) -> None:
        """Add text at the first free position in a list, or at the last position if none is free."""
        for choice in choices:
            if self.free(choice):
                self.text(choice)
                return
        self.text(choices[-1])

    def horizontal(
        self,
        first: shapes.Point,
        second: shapes.Point,
        words: str,
        *,
        start: float,
        outwards: float,
        side: int = 1,
        within: tuple[float, float] | None = None,
        key: str = "",
    ) -> None:
        """Add a horizontal dimension at the first free height.

        Args:
            first: One measured point.
            second: Other measured point.
            words: The text.
            start: Height nearest to the object. [mm]
            outwards: 1 to move up if there is no room, -1 to move down.
            side: Side for the text if the span is too narrow for it: 1 right, -1 left.
            within: Part of the span that the text may use, if the rest is occupied. [mm]
            key: Plan key whose value the dimension shows.
        """
        left, right = sorted((first[0], second[0]))
        low, high = within if within is not None else (left, right)
        width, arrow = shapes.text_width(words, self.letter), 0.9 * self.letter
        inside = high - low >= width + 0.4 * self.letter
        outside = right - left < 4.0 * arrow
        for tier in range(_TIERS):
            level = start + outwards * tier * 0.8 * self.letter
            reach: float | None = None
            if inside:
                at = (0.5 * (low + high), level + 0.72 * self.letter)
            else:
                gap = (3.2 if outside else 1.2) * arrow
                edge = right + gap if side > 0 else left - gap
                at, reach = (edge + side * 0.5 * width, level), edge
            dimension = shapes.Dimension(
                first=first,
                second=second,
                direction="horizontal",
                line_at=level,
                text=words,
                height=self.letter,
                text_at=at,
                outside=outside,
                reach=reach,
                key=key,
            )
            if self._place(dimension, (left, right), last=tier == _TIERS - 1):
                return

    def vertical(
        self,
        first: shapes.Point,
        second: shapes.Point,
        words: str,
        *,
        start: float,
        outwards: float,
        beyond: int = 0,
        key: str = "",
    ) -> None:
        """Add a vertical dimension at the first free position, with horizontal text next to it or beyond its end.

        Args:
            first: One measured point.
            second: Other measured point.
            words: The text.
            start: Position nearest to the object. [mm]
            outwards: 1 to move right if there is no room, -1 to move left.
            beyond: 0 to put the text next to the middle of the line, 1 above its upper end, -1 below its lower end, in
                line with it.
            key: Plan key whose value the dimension shows.
        """
        low, high = sorted((first[1], second[1]))
        width, arrow = shapes.text_width(words, self.letter), 0.9 * self.letter
        outside = high - low < 4.0 * arrow
        for tier in range(_TIERS):
            place = start + outwards * tier * 0.8 * self.letter
            level, reach = 0.5 * (low + high), None
            aside = outwards * (0.4 * self.letter + 0.5 * width)
            if beyond > 0:
                level = reach = high + (2.6 if outside else 0.9) * arrow
            elif beyond < 0:
                reach = low - (2.4 if outside else 0.6) * arrow
                level, aside = reach - 0.75 * self.letter, 0.0
            dimension = shapes.Dimension(
                first=first,
                second=second,
                direction="vertical",
                line_at=place,
                text=words,
                height=self.letter,
                text_at=(place + aside, level),
                outside=outside,
                reach=reach,
                key=key,
            )
            if self._place(dimension, (low, high), last=tier == _TIERS - 1):
                return

    def _place(self, dimension: shapes.Dimension, span: tuple[float, float], *, last: bool) -> bool:
        """Add the dimension if its line and text overlap nothing, or if it is the last one to try; return whether it was
        added."""
        margin, at, reach = 0.12 * self.letter, dimension.line_at, dimension.reach
        low, high = span if reach is None else (min(span[0], reach), max(span[1], reach))
        line = shapes.Box(left=low, bottom=at - margin, right=high, top=at + margin)
        if dimension.direction == "vertical":
            line = shapes.Box(left=at - margin, bottom=low, right=at + margin, top=high)
        free = self.free(shapes.dimension_text(dimension)) and not any(line.meets(box) for box in self._texts)
        if not (free or last):
            return False
        box = shapes.text_box(shapes.dimension_text(dimension))
        self._shapes.append(dimension)
        self._texts.append(box)
        self._lines.append(line)
        self.extend(box)
        self.extend(line.grown(self.letter))
        return True

    def running(
        self,
        labels: Sequence[Label],
        *,
        level: float,
        upwards: int,
        low: float,
        high: float,
    ) -> float:
        """Add a row of labels with leaders to their points; labels are horizontal if there is room, otherwise vertical.

        Args:
            labels: Labels in any order.
            level: Height at which the row begins. [mm]
            upwards: 1 for a row above the object, -1 for one below.
            low: Left end of the space for the row. [mm]
            high: Right end of the space. [mm]

        Returns:
            The height at which the row ends. [mm]
        """
        if not labels:
            return level
        labels = sorted(labels, key=lambda label: label.point[0])
        step = 1.25 * self.letter
        widths = [
            max(shapes.text_width(line, self.letter) for line in label.lines) + self.letter
            for label in labels
        ]
        upright = sum(widths) > high - low
        sizes = [step * len(label.lines) for label in labels] if upright else widths
        places = spread([label.point[0] for label in labels], sizes, low, high)
        knee = level + upwards * 1.2 * self.letter
        foot = level + upwards * 2.0 * self.letter
        furthest = foot
        for label, place in zip(labels, places, strict=True):
            self.line(shapes.Style.LEADER, label.point, (label.point[0], level), (place, knee), (place, foot))
            count = len(label.lines)
            for number, line in enumerate(label.lines):
                if upright:
                    text = shapes.Text(
                        at=(place + (number - 0.5 * (count - 1)) * step, foot + upwards * 0.4 * self.letter),
                        text=line,
                        height=self.letter,
                        anchor="start" if upwards > 0 else "end",
                        angle=90.0,
                        style=label.style,
                        key=label.key(number),
                    )
                else:
                    # The first line is the upper one, whether the row grows up or down.
                    rank = count - 1 - number if upwards > 0 else number
                    text = shapes.Text(
                        at=(place, foot + upwards * (0.75 * self.letter + rank * step)),
                        text=line,
                        height=self.letter,
                        style=label.style,
                        key=label.key(number),
                    )
                self.text(text)
                box = shapes.text_box(text)
                furthest = max(furthest, box.top) if upwards > 0 else min(furthest, box.bottom)
        return furthest

    def column(self, labels: Sequence[Label], *, at: float, low: float, high: float) -> None:
        """Add a column of labels on the right, each with a leader to its point.

        Args:
            labels: Labels in any order; the lines of each label run from top to bottom.
            at: Left edge of the lettering. [mm]
            low: Lower end of the space; labels that need more room extend beyond both ends. [mm]
            high: Upper end of the space. [mm]
        """
        if not labels:
            return
        labels = sorted(labels, key=lambda label: label.point[1])
        step = 1.25 * self.letter
        sizes = [step * len(label.lines) + 0.5 * self.letter for label in labels]
        lacking = max(sum(sizes) - (high - low), 0.0)
        places = spread(
            [label.point[1] for label in labels], sizes, low - 0.5 * lacking, high + 0.5 * lacking
        )
        for label, place in zip(labels, places, strict=True):
            knee, end = (at - 2.2 * self.letter, place), (at - 0.4 * self.letter, place)
            self.line(shapes.Style.LEADER, label.point, knee, end)
            self.add(shapes.Circle(centre=label.point, radius=self.paper(0.45), style=shapes.Style.MARK))
            count = len(label.lines)
            for number, line in enumerate(label.lines):
                level, style = (
                    place + (0.5 * (count - 1) - number) * step,
                    label.below if number else label.style,
                )
                self.words((at, level), line, style, anchor="start", key=label.key(number))

    @property
    def left(self) -> float:
        """Left end of the view so far. [mm]"""
        return self._box.left if self._box is not None else 0.0

    @property
    def right(self) -> float:
        """Right end of the view so far. [mm]"""
        return self._box.right if self._box is not None else 0.0

    @property
    def highest(self) -> float:
        """Upper end of the view so far. [mm]"""
        return self._box.top if self._box is not None else 0.0

    @property
    def lowest(self) -> float:
        """Lower end of the view so far. [mm]"""
        return self._box.bottom if self._box is not None else 0.0

    def scale_bar(self, left: float, level: float, shown: Shown) -> None:
        """Add a scale bar with a round length, so that a copy at any scale can be measured. [mm]"""
        length = round_length(36.0 / self.scale, imperial=shown.units == "imperial")
        half = self.paper(0.55)
        for part in range(4):
            start, end = left + 0.25 * part * length, left + 0.25 * (part + 1) * length
            style = shapes.Style.MARK if part % 2 == 0 else shapes.Style.PAPER
            self.fill(style, shapes.rectangle(start, level - half, end, level + half))
        self.extend(shapes.Box(left=left, bottom=level - half, right=left + length, top=level + half))
        self.small((left + length + 0.6 * self.letter, level), shown.length(1e-3 * length), "start")

    def centre_mark(self, at: shapes.Point, radius: float) -> None:
        """Add the quartered circle that marks a mass centre."""
        x, y = at
        self.add(shapes.Circle(centre=at, radius=radius, style=shapes.Style.PAPER))
        for turn in (0.0, math.pi):
            arc = [
                (x + radius * math.cos(turn + angle), y + radius * math.sin(turn + angle))
                for angle in (math.pi / 16.0 * i for i in range(9))
            ]
            self.add(shapes.Region(contours=((at, *arc),), style=shapes.Style.MARK))
        self.add(
            shapes.Line(start=(x - 1.5 * radius, y), end=(x + 1.5 * radius, y), style=shapes.Style.DIMENSION),
            shapes.Line(start=(x, y - 1.5 * radius), end=(x, y + 1.5 * radius), style=shapes.Style.DIMENSION),
        )

    def view(self, name: str, title: str, *, margin: float = MARGIN) -> shapes.View:
        """Return the view as drawn so far.

        Args:
            name: Name, unique in a report.
            title: Title that describes what the view shows.
            margin: Margin around everything. [mm of paper]
        """
        box = self._box or shapes.Box(left=0.0, bottom=0.0, right=1.0, top=1.0)
        return shapes.View(
            name=name,
            title=title,
            shapes=tuple(self._shapes),
            box=box.grown(self.paper(margin)),
            scale=self.scale,
        )
