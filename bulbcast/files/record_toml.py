"""Records in TOML beside the plans, shared by float tests and castings: tables added under those already there.

A table is added under the text, and the whole is read again before it is written.
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
    """Add a table at the end of a record.

    Args:
        path: Path of the record; it need not exist yet.
        values: Maps keys to texts, numbers, booleans, dates, lists of texts, and tables of those.
        table: Name of the table. [-]
        begin: How a new file begins. [-]
        broken: Makes the error for a file that cannot be read.
        entries: Parses its text.

    Raises:
        PlanError: There is a record, but it cannot be read; it was left as it is.
        OSError: The disk refused; the record is as it was.
    """

    def after() -> bytes:
        text = text_of(path, partial(broken, path))
        before = () if text is None else entries(path, text)
        whole = (
            f"{(begin if text is None else text).rstrip()}\n\n[[{table}]]\n{toml_lines(values, table=table)}"
        )
        # Read before it is written: what was there must still be there, and one more.
        if tuple(entries(path, whole))[:-1] != tuple(before):
            raise OSError(f"{path} would not have read as before")
        return whole.encode("utf-8")

    grown(path, after)


def toml_lines(values: Mapping[str, object], *, table: str) -> str:
    """A table's keys as TOML, inner tables last.

    Args:
        values: Maps keys to texts, numbers, booleans, dates, lists of texts, and tables of those; None is left out. [-]
        table: Name of the table that they are in. [-]
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
    # JSON's escapes are also TOML's, except for the one character that JSON leaves as it is.
    return json.dumps(str(value), ensure_ascii=False).replace("\x7f", "\\u007F")
