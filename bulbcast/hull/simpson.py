"""Simpson's rules for ordinates at arbitrary spacing, with a record of the rule used for each interval."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from bulbcast.solids.quadrature import Array

_ALIKE = 1e-6


@dataclass(frozen=True, slots=True, kw_only=True)
class RulePiece:
    """Neighbouring intervals covered by one rule.

    Attributes:
        rule: "Simpson 1/3", "Simpson 3/8" or "trapezoid". [-]
        first: Index of the first ordinate. [-]
        last: Index of the last ordinate. [-]
    """

    rule: str
    first: int
    last: int


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Rule:
    """Weights for a sum over ordinates, shape (n,) [unit of x], and the pieces from which they were built."""

    weights: Array
    pieces: tuple[RulePiece, ...]

    @property
    def by_trapezoid(self) -> int:
        """Number of intervals covered by the trapezoid rule. [-]"""
        return sum(piece.last - piece.first for piece in self.pieces if piece.rule == "trapezoid")


def integration_rule(x: Array) -> Rule:
    """Return the integration rule for ordinates at given x.

    Each run of equal spacing is integrated separately: an even number of intervals by the 1/3 rule, an odd number of
    three or more by the 1/3 rule with the 3/8 rule on the last three, and a single interval, which no Simpson rule
    fits, by the trapezoid rule.

    Args:
        x: Positions of the ordinates in ascending order, shape (n,), n at least 2. [any length unit]

    Returns:
        Weights and pieces.

    References:
        Simpson's first rule h/3 (1, 4, 1) and second rule 3 h/8 (1, 3, 3, 1): exact for cubics.
    """
    spacing = np.diff(x)
    weights = np.zeros(len(x))
    pieces = []
    at = 0
    while at < len(spacing):
        end = at + 1
        while end < len(spacing) and abs(spacing[end] - spacing[at]) <= _ALIKE * spacing[at]:
            end += 1
        count = end - at
        h = float(x[end] - x[at]) / count
        if count == 1:
            weights[at : at + 2] += 0.5 * h
            pieces.append(RulePiece(rule="trapezoid", first=at, last=end))
        else:
            thirds = count if count % 2 == 0 else count - 3
            if thirds:
                for left in range(at, at + thirds, 2):
                    weights[left : left + 3] += h / 3.0 * np.array([1.0, 4.0, 1.0])
                pieces.append(RulePiece(rule="Simpson 1/3", first=at, last=at + thirds))
            if count % 2:
                weights[end - 3 : end + 1] += 3.0 * h / 8.0 * np.array([1.0, 3.0, 3.0, 1.0])
                pieces.append(RulePiece(rule="Simpson 3/8", first=end - 3, last=end))
        at = end
    return Rule(weights=weights, pieces=tuple(pieces))


def blended(x: Array, y: Array, at: Array) -> Array:
    """Evaluate the curve that underlies Simpson's rule: parabolas through the ordinates, blended between knots.

    Between two ordinates it is the cubic whose slope at each knot is that of the parabola through the knot and its
    neighbours. It is smooth, local, and exact for parabolas at any spacing. Beyond the ends, the first and last
    parabolas continue.

    Args:
        x: Positions of the ordinates in ascending order, shape (n,), n at least 2. [any length unit]
        y: Ordinates, shape (n,) or (n, k). [any unit]
        at: Positions at which to evaluate the curve, shape (m,). [unit of x]

    Returns:
        Values, shape (m,) or (m, k). [unit of y]

    References:
        A. W. Overhauser (1968): parabolic blending.
    """
    rows = y.reshape(len(x), -1)
    h = np.diff(x)[:, None]
    d = np.diff(rows, axis=0) / h
    slopes = np.empty_like(rows)
    if len(x) == 2:
        slopes[:] = d
    else:
        slopes[1:-1] = (h[1:] * d[:-1] + h[:-1] * d[1:]) / (h[1:] + h[:-1])
        slopes[0] = 2.0 * d[0] - slopes[1]
        slopes[-1] = 2.0 * d[-1] - slopes[-2]
    left = np.clip(np.searchsorted(x, at, side="right") - 1, 0, len(x) - 2)
    t = ((at - x[left]) / np.diff(x)[left])[:, None]
    width = h[left]
    values = (
        rows[left] * (1.0 + 2.0 * t) * (1.0 - t) ** 2
        + slopes[left] * width * t * (1.0 - t) ** 2
        + rows[left + 1] * t * t * (3.0 - 2.0 * t)
        - slopes[left + 1] * width * t * t * (1.0 - t)
    )
    return values.reshape(at.shape + y.shape[1:])
