"""A draught limit is compared with the boat's actual draught, including the sinkage and trim caused by a given bulb."""

from __future__ import annotations

import pytest
from plans import EXAMPLES, the_finding

from bulbcast.files.plan_file import load_plan
from bulbcast.job import run

LARKMOSS = EXAMPLES / "larkmoss.toml"


def held(tmp_path, mass):
    text = LARKMOSS.read_text(encoding="utf-8")
    (tmp_path / "larkmoss-offsets.csv").write_bytes((LARKMOSS.parent / "larkmoss-offsets.csv").read_bytes())
    asked = "" if mass is None else f'target_mass = "{mass}"\n'
    plan = tmp_path / "plan.toml"
    plan.write_text(
        text.replace("[bulb]\n", f"[bulb]\n{asked}") + '\n[limits]\ndraught = "390 mm"\n', encoding="utf-8"
    )
    return run(*load_plan(plan), standing="no")


def test_a_bulb_that_she_asks_for_leaves_her_on_her_line(tmp_path):
    job = held(tmp_path, None)
    assert job.limits[0].found == pytest.approx(-job.bulb.underside_z, abs=1e-7)


def test_a_heavier_bulb_puts_its_own_underside_deeper_by_her_sinkage_and_trim(tmp_path):
    job = held(tmp_path, "1.9 kg")
    lies, length = job.boat.lies, job.boat.start.hull.line.length
    # Sinkage at the centre of flotation and trim about it, by hand.
    arm = job.bulb.underside_x - job.boat.start.hull.line.flotation_x
    deeper = lies.sinkage + lies.trim * arm / length
    assert lies.sinkage > 0.004
    assert job.limits[0].found == pytest.approx(-job.bulb.underside_z + deeper, abs=1e-6)
    said = the_finding(job, "limit-draught")
    assert "below the surface when the boat floats" in said.message
