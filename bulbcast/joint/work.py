"""Check of a plan's fin and joint under their loads, with the findings and the defaults assumed.

This is plain beam theory and statics with loads and allowables as given, not a classification calculation.
"""

from __future__ import annotations

from bulbcast.ballast.results import BallastResults
from bulbcast.fin.planned import section_of
from bulbcast.findings import Finding
from bulbcast.joint.fin_rules import check_fin
from bulbcast.joint.fin_work import fin_strength, tube_place
from bulbcast.joint.joint_rules import check_joint, check_joint_is_whole
from bulbcast.joint.joint_work import bearing_limit, joint_of, thread_in, thread_of
from bulbcast.joint.strength import Strength
from bulbcast.joint.thread import BONDED_DIVISOR, BONDED_SHEAR
from bulbcast.plan.faults import Fault, PlanError
from bulbcast.plan.sections import DefaultTaken
from bulbcast.quantities.checked import BoatFigureError


def strength_of(job: BallastResults, *, search: bool) -> Strength | None:
    """Check the fin and the joint of a plan with [strength]; None without [strength].

    Args:
        job: The sized bulb, and the boat if there is one.
        search: Whether to look for the root thickness needed to satisfy each limit that is exceeded.

    Raises:
        PlanError: The figures do not describe a fin.
    """
    asked = job.plan.strength
    if asked is None:
        return None
    try:
        fin = None if asked.section is None else fin_strength(job, asked, search=search)
        density = job.plan.fin.density or 0.0 if fin is None else fin.fin_density
        return Strength(asked=asked, fin=fin, joint=joint_of(job, asked, fin_density=density))
    except BoatFigureError as error:
        raise PlanError(
            [
                Fault(
                    file=job.plan.source,
                    key="[strength]",
                    read="figures that describe an impossible fin",
                    expected="figures for a fin from the hull down to the bulb, with screws in it",
                    remedy=str(error),
                )
            ]
        ) from None


def strength_findings(job: BallastResults, strength: Strength | None) -> tuple[Finding, ...]:
    """List the findings on the fin and the joint.

    Args:
        job: The results with the bulb.
        strength: Results for the fin and the joint; None without [strength].
    """
    if strength is None:
        return ()
    asked, shown, findings = (
        strength.asked,
        job.shown,
        check_joint_is_whole(job.bulb, bonded=job.wish.fin.bonded),
    )
    if strength.joint is not None:
        findings = [*check_joint(strength.joint, asked, shown), *findings]
    if strength.fin is not None:
        findings = [*check_fin(strength.fin, asked, job.plan.fin.material, shown), *findings]
    return tuple(findings)


def strength_defaults(job: BallastResults, strength: Strength | None) -> tuple[DefaultTaken, ...]:
    """Defaults that depend on other figures, each with its source.

    Args:
        job: The results, for the plan's screws.
        strength: Results for the fin and the joint; None without [strength].
    """
    if strength is None:
        return ()
    plan, shown, asked, fin = job.plan, job.shown, strength.asked, strength.fin
    kind, (limit, source) = thread_in(plan, asked), bearing_limit(asked)
    taken: list[tuple[str, bool, str, str]] = []
    if plan.screws:
        wood, grain_source = kind == "wood", "our judgement: the weaker option"
        taken += [
            ("strength.bearing_limit", asked.bearing_limit is None, shown.pressure(limit), source),
            (
                "strength.thread_in",
                asked.thread_in is None and kind is not None,
                kind or "",
                "from fin.material",
            ),
            (
                "strength.thread_shear_allowable",
                kind == "bonded" and asked.thread_shear_allowable is None,
                shown.pressure(BONDED_SHEAR / BONDED_DIVISOR),
                '800 psi for filled epoxy, divided by 4; Epoxyworks, R. Monroe, "More on hardware bonding"',
            ),
            ("strength.grain", wood and asked.grain is None, "along the span", grain_source),
            (
                "strength.wood_moisture",
                wood and asked.wood_moisture is None and asked.wood_specific_gravity is not None,
                "wet",
                "our judgement: a fin is in water, and a screw in wet wood holds 0.7 times as much as in dry wood "
                "according to the National Design Specification for Wood Construction, from memory",
            ),
        ]
        taken += [
            (
                f"screws[{index + 1}].pitch",
                True,
                shown.length(thread_of(plan, index).pitch),
                "metric coarse series, ISO 261, from memory",
            )
            for index, screw in enumerate(plan.screws)
            if screw.pitch is None
        ]
    tube = asked.section == "tube-cored" and asked.tube_at is None
    taken.append(
        (
            "strength.tube_at",
            tube,
            f"{tube_place(asked, section_of(plan.fin)):.3g}",
            "thickest part of the section",
        )
    )
    if fin is not None and fin.density_estimate is not None:
        estimated = f"for [strength] alone: {fin.density_estimate.source}"
        taken.append(("fin.density", True, shown.density(fin.fin_density), estimated))
    return tuple(
        DefaultTaken(key=key, value=value, source=words) for key, said, value, words in taken if said
    )
