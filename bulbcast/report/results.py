"""What every step of the work hands on to the next: the plan, what was taken for it, and what was found."""

from __future__ import annotations

from typing import Any, Self

from bulbcast.findings import Finding, Severity, Step, sorted_by_severity
from bulbcast.plan.input_file import InputFile
from bulbcast.plan.sections import DefaultTaken, Plan
from bulbcast.quantities import Shown
from bulbcast.quantities.frozen import frozen, replace

CHARGE_DEFAULTS = ("melt.feeder", "pot.heel")
"""Keys whose values, where they are left out, are masses of metal in the pot."""


@frozen
class Results:
    """The work so far. Each subject's room adds what it works out, so that its chapter sees that and what stood before.

    Attributes:
        plan: What was asked.
        shown: The builder's units.
        defaults: Every value the plan did not give, with its source.
        findings: Gravest first.
        inputs: Files besides the plan that went into it.
        pending: What was left out of this run: "remedies", "confidence", "standing".
    """

    plan: Plan
    shown: Shown
    defaults: tuple[DefaultTaken, ...]
    findings: tuple[Finding, ...]
    inputs: tuple[InputFile, ...] = ()
    pending: tuple[str, ...] = ()

    def joined(
        self, *, defaults: tuple[DefaultTaken, ...] = (), findings: tuple[Finding, ...] = (), **results: Any
    ) -> Self:
        """The job with further results, and with what was settled and found on the way to them.

        Args:
            defaults: Values taken; those reported already are not reported again.
            findings: Findings of these results.
            results: By the names of the fields.
        """
        said = {one.key for one in self.defaults}
        return replace(
            self,
            defaults=self.defaults + tuple(one for one in defaults if one.key not in said),
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
            step: Step of the work.
        """
        return tuple(finding for finding in self.findings if step in finding.withholds)

    def figures_withheld(self, finding: Finding) -> bool:
        """Whether a finding bears figures of a step that is withheld, and is not itself the reason for it.

        What a hold is about has to be seen to clear it; while a stop stands it is not yet the hold's turn. Findings of
        one subject hide no figure of each other: a pot too heavy is changed with the charge in mind that it is for.

        Args:
            finding: One of `findings`.
        """
        step = finding.tells
        if step is None or finding.severity is Severity.STOP:
            return False
        others = any(not one.subject or one.subject != finding.subject for one in self.withholding(step))
        return self.stopped or (step not in finding.withholds and others)

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
