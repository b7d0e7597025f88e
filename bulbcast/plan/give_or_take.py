"""Values typed with their standard deviation, such as "0.98 +- 0.35 %", "2.45 kg +- 20 g" or "11.1 g/cm3 +- 0.5 %"."""

from __future__ import annotations

import re

from bulbcast.quantities import Dimension, QuantityError, quoted, read_quantity

_MARK = re.compile(r"\s*(?:\+-|\+/-|\u00b1)\s*")
_BARE = re.compile(r"[-+]?[\d.][\d./]*")
_UNIT = re.compile(r"[-+\d./ ]*(?P<unit>\D.*)?")
_LARGEST_SHARE = 0.25
"""Largest standard deviation of a mass or density, as a fraction of it. A larger one is a slip, or the value is not
known. Judgement."""


def taken_apart(typed: str) -> tuple[str, str]:
    """Split text into a value and the figure after "+-", each with its unit; if one has no unit, it gets the other's.

    Args:
        typed: Text as written in the file. [-]

    Returns:
        Value and standard deviation; the latter is "" if none was typed. [-]
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
    """Read a standard deviation and check it against its value.

    Args:
        spread: Text with its unit, or a percentage of the value. [-]
        value: Value that it belongs to. [SI]
        dimension: Dimension of the value. [-]

    Returns:
        One standard deviation. [SI]

    Raises:
        QuantityError: It is not a quantity of this dimension, is below zero, or is too large to mean anything.
    """
    if spread.endswith("%") and dimension is not Dimension.RATIO:
        found = read_quantity(spread, Dimension.RATIO) * abs(value)
    else:
        found = read_quantity(spread, dimension)
    if found < 0.0:
        raise QuantityError(
            read=f"the standard deviation {quoted(spread)}, below zero",
            expected="a standard deviation of zero or more",
            remedy="Remove its minus sign.",
        )
    if dimension in (Dimension.MASS, Dimension.DENSITY) and found > _LARGEST_SHARE * abs(value):
        raise QuantityError(
            read=f"the standard deviation {quoted(spread)}, more than a quarter of the value itself",
            expected="a standard deviation of at most a quarter of the value",
            remedy="Check its unit, or measure the value more accurately first.",
        )
    return found
