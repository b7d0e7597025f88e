"""Quick read-back of DXF and SVG files: a file counts as written correctly if the number of its lines and the areas they
enclose are right, and cut lines are closed.

At run time, template files in DXF and SVG are read back with the standard library and a simple reader in this module.
PDF files are read back only in the tests.
"""

from __future__ import annotations

import math
import xml.etree.ElementTree as ElementTree
from collections.abc import Sequence

from bulbcast.disk.refusals import ReadBackError
from bulbcast.drawing.parts import Sheet

Outline = tuple[tuple[float, float], ...]


def dxf_outlines(content: bytes) -> dict[str, list[tuple[Outline, bool]]]:
    """Return the lightweight polylines of a DXF file by layer, read as pairs of group code and value.

    Args:
        content: The file's bytes.

    Returns:
        Outlines by layer, and whether each is closed. [mm]

    Raises:
        ReadBackError: The file's unit is not the millimetre.
    """
    lines = content.decode("ascii").splitlines()
    codes = [line.strip() for line in lines[0::2]]
    values = lines[1::2]
    unit = next((values[i + 1].strip() for i, value in enumerate(values) if value.strip() == "$INSUNITS"), "")
    if unit != "4":
        raise ReadBackError(f"The DXF file gives its unit as {unit!r}, not 4 (millimetres).")
    found: dict[str, list[tuple[Outline, bool]]] = {}
    layer, closed, xs, ys = "", False, [], []  # type: ignore[var-annotated]
    inside = False
    for code, value in zip(codes, values, strict=False):
        if code == "0":
            if inside:
                found.setdefault(layer, []).append((tuple(zip(xs, ys, strict=True)), closed))
            inside = value.strip() == "LWPOLYLINE"
            layer, closed, xs, ys = "", False, [], []
        elif inside and code == "8":
            layer = value.strip()
        elif inside and code == "70":
            closed = bool(int(value) & 1)
        elif inside and code == "10":
            xs.append(float(value))
        elif inside and code == "20":
            ys.append(float(value))
    return found


def svg_outlines(content: bytes) -> dict[str, list[tuple[Outline, bool]]]:
    """Return the paths of an SVG file by group, with y pointing up again.

    Args:
        content: The file's bytes.

    Returns:
        Outlines by layer, and whether each is closed. [mm]

    Raises:
        ReadBackError: The drawing is not in millimetres.
    """
    root = ElementTree.fromstring(content)
    width, height = root.attrib["width"], root.attrib["height"]
    if root.attrib["viewBox"] != f"0 0 {width.removesuffix('mm')} {height.removesuffix('mm')}":
        raise ReadBackError("The drawing in the SVG file is not in millimetres.")
    top = float(height.removesuffix("mm"))
    found: dict[str, list[tuple[Outline, bool]]] = {}
    for group in root.iter("{http://www.w3.org/2000/svg}g"):
        for path in group:
            run = path.attrib["d"]
            closed = run.endswith("Z")
            points = []
            for pair in run.removeprefix("M").removesuffix("Z").split("L"):
                x, _, y = pair.partition(",")
                points.append((float(x), top - float(y)))
            found.setdefault(group.attrib["id"], []).append((tuple(points), closed))
    return found


def hold_against(
    sheet: Sheet, read: dict[str, list[tuple[Outline, bool]]], name: str, *, decimals: int
) -> None:
    """Compare the outlines read back with the sheet that was written.

    Rounding changes a figure by at most half a step and moves a point by at most 0.71 of a step. An outline's area may
    change by that distance times its perimeter, which is a large fraction for a thin strip and a small one for a round
    shape.

    Args:
        sheet: The sheet that was written.
        read: Result of `dxf_outlines` or `svg_outlines`.
        name: File name for use in messages.
        decimals: Decimals of the points' coordinates in mm, as rounded in the file. [-]

    Raises:
        ReadBackError: The number of lines on a layer differs, a cut line is open, or an area differs.
    """
    for layer in ("cut", "engrave", "reference"):
        meant = [line for line in sheet.lines if line.layer == layer]
        got = read.get(layer, [])
        if len(meant) != len(got):
            _refuse(name, f"layer {layer} has {len(got)} lines, but {len(meant)} were written")
    for line, (points, closed) in zip(
        (line for line in sheet.lines if line.layer == "cut"), read.get("cut", []), strict=True
    ):
        if not closed:
            _refuse(name, "a line on the cut layer is open")
        wanted = area(line.points)
        if not abs(area(points) - wanted) <= perimeter(line.points) * 10.0**-decimals:
            _refuse(name, f"an outline of {wanted:.6g} mm2 is read back as {area(points):.6g} mm2")


def area(points: Sequence[tuple[float, float]]) -> float:
    """Return the area of a closed outline. [unit squared]"""
    double = 0.0
    for (x, y), (u, v) in zip(points, (*points[1:], points[0]), strict=True):
        double += x * v - u * y
    return 0.5 * abs(double)


def perimeter(points: Sequence[tuple[float, float]]) -> float:
    """Return the perimeter of a closed outline. [unit]"""
    return math.fsum(
        math.dist(one, other) for one, other in zip(points, (*points[1:], points[0]), strict=True)
    )


def _refuse(name: str, why: str) -> None:
    raise ReadBackError(
        f"{name} failed the read-back: {why}. Nothing was written. Please report this with the plan."
    )
