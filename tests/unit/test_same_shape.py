"""A plan of the shape of the one before it, whose figures alone are others, has the same faults as read by itself."""

from __future__ import annotations

import re

import pytest
from plans import EXAMPLES

from bulbcast.plan import consistency
from bulbcast.plan.faults import PlanError
from bulbcast.plan.reading import read_plan

QUANTITY = re.compile(r'^(\w+ = )"[-\d][\d ./]* ?\w+"', re.MULTILINE)


def faults_of(text: str) -> list[str]:
    try:
        read_plan(text.encode(), source="plan.toml")
    except PlanError as error:
        return [str(fault) for fault in error.faults]
    return []


@pytest.mark.parametrize("name", ["fenwisp", "larkmoss", "puddlejack", "osierling", "saltmarrow"])
def test_faults_between_figures_are_found_whatever_was_read_before(name: str) -> None:
    text = (EXAMPLES / f"{name}.toml").read_text(encoding="utf-8")
    found = 0
    for place in QUANTITY.finditer(text):
        for value in ('"1 mm"', '"900 mm"', '"31 mm"'):
            other = text[: place.start()] + place[1] + value + text[place.end() :]
            consistency._sound.clear()
            alone = faults_of(other)
            assert faults_of(text) == []
            assert faults_of(other) == alone
            found += bool(alone)
    assert found > 5
