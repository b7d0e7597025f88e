"""What is known of the boat under sail."""

from __future__ import annotations

from typing import TYPE_CHECKING

from bulbcast.joint.results import JointResults
from bulbcast.quantities.frozen import frozen

if TYPE_CHECKING:
    # Loaded where a plan has their section.
    from bulbcast.sailing.fineness import FinenessBeside
    from bulbcast.sailing.work import Standing


@frozen
class SailingResults(JointResults):
    """All that is known before the pattern.

    Attributes:
        standing: How she stands up to the wind; None without a boat, or where it was not asked for.
        fineness: The bulb beside others; None where its fineness is a usual one.
    """

    standing: Standing | None = None
    fineness: FinenessBeside | None = None
