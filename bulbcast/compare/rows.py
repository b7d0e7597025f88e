"""Contents of a study: the rows as plain values, and notes about them."""

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
        at: Index of each input's value, from 0.
        values: One figure for each column of the study; None if it is missing. [SI]
        findings: Severity and code of each finding, most serious first, without duplicates.
        faults: Reasons why there is no bulb; empty if there is one.
        remark: Reason why a figure of an existing bulb is missing; "" if none is missing.
        outline: Side view of the lead, as x from the nose and height above the axis, in millimetres; empty if there is
            no bulb, or if the view is not kept for drawing.
    """

    at: tuple[int, ...]
    values: tuple[float | None, ...]
    findings: tuple[tuple[Severity, str], ...] = ()
    faults: tuple[Fault, ...] = ()
    remark: str = ""
    outline: Contour = ()

    @property
    def failed(self) -> bool:
        """Whether the row has no bulb."""
        return bool(self.faults)

    @property
    def stopped(self) -> bool:
        """Whether any finding is a stop."""
        return self.worst is Severity.STOP

    @property
    def worst(self) -> Severity | None:
        """Worst severity; None if there are no findings or there is no bulb."""
        return self.findings[0][0] if self.findings else None

    @property
    def worst_codes(self) -> tuple[str, ...]:
        """Codes of the findings with the worst severity."""
        return tuple(code for severity, code in self.findings if severity is self.worst)

    @property
    def reason(self) -> str:
        """One line that explains why the bulb or a figure is missing; "" if neither is."""
        if not self.faults:
            return self.remark
        fault = self.faults[0]
        more = len(self.faults) - 1
        rest = f" (and {more} more)" if more else ""
        said = f"{fault.key}: read {fault.read}; expected {fault.expected}. {fault.remedy}{rest}"
        return " ".join(said.split())


@dataclass(frozen=True, slots=True, kw_only=True)
class Study:
    """One plan calculated over a grid of one or two inputs.

    Attributes:
        name: Name of the plan.
        display_units: The builder's units.
        variations: Varied inputs, starting with the one that changes most slowly.
        columns: Columns of every row.
        rows: The full grid; the first input changes most slowly.
        speed: Speed for drag; None if drag was not requested. [m/s]
        notes: Notes on the keys that the inputs replace, and on the drag.
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
        """Number of rows without a bulb."""
        return sum(row.failed for row in self.rows)

    @property
    def stopped(self) -> int:
        """Number of rows that have a stop."""
        return sum(row.stopped for row in self.rows)

    def column(self, key: str) -> tuple[float | None, ...]:
        """Return the figures of one column.

        Args:
            key: Key of the column. [-]

        Returns:
            A figure for each row, or None if it is missing. [SI]

        Raises:
            KeyError: There is no such column.
        """
        for place, column in enumerate(self.columns):
            if column.key == key:
                return tuple(row.values[place] for row in self.rows)
        raise KeyError(key)

    def varied(self, row: StudyRow) -> dict[str, str | float]:
        """Return the inputs of a row by key, as words or numbers.

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
        """Return the inputs of a row as short labels.

        Args:
            row: A row of this study. [-]

        Returns:
            One label for each input.
        """
        return tuple(each.labels[i] for each, i in zip(self.variations, row.at, strict=True))


def unique_findings(findings: tuple[tuple[Severity, str], ...]) -> tuple[tuple[Severity, str], ...]:
    """Return the pairs without duplicates, most serious first.

    Args:
        findings: Severity and code of each finding. [-]

    Returns:
        The pairs; those of equal severity keep their order.
    """
    return tuple(sorted(dict.fromkeys(findings), key=lambda one: SEVERITY_ORDER.index(one[0])))
