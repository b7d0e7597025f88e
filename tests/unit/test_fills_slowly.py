"""Every fix for a mould that fills too slowly for its thin end works when typed into the plan."""

from __future__ import annotations

import tomllib

import pytest
from typed_remedies import plan_text, typed, ways_of

from bulbcast.job import Job, run
from bulbcast.plan.reading import read_plan


def job_of(table: dict[str, object]) -> Job:
    return run(read_plan(plan_text(table), source="plan.toml"))


@pytest.mark.parametrize(
    ("mass", "fineness"), [(0.3, 14), (0.5, 10), (0.5, 20), (1.0, 6), (1.0, 14), (2.0, 8), (2.0, 20)]
)
def test_each_way_out_of_a_slow_filling_does_when_it_is_typed(mass, fineness):
    size = (mass / 2.0) ** (1.0 / 3.0)
    table = tomllib.loads(f"""
[bulb]
target_mass = "{mass} kg"
fineness = {fineness}
[alloy]
grade = "antimonial-4"
[fin]
tip_chord = "{75.0 * size:.1f} mm"
tip_thickness = "{8.0 * size:.1f} mm"
[mould]
material = "plaster"
drying = "baked"
[pour]
mould_temperature = "20 C"
""")
    slow = next(one for one in job_of(table).findings if one.code == "fills-slowly")
    ways = ways_of(slow)
    assert {line.key for way in ways for line in way} >= {"pour.choke_diameter", "bulb.tail_diameter"}
    # A tail of 3 mm, the least, is as thin on a fuller bulb: on the smaller ones none does.
    assert ("bulb.fineness" in {line.key for way in ways for line in way}) == (mass == 2.0)
    for way in ways:
        gating = job_of(typed(table, way)).melting.gating
        assert gating.fill_time <= gating.thin_time * (1.0 + 1e-9), way
