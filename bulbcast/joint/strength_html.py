"""Fin, joint and limits in the report."""

from __future__ import annotations

from bulbcast.joint.fin_beam import NOT_A_CLASSIFICATION_CALCULATION
from bulbcast.joint.joint_words import (
    HANDED_OVER,
    HOLD_HEADS,
    JOINT_CAPTION,
    NOT_CALCULATED,
    PULL_HEADS,
    hold_rows,
    joint_rows,
    pull_rows,
    root_rows,
)
from bulbcast.joint.results import JointResults
from bulbcast.joint.strength_words import (
    aground_rows,
    fin_rows,
    limit_rows,
    made_words,
    stress_rows,
)
from bulbcast.report.markup import paragraph, section, sources, table


def strength_section(job: JointResults) -> str:
    """Fin and joint under their loads; empty where the plan has no [strength].

    Args:
        job: The results.
    """
    strength, shown = job.strength, job.shown
    if strength is None:
        return ""
    body = paragraph(NOT_A_CLASSIFICATION_CALCULATION, "stopped") + paragraph(NOT_CALCULATED, "stopped")
    if strength.at_root:
        body += table(
            (
                "load",
                "moment across",
                "moment in the fin's plane",
                "shear",
                "along the fin",
                "torque",
            ),
            root_rows(strength, shown),
            figures=(1, 2, 3, 4, 5),
            caption=HANDED_OVER,
        )
    fin = strength.fin
    if fin is not None:
        body += paragraph(made_words(fin, shown))
        body += table(
            ("", "", ""), fin_rows(job, fin), figures=(1,), caption="The fin held flat, 90 degrees of heel"
        )
        aground = aground_rows(fin, shown)
        if aground:
            body += table(("", "", ""), aground, figures=(1,), caption="Aground, static, no shock")
        body += table(
            ("load", "material", "at the level", "stress", "allowable", "used"),
            stress_rows(fin, shown),
            figures=(2, 3, 4, 5),
            caption="Where each material is stressed most; pulled is positive",
        )
    held = strength.joint
    if held is not None:
        body += table(("", "", ""), joint_rows(held, shown), figures=(1,), caption="The joint")
        body += table(
            PULL_HEADS, pull_rows(held, shown), figures=(1, 2, 4), caption="What each screw is pulled with"
        )
        body += table(
            HOLD_HEADS,
            hold_rows(held, shown),
            figures=(1, 2, 3, 4, 6, 7),
            caption="What each screw has to hold by",
        )
        body += paragraph(JOINT_CAPTION, "caption")
        body += sources(_sources(job))
    return section("strength", "Strength of fin and joint", body)


def _sources(job: JointResults) -> list[str]:
    strength, asked = job.strength, job.plan.strength
    if strength is None or asked is None:
        return []
    named = [f"Creep limit: {strength.screws[0].bearing.limit_source}"] if strength.screws else []
    named += sorted({f"What a screw's thread holds: {one.holds_how}" for one in strength.screws})
    if asked.allowable_source is not None:
        named.append(f"Allowables: {asked.allowable_source}")
    return named


def limits_section(job: JointResults) -> str:
    """The typed limits against the bulb; empty where the plan types none.

    Args:
        job: The results.
    """
    if not job.limits:
        return ""
    rule = job.plan.limits.rule if job.plan.limits is not None else None
    body = table(("", "found", "allowed", ""), limit_rows(job), figures=(1, 2))
    body += paragraph(
        f"Limits as typed in{'' if rule is None else f', from {rule}'}. No rule is shipped: the words of the rule decide, "
        "not a figure of ours.",
        "caption",
    )
    return section("limits", "Limits", body)
