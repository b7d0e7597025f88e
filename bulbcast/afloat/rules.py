"""Findings on a float test: readings that disagree, a boat too far from her line, or a scale that disagrees with the
marks."""

from __future__ import annotations

from bulbcast.afloat.work import FloatResult
from bulbcast.findings import Finding, Rule, Severity, sorted_by_severity
from bulbcast.quantities import Shown
from bulbcast.sailing.results import SailingResults

MARKS_DISAGREE = Rule(
    "marks-disagree",
    Severity.CAUTION,
    why=("Three readings define the plane of the water. If a fourth does not fit, one of the four is wrong."),
)
FAR_FROM_LINE = Rule(
    "far-from-line",
    Severity.CAUTION,
    why=(
        "The marks give mass and moment only as long as the waterplane keeps its shape, which it does only near the "
        "design line."
    ),
)
MUCH_TO_DRILL = Rule(
    "much-to-drill",
    Severity.CAUTION,
    why=(
        "Drilling many holes weakens the bulb and cannot be undone. Other weights can still be moved or removed."
    ),
)
DISPLACEMENT_DIFFERS = Rule(
    "displacement-differs",
    Severity.CAUTION,
    why=(
        "The scale and the marks together give the displacement at the design line. If the drawing gives another "
        "figure, the hull was built differently or the drawing is wrong."
    ),
)
WEIGH_IN_DIFFERS = Rule(
    "weigh-in-differs",
    Severity.CAUTION,
    why="The scale weighs everything aboard, but the weight list contains only the items you thought of.",
)

# Ratio of a mark's misfit to the spread of one reading, above which the readings are doubted. Our judgement.
DISAGREE = 2.0
# Maximum sinkage or trim, as a fraction of the waterline length, for which first order is good enough. Our judgement.
FAR_IN_LENGTHS = 0.015
# Number of holes above which a bulb should not be corrected by drilling. Our judgement.
MANY_HOLES = 12
# Difference between the scale and the marks, or the sum of the weigh-in, as a fraction of the displacement. Our judgement.
UNLIKE_SHARE = 0.02


def float_findings(job: SailingResults, result: FloatResult) -> tuple[Finding, ...]:
    """List all findings on a float test, together with the plan's stop findings on the boat.

    Args:
        job: Results of the plan.
        result: Results of the test.
    """
    stops = tuple(one for one in job.findings if one.severity is Severity.STOP and one.subject == "boat")
    return sorted_by_severity(stops + check_float_test(result, job.shown))


def check_float_test(result: FloatResult, shown: Shown) -> tuple[Finding, ...]:
    """List findings that cast doubt on a float test, and findings from the test itself.

    Args:
        result: Results of the test.
        shown: The builder's units.
    """
    findings = []
    lay, spread = result.found.attitude, result.reading_spread
    if lay.misfit > DISAGREE * spread:
        findings.append(
            MARKS_DISAGREE(
                "float",
                f"The readings do not fit one plane. One reading is off by {shown.length(lay.misfit)}, but a mark can be "
                f"read to {shown.length(spread)}.",
                "Read the marks again in still water. Check for a misplaced mark or a wrong sign.",
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
                f"The boat floats {shown.length(furthest)} off her line. The figures are valid only as long as the "
                "waterplane hardly changes.",
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
                f"Removing this much lead needs {holes.count} holes of {shown.length(holes.diameter)}.",
                "Remove other weight from the boat first and drill the rest, or cast the bulb again.",
                found=float(holes.count),
                limit=float(MANY_HOLES),
            )
        )
    return (*findings, *_on_the_scale(result, shown))


def _on_the_scale(result: FloatResult, shown: Shown) -> list[Finding]:
    """Findings on the boat's weight on the scale, compared with her displacement and with the sum of everything aboard."""
    findings: list[Finding] = []
    weighed, differs = result.asked.weighed, result.hull_differs
    if weighed is None or differs is None:
        return findings
    limit = UNLIKE_SHARE * result.flotation.mass
    if abs(differs) > limit:
        findings.append(
            DISPLACEMENT_DIFFERS(
                "float",
                f"The boat weighed {shown.mass(weighed)} on the scale, so at her line she displaces "
                f"{shown.mass(abs(differs))} {'more' if differs > 0.0 else 'less'} than the plan's hull.",
                "The results of this test come from the marks, so they are not affected. Correct the hull in the plan "
                "before you plan another bulb from it.",
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
                f"The boat weighed {shown.mass(weighed)} on the scale, {shown.mass(abs(over))} "
                f"{'more' if over > 0.0 else 'less'} than the sum of the weights aboard.",
                "Something aboard is not in the weight list, or a line in the list is wrong. Find the error first.",
                found=abs(over),
                limit=limit,
                unit="kg",
            )
        )
    return findings
