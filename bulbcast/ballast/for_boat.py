"""Size and position of the bulb, and displacement and trim of the boat, solved together.

The bulb itself displaces water, so its required mass depends on its size, and the position that levels the boat depends
on where it displaces that water. The boat's requirement is recalculated for every bulb that the search tries. If the
search does not converge, a slower method is used that sizes the bulb and recalculates the requirement in repeated
passes. Each pass changes the result by about a tenth as much as the pass before, since lead displaces about a tenth of
its mass.
"""

from __future__ import annotations

from bulbcast.ballast.reach import Band, BulbUnderFin, reach_band
from bulbcast.ballast.target import BulbAfloat, RestOfBoat, hung_target, imbalance
from bulbcast.bulb.hung.ledger import HungBulb
from bulbcast.bulb.hung.solve import (
    NoSolutionError,
    refuse_out_of_reach,
    size_by_aim,
    size_where_asked,
    wanted_x,
)
from bulbcast.bulb.hung.wish import BulbWish
from bulbcast.quantities.checked import BoatFigureError
from bulbcast.quantities.frozen import frozen, replace

# The bulb itself is solved to 1e-10 of its mass and 1e-9 m; the passes stop at the same accuracy.
SETTLED = 1e-10
_MOST_PASSES = 80


class HardlyAnyLeadError(NoSolutionError):
    """Raised if a bulb is so small for its pocket and screws that the quick search does not converge."""


class NoPlaceUnderFinError(NoSolutionError):
    """Raised if the bulb does not fit under this fin's tip.

    Attributes:
        bulb_length: Length of the bulb. [m]
        shortest: Length of the shortest bulb that fits. [m]
        longest: Length of the longest bulb that fits; None if every longer bulb fits. [m]
    """

    def __init__(self, bulb_length: float, shortest: float, longest: float | None) -> None:
        super().__init__(f"a bulb {bulb_length:g} m long does not fit under the fin's tip")
        self.bulb_length = bulb_length
        self.shortest = shortest
        self.longest = longest


@frozen
class BoatWish:
    """The boat's requirements for its bulb, in boat axes.

    Attributes:
        rest: The boat without her bulb, including the complete fin.
        water_density: Density of the water. [kg/m3]
        flotation_x: Centre of the waterplane, about which she trims. If it is not known, this is None and her centre of
            buoyancy is used. [m]
        mass: Hung mass given in the plan; None for the mass that puts her on her line. [kg]
        place: x of the mass centre if the plan gives it or the trim is not known; None for the position that levels the
            boat, or the nearest one that the fin reaches. [m]
        overhang_forward: Largest overhang of the nose beyond the tip; None if the only limit is that the whole tip must
            rest on lead. [m]
        overhang_aft: Largest overhang of the tail; None has the same meaning as for the nose. [m]
        carry_within: Largest distance of the mass centre from the middle of the tip chord; None for no limit. [m]
        first_place: Position at which the passes start; None for anywhere under the tip. [m]
    """

    rest: RestOfBoat
    water_density: float
    flotation_x: float | None
    mass: float | None = None
    place: float | None = None
    overhang_forward: float | None = None
    overhang_aft: float | None = None
    carry_within: float | None = None
    first_place: float | None = None


@frozen
class BulbForBoat:
    """The bulb that meets the request, and how closely it does so, in boat axes.

    Attributes:
        bulb: Bulb after sizing and positioning.
        wish: Request that the bulb was sized for, with its final mass and position.
        afloat: Bulb's effect on the boat.
        wanted_mass: Hung mass that a bulb of this volume needs to put the boat on her line. [kg]
        wanted_x: Position that this bulb's mass centre needs for level trim; None if the boat's trim is not known. [m]
        hang: Dimensions of bulb and fin that determine the reach.
        band: Range in which this fin can carry the mass centre; None if there is no possible range and the plan gives
            the position.
    """

    bulb: HungBulb
    wish: BulbWish
    afloat: BulbAfloat
    wanted_mass: float
    wanted_x: float | None
    hang: BulbUnderFin
    band: Band | None

    @property
    def short(self) -> float:
        """Required position minus actual position, positive aft; 0 if no position is required. [m]"""
        return 0.0 if self.wanted_x is None else self.wanted_x - self.afloat.x


def size_for_boat(wish: BulbWish, boat: BoatWish, *, slowly: bool = True) -> BulbForBoat:
    """Size and position a bulb that is consistent with the boat's displacement and trim.

    Args:
        wish: Shape, fin, screws and fillings, with a starting mass and position for the passes.
        boat: Requirements of the boat.
        slowly: Whether to try the slow search if the quick one does not converge. It takes minutes for a bulb that is
            little more than its pocket and screws. [-]

    Returns:
        The bulb. Its hung mass and position are within 1e-9 of the boat's requirement, and its position is within the
        fin's reach.

    Raises:
        BoatFigureError: Nothing is left for the bulb.
        NoPlaceUnderFinError: A bulb of this size does not fit under the fin within the limits.
        HardlyAnyLeadError: The quick search did not converge, and the slow search was not requested.
        NoSolutionError: As for `size_and_place`.
    """
    mass = wish.target_mass if boat.mass is None else boat.mass
    place = boat.place
    if place is None:
        # Any position under the tip will do to begin with.
        under = wish.fin.leading_edge_x + 0.4 * wish.fin.tip.chord
        place = under if boat.first_place is None else boat.first_place
        wish = replace(wish, carried_at=None)
    asked = replace(wish, target_mass=mass, mass_centre_x=place)
    found = _at_once(asked, boat)
    if found is None and not slowly:
        raise HardlyAnyLeadError("The bulb would be little more than its pocket and screws.")
    if found is None:
        found = _by_passes(asked, boat)
    if boat.place is not None:
        refuse_out_of_reach(found.bulb, found.wish)
    return found


def _at_once(wish: BulbWish, boat: BoatWish) -> BulbForBoat | None:
    """Solve size, position, displacement and trim in one search; None if it does not converge."""

    def aim(bulb: HungBulb) -> tuple[float, float]:
        found = _answered(bulb, wish, boat)
        if found.band is None and boat.place is None:
            # The search may try bulbs too short for the tip. For those, use the middle of the tip.
            hang = found.hang
            middle = hang.boat_x(hang.middle - 0.5 * hang.bulb_length + hang.mass_centre_from_nose)
            return found.wanted_mass if boat.mass is None else boat.mass, middle
        mass, place = _next(found, boat)
        return mass, wanted_x(bulb, wish) if boat.place is not None else place

    try:
        bulb = size_by_aim(wish, aim)
    except BoatFigureError:
        return None
    if bulb is None:
        return None
    mass, place = _next(_answered(bulb, wish, boat), boat)
    return _answered(bulb, replace(wish, target_mass=mass, mass_centre_x=place), boat)


def _by_passes(wish: BulbWish, boat: BoatWish) -> BulbForBoat:
    """Solve by repeated passes: size the bulb, recalculate the boat's requirement, and size it again."""
    mass, place = wish.target_mass, wish.mass_centre_x
    for _ in range(_MOST_PASSES):
        asked = replace(wish, target_mass=mass, mass_centre_x=place)
        found = _answered(size_where_asked(asked), asked, boat)
        next_mass, next_place = _next(found, boat)
        if abs(next_mass - mass) <= SETTLED * mass and abs(next_place - place) <= SETTLED:
            return found
        mass, place = next_mass, next_place
    raise NoSolutionError(
        f"the bulb's size and position did not converge in {_MOST_PASSES} passes; the last gave {mass:g} kg at {place:g} m"
    )


def _next(found: BulbForBoat, boat: BoatWish) -> tuple[float, float]:
    """Return the mass [kg] that this bulb should have for the boat, and the position of its mass centre. [m]"""
    mass = found.wanted_mass if boat.mass is None else boat.mass
    if boat.place is not None:
        return mass, boat.place
    if found.band is None:
        hang = found.hang
        bounded = boat.overhang_forward is not None and boat.overhang_aft is not None
        raise NoPlaceUnderFinError(
            hang.bulb_length,
            hang.tip_chord,
            hang.tip_chord + hang.overhang_forward + hang.overhang_aft if bounded else None,
        )
    if found.wanted_x is None:
        raise ValueError("the bulb's position must be given if the boat's trim is not known")
    return mass, found.band.nearest(found.wanted_x)


def _answered(bulb: HungBulb, wish: BulbWish, boat: BoatWish) -> BulbForBoat:
    afloat = BulbAfloat(
        mass=bulb.mass,
        x=bulb.mass_centre[0],
        volume=bulb.displaced.volume,
        volume_x=bulb.displaced_centre[0],
    )
    over_mass, over_moment = imbalance(boat.rest, afloat, water_density=boat.water_density)
    # Level means no moment about the centre of flotation. On her line this is the same about any point.
    about = boat.flotation_x if boat.flotation_x is not None else boat.rest.buoyancy_x
    wanted_x = None
    if over_moment is not None and about is not None:
        # The water that the bulb displaces moves with it.
        wanted_x = afloat.x - (over_moment - over_mass * about) / afloat.apparent(boat.water_density)
    length = bulb.body.length
    hang = BulbUnderFin(
        tip_leading_edge_x=wish.fin.leading_edge_x,
        tip_chord=wish.fin.tip.chord,
        bulb_length=length,
        mass_centre_from_nose=bulb.mass_centre_x,
        mass_centre_below_tip=bulb.axis.floor - bulb.mass_centre_z,
        incidence=bulb.incidence,
        overhang_forward=length if boat.overhang_forward is None else boat.overhang_forward,
        overhang_aft=length if boat.overhang_aft is None else boat.overhang_aft,
        carry_within=boat.carry_within,
    )
    return BulbForBoat(
        bulb=bulb,
        wish=wish,
        afloat=afloat,
        wanted_mass=hung_target(boat.rest, volume=afloat.volume, water_density=boat.water_density),
        wanted_x=wanted_x,
        hang=hang,
        band=reach_band(hang),
    )
