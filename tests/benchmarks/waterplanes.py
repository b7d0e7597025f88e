"""How often the estimated metacentric radius holds within its band, on waterlines of families not used for the fit.

    python tests/benchmarks/waterplanes.py 2000

Five families of other kinds than those that the bands were set by: hard chines (straight lines between stations), powers
of the distances from both ends (cut off at a transom), Bezier curves, arcs of circles with a straight run between, sines.
Pointed and transom sterns, bows and sterns that are unlike; drawn at random with a fixed seed, classed by the width at the
after end as a builder would. The second moments are summed over 4,000 strips.
"""

from __future__ import annotations

import sys

import numpy as np

from bulbcast.hull.estimate import ANY_SHAPE, SHAPES, Shape, metacentric_radius_along

Array = np.ndarray
STRIPS = 4000
PLACES = (np.arange(STRIPS) + 0.5) / STRIPS
LENGTH, BEAM, VOLUME = 0.9, 0.2, 0.004
WIDTHS = {"pointed": (0.0, 0.0), "narrow-stern": (0.08, 0.5), "wide-stern": (0.5, 0.95)}
"""Of the waterline where it ends aft, over the beam."""


def chines(chance: np.random.Generator, transom: float) -> Array:
    """Straight lines from stem to shoulder, midships, quarter and transom."""
    quarter = chance.uniform(0.64, 0.76)
    end = transom + (1.0 - transom) * chance.uniform(0.62, 0.9)
    places = [0.0, chance.uniform(0.2, 0.32), chance.uniform(0.45, 0.55), quarter, 1.0]
    return np.interp(PLACES, places, [0.0, chance.uniform(0.58, 0.8), 1.0, end, transom])


def powers(chance: np.random.Generator, transom: float) -> Array:
    """x^a (e - x)^b, the end e beyond the stern where there is a transom."""
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
    """An arc of a circle at the bow, a straight run amidships, an arc to the stern."""
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
    """A sine whose crest is shifted, raised to a power, and cut off at the transom."""
    shift, power = chance.uniform(0.9, 1.35), chance.uniform(0.75, 1.15)
    # Where the sine has come down to the transom again.
    cut = 1.0 - np.arcsin(transom ** (1.0 / power)) / np.pi
    return np.asarray(np.sin(np.pi * cut * PLACES**shift) ** power)


FAMILIES = (chines, powers, beziers, arcs, sines)


def drawn(count: int, seed: int = 613) -> list[tuple[str, str, Array]]:
    """Waterlines: word, family, half breadths over the largest.

    Args:
        count: How many. [-]
        seed: Of the draw. [-]
    """
    chance = np.random.default_rng(seed)
    found = []
    for number in range(count):
        word = list(WIDTHS)[number % 3]
        family = FAMILIES[number // 3 % len(FAMILIES)]
        transom = float(chance.uniform(*WIDTHS[word])) if word != "pointed" else 0.0
        found.append((word, family.__name__, family(chance, transom)))
    return found


def held(half: Array, shape: Shape) -> bool:
    """Whether the true BM lengthways lies within the band of the estimate from area and length alone.

    Args:
        half: Half breadths over the largest.
        shape: The kind of waterplane that is said.
    """
    strip = LENGTH / STRIPS
    breadth, x = BEAM * half, LENGTH * PLACES
    area = float(breadth.sum()) * strip
    centre = float((breadth * x).sum()) * strip / area
    true = float((breadth * (x - centre) ** 2).sum()) * strip / VOLUME
    estimate = metacentric_radius_along(shape, area=area, length=LENGTH, volume=VOLUME)
    return abs(true - estimate) <= shape.band * estimate


def main() -> None:
    """Print how often the bands hold."""
    count = int(sys.argv[1]) if len(sys.argv) > 1 else 2000
    lines = drawn(count)
    for word, shape in SHAPES.items():
        own = [(family, held(half, shape)) for said, family, half in lines if said == word]
        rows = ", ".join(
            f"{one.__name__} {np.mean([ok for family, ok in own if family == one.__name__]):.3f}"
            for one in FAMILIES
        )
        print(f"{word}: {np.mean([ok for _, ok in own]):.4f} of {len(own)} within {shape.band:.0%} ({rows})")
    print(f"all, by their words: {np.mean([held(half, SHAPES[word]) for word, _, half in lines]):.4f}")
    print(f"all, without a word: {np.mean([held(half, ANY_SHAPE) for _, _, half in lines]):.4f}")


if __name__ == "__main__":
    main()
