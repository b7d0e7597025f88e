"""Findings on a float test: readings that disagree, a boat too far from her line, scale against marks."""

from __future__ import annotations

from bulbcast.afloat.work import FloatResult
from bulbcast.findings import Finding, Rule, Severity, sorted_by_severity
from bulbcast.quantities import Shown
from bulbcast.sailing.results import SailingResults

MARKS_DISAGREE = Rule(
    "marks-disagree",
    Severity.CAUTION,
    why=(
        "Three marks lie in one plane when she floats; a fourth reading that does not fit means "
        "that one of them is wrong."
    ),
)
FAR_FROM_LINE = Rule(
    "far-from-line",
    Severity.CAUTION,
    why=(
        "Mass and moment follow from the marks only while her waterplane keeps its shape, which it does only near her line."
    ),
)
MUCH_TO_DRILL = Rule(
    "much-to-drill",
    Severity.CAUTION,
    why=(
        "This many holes weaken the bulb and cannot be undone. Other weight can still be moved or taken out."
    ),
)
DISPLACEMENT_DIFFERS = Rule(
    "displacement-differs",
    Severity.CAUTION,
    why=(
        "Scale and marks together give what she displaces at her line. If the drawing differs, the hull was built "
        "differently or drawn wrong."
    ),
)
WEIGH_IN_DIFFERS = Rule(
    "weigh-in-differs",
    Severity.CAUTION,
    why="The scale weighs all that is aboard; the list holds only what you thought of.",
)

# Misfit of a mark over the spread of one reading, from which one of the readings is doubted. Judgement.
DISAGREE = 2.0
# Sinkage or trim over the waterline's length up to which first order holds well. Judgement.
FAR_IN_LENGTHS = 0.015
# Number of holes from which a bulb is no longer corrected with the drill. Judgement.
MANY_HOLES = 12
# Difference of the scale from the marks, or from the sum of the weigh-in, over the displacement. Judgement.
UNLIKE_SHARE = 0.02


def float_findings(job: SailingResults, result: FloatResult) -> tuple[Finding, ...]:
    """All findings on a float test, with only the stops among the plan's findings on the boat.

    Args:
        job: Of the plan.
        result: The test.
    """
    stops = tuple(one for one in job.findings if one.severity is Severity.STOP and one.subject == "boat")
    return sorted_by_severity(stops + check_float_test(result, job.shown))


def check_float_test(result: FloatResult, shown: Shown) -> tuple[Finding, ...]:
    """What makes a float test doubtful, and what else it shows.

    Args:
        result: The test.
        shown: The builder's units.
    """
    findings = []
    lay, spread = result.found.attitude, result.reading_spread
    if lay.misfit > DISAGREE * spread:
        findings.append(
            MARKS_DISAGREE(
                "float",
                f"The readings do not lie in one plane: one is {shown.length(lay.misfit)} off it, where "
                f"{shown.length(spread)} is how well a mark is read.",
                "Read them again in still water; check for a misplaced mark or a wrong sign.",
                found=lay.misfit,
                limit=DISAGREE * spread,
                unit="m",
            )
        )
    furthest, far = max(abs(lay.sinkage), abs(lay.trim)), FAR_IN_LENGTHS * result.flotation.length
    if furthest > far:
        findings.append(
            FAR_FROM_LINE(
                "float",
                f"She lies {shown.length(furthest)} off her line, and the figures hold only while her waterplane hardly "
                "changes.",
                "Make half the change, then float the boat again.",
                found=furthest,
                limit=far,
                unit="m",
            )
        )
    holes = result.holes
    if holes is not None and not result.within_reading and holes.count > MANY_HOLES:
        findings.append(
            MUCH_TO_DRILL(
                "float",
                f"This lead takes {holes.count} holes of {shown.length(holes.diameter)}.",
                "Take weight out of the boat first, drill the rest, or cast the bulb again.",
                found=float(holes.count),
                limit=float(MANY_HOLES),
            )
        )
    return (*findings, *_on_the_scale(result, shown))


def _on_the_scale(result: FloatResult, shown: Shown) -> list[Finding]:
    """Her weight on the scale against what she displaces, and against the sum of all that was aboard."""
    findings: list[Finding] = []
    weighed, differs = result.asked.weighed, result.hull_differs
    if weighed is None or differs is None:
        return findings
    limit = UNLIKE_SHARE * result.flotation.mass
    if abs(differs) > limit:
        findings.append(
            DISPLACEMENT_DIFFERS(
                "float",
                f"On the scale she weighed {shown.mass(weighed)}, so at her line she displaces "
                f"{shown.mass(abs(differs))} {'more' if differs > 0.0 else 'less'} than the plan's hull.",
                "These results come from the marks and do not depend on that. Correct the hull in the plan before you "
                "plan another bulb from it.",
                found=abs(differs),
                limit=limit,
                unit="kg",
            )
        )
    over = weighed - result.weigh_in
    if abs(over) > limit:
        findings.append(
            WEIGH_IN_DIFFERS(
                "weights",
                f"On the scale she weighed {shown.mass(weighed)}, {shown.mass(abs(over))} "
                f"{'more' if over > 0.0 else 'less'} than the sum of what was aboard.",
                "Something is aboard that is not in the weight list, or a line of it is wrong: find it first.",
                found=abs(over),
                limit=limit,
                unit="kg",
            )
        )
    return findings
