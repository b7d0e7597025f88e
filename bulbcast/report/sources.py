"""Where figures come from, as a builder reads it: short, and what is unverified is said once, below the list.

plan.json and the declarations keep the full words, "from memory" and "no source" among them.
"""

from __future__ import annotations

import re
from collections.abc import Iterable

UNVERIFIED = "*"
"""Stands behind a source that nobody has opened again to check the figure."""

_MEMORY = re.compile(r"(?:, the latter| formula)?[,;]? from memory(?:, check before quoting)?")
_PRACTICE = re.compile(r"common practice, no source")


def shown_source(words: str) -> str:
    """A source without the words that would be repeated on every line.

    Args:
        words: As declared.

    Returns:
        With a star in place of "from memory", and "common practice" alone.
    """
    return _PRACTICE.sub("common practice", _MEMORY.sub(UNVERIFIED, words))


def notes_on(sources: Iterable[str]) -> str:
    """What star and "common practice" mean, where a list of sources has them.

    Args:
        sources: As declared.

    Returns:
        Whole sentences; "" where neither stands in the list.
    """
    words = " ".join(sources)
    said = (
        f"{UNVERIFIED} Unverified: quoted from memory, not checked against the source."
        if _MEMORY.search(words)
        else "",
        "Common practice: usual in the trade, without a published source." if _PRACTICE.search(words) else "",
    )
    return " ".join(one for one in said if one)
