"""Screw threads: geometry, stripping force, pull-out from wood, and strength of bonded rods.

Metric threads follow ISO 68-1, with the stress area of ISO 898-1. Every strength is an input. A thread in lead is never
counted on, because lead creeps at room temperature and a screw in it eventually works loose.
"""

from __future__ import annotations

import math
from itertools import pairwise

from bulbcast.materials.threads import _COARSE, COARSE_PITCHES
from bulbcast.quantities.checked import BoatFigureError, require_not_negative, require_positive, shown
from bulbcast.quantities.frozen import frozen

# Ratio of the height of the fundamental triangle to the pitch, ISO 68-1.
_TRIANGLE = 0.5 * math.sqrt(3.0)


WOOD_WITHDRAWAL = 15700.0 * 0.45359237 * 9.80665 / 0.0254**2
"""Factor of the wood-screw formula, 15 700 lbf/in2 in SI: 108.25 MPa. [Pa]"""

END_GRAIN_SHARE = 0.75
"""Ratio of withdrawal strength in end grain to that in side grain. It is somewhat erratic, on average 75 % if the wood
does not split (USDA Wood Handbook, FPL-GTR-190, chapter 8). A screw driven up into a wooden fin with its grain along
the span is in end grain. [-]"""

END_GRAIN_ADVICE = (
    "the National Design Specification for Wood Construction, 12.2, does not allow wood screws to be loaded in withdrawal "
    "from end grain; the Wood Handbook, FPL-GTR-190 chapter 8, calls their strength there erratic, on average 75 % of "
    "that in side grain"
)
"""Advice on wood screws pulled out of end grain, from published handbooks."""

WET_SHARE = 0.7
"""Ratio of the withdrawal strength of wood screws in wood that gets wet in service to that in dry wood. National Design
Specification for Wood Construction, wet service factors, from memory. [-]"""

_WOOD_SCREW_SIZES = (
    (0.5, 1, 6),
    (0.75, 2, 11),
    (1.0, 3, 12),
    (1.5, 5, 14),
    (2.0, 7, 16),
    (2.5, 9, 18),
    (3.0, 12, 20),
)
"""Screw lengths in inches, with the smallest and largest gauge for which the withdrawal formula is valid. Wood Handbook,
FPL-GTR-190, chapter 8, from memory."""

ENGAGED_AT_MOST = 1.5
"""Maximum length of thread engaged in metal that counts towards holding strength, in diameters. The first turns carry
most of the load. Common practice, no source. [-]"""

WOOD_DIVISOR = 6.0
"""Ratio of ultimate to working withdrawal strength of wood screws. The formula's source gives 5 to 6; the higher is used.
[-]"""

BONDED_SHEAR = 5.5e6
"""Design ultimate shear strength of high-density filled epoxy around a fastener, 800 psi; Epoxyworks, R. Monroe, "More on
hardware bonding". [Pa]"""

BONDED_DIVISOR = 4.0
"""Ratio of ultimate to working bond strength. The source's figures give 3 to 4; the higher is used. [-]"""


@frozen
class Thread:
    """Metric screw thread by its nominal size.

    Attributes:
        diameter: Nominal diameter. [m]
        pitch: Distance from one turn to the next. [m]

    Raises:
        BoatFigureError: A figure is not above 0, or the pitch is too coarse for the diameter.
    """

    diameter: float
    pitch: float

    def __post_init__(self) -> None:
        require_positive("The thread's diameter", self.diameter, "m")
        require_positive("The thread's pitch", self.pitch, "m")
        if self.core_diameter <= 0.0:
            raise BoatFigureError(
                f"A pitch of {shown(self.pitch, 'm')} leaves no core in a thread of {shown(self.diameter, 'm')}. The "
                "pitch is the distance from one turn to the next."
            )

    @property
    def pitch_diameter(self) -> float:
        """Pitch diameter d2 = d - 3/4 H = d - 0.64952 P. [m]"""
        return self.diameter - 0.75 * _TRIANGLE * self.pitch

    @property
    def minor_diameter(self) -> float:
        """Minor diameter D1 of the internal thread, d - 5/4 H = d - 1.08253 P. [m]"""
        return self.diameter - 1.25 * _TRIANGLE * self.pitch

    @property
    def core_diameter(self) -> float:
        """Minor diameter d3 of the screw, D1 - H / 6 = d - 1.22687 P. [m]"""
        return self.diameter - (1.25 + 1.0 / 6.0) * _TRIANGLE * self.pitch

    @property
    def stress_area(self) -> float:
        """Stress area At = pi/4 ((d2 + d3) / 2)^2, ISO 898-1. [m2]"""
        return 0.25 * math.pi * (0.5 * (self.pitch_diameter + self.core_diameter)) ** 2

    @property
    def core_area(self) -> float:
        """Area of the core, pi/4 d3^2, which carries shear where the thread crosses the joint. [m2]"""
        return 0.25 * math.pi * self.core_diameter**2


def coarse_thread(diameter: float) -> Thread:
    """Look up the metric coarse thread of a nominal diameter.

    Args:
        diameter: Nominal diameter, one of `COARSE_PITCHES`. [m]

    Returns:
        The thread.

    Raises:
        BoatFigureError: No coarse thread of that diameter is in the table.
    """
    pitch = COARSE_PITCHES.get(round(diameter, 7))
    if pitch is None:
        sizes = ", ".join(f"{size:g}" for size in _COARSE)
        raise BoatFigureError(
            f"No metric coarse thread of {shown(1e3 * diameter, 'mm')} is in the table. Give one of {sizes} mm, or give "
            "the pitch as well."
        )
    return Thread(diameter=diameter, pitch=pitch)


@frozen
class StripAreas:
    """Areas that must shear to strip a thread, over its engaged length. [m2]"""

    screw: float
    hole: float


def strip_areas(thread: Thread, engaged: float) -> StripAreas:
    """Calculate the areas that shear when a thread strips, from nominal diameters.

    Args:
        thread: Thread of the screw.
        engaged: Length of full thread in the hole. [m]

    Returns:
        0.75 pi D1 Le for the screw's thread, which strips in a harder hole; and 0.875 pi d Le for the hole's thread,
        which strips around a harder screw, as in a fin.

    Raises:
        BoatFigureError: The length is below 0.

    References:
        FED-STD-H28 form, pi n Le K [1/(2n) + 0.57735 (E - K)] and pi n Le d [1/(2n) + 0.57735 (d - E)]; with
        nominal diameters and 1/sqrt(3) for 0.57735 these are exact (derived here).
    """
    require_not_negative("The engaged length", engaged, "m")
    return StripAreas(
        screw=0.75 * math.pi * thread.minor_diameter * engaged,
        hole=0.875 * math.pi * thread.diameter * engaged,
    )


def pull_out(
    thread: Thread, engaged: float, shear_strength: float, *, screw_shear: float | None = None
) -> float:
    """Short-term force at which the weaker of the two threads, in the hole or on the screw, strips.

    Args:
        thread: Thread of the screw.
        engaged: Length of full thread in the hole that is counted; see `ENGAGED_AT_MOST`. [m]
        shear_strength: Shear strength of the material that holds the screw. [Pa]
        screw_shear: Shear strength of the screw; None if the screw is harder than that material. [Pa]

    Returns:
        The stripping force. [N]

    Raises:
        BoatFigureError: A figure is impossible.
    """
    require_positive("The shear strength", shear_strength, "Pa")
    areas = strip_areas(thread, engaged)
    hole = shear_strength * areas.hole
    if screw_shear is None:
        return hole
    require_positive("The screw's shear strength", screw_shear, "Pa")
    return min(hole, screw_shear * areas.screw)


def wood_withdrawal(
    *, specific_gravity: float, diameter: float, threaded: float, end_grain: bool = False, wet: bool = False
) -> float:
    """Ultimate withdrawal force of a wood screw.

    Args:
        specific_gravity: Specific gravity of the oven-dry wood, 0.1 to 1.2. [-]
        diameter: Diameter of the screw's shank. [m]
        threaded: Length of thread in the wood. [m]
        end_grain: Whether the screw runs along the grain. [-]
        wet: Whether the wood gets wet in service. [-]

    Returns:
        The force, 15 700 G^2 D L in lbf and inches for side grain of seasoned wood. It is multiplied by three quarters
        in end grain and by seven tenths in wet wood. Divide by `WOOD_DIVISOR` for use. [N]

    Raises:
        BoatFigureError: A figure is impossible.

    References:
        USDA Wood Handbook, FPL-GTR-190, chapter 8, for 15 700 G^2 D L and end grain. For wet wood, National Design
        Specification for Wood Construction, from memory.
    """
    if not 0.1 <= specific_gravity <= 1.2:
        raise BoatFigureError(
            f"The wood's specific gravity is {specific_gravity:g}; it must be between 0.1 and 1.2. Give the ratio of its "
            "dry density to that of water, about 0.35 for spruce."
        )
    require_positive("The screw's diameter", diameter, "m")
    require_not_negative("The threaded length", threaded, "m")
    held = WOOD_WITHDRAWAL * specific_gravity**2 * diameter * threaded
    return held * (END_GRAIN_SHARE if end_grain else 1.0) * (WET_SHARE if wet else 1.0)


def gauge_diameter(gauge: float) -> float:
    """Shank diameter of a wood screw from its gauge: 0.060 in plus 0.013 in times the gauge number.

    Args:
        gauge: Gauge number, such as 8. [-]

    Returns:
        The shank diameter. [m]

    References:
        ASME B18.6.1, as in the Wood Handbook's table of gauges, from memory: gauge 8 is 0.164 in.
    """
    return (0.060 + 0.013 * gauge) * 0.0254


def wood_screw_limits(length: float) -> tuple[float, float] | None:
    """Range of shank diameters for which the withdrawal formula is valid. A screw outside this range holds less than the
    formula says.

    Args:
        length: Length of the screw, under its head. [m]

    Returns:
        Smallest and largest diameter, interpolated between the lengths of the table [m]; None for a length outside the
        table.

    References:
        Wood Handbook, FPL-GTR-190, chapter 8, from memory.
    """
    # This turns a length typed in inches back into a round figure.
    inches = round(length / 0.0254, 9)
    for (short, low, high), (long, low_next, high_next) in pairwise(_WOOD_SCREW_SIZES):
        if short <= inches <= long:
            share = (inches - short) / (long - short)
            return (
                gauge_diameter(low + share * (low_next - low)),
                gauge_diameter(high + share * (high_next - high)),
            )
    return None


def bonded_pull_out(*, diameter: float, bonded: float, shear: float = BONDED_SHEAR) -> float:
    """Ultimate pull-out force of a rod or insert bonded in filled epoxy.

    Args:
        diameter: Diameter of the bonded surface. [m]
        bonded: Length of the bonded surface. [m]
        shear: Shear strength of the bond. [Pa]

    Returns:
        pi d L tau; divide by `BONDED_DIVISOR` for use. [N]

    Raises:
        BoatFigureError: A figure is impossible.

    References:
        Epoxyworks, R. Monroe, "More on hardware bonding": 800 psi.
    """
    require_positive("The bonded diameter", diameter, "m")
    require_not_negative("The bonded length", bonded, "m")
    require_positive("The bond's shear", shear, "Pa")
    return math.pi * diameter * bonded * shear
