"""Cost of the simulated cooling by number of cells, and effect of a finer grid. Run by hand:

python tests/benchmarks/bench_cooling.py
"""

from __future__ import annotations

import sys
import time
from pathlib import Path

from bulbcast.files.plan_file import load_plan
from bulbcast.job import run, with_cooling

EXAMPLES = sorted((Path(__file__).parents[2] / "examples").glob("*.toml"))


def main() -> None:
    """Print the results of every example with the default grid, then of two examples on finer and finer grids: one cast
    lying and one cast upright."""
    print("example           cells  steps  seconds   frozen    mass")
    for path in EXAMPLES:
        job = run(*load_plan(path))
        report(path.stem, job, None)
    for name in ("fenwisp", "saltmarrow"):
        job = run(*load_plan(next(path for path in EXAMPLES if path.stem == name)))
        for cells in (8, 10, 12, 14, 18, 24):
            report(f"{name} {cells}", job, cells)


def report(name: str, job, cells: int | None) -> None:
    """Print one line of the table."""
    begun = time.perf_counter()
    cooling = with_cooling(job, cells=cells).cooling
    spent = time.perf_counter() - begun
    print(
        f"{name:16s} {cooling.cells:6d} {cooling.steps:6d} {spent:8.1f} {cooling.frozen:8.1f} s "
        f"{job.cast.mass:7.2f} kg"
    )
    sys.stdout.flush()


if __name__ == "__main__":
    main()
