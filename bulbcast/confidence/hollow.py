"""Detection of a hidden hollow in a casting: its position, and the smallest hollow that the readings would reveal.

None of the inputs represents a hollow. A hollow reduces the mass and, away from the middle, moves the balance point.
The readings give both, with their standard deviations. A hollow is inside the casting, so only results within a wedge
can represent one. The result is projected onto that wedge. It is called a hollow if a sound casting would seldom give
the same result.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from bulbcast.confidence.as_cast import RawCasting, Reading, reading_noise
from bulbcast.confidence.inputs import Inputs
from bulbcast.confidence.narrowing import METAL_WEIGHED
from bulbcast.confidence.propagation import draws, linear_parts
from bulbcast.quantities.frozen import frozen, replace
from bulbcast.solids.quadrature import Array

FALSE_ALARMS = 0.05
"""Fraction of sound castings in which a hollow is wrongly called likely. [-]"""
OFTEN = 0.8
"""Fraction of hollow castings that must be detected, for the smallest hollow that is reported. Judgement. [-]"""
SMALLEST_VOID = 0.002
"""Fraction of the casting's volume below which nothing is called a hollow. Judgement. [-]"""
UNEVEN = 0.0003
"""Standard deviation of the balance point due to uneven density. Judgement. [m]"""
_NINETEEN_IN_TWENTY = 1.959964
"""Number of standard deviations on either side that contain 95 % of the values of a normal variable (from general
statistical tables). [-]"""
_DIRECTIONS = 1440
_SOUND, _SEED = 20_000, 5


@frozen
class Better:
    """Benefit of a more precise reading.

    Attributes:
        what: Reading to improve, and how to improve it.
        smallest: Smallest hollow at the far end that would then be found four times in five, as a fraction of the
            volume. [-]
    """

    what: str
    smallest: float


@frozen
class Hollow:
    """The hollow that fits the readings best.

    Attributes:
        likely: Whether it explains more of the readings' deviations than chance would.
        share: Fraction of the casting's volume; zero if there is no hollow. [-]
        x: Distance of the hollow from the casting's nose; None if there is no hollow. [m]
        x_low: Lower end of the range that contains that distance nineteen times in twenty. [m]
        x_high: Upper end of that range. [m]
        gain: Chi square that the hollow explains. [-]
    """

    likely: bool
    share: float
    x: float | None
    x_low: float | None
    x_high: float | None
    gain: float


@frozen
class Void:
    """Evidence from the readings for a hollow hidden in the casting.

    Attributes:
        hollow: The hollow that fits best.
        share_sd: Standard deviation of its fraction of the volume. [-]
        limit: Chi square above which a hollow is called likely. [-]
        smallest: Smallest hollow at the far end that would be found four times in five, as a fraction of the volume.
            [-]
        better: Benefits of more precise readings, sorted by the smallest hollow that each would reveal.
    """

    hollow: Hollow
    share_sd: float
    limit: float
    smallest: float
    better: tuple[Better, ...]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Wedge:
    """Possible values of two figures for a hollow inside the casting.

    The figures are the hollow's fraction of the volume and that fraction times the hollow's distance aft of the middle.

    Attributes:
        covariance: Covariance of the two figures, shape (2, 2). [-, m and m2]
        nose: Distance from the middle to the nose. [m]
        tail: Distance from the middle to the tail. [m]
    """

    covariance: Array
    nose: float
    tail: float

    def _sides(self) -> tuple[Array, Array, Array]:
        """Transformation to standard normal variables, shape (2, 2), and the two sides of the transformed wedge as unit
        vectors."""
        whiten = np.linalg.inv(np.linalg.cholesky(self.covariance))
        sides = [whiten @ np.array([1.0, arm]) for arm in (-self.nose, self.tail)]
        return whiten, sides[0] / np.linalg.norm(sides[0]), sides[1] / np.linalg.norm(sides[1])

    def nearest(self, share: Array, moment: Array) -> tuple[Array, Array, Array]:
        """Find the possible hollows nearest to the measured figures.

        Args:
            share: Measured fraction of the volume, shape (n,). [-]
            moment: Measured fraction times the distance aft of the middle, shape (n,). [m]

        Returns:
            Fraction [-] and moment [m] of hollows inside the casting, zero if there are none, and the chi square that
            they explain.
        """
        whiten, *sides = self._sides()
        at = whiten @ np.array([share, moment])
        along = np.maximum(np.array(sides) @ at, 0.0)
        last = along[1] > along[0]
        laid = np.where(last, np.outer(sides[1], along[1]), np.outer(sides[0], along[0]))
        inside = (share > 0.0) & (-self.nose * share <= moment) & (moment <= self.tail * share)
        nearest = np.linalg.solve(whiten, np.where(inside, at, laid))
        return nearest[0], nearest[1], np.where(inside, np.sum(at**2, axis=0), along.max(axis=0) ** 2)

    def limit(self, alarms: float = FALSE_ALARMS) -> float:
        """Return the chi square that is exceeded in a given fraction of sound castings.

        Args:
            alarms: Fraction of sound castings. [-]

        References:
            Chi-bar-square distribution for a wedge in the plane. The weight for two degrees of freedom is the wedge's
            fraction of a full turn; the weight for one is a half. M. J. Silvapulle and P. K. Sen, Constrained
            Statistical Inference, 2005, 3.3, from memory.
        """
        _, first, last = self._sides()
        inside = math.acos(min(max(float(first @ last), -1.0), 1.0)) / (2.0 * math.pi)
        low, high = 0.0, 100.0
        while high - low > 1e-9:
            middle = 0.5 * (low + high)
            exceeded = inside * math.exp(-0.5 * middle) + 0.5 * math.erfc(math.sqrt(0.5 * middle))
            low, high = (middle, high) if exceeded > alarms else (low, middle)
        return low

    def found(self, share: float, arm: float, limit: float) -> float:
        """Calculate the fraction of castings in which a hollow is called likely.

        Args:
            share: Fraction of the volume. [-]
            arm: Distance of the hollow aft of the middle. [m]
            limit: Chi square that the hollow must explain. [-]

        Returns:
            Fraction of castings. It is the normal density about the hollow in polar coordinates, integrated in closed
            form along each direction and by the trapezoidal rule around the full turn. [-]
        """
        whiten, first, last = self._sides()
        centre = whiten @ (share * np.array([1.0, arm]))
        turn = 2.0 * math.pi * np.arange(_DIRECTIONS) / _DIRECTIONS
        ways = np.array([np.cos(turn), np.sin(turn)])
        side = np.array([first, last]) @ ways
        # Inside the wedge, its two edges are on opposite sides of the path.
        across = np.array([first[0] * ways[1] - first[1] * ways[0], ways[0] * last[1] - ways[1] * last[0]])
        if first[0] * last[1] - first[1] * last[0] < 0.0:
            across = -across
        held = np.where((across >= 0.0).all(axis=0), 1.0, side.max(axis=0))
        with np.errstate(divide="ignore"):
            begins = np.where(held > 0.0, math.sqrt(limit) / np.maximum(held, 0.0), math.inf)
        ahead = centre @ ways
        reached = np.isfinite(begins)
        begins, ahead = begins[reached], ahead[reached]
        beyond = 0.5 * np.array([math.erfc(one) for one in ((begins - ahead) / math.sqrt(2.0)).tolist()])
        ray = np.exp(-0.5 * (begins - ahead) ** 2) + ahead * math.sqrt(2.0 * math.pi) * beyond
        density = np.exp(-0.5 * (float(centre @ centre) - ahead**2)) / (2.0 * math.pi) * ray
        return float(density.sum()) * 2.0 * math.pi / _DIRECTIONS

    def judged(self, share: float, moment: float, limit: float) -> Hollow:
        """Find the hollow inside the casting that best fits the measured figures.

        Args:
            share: Measured fraction of the volume. [-]
            moment: Measured fraction times the distance aft of the middle. [m]
            limit: Chi square above which a hollow is called likely. [-]
        """
        nearest, at, gain = (float(one[0]) for one in self.nearest(np.array([share]), np.array([moment])))
        if gain == 0.0:
            return Hollow(likely=False, share=0.0, x=None, x_low=None, x_high=None, gain=0.0)
        low, high = (self.nose + one for one in self.place(share, moment))
        return Hollow(
            likely=gain > limit and nearest > SMALLEST_VOID,
            share=nearest,
            x=min(max(self.nose + at / nearest, low), high),
            x_low=low,
            x_high=high,
            gain=gain,
        )

    def smallest(self, limit: float) -> float:
        """Return the volume fraction of the smallest hollow at the far end that is found four times in five. [-]

        Args:
            limit: Chi square above which a hollow is called likely. [-]
        """
        arm = self.tail if self.tail >= self.nose else -self.nose
        low, high = 0.0, 1.0
        while high - low > 1e-5:
            middle = 0.5 * (low + high)
            low, high = (middle, high) if self.found(middle, arm, limit) < OFTEN else (low, middle)
        return high

    def place(self, share: float, moment: float) -> tuple[float, float]:
        """Return the range that contains the hollow's distance aft of the middle nineteen times in twenty. [m]

        Args:
            share: Measured fraction of the volume. [-]
            moment: Measured fraction times the distance. [m]

        References:
            The ratio of two normal figures: E. C. Fieller, Some problems in interval estimation, 1954.
        """
        k = _NINETEEN_IN_TWENTY**2
        square = share**2 - k * self.covariance[0, 0]
        linear = moment * share - k * self.covariance[0, 1]
        rest = moment**2 - k * self.covariance[1, 1]

        def fits(arm: float) -> bool:
            return bool(square * arm**2 - 2.0 * linear * arm + rest <= 1e-9 * abs(rest))

        root = linear**2 - square * rest
        ends = [-self.nose, self.tail]
        if root >= 0.0 and square != 0.0:
            ends += [(linear + sign * math.sqrt(root)) / square for sign in (-1.0, 1.0)]
        inside = [arm for arm in ends if -self.nose <= arm <= self.tail and fits(arm)]
        return (min(inside), max(inside)) if inside else (-self.nose, self.tail)


def hidden_void(raw: RawCasting, readings: tuple[Reading, ...]) -> Void | None:
    """Check whether a hollow is likely.

    Args:
        raw: Models of the readings.
        readings: Readings with mass and balance point; without these, there is no result.

    Returns:
        Results from generalised least squares; None if the readings show nothing about a hollow.
    """
    names = {one.name for one in readings}
    if "balance" not in names or not {"as cast", "in water"} & names:
        return None
    wedge, (share, moment) = fitted(raw, readings)
    limit = limit_for(raw, readings)
    smallest = wedge.smallest(limit)
    better = [
        Better(what=what, smallest=fitted(closer, taken)[0].smallest(limit_for(closer, taken)))
        for what, closer, taken in _closer(raw, readings)
    ]
    return Void(
        hollow=wedge.judged(share, moment, limit),
        share_sd=math.sqrt(float(wedge.covariance[0, 0])),
        limit=limit,
        smallest=smallest,
        better=tuple(
            sorted((one for one in better if one.smallest < 0.95 * smallest), key=lambda one: one.smallest)
        ),
    )


def fitted(raw: RawCasting, readings: tuple[Reading, ...]) -> tuple[Wedge, tuple[float, float]]:
    """Estimate the hollow from the readings, without restricting it to the inside of the casting.

    Args:
        raw: Models of the readings.
        readings: Readings with mass and balance point.

    Returns:
        The wedge with the covariance of the two figures, and the figures by generalised least squares: the hollow's
        fraction of the volume [-], and that fraction times its distance aft of the middle [m].
    """
    wedge, gain, expected = _fit(raw, readings)
    share, moment = gain @ (np.array([one.value for one in readings]) - expected)
    return wedge, (float(share), float(moment))


def limit_for(raw: RawCasting, readings: tuple[Reading, ...]) -> float:
    """Return the chi square above which a hollow is called likely. One sound casting in twenty exceeds it.

    Args:
        raw: Models of the readings.
        readings: Readings with mass and balance point; only their standard deviations matter, not their values.

    Returns:
        The larger of two values: one for normally distributed readings, and one for sampled sound castings, whose
            porosity deviates to one side.
    """
    wedge, gain, expected = _fit(raw, readings)
    values = draws([one.uncertain for one in raw.inputs.all], count=_SOUND, seed=_SEED)
    chance = np.random.Generator(np.random.PCG64([_SEED, len(values)]))
    strays = np.linalg.cholesky(_noise(readings)) @ chance.standard_normal((len(readings), _SOUND))
    read = np.array([raw.of(one.name)(values) for one in readings]) + strays
    gains = wedge.nearest(*(gain @ (read - expected[:, None])))[2]
    return max(wedge.limit(), float(np.quantile(gains, 1.0 - FALSE_ALARMS)))


def _noise(readings: tuple[Reading, ...]) -> Array:
    """Covariance of the readings for a casting of uniform metal."""
    return reading_noise(readings) + np.diag(
        [UNEVEN**2 if one.name == "balance" else 0.0 for one in readings]
    )


def _fit(raw: RawCasting, readings: tuple[Reading, ...]) -> tuple[Wedge, Array, Array]:
    """The wedge, the matrix that converts the deviations of the readings to the two figures, shape (2, readings), and the
    expected readings."""
    uncertain = [one.uncertain for one in raw.inputs.all]
    found = [linear_parts(raw.of(one.name), uncertain) for one in readings]
    slopes = np.array([parts for _, parts in found])
    expected = np.array([value for value, _ in found])
    planned = np.array([[one.value] for one in raw.inputs.all])
    mass = raw.cast.density * raw.cast.volume
    middle, length = (float(raw.of(name)(planned)[0]) for name in ("balance", "length"))
    # Effect of a hollow's fraction, and of that fraction times its distance, on the masses and on the balance point.
    effect = np.zeros((len(readings), 2))
    for row, one in enumerate(readings):
        if one.name in ("as cast", "in water", "filed", "cut"):
            effect[row, 0] = -mass
        if one.name == "balance":
            effect[row, 1] = -1.0
    whole = slopes @ slopes.T + _noise(readings)
    weighed = np.linalg.solve(whole, effect)
    covariance: Array = np.linalg.inv(effect.T @ weighed).astype(np.float64)
    wedge = Wedge(covariance=covariance, nose=middle, tail=length - middle)
    return wedge, covariance @ weighed.T, expected


def _closer(
    raw: RawCasting, readings: tuple[Reading, ...]
) -> list[tuple[str, RawCasting, tuple[Reading, ...]]]:
    """More precise measurements, each with the resulting model and readings."""
    names = {one.name for one in readings}
    first = next(one for one in readings if one.name in ("as cast", "in water"))
    ways = [("the balance point measured three times more precisely", raw, _thrice(readings, "balance"))]
    for name, words in (
        ("as cast", "a weighing in air as well"),
        ("in water", "a weighing in water as well"),
    ):
        if name not in names:
            ways.append((words, raw, (*readings, replace(first, name=name))))
    for name, words in (
        ("length", "the casting's length measured"),
        ("diameter", "the casting's diameter measured"),
    ):
        if name not in names:
            ways.append((words, raw, (*readings, Reading(name=name, value=1.0, sd=0.0002))))
    if raw.inputs.density.sd > METAL_WEIGHED:
        ways.append(
            (
                "half a kilogram of sound metal weighed in air and in water to a tenth of a gram (alloy.weighed)",
                replace(raw, inputs=_with_density(raw.inputs)),
                readings,
            )
        )
    return ways


def _thrice(readings: tuple[Reading, ...], name: str) -> tuple[Reading, ...]:
    return tuple(replace(one, sd=one.sd / 3.0) if one.name == name else one for one in readings)


def _with_density(inputs: Inputs) -> Inputs:
    return replace(inputs, density=replace(inputs.density, sd=METAL_WEIGHED))
