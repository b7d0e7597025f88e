"""Set the bands of the estimated longitudinal metacentric radius from families of waterlines.

    python tests/benchmarks/waterplane_fit.py 7200

The families are those of waterplane_lines.py. For each kind of waterplane it prints the smallest band of
k = I / (A L^2) that contains 95 % of *every* family, the band of the centre of flotation and, for a known beam, k
as a linear function of the fullness, with its band. waterplanes.py uses none of these families, and checks the bands
on others.
"""

from __future__ import annotations

import sys
from typing import NamedTuple

import numpy as np
from waterplane_lines import PLACES, SET_BY, Array, Family

WIDTHS = {"pointed": (0.0, 0.0), "narrow-stern": (0.08, 0.5), "wide-stern": (0.5, 0.95)}
"""Width of the waterline at its after end, divided by the beam."""
FULLNESS = (0.60, 0.86)
"""Accepted range of a waterline's area divided by length times beam; common practice, no source. [-]"""


class Line(NamedTuple):
    """A waterline: its kind and family, its area divided by length times beam, its k as in `figures_of`, and its centre
    of flotation as a fraction of the length. [-]"""

    word: str
    family: str
    fullness: float
    inertia: float
    centre: float


def figures_of(half: Array) -> tuple[float, float, float]:
    """Return the fullness, k = I / (A L^2) about the centre, and the centre's distance from the forward end.

    The distance is a fraction of the length.

    Args:
        half: Half breadths of `STRIPS` strips, divided by the largest.
    """
    area = float(half.mean())
    centre = float((half * PLACES).mean()) / area
    return area / float(half.max()), float((half * (PLACES - centre) ** 2).mean()) / area, centre


def drawn(families: tuple[Family, ...], count: int, seed: int) -> list[Line]:
    """Random waterlines of hulls.

    Args:
        families: Families to draw from; each is used equally often.
        count: Number of waterlines. [-]
        seed: Seed of the random draw. [-]
    """
    chance = np.random.default_rng(seed)
    found: list[Line] = []
    while len(found) < count:
        word = list(WIDTHS)[len(found) % 3]
        family = families[len(found) // 3 % len(families)]
        fullness, inertia, centre = figures_of(family(chance, float(chance.uniform(*WIDTHS[word]))))
        if FULLNESS[0] <= fullness <= FULLNESS[1]:
            found.append(Line(word, family.__name__, fullness, inertia, centre))
    return found


def print_bands(words: tuple[str, ...], lines: list[Line]) -> None:
    """Print the bands that contain 95 % of every family, without the beam and with it."""
    own = [one for one in lines if one.word in words]
    families = [[one for one in own if one.family == family.__name__] for family in SET_BY]
    ends = [
        np.quantile([(one.inertia, one.centre) for one in each], (0.025, 0.975), axis=0) for each in families
    ]
    low, high = np.min([one[0] for one in ends], axis=0), np.max([one[1] for one in ends], axis=0)
    middle, half = 0.5 * (low + high), 0.5 * (high - low)
    slope, at_zero = np.polyfit([one.fullness for one in own], [one.inertia for one in own], 1)
    off = [
        float(np.quantile([abs(one.inertia / (at_zero + slope * one.fullness) - 1.0) for one in each], 0.95))
        for each in families
    ]
    print(
        f"{' or '.join(words)}: k {middle[0]:.4f} +- {half[0] / middle[0]:.3f} of it, "
        f"centre {middle[1]:.3f} +- {half[1]:.3f};\n    k by fullness {at_zero:.4f} + {slope:.4f} C, +- {max(off):.3f} of it"
    )
    for family, (least, most), each in zip(SET_BY, ends, off, strict=True):
        print(
            f"    {family.__name__}: k {least[0]:.4f} to {most[0]:.4f}, by fullness +- {each:.3f}, "
            f"centre {least[1]:.3f} to {most[1]:.3f}"
        )


def main() -> None:
    """Print the bands for each kind of waterplane and for all kinds together."""
    lines = drawn(SET_BY, int(sys.argv[1]) if len(sys.argv) > 1 else 7200, seed=101)
    for words in (*((one,) for one in WIDTHS), tuple(WIDTHS)):
        print_bands(words, lines)


if __name__ == "__main__":
    main()
