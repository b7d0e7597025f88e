"""What the readers of hull files share: units, a file's bytes, and how a fault of it is told."""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path

from bulbcast.disk.bounded import UnreadFileError, bounded_bytes
from bulbcast.plan.faults import hull_fault

METRES = {
    "mm": Fraction(1, 1000),
    "cm": Fraction(1, 100),
    "m": Fraction(1),
    "in": Fraction(254, 10000),
    "ft": Fraction(3048, 10000),
}
"""Metres in each unit that a hull or a table may be in."""


def file_bytes(source: str, key: str, typed: str, path: Path, largest: int) -> bytes:
    """The bytes of a file that a plan names.

    Args:
        source: How messages call the plan file. [-]
        key: That names it, such as "boat.hull". [-]
        typed: The path as the plan gives it. [-]
        path: Where it is. [-]
        largest: Bytes that are read at most. [-]

    Raises:
        PlanError: It is not there, no file, or larger.
    """
    try:
        return bounded_bytes(path, largest=largest)
    except UnreadFileError as error:
        raise hull_fault(
            source,
            key,
            typed,
            error.read,
            "a file beside the plan",
            "Fix the name: it is looked for from the plan file's own folder.",
        ) from None
