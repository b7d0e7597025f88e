"""Reader for files named by the builder. It reads only ordinary files, up to a given size."""

from __future__ import annotations

import os
import stat
from pathlib import Path

_CHUNK = 1 << 20
_KINDS = (
    (stat.S_ISDIR, "a directory"),
    (stat.S_ISFIFO, "a pipe"),
    (stat.S_ISCHR, "a device"),
    (stat.S_ISBLK, "a device"),
    (stat.S_ISSOCK, "a socket"),
)


class UnreadFileError(Exception):
    """Raised if a file was not read, or was not read to its end.

    Attributes:
        read: What was found instead, worded to follow "read".
    """

    def __init__(self, read: str) -> None:
        self.read = read
        super().__init__(read)


def bounded_bytes(path: Path, *, largest: int) -> bytes:
    """Read the bytes of an ordinary file.

    A directory, named pipe, device or socket is refused before anything is read, so the program never waits for it. A
    file that is longer than the system reports, or that grows, is read up to the limit and then refused.

    Args:
        path: Path as typed; links are followed. [-]
        largest: Maximum number of bytes to read. [-]

    Raises:
        UnreadFileError: There is no such file, it is of another kind or too large, or the system denies access.
    """
    try:
        # The kind is checked before opening: opening a named pipe waits, and opening some devices has side effects.
        _require_ordinary(os.stat(path))
        with open(path, "rb", opener=_not_waiting) as file:
            status = os.fstat(file.fileno())
            _require_ordinary(status)
            if status.st_size > largest:
                raise UnreadFileError(_too_long(largest))
            content: bytes = file.read(status.st_size + 1) or b""
            while len(content) <= largest and (more := file.read(max(_CHUNK, len(content)))):
                content += more
    except OSError as error:
        raise UnreadFileError(f"nothing ({error.strerror or error})") from None
    except ValueError as error:  # a name that no file can have
        raise UnreadFileError(f"nothing ({error})") from None
    if len(content) > largest:
        raise UnreadFileError(_too_long(largest))
    return content


def _not_waiting(path: str, flags: int) -> int:
    # The file may have been replaced by a pipe since the check; systems with pipes have this flag.
    return os.open(path, flags | getattr(os, "O_NONBLOCK", 0))


def _require_ordinary(status: os.stat_result) -> None:
    if not stat.S_ISREG(status.st_mode):
        raise UnreadFileError(
            next((words for is_kind, words in _KINDS if is_kind(status.st_mode)), "not an ordinary file")
        )


def _too_long(largest: int) -> str:
    return f"a file of more than {largest / 1e6:g} MB"
