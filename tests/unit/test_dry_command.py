"""Command-line tests with a damp mould, a dry mould, an expired mould, and a keel of 140 kg in two halves."""

from __future__ import annotations

import json
import re
from pathlib import Path

import pytest
from plans import bare_example, command

BAKED = '\n[mould]\nmaterial = "plaster"\ndrying = "baked"\n'


def plan_with(tmp_path: Path, more: str, example: str = "fenwisp") -> Path:
    path = tmp_path / f"{example}.toml"
    # The example's sections on mould and melt are removed, since each test adds its own.
    text = bare_example(example)
    path.write_text(text + more, encoding="utf-8")
    return path


def planned(path: Path) -> dict:
    done = command("plan", path, "--json")
    assert done.exit_code == 0, done.output
    return json.loads(done.stdout)


def dried(path: Path, *words: object, at: str = "2026-06-04T18:00") -> dict:
    done = command("dry", path, *words, "--at", at, "--json")
    assert done.exit_code == 0, done.output
    return json.loads(done.stdout)


def holds(said: dict) -> list[str]:
    return sorted({one["code"] for one in said["findings"] if one["severity"] == "hold"})


def logged(path: Path, drag: tuple[str, str], cope: tuple[str, str]) -> dict:
    """Log a mould just set on 1 June and then baked, with the masses weighed an hour apart on 4 June."""
    return dried(
        path,
        *("--just-set", "drag=3029 g@2026-06-01T10:00", "--just-set", "cope=2625 g@2026-06-01T10:00"),
        *("--weighed", f"drag={drag[0]}@2026-06-04T16:00", "--weighed", f"cope={cope[0]}@2026-06-04T16:00"),
        *("--weighed", f"drag={drag[1]}@2026-06-04T17:00", "--weighed", f"cope={cope[1]}@2026-06-04T17:00"),
        *("--room", "160 C"),
    )


JUST_SET = {"drag": 3029, "cope": 2625}
DRY = (("1778 g", "1778 g"), ("1540 g", "1540 g"))


def test_without_a_log_the_pour_is_on_hold_and_the_card_withheld(tmp_path):
    path = plan_with(tmp_path, BAKED)
    assert holds(planned(path)) == ["mould-not-dry"]
    assert command("plan", path, "--out", tmp_path / "out").exit_code == 0
    report = (tmp_path / "out" / "report.html").read_text(encoding="utf-8")
    melt = report[report.index('<section id="melt">') : report.index('<section id="after">')]
    assert "The pour is withheld. The charge is shown so that you can buy metal and a pot." in melt
    assert "The mould can be made, but nothing shows that any part of it is dry" in melt
    assert (tmp_path / "out" / "pattern.stl").exists()


def test_a_damp_mould_is_on_hold_with_its_masses(tmp_path):
    path = plan_with(tmp_path, BAKED)
    said = logged(path, ("1800 g", "1800 g"), DRY[1])
    assert said["pour_on_hold"] is True
    drag, cope = said["drying"]["parts"]
    assert (drag["lacks"], cope["lacks"]) == (["too-heavy"], [])
    assert drag["left_kg"] == pytest.approx(1.8 - drag["dry_at_or_below_kg"])
    plan = planned(path)
    hold = next(one for one in plan["findings"] if one["severity"] == "hold")
    assert (hold["code"], hold["where"]) == ("mould-not-dry", "mould.drag")
    assert (hold["found"], hold["limit"]) == (pytest.approx(1.8), pytest.approx(drag["dry_at_or_below_kg"]))
    assert (
        hold["message"]
        == "The drag is not ready for the pour: it weighs 1800.0 g and must come down to 1780.2 g."
    )
    assert hold["remedy"] == "Keep drying it, then weigh it again."


def test_a_mould_that_has_come_down_and_stays_is_released_by_its_log(tmp_path):
    path = plan_with(tmp_path, BAKED)
    said = logged(path, *DRY)
    assert said["pour_on_hold"] is False
    assert said["drying"]["holds_until"] == "2026-06-05T05:00:00"
    words = " ".join(command("dry", path, "--at", "2026-06-04T18:00").output.split())
    assert (
        "The dry masses are calculated for 70 parts of water to 100 of plaster, a purity of 95.0 %, no sand, and no "
        "steel. Check that this is what was mixed."
    ) in words
    done = command("plan", path, "--out", tmp_path / "out", "--full")
    assert done.exit_code == 0, done.output
    assert (
        "According to the last log entry (2026-06-04 17:00), the mould is dry. The pass holds until 2026-06-05 05:00, "
        "and only while the mould stays warm."
    ) in " ".join(done.output.split())
    plan = planned(path)
    assert holds(plan) == []
    note = next(one for one in plan["findings"] if one["code"] == "mould-dry")
    assert note["message"] == (
        "Every part is dry according to the log. The pass holds until 2026-06-05 05:00, and only while every "
        "part stays above 50 \u00b0C."
    )
    assert plan["meta"]["drying_log_sha256"] == said["meta"]["drying_log_sha256"]


def test_the_present_moment_is_judged_by_dry_and_not_by_plan(tmp_path):
    path = plan_with(tmp_path, BAKED)
    logged(path, *DRY)
    late = dried(path, at="2026-06-05T05:00")
    assert late["pour_on_hold"] is True
    assert [part["lacks"] for part in late["drying"]["parts"]] == [["expired"], ["expired"]]
    first = command("plan", path, "--json").stdout
    assert command("plan", path, "--json").stdout == first
    assert holds(json.loads(first)) == []


def test_a_mould_that_has_cooled_is_on_hold_again(tmp_path):
    path = plan_with(tmp_path, BAKED)
    logged(path, *DRY)
    said = dried(path, "--temperature", "cope=41 C@2026-06-04T17:50")
    assert [part["lacks"] for part in said["drying"]["parts"]] == [[], ["cooled"]]
    assert holds(planned(path)) == ["mould-not-dry"]


def test_an_over_baked_part_is_on_hold_for_good(tmp_path):
    path = plan_with(tmp_path, BAKED)
    logged(path, ("1700 g", "1700 g"), DRY[1])
    hold = next(one for one in planned(path)["findings"] if one["severity"] == "hold")
    assert hold["code"] == "mould-over-baked"
    assert (
        hold["remedy"]
        == "Make the drag again, with sand or silica in the mix, and bake it at a lower temperature."
    )


def test_the_terminal_tells_trend_and_date(tmp_path):
    path = plan_with(tmp_path, BAKED)
    done = command(
        *(
            "dry",
            path,
            "--just-set",
            "drag=3029 g@2026-06-04T08:00",
            "--weighed",
            "drag=2500 g@2026-06-04T12:00",
        ),
        *("--weighed", "drag=2200 g@2026-06-04T16:00", "--room", "160 C", "--at", "2026-06-04T16:30"),
    )
    assert done.exit_code == 0, done.output
    assert "3 readings added to fenwisp-drying.csv." in done.output
    assert "The pour is on hold." in done.output
    assert "it will probably be dry and at constant mass by 2026-06-0" in " ".join(done.output.split())
    assert "its just-set mass is not in the log" in " ".join(done.output.split()).lower()


def test_a_trend_in_cool_air_does_not_promise_a_baked_mass(tmp_path):
    path = plan_with(tmp_path, BAKED)
    said = dried(
        path,
        *("--just-set", "drag=3029 g@2026-06-01T08:00", "--weighed", "drag=2500 g@2026-06-02T08:00"),
        *("--weighed", "drag=2260 g@2026-06-03T08:00", "--room", "40 C", "--moving-air"),
    )
    projected = said["drying"]["parts"][0]["projected"]
    assert projected["likely"] is None
    assert projected["end_mass_kg"] == pytest.approx(3.029 * 0.692, rel=0.02)


def test_json_is_one_object_and_a_wrong_reading_writes_nothing(tmp_path):
    path = plan_with(tmp_path, BAKED)
    done = command("dry", path, "--weighed", "lid=3 kg", "--weighed", "drag=3", "--json")
    assert done.exit_code == 2
    assert done.stdout == ""
    assert "2 things in the plan have to be fixed:" in done.stderr
    assert [one.name for one in tmp_path.iterdir()] == ["fenwisp.toml"]


@pytest.mark.parametrize(
    ("more", "message"),
    [
        (
            "",
            "[mould]: read nothing; expected a plaster mould, which is weighed while it dries. Add [mould] "
            'with material = "plaster".',
        ),
        (
            '\n[mould]\nmaterial = "sand"\nsand_kind = "oil-bonded"\n',
            "[mould]: read a mould of sand; expected a plaster mould, which is weighed while it dries. For a "
            "sand mould, give the moisture of the sand as sand_moisture under [mould].",
        ),
    ],
)
def test_a_plan_without_a_plaster_mould_is_reported_so(tmp_path, more, message):
    path = plan_with(tmp_path, more)
    done = command("dry", path)
    assert done.exit_code == 2
    assert done.stderr == f"{path}: {message}\n"


def test_a_log_that_cannot_be_read_stops_the_plan_too(tmp_path):
    path = plan_with(tmp_path, BAKED)
    (tmp_path / "fenwisp-drying.csv").write_text("rubbish\n", encoding="utf-8")
    for words in (("plan", path, "--json"), ("dry", path)):
        done = command(*words)
        assert done.exit_code == 2
        assert "fenwisp-drying.csv: line 1" in done.stderr


def test_a_test_bar_tells_what_to_type(tmp_path):
    path = plan_with(tmp_path, BAKED.replace("baked", "air"))
    done = command("dry", path, "--test-bar", "500.0 g", "347.0 g", "--at", "2026-06-04T16:30")
    assert done.exit_code == 0
    assert done.output.startswith('The test bar gives purity = "96.6 %" with purity_spread = "2.2 %".')
    damp = command("dry", path, "--test-bar", "500 g", "380 g")
    assert damp.exit_code == 2
    assert (
        "expected a dry mass between 321.5 g and 348.9 g, the range for 50 to 100 % hemihydrate"
        in damp.stderr
    )


def test_a_mould_dried_as_the_test_bar_says_is_released(tmp_path):
    path = plan_with(tmp_path, BAKED.replace("baked", "air") + ACCEPT)
    said = command("dry", path, "--test-bar", "500 g", "340 g").output
    typed = re.findall(r'(purity(?:_spread)?) = "([^"]+)"', said)
    assert "Cast a bar" not in said
    assert [name for name, _ in typed] == ["purity", "purity_spread"]
    with path.open("a", encoding="utf-8") as plan:
        plan.writelines(f'{name} = "{value}"\n' for name, value in typed)
    first = dried(
        path,
        *(
            word
            for part in ("drag", "cope")
            for word in ("--just-set", f"{part}={JUST_SET[part]} g@2026-06-01T10:00")
        ),
    )
    # 340 g of 500 g: each part is at exactly the dry mass that the bar gives, to what a kitchen scale shows.
    mass = {part: round(340.0 / 500.0 * value) for part, value in JUST_SET.items()}
    for part in first["drying"]["parts"]:
        assert part["left_kg"] == pytest.approx(
            1e-3 * (JUST_SET[part["name"]] - mass[part["name"]]), abs=0.02
        )
    after = [f"{part}={mass[part]} g@2026-06-{day}T10:00" for day in ("12", "13") for part in mass]
    words = [word for one in after for word in ("--weighed", one)]
    last = dried(path, *words, "--room", "42 C", "--moving-air", at="2026-06-13T11:00")
    assert [part["lacks"] for part in last["drying"]["parts"]] == [[], []]
    assert last["pour_on_hold"] is False


def test_a_bar_too_light_for_its_scale_says_how_heavy_it_has_to_be(tmp_path):
    path = plan_with(tmp_path, BAKED.replace("baked", "air"))
    said = command("dry", path, "--test-bar", "200 g", "136 g").output
    heavier = re.search(r"Cast a bar of (\d+) g or more", said)
    assert heavier is not None
    bar = float(heavier[1])
    again = command("dry", path, "--test-bar", f"{bar} g", f"{0.68 * bar:.1f} g").output
    assert "Cast a bar" not in again


def test_dry_says_what_is_to_be_lost_once_a_part_has_set(tmp_path):
    path = plan_with(tmp_path, BAKED)
    done = command("dry", path, "--just-set", "drag=3029 g@2026-06-01T10:00", "--at", "2026-06-01T11:00")
    words = " ".join(done.output.split())
    assert "It has not been weighed since it set, and must still lose 1248.8 g to reach 1780.2 g." in words


def test_drying_not_said_is_a_hold_that_says_why_the_trade_disagrees(tmp_path):
    plan = planned(plan_with(tmp_path, '\n[mould]\nmaterial = "plaster"\npurity = "100 %"\n'))
    hold = next(one for one in plan["findings"] if one["severity"] == "hold")
    assert (hold["code"], hold["where"]) == ("drying-not-said", "mould.drying")
    for words in ("the trades disagree", "69.8 %", "20.9 %", "58.8 %"):
        assert words in hold["message"]
    assert hold["remedy"] == 'Set drying = "baked": this mould is closed, heavy, or has a plaster core.'


ACCEPT = 'accept_bound_water = "I accept the risk of steam from the bound water"\n'


def test_air_in_a_closed_mould_is_released_by_the_typed_acceptance_alone(tmp_path):
    more = '\n[mould]\nmaterial = "plaster"\ndrying = "air"\n'
    assert holds(planned(plan_with(tmp_path, more))) == ["air-dried-closed", "mould-not-dry"]
    accepted = planned(plan_with(tmp_path, more + ACCEPT))
    assert holds(accepted) == ["mould-not-dry"]
    assert "bound-water-accepted" in {one["code"] for one in accepted["findings"]}
    done = command("plan", plan_with(tmp_path, more + 'accept_bound_water = "yes"\n'), "--json")
    assert done.exit_code == 2
    assert "I accept the risk of steam from the bound water" in done.stderr


def test_a_plaster_core_dried_in_air_is_a_hold_and_one_of_steel_is_not(tmp_path):
    more = '\n[mould]\nmaterial = "plaster"\nkind = "open-halves"\ndrying = "air"\n'
    path = plan_with(tmp_path, more)
    cored = path.read_text(encoding="utf-8").replace("pocket_clearance", 'pocket = "cored"\npocket_clearance')
    path.write_text(cored, encoding="utf-8")
    assert holds(planned(path)) == ["air-dried-core", "mould-not-dry"]
    path.write_text(cored + 'core = "steel"\n', encoding="utf-8")
    assert holds(planned(path)) == ["mould-not-dry"]


KEEL = '\n[mould]\nmaterial = "plaster"\nkind = "open-halves"\ndrying = "{}"\nscale_spread = "20 g"\nbucket = "60 l"\n'


def test_a_keel_of_140_kg_in_two_halves_is_one_mould_poured_twice(tmp_path):
    path = plan_with(tmp_path, KEEL.format("baked"), "saltmarrow")
    plan = planned(path)
    mould = plan["mould"]
    assert (mould["pours"], [part["name"] for part in mould["parts"]]) == (2, ["half"])
    assert mould["piece_mass_kg"] == pytest.approx(0.5 * plan["cast"]["mass_kg"])
    assert holds(plan) == ["mould-not-dry"]
    half = mould["parts"][0]
    said = dried(
        path,
        *("--just-set", f"half={half['just_set_kg']:.2f} kg@2026-06-01T08:00", "--room", "160 C"),
        *("--weighed", f"half={half['baked_kg'] - 0.2:.2f} kg@2026-06-20T08:00"),
        *("--weighed", f"half={half['baked_kg'] - 0.2:.2f} kg@2026-06-20T09:00"),
        at="2026-06-20T10:00",
    )
    assert said["pour_on_hold"] is False
    released = planned(path)
    assert holds(released) == []
    charge = next(one for one in released["findings"] if one["code"] == "charge-for-two")
    assert charge["found"] == pytest.approx(0.5 * released["melt"]["charge_kg"])


def test_the_same_keel_in_a_closed_mould_is_a_foundrys_work(tmp_path):
    closed = KEEL.format("baked").replace('kind = "open-halves"\n', "")
    plan = planned(plan_with(tmp_path, closed, "saltmarrow"))
    assert holds(plan) == ["charge-foundry", "mould-foundry"]
    found = next(one for one in plan["findings"] if one["code"] == "mould-foundry")
    assert "is a job for a foundry" in found["message"]
    assert found["remedy"].startswith('Take the pattern to a foundry, or set kind = "open-halves"')


def test_air_for_a_half_of_70_kg_is_on_hold(tmp_path):
    plan = planned(plan_with(tmp_path, KEEL.format("air"), "saltmarrow"))
    assert holds(plan) == ["air-dried-heavy", "mould-not-dry"]
