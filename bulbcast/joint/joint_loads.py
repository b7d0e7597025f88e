"""Statics of the joint between fin and bulb: hanging, held flat at 90 degrees of heel, and three ways aground.

The bulb is rigid. Places run aft from the leading edge of the fin's tip, in the plane of the pocket floor. Screws run
along the raked fin. They only pull, lead only presses. Each result is calculated as if its part held alone: the screws, or
the walls of the pocket.

Preloaded screws: the bulb's pull is added to the preload in full, though a clamped joint would share it, which is the
safe side. At 90 degrees screws and pocket walls are each calculated as if alone.
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
    """The parts that hold the bulb, and the load on them.

    Attributes:
        weight: Weight of the bulb. [N]
        mass_centre_at: Place of the mass centre aft of the tip's leading edge. [m]
        places: Places of the screws, at least one, in order, aft of the tip's leading edge. [m]
        half_widths: Half width of the fin's tip at each screw: its lever against prying. [m]
        holes: Diameter of each screw's hole in the lead. [m]
        tip: The fin's tip.
        pocket_depth: Depth of the pocket; 0 without one. [m]
        rake: Rake of the screws from square to the pocket floor, in the fin's plane; lower end aft is positive. [rad]

    Raises:
        BoatFigureError: There is no screw, one is off the tip, or a figure is impossible.
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
        require_finite("The place of the mass centre", self.mass_centre_at, "m")
        require_positive("The tip chord", self.tip.chord, "m")
        require_not_negative("The pocket's depth", self.pocket_depth, "m")
        for half, hole in zip(self.half_widths, self.holes, strict=True):
            require_positive("Half the fin's width at the screw", half, "m")
            require_positive("The hole in the lead", hole, "m")
        if not self.places:
            raise BoatFigureError("The joint has no screw. Give at least one, or leave the joint out.")
        if not all(0.0 < at < self.tip.chord for at in self.places):
            raise BoatFigureError("A screw lies off the fin's tip. Give places within the tip chord.")

    @property
    def middle(self) -> float:
        """Middle of the screws, aft of the tip's leading edge. [m]"""
        return math.fsum(self.places) / len(self.places)


@frozen
class Pivot:
    """Where the fin's tip presses into the lead when the bulb would drop one of its ends.

    The lead flows under an edge until the pressure is even over the tip from its edge to the nearest hole:
    the pivot is the centroid of that part, well inside the edge.

    Attributes:
        at: Place aft of the tip's leading edge. [m]
        area: Area of the fin's tip that presses. [m2]
        force: [N]
    """

    at: float
    area: float
    force: float

    @property
    def pressure(self) -> float:
        """Pressure on the lead, evenly spread. [Pa]"""
        return self.force / self.area


@frozen
class JointCase:
    """One load on the joint.

    Attributes:
        name: hanging, at-90, heeled, aground-ahead, aground-vertical or aground-sideways.
        force: Force on the bulb. [N]
        moment: Moment on the joint at the pocket floor. [N m]
        turning: Moment that would turn the bulb in plan about the middle of the screws; positive from aft of it. [N m]
        pulls: Pull along each screw, without preload. [N]
        shears: Force across each screw, if the screws alone held; None where a single screw cannot hold against turning. [N]
        wall_pressure: Largest pressure on a wall of the pocket, if the walls alone held; None without a pocket. [Pa]
        floor_pressure: Mean pressure of the fin's tip on the pocket floor; None where nothing presses it. [Pa]
        pivot: Where the tip's edge presses into the lead; None where it does not.
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
    """Area and centroid of the fin's tip section between two places.

    Args:
        tip: The fin's tip.
        low: Start, aft of the leading edge, from 0. [m]
        high: End, up to the chord. [m]

    Returns:
        Area [m2] and place of its centroid aft of the leading edge [m].

    References:
        Sums of the powers of the NACA four-digit thickness form, exact; quadrature for another shape.
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
    """The bulb hanging upright in air, for months.

    With the mass centre between the screws they share weight and moment: each has the mean and a part in proportion to its
    distance from their middle; for two that is plain statics. With one screw, or all of them on one side of the mass centre,
    the bulb drops its heavy end and turns on the tip's other edge: the pulls go with the distance from the pivot. Where both
    are possible the larger pull counts.

    Args:
        joint: The joint that holds it.

    Returns:
        Pulls, and the pivot's force where the edge presses.

    References:
        Statics, derived here; the linear spread over a group of fasteners is classical.
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
    """Lifts of the screws on the upright bulb, square to the pocket floor, and the edge that presses. [N]"""
    places = joint.places
    inside = min(max(joint.mass_centre_at, min(places)), max(places))
    pulls = [max(share, 0.0) for share in _shared(joint, joint.weight, inside)]
    pivot = None
    for end in (-1.0, 1.0):
        # Away from the edge at `end`: the bulb drops its other end.
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

    With the screws alone that is lift x cos + aft x sin along them and lift x sin - aft x cos across; where friction
    on the floor keeps the bulb from sliding up the rake, it is lift / cos along them. The larger counts, on the safe side.

    Args:
        joint: The joint, for their rake.
        lifts: Lift of each, square to the floor. [N]
        athwart: Force across each, to port or starboard; None is passed on. [N]
        aft: Force with which the bulb pushes each aft, along the floor. [N]
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
    """A force across the bulb: its own weight at 90 degrees of heel, or a blow on its nose.

    Screws alone: the bulb turns as one over the side of the tip, so a screw's pull is proportional to its half width and the
    sum of pull x half width is the moment; shear is each one's share plus its part of the turning about their middle, in
    proportion to the distance from it. Walls alone, for a pocket of depth h and chord c: F / (c h) for the force, 6 (moment
    about mid-depth) / (c h^2) and 6 (turn about mid-chord) / (h c^2).

    Args:
        joint: The joint that holds it.
        name: Name of the case.
        force: [N]
        arm: Distance from the pocket floor down to where it acts; negative above the floor. [m]
        at: Place where it acts, aft of the tip's leading edge. [m]
        hung: Pulls along the screws of the upright bulb that act with it; None at 90 degrees. [N]

    Returns:
        What screws and walls carry, each as if alone.

    References:
        Statics, derived here; the linear spread over a group of fasteners is classical.
    """
    require_not_negative("The force across the bulb", force, "N")
    require_finite("The arm from the pocket floor to the force", arm, "m")
    require_finite("The place of the force", at, "m")
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
    """The worst heel between upright and 90 degrees for a screw's pull: cos heel of one and sin heel of the other.

    Args:
        upright: The load of the bulb hanging upright.
        flat: The load of the bulb at 90 degrees of heel.

    Returns:
        The largest pull on each screw, sqrt(upright^2 + flat^2); pressures are those of the two ends.
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
    """The bulb's nose runs aground: a force straight aft on its axis, with the weight still hanging.

    Below the pocket floor it turns the nose down, over the tip's trailing edge; above it the other way. Each screw has
    an equal share of the force, across it and, if the fin is raked aft, also along it, as the bulb is drawn off. Wall alone,
    for the force but not the moment: on the fin's largest thickness in the pocket as seen from ahead.

    Args:
        joint: The joint that holds it.
        force: [N]
        arm: Distance from the pocket floor down to the bulb's axis; negative in a pocket deeper than that. [m]

    Returns:
        What screws and walls carry, each as if alone.
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
    """The boat comes down on the bulb: a force straight up, which presses it against the fin's tip.

    The screws at one end are pulled only where the ground meets the bulb beyond the pivot at the other end of the tip; the
    bulb's own weight then helps to turn it, and is left out of the pressure.

    Args:
        joint: The joint that holds it.
        force: [N]
        at: Where the ground meets the bulb, aft of the tip's leading edge. [m]

    Returns:
        Pulls, and the mean pressure of the fin's tip on the pocket floor.
    """
    require_not_negative("The force from below", force, "N")
    require_finite("The place of the ground", at, "m")
    area, centroid = tip_part(joint.tip, 0.0, joint.tip.chord)
    lifts = [0.0] * len(joint.places)
    pivot = None
    for end in (-1.0, 1.0):
        place, part = _pivot_place(joint, end)
        beyond = (at - place) * end
        if beyond > 0.0:
            # The bulb's own weight, on the near side of the pivot, turns it the same way.
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
    """Pulls of screws that hold a moment about a pivot, in proportion to their distance from it.

    Args:
        places: Places of the screws, all on one side of the pivot. [m]
        moment: Moment that opens the joint; one that closes it pulls no screw. [N m]
        pivot: [m]

    Returns:
        One pull for each. [N]

    References:
        A bracket that tilts on its edge, as in textbooks of machine design.
    """
    levers = [abs(place - pivot) for place in places]
    total = math.fsum(lever**2 for lever in levers)
    return [max(moment, 0.0) * lever / total for lever in levers]


def weight_of(mass: float) -> float:
    """Weight of a mass in standard gravity.

    Args:
        mass: [kg]

    Returns:
        The weight. [N]

    Raises:
        BoatFigureError: The mass is not above 0.
    """
    require_positive("The mass", mass, "kg")
    return mass * STANDARD_GRAVITY


def _shared(joint: Joint, force: float, at: float) -> list[float]:
    """A force's share on each screw, the mean plus its turning about their middle; a single screw takes all of it. [N]"""
    places, middle = joint.places, joint.middle
    spread = math.fsum((place - middle) ** 2 for place in places)
    lean = 0.0 if spread == 0.0 else (at - middle) / spread
    return [force / len(places) + force * lean * (place - middle) for place in places]


def _pivot_place(joint: Joint, end: float) -> tuple[float, float]:
    """Place [m] and area [m2] of the pivot at the leading (-1) or trailing (1) edge of the tip."""
    chord = joint.tip.chord
    if end < 0.0:
        inner = min(at - 0.5 * hole for at, hole in zip(joint.places, joint.holes, strict=True))
        low, high = 0.0, inner
    else:
        inner = max(at + 0.5 * hole for at, hole in zip(joint.places, joint.holes, strict=True))
        low, high = inner, chord
    if not low < high:
        # A hole that breaks the tip's end, which is a stop itself, leaves the bare edge: a hundredth of the chord.
        low, high = (0.0, 0.01 * chord) if end < 0.0 else (0.99 * chord, chord)
    area, at = tip_part(joint.tip, low, high)
    return at, area
