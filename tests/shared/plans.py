"""Helpers shared by the tests: the examples, the shortest plan, its faults, and the program as a user starts it."""

from __future__ import annotations

import importlib.util
import re
from functools import cache
from pathlib import Path
from types import ModuleType

import pytest
from click.testing import CliRunner, Result

from bulbcast.cli.main import group
from bulbcast.findings import Finding
from bulbcast.job import Job, run
from bulbcast.plan.faults import PlanError
from bulbcast.plan.reading import read_plan

EXAMPLES = Path(__file__).parents[2] / "examples"

LEAST = """\
[bulb]
target_mass = "2.45 kg"
[alloy]
grade = "pure"
[fin]
tip_chord = "70 mm"
tip_thickness = "7 mm"
"""

SCREW = """\
[[screws]]
at = "14 mm"
diameter = "4 mm"
hole_diameter = "4.5 mm"
head_diameter = "8 mm"
head_height = "2.6 mm"
recess = "8 mm"
length = "45 mm"
"""


def example_text(name: str) -> str:
    """Text of an example plan."""
    return (EXAMPLES / f"{name}.toml").read_text(encoding="utf-8")


def bare_example(name: str) -> str:
    """An example plan without its mould and melt sections, so that a test can add its own."""
    return example_text(name).partition("# No [melt] feeder")[0]


def command(*words: object) -> Result:
    """Run `bulbcast` with these arguments in this process."""
    return CliRunner().invoke(group, [str(word) for word in words])


def job_of(text: str, source: str = "lark.toml") -> Job:
    """Job of a plan that names no other file."""
    return run(read_plan(text, source=source))


def faults_of(text: str, source: str = "lark.toml") -> list[str]:
    """Faults of a rejected plan; the error message has a line for each."""
    with pytest.raises(PlanError) as caught:
        read_plan(text, source=source)
    messages = [fault.message for fault in caught.value.faults]
    assert str(caught.value) == "\n".join(messages)
    return messages


def codes(job: Job) -> set[str]:
    """Codes of all findings for a job."""
    return {one.code for one in job.findings}


def the_finding(job: Job, code: str) -> Finding:
    """First finding with this code, which must exist."""
    return next(one for one in job.findings if one.code == code)


def with_line(section: str, line: str, base: str = LEAST) -> str:
    """The base plan with one more line at the head of a section; a missing section is added."""
    header = f"[{section}]\n"
    if header in base:
        return base.replace(header, f"{header}{line}\n")
    return f"{base}{header}{line}\n"


def without_line(key: str, base: str = LEAST) -> str:
    """The plan with a key's line removed."""
    return re.sub(rf"(?m)^{key} = .*\n", "", base)


@cache
def hull_maker() -> ModuleType:
    """The example script that makes a hull."""
    spec = importlib.util.spec_from_file_location("make_hull", EXAMPLES / "make_hull.py")
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module
