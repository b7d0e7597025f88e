"""What a person typed as messages show it, and the word she probably meant."""

from __future__ import annotations

from typing import TYPE_CHECKING

from bulbcast.quantities import LONGEST_TEXT, quoted

if TYPE_CHECKING:
    from collections.abc import Iterable

LONGEST_NAME = 200
"""Characters of a free text."""


def words_of(value: object) -> str:
    """A TOML value as messages show it."""
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
    """A number as messages show it."""
    if abs(value) < 10**15 or value != value:
        return str(value)
    try:
        return f"{float(value):g}"
    except OverflowError:
        return "a number of hundreds of digits"


def shown_name(name: str) -> str:
    """A key's name as typed, in quotes where it is no bare key."""
    bare = name.replace("_", "").replace("-", "").isalnum() and len(name) <= LONGEST_TEXT
    return name if bare else quoted(name)


def nearest(word: str, known: Iterable[str], *, alike: float = 0.6) -> str | None:
    """The known word that was probably meant, if any is near.

    Args:
        word: As typed. [-]
        known: Words that might be meant. [-]
        alike: How alike the two have to be, 0 to 1. [-]
    """
    from difflib import get_close_matches  # only a fault pays for this import

    near = get_close_matches(word.casefold()[:LONGEST_NAME], list(known), n=1, cutoff=alike)
    return near[0] if near else None
