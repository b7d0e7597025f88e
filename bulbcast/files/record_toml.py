"""TOML records next to the plans, used for float tests and castings, with new tables added at the end.

The complete text with a new table is parsed again before it is written.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Mapping, Sequence
from datetime import date, datetime
from functools import partial
from pathlib import Path
from typing import TypeVar

from bulbcast.files.records import grown, text_of

Entry = TypeVar("Entry")


def appended(
    path: Path,
    values: Mapping[str, object],
    *,
    table: str,
    begin: str,
    broken: Callable[[Path, str], Exception],
    entries: Callable[[Path, str], Sequence[Entry]],
) -> None:
    """Add a table to the end of a record.

    Args:
        path: Path of the record, which need not exist yet.
        values: Mapping of keys to strings, numbers, booleans, dates, lists of strings, and tables of these.
        table: Name of the table. [-]
        begin: First lines of a new file. [-]
        broken: Function that makes the error for a file that cannot be read.
        entries: Function that parses the record's text.

    Raises:
        PlanError: The record exists but cannot be read; it was left unchanged.
        OSError: The record cannot be written; it is unchanged.
    """

    def after() -> bytes:
        text = text_of(path, partial(broken, path))
        before = () if text is None else entries(path, text)
        whole = (
            f"{(begin if text is None else text).rstrip()}\n\n[[{table}]]\n{toml_lines(values, table=table)}"
        )
        # Read before it is written: it must contain everything from before, and one table more.
        if tuple(entries(path, whole))[:-1] != tuple(before):
            raise OSError(f"{path} would not read back correctly with the new table")
        return whole.encode("utf-8")

    grown(path, after)


def toml_lines(values: Mapping[str, object], *, table: str) -> str:
    """Format a table's keys as TOML, with inner tables last.

    Args:
        values: Mapping of keys to strings, numbers, booleans, dates, lists of strings, and tables of these; None is
            omitted. [-]
        table: Name of the table that contains them. [-]
    """
    lines, inner = [], []
    for key, value in values.items():
        if isinstance(value, Mapping):
            inner.append(f"\n[{table}.{key}]\n{toml_lines(value, table=f'{table}.{key}')}")
        elif value is not None:
            lines.append(f"{key} = {_toml(value)}\n")
    return "".join(lines + inner)


def _toml(value: object) -> str:
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, (int, float)):
        return repr(value)
    if isinstance(value, (datetime, date)):
        return value.isoformat()
    if isinstance(value, (list, tuple)):
        return f"[{', '.join(_toml(one) for one in value)}]"
    # TOML has the same escapes as JSON, except for one character that JSON does not escape.
    return json.dumps(str(value), ensure_ascii=False).replace("\x7f", "\\u007F")
