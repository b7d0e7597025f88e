"""A hull's table of offsets from disk: stations, waterlines, half breadths, each column in its own unit."""

from __future__ import annotations

import csv
import io
import re
from fractions import Fraction
from typing import TYPE_CHECKING

from bulbcast.files.hull_source import METRES
from bulbcast.hull.faults import HullError
from bulbcast.hull.read import faults_of_hull
from bulbcast.plan.faults import PlanError, hull_fault

if TYPE_CHECKING:
    from bulbcast.hull.offsets_hull import OffsetsHull
    from bulbcast.plan.boat_sections import BoatSection

_COLUMN = re.compile(
    r"(x|keel|sheer|sheer[_ ]half|wl[_ ]*([+-]?\d{1,9}(?:\.\d{0,9})?))[\s_]*[\[(]?(mm|cm|m|in|ft)[\])]?"
)
_FIGURE = re.compile(r"[+-]?(\d{1,20}(\.\d{0,20})?|\.\d{1,20})")


def offsets_of_table(source: str, boat: BoatSection, typed: str, content: bytes) -> OffsetsHull:
    """The hull that a table of offsets tells of.

    Args:
        source: How messages call the plan file. [-]
        boat: The plan's [boat].
        typed: The table's path as the plan gives it. [-]
        content: Its bytes. [-]

    Returns:
        The table in boat axes.

    Raises:
        PlanError: It is no table, or no hull can be made of it; with the place.
    """
    from bulbcast.hull.offsets_hull import HullTable, offsets_hull
    from bulbcast.hull.placement import HullPlacement

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
        table = HullTable(
            stations=_whole(by_name["x"]),
            levels=[float(level) for level, _ in waterlines],
            half_breadths=[[row[i] for _, i in waterlines] for row in figures],
            keel=_whole(by_name["keel"]) if "keel" in by_name else None,
            sheer=_whole(by_name["sheer"]) if "sheer" in by_name else None,
            sheer_half_breadths=_whole(by_name["sheer_half"]) if "sheer_half" in by_name else None,
        )
        placement = HullPlacement(
            waterline_level=boat.waterline or 0.0,
            forward_end=boat.forward_end,
            aft_end=boat.aft_end,
            scale=1.0 if boat.scale is None else boat.scale,
        )
        return offsets_hull(table, placement, typed)
    except HullError as error:
        raise PlanError(faults_of_hull(source, f"boat.offsets ({typed})", error)) from None


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
        unit = METRES[match.group(3)]
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


def _table_fault(source: str, typed: str, read: str, expected: str, remedy: str) -> PlanError:
    return hull_fault(source, "boat.offsets", typed, read, expected, remedy)
