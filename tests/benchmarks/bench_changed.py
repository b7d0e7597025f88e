"""Time to update a plan after one change to the bulb, from scratch or with reused steps, and to draw the side view.

Run by hand:

    python tests/benchmarks/bench_changed.py

In each example, the bulb's skin is changed fifteen times, by hundredths of a millimetre. Median times are printed in
milliseconds of process time. The numbers and findings, without fixes or righting arms, are timed from scratch and with
the steps of the previous plan; the side view of the result is timed separately. Linear algebra runs on one thread.
Nothing is asserted, since times depend on the machine.
"""

from __future__ import annotations

import os
import statistics
import time
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import Any

# Before numpy is loaded: a second thread of its linear algebra that only waits counts as process time.
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

from bulbcast.bulb.views.side_view import side_view
from bulbcast.files.plan_file import load_plan
from bulbcast.job import Job, run
from bulbcast.job.steps import Kept

CHANGES = 15
EXAMPLES = sorted((Path(__file__).parents[2] / "examples").glob("*.toml"))


def timed(work: Callable[[], Any]) -> tuple[float, Any]:
    """Process time [ms] and result of a call."""
    start = time.process_time()
    result = work()
    return 1e3 * (time.process_time() - start), result


def main() -> None:
    """Print the table."""
    print(f"{'':14s}{'cold':>8s}{'kept':>8s}{'view':>8s}{'kept + view':>14s}")
    for path in EXAMPLES:
        plan, offsets, hull = load_plan(path)
        kept = Kept()

        def job(changed: float, steps: Kept | None, plan=plan, offsets=offsets, hull=hull) -> Job:
            other = replace(plan, bulb=replace(plan.bulb, skin=plan.bulb.skin + changed))
            return run(other, offsets, hull, remedies=False, standing="no", kept=steps)

        side_view(job(0.0, kept))
        colds, warms, views = [], [], []
        for number in range(1, CHANGES + 1):
            cold, _ = timed(lambda number=number: job(1e-5 * number, None))
            warm, found = timed(lambda number=number, kept=kept: job(1e-5 * number, kept))
            view, _ = timed(lambda found=found: side_view(found))
            colds.append(cold)
            warms.append(warm)
            views.append(view)
        cold, warm, view = map(statistics.median, (colds, warms, views))
        print(f"{path.stem:14s}{cold:8.1f}{warm:8.1f}{view:8.1f}{warm + view:14.1f}")


if __name__ == "__main__":
    main()
