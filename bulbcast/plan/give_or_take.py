"""A value typed with its standard deviation: "0.98 +- 0.35 %", "2.45 kg +- 20 g", "11.1 g/cm3 +- 0.5 %"."""

from __future__ import annotations

import re

from bulbcast.quantities import Dimension, QuantityError, quoted, read_quantity

_MARK = re.compile(r"\s*(?:\+-|\+/-|\u00b1)\s*")
_BARE = re.compile(r"[-+]?[\d.][\d./]*")
_UNIT = re.compile(r"[-+\d./ ]*(?P<unit>\D.*)?")
_LARGEST_SHARE = 0.25
"""Of a mass, a density: a standard deviation beyond it is a slip, or nothing is known of the value. Judgement."""


def taken_apart(typed: str) -> tuple[str, str]:
    """A value and what stands behind "+-", each with its unit: where one of them has none it is the other's.

    Args:
        typed: As it stands in the file. [-]

    Returns:
        Value, and standard deviation; the latter is "" where none was typed. [-]
    """
    parts = _MARK.split(typed.strip())
    if len(parts) != 2:
        return typed, ""
    value, spread = parts
    units = [found["unit"] or "" if (found := _UNIT.fullmatch(one)) else "" for one in parts]
    if _BARE.fullmatch(value):
        value = f"{value} {units[1]}".strip()
    if _BARE.fullmatch(spread):
        spread = f"{spread} {units[0]}".strip()
    return value, spread or "?"


def spread_within(spread: str, *, value: float, dimension: Dimension) -> float:
    """A standard deviation as read, held against its value.

    Args:
        spread: With its unit, or in per cent of the value. [-]
        value: That it belongs to. [SI]
        dimension: Of the value. [-]

    Returns:
        One standard deviation. [SI]

    Raises:
        QuantityError: It is no such quantity, below zero, or too large to say anything.
    """
    if spread.endswith("%") and dimension is not Dimension.RATIO:
        found = read_quantity(spread, Dimension.RATIO) * abs(value)
    else:
        found = read_quantity(spread, dimension)
    if found < 0.0:
        raise QuantityError(
            read=f"the standard deviation {quoted(spread)}, below zero",
            expected="a standard deviation of zero or more",
            remedy="Take its minus sign away.",
        )
    if dimension in (Dimension.MASS, Dimension.DENSITY) and found > _LARGEST_SHARE * abs(value):
        raise QuantityError(
            read=f"the standard deviation {quoted(spread)}, more than a quarter of the value itself",
            expected="a standard deviation of a quarter of the value at most",
            remedy="See whether its unit is the one meant; or measure the value more closely first.",
        )
    return found
