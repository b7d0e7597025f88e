"""Float tests recorded beside the plan: one TOML file for each plan, a table for each test, the newest last.

Nothing that is in the file is ever changed: a test is set under the text that is there, and the new file takes the place
of the old one in one step.
"""

from __future__ import annotations

import contextlib
import json
import os
import tempfile
import tomllib
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import date, datetime
from pathlib import Path

from bulbcast.plan.faults import Fault, PlanError

FORMAT = "bulbcast float tests"
_LARGEST = 5_000_000


@dataclass(frozen=True, slots=True, kw_only=True)
class RecordedTest:
    """A test on record, as far as it is told again.

    Attributes:
        when: As recorded.
        mass: Too much; too little is negative; None where the record does not say. [kg]
        trim: By the stern; by the bow is negative; None likewise. [m]
        plan_sha256: Of the plan that it was held against.
    """

    when: str
    mass: float | None
    trim: float | None
    plan_sha256: str


def record_path(plan: Path) -> Path:
    """Where the float tests of a plan are recorded: beside it, under its own name.

    Args:
        plan: The plan file.
    """
    return plan.with_name(f"{plan.stem}.floats.toml")


def recorded_tests(plan: Path) -> tuple[RecordedTest, ...]:
    """The float tests on record for a plan.

    Args:
        plan: The plan file.

    Returns:
        In the order they were recorded; none where there is no record.

    Raises:
        PlanError: There is a record that cannot be read.
    """
    path = record_path(plan)
    text = _text_of(path)
    return () if text is None else _tests(path, text)


def recorded(plan: Path, test: Mapping[str, object]) -> Path:
    """Record a float test under those that are there.

    Args:
        plan: The plan file.
        test: Keys to texts, numbers, booleans, dates, lists of texts, and tables of those.

    Returns:
        The record's path.

    Raises:
        PlanError: There is a record that cannot be read; it was left as it is.
        OSError: The disk refused; the record is as it was.
    """
    path = record_path(plan)
    with _alone(path.parent):
        text = _text_of(path)
        before = () if text is None else _tests(path, text)
        if text is None:
            text = (
                f"# Float tests of {plan.name}, the newest last. Written by bulbcast; lines may be added by hand.\n"
                f'format = "{FORMAT}"\n'
            )
        whole = f"{text.rstrip()}\n\n[[test]]\n{toml_lines(test)}"
        # Read before it is written: what was there must still be there, and one test more.
        after = _tests(path, whole)
        if after[:-1] != before:
            raise OSError(f"{path} would not have read as before")
        _put(path, whole.encode("utf-8"))
    return path


def toml_lines(values: Mapping[str, object], *, table: str = "test") -> str:
    """A table's keys as TOML, inner tables last.

    Args:
        values: Keys to texts, numbers, booleans, dates, lists of texts, and tables of those; None is left out. [-]
        table: Name of the table that they stand in. [-]
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
    # JSON's escapes are TOML's too, but for the one character that JSON leaves as it is.
    return json.dumps(str(value), ensure_ascii=False).replace("\x7f", "\\u007F")


def _text_of(path: Path) -> str | None:
    if not os.path.lexists(path):
        return None
    try:
        if not path.is_file():
            raise _broken(path, "something that is no file")
        if path.stat().st_size > _LARGEST:
            raise _broken(path, f"a file of more than {_LARGEST // 1_000_000} MB")
        return path.read_bytes().decode("utf-8")
    except OSError as error:
        raise _broken(path, f"a file that cannot be read ({error.strerror})") from None
    except UnicodeDecodeError:
        raise _broken(path, "a file that is no text in UTF-8") from None


def _tests(path: Path, text: str) -> tuple[RecordedTest, ...]:
    try:
        table = tomllib.loads(text)
    except (tomllib.TOMLDecodeError, ValueError, RecursionError) as error:
        raise _broken(path, f"text that is no TOML ({str(error)[:80]})") from None
    tests = table.get("test", [])
    if table.get("format") != FORMAT or not isinstance(tests, list):
        raise _broken(path, "a file of another kind")
    found = []
    for one in tests:
        if not isinstance(one, dict):
            raise _broken(path, "a test that is no table")
        too_much = one.get("too_much")
        figures = too_much if isinstance(too_much, dict) else {}
        found.append(
            RecordedTest(
                when=str(one.get("when", "")),
                mass=_figure(figures.get("mass_kg")),
                trim=_figure(figures.get("trim_by_stern_m")),
                plan_sha256=str(one.get("plan_sha256", "")),
            )
        )
    return tuple(found)


def _figure(value: object) -> float | None:
    return float(value) if isinstance(value, (int, float)) and not isinstance(value, bool) else None


def _put(path: Path, content: bytes) -> None:
    """Write a file so that its old or its new content is there at any moment."""
    target = path.resolve() if path.is_symlink() else path
    handle, name = tempfile.mkstemp(prefix=f".{target.name}.part-", dir=target.parent)
    try:
        with os.fdopen(handle, "wb") as part:
            part.write(content)
            part.flush()
            os.fsync(part.fileno())
        os.chmod(name, target.stat().st_mode & 0o777 if target.exists() else 0o644)
        os.replace(name, target)
    except BaseException:
        with contextlib.suppress(OSError):
            os.unlink(name)
        raise


@contextlib.contextmanager
def _alone(folder: Path) -> Iterator[None]:
    """Keep a second test that is recorded at the same time waiting, where the system can."""
    try:
        import fcntl
    except ImportError:
        yield
        return
    handle = os.open(folder, os.O_RDONLY)
    try:
        fcntl.flock(handle, fcntl.LOCK_EX)
        yield
    finally:
        os.close(handle)


def _broken(path: Path, read: str) -> PlanError:
    return PlanError(
        [
            Fault(
                file=str(path),
                key="the record of float tests",
                read=read,
                expected=f'TOML with format = "{FORMAT}" and a [[test]] for each test',
                remedy="Mend it or move it away; with --no-record it is left alone.",
            )
        ]
    )
