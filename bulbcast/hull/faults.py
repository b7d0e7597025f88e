"""Remarks and faults of a hull that was read: what was repaired, what looks odd, why it cannot be used."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from bulbcast.findings import plain

if TYPE_CHECKING:
    from bulbcast.solids.quadrature import Array

Place = tuple[float, float, float]

InFile = Callable[["Array"], Place]
"""Turns a point in the boat's directions back into a place in the file."""


@dataclass(frozen=True, slots=True)
class HullRemark:
    """One thing about a hull that its builder should know.

    Attributes:
        code: Stable name, in kebab case. [-]
        message: One sentence that states it. [-]
        remedy: One sentence that says how to fix it, or what the fix made here means. [-]
        place: Where, in the file's own axes and unit, as the modeller shows it; None if the whole
            hull is concerned. [unit of the file]
        found: The figure seen, in `unit`; None if there is no number. [unit]
        limit: The figure it is compared with, in `unit`; None if there is none. [unit]
        unit: Unit of `found` and `limit`, "" for a bare number. [-]
        repaired: Whether it was fixed here; otherwise it should be looked at, or the hull is refused. [-]
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
        """Both sentences."""
        return f"{self.message} {plain(self.remedy)}"


class HullError(ValueError):
    """A hull that cannot be used as it stands.

    Attributes:
        source: What messages call the hull.
        faults: The faults, each with its place and how to fix it; at least one.
    """

    def __init__(self, source: str, faults: Sequence[HullRemark]) -> None:
        self.source = source
        self.faults = tuple(faults)
        super().__init__(source, self.faults)

    def __str__(self) -> str:
        return "\n".join(f"{self.source}: {fault.words}" for fault in self.faults)


def at(place: Place) -> str:
    """A place as messages give it: "x = 412, y = -3.5, z = 20 in the file"."""
    x, y, z = (f"{value:.5g}" if abs(value) >= 1e-9 else "0" for value in place)
    return f"x = {x}, y = {y}, z = {z} in the file"


def counted(count: int, one: str, many: str) -> str:
    """A count with its noun, thousands apart: "1 facet", "20 000 facets"."""
    return f"{count:,} {one if count == 1 else many}".replace(",", " ")
