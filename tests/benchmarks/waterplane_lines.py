"""Eighteen families of waterlines, used to set the bands of the estimated longitudinal metacentric radius.

Each family gives the half breadths of `STRIPS` strips, divided by the largest, for a given width at the after end. The
splines and all later families were first checked against bands set by the earlier families, which were meant to contain
95 of 100, and were then added to the set. Of the splines, superellipses, Lewis's maps, fifth-degree polynomials and
conics with pointed sterns, 91 of 100 were within the bands (68 for Lewis's maps). Of the wave lines, catenaries, sines
on a line, foils and rationals, 80 of 100 were (2 for wave lines, whose ends are hollow; 100 for all others). With a
known beam, 77 of 100 battens through offsets were within the bands set by the earlier families.
"""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
from scipy.interpolate import CubicSpline

Array = np.ndarray
Family = Callable[[np.random.Generator, float], Array]
STRIPS = 4000
PLACES = (np.arange(STRIPS) + 0.5) / STRIPS


def chines(chance: np.random.Generator, transom: float) -> Array:
    """Straight lines from stem to shoulder, midships, quarter and transom."""
    quarter = chance.uniform(0.64, 0.76)
    end = transom + (1.0 - transom) * chance.uniform(0.62, 0.9)
    places = [0.0, chance.uniform(0.2, 0.32), chance.uniform(0.45, 0.55), quarter, 1.0]
    return np.interp(PLACES, places, [0.0, chance.uniform(0.58, 0.8), 1.0, end, transom])


def powers(chance: np.random.Generator, transom: float) -> Array:
    """x^a (e - x)^b, with the end e beyond the stern if there is a transom."""
    fore, aft = chance.uniform(0.7, 1.1), chance.uniform(0.5, 1.0)

    def curve(end: float) -> Array:
        y = PLACES**fore * np.maximum(end - PLACES, 0.0) ** aft
        return np.asarray(y / y.max())

    low, high = 1.0, 8.0
    while transom > 0.0 and high - low > 1e-9:
        middle = 0.5 * (low + high)
        low, high = (middle, high) if curve(middle)[-1] < transom else (low, middle)
    return curve(low)


def beziers(chance: np.random.Generator, transom: float) -> Array:
    """Two cubic Bezier curves that meet at the largest beam."""
    widest = chance.uniform(0.45, 0.62)
    steps = np.linspace(0.0, 1.0, 400)
    blend = np.stack([(1 - steps) ** 3, 3 * steps * (1 - steps) ** 2, 3 * steps**2 * (1 - steps), steps**3])
    entry, run = chance.uniform(0.25, 0.75), chance.uniform(0.25, 0.75)
    fore_x = np.array([0.0, widest * 0.33, widest * chance.uniform(0.4, 0.7), widest]) @ blend
    fore_y = np.array([0.0, entry, 1.0, 1.0]) @ blend
    aft_x = np.array([widest, widest + (1 - widest) * chance.uniform(0.3, 0.6), 1 - 0.33 * (1 - widest), 1.0])
    aft_y = np.array([1.0, 1.0, transom + (1.0 - transom) * run, transom])
    return np.interp(PLACES, np.concatenate([fore_x, aft_x @ blend]), np.concatenate([fore_y, aft_y @ blend]))


def arcs(chance: np.random.Generator, transom: float) -> Array:
    """Circular arc at the bow, straight run amidships, and arc to the stern."""
    start, end = chance.uniform(0.4, 0.52), chance.uniform(0.52, 0.62)
    fore = np.clip((start - PLACES) / start, 0.0, 1.0)
    aft = np.clip((PLACES - end) / (1.0 - end), 0.0, 1.0)
    # A flat circle's arc is a parabola to the first order; these are deep enough to differ.
    deep = chance.uniform(0.2, 0.8, 2)

    def drop(share: Array, depth: float) -> Array:
        radius = (1.0 + depth**2) / (2.0 * depth)
        return np.asarray((radius - np.sqrt(radius**2 - share**2)) / depth)

    return np.asarray(1.0 - drop(fore, deep[0]) - (1.0 - transom) * drop(aft, deep[1]))


def sines(chance: np.random.Generator, transom: float) -> Array:
    """Sine with a shifted crest, raised to a power and cut off at the transom."""
    shift, power = chance.uniform(0.9, 1.35), chance.uniform(0.75, 1.15)
    # Where the sine has come down to the transom again.
    cut = 1.0 - np.arcsin(transom ** (1.0 / power)) / np.pi
    return np.asarray(np.sin(np.pi * cut * PLACES**shift) ** power)


def half_ellipses(chance: np.random.Generator, transom: float) -> Array:
    """Quarter of an ellipse on each side of the largest beam, raised to a power to vary its fineness."""
    widest = chance.uniform(0.42, 0.65)
    fore = np.clip(1.0 - PLACES / widest, 0.0, 1.0)
    aft = np.clip((PLACES - widest) / (1.0 - widest), 0.0, 1.0)
    fine = chance.uniform(0.5, 1.3, 2)
    ends = np.where(
        widest > PLACES, (1.0 - fore**2) ** fine[0], transom + (1.0 - transom) * (1.0 - aft**2) ** fine[1]
    )
    return np.asarray(ends)


def cubics(chance: np.random.Generator, transom: float) -> Array:
    """Cubic on each side of the maximum beam, level there, with separate slopes for the entrance and the run."""
    widest = chance.uniform(0.42, 0.65)
    fore = np.clip(PLACES / widest, 0.0, 1.0)
    aft = np.clip((1.0 - PLACES) / (1.0 - widest), 0.0, 1.0)
    entry, run = chance.uniform(1.0, 2.6, 2)

    def rise(share: Array, slope: float) -> Array:
        return np.asarray(slope * share + (3.0 - 2.0 * slope) * share**2 + (slope - 2.0) * share**3)

    return np.where(widest > PLACES, rise(fore, entry), transom + (1.0 - transom) * rise(aft, run))


def splines(chance: np.random.Generator, transom: float) -> Array:
    """A clamped uniform cubic B-spline whose control points rise to the largest beam and fall to the stern."""
    rise = np.sort(chance.uniform(0.35, 1.0, 2))
    fall = np.sort(chance.uniform(max(transom, 0.3), 1.0, 2))[::-1]
    y = np.concatenate([[0.0], rise, [1.0], fall, [transom]])
    steps = np.linspace(0.0, 1.0, 6)
    x = np.concatenate([[0.0], steps[1:-1] + chance.uniform(-0.05, 0.05, 4), [1.0]])
    x = np.insert(x, 3, 0.5 * (x[2] + x[3]))
    points = np.stack([x, y], axis=1)
    knots = np.concatenate([np.zeros(4), np.linspace(0.0, 1.0, len(x) - 2)[1:-1], np.ones(4)])
    curve = np.array([_de_boor(points, knots, one) for one in np.linspace(0.0, 1.0, 241)])
    return np.interp(PLACES, curve[:, 0], curve[:, 1] / curve[:, 1].max())


def _de_boor(points: Array, knots: Array, at: float) -> Array:
    """A point of the spline: de Boor's recurrence, C. de Boor, A Practical Guide to Splines."""
    span = min(int(np.searchsorted(knots, at, side="right")) - 1, len(points) - 1)
    own = [points[one] for one in range(span - 3, span + 1)]
    for level in range(1, 4):
        for one in range(3, level - 1, -1):
            low, high = knots[one + span - 3], knots[one + 1 + span - level]
            share = 0.0 if high == low else (at - low) / (high - low)
            own[one] = (1.0 - share) * own[one - 1] + share * own[one]
    return np.asarray(own[3])


def superellipses(chance: np.random.Generator, transom: float) -> Array:
    """Quarter of a superellipse on each side of the largest beam, each with its own two exponents."""
    widest = chance.uniform(0.42, 0.65)
    fore = np.clip(1.0 - PLACES / widest, 0.0, 1.0)
    aft = np.clip((PLACES - widest) / (1.0 - widest), 0.0, 1.0)
    a, b = chance.uniform(1.5, 2.6, 2)
    c, d = chance.uniform(0.9, 1.9, 2)
    return np.where(
        widest > PLACES,
        (1.0 - fore**a) ** (1.0 / c),
        transom + (1.0 - transom) * (1.0 - aft**b) ** (1.0 / d),
    )


def lewis(chance: np.random.Generator, transom: float) -> Array:
    """Lewis's two-parameter map of a circle, made asymmetric and cut off where it has narrowed to the transom."""
    first, third, skew = chance.uniform(0.5, 0.8), chance.uniform(-0.02, 0.08), chance.uniform(-0.22, 0.22)
    turn = np.linspace(np.pi, 0.0, 4001)
    x = (1.0 + first) * np.cos(turn) + third * np.cos(3.0 * turn)
    y = (1.0 - first) * np.sin(turn) - third * np.sin(3.0 * turn)
    x, y = x / np.abs(x).max(), np.maximum(y, 0.0) / y.max()
    x = x + skew * (1.0 - x**2)
    crest = int(np.argmax(y))
    ends = crest + int(np.argmin(np.abs(y[crest:] - transom)))
    x, y = x[: ends + 1], y[: ends + 1]
    return np.interp(PLACES, (x - x[0]) / (x[-1] - x[0]), y)


def fifths(chance: np.random.Generator, transom: float) -> Array:
    """Fifth-degree polynomials, level at the largest beam, with a slope and curvature given at each end."""
    widest = chance.uniform(0.42, 0.65)
    fore = np.clip(PLACES / widest, 0.0, 1.0)
    aft = np.clip((1.0 - PLACES) / (1.0 - widest), 0.0, 1.0)

    def rise(share: Array, slope: float, hollow: float, crest: float) -> Array:
        powers = np.array([[3.0, 4.0, 5.0], [1.0, 1.0, 1.0], [6.0, 12.0, 20.0]])
        # Height 1, slope 0 and curvature `crest` at the largest beam; slope and half curvature at the end.
        sides = np.array([-slope - 2.0 * hollow, 1.0 - slope - hollow, crest - 2.0 * hollow])
        c, d, e = np.linalg.solve(powers, sides)
        return np.asarray(slope * share + hollow * share**2 + c * share**3 + d * share**4 + e * share**5)

    ends = [
        (chance.uniform(1.1, 2.4), chance.uniform(-1.2, 0.6), chance.uniform(-3.0, -0.8)) for _ in range(2)
    ]
    return np.where(widest > PLACES, rise(fore, *ends[0]), transom + (1.0 - transom) * rise(aft, *ends[1]))


def conics(chance: np.random.Generator, transom: float) -> Array:
    """Conic on each side of the largest beam, as in lofting: end, shoulder point, largest beam and fullness (rho)."""
    widest = chance.uniform(0.42, 0.65)
    steps = np.linspace(0.0, 1.0, 400)

    def conic(corner: float, rho: float) -> tuple[Array, Array]:
        weight = rho / (1.0 - rho)
        below = (1 - steps) ** 2 + 2.0 * weight * steps * (1 - steps) + steps**2
        x = (2.0 * weight * steps * (1 - steps) * corner + steps**2) / below
        y = (2.0 * weight * steps * (1 - steps) + steps**2) / below
        return x, y

    sides = [conic(chance.uniform(0.25, 0.65), chance.uniform(0.32, 0.58)) for _ in range(2)]
    x = np.concatenate([widest * sides[0][0], 1.0 - (1.0 - widest) * sides[1][0][::-1]])
    y = np.concatenate([sides[0][1], transom + (1.0 - transom) * sides[1][1][::-1]])
    return np.interp(PLACES, x, y)


def wave_lines(chance: np.random.Generator, transom: float) -> Array:
    """Colin Archer's wave line: a versed sine to the bow, made fuller by a straight line, and a trochoid to the stern."""
    widest = chance.uniform(0.42, 0.65)
    fore = np.clip(PLACES / widest, 0.0, 1.0)
    aft = np.clip((1.0 - PLACES) / (1.0 - widest), 0.0, 1.0)
    straight, steep = chance.uniform(0.2, 0.9), chance.uniform(0.0, 0.9)
    turn = np.linspace(0.0, np.pi, 801)
    bow = (1.0 - straight) * 0.5 * (1.0 - np.cos(np.pi * fore)) + straight * np.sin(0.5 * np.pi * fore)
    # Crest at the largest beam: x = t - c sin t, y = 1 - cos t, the trough turned up.
    along, up = (turn + steep * np.sin(turn)) / np.pi, 0.5 * (1.0 - np.cos(turn))
    stern = transom + (1.0 - transom) * np.interp(aft, along, np.sin(0.5 * np.pi * up) if steep < 0.3 else up)
    return np.where(fore < 1.0, bow, stern)


def catenaries(chance: np.random.Generator, transom: float) -> Array:
    """Catenary on each side of a straight run amidships."""
    start, end = chance.uniform(0.38, 0.55), chance.uniform(0.55, 0.65)
    fore, aft = np.clip((start - PLACES) / start, 0.0, 1.0), np.clip((PLACES - end) / (1.0 - end), 0.0, 1.0)

    def drop(share: Array, sag: float) -> Array:
        return np.asarray((np.cosh(sag * share) - 1.0) / (np.cosh(sag) - 1.0))

    sags = chance.uniform(0.3, 2.2, 2)
    return np.asarray(1.0 - drop(fore, sags[0]) - (1.0 - transom) * drop(aft, sags[1]))


def fourier(chance: np.random.Generator, transom: float) -> Array:
    """Straight line from stem to transom with three sines added."""
    second, third = chance.uniform(-0.12, 0.12), chance.uniform(-0.06, 0.06)
    y = sum(part * np.sin((one + 1) * np.pi * PLACES) for one, part in enumerate((1.0, second, third)))
    # The line rises to what is the transom over the largest beam of the whole.
    low, high = 0.0, 8.0
    for _ in range(60):
        middle = 0.5 * (low + high)
        whole = y + middle * PLACES
        low, high = (middle, high) if middle < transom * whole.max() else (low, middle)
    whole = y + high * PLACES
    return np.asarray(whole / whole.max())


def foils(chance: np.random.Generator, transom: float) -> Array:
    """Square root plus cubic of the distance from the bow, like the nose and run of a foil, cut off at the transom."""
    root, widest = chance.uniform(0.1, 0.6), chance.uniform(0.42, 0.62)
    x = np.linspace(0.0, 1.0, 4001)
    # a sqrt(x) + b x + c x^2 + d x^3: height 1 and level at the largest beam, none at the end.
    powers = np.array([[widest, widest**2, widest**3], [1.0, 2.0 * widest, 3.0 * widest**2], [1.0, 1.0, 1.0]])
    sides = np.array([1.0 - root * np.sqrt(widest), -0.5 * root / np.sqrt(widest), -root])
    b, c, d = np.linalg.solve(powers, sides)
    y = root * np.sqrt(x) + b * x + c * x**2 + d * x**3
    crest = int(np.argmax(y))
    ends = crest + int(np.argmin(np.abs(y[crest:] / y.max() - transom)))
    return np.interp(PLACES, x[: ends + 1] / x[ends], np.maximum(y[: ends + 1], 0.0) / y.max())


def rationals(chance: np.random.Generator, transom: float) -> Array:
    """(1 - s^2) / (1 + c s^2) on each side of the largest beam."""
    widest = chance.uniform(0.42, 0.65)
    fore = np.clip(1.0 - PLACES / widest, 0.0, 1.0)
    aft = np.clip((PLACES - widest) / (1.0 - widest), 0.0, 1.0)
    bow, stern = (
        (1.0 - one**2) / (1.0 + c * one**2)
        for one, c in zip((fore, aft), chance.uniform(-0.5, 0.9, 2), strict=True)
    )
    return np.asarray(np.where(fore > 0.0, bow, transom + (1.0 - transom) * stern))


def battens(chance: np.random.Generator, transom: float) -> Array:
    """Batten through offsets at five stations, as a natural cubic spline."""
    fore, aft = (
        np.sort(chance.uniform(0.3, 0.97, 2)),
        np.sort(chance.uniform(max(transom, 0.3), 0.99, 2))[::-1],
    )
    x = np.array([0.0, 1 / 6, 2 / 6, chance.uniform(0.46, 0.58), 4 / 6, 5 / 6, 1.0])
    y = np.concatenate([[0.0], fore, [1.0], aft, [transom]])
    curve = CubicSpline(x, y, bc_type="natural")(PLACES)
    return np.asarray(np.maximum(curve, 0.0) / curve.max())


SET_BY: tuple[Family, ...] = (
    chines, powers, beziers, arcs, sines, half_ellipses, cubics, splines, superellipses, lewis, fifths, conics,
    wave_lines, catenaries, fourier, foils, rationals, battens,
)  # fmt: skip
