"""How a section of the plan is declared: one class, whose fields carry all that is known about their keys.

    @section("mould", step="mould")
    class MouldSection:
        \"\"\"The block round the pattern.\"\"\"

        wall: float | None = key("round the pattern", LENGTH, "5 mm to 1 m", example="30 mm")

Reading, defaults, the starter plan, the reference of all keys and what a study may vary all use the declaration, so
that they cannot disagree. Ranges and defaults are written as a builder types them and read by the same reader as the
plan. Where the plan format sets no range, the bounds are wide physical ones that only catch slips (judgement).
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, fields, replace
from types import UnionType
from typing import (
    Any,
    Literal,
    TypeVar,
    Union,
    cast,
    dataclass_transform,
    get_args,
    get_origin,
    get_type_hints,
)

from bulbcast.plan.agreement import Condition, DefaultWith, NeededWith, OneOf, OnlyWith, Words, every
from bulbcast.plan.key import Key, Kind, Varied, range_of
from bulbcast.quantities import Dimension
from bulbcast.quantities.frozen import frozen

Class = TypeVar("Class")
Written = Dimension | Literal["number", "text", "choice", "table"]


@dataclass(frozen=True, slots=True)
class Declared:
    """What a field carries: its key, and, for a key that may have two dimensions, this field's dimension."""

    key: Key | None
    leaf: str = ""
    dimension: Dimension | None = None


def key(
    about: str,
    written: Written,
    within: str = "",
    *,
    example: str = "",
    default: str | None = None,
    source: str = "",
    required: bool = False,
    choices: tuple[str, ...] = (),
    means: Mapping[str, str] | None = None,
    also: Mapping[str, tuple[str, ...]] | None = None,
    only_with: Condition | OnlyWith | tuple[OnlyWith | Mapping[str, Words], ...] = (),
    needed_with: Condition | NeededWith | tuple[NeededWith, ...] = (),
    not_with: Mapping[str, str] | None = None,
    required_unless: Condition = (),
    default_with: tuple[DefaultWith, ...] = (),
    default_unless: Condition = (),
    left_out: str = "",
    whole: tuple[str, str, str] | None = None,
    unknown: bool = False,
    rare: bool = False,
    varied: Varied = "yes",
    leaf: str = "",
    title: str = "",
    find: str = "",
    spread: str | None = None,
    spread_source: str = "",
    others: tuple[tuple[Dimension, str], ...] = (),
) -> Any:
    """One key of a section, as the value of its field.

    Args:
        about: What it means, briefly.
        written: Its dimension, or how it is written where it has none. A choice has the words of the field's Literal,
            or `choices`.
        within: Its range with units, such as "1 mm to 5 m", "above 0 mm and up to 5 m", "above 0 and below 1".
        example: A value as typed, without quotes; left out: the default, or a choice's first word.
        default: As typed, without quotes; None where there is no fixed one.
        source: Source of the default.
        required: Whether every plan needs it.
        choices: The words of a choice whose field is plain text.
        means: What each word of a choice means, briefly.
        also: Other names of the trade for its words.
        only_with: Condition (`agreement.py`) without which it has no effect, or several with their texts.
        needed_with: Condition under which it is required, likewise.
        not_with: Keys that may not be given with it, each with the reason.
        required_unless: Condition under which a required key may be missing.
        default_with: Defaults that come before the fixed one, each under its condition.
        default_unless: Condition under which the default is not used.
        left_out: What leaving it out means where there is no default: a word, or the key whose word is then used.
        whole: For a number that has to be whole, the texts of the fault: read, expected, remedy.
        unknown: Whether "unknown" is an answer, which means the same as leaving the key out.
        rare: Whether a plan with its section usually does without it; see also `section`.
        varied: Whether a study may vary it, or why not.
        leaf: Its name in the file, where the field has another.
        title: Its name as a heading, where its leaf in words does not read well as one.
        find: How it is measured, looked up or chosen, in whole sentences.
        spread: Standard deviation where none is typed: as typed, "10 % of it", or what it follows from; None: it has
            none.
        spread_source: Source of that.
        others: Further dimensions that are accepted, each with its range.

    Returns:
        The field.
    """
    shown = example or default or ""
    kind = Kind.QUANTITY if isinstance(written, Dimension) else Kind(written)
    ranges = (range_of(within),) if within else ()
    dimensions = (written,) if isinstance(written, Dimension) else ()
    made = Key(
        name=leaf,
        kind=kind,
        about=about,
        example=shown if kind in (Kind.NUMBER, Kind.TABLE) else f'"{shown}"',
        dimensions=(*dimensions, *(one for one, _ in others)),
        ranges=(*ranges, *(range_of(one) for _, one in others)),
        choices=choices,
        means=means or {},
        also=also or {},
        required=required,
        default=default,
        source=source,
        only_with=every(OnlyWith, only_with),
        needed_with=every(NeededWith, needed_with),
        not_with=not_with or {},
        required_unless=required_unless,
        default_with=default_with,
        default_unless=default_unless,
        left_out=left_out,
        whole=whole,
        unknown=unknown,
        rare=rare,
        varied=varied,
        title=title,
        find=find,
        spread=spread,
        spread_source=spread_source,
    )
    only = dimensions[0] if others and dimensions else None
    return field(metadata={"declared": Declared(key=made, leaf=leaf, dimension=only)})


def same_key(leaf: str, dimension: Dimension) -> Any:
    """A second field of a key that may have two dimensions, filled where it has this one.

    Args:
        leaf: Leaf of the key.
        dimension: Dimension of this field.

    Returns:
        The field.
    """
    return field(metadata={"declared": Declared(key=None, leaf=leaf, dimension=dimension)})


@frozen
class Section:
    """A declared section.

    Attributes:
        name: Name in the file, such as "bulb", "screws", "alloy.weighed"; "" for the top of the file.
        made: The frozen class it is read into; None for the top of the file.
        keys: Its keys in the order of the file.
        step: Step of the work that it belongs to.
        one: What one of them is called where it may be repeated, in double brackets; "" elsewhere.
        most: How often it may be repeated.
        varied: Whether a study may vary its keys; a key's own word holds for that key alone.
        one_of: Keys of it of which a plan holds one.
        only_with: What it has no effect without.
    """

    name: str
    made: type | None
    keys: tuple[Key, ...]
    step: str
    one: str = ""
    most: int = 1
    varied: Varied = "yes"
    one_of: tuple[OneOf, ...] = ()
    only_with: tuple[OnlyWith, ...] = ()


_SECTIONS: dict[str, Section] = {}


@dataclass_transform(frozen_default=True, kw_only_default=True, field_specifiers=(key, same_key))
def section(
    *names: str,
    step: str,
    one: str = "",
    most: int = 1,
    varied: Varied = "yes",
    one_of: OneOf | tuple[OneOf, ...] = (),
    only_with: Condition | OnlyWith = (),
    basic: str = "",
) -> Callable[[type[Class]], type[Class]]:
    """Declare a section: the class becomes a frozen dataclass, and every field's key is registered with the plan.

    Args:
        names: Names in the file; several where the same part may be in more than one place.
        step: Step of the work that it belongs to.
        one: What one of them is called, for a section in double brackets.
        most: How often it may then be repeated.
        varied: Whether a study may vary its keys.
        one_of: Keys of it of which a plan holds one.
        only_with: Condition without which it has no effect.
        basic: Keys that a plan with the section usually has besides those required, separated by spaces: the others are
            then rare.

    Raises:
        TypeError: A field carries no key, two have the same name, or a choice has no words.
    """

    def declare(plain: type[Class]) -> type[Class]:
        hints = get_type_hints(plain)
        plain.__annotations__ = hints  # evaluated once for all later calls
        for own, hint in hints.items():
            found = plain.__dict__.get(own)
            if found is None or "declared" not in getattr(found, "metadata", {}):
                raise TypeError(f"{plain.__name__}.{own} carries no key: give it one, key(...)")
            if _may_be_none(hint):
                found.default = None
        made: Any = frozen(plain)
        for name in names:
            keys = []
            for each in fields(made):
                declared: Declared = each.metadata["declared"]
                if declared.key is not None:
                    keys.append(_named(declared, name, each.name, hints[each.name], step, basic.split()))
            if not {one_key.leaf for one_key in keys} >= set(basic.split()):
                raise TypeError(f"[{name}] has not all of the keys that it calls basic: {basic}")
            register(
                Section(
                    name=name,
                    made=made,
                    keys=tuple(keys),
                    step=step,
                    one=one,
                    most=most,
                    varied=varied,
                    one_of=one_of if isinstance(one_of, tuple) else (one_of,),
                    only_with=every(OnlyWith, only_with),
                )
            )
        return cast("type[Class]", made)

    return declare


def register(made: Section) -> None:
    """Register a section.

    Args:
        made: The section's declaration.

    Raises:
        TypeError: It is registered already, or two keys have the same name.
    """
    if made.name in _SECTIONS or len({each.name for each in made.keys}) != len(made.keys):
        raise TypeError(f"[{made.name}] is declared twice, or a key in it is")
    _SECTIONS[made.name] = made


def declared_sections() -> Mapping[str, Section]:
    """Every section declared by the modules loaded so far, in the order of loading."""
    return _SECTIONS


def leaf_of(field_name: str, declared: Declared) -> str:
    """A field's name in the file: a Python keyword has an underscore after it in the class."""
    return declared.leaf or field_name.rstrip("_")


def _named(declared: Declared, section_name: str, own: str, hint: Any, step: str, basic: list[str]) -> Key:
    made = declared.key
    if made is None:
        raise TypeError(f"{section_name}.{own} carries no key")
    leaf = leaf_of(own, declared)
    choices = made.choices
    if made.kind is Kind.CHOICE and not choices:
        choices = _words(hint)
        if not choices:
            raise TypeError(f"{section_name}.{leaf} is a choice without words")
    example = made.example
    if made.kind is Kind.CHOICE and example == '""':
        example = f'"{choices[0]}"'
    name = f"{section_name}.{leaf}" if section_name else leaf
    rare, lack = made.rare or bool(basic and not made.required and leaf not in basic), _may_be_none(hint)
    return replace(made, name=name, choices=choices, example=example, may_lack=lack, step=step, rare=rare)


def _words(hint: Any) -> tuple[str, ...]:
    if get_origin(hint) is Literal:
        return get_args(hint)
    if get_origin(hint) in (Union, UnionType):
        return next((words for words in map(_words, get_args(hint)) if words), ())
    return ()


def _may_be_none(hint: Any) -> bool:
    return get_origin(hint) in (Union, UnionType) and type(None) in get_args(hint)
