"""`bulbcast keys`: the reference is made from the declarations, and an incomplete declaration fails at import."""

from __future__ import annotations

from typing import Literal

import pytest
from click.testing import CliRunner, Result

from bulbcast.cli.main import group
from bulbcast.plan.declare import key, section
from bulbcast.plan.keys import KEYS, PARTS
from bulbcast.quantities import Dimension


def keys(*words: str) -> Result:
    return CliRunner().invoke(group, ["keys", *words], env={"COLUMNS": "110"})


def flat(text: str) -> str:
    return " ".join(text.split())


def test_every_key_stands_in_the_reference_with_range_default_source_and_meaning():
    said = flat(keys().stdout)
    for each in KEYS.values():
        assert flat(each.about) in said, each.name
        for within in each.ranges:
            assert within.words in said, each.name
        if each.default is not None:
            assert flat(f"default: {each.default}") in said, each.name
        assert flat(each.source) in said, each.name


@pytest.mark.parametrize("name", [name for name in PARTS if name])
def test_a_section_shows_its_own_keys_alone(name: str):
    done = keys(name)
    assert done.exit_code == 0
    own = {each.leaf for each in PARTS[name].keys}
    lines = done.stdout.splitlines()
    shown = {line.split()[0] for line in lines if line.startswith("  ") and not line.startswith("   ")}
    assert shown == own


def test_one_key_in_full():
    said = flat(keys("mould.consistency").stdout)
    for words in (
        "parts of water to 100 parts of plaster, by mass",
        "a bare number from 30 to 150",
        "consistency = 70",
        "[mould]",
        "plaster makers' tables: 70 for moulds, 60 to 80 in practice",
        "may be varied",
    ):
        assert words in said


def test_a_key_that_is_not_there_is_wrong_input_with_the_nearest_one():
    done = keys("mould.wal")
    assert done.exit_code == 2
    assert 'there is no section or key "mould.wal"; did you mean "mould.wall"?' in done.stderr


def test_half_a_key_is_an_error_at_import():
    with pytest.raises(TypeError, match=r"Thimble\.bare has no key"):

        @section("thimble", step="bulb")
        class Thimble:
            bare: float

    with pytest.raises(TypeError, match=r"thimble\.word is a choice without any words"):

        @section("thimble", step="bulb")
        class Wordless:
            word: str = key("a word", "choice")

    with pytest.raises(TypeError, match=r"\[mould\] or a key in it is declared twice"):

        @section("mould", step="mould")
        class Again:
            wall: float = key("round it", Dimension.LENGTH, "1 mm to 1 m", example="5 mm")

    assert "thimble" not in PARTS


def test_a_field_that_may_be_left_out_is_none_where_the_class_is_made_by_hand():
    from bulbcast.plan.pattern_sections import PartingSection

    made = PartingSection(
        offset=0.0, register="dowels", fit=1e-4, draft=0.0, plane=None, dowel=None, print_length=None
    )
    assert made.plane is None
    assert KEYS["parting.plane"].choices == ("horizontal", "vertical", "none")
    assert Literal["dowels", "keys", "none"].__args__ == KEYS["parting.register"].choices
