"""Write bundles, logs and records, with one writer at a time and each file replaced in one step.

On Windows and macOS no directory can be renamed onto another or locked, and a file that a spreadsheet has open cannot
be replaced until it is closed. Unfinished work is kept in hidden files with fixed names next to the target, so
that the next run finds anything left by a run that was killed.

Therefore nothing is renamed onto an existing directory, no directory is locked, and replacing a file that another
program has open is retried for a second and a half. Tests simulate these failures on Linux; the code has not been
run on those systems.
"""

from __future__ import annotations

import contextlib
import os
import re
import time
from collections.abc import Callable, Iterator
from pathlib import Path

# A virus scanner or an indexer closes a file within a second; a spreadsheet does not, and the builder is asked to close it.
_PAUSES = (0.05, 0.1, 0.2, 0.4, 0.8)
# Writing a bundle takes less than a second once it has the lock.
_PATIENCE = 30.0
# Names of devices on Windows, whatever follows their first full stop (Microsoft, "Naming Files, Paths, and Namespaces").
_DEVICE = re.compile(r"(con|prn|aux|nul|com[0-9¹²³]|lpt[0-9¹²³]|conin\$|conout\$) *(\.|$)", re.IGNORECASE)


def is_device_name(name: str) -> bool:
    """Whether Windows treats a file name as a device, so that no file can have that name there.

    Args:
        name: File name without its folder. [-]
    """
    return _DEVICE.match(name) is not None


def hidden(target: Path, what: str) -> Path:
    """Path of the hidden file next to the one to be written, such as `.fenwisp-drying.csv.bulbcast-part`.

    Args:
        target: The file to be written.
        what: Ending of the hidden file's name. [-]
    """
    return target.with_name(f".{target.name}.bulbcast-{what}")


def final_place(path: Path) -> Path:
    """Absolute path with links followed, which stays valid if the current folder changes.

    Args:
        path: Path as typed.
    """
    return path.resolve() if path.is_symlink() else Path(os.path.abspath(path))


@contextlib.contextmanager
def alone(target: Path) -> Iterator[None]:
    """Make every other run that writes the same file wait.

    Args:
        target: The file to be written; its folder exists.

    Raises:
        OSError: The folder cannot be locked, or another run has kept the lock for half a minute.
    """
    # Imported only for writing, since it takes a twentieth of a second to load.
    from filelock import FileLock, Timeout

    lock = FileLock(hidden(target, "lock"))
    try:
        with _named(target):
            lock.acquire(timeout=_PATIENCE)
    except Timeout:
        raise TimeoutError(
            0,
            f"another run has been writing it for {_PATIENCE:.0f} s; wait for that run to finish, or stop it",
            str(target),
        ) from None
    try:
        yield
    finally:
        if os.name != "nt":
            # Deleted before it is released: a run that waits for a lock whose file is gone starts again. Windows deletes
            # it on release.
            with contextlib.suppress(OSError):
                hidden(target, "lock").unlink()
        lock.release()


def patiently(step: Callable[[], object], target: Path) -> None:
    """Retry a step for a second and a half if another program has the file open, then report the failure.

    Args:
        step: A rename or similar step.
        target: Name that the builder knows, reported instead of the hidden file's.

    Raises:
        OSError: The step failed; the error names the target.
    """
    with _named(target):
        for pause in _PAUSES:
            try:
                step()
                return
            except PermissionError:
                time.sleep(pause)
        try:
            step()
        except PermissionError as error:
            raise PermissionError(
                error.errno,
                "it cannot be replaced; close the program that has it open (a spreadsheet, say) and run the command again",
            ) from None


@contextlib.contextmanager
def _named(target: Path) -> Iterator[None]:
    """Make errors name the file that the builder requested, not the hidden temporary file beside it."""
    try:
        yield
    except OSError as error:
        if error.errno is None or isinstance(error, TimeoutError):
            raise
        raise OSError(error.errno, error.strerror, str(target)) from None


def write_new(place: Path, content: bytes) -> None:
    """Write a new file, and flush it to disk.

    Args:
        place: Path of the file.
        content: The file's bytes.
    """
    with open(place, "xb") as handle:
        handle.write(content)
        handle.flush()
        os.fsync(handle.fileno())


def write_file(path: Path, content: bytes) -> None:
    """Write a file so that it always has either its old or its new content. Call this function within `alone`.

    Args:
        path: Path of the file; if it is a link, its target is written.
        content: The file's bytes.

    Raises:
        OSError: The file cannot be written, or another program has it open; it is unchanged.
    """
    target = final_place(path)
    part = hidden(target, "part")
    try:
        with _named(target):
            part.unlink(missing_ok=True)  # left by a run that was killed
            write_new(part, content)
            if target.exists():
                part.chmod(target.stat().st_mode & 0o777)
        patiently(lambda: os.replace(part, target), target)
    except BaseException:
        with contextlib.suppress(OSError):
            part.unlink()
        raise
