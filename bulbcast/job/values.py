"""A Job: every result of one plan, and what withholds a step of the work."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any

from bulbcast.casting.cast_body import CastBody
from bulbcast.casting.contraction import RuleCost
from bulbcast.casting.melt import Melt
from bulbcast.casting.pattern import Pattern
from bulbcast.findings import Finding, Severity, Step, sorted_by_severity
from bulbcast.materials.alloys import CastAlloy
from bulbcast.plan.sections import DefaultTaken, Plan
from bulbcast.planning.input_file import InputFile
from bulbcast.quantities import Shown
from bulbcast.sizing.balance import Balance
from bulbcast.sizing.ledger import HungBulb
from bulbcast.sizing.room import Room
from bulbcast.sizing.wish import BulbWish

if TYPE_CHECKING:
    # Rooms that only some plans need are loaded where a plan has their section.
    from bulbcast.boat.strength import Strength
    from bulbcast.casting.drying import DryingState
    from bulbcast.casting.mould import MouldDesign
    from bulbcast.planning.boat import BoatJob
    from bulbcast.planning.cooling import CoolingJob
    from bulbcast.planning.limits import LimitHeld
    from bulbcast.planning.melt import MeltJob
    from bulbcast.planning.pattern_shop_values import PatternShop
    from bulbcast.planning.resin import ResinJob
    from bulbcast.planning.ribs import FoilRibs
    from bulbcast.planning.standing import Standing
    from bulbcast.sizing.fitting_room import FittingRoom


CHARGE_DEFAULTS = ("melt.feeder", "pot.heel")
"""Keys whose values, where they are left out, are masses of metal in the pot."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Job:
    """Every result of one plan.

    Attributes:
        plan: What was asked.
        shown: The builder's units.
        alloy: What it is cast of.
        wish: What the size and the place depend on.
        bulb: The sized and placed bulb with its hung-mass ledger.
        balance: How it sits under the fin.
        room: Lead and fin round the cuts.
        wall_wanted: [m]
        cast: The cast body.
        pattern: The pattern with its ledger.
        rules: What other shops' contraction rules would cost.
        melt: The charge.
        defaults: Every value the plan did not give, with its source.
        findings: Gravest first.
        boat: The boat with this bulb; None where the plan gives none.
        standing: How she stands up; None without a boat, or where it was not asked for.
        strength: Fin and joint under their loads; None where the plan has no [strength].
        limits: What the plan types in as limits, held against the bulb.
        shop: The pattern's pieces, bed and frame; None where the plan says nothing of them, until files are asked
            for.
        ribs: Of every foil; None where the plan asks for none.
        inputs: Files besides the plan that went into it.
        mould: The mould; None where the plan gives none.
        drying: How its parts stand by the drying log; None without a plaster mould.
        cooling: How the casting cools; None unless it was asked for, see `with_cooling`.
        resin: The same bulb of lead shot in resin beside it; None where the plan does not ask.
        fittings: Room round pins, studs and a through-going blade; None where there are none.
        stud_lifts: Net upward force on each stud in the melt. [N]
        melting: Gating, scrap, pot, burner and pour; None where the plan gives none of them, nor a mould.
    """

    plan: Plan
    shown: Shown
    alloy: CastAlloy
    wish: BulbWish
    bulb: HungBulb
    balance: Balance
    room: Room
    wall_wanted: float
    cast: CastBody
    pattern: Pattern
    rules: tuple[RuleCost, ...]
    melt: Melt
    defaults: tuple[DefaultTaken, ...]
    findings: tuple[Finding, ...]
    boat: BoatJob | None = None
    standing: Standing | None = None
    strength: Strength | None = None
    limits: tuple[LimitHeld, ...] = ()
    shop: PatternShop | None = None
    ribs: tuple[FoilRibs, ...] | None = None
    inputs: tuple[InputFile, ...] = ()
    mould: MouldDesign | None = None
    drying: DryingState | None = None
    cooling: CoolingJob | None = None
    resin: ResinJob | None = None
    fittings: FittingRoom | None = None
    stud_lifts: tuple[float, ...] = ()
    melting: MeltJob | None = None

    def joined(
        self, *, defaults: tuple[DefaultTaken, ...] = (), findings: tuple[Finding, ...] = (), **results: Any
    ) -> Job:
        """The job with further results, and with what was settled and found on the way to them.

        Args:
            defaults: Values taken; those told already are not told again.
            findings: Of these results.
            results: By the names of the fields.
        """
        told = {one.key for one in self.defaults}
        return replace(
            self,
            defaults=self.defaults + tuple(one for one in defaults if one.key not in told),
            findings=sorted_by_severity(self.findings + findings),
            **results,
        )

    @property
    def stopped(self) -> bool:
        """Whether a finding says that bulb or pattern must not be made as planned."""
        return any(finding.severity is Severity.STOP for finding in self.findings)

    def withholding(self, step: Step) -> tuple[Finding, ...]:
        """The findings that withhold a step of the work, gravest first.

        Args:
            step: Of the work.
        """
        return tuple(finding for finding in self.findings if step in finding.withholds)

    def figures_withheld(self, finding: Finding) -> bool:
        """Whether a finding bears figures of a step that is withheld, and is not itself the reason for it.

        What a hold is about has to be seen to clear it; while a stop stands it is not yet the hold's turn.

        Args:
            finding: One of `findings`.
        """
        step = finding.tells
        if step is None or finding.severity is Severity.STOP:
            return False
        return self.stopped or (step not in finding.withholds and bool(self.withholding(step)))

    @property
    def defaults_shown(self) -> tuple[DefaultTaken, ...]:
        """The defaults as they may be shown: a mass of the charge is withheld where the charge is."""
        if not self.melt_withheld:
            return self.defaults
        return tuple(
            replace(one, value="withheld") if one.key in CHARGE_DEFAULTS else one for one in self.defaults
        )

    @property
    def melt_withheld(self) -> tuple[Finding, ...]:
        """What withholds the melt: with it the charge is withheld too."""
        return self.withholding(Step.MELT)

    @property
    def pour_withheld(self) -> tuple[Finding, ...]:
        """What withholds the pour."""
        return self.withholding(Step.POUR)
