"""Results that each step of the calculation passes to the next: the plan, assumed values and findings."""

from __future__ import annotations

from typing import Any, Self

from bulbcast.findings import Finding, Severity, Step, sorted_by_severity
from bulbcast.plan.input_file import InputFile
from bulbcast.plan.sections import DefaultTaken, Plan
from bulbcast.quantities import Shown
from bulbcast.quantities.frozen import frozen, replace

CHARGE_DEFAULTS = ("melt.feeder", "pot.heel")
"""Plan keys whose defaults are masses of metal in the pot."""


@frozen
class Results:
    """The results so far. Each subject adds its results, so that its chapter sees only those and the earlier ones.

    Attributes:
        plan: The plan as read.
        shown: The builder's units.
        defaults: Every value that the plan does not give, with its source.
        findings: Findings, most serious first.
        inputs: Files used in addition to the plan.
        pending: Parts omitted from this run: "remedies", "confidence", "standing".
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
        """Return the job with further results, and with their assumed values and findings.

        Args:
            defaults: Assumed values; any that are already reported are not repeated.
            findings: Findings from these results.
            results: New results by field name.
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
        """Whether a finding says that the bulb or the pattern must not be made as planned."""
        return any(finding.severity is Severity.STOP for finding in self.findings)

    def withholding(self, step: Step) -> tuple[Finding, ...]:
        """Return the findings that stop a step of the work or put it on hold, most serious first.

        Args:
            step: Step of the work.
        """
        return tuple(finding for finding in self.findings if step in finding.withholds)

    def figures_withheld(self, finding: Finding) -> bool:
        """Return whether a finding contains figures of a withheld step without being the reason for withholding it.

        The figures of a hold are needed to clear it, but a stop must be cleared first. Findings on one subject do not
        hide each other's figures: to fix a pot that is too heavy, the builder needs to know the charge that it must
        hold.

        Args:
            finding: A finding of this job.
        """
        step = finding.tells
        if step is None or finding.severity is Severity.STOP:
            return False
        others = any(not one.subject or one.subject != finding.subject for one in self.withholding(step))
        return self.stopped or (step not in finding.withholds and others)

    @property
    def defaults_shown(self) -> tuple[DefaultTaken, ...]:
        """Defaults for display; those for the charge are shown as "withheld" if the melt is withheld."""
        if not self.melt_withheld:
            return self.defaults
        return tuple(
            replace(one, value="withheld") if one.key in CHARGE_DEFAULTS else one for one in self.defaults
        )

    @property
    def melt_withheld(self) -> tuple[Finding, ...]:
        """Findings that withhold the melt and therefore the charge."""
        return self.withholding(Step.MELT)

    @property
    def pour_withheld(self) -> tuple[Finding, ...]:
        """Findings that withhold the pour."""
        return self.withholding(Step.POUR)
