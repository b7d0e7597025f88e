"""Net section of the fin's tip, less the screw holes, and its stresses under the loads on the bulb."""

from __future__ import annotations

import math
from collections.abc import Sequence

from bulbcast.fin.shape import numbers_of
from bulbcast.fin.tip_section import FinTip
from bulbcast.quantities.frozen import frozen


@frozen
class NetSection:
    """Section of the tip less its round holes, which run along the span with their axes in the chord plane.

    Attributes:
        area: Area of the section. [m2]
        centroid: Distance of the centroid aft of the leading edge. [m]
        across: Second moment about the chord line. [m4]
        along: Second moment about the centroid, for bending in the fin's plane. [m4]
        half_depth: Distance from the chord line to the extreme fibre. [m]
        chord: Chord of the tip. [m]
        share: Fraction of `across` that remains after drilling the holes. [-]
    """

    area: float
    centroid: float
    across: float
    along: float
    half_depth: float
    chord: float
    share: float

    def stress(self, *, across: float = 0.0, along: float = 0.0, pressed: float = 0.0) -> float:
        """Sum of the maximum stresses from the three loads. They do not all occur at the same point, so the sum is on the
        safe side.

        Args:
            across: Sideways bending moment, to port or starboard. [N m]
            along: Bending moment in the fin's plane. [N m]
            pressed: Compressive force along the span. [N]

        Returns:
            The sum of the stresses. [Pa]
        """
        reach = max(self.centroid, self.chord - self.centroid)
        return (
            abs(across) * self.half_depth / self.across
            + abs(along) * reach / self.along
            + abs(pressed) / self.area
        )


def net_section(tip: FinTip, holes: Sequence[tuple[float, float]]) -> NetSection:
    """Calculate the net section of the tip, less the screw holes.

    Args:
        tip: The fin's tip.
        holes: Distance aft of the leading edge, and diameter, of each hole. [m], [m]

    Returns:
        Properties of the net section. A hole wider than the fin is reported elsewhere as an error.

    References:
        Section coefficients of `numbers_of`, exact for the NACA four-digit form; classical formulas for circles and
            parallel axes.
    """
    numbers = numbers_of(tip.shape)
    chord, thick = tip.chord, tip.thickness
    whole_area, whole_at = numbers.area * chord * thick, numbers.centroid * chord
    cut = [(at, 0.25 * math.pi * wide**2, math.pi / 64.0 * wide**4) for at, wide in holes]
    area = whole_area - math.fsum(hole for _, hole, _ in cut)
    centroid = (whole_area * whole_at - math.fsum(at * hole for at, hole, _ in cut)) / area
    whole_across = numbers.across * chord * thick**3
    across = whole_across - math.fsum(own for _, _, own in cut)
    along = numbers.along * thick * chord**3 + whole_area * (whole_at - centroid) ** 2
    along -= math.fsum(own + hole * (at - centroid) ** 2 for at, hole, own in cut)
    return NetSection(
        area=area,
        centroid=centroid,
        across=across,
        along=along,
        half_depth=numbers.half_thickness * thick,
        chord=chord,
        share=across / whole_across,
    )
