"""Cored cuts that meet are taken out once; a coat that eats the tail is a stop and not a failure."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from click.testing import CliRunner

from bulbcast.cli.main import group
from bulbcast.files.solids import pattern_solid
from bulbcast.job import run
from bulbcast.plan.reading import read_plan

PLAN = """
[bulb]
target_mass = "700 g"
[alloy]
grade = "pure"
[fin]
material = "metal"
tip_chord = "50 mm"
tip_thickness = "6 mm"
pocket_depth = "5 mm"
[pattern]
finish = "0 mm"
coat = "0 mm"
"""
SCREW = """
[[screws]]
at = "{at} mm"
diameter = "3 mm"
hole_diameter = "3.3 mm"
head_diameter = "6 mm"
head_height = "2 mm"
recess = "5 mm"
length = "30 mm"
hole = "cored"
"""


def test_two_cored_recesses_that_meet_are_taken_out_once() -> None:
    job = run(read_plan(PLAN + SCREW.format(at=16) + SCREW.format(at=19), source="meet.toml"))
    assert "recesses-meet" in {finding.code for finding in job.findings}
    # Without finish or coat the casting lacks just what the finished lead lacks, but for the cut pocket.
    taken = job.bulb.volume.volume - job.cast.volume
    parts = sum(space.hole.volume + space.recess.volume for space in job.bulb.cuts.screws)
    assert taken < parts * 0.95
    assert taken == pytest.approx(job.bulb.cuts.removed.volume - job.bulb.cuts.pocket.volume, rel=1e-5)
    meant = pattern_solid(job).meant
    assert meant.volume == pytest.approx(meant.quadrature_volume, rel=2e-5)


def test_cored_cuts_that_are_clear_are_the_sum_of_their_parts() -> None:
    job = run(read_plan(PLAN + SCREW.format(at=12) + SCREW.format(at=22), source="clear.toml"))
    taken = job.bulb.volume.volume - job.cast.volume
    parts = sum(space.hole.volume + space.recess.volume for space in job.bulb.cuts.screws)
    assert taken == pytest.approx(parts, rel=1e-12)


def test_a_coat_deeper_than_the_tail_is_a_stop_that_says_so(tmp_path: Path) -> None:
    plan = tmp_path / "coat.toml"
    plan.write_text(PLAN.replace('coat = "0 mm"', 'coat = "5 mm"'), encoding="utf-8")
    done = CliRunner().invoke(group, ["plan", str(plan), "--out", str(tmp_path / "out"), "--json"])
    assert done.exit_code == 3, done.output
    finding = next(one for one in json.loads(done.stdout)["findings"] if one["code"] == "coat-too-thick")
    assert finding["found"] > finding["limit"] > 0.0
    assert not (tmp_path / "out" / "pattern.stl").exists()
    thin = run(read_plan(PLAN.replace('coat = "0 mm"', 'coat = "0.1 mm"'), source="thin.toml"))
    assert "coat-too-thick" not in {one.code for one in thin.findings}
