"""Findings on how the boat stands up: righting arms, heel and leeway in the wind set, the rudder's mass."""

from __future__ import annotations

import math

from bulbcast.ballast.weigh_in import WeighIn
from bulbcast.findings import Finding, Rule, Severity
from bulbcast.quantities import Shown, joined
from bulbcast.sailing.leeway import FinForLeeway
from bulbcast.sailing.limits import (
    LARGEST_SAILING_HEEL,
    LINEAR_LIFT,
    SMALLEST_VANISHING,
    TABLE_AND_SURFACE,
)

RIGHTING_ARMS_NOT_TOLD = Rule("righting-arms-not-told", Severity.NOTE, Severity.CAUTION, subject="boat")
VANISHES_EARLY = Rule("vanishes-early", Severity.CAUTION, subject="boat")
TABLE_AND_SURFACE_DIFFER = Rule("table-and-surface-differ", Severity.NOTE, subject="boat")
BLOWN_FLAT = Rule("blown-flat", Severity.CAUTION, subject="boat")
HEELS_FAR = Rule("heels-far", Severity.CAUTION, subject="boat")
LEEWAY_BEYOND_LIMIT = Rule("leeway-beyond-limit", Severity.CAUTION, subject="boat")
RUDDER_MASS_NOT_GIVEN = Rule("rudder-mass-not-given", Severity.CAUTION, subject="boat")
RUDDER_COUNTED_TWICE = Rule("rudder-counted-twice", Severity.CAUTION, subject="boat")


def check_curve(
    *,
    missing: str,
    wanted: bool,
    afloat: bool,
    vanishing: float | None,
    surface_over_table: float | None,
    shown: Shown,
) -> tuple[Finding, ...]:
    """Whether there are righting arms, and whether they last.

    Args:
        missing: Why there are none, or empty.
        wanted: Whether the plan has a rig, which asks for them, or her shape is known. [-]
        afloat: False where her shape is known and she does not float. [-]
        vanishing: Angle of vanishing stability; None where none is known or none positive. [rad]
        surface_over_table: Of the hull's volume at the line, surface through the table over Simpson's, less 1;
            None where she is no table. [-]
        shown: The builder's units.
    """
    findings = []
    if missing and wanted:
        message, _, remedy = missing.partition(". ")
        findings.append(
            RIGHTING_ARMS_NOT_TOLD(
                severity=Severity.NOTE if afloat else Severity.CAUTION,
                where="boat",
                message=f"{message.rstrip('.')}.",
                remedy=remedy,
            )
        )
    if vanishing is not None and vanishing < SMALLEST_VANISHING:
        findings.append(
            VANISHES_EARLY(
                where="boat",
                found=vanishing,
                limit=SMALLEST_VANISHING,
                unit="rad",
                message=f"Her righting arms end at {math.degrees(vanishing):.0f} degrees: laid flat she does not come up of "
                "herself.",
                remedy="Hang the bulb deeper, make it heavier, or take weight out from high up.",
            )
        )
    if surface_over_table is not None and abs(surface_over_table) > TABLE_AND_SURFACE:
        word = "more" if surface_over_table > 0.0 else "less"
        findings.append(
            TABLE_AND_SURFACE_DIFFER(
                where="boat.offsets",
                found=surface_over_table,
                limit=TABLE_AND_SURFACE,
                message="The surface drawn through the table for the righting arms holds "
                f"{shown.percent(abs(surface_over_table))} {word} at her line than Simpson's rules find, "
                "which the ballast target rests on.",
                remedy="Give more stations where she curves most, or the hull as a surface.",
            )
        )
    return tuple(findings)


def check_heel(
    *, wind: float, heel: float | None, given: bool, area: float, wind_for_limit: float, shown: Shown
) -> tuple[Finding, ...]:
    """Whether she stands up to the wind that the plan sets.

    Args:
        wind: Of the plan. [m/s]
        heel: Steady, in it; None where she is laid flat. [rad]
        given: Whether the plan gives it. [-]
        area: Of the sails. [m2]
        wind_for_limit: That heels her to the largest heel she is to sail at. [m/s]
        shown: The builder's units.
    """
    if not given or (heel is not None and heel <= LARGEST_SAILING_HEEL):
        return ()
    # A little less than the balance, so that three digits of it do.
    reefed = 0.99 * area * (wind_for_limit / wind) ** 2
    limit = math.degrees(LARGEST_SAILING_HEEL)
    remedy = (
        f"Carry {shown.workshop.area(reefed)} of sail in this wind for {limit:.0f} degrees, or hang the bulb deeper or "
        "heavier: see the trade."
    )
    if heel is None:
        return (
            BLOWN_FLAT(
                where="rig",
                limit=LARGEST_SAILING_HEEL,
                unit="rad",
                message=f"A steady wind of {shown.speed(wind)} on these sails lays her flat: no heel below a right "
                "angle holds her.",
                remedy=remedy,
            ),
        )
    return (
        HEELS_FAR(
            where="rig",
            found=heel,
            limit=LARGEST_SAILING_HEEL,
            unit="rad",
            message=f"A steady wind of {shown.speed(wind)} heels her {math.degrees(heel):.0f} degrees; beyond "
            f"{limit:.0f} she is slow and hard to steer (common practice, no source).",
            remedy=remedy,
        ),
    )


def check_leeway(
    *,
    wind: float,
    leeway: float | None,
    limit: float,
    fin: FinForLeeway | None,
    tip_z: float | None,
    shown: Shown,
) -> tuple[Finding, ...]:
    """Whether the fin holds her within the leeway set.

    Args:
        wind: Of the answer. [m/s]
        leeway: In it, by the formula that gives the more; None where she holds no heel. [rad]
        limit: Not to be passed. [rad]
        fin: What would hold it; None likewise.
        tip_z: Level of a tip that holds it, all else as it is; None where none is known. [m]
        shown: The builder's units.
    """
    if leeway is None or fin is None or leeway <= limit:
        return ()
    ways = []
    if tip_z is not None:
        ways.append(f"take the fin's tip to z = {shown.length(tip_z)}, all else as it is")
    if fin.same_span_area is not None:
        ways.append(f"give it about {shown.area(fin.same_span_area)} of area on the same depth")
    ways.append("sail in less wind or with less sail")
    beyond = (
        " That is also more than the lift's straight line holds to, so that she makes still more."
        if leeway > LINEAR_LIFT
        else ""
    )
    return (
        LEEWAY_BEYOND_LIMIT(
            where="fin",
            found=leeway,
            limit=limit,
            unit="rad",
            message=f"At hull speed in a wind of {shown.speed(wind)} her fin makes "
            f"{math.degrees(leeway):.1f} degrees of leeway; {math.degrees(limit):.1f} is the limit.{beyond}",
            remedy=f"{joined(ways, 'or')[0].upper()}{joined(ways, 'or')[1:]}.",
        ),
    )


def check_rudder(summed: WeighIn, *, counted: bool, shown: Shown) -> tuple[Finding, ...]:
    """Whether the rudder is weighed, once.

    Args:
        summed: The lines.
        counted: Whether the plan gives the rudder's mass or density. [-]
        shown: The builder's units.
    """
    own = [line for line in summed.weights if line.name.strip().casefold() == "rudder"]
    if not counted and not any("rudder" in line.name.casefold() for line in summed.weights):
        return (
            RUDDER_MASS_NOT_GIVEN(
                where="rudder",
                message="The rudder's own mass is given neither as rudder.mass nor by rudder.density, and no line of the "
                "weigh-in names it.",
                remedy="Give one of them, or a line of [[weights]].",
            ),
        )
    if counted and len(own) > 1:
        return (
            RUDDER_COUNTED_TWICE(
                where="weights",
                found=own[0].mass,
                unit="kg",
                message=f"A line of the weigh-in is called {own[0].name}, and [rudder] gives the blade's mass as well: "
                f"both are counted, {shown.mass(own[0].mass)} and {shown.mass(own[-1].mass)}.",
                remedy="Take the line out, or mass or density out of [rudder].",
            ),
        )
    return ()
