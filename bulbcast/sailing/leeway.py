"""Side force and leeway of the fin, with lift slopes from published formulas, and the fin needed for a given leeway.

A fin under a hull works like half of a wing with twice its span, because the hull's bottom acts as a mirror. Its
effective aspect ratio is 2 b^2 / S. Lift is assumed proportional to the angle, which is true up to about 8 or 10 degrees
(common practice, no source). A bulb at the tip adds some lift, which no formula here includes.

Leeway is given at hull speed for the exposed fin alone, with the hull as a mirror. The rudder, bulb and hull are not
counted. Findings use the slope of Whicker and Fehlner, which is the lower of the two.
"""

from __future__ import annotations

import math

from bulbcast.fin.foil import Foil
from bulbcast.quantities.checked import (
    BoatFigureError,
    require_finite,
    require_not_negative,
    require_positive,
)
from bulbcast.quantities.frozen import frozen

STEEPEST_SWEEP = math.radians(60.0)
"""Sweep beyond which none of the formulas is used. Our judgement."""

HELMBOLD = "helmbold"
WHICKER_FEHLNER = "whicker-fehlner"
FORMULAS = (HELMBOLD, WHICKER_FEHLNER)


def effective_aspect_ratio(foil: Foil, *, mirror: bool = True) -> float:
    """Effective aspect ratio of the fin.

    Args:
        foil: The exposed fin.
        mirror: Whether a hull closes the upper end. If not, the foil is a complete wing. [-]

    Returns:
        2 b^2 / S with the mirror, b^2 / S without it. [-]
    """
    return (2.0 if mirror else 1.0) * foil.span**2 / foil.area


def helmbold(aspect_ratio: float) -> float:
    """Lift slope of an unswept wing of any aspect ratio.

    Args:
        aspect_ratio: Effective aspect ratio. [-]

    Returns:
        2 pi A / (2 + sqrt(4 + A^2)), per radian; pi A / 2 for small A. [1/rad]

    Raises:
        BoatFigureError: The aspect ratio is not above 0.

    References:
        H. B. Helmbold, 1942; formula from memory.
    """
    require_positive("The aspect ratio", aspect_ratio, "")
    return 2.0 * math.pi * aspect_ratio / (2.0 + math.sqrt(4.0 + aspect_ratio**2))


def whicker_fehlner(aspect_ratio: float, sweep: float = 0.0) -> float:
    """Lift slope of a low-aspect-ratio control surface, fitted to measurements.

    Args:
        aspect_ratio: Effective aspect ratio. [-]
        sweep: Sweep of the quarter-chord line. [rad]

    Returns:
        1.8 pi A / (1.8 + cos L sqrt(A^2 / cos^4 L + 4)), per radian. [1/rad]

    Raises:
        BoatFigureError: The aspect ratio is not above 0, or the sweep is more than 60 degrees.

    References:
        L. F. Whicker and L. F. Fehlner, DTMB report 933 (1958); formula from memory.
    """
    require_positive("The aspect ratio", aspect_ratio, "")
    cosine = _cosine(sweep)
    return 1.8 * math.pi * aspect_ratio / (1.8 + cosine * math.sqrt(aspect_ratio**2 / cosine**4 + 4.0))


def lift_slope(formula: str, aspect_ratio: float, sweep: float = 0.0) -> float:
    """Lift slope by a named formula.

    Args:
        formula: "helmbold", which ignores sweep, or "whicker-fehlner". [-]
        aspect_ratio: Effective aspect ratio. [-]
        sweep: Sweep of the quarter-chord line. [rad]

    Returns:
        Lift slope per radian. [1/rad]

    Raises:
        BoatFigureError: The arguments are outside the formula's range, or no formula has that name.
    """
    if formula == HELMBOLD:
        return helmbold(aspect_ratio)
    if formula == WHICKER_FEHLNER:
        return whicker_fehlner(aspect_ratio, sweep)
    raise BoatFigureError(
        f'There is no lift slope formula called "{formula}". Give "{HELMBOLD}" or "{WHICKER_FEHLNER}".'
    )


def leeway(
    *,
    side_force: float,
    speed: float,
    area: float,
    slope: float,
    water_density: float,
    heel: float = 0.0,
) -> float:
    """Leeway at which the fin carries the side force.

    Args:
        side_force: Side force perpendicular to the fin's plane, just as the sail's force is perpendicular to the mast.
            [N]
        speed: Speed through the water. [m/s]
        area: Area of one side of the fin. [m2]
        slope: Lift slope. [1/rad]
        water_density: Density of the water. [kg/m3]
        heel: Heel, below 90 degrees. Heel reduces the angle at which the fin meets the sideways flow by a factor
            cos(heel). [rad]

    Returns:
        F / (1/2 rho V^2 S a cos(heel)). [rad]

    Raises:
        BoatFigureError: A figure is not above 0, or the heel is out of range.
    """
    require_not_negative("The side force", side_force, "N")
    holding = _holding(speed, slope, water_density)
    require_positive("The fin's area", area, "m2")
    if not abs(heel) < 0.5 * math.pi:
        raise BoatFigureError(
            f"The heel is {math.degrees(heel):g} degrees, but a fin produces side force only below 90 degrees. Give the "
            "heel at which the boat sails."
        )
    return side_force / (holding * area * math.cos(heel))


@frozen
class FinForLeeway:
    """Three fins that would carry the side force at the given leeway, according to one formula.

    Attributes:
        same_shape_area: Area of a fin of the same shape. [m2]
        same_shape_span: Span of a fin of the same shape. [m]
        same_span_area: Area of a fin with the present span and other chords; None if no chord is long enough. [m2]
        same_chord_area: Area of a fin with the present chords, deeper or shallower. [m2]
        same_chord_span: Span of a fin with the present chords. [m]
    """

    same_shape_area: float
    same_shape_span: float
    same_span_area: float | None
    same_chord_area: float
    same_chord_span: float


def fin_for_leeway(
    foil: Foil,
    *,
    limit: float,
    side_force: float,
    speed: float,
    water_density: float,
    formula: str = WHICKER_FEHLNER,
) -> FinForLeeway:
    """Calculate three alternative fins that would carry the side force at a given leeway with the boat upright.

    A longer chord on the same span lowers the aspect ratio. For a fin of span b under a mirror, area times lift slope
    cannot exceed about pi b^2 per radian, whatever the chord. A deeper fin has no such limit. Helmbold's slope is
    solved for sqrt(A^2 + 4) in one step, that of Whicker and Fehlner as a quadratic.

    Args:
        foil: The exposed fin, for its span, mean chord and sweep. The sweep is not changed.
        limit: Leeway allowed. [rad]
        side_force: Side force to be carried. [N]
        speed: Speed through the water. [m/s]
        water_density: Density of the water. [kg/m3]
        formula: "helmbold" or "whicker-fehlner". [-]

    Returns:
        Areas and spans of the fins.

    Raises:
        BoatFigureError: A figure is not above 0, or no formula has that name.
    """
    require_positive("The leeway allowed", limit, "rad")
    require_positive("The side force", side_force, "N")
    sweep = foil.quarter_chord_sweep
    # Required area times slope, S a.
    needed = side_force / (_holding(speed, 1.0, water_density) * limit)
    same_shape = needed / lift_slope(formula, effective_aspect_ratio(foil), sweep)
    deep = _span_of(formula, sweep, foil.mean_chord, needed)
    return FinForLeeway(
        same_shape_area=same_shape,
        same_shape_span=foil.span * math.sqrt(same_shape / foil.area),
        same_span_area=_area_of(formula, sweep, foil.span, needed),
        same_chord_area=deep * foil.mean_chord,
        same_chord_span=deep,
    )


def _area_of(formula: str, sweep: float, span: float, needed: float) -> float | None:
    """Area that makes S a(2 b^2 / S) as large as needed for a given span; None if no area can."""
    if formula == HELMBOLD:
        root, cosine = 4.0 * math.pi * span**2 / needed - 2.0, 1.0
    else:
        cosine = _cosine(sweep)
        root = (3.6 * math.pi * span**2 / needed - 1.8) / cosine
    if root <= 2.0:
        return None
    return 2.0 * span**2 / (cosine**2 * math.sqrt(root**2 - 4.0))


def _span_of(formula: str, sweep: float, chord: float, needed: float) -> float:
    """Span that makes b c a(2 b / c) as large as needed for a given mean chord."""
    if formula == HELMBOLD:
        root, cosine = 2.0 + needed / (math.pi * chord**2), 1.0
    else:
        cosine = _cosine(sweep)
        # 0.9 pi c^2 cos^4 (r^2 - 4) = needed (1.8 + cos r)
        scale = needed / (0.9 * math.pi * chord**2 * cosine**4)
        half = 0.5 * scale * cosine
        root = half + math.sqrt(half**2 + 4.0 + 1.8 * scale)
    return 0.5 * chord * cosine**2 * math.sqrt(root**2 - 4.0)


def _holding(speed: float, slope: float, water_density: float) -> float:
    """Side force per square metre of fin and radian of leeway."""
    require_positive("The speed", speed, "m/s")
    require_positive("The lift slope", slope, "1/rad")
    require_positive("The density of the water", water_density, "kg/m3")
    return 0.5 * water_density * speed**2 * slope


def _cosine(sweep: float) -> float:
    require_finite("The sweep", sweep, "rad")
    if abs(sweep) > STEEPEST_SWEEP:
        raise BoatFigureError(
            f"The quarter-chord line is swept {math.degrees(sweep):g} degrees, but the formula is used only up to 60 "
            "degrees. Give the fin less sweep."
        )
    return math.cos(sweep)
