"""Sources of figures in short form for builders, with a note on unverified sources below the list.

plan.json and the declarations keep the full text, including "from memory" and "no source".
"""

from __future__ import annotations

import re
from collections.abc import Iterable

UNVERIFIED = "*"
"""Mark for a source quoted from memory and not checked."""

_MEMORY = re.compile(r"(?:, the latter| formula)?[,;]? from memory(?:, check before quoting)?")
_PRACTICE = re.compile(r"common practice, no source")


def shown_source(words: str) -> str:
    """Return a source without the words that every line would repeat.

    Args:
        words: Sources as declared.

    Returns:
        The source with a star for "from memory", and with "common practice" shortened.
    """
    return _PRACTICE.sub("common practice", _MEMORY.sub(UNVERIFIED, words))


def notes_on(sources: Iterable[str]) -> str:
    """Return an explanation of the star and of "common practice", if a list of sources uses them.

    Args:
        sources: Sources as declared.

    Returns:
        Complete sentences; "" if the list uses neither.
    """
    words = " ".join(sources)
    said = (
        f"{UNVERIFIED} Unverified: quoted from memory, not checked against the source."
        if _MEMORY.search(words)
        else "",
        "Common practice: customary in the trade, without a published source."
        if _PRACTICE.search(words)
        else "",
    )
    return " ".join(one for one in said if one)
