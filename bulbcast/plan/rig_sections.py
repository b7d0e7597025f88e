"""What a plan says of rudder and rig, in SI and frozen; None means "not given"."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class RudderSection:
    """[rudder]: the blade, in boat axes. Lengths m, `mass` kg or `density` kg/m3, never both."""

    root_chord: float
    tip_chord: float
    root_thickness: float
    tip_thickness: float
    root_leading_edge_x: float
    tip_leading_edge_x: float
    root_z: float
    tip_z: float
    mass: float | None
    density: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class RigSection:
    """[rig]: what heels her. Area m2, levels m in boat axes, air kg/m3, wind m/s, leeway rad.

    `lateral_z`, `force_coefficient` and `full_size` None: settled with the boat, and said in the report.
    `wind` None: no wind was set, and what follows from one is not told.
    """

    sail_area: float
    effort_z: float
    lateral_z: float | None
    force_coefficient: float | None
    coefficient_source: str | None
    heel_exponent: float
    air_density: float
    wind: float | None
    leeway_limit: float
    full_size: float | None
