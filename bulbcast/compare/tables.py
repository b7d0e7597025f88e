"""A study as text: CSV with all digits, a table for the terminal, and an object for JSON."""

from __future__ import annotations

import csv
import io
import textwrap
from typing import TYPE_CHECKING

from bulbcast.compare.columns import Column, key_with_unit
from bulbcast.compare.message import study_message
from bulbcast.quantities import Dimension
from bulbcast.report.scales import scale_for
from bulbcast.report.values import values_of

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from bulbcast.compare.rows import Study, StudyRow
    from bulbcast.compare.vary import Variation
    from bulbcast.quantities import Shown

Json = dict[str, object]

_GAP = "  "
_NARROWEST = 60
_FINDINGS_WIDTH = 24


def study_csv(study: Study) -> str:
    """Return the study as CSV according to RFC 4180: a heading line, a row for each plan, and CRLF at the end of every
    line.

    Args:
        study: The study. [-]

    Returns:
        CSV text. The headings of inputs are `varied.` followed by the key, and those of figures are the keys of the
        results, with the SI unit at the end. Numbers have all the digits needed to read them back exactly. A missing
        figure is an empty field.
    """
    head = [f"varied.{key_with_unit(each.key, each.dimension)}" for each in study.variations]
    head += [column.key for column in study.columns] + ["worst", "findings", "reason"]
    lines = [head]
    for row in study.rows:
        cells = [value if isinstance(value, str) else _digits(value) for value in study.varied(row).values()]
        cells += ["" if value is None else _digits(value) for value in row.values]
        findings = " ".join(f"{severity}:{code}" for severity, code in row.findings)
        cells += [row.worst or "", findings, row.reason]
        lines.append(cells)
    text = io.StringIO()
    csv.writer(text).writerows(lines)
    return text.getvalue()


def study_object(study: Study) -> Json:
    """Return the study as one JSON object.

    Args:
        study: The study. [-]

    Returns:
        A tree of dicts, lists, strings, numbers and None. Figures use the same keys as the results. A row without a
        bulb has no figures, and `faults` gives the reasons.
    """
    return {
        "name": study.name,
        "varied": [
            {
                "key": each.key,
                "typed": list(each.values),
                "values": None if each.numbers is None else list(each.numbers),
                "unit": "" if each.dimension is None else key_with_unit("", each.dimension).lstrip("_"),
            }
            for each in study.variations
        ],
        "speed_m_s": study.speed,
        "rows": [_row_object(study, row) for row in study.rows],
        "failed": study.failed,
        "stopped": study.stopped,
        "notes": list(study.notes),
    }


def _row_object(study: Study, row: StudyRow) -> Json:
    made: Json = {"varied": study.varied(row)}
    if not row.failed:
        for column, value in zip(study.columns, row.values, strict=True):
            _put(made, column.key, value)
    made["worst"] = None if row.worst is None else str(row.worst)
    made["findings"] = [{"severity": str(severity), "code": code} for severity, code in row.findings]
    made["faults"] = [values_of(fault, "key", "read", "expected", "remedy") for fault in row.faults]
    made["reason"] = row.reason or None
    return made


def _put(tree: Json, key: str, value: float | None) -> None:
    branch, dot, rest = key.partition(".")
    if not dot:
        tree[key] = value
        return
    inner = tree.setdefault(branch, {})
    if isinstance(inner, dict):
        _put(inner, rest, value)


def _digits(value: float) -> str:
    text = repr(float(value))
    return text.removesuffix(".0")


# The table for the terminal


def study_table(study: Study, shown: Shown, width: int) -> str:
    """Return the study as a table for the terminal.

    Args:
        study: The study. [-]
        shown: The builder's units. [-]
        width: Width of the terminal, at least 60. Every block contains the inputs and at least one figure. [characters]

    Returns:
        Lines, each with its line end: the varied inputs, figures that are the same in every row, figures that differ,
            in as many blocks as the width requires, and notes. A row without a bulb shows the reason, and any other row
            shows the codes of its most serious findings.
    """
    width = max(width, _NARROWEST)
    lines = textwrap.wrap(_title(study), width) + textwrap.wrap(study_message(study, shown) + ".", width)
    same, blocks = _blocks(study, shown, width)
    if same:
        lines += textwrap.wrap(f"Same in every row: {', '.join(same)}.", width)
    for block in blocks:
        lines += ["", *block]
    if study.notes or study.failed or study.stopped:
        lines.append("")
    counted = [
        f"{count} of {len(study.rows)} rows {what}."
        for count, what in ((study.failed, "without a bulb"), (study.stopped, "with a stop"))
        if count
    ]
    for note in [*counted, *study.notes]:
        lines += textwrap.wrap(note, width)
    return "\n".join(lines) + "\n"


def _title(study: Study) -> str:
    inputs = " by ".join(
        each.in_words + (f" ({len(each.labels)})" if len(each.labels) > 4 else "")
        for each in study.variations
    )
    plural = "s" if len(study.rows) > 1 else ""
    return f"{study.name}: {inputs}; {len(study.rows)} plan{plural}"


class _Cells:
    """A column of the table, with a heading of one or two lines and a cell for each row."""

    def __init__(self, heading: str, unit: str, cells: Sequence[str], *, left: bool = False) -> None:
        self.heading = heading
        self.unit = unit
        self.cells = cells
        self.left = left
        self.width = max(len(heading), len(unit), *map(len, cells))

    def line(self, text: str) -> str:
        return text.ljust(self.width) if self.left else text.rjust(self.width)


def _blocks(study: Study, shown: Shown, width: int) -> tuple[list[str], list[list[str]]]:
    """Return short text for the columns that are the same in all rows, and blocks of lines for the others."""
    inputs = [_input(study, i) for i in range(len(study.variations))]
    same = same_in_every_row(study, shown)
    columns: list[_Cells] = []
    # Drag comes first if it was requested.
    for place, column in sorted(enumerate(study.columns), key=lambda one: not one[1].key.startswith("drag.")):
        if column in same or is_varied(study, column):
            continue
        cells = _shown_cells(column, [row.values[place] for row in study.rows], shown)
        if any(cells):
            unit, bare = _hoisted(cells)
            columns.append(_Cells(column.name, unit, [cell or "-" for cell in bare]))
    room = width - _width(inputs)
    groups: list[list[_Cells]] = [[]]
    for cells_of in columns:
        if groups[-1] and _width([*groups[-1], cells_of]) + len(_GAP) > room:
            groups.append([])
        groups[-1].append(cells_of)
    if _width(groups[-1]) + _FINDINGS_WIDTH + 2 * len(_GAP) > room and groups[-1]:
        groups.append([])
    blocks = []
    for number, group in enumerate(groups):
        last = number == len(groups) - 1
        blocks.append(_block(study, inputs + group, width, inputs=len(inputs), with_findings=last))
    return [f"{column.name} {text}" for column, text in same.items()], blocks


def same_in_every_row(study: Study, shown: Shown) -> dict[Column, str]:
    """Return the columns whose text is the same in every row without a `reason`, and that text. Columns that are empty
    in any of these rows are excluded.

    Args:
        study: The study. [-]
        shown: The builder's units. [-]

    Returns:
        Columns and texts, excluding the inputs; none for a study of one row.
    """
    same = {}
    for place, column in enumerate(study.columns):
        cells = _shown_cells(column, [row.values[place] for row in study.rows], shown)
        said = {cell for cell, row in zip(cells, study.rows, strict=True) if not row.reason}
        if len(said) == 1 and "" not in said and len(study.rows) > 1 and not is_varied(study, column):
            same[column] = said.pop()
    return same


def is_varied(study: Study, column: Column) -> bool:
    """Return whether a column only repeats an input.

    Args:
        study: The study. [-]
        column: One of its columns. [-]

    Returns:
        True, for example, for the length in a study that varies the length.
    """
    return any(column.key == key_with_unit(each.key, each.dimension) for each in study.variations)


def _block(
    study: Study, columns: Sequence[_Cells], width: int, *, inputs: int, with_findings: bool
) -> list[str]:
    heads = [column.line(column.heading) for column in columns]
    units = [column.line(column.unit) for column in columns]
    if with_findings:
        heads.append("findings")
    lines = [_GAP.join(heads).rstrip()]
    if any(column.unit for column in columns):
        lines.append(_GAP.join(units).rstrip())
    for number, row in enumerate(study.rows):
        shown = columns[:inputs] if row.failed else columns
        line = _GAP.join(column.line(column.cells[number]) for column in shown)
        if not row.failed and not with_findings:
            lines.append(line.rstrip())
            continue
        words = f"no bulb: {row.reason}" if row.failed else _findings_words(row)
        if row.failed and not with_findings:
            words = "no bulb"
        lines += _hanging(line, words, width)
    return lines


def _hanging(line: str, words: str, width: int) -> list[str]:
    """Return a line followed by text, wrapped at the full width with a hanging indent."""
    indent = len(line) + len(_GAP)
    if width - indent < _FINDINGS_WIDTH // 2:
        return [line.rstrip(), *textwrap.wrap(words, width, initial_indent=_GAP, subsequent_indent=_GAP)]
    said = textwrap.wrap(words, width - indent, break_on_hyphens=False) or [""]
    return [(line + _GAP + said[0]).rstrip(), *(" " * indent + each for each in said[1:])]


def _findings_words(row: StudyRow) -> str:
    said = "none" if row.worst is None else f"{row.worst}: {', '.join(row.worst_codes)}"
    return f"{said}. {row.reason}" if row.reason else said


def _input(study: Study, place: int) -> _Cells:
    variation: Variation = study.variations[place]
    cells = [variation.labels[row.at[place]] for row in study.rows]
    unit, bare = _hoisted(cells) if variation.dimension is not None else ("", cells)
    heading = f"{variation.section} {variation.leaf}" if variation.section.endswith("]") else variation.leaf
    return _Cells(heading, unit, bare, left=variation.numbers is None)


def _width(columns: Iterable[_Cells]) -> int:
    return sum(column.width + len(_GAP) for column in columns)


def _hoisted(cells: Sequence[str]) -> tuple[str, list[str]]:
    """Return the unit that all cells share, and the cells without it.

    If there is no such unit, return "" and the cells unchanged.
    """
    units = {cell.rpartition(" ")[2] for cell in cells if cell}
    bare = [cell.rpartition(" ")[0] for cell in cells]
    if len(units) != 1 or any(char.isalpha() for cell in bare for char in cell):
        return "", list(cells)
    unit = units.pop()
    # A one-word cell, such as a bare number, has no unit to remove.
    return (unit, bare) if all(bare[i] for i, cell in enumerate(cells) if cell) else ("", list(cells))


def _shown_cells(column: Column, values: Sequence[float | None], shown: Shown) -> list[str]:
    by_dimension = {
        Dimension.LENGTH: shown.length,
        Dimension.MASS: shown.mass,
        Dimension.AREA: shown.area,
        Dimension.VOLUME: shown.volume,
    }
    if column.dimension in by_dimension:
        show = by_dimension[column.dimension]
        return ["" if value is None else show(value) for value in values]
    largest = max((abs(value) for value in values if value is not None), default=0.0)
    scale = scale_for(column.dimension, largest, shown.units)
    unit = f" {scale.unit}" if scale.unit else ""
    return ["" if value is None else f"{_three(scale.shown(value))}{unit}" for value in values]


def _three(value: float) -> str:
    """Format a figure with three decimals below 10, one decimal below 1000 and three significant figures above."""
    if abs(value) >= 1e3:
        return f"{float(f'{value:.3g}'):.0f}"
    return f"{value:.3f}" if abs(value) < 10.0 else f"{value:.1f}"
