"""What fin and joint come to under their loads, as plain values for checks, results and reports."""

from __future__ import annotations

from dataclasses import dataclass

from bulbcast.fin.foil import Foil
from bulbcast.fin.stiffness import FinSection
from bulbcast.fin.weight import UsualDensity
from bulbcast.joint.bearing import Bearing
from bulbcast.joint.fin_beam import Grounding, Knockdown
from bulbcast.joint.joint_loads import Joint, JointCase
from bulbcast.joint.net_section import NetSection
from bulbcast.joint.thread import ENGAGED_AT_MOST, Thread


@dataclass(frozen=True, slots=True, kw_only=True)
class Aground:
    """One way of grounding.

    Attributes:
        multiple: Of her weight, as set. [-]
        load: What the fin feels.
        bears: Largest multiple that every allowable, and buckling with its reserve, would let pass; None where
            there is nothing to hold it against. [-]
    """

    multiple: float
    load: Grounding
    bears: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Roots:
    """Root thickness of the fin that would do, the rest as planned; None where none would, or none is needed. [m]"""

    stress: float | None
    deflection: float | None
    twist: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class FinStrength:
    """The fin as a beam.

    Attributes:
        foil: From the hull down to the tip.
        section: How it is made.
        fin_density: Of its own weight, which is always counted. [kg/m3]
        density_estimate: Where that is from; None where the plan gives the fin's mass or density.
        elastic_axis: As a fraction of the chord at every level; None: each section's own. [-]
        knockdown: At 90 degrees of heel, in air.
        grounded_mass: Brought to rest by the ground. [kg]
        vertical: She comes down on the bulb; None where no multiple was set.
        longitudinal: She runs its nose aground; likewise.
        sideways: Its nose is struck from the side; likewise.
        sideways_torque: At the root, of that blow; 0 without one. [N m]
        roots: Where something typed is broken at 90 degrees.
    """

    foil: Foil
    section: FinSection
    fin_density: float
    density_estimate: UsualDensity | None
    elastic_axis: float | None
    knockdown: Knockdown
    grounded_mass: float | None
    vertical: Aground | None
    longitudinal: Aground | None
    sideways: Aground | None
    sideways_torque: float
    roots: Roots


@dataclass(frozen=True, slots=True, kw_only=True)
class ScrewCase:
    """One screw under one load, its preload added: the safe side.

    Attributes:
        name: Of the load, as `JointCase.name`.
        pull: [N]
        shear: None where one screw alone cannot hold against turning. [N]
        tension: Over the thread's stress area. [Pa]
        equivalent: Tension with shear over the core, sqrt(sigma^2 + 3 tau^2); tension alone without a shear. [Pa]
    """

    name: str
    pull: float
    shear: float | None
    tension: float
    equivalent: float


@dataclass(frozen=True, slots=True, kw_only=True)
class ScrewStrength:
    """One screw of the joint.

    Attributes:
        number: From 1.
        thread: Of the screw.
        engaged: Thread above the pocket floor. [m]
        counted: Of it, what is counted. [m]
        strip_area: Of the fin's thread over what is counted. [m2]
        cases: Under each load, in the order of the joint's; the first is hanging, the second at 90 degrees.
        prying: Pull at 90 degrees without preload. [N]
        bearing: Of head or washer on the lead for months.
        head: Diameter of the head. [m]
        head_height: [m]
        recess: Along the screw, from the underside up to the seat. [m]
        recess_diameter: [m]
        rim_drop: By how much less deep the recess is where its rim is shallowest. [m]
        recess_at_most: As deep as leaves the wall below the pocket. [m]
        hole: The largest of the holes under head or washer. [m]
        length: Under the head. [m]
        washer_thickness: 0 without a washer. [m]
        preload_at_most: What the creep limit leaves beside the bulb's weight. [N]
        holds: Pull that fin and thread may take; None where nothing says. [N]
        holds_how: In words.
        holds_typed: Whether that limit was typed.
        wood: Whether it is a wood screw, and if so whether its size is within the formula's range; None for others.
        end_grain: Whether it stands in end grain.
        washer: Whether a washer bears on the lead.
        room_for: Recess, and so washer, as wide as the lead and its neighbours leave room for. [m]
    """

    number: int
    thread: Thread
    engaged: float
    counted: float
    strip_area: float
    cases: tuple[ScrewCase, ...]
    prying: float
    bearing: Bearing
    head: float
    head_height: float
    recess: float
    recess_diameter: float
    rim_drop: float
    recess_at_most: float
    hole: float
    length: float
    washer_thickness: float
    preload_at_most: float
    holds: float | None
    holds_how: str
    holds_typed: bool
    wood: bool | None
    end_grain: bool
    washer: bool
    room_for: float

    def length_counts(self, engaged: float) -> bool:
        """Whether so much thread in the fin would be counted, and the fin is what gives.

        Args:
            engaged: [m]
        """
        if "screw's own" in self.holds_how:
            return False
        metal = self.wood is None and "bond" not in self.holds_how
        return not metal or engaged <= ENGAGED_AT_MOST * self.thread.diameter

    @property
    def sustained(self) -> float:
        """Pull with the boat upright in air, preload added. [N]"""
        return self.cases[0].pull

    @property
    def pulled_most(self) -> ScrewCase:
        """The load that pulls it most."""
        return max(self.cases, key=lambda one: one.pull)

    @property
    def stressed_most(self) -> ScrewCase:
        """The load that stresses it most."""
        return max(self.cases, key=lambda one: one.equivalent)


@dataclass(frozen=True, slots=True, kw_only=True)
class NetStress:
    """The fin's net section at the holes under one load.

    Attributes:
        name: Of the load, as `JointCase.name`.
        stress: By its size. [Pa]
    """

    name: str
    stress: float


@dataclass(frozen=True, slots=True, kw_only=True)
class JointStrength:
    """The joint under every load that the plan asks for.

    Attributes:
        joint: What holds the bulb.
        arm: From the pocket floor to the bulb's mass centre. [m]
        cases: hanging, at-90 and heeled, then those aground for which a multiple was set.
        missing: Keys of [strength] whose blow was not set and is not calculated.
        screws: One each.
        preload: Of each screw; None where the plan does not say. [N]
        edge_limit: What the lead bears for months under the tip's edge. [Pa]
        net: The fin less the holes, square to its axis at the tip; None where that is not calculated.
        net_missing: Why not; empty where it is.
        net_stresses: One for each load with a moment or a force on the fin; empty without a net section.
        net_allowable: Of a solid fin's material; None: not judged. [Pa]
    """

    joint: Joint
    arm: float
    cases: tuple[JointCase, ...]
    missing: tuple[str, ...]
    screws: tuple[ScrewStrength, ...]
    preload: float | None
    edge_limit: float
    net: NetSection | None
    net_missing: str
    net_stresses: tuple[NetStress, ...]
    net_allowable: float | None

    @property
    def hanging(self) -> JointCase:
        """Upright in air."""
        return self.cases[0]

    @property
    def preload_at_most(self) -> float:
        """What the creep limit leaves of all screws, which are tightened alike. [N]"""
        return min(one.preload_at_most for one in self.screws)

    @property
    def at_90(self) -> JointCase:
        """Held flat at 90 degrees of heel."""
        return self.cases[1]


@dataclass(frozen=True, slots=True, kw_only=True)
class RootLoad:
    """What one load asks of the hull where it holds the fin.

    Attributes:
        name: at-90 or, of the groundings, aground-ahead, aground-vertical, aground-sideways.
        across: Bending moment to port or starboard. [N m]
        along: Bending moment in the fin's plane. [N m]
        shear: Across the fin. [N]
        pressed: Along the fin, up into the hull. [N]
        torque: About the fin's axis, by its size. [N m]
    """

    name: str
    across: float
    along: float
    shear: float
    pressed: float
    torque: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Strength:
    """Fin and joint.

    Attributes:
        fin: None where the plan does not say how it is made.
        joint: None without screws, or where one stands outside the fin.
        at_root: What each load asks of the hull; empty without a fin.
        typed: Keys of [strength] whose limit the builder typed, where others have a default.
    """

    fin: FinStrength | None
    joint: JointStrength | None
    at_root: tuple[RootLoad, ...]
    typed: frozenset[str]

    @property
    def screws(self) -> tuple[ScrewStrength, ...]:
        """One each; empty without a joint."""
        return () if self.joint is None else self.joint.screws
