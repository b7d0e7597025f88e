"""Fixtures created once per session: the example jobs, and the script that makes a hull."""

from __future__ import annotations

from collections.abc import Callable
from functools import cache
from types import ModuleType

import pytest
from plans import EXAMPLES, hull_maker

from bulbcast.files.plan_file import load_plan
from bulbcast.job import Job, run


@pytest.fixture(scope="session")
def example_job() -> Callable[[str], Job]:
    """Return the job for an example, given its name; it is calculated on first use."""
    return cache(lambda name: run(*load_plan(EXAMPLES / f"{name}.toml")))


@pytest.fixture(scope="session")
def maker() -> ModuleType:
    """The example script that makes a hull."""
    return hull_maker()
