"""Reads the inputs to vary, typed as `KEY=A,B,C` or `KEY=A:B:N`.

All faults in the typed text are reported together, like the faults of a plan. Whether a value is valid in the plan is
checked later, row by row, when the plan is read.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from fractions import Fraction
from itertools import product
from typing import TYPE_CHECKING

from bulbcast.compare.texts import decimal_of, readable, text_of
from bulbcast.plan.consistency import beside
from bulbcast.plan.faults import Fault, PlanError
from bulbcast.plan.key import Key, Kind
from bulbcast.plan.keys import KEYS, PARTS, REPEATED
from bulbcast.quantities import Dimension, QuantityError, joined, quoted
from bulbcast.quantities.reading import Typed, taken_apart

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence

LARGEST_GRID = 10_000
"""Largest number of plans in one study."""
_NUMBERED = tuple(name for name in REPEATED if PARTS[name].varied == "yes")
"""Repeated sections whose keys may be varied if the section's number is given."""


@dataclass(frozen=True, slots=True)
class Variation:
    """A varied input and its values, in the order typed.

    Attributes:
        key: Dotted name, such as `bulb.fineness` or `screws[1].recess` (the first screw).
        name: Name of the key in the table of keys, such as `screws.recess`.
        dimension: Dimension of a quantity; None for bare numbers and words.
        values: Exact values as written into the plan.
        labels: Values in short form, for tables and plots.
        numbers: Values as numbers; None if they are words. [SI unit of the dimension]
    """

    key: str
    name: str
    dimension: Dimension | None
    values: tuple[str, ...]
    labels: tuple[str, ...]
    numbers: tuple[float, ...] | None

    @property
    def leaf(self) -> str:
        """The key's name within its section."""
        return self.key.rpartition(".")[2]

    @property
    def section(self) -> str:
        """The key's section, such as `screws[1]` for the first screw."""
        return self.key.rpartition(".")[0]

    @property
    def in_words(self) -> str:
        """The key with its values, or only the first and the last if there are many."""
        if self.numbers is None or len(self.labels) <= 4:
            return f"{self.key} {', '.join(self.labels)}"
        first, last = (_without_zeros(label) for label in (self.labels[0], self.labels[-1]))
        return f"{self.key} {first} to {last}"

    def entry(self, index: int) -> object:
        """Return one value as it appears in the plan's TOML table.

        Args:
            index: Index of the value, from 0. [-]

        Returns:
            A string, or a number if the key's value is a bare number.
        """
        if KEYS[self.name].kind is not Kind.NUMBER:
            return self.values[index]
        exact = Fraction(self.values[index])
        return exact.numerator if exact.denominator == 1 else float(exact)


def read_variations(
    typed: Sequence[str], table: Mapping[str, object], *, source: str = "--vary"
) -> tuple[Variation, ...]:
    """Read the inputs to vary.

    Args:
        typed: One or two strings, `KEY=A,B,C` or `KEY=A:B:N` with N values, including both ends. [-]
        table: The plan's TOML table, used to look up its screws and samples. [-]
        source: Name that messages use for the source of the typed text. [-]

    Returns:
        One variation for each string, in order; the first input changes most slowly in the grid.

    Raises:
        PlanError: The strings have faults; all of them are reported.
    """
    reader = _Reader(table, source)
    if not 1 <= len(typed) <= 2:
        remedy = "Vary one or two inputs, and vary the others in a separate run."
        reader.fault("inputs", f"{len(typed)} inputs", "one or two", remedy)
    found = [each for each in map(reader.variation, typed) if each is not None]
    _check_together(found, reader)
    if reader.faults:
        raise PlanError(reader.faults)
    return tuple(found)


def _check_together(found: Sequence[Variation], reader: _Reader) -> None:
    keys = [each.key for each in found]
    if len(set(keys)) < len(keys):
        reader.fault(keys[0], "the same key twice", "two different keys", "Put all the values in one list.")
        return
    if len(keys) > 1 and keys[1] in beside(keys[0]):
        read, expected = f"{keys[1]} together with {keys[0]}", "keys that a plan can contain together"
        remedy = "Vary only one of them: the other follows from it, or cannot be used with it."
        reader.fault(keys[1], read, expected, remedy)
    plans = math.prod(len(each.values) for each in found)
    if plans > LARGEST_GRID:
        read = f"{' x '.join(str(len(each.values)) for each in found)} values, {plans} plans"
        remedy = "Use fewer values."
        reader.fault(" x ".join(keys), read, f"at most {LARGEST_GRID} plans", remedy)


class _Reader:
    """Reads the strings one after another and collects their faults."""

    def __init__(self, table: Mapping[str, object], source: str) -> None:
        self.table = table
        self.source = source
        self.faults: list[Fault] = []

    def fault(self, key: str, read: str, expected: str, remedy: str) -> None:
        self.faults.append(Fault(file=self.source, key=key, read=read, expected=expected, remedy=remedy))

    def variation(self, typed: str) -> Variation | None:
        key, equals, values = (part.strip() for part in typed.partition("="))
        if not equals or not key or not values:
            remedy = "Write, for example, bulb.fineness=4,5,6 or bulb.fineness=4:8:9."
            self.fault(quoted(typed.strip()), "an incomplete input", "KEY=A,B,C or KEY=A:B:N", remedy)
            return None
        known = self._known(key)
        if known is None or not self._can_vary(key, known):
            return None
        if known.kind is Kind.TEXT:
            return self._words(key, known, _parts(values, ","))
        parts = _parts(values, ":")
        if len(parts) > 1:
            return self._range(key, known, values, parts)
        listed = _parts(values, ",")
        if "" in listed:
            read = f"{quoted(values)}, with an empty value"
            self.fault(key, read, "values separated by single commas", "Remove the extra comma.")
            return None
        if known.kind is Kind.CHOICE:
            return self._words(key, known, listed)
        return self._list(key, known, listed)

    # Keys

    def _known(self, key: str) -> Key | None:
        section, _, leaf = key.rpartition(".")
        if section in _NUMBERED:
            one = REPEATED[section]
            read = f"a {one} key without a {one} number"
            expected = f"its number in brackets, such as {section}[1].{leaf}"
            self.fault(key, read, expected, f"The first {one} is number 1.")
            return None
        repeated, number = _numbered(section)
        known = KEYS.get(f"{repeated}.{leaf}" if repeated else key)
        if known is None:
            self.fault(key, "an unknown key", "a key of the plan file", self._nearest(key))
            return None
        if repeated:
            listed, one = self.table.get(repeated), REPEATED[repeated]
            count = len(listed) if isinstance(listed, list) else 0
            if not 1 <= number <= count:
                expected = f"one of the plan's {count} {one}s"
                remedy = f"{one[0].upper()}{one[1:]}s are numbered from 1 to {count}."
                if count == 1:
                    expected, remedy = f"{one} 1, the only one in the plan", f"Write {repeated}[1].{leaf}."
                elif not count:
                    expected, remedy = f"a {one}", f"The plan contains no [[{repeated}]]."
                self.fault(key, f"{one} {number}", expected, remedy)
                return None
        return known

    def _nearest(self, key: str) -> str:
        from difflib import get_close_matches  # only a fault needs this import

        names = {_first_of(name): name for name, one in KEYS.items() if one.varied != "fixed"}
        leaf = key.rpartition(".")[2].casefold()
        near = get_close_matches(key.casefold(), names, n=1, cutoff=0.6)
        same = [name for name in names if name.rpartition(".")[2] == leaf]
        if not same and not near:
            leaves = {name.rpartition(".")[2]: name for name in names}
            near = [leaves[each] for each in get_close_matches(leaf, leaves, n=1, cutoff=0.6)]
        offered = same or near
        return f"Did you mean {joined(offered, 'or')}?" if offered else "Run bulbcast keys to list every key."

    def _can_vary(self, key: str, known: Key) -> bool:
        expected = "a key that can be varied"
        if known.varied == "without effect":
            read, expected = "a key that changes none of the compared figures", "a key that changes them"
            remedy = "Vary another one."
        elif known.varied == "fixed" and known.section.startswith("scrap"):
            read, remedy = "a key of a scrap lot", "Change it in the plan."
        elif known.varied == "fixed":
            read = "a key of the weight list or of the hull file"
            remedy = "Change it in the plan and see what bulbcast ballast reports."
        elif known.kind is Kind.TABLE:
            read, expected = "a key that contains a table", "a key with one value"
            weighed = "alloy.weighed.in_air or alloy.weighed.in_water"
            remedy = f"Vary {weighed if known.name == 'alloy.weighed' else 'alloy.density or alloy.grade'}."
        elif known.section == "alloy.weighed" and not isinstance(_weighed(self.table), dict):
            read, expected = "a weighed sample's key", "a plan with a weighed sample"
            remedy = "Give alloy.weighed in the plan, or vary alloy.grade or alloy.density."
        else:
            return True
        self.fault(key, read, expected, remedy)
        return False

    # Values

    def _words(self, key: str, known: Key, listed: Sequence[str]) -> Variation | None:
        from difflib import get_close_matches  # as above

        count = len(self.faults)
        for word in listed:
            if known.kind is Kind.CHOICE and known.word(word) is None:
                near = get_close_matches(word.casefold(), known.choices, n=1, cutoff=0.5)
                plain = "Write the words without quotes, separated by commas."
                fix = f"Did you mean {near[0]}?" if near else plain
                means = f" {known.meanings}." if known.meanings else ""
                self.fault(key, quoted(word), known.expected, fix + means)
            elif not word:
                self.fault(key, "an empty value", known.expected, "Remove the extra comma.")
        if len(self.faults) > count:
            return None
        # The table contains the plan format's word, whichever name was typed.
        words = tuple((known.word(word) if known.kind is Kind.CHOICE else None) or word for word in listed)
        return Variation(key, known.name, None, words, words, None)

    def _list(self, key: str, known: Key, listed: Sequence[str]) -> Variation | None:
        count = len(self.faults)
        if known.kind is Kind.NUMBER:
            bare = [self._number(key, known, text) for text in listed]
            if len(self.faults) > count:
                return None
            values = tuple(text.removeprefix("+") for text in listed)
            numbers = tuple(float(each) for each in bare if each is not None)
            return Variation(key, known.name, None, values, values, numbers)
        read = [self._quantity(key, known, text, listed[i + 1 :]) for i, text in enumerate(listed)]
        found = [each for each in read if each is not None]
        if len({each.unit.dimension for each in found}) > 1:
            self._two_kinds(key, known)
        if len(self.faults) > count:
            return None
        labels = tuple(
            text_of(each.number, each.unit, compound=each.compound) if readable(each.number) else text
            for text, each in zip(listed, found, strict=True)
        )
        numbers = tuple(float(each.value) for each in found)
        return Variation(key, known.name, found[0].unit.dimension, tuple(listed), labels, numbers)

    def _quantity(self, key: str, known: Key, text: str, following: Sequence[str]) -> Typed | None:
        try:
            return taken_apart(text, known.dimensions)
        except QuantityError as error:
            remedy = error.remedy
            if _is_number(text) and following and following[0][:1].isdecimal():
                meant = f"for one number, write {text}.{following[0]} with a decimal point."
                remedy = f"Give each value its unit. A comma separates two values; {meant}"
            self.fault(key, error.read, known.expected, remedy)
            return None

    def _number(self, key: str, known: Key, text: str) -> Fraction | None:
        if _is_number(text):
            return Fraction(text)
        remedy = f"Write a bare number, such as {known.example}, with a decimal point."
        self.fault(key, quoted(text), known.expected, remedy)
        return None

    def _range(self, key: str, known: Key, typed: str, parts: Sequence[str]) -> Variation | None:
        if known.kind is Kind.CHOICE:
            expected = f"words separated by commas, {known.expected}"
            self.fault(
                key, quoted(typed), expected, "Words cannot form a range: list the words that you want."
            )
            return None
        if len(parts) != 3 or "" in parts or "," in typed:
            expected = "A:B:N (the first value, the last value and the number of values), or values separated by commas"
            counted = (
                f"Write, for example, {key}={parts[0]}:{parts[1]}:5."
                if len(parts) == 2 and all(parts)
                else ""
            )
            self.fault(key, quoted(typed), expected, counted or "Use one of these two forms.")
            return None
        count = self._count(key, parts[2])
        if known.kind is Kind.NUMBER:
            return self._number_range(key, known, parts, count)
        return self._quantity_range(key, known, parts, count)

    def _count(self, key: str, text: str) -> int | None:
        if text.isascii() and text.isdecimal() and len(text) < 9 and 2 <= int(text) <= LARGEST_GRID:
            return int(text)
        read, expected = f"{quoted(text)} as the number of values", f"a whole number from 2 to {LARGEST_GRID}"
        remedy = "After the second colon, write the number of values that you want, including both ends."
        self.fault(key, read, expected, remedy)
        return None

    def _number_range(
        self, key: str, known: Key, parts: Sequence[str], count: int | None
    ) -> Variation | None:
        first, last = (self._number(key, known, text) for text in parts[:2])
        if first is None or last is None or count is None or not self._ends_differ(key, parts, first == last):
            return None
        exact = _spread(first, last, count)
        values = tuple(decimal_of(each) or repr(float(each)) for each in exact)
        labels, numbers = _labels(values, exact, ""), tuple(float(Fraction(each)) for each in values)
        return Variation(key, known.name, None, values, labels, numbers)

    def _quantity_range(
        self, key: str, known: Key, parts: Sequence[str], count: int | None
    ) -> Variation | None:
        first, last = (self._quantity(key, known, text, ()) for text in parts[:2])
        if first is None or last is None or count is None:
            return None
        if first.unit.dimension is not last.unit.dimension:
            self._two_kinds(key, known)
            return None
        if not self._ends_differ(key, parts, first.value == last.value):
            return None
        exact = _spread(first.value, last.value, count)
        # In the first end's unit; if that makes long fractions, in that of the last end: a kilogram is an endless decimal
        # in pounds, but a pound is a finite one in kilograms.
        ways = []
        for end in (first, last):
            inside = [(each - end.unit.offset) / end.unit.factor for each in exact]
            texts = [text_of(each, end.unit, compound=end.compound) for each in inside]
            length = 0 if all(map(readable, inside)) else max(map(len, texts))
            ways.append((length, texts, inside, end.unit))
        _, values, inside, unit = min(ways, key=lambda way: way[0])
        labels = _labels(values, inside, f" {unit.symbol}")
        # Both ends remain as typed.
        values[0], values[-1] = parts[0], parts[1]
        numbers = tuple(float(each) for each in exact)
        return Variation(key, known.name, first.unit.dimension, tuple(values), labels, numbers)

    def _ends_differ(self, key: str, parts: Sequence[str], same: bool) -> bool:
        if same:
            read = f"{parts[0]} and {parts[1]}, which are the same"
            self.fault(key, read, "two different ends", "Change one of them.")
        return not same

    def _two_kinds(self, key: str, known: Key) -> None:
        expected = f"values of one kind: {known.expected}"
        self.fault(key, "values of two different kinds", expected, "Vary one kind of value at a time.")


def _spread(first: Fraction, last: Fraction, count: int) -> tuple[Fraction, ...]:
    """Return evenly spaced values, including both ends."""
    return tuple(first + (last - first) * i / (count - 1) for i in range(count))


def _labels(values: Sequence[str], numbers: Sequence[Fraction], unit: str) -> tuple[str, ...]:
    """Return labels for the values: exact if all are short, otherwise decimals with enough digits to show the steps."""
    if all(map(readable, numbers)):
        return tuple(values)
    step = abs(float(numbers[1] - numbers[0]))
    decimals = max(0, 2 - math.floor(math.log10(step)))
    return tuple(f"{float(each):.{decimals}f}{unit}" for each in numbers)


def _without_zeros(label: str) -> str:
    """Return a label without trailing zeros."""
    figure, space, unit = label.partition(" ")
    return (figure.rstrip("0").rstrip(".") if "." in figure else figure) + space + unit


def _parts(text: str, mark: str) -> list[str]:
    return [part.strip() for part in text.split(mark)]


def _is_number(text: str) -> bool:
    bare = text[1:] if text[:1] in ("+", "-") else text
    digits = bare.replace(".", "", 1)
    return digits.isascii() and digits.isdecimal() and len(text) <= 40


def _first_of(name: str) -> str:
    """Return a key's name, with the number 1 if its section is numbered."""
    section, _, leaf = name.rpartition(".")
    return f"{section}[1].{leaf}" if section in _NUMBERED else name


def _numbered(section: str) -> tuple[str, int]:
    """Return the name and number of a section such as `screws[2]`; the name is empty if it has no number."""
    name, _, rest = section.partition("[")
    digits = rest.removesuffix("]").strip()
    if name in _NUMBERED and rest.endswith("]") and digits.isascii() and digits.isdigit():
        return name, int(digits[:9])
    return "", 0


def _weighed(table: Mapping[str, object]) -> object:
    alloy = table.get("alloy")
    return alloy.get("weighed") if isinstance(alloy, dict) else None


def grid_of(variations: Iterable[Variation]) -> list[tuple[int, ...]]:
    """Return the index of each input's value in every row of the full grid; the first input changes most slowly.

    Args:
        variations: One or two inputs. [-]

    Returns:
        A tuple of indices for each row.
    """
    return list(product(*(range(len(each.values)) for each in variations)))
