"""Commands as typed by a builder: exit statuses, messages, and the files that are or are not written."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest
from plans import EXAMPLES, command

EXAMPLE = EXAMPLES / "fenwisp.toml"


def changed(tmp_path: Path, old: str, new: str, name: str = "plan.toml") -> Path:
    """Path to a copy of the example with one string replaced; the string must occur in the example."""
    text = EXAMPLE.read_text(encoding="utf-8")
    assert old in text
    path = tmp_path / name
    path.write_text(text.replace(old, new), encoding="utf-8")
    return path


def test_the_starter_plan_runs_as_it_is_and_is_never_overwritten(tmp_path: Path) -> None:
    plan = tmp_path / "mine.toml"
    assert command("new", plan).exit_code == 0
    before = plan.read_bytes()
    again = command("new", plan)
    assert again.exit_code == 2
    assert again.stderr == f"{plan} already exists and was not changed. Give another name.\n"
    assert plan.read_bytes() == before
    done = command("plan", plan, "--out", tmp_path / "out")
    assert done.exit_code == 0, done.output


def test_json_is_one_object_and_nothing_else(tmp_path: Path) -> None:
    done = command("plan", EXAMPLE, "--json")
    assert done.exit_code == 0
    plan = json.loads(done.stdout)
    assert plan["files"] == []
    assert done.stderr == ""
    with_files = command("plan", EXAMPLE, "--json", "--out", tmp_path / "out")
    assert json.loads(with_files.stdout) == json.loads((tmp_path / "out" / "plan.json").read_text("utf-8"))


def test_a_missing_plan_file_is_wrong_input_and_says_so() -> None:
    done = command("plan", "nowhere.toml", "--json")
    assert done.exit_code == 2
    assert done.stdout == ""
    assert done.stderr == (
        "nowhere.toml: the file: read nothing (No such file or directory); expected a plan file in TOML. "
        "Fix the name, or write a starter plan with: bulbcast new FILE\n"
    )


def test_every_fault_of_a_file_is_reported_in_one_go(tmp_path: Path) -> None:
    text = EXAMPLE.read_text(encoding="utf-8")
    text = text.replace('"2.45 kg"', "2.45").replace('"72 mm"', '"72 kg"').replace("fineness", "finness")
    path = tmp_path / "bad.toml"
    path.write_text(text, encoding="utf-8")
    done = command("plan", path, "--out", tmp_path / "out")
    assert done.exit_code == 2
    assert "3 things in the plan have to be fixed:" in done.stderr
    for word in ("bulb.target_mass", "fin.tip_chord", "finness"):
        assert word in done.stderr
    assert not (tmp_path / "out").exists()


@pytest.mark.parametrize(
    ("old", "new", "words"),
    [
        ("fineness = 6.0", 'length = "60 mm"', ("bulb.length", "Set length between")),
        ("fineness = 6.0", 'diameter = "200 mm"', ("bulb.diameter", "Set diameter between")),
        ('tail_diameter = "4 mm"', 'tail_diameter = "60 mm"', ("bulb.tail_diameter",)),
        ("carry_at = 0.40", "carry_at = 4.0", ("fin.carry_at", "Set carry_at between")),
        ('profile = "naca4"', 'profile = "series58"\nmax_at=0.4\nnose_radius=0.5\ntail_radius=0.1\nprismatic=0.9',
         ("bulb.prismatic", "0.49 to 0.72")),
    ],
)  # fmt: skip
def test_a_wish_without_a_solution_names_what_would_do(
    tmp_path: Path, old: str, new: str, words: tuple[str, ...]
) -> None:
    done = command("plan", changed(tmp_path, old, new), "--out", tmp_path / "out")
    assert done.exit_code == 2, done.output
    for word in words:
        assert word in done.stderr
    assert not (tmp_path / "out").exists()


def test_a_stop_exits_3_and_withholds_the_pattern_alone(tmp_path: Path) -> None:
    plan = changed(tmp_path, 'recess = "9 mm"', 'recess = "60 mm"')
    done = command("plan", plan, "--out", tmp_path / "out")
    assert done.exit_code == 3, done.output
    names = {path.name for path in (tmp_path / "out").iterdir()}
    assert names == {"plan.json", "report.html", "bulb.stl", "bulb.3mf", "offsets.csv"}
    findings = json.loads((tmp_path / "out" / "plan.json").read_text("utf-8"))["findings"]
    assert {finding["code"] for finding in findings if finding["severity"] == "stop"} >= {"recess-too-deep"}


def test_a_directory_that_is_not_ours_is_refused_and_left_alone(tmp_path: Path) -> None:
    out = tmp_path / "out"
    out.mkdir()
    (out / "letters.txt").write_text("mine", encoding="utf-8")
    for more in ((), ("--replace",)):
        done = command("plan", EXAMPLE, "--out", out, *more)
        assert done.exit_code == 2
        assert "is not empty and was not written by bulbcast (it contains letters.txt)" in done.stderr
    assert [path.name for path in out.iterdir()] == ["letters.txt"]


def test_replace_replaces_listed_files_and_keeps_the_rest(tmp_path: Path) -> None:
    out = tmp_path / "out"
    assert command("plan", EXAMPLE, "--out", out).exit_code == 0
    (out / "notes").mkdir()
    (out / "notes" / "shed.txt").write_text("poured on a dry day", encoding="utf-8")
    refused = command("plan", EXAMPLE, "--out", out)
    assert refused.exit_code == 2
    assert "add --replace" in refused.stderr
    stopped = changed(tmp_path, 'recess = "9 mm"', 'recess = "60 mm"')
    assert command("plan", stopped, "--out", out, "--replace").exit_code == 3
    assert not (out / "pattern.stl").exists()
    assert (out / "notes" / "shed.txt").read_text("utf-8") == "poured on a dry day"
    assert sorted(tmp_path.iterdir()) == sorted([out, stopped])


def test_a_bundle_list_that_points_outside_is_not_ours(tmp_path: Path) -> None:
    out = tmp_path / "out"
    assert command("plan", EXAMPLE, "--out", out).exit_code == 0
    plan = json.loads((out / "plan.json").read_text("utf-8"))
    plan["files"].append({"path": "../precious.txt"})
    (out / "plan.json").write_text(json.dumps(plan), encoding="utf-8")
    (tmp_path / "precious.txt").write_text("keep", encoding="utf-8")
    assert command("plan", EXAMPLE, "--out", out, "--replace").exit_code == 2
    assert (tmp_path / "precious.txt").exists()


def test_texts_that_mean_the_same_give_the_same_solids_to_the_byte(tmp_path: Path) -> None:
    same = changed(tmp_path, '"2.45 kg"', '"2450 g"')
    same.write_text(same.read_text("utf-8").replace('"72 mm"', '"7.2 cm"'), encoding="utf-8")
    assert command("plan", EXAMPLE, "--out", tmp_path / "one").exit_code == 0
    assert command("plan", same, "--out", tmp_path / "two").exit_code == 0
    for name in ("bulb.stl", "pattern.stl", "offsets.csv"):
        assert (tmp_path / "one" / name).read_bytes() == (tmp_path / "two" / name).read_bytes()


def test_a_facet_flipped_before_the_read_back_leaves_nothing(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    from bulbcast.bundle import shop_files
    from bulbcast.solids import stl

    def flipped(mesh: object) -> bytes:
        content = bytearray(stl.stl_bytes(mesh))  # type: ignore[arg-type]
        first, second = 84 + 12, 84 + 24
        content[first : first + 12], content[second : second + 12] = (
            content[second : second + 12],
            content[first : first + 12],
        )
        return bytes(content)

    monkeypatch.setattr(shop_files, "stl_bytes", flipped)
    done = command("plan", EXAMPLE, "--out", tmp_path / "out")
    assert done.exit_code == 1
    assert "failed the read-back" in done.stderr
    assert list(tmp_path.iterdir()) == []


def test_a_file_size_limit_ends_in_status_1_and_leaves_nothing(tmp_path: Path) -> None:
    code = (
        "import resource, sys\nresource.setrlimit(resource.RLIMIT_FSIZE, (200_000, 200_000))\n"
        f"sys.argv = ['bulbcast', 'plan', {str(EXAMPLE)!r}, '--out', {str(tmp_path / 'out')!r}]\n"
        "from bulbcast.cli.main import main\nmain()"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, cwd=tmp_path)
    assert done.returncode == 1, done.stderr
    assert "nothing was written" in done.stderr
    assert "Traceback" not in done.stderr
    assert list(tmp_path.iterdir()) == []


def test_locale_time_zone_hash_seed_folder_and_home_do_not_change_a_byte(tmp_path: Path) -> None:
    outcomes = []
    for number, extra in enumerate(
        (
            {"LC_ALL": "C", "TZ": "UTC", "PYTHONHASHSEED": "1"},
            {
                "LC_ALL": "tr_TR.UTF-8",
                "TZ": "Pacific/Chatham",
                "PYTHONHASHSEED": "77",
                "HOME": "/proc/nothing",
            },
        )
    ):
        folder = tmp_path / f"folder{number}"
        folder.mkdir()
        done = subprocess.run(
            [sys.executable, "-m", "bulbcast", "plan", str(EXAMPLE), "--out", "out"],
            cwd=folder,
            env={**os.environ, **extra, "PYTHONPATH": str(Path(__file__).parents[2])},
            capture_output=True,
            text=True,
        )
        assert done.returncode == 0, done.stderr
        outcomes.append({path.name: path.read_bytes() for path in (folder / "out").iterdir()})
    assert outcomes[0] == outcomes[1]
