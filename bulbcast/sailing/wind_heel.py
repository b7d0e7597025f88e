"""Heel under wind on a righting arm curve: the steady heel in a given wind, and the wind that causes a given heel.

The wind is steady. Gusts, rolling and crew are not included. This is not a stability assessment.
"""

from __future__ import annotations

import bisect
import math
from collections.abc import Callable
from functools import lru_cache

from bulbcast.quantities.checked import STANDARD_GRAVITY, BoatFigureError, require_positive
from bulbcast.quantities.frozen import frozen
from bulbcast.sailing.sail import Rig, heeling_moment, require_heel, side_force, wind_for_arm


@frozen
class ArmsByHeel:
    """Righting arm as a smooth function of heel between the given angles.

    Attributes:
        heels: At least three heels, ascending from 0. [rad]
        arms: GZ at each heel. [m]

    Raises:
        BoatFigureError: The two lists differ in length, there are fewer than three heels, the heels do not ascend from
            0, or a figure is not a number.
    """

    heels: tuple[float, ...]
    arms: tuple[float, ...]

    def __post_init__(self) -> None:
        if len(self.heels) != len(self.arms) or len(self.heels) < 3:
            raise BoatFigureError(
                f"The righting arm curve has {len(self.heels)} heel angles and {len(self.arms)} arms. Give the same "
                "number of each, at least three."
            )
        if not all(math.isfinite(one) for one in (*self.heels, *self.arms)):
            raise BoatFigureError(
                "The righting arm curve contains a value that is not a finite number. Give finite values."
            )
        if self.heels[0] != 0.0 or any(b <= a for a, b in zip(self.heels, self.heels[1:], strict=False)):
            raise BoatFigureError(
                "The heel angles of the righting arm curve do not ascend from 0. Give them in ascending order, "
                "starting from 0."
            )

    def arm(self, heel: float) -> float:
        """GZ at a given heel, by cubic Hermite interpolation.

        Args:
            heel: Heel within the curve. [rad]

        Returns:
            The righting arm GZ. [m]

        Raises:
            BoatFigureError: The heel is beyond the curve.
        """
        if not 0.0 <= heel <= self.heels[-1]:
            raise BoatFigureError(
                f"A heel of {math.degrees(heel):g} degrees is outside the righting arm curve, which covers 0 to "
                f"{math.degrees(self.heels[-1]):g} degrees. Calculate the curve to a larger heel."
            )
        x, y, slopes = self.heels, self.arms, _slopes(self)
        left = min(bisect.bisect_right(x, heel) - 1, len(x) - 2)
        step = x[left + 1] - x[left]
        t = (heel - x[left]) / step
        return (
            (1.0 + 2.0 * t) * (1.0 - t) ** 2 * y[left]
            + t * (1.0 - t) ** 2 * step * slopes[left]
            + t * t * (3.0 - 2.0 * t) * y[left + 1]
            + t * t * (t - 1.0) * step * slopes[left + 1]
        )


def heel_on_curve(curve: ArmsByHeel, rig: Rig, *, wind: float, mass: float) -> float | None:
    """Steady heel on a righting arm curve: the first heel at which the righting moment exceeds the wind's moment.

    Args:
        curve: The curve, up to at least 90 degrees or to the end of the search.
        rig: The sail.
        wind: Speed of the wind on the sail. [m/s]
        mass: Mass of the complete boat. [kg]

    Returns:
        The heel; None if the boat finds no equilibrium in this wind before 90 degrees or the curve's end. Without wind,
        a boat that does not float upright rests at her angle of loll. [rad]

    Raises:
        BoatFigureError: A figure is not above 0.
    """
    require_positive("The boat's mass", mass, "kg")
    upright = heeling_moment(rig, wind)

    def over(heel: float) -> float:
        return mass * STANDARD_GRAVITY * curve.arm(heel) - heeling_moment(rig, wind, heel)

    heels = _fine(curve)
    if upright == 0.0 and over(heels[1]) > 0.0 and abs(over(0.0)) <= _nothing(curve, mass):
        return 0.0
    before = heels[0]
    was = over(before)
    if was > _nothing(curve, mass):
        raise BoatFigureError(
            "Without wind the boat leans to windward, so when upright she already has a moment against this wind. Move "
            "weights to the centreline, or start the curve at the heel at which she rests."
        )
    for heel in heels[1:]:
        now = over(heel)
        if was < 0.0 <= now:
            return _root(over, before, heel)
        before, was = heel, now
    return None


@frozen
class WindForHeel:
    """Wind that heels the boat to a given angle.

    Attributes:
        heel: The given heel. [rad]
        wind: Smallest steady wind that takes the boat to that heel. [m/s]
        rests: Whether the boat comes to rest at that heel. If not, this wind takes her past it to the next steady heel
            or lays her flat. [-]
    """

    heel: float
    wind: float
    rests: bool


def wind_for_heel(curve: ArmsByHeel, rig: Rig, *, heel: float, mass: float) -> WindForHeel:
    """Find the steady wind that heels the boat to a given angle on a righting arm curve.

    As the wind rises, the boat follows the curve as long as the wind needed rises with heel. Where it falls with
    heel, she heels further in the same wind. The wind that takes her to an angle is therefore the largest needed at any
    angle up to it.

    Args:
        curve: A curve that reaches that heel.
        rig: The sail.
        heel: Heel above 0 and below 90 degrees. [rad]
        mass: Mass of the complete boat. [kg]

    Returns:
        The wind, and whether the boat comes to rest at that heel.

    Raises:
        BoatFigureError: A figure is out of range, or the curve ends before that heel.
    """
    require_positive("The boat's mass", mass, "kg")
    require_heel(heel)
    curve.arm(heel)

    def needed(angle: float) -> float:
        if angle == 0.0:
            return 0.0
        arm = max(curve.arm(angle), 0.0)
        return wind_for_arm(rig, mass=mass, righting_arm=arm, heel=angle)

    before = [angle for angle in _fine(curve) if 0.0 < angle < heel]
    there = needed(heel)
    most = there
    if before:
        at = max(range(len(before)), key=lambda number: needed(before[number]))
        low = before[at - 1] if at > 0 else 0.0
        most = _peak(needed, low, before[at + 1] if at + 1 < len(before) else heel)
    return WindForHeel(
        heel=heel, wind=max(there, most), rests=curve.arm(heel) > 0.0 and there >= most * (1.0 - 1e-9)
    )


def steady_winds(curve: ArmsByHeel, rig: Rig, *, mass: float) -> tuple[tuple[float, float], ...]:
    """Trace heel as the wind rises, up to the strongest wind that the boat can stand up to.

    Args:
        curve: The curve to follow, up to 90 degrees.
        rig: The sail.
        mass: Mass of the complete boat. [kg]

    Returns:
        Wind [m/s] and steady heel [rad], both ascending. The last is the strongest wind that the boat can stand up to,
        unless the curve ends or 90 degrees is reached first. Empty if there is no steady heel.
    """
    require_positive("The boat's mass", mass, "kg")
    found: list[tuple[float, float]] = []
    for heel in _fine(curve):
        arm = curve.arm(heel)
        if heel == 0.0 or heel >= 0.5 * math.pi or arm < 0.0:
            if found and found[-1][0] > 0.0:
                break
            continue
        wind = wind_for_arm(rig, mass=mass, righting_arm=arm, heel=heel)
        if found and wind <= found[-1][0]:
            break
        found.append((wind, heel))
    return tuple(found)


@frozen
class WindForLeewayOnCurve:
    """Wind at which leeway exceeds a limit, with the heel in that wind.

    Attributes:
        wind: The wind; None if leeway stays within the limit at every steady heel. [m/s]
        heel: Heel in that wind; None if there is no such wind. [rad]
        upright_wind: Wind at which leeway would exceed the limit if the boat were held upright. [m/s]
    """

    wind: float | None
    heel: float | None
    upright_wind: float


def wind_for_leeway_on_curve(
    curve: ArmsByHeel, rig: Rig, *, mass: float, holding: float, limit: float
) -> WindForLeewayOnCurve:
    """Find the wind at which the leeway reaches a limit, using a righting arm curve.

    At a steady heel the sail's force is m g GZ / h, and a heeled fin carries it at a leeway of F / (q S a cos(heel)). So
    the limit is reached when GZ / cos(heel) = limit q S a h / (m g). Derived here.

    Args:
        curve: Righting arms.
        rig: The sail.
        mass: Mass of the complete boat. [kg]
        holding: Side force of the upright fin for each radian of leeway, 1/2 rho V^2 S a. [N/rad]
        limit: Maximum leeway allowed. [rad]

    Returns:
        The wind, with and without heel.

    Raises:
        BoatFigureError: A figure is not above 0.
    """
    require_positive("The boat's mass", mass, "kg")
    require_positive("The side force of the fin", holding, "N/rad")
    require_positive("The leeway limit", limit, "rad")
    wanted = limit * holding * rig.heeling_arm / (mass * STANDARD_GRAVITY)
    upright = math.sqrt(limit * holding / side_force(rig, 1.0))

    def over(heel: float) -> float:
        return curve.arm(heel) / math.cos(heel) - wanted

    steady = steady_winds(curve, rig, mass=mass)
    low = 0.0
    for _, heel in steady:
        if over(heel) >= 0.0:
            found = _root(over, low, heel)
            arm = max(curve.arm(found), 0.0)
            wind = wind_for_arm(rig, mass=mass, righting_arm=arm, heel=found)
            return WindForLeewayOnCurve(wind=wind, heel=found, upright_wind=upright)
        low = heel
    return WindForLeewayOnCurve(wind=None, heel=None, upright_wind=upright)


@lru_cache(maxsize=16)
def _slopes(curve: ArmsByHeel) -> tuple[float, ...]:
    """Slope dGZ/dheel at each angle, from the parabola through it and its neighbours."""
    step = [b - a for a, b in zip(curve.heels, curve.heels[1:], strict=False)]
    rise = [(b - a) / h for a, b, h in zip(curve.arms, curve.arms[1:], step, strict=False)]
    inner = [
        (step[i + 1] * rise[i] + step[i] * rise[i + 1]) / (step[i] + step[i + 1])
        for i in range(len(step) - 1)
    ]
    first = rise[0] + (rise[0] - rise[1]) * step[0] / (step[0] + step[1])
    last = rise[-1] + (rise[-1] - rise[-2]) * step[-1] / (step[-1] + step[-2])
    return (first, *inner, last)


def _nothing(curve: ArmsByHeel, mass: float) -> float:
    """Righting moment so small compared with the curve's maximum that it is only rounding error. [N m]"""
    return 1e-9 * max(abs(arm) for arm in curve.arms) * mass * STANDARD_GRAVITY


def _root(over: Callable[[float], float], low: float, high: float) -> float:
    """Find, by bisection, the angle at which a function rises through zero between two given angles."""
    for _ in range(60):
        middle = 0.5 * (low + high)
        low, high = (middle, high) if over(middle) < 0.0 else (low, middle)
    return 0.5 * (low + high)


def _peak(of: Callable[[float], float], low: float, high: float) -> float:
    """Maximum value of a function that has one maximum between two angles, by golden section search.

    The angle is found to within 2e-7 of the range. Near its maximum the function falls only with the
    square of the distance from it.
    """
    golden = 0.5 * (3.0 - math.sqrt(5.0))
    left, right = low + golden * (high - low), high - golden * (high - low)
    there, beyond = of(left), of(right)
    for _ in range(32):
        if there < beyond:
            low, left, there = left, right, beyond
            right = high - golden * (high - low)
            beyond = of(right)
        else:
            high, right, beyond = right, left, there
            left = low + golden * (high - low)
            there = of(left)
    return max(there, beyond)


def _fine(curve: ArmsByHeel, pieces: int = 8) -> list[float]:
    """Angles of the curve up to 90 degrees, with additional angles in between."""
    found = [curve.heels[0]]
    for low, high in zip(curve.heels, curve.heels[1:], strict=False):
        found += [low + (high - low) * part / pieces for part in range(1, pieces + 1)]
    quarter = 0.5 * math.pi
    inside = [angle for angle in found if angle <= quarter]
    if inside[-1] < quarter < curve.heels[-1]:
        inside.append(quarter)
    return inside
