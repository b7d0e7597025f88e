"""Writes a view as SVG: true millimetre size, scalable, looks set by classes, the same bytes each time.

Inside the picture one unit is one millimetre of paper at the view's scale, so that line weights and
lettering are what the style sheet says. Figures are written with three decimals at most.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from functools import cache
from html import escape

from bulbcast.drawing.pages import dimension_shapes
from bulbcast.drawing.shapes import (
    Circle,
    Dimension,
    Line,
    Point,
    Polyline,
    Region,
    Style,
    Text,
    View,
    dimension_text,
)

NAMESPACE = "http://www.w3.org/2000/svg"


@cache
def drawing_css() -> str:
    """The style sheet of all views."""
    from importlib.resources import files

    return files(__package__).joinpath("drawing.css").read_text(encoding="utf-8")


def svg_text(view: View, *, standalone: bool = True) -> str:
    """A view as SVG.

    Args:
        view: The view.
        standalone: With name space and style sheet, as a file of its own; without them to stand in a page
            that holds `drawing_css` once.

    Returns:
        An svg element; width and height are the millimetres it has on paper at the view's scale.
    """
    return _Writer(view).document(standalone)


def number(value: float) -> str:
    """A figure with three decimals at most, no trailing noughts and no minus before nought."""
    text = f"{value:.3f}".rstrip("0").rstrip(".")
    return "0" if text in ("-0", "") else text


class _Writer:
    def __init__(self, view: View) -> None:
        self._view = view
        self._hatches: dict[tuple[str, float, float], str] = {}

    def _at(self, point: Point) -> tuple[float, float]:
        box, scale = self._view.box, self._view.scale
        return (point[0] - box.left) * scale, (box.top - point[1]) * scale

    def _point(self, point: Point) -> str:
        x, y = self._at(point)
        return f"{number(x)},{number(y)}"

    def document(self, standalone: bool) -> str:
        view = self._view
        width, height = number(view.box.width * view.scale), number(view.box.height * view.scale)
        body = "".join(self._shape(shape) for shape in view.shapes)
        patterns = "".join(
            f'<pattern id="{name}" patternUnits="userSpaceOnUse" width="{number(spacing)}" '
            f'height="{number(spacing)}" patternTransform="rotate({number(-angle)})">'
            f'<path class="hatch hatch-{style}" d="M0 0H{number(spacing)}"/></pattern>'
            for (style, spacing, angle), name in self._hatches.items()
        )
        name_space = f' xmlns="{NAMESPACE}"' if standalone else ""
        style = f"<style>{drawing_css()}</style>" if standalone else ""
        return (
            f'<svg{name_space} class="view" width="{width}mm" height="{height}mm" '
            f'viewBox="0 0 {width} {height}" role="img" aria-labelledby="{escape(view.name)}-title">'
            f'<title id="{escape(view.name)}-title">{escape(view.title)}</title>{style}'
            + (f"<defs>{patterns}</defs>" if patterns else "")
            + f"{body}</svg>\n"
        )

    def _shape(self, shape: object) -> str:
        writers: dict[type, Callable[..., str]] = {
            Line: self._line,
            Polyline: self._polyline,
            Region: self._region,
            Circle: self._circle,
            Text: self._text,
            Dimension: self._dimension,
        }
        return writers[type(shape)](shape)

    def _line(self, line: Line) -> str:
        return self._path((line.start, line.end), line.style)

    def _polyline(self, line: Polyline) -> str:
        return self._path(line.points, line.style)

    def _path(self, points: Iterable[Point], style: Style, *, closed: bool = False) -> str:
        return f'<path class="{style}" d="{self._run(points, closed=closed)}"/>'

    def _run(self, points: Iterable[Point], *, closed: bool) -> str:
        return "M" + "L".join(self._point(point) for point in points) + ("Z" if closed else "")

    def _region(self, region: Region) -> str:
        run = "".join(self._run(contour, closed=True) for contour in region.contours if contour)
        if not run:
            return ""
        text = f'<path class="{region.style}" fill-rule="evenodd" d="{run}"/>'
        if region.hatch is not None:
            key = (str(region.style), region.hatch.spacing * self._view.scale, region.hatch.angle)
            name = self._hatches.setdefault(key, f"{escape(self._view.name)}-hatch-{len(self._hatches) + 1}")
            text += f'<path fill="url(#{name})" fill-rule="evenodd" d="{run}"/>'
        return text

    def _circle(self, circle: Circle) -> str:
        x, y = self._at(circle.centre)
        radius = number(circle.radius * self._view.scale)
        return f'<circle class="{circle.style}" cx="{number(x)}" cy="{number(y)}" r="{radius}"/>'

    def _text(self, text: Text) -> str:
        x, y = self._at(text.at)
        height = text.height * self._view.scale
        place = f'x="{number(x)}" y="{number(y)}"'
        if text.angle:
            place += f' transform="rotate({number(-text.angle)} {number(x)} {number(y)})"'
        # The point names the middle of the lettering: its baseline is a third of the height lower.
        return (
            f'<text class="{text.style} {text.anchor}" {place} dy="{number(0.35 * height)}" '
            f'font-size="{number(height)}">{escape(text.text)}</text>'
        )

    def _dimension(self, one: Dimension) -> str:
        """Extension lines, the dimension line with its arrows, the text."""
        lines, heads = dimension_shapes(one)
        runs = "".join(
            self._run((line.start, line.end) if isinstance(line, Line) else line.points, closed=False)
            for line in lines
        )
        arrows = "".join(self._run(contour, closed=True) for head in heads for contour in head.contours)
        return f'<path class="dimension" d="{runs}"/><path class="arrow" d="{arrows}"/>' + self._text(
            dimension_text(one)
        )
