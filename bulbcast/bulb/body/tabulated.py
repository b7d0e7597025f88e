"""A profile from a table of ordinates, measured from a drawing by a builder or read back from a file."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from bulbcast.bulb.body.profiles import NoBodyError, Profile
from bulbcast.solids.monotone import monotone_slopes
from bulbcast.solids.quadrature import Array


def tabulated(x: Sequence[float], r: Sequence[float], *, source: str = "") -> Profile:
    """A profile through ordinates: the squared radius is a shape-preserving cubic in x.

    The square is interpolated because it rises linearly from a round nose, and because
    the volume is its integral.

    Args:
        x: Distances from the nose, at least 4, strictly ascending from 0. [any one length unit]
        r: Radii at these distances: 0 at the nose, then positive, and 0 or more at the tail. [same unit]
        source: File that the ordinates came from, for messages and reports.

    Returns:
        The profile.

    Raises:
        NoBodyError: There are fewer than 4 rows, the columns differ in length, a figure is not finite, x does not
            ascend, the first row is not x = 0 and r = 0, or a later radius is outside the range above.
    """
    stations = np.asarray(x, dtype=np.float64)
    radii = np.asarray(r, dtype=np.float64)
    if len(stations) != len(radii) or len(stations) < 4:
        raise NoBodyError(
            f"{source}: a table of ordinates needs at least 4 rows, but this one has {len(stations)}",
            key="offsets",
        )
    if not (np.all(np.isfinite(stations)) and np.all(np.isfinite(radii))):
        raise NoBodyError(f"{source}: the table contains a figure that is not finite", key="offsets")
    falling = np.flatnonzero(np.diff(stations) <= 0.0)
    if len(falling):
        row = int(falling[0]) + 2
        raise NoBodyError(
            f"{source}: row {row}: x does not ascend ({stations[row - 2]:g}, then {stations[row - 1]:g})",
            key="offsets",
        )
    if stations[0] != 0.0 or radii[0] != 0.0:
        raise NoBodyError(
            f"{source}: the first row must be the nose, x = 0 and r = 0, but it is x = {stations[0]:g}, r = {radii[0]:g}",
            key="offsets",
        )
    if np.any(radii[1:-1] <= 0.0) or radii[-1] < 0.0:
        row = int(np.flatnonzero(np.append(radii[1:-1] <= 0.0, radii[-1] < 0.0))[0]) + 2
        raise NoBodyError(f"{source}: row {row}: r = {radii[row - 1]:g} is not above 0", key="offsets")

    knots = stations / stations[-1]
    q = (radii / np.max(radii)) ** 2
    slopes = monotone_slopes(knots, q)
    h = np.diff(knots)
    d = np.diff(q) / h
    c2 = (3.0 * d - 2.0 * slopes[:-1] - slopes[1:]) / h
    c3 = (slopes[:-1] + slopes[1:] - 2.0 * d) / h**2

    def squared(xi: Array) -> tuple[Array, Array]:
        i = np.clip(np.searchsorted(knots, xi, side="right") - 1, 0, len(h) - 1)
        t = xi - knots[i]
        value = q[i] + t * (slopes[i] + t * (c2[i] + t * c3[i]))
        slope = slopes[i] + t * (2.0 * c2[i] + t * 3.0 * c3[i])
        return np.maximum(value, 0.0), slope

    return Profile(
        kind="offsets",
        squared=squared,
        breaks=tuple(float(knot) for knot in knots[1:-1]),
        max_at=float(knots[int(np.argmax(q))]),
        source=source or "table of ordinates",
    )
