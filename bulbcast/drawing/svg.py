"""Writes a view as scalable SVG, at true size in millimetres and styled by classes. Its bytes are reproducible.

Inside the picture, one unit is one millimetre of paper at the view's scale, so line weights and lettering are as given
in the style sheet. Figures have at most three decimals. All other SVG in the program is also written with `element` and
`run`.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from functools import cache
from html import escape
from typing import assert_never

from bulbcast.drawing import shapes
from bulbcast.drawing.pages import dimension_shapes

NAMESPACE = "http://www.w3.org/2000/svg"


@cache
def drawing_css() -> str:
    """Return the style sheet for all views. A page can set the colours through CSS variables, except a few that are
    fixed, such as those for colour scales and totals."""
    from importlib.resources import files

    return files(__package__).joinpath("drawing.css").read_text(encoding="utf-8")


def svg_text(view: shapes.View, *, width: float | None = None) -> str:
    """Write a view as SVG.

    Args:
        view: The view.
        width: Width of the picture in a page that contains `drawing_css` once. It is also the picture's font size, so
            that the page can size the picture in em. None for a separate file at true size, with its own namespace,
            style sheet and fixed colours. [mm]

    Returns:
        An svg element.
    """
    return _Writer(view, width).document()


def number(value: float, decimals: int = 3) -> str:
    """Write a figure with a limited number of decimals, without trailing zeros or a minus sign before zero."""
    text = f"{value:.{decimals}f}".rstrip("0").rstrip(".")
    return "0" if text in ("-0", "") else text


def element(tag: str, content: str | None = None, **attributes: str | float) -> str:
    """Write one element.

    Args:
        tag: Name of the element.
        content: Its content, escaped if it is text; None for a self-closing element.
        attributes: Attributes in order, with "_" for "-" and "class_" for "class"; string values are used unchanged.
    """
    said = "".join(
        f' {name.rstrip("_").replace("_", "-")}="{value if isinstance(value, str) else number(value)}"'
        for name, value in attributes.items()
    )
    return f"<{tag}{said}/>" if content is None else f"<{tag}{said}>{content}</{tag}>"


def run(points: Iterable[shapes.Point], between: str = " ", decimals: int = 3) -> str:
    """Write straight lines through points as path data.

    Args:
        points: One or more points. [mm of paper]
        between: Separator between the two coordinates of a point.
        decimals: Maximum number of decimal places in each coordinate.
    """
    return "M" + "L".join(f"{number(x, decimals)}{between}{number(y, decimals)}" for x, y in points)


class _Writer:
    def __init__(self, view: shapes.View, in_page: float | None) -> None:
        self._view = view
        self._in_page = in_page
        self._hatches: dict[tuple[str, float, float], str] = {}

    def _at(self, point: shapes.Point) -> tuple[float, float]:
        box, scale = self._view.box, self._view.scale
        return (point[0] - box.left) * scale, (box.top - point[1]) * scale

    def _run(self, points: Iterable[shapes.Point], *, closed: bool = False) -> str:
        return run(map(self._at, points), ",") + ("Z" if closed else "")

    def _keyed(self, key: str) -> dict[str, str]:
        """Return the attribute by which a script in a page finds the element that shows a plan key."""
        return {"data_key": key} if key and self._in_page is not None else {}

    def document(self) -> str:
        view, in_page = self._view, self._in_page
        width, height = number(view.box.width * view.scale), number(view.box.height * view.scale)
        body = "".join(map(self._shape, view.shapes))
        patterns = "".join(
            element(
                "pattern",
                element("path", class_=f"hatch hatch-{style}", d=f"M0 0H{number(spacing)}"),
                id=name,
                patternUnits="userSpaceOnUse",
                width=spacing,
                height=spacing,
                patternTransform=f"rotate({number(-angle)})",
            )
            for (style, spacing, angle), name in self._hatches.items()
        )
        named = f"{escape(view.name)}-title"
        content = element("title", escape(view.title), id=named)
        if in_page is None:
            content += element("style", re.sub(r"var\(--[\w-]+,(#\w+)\)", r"\1", drawing_css()))
        content += element("defs", patterns) if patterns else ""
        own: dict[str, str] = (
            {"xmlns": NAMESPACE} if in_page is None else {"font_size": f"{number(in_page)}mm"}
        )
        wide = view.box.width * view.scale if in_page is None else in_page
        return (
            element(
                "svg",
                content + body,
                **own,
                class_="view",
                width=f"{number(wide)}mm",
                height=f"{number(wide * view.box.height / view.box.width)}mm",
                viewBox=f"0 0 {width} {height}",
                role="img",
                aria_labelledby=named,
            )
            + "\n"
        )

    def _shape(self, shape: shapes.Shape) -> str:
        match shape:
            case shapes.Line():
                return element("path", class_=shape.style, d=self._run((shape.start, shape.end)))
            case shapes.Polyline():
                return element("path", class_=shape.style, d=self._run(shape.points))
            case shapes.Region():
                return self._region(shape)
            case shapes.Circle():
                x, y = self._at(shape.centre)
                radius = shape.radius * self._view.scale
                return element("circle", class_=shape.style, cx=x, cy=y, r=radius)
            case shapes.Text():
                return self._text(shape)
            case shapes.Dimension():
                return self._dimension(shape)
            case _:
                assert_never(shape)

    def _region(self, region: shapes.Region) -> str:
        runs = "".join(self._run(contour, closed=True) for contour in region.contours if contour)
        if not runs:
            return ""
        text = element("path", class_=region.style, fill_rule="evenodd", d=runs)
        if region.hatch is not None:
            key = (str(region.style), region.hatch.spacing * self._view.scale, region.hatch.angle)
            name = self._hatches.setdefault(key, f"{escape(self._view.name)}-hatch-{len(self._hatches) + 1}")
            text += element("path", fill=f"url(#{name})", fill_rule="evenodd", d=runs)
        return text

    def _text(self, text: shapes.Text) -> str:
        x, y = self._at(text.at)
        height = text.height * self._view.scale
        turn = f"rotate({number(-text.angle)} {number(x)} {number(y)})"
        turned: dict[str, str] = {"transform": turn} if text.angle else {}
        # The point is the centre of the lettering; the baseline is a third of the height below it.
        return element(
            "text",
            escape(text.text),
            class_=f"{text.style} {text.anchor}",
            x=x,
            y=y,
            **turned,
            dy=0.35 * height,
            font_size=height,
            **self._keyed(text.key),
        )

    def _dimension(self, one: shapes.Dimension) -> str:
        """Write the extension lines, the dimension line with its arrows, and the text."""
        lines, heads = dimension_shapes(one)
        runs = "".join(
            self._run((line.start, line.end) if isinstance(line, shapes.Line) else line.points)
            for line in lines
        )
        arrows = "".join(self._run(contour, closed=True) for head in heads for contour in head.contours)
        drawn = element("path", class_="dimension", d=runs) + element("path", class_="arrow", d=arrows)
        drawn += self._text(shapes.dimension_text(one))
        keyed = self._keyed(one.key)
        return element("g", drawn, **keyed) if keyed else drawn
