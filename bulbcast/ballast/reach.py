"""Reach: where along the boat this fin can hold the bulb's mass centre, and what to do where that is not enough.

The bulb's nose may lie ahead of the tip's leading edge, and its tail behind the trailing edge, up to limits. They limit
where the mass centre can be. Its distance from the nose is treated as fixed, though pocket and holes shift it slightly
as the bulb slides. Boat axes: x aft.

What acts on the boat is the bulb less the water it displaces, so every moment here is that of this apparent mass.

Reach: the shorter of fin chord and bulb must lie within the longer; a mass centre that would need more is wrong
input.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

from bulbcast.ballast.moving import MovableWeight, WeightMove, fewest_moves, single_moves
from bulbcast.hull.trimming import Change, Flotation, changed_by_moment
from bulbcast.quantities.frozen import frozen

ON_CHORD = "allowance on the chord"
TOLERANCE = 1e-9
"""Places within this distance are the same, since size and place of the bulb are solved to it. [m]"""


@frozen
class Band:
    """Where the mass centre can be with the bulb one way round.

    Attributes:
        fore_x: Furthest forward place of the mass centre, boat axes. [m]
        aft_x: Furthest aft. [m]
        fore_bound: Overhang that limits it at the fore end: "forward overhang" at its largest or "after overhang" at
            zero; or "allowance on the chord".
        aft_bound: At the after end: "after overhang" at its largest or "forward overhang" at zero.
    """

    fore_x: float
    aft_x: float
    fore_bound: str
    aft_bound: str

    def nearest(self, x: float) -> float:
        """Place within the band that is nearest to x. [m]"""
        return min(max(x, self.fore_x), self.aft_x)


@frozen
class BulbUnderFin:
    """What the reach depends on, in boat axes.

    Attributes:
        tip_leading_edge_x: Place of the leading edge of the fin's tip. [m]
        tip_chord: [m]
        bulb_length: [m]
        mass_centre_from_nose: Distance of the hung bulb's mass centre from its nose, along its axis, the usual way
            round. [m]
        overhang_forward: Largest distance of the nose ahead of the leading edge, along the bulb's axis. [m]
        overhang_aft: Largest distance of the tail behind the trailing edge, likewise. [m]
        mass_centre_below_tip: Distance of the mass centre below the fin's tip, square to the bulb's axis. [m]
        incidence: Angle of the bulb's axis to the waterline, nose up positive. [rad]
        carry_within: Largest distance of the mass centre from the middle of the tip's chord; None: any. [m]
    """

    tip_leading_edge_x: float
    tip_chord: float
    bulb_length: float
    mass_centre_from_nose: float
    overhang_forward: float
    overhang_aft: float
    mass_centre_below_tip: float = 0.0
    incidence: float = 0.0
    carry_within: float | None = None

    @property
    def middle(self) -> float:
        """Middle of the tip's chord. [m]"""
        return self.tip_leading_edge_x + 0.5 * self.tip_chord

    def boat_x(self, along: float) -> float:
        """x in the boat of a mass centre that would be at `along` were the bulb level. [m]"""
        if self.incidence == 0.0:
            return along
        aft = (along - self.tip_leading_edge_x) * math.cos(self.incidence)
        return self.tip_leading_edge_x + aft - self.mass_centre_below_tip * math.sin(self.incidence)

    def along(self, boat_x: float) -> float:
        """The reverse: where a mass centre at x in the boat would be were the bulb level. [m]"""
        if self.incidence == 0.0:
            return boat_x
        aft = boat_x - self.tip_leading_edge_x + self.mass_centre_below_tip * math.sin(self.incidence)
        return self.tip_leading_edge_x + aft / math.cos(self.incidence)


def reach_band(hang: BulbUnderFin, *, tail_first: bool = False) -> Band | None:
    """The band of the mass centre, one way round.

    Args:
        hang: Bulb and fin.
        tail_first: Whether the bulb is turned end for end. [-]

    Returns:
        The band; None where no place satisfies both limits, as with a bulb shorter than the fin's chord.
    """
    trailing = hang.tip_leading_edge_x + hang.tip_chord
    # x of the bulb's forward end, by the forward overhang and by the after one.
    by_fore = (hang.tip_leading_edge_x - hang.overhang_forward, hang.tip_leading_edge_x)
    by_aft = (trailing - hang.bulb_length, trailing + hang.overhang_aft - hang.bulb_length)
    first, last = max(by_fore[0], by_aft[0]), min(by_fore[1], by_aft[1])
    if first > last + TOLERANCE:
        return None
    first, last = min(first, last), max(first, last)
    centre = hang.mass_centre_from_nose
    if tail_first:
        centre = hang.bulb_length - centre
    fore, aft = first + centre, last + centre
    fore_bound = "forward overhang" if by_fore[0] >= by_aft[0] else "after overhang"
    aft_bound = "after overhang" if by_aft[1] <= by_fore[1] else "forward overhang"
    if hang.carry_within is not None:
        least, most = hang.middle - hang.carry_within, hang.middle + hang.carry_within
        if least > fore:
            fore, fore_bound = least, ON_CHORD
        if most < aft:
            aft, aft_bound = most, ON_CHORD
        if fore > aft + TOLERANCE:
            return None
    return Band(fore_x=hang.boat_x(fore), aft_x=hang.boat_x(aft), fore_bound=fore_bound, aft_bound=aft_bound)


@frozen
class Reach:
    """The required place against the band.

    Attributes:
        wanted_x: Where the mass centre should be, boat axes. [m]
        placed_x: The nearest place that it can have. [m]
        apparent_mass: Mass of the bulb less the water it displaces. [kg]
        moment: Shortfall, apparent mass times how far the place is short: what other weights have to give, aft
            positive. [kg m]
        ignored: How she floats if nothing is done: trim, by the stern positive, and the draughts.
        turned_reaches: Whether the bulb turned end for end would reach the required place. [-]
    """

    wanted_x: float
    placed_x: float
    apparent_mass: float
    moment: float
    ignored: Change
    turned_reaches: bool
    length: float

    @property
    def within(self) -> bool:
        """Whether the required place lies within the band, its ends included."""
        return abs(self.wanted_x - self.placed_x) <= TOLERANCE


def reach_of(
    hang: BulbUnderFin, band: Band, *, wanted_x: float, apparent_mass: float, flotation: Flotation
) -> Reach:
    """Compare the required place with what the fin can reach.

    Args:
        hang: Bulb and fin.
        band: Their band.
        wanted_x: From the ballast target, boat axes. [m]
        apparent_mass: Mass of the bulb less the water it displaces. [kg]
        flotation: The boat on her line.

    Returns:
        The shortfall, and the trim if it is ignored.
    """
    turned = reach_band(hang, tail_first=True)
    placed = band.nearest(wanted_x)
    moment = apparent_mass * (wanted_x - placed)
    return Reach(
        wanted_x=wanted_x,
        placed_x=placed,
        apparent_mass=apparent_mass,
        moment=moment,
        # The bulb is short of where it should be, so she lacks this moment.
        ignored=changed_by_moment(flotation, mass=0.0, moment=-moment),
        length=flotation.length,
        turned_reaches=turned is not None and abs(turned.nearest(wanted_x) - wanted_x) <= TOLERANCE,
    )


@frozen
class TrimLead:
    """Lead inside the hull at one place that makes up the shortfall, taken from the bulb so that she stays on her line.

    Attributes:
        x: Place of the lead, boat axes. [m]
        mass: Mass of the lead laid. [kg]
        bulb_lighter: Lead to leave off the bulb for it. [kg]
    """

    x: float
    mass: float
    bulb_lighter: float


@frozen
class OverhangNeeded:
    """A limit that would have to be wider for the required place.

    Attributes:
        end: "forward" or "after"; or "allowance on the chord", and then alone.
        limit: The limit broken: the largest overhang where `needed` is above it, zero where below. [m]
        needed: Overhang at that end with the mass centre at the required place. [m]
    """

    end: str
    limit: float
    needed: float


@frozen
class Remedies:
    """What makes up a shortfall. Each alone, except `together`.

    Attributes:
        moves: Each listed weight moved alone, with those that are enough first.
        together: The fewest weights that do it together; what is left stands with the last.
        trim_lead: Trim lead at each place where it is enough.
        overhangs: The limits that the required place breaks, with what each would have to be.
        turn_bulb: Whether turning the bulb end for end would be enough. [-]
    """

    moves: tuple[WeightMove, ...]
    together: tuple[WeightMove, ...]
    trim_lead: tuple[TrimLead, ...]
    overhangs: tuple[OverhangNeeded, ...]
    turn_bulb: bool


def remedies(
    reach: Reach,
    hang: BulbUnderFin,
    *,
    factor: float,
    movable: Sequence[MovableWeight] = (),
    trim_lead_at: Sequence[float] = (),
) -> Remedies | None:
    """Work out what would make up the shortfall.

    Args:
        reach: With its shortfall.
        hang: Bulb and fin that the reach comes from.
        factor: Apparent weight of the bulb's lead, from `apparent_weight_factor`. [-]
        movable: Weights that can be moved along the boat, with their limits.
        trim_lead_at: Places where trim lead can be laid, boat axes. [m]

    Returns:
        The remedies; None where the required place is within reach. Those that change the bulb are first-order: size it
        again afterwards.
    """
    if reach.within:
        return None
    leads = (trim_lead(reach, x=x, factor=factor) for x in trim_lead_at)
    return Remedies(
        moves=single_moves(tuple(movable), reach.moment),
        together=fewest_moves(tuple(movable), reach.moment),
        trim_lead=tuple(lead for lead in leads if lead is not None),
        overhangs=_overhangs_needed(reach, hang),
        turn_bulb=reach.turned_reaches,
    )


def trim_lead(reach: Reach, *, x: float, factor: float) -> TrimLead | None:
    """Trim lead at one place, taken from the bulb.

    w (x - x_placed) = moment, and the bulb is made lighter by w / (1 - rho_w / rho). Inside the hull lead displaces
    nothing.

    Args:
        reach: With its shortfall.
        x: Place where the lead can be laid, boat axes. [m]
        factor: 1 - rho_w / rho of the bulb's lead. [-]

    Returns:
        The lead; None where this place gives no moment in the right direction, or needs more lead than the bulb has.
    """
    arm = x - reach.placed_x
    if not (arm * reach.moment > 0.0 and reach.moment / arm < reach.apparent_mass):
        return None
    mass = reach.moment / arm
    return TrimLead(x=x, mass=mass, bulb_lighter=mass / factor)


def _overhangs_needed(reach: Reach, hang: BulbUnderFin) -> tuple[OverhangNeeded, ...]:
    """Limits broken with the mass centre at the required place."""
    fore_end = hang.along(reach.wanted_x) - hang.mass_centre_from_nose
    aft_needed = fore_end + hang.bulb_length - (hang.tip_leading_edge_x + hang.tip_chord)
    needed_off = abs(hang.along(reach.wanted_x) - hang.middle)
    if hang.carry_within is not None and needed_off > hang.carry_within + TOLERANCE:
        # Slightly more, so that the length as shown includes it.
        return (OverhangNeeded(end=ON_CHORD, limit=hang.carry_within, needed=needed_off + 1e-3),)
    return tuple(
        OverhangNeeded(end=end, limit=0.0 if needed < 0.0 else most, needed=needed)
        for end, needed, most in (
            ("forward", hang.tip_leading_edge_x - fore_end, hang.overhang_forward),
            ("after", aft_needed, hang.overhang_aft),
        )
        if not -TOLERANCE <= needed <= most + TOLERANCE
    )
