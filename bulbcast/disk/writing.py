"""One writer at a time, and each file replaced in one step: for bundles, logs and records alike.

Windows and macOS matter: there no directory can be renamed onto another, no directory can be locked, and a file that
a spreadsheet holds open cannot be replaced until it is closed. Work in progress is in hidden neighbours with fixed names, so
that the next run finds what a killed one left behind.

Therefore nothing is renamed onto an existing directory, no directory is locked, and a file that another program holds
open is tried again for a second and a half. Tests simulate those refusals on Linux; none of it was
run on those systems.
"""

from __future__ import annotations

import contextlib
import os
import re
import time
from collections.abc import Callable, Iterator
from pathlib import Path

# A virus scanner or an indexer lets go within a second; a spreadsheet does not, and the builder is asked to close it.
_PAUSES = (0.05, 0.1, 0.2, 0.4, 0.8)
# Writing a bundle takes less than a second once its lock is held.
_PATIENCE = 30.0
# Names of devices on Windows, whatever follows their first full stop (Microsoft, "Naming Files, Paths, and Namespaces").
_DEVICE = re.compile(r"(con|prn|aux|nul|com[0-9¹²³]|lpt[0-9¹²³]|conin\$|conout\$) *(\.|$)", re.IGNORECASE)


def is_device_name(name: str) -> bool:
    """Whether Windows reads a file name as a device, so that nothing can be written under it there.

    Args:
        name: File name without its folder. [-]
    """
    return _DEVICE.match(name) is not None


def hidden(target: Path, what: str) -> Path:
    """The hidden neighbour of the file to be written, such as `.fenwisp-drying.csv.bulbcast-part`.

    Args:
        target: The file to be written.
        what: The neighbour's ending. [-]
    """
    return target.with_name(f".{target.name}.bulbcast-{what}")


def final_place(path: Path) -> Path:
    """The absolute path with links followed, so that a change of folder changes nothing.

    Args:
        path: Path as typed.
    """
    return path.resolve() if path.is_symlink() else Path(os.path.abspath(path))


@contextlib.contextmanager
def alone(target: Path) -> Iterator[None]:
    """Make every other run that writes the same file wait meanwhile.

    Args:
        target: The file to be written; its folder exists.

    Raises:
        OSError: The folder cannot be locked, or another run has held the lock for half a minute.
    """
    # Takes a twentieth of a second to load, so only where something is written.
    from filelock import FileLock, Timeout

    lock = FileLock(hidden(target, "lock"))
    try:
        with _named(target):
            lock.acquire(timeout=_PATIENCE)
    except Timeout:
        raise TimeoutError(
            0, f"another run has been writing it for {_PATIENCE:.0f} s; wait for it or end it", str(target)
        ) from None
    try:
        yield
    finally:
        if os.name != "nt":
            # Before it is released: whoever waits for a lock whose file is gone starts again. Windows deletes it on release.
            with contextlib.suppress(OSError):
                hidden(target, "lock").unlink()
        lock.release()


def patiently(step: Callable[[], object], target: Path) -> None:
    """Retry a step that fails while another program has the file open, for a second and a half, then report it.

    Args:
        step: A rename, or the like.
        target: The name the builder knows, reported instead of a hidden neighbour.

    Raises:
        OSError: It failed; the error names the target.
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
                "it may not be replaced; close the program that has it open (a spreadsheet, say) and run this again",
            ) from None


@contextlib.contextmanager
def _named(target: Path) -> Iterator[None]:
    """Make a failure name the file the builder asked for, not its hidden neighbour."""
    try:
        yield
    except OSError as error:
        if error.errno is None or isinstance(error, TimeoutError):
            raise
        raise OSError(error.errno, error.strerror, str(target)) from None


def write_new(place: Path, content: bytes) -> None:
    """Write a file that does not exist yet, and flush it to disk.

    Args:
        place: Path of the file.
        content: The file's bytes.
    """
    with open(place, "xb") as handle:
        handle.write(content)
        handle.flush()
        os.fsync(handle.fileno())


def write_file(path: Path, content: bytes) -> None:
    """Write a file so that either its old or its new content is there at any moment. Call it within `alone`.

    Args:
        path: Path of the file; where it is a link, its target is written.
        content: The file's bytes.

    Raises:
        OSError: The disk refused, or another program has the file open; it is unchanged.
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
