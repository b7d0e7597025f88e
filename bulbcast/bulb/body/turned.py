"""The turned body: a profile with a length, a diameter, a section and a tail cut.

Bulb axes: origin at the nose on the axis, x aft, y to starboard, z up. Every section is an ellipse with semi-axes
r sqrt(k) across and r / sqrt(k) up, with k = width over height. Its area is that of the circle of radius r(x).
"""

from __future__ import annotations

import math
from collections.abc import Callable
from functools import lru_cache

import numpy as np

from bulbcast.bulb.body.profiles import Profile
from bulbcast.quantities.frozen import frozen
from bulbcast.solids.quadrature import Array


@frozen
class TurnedBody:
    """A finished lead body before the pocket and holes are cut.

    Attributes:
        profile: Meridian of unit length and unit radius.
        uncut_length: Length of the whole profile, before the tail is cut square. [m]
        diameter: Diameter of the circle with the same area as the largest section. [m]
        width_to_height: Width over height of every section. [-]
        cut: xi at which the tail is cut square; 1 if it is not cut. [-]
        tail_q: (r/R)^2 of the tail face. [-]
        tail_slope: Slope of (r/R)^2 in xi at the tail face. [-]
    """

    profile: Profile
    uncut_length: float
    diameter: float
    width_to_height: float
    cut: float
    tail_q: float
    tail_slope: float

    @property
    def length(self) -> float:
        """Length from nose to tail face. [m]"""
        return self.uncut_length * self.cut

    @property
    def fineness(self) -> float:
        """Length over diameter of the finished body. [-]"""
        return self.length / self.diameter

    @property
    def width(self) -> float:
        """Width of the largest section. [m]"""
        return self.diameter * math.sqrt(self.width_to_height)

    @property
    def height(self) -> float:
        """Height of the largest section. [m]"""
        return self.diameter / math.sqrt(self.width_to_height)

    @property
    def max_at(self) -> float:
        """Distance of the largest section from the nose. [m]"""
        return min(self.profile.max_at, self.cut) * self.uncut_length

    @property
    def tail_radius(self) -> float:
        """Equal-area radius of the tail face; 0 for a closed tail. [m]"""
        return 0.5 * self.diameter * math.sqrt(max(self.tail_q, 0.0))

    def squared_radius(self, x: Array) -> tuple[Array, Array]:
        """r^2 and its slope along x, continued as a straight line past both ends of the uncut profile.

        The straight continuation is negative outside, so that a root search that starts outside finds the body. Between
        the tail cut and the end of the profile, the values are those of the uncut profile.

        Args:
            x: Distances from the nose, any shape. [m]

        Returns:
            r^2 [m2] and d(r^2)/dx [m].
        """
        xi = np.asarray(x, dtype=np.float64) / self.uncut_length
        inside = np.minimum(np.maximum(xi, 0.0), 1.0)
        q, slope = self.profile.squared(inside)
        past = xi - inside
        scale = 0.25 * self.diameter**2
        if not past.any():
            return scale * q, scale / self.uncut_length * slope
        # At a cusp the slope at the end is zero; let the radius fall by one per length all the same.
        steep = np.where(past < 0.0, np.maximum(slope, 1.0), np.minimum(slope, -1.0))
        return (
            scale * np.where(past != 0.0, q + steep * past, q),
            scale / self.uncut_length * np.where(past != 0.0, steep, slope),
        )

    def radius(self, x: Array) -> Array:
        """Equal-area radius at x, with the shape of x; 0 outside the body. [m]"""
        r2, _ = self.squared_radius(x)
        inside = (np.asarray(x) >= 0.0) & (np.asarray(x) <= self.length * (1.0 + 1e-15))
        return np.sqrt(np.where(inside, np.maximum(r2, 0.0), 0.0))


def tail_cut(profile: Profile, tail_to_diameter: float) -> float:
    """Position of the square tail cut: the first point aft of the largest section at which the body is as thin as the
    tail.

    Args:
        profile: Meridian of unit length and unit radius.
        tail_to_diameter: Tail diameter over the largest diameter, at least 0 and below 1. [-]

    Returns:
        xi of the tail face; 1 if the profile ends before it gets that thin. [-]
    """
    wanted = tail_to_diameter**2
    grid, q_grid = _tail_grid(profile.squared, profile.max_at, profile.breaks)
    below = np.flatnonzero(q_grid <= wanted)
    if not len(below) or below[0] == 0:
        return 1.0
    first = int(below[0])
    if wanted == 0.0 and first == len(grid) - 1:
        # A tail that is not cut ends where its profile does: at a cusp rounding hides the root over 1e-8 of the length.
        # Stop just short of the end, since the very point of a cusp has no radius to divide by.
        return 1.0 if profile.at(1.0)[1] != 0.0 else 1.0 - 2.0**-50
    fore, aft = float(grid[first - 1]), float(grid[first])
    high, low = float(q_grid[first - 1]), float(q_grid[first])
    # Starting where the chord between the neighbours gets that thin, Newton needs three or four steps.
    place = fore + (aft - fore) * (high - wanted) / (high - low)
    for _ in range(100):
        q, slope = profile.at(place)
        excess = q - wanted
        if excess > 0.0:
            fore = place
        else:
            aft = place
        # Newton's step, or bisection where it would leave the bracket.
        step = place - excess / slope if slope != 0.0 else fore
        if abs(step - place) <= 1e-12:
            # Each step squares the error. Checked before the bracket: at the root itself rounding can put
            # the step outside it.
            return min(max(step, fore), aft)
        if not fore < step < aft:
            step = 0.5 * (fore + aft)
        place = step
    return place


@lru_cache(maxsize=16)
def _tail_grid(
    squared: Callable[[Array], tuple[Array, Array]], max_at: float, breaks: tuple[float, ...]
) -> tuple[Array, Array]:
    """A grid aft of the largest section and the values of q on it, cached for each outline function."""
    # Cosine spacing towards the tail, because a round tail falls steeply at its very end.
    angle = np.linspace(math.acos(1.0 - 2.0 * max_at), math.pi, 65)
    grid = np.unique(np.append(0.5 * (1.0 - np.cos(angle)), breaks))
    grid = grid[grid >= max_at]
    grid[-1] = 1.0
    return grid, squared(grid)[0]


def turned_body(
    profile: Profile,
    *,
    diameter: float,
    tail_diameter: float,
    width_to_height: float = 1.0,
    length: float | None = None,
    fineness: float | None = None,
) -> TurnedBody:
    """A body of the given finished length or fineness, with its tail cut square.

    Args:
        profile: Meridian of unit length and unit radius.
        diameter: Equal-area diameter of the largest section. [m]
        tail_diameter: Diameter at which the tail is cut; below `diameter`. [m]
        width_to_height: Width over height of every section. [-]
        length: Length of the finished body; give either this or the fineness. [m]
        fineness: Length of the finished body over its diameter. [-]

    Returns:
        The body; its length, diameter and fineness are those after the cut.

    Raises:
        ValueError: Both or neither of length and fineness are given, or the tail's diameter is negative or not below
            `diameter`.
    """
    if (length is None) == (fineness is None):
        raise ValueError("give either length or fineness, but not both")
    if not 0.0 <= tail_diameter < diameter:
        raise ValueError(f"tail_diameter {tail_diameter:g} m must be below the diameter {diameter:g} m")
    cut = tail_cut(profile, tail_diameter / diameter)
    tail_q, tail_slope = profile.at(cut)
    finished = length if length is not None else float(fineness or 0.0) * diameter
    return TurnedBody(
        profile=profile,
        uncut_length=finished / cut,
        diameter=diameter,
        width_to_height=width_to_height,
        cut=cut,
        tail_q=tail_q,
        tail_slope=tail_slope,
    )
