"""Statics of the joint between fin and bulb, with the bulb hanging, held flat at 90 degrees of heel, or aground in
three ways.

The bulb is rigid. Positions are measured aft from the leading edge of the fin's tip, in the plane of the pocket floor.
Screws run along the raked fin. They act only in tension, and the lead only in compression. The screws and the walls of
the pocket are each calculated as if they alone held the bulb.

The bulb's pull is added in full to a screw's preload. In a clamped joint the screw would take only part of it, so this
errs on the safe side.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

from bulbcast.fin.foil_section import FOUR_DIGIT_COEFFICIENTS
from bulbcast.fin.shape import area_between
from bulbcast.fin.tip_section import FinTip
from bulbcast.quantities.checked import (
    STANDARD_GRAVITY,
    BoatFigureError,
    require_finite,
    require_not_negative,
    require_positive,
)
from bulbcast.quantities.frozen import frozen


@frozen
class Joint:
    """Dimensions of the joint that holds the bulb, with the load on it.

    Attributes:
        weight: Weight of the bulb. [N]
        mass_centre_at: Distance of the mass centre aft of the tip's leading edge. [m]
        places: Distances of the screws aft of the tip's leading edge, in order; at least one. [m]
        half_widths: Half the width of the fin's tip at each screw, which is the screw's lever arm against prying.
            [m]
        holes: Diameter of each screw's hole in the lead. [m]
        tip: The fin's tip.
        pocket_depth: Depth of the pocket; 0 if there is none. [m]
        rake: Angle of the screws from the perpendicular to the pocket floor, in the fin's plane; lower end aft is
            positive. [rad]

    Raises:
        BoatFigureError: There are no screws, a screw is outside the tip, or a figure is impossible.
    """

    weight: float
    mass_centre_at: float
    places: tuple[float, ...]
    half_widths: tuple[float, ...]
    holes: tuple[float, ...]
    tip: FinTip
    pocket_depth: float
    rake: float = 0.0

    def __post_init__(self) -> None:
        require_positive("The bulb's weight", self.weight, "N")
        require_finite("The position of the mass centre", self.mass_centre_at, "m")
        require_positive("The tip chord", self.tip.chord, "m")
        require_not_negative("The pocket's depth", self.pocket_depth, "m")
        for half, hole in zip(self.half_widths, self.holes, strict=True):
            require_positive("Half the fin's width at the screw", half, "m")
            require_positive("The diameter of the hole in the lead", hole, "m")
        if not self.places:
            raise BoatFigureError("The joint has no screw. Give at least one screw, or omit the joint.")
        if not all(0.0 < at < self.tip.chord for at in self.places):
            raise BoatFigureError("A screw is outside the fin's tip. Give positions within the tip chord.")

    @property
    def middle(self) -> float:
        """Mean position of the screws aft of the tip's leading edge. [m]"""
        return math.fsum(self.places) / len(self.places)


@frozen
class Pivot:
    """Part of the fin's tip that presses into the lead when one end of the bulb tries to drop.

    The lead under the tip's edge yields until the pressure is uniform from the edge to the nearest hole. The pivot is
    the centroid of that part, well inside the edge.

    Attributes:
        at: Distance of the pivot aft of the tip's leading edge. [m]
        area: Area of that part. [m2]
        force: Force on that area. [N]
    """

    at: float
    area: float
    force: float

    @property
    def pressure(self) -> float:
        """Uniform pressure on the lead. [Pa]"""
        return self.force / self.area


@frozen
class JointCase:
    """One load on the joint and its effects.

    Attributes:
        name: hanging, at-90, heeled, aground-ahead, aground-vertical or aground-sideways.
        force: Force on the bulb. [N]
        moment: Moment on the joint at the pocket floor. [N m]
        turning: Moment that turns the bulb in plan about the middle of the group of screws; positive if the force acts
            aft of that point. [N m]
        pulls: Pull along each screw, not including preload. [N]
        shears: Force across each screw, as if the screws alone held the bulb; None if a single screw cannot stop the
            bulb turning. [N]
        wall_pressure: Maximum pressure on a wall of the pocket, as if the walls alone held the bulb; None without a
            pocket. [Pa]
        floor_pressure: Mean pressure of the fin's tip on the pocket floor; None if they are not pressed together. [Pa]
        pivot: Part of the tip, at one edge, that presses into the lead; None if neither edge does.
    """

    name: str
    force: float
    moment: float
    pulls: tuple[float, ...]
    shears: tuple[float | None, ...]
    turning: float = 0.0
    wall_pressure: float | None = None
    floor_pressure: float | None = None
    pivot: Pivot | None = None


def tip_part(tip: FinTip, low: float, high: float) -> tuple[float, float]:
    """Area and centroid of the part of the fin's tip section between two distances from the leading edge.

    Args:
        tip: The fin's tip.
        low: Distance of the start aft of the leading edge, 0 or more. [m]
        high: Distance of the end aft of the leading edge, at most the chord. [m]

    Returns:
        Area [m2], and distance of its centroid aft of the leading edge [m].

    References:
        Exact sums of powers for the NACA four-digit thickness form; quadrature for any other shape.
    """

    if tip.shape is not None:
        part, first = area_between(tip.shape, low / tip.chord, high / tip.chord)
        return part * tip.thickness * tip.chord, first / part * tip.chord

    def moment(power: int) -> float:
        total = 0.0
        for a, p in zip(FOUR_DIGIT_COEFFICIENTS, (0.5, 1.0, 2.0, 3.0, 4.0), strict=True):
            rise = p + power + 1.0
            total += a * ((high / tip.chord) ** rise - (low / tip.chord) ** rise) / rise
        return 2.0 * tip.thickness * tip.chord ** (power + 1) * total

    area = moment(0)
    return area, moment(1) / area


def hanging(joint: Joint) -> JointCase:
    """Calculate the loads on the joint while the bulb hangs upright in air for months.

    If the mass centre is between the screws, they share the weight and the moment. Each takes the mean pull plus a part
    in proportion to its distance from the middle of the group; for two screws that is plain statics. If there is one
    screw, or all are on one side of the mass centre, the bulb's heavy end drops and the bulb pivots on the opposite
    edge of the tip. The pulls are then in proportion to the distance from the pivot. If both are possible, the larger
    pull is used.

    Args:
        joint: The joint that holds the bulb.

    Returns:
        Pulls, and the force at the pivot if the tip's edge presses into the lead.

    References:
        Statics, derived here. The linear distribution over a group of fasteners is classical.
    """
    lifts, pivot = _hung(joint)
    pulls, shears = _along(joint, lifts, [0.0] * len(lifts))
    return JointCase(
        name="hanging",
        force=joint.weight,
        moment=joint.weight * abs(joint.mass_centre_at - joint.middle),
        pulls=pulls,
        shears=shears,
        pivot=pivot,
    )


def _hung(joint: Joint) -> tuple[list[float], Pivot | None]:
    """Forces of the screws on the upright bulb, perpendicular to the pocket floor [N], and the pivot, if any."""
    places = joint.places
    inside = min(max(joint.mass_centre_at, min(places)), max(places))
    pulls = [max(share, 0.0) for share in _shared(joint, joint.weight, inside)]
    pivot = None
    for end in (-1.0, 1.0):
        # Distances from the edge at `end`; the other end of the bulb drops.
        at, area = _pivot_place(joint, end)
        about = joint.weight * (joint.mass_centre_at - at) * -end
        turned = pulls_about(joint.places, about, at)
        force = math.fsum(turned) - joint.weight
        if force > 0.0:
            pulls = [max(one, other) for one, other in zip(pulls, turned, strict=True)]
            pivot = Pivot(at=at, area=area, force=force)
    return pulls, pivot


def _along(
    joint: Joint, lifts: Sequence[float], athwart: Sequence[float | None], *, aft: float = 0.0
) -> tuple[tuple[float, ...], tuple[float | None, ...]]:
    """Forces along and across raked screws, from the loads at the pocket floor.

    If the screws alone hold the bulb, the force is lift x cos + aft x sin along them and lift x sin - aft x cos across.
    If friction on the floor stops the bulb sliding up the rake, it is lift / cos along them. To be safe, the pull is
    taken as lift / cos, plus aft x sin if that is positive, and the force across as no less than aft.

    Args:
        joint: The joint, for the rake of its screws.
        lifts: Lifting force of each screw, perpendicular to the floor. [N]
        athwart: Force across each screw, to port or starboard; if None, the force across in the result is None too. [N]
        aft: Force with which the bulb pushes each screw aft, along the floor. [N]
    """
    sine, cosine = math.sin(joint.rake), math.cos(joint.rake)
    pulls = [lift / cosine + max(aft * sine, 0.0) for lift in lifts]
    fore = [max(abs(aft), abs(lift * sine - aft * cosine)) for lift in lifts]
    shears = [
        None if side is None else math.hypot(side, along) for side, along in zip(athwart, fore, strict=True)
    ]
    return tuple(pulls), tuple(shears)


def sideways(
    joint: Joint,
    name: str,
    *,
    force: float,
    arm: float,
    at: float,
    hung: Sequence[float] | None = None,
) -> JointCase:
    """Calculate the loads on the joint from a sideways force on the bulb: its weight at 90 degrees of heel, or a blow on
    its nose.

    If the screws alone hold the bulb, the rigid bulb pivots on the side of the tip. A screw's pull is proportional to
    the tip's half width there, and the sum of pull x half width is the moment. The shear on a screw is an equal share
    of the force, plus a share of the turning moment in proportion to the screw's distance from the middle of the
    group. If the walls alone hold the bulb, the pressure in a pocket of depth h and chord c is the sum of F / (c h) for
    the force, 6 (moment about mid-depth) / (c h^2) and 6 (turning moment about mid-chord) / (h c^2).

    Args:
        joint: The joint that holds the bulb.
        name: Name of the load case.
        force: Sideways force on the bulb. [N]
        arm: Distance from the pocket floor down to the force; negative if it acts above the floor. [m]
        at: Distance of the force aft of the tip's leading edge. [m]
        hung: Pulls along the screws from the bulb hanging upright, if they act at the same time; None at 90 degrees. [N]

    Returns:
        Loads on the screws and the walls, each as if they alone held the bulb.

    References:
        Statics, derived here. The linear distribution over a group of fasteners is classical.
    """
    require_not_negative("The force across the bulb", force, "N")
    require_finite("The arm from the pocket floor to the force", arm, "m")
    require_finite("The position of the force", at, "m")
    moment = force * abs(arm)
    levers = math.fsum(half**2 for half in joint.half_widths)
    with_it = (0.0,) * len(joint.places) if hung is None else hung
    lifts = [
        own * math.cos(joint.rake) + moment * half / levers
        for own, half in zip(with_it, joint.half_widths, strict=True)
    ]
    off = at - joint.middle
    alone = len(set(joint.places)) == 1 and abs(off) > 1e-9
    pulls, shears = _along(
        joint, lifts, [None if alone else abs(share) for share in _shared(joint, force, at)]
    )
    chord, depth = joint.tip.chord, joint.pocket_depth
    wall = None
    if depth > 0.0:
        wall = force / (chord * depth) + 6.0 * force * abs(arm + 0.5 * depth) / (chord * depth**2)
        wall += 6.0 * force * abs(at - 0.5 * chord) / (depth * chord**2)
    return JointCase(
        name=name,
        force=force,
        moment=moment,
        turning=force * off,
        pulls=pulls,
        shears=shears,
        wall_pressure=wall,
    )


def heeled(upright: JointCase, flat: JointCase) -> JointCase:
    """Calculate the loads on the joint at the angle of heel, up to 90 degrees, at which a screw has its maximum pull. The
    pull is cos heel times the upright pull plus sin heel times the pull at 90 degrees.

    Args:
        upright: Load of the bulb hanging upright.
        flat: Load of the bulb at 90 degrees of heel.

    Returns:
        Maximum pull on each screw, sqrt(upright^2 + flat^2). Pressures are given only with the upright and flat loads.
    """
    shears = zip(upright.shears, flat.shears, strict=True)
    return JointCase(
        name="heeled",
        force=upright.force,
        moment=math.hypot(upright.moment, flat.moment),
        turning=flat.turning,
        pulls=tuple(math.hypot(one, other) for one, other in zip(upright.pulls, flat.pulls, strict=True)),
        shears=tuple(
            None if one is None or other is None else math.hypot(one, other) for one, other in shears
        ),
    )


def ahead(joint: Joint, *, force: float, arm: float) -> JointCase:
    """Calculate the loads on the joint when the bulb's nose runs aground.

    The force acts straight aft along the bulb's axis, and the bulb's weight still hangs from the joint. A force below
    the pocket floor turns the nose down, about the tip's trailing edge; a force above the floor turns it up. Each screw
    takes an equal share of the force across it. If the fin is raked aft, part of the force also acts along the screw,
    as the bulb is pulled off. If the wall alone holds the bulb, it takes the force but not the moment. The force is
    then spread over an area of the fin's maximum thickness times the pocket's depth.

    Args:
        joint: The joint that holds the bulb.
        force: Force on the nose. [N]
        arm: Distance from the pocket floor down to the bulb's axis; negative if the pocket is deeper than the axis. [m]

    Returns:
        Loads on the screws and the walls, each as if they alone held the bulb.
    """
    require_not_negative("The force on the nose", force, "N")
    require_finite("The arm from the pocket floor to the nose", arm, "m")
    end = 1.0 if arm >= 0.0 else -1.0
    at, area = _pivot_place(joint, end)
    about = force * abs(arm) + joint.weight * (joint.mass_centre_at - at) * -end
    turned = pulls_about(joint.places, about, at)
    pressing = math.fsum(turned) - joint.weight
    lifts = [max(one, other) for one, other in zip(_hung(joint)[0], turned, strict=True)]
    pulls, shears = _along(joint, lifts, [0.0] * len(lifts), aft=force / len(lifts))
    depth = joint.pocket_depth
    return JointCase(
        name="aground-ahead",
        force=force,
        moment=force * abs(arm),
        pulls=pulls,
        shears=shears,
        wall_pressure=force / (joint.tip.thickness * depth) if depth > 0.0 else None,
        pivot=Pivot(at=at, area=area, force=pressing) if pressing > 0.0 else None,
    )


def vertical(joint: Joint, *, force: float, at: float) -> JointCase:
    """Calculate the loads on the joint when the boat comes down on the bulb, with an upward force that presses the bulb
    against the fin's tip.

    The screws are pulled only if the ground meets the bulb beyond the pivot at either end of the tip. The weight of the
    bulb then helps to turn it, and is not counted in the pressure.

    Args:
        joint: The joint that holds the bulb.
        force: Upward force on the bulb. [N]
        at: Point where the ground meets the bulb, aft of the tip's leading edge. [m]

    Returns:
        Pulls, and the mean pressure of the fin's tip on the pocket floor.
    """
    require_not_negative("The force from below", force, "N")
    require_finite("The point where the ground meets the bulb", at, "m")
    area, centroid = tip_part(joint.tip, 0.0, joint.tip.chord)
    lifts = [0.0] * len(joint.places)
    pivot = None
    for end in (-1.0, 1.0):
        place, part = _pivot_place(joint, end)
        beyond = (at - place) * end
        if beyond > 0.0:
            # The bulb's weight, acting on the near side of the pivot, turns the bulb in the same direction.
            own = joint.weight * max((place - joint.mass_centre_at) * end, 0.0)
            lifts = pulls_about(joint.places, force * beyond + own, place)
            pivot = Pivot(at=place, area=part, force=force + math.fsum(lifts))
    pulls, shears = _along(joint, lifts, [0.0] * len(lifts))
    return JointCase(
        name="aground-vertical",
        force=force,
        moment=force * abs(at - centroid),
        pulls=pulls,
        shears=shears,
        floor_pressure=force / area,
        pivot=pivot,
    )


def pulls_about(places: Sequence[float], moment: float, pivot: float) -> list[float]:
    """Pulls on the screws that resist a moment about a pivot, in proportion to their distance from the pivot.

    Args:
        places: Positions of the screws, all on one side of the pivot. [m]
        moment: Moment that opens the joint. A moment that closes it pulls no screw. [N m]
        pivot: Position of the pivot. [m]

    Returns:
        One pull for each screw. [N]

    References:
        A bracket that tilts on its edge, as in textbooks on machine design.
    """
    levers = [abs(place - pivot) for place in places]
    total = math.fsum(lever**2 for lever in levers)
    return [max(moment, 0.0) * lever / total for lever in levers]


def weight_of(mass: float) -> float:
    """Weight of a mass under standard gravity.

    Args:
        mass: The mass. [kg]

    Returns:
        Its weight. [N]

    Raises:
        BoatFigureError: The mass is not above 0.
    """
    require_positive("The mass", mass, "kg")
    return mass * STANDARD_GRAVITY


def _shared(joint: Joint, force: float, at: float) -> list[float]:
    """Part of a force taken by each screw: the mean, plus the effect of the force's moment about the middle of the group.
    A single screw takes the full force. [N]"""
    places, middle = joint.places, joint.middle
    spread = math.fsum((place - middle) ** 2 for place in places)
    lean = 0.0 if spread == 0.0 else (at - middle) / spread
    return [force / len(places) + force * lean * (place - middle) for place in places]


def _pivot_place(joint: Joint, end: float) -> tuple[float, float]:
    """Position [m] and area [m2] of the pivot at the leading (-1) or trailing (1) edge of the tip."""
    chord = joint.tip.chord
    if end < 0.0:
        inner = min(at - 0.5 * hole for at, hole in zip(joint.places, joint.holes, strict=True))
        low, high = 0.0, inner
    else:
        inner = max(at + 0.5 * hole for at, hole in zip(joint.places, joint.holes, strict=True))
        low, high = inner, chord
    if not low < high:
        # A hole that breaks through the tip's end, which is itself a stop, leaves a bare edge of a hundredth of the chord.
        low, high = (0.0, 0.01 * chord) if end < 0.0 else (0.99 * chord, chord)
    area, at = tip_part(joint.tip, low, high)
    return at, area
