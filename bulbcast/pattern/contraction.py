"""Contraction: the ratio of pattern to cold casting, and the effect of using the wrong shop rule.

Contraction is unrestrained and linear. It is the contraction from the solidus to 20 degC relative to the cold length,
as on a shrink rule.
"""

from __future__ import annotations

from bulbcast.materials.shop_rules import ShopRule, mass_change, shop_rules
from bulbcast.quantities.frozen import frozen


@frozen
class RuleCost:
    """Effect on this casting of using a shop rule for the pattern.

    Attributes:
        rule: The rule, with its source.
        scale: Ratio of pattern to cold casting according to that rule. [-]
        mass_change: Change in cast mass as a fraction of the planned mass. [-]
    """

    rule: ShopRule
    scale: float
    mass_change: float


def pattern_scale(contraction: float, mould_expansion: float) -> float:
    """Return the ratio of pattern to cold cast body: (1 + contraction) / (1 + mould expansion).

    When the metal is poured, the cavity is the pattern enlarged by the mould's expansion. At the solidus, the casting
    is the same size as the cavity.

    Args:
        contraction: Linear contraction per unit of the cold length. [-]
        mould_expansion: Net growth of the cavity from pattern to pour; negative if it shrinks. [-]

    Returns:
        Scale. [-]
    """
    return (1.0 + contraction) / (1.0 + mould_expansion)


def rule_costs(own_contraction: float, mould_expansion: float) -> tuple[RuleCost, ...]:
    """Return the shop rules, each with the change in mass that it causes compared with the planned contraction.

    Args:
        own_contraction: Contraction that the planned pattern allows for. [-]
        mould_expansion: Expansion of the mould as planned. [-]

    Returns:
        One entry for each rule, in ascending order.
    """
    return tuple(
        RuleCost(
            rule=rule,
            scale=pattern_scale(rule.contraction, mould_expansion),
            mass_change=mass_change(rule.contraction, own_contraction),
        )
        for rule in shop_rules()
    )
