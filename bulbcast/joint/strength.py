"""Results for fin and joint under their loads, as plain values for checks and the chapter."""

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
    """One way of grounding.

    Attributes:
        multiple: Multiple of her weight, as set. [-]
        load: The load on the fin.
        bears: Largest multiple that every allowable, and buckling with its reserve, permits; None where there
            is nothing to compare it with. [-]
    """

    multiple: float
    load: Grounding
    bears: float | None


@frozen
class Roots:
    """Root thickness of the fin that would do, all else as planned; None where none would, or none is needed. [m]"""

    stress: float | None = None
    deflection: float | None = None
    twist: float | None = None


@frozen
class FinStrength:
    """The fin as a beam.

    Attributes:
        foil: The fin from the hull down to the tip.
        section: How the fin is made.
        fin_density: Density for its own weight, which is always counted. [kg/m3]
        density_estimate: Source of that density; None where the plan gives the fin's mass or density.
        elastic_axis: Elastic axis as a fraction of the chord at every level; None: each section's own. [-]
        knockdown: The fin at 90 degrees of heel, in air.
        grounded_mass: Mass brought to rest by the ground. [kg]
        aground: Each blow for which a multiple was set, by its key in [strength].
        roots: Root thicknesses that would do where a typed limit is broken at 90 degrees.
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
    """One screw of the joint under its loads, with its preload added to each, on the safe side.

    Attributes:
        number: Number of the screw, from 1.
        cut: Its hole, recess and head.
        room: Lead and fin round it.
        thread: Thread of the screw.
        counted: Length of thread above the pocket floor that is counted. [m]
        pulls: Pull under each load, in the order of the joint's cases. [N]
        shears: Shear under each load; None where a single screw cannot hold against turning. [N]
        outer: Diameter over which head or washer bears on the lead. [m]
        hole: Diameter of the largest hole under it. [m]
        preload_at_most: What the creep limit leaves on top of the bulb's weight. [N]
        holds: Pull that fin and thread can hold; None where it is not known. [N]
        holds_how: How that was found, in words.
        holds_typed: Whether that limit was typed.
        gives_first: Whether the screw itself gives way before the fin round it.
        room_for: Widest recess, and so washer, that the lead and its neighbours leave room for. [m]
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
        """Thread above the pocket floor. [m]"""
        return max(self.room.thread, 0.0)

    @property
    def under(self) -> str:
        """The part that bears on the lead."""
        return "head" if self.cut.washer is None else "washer"

    @property
    def washer_thickness(self) -> float:
        """Diameter of the washer; 0 without one. [m]"""
        return 0.0 if self.cut.washer is None else self.cut.washer.thickness

    @property
    def sustained(self) -> float:
        """Pull with the boat upright in air, which bears on the lead for months. [N]"""
        return self.pulls[0]

    @property
    def pressure(self) -> float:
        """Pressure on the lead under head or washer, for months. [Pa]"""
        return bearing_pressure(self.sustained, outer=self.outer, hole=self.hole)

    @property
    def tensions(self) -> tuple[float, ...]:
        """Tension over the thread's stress area, under each load. [Pa]"""
        return tuple(pull / self.thread.stress_area for pull in self.pulls)

    @property
    def equivalents(self) -> tuple[float, ...]:
        """Tension with shear over the core, sqrt(sigma^2 + 3 tau^2); only tension where there is no shear. [Pa]"""
        across = (0.0 if shear is None else shear / self.thread.core_area for shear in self.shears)
        return tuple(
            math.hypot(tension, math.sqrt(3.0) * one)
            for tension, one in zip(self.tensions, across, strict=True)
        )


@frozen
class JointStrength:
    """The joint under every load in the plan.

    Attributes:
        joint: The joint that holds the bulb.
        arm: Distance from the pocket floor to the bulb's mass centre. [m]
        cases: The loads: hanging, at-90 and heeled, then those aground for which a multiple was set.
        missing: Keys in [strength] whose blow was not set and is not calculated.
        screws: One for each screw.
        thread_in: Material that holds them; None where that is not known.
        preload: Preload of each screw; None where the plan does not say. [N]
        bearing_limit: Pressure that lead bears for months under heads, washers and the tip's edge. [Pa]
        bearing_source: Source of that limit.
        wall: Wall that must be left round the cuts. [m]
        net: The fin less the holes, square to its axis at the tip; None where that is not calculated.
        net_missing: Why it is not; empty where it is.
        net_stresses: Largest stress there by each load with a moment or a force on the fin, by its name. [Pa]
        net_allowable: Allowable of a solid fin's material; None: not judged. [Pa]
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
        """The smallest preload limit of all screws, which are tightened alike. [N]"""
        return min(one.preload_at_most for one in self.screws)

    @property
    def at_90(self) -> JointCase:
        """The load when held flat at 90 degrees of heel."""
        return self.cases[1]


@frozen
class Strength:
    """Fin and joint with their [strength]. The fin is None where the plan does not say how it is made; the joint is
    None without screws, or where one is outside the fin."""

    asked: StrengthSection
    fin: FinStrength | None
    joint: JointStrength | None

    @property
    def screws(self) -> tuple[ScrewStrength, ...]:
        """One for each screw; empty without a joint."""
        return () if self.joint is None else self.joint.screws
