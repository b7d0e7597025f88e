"""How hard something held under liquid lead pushes upwards: studs, tubes, cores."""

from __future__ import annotations

from bulbcast.materials.lead import liquid_density

POURING = 350.0
"""Temperature that lift is reckoned at: lead is densest, and lift largest, when it has just melted. [degC]"""


def lift_in_melt(volume_under: float, mass: float, *, gravity: float) -> float:
    """Net upward force on an insert held under liquid lead.

    Args:
        volume_under: Of the part of it in the melt. [m3]
        mass: Of all of it. [kg]
        gravity: [m/s2]

    Returns:
        Archimedes' lift less its own weight; negative where it sinks. [N]
    """
    return gravity * (liquid_density(POURING) * volume_under - mass)
