"""What a pattern is made of: densities, so that it can be checked on a scale before it is moulded."""

from __future__ import annotations

from functools import cache

from bulbcast.materials.tables import table
from bulbcast.quantities.frozen import frozen


@frozen
class PatternMaterial:
    """A usual pattern material.

    Attributes:
        name: As a builder calls it.
        density: Of the solid stuff. [kg/m3]
        lowest: The least met with. [kg/m3]
        highest: The most met with. [kg/m3]
        note: What the density is of, and what to watch.
        source: Where the figures come from.
        softens_from: Lowest temperature at which it gives under load; None where it does not soften, or where that
            is not known. [degC]
        softens_to: Highest met with. [degC]
        softens_source: Where these come from.
    """

    name: str
    density: float
    lowest: float
    highest: float
    note: str
    source: str
    softens_from: float | None = None
    softens_to: float | None = None
    softens_source: str = ""


@cache
def pattern_materials() -> tuple[PatternMaterial, ...]:
    """The usual pattern materials: printed plastics, woods, boards, foam."""
    return tuple(PatternMaterial(**row) for row in table("patterns")["material"])
