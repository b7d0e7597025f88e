"""Hulls from disk: surfaces (STL, OBJ, PLY) and tables of offsets, worked out upright on the design waterline."""

from __future__ import annotations

import csv
import io
import re
from fractions import Fraction
from pathlib import Path
from typing import TYPE_CHECKING

from bulbcast.boat.hull_faults import HullError
from bulbcast.plan.faults import Fault, PlanError
from bulbcast.planning.boat import HullRead, faults_of_hull

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    from bulbcast.plan.sections import BoatSection, Plan

_UNITS = {
    "mm": Fraction(1, 1000),
    "cm": Fraction(1, 100),
    "m": Fraction(1),
    "in": Fraction(254, 10000),
    "ft": Fraction(3048, 10000),
}
_LARGEST_SURFACE, _LARGEST_TABLE = 600_000_000, 2_000_000
_SURFACES = (".stl", ".obj", ".ply")
_COLUMN = re.compile(
    r"(x|keel|sheer|sheer[_ ]half|wl[_ ]*([+-]?\d{1,9}(?:\.\d{0,9})?))[\s_]*[\[(]?(mm|cm|m|in|ft)[\])]?"
)
_FIGURE = re.compile(r"[+-]?(\d{1,20}(\.\d{0,20})?|\.\d{1,20})")


def load_hull(plan: Plan, folder: Path) -> HullRead | None:
    """The hull that a plan names, at her design waterline.

    Args:
        plan: As read.
        folder: That its paths start from.

    Returns:
        The hull; None where the plan names no file for it.

    Raises:
        PlanError: The file cannot be read, or no hull can be made of it; every fault with its place.
    """
    boat = plan.boat
    if boat is None or (boat.hull is None and boat.offsets is None):
        return None
    if boat.hull is not None:
        return _of_surface(plan.source, boat, boat.hull, folder / boat.hull)
    typed = boat.offsets or ""
    return _of_table(plan.source, boat, typed, folder / typed)


# Surfaces


def _of_surface(source: str, boat: BoatSection, typed: str, path: Path) -> HullRead:
    from bulbcast.boat.hull_mesh import hull_from_triangles
    from bulbcast.boat.hull_placement import HullPlacement, rotation_from_axes
    from bulbcast.boat.hydrostatics import design_line_of_mesh

    if path.suffix.lower() not in _SURFACES:
        raise _fault(
            source,
            "boat.hull",
            typed,
            f'a file that ends in "{path.suffix}"',
            "a surface in STL, OBJ or PLY",
            "Save the hull in one of these from the modeller.",
        )
    content = _bytes(source, "boat.hull", typed, path, _LARGEST_SURFACE)
    corners = (
        _stl(source, typed, content) if path.suffix.lower() == ".stl" else _by_trimesh(source, typed, path)
    )
    try:
        placement = HullPlacement(
            metres_per_unit=float(_UNITS[boat.unit or "mm"]),
            scale=1.0 if boat.scale is None else boat.scale,
            rotation=rotation_from_axes(boat.aft_axis or "x", boat.up_axis or "z"),
            waterline_level=boat.waterline or 0.0,
            forward_end=boat.forward_end,
            aft_end=boat.aft_end,
        )
        hull = hull_from_triangles(
            corners,
            placement=placement,
            half=boat.modelled == "half",
            stated_length=boat.waterline_length,
            source=typed,
        )
    except HullError as error:
        raise PlanError(faults_of_hull(source, f"boat.hull ({typed})", error)) from None
    return HullRead(line=design_line_of_mesh(hull), remarks=hull.remarks, notes=(), mesh=hull)


def _stl(source: str, typed: str, content: bytes) -> NDArray[np.float64]:
    """Corners of the facets of an STL file, binary or text, shape (m, 3, 3). [unit of the file]"""
    import numpy as np

    count = int.from_bytes(content[80:84], "little") if len(content) >= 84 else -1
    if count >= 0 and len(content) == 84 + 50 * count:
        record = np.dtype([("normal", "<f4", 3), ("corners", "<f4", (3, 3)), ("spare", "<u2")])
        return np.frombuffer(content, record, offset=84, count=count)["corners"].astype(np.float64)
    if content[:5].lower() != b"solid" or b"facet" not in content[:2000].lower():
        whole = (len(content) - 84) // 50
        raise _fault(
            source,
            "boat.hull",
            typed,
            f"an STL file cut short or spoilt: it promises {count} facets and holds {max(whole, 0)}"
            if count >= 0
            else "a file too short for STL",
            "a whole STL file",
            "Save or copy it again.",
        )
    return _text_stl(source, typed, content)


def _text_stl(source: str, typed: str, content: bytes) -> NDArray[np.float64]:
    import numpy as np

    words = content.decode("ascii", errors="replace").lower()
    opened, closed = len(re.findall(r"(?m)^\s*facet\b", words)), len(re.findall(r"(?m)^\s*endfacet\b", words))
    if opened != closed or not re.search(r"(?m)^\s*endsolid\b", words):
        raise _fault(
            source,
            "boat.hull",
            typed,
            f"an STL text that is cut short: {opened} facets begin, {closed} end"
            + ("" if opened != closed else ", and the solid does not"),
            "a text that ends with endsolid",
            "Save or copy it again.",
        )
    rows = re.findall(r"(?m)^\s*vertex\s+(\S+)\s+(\S+)\s+(\S+)\s*$", words)
    try:
        points = np.array([[float(value) for value in row] for row in rows], dtype=np.float64)
    except ValueError:
        points = np.empty((0, 3))
    if len(points) != 3 * opened or opened == 0:
        raise _fault(
            source,
            "boat.hull",
            typed,
            f"{opened} facets with {len(rows)} corners that can be read",
            "three corners of three figures for each facet",
            "Save it again from the modeller.",
        )
    return points.reshape(-1, 3, 3)


def _by_trimesh(source: str, typed: str, path: Path) -> NDArray[np.float64]:
    import numpy as np

    try:
        import trimesh

        mesh = trimesh.load_mesh(str(path), process=False, skip_materials=True)
        corners = np.asarray(mesh.triangles, dtype=np.float64)
    except Exception as error:  # the reader has no error of its own: anything may come of a broken file
        raise _fault(
            source,
            "boat.hull",
            typed,
            f"a file that cannot be taken apart ({type(error).__name__})",
            "a surface of facets in STL, OBJ or PLY",
            "Save it again, as STL if this one fails once more.",
        ) from None
    if corners.ndim != 3 or len(corners) == 0:
        raise _fault(
            source,
            "boat.hull",
            typed,
            "a file without facets",
            "a surface of facets",
            "Save the hull as a mesh, not as points or curves.",
        )
    return corners


# Tables


def _of_table(source: str, boat: BoatSection, typed: str, path: Path) -> HullRead:
    from bulbcast.boat.offsets_hull import design_line_of_offsets, offsets_hull

    content = _bytes(source, "boat.offsets", typed, path, _LARGEST_TABLE)
    try:
        text = content.decode("utf-8-sig")
        rows = [row for row in csv.reader(io.StringIO(text)) if any(cell.strip() for cell in row)]
    except (UnicodeDecodeError, csv.Error):
        raise _table_fault(
            source, typed, "a file that is no table", "CSV in UTF-8", "Save it as plain CSV."
        ) from None
    if len(rows) < 2:
        raise _table_fault(
            source, typed, "no rows under a heading", "a heading and a row for each station", "Put them in."
        )
    columns = _heading(source, typed, rows[0])
    figures = [_row(source, typed, columns, row, number) for number, row in enumerate(rows[1:], start=2)]
    by_name = {name: [row[i] for row in figures] for i, (name, _, _) in enumerate(columns)}
    # Waterlines in order of height, however the columns stand.
    waterlines = sorted((level, i) for i, (_, level, _) in enumerate(columns) if level is not None)
    try:
        hull = offsets_hull(
            stations=_whole(by_name["x"]),
            levels=[float(level) for level, _ in waterlines],
            half_breadths=[[row[i] for _, i in waterlines] for row in figures],
            keel=_whole(by_name["keel"]) if "keel" in by_name else None,
            sheer=_whole(by_name["sheer"]) if "sheer" in by_name else None,
            sheer_half_breadths=_whole(by_name["sheer_half"]) if "sheer_half" in by_name else None,
            waterline_level=boat.waterline or 0.0,
            forward_end=boat.forward_end,
            aft_end=boat.aft_end,
            scale=1.0 if boat.scale is None else boat.scale,
            source=typed,
        )
    except HullError as error:
        raise PlanError(faults_of_hull(source, f"boat.offsets ({typed})", error)) from None
    line, notes = design_line_of_offsets(hull)
    return HullRead(line=line, remarks=hull.remarks, notes=notes, offsets=hull)


def _whole(column: list[float | None]) -> list[float]:
    return [value for value in column if value is not None]


def _heading(source: str, typed: str, cells: list[str]) -> list[tuple[str, Fraction | None, Fraction]]:
    """Of each column its name, the level where it is a waterline [m], and metres in its unit."""
    columns: list[tuple[str, Fraction | None, Fraction]] = []
    for cell in cells:
        match = _COLUMN.fullmatch(cell.strip().lower())
        if match is None:
            raise _table_fault(
                source,
                typed,
                f'a column headed "{cell.strip()[:40]}"',
                "headings such as x_mm, keel_mm, sheer_mm, sheer_half_mm, and wl_-20_mm for each waterline",
                "Mend the heading: each has its unit (mm, cm, m, in, ft), a waterline its level before that.",
            )
        unit = _UNITS[match.group(3)]
        level = None if match.group(2) is None else Fraction(match.group(2)) * unit
        name = match.group(1).replace(" ", "_") if level is None else f"wl {level}"
        columns.append((name, level, unit))
    names = [name for name, _, _ in columns]
    doubled = sorted({name for name in names if names.count(name) > 1})
    if doubled or "x" not in names:
        raise _table_fault(
            source,
            typed,
            f"{', '.join(doubled)} more than once" if doubled else "no column x",
            "x once, and each other column once",
            "Mend the heading.",
        )
    return columns


def _row(
    source: str,
    typed: str,
    columns: list[tuple[str, Fraction | None, Fraction]],
    cells: list[str],
    number: int,
) -> list[float | None]:
    if len(cells) != len(columns):
        raise _table_fault(
            source,
            typed,
            f"row {number} with {len(cells)} cells",
            f"{len(columns)}, one for each column of the heading",
            "Write decimals with a point, and leave a cell empty where the hull has nothing there.",
        )
    values: list[float | None] = []
    for (name, level, unit), cell in zip(columns, cells, strict=True):
        text = cell.strip()
        if not text and level is not None:
            values.append(None)
        elif _FIGURE.fullmatch(text):
            values.append(float(Fraction(text) * unit))
        else:
            raise _table_fault(
                source,
                typed,
                f'"{text[:40]}" in row {number}, column {name}'
                if text
                else f"nothing in row {number}, column {name}",
                "a plain decimal number" + (", or nothing" if level is not None else ""),
                "Write it without a unit; the heading has that.",
            )
    return values


# Both


def _bytes(source: str, key: str, typed: str, path: Path, largest: int) -> bytes:
    try:
        if path.is_dir():
            read = "a directory"
        elif path.stat().st_size > largest:
            read = f"a file of more than {largest // 1_000_000} MB"
        else:
            return path.read_bytes()
    except (OSError, ValueError) as error:
        read = f"a file that cannot be read ({getattr(error, 'strerror', None) or error})"
    raise _fault(
        source,
        key,
        typed,
        read,
        "a file beside the plan",
        "Mend the name: it is taken from the plan file's own folder.",
    )


def _table_fault(source: str, typed: str, read: str, expected: str, remedy: str) -> PlanError:
    return _fault(source, "boat.offsets", typed, read, expected, remedy)


def _fault(source: str, key: str, typed: str, read: str, expected: str, remedy: str) -> PlanError:
    return PlanError(
        [Fault(file=source, key=f"{key} ({typed})", read=read, expected=expected, remedy=remedy)]
    )
