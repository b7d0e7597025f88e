"""The decorator `@frozen`: a value class like a frozen dataclass with slots and keyword fields, but twice as quick to
load.

A command loads about 200 of these classes; as dataclasses they would account for a quarter of the
running time of `plan --json`. The methods that compare, hash, show and guard a value are shared by all of them; only
`__init__` is compiled for each.
"""

from __future__ import annotations

from dataclasses import MISSING, FrozenInstanceError, dataclass, field, fields, replace
from operator import attrgetter
from typing import Any, NoReturn, TypeVar, cast, dataclass_transform

__all__ = ["field", "frozen", "replace"]

Class = TypeVar("Class")


@dataclass_transform(frozen_default=True, kw_only_default=True, field_specifiers=(field,))
def frozen(plain: type[Class]) -> type[Class]:
    """Turn a class into a frozen value class, with equality and hash based on its fields."""
    made: Any = dataclass(init=False, slots=True, kw_only=True, eq=False, repr=False)(plain)
    # The class is listed twice, since for a single name no tuple would be returned.
    values = attrgetter("__class__", "__class__", *(one.name for one in fields(made) if one.compare))

    def same(self: object, other: object) -> bool:
        return values(self) == values(other) if other.__class__ is self.__class__ else NotImplemented

    def shown(self: object) -> str:
        parts = ", ".join(f"{one.name}={getattr(self, one.name)!r}" for one in fields(made) if one.repr)
        return f"{type(self).__qualname__}({parts})"

    made.__init__ = _init_of(made)
    made.__eq__, made.__repr__ = same, shown
    made.__hash__ = lambda self: hash(values(self))
    made.__setattr__ = made.__delattr__ = _refuse
    made.__setstate__ = _restore
    return cast("type[Class]", made)


def _init_of(made: Any) -> Any:
    """Compile the class's `__init__`, which fills the slots in spite of the guard."""
    known: dict[str, Any] = {"_missing": MISSING}
    asked, body = [], []
    for one in fields(made):
        if not one.init:
            continue
        name = one.name
        known[f"_fill_{name}"] = getattr(made, name).__set__
        value = name
        if one.default_factory is not MISSING:
            known[f"_make_{name}"] = one.default_factory
            asked.append(f"{name}=_missing")
            value = f"_make_{name}() if {name} is _missing else {name}"
        elif one.default is not MISSING:
            known[f"_default_{name}"] = one.default
            asked.append(f"{name}=_default_{name}")
        else:
            asked.append(name)
        body.append(f" _fill_{name}(self, {value})")
    if hasattr(made, "__post_init__"):
        body.append(" self.__post_init__()")
    head = f"def __init__({', '.join(['self', '*', *asked] if asked else ['self'])}):"
    exec("\n".join([head, *(body or [" pass"])]), known)
    known["__init__"].__qualname__ = f"{made.__qualname__}.__init__"
    return known["__init__"]


def _refuse(self: object, name: str, *_: object) -> NoReturn:
    raise FrozenInstanceError(f"{name!r} of a {type(self).__qualname__} cannot be changed")


def _restore(self: object, state: tuple[None, dict[str, Any]]) -> None:
    """Restore the fields of a copied or unpickled value."""
    for name, value in state[1].items():
        object.__setattr__(self, name, value)
