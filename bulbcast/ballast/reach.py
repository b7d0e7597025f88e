"""Reach: the range along the boat in which the fin can carry the bulb's mass centre, with remedies if it is too short.

The bulb's nose may overhang the tip's leading edge, and its tail the trailing edge, up to given limits. These limits
determine where the mass centre can be. Its distance from the nose is treated as fixed, although the pocket and holes
shift it slightly as the bulb slides. Boat axes: x aft.

The load on the boat is the bulb less the water it displaces, so every moment here uses this apparent mass.

At a position given in the plan, the shorter of the tip chord and the bulb must be within the length of the longer
one; otherwise the position is an input error.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

from bulbcast.ballast.moving import MovableWeight, WeightMove, fewest_moves, single_moves
from bulbcast.hull.trimming import Change, Flotation, changed_by_moment
from bulbcast.quantities.frozen import frozen

ON_CHORD = "allowance on the chord"
TOLERANCE = 1e-9
"""Tolerance within which two positions count as equal; the bulb's size and position are solved to this accuracy. [m]"""


@frozen
class Band:
    """Range of possible positions of the mass centre, with the bulb nose first or tail first.

    Attributes:
        fore_x: Furthest forward position of the mass centre, boat axes. [m]
        aft_x: Furthest aft position of the mass centre. [m]
        fore_bound: Overhang that limits the range at the fore end: "forward overhang" at its largest or "after
            overhang" at zero; or "allowance on the chord".
        aft_bound: The same for the after end: "after overhang" at its largest or "forward overhang" at zero.
    """

    fore_x: float
    aft_x: float
    fore_bound: str
    aft_bound: str

    def nearest(self, x: float) -> float:
        """Return the position in the band that is nearest to x. [m]"""
        return min(max(x, self.fore_x), self.aft_x)


@frozen
class BulbUnderFin:
    """Dimensions that determine the reach, in boat axes.

    Attributes:
        tip_leading_edge_x: x of the leading edge at the fin's tip. [m]
        tip_chord: Chord at the tip. [m]
        bulb_length: Length of the bulb. [m]
        mass_centre_from_nose: Distance of the hung bulb's mass centre from its nose, along its axis, nose forward. [m]
        overhang_forward: Largest distance of the nose ahead of the leading edge, along the bulb's axis. [m]
        overhang_aft: Largest distance of the tail behind the trailing edge, along the bulb's axis. [m]
        mass_centre_below_tip: Distance of the mass centre below the fin's tip, square to the bulb's axis. [m]
        incidence: Angle of the bulb's axis to the waterline, nose up positive. [rad]
        carry_within: Largest distance of the mass centre from the middle of the tip chord; None for no limit. [m]
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
        """Middle of the tip chord. [m]"""
        return self.tip_leading_edge_x + 0.5 * self.tip_chord

    def boat_x(self, along: float) -> float:
        """Convert the mass centre's x for a horizontal bulb to its x at the bulb's incidence. [m]"""
        if self.incidence == 0.0:
            return along
        aft = (along - self.tip_leading_edge_x) * math.cos(self.incidence)
        return self.tip_leading_edge_x + aft - self.mass_centre_below_tip * math.sin(self.incidence)

    def along(self, boat_x: float) -> float:
        """Convert the mass centre's x at the bulb's incidence to its x for a horizontal bulb. [m]"""
        if self.incidence == 0.0:
            return boat_x
        aft = boat_x - self.tip_leading_edge_x + self.mass_centre_below_tip * math.sin(self.incidence)
        return self.tip_leading_edge_x + aft / math.cos(self.incidence)


def reach_band(hang: BulbUnderFin, *, tail_first: bool = False) -> Band | None:
    """Return the range of the mass centre with the bulb nose first or tail first.

    Args:
        hang: Dimensions of bulb and fin.
        tail_first: Whether the bulb is turned end for end. [-]

    Returns:
        The range; None if no position satisfies both limits, for example with a bulb shorter than the fin's chord.
    """
    trailing = hang.tip_leading_edge_x + hang.tip_chord
    # x of the bulb's forward end, from the forward overhang and from the after one.
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
    """Comparison of the required position with the range that the fin can reach.

    Attributes:
        wanted_x: Required position of the mass centre, boat axes. [m]
        placed_x: Nearest possible position. [m]
        apparent_mass: Mass of the bulb less the water it displaces. [kg]
        moment: Moment that other weights must supply: apparent mass times the shortfall, positive aft. [kg m]
        ignored: Floating position if nothing is done: trim, positive by the stern, and draughts.
        turned_reaches: Whether the required position would be reached by turning the bulb end for end. [-]
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
        """Whether the required position is within the range, including its ends."""
        return abs(self.wanted_x - self.placed_x) <= TOLERANCE


def reach_of(
    hang: BulbUnderFin, band: Band, *, wanted_x: float, apparent_mass: float, flotation: Flotation
) -> Reach:
    """Compare the required position with the range that the fin can reach.

    Args:
        hang: Dimensions of bulb and fin.
        band: Range of the mass centre with these dimensions.
        wanted_x: Required position from the ballast target, boat axes. [m]
        apparent_mass: Mass of the bulb less the water it displaces. [kg]
        flotation: Flotation on the design waterline.

    Returns:
        The shortfall, and the trim if nothing is done about it.
    """
    turned = reach_band(hang, tail_first=True)
    placed = band.nearest(wanted_x)
    moment = apparent_mass * (wanted_x - placed)
    return Reach(
        wanted_x=wanted_x,
        placed_x=placed,
        apparent_mass=apparent_mass,
        moment=moment,
        # The bulb does not reach its required position, so this moment is missing.
        ignored=changed_by_moment(flotation, mass=0.0, moment=-moment),
        length=flotation.length,
        turned_reaches=turned is not None and abs(turned.nearest(wanted_x) - wanted_x) <= TOLERANCE,
    )


@frozen
class TrimLead:
    """Trim lead inside the hull that makes up the shortfall, with the bulb made lighter to keep her on her line.

    Attributes:
        x: Position of the lead, boat axes. [m]
        mass: Mass of the lead inside. [kg]
        bulb_lighter: Mass by which the bulb is made lighter. [kg]
    """

    x: float
    mass: float
    bulb_lighter: float


@frozen
class OverhangNeeded:
    """A limit that would have to be widened to reach the required position.

    Attributes:
        end: "forward" or "after", or "allowance on the chord", which only occurs alone.
        limit: The largest overhang or the allowance, which `needed` exceeds; zero if `needed` is below zero. [m]
        needed: Overhang at that end, or distance of the mass centre from the middle of the tip chord, if the mass
            centre is at the required position. [m]
    """

    end: str
    limit: float
    needed: float


@frozen
class Remedies:
    """Ways to make up a shortfall. Except in `together`, each is considered alone.

    Attributes:
        moves: Move of each weight on its own, sufficient moves first.
        together: Moves of the fewest weights that are sufficient together, or all moves that help if they are not
            sufficient. The last move gives the moment still missing.
        trim_lead: Trim lead for each position where it is sufficient.
        overhangs: Limits that the required position exceeds, each with the value needed.
        turn_bulb: Whether turning the bulb end for end would be sufficient. [-]
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
    """Find the remedies for a shortfall.

    Args:
        reach: Reach with its shortfall.
        hang: Dimensions of bulb and fin for which the reach was calculated.
        factor: Apparent weight of the bulb's lead divided by its weight, from `apparent_weight_factor`. [-]
        movable: Weights that can be moved along the boat, with their limits.
        trim_lead_at: Positions where trim lead can be put, boat axes. [m]

    Returns:
        The remedies; None if the required position is within reach. Remedies that change the bulb are first-order, so
        size it again afterwards.
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
    """Calculate the trim lead needed at one position, with the bulb made lighter.

    w (x - x_placed) = moment, and the bulb is made lighter by w / (1 - rho_w / rho). Lead inside the hull displaces
    nothing.

    Args:
        reach: Reach with its shortfall.
        x: Position of the lead, boat axes. [m]
        factor: Value of 1 - rho_w / rho for the bulb's lead. [-]

    Returns:
        The trim lead; None if lead at this position gives no moment in the right direction, or more lead is needed than
        the bulb contains.
    """
    arm = x - reach.placed_x
    if not (arm * reach.moment > 0.0 and reach.moment / arm < reach.apparent_mass):
        return None
    mass = reach.moment / arm
    return TrimLead(x=x, mass=mass, bulb_lighter=mass / factor)


def _overhangs_needed(reach: Reach, hang: BulbUnderFin) -> tuple[OverhangNeeded, ...]:
    """Return the limits exceeded if the mass centre is at the required position."""
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
