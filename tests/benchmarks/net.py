"""The net: compare everything that a builder reads, byte for byte, with the output of an earlier commit.

Run by hand, on a system that can fork:

    python tests/benchmarks/net.py COMMIT [--allow FILE] [--only PATTERN] [--jobs 2] [--quick] [--keep FOLDER]

The cases of net_plans.py are written to disk once and run with the package of COMMIT and with that of the working tree:
the five examples with and without --cooling, 41 generated plans and 60 broken ones. Exit status, both outputs and every
file are compared. A difference is shown by case, file and first line (in JSON by key); the status is 1 if FILE has no
entry for it. The two sides use different hash seeds and folders with different names, so an output that depends on
an order, a time or a path shows up too: COMMIT = HEAD must give no difference.

FILE is TOML with patterns as in a shell; `case` can also be a list of patterns. An entry with `was` and `now` replaces
`was` with `now` in the old text before the comparison, and allows nothing else; `words` does so for a list of pairs.
With `pattern = true`, `was` is a regular expression whose groups `now` can use, and it is replaced in both texts, so that
new text can be removed. An entry with `within` allows figures to differ by at most that fraction of the larger, and
nothing else. An entry with neither allows any difference in its files or keys:

    [[allowed]]
    case = "*"
    file = "bundle/report.html"
    key = "*"
    reason = "why, and in which commit"

A file's checksum in another file is treated as the file name, so only the file itself is reported. With --keep the
results of COMMIT are kept in FOLDER and reused next time.
"""

from __future__ import annotations

import argparse
import contextlib
import fnmatch
import hashlib
import importlib
import io
import json
import math
import os
import pkgutil
import queue
import re
import shutil
import struct
import subprocess
import sys
import tempfile
import threading
import time
import tomllib
import zipfile
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import numpy as np

PROJECT = Path(__file__).parents[2]
sys.path[:0] = [str(PROJECT), str(Path(__file__).parent)]

from net_broken import broken  # noqa: E402
from net_plans import Case, examples, generated  # noqa: E402
from net_reach import KEYS_OUT_OF_REACH, OUT_OF_REACH  # noqa: E402

QUICK_ONES = (
    "example-fenwisp",
    "example-puddlejack",
    "example-larkmoss",
    "example-osierling",
    "made-numbers",
    "made-plaster",
    "made-own-profile",
    "made-shop",
)
LONGEST_REPORT = 40


def cases(quick: bool, only: str) -> list[Case]:
    """Cases to run, chosen from the examples, the generated plans and the broken plans.

    Args:
        quick: Whether to run without --cooling, and with only eight of the examples and generated plans.
        only: Pattern of the names to include.
    """
    plans = [*examples(), *generated()]
    if quick:
        plans = [case for case in plans if case.name in QUICK_ONES]
    all_of_them = [*plans, *(Case(one.name, one.text, one.files, one.commands) for one in broken())]
    return [case for case in all_of_them if fnmatch.fnmatch(case.name, only)]


def write(case: Case, folder: Path, quick: bool) -> None:
    """Write the folder for a case, ready to run."""
    place = folder / case.name
    place.mkdir(parents=True)
    (place / "plan.toml").write_text(case.text, encoding="utf-8")
    for name, data in case.files.items():
        (place / name).write_bytes(data)
    commands = list(case.commands)
    if case.cooling and not quick:
        cells = () if case.name.startswith("example-") else ("--cells", "6")
        commands.append(("plan", "plan.toml", "--cooling", *cells, "--out", "bundle-cooling"))
    (place / "commands.json").write_text(json.dumps(commands), encoding="utf-8")


@dataclass
class Side:
    """One package and the folder in which its cases run."""

    checkout: Path
    folder: Path
    seed: str

    def worker(self) -> subprocess.Popen[str]:
        """Start a process that loads the package."""
        environment = {
            **os.environ,
            "PYTHONPATH": str(self.checkout),
            "PYTHONHASHSEED": self.seed,
            "PYTHONDONTWRITEBYTECODE": "1",
            "OPENBLAS_NUM_THREADS": "1",
            "OMP_NUM_THREADS": "1",
            "COLUMNS": "100",
        }
        words = [
            sys.executable,
            str(Path(__file__).with_name("net_worker.py")),
            str(self.checkout),
            str(self.folder),
        ]
        worker = subprocess.Popen(
            words, env=environment, cwd=self.folder, text=True, stdin=subprocess.PIPE, stdout=subprocess.PIPE
        )
        self.answer(worker, "ready")
        return worker

    @staticmethod
    def answer(worker: subprocess.Popen[str], wanted: str) -> None:
        """Wait for a worker's answer.

        Raises:
            SystemExit: The answer is missing or wrong.
        """
        assert worker.stdout is not None
        said = worker.stdout.readline().strip()
        if said != wanted:
            raise SystemExit(f"a worker said {said!r} where {wanted!r} was due")

    def run(self, worker: subprocess.Popen[str], name: str) -> None:
        """Run one case, unless its result is kept from an earlier run."""
        if (self.folder / name / "outcome" / "done").exists():
            return
        assert worker.stdin is not None
        worker.stdin.write(f"{name}\n")
        worker.stdin.flush()
        self.answer(worker, name)
        (self.folder / name / "outcome" / "done").touch()


def run_all(sides: tuple[Side, Side], names: list[str], jobs: int) -> Iterator[str]:
    """Run every case on both sides, and yield its name when both are done."""
    waiting: queue.SimpleQueue[str] = queue.SimpleQueue()
    done: queue.SimpleQueue[str | BaseException] = queue.SimpleQueue()
    for name in names:
        waiting.put(name)

    def work() -> None:
        workers: list[subprocess.Popen[str]] = []
        try:
            workers += [side.worker() for side in sides]
            while True:
                name = waiting.get_nowait()
                for side, worker in zip(sides, workers, strict=True):
                    side.run(worker, name)
                done.put(name)
        except queue.Empty:
            pass
        except BaseException as error:
            done.put(error)
        finally:
            for worker in workers:
                assert worker.stdin is not None
                worker.stdin.close()
                worker.wait()

    for _ in range(jobs):
        threading.Thread(target=work, daemon=True).start()
    for _ in names:
        said = done.get()
        if isinstance(said, BaseException):
            raise said
        yield said


# What differs


@dataclass(frozen=True)
class Difference:
    """One difference between the two sides: a file of a case or, in JSON, one of its keys."""

    case: str
    file: str
    key: str
    was: str
    now: str

    def __str__(self) -> str:
        place = f"{self.file}: {self.key}" if self.key else self.file
        return f"{self.case}: {place}\n    was {_short(self.was)}\n    now {_short(self.now)}"


def _short(text: str) -> str:
    return text if len(text) <= 300 else f"{text[:300]}... ({len(text)} characters)"


@dataclass
class Allowed:
    """An intended difference, with its reason."""

    reason: str
    case: str | list[str] = "*"
    file: str = "*"
    key: str = "*"
    was: str | None = None
    now: str | None = None
    words: list[list[str]] = field(default_factory=list)
    pattern: bool = False
    within: float | None = None
    met: int = 0

    def fits(self, case: str, file: str, key: str | None) -> bool:
        """Whether the entry applies to this case, file and key; `key` is None for a whole file."""
        return (
            any(
                fnmatch.fnmatchcase(case, one)
                for one in ([self.case] if isinstance(self.case, str) else self.case)
            )
            and fnmatch.fnmatchcase(file, self.file)
            and (key is None or fnmatch.fnmatchcase(key, self.key))
        )

    @property
    def replaces(self) -> bool:
        """Whether the entry replaces text. Such an entry does not itself allow a difference."""
        return self.was is not None or bool(self.words)

    def replaced(self, text: bytes, old: bool) -> bytes:
        """Text of a file for the comparison."""
        was, now = (self.was or "").encode(), (self.now or "").encode()
        if self.pattern:
            return re.sub(was, now, text)
        for one, other in [(was, now)] * bool(was) + [(a.encode(), b.encode()) for a, b in self.words]:
            text = text.replace(one, other) if old else text
        return text


def allowed_in(path: Path | None) -> list[Allowed]:
    """Entries in a file of allowed differences.

    Raises:
        SystemExit: An entry has no reason, an unknown key, or only one of `was` and `now`.
    """
    if path is None:
        return []
    try:
        entries = [Allowed(**one) for one in tomllib.loads(path.read_text(encoding="utf-8"))["allowed"]]
    except TypeError as error:
        raise SystemExit(f"{path}: {error}") from error
    for one in entries:
        if not one.reason.strip() or (one.was is None) != (one.now is None) or one.was == "":
            raise SystemExit(f"{path}: an entry has a reason, and was and now together or neither: {one}")
    return entries


def differences(case: str, sides: tuple[Side, Side], allowed: Iterable[Allowed]) -> Iterator[Difference]:
    """Differences that are not allowed, in one case."""
    allowed = list(allowed)
    old, new = (_files(side.folder / case) for side in sides)
    for file in sorted(old.keys() | new.keys()):
        if old.get(file) == new.get(file):
            continue
        before, after = old.get(file), new.get(file)
        for one in allowed:
            if not one.replaces or not one.fits(case, file, None):
                continue
            changed = [
                text if text is None else one.replaced(text, old)
                for text, old in ((before, True), (after, False))
            ]
            one.met += changed != [before, after]
            before, after = changed
        for found in _differences(case, file, before, after):
            let = [
                one
                for one in allowed
                if not one.replaces
                and one.fits(case, file, found.key)
                and (one.within is None or _near(found.was, found.now, one.within))
            ]
            for one in let:
                one.met += 1
            if not let:
                yield found


def _files(place: Path) -> dict[str, bytes]:
    """Files of a case by name, with the checksums of files in them replaced by the files' names."""
    raw = {
        path.relative_to(place).as_posix(): path.read_bytes()
        for path in sorted(place.rglob("*"))
        if path.is_file() and path.name != "done"
    }
    sums = {
        hashlib.sha256(data).hexdigest().encode(): f"<sum of {name}>".encode() for name, data in raw.items()
    }
    for name, data in raw.items():
        for number in set(re.findall(rb"\b[0-9a-f]{64}\b", data)) & sums.keys():
            raw[name] = raw[name].replace(number, sums[number])
    return raw


def _differences(case: str, file: str, old: bytes | None, new: bytes | None) -> Iterator[Difference]:
    if old is None or new is None:
        yield Difference(
            case, file, "", *("no file" if data is None else f"{len(data)} bytes" for data in (old, new))
        )
        return
    if old == new:
        return
    if file.endswith((".stl", ".3mf")):
        with contextlib.suppress(struct.error, zipfile.BadZipFile):
            old, new = _corners(file, old), _corners(file, new)
    one, other = _json(old), _json(new)
    if one is not None and other is not None:
        was, now = dict(_flat(one)), dict(_flat(other))
        for key in [*was, *(key for key in now if key not in was)]:
            if was.get(key) != now.get(key):
                yield Difference(case, file, key, was.get(key, "nothing"), now.get(key, "nothing"))
        if was == now and list(was) != list(now):
            yield Difference(case, file, "order of keys", "the same keys", "in another order")
        if was != now or list(was) != list(now):
            return
    before, after = old.split(b"\n"), new.split(b"\n")
    if b"\0" not in old and b"\0" not in new and len(before) == len(after):
        for number, (was_line, now_line) in enumerate(zip(before, after, strict=True), 1):
            if was_line != now_line:
                yield Difference(
                    case,
                    file,
                    "drawing" if b"<svg" in was_line else "",
                    f"line {number}: {was_line.decode('utf-8', 'backslashreplace')}",
                    f"line {number}: {now_line.decode('utf-8', 'backslashreplace')}",
                )
        return
    first = next(
        (i for i, (a, b) in enumerate(zip(before, after, strict=False)) if a != b),
        min(len(before), len(after)),
    )
    lines = [
        f"line {first + 1}: {rows[first].decode('utf-8', 'backslashreplace')}"
        if first < len(rows)
        else "the end"
        for rows in (before, after)
    ]
    if b"\0" in old or b"\0" in new:
        at = next(
            (i for i, (a, b) in enumerate(zip(old, new, strict=False)) if a != b), min(len(old), len(new))
        )
        lines = [
            f"{len(data)} bytes, differing from {at} on: {data[at : at + 16].hex()}" for data in (old, new)
        ]
    yield Difference(case, file, "", *lines)


def _corners(file: str, data: bytes) -> bytes:
    """Volume and surface area of a solid, then its corners in ascending order, to the nearest micrometre. [mm]

    The division of flat faces into facets does not matter; a facet that is missing or inside out changes the sums.
    """
    if file.endswith(".3mf"):
        with zipfile.ZipFile(io.BytesIO(data)) as package:
            model = package.read("3D/3dmodel.model").decode()
        found = re.findall(r'<vertex x="(.*?)" y="(.*?)" z="(.*?)"', model)
        sides = re.findall(r'<triangle v1="(\d+)" v2="(\d+)" v3="(\d+)"', model)
        places = np.array(found, dtype=float).reshape(-1, 3)
        facets = places[np.array(sides, dtype=int).reshape(-1, 3)]
    else:
        rows = [facet[3:12] for facet in struct.iter_unpack("<12fH", data[84:] or data)]
        facets = np.array(rows, dtype=float).reshape(-1, 3, 3)
    one, other, third = facets[:, 0], facets[:, 1], facets[:, 2]
    volume = float(np.sum(one * np.cross(other, third))) / 6.0
    surface = float(np.sum(np.linalg.norm(np.cross(other - one, third - one), axis=1))) / 2.0
    rounded = sorted(
        {tuple(round(value, 3) + 0.0 for value in point) for point in facets.reshape(-1, 3).tolist()}
    )
    return "\n".join([f"volume {volume!r}", f"surface {surface!r}", *map(str, rounded)]).encode()


_FIGURE = re.compile(r"-?\d+(?:\.\d+)?(?:[eE][-+]?\d+)?")


def _near(old: str, new: str, within: float) -> bool:
    """Whether two texts are equal except for figures that differ by at most the given share of the larger."""
    if _FIGURE.sub("#", old) != _FIGURE.sub("#", new):
        return False
    pairs = zip(_FIGURE.findall(old), _FIGURE.findall(new), strict=True)
    return all(math.isclose(float(one), float(other), rel_tol=within, abs_tol=1e-10) for one, other in pairs)


def _json(data: bytes) -> Any:
    try:
        return json.loads(data) if data[:1] in b"{[" else None
    except ValueError:
        return None


def _flat(value: Any, at: str = "") -> Iterator[tuple[str, str]]:
    if isinstance(value, dict) and value:
        for key, inner in value.items():
            yield from _flat(inner, f"{at}.{key}" if at else key)
    elif isinstance(value, list) and value:
        for number, inner in enumerate(value, 1):
            yield from _flat(inner, f"{at}[{number}]")
    else:
        yield at, json.dumps(value, ensure_ascii=False)


# What is reached


def keys_of(text: str) -> set[str]:
    """Dotted names of the keys in a plan."""

    def walk(table: dict[str, Any], at: str) -> Iterator[str]:
        for name, value in table.items():
            dotted = f"{at}.{name}" if at else name
            yield dotted
            for inner in value if isinstance(value, list) else [value]:
                if isinstance(inner, dict):
                    yield from walk(inner, dotted)

    return set(walk(tomllib.loads(text), ""))


def codes_of(place: Path) -> set[str]:
    """Codes of the findings in a case's result, from its JSON and from brackets in the printed text."""
    found: set[str] = set()
    for path in [*place.rglob("*.json"), *place.glob("outcome/*.out")]:
        text = path.read_text(encoding="utf-8", errors="replace")
        found |= set(re.findall(r'"code": "([a-z0-9-]+)"', text))
        found |= set(re.findall(r"\b(?:stop|hold|caution|note)\W+([a-z0-9]+(?:-[a-z0-9]+)*)\b", text))
    return found


def declared() -> list[str]:
    """Codes of all rules; a family of codes is given by its prefix, which ends in a hyphen."""
    import bulbcast
    from bulbcast.findings import rules

    for module in pkgutil.walk_packages(bulbcast.__path__, "bulbcast."):
        if not module.name.endswith("__main__"):
            importlib.import_module(module.name)
    return [rule.code for rule in rules()]


def reached(run: list[Case], folder: Path, whole: bool) -> None:
    """Print which keys and codes the cases reach and, for a whole run, those missed without a reason."""
    from bulbcast.plan.keys import KEYS

    plans = [case for case in run if not case.name.startswith("broken-")]
    keys = set().union(*(keys_of(case.text) for case in plans)) & set(KEYS)
    seen = set().union(*(codes_of(folder / case.name) for case in run))
    rules = declared()
    met = {
        code
        for code in rules
        if code in seen or (code.endswith("-") and any(s.startswith(code) for s in seen))
    }
    print(f"keys: {len(keys)} of {len(KEYS)}; codes: {len(met)} of {len(rules)}")
    if not whole:
        return
    for kind, missed, reasons in (
        ("key", set(KEYS) - keys, KEYS_OUT_OF_REACH),
        ("code", set(rules) - met, OUT_OF_REACH),
    ):
        for name in sorted(missed):
            print(f"  {kind} {name} is not reached: {reasons.get(name, 'NO REASON GIVEN')}")
        for name in sorted(set(reasons) - missed):
            print(f"  {kind} {name} is reached or gone: take it out of net_reach.py")


def main() -> int:
    """Run the whole comparison; return 0 if there are only allowed differences."""
    parser = argparse.ArgumentParser(
        description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter
    )
    parser.add_argument("commit")
    parser.add_argument("--allow", type=Path)
    parser.add_argument("--only", default="*")
    parser.add_argument("--jobs", type=int, default=2)
    parser.add_argument("--quick", action="store_true")
    parser.add_argument("--keep", type=Path)
    asked = parser.parse_args()
    started, allowed = time.monotonic(), allowed_in(asked.allow)
    run = cases(asked.quick, asked.only)
    if not run:
        raise SystemExit(f"no case is called {asked.only}")
    with tempfile.TemporaryDirectory(prefix="net-") as name:
        base = Path(name)
        sides = _sides(base, asked, run)
        found: list[Difference] = []
        for case in run_all(sides, [case.name for case in run], max(asked.jobs, 1)):
            here = list(differences(case, sides, allowed))
            found += here
            for one in here[:LONGEST_REPORT]:
                print(one, flush=True)
            if len(here) > LONGEST_REPORT:
                print(f"{case}: {len(here) - LONGEST_REPORT} differences more", flush=True)
        reached(run, sides[1].folder, whole=not asked.quick and asked.only == "*")
    for entry in allowed:
        print(f"allowed, met {entry.met} times{'' if entry.met else ' (TAKE IT OUT)'}: {entry.reason}")
    where = len({one.case for one in found})
    print(
        f"{len(run)} cases, {len(found)} differences in {where} of them; {time.monotonic() - started:.0f} s"
    )
    return 1 if found else 0


def _sides(base: Path, asked: argparse.Namespace, run: list[Case]) -> tuple[Side, Side]:
    """Both sides with their cases on disk: the files of the commit, and the working tree as it is."""

    def git(*words: str) -> bytes:
        return subprocess.run(["git", "-C", str(PROJECT), *words], check=True, capture_output=True).stdout

    commit = git("rev-parse", "--verify", f"{asked.commit}^{{commit}}").decode().strip()
    (base / "commit").mkdir()
    subprocess.run(
        ["tar", "-x", "-C", str(base / "commit")], input=git("archive", commit, "bulbcast"), check=True
    )
    # The working tree too is copied: a file saved while the net runs would be taken by half of the cases.
    shutil.copytree(
        PROJECT / "bulbcast", base / "tree" / "bulbcast", ignore=shutil.ignore_patterns("__pycache__")
    )
    inputs, new = base / "inputs", base / "new-side"
    for case in run:
        write(case, inputs, asked.quick)
        shutil.copytree(inputs / case.name, new / case.name)
    old = (asked.keep or base) / f"old-{commit[:12]}"
    for case in run:
        kept = old / case.name
        same = (kept / "outcome" / "done").exists() and all(
            (kept / path.name).is_file() and (kept / path.name).read_bytes() == path.read_bytes()
            for path in (inputs / case.name).iterdir()
        )
        if not same:
            shutil.rmtree(kept, ignore_errors=True)
            shutil.copytree(inputs / case.name, kept)
    return Side(base / "commit", old.resolve(), "1"), Side(base / "tree", new, "2")


if __name__ == "__main__":
    sys.exit(main())
