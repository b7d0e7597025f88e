"""Shop rules for the contraction of lead: alternatives that a plan can name, never the default.

Each is shown with the change of mass that it would cause, because builders find these rules in every old book.
"""

from __future__ import annotations

from fractions import Fraction
from functools import cache

from bulbcast.materials.tables import table
from bulbcast.quantities.frozen import frozen

_INCHES_PER_FOOT = 12


@frozen
class ShopRule:
    """A pattern-maker's allowance as printed in trade books.

    Attributes:
        name: Name marked on the shrink rule, such as "5/16 in per foot".
        ratio: Exact contraction per unit of the cold length: 5/16 in over 12 in is 5/192. [-]
        contraction: The same ratio as a float. [-]
        source: Table in which it is printed.
    """

    name: str
    ratio: Fraction
    contraction: float
    source: str


@cache
def shop_rules() -> tuple[ShopRule, ...]:
    """Return the shop rules for lead, smallest contraction first."""
    rules = []
    for row in table("shop_rules")["rule"]:
        ratio = Fraction(row["inches"]) / _INCHES_PER_FOOT
        rules.append(ShopRule(name=row["name"], ratio=ratio, contraction=float(ratio), source=row["source"]))
    return tuple(rules)


def mass_change(contraction_taken: float, own_contraction: float) -> float:
    """Calculate the increase in the cast mass if the pattern allows for a different contraction.

    (1 + taken)^3 / (1 + own)^3 - 1: the pattern is enlarged by the first factor, and the metal contracts by the second.

    Args:
        contraction_taken: Contraction that the pattern allows for. [-]
        own_contraction: Contraction of the metal. [-]

    Returns:
        Change of the cast mass as a fraction; positive if the casting is heavier. [-]
    """
    return ((1.0 + contraction_taken) / (1.0 + own_contraction)) ** 3 - 1.0
