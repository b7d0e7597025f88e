"""Results for the fin and the joint under their loads, as plain values for the findings and the report."""

from __future__ import annotations

import math

from bulbcast.bulb.cuts.parts import ScrewCut
from bulbcast.bulb.fastening.room import ScrewRoom
from bulbcast.fin.foil import Foil
from bulbcast.fin.stiffness import FinSection
from bulbcast.fin.weight import UsualDensity
from bulbcast.joint.bearing import bearing_pressure
from bulbcast.joint.fin_beam import Grounding, Knockdown
from bulbcast.joint.joint_loads import Joint, JointCase
from bulbcast.joint.net_section import NetSection
from bulbcast.joint.thread import Thread
from bulbcast.plan.strength_sections import StrengthSection
from bulbcast.quantities.frozen import frozen


@frozen
class Aground:
    """Results for the fin under one grounding load.

    Attributes:
        multiple: Multiple of the boat's weight, as set. [-]
        load: The load on the fin.
        bears: Maximum multiple permitted by every allowable and by buckling with its reserve; None if there is nothing to
            compare with. [-]
    """

    multiple: float
    load: Grounding
    bears: float | None


@frozen
class Roots:
    """Root thicknesses of the fin that would satisfy each limit, with all else as planned. None if no thickness would, or
    if the limit is already satisfied. [m]"""

    stress: float | None = None
    deflection: float | None = None
    twist: float | None = None


@frozen
class FinStrength:
    """Results for the fin as a beam.

    Attributes:
        foil: Fin from the hull down to the tip.
        section: Construction of the fin.
        fin_density: Density used for the fin's weight, which is always counted. [kg/m3]
        density_estimate: Source of an estimated density; None if the plan gives the fin's mass or density.
        elastic_axis: Elastic axis as a fraction of the chord at every height. None means that of each section. [-]
        knockdown: Fin at 90 degrees of heel, in air.
        grounded_mass: Mass brought to rest by the ground. [kg]
        aground: Fin under each blow for which a multiple was set, by its key in [strength].
        roots: Root thicknesses that would satisfy each typed limit that is broken at 90 degrees.
    """

    foil: Foil
    section: FinSection
    fin_density: float
    density_estimate: UsualDensity | None
    elastic_axis: float | None
    knockdown: Knockdown
    grounded_mass: float | None
    aground: dict[str, Aground]
    roots: Roots


@frozen
class ScrewStrength:
    """Results for one screw of the joint under its loads. The preload is added to each load, to be safe.

    Attributes:
        number: Number of the screw, from 1.
        cut: Hole, recess and head of the screw.
        room: Lead and fin material left around the screw.
        thread: Thread of the screw.
        counted: Length of thread above the pocket floor that is counted. [m]
        pulls: Pull under each load, in the order of the joint's cases. [N]
        shears: Shear under each load; None if a single screw cannot stop the bulb turning. [N]
        outer: Diameter over which the head or washer bears on the lead. [m]
        hole: Diameter of the largest hole under the head or washer. [m]
        preload_at_most: Maximum preload that the creep limit allows on top of the bulb's weight. [N]
        holds: Pull that the thread in the fin can hold; None if not known. [N]
        holds_how: How that pull was found, in words.
        holds_typed: Whether the builder typed the limit for that pull.
        gives_first: Whether the screw fails before the fin around it.
        room_for: Diameter of the widest recess, and so of the widest washer, that the lead and the neighbouring screws
            allow. [m]
    """

    number: int
    cut: ScrewCut
    room: ScrewRoom
    thread: Thread
    counted: float
    pulls: tuple[float, ...]
    shears: tuple[float | None, ...]
    outer: float
    hole: float
    preload_at_most: float
    holds: float | None
    holds_how: str
    holds_typed: bool
    gives_first: bool
    room_for: float

    @property
    def engaged(self) -> float:
        """Length of thread above the pocket floor. [m]"""
        return max(self.room.thread, 0.0)

    @property
    def under(self) -> str:
        """Name of the part that bears on the lead: head or washer."""
        return "head" if self.cut.washer is None else "washer"

    @property
    def washer_thickness(self) -> float:
        """Thickness of the washer; 0 if there is none. [m]"""
        return 0.0 if self.cut.washer is None else self.cut.washer.thickness

    @property
    def sustained(self) -> float:
        """Pull with the boat upright in air; the lead bears it for months. [N]"""
        return self.pulls[0]

    @property
    def pressure(self) -> float:
        """Pressure that the lead under the head or washer bears for months. [Pa]"""
        return bearing_pressure(self.sustained, outer=self.outer, hole=self.hole)

    @property
    def tensions(self) -> tuple[float, ...]:
        """Tensile stress on the thread's stress area, under each load. [Pa]"""
        return tuple(pull / self.thread.stress_area for pull in self.pulls)

    @property
    def equivalents(self) -> tuple[float, ...]:
        """Combined stress from tension and shear over the core, sqrt(sigma^2 + 3 tau^2); the tensile stress alone
        if there is no shear. [Pa]"""
        across = (0.0 if shear is None else shear / self.thread.core_area for shear in self.shears)
        return tuple(
            math.hypot(tension, math.sqrt(3.0) * one)
            for tension, one in zip(self.tensions, across, strict=True)
        )


@frozen
class JointStrength:
    """Results for the joint under every load in the plan.

    Attributes:
        joint: The joint that holds the bulb.
        arm: Distance from the pocket floor to the bulb's mass centre. [m]
        cases: Loads in order: hanging, at-90 and heeled, then those aground for which a multiple was set.
        missing: Keys in [strength] that are not set, so those grounding loads are not calculated.
        screws: Results for each screw.
        thread_in: Material that holds the screws; None if not known.
        preload: Preload of each screw; None if the plan does not give it. [N]
        bearing_limit: Limit on the pressure that lead bears for months under heads, washers and the tip's edge. [Pa]
        bearing_source: Source of that limit.
        wall: Minimum wall of lead around the cuts. [m]
        net: Net section of the fin at the tip, less the holes, perpendicular to its axis; None if not calculated.
        net_missing: Reason why that section is not calculated; empty if it is.
        net_stresses: Maximum stress in that section under each load with a moment or force on the fin, by the load's
            name. [Pa]
        net_allowable: Allowable for a solid fin's material; None if not assessed. [Pa]
    """

    joint: Joint
    arm: float
    cases: tuple[JointCase, ...]
    missing: tuple[str, ...]
    screws: tuple[ScrewStrength, ...]
    thread_in: str | None
    preload: float | None
    bearing_limit: float
    bearing_source: str
    wall: float
    net: NetSection | None
    net_missing: str
    net_stresses: dict[str, float]
    net_allowable: float | None

    @property
    def preload_at_most(self) -> float:
        """Smallest preload limit of all the screws, because all are tightened equally. [N]"""
        return min(one.preload_at_most for one in self.screws)

    @property
    def at_90(self) -> JointCase:
        """Load on the joint when the boat is held flat at 90 degrees of heel."""
        return self.cases[1]


@frozen
class Strength:
    """Results for the fin and the joint of a plan with [strength]. The fin is None if the plan does not say how it is
    made. The joint is None without screws, or if a screw is outside the fin."""

    asked: StrengthSection
    fin: FinStrength | None
    joint: JointStrength | None

    @property
    def screws(self) -> tuple[ScrewStrength, ...]:
        """Results for each screw; empty without a joint."""
        return () if self.joint is None else self.joint.screws
