"""Files named in a plan: reading their bytes and figures, and reporting their faults as faults of the plan."""

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
"""Length in metres of each unit allowed for a hull or a table."""
_FIGURE = re.compile(r"[+-]?(\d{1,20}(\.\d{0,20})?|\.\d{1,20})")


@contextmanager
def faults_of(source: str, key: str, typed: str) -> Iterator[None]:
    """Report a refused file as a fault in the plan.

    Args:
        source: Name of the plan file in messages. [-]
        key: Key that names the file, such as "boat.hull". [-]
        typed: Path as written in the plan. [-]

    Raises:
        PlanError: The file was refused; the error gives the reason.
    """
    try:
        yield
    except FileRefusedError as error:
        fault = Fault(source, f"{key} ({typed})", error.read, error.expected, error.remedy)
        raise PlanError([fault]) from None


def named_path(folder: Path, typed: str, *, confined: bool) -> Path:
    """Return the path of a file named in a plan.

    Args:
        folder: Folder of the plan file. [-]
        typed: Path as written in the plan. [-]
        confined: Whether the file must be in that folder once links are followed: a plan received over a network may
            not name any other file on this computer. [-]

    Raises:
        FileRefusedError: The file must be in that folder but is not.
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
        raise FileRefusedError("a path that leads elsewhere", "a file in the plan's folder", remedy)
    return path


def named_bytes(path: Path, largest: int, expected: str = "a file next to the plan") -> bytes:
    """Read the bytes of a file named in a plan.

    Args:
        path: Path of the file. [-]
        largest: Maximum number of bytes to read. [-]
        expected: What the file should be, for messages. [-]

    Raises:
        FileRefusedError: The file does not exist, is not an ordinary file, or is too large.
    """
    try:
        return bounded_bytes(path, largest=largest)
    except UnreadFileError as error:
        remedy = "Fix the name: it is relative to the plan file's folder."
        raise FileRefusedError(error.read, expected, remedy) from None


def figure(text: str, unit: Fraction) -> float | None:
    """Read a plain decimal number from a table, in metres; None if it is not one.

    Args:
        text: Text of the cell, without leading or trailing spaces. [-]
        unit: Length of the column's unit in metres. [-]
    """
    return float(Fraction(text) * unit) if _FIGURE.fullmatch(text) else None
