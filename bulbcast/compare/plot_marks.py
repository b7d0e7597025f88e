"""Appearance of a plot's lines, marks and lettering."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from html import escape

from bulbcast.drawing.svg import element, run

INK, QUIET = "#16222a", "#43555e"
_RULE, _CROSS = "#d5dcdf", "#b3261e"
PLOT_CSS = (
    f'text{{font-family:Arial,"Liberation Sans",Helvetica,sans-serif;fill:{INK}}}'
    f".quiet{{fill:{QUIET}}}.bold{{font-weight:700}}.middle{{text-anchor:middle}}.end{{text-anchor:end}}"
    f".rule{{stroke:{_RULE};stroke-width:.15;fill:none}}.base{{stroke:{QUIET};stroke-width:.25;fill:none}}"
    f".tie{{stroke:{QUIET};stroke-width:.15;fill:none}}.line{{fill:none;stroke-width:.5;stroke-linejoin:round}}"
    ".edge{fill:none;stroke-width:.3}.mark{stroke-width:.35}"
    f".message{{font-weight:700}}.bulb{{fill:#dfe4e8;stroke:{INK};stroke-width:.35;stroke-linejoin:round}}"
    f".stopped{{fill:#fff;stroke:{INK};stroke-width:.3;stroke-dasharray:1.4 .8}}"
    f".cross{{stroke:{_CROSS};stroke-width:.45;fill:none;stroke-linecap:round}}"
)
"""Style sheet of the plot; line weights are in millimetres."""

_CORNERS = {
    "square": ((-0.9, -0.9), (0.9, -0.9), (0.9, 0.9), (-0.9, 0.9)),
    "triangle": ((0.0, -1.2), (1.1, 0.8), (-1.1, 0.8)),
    "diamond": ((0.0, -1.3), (1.1, 0.0), (0.0, 1.3), (-1.1, 0.0)),
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Look:
    """Appearance of a line and its marks. Labelled lines can be distinguished by colour alone or by dashes alone; the
    four markers repeat."""

    colour: str
    dashes: str
    marker: str


LOOKS = (
    Look(colour="#155e75", dashes="", marker="circle"),
    Look(colour="#8a5a00", dashes="2.6 1.1", marker="square"),
    Look(colour="#1d2b33", dashes="0.7 1", marker="triangle"),
    Look(colour="#0f6b4f", dashes="3.4 .9 .7 .9", marker="diamond"),
    Look(colour="#7a3b69", dashes="1.5 .8", marker="circle"),
    Look(colour="#44606b", dashes="4.5 1.4", marker="square"),
    Look(colour="#9a3b1f", dashes="0.7 .7 2.4 .7", marker="triangle"),
    Look(colour="#2f4a8a", dashes="6 1", marker="diamond"),
)
PLAIN = Look(colour="#7d8c94", dashes="", marker="circle")
"""Appearance of the unlabelled lines if there are too many lines to label."""


def line_of(points: Sequence[tuple[float, float]], look: Look, kind: str = "line") -> str:
    """Return a line through points.

    Args:
        points: At least two points. [mm]
        look: Appearance of the line.
        kind: "line", or "edge" of a band.
    """
    dashes: dict[str, str] = {"stroke_dasharray": look.dashes} if look.dashes else {}
    return element("path", class_=kind, stroke=look.colour, **dashes, d=run(points))


def mark_of(look: Look, x: float, y: float, *, hollow: bool, small: bool = False, tip: str = "") -> str:
    """Return one mark.

    Args:
        look: Appearance of its line.
        x: Horizontal position of its centre. [mm]
        y: Vertical position of its centre. [mm]
        hollow: Whether the inside is white.
        small: Whether it belongs to a line with closely spaced marks.
        tip: Tooltip text, or "".
    """
    size = 0.5 if small else 0.85
    style = {"class_": "mark", "stroke": look.colour, "fill": "#fff" if hollow else look.colour}
    if look.marker == "circle":
        return element("circle", _tip(tip), cx=x, cy=y, r=size, **style)
    corners = run((x + size * a, y + size * b) for a, b in _CORNERS[look.marker])
    return element("path", _tip(tip), d=f"{corners}Z", **style)


def _tip(words: str) -> str:
    return element("title", escape(words)) if words else ""


def cross_of(x: float, y: float, tip: str = "") -> str:
    """Return a cross for a row without a bulb.

    Args:
        x: Horizontal position of its centre. [mm]
        y: Vertical position of its centre. [mm]
        tip: Tooltip text, or "".
    """
    left, right, top, bottom = x - 0.9, x + 0.9, y - 0.9, y + 0.9
    both = run([(left, top), (right, bottom)]) + run([(left, bottom), (right, top)])
    return element("path", _tip(tip), class_="cross", d=both)


def text_of(x: float, y: float, text: str, size: float, kind: str = "", **more: str) -> str:
    """Return one line of lettering.

    Args:
        x: Start of the text, or the point at which `kind` anchors it. [mm]
        y: Vertical position of its baseline. [mm]
        text: Text to write.
        size: Size of the lettering. [mm]
        kind: CSS classes, such as "quiet end".
        more: Further attributes.
    """
    names: dict[str, str] = {"class_": kind} if kind else {}
    return element("text", escape(text), **names, x=x, y=y, font_size=size, **more)


def raised(unit: str) -> str:
    """Return a unit with its power as a superscript, for print.

    Args:
        unit: "cm2", for example, or a figure with its unit after a space.
    """
    stem, power = unit[:-1], unit[-1:]
    if power in ("2", "3") and stem.rpartition(" ")[2] in ("mm", "cm", "m", "in", "g/cm", "kg/m", "lb/in"):
        return stem + ("²" if power == "2" else "³")
    return unit
