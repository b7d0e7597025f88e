"""The drying log beside the plan: an open table of text, read whole, added to at its end, never rewritten.

    time,what,part,reading,air,moving air
    2026-06-01T10:00,just set,drag,3029 g,21 C,no

What stands in the file stays as it is, byte for byte: new lines are put after it in a new file that takes the old one's
place in one step. Lines that begin with # are remarks. An entry that is wrong is mended or marked with # by hand.
"""

from __future__ import annotations

import csv
import hashlib
import os
import tempfile
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from datetime import datetime
from functools import partial
from pathlib import Path
from typing import Literal, cast

from bulbcast.casting.drying import DryingLog, LogEntry
from bulbcast.plan.faults import Fault, PlanError
from bulbcast.plan.sections import Plan
from bulbcast.planning.mould import weighed_parts
from bulbcast.quantities import Dimension, QuantityError, joined, quoted, read_quantity

COLUMNS = ("time", "what", "part", "reading", "air", "moving air")
_WHAT = ("just set", "weighed", "temperature")
_LONGEST = 1_000_000
_HEAD = (
    "# Drying log of the mould, kept by bulbcast dry: one line a reading.\n"
    "# A wrong line is mended by hand, or gets a # before it.\n"
)


def log_path(plan_path: Path) -> Path:
    """Where the log of a plan lies: beside it, fenwisp.toml's as fenwisp-drying.csv.

    Args:
        plan_path: Of the plan file.
    """
    return plan_path.with_name(f"{plan_path.stem}-drying.csv")


def drying_log_of(plan: Plan, plan_path: Path) -> DryingLog | None:
    """The log beside a plan; None where there is none, or the plan has no plaster mould.

    Args:
        plan: As read.
        plan_path: Of its file.

    Raises:
        PlanError: With every fault of the log.
    """
    parts = weighed_parts(plan)
    return load_drying_log(log_path(plan_path), parts) if parts else None


def load_drying_log(path: Path, parts: Sequence[str]) -> DryingLog | None:
    """The log of a mould.

    Args:
        path: Of the log.
        parts: Names of the mould's parts.

    Returns:
        The log; None where there is no such file.

    Raises:
        PlanError: With every fault of the file.
    """
    content = _bytes_of(path)
    return None if content is None else log_of(content, parts, source=str(path))


def _bytes_of(path: Path) -> bytes | None:
    try:
        if not os.path.lexists(path):
            return None
        if path.is_dir():
            raise _unreadable(path, "a directory")
        if path.stat().st_size > _LONGEST:
            raise _unreadable(path, "a file of more than 1 MB")
        return path.read_bytes()
    except OSError as error:
        raise _unreadable(path, f"nothing ({error.strerror})") from None


def _unreadable(path: Path, read: str) -> PlanError:
    return PlanError(
        [
            Fault(
                file=str(path),
                key="the file",
                read=read,
                expected="a drying log in plain text",
                remedy="Move it out of the way, or mend it.",
            )
        ]
    )


def log_of(content: bytes, parts: Sequence[str], *, source: str) -> DryingLog:
    """A log out of its bytes.

    Args:
        content: Of the file.
        parts: Names of the mould's parts.
        source: What messages call the file.

    Raises:
        PlanError: With every fault.
    """
    faults: list[Fault] = []

    def fault(line: int, read: str, expected: str, remedy: str) -> None:
        faults.append(Fault(file=source, key=f"line {line}", read=read, expected=expected, remedy=remedy))

    try:
        text = content.decode("utf-8-sig")
    except UnicodeDecodeError:
        raise _unreadable(Path(source), "bytes that are no UTF-8 text") from None
    entries: list[LogEntry] = []
    headed = False
    for number, line in enumerate(text.splitlines(), start=1):
        if not line.strip() or line.lstrip().startswith("#"):
            continue
        cells = [cell.strip() for cell in next(csv.reader([line]))]
        if not headed:
            headed = True
            if tuple(cells) != COLUMNS:
                fault(number, quoted(line[:80]), f"the heading {','.join(COLUMNS)}", "Put the heading back.")
            continue
        if len(cells) != len(COLUMNS):
            fault(
                number,
                f"{len(cells)} columns",
                f"the {len(COLUMNS)} columns {','.join(COLUMNS)}",
                "Mend the line, or put a # before it.",
            )
            continue
        entry = _entry(cells, parts, number, partial(fault, number))
        if entry is not None:
            entries.append(entry)
    zones = {entry.time.tzinfo is not None for entry in entries}
    if len(zones) > 1:
        fault(
            entries[-1].line,
            "times with and without a time zone",
            "all of one kind, so that they can be compared",
            "Write every time as the clock in the shed showed it, without a zone.",
        )
    if faults:
        raise PlanError(faults)
    return DryingLog(entries=tuple(entries), sha256=hashlib.sha256(content).hexdigest(), source=source)


def _entry(
    cells: list[str], parts: Sequence[str], line: int, fault: Callable[[str, str, str], None]
) -> LogEntry | None:
    at, what, part, reading, air, moving = cells
    time = _time(at)
    mend = "Mend the line, or put a # before it."
    good = True
    if time is None:
        fault(quoted(at), "a day and a time such as 2026-06-01T10:00", mend)
        good = False
    if what not in _WHAT:
        fault(quoted(what), f"one of {joined(list(_WHAT), 'or')}", mend)
        good = False
    if part not in parts:
        fault(
            quoted(part),
            f"a part of this mould: {joined(list(parts), 'or')}",
            "Mend the name; where the plan's mould has changed, give the old log another name and begin anew.",
        )
        good = False
    value = _value(reading, Dimension.TEMPERATURE if what == "temperature" else Dimension.MASS, fault, mend)
    warmth = None
    if air:
        warmth = _value(air, Dimension.TEMPERATURE, fault, mend)
        good = good and warmth is not None
    if moving not in ("", "yes", "no"):
        fault(quoted(moving), "yes, no or nothing for moving air", mend)
        good = False
    if not good or value is None or time is None:
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


def _time(text: str) -> datetime | None:
    """A day and a time; None where the text is none, or has no time of day."""
    try:
        time = datetime.fromisoformat(text) if len(text) > 10 else None
    except ValueError:
        return None
    return None if time is None or not 1970 <= time.year < 2200 else time


def _value(
    text: str, dimension: Dimension, fault: Callable[[str, str, str], None], mend: str
) -> float | None:
    try:
        value = read_quantity(text, dimension)
    except QuantityError as error:
        fault(error.read, "a mass such as 3120 g" if dimension is Dimension.MASS else "a temperature such as 38 C",
              error.remedy)  # fmt: skip
        return None
    if dimension is Dimension.MASS and not value > 0.0:
        fault(quoted(text), "a mass above nought", mend)
        return None
    return value


# Adding


def present(
    at: str | None,
    log: DryingLog | None,
    typed: Sequence[tuple[str, str]],
    *,
    plan: Plan,
    room: str | None,
    moving_air: bool | None,
) -> datetime:
    """The moment to judge at: as typed, or the machine's clock; and what the command's options need of the plan.

    Args:
        at: As typed, or None.
        log: As it stands, or None: whether its times bear a zone.
        typed: Readings as typed.
        plan: The plan.
        room: Temperature of the air as typed, or None.
        moving_air: As given, or None.

    Returns:
        The moment, with a time zone where the log's times have one.

    Raises:
        PlanError: With every fault.
    """
    faults: list[Fault] = []

    def fault(key: str, read: str, expected: str, remedy: str) -> None:
        faults.append(Fault(file=plan.source, key=key, read=read, expected=expected, remedy=remedy))

    if not weighed_parts(plan):
        sand = plan.mould is not None
        fault(
            "[mould]",
            "a mould of sand" if sand else "nothing",
            "a mould of plaster, which is weighed while it dries",
            "A sand mould is told by the moisture of its sand: sand_moisture under [mould]."
            if sand
            else 'Add [mould] with material = "plaster".',
        )
    if (room is not None or moving_air is not None) and not any(what == "weighed" for what, _ in typed):
        fault(
            "--room" if room is not None else "--moving-air",
            "the air without a weighing",
            "it with a weighing that was made in it",
            'Add --weighed "PART=MASS@TIME".',
        )
    moment = datetime.now() if at is None else _time(at.strip())
    if moment is None:
        fault("--at", quoted(at or ""), "a day and a time such as 2026-06-01T10:00", "Write it so.")
    times = [one.rpartition("@")[2].strip() for _, one in typed if "@" in one]
    known = [time for time in map(_time, times) if time is not None]
    zoned = (
        log.entries[0].time.tzinfo is not None if log and log.entries else any(one.tzinfo for one in known)
    )
    if moment is not None and zoned != (moment.tzinfo is not None):
        if at is None:
            moment = moment.astimezone()
        else:
            fault(
                "--at",
                quoted(at),
                f"a time {'with' if zoned else 'without'} a time zone, as the log's are",
                "Write it as the log's times are written.",
            )
    if faults or moment is None:
        raise PlanError(faults)
    return moment


def entries_of(
    typed: Sequence[tuple[str, str]],
    *,
    parts: Sequence[str],
    now: datetime,
    air: str | None,
    moving_air: bool | None,
    source: str,
) -> tuple[str, ...]:
    """Lines of the log for what was typed.

    Args:
        typed: What, as the log calls it, and its text "part=reading@time"; without a time: now.
        parts: Names of the mould's parts.
        now: The moment, for readings without a time.
        air: Temperature of the air round the part as typed, or None.
        moving_air: Whether that air was moved; None where not said.
        source: What messages call the plan.

    Returns:
        Lines without their ends, in the order typed.

    Raises:
        PlanError: With every fault.
    """
    faults: list[Fault] = []
    lines: list[str] = []
    stretch = "" if moving_air is None else "yes" if moving_air else "no"
    for what, text in typed:
        option = {"just set": "--just-set", "weighed": "--weighed", "temperature": "--temperature"}[what]

        def fault(read: str, expected: str, remedy: str, key: str = option) -> None:
            faults.append(Fault(file=source, key=key, read=read, expected=expected, remedy=remedy))

        part, equals, rest = text.partition("=")
        reading, at, time = rest.rpartition("@") if "@" in rest else (rest, "", "")
        if not equals or not reading.strip():
            example = "62 C" if what == "temperature" else "3120 g"
            fault(
                quoted(text),
                "part=reading@time",
                f'Write {option} "{parts[0]}={example}@2026-06-01T10:00", say.',
            )
            continue
        cells = [
            time.strip() if at else now.isoformat(timespec="minutes"),
            what,
            part.strip(),
            reading.strip(),
            "" if air is None or what != "weighed" else air.strip(),
            stretch if what == "weighed" else "",
        ]
        if any("," in cell or not cell.isprintable() for cell in cells):
            fault(
                quoted(text), "part=reading@time without commas", "Take the comma out; a decimal has a point."
            )
        elif _entry(cells, parts, 0, fault) is not None:
            lines.append(",".join(cells))
    if faults:
        raise PlanError(faults)
    return tuple(lines)


def add_to_log(path: Path, lines: Sequence[str], parts: Sequence[str]) -> DryingLog:
    """Put lines at the end of the log; what stands in it stays.

    Args:
        path: Of the log; made where there is none.
        lines: From `entries_of`; those that stand in the log already are not put in again.
        parts: Names of the mould's parts.

    Returns:
        The log as it now is.

    Raises:
        PlanError: The log cannot be read, or another reading of the same part at the same time stands in it.
        OSError: The disk refused; the log is as it was.
    """
    with _alone(path.parent):
        old = _bytes_of(path)
        before = b"" if old is None else old
        standing = {line.strip() for line in before.decode("utf-8-sig", errors="replace").splitlines()}
        if old is not None:
            log_of(before, parts, source=str(path))
        fresh = [line for line in dict.fromkeys(lines) if line not in standing]
        if not fresh:
            return log_of(before, parts, source=str(path))
        head = _HEAD + ",".join(COLUMNS) + "\n" if not before.strip() else ""
        gap = "\n" if before and not before.endswith(b"\n") else ""
        after = before + (gap + head + "".join(f"{line}\n" for line in fresh)).encode("utf-8")
        log = log_of(after, parts, source=str(path))
        _refuse_contradiction(log, path)
        _replace(path, after)
        return log


def _refuse_contradiction(log: DryingLog, path: Path) -> None:
    """Two different readings of one kind of one part at one time: one of them is a slip."""
    seen: dict[tuple[str, str, datetime], LogEntry] = {}
    faults = []
    for entry in log.entries:
        first = seen.setdefault((entry.what, entry.part, entry.time), entry)
        if first is not entry and first.value != entry.value:
            faults.append(
                Fault(
                    file=str(path),
                    key=f"line {first.line}",
                    read=f"another reading of {entry.part} at {entry.time.isoformat(timespec='minutes')}",
                    expected="one reading at one time",
                    remedy="Nothing was added. Mend that line or put a # before it, or give the new reading its own time.",
                )
            )
    if faults:
        raise PlanError(faults)


@contextmanager
def _alone(folder: Path) -> Iterator[None]:
    """One writer at a time, where the system can tell: two calls at once must not lose a line."""
    try:
        import fcntl
    except ImportError:  # no such lock on this system
        yield
        return
    handle = os.open(folder, os.O_RDONLY)
    try:
        fcntl.flock(handle, fcntl.LOCK_EX)
        yield
    finally:
        os.close(handle)


def _replace(path: Path, content: bytes) -> None:
    target = path.resolve() if path.is_symlink() else path
    handle, name = tempfile.mkstemp(prefix=f".{target.name}.part-", dir=target.parent)
    try:
        with os.fdopen(handle, "wb") as file:
            file.write(content)
            file.flush()
            os.fsync(file.fileno())
        os.chmod(name, target.stat().st_mode & 0o777 if target.exists() else 0o644)
        os.replace(name, target)
    except BaseException:
        Path(name).unlink(missing_ok=True)
        raise
