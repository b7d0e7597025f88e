"""Propagation of standard deviations through a model by its derivatives (JCGM 100) and by samples (JCGM 101).

A model is any function that accepts a row of values for each input and returns one row of results. Both methods use the
same function.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from functools import cache
from statistics import NormalDist
from typing import Literal

import numpy as np

from bulbcast.quantities.frozen import frozen
from bulbcast.solids.quadrature import Array

Model = Callable[[Array], Array]
"""Function from values of shape (inputs, n) to results of shape (n,)."""
Shape = Literal["normal", "rectangular", "above zero"]
_PAIRED = (2.0, 3.0, 5.0, 7.0, 11.0, 13.0)
"""Primes, whose square roots are not rational multiples of each other. The fractional parts of each root's multiples fill
0 to 1 evenly, and no two sequences coincide. [-]"""
_FINE = 8192
"""Number of points at which a distribution is tabulated. [-]"""
_STEP = 0.02
"""Step for a numerical derivative, in standard deviations; the error grows with the square of the step."""


@frozen
class Uncertain:
    """An input of a model.

    Attributes:
        value: Best estimate. [SI]
        sd: One standard deviation. [SI]
        shape: Shape of its distribution: "normal"; "rectangular", between limits of sqrt(3) standard deviations; or
            "above zero", a gamma distribution with this mean and standard deviation (half a normal distribution if the
            value is zero).
    """

    value: float
    sd: float
    shape: Shape = "normal"


def linear_parts(model: Model, inputs: Sequence[Uncertain]) -> tuple[float, Array]:
    """Calculate a model's value and the effect of one standard deviation of each input.

    Args:
        model: The model.
        inputs: Inputs of the model.

    Returns:
        The value, and each input's derivative times its standard deviation, shape (inputs,). [unit of the model]

    References:
        JCGM 100:2008 (GUM), 5.1.3, by central differences.
    """
    count = len(inputs)
    middle = np.array([one.value for one in inputs])
    steps = np.diag([_STEP * one.sd for one in inputs])
    columns = np.concatenate([np.zeros((1, count)), steps, -steps]) + middle
    found = model(columns.T)
    parts = (found[1 : count + 1] - found[count + 1 :]) / (2.0 * _STEP)
    return float(found[0]), parts


def combined(parts: Array, correlation: Array | None = None) -> float:
    """Calculate the standard deviation of the result.

    Args:
        parts: Result of `linear_parts`, shape (n,).
        correlation: Correlation coefficients between the inputs, shape (n, n); None means that the inputs are not
            correlated.

    Returns:
        The combined standard uncertainty. [unit of the model]

    References:
        JCGM 100:2008 (GUM), equations (10) and (16).
    """
    if correlation is None:
        return math.hypot(*parts.tolist())
    return math.sqrt(float(parts @ correlation @ parts))


def effective_freedom(parts: Sequence[float], freedom: Sequence[float]) -> float:
    """Calculate the effective degrees of freedom of a result.

    Args:
        parts: Contributions to the standard deviation, by input or group of inputs. [unit of the model]
        freedom: Degrees of freedom of each part; infinite if the part is known exactly. [-]

    References:
        JCGM 100:2008 (GUM), equation (G.2b), Welch and Satterthwaite.
    """
    total = math.fsum(part**2 for part in parts) ** 2
    below = math.fsum(part**4 / one for part, one in zip(parts, freedom, strict=True))
    return total / below if below > 0.0 else math.inf


def draws(inputs: Sequence[Uncertain], *, count: int, seed: int) -> Array:
    """Draw samples of the inputs; the same seed gives the same samples.

    Args:
        inputs: Inputs, which must be independent of each other.
        count: Number of samples of each input. [-]
        seed: Seed of the generator. [-]

    Returns:
        Shape (inputs, count).

    References:
        JCGM 101:2008, 6.4.2 and 6.4.7; the gamma distribution is our choice for values that cannot be below zero.
    """
    rows = []
    for number, one in enumerate(inputs):
        # Each input has its own random stream, so its distribution does not affect the samples of the others.
        chance = np.random.Generator(np.random.PCG64([seed, number]))
        if one.sd == 0.0:
            rows.append(np.full(count, one.value))
        elif one.shape == "rectangular":
            rows.append(one.value + math.sqrt(3.0) * one.sd * chance.uniform(-1.0, 1.0, count))
        elif one.shape == "above zero" and one.value > 0.0:
            rows.append(chance.gamma((one.value / one.sd) ** 2, one.sd**2 / one.value, count))
        elif one.shape == "above zero":
            rows.append(np.abs(one.sd * chance.standard_normal(count)))
        else:
            rows.append(one.value + one.sd * chance.standard_normal(count))
    return np.array(rows)


def even_draws(inputs: Sequence[Uncertain], parts: Array, *, count: int, seed: int) -> Array:
    """Draw samples of the inputs that are evenly spread in the direction that affects the result most, so a small number
    is enough.

    The combined effect of the normal inputs on the result is one normal variable, if the model is linear. Its quantiles
    are sampled in equal steps of probability, and the inputs vary at random in the directions that leave it unchanged.
    The samples of inputs that are not normally distributed are paired evenly with these quantiles.

    Args:
        inputs: Inputs, which must be independent of each other.
        parts: Parts of the result, from `linear_parts`, shape (inputs,). [unit of the model]
        count: Number of samples of each input. [-]
        seed: Seed of the generator. [-]

    Returns:
        Shape (inputs, count), each distributed as in `draws`.

    References:
        Stratification along the direction of largest effect on the result: P. Glasserman, Monte Carlo Methods in
        Financial Engineering, 2003, 4.3.2, from memory.
    """
    values = draws(inputs, count=count, seed=seed)
    sd = np.array([one.sd for one in inputs])
    middle = np.array([one.value for one in inputs])
    normal = np.array([one.shape == "normal" for one in inputs])
    along = np.where(normal & (sd > 0.0), parts, 0.0)
    length = math.hypot(*along.tolist())
    if length > 0.0:
        along /= length
        free = (along != 0.0) & normal
        now = along[free] @ ((values[free] - middle[free, None]) / sd[free, None])
        values += np.outer(sd * along, _quantiles(count) - now)
    chance = np.random.Generator(np.random.PCG64([seed, len(inputs)]))
    for place, root in zip(np.flatnonzero(~normal & (sd > 0.0)).tolist(), _PAIRED, strict=False):
        share: Array = (np.arange(count, dtype=np.float64) * math.sqrt(root) + chance.uniform()) % 1.0
        values[place] = _fractile(inputs[place], share)
    return values


def _fractile(one: Uncertain, share: Array) -> Array:
    """Return the quantiles of an input that is not normally distributed, for the given probabilities."""
    if one.shape == "rectangular":
        return one.value + math.sqrt(3.0) * one.sd * (2.0 * share - 1.0)
    if one.value == 0.0:
        normal = _quantiles(_FINE)
        return one.sd * np.interp(0.5 + 0.5 * share, (np.arange(_FINE) + 0.5) / _FINE, normal)
    # A gamma distribution is handled by its logarithm, whose density is smooth even if it is strongly skewed.
    shape = (one.value / one.sd) ** 2
    reach = 9.0 / math.sqrt(shape)
    logs = np.linspace(-reach - 16.0 / shape, reach, _FINE)
    density = np.exp(shape * (logs + 1.0 - np.exp(np.minimum(logs, 50.0))))
    below = np.concatenate([[0.0], np.cumsum(0.5 * (density[1:] + density[:-1]))])
    return one.value * np.exp(np.interp(share, below / below[-1], logs))


@cache
def _quantiles(count: int) -> Array:
    """Divide the standard normal distribution into parts of equal probability, and return the median of each, the lowest
    first."""
    normal = NormalDist()
    half = np.array([normal.inv_cdf((place + 0.5) / count) for place in range(count // 2)])
    return np.concatenate([half, np.zeros(count % 2), -half[::-1]])


def coverage_interval(samples: Array, probability: float) -> tuple[float, float]:
    """Return the interval with equal numbers of samples below and above it.

    Args:
        samples: Samples of the result, shape (n,).
        probability: Probability of the interval. [-]

    References:
        JCGM 101:2008, 7.7, probabilistically symmetric.
    """
    low, high = np.quantile(samples, [0.5 - 0.5 * probability, 0.5 + 0.5 * probability])
    return float(low), float(high)


def shortest_interval(samples: Array, probability: float) -> tuple[float, float]:
    """Return the shortest interval that contains a given fraction of the samples.

    Args:
        samples: Samples of the result, shape (n,).
        probability: Probability of the interval. [-]

    References:
        JCGM 101:2008, 5.3.4 and 7.7.4.
    """
    ordered = np.sort(samples)
    inside = round(probability * len(ordered))
    widths = ordered[inside:] - ordered[: len(ordered) - inside]
    first = int(np.argmin(widths))
    return float(ordered[first]), float(ordered[first + inside])


def tolerance(sd: float, digits: int) -> float:
    """Return the numerical tolerance of a standard deviation that is given to a certain number of digits.

    Args:
        sd: Standard deviation, above zero. [unit of the model]
        digits: Significant digits. [-]

    References:
        JCGM 101:2008, 7.9.2: half a unit of the last digit.
    """
    power = math.floor(math.log10(sd)) - digits + 1
    if round(sd / 10.0**power) >= 10**digits:
        power += 1
    return 0.5 * 10.0**power


def linear_stands(
    *, value: float, sd: float, interval: tuple[float, float], probability: float, digits: int = 2
) -> bool:
    """Check whether the linear method is accurate enough: both ends of its interval must agree with those of the samples'
    interval within the tolerance.

    Args:
        value: Value from the linear method. [unit of the model]
        sd: Standard deviation from the linear method, above zero. [unit of the model]
        interval: Interval of the samples. [unit of the model]
        probability: Probability of the interval. [-]
        digits: Significant digits of the standard deviation. [-]

    References:
        JCGM 101:2008, 8.1.
    """
    reach = NormalDist().inv_cdf(0.5 + 0.5 * probability) * sd
    allowed = tolerance(sd, digits)
    return abs(value - reach - interval[0]) <= allowed and abs(value + reach - interval[1]) <= allowed
