"""Hulls are cached by their file's bytes and reading options, and cached hulls cannot be changed."""

from __future__ import annotations

import dataclasses

import numpy as np
import pytest
from plans import EXAMPLES, example_text

from bulbcast.files import hull as hulls
from bulbcast.files.plan_file import load_plan

TABLE = "larkmoss-offsets.csv"


@pytest.fixture
def boat(tmp_path, monkeypatch):
    """Function that reads Larkmoss with changes, and returns the hull and the number of tables parsed so far."""
    monkeypatch.setattr(hulls, "_kept", {})
    made, make = [], hulls._of_table
    monkeypatch.setattr(hulls, "_of_table", lambda *words: made.append(words) or make(*words))
    text, table = example_text("larkmoss"), (EXAMPLES / TABLE).read_bytes()

    def read(old="", new="", more=b""):
        assert old in text
        (tmp_path / "plan.toml").write_text(text.replace(old, new, 1), encoding="utf-8")
        (tmp_path / TABLE).write_bytes(table + more)
        return load_plan(tmp_path / "plan.toml")[2], len(made)

    return read


def test_the_same_file_is_taken_apart_once_while_the_plan_round_it_changes(boat):
    first, _ = boat()
    again, count = boat('name = "Larkmoss"', 'name = "Larkmoss the second"')
    assert (again is first, count) == (True, 1)


def test_another_byte_of_the_file_or_another_way_of_reading_it_is_another_hull(boat):
    first, _ = boat()
    other, count = boat(more=b"\n")
    assert (count, other.file.sha256 != first.file.sha256) == (2, True)
    scaled, count = boat(f'offsets = "{TABLE}"', f'offsets = "{TABLE}"\nscale = 1.01')
    assert (count, scaled.line.length) == (3, pytest.approx(1.01 * first.line.length))
    kept, count = boat()
    assert (kept is first, count) == (True, 3)


def test_no_more_than_a_few_are_kept_and_the_longest_unread_goes_first(boat):
    first, _ = boat()
    for number in range(1, hulls._MOST_KEPT):
        boat(more=number * b"\n")
    assert boat()[0] is first
    boat(more=b"\n" * hulls._MOST_KEPT)
    assert len(hulls._kept) == hulls._MOST_KEPT
    assert boat()[0] is first
    _, count = boat(more=b"\n")
    assert count == hulls._MOST_KEPT + 2, "the second was let go"


def test_a_hull_that_is_refused_is_not_kept(boat):
    with pytest.raises(hulls.PlanError):
        boat(more=b"odd\n")
    assert hulls._kept == {}


def test_what_is_kept_cannot_be_written_into(boat):
    read, _ = boat()
    for whole in (read, read.line, read.offsets, read.outline, read.surface()):
        with pytest.raises((dataclasses.FrozenInstanceError, TypeError)):
            setattr(whole, dataclasses.fields(whole)[0].name, None)
        for field in dataclasses.fields(whole):
            value = getattr(whole, field.name)
            assert not isinstance(value, list | dict | set)
            assert not isinstance(value, np.ndarray) or not value.flags.writeable, field.name
