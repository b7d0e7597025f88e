"""Process times of start-up, one plan and a study of 1,000 plans, compared with a bare Python start in the same run.

Run by hand:

    python tests/benchmarks/whole_process.py

It prints the median process time (user and system time of the child) of nine runs. The absolute figures are budgets;
the figure to quote is the ratio to the bare start in the same run.
"""

from __future__ import annotations

import os
import resource
import shutil
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

RUNS = 9
EXAMPLE = Path(__file__).parents[2] / "examples" / "fenwisp.toml"


def process_time(words: list[str], prepare: Callable[[], None] = lambda: None) -> tuple[float, float]:
    """Median process time and median wall time of a command. [s]"""
    spent, wall = [], []
    for _ in range(RUNS):
        prepare()
        before = resource.getrusage(resource.RUSAGE_CHILDREN)
        start = time.perf_counter()
        subprocess.run(words, check=False, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
        wall.append(time.perf_counter() - start)
        after = resource.getrusage(resource.RUSAGE_CHILDREN)
        spent.append(after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime)
    return statistics.median(spent), statistics.median(wall)


def main() -> None:
    """Time every command and print the results."""
    python = sys.executable
    folder = Path(tempfile.mkdtemp())
    out = folder / "out"

    def clear() -> None:
        shutil.rmtree(out, ignore_errors=True)

    bulbcast = [python, "-m", "bulbcast"]
    rows = [
        ("bare python", [python, "-c", "pass"], None),
        ("python, click alone", [python, "-c", "import click"], None),
        ("python, numpy alone", [python, "-c", "import numpy"], None),
        ("--help", [*bulbcast, "--help"], 0.1),
        ("plan --json", [*bulbcast, "plan", str(EXAMPLE), "--json"], None),
        ("plan, whole bundle", [*bulbcast, "plan", str(EXAMPLE), "--out", str(out)], 6.0),
    ]
    bare = 0.0
    for name, words, budget in rows:
        spent, wall = process_time(words, clear)
        bare = bare or spent
        said = "" if budget is None else f"   budget {budget:.1f} s"
        print(f"{name:22s} {spent:6.3f} s process  {wall:6.3f} s wall  {spent / bare:6.1f} x bare{said}")
    study = [
        *bulbcast,
        "compare",
        str(EXAMPLE),
        "--vary",
        "bulb.fineness=4:8:40",
        "--vary",
        "bulb.skin=0mm:0.4mm:25",
    ]
    before = resource.getrusage(resource.RUSAGE_CHILDREN)
    start = time.perf_counter()
    subprocess.run(study, check=False, stdout=subprocess.DEVNULL)
    wall = time.perf_counter() - start
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    # A row is a thousandth of it, in milliseconds.
    spent = after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime
    print(
        f"{'compare, 1,000 plans':22s} {spent:6.3f} s process  {wall:6.3f} s wall  {spent / bare:6.1f} x bare   budget "
        f"3.0 s wall on 2 processors, here {os.cpu_count()}"
    )
    shutil.rmtree(folder)


if __name__ == "__main__":
    main()
