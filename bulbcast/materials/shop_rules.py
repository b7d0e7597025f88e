"""Shop rules for the contraction of lead: named alternatives, never the default.

They are shown with the mass each would cost, since a builder will meet them in every old book.
"""

from __future__ import annotations

from fractions import Fraction
from functools import cache

from bulbcast.materials.tables import table
from bulbcast.quantities.frozen import frozen

_INCHES_PER_FOOT = 12


@frozen
class ShopRule:
    """A pattern-maker's allowance as the trade prints it.

    Attributes:
        name: As it stands on the rule, such as "5/16 in per foot".
        ratio: Contraction per unit of the cold length, exactly: 5/16 in 12 in is 5/192. [-]
        contraction: The same as a float. [-]
        source: The table it is printed in.
    """

    name: str
    ratio: Fraction
    contraction: float
    source: str


@cache
def shop_rules() -> tuple[ShopRule, ...]:
    """The shop rules for lead, the smaller first."""
    rules = []
    for row in table("shop_rules")["rule"]:
        ratio = Fraction(row["inches"]) / _INCHES_PER_FOOT
        rules.append(ShopRule(name=row["name"], ratio=ratio, contraction=float(ratio), source=row["source"]))
    return tuple(rules)


def mass_change(contraction_taken: float, own_contraction: float) -> float:
    """By how much the casting comes out heavier if the pattern allows for another contraction.

    (1 + taken)^3 / (1 + own)^3 - 1: the pattern is larger by one factor, the metal still
    contracts by its own.

    Args:
        contraction_taken: What the pattern allows for. [-]
        own_contraction: What the metal does. [-]

    Returns:
        Change of the cast mass as a fraction of it; above zero is heavier. [-]
    """
    return ((1.0 + contraction_taken) / (1.0 + own_contraction)) ** 3 - 1.0
