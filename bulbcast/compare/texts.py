"""Exact values between two typed ones, written so that a builder can read them and the reader reads them exactly.

A range is divided in exact fractions of the first end's unit, "2 1/3 kg" and not "2.3333333 kg", so that a row is
exactly the plan that would be typed.
"""

from __future__ import annotations

from fractions import Fraction

from bulbcast.quantities import UNITS, Unit

_MOST_DECIMALS = 9
_IN_FRACTIONS = ("in", "ft", "yd", "lb", "oz")
_FINEST_FRACTION = 64


def text_of(number: Fraction, unit: Unit, *, compound: bool = False) -> str:
    """A number with its unit as a builder types it, exact.

    Args:
        number: Number in that unit. [-]
        unit: Unit to write it in. [-]
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
    """A number as a plain decimal, if nine places are enough.

    Args:
        number: Any. [-]

    Returns:
        "4.5", for example; None where the decimal would be longer.
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
