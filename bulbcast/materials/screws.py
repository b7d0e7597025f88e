"""Screws by their nominal size: thread, clearance hole and head, from published tables."""

from __future__ import annotations

import math
import re
from typing import Any

from bulbcast.materials.tables import table
from bulbcast.quantities.frozen import frozen

INCH = 0.0254
HEADS = ("pan", "socket", "hexagon", "nut")
METALS = {"stainless steel": 8000.0, "steel": 7850.0, "brass": 8500.0, "titanium": 4500.0}
"""Densities of metals for screws; handbook figures, from memory. [kg/m3]"""
SMALL = 0.0066
"""Largest thread for which a pan head is assumed (M6 and 1/4 in). Above it, a hexagon head is assumed. Judgement. [m]"""


@frozen
class StandardScrew:
    """A screw size with one of its head types.

    Attributes:
        diameter: Outside diameter of the thread. [m]
        pitch: Pitch of the thread. [m]
        hole: Diameter of the clearance hole. [m]
        head_diameter: Overall diameter of the head; for a hexagon head or nut, the width across the corners. [m]
        head_height: Height of the head. [m]
        source: Source of all these figures. [-]
    """

    diameter: float
    pitch: float
    hole: float
    head_diameter: float
    head_height: float
    source: str


def sizes_known() -> list[str]:
    """Return the nominal sizes as builders write them, metric sizes first."""
    return [*table("screws")["metric"], *table("screws")["inch"]]


def heads_of(size: str) -> tuple[str, ...]:
    """Return the head types in the table for a size; none if the size is unknown.

    Args:
        size: Same as for `standard_screw`. [-]
    """
    found = _row(size)
    return () if found is None else tuple(head for head in HEADS if head in found[0])


def standard_screw(size: str, head: str | None = None) -> StandardScrew | None:
    """Return the dimensions of a screw of a standard size.

    Args:
        size: "M4", "M4 x 0.7", "#8", "no. 8", "8-32", "#10-24", "1/4-20" or "1/4 in", in capital or small letters. [-]
        head: One of `HEADS`; None means a pan head up to M6 and 1/4 in, and a hexagon head above that. [-]

    Returns:
        The dimensions; None if the table does not contain the size or this head, or if the given pitch does not match
        the size.

    References:
        `screws.toml` gives the standard for each figure.
    """
    found = _row(size)
    if found is None:
        return None
    row, unit, pitch, source = found
    diameter, _, hole = row["thread"]
    if head is None:
        head = "pan" if diameter * unit <= SMALL and "pan" in row else "hexagon"
    if head not in row:
        return None
    across, height = row[head]
    if head in ("hexagon", "nut"):
        across *= 2.0 / math.sqrt(3.0)
    return StandardScrew(
        diameter=diameter * unit,
        pitch=pitch,
        hole=hole * unit,
        head_diameter=across * unit,
        head_height=height * unit,
        source=source,
    )


def metal_of_screw(density: float) -> str:
    """Return the metal that a screw of this density is made of, as a shop names it; "" if none is within 1 %.

    Args:
        density: Density of the screw. [kg/m3]
    """
    name = min(METALS, key=lambda one: abs(METALS[one] - density))
    return name if abs(METALS[name] / density - 1.0) < 0.01 else ""


def _row(size: str) -> tuple[dict[str, Any], float, float, str] | None:
    """Row of the table for a size, with its unit [m], the pitch [m] and the source; None if the size is unknown."""
    known, text = table("screws"), re.sub(r"\s+", "", size.casefold())
    text = re.sub(r"(?<=\d)un[cf]$", "", text)
    metric = re.fullmatch(r"m(\d+(?:\.\d+)?)(?:[x*](\d*\.?\d+))?(?:mm)?", text)
    if metric is not None:
        row = known["metric"].get(f"M{float(metric[1]):g}")
        if row is None or (metric[2] is not None and float(metric[2]) != row["thread"][1]):
            return None
        return row, 1e-3, 1e-3 * row["thread"][1], known["source"]["metric"]
    inch = re.fullmatch(r'(?:#|no\.?|number)?(\d+(?:/\d+)?)(?:-(\d+))?(?:in|")?', text)
    if inch is None:
        return None
    row = known["inch"].get(inch[1] if "/" in inch[1] else f"#{inch[1]}")
    if row is None or ("/" not in inch[1] and text == inch[1]):
        # A bare 8 could mean millimetres.
        return None
    usual = row["thread"][1]
    threads = usual if inch[2] is None else int(inch[2])
    if threads != usual and (inch[1], threads) != ("10", 32):
        return None
    return row, INCH, INCH / threads, known["source"]["inch"]
