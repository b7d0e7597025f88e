"""What is known once the pattern is sized."""

from __future__ import annotations

from bulbcast.pattern.allowances import Pattern
from bulbcast.pattern.cast_body import CastBody
from bulbcast.pattern.contraction import RuleCost
from bulbcast.pattern.made import MadePattern
from bulbcast.quantities.frozen import frozen
from bulbcast.sailing.results import SailingResults


@frozen
class PatternResults(SailingResults):
    """The bulb as it is cast, and its pattern.

    Attributes:
        cast: The cast body.
        pattern: The pattern with its ledger.
        rules: What other shops' contraction rules would do to the mass.
        made: What a finished pattern will cast; None where the plan gives none.
    """

    cast: CastBody
    pattern: Pattern
    rules: tuple[RuleCost, ...]
    made: MadePattern | None = None
