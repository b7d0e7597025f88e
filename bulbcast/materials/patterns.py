"""Densities of pattern materials, used to check a pattern on a scale before moulding it."""

from __future__ import annotations

from functools import cache

from bulbcast.materials.tables import table
from bulbcast.quantities.frozen import frozen


@frozen
class PatternMaterial:
    """A common pattern material.

    Attributes:
        name: Name used by builders.
        density: Density of the solid material. [kg/m3]
        lowest: Lowest density found in the sources. [kg/m3]
        highest: Highest density found in the sources. [kg/m3]
        note: Basis of the density, and points to note.
        source: Source of the figures.
        softens_from: Lowest temperature at which it yields under load; None if it does not soften or the temperature is
            unknown. [degC]
        softens_to: Highest softening temperature found in the sources. [degC]
        softens_source: Source of these temperatures.
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
    """Return the common pattern materials: printed plastics, woods, boards and foam."""
    return tuple(PatternMaterial(**row) for row in table("patterns")["material"])
