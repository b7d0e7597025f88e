"""The waterlines that the bands of the estimated metacentric radius lengthways are set by.

    python tests/benchmarks/waterplane_fit.py 7200

They are the families of waterplane_lines.py. Of each word are printed the smallest band of k = I / (A L^2) that holds
95 of 100 of *every* family, that of the centre of flotation, and, for where her beam is known too, k as a straight line over
the fullness with its band. None of the families stands in waterplanes.py, which holds the bands against others.
"""

from __future__ import annotations

import sys
from typing import NamedTuple

import numpy as np
from waterplane_lines import PLACES, SET_BY, Array, Family

WIDTHS = {"pointed": (0.0, 0.0), "narrow-stern": (0.08, 0.5), "wide-stern": (0.5, 0.95)}
"""Of the waterline where it ends aft, over the beam."""
FULLNESS = (0.60, 0.86)
"""Area over length by beam, within which a waterline is taken for a hull's; common practice, no source. [-]"""


class Line(NamedTuple):
    """A waterline: its word and family, area over length by beam, k, centre of flotation over the length. [-]"""

    word: str
    family: str
    fullness: float
    inertia: float
    centre: float


def figures_of(half: Array) -> tuple[float, float, float]:
    """Fullness, k = I / (A L^2) about its own centre, and that centre over the length from the forward end.

    Args:
        half: Half breadths over the largest, of `STRIPS` strips.
    """
    area = float(half.mean())
    centre = float((half * PLACES).mean()) / area
    return area / float(half.max()), float((half * (PLACES - centre) ** 2).mean()) / area, centre


def drawn(families: tuple[Family, ...], count: int, seed: int) -> list[Line]:
    """Waterlines of hulls.

    Args:
        families: All of them alike often.
        count: How many. [-]
        seed: Of the draw. [-]
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
    """The bands that hold 95 of 100 of every family, without her beam and with it."""
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
    """Print the bands of every word, and of any."""
    lines = drawn(SET_BY, int(sys.argv[1]) if len(sys.argv) > 1 else 7200, seed=101)
    for words in (*((one,) for one in WIDTHS), tuple(WIDTHS)):
        print_bands(words, lines)


if __name__ == "__main__":
    main()
