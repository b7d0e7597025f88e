"""What is worked out once a session and shared: the jobs of the examples, and the hull that goes with them."""

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
    """The job of an example by its name, worked out when it is first asked for."""
    return cache(lambda name: run(*load_plan(EXAMPLES / f"{name}.toml")))


@pytest.fixture(scope="session")
def maker() -> ModuleType:
    """The script among the examples that makes a hull to float."""
    return hull_maker()
