"""The drying log next to the plan, a plain text table to which lines are only ever added at the end.

    time,what,part,reading,air,moving air
    2026-06-01T10:00,just set,drag,3029 g,21 C,no

The existing content is kept byte for byte: it is copied with the new lines into a new file, which replaces the old one
in one step. Lines that begin with # are remarks. Wrong entries are fixed or marked with # by hand.

The hash of the log's bytes is in plan.json; the `plan` command uses no clock.
"""

from __future__ import annotations

import csv
import hashlib
from collections.abc import Sequence
from datetime import datetime
from functools import partial
from pathlib import Path
from typing import Literal, cast

from bulbcast.files.records import bytes_of, grown
from bulbcast.foundry.drying.log import DryingLog, LogEntry
from bulbcast.foundry.mould.work import weighed_parts
from bulbcast.plan.faults import Faults, PlanError
from bulbcast.plan.sections import Plan
from bulbcast.quantities import Dimension, QuantityError, joined, quoted, read_quantity
from bulbcast.quantities.moments import A_MOMENT, moment_of

COLUMNS = ("time", "what", "part", "reading", "air", "moving air")
_WHAT = ("just set", "weighed", "temperature")
_LONGEST = 1_000_000
_HEAVIEST = 20_000.0
_HEAD = (
    "# Drying log of the mould, kept by bulbcast dry, with one line for each reading.\n"
    "# Fix a wrong line by hand, or put a # in front of it.\n"
)


def log_path(plan_path: Path) -> Path:
    """Path of a plan's log, next to the plan: for fenwisp.toml it is fenwisp-drying.csv.

    Args:
        plan_path: Path of the plan file.
    """
    return plan_path.with_name(f"{plan_path.stem}-drying.csv")


def drying_log_of(plan: Plan, plan_path: Path) -> DryingLog | None:
    """Log next to a plan; None if there is none or the plan has no plaster mould.

    Args:
        plan: The plan as read.
        plan_path: Path of the plan file.

    Raises:
        PlanError: The log has faults; the error lists all of them.
    """
    parts = weighed_parts(plan)
    return load_drying_log(log_path(plan_path), parts) if parts else None


def load_drying_log(path: Path, parts: Sequence[str]) -> DryingLog | None:
    """Read the log of a mould.

    Args:
        path: Path of the log.
        parts: Names of the mould's parts.

    Returns:
        The log; None if there is no such file.

    Raises:
        PlanError: The file has faults; the error lists all of them.
    """
    content = bytes_of(path, partial(_unreadable, path), largest=_LONGEST)
    return None if content is None else log_of(content, parts, source=str(path))


def _unreadable(path: Path, read: str) -> PlanError:
    faults = Faults(str(path))
    faults.add("the file", read, "a drying log in plain text", "Fix the file, or move it elsewhere.")
    return PlanError(faults.found)


def log_of(content: bytes, parts: Sequence[str], *, source: str) -> DryingLog:
    """Parse a log from its bytes.

    Args:
        content: Content of the file.
        parts: Names of the mould's parts.
        source: Name of the file in messages.

    Raises:
        PlanError: The log has faults; the error lists all of them.
    """
    try:
        text = content.decode("utf-8-sig")
    except UnicodeDecodeError:
        raise _unreadable(Path(source), "bytes that are not UTF-8 text") from None
    faults = Faults(source)
    columns = f"the {len(COLUMNS)} columns {','.join(COLUMNS)}"
    entries: list[LogEntry] = []
    headed = False
    for number, line in enumerate(text.splitlines(), start=1):
        key = f"line {number}"
        if not line.strip() or line.lstrip().startswith("#"):
            continue
        try:
            cells = [cell.strip() for cell in next(csv.reader([line]))]
        except csv.Error as error:
            read = f"a line that cannot be read ({error})"
            faults.add(key, read, columns, "Fix the line, or put a # before it.")
            continue
        if not headed:
            headed = True
            if tuple(cells) != COLUMNS:
                heading = f"the heading {','.join(COLUMNS)}"
                faults.add(key, quoted(line[:80]), heading, "Put the heading back.")
        elif len(cells) != len(COLUMNS):
            faults.add(key, f"{len(cells)} columns", columns, "Fix the line, or put a # before it.")
        else:
            entry = entry_of(cells, parts, faults, key=key, line=number)
            entries += [] if entry is None else [entry]
    if len({entry.time.tzinfo is not None for entry in entries}) > 1:
        faults.add(
            f"line {entries[-1].line}",
            "times with and without a time zone",
            "times that either all have a time zone or all have none",
            "Write every time as the clock in the shed showed it, without a time zone.",
        )
    faults.end()
    return DryingLog(entries=tuple(entries), sha256=hashlib.sha256(content).hexdigest(), source=source)


def entry_of(
    cells: Sequence[str], parts: Sequence[str], faults: Faults, *, key: str, line: int = 0
) -> LogEntry | None:
    """Parse an entry from the cells of a line; None if one of them is wrong.

    Args:
        cells: One cell for each of `COLUMNS`.
        parts: Names of the mould's parts.
        faults: Collection to which faults are added.
        key: Name of the line in messages.
        line: Line number in the file; 0 for a typed line.
    """
    at, what, part, reading, air, moving = cells
    fix = "Fix the line, or put a # before it." if line else "Type it again."
    before = len(faults.found)
    time = moment_of(at)
    if time is None:
        faults.add(key, quoted(at), A_MOMENT, fix)
    if what not in _WHAT:
        faults.add(key, quoted(what), f"one of {joined(list(_WHAT), 'or')}", fix)
    if part not in parts:
        faults.add(
            key,
            quoted(part),
            f"a part of this mould: {joined(list(parts), 'or')}",
            "Fix the name. If the plan's mould has changed, give the old log another name and start a new one."
            if line
            else fix,
        )
    dimension = Dimension.TEMPERATURE if what == "temperature" else Dimension.MASS
    value = value_of(reading, dimension, faults, key=key, fix=fix)
    warmth = value_of(air, Dimension.TEMPERATURE, faults, key=key, fix=fix) if air else None
    if moving not in ("", "yes", "no"):
        faults.add(key, quoted(moving), "yes, no or a blank for moving air", fix)
    if len(faults.found) > before or value is None or time is None:
        return None
    return LogEntry(
        what=cast('Literal["just set", "weighed", "temperature"]', what),
        part=part,
        value=value,
        time=time,
        air=warmth,
        moving_air=None if not moving else moving == "yes",
        line=line,
    )


def value_of(text: str, dimension: Dimension, faults: Faults, *, key: str, fix: str) -> float | None:
    """Read a mass or a temperature from text; None if it is neither.

    Args:
        text: The text as typed.
        dimension: Mass or temperature.
        faults: Collection to which faults are added.
        key: Key of the fault.
        fix: How to fix an impossible value.
    """
    mass = dimension is Dimension.MASS
    try:
        value = read_quantity(text, dimension)
    except QuantityError as error:
        wanted = "a mass such as 3120 g" if mass else "a temperature such as 38 C"
        faults.add(key, error.read, wanted, error.remedy)
        return None
    if mass and not 0.0 < value <= _HEAVIEST:
        faults.add(key, quoted(text), "a mass above zero and up to 20 t", fix)
        return None
    if not mass and not -60.0 <= value <= 1200.0:
        faults.add(key, quoted(text), "a temperature from -60 C to 1200 C", fix)
        return None
    return value


def add_to_log(path: Path, lines: Sequence[str], parts: Sequence[str]) -> DryingLog:
    """Add lines to the end of the log without changing its content.

    Args:
        path: Path of the log, which is created if there is none.
        lines: Lines from `entries_of`; those already in the log are not added again.
        parts: Names of the mould's parts.

    Returns:
        The new log.

    Raises:
        PlanError: The log cannot be read, or already contains another reading of the same part at the same time.
        OSError: The log cannot be written; it is unchanged.
    """
    log = log_of(b"", parts, source=str(path))

    def after() -> bytes | None:
        nonlocal log
        old = bytes_of(path, partial(_unreadable, path), largest=_LONGEST)
        before = b"" if old is None else old
        standing = {line.strip() for line in before.decode("utf-8-sig", errors="replace").splitlines()}
        if old is not None:
            log = log_of(before, parts, source=str(path))
        fresh = [line for line in dict.fromkeys(lines) if line not in standing]
        if not fresh:
            return None
        head = _HEAD + ",".join(COLUMNS) + "\n" if not before.strip() else ""
        gap = "\n" if before and not before.endswith(b"\n") else ""
        whole = before + (gap + head + "".join(f"{line}\n" for line in fresh)).encode("utf-8")
        log = log_of(whole, parts, source=str(path))
        _refuse_contradiction(log, path)
        return whole

    grown(path, after)
    return log


def _refuse_contradiction(log: DryingLog, path: Path) -> None:
    """Report two different readings of the same kind for one part at the same time; one of them must be a mistake."""
    seen: dict[tuple[str, str, datetime], LogEntry] = {}
    faults = Faults(str(path))
    for entry in log.entries:
        first = seen.setdefault((entry.what, entry.part, entry.time), entry)
        if first is not entry and first.value != entry.value:
            faults.add(
                f"line {first.line}",
                f"another reading of {entry.part} at {entry.time.isoformat(timespec='minutes')}",
                "only one reading at that time",
                "Nothing was added. Fix that line or put a # in front of it, or give the new reading a different time.",
            )
    faults.end()
