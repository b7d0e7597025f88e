"""The starter plan is valid as it stands, and so is every commented-out line."""

from __future__ import annotations

import re

import pytest

from bulbcast.plan.keys import KEYS
from bulbcast.plan.reading import read_plan
from bulbcast.plan.starter import starter_plan


def test_the_starter_plan_reads_without_a_fault():
    plan = read_plan(starter_plan(), source="starter.toml")
    assert plan.name == "Brackenwhistle"
    assert len(plan.screws) == 2


@pytest.mark.parametrize("name", ['She said "aye"', "back\\slash", "Søkongen 3", "x" * 200])
def test_the_starter_plan_bears_any_printable_name(name):
    assert read_plan(starter_plan(name), source="starter.toml").name == name


@pytest.mark.parametrize("name", ["", " ", "two\nlines", "x" * 201, "\ud800"])
def test_the_starter_plan_refuses_a_name_that_could_not_be_read_again(name):
    with pytest.raises(ValueError, match="it must be one line of printable text, at most 200 characters"):
        starter_plan(name)


def test_every_line_the_starter_comments_out_may_be_taken_in():
    text = starter_plan()
    instead_of = {
        "water.density": "kind",
        "bulb.length": "fineness",
        "bulb.diameter": "fineness",
        "bulb.mass_centre_x": "carry_at",
        "alloy.density": "grade",
        "alloy.composition": "grade",
        "alloy.weighed": "grade",
    }
    taken, section = set(), ""
    lines = text.splitlines()
    for number, line in enumerate(lines):
        if line.startswith("["):
            section = line.strip("[]")
        match = re.match(r"# (\w+) = ", line)
        if not match:
            continue
        place = f"{section}.{match[1]}"
        changed = [*lines[:number], line.removeprefix("# "), *lines[number + 1 :]]
        if place in instead_of:
            changed = [each for each in changed if not each.startswith(f"{instead_of[place]} =")]
        plan = read_plan("\n".join(changed), source="starter.toml")
        assert place.replace("screws", "screws[1]") not in {each.key for each in plan.defaults}
        taken.add(place)
    shown = {f"{match[1]}" for match in re.finditer(r"(?m)^(?:# )?(\w+) = ", text)}
    assert len(taken) > 20
    # The rare ones are given by `bulbcast keys`: the starter is a plan without a boat.
    assert shown >= {
        key.leaf
        for key in KEYS.values()
        if key.section in ("", "water", "bulb", "alloy", "fin", "screws", "pattern", "melt") and not key.rare
    }


def test_the_starter_plan_fits_a_printed_page_in_width():
    assert max(len(line) for line in starter_plan().splitlines()) <= 110
