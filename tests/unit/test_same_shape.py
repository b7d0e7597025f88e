"""A plan with the same structure as the previous one but different figures gives the same result as when read alone."""

from __future__ import annotations

import re
import tomllib

import pytest
from plans import EXAMPLES

from bulbcast.plan.faults import PlanError
from bulbcast.plan.reading import PlanReader, read_plan_table
from bulbcast.plan.sections import Plan

VALUE = re.compile(r'^(\w+ = )("[^"\n]*"|[\d.]+)', re.MULTILINE)
OTHERS = (
    '"1 mm"',
    '"900 mm"',
    '"31 mm"',
    '"2.2 kg"',
    '"0 %"',
    '"9 g/cm3"',
    '"unknown"',
    "5",
    '"oak"',
    '"sand"',
)


def read_by(reader: PlanReader, table: dict[str, object]) -> Plan | list[str]:
    try:
        return reader.read(table)
    except PlanError as error:
        return [str(fault) for fault in error.faults]


def with_(table: dict[str, object], other: dict[str, object]) -> dict[str, object]:
    """The other table, reusing the first table's objects for equal values, as a study does."""
    return {name: table[name] if table.get(name) == value else value for name, value in other.items()}


@pytest.mark.parametrize("name", ["fenwisp", "larkmoss", "puddlejack", "osierling", "saltmarrow"])
def test_a_plan_changed_in_one_value_reads_the_same_whatever_was_read_before(name: str) -> None:
    text = (EXAMPLES / f"{name}.toml").read_text(encoding="utf-8")
    table = tomllib.loads(text)
    reader = PlanReader(source="plan.toml", sha256="0")
    assert reader.read(table) == read_plan_table(table, source="plan.toml", sha256="0")
    faulty = sound = 0
    for place in VALUE.finditer(text):
        for value in OTHERS:
            other = with_(
                table, tomllib.loads(text[: place.start()] + place[1] + value + text[place.end() :])
            )
            alone = read_by(PlanReader(source="plan.toml", sha256="0"), other)
            assert read_by(reader, other) == alone
            faulty, sound = faulty + isinstance(alone, list), sound + isinstance(alone, Plan)
    assert faulty > 100
    assert sound > 20
