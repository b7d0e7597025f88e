"""Code shared by the drying log, the float record and the log of castings. Each file is read completely and extended only
at the end, by one writer at a time, with the new file replacing the old one in one step.

The program never changes the existing content of these files, since a builder may edit them by hand.
"""

from __future__ import annotations

import os
from collections.abc import Callable
from pathlib import Path

from bulbcast.disk.bounded import UnreadFileError, bounded_bytes
from bulbcast.disk.writing import alone, final_place, write_file

_LARGEST = 5_000_000


def bytes_of(path: Path, broken: Callable[[str], Exception], *, largest: int = _LARGEST) -> bytes | None:
    """Read the bytes of a record.

    Args:
        path: Path of the record.
        broken: Function that takes what was found instead of a record and makes the error for an unreadable file.
        largest: Maximum size to read. [bytes]

    Returns:
        Bytes of the record; None if there is no such file.
    """
    if not os.path.lexists(path):
        return None
    try:
        return bounded_bytes(path, largest=largest)
    except UnreadFileError as error:
        raise broken(error.read) from None


def text_of(path: Path, broken: Callable[[str], Exception]) -> str | None:
    """Read the text of a UTF-8 record; None if there is no such file.

    Args:
        path: Path of the record.
        broken: Function that takes what was found instead of a record and makes the error for an unreadable file.
    """
    content = bytes_of(path, broken)
    try:
        return None if content is None else content.decode("utf-8")
    except UnicodeDecodeError:
        raise broken("a file that is not UTF-8 text") from None


def grown(path: Path, after: Callable[[], bytes | None]) -> None:
    """Append to a record by replacing its file.

    Args:
        path: Path of the record, which need not exist yet.
        after: Function that reads the record and returns its new bytes, called while no other run can write to it;
            if it returns None, the record stays unchanged.

    Raises:
        OSError: The record cannot be written; it is unchanged.
    """
    with alone(final_place(path)):
        content = after()
        if content is not None:
            write_file(path, content)
