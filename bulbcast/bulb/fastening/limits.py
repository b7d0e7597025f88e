"""Limits for the fastening: walls, threads and edges, each with its source.

If the fin's material is not given, the thread engagement for metal (2.5 diameters) is assumed, with a caution if wood
would need more.
"""

from __future__ import annotations

from bulbcast.quantities.frozen import frozen

# Walls: 3 mm on models, 10 mm on small craft. Common practice, no source.
SMALLEST_WALL_MODEL = 0.003
SMALLEST_WALL_SMALL_CRAFT = 0.010
SMALL_CRAFT_FROM = 40.0

# Thread above the pocket floor, in diameters: 2.5 in metal, 4 in wood and laminate.
# Common practice, no source.
ENGAGEMENT_METAL = 2.5
ENGAGEMENT_WOOD = 4.0

# A stud's length in the lead, in its diameters, and a cross pin's on each side of the fin. Common practice,
# no source: 4 to 5 diameters against pull-out from lead; a pin bears across.
ENGAGEMENT_LEAD = 4.0
GRIP_IN_DIAMETERS = 1.5

# Fin between a cross pin and the fin's edges, in diameters. Common practice, no source.
EDGE_IN_DIAMETERS = 1.0

# Fin left on each side of a screw: the larger of a length and a fraction of the hole. Less than the first limit is not
# allowed; less than the second falls short of good practice. Common practice, no source.
EDGE_LEAST, EDGE_LEAST_IN_HOLES = 0.0005, 0.1
EDGE_GOOD, EDGE_GOOD_IN_HOLES = 0.001, 0.2


@frozen
class ScrewNeeds:
    """Limits for one screw. Lengths in m.

    Attributes:
        wall: Lead required round the hole, recess and seat.
        thread: Thread required above the pocket floor.
        edge_allowed: Minimum thickness of fin allowed beside the shank.
        edge_good: Thickness of fin beside the shank that good practice requires.
    """

    wall: float
    thread: float
    edge_allowed: float
    edge_good: float


def smallest_wall(asked: float | None, bulb_mass: float) -> float:
    """Wall required: the plan's figure, or one that depends on the mass of the bulb.

    Args:
        asked: The plan's figure, or None. [m]
        bulb_mass: Hung mass. [kg]

    Returns:
        The wall required round every cut. [m]
    """
    if asked is not None:
        return asked
    return SMALLEST_WALL_SMALL_CRAFT if bulb_mass >= SMALL_CRAFT_FROM else SMALLEST_WALL_MODEL


def edge_allowed(hole: float) -> float:
    """Minimum thickness of fin on each side of a screw.

    Args:
        hole: Diameter of the screw hole. [m]

    Returns:
        The minimum thickness. [m]
    """
    return max(EDGE_LEAST, EDGE_LEAST_IN_HOLES * hole)


def edge_good(hole: float) -> float:
    """Thickness of fin that good practice requires on each side of a screw.

    Args:
        hole: Diameter of the screw hole. [m]

    Returns:
        The thickness. [m]
    """
    return max(EDGE_GOOD, EDGE_GOOD_IN_HOLES * hole)


def engagement(asked: float | None, diameter: float, fin_material: str | None) -> float:
    """Thread required above the pocket floor.

    Args:
        asked: The plan's figure, or None. [m]
        diameter: Diameter of the screw. [m]
        fin_material: "metal", "wood", "laminate", or None if the plan does not say. In the last case the figure is that
            for metal, with a caution if wood would need more.

    Returns:
        Length of thread required in the fin. [m]
    """
    if asked is not None:
        return asked
    return diameter * (ENGAGEMENT_WOOD if fin_material in ("wood", "laminate") else ENGAGEMENT_METAL)
