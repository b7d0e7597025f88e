"""A washer under a screw head, and the ring of lead on which it bears.

If the diameter of a washer hole is not given, the hole is assumed to be as wide as the one in the lead. The gap
between the washer and the shank counts as bedding.
"""

from __future__ import annotations

import math

from bulbcast.quantities.checked import BoatFigureError, require_not_negative, require_positive, shown
from bulbcast.quantities.frozen import frozen


@frozen
class Washer:
    """Dimensions and density of a washer under a screw head.

    Attributes:
        diameter: [m]
        hole_diameter: [m]
        thickness: [m]
        density: [kg/m3]

    Raises:
        BoatFigureError: A figure is not physically possible.
    """

    diameter: float
    hole_diameter: float
    thickness: float
    density: float

    def __post_init__(self) -> None:
        require_positive("The washer's diameter", self.diameter, "m")
        require_positive("The washer hole", self.hole_diameter, "m")
        require_positive("The washer's thickness", self.thickness, "m")
        require_positive("The washer's density", self.density, "kg/m3")
        ring_area(self.diameter, self.hole_diameter)

    @property
    def area(self) -> float:
        """Area of the washer's ring. [m2]"""
        return ring_area(self.diameter, self.hole_diameter)

    @property
    def volume(self) -> float:
        """Volume of the ring. [m3]"""
        return self.area * self.thickness

    @property
    def mass(self) -> float:
        """Mass of the washer. [kg]"""
        return self.density * self.volume


def ring_area(outer: float, hole: float) -> float:
    """Area on which a head or washer bears.

    Args:
        outer: Diameter of the head or washer. [m]
        hole: Diameter of the hole under it. [m]

    Returns:
        The area. [m2]

    Raises:
        BoatFigureError: The hole is at least as wide as the head.
    """
    require_positive("The head's diameter", outer, "m")
    require_not_negative("The hole's diameter", hole, "m")
    if hole >= outer:
        raise BoatFigureError(
            f"A head or washer of {shown(outer, 'm')} would pass through a hole of {shown(hole, 'm')}. Use a larger head, "
            "a wider or thicker washer, or a smaller hole."
        )
    return 0.25 * math.pi * (outer**2 - hole**2)
