"""Comparison of a real casting with its plan: the metal, mould and cavity are estimated from its mass, size, mass in
water and balance point.

Every reading is nearly linear in the possible errors of the casting, so a closed formula gives the posterior from the
prior and the readings with their standard deviations. None of the inputs represents a void: see `hollow`.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np

from bulbcast.bulb.body.integrals import parallel_volume
from bulbcast.confidence.casting import CastingModel
from bulbcast.confidence.inputs import Inputs
from bulbcast.confidence.propagation import linear_parts
from bulbcast.pattern.cast_body import CastBody
from bulbcast.quantities.frozen import frozen
from bulbcast.solids.quadrature import Array

WEIGHED = ("as cast", "filed", "cut", "in water")
"""Readings taken on the same scale."""
ONE_SCALE = 0.5
"""Fraction of a weighing's variance that comes from the scale itself and is the same in each weighing. Judgement. [-]"""


@frozen
class Reading:
    """A measurement of the casting.

    Attributes:
        name: "as cast", "filed", "cut", "length", "diameter", "in water" or "balance".
        value: Value of the reading. [SI]
        sd: Standard deviation of the reading. [SI]
    """

    name: str
    value: float
    sd: float


def reading_noise(readings: Sequence[Reading]) -> Array:
    """Calculate the covariance of the readings' errors. The same scale is used in air and in water, so part of its error
    is common to both.

    Args:
        readings: Readings in any order.

    Returns:
        Shape (readings, readings). [SI]
    """
    variance = np.array([one.sd**2 for one in readings])
    weighed = np.array([one.name in WEIGHED for one in readings])
    # If a reading is less certain for another reason, such as a sprue, the scale's own part is taken from the better
    # reading.
    common: Array = ONE_SCALE * np.minimum.outer(variance, variance) * np.outer(weighed, weighed)
    np.fill_diagonal(common, variance)
    return common


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Posterior:
    """Estimates for the casting after it is measured.

    Attributes:
        inputs: Inputs as planned.
        shift: Shift of each input from its planned value, in standard deviations of that input, shape (inputs,).
        covariance: Covariance of the shifts, shape (inputs, inputs).
        residual: Deviation of each reading from the planned value. [SI]
        expected: Planned value of each reading and its standard deviation. [SI]
        unexplained: Chi square of all readings against the plan. [-]
    """

    inputs: Inputs
    shift: Array
    covariance: Array
    residual: Array
    expected: Array
    unexplained: float

    def value(self, name: str) -> tuple[float, float]:
        """Return an input's updated value and standard deviation. [SI]

        Args:
            name: Field name in `Inputs`.
        """
        one, place = getattr(self.inputs, name), self.inputs.place(name)
        return one.value + one.sd * float(self.shift[place]), one.sd * math.sqrt(
            float(self.covariance[place, place])
        )

    def net_contraction(self) -> tuple[tuple[float, float], tuple[float, float]]:
        """Contraction minus the mould's deviation from its planned growth: value and standard deviation before and after
        the casting is measured. [-] Comparing the pattern with the casting shows only the two together, never either
        one by itself.
        """
        weight = np.zeros(len(self.shift))
        weight[self.inputs.place("contraction")] = self.inputs.contraction.sd
        weight[self.inputs.place("mould")] -= self.inputs.mould.sd
        before = self.inputs.contraction.value
        now = before + float(weight @ self.shift)
        return (before, math.hypot(*weight.tolist())), (now, self.spread(weight))

    def values(self) -> Array:
        """Value of each input as a column, shape (inputs, 1). [SI]"""
        sd = np.array([one.sd for one in self.inputs.all])
        return (np.array([one.value for one in self.inputs.all]) + sd * self.shift)[:, None]

    def spread(self, parts: Array) -> float:
        """Return the standard deviation of a result from its parts. [same unit as the result]

        Args:
            parts: Result of `linear_parts`, shape (inputs,).
        """
        return math.sqrt(max(float(parts @ self.covariance @ parts), 0.0))


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class RawCasting:
    """Model of many castings at once, as they leave the mould or after filing.

    Attributes:
        model: Model of the finished casting.
        inputs: Inputs that may differ from the plan.
        cast: The cast body as planned.
        water: Density of the water used for weighing. [kg/m3]
        air: Density of the air. [kg/m3]
    """

    model: CastingModel
    inputs: Inputs
    cast: CastBody
    water: float
    air: float = 1.2

    def of(self, name: str) -> Callable[[Array], Array]:
        """Return the model of one reading.

        Args:
            name: Name of the reading.

        Returns:
            Function from values of the inputs, shape (inputs, n), to the reading, shape (n,). [SI]
        """
        return {
            "as cast": self._as_cast,
            "filed": self._filed,
            "cut": self._cut,
            "length": self._length,
            "diameter": self._diameter,
            "in water": self._in_water,
            "balance": self._balance,
        }[name]

    def _outside(self, values: Array) -> tuple[Array, Array, Array, Array]:
        """Volume inside the casting's outer surface and its moment about the casting's nose, followed by the scale and
        the layer's thickness."""
        made = self.inputs.castings(values)
        layer = made.grown + np.maximum(values[self.inputs.place("finish")], 0.0)
        volume, moment = self.model.body(made.scale, layer)
        return volume, moment + layer * volume, made.scale, layer

    def _cavities(self) -> tuple[float, float]:
        """Volume of the cored cuts and its moment about the casting's nose."""
        bulb, cast = self.model.bulb, self.cast
        whole = parallel_volume(bulb.volume, bulb.surface, cast.finish)
        volume = whole.volume - cast.volume
        return volume, whole.moment_x - cast.volume * cast.mass_centre_x + cast.finish * volume

    def _density(self, values: Array) -> Array:
        made = self.inputs.castings(values)
        return made.density * (1.0 - made.porosity)

    def _as_cast(self, values: Array) -> Array:
        return self._density(values) * (self._outside(values)[0] - self._cavities()[0])

    def _filed(self, values: Array) -> Array:
        made = self.inputs.castings(values)
        volume, _ = self.model.body(made.scale, made.grown)
        return self._density(values) * (volume - self._cavities()[0])

    def _cut(self, values: Array) -> Array:
        return self.model.cut(self.inputs.castings(values))

    def _length(self, values: Array) -> Array:
        _, _, scale, layer = self._outside(values)
        return scale * self.model.bulb.body.length + 2.0 * layer

    def _diameter(self, values: Array) -> Array:
        _, _, scale, layer = self._outside(values)
        return scale * self.model.bulb.body.diameter + 2.0 * layer

    def _in_water(self, values: Array) -> Array:
        # Scale reading for a body under water: its mass less that of the displaced water, corrected for air buoyancy on
        # the weights.
        volume = self._outside(values)[0] - self._cavities()[0]
        return self._density(values) * volume - (self.water - self.air) * volume

    def _balance(self, values: Array) -> Array:
        volume, moment, _, _ = self._outside(values)
        cavity, cavity_moment = self._cavities()
        return (moment - cavity_moment) / (volume - cavity)


def updated(raw: RawCasting, readings: tuple[Reading, ...]) -> Posterior:
    """Update the inputs with the measurements of the casting.

    Args:
        raw: Models of the readings.
        readings: One or more readings.

    Returns:
        The posterior from a normal prior and the readings, linearised about the planned values.

    References:
        Linear Gaussian update, as in any textbook on Bayesian estimation; A. Gelb (ed.), Applied Optimal Estimation,
        1974, 4.2.
    """
    uncertain = [one.uncertain for one in raw.inputs.all]
    rows, planned = [], []
    for reading in readings:
        value, parts = linear_parts(raw.of(reading.name), uncertain)
        rows.append(parts)
        planned.append(value)
    slopes, expected = np.array(rows), np.array(planned)
    residual = np.array([one.value for one in readings]) - expected
    innovation = slopes @ slopes.T + reading_noise(readings)
    gain = np.linalg.solve(innovation, slopes).T
    return Posterior(
        inputs=raw.inputs,
        shift=gain @ residual,
        covariance=np.eye(len(uncertain)) - gain @ slopes,
        residual=residual,
        expected=np.array([expected, np.sqrt(np.diag(innovation))]).T,
        unexplained=float(residual @ np.linalg.solve(innovation, residual)),
    )
