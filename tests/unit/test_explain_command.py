"""`bulbcast explain`: how to measure every key, why every finding matters, and suggestions for mistyped names."""

from __future__ import annotations

import pytest
from plans import command

from bulbcast.job.every_rule import every_rule
from bulbcast.plan.keys import KEYS, PARTS
from bulbcast.report.explained import explained, nothing_to_explain

RULES = every_rule()


def flat(text: str | None) -> str:
    return " ".join((text or "").split())


def test_every_key_is_explained_by_its_name_and_with_a_number():
    for name, key in KEYS.items():
        said = flat(explained(name, RULES, colour=False, width=110))
        assert flat(key.about)[1:] in said, name
        assert flat(key.find) in said, name
        for word in key.choices:
            assert flat(key.means.get(word, word)) in said, (name, word)
    assert explained("screws[3].recess", RULES, colour=False, width=100) == explained(
        "Screws.Recess", RULES, colour=False, width=100
    )


def test_every_finding_is_explained_with_what_it_withholds():
    assert len(RULES) > 180
    for rule in RULES:
        said = flat(explained(rule.code.upper(), RULES, colour=False, width=110))
        assert flat(rule.why) in said, rule.code
        for severity in rule.severities:
            assert str(severity).upper() in said
        for step in rule.holds:
            assert str(step) in said


def test_a_code_of_a_family_is_explained_by_it():
    assert flat(explained("hull-open", RULES, colour=False, width=100)).startswith("hull-... A hull file")


def test_a_leaf_of_several_sections_is_explained_in_each():
    said = explained("tip_chord", RULES, colour=False, width=100) or ""
    assert "fin.tip_chord" in said
    assert "rudder.tip_chord" in said


@pytest.mark.parametrize("name", [name for name in PARTS if name])
def test_a_section_says_how_each_of_its_keys_is_found(name):
    said = flat(explained(name, RULES, colour=False, width=100))
    assert all(flat(key.find) in said for key in PARTS[name].keys)


def test_the_command_prints_it_and_answers_a_slip_with_the_nearest():
    done = command("explain", "wall-thin")
    assert done.exit_code == 0
    assert "Lead that is too thin" in done.stdout
    for asked, near in (("wall-thing", "wall-thin"), ("mould.wal", "mould.wall"), ("carry-att", "carry_at")):
        done = command("explain", asked)
        assert done.exit_code == 2
        assert f'did you mean "{near}"?' in done.stderr
    assert nothing_to_explain("qqqqqqqq", RULES).endswith("; run bulbcast keys to list every key")
