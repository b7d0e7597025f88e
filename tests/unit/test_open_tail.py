"""A tail diameter smaller than the profile's open end: the profile's open end is used and reported."""

from __future__ import annotations

import re

import pytest
from plans import example_text

from bulbcast.findings import Severity
from bulbcast.job import run
from bulbcast.plan.reading import read_plan

SALTMARROW = example_text("saltmarrow")


def job_with(tail, profile=None):
    text = re.sub(r"tail_diameter = .*", f'tail_diameter = "{tail}"', SALTMARROW)
    if profile:
        text = re.sub(r"(max_at|nose_index) = .*\n", "", text).replace('"naca4mod"', f'"{profile}"')
    return run(read_plan(text, source="saltmarrow.toml"))


def found(job):
    return [one for one in job.findings if one.code == "tail-left-open"]


def test_a_tail_that_the_profile_leaves_wider_than_typed_is_reported():
    (finding,) = found(job_with("3.05 mm"))
    assert finding.severity is Severity.NOTE
    assert (finding.where, finding.limit) == ("bulb.tail_diameter", 0.00305)
    # The four-digit form leaves 2 % of the diameter open: 163.56 mm at the fineness asked.
    assert finding.found == pytest.approx(0.02 * 0.16356, rel=1e-3)
    assert finding.message == (
        "The profile is 3.27 mm across at its end and never narrows to the planned tail diameter of 3.05 mm: the tail "
        "stays as wide as the profile leaves it."
    )
    assert finding.remedy == (
        'Set tail_diameter = "3.3 mm", or choose a profile that closes, such as spheroid or sears-haack.'
    )


def test_its_fixes_fix_it_when_typed_as_shown():
    assert found(job_with("3.3 mm")) == []
    assert found(job_with("3.05 mm", "spheroid")) == []
    assert found(job_with("3.05 mm", "sears-haack")) == []


def test_a_tail_cut_where_it_was_asked_is_not_reported():
    job = job_with("8 mm")
    assert found(job) == []
    assert 2.0 * job.bulb.body.tail_radius == pytest.approx(0.008, rel=1e-12)
