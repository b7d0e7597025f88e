"""`bulbcast pour`: the pour card on the day, or every reason for withholding it. No bundle contains a pour card."""

from __future__ import annotations

import json
import re
from pathlib import Path

import pytest
from plans import bare_example, command

from bulbcast.files.plan_file import load_plan
from bulbcast.foundry.pour.chapter import pour_card
from bulbcast.foundry.pour.temperature import vapour_bound
from bulbcast.job import run as load_and_run
from bulbcast.safety import caution

BAKED = '\n[mould]\nmaterial = "plaster"\ndrying = "baked"\n'
OIL = '\n[mould]\nmaterial = "sand"\nsand_kind = "oil-bonded"\n'
CURED = OIL + 'cured_at = "210 C"\ncured_for = "3 h"\n'


def plan_with(tmp_path: Path, more: str) -> Path:
    path = tmp_path / "fenwisp.toml"
    text = bare_example("fenwisp")
    path.write_text(text + more, encoding="utf-8")
    return path


def dry(tmp_path: Path) -> Path:
    """Path of a plan whose mould passed as dry on 4 June at 17:00, according to its drying log."""
    path = plan_with(tmp_path, BAKED)
    done = command(
        "dry",
        path,
        *("--just-set", "drag=3029 g@2026-06-01T10:00", "--just-set", "cope=2625 g@2026-06-01T10:00"),
        *("--weighed", "drag=1778 g@2026-06-04T16:00", "--weighed", "cope=1540 g@2026-06-04T16:00"),
        *("--weighed", "drag=1778 g@2026-06-04T17:00", "--weighed", "cope=1540 g@2026-06-04T17:00"),
        *("--room", "160 C", "--at", "2026-06-04T17:30"),
    )
    assert done.exit_code == 0, done.output
    return path


def test_the_card_is_printed_while_the_drying_pass_holds_and_only_then(tmp_path):
    path = dry(tmp_path)
    during = command("pour", path, "--at", "2026-06-04T18:00")
    assert during.exit_code == 0, during.output
    for words in ("Pour card", "When to stop", "Not after", "2026-06-05 05:00", "Never above"):
        assert words in during.stdout
    # The feeder is kept liquid and topped up: by when, and what a torch asks for.
    said = " ".join(during.stdout.split())
    for words in ("Keep the feeder liquid for", "Top it up with", "the feeder supplies the rest"):
        assert words in said
    assert caution("torch-on-feeder").short in said
    after = command("pour", path, "--at", "2026-06-05T05:01")
    assert after.exit_code == 3
    assert "Do not pour: there is no pour card." in after.stdout
    assert "mould-not-dry" in after.stdout
    assert "Next: " in after.stdout
    assert "Pour at" not in after.stdout
    # The same plan, asked without a clock, prints no card at any time.
    plan = command("plan", path, "--out", tmp_path / "out", "--full")
    assert plan.exit_code == 0
    for place in (plan.stdout, (tmp_path / "out" / "report.html").read_text(encoding="utf-8")):
        assert "When to stop" not in place
        assert "Pour at" not in place
        assert (
            "bulbcast pour FILE checks whether it still holds and, if so, prints the pour card"
            in " ".join(place.split())
        )


def test_no_file_of_a_bundle_holds_a_pour_card(tmp_path):
    assert command("plan", dry(tmp_path), "--out", tmp_path / "out").exit_code == 0
    for path in (tmp_path / "out").iterdir():
        assert b"Into the mould" not in path.read_bytes(), path.name


def test_every_reason_and_the_next_thing_are_given(tmp_path):
    path = plan_with(tmp_path, BAKED + '[pot]\ncapacity = "0.2 l"\nmaterial = "cast-iron"\nmass = "2 kg"\n')
    done = command("pour", path, "--at", "2026-06-04T18:00", "--json")
    assert done.exit_code == 3
    said = json.loads(done.stdout)
    assert {one["code"] for one in said["withheld"]} == {"mould-not-dry", "pot-too-small"}
    assert said["card"] is None
    text = command("pour", path, "--at", "2026-06-04T18:00").stdout
    for code in ("mould-not-dry", "pot-too-small"):
        assert code in text


def test_the_cards_figures_are_those_of_the_plan(tmp_path):
    path = dry(tmp_path)
    said = json.loads(command("pour", path, "--at", "2026-06-04T18:00", "--json").stdout)
    made = json.loads(command("plan", path, "--json").stdout)
    assert said["withheld"] == []
    assert said["judged_at"] == "2026-06-04T18:00"
    card, pour, gating = said["card"], made["melting"]["pour"], made["melting"]["gating"]
    assert card["temperature_c"] == pour["temperature_c"]
    assert card["fill_time_s"] == gating["fill_time_s"]
    assert card["poured_a_piece_kg"] == pytest.approx(
        made["melt"]["cast_kg"] + made["melt"]["feeder_kg"], rel=1e-12
    )
    assert card["not_after"] == "2026-06-05T05:00"


@pytest.mark.parametrize("more", ['kind = "open-halves"\n', 'orientation = "on-edge"\n', ""])
def test_every_row_of_the_card_bears_its_own_figure(tmp_path, more):
    path = plan_with(tmp_path, f'{CURED}{more}[pour]\ntemperature = "375 C"\n')
    job = load_and_run(*load_plan(path), remedies=False)
    melting, gating, shown = job.melting, job.melting.gating, job.shown
    rows = {row.label: (row.text, row.remark) for row in pour_card(job, melting).parts[0].rows}
    assert rows["Pour at"][0] == "375 °C (707 °F)"
    assert shown.temperature_both(job.alloy.liquidus) in rows["Pour at"][1]
    assert job.alloy.liquidus < 330.0
    cap = float(rows["Never above"][0].split()[0])
    wait, off = map(float, re.findall(r"from (\d+)", rows["Never above"][1]))
    assert 375.0 < cap <= wait < off
    assert rows["Never above"][1].index("wait") < rows["Never above"][1].index("gas off")
    # The vapour is that over metal as hot as it is poured, several times what it is where lead melts.
    vapour = float(rows["Vapour over the pot, at most"][0].split()[0])
    assert vapour == pytest.approx(1e9 * vapour_bound(375.0), rel=0.05)
    assert vapour > 3.0 * 1e9 * vapour_bound(328.0)
    pieces = 2 if "halves" in more else 1
    into = rows["Into each mould" if pieces == 2 else "Into the mould"]
    assert into[0] == shown.mass(job.melt.poured / pieces)
    assert (f"{pieces} pieces" in into[1]) == (pieces == 2)
    (fill,) = (name for name in rows if name.startswith("Fill ") and name.endswith(" in"))
    assert rows[fill][0] == shown.duration(gating.fill_time)
    assert rows["Longest pause"][0] == shown.duration(gating.pause)
    assert more or gating.pause != gating.fill_time
    said = json.loads(command("pour", path, "--json").stdout)["card"]
    assert (said["pieces"], said["poured_a_piece_kg"]) == (pieces, pytest.approx(job.melt.poured / pieces))
    assert (said["fill_time_s"], said["longest_pause_s"]) == (gating.fill_time, gating.pause)
    held = rows.get("On the mould before the pour")
    if pieces == 2:
        assert rows["Fill to"][0] == shown.length(gating.mark.above_face)
        assert held is None
    elif more:
        # The halves of a mould on edge are pushed apart: no weight on top holds them.
        assert held == (shown.workshop.force(gating.force.clamp), "in total, from clamps or straps")
    else:
        assert held[0] == shown.workshop.mass(gating.force.weight)
        assert "of weights" in held[1]


def test_a_plan_without_a_mould_has_no_card(tmp_path):
    done = command("pour", plan_with(tmp_path, ""), "--json")
    assert done.exit_code == 3
    assert [one["code"] for one in json.loads(done.stdout)["withheld"]] == ["mould-not-planned"]


def test_oil_bonded_sand_wants_its_cure_typed_in_and_is_not_called_warm_from_the_oven(tmp_path):
    uncured = command("pour", plan_with(tmp_path, OIL), "--json")
    assert uncured.exit_code == 3
    assert [one["code"] for one in json.loads(uncured.stdout)["withheld"]] == ["sand-not-cured"]
    half = command("pour", plan_with(tmp_path, OIL + 'cured_for = "3 h"\n'), "--json")
    assert [one["code"] for one in json.loads(half.stdout)["withheld"]] == ["sand-not-cured"]
    cured = command("pour", plan_with(tmp_path, CURED))
    assert cured.exit_code == 0, cured.output
    assert "dry according to the scale" not in cured.stdout
    assert "warm from the oven" not in cured.stdout
    assert "cured through and cold" in cured.stdout


def test_a_stop_that_only_the_cut_pattern_shows_withholds_the_card(tmp_path):
    """Parted away from its widest section, the pattern has an undercut that only its facets show."""
    path = plan_with(tmp_path, CURED + '[parting]\nplane = "vertical"\noffset = "1 mm"\n')
    done = command("pour", path, "--json")
    assert done.exit_code == 3
    assert [one["code"] for one in json.loads(done.stdout)["withheld"]] == ["undercut"]
    charge = json.loads(command("plan", path, "--json").stdout)["melt"]
    assert (charge["charge_kg"], charge["withheld"]) == (None, ["undercut"])


@pytest.mark.parametrize(
    ("words", "message"),
    [
        (("--at", "tomorrow"), "--at"),
        (("--at", "2026-06-04T18:00+02:00"), "a time without a time zone, like the times in the log"),
    ],
)
def test_a_moment_that_is_none_is_wrong_input(tmp_path, words, message):
    done = command("pour", dry(tmp_path), *words)
    assert done.exit_code == 2
    assert message in done.stderr


def test_cured_keys_go_with_oil_bonded_sand_alone(tmp_path):
    for more in (
        BAKED + 'cured_at = "210 C"\n',
        OIL.replace("oil-bonded", "dried") + 'sand_moisture = "0.2 %"\ncured_for = "3 h"\n',
    ):
        done = command("plan", plan_with(tmp_path, more), "--json")
        assert done.exit_code == 2
        assert "mould.cured_" in done.stderr
