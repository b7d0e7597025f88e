"""Numerical outline of the pattern: half width and half height along its length, without a mesh.

A plane of symmetry cuts the parallel surface along the parallel curve of the body's outline, so the half width and
half height are exact, apart from the spacing of the points.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from bulbcast.bulb.body.turned import TurnedBody
from bulbcast.solids.quadrature import Array

_POINTS = 400


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class PatternOutline:
    """Half width and half height along the length of a pattern, in bulb axes.

    Attributes:
        x: Positions from the nose to the tail face, in ascending order, shape (n,). [m]
        half_width: Half width at each position, shape (n,). [m]
        half_height: Half height at each position, shape (n,). [m]
    """

    x: Array
    half_width: Array
    half_height: Array

    @property
    def nose(self) -> float:
        """Position of the nose. [m]"""
        return float(self.x[0])

    @property
    def tail(self) -> float:
        """Position of the tail face. [m]"""
        return float(self.x[-1])

    @property
    def length(self) -> float:
        """Length of the pattern. [m]"""
        return self.tail - self.nose

    @property
    def widest_at(self) -> float:
        """Position of the largest section. [m]"""
        return float(self.x[int(np.argmax(self.half_width * self.half_height))])

    def halves(self, x: float) -> tuple[float, float]:
        """Return the half width and half height at one position.

        Args:
            x: Position in bulb axes; the result is zero outside the pattern. [m]
        """
        if not self.nose <= x <= self.tail:
            return 0.0, 0.0
        return float(np.interp(x, self.x, self.half_width)), float(np.interp(x, self.x, self.half_height))

    def between(self, start: float, end: float) -> PatternOutline:
        """Return the part of the outline between two positions, with a section at each end.

        Args:
            start: Start of the part. [m]
            end: End of the part. [m]
        """
        inside = self.x[(self.x > start) & (self.x < end)]
        x = np.concatenate([[start], inside, [end]])
        return PatternOutline(
            x=x,
            half_width=np.interp(x, self.x, self.half_width),
            half_height=np.interp(x, self.x, self.half_height),
        )


def pattern_outline(body: TurnedBody, *, offset: float, scale: float) -> PatternOutline:
    """Return the outline of a pattern: the body's parallel surface, scaled about the nose.

    Args:
        body: The lead body.
        offset: Distance of the parallel surface from the body, before scaling. [m]
        scale: Scale of the pattern. [-]
    """
    end = 2.0 * math.asin(math.sqrt(body.cut))
    x = body.uncut_length * np.sin(0.5 * np.linspace(0.0, end, _POINTS)) ** 2
    x[-1] = body.length
    x = np.unique(np.append(x, body.max_at))
    r2, slope = body.squared_radius(x)
    r = np.sqrt(np.maximum(r2, 0.0))
    across = math.sqrt(body.width_to_height)
    lines = []
    for stretch in (across, 1.0 / across):
        # The outline is y = stretch r(x); its normal is along (-stretch^2 r r', y), finite at a round nose.
        nx, ny = -0.5 * stretch**2 * slope, stretch * r
        size = np.hypot(nx, ny)
        size = np.where(size > 0.0, size, 1.0)
        lines.append((x + offset * nx / size, stretch * r + offset * ny / size))
    places = np.linspace(-offset, body.length + offset, 2 * _POINTS)
    # Closer together at the ends, where the outline curves most.
    turn = 0.5 * (1.0 - np.cos(np.linspace(0.0, math.pi, 2 * _POINTS)))
    places = np.unique(np.append(places[0] + (places[-1] - places[0]) * turn, body.max_at))
    halves = []
    for stretch, (along, out) in zip((across, 1.0 / across), lines, strict=True):
        # Near a round nose the width is steep but its square is straight.
        h = np.sqrt(np.interp(places, along, np.maximum(out, 0.0) ** 2, left=0.0))
        # Beyond the last normal of the side lies the rounded edge of the tail face.
        past = np.maximum(places - body.length, 0.0)
        edge = stretch * body.tail_radius + np.sqrt(np.maximum(offset**2 - past**2, 0.0))
        halves.append(np.where(places > along[-1], edge, h) if offset > 0.0 else h)
    return PatternOutline(x=scale * places, half_width=scale * halves[0], half_height=scale * halves[1])
