"""Process time for 100,000 sampled castings and for a plan's uncertainty band. Run by hand; the budgets are not tested.

python tests/benchmarks/bench_castings.py
"""

from __future__ import annotations

import time
from pathlib import Path

from bulbcast.confidence.casting import CastingModel
from bulbcast.confidence.inputs import inputs_of
from bulbcast.confidence.propagation import draws
from bulbcast.confidence.work import confidence_of
from bulbcast.files.plan_file import load_plan
from bulbcast.job import run

EXAMPLES = Path(__file__).parents[2] / "examples"
COUNT = 100_000


def main() -> None:
    for path in sorted(EXAMPLES.glob("*.toml")):
        job = run(*load_plan(path), remedies=False)
        inputs = inputs_of(job)
        begun = time.process_time()
        values = draws([one.uncertain for one in inputs.all], count=COUNT, seed=1)
        CastingModel(bulb=job.bulb, wish=job.wish).hung(inputs.castings(values))
        sampled = time.process_time() - begun
        spent = []
        for _ in range(9):
            begun = time.process_time()
            confidence_of(job)
            spent.append(time.process_time() - begun)
        print(
            f"{path.stem:12s} {COUNT:,} castings {sampled:6.3f} s   budget 5.0 s"
            f"   the band in a plan {1000.0 * sorted(spent)[4]:5.1f} ms   budget 10 ms"
        )


if __name__ == "__main__":
    main()
