"""What is wrong with a plan file: every fault with its place, and how to fix it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Sequence


@dataclass(frozen=True, slots=True)
class Fault:
    """One thing in a plan file that has to be fixed.

    Attributes:
        file: What messages call the plan file.
        key: Dotted key, such as `bulb.target_mass` or `screws[2].at` (the second screw), a section as
            `[bulb]`, or "line 7" where the file cannot be taken apart.
        read: What was read there, quoted where it is typed text.
        expected: What was expected.
        remedy: How to fix it, in whole sentences.
    """

    file: str
    key: str
    read: str
    expected: str
    remedy: str

    @property
    def message(self) -> str:
        """The fault as one clear message."""
        return f"{self.file}: {self.key}: read {self.read}; expected {self.expected}. {self.remedy}"


class PlanError(Exception):
    """A plan that cannot be used as it is: it has no solution until its faults are fixed.

    Attributes:
        faults: All of them, in the order of the plan's sections; at least one.
    """

    def __init__(self, faults: Sequence[Fault]) -> None:
        self.faults = tuple(faults)
        super().__init__(self.faults)

    def __str__(self) -> str:
        return "\n".join(fault.message for fault in self.faults)


class Faults:
    """Faults of one file or command line, collected until all of them are known.

    Attributes:
        found: Faults found so far.
    """

    def __init__(self, file: str) -> None:
        """Start with none.

        Args:
            file: What messages call it.
        """
        self._file = file
        self.found: list[Fault] = []

    def add(self, key: str, read: str, expected: str, remedy: str) -> None:
        """Add one; the arguments are those of `Fault`."""
        self.found.append(Fault(file=self._file, key=key, read=read, expected=expected, remedy=remedy))

    def end(self) -> None:
        """Raise them if there are any.

        Raises:
            PlanError: With all of them.
        """
        if self.found:
            raise PlanError(self.found)
