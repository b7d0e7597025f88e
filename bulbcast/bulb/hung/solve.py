"""Solve for size and position together, so that the hung mass meets its target and balances at the right point.

There are two unknowns, the logarithm of the free dimension and the position of the nose, and two equations, for the
hung mass and its centre. The holes and pocket stay with the fin while the bulb grows and slides. From a good start,
Broyden's method needs four or five evaluations of a millisecond each.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import replace

import numpy as np

from bulbcast.bulb.body.attitude import nose_for_lead
from bulbcast.bulb.body.integrals import body_volume
from bulbcast.bulb.body.turned import TurnedBody, turned_body
from bulbcast.bulb.cuts.union import FinNodes, fin_nodes
from bulbcast.bulb.hung.ledger import HungBulb, hang
from bulbcast.bulb.hung.wish import LARGEST_FINENESS, SMALLEST_FINENESS, BulbWish, tail_diameter_for

# The promise is 1e-10 of the target and 1e-9 m; Broyden's last step goes well beyond these.
_MASS_TOLERANCE = 5e-12
_PLACE_TOLERANCE = 1e-11
_ACCEPTED_MASS, _ACCEPTED_PLACE = 1e-11, 1e-10
_NOTHING = 1e-12
_SMALLEST_DIAMETER, _LARGEST_DIAMETER = 5e-4, 20.0
Error = np.ndarray[tuple[int], np.dtype[np.float64]]


Aim = Callable[[HungBulb], tuple[float, float]]
"""Function that gives the required mass of a bulb [kg] and the required x of its mass centre, boat axes [m]."""


class NoSolutionError(ValueError):
    """Raised if no bulb meets the request."""


class TargetOutOfReachError(NoSolutionError):
    """Raised if no fineness within the allowed range gives the target at the given length or diameter.

    Attributes:
        given: "length" or "diameter".
        value: The given value. [m]
        target: Target for the hung mass. [kg]
        lightest: Hung mass at the slenderest or thinnest end of the range of fineness. [kg]
        heaviest: Hung mass at the other end of the range. [kg]
        nearest: Range of the given dimension in which the target can be reached, narrowed by 0.2 % at each end so
            that a rounded figure still works; None if there is no such range. [m]
    """

    def __init__(
        self,
        given: str,
        value: float,
        target: float,
        lightest: float,
        heaviest: float,
        nearest: tuple[float, float] | None,
    ) -> None:
        super().__init__(f"{given} {value:g} m carries {lightest:g} to {heaviest:g} kg, not {target:g} kg")
        self.given = given
        self.value = value
        self.target = target
        self.lightest = lightest
        self.heaviest = heaviest
        self.nearest = nearest


class TailTooThickError(NoSolutionError):
    """Raised if the tail diameter asked for is not below the diameter that the mass needs.

    Attributes:
        tail: The tail diameter asked for. [m]
        diameter: Diameter of a bulb of this mass with a thinner tail. [m]
    """

    def __init__(self, tail: float, diameter: float) -> None:
        super().__init__(f"tail_diameter {tail:g} m is not below the bulb's diameter of about {diameter:g} m")
        self.tail = tail
        self.diameter = diameter


class MassCentreOutOfReachError(NoSolutionError):
    """Raised if the fin's tip would not be on the bulb at the position asked for.

    Attributes:
        wanted: x of the mass centre asked for, boat axes. [m]
        nearest: Lowest and highest x of the mass centre with the tip on the bulb, boat axes. [m]
        along_tip: The same limits, as distances aft of the tip's leading edge along the tip. [m]
    """

    def __init__(self, wanted: float, nearest: tuple[float, float], along_tip: tuple[float, float]) -> None:
        super().__init__(
            f"the mass centre at {wanted:g} m is outside the range {nearest[0]:g} to {nearest[1]:g} m"
        )
        self.wanted = wanted
        self.nearest = nearest
        self.along_tip = along_tip


def size_and_place(wish: BulbWish) -> HungBulb:
    """Find the bulb with the target mass, in the position where everything that hangs balances as required.

    Args:
        wish: The bulb that the plan asks for.

    Returns:
        The bulb; its hung mass is within 1e-10 of the target, and its mass centre is within 1e-9 m of the position
        required.

    Raises:
        TargetOutOfReachError: The given length or diameter cannot carry the target.
        TailTooThickError: The tail asked for is thicker than the bulb.
        MassCentreOutOfReachError: The fin's tip would not be on the bulb.
    """
    nodes = fin_nodes(wish.fin.tip, wish.fin.clearance, wish.profile)
    bulb = _solved(wish, nodes)
    refuse_out_of_reach(bulb, wish)
    return bulb


def size_by_aim(wish: BulbWish, aim: Aim) -> HungBulb | None:
    """Find a bulb whose required mass and position depend on the bulb itself, without checking that the fin's tip is
    on it.

    Args:
        wish: The bulb that the plan asks for; the search starts from its mass and position.
        aim: Gives the required mass and mass centre for each trial bulb.

    Returns:
        The bulb, which meets its aim within the same tolerances as in `size_and_place`; None if the aim was not
        reached.
    """
    try:
        return _quickly(wish, fin_nodes(wish.fin.tip, wish.fin.clearance, wish.profile), aim)
    except NoSolutionError:
        return None


def size_where_asked(wish: BulbWish) -> HungBulb:
    """Same as `size_and_place`, but without checking that the fin's tip is on the bulb.

    Use it for intermediate passes, such as the search for the boat's trim.

    Args:
        wish: The bulb that the plan asks for.

    Returns:
        The bulb.

    Raises:
        TargetOutOfReachError: The given length or diameter cannot carry the target.
        TailTooThickError: The tail asked for is thicker than the bulb.
    """
    return _solved(wish, fin_nodes(wish.fin.tip, wish.fin.clearance, wish.profile))


def mass_centre_band(bulb: HungBulb, wish: BulbWish) -> tuple[float, float]:
    """Range of positions of this body's mass centre for which the fin's tip is on the body.

    Whichever is shorter, the chord or the bulb, must lie within the length of the other.

    Args:
        bulb: A sized bulb.
        wish: The wish, which gives the fin, screws and fillings.

    Returns:
        Lowest and highest x of the mass centre, boat axes. [m]
    """
    low, high = sorted(end.mass_centre[0] for end in _ends_of_reach(bulb, wish))
    return low, high


def _ends_of_reach(bulb: HungBulb, wish: BulbWish) -> list[HungBulb]:
    """The body in two positions: with the tip's leading edge at the bulb's nose, and with the trailing edge at its tail."""
    nodes = fin_nodes(wish.fin.tip, wish.fin.clearance, wish.profile)
    return [
        hang(
            bulb.body,
            nose_for_lead(
                leading_edge_x=wish.fin.leading_edge_x,
                lead=lead,
                floor=bulb.axis.floor,
                incidence=wish.incidence,
            ),
            wish,
            nodes,
        )
        for lead in (0.0, bulb.body.length - wish.fin.tip.chord)
    ]


def refuse_out_of_reach(bulb: HungBulb, wish: BulbWish) -> None:
    """Check that the fin's tip is on the bulb.

    Args:
        bulb: The sized and placed bulb.
        wish: The bulb that the plan asks for.

    Raises:
        MassCentreOutOfReachError: The tip is not on the bulb.
    """
    lead, room = bulb.pocket.leading_edge_x, bulb.body.length - wish.fin.tip.chord
    slack = 1e-9
    if min(0.0, room) - slack <= lead <= max(0.0, room) + slack:
        return
    along = sorted(end.mass_centre_x - end.pocket.leading_edge_x for end in _ends_of_reach(bulb, wish))
    raise MassCentreOutOfReachError(wanted_x(bulb, wish), mass_centre_band(bulb, wish), (along[0], along[1]))


def wanted_x(bulb: HungBulb, wish: BulbWish) -> float:
    """Required x of this bulb's mass centre, boat axes: as given, or from its distance along the tip. [m]"""
    if wish.carried_at is None or wish.incidence == 0.0:
        return wish.mass_centre_x
    place = (bulb.pocket.leading_edge_x + wish.carried_at, bulb.mass_centre_z)
    return bulb.attitude.boat_x(*place)


def _body_of(wish: BulbWish, free: float) -> TurnedBody:
    """The body for a given value of the free dimension, which is the diameter, or the length if the diameter is given.
    [m]"""
    diameter = wish.value if wish.given == "diameter" else free
    length, fineness = None, None
    if wish.given == "fineness":
        fineness = wish.value
    elif wish.given == "length":
        length = wish.value
    else:
        length = free
    return turned_body(
        wish.profile,
        diameter=diameter,
        tail_diameter=tail_diameter_for(diameter, wish.tail_diameter),
        width_to_height=wish.width_to_height,
        length=length,
        fineness=fineness,
    )


def _free_range(wish: BulbWish) -> tuple[float, float]:
    """Bounds of the free dimension: fineness must be within its range, and the diameter must exceed the tail's. [m]"""
    if wish.given == "diameter":
        return SMALLEST_FINENESS * wish.value, LARGEST_FINENESS * wish.value
    low, high = _SMALLEST_DIAMETER, _LARGEST_DIAMETER
    if wish.given == "length":
        low, high = wish.value / LARGEST_FINENESS, wish.value / SMALLEST_FINENESS
    thinnest = 1.0001 * tail_diameter_for(0.0, wish.tail_diameter)
    return max(low, thinnest), max(high, thinnest)


def _solved(wish: BulbWish, nodes: FinNodes) -> HungBulb:
    bulb = _quickly(wish, nodes)
    return _bracketed(wish, nodes, *_free_range(wish)) if bulb is None else bulb


def _quickly(wish: BulbWish, nodes: FinNodes, aim: Aim | None = None) -> HungBulb | None:
    """Solve by Broyden's method from a good start; None if it does not converge."""

    def error_of(bulb: HungBulb) -> Error:
        mass, x = (wish.target_mass, wanted_x(bulb, wish)) if aim is None else aim(bulb)
        return np.array([math.log(bulb.mass / mass), bulb.mass_centre[0] - x])

    power = {"fineness": 3.0, "length": 2.0, "diameter": 1.0}[wish.given]
    low, high = _free_range(wish)
    if wish.given == "diameter" and tail_diameter_for(wish.value, wish.tail_diameter) >= wish.value:
        raise TailTooThickError(tail_diameter_for(wish.value, wish.tail_diameter), wish.value)
    free, power = _first_guess(wish, power, low, high)
    # The position is that of the bare body's centroid: the body grows about it without sliding along the cuts.
    place = wish.mass_centre_x
    bulb = _centred(wish, nodes, free, place)
    lead = bulb.volume.volume * wish.cast_density / bulb.mass
    aft = bulb.attitude.boat_x(bulb.volume.centroid_x, 0.0) - bulb.mass_centre[0]
    slides = wish.cast_density * _roof_lowered(bulb, nodes) / bulb.mass
    # The skin grows with the area of the body too; everything else stays with the fin.
    skin = bulb.lines[-1].mass / bulb.mass
    jacobian = np.array(
        [[power * lead + (power - 1.0) * skin, slides], [power * lead * aft, lead + skin]],
    )
    error = error_of(bulb)
    for _ in range(30):
        if abs(error[0]) <= _MASS_TOLERANCE and abs(error[1]) <= _PLACE_TOLERANCE:
            return bulb
        step = -np.linalg.solve(jacobian, error)
        step[0] = min(max(step[0], -0.5), 0.5)
        tried = free * math.exp(step[0])
        if not low <= tried <= high:
            break
        free, place = tried, place + float(step[1])
        bulb = _centred(wish, nodes, free, place)
        new_error = error_of(bulb)
        change = new_error - error
        jacobian = jacobian + np.outer(change - jacobian @ step, step) / float(step @ step)
        error = new_error
        if abs(np.linalg.det(jacobian)) < 1e-3:
            break
    if abs(error[0]) <= _ACCEPTED_MASS and abs(error[1]) <= _ACCEPTED_PLACE:
        return bulb
    return None


def _miss(bulb: HungBulb, wish: BulbWish) -> float:
    """Distance of the mass centre aft of its required position. [m]"""
    return bulb.mass_centre[0] - wanted_x(bulb, wish)


def _centred(wish: BulbWish, nodes: FinNodes, free: float, place: float) -> HungBulb:
    body = _body_of(wish, free)
    volume = body_volume(body)
    return hang(body, place - volume.centroid_x, wish, nodes, volume)


def _roof_lowered(bulb: HungBulb, nodes: FinNodes) -> float:
    """Volume that the pocket loses per metre that the body slides aft, because the pocket's top follows the slope of
    the lead. [m2]"""
    r2, slope = bulb.body.squared_radius(bulb.pocket.leading_edge_x + nodes.pocket.x)
    rise = slope / (2.0 * np.sqrt(bulb.body.width_to_height * np.maximum(r2, 1e-9)))
    return float(nodes.pocket.weight.sum(axis=1) @ rise)


def _first_guess(wish: BulbWish, power: float, low: float, high: float) -> tuple[float, float]:
    """The free dimension at which the bare body has the target mass, and the power of that dimension to which mass is
    proportional."""
    free, before = min(max(wish.value if wish.given == "diameter" else 0.1, low), high), None
    for _ in range(3):
        mass = wish.cast_density * body_volume(_body_of(wish, free)).volume
        if before is not None and abs(gap := math.log(free / before[0])) > 1e-6:
            power = math.log(mass / before[1]) / gap
        before = free, mass
        free = min(max(free * (wish.target_mass / mass) ** (1.0 / power), low), high)
    return free, power


def _placed(wish: BulbWish, nodes: FinNodes, free: float, tolerance: float) -> HungBulb:
    """Slide a body of this size by secant steps until everything that hangs balances as required."""
    bulb = _centred(wish, nodes, free, wish.mass_centre_x)
    rate = 1.0
    for _ in range(25):
        miss = _miss(bulb, wish)
        if abs(miss) <= tolerance:
            break
        moved = hang(bulb.body, bulb.nose_x - miss / rate, wish, nodes, bulb.volume)
        gained = miss - _miss(moved, wish)
        # Sliding the bulb moves its mass centre by nearly as much; screws and cuts stay behind.
        rate = min(max(rate * gained / miss, 0.2), 5.0)
        bulb = moved
    return bulb


def _bracketed(wish: BulbWish, nodes: FinNodes, low: float, high: float) -> HungBulb:
    """Slow method, used if the quick one fails: bracket the size, and slide the bulb at each trial."""
    # The mass hardly depends on the position, so at the ends of the range a rough one is enough.
    rough = 1e-3 * low
    lightest, heaviest = _placed(wish, nodes, low, rough), _placed(wish, nodes, high, rough)
    if not lightest.mass <= wish.target_mass <= heaviest.mass:
        _refuse_target(wish, nodes, lightest, heaviest)
    bulb = heaviest
    below, above = math.log(low), math.log(high)
    # A cut may remove all of the lightest body, whose mass is then zero to rounding.
    miss_below = math.log(max(lightest.mass / wish.target_mass, _NOTHING))
    miss_above = math.log(heaviest.mass / wish.target_mass)
    for _ in range(100):
        # False position with the Illinois rule: the value at the end that stays is halved.
        share = miss_below / (miss_below - miss_above)
        if not 0.0 < share < 1.0:
            share = 0.5
        middle = below + share * (above - below)
        bulb = _placed(wish, nodes, math.exp(middle), _ACCEPTED_PLACE)
        miss = math.log(max(bulb.mass / wish.target_mass, _NOTHING))
        if abs(miss) <= _ACCEPTED_MASS or above - below <= 1e-15:
            break
        if miss < 0.0:
            below, miss_below, miss_above = middle, miss, 0.5 * miss_above
        else:
            above, miss_above, miss_below = middle, miss, 0.5 * miss_below
    return bulb


def _refuse_target(wish: BulbWish, nodes: FinNodes, lightest: HungBulb, heaviest: HungBulb) -> None:
    if wish.given == "fineness" or (
        wish.given == "length"
        and wish.target_mass < lightest.mass
        and wish.tail_diameter is not None
        and lightest.body.fineness < LARGEST_FINENESS * 0.999
    ):
        bare = _attempt(replace(wish, tail_diameter=0.0), nodes)
        diameter = bare.body.diameter if bare is not None else lightest.body.diameter
        raise TailTooThickError(tail_diameter_for(0.0, wish.tail_diameter), diameter)
    nearest = []
    for fineness in (SMALLEST_FINENESS, LARGEST_FINENESS):
        edge = _attempt(replace(wish, given="fineness", value=fineness), nodes)
        if edge is not None:
            nearest.append(edge.body.length if wish.given == "length" else edge.body.diameter)
    raise TargetOutOfReachError(
        wish.given,
        wish.value,
        wish.target_mass,
        lightest.mass,
        heaviest.mass,
        (1.002 * min(nearest), 0.998 * max(nearest)) if len(nearest) == 2 else None,
    )


def _attempt(wish: BulbWish, nodes: FinNodes) -> HungBulb | None:
    """The bulb found by the quick method; None if it finds none."""
    try:
        return _quickly(wish, nodes)
    except NoSolutionError:
        return None
