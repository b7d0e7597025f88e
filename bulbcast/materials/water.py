"""Properties of the water in which the boat floats, and in which a scrap sample is weighed."""

from __future__ import annotations

from bulbcast.materials.tables import table
from bulbcast.quantities.frozen import frozen


class WaterError(ValueError):
    """Raised if the kind of water is not in the table, or if its temperature is outside the valid range."""


@frozen
class Water:
    """Water in which a boat floats.

    Attributes:
        name: "fresh", "salt" or "given".
        density: Density of the water. [kg/m3]
        kinematic_viscosity: Kinematic viscosity. [m2/s]
        source: Source of both figures.
    """

    name: str
    density: float
    kinematic_viscosity: float
    source: str


def water_of_kind(kind: str) -> Water:
    """Return fresh or salt water at 15 degC.

    Args:
        kind: "fresh" or "salt". [-]

    Returns:
        The water with its density, viscosity and source.

    Raises:
        WaterError: There is no such kind.
    """
    rows = table("water")["kind"]
    row = next((one for one in rows if one["name"] == kind), None)
    if row is None:
        raise WaterError(
            f'There is no kind of water called "{kind}"; give {" or ".join(one["name"] for one in rows)}, '
            f"or the water density."
        )
    return Water(**row)


def water_of_density(density: float) -> Water:
    """Return water of a given density, with its viscosity interpolated between those of fresh and salt water.

    The interpolation is linear in density. Outside the range of the two kinds, the viscosity of the nearer kind is
    used, and the source says so.

    Args:
        density: Density of the water. [kg/m3]

    Returns:
        The water, named "given".
    """
    fresh, salt = water_of_kind("fresh"), water_of_kind("salt")
    share = (density - fresh.density) / (salt.density - fresh.density)
    if 0.0 <= share <= 1.0:
        how = "density as given; viscosity interpolated by density between those of fresh and salt water at 15 degC"
    else:
        end = "fresh" if share < 0.0 else "salt"
        how = f"density as given; viscosity of {end} water at 15 degC"
    held = min(max(share, 0.0), 1.0)
    return Water(
        name="given",
        density=density,
        kinematic_viscosity=fresh.kinematic_viscosity
        + held * (salt.kinematic_viscosity - fresh.kinematic_viscosity),
        source=how,
    )


def fresh_water_density(celsius: float) -> float:
    """Calculate the density of clean fresh water at one atmosphere.

    Args:
        celsius: Temperature, from 0 to 40. [degC]

    Returns:
        Density; the uncertainty of the formula is below 0.001. [kg/m3]

    Raises:
        WaterError: The temperature is outside 0 to 40 degC.

    References:
        M. Tanaka et al., Metrologia 38 (2001) 301-309, formula and its five constants from
        memory; they agree with an open package's listing of that paper.
    """
    if not 0.0 <= celsius <= 40.0:
        raise WaterError(
            f"The water's temperature is {celsius:g} degC; the formula is valid from 0 to 40 degC. Use water at room "
            "temperature and give its temperature."
        )
    turn, second, scale, third, greatest = -3.983035, 301.797, 522528.9, 69.34881, 999.974950
    return greatest * (1.0 - (celsius + turn) ** 2 * (celsius + second) / (scale * (celsius + third)))
