"""Convert a quantity typed by the builder to SI units. All input passes through this file.

A small hand-written parser reads the text once, character by character, without regular expressions, evaluation or
floats. The value is an exact fraction until the end and is rounded once, so different spellings of the same value give
exactly the same float.

    quantity  = [sign] number unit [[" "|"-"] number [unit]]
    number    = decimal | whole "/" whole | vulgar | whole (" "|"-") whole "/" whole | whole [" "|"-"] vulgar

A second number may follow only after feet (inches) or pounds (ounces), and is in the smaller unit if none is written.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from typing import TYPE_CHECKING, NoReturn

from bulbcast.quantities.errors import LONGEST_TEXT, QuantityError, joined, quoted
from bulbcast.quantities.units import (
    AMBIGUOUS,
    BY_FOLDED,
    BY_SPELLING,
    BY_SYMBOL,
    LEADERS,
    LONGEST_SPELLING,
    PLAIN_LETTERS,
    VULGAR_FRACTIONS,
    WORDS,
    Dimension,
    Unit,
)

if TYPE_CHECKING:
    from collections.abc import Sequence

_COLDEST = Fraction(-27_315, 100)
_DIGITS = frozenset("0123456789")
_NUMBER_STARTS = _DIGITS | frozenset(VULGAR_FRACTIONS) | {"."}


def read_quantity(text: str, dimension: Dimension) -> float:
    """Read a builder's text with its unit, such as "4 lb 14 oz", "13-1/4 in" or "0.4 %".

    Args:
        text: Text as typed, at most 64 characters. [-]
        dimension: Dimension that it must have. [-]

    Returns:
        Value in the SI unit of the dimension (temperatures in degC, ratios as a fraction), rounded once from the exact
        rational.

    Raises:
        QuantityError: The text is not a quantity of that dimension.
    """
    return read_quantity_of(text, (dimension,))[1]


def read_quantity_of(text: str, dimensions: Sequence[Dimension]) -> tuple[Dimension, float]:
    """Read text that can have one of several dimensions, such as a feeder's mass or percentage.

    Args:
        text: Text as typed, at most 64 characters. [-]
        dimensions: Allowed dimensions, at least one. [-]

    Returns:
        Dimension found, and the value in its SI unit.

    Raises:
        QuantityError: The text is not a quantity of any of them.
    """
    found = _Reader(text, tuple(dimensions)).quantity()
    return found.unit.dimension, float(found.value)


@dataclass(frozen=True, slots=True)
class Typed:
    """Parts of a typed quantity.

    Attributes:
        value: Exact value. [SI unit of the dimension]
        unit: Last unit typed, which is the smaller one of a compound.
        compound: Whether a larger unit came before it, as in "4 lb 14 oz".
    """

    value: Fraction
    unit: Unit
    compound: bool = False

    @property
    def number(self) -> Fraction:
        """Exact value in its unit."""
        return (self.value - self.unit.offset) / self.unit.factor


def taken_apart(text: str, dimensions: Sequence[Dimension]) -> Typed:
    """Read a quantity and keep its unit and its exact value.

    Args:
        text: Text as for `read_quantity_of`. [-]
        dimensions: Allowed dimensions, as for `read_quantity_of`. [-]

    Returns:
        Value, unit, and whether the quantity was a compound of two units.

    Raises:
        QuantityError: See `read_quantity_of`.
    """
    return _Reader(text, tuple(dimensions)).quantity()


class _Reader:
    """Single pass over a text; `at` is the index of the next character."""

    __slots__ = ("at", "text", "typed", "wanted")

    def __init__(self, typed: str, wanted: tuple[Dimension, ...]) -> None:
        self.typed = typed
        self.wanted = wanted
        if len(typed) > LONGEST_TEXT:
            raise QuantityError(
                read=f"text of {len(typed)} characters, {quoted(typed, 20)}",
                expected=f"{self._nouns()} in at most {LONGEST_TEXT} characters",
                remedy="Write the number and its unit and nothing else.",
            )
        plain = " ".join(word for word in typed.translate(PLAIN_LETTERS).split(" ") if word)
        self.text = plain.replace(" /", "/").replace("/ ", "/")
        self.at = 0

    def quantity(self) -> Typed:
        if not self.text:
            self._refuse("empty text", f"Write a number and its unit, such as {self._example()}.")
        negative = self._sign()
        number = self._number()
        unit = self._unit()
        value = number * unit.factor + unit.offset
        compound = self.at < len(self.text)
        if compound:
            value += self._second_part(number, unit)
        if negative:
            # The sign applies to the whole text, so -5 ft 6 in is 66 inches below zero.
            value = 2 * unit.offset - value
        self._check_sense(value, unit)
        return Typed(value, BY_SYMBOL[unit.follower] if compound and unit.follower else unit, compound)

    # Numbers

    def _sign(self) -> bool:
        if self._peek() not in ("+", "-"):
            return False
        negative = self.text[self.at] == "-"
        self.at += 1
        self._skip_space()
        return negative

    def _number(self) -> Fraction:
        first = self._peek()
        if first in VULGAR_FRACTIONS:
            self.at += 1
            return self._ended(VULGAR_FRACTIONS[first])
        if first == ".":
            return self._ended(self._decimal(""))
        whole = self._digits()
        if not whole:
            self._no_number()
        following = self._peek()
        if following == ".":
            return self._ended(self._decimal(whole))
        if following == "/":
            return self._ended(self._over(whole))
        if following in VULGAR_FRACTIONS:
            self.at += 1
            return self._ended(int(whole) + VULGAR_FRACTIONS[following])
        if following in (" ", "-") and self._peek(1) in _NUMBER_STARTS:
            return self._ended(self._mixed(int(whole), following))
        return self._ended(Fraction(int(whole)))

    def _decimal(self, whole: str) -> Fraction:
        self.at += 1
        decimals = self._digits()
        if not decimals:
            self._refuse(
                f"{self._shown()}, with no digit after the decimal point",
                f"Write {whole}.0, or omit the point." if whole else "Write the number in digits.",
            )
        return Fraction(int(whole + decimals), 10 ** len(decimals))

    def _over(self, above: str) -> Fraction:
        """Read a fraction whose numerator has just been read; the slash comes next."""
        self.at += 1
        below = self._digits()
        if not below:
            self._refuse(
                f"{self._shown()}, with no whole number after the slash",
                "Write both parts of the fraction as whole numbers, such as 5/16.",
            )
        if int(below) == 0:
            self._refuse(
                f"{self._shown()}, a division by zero", "Write a figure other than zero after the slash."
            )
        return Fraction(int(above), int(below))

    def _mixed(self, whole: int, joint: str) -> Fraction:
        """Read the fraction after a whole number that has just been read; the space or hyphen comes next."""
        self.at += 1
        first = self._peek()
        if first in VULGAR_FRACTIONS:
            self.at += 1
            return whole + VULGAR_FRACTIONS[first]
        above = self._digits()
        if not above or self._peek() != "/":
            if joint == "-":
                self._refuse(
                    f"{self._shown()}, with a hyphen between two numbers",
                    "Write one number. A hyphen is allowed only before a fraction, as in 13-1/4.",
                )
            self._two_numbers()
        part = self._over(above)
        if part >= 1:
            total = whole + part
            rest = total - int(total)
            better = f"{int(total)} {rest}" if rest else f"{int(total)}"
            self._refuse(
                f"{self._shown()}, with a fraction of one or more after the whole number",
                f"Write {better} if that is what you mean.",
            )
        return whole + part

    def _ended(self, value: Fraction) -> Fraction:
        """Return the value if no further part of a number follows; otherwise report a fault."""
        following = self._peek()
        if following == ",":
            self._comma()
        if following in ("e", "E") and (self._peek(1) in _DIGITS or self._peek(1) in ("+", "-")):
            self._refuse(
                f"{self._shown()}, with an exponent", "Write the number in full, without an exponent."
            )
        if following in _NUMBER_STARTS or following == "/":
            self._refuse(
                f"{self._shown()}, with an unfinished number",
                "Write a decimal, 13.25, or a whole number and a fraction, 13 1/4.",
            )
        if following == " " and self._peek(1) in _NUMBER_STARTS:
            self._two_numbers()
        return value

    # Units

    def _unit(self) -> Unit:
        self._skip_space()
        if self.at == len(self.text):
            examples = joined([f'"{self.text} {unit}"' for unit in self._units()[:2]], "or")
            self._refuse(
                f"{self._shown()}, a number without a unit", f"Add the unit, for instance {examples}."
            )
        unit = self._unit_among(self.wanted)
        if unit is None:
            self._unit_refused()
        return unit

    def _unit_among(self, dimensions: tuple[Dimension, ...]) -> Unit | None:
        """Read the unit with the longest spelling that matches at this position; None if no unit matches."""
        for length in range(min(LONGEST_SPELLING, len(self.text) - self.at), 0, -1):
            spelling = self.text[self.at : self.at + length]
            unit = BY_SPELLING.get(spelling)
            if unit is None:
                unit = BY_FOLDED.get(spelling.casefold())
            if unit is not None and unit.dimension in dimensions and self._unit_ends(length, unit):
                self.at += length
                return unit
        return None

    def _unit_ends(self, length: int, unit: Unit) -> bool:
        following = self._peek(length)
        if following in ("", " "):
            return True
        # "5ft6", "4lb14", 5'-6": a number may touch the unit before it only if it is allowed to follow that unit.
        return bool(unit.follower) and (
            following in _NUMBER_STARTS or (following == "-" and self._peek(length + 1) in _NUMBER_STARTS)
        )

    def _second_part(self, first: Fraction, unit: Unit) -> Fraction:
        """Read the part after a unit, in SI: inches after feet, ounces after pounds; anything else is a fault."""
        place = self.at
        if self._peek() in (" ", "-"):
            self.at += 1
        if self._peek() not in _NUMBER_STARTS:
            self.at = place
            self._after_unit()
        if unit.follower is None:
            self._two_units(first, unit, place)
        follower = BY_SYMBOL[unit.follower]
        number = self._number()
        self._skip_space()
        if self.at < len(self.text):
            found = self._unit_among((unit.dimension,))
            if found is not follower or self.at < len(self.text):
                self._refuse(
                    f'{self._shown()}, which does not end with "{follower.symbol}" after "{unit.symbol}"',
                    f'Only "{follower.symbol}" may follow "{unit.symbol}", with nothing after it.',
                )
        if first.denominator != 1:
            self._refuse(
                f'{self._shown()}, with "{follower.symbol}" after a fraction of {unit.symbol}',
                f"Write a whole number of {unit.symbol} before {follower.symbol}, or use only one unit.",
            )
        if number >= unit.in_one:
            carried = int(number) // unit.in_one
            rest = number - carried * unit.in_one
            self._refuse(
                f"{self._shown()}, with {unit.in_one} {follower.symbol} or more after {unit.symbol}",
                f"Write {int(first) + carried} {unit.symbol} {_plain_number(rest)} {follower.symbol} "
                "if that is what you mean.",
            )
        return number * follower.factor

    # Faults

    def _check_sense(self, value: Fraction, unit: Unit) -> None:
        if unit.dimension is Dimension.TEMPERATURE:
            if value < _COLDEST:
                self._refuse(
                    f"{self._shown()}, below absolute zero",
                    "Fix the number or the unit; nothing is colder than -273.15 C.",
                )
        elif value < 0 and not WORDS[unit.dimension].signed:
            self._refuse(f"{self._shown()}, below zero", "Remove the minus sign.")

    def _no_number(self) -> NoReturn:
        if self._peek() == ",":
            self._comma()
        self._refuse(
            f"{self._shown()}, which does not begin with a number",
            f"Write the number first and the unit after it, such as {self._example()}.",
        )

    def _comma(self) -> NoReturn:
        before, after = self.text[: self.at], self.text[self.at + 1 :]
        digits = 0
        while digits < len(after) and after[digits] in _DIGITS:
            digits += 1
        pointed = f"{before or '0'}.{after}"
        if digits == 0 or "," in after:
            remedy = "Use a decimal point, and no separator for thousands."
        elif digits == 3 and before.lstrip("+-").strip("0"):
            remedy = f"Write {before}{after} if the comma separates thousands, or {pointed} if it is a decimal comma."
        else:
            remedy = f"Write {pointed} with a decimal point."
        self._refuse(f"{self._shown()}, with a comma", remedy)

    def _two_numbers(self) -> NoReturn:
        closed = self.text
        while True:
            place = next(
                (i for i in range(1, len(closed) - 1) if closed[i] == " " and _touch_digits(closed, i)), None
            )
            if place is None:
                break
            closed = closed[:place] + closed[place + 1 :]
        better = f"Write {closed} if you mean one number" if closed != self.text else "Write one number"
        self._refuse(
            f"{self._shown()}, with two numbers side by side",
            f"{better}; a fraction needs a slash, as in 13 1/4.",
        )

    def _unit_refused(self) -> NoReturn:
        """Report text that has no unit of the required dimension, and suggest a fix."""
        rest = self.text[self.at :]
        other = self._unit_among(tuple(Dimension))
        if other is not None:
            self._refuse(f"{self._shown()}, which is {WORDS[other.dimension].noun}", f"{self._give()}.")
        if "," in rest:
            self._refuse(f"{self._shown()}, with a comma", f"Omit the comma: {self.text.replace(',', '')}.")
        if not (rest[0].isalpha() or rest[0] in "°%'\"‰"):
            self._refuse(
                f"{self._shown()}, with {quoted(rest[0])} after the number",
                f"Write a number and its unit, such as {self._example()}.",
            )
        word = rest.split(" ")[0]
        for ambiguous in (rest.casefold(), word.casefold()):
            if ambiguous in AMBIGUOUS:
                self._refuse(f"{self._shown()}, with the unit {quoted(word)}", AMBIGUOUS[ambiguous])
        self._refuse(f"{self._shown()}, with the unknown unit {quoted(rest, 20)}", self._nearest(rest, word))

    def _nearest(self, rest: str, word: str) -> str:
        from difflib import get_close_matches  # imported only if there is a fault

        known = {
            name.casefold(): unit.symbol
            for name, unit in BY_SPELLING.items()
            if unit.dimension in self.wanted
        }
        for text in (rest, word):
            near = get_close_matches(text.casefold(), known, n=1, cutoff=0.5)
            if near:
                return f"Did you mean {known[near[0]]}? {self._give()}."
        return f"{self._give()}."

    def _after_unit(self) -> NoReturn:
        rest = self.text[self.at :].strip(" ")
        self._refuse(
            f"{self._shown()}, with {quoted(rest, 20)} after the unit",
            "Write the number and its unit and nothing else.",
        )

    def _two_units(self, first: Fraction, unit: Unit, place: int) -> NoReturn:
        """Report a second number after a unit that allows none, or the two units in the wrong order."""
        leader = LEADERS.get(unit.symbol)
        before, after = self.text[:place], self.text[place:].strip(" ")
        if leader is not None and any(after.casefold().endswith(name) for name in leader.spellings):
            self._refuse(
                f"{self._shown()}, with the smaller unit first",
                f"Write the larger unit first: {after} {before.lstrip('+-')}.",
            )
        self._refuse(
            f"{self._shown()}, with two numbers",
            "Write it in one unit. Only feet with inches and pounds with ounces may be combined.",
        )

    def _refuse(self, read: str, remedy: str) -> NoReturn:
        raise QuantityError(
            read=read, expected=f"{self._nouns()} with its unit, such as {self._example()}", remedy=remedy
        )

    def _shown(self) -> str:
        return quoted(self.typed)

    def _nouns(self) -> str:
        return " or ".join(WORDS[each].noun for each in self.wanted)

    def _example(self) -> str:
        several = len(self.wanted) > 1
        texts = [text for each in self.wanted for text in WORDS[each].examples[: 1 if several else 2]]
        return joined([f'"{text}"' for text in texts], "or")

    def _units(self) -> list[str]:
        return [symbol for each in self.wanted for symbol in WORDS[each].units]

    def _give(self) -> str:
        return f"Give {self._nouns()} in {joined(self._units(), 'or')}"

    # Walking

    def _peek(self, ahead: int = 0) -> str:
        place = self.at + ahead
        return self.text[place] if place < len(self.text) else ""

    def _skip_space(self) -> None:
        if self._peek() == " ":
            self.at += 1

    def _digits(self) -> str:
        start = self.at
        while self.at < len(self.text) and self.text[self.at] in _DIGITS:
            self.at += 1
        return self.text[start : self.at]


def _touch_digits(text: str, place: int) -> bool:
    return text[place - 1] in _DIGITS and text[place + 1] in _DIGITS


def _plain_number(value: Fraction) -> str:
    return str(value.numerator) if value.denominator == 1 else f"{float(value):.10g}"
