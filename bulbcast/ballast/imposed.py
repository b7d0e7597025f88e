"""A bulb of a given mass under the boat: what is left over, what lead inside would mend, how she would lie.

Where the target stands in `ballast`, this is the other way about: the bulb is given, shaped or imposed.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from bulbcast.ballast.target import (
    BallastItem,
    BallastTarget,
    BulbSkin,
    RestOfBoat,
    Tongue,
    apparent_weight_factor,
    ballast_target,
)
from bulbcast.ballast.weigh_in import Weight, weigh_in
from bulbcast.hull.trimming import Change, Flotation, changed_by_moment, deeper_at
from bulbcast.quantities.checked import (
    BoatFigureError,
    require_finite,
    require_not_negative,
    require_positive,
    shown,
)


@dataclass(frozen=True, slots=True, kw_only=True)
class BulbAfloat:
    """A bulb as the boat feels it. Boat axes.

    Attributes:
        mass: As hung. [kg]
        x: Its mass centre. [m]
        volume: Water it displaces outside the fin's own volume. [m3]
        volume_x: Centre of that volume. [m]

    Raises:
        BoatFigureError: A figure that cannot be.
    """

    mass: float
    x: float
    volume: float
    volume_x: float

    def __post_init__(self) -> None:
        require_positive("The bulb's mass", self.mass, "kg")
        require_finite("The bulb's mass centre", self.x, "m")
        require_positive("The bulb's displacement", self.volume, "m3")
        require_finite("The centre of the bulb's displacement", self.volume_x, "m")


def bulb_of_lead(mass: float, x: float, lead_density: float) -> BulbAfloat:
    """A bulb that is nothing but lead.

    Args:
        mass: [kg]
        x: Its centre, boat axes. [m]
        lead_density: As cast. [kg/m3]

    Returns:
        The bulb; its displacement has the same centre.

    Raises:
        BoatFigureError: A figure that cannot be.
    """
    require_positive("The lead's density", lead_density, "kg/m3")
    return BulbAfloat(mass=mass, x=x, volume=mass / lead_density, volume_x=x)


@dataclass(frozen=True, slots=True, kw_only=True)
class Imbalance:
    """What is too much at the design waterline.

    Attributes:
        mass: Boat and bulb less the water they displace at the line; negative: she floats high. [kg]
        moment: Of it about x = 0, aft is positive. [kg m]
    """

    mass: float
    moment: float


def imbalance(rest: RestOfBoat, bulb: BulbAfloat, *, water_density: float) -> Imbalance:
    """How far boat and bulb together are from floating level on the line.

    Args:
        rest: Everything but the bulb, the whole fin in it.
        bulb: The bulb.
        water_density: [kg/m3]

    Returns:
        Mass and moment too much; both 0 where she floats level on her line.

    Raises:
        BoatFigureError: A density that is not above 0.
    """
    require_positive("The water's density", water_density, "kg/m3")
    return Imbalance(
        mass=rest.mass + bulb.mass - water_density * (rest.volume + bulb.volume),
        moment=rest.mass * rest.mass_x
        + bulb.mass * bulb.x
        - water_density * (rest.volume * rest.buoyancy_x + bulb.volume * bulb.volume_x),
    )


def hung_target(
    rest: RestOfBoat, *, volume: float, volume_x: float, water_density: float
) -> tuple[float, float]:
    """Mass and place that a bulb of known displacement must have.

    With a shaped bulb the displacement follows from the size and the size from this mass; the pair
    settles in a few passes, since lead displaces a tenth of its own mass.

    Args:
        rest: Everything but the bulb, the whole fin in it.
        volume: Water the bulb displaces outside the fin. [m3]
        volume_x: Centre of that volume, boat axes. [m]
        water_density: [kg/m3]

    Returns:
        Hung mass [kg] and x of its centre [m].

    Raises:
        BoatFigureError: A figure that cannot be, or nothing left for the bulb.
    """
    require_not_negative("The bulb's displacement", volume, "m3")
    require_positive("The water's density", water_density, "kg/m3")
    carried = water_density * (rest.volume + volume)
    mass = carried - rest.mass
    if mass <= 0.0:
        raise BoatFigureError(
            f"Nothing is left for the bulb: the water carries {shown(carried, 'kg')} at the line, and without the "
            f"bulb she already weighs {shown(rest.mass, 'kg')}. Take weight out of her, or give her a higher line."
        )
    moment = water_density * (rest.volume * rest.buoyancy_x + volume * volume_x)
    return mass, (moment - rest.mass * rest.mass_x) / mass


def rest_without(rest: RestOfBoat, ashore: Sequence[Weight]) -> RestOfBoat:
    """The boat with some of her weights left ashore, such as trim lead and what can be done without.

    Args:
        rest: Everything but the bulb.
        ashore: Lines that are in it and are to be taken out.

    Returns:
        The lighter boat.

    Raises:
        BoatFigureError: More is taken out than she weighs.
    """
    out = weigh_in(ashore)
    mass = rest.mass - out.mass
    if mass <= 0.0:
        raise BoatFigureError(
            f"Leaving {shown(out.mass, 'kg')} ashore leaves nothing of her {shown(rest.mass, 'kg')}. Name only "
            "lines that are in that mass."
        )
    return RestOfBoat(
        volume=rest.volume,
        buoyancy_x=rest.buoyancy_x,
        mass=mass,
        mass_x=(rest.mass * rest.mass_x - out.moments[0]) / mass,
    )


def heaviest_bulb(
    rest: RestOfBoat,
    *,
    ashore: Sequence[Weight],
    water_density: float,
    lead_density: float,
    items: Sequence[BallastItem] = (),
    skin: BulbSkin | None = None,
    tongue: Tongue | None = None,
) -> BallastTarget:
    """The heaviest bulb she can carry on her line: the target with all that can stay ashore left there.

    Args:
        rest: Everything but the bulb.
        ashore: Its lines that are not needed to sail: trim lead, spare gear; may be none.
        water_density: [kg/m3]
        lead_density: As cast. [kg/m3]
        items: As for `ballast_target`.
        skin: As for `ballast_target`.
        tongue: As for `ballast_target`.

    Returns:
        The target of that lighter boat.

    Raises:
        BoatFigureError: As `ballast_target` and `rest_without`.
    """
    lighter = rest_without(rest, ashore) if ashore else rest
    return ballast_target(
        lighter,
        water_density=water_density,
        lead_density=lead_density,
        items=items,
        skin=skin,
        tongue=tongue,
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class LeadInside:
    """Lead inside the hull that a given bulb leaves room for.

    Attributes:
        mass: Negative: the bulb alone is that much too heavy for the line. [kg]
        x: Where its centre must be for level trim, boat axes; None where the mass is not above 0. [m]
        bulb_lighter: By how much the bulb is below what would need no lead inside, as lead. [kg]
    """

    mass: float
    x: float | None
    bulb_lighter: float


def lead_inside(
    rest: RestOfBoat, bulb: BulbAfloat, *, water_density: float, lead_density: float
) -> LeadInside:
    """How the ballast divides between a bulb of given mass and lead inside, which displaces nothing.

    Args:
        rest: Everything but bulb and lead inside.
        bulb: The bulb.
        water_density: [kg/m3]
        lead_density: Of the bulb, as cast. [kg/m3]

    Returns:
        Mass and place of the lead inside.

    Raises:
        BoatFigureError: A figure that cannot be.
    """
    over = imbalance(rest, bulb, water_density=water_density)
    return LeadInside(
        mass=-over.mass,
        x=over.moment / over.mass if over.mass < 0.0 else None,
        bulb_lighter=-over.mass / apparent_weight_factor(water_density, lead_density),
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Freeboard:
    """Freeboard at one place of the deck edge.

    Attributes:
        name: Such as "bow".
        x: Boat axes. [m]
        height: Above the design waterline; what is left of it in an answer, negative: under water. [m]
    """

    name: str
    x: float
    height: float


@dataclass(frozen=True, slots=True, kw_only=True)
class ImposedBulb:
    """How she lies with a bulb that was not made for her.

    Attributes:
        change: Sinkage, trim and draughts; first order.
        freeboards: What is left of those given.
        least: The smallest of them; None where none was given.
    """

    change: Change
    freeboards: tuple[Freeboard, ...]
    least: Freeboard | None


def imposed_bulb(
    rest: RestOfBoat,
    bulb: BulbAfloat,
    flotation: Flotation,
    freeboards: Sequence[Freeboard] = (),
) -> ImposedBulb:
    """What an imposed bulb does to sinkage, trim and freeboard.

    Args:
        rest: Everything but the bulb, the whole fin in it.
        bulb: The bulb imposed, in its place.
        flotation: The boat on her design line, in the same water.
        freeboards: At the design line.

    Returns:
        How she lies, to first order.

    Raises:
        BoatFigureError: A freeboard that is no number.
    """
    for one in freeboards:
        require_finite(f'The freeboard "{one.name}"', one.height, "m")
        require_finite(f'x of the freeboard "{one.name}"', one.x, "m")
    over = imbalance(rest, bulb, water_density=flotation.water_density)
    change = changed_by_moment(
        flotation, mass=over.mass, moment=over.moment - over.mass * flotation.flotation_x
    )
    left = tuple(
        Freeboard(
            name=one.name,
            x=one.x,
            height=one.height - deeper_at(flotation, sinkage=change.sinkage, trim=change.trim, x=one.x),
        )
        for one in freeboards
    )
    return ImposedBulb(
        change=change, freeboards=left, least=min(left, key=lambda one: one.height, default=None)
    )
