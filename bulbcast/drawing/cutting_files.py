"""Sheets of lines as DXF and SVG files for cutting machines, full size, in millimetres and reproducible byte for byte."""

from __future__ import annotations

import io
from typing import Any

from bulbcast.drawing.parts import Sheet, SheetLine
from bulbcast.drawing.svg import NAMESPACE, element, number, run

# DXF colour numbers, for the screen only. The layers show what to do with each line.
_COLOURS = {"cut": 7, "engrave": 5, "reference": 8}
_STROKES = {"cut": "#000000", "engrave": "#1f4e9c", "reference": "#888888"}
_HAIRLINE = 0.1
DXF_DECIMALS = 5
"""Number of decimal places in the coordinates of DXF files, in mm."""
SVG_DECIMALS = 4
"""Number of decimal places in the coordinates of SVG files, in mm: a tenth of a micrometre."""


def dxf_bytes(sheet: Sheet) -> bytes:
    """Write a sheet as DXF 2000: lightweight polylines on three layers, in millimetres.

    Args:
        sheet: The sheet of lines.

    Returns:
        The file's bytes.
    """
    import ezdxf
    from ezdxf import units

    library: Any = ezdxf
    options = library.options
    kept = options.write_fixed_meta_data_for_testing
    # Without this the library writes the time and random numbers into the file's header.
    options.write_fixed_meta_data_for_testing = True
    try:
        document = library.new("R2000")
        document.units = units.MM
        document.header["$MEASUREMENT"] = 1
        document.header["$EXTMIN"] = (0.0, 0.0, 0.0)
        document.header["$EXTMAX"] = (sheet.width, sheet.height, 0.0)
        for layer, colour in _COLOURS.items():
            document.layers.add(layer, color=colour)
        space = document.modelspace()
        for line in sheet.lines:
            space.add_lwpolyline(
                [(round(x, DXF_DECIMALS), round(y, DXF_DECIMALS)) for x, y in line.points],
                close=line.closed,
                dxfattribs={"layer": line.layer},
            )
        stream = io.StringIO()
        document.write(stream)
    finally:
        options.write_fixed_meta_data_for_testing = kept
    return stream.getvalue().encode("ascii", errors="replace")


def cutting_svg(sheet: Sheet, *, title: str) -> str:
    """Write a sheet as SVG: width and height in mm, one user unit per millimetre, and a group for each layer.

    Args:
        sheet: The sheet of lines.
        title: Title of the file.
    """
    from html import escape

    width, height = number(sheet.width), number(sheet.height)
    groups = "".join(
        element(
            "g",
            "\n" + "".join(_path(line, sheet.height) for line in sheet.lines if line.layer == layer),
            id=layer,
            fill="none",
            stroke=stroke,
            stroke_width=_HAIRLINE,
        )
        + "\n"
        for layer, stroke in _STROKES.items()
    )
    content = f"\n{element('title', escape(title))}\n{groups}"
    size: dict[str, str] = {"width": f"{width}mm", "height": f"{height}mm"}
    return element("svg", content, xmlns=NAMESPACE, **size, viewBox=f"0 0 {width} {height}") + "\n"


def _path(line: SheetLine, height: float) -> str:
    points = run(((x, height - y) for x, y in line.points), ",", decimals=SVG_DECIMALS)
    return element("path", d=points + ("Z" if line.closed else "")) + "\n"
