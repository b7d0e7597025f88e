"""The contents of a study: the rows as plain values, and the notes to them."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from bulbcast.compare.columns import Column
from bulbcast.drawing.shapes import Contour
from bulbcast.findings import SEVERITY_ORDER, Severity

if TYPE_CHECKING:
    from bulbcast.compare.vary import Variation
    from bulbcast.plan.faults import Fault
    from bulbcast.quantities import DisplayUnits


@dataclass(frozen=True, slots=True, kw_only=True)
class StudyRow:
    """One plan of the grid.

    Attributes:
        at: Index of the value that each input takes, from 0.
        values: One figure for each column of the study; None where there is none. [SI]
        findings: Severity and code of each finding, most serious first, each once.
        faults: Why there is no bulb; empty where there is one.
        remark: Why a figure is missing though there is a bulb; "" for none.
        outline: The lead from the side, x from the nose and height above the axis, in millimetres; empty where it is
            not kept for drawing, or there is no bulb.
    """

    at: tuple[int, ...]
    values: tuple[float | None, ...]
    findings: tuple[tuple[Severity, str], ...] = ()
    faults: tuple[Fault, ...] = ()
    remark: str = ""
    outline: Contour = ()

    @property
    def failed(self) -> bool:
        """Whether there is no bulb at all."""
        return bool(self.faults)

    @property
    def stopped(self) -> bool:
        """Whether a finding says that the bulb must not be made as planned."""
        return self.worst is Severity.STOP

    @property
    def worst(self) -> Severity | None:
        """The worst severity found; None where nothing was found, or there is no bulb."""
        return self.findings[0][0] if self.findings else None

    @property
    def worst_codes(self) -> tuple[str, ...]:
        """Codes of the findings of the worst severity."""
        return tuple(code for severity, code in self.findings if severity is self.worst)

    @property
    def reason(self) -> str:
        """Why there is no bulb or a figure is missing, in one line; "" where nothing is missing."""
        if not self.faults:
            return self.remark
        fault = self.faults[0]
        more = len(self.faults) - 1
        rest = f" (and {more} more)" if more else ""
        said = f"{fault.key}: read {fault.read}; expected {fault.expected}. {fault.remedy}{rest}"
        return " ".join(said.split())


@dataclass(frozen=True, slots=True, kw_only=True)
class Study:
    """One plan over a grid of one or two inputs.

    Attributes:
        name: Name of the plan.
        display_units: The units that the builder reads.
        variations: The inputs, the slowest first.
        columns: The figures of every row.
        rows: The full grid, the first input slowest.
        speed: Speed for drag; None where drag was not asked for. [m/s]
        notes: Sentences about what the inputs replaced in the plan, and about the drag.
    """

    name: str
    display_units: DisplayUnits
    variations: tuple[Variation, ...]
    columns: tuple[Column, ...]
    rows: tuple[StudyRow, ...]
    speed: float | None
    notes: tuple[str, ...]

    @property
    def failed(self) -> int:
        """How many rows have no bulb."""
        return sum(row.failed for row in self.rows)

    @property
    def stopped(self) -> int:
        """How many rows have a finding that is a stop."""
        return sum(row.stopped for row in self.rows)

    def column(self, key: str) -> tuple[float | None, ...]:
        """The figures of one column.

        Args:
            key: Key of the column. [-]

        Returns:
            One for each row, None where there is none. [SI]

        Raises:
            KeyError: There is no such column.
        """
        for place, column in enumerate(self.columns):
            if column.key == key:
                return tuple(row.values[place] for row in self.rows)
        raise KeyError(key)

    def varied(self, row: StudyRow) -> dict[str, str | float]:
        """The inputs of a row by their keys: words as typed, or numbers.

        Args:
            row: A row of this study. [-]

        Returns:
            One value for each input. [SI]
        """
        return {
            each.key: each.values[i] if each.numbers is None else each.numbers[i]
            for each, i in zip(self.variations, row.at, strict=True)
        }

    def labels(self, row: StudyRow) -> tuple[str, ...]:
        """The inputs of a row, short.

        Args:
            row: A row of this study. [-]

        Returns:
            One label for each input.
        """
        return tuple(each.labels[i] for each, i in zip(self.variations, row.at, strict=True))


def unique_findings(findings: tuple[tuple[Severity, str], ...]) -> tuple[tuple[Severity, str], ...]:
    """The same pairs, each once, the most serious first.

    Args:
        findings: Severity and code of each. [-]

    Returns:
        The pairs; those of equal severity keep their order.
    """
    return tuple(sorted(dict.fromkeys(findings), key=lambda one: SEVERITY_ORDER.index(one[0])))
