"""Files that a plan names: their bytes, their figures, and how a fault of one is reported as a fault of the plan."""

from __future__ import annotations

import re
from collections.abc import Iterator
from contextlib import contextmanager
from fractions import Fraction
from pathlib import Path, PureWindowsPath

from bulbcast.disk.bounded import UnreadFileError, bounded_bytes
from bulbcast.disk.refusals import FileRefusedError
from bulbcast.plan.faults import Fault, PlanError
from bulbcast.quantities.units import BY_SYMBOL

METRES = {unit: BY_SYMBOL[unit].factor for unit in ("mm", "cm", "m", "in", "ft")}
"""Metres in each unit that a hull or a table may be in."""
_FIGURE = re.compile(r"[+-]?(\d{1,20}(\.\d{0,20})?|\.\d{1,20})")


@contextmanager
def faults_of(source: str, key: str, typed: str) -> Iterator[None]:
    """Report a refused file as a fault of the plan.

    Args:
        source: How messages call the plan file. [-]
        key: The key that names the file, such as "boat.hull". [-]
        typed: The path as the plan gives it. [-]

    Raises:
        PlanError: The file was refused.
    """
    try:
        yield
    except FileRefusedError as error:
        fault = Fault(source, f"{key} ({typed})", error.read, error.expected, error.remedy)
        raise PlanError([fault]) from None


def named_path(folder: Path, typed: str, *, confined: bool) -> Path:
    """Path of a file that a plan names.

    Args:
        folder: The plan file's own folder. [-]
        typed: The path as the plan gives it. [-]
        confined: Whether it must lie in that folder, links followed: a plan that came over a network may not name
            any other file on this machine. [-]

    Raises:
        FileRefusedError: It must, and does not.
    """
    if not confined:
        return folder / typed
    # Both kinds of slash, and drive letters: a plan is refused on every system or on none.
    steps = PureWindowsPath(typed)
    try:
        path = (folder / typed).resolve()
        leaves = bool(steps.anchor) or ".." in steps.parts or not path.is_relative_to(folder.resolve())
    except (OSError, RuntimeError, ValueError):  # links in a circle, a name that no file can have
        leaves = True
    if leaves:
        remedy = "Put the file into that folder, and give only its name."
        raise FileRefusedError("a path that leads elsewhere", "a file in the plan's own folder", remedy)
    return path


def named_bytes(path: Path, largest: int, expected: str = "a file beside the plan") -> bytes:
    """The bytes of a file that a plan names.

    Args:
        path: Path of the file. [-]
        largest: Most bytes that are read. [-]
        expected: What it should be. [-]

    Raises:
        FileRefusedError: It is not there, is not a file, or is larger.
    """
    try:
        return bounded_bytes(path, largest=largest)
    except UnreadFileError as error:
        remedy = "Fix the name: it is looked for from the plan file's own folder."
        raise FileRefusedError(error.read, expected, remedy) from None


def figure(text: str, unit: Fraction) -> float | None:
    """A plain decimal number in a table, in metres; None where it is not one.

    Args:
        text: Text of the cell, without blanks round it. [-]
        unit: Metres in the column's unit. [-]
    """
    return float(Fraction(text) * unit) if _FIGURE.fullmatch(text) else None
