"""Calculation of the excess mass and moment, and of their correction, from the readings of a float test.

A reading is the height of the water above the design line at a mark; negative if below. To first order the height of
the water at (x, y) is  sinkage + trim (x - xF) / L + heel y,  where trim by the stern and heel to starboard are
positive. The boat's mass is then the density of the test water times the sum of her volume at the line and the slice
that sinkage adds. Therefore

    excess mass = rho_t (V + Awp s) - rho_d V + missing - extra

with the densities rho_t of the test water and rho_d of the design water, the mass that was not aboard (missing), and the
mass that should not have been aboard (extra). The moment per unit of trim is for the boat as tested. It is that of the
complete boat, plus the vertical moments of the missing weights, less those of the extra weights.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from bulbcast.ballast.moving import MovableWeight, WeightMove, single_moves
from bulbcast.ballast.target import apparent_weight_factor
from bulbcast.ballast.weigh_in import Weight, moment_spread_about, weigh_in
from bulbcast.hull.trimming import Flotation
from bulbcast.quantities.checked import BoatFigureError, require_finite, shown


@dataclass(frozen=True, slots=True, kw_only=True)
class Mark:
    """Reading at one mark.

    Attributes:
        name: "bow", "stern", "port", "starboard" or another name.
        x: Position along the boat, boat axes. [m]
        y: Distance to starboard, boat axes. [m]
        above: Height of the water above the design line at the mark; negative if below. [m]

    Raises:
        BoatFigureError: A figure is not a number.
    """

    name: str
    x: float
    y: float
    above: float

    def __post_init__(self) -> None:
        require_finite(f'x of the mark "{self.name}"', self.x, "m")
        require_finite(f'y of the mark "{self.name}"', self.y, "m")
        require_finite(f'The reading at the mark "{self.name}"', self.above, "m")


@dataclass(frozen=True, slots=True, kw_only=True)
class FloatAttitude:
    """Attitude of the boat during the test. A value is None if the marks do not give it.

    Attributes:
        sinkage: Sinkage at the centre of flotation; deeper is positive. [m]
        trim: Trim over the waterline length; by the stern is positive. [m]
        heel: Heel; to starboard is positive. [rad]
        misfit: Maximum difference between a reading and the plane fitted to all of them; 0 if there are no more marks
            than unknowns. [m]
        sinkage_spread: Standard deviation of the sinkage, calculated from that of one reading. [m]
        trim_spread: Standard deviation of the trim. [m]
        heel_spread: Standard deviation of the heel; None if the heel is not known. [rad]
    """

    sinkage: float
    trim: float
    heel: float | None
    misfit: float
    sinkage_spread: float
    trim_spread: float
    heel_spread: float | None


def attitude_from_marks(
    marks: Sequence[Mark], flotation: Flotation, *, reading_spread: float = 0.0
) -> FloatAttitude:
    """Fit a plane to the readings, by least squares if there are more than needed.

    Marks on the centreline, or on one side only at different x, cannot separate heel from trim. Heel is then None, and
    every reading is treated as if on the centreline.

    Args:
        marks: At least two marks at different x, such as bow and stern. Port and starboard marks give the heel.
        flotation: The boat on her line.
        reading_spread: Standard deviation of one reading. [m]

    Returns:
        Sinkage, trim and heel, with the misfit of the readings.

    Raises:
        BoatFigureError: The marks do not give sinkage and trim.
    """
    x = np.array([(mark.x - flotation.flotation_x) / flotation.length for mark in marks])
    y = np.array([mark.y for mark in marks])
    if len(marks) < 2 or np.ptp(x) < 0.05:
        found = ", ".join(f"{mark.name} at x {shown(mark.x, 'm')}" for mark in marks) or "none"
        raise BoatFigureError(
            f"The marks do not separate sinkage from trim: {found}. Read at least one mark near the bow and one near the "
            "stern."
        )
    columns = [np.ones(len(marks)), x]
    beam = float(np.ptp(y))
    matrix = np.stack(columns, axis=1)
    with_heel = False
    if len(marks) >= 3 and beam > 0.0:
        heeled = np.stack([*columns, y / beam], axis=1)
        with_heel = int(np.linalg.matrix_rank(heeled, tol=1e-6)) == 3
        matrix = heeled if with_heel else matrix
    readings = np.array([mark.above for mark in marks])
    answer, *_ = np.linalg.lstsq(matrix, readings, rcond=None)
    covariance = np.diag(np.linalg.inv(matrix.T @ matrix))
    spreads = [reading_spread * math.sqrt(float(one)) for one in covariance]
    misfit = float(np.max(np.abs(matrix @ answer - readings))) if len(marks) > matrix.shape[1] else 0.0
    return FloatAttitude(
        sinkage=float(answer[0]),
        trim=float(answer[1]),
        heel=math.atan(float(answer[2]) / beam) if with_heel else None,
        misfit=misfit,
        sinkage_spread=spreads[0],
        trim_spread=spreads[1],
        heel_spread=spreads[2] / beam if with_heel else None,
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class FloatTest:
    """Results of a float test for the complete boat in the design water.

    Attributes:
        attitude: Attitude during the test.
        mass: Mass in excess of the displacement at the design line; negative if too light. [kg]
        mass_spread: Standard deviation of that mass, from the readings and from the missing and extra masses. [kg]
        moment: Moment of the excess mass about the centre of flotation; aft, which trims by the stern, is positive. [kg
            m]
        moment_spread: Standard deviation of that moment. [kg m]
        at_x: Position at which a single weight of that mass would account for both mass and moment, boat axes; None if
            the mass is negligible compared with the boat's. [m]
        across: Moment to starboard; None if heel was not read or there is no metacentric height. [kg m]
        trim: Trim of the complete boat in the design water; by the stern is positive. [m]
        sinkage: Sinkage of the complete boat in the design water; deeper is positive. [m]
    """

    attitude: FloatAttitude
    mass: float
    mass_spread: float
    moment: float
    moment_spread: float
    at_x: float | None
    across: float | None
    trim: float
    sinkage: float


def float_test(
    marks: Sequence[Mark],
    flotation: Flotation,
    *,
    test_density: float,
    missing: Sequence[Weight] = (),
    extra: Sequence[Weight] = (),
    reading_spread: float = 0.0,
) -> FloatTest:
    """Calculate the excess mass and moment from the marks.

    Args:
        marks: Readings at the marks.
        flotation: The boat on her design line in her design water.
        test_density: Density of the water during the test. [kg/m3]
        missing: Weights that belong aboard but were ashore.
        extra: Weights that were aboard but do not belong there.
        reading_spread: Standard deviation of one reading. [m]

    Returns:
        Excess mass and moment to first order, valid while the waterplane hardly changes.

    Raises:
        BoatFigureError: As for `attitude_from_marks`, or a weight has no position.
    """
    lay = attitude_from_marks(marks, flotation, reading_spread=reading_spread)
    ratio = test_density / flotation.water_density
    lacking, over = weigh_in(missing), weigh_in(extra)
    put_in = lacking.mass - over.mass
    away = [
        (one.moments[0] or 0.0, one.moments[1], one.moments[2] or 0.0)
        for one in (lacking, over)
        if not (one.without("x") or one.without("z"))
    ]
    if len(away) < 2:
        raise BoatFigureError(
            "A weight left ashore, or an extra weight aboard, has no position. Give its x and z."
        )
    about_flotation = away[0][0] - away[1][0] - put_in * flotation.flotation_x
    heavier_water = (test_density - flotation.water_density) * flotation.volume
    # Weights left ashore, or extra weights aboard, change the longitudinal stability, so their height matters.
    raised = away[0][2] - away[1][2]
    per_trim = flotation.moment_per_trim + raised / flotation.length
    mass = heavier_water + ratio * flotation.mass_per_immersion * lay.sinkage + put_in
    moment = (
        heavier_water * (flotation.buoyancy_x - flotation.flotation_x)
        + ratio * per_trim * lay.trim
        + about_flotation
    )
    per_heel = flotation.moment_per_heel
    across: float | None = None
    if lay.heel is not None and per_heel is not None:
        across = ratio * (per_heel + raised) * math.sin(lay.heel) + lacking.moments[1] - over.moments[1]
    return FloatTest(
        attitude=lay,
        mass=mass,
        mass_spread=math.hypot(
            ratio
            * flotation.mass_per_immersion
            * math.hypot(lay.sinkage_spread, lay.trim * flotation.centre_spread / flotation.length),
            math.hypot(lacking.mass_spread, over.mass_spread),
        ),
        moment=moment,
        moment_spread=math.hypot(
            # A 95 % band (19 in 20) extends two standard deviations to either side.
            math.hypot(
                ratio * per_trim * lay.trim_spread, 0.5 * flotation.band * ratio * per_trim * lay.trim
            ),
            moment_spread_about([*missing, *extra], flotation.flotation_x),
        ),
        at_x=flotation.flotation_x + moment / mass if abs(mass) > 1e-6 * flotation.mass else None,
        across=across,
        trim=moment / flotation.moment_per_trim,
        sinkage=mass / flotation.mass_per_immersion,
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Drilling:
    """Lead to be drilled out of the bulb, with the holes filled flush afterwards.

    Attributes:
        lead: Mass of lead removed. [kg]
        filler: Mass of filler put back. [kg]
        depth: Total depth of all the holes, at the drill's full diameter. [m]
        diameter: Diameter of the drill. [m]
        x: Position of the middle of the row of holes, boat axes; None if no position within the bulb corrects the trim
            too. [m]
        moment_left: Moment still needed after drilling at that position, or at the nearest end of the bulb; aft is
            positive. [kg m]
    """

    lead: float
    filler: float
    depth: float
    diameter: float
    x: float | None
    moment_left: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Adding:
    """Lead to add to the boat or the bulb.

    Attributes:
        inside: Mass of lead if laid inside the hull, where it displaces nothing. [kg]
        outside: Mass of lead if fixed to the bulb instead, where it displaces water. [kg]
        x: Position at which it corrects the trim too, boat axes; None if that is not within the boat's waterline. [m]
        moment_left: Moment still needed after lead is added at that position, or at the nearest end of the waterline;
            aft is positive. [kg m]
    """

    inside: float
    outside: float
    x: float | None
    moment_left: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Correction:
    """Corrections to make after the float test.

    Attributes:
        drilling: Lead to drill out if the boat is too heavy, or else None.
        adding: Lead to add if the boat is too light, or else None.
        moves: Alternative moves of a single weight, each of which on its own corrects the full moment, or as much of it
            as the weight's limits allow.
        moves_after: The same for the moment left after lead is drilled or added at the given position, or as near to it
            as possible.
    """

    drilling: Drilling | None
    adding: Adding | None
    moves: tuple[WeightMove, ...]
    moves_after: tuple[WeightMove, ...]


def correction(
    test: FloatTest,
    flotation: Flotation,
    *,
    lead_density: float,
    filler_density: float,
    drill_diameter: float,
    bulb_fore_x: float,
    bulb_aft_x: float,
    movable: Sequence[MovableWeight] = (),
) -> Correction:
    """Calculate corrections to mass and trim.

    A filled hole does not change the outside of the bulb, so the mass removed is the volume of the holes times the
    difference between the densities of lead and filler.

    Args:
        test: Results of the float test.
        flotation: The boat on her line.
        lead_density: Density of the bulb as cast. [kg/m3]
        filler_density: Density of the filler for the holes. [kg/m3]
        drill_diameter: Diameter of the drill. [m]
        bulb_fore_x: Forward end of the part of the bulb that may be drilled, boat axes. [m]
        bulb_aft_x: After end of the part that may be drilled. [m]
        movable: Weights that can be moved along the boat.

    Returns:
        Lead to drill or add, and moves of weights.

    Raises:
        BoatFigureError: The filler is not less dense than the lead.
    """
    factor = apparent_weight_factor(flotation.water_density, lead_density)
    if filler_density >= lead_density:
        raise BoatFigureError(
            f"The filler's density is {shown(filler_density, 'kg/m3')}, which is not below the lead's "
            f"{shown(lead_density, 'kg/m3')}. Filling the holes with it removes no mass. Give the density of the filler, "
            "about 1200 kg/m3."
        )
    drilling: Drilling | None = None
    adding: Adding | None = None
    left = -test.moment
    if test.mass > 0.0:
        volume = test.mass / (lead_density - filler_density)
        place, left = _placed(test, flotation, bulb_fore_x, bulb_aft_x)
        drilling = Drilling(
            lead=volume * lead_density,
            filler=volume * filler_density,
            depth=volume / (0.25 * math.pi * drill_diameter**2),
            diameter=drill_diameter,
            x=place,
            moment_left=left,
        )
    elif test.mass < 0.0:
        place, left = _placed(test, flotation, flotation.fore_x, flotation.aft_x)
        adding = Adding(inside=-test.mass, outside=-test.mass / factor, x=place, moment_left=left)
    return Correction(
        drilling=drilling,
        adding=adding,
        moves=single_moves(tuple(movable), -test.moment),
        moves_after=single_moves(tuple(movable), left),
    )


def _placed(test: FloatTest, flotation: Flotation, fore_x: float, aft_x: float) -> tuple[float | None, float]:
    """Position at which removing or adding the mass also corrects the trim, and the moment still needed. The
    position is None if it would be outside the given range.
    """
    wanted = flotation.flotation_x + test.moment / test.mass
    placed = min(max(wanted, fore_x), aft_x)
    if placed == wanted:
        return wanted, 0.0
    return None, test.mass * (placed - flotation.flotation_x) - test.moment
