"""The metal test bar: its solid, the results from its lengths and masses, and their use in the next plan."""

from __future__ import annotations

import json
from pathlib import Path

import numpy as np
import pytest
import trimesh
from plans import LEAST, SCREW, command

from bulbcast.confidence.bar import LENGTH, bar_mesh, bar_volume

TEXT = LEAST + 'pocket_depth = "6 mm"\n' + SCREW + "[confidence]\n"


@pytest.fixture
def plan(tmp_path: Path) -> Path:
    path = tmp_path / "wren.toml"
    path.write_text(TEXT, encoding="utf-8")
    return path


def said(plan: Path, *words: str) -> dict:
    done = command("weigh", plan, "--json", *words)
    assert done.exit_code == 0, done.output
    return json.loads(done.stdout)["bar"]


def planned(plan: Path) -> dict:
    done = command("plan", plan, "--json")
    assert done.exit_code == 0, done.output
    return json.loads(done.stdout)


def test_the_solid_is_closed_and_has_the_volume_of_the_formula() -> None:
    mesh = bar_mesh()
    solid = trimesh.Trimesh(vertices=mesh.vertices, faces=mesh.triangles, process=False)
    volume, height = bar_volume()
    assert solid.is_watertight
    assert solid.volume == pytest.approx(volume, rel=1e-12)
    assert solid.center_mass[2] == pytest.approx(height, rel=1e-12)
    upper = mesh.vertices[np.isclose(mesh.vertices[:, 2], mesh.vertices[:, 2].max())]
    assert np.ptp(upper[:, 0]) == pytest.approx(LENGTH)


def test_it_is_in_the_bundle_of_a_plan_that_asks_for_an_aim_alone(plan: Path, tmp_path: Path) -> None:
    plain = tmp_path / "plain.toml"
    plain.write_text(TEXT.replace("[confidence]\n", ""), encoding="utf-8")
    for path, there in ((plan, True), (plain, False)):
        assert command("plan", path, "--out", tmp_path / path.stem).exit_code == 0
        assert (tmp_path / path.stem / "test-bar.stl").exists() == there


def test_what_it_says_by_hand(plan: Path) -> None:
    found = said(plan, "--bar", "139.02 mm", "--bar-pattern", "140.10 mm", "--no-log")
    # 140.10 / 139.02 = 1.007769; the mould shrinks by 0.05 % where nobody says which: x 0.9995 = 1.007265.
    assert found["contraction"] == pytest.approx(0.007265, abs=1e-6)
    # A twentieth of a millimetre on each of both lengths: 0.05 / 139.6 x root two.
    assert found["contraction_sd"] == pytest.approx(0.000510, abs=2e-6)
    assert found["density_kg_m3"] is None
    weighed = said(
        plan,
        "--bar",
        "139 mm",
        "--bar-mass",
        "424 g +- 0.1 g",
        "--bar-in-water",
        "386 g +- 0.1 g",
        "--no-log",
    )
    # 424 x (998.2 - 1.2) / 38 + 1.2 = 11125.6, over 0.99 of the porosity: 11238.
    assert weighed["density_kg_m3"] == pytest.approx(11238.0, abs=1.0)
    # 0.1 g twice on 38 g lost: 0.35 %; porosity 0.6 % of the plan's spread beside it.
    assert 40.0 < weighed["density_sd_kg_m3"] < 140.0
    assert weighed["contraction_sd"] > 3.0 * found["contraction_sd"], "a printed pattern that nobody measured"


def test_the_next_plan_goes_by_it(plan: Path) -> None:
    before = planned(plan)
    said(plan, "--bar", "139.02 mm", "--bar-pattern", "140.10 mm")
    after = planned(plan)
    # The bar's 0.73 % against the metal's own 0.98 %, whose spread is far wider.
    assert after["pattern"]["contraction"] == pytest.approx(0.0075, abs=3e-4)
    assert after["confidence"]["mass_sd_kg"] < before["confidence"]["mass_sd_kg"]
    budget = {one["name"]: one for one in after["confidence"]["budget"]}
    assert "growth of the mould" not in budget, "included in the contraction"
    assert "castings.toml" in budget["contraction"]["source"]
    # A casting from a pattern made after the bar is compared with the result of the bar.
    mass = f"{after['cast']['mass_kg']:.6f} kg"
    weighed = json.loads(command("weigh", plan, "--json", "--as-cast", mass).stdout)["weighed"]
    assert weighed["readings"][0]["expected"] == pytest.approx(after["cast"]["mass_kg"], rel=1e-9)


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (("--bar", "139 mm", "--as-cast", "2.6 kg"), "readings of either a casting or a test bar"),
        (("--bar", "5.4"), "without a unit"),
        (("--bar", "139 in"), "25.2 times the length of the bar as drawn"),
        (("--bar-pattern", "140 mm"), "--bar: read no length"),
        (("--bar", "139 mm", "--bar-mass", "424 g"), "--bar-in-water: read nothing"),
        (("--bar", "139 mm", "--bar-mass", "386 g", "--bar-in-water", "424 g"), "swapped"),
    ],
)
def test_faults_cost_nothing(plan: Path, words: tuple[str, ...], says: str) -> None:
    done = command("weigh", plan, *words)
    assert done.exit_code == 2
    assert says in done.output
    assert not plan.with_name("castings.toml").exists()
