"""The ballast target: what the bulb must weigh and where, so that she floats level on her line.

The bulb displaces water itself, so the balance is linear in the lead's volume and has a closed form:

    m = [rho_w V_r - m_r - sum V_i (rho_i - rho_w)] / (1 - rho_w / rho_lead)
    x = [rho_w V_r x_B - m_r x_G - sum V_i (rho_i - rho_w) x_i] / [m (1 - rho_w / rho_lead)]

V_r and m_r are volume and mass of everything but the bulb, with the whole fin in both, its tongue in the
pocket included: the tongue makes the bulb's outside larger and takes no water away a second time. A skin
over the bulb goes with its surface and so with m: two or three passes settle it. A space that floods counts
nowhere; a sealed one is an item of density 0. Derived here.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from bulbcast.quantities.checked import (
    BoatFigureError,
    require_finite,
    require_not_negative,
    require_positive,
    shown,
)


@dataclass(frozen=True, slots=True, kw_only=True)
class RestOfBoat:
    """Everything but the bulb, at the design waterline. Boat axes.

    Attributes:
        volume: Displaced: hull, fin and rudder. [m3]
        buoyancy_x: Centre of that volume. [m]
        mass: Of everything but the bulb, the fin included. [kg]
        mass_x: Its centre. [m]

    Raises:
        BoatFigureError: A volume that is not above 0, a mass below 0, or a figure that is no number.
    """

    volume: float
    buoyancy_x: float
    mass: float
    mass_x: float

    def __post_init__(self) -> None:
        require_positive("The displaced volume", self.volume, "m3")
        require_finite("The centre of buoyancy", self.buoyancy_x, "m")
        require_not_negative("The mass without the bulb", self.mass, "kg")
        require_finite("The mass centre without the bulb", self.mass_x, "m")


@dataclass(frozen=True, slots=True, kw_only=True)
class BallastItem:
    """Something solid that comes with the bulb and is not lead: screws, plugs, washers, a sealed void.

    Attributes:
        name: What it is.
        volume: Of solid. [m3]
        density: 0 for a sealed void. [kg/m3]
        x: Its centre, boat axes; None: it goes where the bulb's lead goes. [m]
        inside: Whether it takes its room within the bulb's outside. [-]

    Raises:
        BoatFigureError: A figure that cannot be.
    """

    name: str
    volume: float
    density: float
    x: float | None = None
    inside: bool = True

    def __post_init__(self) -> None:
        require_not_negative(f'The volume of "{self.name}"', self.volume, "m3")
        require_not_negative(f'The density of "{self.name}"', self.density, "kg/m3")
        if self.x is not None:
            require_finite(f'x of "{self.name}"', self.x, "m")


@dataclass(frozen=True, slots=True, kw_only=True)
class Tongue:
    """The fin's end in the bulb's pocket.

    Attributes:
        volume: [m3]
        x: Its centre, boat axes. [m]
        counted: Whether `RestOfBoat.volume` holds the whole fin, tongue included; False where it was
            measured on the fin that stands free. [-]

    Raises:
        BoatFigureError: A figure that cannot be.
    """

    volume: float
    x: float = 0.0
    counted: bool = True

    def __post_init__(self) -> None:
        require_not_negative("The tongue's volume", self.volume, "m3")
        require_finite("The tongue's centre", self.x, "m")


@dataclass(frozen=True, slots=True, kw_only=True)
class BulbSkin:
    """Fairing and paint over the bulb before its shape is known.

    Attributes:
        thickness: [m]
        density: [kg/m3]
        area_factor: Surface over the two-thirds power of the volume: 4.836 for a sphere, about 6 to 8 for
            bulbs. [-]
        x: Its centre, boat axes; None: it goes where the lead goes. [m]

    Raises:
        BoatFigureError: A figure that cannot be.
    """

    thickness: float
    density: float
    area_factor: float
    x: float | None = None

    def __post_init__(self) -> None:
        require_not_negative("The skin's thickness", self.thickness, "m")
        require_not_negative("The skin's density", self.density, "kg/m3")
        require_positive("The skin's area factor", self.area_factor, "")


@dataclass(frozen=True, slots=True, kw_only=True)
class BallastTarget:
    """What the bulb must be.

    Attributes:
        lead_mass: [kg]
        lead_x: Where the lead's centre must be, boat axes. [m]
        hung_mass: Lead, items and skin: what the fin carries. [kg]
        hung_x: Its centre, boat axes. [m]
        outside_volume: Of lead, tongue and items inside, under the skin. [m3]
        skin_volume: [m3]
        displacement: Water that lead, items and skin displace. [m3]
        apparent_mass: Hung mass less the water it displaces: what the boat feels. [kg]
        total_mass: Boat and bulb; it equals the water displaced. [kg]
        passes: The lead's mass pass by pass; one where nothing is to be iterated. [kg]
        contraction: Change of one pass for a change of the pass before; 0 without a skin. [-]
    """

    lead_mass: float
    lead_x: float
    hung_mass: float
    hung_x: float
    outside_volume: float
    skin_volume: float
    displacement: float
    apparent_mass: float
    total_mass: float
    passes: tuple[float, ...]
    contraction: float


def apparent_weight_factor(water_density: float, density: float) -> float:
    """What a body weighs in water over what it weighs in air, 1 - rho_w / rho.

    Args:
        water_density: [kg/m3]
        density: Of the body, above the water's for ballast. [kg/m3]

    Returns:
        [-]

    Raises:
        BoatFigureError: A density that is not above 0, or ballast that would float.
    """
    require_positive("The water's density", water_density, "kg/m3")
    require_positive("The ballast's density", density, "kg/m3")
    if density <= water_density:
        raise BoatFigureError(
            f"The ballast's density is {shown(density, 'kg/m3')}, not above the water's "
            f"{shown(water_density, 'kg/m3')}; it would float. Give the density of the cast lead."
        )
    return 1.0 - water_density / density


def ballast_target(
    rest: RestOfBoat,
    *,
    water_density: float,
    lead_density: float,
    items: Sequence[BallastItem] = (),
    skin: BulbSkin | None = None,
    tongue: Tongue | None = None,
    first_guess: float | None = None,
) -> BallastTarget:
    """Mass and place of the bulb that put her level on her line.

    Args:
        rest: Everything but the bulb.
        water_density: [kg/m3]
        lead_density: Of the metal as cast, its pores in it. [kg/m3]
        items: What comes with the lead.
        skin: Over the bulb; None for none.
        tongue: The fin's end in the pocket; None for none.
        first_guess: Lead mass that the passes for the skin start from; None: the closed form without
            the skin. [kg]

    Returns:
        The target.

    Raises:
        BoatFigureError: Nothing is left for the bulb, ballast that would float, or a skin so thick that the
            passes do not settle.
    """
    factor = apparent_weight_factor(water_density, lead_density)
    tongue = tongue or Tongue(volume=0.0)
    volume, buoyancy_moment = rest.volume, rest.volume * rest.buoyancy_x
    if not tongue.counted:
        volume += tongue.volume
        buoyancy_moment += tongue.volume * tongue.x
    extra = math.fsum(item.volume * (item.density - water_density) for item in items)
    bare = (water_density * volume - rest.mass - extra) / factor
    if bare <= 0.0:
        raise BoatFigureError(
            f"Nothing is left for the bulb: the water carries {shown(water_density * volume, 'kg')} at the "
            f"line, and without the lead she already weighs {shown(rest.mass + extra, 'kg')} of that. Take out "
            f"{shown(-bare * factor, 'kg')} and more, or give her a higher line."
        )
    inside = tongue.volume + math.fsum(item.volume for item in items if item.inside)
    passes, skin_volume, contraction = _settled(
        bare, factor, lead_density, water_density, inside, skin, first_guess
    )
    lead_mass = passes[-1]
    with_bulb = lead_mass * factor
    moment = water_density * buoyancy_moment - rest.mass * rest.mass_x
    parts = [(item.volume, item.density, item.x) for item in items]
    if skin is not None:
        parts.append((skin_volume, skin.density, skin.x))
    for part_volume, density, x in parts:
        if x is None:
            with_bulb += part_volume * (density - water_density)
        else:
            moment -= part_volume * (density - water_density) * x
    lead_x = moment / with_bulb
    hung_mass = lead_mass + math.fsum(v * density for v, density, _ in parts)
    displacement = lead_mass / lead_density + math.fsum(v for v, _, _ in parts)
    return BallastTarget(
        lead_mass=lead_mass,
        lead_x=lead_x,
        hung_mass=hung_mass,
        hung_x=(
            lead_mass * lead_x
            + math.fsum(v * density * (lead_x if x is None else x) for v, density, x in parts)
        )
        / hung_mass,
        outside_volume=lead_mass / lead_density + inside,
        skin_volume=skin_volume,
        displacement=displacement,
        apparent_mass=hung_mass - water_density * displacement,
        total_mass=rest.mass + hung_mass,
        passes=passes,
        contraction=contraction,
    )


def _settled(
    bare: float,
    factor: float,
    lead_density: float,
    water_density: float,
    inside: float,
    skin: BulbSkin | None,
    first_guess: float | None,
) -> tuple[tuple[float, ...], float, float]:
    """Passes for the skin until the mass stands still; skin's volume; change of a pass by the one before."""
    if skin is None or skin.thickness == 0.0:
        return (bare,), 0.0, 0.0
    per_volume = (skin.density - water_density) / factor
    reach = skin.area_factor * skin.thickness
    passes = [bare if first_guess is None else first_guess]
    for _ in range(60):
        outside = passes[-1] / lead_density + inside
        if passes[-1] <= 0.0:
            break
        passes.append(bare - per_volume * reach * outside ** (2.0 / 3.0))
        if passes[-1] > 0.0 and abs(passes[-1] - passes[-2]) <= 1e-15 * bare:
            outside = passes[-1] / lead_density + inside
            slope = -per_volume * reach * 2.0 / 3.0 * outside ** (-1.0 / 3.0) / lead_density
            return tuple(passes), reach * outside ** (2.0 / 3.0), slope
    raise BoatFigureError(
        f"A skin of {shown(skin.thickness, 'm')} is too thick for a bulb of about {shown(bare, 'kg')}: its mass "
        "does not settle. Give the thickness of fairing and paint, less than a millimetre for a model."
    )


def target_spread(
    *, mass_spread: float, volume_spread: float, water_density: float, lead_density: float
) -> float:
    """Standard deviation of the lead's target from those of the weigh-in and of the displaced volume.

    Args:
        mass_spread: Of everything but the bulb. [kg]
        volume_spread: Of the displaced volume at the line. [m3]
        water_density: [kg/m3]
        lead_density: [kg/m3]

    Returns:
        Both in quadrature over 1 - rho_w / rho_lead. [kg]

    Raises:
        BoatFigureError: A spread below 0, or ballast that would float.
    """
    require_not_negative("The spread of the weigh-in", mass_spread, "kg")
    require_not_negative("The spread of the displaced volume", volume_spread, "m3")
    factor = apparent_weight_factor(water_density, lead_density)
    return math.hypot(mass_spread, water_density * volume_spread) / factor


@dataclass(frozen=True, slots=True, kw_only=True)
class RatioBand:
    """Usual share of ballast in the whole boat for a kind of boat. [-]"""

    kind: str
    low: float
    high: float
    source: str


RATIO_BANDS = (
    RatioBand(kind="small and scale models", low=0.30, high=0.55, source="common practice, no source"),
    RatioBand(kind="racing models", low=0.55, high=0.70, source="common practice, no source"),
    RatioBand(kind="small craft", low=0.20, high=0.45, source="common practice, no source"),
)


def ballast_ratio(ballast_mass: float, total_mass: float) -> float:
    """Share of the ballast in the whole boat.

    Args:
        ballast_mass: Bulb as hung, and lead inside her. [kg]
        total_mass: Of the boat complete. [kg]

    Returns:
        [-]

    Raises:
        BoatFigureError: A ballast below 0 or heavier than the whole boat.
    """
    require_not_negative("The ballast's mass", ballast_mass, "kg")
    require_positive("The boat's mass", total_mass, "kg")
    if ballast_mass > total_mass:
        raise BoatFigureError(
            f"The ballast weighs {shown(ballast_mass, 'kg')} and the whole boat {shown(total_mass, 'kg')}. Give "
            "the boat's mass with the ballast in it."
        )
    return ballast_mass / total_mass
