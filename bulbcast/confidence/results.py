"""Results for the pattern, plus the confidence in the casting's mass."""

from __future__ import annotations

from typing import TYPE_CHECKING

from bulbcast.pattern.results import PatternResults
from bulbcast.quantities.frozen import frozen

if TYPE_CHECKING:
    # Loaded only when it is calculated.
    from bulbcast.confidence.work import Confidence


@frozen
class ConfidenceResults(PatternResults):
    """Results for the pattern, plus the confidence in the mass of its casting.

    Attributes:
        confidence: Band, aim and drilling; None in a study of variants, which does not need them.
    """

    confidence: Confidence | None = None
