"""Findings on a weighed casting."""

from __future__ import annotations

from bulbcast.confidence.results import ConfidenceResults
from bulbcast.confidence.weighed import Weighed
from bulbcast.findings import Finding, Rule, Severity
from bulbcast.plan.faults import Fault, PlanError

APART = 4.0
"""Chi square per reading above which the readings are taken to disagree with the plan. Judgement. [-]"""
_ANOTHER, _ANOTHER_LENGTH = 0.35, 0.08
"""Fraction by which a mass or a length may differ from the plan; beyond it, the reading is a mistake or belongs to
another casting. Judgement."""
CASTING_LIGHT = Rule(
    "casting-light",
    Severity.CAUTION,
    why="A casting that is too light cannot be drilled to its target; lead must be added somewhere.",
)
READINGS_APART = Rule(
    "readings-apart",
    Severity.CAUTION,
    why="Readings that do not agree with each other or with the plan point to a mistake, or to an effect that the plan "
    "does not cover.",
)
VOID_LIKELY = Rule(
    "void-likely",
    Severity.CAUTION,
    why="A hollow under the surface shifts the mass centre, and lets water in if you drill into it.",
)


def weigh_findings(job: ConfidenceResults, found: Weighed) -> tuple[Finding, ...]:
    """Return the findings on a casting.

    Args:
        job: Results of the plan.
        found: Results for the casting.
    """
    shown, findings = job.shown, []
    if found.light:
        findings.append(
            CASTING_LIGHT(
                "--as-cast",
                f"The casting's hung mass will be {shown.mass(-found.over)} below its target.",
                "File and drill as little as you can, and make up the rest as shown above. Or cast the bulb again.",
                found=found.hung[0],
                limit=job.bulb.mass,
                unit="kg",
            )
        )
    if found.apart > APART:
        worst = max(
            zip(found.weighing.readings, found.expected, strict=True),
            key=lambda pair: abs(pair[0].value - pair[1][0]) / pair[1][1],
        )[0]
        findings.append(
            READINGS_APART(
                f"--{worst.name.replace(' ', '-')}",
                "The readings are further from the plan than its standard deviations allow. The largest deviation is in "
                f"this reading: {worst.name}.",
                "Repeat that measurement. If the result is the same, the log keeps it and shows that it does not fit "
                "the others. Later plans ignore a contraction or density that is impossible for a metal.",
                found=found.apart,
                limit=APART,
            )
        )
    if found.void is not None and found.void.hollow.likely:
        findings.append(
            VOID_LIKELY(
                "--balance",
                f"The casting probably contains a hollow of about {shown.percent(found.void.hollow.share)} of its volume.",
                "Weigh the casting in water and balance it once more. Then tap along it and drill where it sounds dull, "
                "or cast it again.",
                found=found.void.hollow.share,
                limit=found.void.smallest,
            )
        )
    return tuple(findings)


def require_this_casting(source: str, found: Weighed) -> None:
    """Check that the readings are possible for the casting of this plan.

    Args:
        source: Name that messages use for the command line.
        found: Results for the casting.

    Raises:
        PlanError: A reading differs from the plan by more than is possible for its casting.
    """
    faults = [
        Fault(
            file=source,
            key=f"--{one.name.replace(' ', '-')}",
            read=f"{one.value / expected:.3g} times the plan's figure",
            expected=f"within {100.0 * _most(one.name):.0f} % of it",
            remedy="Check the figure and its unit, whether the sprue is still attached, and whether this casting "
            "belongs to the plan.",
        )
        for one, (expected, _) in zip(found.weighing.readings, found.expected, strict=True)
        if abs(one.value / expected - 1.0) > _most(one.name)
    ]
    if faults:
        raise PlanError(faults)


def _most(name: str) -> float:
    return _ANOTHER_LENGTH if name in ("length", "diameter", "balance") else _ANOTHER
