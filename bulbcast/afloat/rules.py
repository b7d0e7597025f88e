"""Findings on a float test: readings that disagree, a boat too far from her line, scale against marks."""

from __future__ import annotations

from bulbcast.afloat.cure import Holes
from bulbcast.afloat.marks_to_mass import FloatTest
from bulbcast.findings import Finding, Rule, Severity
from bulbcast.quantities import Shown

MARKS_DISAGREE = Rule("marks-disagree", Severity.CAUTION)
FAR_FROM_LINE = Rule("far-from-line", Severity.CAUTION)
MUCH_TO_DRILL = Rule("much-to-drill", Severity.CAUTION)
DISPLACEMENT_DIFFERS = Rule("displacement-differs", Severity.CAUTION)
WEIGH_IN_DIFFERS = Rule("weigh-in-differs", Severity.CAUTION)

# Misfit of a mark over the spread of one reading from which one of them is doubted. Judgement.
DISAGREE = 2.0
# Sinkage or trim over the waterline's length up to which first order holds well. Judgement.
FAR_IN_LENGTHS = 0.015
# Holes from which on a bulb is no longer put right with the drill. Judgement.
MANY_HOLES = 12
# Scale against marks, or against the sum of the weigh-in, over the displacement. Judgement.
UNLIKE_SHARE = 0.02


def check_float_test(
    found: FloatTest,
    *,
    reading_spread: float,
    waterline: float,
    displacement: float,
    weigh_in: float,
    weighed: float | None,
    hull_differs: float | None,
    holes: Holes | None,
    shown: Shown,
) -> tuple[Finding, ...]:
    """What makes a float test doubtful, and what else it shows.

    Args:
        found: The test.
        reading_spread: Of one reading. [m]
        waterline: Her length. [m]
        displacement: On her line. [kg]
        weigh_in: Of what was aboard, by the plan. [kg]
        weighed: The same on a scale; None where she was not weighed. [kg]
        hull_differs: Water displaced at her line, found less planned; None without `weighed`. [kg]
        holes: That would be drilled; None where none.
        shown: The builder's units.
    """
    findings = []
    lay = found.attitude
    if lay.misfit > DISAGREE * reading_spread:
        findings.append(
            MARKS_DISAGREE(
                where="float",
                found=lay.misfit,
                limit=DISAGREE * reading_spread,
                unit="m",
                message=f"The readings do not lie in one plane: one is {shown.length(lay.misfit)} off it, where "
                f"{shown.length(reading_spread)} is how well a mark is read.",
                remedy="Read them once more in still water; see whether a mark is misplaced or a sign is wrong.",
            )
        )
    furthest = max(abs(lay.sinkage), abs(lay.trim))
    if furthest > FAR_IN_LENGTHS * waterline:
        findings.append(
            FAR_FROM_LINE(
                where="float",
                found=furthest,
                limit=FAR_IN_LENGTHS * waterline,
                unit="m",
                message=f"She lies {shown.length(furthest)} off her line, and the figures hold while her waterplane hardly "
                "changes.",
                remedy="Do half of what is told, and float her again.",
            )
        )
    if holes is not None and holes.count > MANY_HOLES:
        findings.append(
            MUCH_TO_DRILL(
                where="float",
                found=float(holes.count),
                limit=float(MANY_HOLES),
                message=f"So much lead is {holes.count} holes of {shown.length(holes.diameter)}.",
                remedy="Take weight out of the boat first, drill the rest, or cast the bulb once more.",
            )
        )
    if weighed is not None and hull_differs is not None:
        if abs(hull_differs) > UNLIKE_SHARE * displacement:
            more = "more" if hull_differs > 0.0 else "less"
            findings.append(
                DISPLACEMENT_DIFFERS(
                    where="float",
                    found=abs(hull_differs),
                    limit=UNLIKE_SHARE * displacement,
                    unit="kg",
                    message=f"On the scale she weighed {shown.mass(weighed)}, so at her line she displaces "
                    f"{shown.mass(abs(hull_differs))} {more} than the plan's hull.",
                    remedy="What is told here comes from the marks and does not hang on that; mend the hull in the plan "
                    "before another bulb is planned from it.",
                )
            )
        if abs(weighed - weigh_in) > UNLIKE_SHARE * displacement:
            more = "more" if weighed > weigh_in else "less"
            findings.append(
                WEIGH_IN_DIFFERS(
                    where="weights",
                    found=abs(weighed - weigh_in),
                    limit=UNLIKE_SHARE * displacement,
                    unit="kg",
                    message=f"On the scale she weighed {shown.mass(weighed)}, {shown.mass(abs(weighed - weigh_in))} {more} "
                    "than the sum of what was aboard.",
                    remedy="Something is aboard that is no line of the weigh-in, or a line is wrong: find it first.",
                )
            )
    return tuple(findings)
