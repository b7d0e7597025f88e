"""Meridian profiles: the outline to be turned, scaled to unit length and unit largest radius.

A profile gives q = (r/R)^2 and its slope dq/dxi as functions of xi = x/L. The square is used because r ~ sqrt(x) at a
round nose: q rises there with a finite slope, but r does not. Every profile is scaled to a true maximum of 1, whatever
its nominal thickness.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from functools import lru_cache
from types import MappingProxyType
from typing import cast

import numpy as np

from bulbcast.fin.foil_section import FOUR_DIGIT_COEFFICIENTS, MODIFIED_TRAILING_SLOPES, modified_coefficients
from bulbcast.quantities.frozen import field, frozen
from bulbcast.solids.quadrature import Array


class NoBodyError(ValueError):
    """Raised if the profile's parameters do not give a body that can be turned.

    Attributes:
        reason: What is wrong with the outline, in words.
        key: The plan key that fixes it, without its section.
        nearest: Values of that key that work, in words; empty if none was found.
    """

    def __init__(self, reason: str, *, key: str, nearest: str = "") -> None:
        super().__init__(reason)
        self.reason = reason
        self.key = key
        self.nearest = nearest


@frozen
class Profile:
    """A meridian outline of unit length and unit largest radius.

    Attributes:
        kind: Name of the profile in a plan.
        squared: xi -> (q, dq/dxi), arrays with the shape of xi, for xi in [0, 1]. [-]
        breaks: Values of xi between 0 and 1 at which a derivative jumps, ascending. [-]
        max_at: xi of the largest radius. [-]
        parameters: Figures that the profile was made from, by name, for reports.
        source: Publication that defines the form.
    """

    kind: str
    squared: Callable[[Array], tuple[Array, Array]] = field(repr=False, compare=False)
    breaks: tuple[float, ...]
    max_at: float
    parameters: tuple[tuple[str, float], ...] = ()
    source: str = ""

    def at(self, xi: float) -> tuple[float, float]:
        """q and its slope in xi, at one point. [-]"""
        # A scalar costs a tenth of an array with one value, but the search in a table needs the array.
        one = np.array([xi]) if self.kind == "offsets" else cast("Array", np.float64(xi))
        q, slope = self.squared(one)
        return (float(q), float(slope)) if one.ndim == 0 else (float(q[0]), float(slope[0]))

    def radius(self, xi: Array) -> Array:
        """r/R at xi, with the shape of xi. [-]"""
        q, _ = self.squared(np.asarray(xi, dtype=np.float64))
        return np.sqrt(np.maximum(q, 0.0))


def _root_and_powers(xi: Array, root_coefficient: float, *powers: float) -> tuple[Array, Array]:
    """q = y^2 and its slope for y = a0 sqrt(xi) + a1 xi + a2 xi^2 + ..., by Horner's rule.

    With y = sqrt(xi) g the products stay finite at the nose, although dy/dxi does not.
    """
    root = np.sqrt(xi)
    tail: Array | float = powers[-1]
    tail_slope: Array | float = 0.0
    for a in reversed(powers[:-1]):
        tail_slope = tail_slope * xi + tail
        tail = tail * xi + a
    # y = sqrt(xi) g,  g = a0 + sqrt(xi) (a1 + a2 xi + ...),  q = xi g^2
    g = root_coefficient + root * tail
    # dq/dxi = g^2 + 2 xi g dg/dxi,  xi dg/dxi = sqrt(xi) (tail / 2 + xi dtail/dxi)
    return xi * g * g, g * (g + 2.0 * root * (0.5 * tail + xi * tail_slope))


def _scaled(
    raw: Callable[[Array], tuple[Array, Array]], top: float
) -> Callable[[Array], tuple[Array, Array]]:
    def squared(xi: Array) -> tuple[Array, Array]:
        q, slope = raw(xi)
        return q / top, slope / top

    return squared


def _true_maximum(
    raw: Callable[[Array], tuple[Array, Array]], breaks: tuple[float, ...]
) -> tuple[float, float]:
    """Position and value of the largest q, from a fine grid and then bisection on the slope."""
    grid = np.unique(np.concatenate([np.linspace(0.0, 1.0, 4001)[1:], np.asarray(breaks, dtype=np.float64)]))
    q, _ = raw(grid)
    best = int(np.argmax(q))
    lower = float(grid[max(best - 1, 0)])
    upper = float(grid[min(best + 1, len(grid) - 1)])
    for _ in range(80):
        middle = 0.5 * (lower + upper)
        _, slope = raw(np.array([middle]))
        if slope[0] > 0.0:
            lower = middle
        else:
            upper = middle
    place = 0.5 * (lower + upper)
    value = float(raw(np.array([place]))[0][0])
    # A table's maximum is at a knot, where the slope may only touch zero.
    if q[best] >= value:
        return float(grid[best]), float(q[best])
    return place, value


@lru_cache(maxsize=64)
def four_digit() -> Profile:
    """Turned body of the NACA four-digit thickness form, with the published open trailing edge.

    Returns:
        The profile; it ends in a disc whose diameter is 0.021 times the largest diameter.

    References:
        NACA TR-460 (1933); NASA TM-4741 (1996), equation of the thickness form.
    """

    def raw(xi: Array) -> tuple[Array, Array]:
        return _root_and_powers(xi, *FOUR_DIGIT_COEFFICIENTS)

    max_at, top = _true_maximum(raw, ())
    return Profile(
        kind="naca4",
        squared=_scaled(raw, top),
        breaks=(),
        max_at=max_at,
        source="NACA TR-460 (1933); NASA TM-4741 (1996)",
    )


def modified_four_digit_coefficients(
    max_at: float, nose_index: float
) -> tuple[tuple[float, float, float, float], tuple[float, float, float, float]]:
    """Coefficients of the NACA modified four-digit form, as half thickness over thickness.

    Args:
        max_at: Position of the maximum thickness: 0.2, 0.3, 0.4, 0.5 or 0.6 of the length. [-]
        nose_index: Leading-edge index, 6 for the plain form; the radius is proportional to its square. [-]

    Returns:
        (a0..a3) of sqrt(x), x, x^2, x^3 forward and (d0..d3) of powers of 1 - x aft. [-]

    Raises:
        NoBodyError: `max_at` is not one of the published values.

    References:
        NACA TR-492 (1934); NASA TM-4741 (1996): y = 1/2, slope 0 and equal curvature at max_at.
    """
    if max_at not in MODIFIED_TRAILING_SLOPES:
        raise NoBodyError(
            f"the modified four-digit form is published for a largest section at 0.2, 0.3, 0.4, 0.5 or 0.6 "
            f"of the length, not at {max_at:g}",
            key="max_at",
            nearest=f"{min(MODIFIED_TRAILING_SLOPES, key=lambda place: abs(place - max_at)):g}",
        )
    return modified_coefficients(max_at, nose_index, MODIFIED_TRAILING_SLOPES[max_at])


@lru_cache(maxsize=64)
def modified_four_digit(*, max_at: float, nose_index: float) -> Profile:
    """Turned body of the NACA modified four-digit thickness form.

    Args:
        max_at: Position of the maximum thickness: 0.2, 0.3, 0.4, 0.5 or 0.6 of the length. [-]
        nose_index: Leading-edge index, above 0 and up to 8; 6 gives the plain form's radius. [-]

    Returns:
        The profile; it ends in a disc whose diameter is 0.02 times the nominal diameter.

    Raises:
        NoBodyError: `max_at` is not a published value, or the outline is not a body.

    References:
        NACA TR-492 (1934); NASA TM-4741 (1996).
    """
    fore, aft = modified_four_digit_coefficients(max_at, nose_index)

    def raw(xi: Array) -> tuple[Array, Array]:
        forward = xi <= max_at
        # Each half is evaluated only where it is used: the forward one diverges past max_at.
        q_fore, s_fore = _root_and_powers(np.where(forward, xi, max_at), *fore)
        u = np.where(forward, 1.0 - max_at, 1.0 - xi)
        d0, d1, d2, d3 = aft
        y_aft = d0 + u * (d1 + u * (d2 + u * d3))
        s_aft = -(d1 + u * (2.0 * d2 + u * 3.0 * d3))
        return np.where(forward, q_fore, y_aft * y_aft), np.where(forward, s_fore, 2.0 * y_aft * s_aft)

    top_at, top = _true_maximum(raw, (max_at,))
    grid = np.linspace(0.0, max_at, 1001)[1:]
    a0, a1, a2, a3 = fore
    if float(np.min(a0 * np.sqrt(grid) + grid * (a1 + grid * (a2 + grid * a3)))) <= 0.0:
        raise NoBodyError(
            f"with nose_index {nose_index:g}, the modified four-digit outline narrows to nothing ahead of its largest "
            f"section at {max_at:g}",
            key="nose_index",
            nearest="larger values, up to 8",
        )
    return Profile(
        kind="naca4mod",
        squared=_scaled(raw, top),
        breaks=(max_at,),
        max_at=top_at,
        parameters=(("max_at", max_at), ("nose_index", nose_index)),
        source="NACA TR-492 (1934); NASA TM-4741 (1996)",
    )


@lru_cache(maxsize=64)
def spheroid() -> Profile:
    """Prolate spheroid, q = 4 xi (1 - xi), the simplest body to turn."""

    def squared(xi: Array) -> tuple[Array, Array]:
        return 4.0 * xi * (1.0 - xi), 4.0 - 8.0 * xi

    return Profile(kind="spheroid", squared=squared, breaks=(), max_at=0.5, source="ellipse of revolution")


@lru_cache(maxsize=64)
def sears_haack() -> Profile:
    """Sears-Haack body, q = (4 xi (1 - xi))^(3/2); prismatic coefficient 3 pi / 16.

    References:
        W. Haack (1941); W. R. Sears, J. Aeronautical Sciences 14 (1947).
    """

    def squared(xi: Array) -> tuple[Array, Array]:
        ellipse = np.maximum(4.0 * xi * (1.0 - xi), 0.0)
        return ellipse**1.5, 1.5 * np.sqrt(ellipse) * (4.0 - 8.0 * xi)

    return Profile(
        kind="sears-haack",
        squared=squared,
        breaks=(),
        max_at=0.5,
        source="Haack (1941); Sears, J. Aero. Sci. 14 (1947)",
    )


def series58_coefficients(
    *, max_at: float, nose_radius: float, tail_radius: float, prismatic: float
) -> Array:
    """Coefficients a1..a6 of (y/D)^2 = sum a_n (x/L)^n for the Series 58 bodies.

    Args:
        max_at: Position of the largest section, m. [-]
        nose_radius: r0 = R0 L / D^2. [-]
        tail_radius: r1 = R1 L / D^2. [-]
        prismatic: Prismatic coefficient of the uncut body. [-]

    Returns:
        The six coefficients, shape (6,). [-]

    References:
        M. Gertler, DTMB report C-297 (1950): the six conditions, as geometry texts restate them
        (a1 = 2 r0; sum a = 0; sum a m^n = 1/4; sum n a m^(n-1) = 0; sum n a = -2 r1;
        sum a/(n+1) = Cp/4). The report itself was not read.
    """
    n = np.arange(1.0, 7.0)
    m = max_at
    matrix = np.array([np.eye(6)[0], np.ones(6), m**n, n * m ** (n - 1.0), n, 1.0 / (n + 1.0)])
    right = np.array([2.0 * nose_radius, 0.0, 0.25, 0.0, -2.0 * tail_radius, prismatic / 4.0])
    found: Array = np.linalg.solve(matrix, right)
    # The first condition is exact: rounding must not turn a nose of no radius inside out.
    found[0] = 2.0 * nose_radius
    return found


def _series58_fault(coefficients: Array, max_at: float) -> str:
    """The reason why these coefficients do not give a body, or an empty string."""
    xi = np.linspace(0.0, 1.0, 4001)[1:-1]
    q = xi * np.polyval(coefficients[::-1], xi)
    if float(np.min(q)) <= 0.0:
        return f"the outline crosses its axis at {float(xi[np.argmin(q)]):.2f} of the length"
    if float(np.max(q)) > 0.25 * (1.0 + 1e-9):
        return (
            f"the outline is thickest at {float(xi[np.argmax(q)]):.2f} of the length, not at "
            f"max_at = {max_at:g}"
        )
    return ""


@lru_cache(maxsize=64)
def series58(*, max_at: float, nose_radius: float, tail_radius: float, prismatic: float) -> Profile:
    """A body of the Series 58 family, whose squared radius is a sixth-degree polynomial in the distance from the nose.

    Args:
        max_at: Position of the largest section, Gertler's m. [-]
        nose_radius: Gertler's r0 = R0 L / D^2. [-]
        tail_radius: Gertler's r1 = R1 L / D^2. [-]
        prismatic: Prismatic coefficient of the uncut body. [-]

    Returns:
        The profile.

    Raises:
        NoBodyError: The outline crosses its axis or is not thickest at `max_at`; `nearest` gives the range of prismatic
            coefficients that works, if there is one.

    References:
        M. Gertler, DTMB report C-297 (1950), not read; see `series58_coefficients`.
    """
    wanted = {
        "max_at": max_at, "nose_radius": nose_radius, "tail_radius": tail_radius, "prismatic": prismatic,
    }  # fmt: skip
    a = series58_coefficients(**wanted)
    fault = _series58_fault(a, max_at)
    if fault:
        works = [
            float(trial)
            for trial in np.arange(0.30, 0.901, 0.01)
            if not _series58_fault(series58_coefficients(**{**wanted, "prismatic": float(trial)}), max_at)
        ]
        raise NoBodyError(
            f"{fault} (max_at {max_at:g}, nose_radius {nose_radius:g}, tail_radius {tail_radius:g}, "
            f"prismatic {prismatic:g})",
            key="prismatic",
            nearest=f"{works[0]:.2f} to {works[-1]:.2f} with the other three unchanged" if works else "",
        )
    first, *further = (4.0 * a[::-1]).tolist()

    def squared(xi: Array) -> tuple[Array, Array]:
        # Value and slope from one run of Horner's rule; a general evaluation needs two.
        q: Array | float = first
        slope: Array | float = 0.0
        for coefficient in (*further, 0.0):
            slope = slope * xi + q
            q = q * xi + coefficient
        return np.maximum(q, 0.0), cast("Array", slope)

    return Profile(
        kind="series58",
        squared=squared,
        breaks=(),
        max_at=max_at,
        parameters=tuple(wanted.items()),
        source="Gertler, DTMB C-297 (1950), conditions restated in geometry texts",
    )


PROFILES: Mapping[str, Callable[..., Profile]] = MappingProxyType(
    {
        "naca4": four_digit,
        "naca4mod": modified_four_digit,
        "spheroid": spheroid,
        "sears-haack": sears_haack,
        "series58": series58,
    }
)
"""Profiles given by formulas, keyed by their names in a plan. Their parameters are named after the plan keys."""
