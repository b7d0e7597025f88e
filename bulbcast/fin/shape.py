"""Sections other than the plain four-digit one: a foil with its maximum thickness elsewhere, a plate with rounded
edges, or a measured section.

A shape is the starboard side of a section of unit chord and unit thickness, from the leading edge aft, in pieces; along
each piece, x and y are smooth functions of one parameter. It is scaled to the chord and the thickness at every height
of the fin. Ends may be blunt, with a straight face from side to side.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import lru_cache
from itertools import pairwise

import numpy as np

from bulbcast.fin.foil_section import SectionNumbers, modified_coefficients, section_numbers, trailing_slope
from bulbcast.solids.monotone import monotone_slopes
from bulbcast.solids.quadrature import Array, gauss

_NODES = 24
_AT_THE_NOSE = 1e-9


@dataclass(frozen=True, slots=True, kw_only=True)
class Powers:
    """A piece of a section with x = u^2 and y a polynomial in u, which makes a round nose smooth. All [-].

    Attributes:
        start: u at its fore end.
        end: u at its aft end.
        coefficients: Coefficients of 1, u, u^2 and so on.
    """

    start: float
    end: float
    coefficients: tuple[float, ...]

    def curve(self, share: Array) -> tuple[Array, Array, Array]:
        """Return points and their first and second derivatives with respect to the fraction along the piece, each of
        shape (2, n)."""
        wide = self.end - self.start
        u = np.maximum(self.start + wide * share, _AT_THE_NOSE)
        y = np.polynomial.Polynomial(self.coefficients)
        first, second = y.deriv(1), y.deriv(2)
        return (
            np.stack([u * u, y(u)]),
            wide * np.stack([2.0 * u, first(u)]),
            wide**2 * np.stack([np.full_like(u, 2.0), second(u)]),
        )

    def share_at(self, x: Array) -> Array:
        """Return the fraction along the piece at a given x, clamped to the range 0 to 1."""
        return np.clip((np.sqrt(np.maximum(x, 0.0)) - self.start) / (self.end - self.start), 0.0, 1.0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Rounding:
    """A quarter of an ellipse that rounds an edge, scaled to unit chord and thickness. All [-].

    Attributes:
        centre: x and y of the ellipse's centre.
        radii: Radii along x and y.
        fore: Whether the quarter belongs to the leading edge and runs from the face to the side; otherwise it runs from
            the side to the face.
    """

    centre: tuple[float, float]
    radii: tuple[float, float]
    fore: bool

    def curve(self, share: Array) -> tuple[Array, Array, Array]:
        """Return points and their first and second derivatives, as `Powers.curve` does."""
        quarter = 0.5 * math.pi
        angle = 2.0 * quarter - quarter * share if self.fore else quarter - quarter * share
        radii = np.array(self.radii)[:, None]
        unit = np.stack([np.cos(angle), np.sin(angle)])
        turned = np.stack([np.sin(angle), -np.cos(angle)])
        return (
            np.array(self.centre)[:, None] + radii * unit,
            quarter * radii * turned,
            -(quarter**2) * radii * unit,
        )

    def share_at(self, x: Array) -> Array:
        """Return the fraction along the piece at each x, as `Powers.share_at` does."""
        cosine = np.clip((x - self.centre[0]) / self.radii[0], -1.0, 1.0)
        quarters = np.arccos(cosine) / (0.5 * math.pi)
        return np.clip(2.0 - quarters if self.fore else 1.0 - quarters, 0.0, 1.0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Shape:
    """The starboard side of a section, in pieces ordered from forward to aft. Equal shapes have equal pieces."""

    pieces: tuple[Powers | Rounding, ...]

    @property
    def breaks(self) -> tuple[float, ...]:
        """Points at which pieces meet, as fractions of the chord. [-]"""
        return tuple(float(one.curve(np.zeros(1))[0][0, 0]) for one in self.pieces[1:])


@lru_cache(maxsize=16)
def foil_shape(max_at: float) -> Shape:
    """Return the modified four-digit form with nose index 6, for a foil whose maximum thickness is not at three tenths of
    the chord.

    Args:
        max_at: Distance of the maximum thickness aft of the leading edge, as a fraction of the chord, 0.2 to 0.6. [-]

    References:
        See `modified_coefficients` and `trailing_slope` in `foil_section.py`.
    """
    (a0, a1, a2, a3), aft = modified_coefficients(max_at, 6.0, trailing_slope(max_at))
    # Powers of 1 - x written out in powers of u = sqrt(x).
    behind = np.polynomial.Polynomial(aft)(np.polynomial.Polynomial([1.0, 0.0, -1.0]))
    meet = math.sqrt(max_at)
    return Shape(
        pieces=(
            Powers(start=0.0, end=meet, coefficients=(0.0, a0, a1, 0.0, a2, 0.0, a3)),
            Powers(start=meet, end=1.0, coefficients=tuple(float(one) for one in behind.coef)),
        )
    )


@lru_cache(maxsize=16)
def plate_shape(chord: float, thickness: float, edge_radius: float | None) -> Shape:
    """Return the section of a plate with flat sides and rounded edges.

    Args:
        chord: Chord. [m]
        thickness: Thickness. [m]
        edge_radius: Radius of both edges, limited to half the thickness and half the chord; None for half the
            thickness. [m]
    """
    radius = 0.5 * thickness if edge_radius is None else min(edge_radius, 0.5 * thickness, 0.5 * chord)
    along, across = radius / chord, radius / thickness
    flat = Powers(start=math.sqrt(along), end=math.sqrt(1.0 - along), coefficients=(0.5,))
    if radius <= 0.0:
        return Shape(pieces=(flat,))
    height, radii = 0.5 - across, (along, across)
    return Shape(
        pieces=(
            Rounding(centre=(along, height), radii=radii, fore=True),
            flat,
            Rounding(centre=(1.0 - along, height), radii=radii, fore=False),
        )
    )


@lru_cache(maxsize=16)
def measured_shape(stations: tuple[tuple[float, float], ...], chord: float) -> Shape:
    """Return a section that passes through thicknesses measured along the chord. At an edge without a measurement, the
    thickness is zero.

    Half the thickness is a shape-preserving cubic in the square root of the distance, which represents a round nose as
    a straight line. The cubic never exceeds the measured thicknesses, so the largest of them is the section's maximum
    thickness.

    Args:
        stations: Distances from the leading edge, in ascending order, and the full thickness at each; at least two.
            [m], [m]
        chord: Chord. [m]
    """
    largest = max(thickness for _, thickness in stations)
    knots = [(math.sqrt(at / chord), 0.5 * thickness / largest) for at, thickness in stations]
    if knots[0][0] > 0.0:
        knots.insert(0, (0.0, 0.0))
    if knots[-1][0] < 1.0:
        knots.append((1.0, 0.0))
    u, y = (np.array(each) for each in zip(*knots, strict=True))
    slopes = monotone_slopes(u, y) if len(u) > 2 else np.full(2, (y[1] - y[0]) / (u[1] - u[0]))
    pieces = []
    for at, to in pairwise(range(len(u))):
        wide, rise = float(u[to] - u[at]), float(y[to] - y[at])
        steep = rise / wide
        local = np.polynomial.Polynomial(
            (
                float(y[at]),
                float(slopes[at]),
                (3.0 * steep - 2.0 * float(slopes[at]) - float(slopes[to])) / wide,
                (float(slopes[at]) + float(slopes[to]) - 2.0 * steep) / wide**2,
            )
        )
        whole = local(np.polynomial.Polynomial([-float(u[at]), 1.0]))
        pieces.append(
            Powers(start=float(u[at]), end=float(u[to]), coefficients=tuple(float(one) for one in whole.coef))
        )
    return Shape(pieces=tuple(pieces))


def half_of(shape: Shape, x: Array) -> tuple[Array, Array]:
    """Return the half thickness and the slope of a shape.

    Args:
        shape: Section shape with unit chord and thickness.
        x: Distances aft of the leading edge, 0 to 1, array of any shape. [-]

    Returns:
        Half thickness and slope, each with the shape of x; the slope is infinite at a round nose. [-]
    """
    places = np.asarray(x, dtype=np.float64)
    y, slope = np.zeros_like(places), np.zeros_like(places)
    ends = (*shape.breaks, math.inf)
    low = -math.inf
    for piece, high in zip(shape.pieces, ends, strict=True):
        here = (places >= low) & (places < high)
        at, first, _ = piece.curve(piece.share_at(places[here]))
        y[here] = at[1]
        with np.errstate(divide="ignore"):
            slope[here] = first[1] / first[0]
        low = high
    return y, slope


def area_between(shape: Shape, low: float, high: float) -> tuple[float, float]:
    """Return the section's area between two points along the chord, both sides together, and its first moment about the
    leading edge.

    Args:
        shape: Section shape with unit chord and thickness.
        low: Forward end of the area, 0 or more. [-]
        high: After end of the area, 1 or less. [-]
    """
    area = moment = 0.0
    nodes, weights = gauss(_NODES)
    for piece in shape.pieces:
        start, end = (float(piece.share_at(np.array(place))) for place in (low, high))
        if end <= start:
            continue
        at, first, _ = piece.curve(start + (end - start) * nodes)
        slices = 2.0 * (end - start) * weights * at[1] * first[0]
        area += float(np.sum(slices))
        moment += float(np.sum(slices * at[0]))
    return area, moment


def numbers_of(shape: Shape | None) -> SectionNumbers:
    """Return the coefficients of a shape, or of the plain four-digit section if `shape` is None."""
    return section_numbers() if shape is None else shape_numbers(shape)


@lru_cache(maxsize=32)
def shape_numbers(shape: Shape) -> SectionNumbers:
    """Calculate a shape's coefficients by quadrature.

    Args:
        shape: Section shape with unit chord and thickness.

    References:
        See `section_numbers`. Blunt ends reduce the torsion constant as much as those of a rectangle do.
    """
    nodes, weights = gauss(_NODES)
    sums = np.zeros(6)
    faces = tuple(
        float(piece.curve(np.array([end]))[0][1, 0])
        for piece, end in ((shape.pieces[0], 0.0), (shape.pieces[-1], 1.0))
    )
    largest, where = 0.0, [0.0]
    for number, piece in enumerate(shape.pieces):
        (x, y), (dx, dy), _ = piece.curve(nodes)
        slices = weights * dx
        cubes = y**3
        # A blunt face carries no torsion itself, so its thickness does not count in the slope term.
        over = cubes - (faces[0] ** 3 if number == 0 else 0.0)
        over = over - (faces[1] ** 3 if number == len(shape.pieces) - 1 else 0.0)
        sums += [
            float(np.sum(one))
            for one in (
                slices * y,
                slices * x * y,
                slices * x * x * y,
                slices * cubes,
                slices * x * cubes,
                weights * np.maximum(over, 0.0) * dy**2 / dx,
            )
        ]
        (across, up), _, _ = piece.curve(np.linspace(0.0, 1.0, 401))
        top = float(np.max(up))
        places = [float(one) for one in across[up >= top - 1e-12]]
        if top > largest + 1e-12:
            largest, where = top, places
        elif top > largest - 1e-12:
            where = where + places
    area, centroid = 2.0 * sums[0], sums[1] / sums[0]
    across_chord = 2.0 * sums[3] / 3.0
    return SectionNumbers(
        area=float(area),
        centroid=float(centroid),
        across=float(across_chord),
        along=float(2.0 * sums[2] - area * centroid**2),
        modulus=float(across_chord / largest),
        torsion=float(4.0 * across_chord),
        torsion_slope=float(3.0 * sums[5] / sums[3]),
        flexural_axis=float(sums[4] / sums[3]),
        half_thickness=largest,
        max_at=0.5 * (min(where) + max(where)),
        blunt=(2.0 * faces[0]) ** 4 + (2.0 * faces[1]) ** 4,
    )
