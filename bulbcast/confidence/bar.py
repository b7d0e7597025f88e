"""A test bar, which shows how the metal behaves in the mould before a bulb is cast.

It is moulded like the bulb and poured from the same pot. Its smaller face is measured on the pattern and on the casting.
Weighed in air and in water, it also gives the density. The result is logged and improves the next plan with the same
metal and mould.
"""

from __future__ import annotations

import math
from datetime import date

import numpy as np

from bulbcast.confidence.inputs import Inputs, pattern_error
from bulbcast.materials.alloys import density_of_weighed_sample
from bulbcast.plan.sections import Plan
from bulbcast.quantities.frozen import frozen
from bulbcast.solids.kernel import tower
from bulbcast.solids.mesh import Mesh
from bulbcast.solids.quadrature import Array

LENGTH, WIDTH, HEIGHT = 0.140, 0.018, 0.015
"""Length and width of the smaller face, and distance between the two faces. The length suits a common 150 mm caliper. [m]"""
DRAFT = math.radians(1.0)
"""Draft of all four sides. One millimetre from the smaller face, the length differs by 0.03 mm. [rad]"""
CALIPER = 0.05e-3
"""Standard deviation of a length measured with a caliper at the smaller face. Judgement. [m]"""
SMALL_SCALE = 0.5e-3
"""Standard deviation of the bar's mass as weighed, if none is given. Judgement. [kg]"""


@frozen
class BarReadings:
    """Measurements of a test bar, each with its standard deviation.

    Attributes:
        cast: Length of the casting's smaller face. [m]
        pattern: Length of the pattern's face; None means as drawn. [m]
        in_air: Mass; None if not weighed. [kg]
        in_water: Scale reading with the bar under water; None if not weighed. [kg]
        water: Density of that water. [kg/m3]
        when: Date of the measurement.
        typed: Options as typed, by name.
    """

    cast: tuple[float, float]
    pattern: tuple[float, float] | None
    in_air: tuple[float, float] | None
    in_water: tuple[float, float] | None
    water: float
    when: date
    typed: tuple[tuple[str, str], ...]


@frozen
class BarSays:
    """Results from a test bar alone, with standard deviations.

    Attributes:
        readings: Readings on which the results are based.
        contraction: Contraction of the metal, if the mould's growth is as planned. [-]
        density: Density of the sound metal, if its porosity is as planned; None unless the bar was weighed both in air
            and in water. [kg/m3]
    """

    readings: BarReadings
    contraction: tuple[float, float]
    density: tuple[float, float] | None


def bar_mesh() -> Mesh:
    """Solid of the bar with its larger face down, as on a moulding board or a printer's bed, in m."""
    return tower([_ring(HEIGHT, 0.0), _ring(0.0, HEIGHT)])


def _ring(from_smaller: float, level: float) -> Array:
    """Return the corners of a section, counter-clockwise as seen from above."""
    along, across = _half(LENGTH, from_smaller), _half(WIDTH, from_smaller)
    return np.array(
        [[-along, -across, level], [along, -across, level], [along, across, level], [-along, across, level]]
    )


def _half(side: float, from_smaller: float) -> float:
    return 0.5 * side + from_smaller * math.tan(DRAFT)


def bar_volume() -> tuple[float, float]:
    """Volume [m3] and height of its centre above the larger face [m], by Simpson's rule, exact for a prismatoid."""
    heights = np.array([0.0, 0.5, 1.0]) * HEIGHT
    areas = np.array([4.0 * _half(LENGTH, HEIGHT - z) * _half(WIDTH, HEIGHT - z) for z in heights.tolist()])
    weights = np.array([1.0, 4.0, 1.0]) * HEIGHT / 6.0
    volume = float(weights @ areas)
    return volume, float(weights @ (areas * heights)) / volume


def bar_says(plan: Plan, inputs: Inputs, readings: BarReadings) -> BarSays:
    """Calculate the results from a test bar.

    Args:
        plan: Plan with the same metal, mould and pattern-making method.
        inputs: Inputs of that plan.
        readings: Readings as measured.

    Raises:
        WeighedSampleError: The weighings are impossible for this kind of metal.
    """
    face, scale, _ = pattern_error(plan)
    # The error of an unmeasured pattern includes those of both its ends and that of the scale of all lengths.
    drawn = (LENGTH, math.hypot(math.sqrt(2.0) * face, scale * LENGTH))
    made, made_sd = drawn if readings.pattern is None else readings.pattern
    cold, cold_sd = readings.cast
    contraction = (1.0 + inputs.mould.value) * made / cold - 1.0
    off = math.hypot(made_sd / made, cold_sd / cold)
    density = None
    if readings.in_air is not None and readings.in_water is not None:
        (air, air_sd), (under, under_sd) = readings.in_air, readings.in_water
        sound = 1.0 - inputs.porosity.value
        metal = density_of_weighed_sample(
            in_air=air,
            in_water=under,
            water_density=readings.water,
            sample_porosity=inputs.porosity.value,
        )
        # d(rho)/rho: the loss of weight is in the denominator, and the mass in air is in both the numerator and the
        # denominator.
        loss = air - under
        share = math.hypot(under * air_sd / (air * loss), under_sd / loss)
        density = (metal, metal * math.hypot(share, inputs.porosity.sd / sound))
    return BarSays(readings=readings, contraction=(contraction, (1.0 + contraction) * off), density=density)
