"""The waterlines that the bands of the estimated metacentric radius lengthways are set by.

    python tests/benchmarks/waterplane_fit.py 4000

Seven families: hard chines, powers of the distances from both ends, Bezier curves, arcs of circles, sines, half-ellipses,
cubics. Of each word the smallest band is printed that holds 95 of 100 of *every* family and that of the centre of flotation
likewise. None of these may stand in waterplanes.py, which holds the bands against families of other kinds.
"""

from __future__ import annotations

import sys
from collections.abc import Callable

import numpy as np

Array = np.ndarray
Family = Callable[[np.random.Generator, float], Array]
STRIPS = 4000
PLACES = (np.arange(STRIPS) + 0.5) / STRIPS
WIDTHS = {"pointed": (0.0, 0.0), "narrow-stern": (0.08, 0.5), "wide-stern": (0.5, 0.95)}
"""Of the waterline where it ends aft, over the beam."""
FULLNESS = (0.60, 0.86)
"""Area over length by beam, within which a waterline is taken for a hull's; common practice, no source. [-]"""


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


def half_ellipses(chance: np.random.Generator, transom: float) -> Array:
    """A quarter of an ellipse, made finer by a power, to either side of the largest beam."""
    widest = chance.uniform(0.42, 0.65)
    fore = np.clip(1.0 - PLACES / widest, 0.0, 1.0)
    aft = np.clip((PLACES - widest) / (1.0 - widest), 0.0, 1.0)
    fine = chance.uniform(0.5, 1.3, 2)
    ends = np.where(
        PLACES < widest, (1.0 - fore**2) ** fine[0], transom + (1.0 - transom) * (1.0 - aft**2) ** fine[1]
    )
    return np.asarray(ends)


def cubics(chance: np.random.Generator, transom: float) -> Array:
    """Cubics to either side of the largest beam, level there, with an entrance and a run of their own slope."""
    widest = chance.uniform(0.42, 0.65)
    fore = np.clip(PLACES / widest, 0.0, 1.0)
    aft = np.clip((1.0 - PLACES) / (1.0 - widest), 0.0, 1.0)
    entry, run = chance.uniform(1.0, 2.6, 2)

    def rise(share: Array, slope: float) -> Array:
        return np.asarray(slope * share + (3.0 - 2.0 * slope) * share**2 + (slope - 2.0) * share**3)

    return np.where(PLACES < widest, rise(fore, entry), transom + (1.0 - transom) * rise(aft, run))


FAMILIES: tuple[Family, ...] = (chines, powers, beziers, arcs, sines, half_ellipses, cubics)


def figures_of(half: Array) -> tuple[float, float, float]:
    """Fullness, k = I / (A L^2) about its own centre, and that centre over the length from the forward end.

    Args:
        half: Half breadths over the largest, of `STRIPS` strips.
    """
    area = float(half.mean())
    centre = float((half * PLACES).mean()) / area
    return area / float(half.max()), float((half * (PLACES - centre) ** 2).mean()) / area, centre


def drawn(families: tuple[Family, ...], count: int, seed: int) -> list[tuple[str, str, float, float]]:
    """Waterlines of hulls: word, family, k, centre of flotation over the length.

    Args:
        families: All of them alike often.
        count: How many. [-]
        seed: Of the draw. [-]
    """
    chance = np.random.default_rng(seed)
    found: list[tuple[str, str, float, float]] = []
    while len(found) < count:
        word = list(WIDTHS)[len(found) % 3]
        family = families[len(found) // 3 % len(families)]
        fullness, inertia, centre = figures_of(family(chance, float(chance.uniform(*WIDTHS[word]))))
        if FULLNESS[0] <= fullness <= FULLNESS[1]:
            found.append((word, family.__name__, inertia, centre))
    return found


def main() -> None:
    """Print the bands that hold 95 of 100 of every family."""
    lines = drawn(FAMILIES, int(sys.argv[1]) if len(sys.argv) > 1 else 4000, seed=101)
    for words in (*((one,) for one in WIDTHS), tuple(WIDTHS)):
        own = [one for one in lines if one[0] in words]
        ends = [
            np.quantile([one[2:] for one in own if one[1] == family.__name__], (0.025, 0.975), axis=0)
            for family in FAMILIES
        ]
        low, high = np.min([one[0] for one in ends], axis=0), np.max([one[1] for one in ends], axis=0)
        middle, half = 0.5 * (low + high), 0.5 * (high - low)
        print(
            f"{' or '.join(words)}: k {middle[0]:.4f} +- {half[0] / middle[0]:.3f} of it, "
            f"centre {middle[1]:.3f} +- {half[1]:.3f} of the length ({len(own)} waterlines)"
        )
        for family, (least, most) in zip(FAMILIES, ends, strict=True):
            print(
                f"    {family.__name__}: k {least[0]:.4f} to {most[0]:.4f}, centre {least[1]:.3f} to {most[1]:.3f}"
            )


if __name__ == "__main__":
    main()
