"""Corrupted plans, tables, hulls, logs and records give a message or a result, never a traceback, a nan or a negative
size.

A few cases run by default, several hundred with `-m slow`, and any number by hand with tests/benchmarks/fuzz.py.
"""

from __future__ import annotations

import sys
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).parents[1] / "benchmarks"))

from fuzz import cases, faults_of, run_case


def test_a_few_spoiled_jobs_end_in_a_result_or_a_message():
    ended = [run_case(seed) for seed in range(12)]
    assert [one for _, _, _, found in ended for one in found] == []
    # Some go all the way and some are refused: else nothing was tried.
    statuses = {status for _, status, _, _ in ended}
    assert 2 in statuses
    assert statuses & {0, 3}


@pytest.mark.slow
def test_hundreds_of_spoiled_jobs_end_in_a_result_or_a_message():
    ended = list(cases(range(20_000, 20_400)))
    assert [one for _, _, _, found in ended for one in found] == []


PLAN = ["plan", "plan.toml", "--json"]


@pytest.mark.parametrize(
    ("status", "out", "err", "kind"),
    [
        (1, "", "This should not happen", "status"),
        (2, "{}", "", "wrong input"),
        (0, '{"a": NaN}', "", "no JSON"),
        (0, '{"bulb": {"length_m": -0.1}, "melt": {"withheld": []}, "pour": {}}', "", "below zero"),
        (3, '{"findings": [], "melt": {"withheld": []}, "pour": {"withheld": []}}', "", "status of findings"),
        (
            0,
            '{"findings": [], "melt": {"withheld": ["fuel-short"], "charge_kg": 2.0}, "pour": {"withheld": []}}',
            "",
            "withheld",
        ),
        (0, '{"melt": {"withheld": []}, "pour": {}}', "x.py:1: RuntimeWarning: invalid value", "warning"),
    ],
)
def test_what_must_not_be_is_seen(status, out, err, kind):
    assert [one.kind for one in faults_of(0, "plan", PLAN, status, out, err)] == [kind]
