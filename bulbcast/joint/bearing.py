"""Bearing pressure on the lead under the heads and washers of the joint's screws.

Lead creeps at room temperature, so a pressure that lasts for months must stay well below the lead's short-term strength.
Loads and allowables are used as given; this is not a classification calculation.
"""

from __future__ import annotations

import math

from bulbcast.bulb.cuts.washer import ring_area
from bulbcast.quantities.checked import require_not_negative, require_positive

CREEP_LIMIT = 1.0e6
"""Limit on sustained bearing pressure for lead of any grade, until a figure for 4 to 6 % antimony is found. [Pa]"""
CREEP_LIMIT_SOURCE = (
    "for lead of any grade, common practice. Cable-sheath lead keeps flowing at 1.7 MPa (245 psi) at room temperature "
    "and probably at less; up to 1.2 % antimony does not slow it (abstract of Flow Characteristics of Some Lead Cable "
    "Sheath at Temperatures above Atmospheric; also Smith and Howe, 1945)"
)


def spread_diameter(*, head: float, washer: float, thickness: float) -> float:
    """Diameter over which a washer spreads a screw head's force on the lead.

    A washer much wider than the head bends. The force is therefore assumed to spread at 45 degrees through the washer's
    thickness, but no further than its edge.

    Args:
        head: Diameter of the head. [m]
        washer: Outer diameter of the washer. [m]
        thickness: Thickness of the washer. [m]

    Returns:
        The diameter over which the force is spread. [m]

    References:
        The 45 degree spread under a plate: common practice, no source.
    """
    require_positive("The head's diameter", head, "m")
    require_positive("The washer's diameter", washer, "m")
    require_positive("The washer's thickness", thickness, "m")
    return min(washer, head + 2.0 * thickness)


def bearing_pressure(force: float, *, outer: float, hole: float) -> float:
    """Bearing pressure of a screw head or washer on the lead.

    Args:
        force: Force on this head: its share of the bulb's weight plus its preload. [N]
        outer: Diameter of the head or washer. [m]
        hole: Diameter of the hole in the lead. [m]

    Returns:
        The bearing pressure. [Pa]

    Raises:
        BoatFigureError: A figure is impossible.
    """
    require_not_negative("The force on the head", force, "N")
    return force / ring_area(outer, hole)


def outer_for(force: float, *, hole: float, limit: float) -> float:
    """Diameter that a head or washer needs to keep the bearing pressure within a limit.

    Args:
        force: Force on the head or washer. [N]
        hole: Diameter of the hole in the lead. [m]
        limit: Limit on the sustained bearing pressure. [Pa]

    Returns:
        sqrt(4 F / (pi p) + hole^2). [m]
    """
    return math.sqrt(4.0 * force / (math.pi * limit) + hole**2)


def largest_force(*, outer: float, hole: float, limit: float = CREEP_LIMIT) -> float:
    """Maximum force that a screw head may exert on the lead for months. Subtract the bulb's pull to find the preload.

    Args:
        outer: Diameter of the head or washer. [m]
        hole: Diameter of the hole in the lead. [m]
        limit: Limit on the sustained bearing pressure. [Pa]

    Returns:
        The maximum force. [N]

    Raises:
        BoatFigureError: A figure is impossible.
    """
    require_positive("The bearing limit", limit, "Pa")
    return limit * ring_area(outer, hole)
