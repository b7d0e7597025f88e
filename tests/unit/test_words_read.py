"""Words in a plan: capitals and hyphens do not matter, other trade names are accepted, and if no word fits, the choices
are listed with their meanings.
"""

from __future__ import annotations

import pytest
from plans import LEAST, command, faults_of, with_line

from bulbcast.plan.key import Key, Kind
from bulbcast.plan.keys import KEYS
from bulbcast.plan.reading import read_plan

CHOICES = [each for each in KEYS.values() if each.kind is Kind.CHOICE]


@pytest.mark.parametrize("known", CHOICES, ids=lambda known: known.name)
def test_a_word_is_read_whatever_its_capitals_and_strokes(known):
    for word in known.choices:
        for typed in (
            word,
            word.upper(),
            word.title(),
            f"  {word} ",
            word.replace("-", " ") if word[0] != "-" else word,
        ):
            assert known.word(typed) == word
        assert known.word(f"{word} indeed") is None


# The words of the trade, common practice, no source: what stands beside each is the word that the plan format has for it.
TRADE = (
    ("water.kind", "Sea", "salt"),
    ("water.kind", "lake", "fresh"),
    ("alloy.grade", "clip-on tyre weights", "wheel-weights"),
    ("alloy.grade", "Roofing lead", "sheet"),
    ("scrap.kind", "clip-on tyre weights", "wheel-weights-unsorted"),
    ("scrap.kind", "car battery", "battery"),
    ("pot.material", "aluminum", "aluminium"),
    ("burner.fuel", "kerosene", "paraffin"),
    ("boat.unit", "Inches", "in"),
    ("mould.material", "plaster of Paris", "plaster"),
    ("boat.aft_axis", "+X", "x"),
    ("boat.aft_axis", "-X", "-x"),
)


@pytest.mark.parametrize(("name", "typed", "word"), TRADE)
def test_names_of_the_trade_are_understood(name, typed, word):
    assert KEYS[name].word(typed) == word


def test_what_is_unsafe_is_never_read_as_something_safe():
    """Wheel weights not stated to be sorted count as unsorted, and a word of acceptance has no synonyms."""
    assert KEYS["scrap.kind"].word("tyre weights") == "wheel-weights-unsorted"
    assert KEYS["mould.sand_kind"].word("green") is None
    assert KEYS["alloy.grade"].word("battery") is None
    for known in CHOICES:
        if known.acceptance:
            assert not known.also
            assert known.word("yes") is None


def test_a_plan_reads_the_same_by_either_word():
    salt = read_plan(with_line("water", 'kind = "salt"'), source="a.toml")
    sea = read_plan(
        with_line("water", 'kind = "SEA water"').replace('"pure"', '"Soft Lead"'), source="a.toml"
    )
    assert (sea.water, sea.alloy) == (salt.water, salt.alloy)


def test_a_word_that_is_none_is_answered_with_what_each_means():
    (said,) = faults_of(with_line("water", 'kind = "brackish"'))
    assert said == (
        'lark.toml: water.kind: read "brackish"; expected one of "fresh" or "salt". Write kind = "fresh", say. '
        '"fresh": lakes, rivers and ponds; "salt": the sea; for brackish water, give density instead of kind.'
    )


def test_a_study_takes_the_same_words(tmp_path):
    plan = tmp_path / "a.toml"
    plan.write_text(LEAST, encoding="utf-8")
    done = command("compare", plan, "--vary", "alloy.grade=Pure,clip-ons")
    plain = command("compare", plan, "--vary", "alloy.grade=pure,wheel-weights")
    assert done.exit_code == 0, done.output
    assert done.stdout == plain.stdout


def test_every_word_of_every_choice_says_what_it_means():
    lacking = {
        known.name: [word for word in known.choices if not known.means.get(word, "").strip()]
        for known in CHOICES
        if not known.acceptance
    }
    assert {name: words for name, words in lacking.items() if words} == {}


def test_one_name_for_two_words_is_an_error():
    made = Key(
        name="thimble.word",
        kind=Kind.CHOICE,
        about="a word",
        example='"one"',
        choices=("one", "two"),
        also={"one": ("both",), "two": ("Both",)},
    )
    with pytest.raises(TypeError, match='"both" cannot mean "two"'):
        made.word("one")
