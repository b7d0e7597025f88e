"""Form factors of streamlined bodies of revolution: drag over the friction of their wetted area.

Each is one author's curve through measurements in turbulent flow. They differ by more than a bulb's
fineness changes any of them, so a single one is never used alone: `form_factor_range` gives the lowest and
the highest of the three.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]

_SHORTEST = 1.0


class FormFactorError(ValueError):
    """A fineness that no form factor is made for."""


def hoerner(fineness: float | Array) -> Array:
    """Hoerner's form factor.

    Args:
        fineness: Length over diameter, at least 1. [-]

    Returns:
        1 + 1.5 f^-1.5 + 7 f^-3, shape of the input. [-]

    Raises:
        FormFactorError: A fineness below 1, or not finite.

    References:
        S. F. Hoerner, Fluid-Dynamic Drag (1965), chapter 6; from memory.
    """
    f = _checked(fineness)
    return np.asarray(1.0 + 1.5 * f**-1.5 + 7.0 * f**-3.0)


def torenbeek(fineness: float | Array) -> Array:
    """Torenbeek's form factor.

    Args:
        fineness: Length over diameter, at least 1. [-]

    Returns:
        1 + 2.2 f^-1.5 + 3.8 f^-3, shape of the input. [-]

    Raises:
        FormFactorError: A fineness below 1, or not finite.

    References:
        E. Torenbeek, Synthesis of Subsonic Airplane Design (1982), appendix F; from memory.
    """
    f = _checked(fineness)
    return np.asarray(1.0 + 2.2 * f**-1.5 + 3.8 * f**-3.0)


def raymer(fineness: float | Array) -> Array:
    """Raymer's form factor. It is meant for fuselages, and pessimistic for a smooth bulb.

    Args:
        fineness: Length over diameter, at least 1. [-]

    Returns:
        1 + 60 f^-3 + f / 400, shape of the input. [-]

    Raises:
        FormFactorError: A fineness below 1, or not finite.

    References:
        D. P. Raymer, Aircraft Design: A Conceptual Approach, chapter 12; from memory.
    """
    f = _checked(fineness)
    return np.asarray(1.0 + 60.0 * f**-3.0 + f / 400.0)


FORM_FACTORS = (hoerner, torenbeek, raymer)


def form_factor_range(fineness: float | Array) -> tuple[Array, Array]:
    """The lowest and the highest of the form factors at a fineness.

    Args:
        fineness: Length over diameter, at least 1. [-]

    Returns:
        Both, each in the shape of the input; they are no bounds on the truth, only on the authors. [-]

    Raises:
        FormFactorError: A fineness below 1, or not finite.
    """
    factors = np.stack([factor(fineness) for factor in FORM_FACTORS])
    return np.asarray(np.min(factors, axis=0)), np.asarray(np.max(factors, axis=0))


def _checked(fineness: float | Array) -> Array:
    f = np.asarray(fineness, dtype=np.float64)
    if not bool(np.all(np.isfinite(f) & (f >= _SHORTEST))):
        worst = float(np.min(f)) if bool(np.all(np.isfinite(f))) else float("nan")
        raise FormFactorError(
            f"The fineness is {worst:.4g}; form factors are made for bodies longer than wide. "
            "Make it at least 1."
        )
    return f
