"""Finish: the metal left on the casting all round, to be filed off until the mass is right."""

from __future__ import annotations

FINISH_SOURCE = "judgement: 0.5 % of the diameter, at least 0.1 mm and at most 0.5 mm"


def default_finish(diameter: float) -> float:
    """Finish allowance where the plan gives none: 0.5 % of the diameter, from 0.1 to 0.5 mm.

    Args:
        diameter: Of the finished lead body. [m]

    Returns:
        Thickness of the layer to be filed off. [m]
    """
    return min(max(0.005 * diameter, 0.1e-3), 0.5e-3)
