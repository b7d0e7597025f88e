"""Run the examples with the lowest and the newest versions of every dependency that pyproject.toml permits.

Run by hand, with the interpreters as arguments or found on PATH (python3.11, python3.12, python3.13). It needs
network access, and `uv` on PATH or in the folder of this interpreter (bench extra). Its environments are left in the
given folder:

    python tests/benchmarks/versions.py --folder versions python3.11 python3.12 python3.13

Each environment runs all five examples completely, and the commands that lock and record. The simulated cooling is run
for one example and its freezing time is printed. plan.json is compared with that of the first environment: every number
to 1e-9 of its size (1e-12 in SI if it is almost zero), and every text exactly, except for checksums of files whose bytes
depend on the libraries that wrote them.

The lowest versions are the lowest with a wheel for that Python, since a builder has no compiler. The simulated cooling
is not held to 1e-9: its time steps adapt, and a change in the last digit can add a step.
"""

from __future__ import annotations

import argparse
import json
import math
import os
import shutil
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import Any

PROJECT = Path(__file__).parents[2]
SETS = {"lowest": "lowest-direct", "newest": "highest"}
RELATIVE, NEXT_TO_ZERO = 1e-9, 1e-12


def environment(uv: str, python: str, resolution: str, folder: Path, extras: list[str]) -> Path:
    """Interpreter of an environment with the dependencies of pyproject.toml but without the project itself."""
    wanted = folder / "requirements.txt"
    chosen = [word for extra in extras for word in ("--extra", extra)]
    wheels = ["--only-binary", ":all:"]  # what a builder gets; a source that needs a compiler is none
    for words in (
        ["venv", "--quiet", "--clear", "--python", python, str(folder / "venv")],
        ["pip", "compile", "--quiet", "--python", python, "--resolution", resolution, *wheels, *chosen,
         "--output-file", str(wanted), str(PROJECT / "pyproject.toml")],
    ):  # fmt: skip
        subprocess.run([uv, *words], check=True, stdout=subprocess.DEVNULL)
    inside = folder / "venv" / ("Scripts" if os.name == "nt" else "bin") / "python"
    subprocess.run(
        [uv, "pip", "install", "--quiet", "--python", str(inside), *wheels, "-r", str(wanted)], check=True
    )
    return inside


def plans(python: Path, folder: Path) -> tuple[dict[str, Any], list[str], float]:
    """plan.json of every example by name, the failures, and the simulated freezing time of Fenwisp. [s]"""
    examples = folder / "examples"
    shutil.rmtree(examples, ignore_errors=True)
    shutil.copytree(PROJECT / "examples", examples)
    found, failed = {}, []
    for plan in sorted(examples.glob("*.toml")):
        out = examples / plan.stem
        words = ["plan", str(plan), "--out", str(out)]
        if called(python, words, failed):
            found[plan.stem] = json.loads((out / "plan.json").read_text(encoding="utf-8"))
    for words in (
        ["plan", str(examples / "fenwisp.toml"), "--out", str(examples / "fenwisp"), "--replace", "--cooling"],
        ["dry", str(examples / "fenwisp.toml"), "--just-set", "drag=3029 g@2026-06-01T10:00", "--at", "2026-06-01T11:00"],
        ["float", str(examples / "larkmoss.toml"), "--bow", "on the line", "--stern", "2 mm above"],
        ["compare", str(examples / "fenwisp.toml"), "--vary", "bulb.fineness=5,6", "--out", str(examples / "study")],
    ):  # fmt: skip
        called(python, words, failed)
    cooled = json.loads((examples / "fenwisp" / "plan.json").read_text(encoding="utf-8")).get("cooling") or {}
    return found, failed, cooled.get("casting_frozen_s", math.nan)


def called(python: Path, words: list[str], failed: list[str]) -> bool:
    """Whether a command succeeds (a stop counts as success); if not, the last line of its errors is added to `failed`."""
    done = subprocess.run(
        [str(python), "-m", "bulbcast", *words],
        env={**os.environ, "PYTHONPATH": str(PROJECT), "BULBCAST_TRACE": "1"},
        capture_output=True,
        text=True,
        encoding="utf-8",
    )
    if done.returncode not in (0, 3):
        last = (done.stderr.strip() or "no word").splitlines()[-1]
        failed.append(f"{words[0]} {Path(words[1]).name}: exit {done.returncode}, {last[:200]}")
    return done.returncode in (0, 3)


def leaves(value: Any, place: str = "") -> Iterator[tuple[str, Any]]:
    """Figures and texts of an object with their dotted names, without file checksums."""
    if isinstance(value, dict):
        for name, one in value.items():
            if not (name == "sha256" and place.startswith("files[")):
                yield from leaves(one, f"{place}.{name}" if place else name)
    elif isinstance(value, list):
        yield f"{place}[]", len(value)
        for number, one in enumerate(value):
            yield from leaves(one, f"{place}[{number}]")
    else:
        yield place, value


def differences(first: dict[str, Any], other: dict[str, Any]) -> tuple[float, str, list[str]]:
    """Largest relative difference in a figure, its name, and a line for each figure or text outside the bound."""
    largest, where, outside = 0.0, "-", []
    for name in sorted(first.keys() | other.keys()):
        if name not in first or name not in other:
            outside.append(f"{name}: not there")
            continue
        one, two = dict(leaves(first[name])), dict(leaves(other[name]))
        for place in sorted(one.keys() | two.keys()):
            a, b = one.get(place, "nothing"), two.get(place, "nothing")
            numbers = all(isinstance(v, (int, float)) and not isinstance(v, bool) for v in (a, b))
            if not numbers:
                if a != b:
                    outside.append(f"{name} {place}: {a!s:.60} / {b!s:.60}")
                continue
            off = abs(a - b)
            if off <= NEXT_TO_ZERO:
                continue
            relative = off / max(abs(a), abs(b))
            if relative > largest:
                largest, where = relative, f"{name} {place}"
            if relative > RELATIVE:
                outside.append(f"{name} {place}: {a!r} / {b!r}")
    return largest, where, outside


def main() -> int:
    """Print the table; status 1 if an example failed or a figure is outside the bound."""
    asked = argparse.ArgumentParser(description=(__doc__ or "").splitlines()[0])
    asked.add_argument(
        "pythons", nargs="*", default=["python3.11", "python3.12", "python3.13"], help="interpreters"
    )
    asked.add_argument(
        "--folder", type=Path, default=Path("versions"), help="for the environments and bundles"
    )
    asked.add_argument(
        "--extra", action="append", default=[], help="an extra of pyproject.toml to install too"
    )
    given = asked.parse_args()
    uv = shutil.which("uv") or shutil.which("uv", path=str(Path(sys.executable).parent))
    if uv is None:
        print("uv is not here: pip install uv", file=sys.stderr)
        return 2
    first: dict[str, Any] | None = None
    bad = False
    print(
        "| Python | set | examples | largest difference, of a number's size | where | Fenwisp frozen, s |",
        flush=True,
    )
    print("| --- | --- | --- | --- | --- | --- |", flush=True)
    for python in given.pythons:
        for name, resolution in SETS.items():
            folder = given.folder.absolute() / f"{Path(python).parent.parent.name}-{Path(python).name}-{name}"
            folder.mkdir(parents=True, exist_ok=True)
            inside = environment(uv, python, resolution, folder, given.extra)
            version = subprocess.run(
                [inside, "-c", "import platform; print(platform.python_version())"],
                check=True, capture_output=True, text=True,
            ).stdout.strip()  # fmt: skip
            found, failed, frozen = plans(inside, folder)
            first = found if first is None else first
            largest, where, outside = differences(first, found)
            print(
                f"| {version} | {name} | {len(found)} | {largest:.1e} | {where} | {frozen:.2f} |", flush=True
            )
            for line in (*failed, *outside[:20]):
                print(f"    {line}", flush=True)
            bad = bad or bool(failed or outside)
    return int(bad)


if __name__ == "__main__":
    sys.exit(main())
