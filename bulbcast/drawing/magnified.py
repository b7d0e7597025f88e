"""Magnification of lengths too small to see, with the factor stated on the drawing."""

from __future__ import annotations

import math

_STEPS = (1.0, 2.0, 5.0)


def magnification(largest: float, most: float) -> float:
    """Return the largest magnification of a length that fits: 1, 2 or 5 times a power of ten.

    Args:
        largest: Greatest length to be drawn. [m]
        most: Greatest length that fits. [m]

    Returns:
        Magnification; 1 if the length is zero, below 1 if it is too large to fit at full size. [-]
    """
    if largest <= 0.0:
        return 1.0
    times = most / largest
    power = 10.0 ** math.floor(math.log10(times))
    return float(power * max(step for step in _STEPS if step * power <= times * (1.0 + 1e-9)))


def magnified_words(times: float) -> str:
    """Describe a magnification in words: "drawn 20 times larger".

    Args:
        times: Result of `magnification`. [-]
    """
    if times == 1.0:
        return "drawn to scale"
    return f"drawn {times:g} times larger" if times > 1.0 else f"drawn 1 to {1.0 / times:g}"
