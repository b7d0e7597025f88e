"""Further calculations on a finished job. Each function accepts a Job and returns a new one.

Every function imports its modules when called, so that other commands are not slowed down.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import TYPE_CHECKING

from bulbcast.pattern_shop.results import ShopResults as Job

if TYPE_CHECKING:
    pass


def with_pour(job: Job) -> Job:
    """Return the same job after checking it for pouring. A plan without a mould or a melt is put on hold.

    Args:
        job: The results.
    """
    if job.melting is not None:
        return job
    from bulbcast.foundry.pour.rules import check_no_mould

    return job.joined(findings=(check_no_mould(),))


def with_cooling(
    job: Job, *, cells: int | None = None, progress: Callable[[float], None] = lambda done: None
) -> Job:
    """Return the same job after simulating its cooling, with the findings and defaults of the simulation.

    The gating then uses the simulated times, so that each figure has only one value. The simulation takes seconds and
    needs scipy, so it is not part of `run`.

    Args:
        job: The results.
        cells: Number of cells across the largest section; None uses the grid's default.
        progress: Called with the completed fraction, 0 to 1.
    """
    from bulbcast.foundry.cooling.rules import not_simulated
    from bulbcast.foundry.cooling.work import cooling_of
    from bulbcast.foundry.gating.design import topped_up

    # The figures for making the pattern and mould are unchanged; the pour is on hold for the same reason.
    pour = job.poured.case.pour
    if pour <= job.alloy.liquidus:
        return job.joined(findings=(not_simulated(pour, job.alloy.liquidus, job.shown),))
    seen, said, taken = cooling_of(job, cells=cells, progress=progress)
    job = job.joined(cooling=seen, defaults=taken, findings=said)
    melting = job.melting
    if melting is None or melting.gating is None:
        return job
    slow = seen.frozen_high / seen.frozen
    kept = None if seen.kept is None else seen.kept.until
    gating = replace(
        melting.gating,
        top_ups=()
        if kept is None
        else topped_up(
            melting.gating.top_up, slow * kept, lambda part: seen.history.solid_after(part * kept)
        ),
        keep=None if kept is None else slow * kept,
        keep_least=kept,
        thick_time=seen.frozen,
        feeder_time=seen.frozen_feeder,
        leave_alone=seen.leave_alone,
        simulated=True,
    )
    return replace(job, melting=replace(melting, gating=gating))
