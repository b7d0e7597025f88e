"""Numbers of the NACA four-digit section for unit chord and thickness: area, centroid, stiffness.

Half thickness y = t (a0 x^(1/2) + a1 x + a2 x^2 + a3 x^3 + a4 x^4), x in chords. Every integral of
x^k y^n is a finite sum over the products of its terms, so nothing here is a quadrature.
"""

from __future__ import annotations

import itertools
import math
from functools import lru_cache

import numpy as np

from bulbcast.quantities.frozen import frozen
from bulbcast.solids.monotone import monotone_cubic

_POWERS = (0.5, 1.0, 2.0, 3.0, 4.0)

Coefficients = tuple[float, float, float, float, float]

# NACA four-digit thickness form, half thickness over thickness, published (open) coefficients.
# Source: NACA TR-460 (1933); NASA TM-4741 (1996). The published 0.2969, -0.1260, -0.3516, 0.2843,
# -0.1015 are for t/c = 0.2 and stand here times five.
# Powers of x: 1/2, 1, 2, 3, 4.
FOUR_DIGIT_COEFFICIENTS = (1.4845, -0.6300, -1.7580, 1.4215, -0.5075)

# NACA modified four-digit form: slope at the trailing edge by place of the largest thickness.
# Source: NACA TR-492 (1934); NASA TM-4741 (1996).
MODIFIED_TRAILING_SLOPES = {0.2: 1.000, 0.3: 1.170, 0.4: 1.575, 0.5: 2.325, 0.6: 3.500}

_BLUNT_END = 0.105
"""What each end of a flat bar takes from its torsion constant, over the fourth power of its thickness: half of the
0.63 / 3 of a rectangle. Saint-Venant; Timoshenko and Goodier, Theory of Elasticity, from memory."""


@frozen
class SectionNumbers:
    """What a section of chord c and nominal thickness t comes to.

    Attributes:
        area: Area over t c. [-]
        centroid: Of the area, aft of the leading edge, over c. [-]
        across: Second moment about the chord line over c t^3: bending to port and starboard. [-]
        along: Second moment about the centroid's athwart axis over t c^3: bending fore and aft. [-]
        modulus: Section modulus about the chord line over c t^2. [-]
        torsion: Torsion constant of a solid section over c t^3 as t / c goes to 0, four times `across`. [-]
        torsion_slope: What its finite thickness takes from that: 3 int y^3 y'^2 / int y^3. [-]
        flexural_axis: Where a load bends without twisting, over c: int x y^3 / int y^3. [-]
        half_thickness: Largest, over t; a little above the nominal half. [-]
        max_at: Where that is, over c. [-]
        blunt: Fourth powers of the thicknesses of blunt ends, over t^4. [-]
    """

    area: float
    centroid: float
    across: float
    along: float
    modulus: float
    torsion: float
    torsion_slope: float
    flexural_axis: float
    half_thickness: float
    max_at: float
    blunt: float = 0.0


@lru_cache(maxsize=8)
def section_numbers(coefficients: Coefficients = FOUR_DIGIT_COEFFICIENTS) -> SectionNumbers:
    """The section's numbers as exact sums.

    Args:
        coefficients: Of x^(1/2), x, x^2, x^3, x^4, half thickness over thickness; left out: the
            published open trailing edge. [-]

    Returns:
        The numbers, all for unit chord and thickness.

    References:
        Coefficients: NACA TR-460 (1933), NASA TM-4741 (1996). Sums derived here. The flexural axis is the
        usual estimate for a slender solid section (thin-section theory, derived here); it holds for one
        isotropic material.
    """
    area = 2.0 * _integral(coefficients, 0, 1)
    centroid = 2.0 * _integral(coefficients, 1, 1) / area
    cubed = _integral(coefficients, 0, 3)
    max_at = _largest_at(coefficients)
    half = _half_thickness(coefficients, max_at)
    across = 2.0 * cubed / 3.0
    return SectionNumbers(
        area=area,
        centroid=centroid,
        across=across,
        along=2.0 * _integral(coefficients, 2, 1) - area * centroid**2,
        modulus=across / half,
        torsion=4.0 * across,
        torsion_slope=3.0 * _cubed_times_slope_squared(coefficients) / cubed,
        flexural_axis=_integral(coefficients, 1, 3) / cubed,
        half_thickness=half,
        max_at=max_at,
    )


def modified_coefficients(
    max_at: float, nose_index: float, slope: float
) -> tuple[tuple[float, float, float, float], tuple[float, float, float, float]]:
    """Coefficients of the NACA modified four-digit form, half thickness over thickness.

    Args:
        max_at: Place of the largest thickness. [-]
        nose_index: Leading-edge index; the radius goes with its square; 6 gives the plain form. [-]
        slope: At the trailing edge, divided by thickness over chord. [-]

    Returns:
        (a0..a3) of sqrt(x), x, x^2, x^3 forward and (d0..d3) of powers of 1 - x aft. [-]

    References:
        NACA TR-492 (1934); NASA TM-4741 (1996): y = 1/2, slope 0 and equal curvature at max_at.
    """
    m, w = max_at, 1.0 - max_at
    d0, d1 = 0.01, slope
    d2 = (3.0 * (0.5 - d0) - 2.0 * d1 * w) / w**2
    d3 = (d1 * w - 2.0 * (0.5 - d0)) / w**3
    bend = 2.0 * d2 + 6.0 * d3 * w
    a0 = 1.4845 * nose_index / 6.0
    a1, a2, a3 = np.linalg.solve(
        np.array([[m, m**2, m**3], [1.0, 2.0 * m, 3.0 * m**2], [0.0, 2.0, 6.0 * m]]),
        np.array([0.5 - a0 * m**0.5, -a0 / (2.0 * m**0.5), bend + a0 / (4.0 * m**1.5)]),
    )
    return (a0, float(a1), float(a2), float(a3)), (d0, d1, d2, d3)


def trailing_slope(max_at: float) -> float:
    """Slope at the trailing edge of the modified four-digit form for any place of its largest thickness.

    Args:
        max_at: 0.2 to 0.6. [-]

    Returns:
        The published one at the five published places; between them a shape-preserving cubic through these. [-]
    """
    places, slopes = (np.array(each) for each in zip(*MODIFIED_TRAILING_SLOPES.items(), strict=True))
    return monotone_cubic(places, slopes, max_at)


def torsion_constant(chord: float, thickness: float, numbers: SectionNumbers | None = None) -> float:
    """Torsion constant of a solid section.

    Args:
        chord: [m]
        thickness: Nominal. [m]
        numbers: Of the section; None: of the four-digit one.

    Returns:
        4 I / (1 + k (t / c)^2), k = 1.574 for the four-digit section, less what blunt ends take. Within 0.05 % of
        finite elements up to a thickness of an eighth of the chord, below them by 0.4 % at a quarter: the safe side.
        Plates from 2 % below them, with round edges, to 0.5 % above. [m4]

    References:
        Saint-Venant torsion; Prandtl's stress function by Rayleigh and Ritz with the one trial function
        a (Y(x)^2 - y^2), exact for an ellipse. Derived here. The handbooks' form for any slender solid section,
        4 I / (1 + 16 I / (A c^2)), is the same with a k of 0.920 and 1 to 3 % higher.
    """
    numbers = section_numbers() if numbers is None else numbers
    thin = numbers.torsion * chord * thickness**3
    ends = _BLUNT_END * numbers.blunt * thickness**4
    return thin / (1.0 + numbers.torsion_slope * (thickness / chord) ** 2) - ends


def _integral(coefficients: Coefficients, x_power: int, y_power: int) -> float:
    """Integral of x^k y^n from 0 to 1, product by product."""
    terms = tuple(zip(coefficients, _POWERS, strict=True))
    return math.fsum(
        math.prod(a for a, _ in chosen) / (x_power + math.fsum(p for _, p in chosen) + 1.0)
        for chosen in itertools.product(terms, repeat=y_power)
    )


def _cubed_times_slope_squared(coefficients: Coefficients) -> float:
    """Integral of y^3 y'^2 from 0 to 1, product by product."""
    terms = tuple(zip(coefficients, _POWERS, strict=True))
    slopes = tuple((a * p, p - 1.0) for a, p in terms)
    return math.fsum(
        math.prod(a for a, _ in chosen) / (math.fsum(p for _, p in chosen) + 1.0)
        for chosen in itertools.product(terms, terms, terms, slopes, slopes)
    )


def _half_thickness(coefficients: Coefficients, x: float) -> float:
    return math.fsum(a * x**p for a, p in zip(coefficients, _POWERS, strict=True))


def _largest_at(coefficients: Coefficients) -> float:
    """Where dy/dx is zero, by bisection: it falls steadily between these bounds."""
    low, high = 0.2, 0.4
    for _ in range(60):
        middle = 0.5 * (low + high)
        slope = math.fsum(a * p * middle ** (p - 1.0) for a, p in zip(coefficients, _POWERS, strict=True))
        low, high = (middle, high) if slope > 0.0 else (low, middle)
    return 0.5 * (low + high)
