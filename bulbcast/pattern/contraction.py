"""Contraction: how much larger the pattern is than the cold casting, and what a wrong rule costs.

Contraction is linear, free, from the solidus to 20 degC, and given per unit of the cold length,
as a shrink rule is divided.
"""

from __future__ import annotations

from bulbcast.materials.shop_rules import ShopRule, mass_change, shop_rules
from bulbcast.quantities.frozen import frozen


@frozen
class RuleCost:
    """What a shop rule would do to this casting, were it used for the pattern.

    Attributes:
        rule: The rule, with its source.
        scale: Pattern over cold casting by that rule. [-]
        mass_change: Cast mass more than planned, as a fraction of it. [-]
    """

    rule: ShopRule
    scale: float
    mass_change: float


def pattern_scale(contraction: float, mould_expansion: float) -> float:
    """Pattern over cold cast body: (1 + contraction) / (1 + mould expansion).

    The cavity at the pour is the pattern grown by the mould's expansion, and the casting when it
    leaves the solidus is as large as the cavity.

    Args:
        contraction: Linear, per unit of the cold length. [-]
        mould_expansion: Net growth of the cavity from pattern to pour; below zero it shrinks. [-]

    Returns:
        [-]
    """
    return (1.0 + contraction) / (1.0 + mould_expansion)


def rule_costs(own_contraction: float, mould_expansion: float) -> tuple[RuleCost, ...]:
    """The shop rules, each with the mass it would cost against the contraction the pattern has.

    Args:
        own_contraction: What the pattern allows for as planned. [-]
        mould_expansion: As planned. [-]

    Returns:
        One line a rule, the smaller rule first.
    """
    return tuple(
        RuleCost(
            rule=rule,
            scale=pattern_scale(rule.contraction, mould_expansion),
            mass_change=mass_change(rule.contraction, own_contraction),
        )
        for rule in shop_rules()
    )
