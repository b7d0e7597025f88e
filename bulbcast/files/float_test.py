"""Reads a float test typed on the command line, and the plan to compare it with, and reports the faults in both."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from datetime import datetime
from pathlib import Path

from bulbcast.afloat.asked import FloatAsked, read_float
from bulbcast.afloat.work import FloatResult, float_result
from bulbcast.ballast.weigh_in import RUDDER_NAME
from bulbcast.files.plan_file import load_plan
from bulbcast.job import Job, run
from bulbcast.plan.faults import Fault, PlanError


def load_float_test(
    path: Path, typed: Mapping[str, str | None], *, ashore: Sequence[str], aboard: Sequence[str]
) -> tuple[Job, FloatResult]:
    """Return the plan's job and the results of the float test.

    Args:
        path: The plan file.
        typed: Options as typed, in the form that `read_float` expects.
        ashore: Weights that were ashore, in the same form.
        aboard: Weights that were aboard, in the same form.

    Returns:
        The job and the results; the test has a time, taken from the clock if none was given.

    Raises:
        PlanError: The plan or the options have faults; the error lists all of them.
    """
    faults: list[Fault] = []
    loaded = None
    try:
        loaded = load_plan(path)
    except PlanError as error:
        faults += error.faults
    names = None if loaded is None else [one.name for one in loaded[0].weights]
    if names is not None and loaded is not None and loaded[0].rudder is not None:
        names.append(RUDDER_NAME)
    asked: FloatAsked | None = None
    try:
        asked = read_float(typed, ashore=ashore, aboard=aboard, names=names)
    except PlanError as error:
        faults += error.faults
    if faults or loaded is None or asked is None:
        raise PlanError(faults)
    job = run(*loaded, remedies=False)
    if asked.when is None:
        asked = replace(asked, when=datetime.now().astimezone().replace(microsecond=0))
    return job, float_result(job, asked)
