"""Run every command on randomly corrupted plans, tables, hulls, drying logs and float records.

    python tests/benchmarks/fuzz.py [CASES] [FIRST SEED]

A case depends only on its seed: one plan and its files, slightly or badly corrupted, and one command. The following are
reported: a traceback or exit status 1, a figure in JSON or text that is not finite, a negative size, a status that
disagrees with the findings, a withheld figure that is shown, and a run of more than `LIMIT` seconds of process time.
Cases run one after another in a child process, which is ended if a case does not return.
"""

from __future__ import annotations

import collections
import json
import multiprocessing
import os
import re
import shutil
import sys
import tempfile
import time
import traceback
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from fuzz_inputs import laid_out

LIMIT = 10.0
"""Longest permitted run. [s of process time]"""
GIVEN_UP = 300.0
"""Time after which a run that has not returned is killed. [s]"""
MEMORY = 4_000_000_000
"""Memory limit of the child process, if the system supports one. [bytes]"""


@dataclass(frozen=True, slots=True)
class Fault:
    """A fault shown by a case.

    Attributes:
        seed: Seed of the case.
        kind: Kind of fault in a word or two.
        said: Command and symptom.
    """

    seed: int
    kind: str
    said: str


# What is held against each run

_SIZE = re.compile(
    r"(?:(?:length|diameter|width|height|thickness|radius|volume|area|half_width|half_height|depth|modulus)_m[23]?"
    r"|(?:mass|cast|charge|feeder|reserve|dross|poured|plaster|water|sand|just_set|baked|available|wanted|short|over"
    r"|weight|fuel\w*|capacity|lifted)_kg|\w+_s|\w+_pa|\w+_n|\w*density_kg_m3)$"
)
_SIGNED = ("ledger", "stresses", "budget", "turning_n_m", "drilling", "lift_in_melt", ".walls.")
"""Places in which a negative figure is correct: material removed, a cut that breaks through, or a reversed force."""


def _walked(value: Any, path: str = "") -> Iterator[tuple[str, Any]]:
    if isinstance(value, dict):
        for key, one in value.items():
            yield from _walked(one, f"{path}.{key}")
    elif isinstance(value, list):
        for number, one in enumerate(value):
            yield from _walked(one, f"{path}[{number}]")
    else:
        yield path, value


def _not_finite(word: str) -> float:
    raise ValueError(f"{word} in JSON")


def faults_of(seed: int, command: str, words: list[str], status: int, out: str, err: str) -> Iterator[Fault]:
    """Faults in the output of a run that returned.

    Args:
        seed: Seed of the case.
        command: Kind of command, from `laid_out`.
        words: Arguments of the command line.
        status: Exit status.
        out: Standard output.
        err: Standard error.
    """
    line = " ".join(words)
    if "Warning:" in err:
        yield Fault(seed, "warning", f"{line}: {err[-300:]}")
    if status not in (0, 2, 3):
        yield Fault(seed, "status", f"{line}: {status}: {err[-600:]}")
        return
    if status == 2:
        if out or not err.strip():
            yield Fault(seed, "wrong input", f"{line}: printed {out[:80]!r}, complained {err[:80]!r}")
        return
    if "--json" not in words:
        for found in re.finditer(r"(?<![\w\"'-])-?(?:nan|inf)(?![\w\"'-])", out):
            yield Fault(seed, "not finite", f"{line}: {out[max(found.start() - 60, 0) : found.end() + 30]!r}")
        return
    try:
        reported = json.loads(out, parse_constant=_not_finite)
    except ValueError as error:
        yield Fault(seed, "no JSON", f"{line}: {error}")
        return
    for path, value in _walked(reported):
        # What rounding leaves of zero is no size below it.
        if (
            isinstance(value, float)
            and value < -1e-9
            and _SIZE.search(path)
            and not any(one in path for one in _SIGNED)
        ):
            yield Fault(seed, "below zero", f"{line}: {path} = {value}")
    findings = reported.get("findings", [])
    stopped = any(one["severity"] == "stop" for one in findings)
    if command in ("plan", "bundle"):
        if stopped != (status == 3):
            yield Fault(seed, "status of findings", f"{line}: {status}")
        melt, pour = reported["melt"], reported["pour"]
        if stopped and not (melt["withheld"] and pour["withheld"]):
            yield Fault(seed, "withheld", f"{line}: a stop withholds nothing")
        if melt["withheld"] and melt["charge_kg"] is not None:
            yield Fault(seed, "withheld", f"{line}: charge {melt['charge_kg']}")
    if command == "pour" and (status == 3) != bool(reported["withheld"]):
        yield Fault(seed, "status of findings", f"{line}: {status}")
    if command == "pour" and reported["withheld"] and reported["card"] is not None:
        yield Fault(seed, "withheld", f"{line}: a card")


def run_case(seed: int) -> tuple[str, int, float, list[Fault]]:
    """Write a case's files, run the case in this process, and check the result.

    Args:
        seed: Seed of the case.

    Returns:
        The kind of command, its exit status, its process time in seconds, and the faults found.
    """
    from click.testing import CliRunner

    from bulbcast.cli.main import group

    place, back = Path(tempfile.mkdtemp(prefix="fuzz-")), Path.cwd()
    try:
        command, words = laid_out(seed, place)
        os.chdir(place)
        start = time.process_time()
        done = CliRunner(env={"BULBCAST_TRACE": "1"}).invoke(group, words)
        span = time.process_time() - start
        if done.exception is not None and not isinstance(done.exception, SystemExit):
            trace = "".join(traceback.format_exception(done.exception)[-4:])
            faults = [Fault(seed, "traceback", f"{' '.join(words)}: {trace}")]
        else:
            faults = list(faults_of(seed, command, words, done.exit_code, done.stdout, done.stderr))
        if span > LIMIT:
            faults.append(Fault(seed, "slow", f"{' '.join(words)}: {span:.1f} s"))
        return command, done.exit_code, span, faults
    finally:
        os.chdir(back)
        shutil.rmtree(place, ignore_errors=True)


# The child that does it


def _serve(pipe: Any) -> None:
    try:
        import resource

        resource.setrlimit(resource.RLIMIT_AS, (MEMORY, MEMORY))
    except (ImportError, ValueError, OSError):
        pass
    while (seed := pipe.recv()) is not None:
        pipe.send(run_case(seed))


def cases(seeds: range) -> Iterator[tuple[str, int, float, list[Fault]]]:
    """Run cases in a child process, and start a new one whenever it hangs or dies.

    Args:
        seeds: Seeds of the cases.
    """
    context = multiprocessing.get_context("spawn")
    child = pipe = None
    try:
        for seed in seeds:
            if child is None:
                pipe, far = context.Pipe()
                child = context.Process(target=_serve, args=(far,), daemon=True)
                child.start()
                far.close()
            pipe.send(seed)
            try:
                if pipe.poll(GIVEN_UP):
                    yield pipe.recv()
                    continue
                why = f"no answer after {GIVEN_UP:g} s"
            except EOFError:
                why = "the process is gone"
            child.kill()
            child.join()
            child = None
            yield "?", -1, GIVEN_UP, [Fault(seed, "slow", why)]
    finally:
        if child is not None:
            pipe.send(None)
            child.join(10.0)


def main() -> None:
    """Run the cases and print the faults found."""
    count = int(sys.argv[1]) if len(sys.argv) > 1 else 2000
    first = int(sys.argv[2]) if len(sys.argv) > 2 else 0
    ends: collections.Counter[tuple[str, int]] = collections.Counter()
    slowest, faults = 0.0, 0
    for command, status, span, found in cases(range(first, first + count)):
        ends[command, status] += 1
        slowest = max(slowest, span)
        for one in found:
            faults += 1
            print(f"{one.seed}: {one.kind}: {one.said}", flush=True)
    print(f"{count} cases, {faults} faults, slowest {slowest:.1f} s of process time")
    for (command, status), number in sorted(ends.items()):
        print(f"  {command:8} {status:3} {number:6}")


if __name__ == "__main__":
    main()
