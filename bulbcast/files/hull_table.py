"""Reader for a hull's table of offsets, with stations, waterlines and half breadths, each column in a unit given in its
heading."""

from __future__ import annotations

import csv
import io
import re
from fractions import Fraction

from bulbcast.disk.refusals import FileRefusedError
from bulbcast.files.named import METRES, figure
from bulbcast.hull.offsets_hull import HullTable

_COLUMN = re.compile(
    r"(x|keel|sheer|sheer[_ ]half|wl[_ ]*([+-]?\d{1,9}(?:\.\d{0,9})?))[\s_]*[\[(]?(mm|cm|m|in|ft)[\])]?"
)

Column = tuple[str, Fraction | None, Fraction]
"""Name of a column, its height if it is a waterline [m], and the length of its unit [m]."""


def hull_table_of(content: bytes) -> HullTable:
    """Read the table of offsets in a file.

    Args:
        content: Bytes of the file. [-]

    Raises:
        FileRefusedError: The file is not a valid table; the error says where.
    """
    try:
        text = content.decode("utf-8-sig")
        rows = [row for row in csv.reader(io.StringIO(text)) if any(cell.strip() for cell in row)]
    except (UnicodeDecodeError, csv.Error):
        raise FileRefusedError(
            "a file that is not a table", "CSV in UTF-8", "Save it as plain CSV."
        ) from None
    if len(rows) < 2:
        raise FileRefusedError(
            "no rows below a heading", "a heading and a row for each station", "Add them to the file."
        )
    columns = _heading(rows[0])
    figures = [_row(columns, row, number) for number, row in enumerate(rows[1:], start=2)]
    # Waterlines in order of height, whatever the order of the columns.
    waterlines = sorted((level, i) for i, (_, level, _) in enumerate(columns) if level is not None)
    by_name = {
        name: [value for row in figures if (value := row[i]) is not None]
        for i, (name, level, _) in enumerate(columns)
        if level is None
    }
    return HullTable(
        stations=by_name["x"],
        levels=[float(level) for level, _ in waterlines],
        half_breadths=[[row[i] for _, i in waterlines] for row in figures],
        keel=by_name.get("keel"),
        sheer=by_name.get("sheer"),
        sheer_half_breadths=by_name.get("sheer_half"),
    )


def _heading(cells: list[str]) -> list[Column]:
    columns: list[Column] = []
    for cell in cells:
        match = _COLUMN.fullmatch(cell.strip().lower())
        if match is None:
            raise FileRefusedError(
                f'a column headed "{cell.strip()[:40]}"',
                "headings such as x_mm, keel_mm, sheer_mm, sheer_half_mm, and wl_-20_mm for each waterline",
                "Fix the heading: it must end with its unit (mm, cm, m, in or ft). In the heading of a waterline, put "
                "the height before the unit.",
            )
        unit = METRES[match.group(3)]
        level = None if match.group(2) is None else Fraction(match.group(2)) * unit
        name = match.group(1).replace(" ", "_") if level is None else f"wl {level}"
        columns.append((name, level, unit))
    names = [name for name, _, _ in columns]
    doubled = sorted({name for name in names if names.count(name) > 1})
    if doubled or "x" not in names:
        read = f"{', '.join(doubled)} more than once" if doubled else "no column x"
        raise FileRefusedError(read, "one column x, and no column more than once", "Fix the heading.")
    return columns


def _row(columns: list[Column], cells: list[str], number: int) -> list[float | None]:
    if len(cells) != len(columns):
        raise FileRefusedError(
            f"row {number} with {len(cells)} cells",
            f"{len(columns)}, one for each column of the heading",
            "Use a decimal point, and leave a cell empty if the hull has no point there.",
        )
    values: list[float | None] = []
    for (name, level, unit), cell in zip(columns, cells, strict=True):
        text = cell.strip()
        value = figure(text, unit)
        if value is None and (text or level is None):
            place = f"row {number}, column {name}"
            raise FileRefusedError(
                f'"{text[:40]}" in {place}' if text else f"nothing in {place}",
                "a plain decimal number" + (", or nothing" if level is not None else ""),
                "Write the number without a unit; the heading gives the unit.",
            )
        values.append(value)
    return values
