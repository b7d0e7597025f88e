"""Names that must not change: commands, plan.json keys, finding codes for the cuts, bundle files."""

from __future__ import annotations

import json
import re
from pathlib import Path
from typing import Any

import numpy as np
import pytest
import trimesh
from plans import command

EXAMPLES = sorted((Path(__file__).parents[2] / "examples").glob("*.toml"))

NUMBERS = (
    "bulb.length_m", "bulb.diameter_m", "bulb.fineness", "bulb.width_m", "bulb.height_m",
    "bulb.body_volume_m3", "bulb.wetted_area_m2", "bulb.prismatic", "bulb.net_lead_volume_m3",
    "bulb.lead_mass_kg", "bulb.hung_mass_kg", "bulb.nose_x_m", "bulb.displacement_m3", "bulb.underside_z_m",
    "alloy.density_kg_m3", "cast.volume_m3", "cast.mass_kg", "pattern.scale", "pattern.length_m",
    "pattern.volume_m3", "melt.charge_kg",
)  # fmt: skip
POINTS = ("bulb.mass_centre_m", "bulb.mass_centre_from_nose_m")


def at(tree: Any, dotted: str) -> Any:
    for name in dotted.split("."):
        tree = tree[name]
    return tree


@pytest.fixture(scope="module", params=EXAMPLES, ids=lambda path: path.stem)
def bundle(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Bundle of each example, planned once."""
    out = tmp_path_factory.mktemp("bundles") / request.param.stem
    done = command("plan", request.param, "--out", out)
    assert done.exit_code == 0, done.output
    return out


def test_there_are_three_examples_at_least() -> None:
    assert len(EXAMPLES) >= 3


def test_plan_json_has_every_key_of_the_contract(bundle: Path) -> None:
    plan = json.loads((bundle / "plan.json").read_text(encoding="utf-8"))
    for key in NUMBERS:
        if key == "melt.charge_kg" and plan["melt"]["withheld"]:
            assert at(plan, key) is None, "withheld on paper, null here"
        else:
            assert isinstance(at(plan, key), float), key
    assert set(plan["melt"]["withheld"]) <= set(plan["pour"]["withheld"])
    for key in POINTS:
        assert set(at(plan, key)) == {"x", "y", "z"}
    for finding in plan["findings"]:
        named = {
            "severity",
            "code",
            "where",
            "found",
            "limit",
            "message",
            "remedy",
            "withholds",
            "keys",
            "fix",
        }
        assert named <= set(finding)
        assert all(set(line) == {"key", "value", "way"} for line in finding["fix"])
        assert finding["severity"] in ("stop", "hold", "caution", "note")
    assert {"version", "plan_sha256", "schema"} <= set(plan["meta"])


def test_the_bundle_is_complete_and_its_list_is_true(bundle: Path) -> None:
    import hashlib

    plan = json.loads((bundle / "plan.json").read_text(encoding="utf-8"))
    listed = {one["path"]: one for one in plan["files"]}
    assert {"report.html", "bulb.stl", "pattern.stl", "offsets.csv"} <= set(listed)
    assert {path.name for path in bundle.iterdir()} == {*listed, "plan.json"}
    for path, one in listed.items():
        assert hashlib.sha256((bundle / path).read_bytes()).hexdigest() == one["sha256"]


@pytest.mark.parametrize(
    ("name", "key"), [("bulb.stl", "bulb.net_lead_volume_m3"), ("pattern.stl", "pattern.volume_m3")]
)
def test_an_independent_reader_finds_the_volumes_of_plan_json(bundle: Path, name: str, key: str) -> None:
    plan = json.loads((bundle / "plan.json").read_text(encoding="utf-8"))
    mesh = trimesh.load(bundle / name)
    assert mesh.is_watertight
    assert mesh.is_winding_consistent
    assert mesh.volume * 1e-9 == pytest.approx(at(plan, key), rel=2e-5)
    listed = next(one for one in plan["files"] if one["path"] == name)
    assert mesh.volume * 1e-9 == pytest.approx(listed["volume_m3"], rel=1e-6)
    centre = np.array([listed["mass_centre_m"][axis] for axis in "xyz"])
    assert mesh.center_mass * 1e-3 == pytest.approx(centre, abs=1e-6)


def test_no_markup_bears_a_style_of_its_own(bundle: Path) -> None:
    """The page's style sheet must apply to every element, and a strict content security policy blocks inline styles."""
    written = [*bundle.glob("*.html"), *bundle.glob("*.svg")]
    assert len(written) > 4
    inline = re.compile(r"""\bstyle\s*=\s*["'{]|\.style\b|cssText|["']style["']""")
    assert {path.name: found for path in written if (found := inline.findall(path.read_text("utf-8")))} == {}


def test_the_solids_have_a_fixed_header_without_a_clock(bundle: Path) -> None:
    for name in ("bulb.stl", "pattern.stl"):
        header = (bundle / name).read_bytes()[:80].decode("ascii")
        assert header.rstrip() == "bulbcast solid, millimetres, bulb axes: x aft, y starboard, z up"


def test_the_offsets_file_reads_again_as_the_same_body(bundle: Path, tmp_path: Path) -> None:
    plan = json.loads((bundle / "plan.json").read_text(encoding="utf-8"))
    example = next(path for path in EXAMPLES if path.stem == bundle.name)
    lines = []
    section = ""
    for line in example.read_text(encoding="utf-8").splitlines():
        section = line if line.startswith("[") else section
        own = ("max_at", "nose_index", "nose_radius", "tail_radius", "prismatic", "fineness", "length")
        if section == "[bulb]" and line.split("=")[0].strip() in own:
            continue
        if line.startswith("profile"):
            lines.append('profile = "offsets"')
            lines.append('offsets = "offsets.csv"')
            lines.append(f"fineness = {plan['bulb']['fineness']!r}")
            continue
        lines.append(line)
    (tmp_path / "again.toml").write_text("\n".join(lines), encoding="utf-8")
    for table in example.parent.glob("*.csv"):
        (tmp_path / table.name).write_bytes(table.read_bytes())
    (tmp_path / "offsets.csv").write_bytes((bundle / "offsets.csv").read_bytes())
    done = command("plan", tmp_path / "again.toml", "--json")
    assert done.exit_code == 0, done.output
    again = json.loads(done.stdout)
    for key in ("bulb.length_m", "bulb.diameter_m", "bulb.body_volume_m3", "bulb.wetted_area_m2"):
        assert at(again, key) == pytest.approx(at(plan, key), rel=2e-5), key


def test_the_commands_of_this_issue_are_there() -> None:
    listed = command("--help").output
    for name in ("new", "plan", "ballast", "dry", "compare", "float", "keys", "explain"):
        assert f"  {name} " in listed


def test_every_word_for_a_profile_has_the_function_that_makes_it():
    from bulbcast.bulb.body.profiles import PROFILES
    from bulbcast.plan.keys import KEYS

    assert {*PROFILES, "offsets"} == set(KEYS["bulb.profile"].choices)
