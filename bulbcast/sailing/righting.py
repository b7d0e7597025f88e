"""Curve of righting arms at free sinkage and trim, and the figures taken from it.

It ignores crew, downflooding and swamping, so it is not a stability assessment.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from itertools import pairwise

from bulbcast.hull.floating import Floating, FloatingError, float_boat
from bulbcast.hull.hydrostatics import Attitude, Point, hydrostatics
from bulbcast.hull.mesh import HullMesh
from bulbcast.quantities.frozen import frozen

STANDARD_HEELS = tuple(math.radians(5.0 * step) for step in range(37))
"""Heel angles from 0 to 180 degrees in steps of 5. [rad]"""

_ZERO = 1e-9
_HALVINGS = 80
_SWINGS = math.radians(5.0)


@frozen
class RightingArmCurve:
    """Curve of righting arms against heel.

    Each arm is for the sinkage and trim at which the boat rests at that heel. An area under the curve is the work of
    heeling the boat, divided by her weight. It is the integral of arm x cos(trim) over heel, calculated from the
    potential energy and not from the points of the curve.

    Attributes:
        heels: Heels, ascending, starboard down. [rad]
        arms: Righting arms; positive arms right the boat. [m]
        sinkages: Depth of the origin at each heel. [m]
        trims: Trim at each heel; stern down is positive. [rad]
        energies: Potential energy at each heel, divided by weight. [m]
        mass: Mass of everything afloat. [kg]
        gm: Metacentric height, upright. [m]
        upright: Sinkage and trim with the heel held at zero.
        positive_from: Heel from which the arms are positive: zero, or the angle of loll of a boat that does not float
            upright; None if no arm is positive. [rad]
        vanishing: Heel at which the first range of positive arms ends; None if no arm is positive or the curve ends
            earlier. [rad]
        positive_area: Area under the curve in that range, up to the end of the curve; None if no arm is positive. [m]
        later_area: Area from `vanishing` to the end of the curve; negative if it capsizes the boat. [m]
        area_spent: Heel at which all of the positive area is used up. Beyond it the boat would not come back unaided,
            even without losses. None if the curve does not reach it. [rad]
        largest_arm: Maximum arm of the curve, from a parabola through the highest point and its neighbours. [m]
        largest_arm_heel: Heel at which the arm is at its maximum. [rad]
    """

    heels: tuple[float, ...]
    arms: tuple[float, ...]
    sinkages: tuple[float, ...]
    trims: tuple[float, ...]
    energies: tuple[float, ...]
    mass: float
    gm: float
    upright: Floating
    positive_from: float | None
    vanishing: float | None
    positive_area: float | None
    later_area: float | None
    area_spent: float | None
    largest_arm: float
    largest_arm_heel: float


def righting_arm_curve(
    hull: HullMesh,
    *,
    mass: float,
    mass_centre: Point,
    water_density: float,
    heels: Sequence[float] = STANDARD_HEELS,
    near: RightingArmCurve | None = None,
) -> RightingArmCurve:
    """Calculate righting arms at free sinkage and trim. Each search starts from the attitudes at the previous heels.

    Args:
        hull: Closed surface of everything that displaces water, including fin and bulb if they matter.
        mass: Mass of everything afloat. [kg]
        mass_centre: Mass centre, boat axes. [m]
        water_density: Density of the water. [kg/m3]
        heels: At least two heels, ascending, between 0 and 180 degrees. [rad]
        near: Curve of a very similar boat. If it has the same heels, each search starts from that boat's attitude.

    Returns:
        The curve.

    Raises:
        FloatingError: The boat sinks or stands on end, or the heels are not valid.
    """
    _check_heels(hull, heels)

    def rest(heel: float, start: Attitude | None) -> Floating:
        return float_boat(
            hull,
            mass=mass,
            mass_centre=mass_centre,
            water_density=water_density,
            heel=heel,
            start=start,
        )

    upright = rest(0.0, None if near is None else near.upright.attitude)
    gm = hydrostatics(hull, upright.attitude).gm_across(mass_centre)
    assert gm is not None
    found: list[Floating] = []
    for heel in heels:
        ahead = _start(float(heel), [one.attitude for one in found[-3:] or [upright]], near)
        found.append(upright if heel == 0.0 else rest(float(heel), ahead))
    zero = _ZERO * float(max(hull.extent))
    start = _begin(found, zero, rest)
    end = None if start is None else _end(found, zero, rest)
    spent = None if start is None or end is None else _spent(found, start, end, zero, rest)
    finish = found[-1] if end is None else end
    arm, at = _largest(found)
    return RightingArmCurve(
        heels=tuple(float(heel) for heel in heels),
        arms=tuple(each.righting_arm for each in found),
        sinkages=tuple(each.attitude.sinkage for each in found),
        trims=tuple(each.attitude.trim for each in found),
        energies=tuple(each.energy for each in found),
        mass=mass,
        gm=gm,
        upright=upright,
        positive_from=None if start is None else start.attitude.heel,
        vanishing=None if end is None else end.attitude.heel,
        positive_area=None if start is None else finish.energy - start.energy,
        later_area=None if end is None else found[-1].energy - end.energy,
        area_spent=spent,
        largest_arm=arm,
        largest_arm_heel=at,
    )


def _start(heel: float, last: Sequence[Attitude], near: RightingArmCurve | None) -> Attitude:
    """First guess at the boat's attitude, extrapolated from the attitudes at the previous heels. If a similar boat is
    given, the difference from her attitudes is extrapolated instead."""
    known = [one.heel for one in last]
    lay = (
        {}
        if near is None
        else dict(zip(near.heels, zip(near.sinkages, near.trims, strict=True), strict=True))
    )
    if not all(one in lay for one in (heel, *known)):
        lay = dict.fromkeys((heel, *known), (0.0, 0.0))
    # Lagrange's polynomial through the differences in sinkage and trim from the similar boat.
    shares = [math.prod((heel - b) / (a - b) for b in known if b != a) for a in known]
    sinkage = sum(share * (one.sinkage - lay[one.heel][0]) for share, one in zip(shares, last, strict=True))
    trim = sum(share * (one.trim - lay[one.heel][1]) for share, one in zip(shares, last, strict=True))
    ahead = Attitude(sinkage=lay[heel][0] + sinkage, trim=lay[heel][1] + trim, heel=heel)
    # If the boat swings round, extrapolation is useless, so the search starts from her last attitude.
    return ahead if abs(ahead.trim - last[-1].trim) < _SWINGS else last[-1]


Rest = Callable[[float, "Attitude | None"], Floating]


def _check_heels(hull: HullMesh, heels: Sequence[float]) -> None:
    usable = (
        len(heels) >= 2
        and all(math.isfinite(heel) and 0.0 <= heel <= math.pi + 1e-12 for heel in heels)
        and all(later > earlier for earlier, later in pairwise(heels))
    )
    if not usable:
        raise FloatingError(
            f"{hull.source}: a righting arm curve needs at least two heel angles, in ascending order, from 0 to 180 degrees."
        )


def _begin(found: list[Floating], zero: float, rest: Rest) -> Floating | None:
    """Heel at which the arms become positive."""
    for before, here in zip([found[0], *found], found, strict=False):
        if here.righting_arm > zero:
            if before.righting_arm < -zero:
                return _crossing(before, here, lambda each: each.righting_arm, rest)
            return before
    return None


def _end(found: list[Floating], zero: float, rest: Rest) -> Floating | None:
    """Heel at which the first range of positive arms ends."""
    begun = False
    for before, here in pairwise(found):
        begun = begun or before.righting_arm > zero
        if begun and here.righting_arm <= zero:
            if here.righting_arm >= -zero:
                return here
            return _crossing(before, here, lambda each: each.righting_arm, rest)
    return None


def _spent(found: list[Floating], start: Floating, end: Floating, zero: float, rest: Rest) -> float | None:
    """Heel at which the potential energy has fallen back to its starting value."""
    before = end
    for here in found:
        if here.attitude.heel <= end.attitude.heel:
            continue
        if here.energy < start.energy - zero * 1e-3:
            return _crossing(before, here, lambda each: each.energy - start.energy, rest).attitude.heel
        before = here
    return None


def _crossing(before: Floating, here: Floating, value: Callable[[Floating], float], rest: Rest) -> Floating:
    """Heel, between two given heels, at which a value changes sign. It is found by chords that never leave the bracket.

    References:
        M. Dowell, P. Jarratt, BIT 11 (1971): the Illinois form of regula falsi.
    """
    a, b = before, here
    fa, fb = value(a), value(b)
    closest = b
    for _ in range(_HALVINGS):
        ha, hb = a.attitude.heel, b.attitude.heel
        if abs(hb - ha) < 1e-12 or fb == 0.0:
            break
        heel = (ha * fb - hb * fa) / (fb - fa)
        closest = rest(heel, b.attitude)
        new = value(closest)
        if new == 0.0 or abs(heel - hb) < 1e-13:
            break
        if (new > 0.0) != (fb > 0.0):
            a, fa = b, fb
        else:
            fa *= 0.5
        b, fb = closest, new
    return closest


def _largest(found: list[Floating]) -> tuple[float, float]:
    """Maximum righting arm and the heel at which it occurs."""
    top = max(range(len(found)), key=lambda place: found[place].righting_arm)
    arm, heel = found[top].righting_arm, found[top].attitude.heel
    if not 0 < top < len(found) - 1:
        return arm, heel
    x = [found[top + step].attitude.heel - heel for step in (-1, 1)]
    y = [found[top + step].righting_arm - arm for step in (-1, 1)]
    # y = slope x + bend x^2 through the neighbours, about the highest point.
    bend = (y[1] / x[1] - y[0] / x[0]) / (x[1] - x[0])
    slope = y[0] / x[0] - bend * x[0]
    if bend >= 0.0:
        return arm, heel
    return arm - slope * slope / (4.0 * bend), heel - slope / (2.0 * bend)
