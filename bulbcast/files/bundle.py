"""A bundle on disk: a directory that appears whole or not at all.

Everything is written into a hidden directory beside the wanted one and then moved into place in one
step, so that a crash, a full disk or a kill leaves either nothing or the whole.
"""

from __future__ import annotations

import hashlib
import json
import os
import shutil
import tempfile
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path, PurePosixPath

from bulbcast.files.refusals import DirectoryRefusedError
from bulbcast.result import SCHEMA_NAME, FileRecord

PLAN_JSON = "plan.json"


@dataclass(frozen=True, slots=True, kw_only=True)
class BundleFile:
    """One file to be written.

    Attributes:
        path: Inside the bundle, with forward slashes.
        kind: As plan.json lists it.
        content: Its bytes.
        volume: Of a solid, as read back; None for other files. [m3]
        mass_centre: Of a solid, as read back; None for other files. [m]
    """

    path: str
    kind: str
    content: bytes
    volume: float | None = None
    mass_centre: tuple[float, float, float] | None = None

    def record(self) -> FileRecord:
        """As plan.json lists it."""
        return FileRecord(
            path=self.path,
            kind=self.kind,
            sha256=hashlib.sha256(self.content).hexdigest(),
            volume=self.volume,
            mass_centre=self.mass_centre,
        )


def json_text(value: object) -> str:
    """An object as JSON text: the same bytes for the same object, no nan."""
    return json.dumps(value, ensure_ascii=False, allow_nan=False, indent=1) + "\n"


def require_writable(directory: Path, *, replace: bool, owned: Sequence[str] = ()) -> None:
    """Refuse a directory that is not ours to write to, before any work is done.

    Args:
        directory: As asked.
        replace: Whether a bundle there may be replaced.
        owned: File names that, alone in a directory, make it ours too.

    Raises:
        DirectoryRefusedError: It is a file, or holds something else, or holds a bundle and `replace` is
            not given.
    """
    if not os.path.lexists(directory):
        return
    if not directory.is_dir():
        raise DirectoryRefusedError(
            f"{directory} is not a directory; give --out a directory that is absent or empty."
        )
    names = sorted(entry.name for entry in directory.iterdir())
    if not names:
        return
    ours = listed_files(directory) is not None or (bool(owned) and set(names) <= set(owned))
    if not ours:
        raise DirectoryRefusedError(
            f"{directory} is not empty and is not a bundle of ours ({names[0]} lies there); "
            "give --out a directory that is absent or empty."
        )
    if not replace:
        raise DirectoryRefusedError(
            f"{directory} holds an earlier result; add --replace to replace its files, or give --out another "
            "directory."
        )


def listed_files(directory: Path) -> tuple[str, ...] | None:
    """The files that a bundle's plan.json lists, or None where the directory is no bundle of ours.

    Args:
        directory: To look into.
    """
    try:
        content = json.loads((directory / PLAN_JSON).read_text(encoding="utf-8"))
        if content["meta"]["format"] != SCHEMA_NAME:
            return None
        paths = [str(one["path"]) for one in content["files"]]
    except (OSError, ValueError, KeyError, TypeError):
        return None
    for path in paths:
        parts = PurePosixPath(path)
        # A list that points outside the bundle is not one that we wrote.
        if parts.is_absolute() or ".." in parts.parts or not parts.parts:
            return None
    return tuple(paths)


def write_directory(
    directory: Path, files: Sequence[tuple[str, bytes]], *, replaced: Sequence[str] = ()
) -> None:
    """Write files into a directory that appears whole or not at all.

    Args:
        directory: Absent, empty, or ours; see `require_writable`.
        files: Paths inside it and contents.
        replaced: Paths of earlier files that go; whatever else lies there stays.

    Raises:
        OSError: The disk refused; the directory is as it was.
    """
    target = Path(os.path.abspath(directory))
    if target.is_symlink():
        target = target.resolve()
    parent = target.parent
    while not parent.exists():
        parent = parent.parent
    part = Path(tempfile.mkdtemp(prefix=f".{target.name}.part-", dir=parent))
    try:
        os.chmod(part, 0o755)
        if target.is_dir():
            gone = {target / path for path in (*replaced, *(path for path, _ in files))}
            _keep_the_rest(target, part, gone)
        for path, content in files:
            place = part / path
            place.parent.mkdir(parents=True, exist_ok=True)
            with open(place, "wb") as handle:
                handle.write(content)
                handle.flush()
                os.fsync(handle.fileno())
        target.parent.mkdir(parents=True, exist_ok=True)
        _move_into_place(part, target)
    finally:
        shutil.rmtree(part, ignore_errors=True)


def _keep_the_rest(target: Path, part: Path, gone: set[Path]) -> None:
    """What lies in the target and is not replaced, linked into the new directory."""
    for folder, folders, names in os.walk(target):
        here = Path(folder)
        there = part / here.relative_to(target)
        for name in folders + names:
            source = here / name
            if source in gone:
                continue
            if source.is_dir() and not source.is_symlink():
                (there / name).mkdir()
                continue
            try:
                os.link(source, there / name, follow_symlinks=False)
            except OSError:
                shutil.copy2(source, there / name, follow_symlinks=False)


def _move_into_place(part: Path, target: Path) -> None:
    """One rename where nothing or an empty directory is in the way, two where a bundle is replaced."""
    if not target.is_dir() or not any(target.iterdir()):
        os.replace(part, target)
        return
    aside = Path(tempfile.mkdtemp(prefix=f".{target.name}.old-", dir=target.parent))
    os.replace(target, aside)
    try:
        os.replace(part, target)
    except OSError:
        os.replace(aside, target)
        raise
    shutil.rmtree(aside, ignore_errors=True)
