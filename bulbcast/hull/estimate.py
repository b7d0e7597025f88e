"""Estimate of the longitudinal metacentric radius from a waterplane area and length, with its uncertainty band.

About its own centre of flotation, a waterplane of area A and length L has the second moment k A L^2, and longitudinal
BM is that divided by the displaced volume. k is the variance of the area's distribution along the length: 1/12 for a
box, 1/16 for an ellipse, 1/20 for two parabolas, 1/24 for two triangles. For hulls it depends on the fullness of the
ends. A word in the plan describes that fullness roughly; if the beam is known, the area as a fraction of length times
beam describes it more precisely. The bands come from eighteen families of waterlines whose entrance, largest beam and
transom vary as on real boats (tests/benchmarks/waterplane_fit.py), rounded up. Each band contains 95 of 100 waterlines
of every family. They apply to waterplanes whose area is 0.60 to 0.86 of length times beam.
tests/benchmarks/waterplanes.py checks them against families of other kinds.
"""

from __future__ import annotations

from bulbcast.hull.design_line import DesignLine
from bulbcast.quantities.frozen import frozen, replace

VERTICAL_PRISMATIC = 0.6
"""Displaced volume as a fraction of waterplane area times draught, assumed if the draught is not known; 0.5 to 0.7 for
yachts. Judgement. [-]"""
MASS_CENTRE_LEVEL = -0.10
"""Assumed height of the mass centre of boat and bulb, as a fraction of the waterline length, if it cannot be found
from the z of the weights. It is below the waterline for a boat with a deep bulb, and at the waterline for a boat
without one. Judgement. [-]"""
MASS_CENTRE_SPREAD = 0.08
"""Standard deviation of the assumed height of the mass centre, as a fraction of the waterline length. Judgement. [-]"""


FULLNESS = (0.60, 0.86)
"""Range of the ratio area / (length x beam) within which k is estimated from that ratio. [-]"""


@frozen
class Shape:
    """Type of waterplane, with its figures.

    Attributes:
        inertia: k, the second moment about the waterplane's centre divided by area and length squared. [-]
        band: Half width of the 19-in-20 band of k, as a fraction of k. [-]
        centre: Distance of the centre of flotation from the forward end, as a fraction of the length. [-]
        centre_spread: Standard deviation of that centre. [-]
        bare: Constant term of k if the fullness is known: k = `bare + slope * fullness`. [-]
        slope: Coefficient of the fullness in the formula for k. [-]
        band_by_fullness: Half width of the band of k from fullness, as a fraction of k. [-]
    """

    inertia: float
    band: float
    centre: float
    centre_spread: float
    bare: float
    slope: float
    band_by_fullness: float

    def inertia_and_band(self, fullness: float | None) -> tuple[float, float]:
        """Return k, and the half width of its band as a fraction of k. [-]

        Args:
            fullness: Area divided by length times beam; None if the beam is not known. [-]
        """
        if fullness is None or not FULLNESS[0] <= fullness <= FULLNESS[1]:
            return self.inertia, self.band
        return self.bare + self.slope * fullness, self.band_by_fullness


SHAPES = {
    "pointed": Shape(
        inertia=0.0541,
        band=0.25,
        centre=0.51,
        centre_spread=0.030,
        bare=-0.0072,
        slope=0.0864,
        band_by_fullness=0.16,
    ),
    "narrow-stern": Shape(
        inertia=0.0559,
        band=0.22,
        centre=0.535,
        centre_spread=0.033,
        bare=0.0063,
        slope=0.0702,
        band_by_fullness=0.16,
    ),
    "wide-stern": Shape(
        inertia=0.0595,
        band=0.19,
        centre=0.576,
        centre_spread=0.036,
        bare=0.0106,
        slope=0.0660,
        band_by_fullness=0.15,
    ),
}
ANY_SHAPE = Shape(
    inertia=0.0550,
    band=0.26,
    centre=0.547,
    centre_spread=0.045,
    bare=-0.0056,
    slope=0.0861,
    band_by_fullness=0.20,
)
"""Waterplane type used if the plan does not name one. Its band covers those of all three types."""


def metacentric_radius_along(inertia: float, *, area: float, length: float, volume: float) -> float:
    """Calculate the longitudinal BM of a waterplane.

    Args:
        inertia: k, the second moment divided by area and length squared. [-]
        area: Area of the waterplane. [m2]
        length: Length of the waterline. [m]
        volume: Volume displaced by the hull. [m3]

    Returns:
        I / V, the formula in Ship Stability for Masters and Mates. [m]
    """
    return inertia * area * length**2 / volume


def buoyancy_level(*, area: float, volume: float, draught: float | None) -> float:
    """Estimate the height of the centre of buoyancy by Morrish's formula, depth = (d / 2 + V / A) / 3.

    Args:
        area: Area of the waterplane. [m2]
        volume: Volume displaced by the hull. [m3]
        draught: Draught of the hull; None to use the typical draught for that volume. [m]

    Returns:
        The height in boat axes, negative below the waterline. [m]

    References:
        Morrish's approximation, in Rawson and Tupper, Basic Ship Theory; cited from memory.
    """
    depth = volume / area
    deep = depth / VERTICAL_PRISMATIC if draught is None else draught
    return -(0.5 * deep + depth) / 3.0


def estimated_mass_centre(line: DesignLine) -> tuple[float, float] | None:
    """Return the assumed height of the mass centre of boat and bulb if the weights do not give it, and its effect on the
    band.

    Args:
        line: Hull alone, with its longitudinal BM, given or estimated.

    Returns:
        The height, boat axes [m], and twice its standard deviation divided by BM [-]; None without the waterline's
        length or BM.
    """
    if line.length is None or line.bm_along is None:
        return None
    return MASS_CENTRE_LEVEL * line.length, 2.0 * MASS_CENTRE_SPREAD * line.length / line.bm_along


def with_estimates(line: DesignLine, shape: str | None) -> DesignLine:
    """Estimate, from the waterplane area and length, the figures that trim requires and the plan does not give.

    Args:
        line: Hull alone.
        shape: A word from `SHAPES`; None if the plan gives none. [-]

    Returns:
        The hull with its estimates; unchanged if the area or length is not known, if the displacement is that of the
        complete boat, or if longitudinal BM is known.
    """
    area, length = line.waterplane_area, line.length
    if area is None or length is None or line.all_up or line.bm_along is not None:
        return line
    kind = ANY_SHAPE if shape is None else SHAPES[shape]
    inertia, band = kind.inertia_and_band(None if line.beam is None else area / (length * line.beam))
    return replace(
        line,
        bm_along=metacentric_radius_along(inertia, area=area, length=length, volume=line.volume),
        flotation_x=kind.centre * length if line.flotation_x is None else line.flotation_x,
        buoyancy_z=buoyancy_level(area=area, volume=line.volume, draught=line.draught)
        if line.buoyancy_z is None
        else line.buoyancy_z,
        band=band,
        centre_spread=kind.centre_spread * length if line.flotation_x is None else 0.0,
    )
