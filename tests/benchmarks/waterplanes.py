"""How often the estimated metacentric radius holds within its band, on waterlines of families not used for the fit.

    python tests/benchmarks/waterplanes.py 2000

Five families of other kinds than those of waterplane_lines.py, by which the bands are set: wave lines (versed sine and
trochoid), chains, three sines upon a straight line, roots and cubics as of a foil, rational functions. Bows and sterns are
unlike; the transom is drawn from the whole range of its word. They and their ranges were written before the bands were held
against them.
"""

from __future__ import annotations

import sys

import numpy as np
from waterplane_fit import Line, drawn
from waterplane_lines import PLACES, Array, Family

from bulbcast.hull.estimate import ANY_SHAPE, SHAPES, Shape, metacentric_radius_along

LENGTH, BEAM, VOLUME = 0.9, 0.2, 0.004
SEED = 20261130


def wave_lines(chance: np.random.Generator, transom: float) -> Array:
    """Colin Archer's wave line: a versed sine to the bow, filled out by a straight line, and a trochoid to the stern."""
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
    """A hanging chain to either side of a straight run amidships."""
    start, end = chance.uniform(0.38, 0.55), chance.uniform(0.55, 0.65)
    fore, aft = np.clip((start - PLACES) / start, 0.0, 1.0), np.clip((PLACES - end) / (1.0 - end), 0.0, 1.0)

    def drop(share: Array, sag: float) -> Array:
        return np.asarray((np.cosh(sag * share) - 1.0) / (np.cosh(sag) - 1.0))

    sags = chance.uniform(0.3, 2.2, 2)
    return np.asarray(1.0 - drop(fore, sags[0]) - (1.0 - transom) * drop(aft, sags[1]))


def fourier(chance: np.random.Generator, transom: float) -> Array:
    """A straight line from stem to transom and three sines upon it."""
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
    """A root and cubic of the distance from the bow, as a foil's nose and run, cut off at the transom."""
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
    """(1 - s^2) / (1 + c s^2) to either side of the largest beam."""
    widest = chance.uniform(0.42, 0.65)
    fore = np.clip(1.0 - PLACES / widest, 0.0, 1.0)
    aft = np.clip((PLACES - widest) / (1.0 - widest), 0.0, 1.0)
    bow, stern = (
        (1.0 - one**2) / (1.0 + c * one**2)
        for one, c in zip((fore, aft), chance.uniform(-0.5, 0.9, 2), strict=True)
    )
    return np.asarray(np.where(fore > 0.0, bow, transom + (1.0 - transom) * stern))


FAMILIES: tuple[Family, ...] = (wave_lines, catenaries, fourier, foils, rationals)


def held(line: Line, shape: Shape, *, beam_known: bool = False) -> bool:
    """Whether the true BM lengthways lies within the band of the estimate.

    Args:
        line: The waterline.
        shape: The kind of waterplane that is said.
        beam_known: Whether the estimate has her beam beside area and length.
    """
    area = line.fullness * LENGTH * BEAM
    inertia, band = shape.inertia_and_band(line.fullness if beam_known else None)
    estimate = metacentric_radius_along(inertia, area=area, length=LENGTH, volume=VOLUME)
    true = line.inertia * area * LENGTH**2 / VOLUME
    return abs(true - estimate) <= band * estimate


def main() -> None:
    """Print how often the bands hold, by word and by family."""
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
