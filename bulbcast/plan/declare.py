"""Declaration of a plan's section as one class whose fields describe their keys completely.

    @section("mould", step="mould")
    class MouldSection:
        \"\"\"The block round the pattern.\"\"\"

        wall: float | None = key("round the pattern", LENGTH, "5 mm to 1 m", example="30 mm")

Reading, defaults, the starter plan, the key reference and the variables of a study all use the declaration, so they
cannot disagree. Ranges and defaults are written as a builder types them and are read by the same reader as a plan. If
the plan format sets no range, the bounds are wide physical ones that only catch slips (judgement).
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
    """Metadata of a field: its key and, for a key with two possible dimensions, this field's dimension."""

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
    """Declare a key of a section, as the value of its field.

    Args:
        about: Brief meaning.
        written: Its dimension, or the kind of value if it has none. A choice has the words of the field's Literal, or
            `choices`.
        within: Its range with units, such as "1 mm to 5 m", "above 0 mm and up to 5 m", "above 0 and below 1".
        example: A value as typed, without quotes; if omitted, the default or the first word of a choice.
        default: Default as typed, without quotes; None if there is no fixed one.
        source: Source of the default.
        required: Whether every plan needs it.
        choices: Words of a choice whose field is plain text.
        means: Brief meaning of each word of a choice.
        also: Other trade names for its words.
        only_with: Condition (`agreement.py`) without which it has no effect, or several with their texts.
        needed_with: Condition under which it is required, in the same form.
        not_with: Keys that cannot be given together with it, each with the reason.
        required_unless: Condition under which a required key may be omitted.
        default_with: Defaults that take precedence over the fixed one, each under its condition.
        default_unless: Condition under which the default is not used.
        left_out: Meaning of omitting it if there is no default: a word, or the key whose word is then used.
        whole: For an integer, the parts of the message if the value is not whole: read, expected, remedy.
        unknown: Whether "unknown" is allowed, with the same meaning as omitting the key.
        rare: Whether a plan with its section usually omits it; see also `section`.
        varied: Whether a study may vary it, or why not.
        leaf: Its name in the file, if it differs from the field's.
        title: Its name as a heading, if its leaf name does not make a good one.
        find: How to measure, look up or choose it, in complete sentences.
        spread: Standard deviation used if none is typed: a quantity, "10 % of it", or the figure on which it depends;
            None if it has none.
        spread_source: Source of that standard deviation.
        others: Other dimensions that are accepted, each with its range.
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
    """Declare a second field for a key with two possible dimensions; it is filled if the value has `dimension`.

    Args:
        leaf: Leaf of the key.
        dimension: Dimension of this field.

    Returns:
        The field.
    """
    return field(metadata={"declared": Declared(key=None, leaf=leaf, dimension=dimension)})


@frozen
class Section:
    """Declaration of a section.

    Attributes:
        name: Name in the file, such as "bulb", "screws", "alloy.weighed"; "" for the top of the file.
        made: Frozen class for its values; None for the top of the file.
        keys: Its keys in the order of the file.
        step: Step of the work that it belongs to.
        one: Word for one occurrence of a section in double brackets, which can be repeated; otherwise "".
        most: Maximum number of occurrences.
        varied: Whether a study may vary its keys; a single key can override it.
        one_of: Groups of its keys that exclude each other.
        only_with: Condition without which it has no effect.
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
    """Declare a section. The class becomes a frozen dataclass, and the key of every field is registered with the plan.

    Args:
        names: Names in the file; several if the same part can be in more than one section.
        step: Step of the work that it belongs to.
        one: Word for one occurrence of a section in double brackets.
        most: Maximum number of occurrences of a section in double brackets.
        varied: Whether a study may vary its keys.
        one_of: Groups of its keys that exclude each other.
        only_with: Condition without which it has no effect.
        basic: Keys that a plan with this section usually has in addition to the required ones, separated by spaces. The
            others are then rare.

    Raises:
        TypeError: A field has no key, two fields have the same name, or a choice has no words.
    """

    def declare(plain: type[Class]) -> type[Class]:
        hints = get_type_hints(plain)
        plain.__annotations__ = hints  # evaluated once for all later calls
        for own, hint in hints.items():
            found = plain.__dict__.get(own)
            if found is None or "declared" not in getattr(found, "metadata", {}):
                raise TypeError(f"{plain.__name__}.{own} has no key: give it one with key(...)")
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
                raise TypeError(f"[{name}] does not have all the keys that it calls basic: {basic}")
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
        made: Declaration of the section.

    Raises:
        TypeError: It is already registered, or two keys have the same name.
    """
    if made.name in _SECTIONS or len({each.name for each in made.keys}) != len(made.keys):
        raise TypeError(f"[{made.name}] or a key in it is declared twice")
    _SECTIONS[made.name] = made


def declared_sections() -> Mapping[str, Section]:
    """Sections declared by the modules loaded so far, in the order of loading."""
    return _SECTIONS


def leaf_of(field_name: str, declared: Declared) -> str:
    """Name of a field in the file, without the underscore that a Python keyword has in the class."""
    return declared.leaf or field_name.rstrip("_")


def _named(declared: Declared, section_name: str, own: str, hint: Any, step: str, basic: list[str]) -> Key:
    made = declared.key
    if made is None:
        raise TypeError(f"{section_name}.{own} has no key")
    leaf = leaf_of(own, declared)
    choices = made.choices
    if made.kind is Kind.CHOICE and not choices:
        choices = _words(hint)
        if not choices:
            raise TypeError(f"{section_name}.{leaf} is a choice without any words")
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
