"""Reach: where along the boat this fin can hold the bulb's mass centre, and what to do where that is not enough.

The bulb's nose may lie ahead of the tip's leading edge, and its tail behind the trailing edge, between limits.
They bound where the mass centre can come; its distance from the nose is taken as given, though pocket and
holes shift it by a little as the bulb slides. Boat axes: x aft.

The boat feels the bulb less the water it displaces, so every moment here is of that apparent mass.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from bulbcast.ballast.moving import MovableWeight, WeightMove, fewest_moves, single_moves
from bulbcast.ballast.target import apparent_weight_factor
from bulbcast.hull.trimming import Change, Flotation, changed_by_moment
from bulbcast.quantities.checked import BoatFigureError, require_finite, require_positive, shown

TOLERANCE = 1e-9
"""Places are the same within it, as size and place of the bulb are solved to it. [m]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class OverhangLimits:
    """How far the bulb may and must stand out over the fin's tip.

    Attributes:
        fore_most: Nose ahead of the leading edge, at most. [m]
        aft_most: Tail behind the trailing edge, at most. [m]
        fore_least: Nose ahead of the leading edge, at least. [m]
        aft_least: Tail behind the trailing edge, at least. [m]

    Raises:
        BoatFigureError: A limit that is no number, or a least above its most.
    """

    fore_most: float
    aft_most: float
    fore_least: float = 0.0
    aft_least: float = 0.0

    def __post_init__(self) -> None:
        for end, least, most in (
            ("forward", self.fore_least, self.fore_most),
            ("after", self.aft_least, self.aft_most),
        ):
            require_finite(f"The least {end} overhang", least, "m")
            require_finite(f"The largest {end} overhang", most, "m")
            if least > most:
                raise BoatFigureError(
                    f"The {end} overhang is to be at least {shown(least, 'm')} and at most {shown(most, 'm')}. Give "
                    "a largest overhang that is not below the least."
                )


@dataclass(frozen=True, slots=True, kw_only=True)
class Band:
    """Where the mass centre can come with the bulb one way round.

    Attributes:
        reversed: Whether the bulb hangs tail first. [-]
        fore_x: Furthest forward place of the mass centre, boat axes. [m]
        aft_x: Furthest aft. [m]
        fore_bound: Limit that holds it at the fore end: "forward overhang" at its largest or "after
            overhang" at its least.
        aft_bound: Limit at the after end: "after overhang" at its largest or "forward overhang" at its
            least.
    """

    reversed: bool
    fore_x: float
    aft_x: float
    fore_bound: str
    aft_bound: str

    def nearest(self, x: float) -> float:
        """Place within the band that is nearest to x. [m]"""
        return min(max(x, self.fore_x), self.aft_x)


@dataclass(frozen=True, slots=True, kw_only=True)
class BulbUnderFin:
    """What the reach depends on. Boat axes.

    Attributes:
        tip_leading_edge_x: Of the fin. [m]
        tip_chord: [m]
        bulb_length: [m]
        mass_centre_from_nose: Of the hung bulb, along its axis, the usual way round. [m]
        limits: Overhangs, along the bulb's axis.
        mass_centre_below_tip: From the fin's tip, square to the bulb's axis. [m]
        incidence: Angle of the bulb's axis to the waterline, nose up positive. [rad]

    Raises:
        BoatFigureError: A length that is not above 0, or a mass centre outside the bulb.
    """

    tip_leading_edge_x: float
    tip_chord: float
    bulb_length: float
    mass_centre_from_nose: float
    limits: OverhangLimits
    mass_centre_below_tip: float = 0.0
    incidence: float = 0.0

    def __post_init__(self) -> None:
        require_finite("The leading edge of the fin's tip", self.tip_leading_edge_x, "m")
        require_positive("The fin's tip chord", self.tip_chord, "m")
        require_positive("The bulb's length", self.bulb_length, "m")
        if not 0.0 <= self.mass_centre_from_nose <= self.bulb_length:
            raise BoatFigureError(
                f"The bulb's mass centre is {shown(self.mass_centre_from_nose, 'm')} from its nose, outside its "
                f"length of {shown(self.bulb_length, 'm')}. Measure it from the nose aft."
            )

    def boat_x(self, along: float) -> float:
        """x in the boat of a mass centre that would be at `along` were the bulb level. [m]"""
        if self.incidence == 0.0:
            return along
        aft = (along - self.tip_leading_edge_x) * math.cos(self.incidence)
        return self.tip_leading_edge_x + aft - self.mass_centre_below_tip * math.sin(self.incidence)

    def along(self, boat_x: float) -> float:
        """The other way about: where a mass centre at x in the boat would be were the bulb level. [m]"""
        if self.incidence == 0.0:
            return boat_x
        aft = boat_x - self.tip_leading_edge_x + self.mass_centre_below_tip * math.sin(self.incidence)
        return self.tip_leading_edge_x + aft / math.cos(self.incidence)


def reach_band(hang: BulbUnderFin, *, tail_first: bool = False) -> Band | None:
    """The band of the mass centre, one way round.

    Args:
        hang: Bulb and fin.
        tail_first: The bulb turned end for end. [-]

    Returns:
        The band; None where no place satisfies all limits, as with a bulb shorter than the fin's chord.
    """
    limits = hang.limits
    trailing = hang.tip_leading_edge_x + hang.tip_chord
    # x of the bulb's forward end, by the forward overhang and by the after one.
    by_fore = (hang.tip_leading_edge_x - limits.fore_most, hang.tip_leading_edge_x - limits.fore_least)
    by_aft = (
        trailing + limits.aft_least - hang.bulb_length,
        trailing + limits.aft_most - hang.bulb_length,
    )
    first, last = max(by_fore[0], by_aft[0]), min(by_fore[1], by_aft[1])
    if first > last + TOLERANCE:
        return None
    first, last = min(first, last), max(first, last)
    centre = hang.mass_centre_from_nose
    if tail_first:
        centre = hang.bulb_length - centre
    return Band(
        reversed=tail_first,
        fore_x=hang.boat_x(first + centre),
        aft_x=hang.boat_x(last + centre),
        fore_bound="forward overhang" if by_fore[0] >= by_aft[0] else "after overhang",
        aft_bound="after overhang" if by_aft[1] <= by_fore[1] else "forward overhang",
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Reach:
    """The wanted place against the band.

    Attributes:
        band: Of the bulb the way round that was asked for.
        turned: Band the other way round; None where there is none.
        wanted_x: Where the mass centre should be, boat axes. [m]
        placed_x: The nearest it can come. [m]
        short: Wanted less placed: aft is positive, 0 within the band but for rounding. [m]
        apparent_mass: Bulb less the water it displaces. [kg]
        moment: Shortfall, apparent mass times `short`: what has to be given otherwise, aft positive.
            [kg m]
        ignored: How she lies if nothing is done: trim, by the stern positive, and the draughts.
        turned_reaches: Whether the bulb turned end for end would reach the wanted place. [-]
    """

    band: Band
    turned: Band | None
    wanted_x: float
    placed_x: float
    short: float
    apparent_mass: float
    moment: float
    ignored: Change
    turned_reaches: bool

    @property
    def within(self) -> bool:
        """Whether the wanted place lies within the band, its ends included."""
        return abs(self.short) <= TOLERANCE


def reach_of(
    hang: BulbUnderFin,
    *,
    wanted_x: float,
    apparent_mass: float,
    flotation: Flotation,
    tail_first: bool = False,
) -> Reach:
    """Hold the wanted place against what the fin can reach.

    Args:
        hang: Bulb and fin.
        wanted_x: From the ballast target, boat axes. [m]
        apparent_mass: Bulb less the water it displaces. [kg]
        flotation: The boat on her line.
        tail_first: The way round that is asked for. [-]

    Returns:
        Band, shortfall, and the trim if it is ignored.

    Raises:
        BoatFigureError: A figure that cannot be, or a bulb that no place under the fin suits.
    """
    require_finite("The wanted place of the bulb's mass centre", wanted_x, "m")
    require_positive("The bulb's apparent mass", apparent_mass, "kg")
    band = reach_band(hang, tail_first=tail_first)
    if band is None:
        limits = hang.limits
        raise BoatFigureError(
            f"A bulb of {shown(hang.bulb_length, 'm')} has no place under a tip chord of "
            f"{shown(hang.tip_chord, 'm')} with {shown(limits.fore_least, 'm')} to {shown(limits.fore_most, 'm')} "
            f"forward and {shown(limits.aft_least, 'm')} to {shown(limits.aft_most, 'm')} aft of it. Take a bulb "
            f"between {shown(hang.tip_chord + limits.fore_least + limits.aft_least, 'm')} and "
            f"{shown(hang.tip_chord + limits.fore_most + limits.aft_most, 'm')} long, or other limits."
        )
    turned = reach_band(hang, tail_first=not tail_first)
    placed = band.nearest(wanted_x)
    short = wanted_x - placed
    moment = apparent_mass * short
    return Reach(
        band=band,
        turned=turned,
        wanted_x=wanted_x,
        placed_x=placed,
        short=short,
        apparent_mass=apparent_mass,
        moment=moment,
        # The bulb lies short of where it should, so she lacks this moment.
        ignored=changed_by_moment(flotation, mass=0.0, moment=-moment),
        turned_reaches=turned is not None and abs(turned.nearest(wanted_x) - wanted_x) <= TOLERANCE,
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class TrimLead:
    """Lead inside at one place that makes good the shortfall.

    Attributes:
        x: Where, boat axes. [m]
        mass: Taken from the bulb so that she stays on her line; None where this place gives no moment
            the right way or more than the bulb would be needed. [kg]
        bulb_lighter: Lead to leave off the bulb for it. [kg]
        added_mass: Laid in on top of the full bulb instead. [kg]
        added: How she then lies: level, and deeper by the sinkage.
    """

    x: float
    mass: float | None
    bulb_lighter: float | None
    added_mass: float | None
    added: Change | None


@dataclass(frozen=True, slots=True, kw_only=True)
class OverhangNeeded:
    """A limit that would have to give way for the wanted place.

    Attributes:
        end: "forward" or "after".
        limit: The one broken: the largest overhang where `needed` is above it, the least where below. [m]
        needed: Overhang at that end with the mass centre at the wanted place. [m]
    """

    end: str
    limit: float
    needed: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Remedies:
    """What makes good a shortfall. Each alone, but for `together`.

    Attributes:
        moves: Each listed weight moved alone, those that are enough first.
        together: The fewest weights that do it together; what is left stands with the last.
        trim_lead: At each place allowed for it.
        fin_aft: Fin and bulb moved as one, aft is positive; None where their apparent mass is not
            above 0. [m]
        overhangs: The limits that the wanted place breaks, with what each would have to be.
        turn_bulb: Whether turning the bulb end for end would do. [-]
    """

    moves: tuple[WeightMove, ...]
    together: tuple[WeightMove, ...]
    trim_lead: tuple[TrimLead, ...]
    fin_aft: float | None
    overhangs: tuple[OverhangNeeded, ...]
    turn_bulb: bool


def remedies(
    reach: Reach,
    hang: BulbUnderFin,
    flotation: Flotation,
    *,
    lead_density: float,
    movable: Sequence[MovableWeight] = (),
    trim_lead_at: Sequence[float] = (),
    fin_apparent_mass: float = 0.0,
) -> Remedies | None:
    """Work out what would make good the shortfall.

    Args:
        reach: With its shortfall.
        hang: Bulb and fin as they gave it.
        flotation: The boat on her line.
        lead_density: Of the bulb as cast. [kg/m3]
        movable: Weights that may be moved along the boat, with the places allowed.
        trim_lead_at: Places where trim lead may be laid, boat axes. [m]
        fin_apparent_mass: Of the fin, mass less the water it displaces; a light fin's is negative.
            It moves with the bulb. [kg]

    Returns:
        The remedies; None where the wanted place is within reach. Those that change the bulb are first
        order: size it again afterwards.

    Raises:
        BoatFigureError: A figure that is no number, or lead that would float.
    """
    if reach.within:
        return None
    require_finite("The fin's apparent mass", fin_apparent_mass, "kg")
    moved = reach.apparent_mass + fin_apparent_mass
    return Remedies(
        moves=single_moves(tuple(movable), reach.moment),
        together=fewest_moves(tuple(movable), reach.moment),
        trim_lead=tuple(trim_lead(reach, flotation, x=x, lead_density=lead_density) for x in trim_lead_at),
        fin_aft=reach.moment / moved if moved > 0.0 else None,
        overhangs=_overhangs_needed(reach, hang),
        turn_bulb=reach.turned_reaches,
    )


def trim_lead(reach: Reach, flotation: Flotation, *, x: float, lead_density: float) -> TrimLead:
    """Trim lead at one place, taken from the bulb or laid in on top of it.

    Taken from the bulb: w (x - x_placed) = moment, and the bulb is left lighter by w / (1 - rho_w / rho).
    Laid in on top: w (x - x_flotation) = moment, and she sinks by w. Inside the hull lead displaces nothing.

    Args:
        reach: With its shortfall.
        flotation: The boat on her line.
        x: Where the lead may lie, boat axes. [m]
        lead_density: Of the bulb as cast. [kg/m3]

    Returns:
        Both ways; a way that cannot do it is None.

    Raises:
        BoatFigureError: A place that is no number, or lead that would float.
    """
    require_finite("The place of the trim lead", x, "m")
    factor = apparent_weight_factor(flotation.water_density, lead_density)
    arm = x - reach.placed_x
    taken: float | None = None
    if arm * reach.moment > 0.0 and reach.moment / arm < reach.apparent_mass:
        taken = reach.moment / arm
    arm = x - flotation.flotation_x
    added_mass = reach.moment / arm if arm * reach.moment > 0.0 else None
    return TrimLead(
        x=x,
        mass=taken,
        bulb_lighter=None if taken is None else taken / factor,
        added_mass=added_mass,
        added=None if added_mass is None else changed_by_moment(flotation, mass=added_mass, moment=0.0),
    )


def _overhangs_needed(reach: Reach, hang: BulbUnderFin) -> tuple[OverhangNeeded, ...]:
    """Limits broken with the mass centre at the wanted place."""
    centre = hang.mass_centre_from_nose
    if reach.band.reversed:
        centre = hang.bulb_length - centre
    fore_end = hang.along(reach.wanted_x) - centre
    limits = hang.limits
    broken = []
    for end, needed, least, most in (
        ("forward", hang.tip_leading_edge_x - fore_end, limits.fore_least, limits.fore_most),
        (
            "after",
            fore_end + hang.bulb_length - (hang.tip_leading_edge_x + hang.tip_chord),
            limits.aft_least,
            limits.aft_most,
        ),
    ):
        if not least - TOLERANCE <= needed <= most + TOLERANCE:
            broken.append(OverhangNeeded(end=end, limit=least if needed < least else most, needed=needed))
    return tuple(broken)
