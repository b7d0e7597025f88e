"""The joint between fin and bulb: bearing under the heads, washers, and the screws at 90 degrees of heel.

Lead creeps at room temperature: what presses on it for months must stay below a small fraction of its
strength. Loads and allowables are as given; not a classification calculation.

At 90 degrees the bulb's weight pulls it sideways off the tip. Two bounds are given, each as if it worked
alone: the screws, prying over the edge of the tip, and the pocket's walls, pressing on the tongue.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from bulbcast.boat.figures import (
    BoatFigureError,
    require_finite,
    require_not_negative,
    require_positive,
    shown,
)
from bulbcast.boat.thread import Thread
from bulbcast.materials.gravity import STANDARD_GRAVITY

CREEP_LIMIT_PURE = 1.0e6
"""Sustained bearing on pure lead: 1.0 to 1.5 MPa, the lower taken. [Pa]"""
CREEP_LIMIT_ANTIMONIAL = 2.0e6
"""Sustained bearing on lead with 4 to 6 % of antimony: 2.0 to 2.8 MPa, the lower taken. [Pa]"""
CREEP_LIMIT_SOURCE = (
    "lead cable sheath flows on at 1.7 MPa at room temperature and is expected to lower still (abstracts of the "
    "cable trade; Smith and Howe 1945: antimony need not help); limits from memory"
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Washer:
    """A washer under a screw's head.

    Attributes:
        outer: Diameter. [m]
        hole: Diameter of its hole. [m]
        thickness: [m]
        density: [kg/m3]

    Raises:
        BoatFigureError: A figure that cannot be.
    """

    outer: float
    hole: float
    thickness: float
    density: float

    def __post_init__(self) -> None:
        require_positive("The washer's diameter", self.outer, "m")
        require_positive("The washer's hole", self.hole, "m")
        require_positive("The washer's thickness", self.thickness, "m")
        require_positive("The washer's density", self.density, "kg/m3")
        ring_area(self.outer, self.hole)

    @property
    def area(self) -> float:
        """Of its ring. [m2]"""
        return ring_area(self.outer, self.hole)

    @property
    def volume(self) -> float:
        """[m3]"""
        return self.area * self.thickness

    @property
    def mass(self) -> float:
        """[kg]"""
        return self.density * self.volume


def ring_area(outer: float, hole: float) -> float:
    """Area that a head or washer bears on.

    Args:
        outer: Diameter of head or washer. [m]
        hole: Diameter of the hole under it. [m]

    Returns:
        [m2]

    Raises:
        BoatFigureError: A hole as wide as the head, or wider.
    """
    require_positive("The head's diameter", outer, "m")
    require_not_negative("The hole's diameter", hole, "m")
    if hole >= outer:
        raise BoatFigureError(
            f"A head or washer of {shown(outer, 'm')} goes through a hole of {shown(hole, 'm')}. Take a larger head, a "
            "washer, or a smaller hole."
        )
    return 0.25 * math.pi * (outer**2 - hole**2)


@dataclass(frozen=True, slots=True, kw_only=True)
class Bearing:
    """What one head presses with.

    Attributes:
        force: [N]
        area: [m2]
        pressure: [Pa]
        limit: Sustained, of the lead. [Pa]
        limit_source: Where the limit comes from.
        outer_needed: Diameter of head or washer that would keep to the limit over this hole. [m]
    """

    force: float
    area: float
    pressure: float
    limit: float
    limit_source: str
    outer_needed: float

    @property
    def holds(self) -> bool:
        """Whether the pressure keeps to the limit; equal to it does."""
        return self.pressure <= self.limit


def bearing(
    *,
    force: float,
    outer: float,
    hole: float,
    limit: float = CREEP_LIMIT_PURE,
    limit_source: str = CREEP_LIMIT_SOURCE,
) -> Bearing:
    """Pressure of a head or washer on the lead, against what it may bear for months.

    Args:
        force: On this head: its share of the bulb, and what it was screwed up to. [N]
        outer: Diameter of head or washer. [m]
        hole: Diameter of the hole in the lead. [m]
        limit: Sustained bearing pressure. [Pa]
        limit_source: Where that comes from. [-]

    Returns:
        The pressure, and the washer that would do.

    Raises:
        BoatFigureError: A figure that cannot be.
    """
    require_not_negative("The force on the head", force, "N")
    require_positive("The bearing limit", limit, "Pa")
    area = ring_area(outer, hole)
    return Bearing(
        force=force,
        area=area,
        pressure=force / area,
        limit=limit,
        limit_source=limit_source,
        outer_needed=math.sqrt(4.0 * force / (math.pi * limit) + hole**2),
    )


def largest_force(*, outer: float, hole: float, limit: float = CREEP_LIMIT_PURE) -> float:
    """Force that a head may press with for months: how far the screw may be drawn up.

    Args:
        outer: Diameter of head or washer. [m]
        hole: Diameter of the hole in the lead. [m]
        limit: Sustained bearing pressure. [Pa]

    Returns:
        [N]

    Raises:
        BoatFigureError: A figure that cannot be.
    """
    require_positive("The bearing limit", limit, "Pa")
    return limit * ring_area(outer, hole)


@dataclass(frozen=True, slots=True, kw_only=True)
class JointScrew:
    """One screw of the joint.

    Attributes:
        at: Aft of the tip's leading edge. [m]
        half_width: Half of the fin's tip where the screw is: the lever it has against prying. [m]
        thread: Of its shank, for the stress.

    Raises:
        BoatFigureError: A figure that cannot be.
    """

    at: float
    half_width: float
    thread: Thread

    def __post_init__(self) -> None:
        require_finite("The screw's place", self.at, "m")
        require_positive("Half the fin's width at the screw", self.half_width, "m")


@dataclass(frozen=True, slots=True, kw_only=True)
class ScrewLoad:
    """What one screw carries. Tension and stress without what it was drawn up to.

    Attributes:
        hanging: Pull with the boat upright in air: its share, by where the mass centre lies. None where one
            screw alone cannot hold a mass centre that is not under it. [N]
        prying: Pull at 90 degrees, the screws alone against the moment. [N]
        prying_stress: That over the thread's stress area. [Pa]
        shear: Across the screw at 90 degrees, its share and the turn about the screws' middle. None where
            one screw alone cannot hold against turning. [N]
    """

    hanging: float | None
    prying: float
    prying_stress: float
    shear: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class JointLoads:
    """The joint at 90 degrees of heel, in air.

    Attributes:
        weight: Of the bulb. [N]
        arm: From the pocket floor to the bulb's mass centre. [m]
        moment: That the joint must hold. [N m]
        turning: Moment about the screws' middle that would turn the bulb in its plane; aft of it
            positive. [N m]
        screws: One each, in order.
        wall_pressure: Of the pocket's walls on the tongue if they alone held weight and moment; None
            without a pocket. [Pa]
    """

    weight: float
    arm: float
    moment: float
    turning: float
    screws: tuple[ScrewLoad, ...]
    wall_pressure: float | None


def joint_at_90(
    *,
    bulb_mass: float,
    arm: float,
    mass_centre_at: float,
    screws: Sequence[JointScrew],
    tip_chord: float,
    pocket_depth: float,
) -> JointLoads:
    """Loads of the joint with the boat held at 90 degrees of heel in air, and hanging upright.

    Screws alone: the bulb turns as one over the edge of the tip, so a screw's pull goes with its half width and
    the sum of pull x half width is the moment; shear is the weight's share with its turn about the middle of
    the screws spread as distance from it. Walls alone: weight and moment on a tongue of depth h and chord c
    give W / (c h) + 6 (moment about mid-depth) / (c h^2).

    Args:
        bulb_mass: As hung. [kg]
        arm: From the pocket floor down to the mass centre; negative in a pocket deeper than that. [m]
        mass_centre_at: Aft of the tip's leading edge. [m]
        screws: One at least.
        tip_chord: [m]
        pocket_depth: 0 without a pocket. [m]

    Returns:
        Moment, and what screws and walls carry, each bound as if alone.

    Raises:
        BoatFigureError: No screw, or a figure that cannot be.

    References:
        Statics, derived here; the linear spread over a group of fasteners is classical.
    """
    require_positive("The bulb's mass", bulb_mass, "kg")
    require_finite("The arm from the pocket floor to the mass centre", arm, "m")
    require_finite("The place of the mass centre", mass_centre_at, "m")
    require_positive("The tip chord", tip_chord, "m")
    require_not_negative("The pocket's depth", pocket_depth, "m")
    if not screws:
        raise BoatFigureError("The joint has no screw. Give one at least, or leave the joint out.")
    weight = bulb_mass * STANDARD_GRAVITY
    moment = weight * abs(arm)
    middle = math.fsum(one.at for one in screws) / len(screws)
    off = mass_centre_at - middle
    spread = math.fsum((one.at - middle) ** 2 for one in screws)
    # The bulb turns over the edge as one: the pull of a screw grows with its distance from that edge.
    levers = math.fsum(one.half_width**2 for one in screws)
    loads = []
    for one in screws:
        prying = moment * one.half_width / levers
        share: float | None = weight / len(screws)
        if spread > 0.0:
            share = weight / len(screws) + weight * off * (one.at - middle) / spread
        elif abs(off) > 1e-9:
            share = None
        loads.append(
            ScrewLoad(
                hanging=share,
                prying=prying,
                prying_stress=prying / one.thread.stress_area,
                shear=None if share is None else abs(share),
            )
        )
    wall: float | None = None
    if pocket_depth > 0.0:
        # About mid-depth of the tongue, half a pocket above its floor.
        about_middle = weight * abs(arm + 0.5 * pocket_depth)
        wall = weight / (tip_chord * pocket_depth) + 6.0 * about_middle / (tip_chord * pocket_depth**2)
    return JointLoads(
        weight=weight,
        arm=arm,
        moment=moment,
        turning=weight * off,
        screws=tuple(loads),
        wall_pressure=wall,
    )
