"""Results for the pattern, once it is sized."""

from __future__ import annotations

from bulbcast.pattern.allowances import Pattern
from bulbcast.pattern.cast_body import CastBody
from bulbcast.pattern.contraction import RuleCost
from bulbcast.pattern.made import MadePattern
from bulbcast.quantities.frozen import frozen
from bulbcast.sailing.results import SailingResults


@frozen
class PatternResults(SailingResults):
    """The bulb with its cast body and pattern.

    Attributes:
        cast: The cast body.
        pattern: The pattern with its ledger.
        rules: Effects of other shops' contraction rules on the mass.
        made: Results for a finished pattern; None if the plan gives none.
    """

    cast: CastBody
    pattern: Pattern
    rules: tuple[RuleCost, ...]
    made: MadePattern | None = None
