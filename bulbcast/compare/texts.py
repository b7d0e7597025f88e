"""Exact values between two typed values, written so that a builder can read them and the program can read them back
exactly.

A range is divided into exact fractions in the unit of its first end: "2 1/3 kg", not "2.3333333 kg". Each row
therefore corresponds exactly to a plan that a builder could type.
"""

from __future__ import annotations

from fractions import Fraction

from bulbcast.quantities import UNITS, Unit

_MOST_DECIMALS = 9
_IN_FRACTIONS = ("in", "ft", "yd", "lb", "oz")
_FINEST_FRACTION = 64


def text_of(number: Fraction, unit: Unit, *, compound: bool = False) -> str:
    """Write an exact number with its unit, as a builder would type it.

    Args:
        number: Number in the given unit. [-]
        unit: Unit in which to write it. [-]
        compound: Whether to write whole larger units first, as in "4 lb 14 oz". [-]

    Returns:
        "2.25 kg", "13 1/4 in", "2 1/3 kg" or "4 lb 14 oz", for example.
    """
    leader = next((each for each in UNITS if each.follower == unit.symbol), None)
    if compound and leader is not None and abs(number) >= leader.in_one:
        whole, rest = divmod(abs(number), leader.in_one)
        tail = f" {_number(rest, unit)} {unit.symbol}" if rest else ""
        return f"{'-' if number < 0 else ''}{whole} {leader.symbol}{tail}"
    return f"{_number(number, unit)} {unit.symbol}"


def decimal_of(number: Fraction) -> str | None:
    """Write a number as a plain decimal, if nine decimals are enough.

    Args:
        number: The number. [-]

    Returns:
        A string such as "4.5"; None if the decimal would be longer.
    """
    scaled = number * 10**_MOST_DECIMALS
    if scaled.denominator != 1:
        return None
    whole, decimals = divmod(abs(scaled.numerator), 10**_MOST_DECIMALS)
    tail = f"{decimals:0{_MOST_DECIMALS}d}".rstrip("0")
    return f"{'-' if number < 0 else ''}{whole}{'.' if tail else ''}{tail}"


def readable(number: Fraction) -> bool:
    """Return whether a number is short when written exactly, either with few decimals or as a fraction marked on a rule.

    Args:
        number: The number. [-]

    Returns:
        False if a rounded decimal is easier to read than the exact text.
    """
    return len(decimal_of(number) or "1" * 99) <= 9 or _off_a_rule(number)


def _number(number: Fraction, unit: Unit) -> str:
    if unit.symbol in _IN_FRACTIONS and number.denominator > 1 and _off_a_rule(number):
        return _mixed(number)
    return decimal_of(number) or _mixed(number)


def _off_a_rule(number: Fraction) -> bool:
    below = number.denominator
    return below <= _FINEST_FRACTION and below & (below - 1) == 0


def _mixed(number: Fraction) -> str:
    whole, rest = divmod(abs(number), 1)
    figure = f"{rest.numerator}/{rest.denominator}"
    return f"{'-' if number < 0 else ''}{f'{whole} ' if whole else ''}{figure}"
