"""What is known of how sure the casting is."""

from __future__ import annotations

from typing import TYPE_CHECKING

from bulbcast.pattern.results import PatternResults
from bulbcast.quantities.frozen import frozen

if TYPE_CHECKING:
    # Loaded where it is worked out.
    from bulbcast.confidence.work import Confidence


@frozen
class ConfidenceResults(PatternResults):
    """The pattern, and how sure its casting is.

    Attributes:
        confidence: Band, aim and drilling; None in a study, which does without.
    """

    confidence: Confidence | None = None
