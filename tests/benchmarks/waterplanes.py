"""How often the estimated metacentric radius holds within its band, on waterlines of families not used for the fit.

    python tests/benchmarks/waterplanes.py 2000

Five families of other kinds than those of waterplane_fit.py, by which the bands were set: cubic B-splines, superellipses,
Lewis's conformal map of a circle made lopsided and cut off at the stern, fifth-degree polynomials and conics as a loftsman
draws them. Bows and sterns are unlike; the transom is drawn from the whole range of its word. They and their ranges were
written before the bands were held against them, and the bands are what they were then.
"""

from __future__ import annotations

import sys

import numpy as np
from waterplane_fit import PLACES, WIDTHS, Array, Family, drawn

from bulbcast.hull.estimate import ANY_SHAPE, SHAPES, Shape, metacentric_radius_along

LENGTH, BEAM, VOLUME = 0.9, 0.2, 0.004
SEED = 20261130


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
    """A quarter of a superellipse to either side, each with its own two exponents."""
    widest = chance.uniform(0.42, 0.65)
    fore = np.clip(1.0 - PLACES / widest, 0.0, 1.0)
    aft = np.clip((PLACES - widest) / (1.0 - widest), 0.0, 1.0)
    a, b = chance.uniform(1.5, 2.6, 2)
    c, d = chance.uniform(0.9, 1.9, 2)
    return np.where(
        PLACES < widest,
        (1.0 - fore**a) ** (1.0 / c),
        transom + (1.0 - transom) * (1.0 - aft**b) ** (1.0 / d),
    )


def lewis(chance: np.random.Generator, transom: float) -> Array:
    """Lewis's two-parameter map of a circle, made lopsided, cut off where it has come down to the transom."""
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
    """Fifth-degree polynomials, level at the largest beam, with slope and curvature of their own at the ends."""
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
    return np.where(PLACES < widest, rise(fore, *ends[0]), transom + (1.0 - transom) * rise(aft, *ends[1]))


def conics(chance: np.random.Generator, transom: float) -> Array:
    """A conic to either side as a loftsman draws it: end, shoulder point, largest beam, and how full it is (rho)."""
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


FAMILIES: tuple[Family, ...] = (splines, superellipses, lewis, fifths, conics)


def held(inertia: float, shape: Shape) -> bool:
    """Whether the true BM lengthways lies within the band of the estimate from area and length alone.

    Args:
        inertia: The true k, second moment over area and length squared.
        shape: The kind of waterplane that is said.
    """
    area = 0.7 * LENGTH * BEAM
    estimate = metacentric_radius_along(shape, area=area, length=LENGTH, volume=VOLUME)
    return abs(inertia * area * LENGTH**2 / VOLUME - estimate) <= shape.band * estimate


def main() -> None:
    """Print how often the bands hold, by word and by family."""
    lines = drawn(FAMILIES, int(sys.argv[1]) if len(sys.argv) > 1 else 2000, SEED)
    for word in WIDTHS:
        shape = SHAPES[word]
        own = [one for one in lines if one[0] == word]
        rows = ", ".join(
            f"{family.__name__} {np.mean([held(k, shape) for _, name, k, _ in own if name == family.__name__]):.3f}"
            for family in FAMILIES
        )
        where = np.mean([abs(centre - shape.centre) <= 2.0 * shape.centre_spread for *_, centre in own])
        whole = np.mean([held(k, shape) for _, _, k, _ in own])
        print(f"{word}: {whole:.4f} of {len(own)} within {shape.band:.0%} ({rows}); flotation {where:.3f}")
    print(f"all, by their words: {np.mean([held(k, SHAPES[word]) for word, _, k, _ in lines]):.4f}")
    print(f"all, without a word: {np.mean([held(k, ANY_SHAPE) for _, _, k, _ in lines]):.4f}")


if __name__ == "__main__":
    main()
