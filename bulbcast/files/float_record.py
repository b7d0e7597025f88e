"""Float tests recorded next to the plan. Each plan has one TOML file, with a table for each test, newest last.

The bundle does not depend on the float record, so the same plan gives the same bytes after every test. The record is
reported by `float` and `ballast`.
"""

from __future__ import annotations

import math
import tomllib
from collections.abc import Mapping
from functools import partial
from pathlib import Path

from bulbcast.afloat.chapter import RecordedTest
from bulbcast.files.record_toml import appended
from bulbcast.files.records import text_of
from bulbcast.plan.faults import Fault, PlanError
from bulbcast.quantities import quoted

FORMAT = "bulbcast float tests"
_MOST_MASS, _MOST_TRIM, _LONGEST_TIME = 1e5, 100.0, 40
"""Limits that no boat in a plan can exceed. [kg], [m], [characters]"""


def record_path(plan: Path) -> Path:
    """Path of the record of float tests, next to the plan and named after it.

    Args:
        plan: The plan file.
    """
    return plan.with_name(f"{plan.stem}.floats.toml")


def recorded_tests(plan: Path) -> tuple[RecordedTest, ...]:
    """Return the recorded float tests of a plan.

    Args:
        plan: The plan file.

    Returns:
        The tests in the order they were recorded; none if there is no record.

    Raises:
        PlanError: The record exists but cannot be read.
    """
    path = record_path(plan)
    text = text_of(path, partial(_broken, path))
    return () if text is None else _tests(path, text)


def recorded(plan: Path, test: Mapping[str, object]) -> Path:
    """Add a float test to the end of the record.

    Args:
        plan: The plan file.
        test: Mapping of keys to strings, numbers, booleans, dates, lists of strings, and tables of these.

    Returns:
        The record's path.

    Raises:
        PlanError: The record exists but cannot be read; it was left unchanged.
        OSError: The record cannot be written; it is unchanged.
    """
    path = record_path(plan)
    begin = (
        f"# Float tests of {plan.name}, newest last. Written by bulbcast; lines may be added by hand.\n"
        f'format = "{FORMAT}"\n'
    )
    appended(path, test, table="test", begin=begin, broken=_broken, entries=_tests)
    return path


def _tests(path: Path, text: str) -> tuple[RecordedTest, ...]:
    try:
        # Editors of some systems put a byte-order mark first, which TOML does not know.
        table = tomllib.loads(text.removeprefix("\ufeff"))
    except (tomllib.TOMLDecodeError, ValueError, RecursionError) as error:
        raise _broken(path, f"text that is not TOML ({str(error)[:80]})") from None
    tests = table.get("test", [])
    if table.get("format") != FORMAT or not isinstance(tests, list):
        raise _broken(path, "a file of another kind")
    found = []
    for number, one in enumerate(tests, start=1):
        test = f"test {number}"
        if not isinstance(one, dict):
            raise _broken(path, f"{test}, which is not a table")
        too_much = one.get("too_much")
        figures = too_much if isinstance(too_much, dict) else {}
        found.append(
            RecordedTest(
                when=_time(path, test, one.get("when", "")),
                mass=_figure(path, test, "mass_kg", figures, _MOST_MASS, "kg"),
                trim=_figure(path, test, "trim_by_stern_m", figures, _MOST_TRIM, "m"),
            )
        )
    return tuple(found)


def _figure(
    path: Path, test: str, key: str, figures: Mapping[str, object], most: float, unit: str
) -> float | None:
    """Recorded figure; None if there is none or it is not a number."""
    value = figures.get(key)
    if not isinstance(value, (int, float)) or isinstance(value, bool):
        return None
    # A whole number is checked against the limit before it becomes a float: TOML's may be too long for a float.
    if not abs(value) <= most or not math.isfinite(value):
        read = (
            f"{key} = {value:g}" if isinstance(value, float) else f"{key} with {len(str(abs(value)))} digits"
        )
        raise _broken(
            path,
            f"{read} in {test}",
            f"a figure from {-most:g} to {most:g} {unit}",
            "Fix that line, or put # before each line of that test; with --no-record the file is left alone.",
        )
    return float(value)


def _time(path: Path, test: str, value: object) -> str:
    """Recorded time in a form that can be shown."""
    text = str(value)
    if len(text) > _LONGEST_TIME or not text.isprintable():
        raise _broken(
            path,
            f"when = {quoted(text)} in {test}",
            "a day or a time such as 2026-06-01T10:00",
            "Fix that line, or put # before each line of that test; with --no-record the file is left alone.",
        )
    return text


def _broken(
    path: Path,
    read: str,
    expected: str = f'TOML with format = "{FORMAT}" and a [[test]] for each test',
    remedy: str = "Fix it or move it elsewhere; with --no-record it is left alone.",
) -> PlanError:
    return PlanError([Fault(str(path), "the record of float tests", read, expected, remedy)])
