"""Remarks and faults concerning a hull: repairs made, anything unusual, and reasons why it cannot be used."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from bulbcast.findings import plain

if TYPE_CHECKING:
    from bulbcast.solids.quadrature import Array

Place = tuple[float, float, float]

InFile = Callable[["Array"], Place]
"""Function that converts a point in the boat's directions to a position in the file."""


@dataclass(frozen=True, slots=True)
class HullRemark:
    """A remark for the builder about a hull.

    Attributes:
        code: Stable name, in kebab case. [-]
        message: Sentence that says what was found. [-]
        remedy: Sentence that says how to fix the fault, or what a repair made by the program means. [-]
        place: Position in the file's axes and unit, as shown in the modeller; None if the remark concerns the whole
            hull. [unit of the file]
        found: Value found, in `unit`; None if there is no number. [unit]
        limit: Limit for that value, in `unit`; None if there is none. [unit]
        unit: Unit of `found` and `limit`, "" for a bare number. [-]
        repaired: Whether the program repaired the fault; otherwise the builder should check it, or the hull is refused.
            [-]
    """

    code: str
    message: str
    remedy: str
    place: Place | None = None
    found: float | None = None
    limit: float | None = None
    unit: str = ""
    repaired: bool = False

    @property
    def words(self) -> str:
        """Message followed by the remedy."""
        return f"{self.message} {plain(self.remedy)}"


class HullError(ValueError):
    """Error for a hull that cannot be used as it is.

    Attributes:
        source: Name of the hull in messages.
        faults: At least one fault, each with its position and a fix.
    """

    def __init__(self, source: str, faults: Sequence[HullRemark]) -> None:
        self.source = source
        self.faults = tuple(faults)
        super().__init__(source, self.faults)

    def __str__(self) -> str:
        return "\n".join(f"{self.source}: {fault.words}" for fault in self.faults)


def at(place: Place) -> str:
    """Format a position for messages, such as "x = 412, y = -3.5, z = 20 in the file"."""
    x, y, z = (f"{value:.5g}" if abs(value) >= 1e-9 else "0" for value in place)
    return f"x = {x}, y = {y}, z = {z} in the file"


def counted(count: int, one: str, many: str) -> str:
    """Format a count with its noun and thousands separated by spaces: "1 facet", "20 000 facets"."""
    return f"{count:,} {one if count == 1 else many}".replace(",", " ")
