"""Exact values between two typed ones, written so that a builder can read them and the reader reads them exactly.

A range is divided in exact rationals of the first end's unit, "2 1/3 kg" and not "2.3333333 kg", so that a row
is the very plan that would be typed.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from bulbcast.quantities import UNITS, Dimension, Unit, read_quantity_of

# Finer than any rule or scale; a typed decimal of six places is found again exactly.
_LARGEST_DENOMINATOR = 10**6
_MOST_DECIMALS = 9
_IN_FRACTIONS = ("in", "ft", "yd", "lb", "oz")
_FINEST_FRACTION = 64


@dataclass(frozen=True, slots=True, kw_only=True)
class TypedQuantity:
    """A typed quantity taken apart.

    Attributes:
        dimension: Of it.
        number: In `unit`, exact.
        unit: The last unit typed, a compound's smaller one.
        compound: Whether a larger unit stood before it, as in "4 lb 14 oz".
        si: As the reader reads it. [SI unit of the dimension]
    """

    dimension: Dimension
    number: Fraction
    unit: Unit
    compound: bool
    si: float

    @property
    def exact(self) -> Fraction:
        """The value, exact. [SI unit of the dimension]"""
        return self.number * self.unit.factor + self.unit.offset


def typed_quantity(text: str, dimensions: tuple[Dimension, ...]) -> TypedQuantity:
    """Read a quantity and find its unit and its exact number again.

    Args:
        text: As typed. [-]
        dimensions: Those that will do. [-]

    Returns:
        The quantity; its number is the one rational with a denominator to a million that rounds to what was
        read, or else what was read itself.

    Raises:
        QuantityError: The text is not a quantity of any of the dimensions.
    """
    dimension, si = read_quantity_of(text, dimensions)
    unit, compound = _unit_of(text, dimension)
    number = (Fraction(si) - unit.offset) / unit.factor
    near = number.limit_denominator(_LARGEST_DENOMINATOR)
    if float(near * unit.factor + unit.offset) == si:
        number = near
    return TypedQuantity(dimension=dimension, number=number, unit=unit, compound=compound, si=si)


def text_of(number: Fraction, unit: Unit, *, compound: bool = False) -> str:
    """A number with its unit as a builder types it, exact.

    Args:
        number: In the unit. [-]
        unit: To write it in. [-]
        compound: Write whole larger units first, as in "4 lb 14 oz". [-]

    Returns:
        Such as "2.25 kg", "13 1/4 in", "2 1/3 kg", "4 lb 14 oz".
    """
    leader = next((each for each in UNITS if each.follower == unit.symbol), None)
    if compound and leader is not None and abs(number) >= leader.in_one:
        whole, rest = divmod(abs(number), leader.in_one)
        tail = f" {_number(rest, unit)} {unit.symbol}" if rest else ""
        return f"{'-' if number < 0 else ''}{whole} {leader.symbol}{tail}"
    return f"{_number(number, unit)} {unit.symbol}"


def decimal_of(number: Fraction) -> str | None:
    """A number as a plain decimal where it has one of at most nine places.

    Args:
        number: Any. [-]

    Returns:
        Such as "4.5"; None where the decimal would not end soon enough.
    """
    scaled = number * 10**_MOST_DECIMALS
    if scaled.denominator != 1:
        return None
    whole, decimals = divmod(abs(scaled.numerator), 10**_MOST_DECIMALS)
    tail = f"{decimals:0{_MOST_DECIMALS}d}".rstrip("0")
    return f"{'-' if number < 0 else ''}{whole}{'.' if tail else ''}{tail}"


def readable(number: Fraction) -> bool:
    """Whether a number is short when written exactly: a few decimals, or a fraction off a rule.

    Args:
        number: Any. [-]

    Returns:
        False where a rounded decimal reads better than the exact text.
    """
    below = number.denominator
    return len(decimal_of(number) or "1" * 99) <= 9 or (
        below <= _FINEST_FRACTION and below & (below - 1) == 0
    )


def spread(first: Fraction, last: Fraction, count: int) -> tuple[Fraction, ...]:
    """Evenly spaced rationals, both ends in.

    Args:
        first: First of them. [-]
        last: Last of them. [-]
        count: How many, 2 at least. [-]

    Returns:
        The numbers, exact.
    """
    return tuple(first + (last - first) * i / (count - 1) for i in range(count))


def _number(number: Fraction, unit: Unit) -> str:
    below = number.denominator
    if unit.symbol in _IN_FRACTIONS and 1 < below <= _FINEST_FRACTION and below & (below - 1) == 0:
        return _mixed(number)
    return decimal_of(number) or _mixed(number)


def _mixed(number: Fraction) -> str:
    whole, rest = divmod(abs(number), 1)
    figure = f"{rest.numerator}/{rest.denominator}"
    return f"{'-' if number < 0 else ''}{f'{whole} ' if whole else ''}{figure}"


def _unit_of(text: str, dimension: Dimension) -> tuple[Unit, bool]:
    """The last unit of a text that has been read as this dimension, and whether a larger one precedes it."""
    folded = " ".join(text.translate(_QUOTES).split()).casefold()
    own = [unit for unit in UNITS if unit.dimension is dimension]
    found, length = None, 0
    for unit in own:
        for spelling in unit.spellings:
            if len(spelling) > length and folded.endswith(spelling.casefold()):
                found, length = unit, len(spelling)
    if found is None:
        # "4lb14": the smaller unit goes without saying.
        leader = next(each for each in own if each.follower and _holds(folded, each))
        return next(each for each in own if each.symbol == leader.follower), True
    larger = next((each for each in own if each.follower == found.symbol), None)
    return found, larger is not None and _holds(folded[:-length], larger)


def _holds(text: str, unit: Unit) -> bool:
    return any(spelling.casefold() in text for spelling in unit.spellings)


# The marks for feet and inches that word processors put in place of the plain ones.
_QUOTES = str.maketrans({"’": "'", "‘": "'", "′": "'", "”": '"', "“": '"', "″": '"', "º": "°"})
