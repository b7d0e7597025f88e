"""Dependencies between keys are declared as data: incomplete declarations fail at import, and complete ones are enforced."""

from __future__ import annotations

import tomllib
from dataclasses import fields
from typing import get_type_hints

import pytest

from bulbcast.plan import declare, keys
from bulbcast.plan.agreement import NeededWith, OneOf, OnlyWith, settled
from bulbcast.plan.consistency import exclusive_groups
from bulbcast.plan.declare import key, section
from bulbcast.plan.faults import PlanError
from bulbcast.plan.key import Key, Kind
from bulbcast.plan.keys import KEYS, PARTS
from bulbcast.plan.reading import read_plan
from bulbcast.quantities import Dimension, read_quantity_of

LEAST = {
    "bulb": 'target_mass = "2.45 kg"',
    "alloy": 'grade = "pure"',
    "fin": 'tip_chord = "70 mm"\ntip_thickness = "7 mm"',
}


def agreed(monkeypatch: pytest.MonkeyPatch, **declared: object) -> declare.Section:
    """Section with one key and the given options, as declared in the table of keys."""
    monkeypatch.setattr(declare, "_SECTIONS", dict(declare._SECTIONS))
    of_section = {
        name: declared.pop(name) for name in ("one_of", "section_only", "basic") if name in declared
    }
    if "section_only" in of_section:
        of_section["only_with"] = of_section.pop("section_only")

    @section("thimble", step="bulb", **of_section)
    class Thimble:
        wall: float | None = key("of it", Dimension.LENGTH, "1 mm to 2 mm", example="1 mm", **declared)

    parts = dict(declare._SECTIONS)
    return keys._agreed(parts["thimble"], parts)


@pytest.mark.parametrize(
    ("declared", "said"),
    [
        ({"only_with": "bath"}, "refers to bath"),
        ({"only_with": {"mould.stuff": "plaster"}}, r"refers to mould\.stuff"),
        ({"only_with": {"mould.material": "clay"}}, "refers to a word"),
        ({"only_with": {"mould.wall": "thick"}}, "refers to a word"),
        ({"only_with": {"mould": "plaster"}}, "refers to mould"),
        ({"needed_with": NeededWith("boat", also="bath")}, "refers to bath"),
        ({"needed_with": NeededWith("boat", unless={"mould.kind": "half"})}, "refers to a word"),
        ({"not_with": {"mould.walls": "one is enough"}}, "refers to mould.walls"),
        ({"default": "1 mm", "default_unless": "bath"}, "refers to bath"),
        ({"required_unless": "bath"}, "refers to bath"),
        ({"left_out": "mould.walls"}, "refers to mould.walls"),
        ({"one_of": (OneOf(("wall", "floor"), "Keep one."),)}, "lists floor"),
        ({"section_only": OnlyWith("bath")}, "refers to bath"),
        ({"basic": "wall floor"}, "calls basic: wall floor"),
    ],
)
def test_a_key_that_agrees_with_nothing_known_is_an_error_at_import(
    monkeypatch: pytest.MonkeyPatch, declared: dict[str, object], said: str
) -> None:
    with pytest.raises(TypeError, match=said):
        agreed(monkeypatch, **declared)


def test_a_condition_that_nothing_would_check_is_an_error_at_import(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(declare, "_SECTIONS", dict(declare._SECTIONS))

    @section("alloy.thimble", step="bulb")
    class Thimble:
        wall: float | None = key("of it", Dimension.LENGTH, "1 mm to 2 mm", example="1 mm", only_with="boat")

    parts = dict(declare._SECTIONS)
    with pytest.raises(TypeError, match="conditions on its keys are not checked yet"):
        keys._agreed(parts["alloy.thimble"], parts)


def test_a_name_is_of_its_own_section_first(monkeypatch: pytest.MonkeyPatch) -> None:
    (one,) = agreed(monkeypatch, only_with=("wall", "mould.wall", "mould")).keys
    assert settled(one.only_with[0].where) == {"thimble.wall": (), "mould.wall": (), "mould": ()}


def test_a_section_that_no_field_of_the_plan_takes_is_an_error_at_import(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    agreed(monkeypatch)
    with pytest.raises(TypeError, match=r"no field of the plan uses: \['thimble'\]"):
        keys._in_order()


@pytest.mark.parametrize("each", KEYS.values(), ids=list(KEYS))
def test_ranges_defaults_and_examples_can_be_typed(each: Key) -> None:
    values = [each.default, *(one.value for one in each.default_with)]
    for within, dimension in zip(each.ranges, each.dimensions or (None,), strict=False):
        low, high = (
            float(end) if dimension is None else read_quantity_of(end, (dimension,))[1]
            for end in (within.low, within.high)
        )
        assert low < high
    for value in (one for one in values if one is not None):
        if each.kind is Kind.QUANTITY:
            read_quantity_of(value, each.dimensions)
        elif each.kind is Kind.NUMBER:
            float(value)
        else:
            assert value in each.choices
    example = tomllib.loads(each.example_line)[each.leaf]
    if each.kind is Kind.QUANTITY:
        read_quantity_of(example, each.dimensions)
    assert all((each.title, each.step, each.about))


def test_a_field_that_may_not_lack_a_value_always_gets_one() -> None:
    for part in PARTS.values():
        if part.made is None:
            continue
        hints = get_type_hints(part.made)
        for each in fields(part.made):
            declared = each.metadata["declared"]
            if declared.key is None or type(None) in getattr(hints[each.name], "__args__", ()):
                continue
            known = KEYS[f"{part.name}.{declare.leaf_of(each.name, declared)}"]
            # Water's density comes with its kind.
            assert known.required or known.default is not None or known.name == "water.density", known.name


def plan_with(**lines: str) -> str:
    sections = dict(LEAST)
    for name, text in lines.items():
        sections[name] = f"{sections.get(name, '')}\n{text}"
    return "".join(f"[{name}]\n{text}\n" for name, text in sections.items())


@pytest.mark.parametrize(
    "each",
    [
        one
        for one in KEYS.values()
        if one.only_with and not PARTS[one.section].one and not PARTS[one.section].only_with
    ],
    ids=lambda one: one.name,
)
def test_every_key_that_goes_only_with_another_is_refused_without_it(each: Key) -> None:
    """The key is alone in its section, and each choice that it depends on is set to an unsuitable word."""
    lines = {each.section: each.example_line}
    for only in each.only_with:
        for name, words in settled(only.where).items():
            if words and name != "screws.hole" and not KEYS[name].left_out:
                other = next(word for word in KEYS[name].choices if word not in words)
                spot = KEYS[name]
                lines[spot.section] = f'{lines.get(spot.section, "")}\n{spot.leaf} = "{other}"'
    if each.name == "fin.pocket_depth" or each.name.startswith("fin.slot_"):
        lines["fin"] += '\njoint = "through"'
    if each.section == "boat":
        # Of the three ways to give a hull one that it does not belong to.
        of_a_table = "boat.offsets" in settled(each.only_with[0].where)
        lines["boat"] += '\nhull_displacement = "3.9 kg"' if of_a_table else '\noffsets = "a.csv"'
    if each.name in ("mould.orientation", "parting.register"):
        lines[each.section] = lines[each.section].replace(
            each.example_line, f'{each.leaf} = "{each.choices[1]}"'
        )
    text = plan_with(**lines)
    if any("bulb.target_mass" in settled(only.where) for only in each.only_with):
        text = "".join(line for line in text.splitlines(keepends=True) if not line.startswith("target_mass"))
    with pytest.raises(PlanError) as caught:
        read_plan(text, source="lark.toml")
    assert each.name in {fault.key for fault in caught.value.faults}, str(caught.value)


def test_what_excludes_one_another_in_a_plan_gives_way_in_a_study() -> None:
    assert {
        ("bulb.fineness", "bulb.length", "bulb.diameter"),
        ("alloy.grade", "alloy.density", "alloy.composition", "alloy.weighed"),
        ("water.kind", "water.density"),
        ("fin.carry_at", "bulb.mass_centre_x"),
        ("fin.mass", "fin.density"),
        ("rudder.mass", "rudder.density"),
        ("pour.fill_time", "pour.choke_diameter"),
        ("strength.thread_shear_allowable", "strength.wood_specific_gravity"),
    } <= set(exclusive_groups())


def test_every_key_has_a_title_in_full_words_that_no_other_of_its_section_has():
    for part in PARTS.values():
        titles = [one.title for one in part.keys]
        assert len(set(titles)) == len(titles), part.name
        assert [one for one in titles if "_" in one or not one[0].isupper()] == []
    assert KEYS["screws.at"].title == "Position"
    assert KEYS["bulb.target_mass"].title == "Target mass"
    assert KEYS["fin.root_z"].title == "Root, z"


def test_what_is_required_is_never_rare_and_every_section_has_something_that_is_not():
    assert [key.name for key in KEYS.values() if key.rare and key.required] == []
    assert [part.name for part in PARTS.values() if all(one.rare for one in part.keys)] == []
