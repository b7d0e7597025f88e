"""Wording of typed values in messages, and guesses at the word that was meant."""

from __future__ import annotations

from typing import TYPE_CHECKING

from bulbcast.quantities import LONGEST_TEXT, quoted

if TYPE_CHECKING:
    from collections.abc import Iterable

LONGEST_NAME = 200
"""Maximum number of characters in a free text."""


def words_of(value: object) -> str:
    """TOML value in the form shown in messages."""
    if isinstance(value, str):
        return quoted(value)
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, (int, float)):
        return number_text(value)
    if isinstance(value, dict):
        return "a table" if value else "an empty table"
    return "a list" if isinstance(value, list) else "a date or a time"


def number_text(value: float) -> str:
    """Number in the form shown in messages."""
    if abs(value) < 10**15 or value != value:
        return str(value)
    try:
        return f"{float(value):g}"
    except OverflowError:
        return "a number with hundreds of digits"


def shown_name(name: str) -> str:
    """Key name as typed, in quotes if it is not a bare key."""
    bare = name.replace("_", "").replace("-", "").isalnum() and len(name) <= LONGEST_TEXT
    return name if bare else quoted(name)


CALLED = {
    (
        "fin",
        "span",
    ): "Write root_z and tip_z: the heights at which the fin meets the hull and at which it ends.",
    (
        "fin",
        "length",
    ): "Write root_z and tip_z: the heights at which the fin meets the hull and at which it ends.",
    ("fin", "depth"): "Write tip_z, the height of the fin's tip; it is negative below the waterline.",
    ("fin", "chord"): "Write tip_chord, and root_chord for the chord at the hull.",
    ("fin", "thickness"): "Write tip_thickness, and root_thickness for the thickness at the hull.",
    ("fin", "sweep"): "Write rake, the angle of the fin's axis at the tip.",
    (
        "boat",
        "weight",
    ): "Write displacement: that of the complete boat at her design waterline, including the fin and the bulb.",
    ("boat", "length"): "Write waterline_length, the length of the waterline.",
    ("boat", "lwl"): "Write waterline_length, the length of the waterline.",
    ("boat", "beam"): "Write waterline_beam, the beam at the waterline.",
    ("boat", "draft"): "Write hull_draught, the draught of the hull alone; fin.tip_z sets the bulb's depth.",
    (
        "boat",
        "draught",
    ): "Write hull_draught, the draught of the hull alone; fin.tip_z sets the bulb's depth.",
    ("boat", "lcb"): "Write buoyancy_x, measured aft from the waterline's forward end.",
    ("boat", "lcf"): "Write flotation_x, measured aft from the waterline's forward end.",
    ("bulb", "weight"): "Write target_mass, or omit it if the mass follows from [boat].",
    ("bulb", "mass"): "Write target_mass, or omit it if the mass follows from [boat].",
    ("weights", "weight"): "Write mass.",
}
"""Builders' names for figures whose key has a different name, by section and name, each with the fix."""


def nearest(word: str, known: Iterable[str], *, alike: float = 0.6) -> str | None:
    """Known word that was probably meant, if one is similar enough.

    Args:
        word: As typed. [-]
        known: Known words. [-]
        alike: Minimum similarity, 0 to 1. [-]
    """
    from difflib import get_close_matches  # imported only if there is a fault

    near = get_close_matches(word.casefold()[:LONGEST_NAME], list(known), n=1, cutoff=alike)
    return near[0] if near else None
