"""Mean skin friction of a smooth surface on its wetted area: the lines that are published.

Every line takes Reynolds numbers one at a time or as an array, and answers in the same shape. The
logarithms are to base 10; with natural ones every line is wrong by a factor of about five.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]

SLOWEST_REYNOLDS = 1e3
"""Below it none of the lines means anything: ITTC-57 and Hughes run to infinity at 100. Judgement."""
CRITICAL_REYNOLDS = 5e5
"""Where a smooth flat plate in a quiet stream turns turbulent; textbooks give 3e5 to 3e6."""


class FrictionError(ValueError):
    """A Reynolds number at which no line holds."""


def reynolds_number(speed: float | Array, length: float | Array, kinematic_viscosity: float | Array) -> Array:
    """Reynolds number on a length.

    Args:
        speed: Through the water. [m/s]
        length: Along the flow. [m]
        kinematic_viscosity: Of the water. [m2/s]

    Returns:
        Speed times length over viscosity, in the common shape of the three. [-]
    """
    product = np.asarray(speed, dtype=np.float64) * np.asarray(length, dtype=np.float64)
    return np.asarray(product / np.asarray(kinematic_viscosity, dtype=np.float64))


def ittc57(reynolds: float | Array) -> Array:
    """The ITTC-57 ship-model correlation line.

    It is a correlation line and a little above the friction of a flat plate at low numbers.

    Args:
        reynolds: On the length, at least 1000. [-]

    Returns:
        Friction coefficient on the wetted area, 0.075 / (log10 Re - 2)^2, shape of the input. [-]

    Raises:
        FrictionError: A Reynolds number below 1000, or not finite.

    References:
        8th International Towing Tank Conference, Madrid 1957; ITTC 7.5-02-02-01.
    """
    return np.asarray(0.075 / (np.log10(_checked(reynolds)) - 2.0) ** 2)


def hughes(reynolds: float | Array) -> Array:
    """Hughes's line for two-dimensional turbulent flow, without any form effect in it.

    Args:
        reynolds: On the length, at least 1000. [-]

    Returns:
        Friction coefficient on the wetted area, 0.067 / (log10 Re - 2)^2, shape of the input. [-]

    Raises:
        FrictionError: A Reynolds number below 1000, or not finite.

    References:
        G. Hughes, Trans. Institution of Naval Architects 96 (1954), with the constant 0.067 that
        textbooks give.
    """
    return np.asarray(0.067 / (np.log10(_checked(reynolds)) - 2.0) ** 2)


def blasius(reynolds: float | Array) -> Array:
    """Laminar friction of a flat plate.

    Args:
        reynolds: On the length, at least 1000. [-]

    Returns:
        Mean friction coefficient, 1.328 / sqrt(Re), shape of the input. [-]

    Raises:
        FrictionError: A Reynolds number below 1000, or not finite.

    References:
        H. Blasius, Zeitschrift fuer Mathematik und Physik 56 (1908).
    """
    return np.asarray(1.328 / np.sqrt(_checked(reynolds)))


def prandtl_schlichting(reynolds: float | Array) -> Array:
    """Turbulent friction of a smooth flat plate from its leading edge on.

    Args:
        reynolds: On the length, at least 1000. [-]

    Returns:
        Mean friction coefficient, 0.455 / (log10 Re)^2.58, shape of the input. [-]

    Raises:
        FrictionError: A Reynolds number below 1000, or not finite.

    References:
        H. Schlichting, Boundary-Layer Theory, chapter on the flat plate.
    """
    return np.asarray(0.455 / np.log10(_checked(reynolds)) ** 2.58)


def mixed_constant(critical_reynolds: float | Array = CRITICAL_REYNOLDS) -> Array:
    """The constant A of the mixed line, computed so that the line is continuous.

    Books print rounded ones (1050, 1700, 3300, 8700 for 3e5, 5e5, 1e6, 3e6; from memory), with which the
    line jumps at the transition.

    Args:
        critical_reynolds: Where the flow turns turbulent, at least 1000. [-]

    Returns:
        A = Re_c (turbulent - laminar friction at Re_c), shape of the input. [-]

    Raises:
        FrictionError: A Reynolds number below 1000, or not finite.

    References:
        Prandtl's argument, as in Schlichting, Boundary-Layer Theory: the laminar stretch saves what
        turbulent flow would cost there.
    """
    critical = _checked(critical_reynolds)
    return np.asarray(critical * (prandtl_schlichting(critical) - blasius(critical)))


def mixed(reynolds: float | Array, critical_reynolds: float | Array = CRITICAL_REYNOLDS) -> Array:
    """Laminar friction up to the transition, turbulent from there on.

    Args:
        reynolds: On the length, at least 1000. [-]
        critical_reynolds: Where the flow turns turbulent, at least 1000. [-]

    Returns:
        Blasius's friction up to the transition and Prandtl's and Schlichting's less A / Re beyond it,
        in the common shape of both. [-]

    Raises:
        FrictionError: A Reynolds number below 1000, or not finite.

    References:
        As `mixed_constant`.
    """
    number = _checked(reynolds)
    beyond = prandtl_schlichting(number) - mixed_constant(critical_reynolds) / number
    return np.where(number <= np.asarray(critical_reynolds), blasius(number), beyond)


def _checked(reynolds: float | Array) -> Array:
    number = np.asarray(reynolds, dtype=np.float64)
    if not bool(np.all(np.isfinite(number) & (number >= SLOWEST_REYNOLDS))):
        worst = float(np.min(number)) if bool(np.all(np.isfinite(number))) else float("nan")
        raise FrictionError(
            f"The Reynolds number is {worst:.4g}; the friction lines are used from {SLOWEST_REYNOLDS:g} up. "
            "Take a higher speed."
        )
    return number
