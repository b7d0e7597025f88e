"""Tables of ordinates, read as a profile, and written from a sized bulb in a form that can be read again."""

from __future__ import annotations

import csv
import hashlib
import io
import math
import re
from fractions import Fraction
from pathlib import Path

import numpy as np

from bulbcast.disk.refusals import FileRefusedError
from bulbcast.files.named import METRES, faults_of, figure, named_bytes, named_path
from bulbcast.job import Job, OffsetsTable

_COLUMNS = ("x", "r", "half_width", "half_height")
_LONGEST = 2_000_000
_STATIONS = 201


def offsets_csv(job: Job) -> str:
    """Write the finished lead body as a table whose points are close enough at both ends to be read again as a profile.

    Args:
        job: The results.

    Returns:
        `x_mm,r_mm,half_width_mm,half_height_mm`, from nose to tail face.
    """
    body = job.bulb.body
    # Cosine spacing puts more stations where the outline curves, at nose and tail.
    x = 0.5 * body.length * (1.0 - np.cos(np.linspace(0.0, math.pi, _STATIONS)))
    x = np.unique(np.append(x, body.max_at))
    r = body.radius(x)
    r[0] = 0.0
    a = math.sqrt(body.width_to_height)
    lines = ["x_mm,r_mm,half_width_mm,half_height_mm"]
    for station, radius in zip(x * 1e3, r * 1e3, strict=True):
        lines.append(f"{station:.7f},{radius:.7f},{radius * a:.7f},{radius / a:.7f}")
    return "\n".join(lines) + "\n"


def load_offsets(folder: Path, *, plan_source: str, typed: str, confined: bool = False) -> OffsetsTable:
    """Read a table of ordinates from disk.

    Args:
        folder: Folder of the plan file.
        plan_source: Name of the plan file in messages.
        typed: Path of the table as written in the plan. The table has a heading that names columns and units
            (`x_mm,r_mm` or `x (in),r (in)`), then figures.
        confined: Whether the path must stay inside that folder.

    Returns:
        The table, in m.

    Raises:
        PlanError: The file cannot be read or used; the error says where, and how to fix it.
    """
    with faults_of(plan_source, "bulb.offsets", typed):
        content = named_bytes(
            named_path(folder, typed, confined=confined), _LONGEST, "a CSV file next to the plan"
        )
        rows = _rows(content)
        columns = _heading(rows[0])
        values: dict[str, list[float]] = {name: [] for name, _ in columns}
        for number, row in enumerate(rows[1:], start=2):
            if len(row) != len(columns):
                raise FileRefusedError(
                    f"row {number} with {len(row)} figures",
                    f"{len(columns)} figures, one for each column of the heading",
                    "Use a decimal point: a comma begins the next column.",
                )
            for (name, factor), cell in zip(columns, row, strict=True):
                value = figure(cell.strip(), factor)
                if value is None:
                    raise FileRefusedError(
                        f'"{cell.strip()[:40]}" in row {number}',
                        "a plain decimal number",
                        "Write the number without a unit; the heading gives the unit.",
                    )
                values[name].append(value)
        ratio = _ratio(values) if "half_width" in values else None
    return OffsetsTable(
        x=tuple(values["x"]),
        r=tuple(values["r"]),
        width_to_height=ratio,
        source=typed,
        sha256=hashlib.sha256(content).hexdigest(),
    )


def _rows(content: bytes) -> list[list[str]]:
    try:
        text = content.decode("utf-8-sig").replace("\r\n", "\n").replace("\r", "\n")
        rows = [row for row in csv.reader(io.StringIO(text)) if any(cell.strip() for cell in row)]
    except UnicodeDecodeError:
        raise FileRefusedError(
            "a file that is not text", "a CSV file in UTF-8", "Save it as plain CSV."
        ) from None
    except csv.Error as error:
        raise FileRefusedError(
            f"a table that cannot be read ({error})", "CSV", "Save it as plain CSV."
        ) from None
    if not rows:
        raise FileRefusedError("an empty file", "a heading and rows", "Add the ordinates to the file.")
    return rows


def _heading(cells: list[str]) -> list[tuple[str, Fraction]]:
    columns = []
    for cell in cells:
        match = re.fullmatch(r"\s*([a-z_ ]+?)[\s_]*[\[(]?(mm|cm|m|in|ft)[\])]?\s*", cell.lower())
        name = match.group(1).strip().replace(" ", "_") if match else ""
        if match is None or name not in _COLUMNS:
            raise FileRefusedError(
                f'a column headed "{cell.strip()[:40]}"',
                "headings such as x_mm and r_mm, with the unit (mm, cm, m, in, ft); half_width_mm and "
                "half_height_mm may follow",
                "Write the heading as the first line, and omit other columns.",
            )
        columns.append((name, METRES[match.group(2)]))
    names = [name for name, _ in columns]
    whole = {"x", "r"} <= set(names) and ("half_width" in names) == ("half_height" in names)
    if len(set(names)) != len(names) or not whole:
        raise FileRefusedError(
            f"the columns {', '.join(names)}",
            "x and r once each, and both half_width and half_height or neither",
            "Fix the heading.",
        )
    return columns


def _ratio(values: dict[str, list[float]]) -> float | None:
    """Return the ratio of half width to half height, which must be the same at every station; None if undefined."""
    width, height = np.array(values["half_width"]), np.array(values["half_height"])
    radius = np.array(values["r"])
    thick = radius > 0.05 * float(np.max(radius, initial=0.0))
    if not np.any(thick) or np.any(width[thick] <= 0.0) or np.any(height[thick] <= 0.0):
        return None
    ratios = width[thick] / height[thick]
    area = width[thick] * height[thick] / radius[thick] ** 2
    if float(np.ptp(ratios)) > 2e-3 * float(np.mean(ratios)) or np.any(np.abs(area - 1.0) > 2e-3):
        raise FileRefusedError(
            "half widths and heights whose ratio varies, or whose areas do not match the radii",
            "elliptical sections, all with the same width_to_height and the area of a circle of radius r",
            "Remove those two columns and give bulb.width_to_height.",
        )
    return float(np.mean(ratios))
