"""Columns of a study: the figures calculated for each plan, with their keys and names."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

from bulbcast.quantities import Dimension

if TYPE_CHECKING:
    from bulbcast.job import Job
    from bulbcast.sailing.drag import BulbDrag


@dataclass(frozen=True, slots=True, kw_only=True)
class Column:
    """One column of a study.

    Attributes:
        key: Key as in the results, with the SI unit at its end.
        name: Name in the builder's terms.
        dimension: Dimension of its values; None for a bare number.
    """

    key: str
    name: str
    dimension: Dimension | None


_LENGTH, _MASS = Dimension.LENGTH, Dimension.MASS

COLUMNS = (
    Column(key="bulb.hung_mass_kg", name="hung mass", dimension=_MASS),
    Column(key="bulb.length_m", name="length", dimension=_LENGTH),
    Column(key="bulb.diameter_m", name="diameter", dimension=_LENGTH),
    Column(key="bulb.fineness", name="fineness", dimension=None),
    Column(key="bulb.wetted_area_m2", name="wetted area", dimension=Dimension.AREA),
    Column(key="bulb.prismatic", name="prismatic", dimension=None),
    Column(key="bulb.mass_centre_from_nose_m.x", name="mass centre from nose", dimension=_LENGTH),
    Column(key="bulb.mass_centre_m.x", name="mass centre x", dimension=_LENGTH),
    Column(key="bulb.displacement_m3", name="displacement", dimension=Dimension.VOLUME),
    Column(key="cast.mass_kg", name="cast mass", dimension=_MASS),
    Column(key="pattern.length_m", name="pattern length", dimension=_LENGTH),
    Column(key="melt.charge_kg", name="charge", dimension=_MASS),
)
"""Columns that do not depend on a speed."""

BOAT_COLUMNS = (Column(key="boat.metacentric_height_m", name="GM", dimension=_LENGTH),)
"""Columns for a plan with a boat."""

SAILING_COLUMNS = (
    Column(key="boat.wind.20_deg_m_s", name="wind for 20 degrees", dimension=Dimension.SPEED),
    Column(key="boat.wind.30_deg_m_s", name="wind for 30 degrees", dimension=Dimension.SPEED),
    Column(key="boat.wind.45_deg_m_s", name="wind for 45 degrees", dimension=Dimension.SPEED),
    Column(key="boat.wind.heel_rad", name="heel in the wind", dimension=Dimension.ANGLE),
    Column(key="boat.leeway.leeway_rad", name="leeway", dimension=Dimension.ANGLE),
)
"""Columns for sailing. They need a curve of righting arms for each plan."""
SAILING_SECTIONS = ("rig", "rudder")
SAILING_KEYS = ("bulb.target_mass", "fin.tip_z", "fin.root_z")
"""Inputs that are varied to find their effect on stability."""

DRAG_COLUMNS = (
    Column(key="drag.low_n", name="drag, low", dimension=Dimension.FORCE),
    Column(key="drag.high_n", name="drag, high", dimension=Dimension.FORCE),
    Column(key="drag.reynolds", name="Reynolds number", dimension=None),
)
"""Columns that require a speed. The Reynolds number is based on the length."""


def figures_of(job: Job) -> tuple[float | None, ...]:
    """Return the figures of one plan, in the order of `COLUMNS`.

    Args:
        job: Results for the plan. [-]

    Returns:
        One figure for each column, None if it is withheld. [SI]
    """
    bulb, body = job.bulb, job.bulb.body
    return (
        bulb.mass,
        body.length,
        body.diameter,
        body.fineness,
        bulb.surface.area,
        bulb.volume.volume / (0.25 * math.pi * body.diameter**2 * body.length),
        bulb.mass_centre_x,
        bulb.mass_centre[0],
        bulb.displacement,
        job.cast.mass,
        job.pattern.length,
        None if job.melt_withheld else job.melt.charge,
    )


def boat_figures(job: Job) -> tuple[float | None, ...]:
    """Return the figures of one plan's boat, in the order of `BOAT_COLUMNS`.

    Args:
        job: Results for the plan. [-]

    Returns:
        One figure for each column, None if the hull data do not give it. [SI]
    """
    return (None if job.boat is None else job.gm,)


def sailing_figures(job: Job) -> tuple[float | None, ...]:
    """Return the sailing figures of one plan, in the order of `SAILING_COLUMNS`.

    Args:
        job: Results for the plan, including righting arms. [-]

    Returns:
        One figure for each column, None if it has no value. [SI]
    """
    sailing = None if job.standing is None else job.standing.sailing
    if sailing is None:
        return (None,) * len(SAILING_COLUMNS)

    winds = tuple(one.wind if one.rests else None for one in sailing.winds)
    return (*winds, sailing.heel, sailing.governing.leeway)


def drag_figures(drag: BulbDrag) -> tuple[float, ...]:
    """Return the figures at a speed, in the order of `DRAG_COLUMNS`.

    Args:
        drag: Drag of one bulb. [-]

    Returns:
        One figure for each column. [N], [N], [-]
    """
    return drag.low, drag.high, drag.reynolds


_SUFFIX = {
    Dimension.LENGTH: "_m",
    Dimension.MASS: "_kg",
    Dimension.DENSITY: "_kg_m3",
    Dimension.TEMPERATURE: "_c",
    Dimension.ANGLE: "_rad",
    Dimension.SPEED: "_m_s",
    Dimension.VOLUME: "_m3",
    Dimension.TIME: "_s",
    Dimension.HEAT: "_j_kg",
}


def key_with_unit(key: str, dimension: Dimension | None) -> str:
    """Return a plan's key with the SI unit of its value at the end, as in the results.

    Args:
        key: Dotted name. [-]
        dimension: Dimension of the key's value; None for bare numbers and words. [-]

    Returns:
        "bulb.target_mass_kg", for example; a ratio has no unit.
    """
    return key if dimension is None else key + _SUFFIX.get(dimension, "")
