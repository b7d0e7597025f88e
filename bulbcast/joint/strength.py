"""What fin and joint come to under their loads, as plain values for checks and the chapter."""

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
        load: What the fin feels.
        bears: Largest multiple that every allowable, and buckling with its reserve, would let pass; None where
            there is nothing to hold it against. [-]
    """

    multiple: float
    load: Grounding
    bears: float | None


@frozen
class Roots:
    """Root thickness of the fin that would do, the rest as planned; None where none would, or none is needed. [m]"""

    stress: float | None = None
    deflection: float | None = None
    twist: float | None = None


@frozen
class FinStrength:
    """The fin as a beam.

    Attributes:
        foil: From the hull down to the tip.
        section: How it is made.
        fin_density: Density for its own weight, which is always counted. [kg/m3]
        density_estimate: Where that is from; None where the plan gives the fin's mass or density.
        elastic_axis: As a fraction of the chord at every level; None: each section's own. [-]
        knockdown: At 90 degrees of heel, in air.
        grounded_mass: Brought to rest by the ground. [kg]
        aground: Each blow for which a multiple was set, by its key of [strength].
        roots: Where something typed is broken at 90 degrees.
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
    """One screw of the joint under its loads, its preload added to each: the safe side.

    Attributes:
        number: From 1.
        cut: Its hole, recess and head.
        room: Lead and fin round it.
        thread: Thread of the screw.
        counted: Length of thread above the pocket floor that is counted. [m]
        pulls: Under each load, in the order of the joint's cases. [N]
        shears: Likewise; None where one screw alone cannot hold against turning. [N]
        outer: Diameter over which head or washer bears on the lead. [m]
        hole: The largest of the holes under it. [m]
        preload_at_most: What the creep limit leaves beside the bulb's weight. [N]
        holds: Pull that fin and thread may take; None where nothing says. [N]
        holds_how: In words.
        holds_typed: Whether that limit was typed.
        gives_first: Whether it is the screw itself and not the fin round it that holds no more.
        room_for: Recess, and so washer, as wide as the lead and its neighbours leave room for. [m]
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
        """What bears on the lead."""
        return "head" if self.cut.washer is None else "washer"

    @property
    def washer_thickness(self) -> float:
        """0 without a washer. [m]"""
        return 0.0 if self.cut.washer is None else self.cut.washer.thickness

    @property
    def sustained(self) -> float:
        """Pull with the boat upright in air: what it bears on the lead with for months. [N]"""
        return self.pulls[0]

    @property
    def pressure(self) -> float:
        """On the lead under head or washer, for months. [Pa]"""
        return bearing_pressure(self.sustained, outer=self.outer, hole=self.hole)

    @property
    def tensions(self) -> tuple[float, ...]:
        """Over the thread's stress area, under each load. [Pa]"""
        return tuple(pull / self.thread.stress_area for pull in self.pulls)

    @property
    def equivalents(self) -> tuple[float, ...]:
        """Tension with shear over the core, sqrt(sigma^2 + 3 tau^2); tension alone without a shear. [Pa]"""
        across = (0.0 if shear is None else shear / self.thread.core_area for shear in self.shears)
        return tuple(
            math.hypot(tension, math.sqrt(3.0) * one)
            for tension, one in zip(self.tensions, across, strict=True)
        )


@frozen
class JointStrength:
    """The joint under every load that the plan asks for.

    Attributes:
        joint: What holds the bulb.
        arm: From the pocket floor to the bulb's mass centre. [m]
        cases: hanging, at-90 and heeled, then those aground for which a multiple was set.
        missing: Keys of [strength] whose blow was not set and is not calculated.
        screws: One each.
        thread_in: What holds them; None where that is not known.
        preload: Preload of each screw; None where the plan does not say. [N]
        bearing_limit: What the lead bears for months under heads, washers and the tip's edge. [Pa]
        bearing_source: On whose word.
        wall: That is to be left round the cuts. [m]
        net: The fin less the holes, square to its axis at the tip; None where that is not calculated.
        net_missing: Why not; empty where it is.
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
        """What the creep limit leaves of all screws, which are tightened alike. [N]"""
        return min(one.preload_at_most for one in self.screws)

    @property
    def at_90(self) -> JointCase:
        """Held flat at 90 degrees of heel."""
        return self.cases[1]


@frozen
class Strength:
    """Fin and joint, with the [strength] that asks for them: the fin None where the plan does not say how it is made, the
    joint without screws, or where one stands outside the fin."""

    asked: StrengthSection
    fin: FinStrength | None
    joint: JointStrength | None

    @property
    def screws(self) -> tuple[ScrewStrength, ...]:
        """One each; empty without a joint."""
        return () if self.joint is None else self.joint.screws
