"""`@frozen` values share methods for comparison, hashing and display, which must behave like those of a dataclass."""

from __future__ import annotations

import copy
import pickle
from dataclasses import FrozenInstanceError

import pytest

from bulbcast.quantities.frozen import field, frozen, replace


@frozen
class Hole:
    """A class with a field that is ignored in comparisons."""

    across: float
    note: str = field(default="", compare=False, repr=False)


@frozen
class Slot(Hole):
    """A subclass with one more field."""

    length: float


@frozen
class Nothing:
    """A class without fields."""


@frozen
class Row:
    """A class with a separate list per instance and a field calculated from another."""

    across: float
    twice: float = field(init=False)
    parts: list[float] = field(default_factory=list)

    def __post_init__(self) -> None:
        object.__setattr__(self, "twice", 2.0 * self.across)


def test_equal_fields_of_one_class_are_one_value() -> None:
    assert Hole(across=1.0) == Hole(across=1.0, note="drilled")
    assert hash(Hole(across=1.0)) == hash(Hole(across=1.0, note="drilled"))
    assert Hole(across=1.0) != Hole(across=2.0)
    assert replace(Slot(across=1.0, length=2.0), length=3.0) == Slot(across=1.0, length=3.0)
    assert Nothing() == Nothing()
    assert len({Nothing(), Nothing()}) == 1


def test_a_value_of_another_class_is_another() -> None:
    assert Slot(across=1.0, length=2.0) != Hole(across=1.0)
    assert Hole(across=1.0) != 1.0


def test_it_shows_its_fields_and_keeps_them() -> None:
    slot = Slot(across=1.0, length=2.0)
    assert repr(slot) == "Slot(across=1.0, length=2.0)"
    assert pickle.loads(pickle.dumps(slot)) == slot
    with pytest.raises(FrozenInstanceError):
        slot.length = 3.0  # type: ignore[misc]
    with pytest.raises(TypeError):
        Slot(across=1.0)  # type: ignore[call-arg]


def test_nothing_of_it_is_set_or_deleted_once_made():
    slot = Slot(across=1.0, length=2.0)
    for name in ("length", "across", "colour"):
        with pytest.raises(FrozenInstanceError):
            setattr(slot, name, 3.0)
        with pytest.raises(FrozenInstanceError):
            delattr(slot, name)
    assert slot == Slot(across=1.0, length=2.0)


def test_each_has_a_list_of_its_own_and_what_follows_is_worked_out():
    one, other = Row(across=1.0), Row(across=1.0)
    assert one.twice == 2.0
    assert one.parts is not other.parts
    assert Row(across=1.0, parts=[3.0]).parts == [3.0]
    assert replace(one, across=2.0).twice == 4.0
    with pytest.raises(TypeError):
        Row(across=1.0, twice=3.0)
    with pytest.raises(TypeError):
        Row(1.0)


def test_a_copy_and_what_was_pickled_are_the_same_value():
    row = Row(across=1.0, parts=[3.0])
    for again in (copy.copy(row), copy.deepcopy(row), pickle.loads(pickle.dumps(row))):
        assert again == row
        assert again.twice == 2.0
