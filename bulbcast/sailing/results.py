"""Results for the boat under sail."""

from __future__ import annotations

from typing import TYPE_CHECKING

from bulbcast.joint.results import JointResults
from bulbcast.quantities.frozen import frozen

if TYPE_CHECKING:
    # Loaded only where a plan has their section.
    from bulbcast.sailing.fineness import FinenessBeside
    from bulbcast.sailing.work import Standing


@frozen
class SailingResults(JointResults):
    """All results up to the pattern.

    Attributes:
        standing: How she stands up to the wind; None without a boat, or where it was not asked for.
        fineness: The bulb compared with others; None where its fineness is usual.
    """

    standing: Standing | None = None
    fineness: FinenessBeside | None = None
