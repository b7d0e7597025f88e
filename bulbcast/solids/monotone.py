"""Shape-preserving cubic through the points of a table, for a bulb's profile or a fin's measured section."""

from __future__ import annotations

import numpy as np

from bulbcast.solids.quadrature import Array


def monotone_slopes(x: Array, y: Array) -> Array:
    """Calculate the slopes at the knots of the shape-preserving cubic through (x, y).

    Args:
        x: Knots, strictly ascending, shape (n,), n at least 3. [any unit]
        y: Values, shape (n,). [any unit]

    Returns:
        Slopes, shape (n,): zero at every local extreme, so that the curve never overshoots its data.

    References:
        F. N. Fritsch, J. Butland, SIAM J. Sci. Stat. Comput. 5 (1984): weighted harmonic mean. End slopes: three-point
        formula with the shape guards of C. Moler, Numerical Computing with MATLAB (2004), ch. 3.
    """
    h = np.diff(x)
    d = np.diff(y) / h
    slopes = np.zeros_like(x)
    left, right = d[:-1], d[1:]
    w1, w2 = 2.0 * h[1:] + h[:-1], h[1:] + 2.0 * h[:-1]
    same = left * right > 0.0
    with np.errstate(divide="ignore", invalid="ignore"):
        mean = (w1 + w2) / (w1 / left + w2 / right)
    slopes[1:-1] = np.where(same, mean, 0.0)
    slopes[0] = _end_slope(h[0], h[1], d[0], d[1])
    slopes[-1] = _end_slope(h[-1], h[-2], d[-1], d[-2])
    return slopes


def _end_slope(h0: float, h1: float, d0: float, d1: float) -> float:
    slope = ((2.0 * h0 + h1) * d0 - h0 * d1) / (h0 + h1)
    if slope * d0 <= 0.0:
        return 0.0
    if d0 * d1 < 0.0 and abs(slope) > 3.0 * abs(d0):
        return 3.0 * float(d0)
    return float(slope)


def monotone_cubic(x: Array, y: Array, at: float) -> float:
    """Evaluate the shape-preserving cubic through (x, y) at one position.

    Args:
        x: Knots, same as for `monotone_slopes`.
        y: Values, same as for `monotone_slopes`.
        at: Position within the range of the knots. [unit of x]

    Returns:
        Value at that position. [unit of y]
    """
    slopes = monotone_slopes(x, y)
    i = int(np.clip(np.searchsorted(x, at, side="right") - 1, 0, len(x) - 2))
    wide, t = x[i + 1] - x[i], (at - x[i]) / (x[i + 1] - x[i])
    back = 1.0 - t
    start = back * back * ((1.0 + 2.0 * t) * y[i] + t * wide * slopes[i])
    return float(start + t * t * ((1.0 + 2.0 * back) * y[i + 1] - back * wide * slopes[i + 1]))
