"""How often the true metacentric radius is within the estimated band, for waterline families not used for the fit.

    python tests/benchmarks/waterplanes.py 2000

The six families differ in kind from those of waterplane_lines.py, which set the bands: offsets joined by monotone
cubics, B-splines of the fifth degree, bells, hyperbolic tangents, logarithms, and the bow of one with the stern of
another. Bows and sterns differ, and the width of the transom is drawn from the whole range for its kind. The families
and their ranges were written before the bands were checked on them. The last four families were written earlier still,
before a previous check.
"""

from __future__ import annotations

import sys

import numpy as np
from scipy.interpolate import BSpline, PchipInterpolator
from waterplane_fit import Line, drawn
from waterplane_lines import PLACES, Array, Family

from bulbcast.hull.estimate import ANY_SHAPE, SHAPES, Shape, metacentric_radius_along

LENGTH, BEAM, VOLUME = 0.9, 0.2, 0.004
SEED = 20261130


def monotones(chance: np.random.Generator, transom: float) -> Array:
    """Offsets at stations, joined by cubics that never overshoot (Fritsch and Carlson)."""
    fore, aft = (
        np.sort(chance.uniform(0.3, 0.97, 2)),
        np.sort(chance.uniform(max(transom, 0.3), 0.99, 2))[::-1],
    )
    x = np.array([0.0, 0.15, 0.32, chance.uniform(0.45, 0.6), 0.7, 0.86, 1.0])
    return np.asarray(PchipInterpolator(x, [0.0, *fore, 1.0, *aft, transom])(PLACES))


def quintics(chance: np.random.Generator, transom: float) -> Array:
    """Clamped B-spline of the fifth degree over eight evenly spaced control points."""
    rise, fall = (
        np.sort(chance.uniform(0.25, 1.1, 3)),
        np.sort(chance.uniform(max(transom, 0.3), 1.1, 3))[::-1],
    )
    knots = np.concatenate([np.zeros(6), [1 / 3, 2 / 3], np.ones(6)])
    x = BSpline(knots, np.array([0.0, 0.1, 0.26, 0.42, 0.58, 0.74, 0.9, 1.0]), 5)(np.linspace(0.0, 1.0, 801))
    y = BSpline(knots, np.concatenate([[0.0], rise, fall, [transom]]), 5)(np.linspace(0.0, 1.0, 801))
    crest = int(np.argmax(y))
    stern = transom + (y - transom) * (1.0 - transom) / (y[crest] - transom)
    return np.interp(PLACES, x, np.where(x < x[crest], y / y[crest], stern))


def bells(chance: np.random.Generator, transom: float) -> Array:
    """exp(-(s / w)^p) on each side of the largest beam, minus its value at the end."""

    def drop(share: Array, wide: float, power: float) -> Array:
        least = np.exp(-((1.0 / wide) ** power))
        return np.asarray((np.exp(-((share / wide) ** power)) - least) / (1.0 - least))

    fore, aft, bow = _sides(chance)
    wide, power = chance.uniform(0.7, 1.6, 2), chance.uniform(1.9, 3.0, 2)
    stern = transom + (1.0 - transom) * drop(aft, wide[1], power[1])
    return np.where(bow, drop(fore, wide[0], power[0]), stern)


def tangents(chance: np.random.Generator, transom: float) -> Array:
    """Hyperbolic tangents of the distance from either end."""
    fore, aft, bow = _sides(chance)
    steep = chance.uniform(0.9, 2.4, 2)
    ends = [
        np.tanh(one * (1.0 - share)) / np.tanh(one) for one, share in zip(steep, (fore, aft), strict=True)
    ]
    return np.where(bow, ends[0], transom + (1.0 - transom) * ends[1])


def logarithms(chance: np.random.Generator, transom: float) -> Array:
    """log(1 + c d) with d = 1 - s^2, where s is the distance from the point of maximum beam, as a fraction of the distance
    from there to the end."""
    fore, aft, bow = _sides(chance)
    full = np.exp(chance.uniform(-2.0, 1.5, 2))
    ends = [np.log1p(c * (1.0 - share**2)) / np.log1p(c) for c, share in zip(full, (fore, aft), strict=True)]
    return np.where(bow, ends[0], transom + (1.0 - transom) * ends[1])


def unlike(chance: np.random.Generator, transom: float) -> Array:
    """Bow of one family and stern of another, joined at their largest beams."""
    kinds = (monotones, bells, tangents, logarithms)
    first, second = chance.choice(len(kinds), 2, replace=False)
    ahead, astern = kinds[first](chance, transom), kinds[second](chance, transom)
    middle = chance.uniform(0.42, 0.65)
    crests = [PLACES[int(np.argmax(one))] for one in (ahead, astern)]
    bow = np.interp(PLACES / middle * crests[0], PLACES, ahead)
    stern = np.interp(1.0 - (1.0 - PLACES) / (1.0 - middle) * (1.0 - crests[1]), PLACES, astern)
    return np.where(middle > PLACES, bow, stern)


def _sides(chance: np.random.Generator) -> tuple[Array, Array, Array]:
    """Distances from the largest beam, as fractions of its distances to bow and stern, and a mask of the bow side."""
    widest = chance.uniform(0.42, 0.65)
    fore = np.clip(1.0 - PLACES / widest, 0.0, 1.0)
    return fore, np.clip((PLACES - widest) / (1.0 - widest), 0.0, 1.0), widest > PLACES


FAMILIES: tuple[Family, ...] = (monotones, quintics, bells, tangents, logarithms, unlike)


def held(line: Line, shape: Shape, *, beam_known: bool = False) -> bool:
    """Whether the true longitudinal BM is within the band of the estimate.

    Args:
        line: The waterline.
        shape: The stated kind of waterplane.
        beam_known: Whether the estimate uses the beam as well as area and length.
    """
    area = line.fullness * LENGTH * BEAM
    inertia, band = shape.inertia_and_band(line.fullness if beam_known else None)
    estimate = metacentric_radius_along(inertia, area=area, length=LENGTH, volume=VOLUME)
    true = line.inertia * area * LENGTH**2 / VOLUME
    return abs(true - estimate) <= band * estimate


def main() -> None:
    """Print how often the true value is within the bands, by kind of waterplane and by family."""
    lines = drawn(FAMILIES, int(sys.argv[1]) if len(sys.argv) > 1 else 2000, SEED)
    for beam_known in (False, True):
        print("area, length and beam:" if beam_known else "area and length:")
        for word, shape in SHAPES.items():
            own = [one for one in lines if one.word == word]
            rows = ", ".join(
                f"{family.__name__} "
                f"{np.mean([held(one, shape, beam_known=beam_known) for one in own if one.family == family.__name__]):.3f}"
                for family in FAMILIES
            )
            whole = np.mean([held(one, shape, beam_known=beam_known) for one in own])
            print(f"  {word}: {whole:.4f} of {len(own)} ({rows})")
        said = np.mean([held(one, SHAPES[one.word], beam_known=beam_known) for one in lines])
        print(f"  all, by their words: {said:.4f}")
        print(
            f"  all, without a word: {np.mean([held(one, ANY_SHAPE, beam_known=beam_known) for one in lines]):.4f}"
        )
    centres = [
        abs(one.centre - SHAPES[one.word].centre) <= 2.0 * SHAPES[one.word].centre_spread for one in lines
    ]
    print(f"centre of flotation within two standard deviations: {np.mean(centres):.4f}")


if __name__ == "__main__":
    main()
