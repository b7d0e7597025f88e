"""Faults in a plan file, each with its location and its fix."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Sequence


@dataclass(frozen=True, slots=True)
class Fault:
    """A fault in a plan file that has to be fixed.

    Attributes:
        file: Name of the plan file in messages.
        key: Dotted key, such as `bulb.target_mass` or `screws[2].at` (the second screw), a section such as `[bulb]`, or
            "line 7" if the file cannot be parsed.
        read: What was read there, in quotes if it is typed text.
        expected: What was expected.
        remedy: How to fix it, in complete sentences.
    """

    file: str
    key: str
    read: str
    expected: str
    remedy: str

    @property
    def message(self) -> str:
        """Fault as one complete message."""
        return f"{self.file}: {self.key}: read {self.read}; expected {self.expected}. {self.remedy}"


class PlanError(Exception):
    """A plan that cannot be used until its faults are fixed.

    Attributes:
        faults: All of them, in the order of the plan's sections; at least one.
    """

    def __init__(self, faults: Sequence[Fault]) -> None:
        self.faults = tuple(faults)
        super().__init__(self.faults)

    def __str__(self) -> str:
        return "\n".join(fault.message for fault in self.faults)


class Faults:
    """Faults collected from a file or command line.

    Attributes:
        found: Faults found so far.
    """

    def __init__(self, file: str) -> None:
        """Create an empty collection.

        Args:
            file: Name of the file in messages.
        """
        self._file = file
        self.found: list[Fault] = []

    def add(self, key: str, read: str, expected: str, remedy: str) -> None:
        """Add a fault; the arguments are those of `Fault`."""
        self.found.append(Fault(file=self._file, key=key, read=read, expected=expected, remedy=remedy))

    def end(self) -> None:
        """Raise the faults if there are any.

        Raises:
            PlanError: There are faults; the error lists all of them.
        """
        if self.found:
            raise PlanError(self.found)
