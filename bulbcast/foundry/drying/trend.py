"""Trend of a drying part: an exponential approach to its dry mass, with a realistic spread for the date.

    m(t) = end + A exp(-t / tau)

Drying starts at a nearly constant rate and slows down as the mould dries from the outside in, so the exponential gives a
date that is late rather than early. A few weighings do not determine all three parameters. The end mass has the spread
that comes from purity and baking, and the time constant is free. Each pair of end mass and time constant is weighted by
how well it fits the readings. The weights are summed over a grid, without iteration, so the answer is always the same.

The only readings used are those taken since the air round the part last changed, and the one just before that change.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from bulbcast.quantities.frozen import frozen

Array = NDArray[np.float64]

_TAUS, _ENDS, _POINTS = 121, 41, 33
_ENDS_IN_SPREADS = 3.0
EARLY, LIKELY, LATE = 0.1, 0.5, 0.9
"""Fractions of the fitted curves that show the part as dry by the early, likely and late dates."""
MODEL_SPREAD = 0.01
"""Deviation of a real drying curve from an exponential, caused by cold nights and open doors, as a fraction of the
water to be lost. Our judgement."""


@frozen
class CurvePoint:
    """Mass expected at one time. The time is in s from the last reading; masses are in kg."""

    time: float
    low: float
    likely: float
    high: float


@frozen
class Trend:
    """Forecast from the readings of one part. Times are in seconds from the last reading.

    Attributes:
        used: Number of readings that it is fitted to.
        rate: Rate of loss at the last reading on the likely curve. [kg/s]
        time_constant: Likely time constant. [s]
        end_mass: Likely end mass. [kg]
        early: Time by which one curve in ten is dry; None if fewer than that ever become dry. [s]
        likely: Time by which half of them are dry; None if fewer than half ever become dry. [s]
        late: Time by which nine curves in ten are dry; None if fewer than that ever become dry. [s]
        never: Fraction of the curves that never reach the dry mass, or can never be shown to. [-]
        scale_too_coarse: Whether the scale could never show constant mass, so that no curve ever counts as dry.
        curve: Likely curve and its band, from the first reading used to beyond the late date.
    """

    used: int
    rate: float
    time_constant: float
    end_mass: float
    early: float | None
    likely: float | None
    late: float | None
    never: float
    scale_too_coarse: bool
    curve: tuple[CurvePoint, ...]


def trend_of(
    times: Sequence[float],
    masses: Sequence[float],
    *,
    reading_spread: float,
    end_mass: float,
    end_spread: float,
    target: float,
    constant_within: float,
    constant_gap: float,
) -> Trend | None:
    """Fit drying curves to the readings, and find when they reach the target and become constant.

    Args:
        times: Times of two or more readings, ascending, shape (n,). [s]
        masses: Readings at those times, shape (n,). [kg]
        reading_spread: Standard deviation of one reading. [kg]
        end_mass: Estimate, based on the mix, of the part's final mass. [kg]
        end_spread: Standard deviation of that estimate. [kg]
        target: Mass that has to be reached. [kg]
        constant_within: Maximum loss between the last two weighings for the mass to count as constant; zero or less if
            the scale is too coarse to show it. [kg]
        constant_gap: Time between the two weighings. [s]

    Returns:
        Trend; None with fewer than two readings, or if the part has not become lighter by more than `reading_spread`.
    """
    if len(times) < 2 or not times[-1] > times[0]:
        return None
    t = np.asarray(times, dtype=float)
    m = np.asarray(masses, dtype=float)
    if not m[0] - m[-1] > reading_spread:
        return None
    t = t - t[-1]
    span = -t[0]
    water = max(float(m[0]) - end_mass, 0.0)
    sigma = math.hypot(reading_spread, MODEL_SPREAD * water)
    taus = span * np.geomspace(0.05, 50.0, _TAUS)
    steps = np.linspace(-_ENDS_IN_SPREADS, _ENDS_IN_SPREADS, _ENDS) if end_spread > 0.0 else np.zeros(1)
    ends = end_mass + end_spread * steps
    tau, end = (grid.ravel() for grid in np.meshgrid(taus, ends, indexing="ij"))
    shape = np.exp(-t[None, :] / tau[:, None])
    # Best-fitting amplitude at the last reading; relative to that, early readings have large values of `shape`.
    scale = shape.max(axis=1)
    unit = shape / scale[:, None]
    weight_of_unit = np.sum(unit * unit, axis=1)
    amplitude = np.sum(unit * (m[None, :] - end[:, None]), axis=1) / weight_of_unit / scale
    off = m[None, :] - end[:, None] - amplitude[:, None] * shape
    chi = np.sum(off * off, axis=1) / sigma**2 + np.repeat(steps[None, :], _TAUS, axis=0).ravel() ** 2
    chi = np.where(amplitude > 0.0, chi, np.inf)
    if not np.isfinite(chi).any():
        return None
    weight = np.exp(-0.5 * (chi - chi.min())) / np.sqrt(weight_of_unit)
    keep = weight > 1e-9 * weight.max()
    tau, end, amplitude, weight = tau[keep], end[keep], amplitude[keep], weight[keep]
    weight = weight / weight.sum()
    ready = _ready(tau, end, amplitude, target, constant_within, constant_gap)
    early, likely, late = (_quantile(ready, weight, share) for share in (EARLY, LIKELY, LATE))
    last = next((one for one in (late, likely, early) if one is not None), 0.0)
    until = max(min(1.15 * max(last, 0.0), 20.0 * span), 0.35 * span)
    return Trend(
        used=len(times),
        rate=_finite(_quantile(amplitude / tau, weight, LIKELY)),
        time_constant=_finite(_quantile(tau, weight, LIKELY)),
        end_mass=_finite(_quantile(end, weight, LIKELY)),
        early=early,
        likely=likely,
        late=late,
        never=float(weight[~np.isfinite(ready)].sum()),
        scale_too_coarse=constant_within <= 0.0,
        curve=tuple(
            _point(float(at), tau, end, amplitude, weight) for at in np.linspace(t[0], until, _POINTS)
        ),
    )


def _ready(tau: Array, end: Array, amplitude: Array, target: float, within: float, gap: float) -> Array:
    """Time at which each curve is below the target and has lost no more than `within` over the preceding gap. [s]"""
    with np.errstate(divide="ignore", invalid="ignore", over="ignore"):
        below = np.where(target > end, tau * np.log(amplitude / (target - end)), np.inf)
        steady = (
            tau * np.log(amplitude * np.expm1(np.minimum(gap / tau, 700.0)) / within)
            if within > 0.0
            else np.full_like(tau, np.inf)
        )
    # Even a part that is already dry must be weighed twice, which the log requires.
    ready: Array = np.maximum(np.maximum(below, steady), 0.0)
    return ready


def _quantile(values: Array, weight: Array, share: float) -> float | None:
    order = np.argsort(values, kind="stable")
    reached = np.cumsum(weight[order])
    at = float(values[order][min(int(np.searchsorted(reached, share - 1e-12)), len(order) - 1)])
    return at if math.isfinite(at) else None


def _finite(value: float | None) -> float:
    return math.inf if value is None else value


def _point(at: float, tau: Array, end: Array, amplitude: Array, weight: Array) -> CurvePoint:
    mass = end + amplitude * np.exp(-at / tau)
    low, likely, high = (_finite(_quantile(mass, weight, share)) for share in (EARLY, LIKELY, LATE))
    return CurvePoint(time=at, low=low, likely=likely, high=high)
