"""Pattern materials: densities, so that a pattern can be checked on a scale before it is moulded."""

from __future__ import annotations

from functools import cache

from bulbcast.materials.tables import table
from bulbcast.quantities.frozen import frozen


@frozen
class PatternMaterial:
    """A common pattern material.

    Attributes:
        name: The builder's name for it.
        density: Density of the solid material. [kg/m3]
        lowest: Lowest density seen. [kg/m3]
        highest: Highest density seen. [kg/m3]
        note: What the density refers to, and what to watch for.
        source: Where the figures come from.
        softens_from: Lowest temperature at which it yields under load; None where it does not soften, or this is not
            known. [degC]
        softens_to: Highest such temperature seen. [degC]
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
    """The common pattern materials: printed plastics, woods, boards, foam."""
    return tuple(PatternMaterial(**row) for row in table("patterns")["material"])
