"""Results for the boat under sail."""

from __future__ import annotations

from typing import TYPE_CHECKING

from bulbcast.joint.results import JointResults
from bulbcast.quantities.frozen import frozen

if TYPE_CHECKING:
    # Loaded only if the plan has their section.
    from bulbcast.sailing.fineness import FinenessBeside
    from bulbcast.sailing.work import Standing


@frozen
class SailingResults(JointResults):
    """All results that are calculated before the pattern.

    Attributes:
        standing: Results on stability and sailing; None without a boat, or if not requested.
        fineness: Comparison of the bulb with typical bulbs; None if its fineness is typical.
    """

    standing: Standing | None = None
    fineness: FinenessBeside | None = None
