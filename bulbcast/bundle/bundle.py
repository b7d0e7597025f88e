"""Bundle on disk: a directory that appears complete or not at all.

Everything is written into a hidden directory next to the requested directory and then moved into place. A crash, a full
disk or a kill signal therefore leaves either nothing or everything. An earlier bundle is first moved aside, under a
hidden name with a fixed ending. If a run is killed between the two moves, both `.NAME.bulbcast-part` and
`.NAME.bulbcast-old` exist. The latter is then the builder's bundle, and the next run puts it back.
"""

from __future__ import annotations

import contextlib
import hashlib
import json
import os
import shutil
from collections.abc import Callable, Mapping, Sequence
from pathlib import Path, PurePosixPath

from bulbcast.disk.bounded import UnreadFileError, bounded_bytes
from bulbcast.disk.refusals import DirectoryRefusedError
from bulbcast.disk.writing import alone, final_place, hidden, is_device_name, patiently, write_new
from bulbcast.quantities import joined
from bulbcast.quantities.frozen import frozen
from bulbcast.report.values import SCHEMA_NAME, FileRecord

PLAN_JSON = "plan.json"
# A bundle's plan.json is about a hundred kilobytes long.
_LARGEST_RECORD = 50_000_000

Recorded = Callable[[Path], Mapping[str, str | None] | None]
"""Function that lists the files that an earlier run wrote into a directory. It returns each path with its recorded
checksum (None for the record itself), or None if this program did not write the directory."""


@frozen
class BundleFile:
    """One file to write.

    Attributes:
        path: Path inside the bundle, with forward slashes.
        kind: Type of file as listed in plan.json.
        content: Bytes of the file.
        volume: Volume of a solid as read back; None for other files. [m3]
        mass_centre: Mass centre of a solid, as read back; None for other files. [m]
    """

    path: str
    kind: str
    content: bytes
    volume: float | None = None
    mass_centre: tuple[float, float, float] | None = None

    def record(self) -> FileRecord:
        """Entry for plan.json."""
        return FileRecord(
            path=self.path,
            kind=self.kind,
            sha256=hashlib.sha256(self.content).hexdigest(),
            volume=self.volume,
            mass_centre=self.mass_centre,
        )


def require_writable(directory: Path, *, replace: bool, recorded: Recorded | None = None) -> None:
    """Refuse a directory that this program must not write to, before any work is done, and clean up after a run that
    was killed.

    Args:
        directory: The requested directory.
        replace: Whether the files that an earlier run wrote there may be replaced.
        recorded: Function that lists the files written by an earlier run; `bundle_record` by default.

    Raises:
        DirectoryRefusedError: The directory is a file, or contains files that this program did not write, or contains a
            bundle and `replace` is not given, or one of the bundle's files has been changed since it was written.
        OSError: Files left there by a killed run cannot be removed.
    """
    target = final_place(directory)
    if is_device_name(target.name):
        raise DirectoryRefusedError(
            f"{directory}: Windows treats {target.name} as a device; give --out another name."
        )
    if any(os.path.lexists(hidden(target, what)) for what in (_PART, _ASIDE)):
        with alone(target):
            _settle(target)
    _paths_of_ours(directory, replace=replace, recorded=recorded)


def bundle_record(directory: Path) -> dict[str, str | None] | None:
    """Read the list of a bundle's files from its plan.json; None if the directory is not a bundle written by this
    program.

    Args:
        directory: The directory to examine.
    """
    try:
        content = json.loads(bounded_bytes(directory / PLAN_JSON, largest=_LARGEST_RECORD))
        if content["meta"]["format"] != SCHEMA_NAME:
            return None
        sums: dict[str, str | None] = {str(one["path"]): str(one["sha256"]) for one in content["files"]}
    except (UnreadFileError, ValueError, KeyError, TypeError, RecursionError):
        return None
    for path in sums:
        parts = PurePosixPath(path)
        # A list that points outside the bundle was not written by this program.
        if parts.is_absolute() or ".." in parts.parts or not parts.parts or "\\" in path or ":" in path:
            return None
    return {**sums, PLAN_JSON: None}


def _paths_of_ours(
    directory: Path, *, replace: bool, recorded: Recorded | None, begun: bool = False
) -> frozenset[str]:
    """Paths in a directory that were written by an earlier run and have not changed since. A directory not written by
    this program is refused. `begun` means that the directory was writable when this run began.
    """
    target = final_place(directory)
    if not os.path.lexists(target):
        return frozenset()
    if not target.is_dir():
        raise DirectoryRefusedError(f"{directory} is not a directory; give --out a new or empty directory.")
    names = sorted(entry.name for entry in target.iterdir())
    if not names:
        return frozenset()
    sums = (recorded or bundle_record)(target)
    if sums is None:
        raise DirectoryRefusedError(
            f"{directory} is not empty and was not written by bulbcast (it contains {names[0]}); give --out a new or "
            "empty directory."
        )
    if not replace and begun:
        raise DirectoryRefusedError(
            f"{directory}: another run wrote there in the meantime. Its files were not changed, and nothing from this "
            "run was written. Add --replace to replace them, or give --out another directory."
        )
    if not replace:
        raise DirectoryRefusedError(
            f"{directory} contains an earlier result; add --replace to replace its files, or give --out another "
            "directory."
        )
    _refuse_yours(
        directory,
        [path for path, wanted in sums.items() if wanted is not None and not _has_sum(target, path, wanted)],
        "no longer as bulbcast wrote",
    )
    return frozenset(sums)


def _refuse_yours(directory: Path, paths: Sequence[str], why: str) -> None:
    """Refuse a directory that contains the builder's files, and name those files. Do nothing if there are none."""
    if paths:
        be, them = ("is", "it") if len(paths) == 1 else ("are", "them")
        raise DirectoryRefusedError(
            f"{directory}: {joined(sorted(paths), 'and')} {be} {why} {them}. Nothing was replaced. Move {them} out of "
            "that directory if you want to keep your work, or give --out another directory."
        )


def _has_sum(target: Path, path: str, wanted: str) -> bool:
    """Whether a listed file is unchanged since it was recorded. A missing file also counts as unchanged."""
    place = target / path
    if any(
        folder.is_symlink() for folder in place.parents if folder.is_relative_to(target) and folder != target
    ):
        return False
    if not os.path.lexists(place):
        return True
    if place.is_symlink() or not place.is_file():
        return False
    with open(place, "rb") as handle:
        return hashlib.file_digest(handle, "sha256").hexdigest() == wanted


# Hidden neighbours of the directory, for the files being written and for the earlier bundle during the swap.
_PART, _ASIDE = "part", "old"


def write_directory(
    directory: Path,
    files: Sequence[tuple[str, bytes]],
    *,
    replace: bool = False,
    recorded: Recorded | None = None,
) -> None:
    """Write files into a directory that appears complete or not at all.

    Args:
        directory: A directory that is new, empty or written by this program. It is checked again as in
            `require_writable`, because another run may have written there in the meantime.
        files: Paths inside it, with contents.
        replace: Whether the files that an earlier run wrote there may be replaced; anything else there is kept.
        recorded: Function that lists the files written by an earlier run; `bundle_record` by default.

    Raises:
        DirectoryRefusedError: As for `require_writable`, or one of the builder's files is in the way.
        OSError: Writing failed; the directory is unchanged.
    """
    target = final_place(directory)
    made = [folder for folder in target.parents if not os.path.lexists(folder)]
    try:
        target.parent.mkdir(parents=True, exist_ok=True)
        with alone(target):
            _settle(target)
            try:
                _put_directory(directory, files, replace=replace, recorded=recorded)
            finally:
                _settle(target)
    except BaseException:
        for folder in made:
            with contextlib.suppress(OSError):
                folder.rmdir()
        raise


def _put_directory(
    directory: Path, files: Sequence[tuple[str, bytes]], *, replace: bool, recorded: Recorded | None
) -> None:
    """Write the files next to the directory, then move them into place. `_settle` handles an interruption half-way."""
    target = final_place(directory)
    part, aside = hidden(target, _PART), hidden(target, _ASIDE)
    seen = _listing(target)  # before the checksums, so that any later change is noticed
    earlier = _paths_of_ours(directory, replace=replace, recorded=recorded, begun=True)
    _refuse_yours(
        directory,
        [path for path, _ in files if path not in earlier and os.path.lexists(target / path)],
        "in that directory, but bulbcast did not write",
    )
    if os.path.lexists(aside):
        raise PermissionError(
            0, "left by an earlier run and cannot be deleted; close the program that has it open", str(aside)
        )
    part.mkdir()
    for path, content in files:
        place = part / path
        place.parent.mkdir(parents=True, exist_ok=True)
        write_new(place, content)
    if not os.path.lexists(target):
        patiently(lambda: os.rename(part, target), target)
        return
    _keep_the_rest(target, part, {target / path for path in earlier})
    patiently(lambda: os.rename(target, aside), target)
    if _listing(aside) != seen:
        raise DirectoryRefusedError(
            f"{directory}: a file there was changed while this run was writing. Nothing was replaced. Run the command again."
        )
    patiently(lambda: os.rename(part, target), target)


def _settle(target: Path) -> None:
    """Remove what a run left next to a directory, wherever the run stopped.

    Call it within `alone`. If the new directory has not been put in place yet, the directory moved aside is the
    builder's bundle and is put back. If the new directory is in place, the directory moved aside is deleted.
    """
    part, aside = hidden(target, _PART), hidden(target, _ASIDE)
    if os.path.lexists(aside) and os.path.lexists(part):
        if target.is_dir() and not any(target.iterdir()):
            target.rmdir()
        if os.path.lexists(target):
            raise DirectoryRefusedError(
                f"{target} is not empty, and the bundle that was there before an interrupted run is next to it as "
                f"{aside.name}. Move one of the two elsewhere, then run the command again."
            )
        patiently(lambda: os.rename(aside, target), target)
    for left in (part, aside):
        # Files held open by another program can be deleted by the next run.
        shutil.rmtree(left, ignore_errors=True)


def _listing(directory: Path) -> dict[str, tuple[int, int]]:
    """Size and modification time of every file in a directory, used to detect a change; empty if there is no directory."""
    found: dict[str, tuple[int, int]] = {}
    if not directory.is_dir():
        return found
    for folder, folders, names in os.walk(directory, onerror=_raised):
        for name in folders + names:
            place = Path(folder) / name
            status = place.lstat()
            sizes = (0, 0) if place.is_dir() else (status.st_size, status.st_mtime_ns)
            found[place.relative_to(directory).as_posix()] = sizes
    return found


def _raised(error: OSError) -> None:
    # A folder that cannot be read must not count as empty.
    raise error


def _keep_the_rest(target: Path, part: Path, gone: set[Path]) -> None:
    """Link or copy into the new directory any of the target's files that are not replaced."""
    folders_kept = [(target, part)]
    for folder, folders, names in os.walk(target, onerror=_raised):
        here = Path(folder)
        there = part / here.relative_to(target)
        for name in folders + names:
            source, place = here / name, there / name
            if source in gone:
                continue
            if source.is_dir() and not source.is_symlink():
                place.mkdir(exist_ok=True)
                folders_kept.append((source, place))
            elif not os.path.lexists(
                place
            ):  # if case does not matter, a listed file may be spelled differently
                _link_or_copy(source, place)
    for source, place in reversed(folders_kept):
        shutil.copystat(source, place)


def _link_or_copy(source: Path, place: Path) -> None:
    """Give a file a second name, or copy it if the disk does not support hard links."""
    if not source.is_symlink():
        with contextlib.suppress(OSError):
            os.link(source, place)
            return
    shutil.copy2(source, place, follow_symlinks=False)
