"""`@frozen` values: what compares, hashes and shows them is shared, and has to be what a dataclass's own would be."""

from __future__ import annotations

import pickle
from dataclasses import FrozenInstanceError

import pytest

from bulbcast.quantities.frozen import field, frozen, replace


@frozen
class Hole:
    """With a field that counts for nothing when two are compared."""

    across: float
    note: str = field(default="", compare=False, repr=False)


@frozen
class Slot(Hole):
    """One field more."""

    length: float


@frozen
class Nothing:
    """No field at all."""


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
