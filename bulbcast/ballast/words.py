"""Wording for sinkage, trim and directions along the boat, shared by all reports."""

from __future__ import annotations

from bulbcast.hull.trimming import Flotation
from bulbcast.quantities import Shown


def estimated(flotation: Flotation | None, shown: Shown) -> str:
    """Return the accuracy of a trim that depends on an estimated metacentric radius; "" for any other trim.

    Args:
        flotation: Flotation on the design waterline; None if not known.
        shown: The builder's units.
    """
    if flotation is None or flotation.band == 0.0:
        return ""
    return f", estimated to within {shown.percent(flotation.band)}"


def way(distance: float) -> str:
    """Return the direction of a distance along the boat, given in metres."""
    return "aft" if distance > 0.0 else "forward"


def deeper(sinkage: float) -> str:
    """Return "deeper" or "higher" for a sinkage, given in metres."""
    return "deeper" if sinkage > 0.0 else "higher"


def by_end(trim: float, shown: Shown) -> str:
    """Return the wording for a trim, given in metres, including which end is down."""
    return f"{shown.length(abs(trim))} by the {'stern' if trim > 0.0 else 'bow'}"
