"""What the drying log, the float record and the log of castings share: read whole, added to at the end, by one writer
at a time, with the new file replacing the old one in one step.

Nothing in such a file is ever changed by the program: a builder may write in it by hand.
"""

from __future__ import annotations

import os
from collections.abc import Callable
from pathlib import Path

from bulbcast.disk.bounded import UnreadFileError, bounded_bytes
from bulbcast.disk.writing import alone, final_place, write_file

_LARGEST = 5_000_000


def bytes_of(path: Path, broken: Callable[[str], Exception], *, largest: int = _LARGEST) -> bytes | None:
    """The content of a record.

    Args:
        path: Path of the record.
        broken: Makes the error for a file that cannot be read, from what was found instead.
        largest: Largest size that is read. [bytes]

    Returns:
        The record's bytes; None where there is no such file.
    """
    if not os.path.lexists(path):
        return None
    try:
        return bounded_bytes(path, largest=largest)
    except UnreadFileError as error:
        raise broken(error.read) from None


def text_of(path: Path, broken: Callable[[str], Exception]) -> str | None:
    """The text of a UTF-8 record; None where there is no such file.

    Args:
        path: Path of the record.
        broken: Makes the error for a file that cannot be read, from what was found instead.
    """
    content = bytes_of(path, broken)
    try:
        return None if content is None else content.decode("utf-8")
    except UnicodeDecodeError:
        raise broken("a file that is not UTF-8 text") from None


def grown(path: Path, after: Callable[[], bytes | None]) -> None:
    """Replace a record by itself with more at the end.

    Args:
        path: Path of the record; it need not exist yet.
        after: Reads it and returns its new bytes, while nobody else writes; None: it stays as it is.

    Raises:
        OSError: The disk refused; the record is as it was.
    """
    with alone(final_place(path)):
        content = after()
        if content is not None:
            write_file(path, content)
