"""`bulbcast new`: its plans run unchanged for any combination of options and say how to measure each figure."""

from __future__ import annotations

import random
import re

import pytest
from plans import command

from bulbcast.findings import Severity
from bulbcast.job import run
from bulbcast.plan.keys import KEYS, SECTIONS, bracketed, section_keys
from bulbcast.plan.reading import read_plan
from bulbcast.plan.starter import sections_asked, starter_plan
from bulbcast.plan.starter_boats import ABOUT, BASIC

KINDS = ("model", "small-craft")
MORE = [section for section in SECTIONS if section not in BASIC]


def written(kind, words):
    sections, wrong = sections_asked(words)
    assert wrong == ()
    return sections, starter_plan(kind=kind, more=sections)


def flat(text: str) -> str:
    return " ".join(text.replace("\n#", "\n").split())


@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize("word", [*MORE, "melt", "all"])
def test_each_section_runs_as_it_is_written(kind, word):
    sections, text = written(kind, [word])
    plan = read_plan(text, source="new.toml")
    assert word in ("melt", "all") or word in sections
    for section in sections:
        assert bracketed(section) in text.splitlines()
        assert getattr(plan, section)
    job = run(plan)
    assert [one.code for one in job.findings if one.severity is Severity.STOP] == []
    assert max(map(len, text.splitlines())) <= 110


@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize("words", [[], ["boat", "rig"], ["all"]], ids=["plain", "boat", "all"])
def test_in_inches_it_runs_as_it_is_written_and_says_so(kind, words):
    sections, _ = sections_asked(words)
    text = starter_plan(kind=kind, more=sections, units="imperial")
    plan = read_plan(text, source="new.toml")
    assert plan.display_units == "imperial"
    assert [one.code for one in run(plan).findings if one.severity is Severity.STOP] == []
    assert max(map(len, text.splitlines())) <= 110
    typed = [line.partition(" # ")[0] for line in text.splitlines() if " = " in line and line[0] != "#"]
    assert not [line for line in typed if re.search(r'\d (mm|cm|m|g|kg|C)"', line)]
    assert any(line.startswith("size = ") for line in typed)


@pytest.mark.parametrize("seed", range(8))
def test_any_of_them_run_together(seed):
    rng = random.Random(seed)
    _, text = written(rng.choice(KINDS), rng.sample(MORE, rng.randint(2, 7)))
    job = run(read_plan(text, source="new.toml"))
    assert [one.code for one in job.findings if one.severity is Severity.STOP] == []


@pytest.mark.parametrize("kind", KINDS)
def test_each_figure_that_stands_says_how_it_is_measured(kind):
    sections, text = written(kind, ["all"])
    plain = flat(text)
    for section in (*BASIC, *sections):
        body = text.partition(f"\n{bracketed(section)}\n")[2].partition("\n[")[0]
        stands = {line.partition(" = ")[0] for line in body.splitlines() if " = " in line and line[0] != "#"}
        for key in section_keys(section):
            if key.leaf in stands:
                assert flat(key.find) in plain, key.name


def test_the_plain_one_asks_nothing_and_names_every_other_section():
    text = starter_plan()
    for section in MORE:
        assert f"#   {bracketed(section)} " in text
        assert ABOUT[section] in text
    assert set(ABOUT) == set(SECTIONS)
    assert KEYS["fin.tip_chord"].find not in text


def test_with_the_boat_mass_and_place_come_from_her():
    _, text = written("model", ["boat"])
    plan = read_plan(text, source="new.toml")
    assert plan.bulb.target_mass is None
    assert len(plan.weights) == 5
    _, text = written("model", ["rudder"])
    assert "rudder" not in [one.name for one in read_plan(text, source="new.toml").weights]


def test_the_command_takes_words_in_any_capitals_and_answers_a_slip(tmp_path):
    made = tmp_path / "mine.toml"
    done = command("new", made, "--for", "Small-Craft", "--with", "Mould, [printer],cross-pins")
    assert done.exit_code == 0, done.output
    text = made.read_text(encoding="utf-8")
    assert all(f"\n{head}\n" in text for head in ("[mould]", "[printer]", "[[cross_pins]]"))
    assert command("plan", made, "--json").exit_code == 0
    slip = command("new", tmp_path / "other.toml", "--with", "boat,molud")
    assert slip.exit_code == 2
    assert '"molud"; expected section names separated by commas. Did you mean "mould"?' in slip.stderr
    assert not (tmp_path / "other.toml").exists()


def test_ranges_and_examples_are_in_her_units_where_she_asks(tmp_path):
    done = command("explain", "mould.wall", "--units", "imperial")
    # 5 mm is 0.197 in, 1 m 39.37: in sixteenths and eighths, the metric behind.
    assert "a length from 3/16 in (5 mm) to 39 3/8 in (1 m)" in flat(done.stdout)
    assert 'wall = "1 3/16 in"' in done.stdout
    # 240 C . 9 / 5 + 32 = 464 F.
    keys = flat(command("keys", "pour", "--units", "imperial").stdout)
    assert "temperature, from 464 °F (240 C) to 1292 °F (700 C)" in keys
    assert "temperature, from 240 C to 700 C" in flat(command("keys", "pour").stdout)
    path = tmp_path / "new.toml"
    assert command("new", path, "--units", "Imperial").exit_code == 0
    assert 'display_units = "imperial"' in path.read_text(encoding="utf-8")
