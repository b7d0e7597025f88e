"""What fin and joint come to under their loads, as plain values for checks, results and reports."""

from __future__ import annotations

from dataclasses import dataclass

from bulbcast.boat.fastening import Bearing, JointLoads, ScrewLoad
from bulbcast.boat.fin_beam import Grounding, Knockdown
from bulbcast.boat.fin_stiffness import FinSection
from bulbcast.boat.fin_weight import UsualDensity
from bulbcast.boat.foil import Foil
from bulbcast.boat.thread import Thread


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
class Mends:
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
        mends: Where something typed is broken at 90 degrees.
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
    mends: Mends


@dataclass(frozen=True, slots=True, kw_only=True)
class ScrewStrength:
    """One screw of the joint.

    Attributes:
        number: From 1.
        thread: Of the screw.
        engaged: Thread above the pocket floor. [m]
        strip_area: Of the fin's thread over that length. [m2]
        load: What it carries, without what it was drawn up to.
        sustained: Pull with the boat upright in air, drawn up as planned. [N]
        at_90: Pull with the boat at 90 degrees, drawn up as planned. [N]
        tension: The larger of the two over the stress area. [Pa]
        bearing: Of head or washer on the lead for months.
        may_be_drawn_up_to: What the creep limit leaves beside the bulb's weight. [N]
        holds: Pull that its thread may take; None where nothing says. [N]
        holds_how: In words.
        washer: Whether a washer bears on the lead.
    """

    number: int
    thread: Thread
    engaged: float
    strip_area: float
    load: ScrewLoad
    sustained: float
    at_90: float
    tension: float
    bearing: Bearing
    may_be_drawn_up_to: float
    holds: float | None
    holds_how: str
    washer: bool

    @property
    def most(self) -> float:
        """The larger pull. [N]"""
        return max(self.sustained, self.at_90)


@dataclass(frozen=True, slots=True, kw_only=True)
class Strength:
    """Fin and joint.

    Attributes:
        fin: None where the plan does not say how it is made.
        joint: Loads at 90 degrees; None without screws, or where one stands outside the fin.
        screws: One each; empty without a joint.
        tightened_to: What each screw is drawn up to. [N]
        typed: Keys of [strength] whose limit the builder typed, where others have a default.
    """

    fin: FinStrength | None
    joint: JointLoads | None
    screws: tuple[ScrewStrength, ...]
    tightened_to: float
    typed: frozenset[str]
