"""Findings on the boat's righting arms, on heel and leeway in the given wind, and on the rudder's mass."""

from __future__ import annotations

import math
from collections.abc import Iterator

from bulbcast.ballast.weigh_in import WeighIn
from bulbcast.ballast.work import BoatJob
from bulbcast.findings import Finding, Rule, Severity
from bulbcast.plan.sections import Plan
from bulbcast.quantities import Shown, joined
from bulbcast.sailing.sailing_work import Sailing
from bulbcast.sailing.work import NO_PLACES, NO_SURFACE, Standing

RIGHTING_ARMS_NOT_TOLD = Rule(
    "righting-arms-not-told",
    Severity.NOTE,
    Severity.CAUTION,
    subject="boat",
    why="Righting arms at large angles of heel need the hull's shape. A hull given only by figures has only a GM.",
)
VANISHES_EARLY = Rule(
    "vanishes-early",
    Severity.CAUTION,
    subject="boat",
    why="Beyond the angle of vanishing stability the boat turns over, and does not come back unaided.",
)
TABLE_AND_SURFACE_DIFFER = Rule(
    "table-and-surface-differ",
    Severity.NOTE,
    subject="boat",
    why=(
        "Two methods of calculating the hull's volume from the same table disagree, so the table has too few stations."
    ),
)
BLOWN_FLAT = Rule(
    "blown-flat",
    Severity.CAUTION,
    subject="boat",
    why="In a wind this strong the boat keeps heeling until she lies flat on the water.",
)
HEELS_FAR = Rule(
    "heels-far",
    Severity.CAUTION,
    subject="boat",
    why="A boat that heels too far slides sideways, lifts her rudder out of the water and has little reserve for a gust.",
)
LEEWAY_BEYOND_LIMIT = Rule(
    "leeway-beyond-limit",
    Severity.CAUTION,
    subject="boat",
    why="A fin with little area needs a large angle to carry the side force, so it has high drag or stalls.",
)
RUDDER_MASS_NOT_GIVEN = Rule(
    "rudder-mass-not-given",
    Severity.CAUTION,
    subject="boat",
    why="The rudder is a weight like any other. If its mass is left out, the bulb is made too heavy.",
)
RUDDER_COUNTED_TWICE = Rule(
    "rudder-counted-twice",
    Severity.CAUTION,
    subject="boat",
    why="A rudder listed twice in the plan makes the bulb too light by the rudder's mass.",
)

# A boat that is knocked flat should come up again unaided. Our judgement.
SMALLEST_VANISHING = math.radians(90.0)

# Beyond this heel a boat is slow and hard to steer, so it is time to reduce sail. Common practice, no source.
LARGEST_SAILING_HEEL = math.radians(30.0)

# Lift grows with the angle up to about this one; beyond it the leeway reported is too small. Common practice, no source.
LINEAR_LIFT = math.radians(8.0)

# Difference between the surface through a table and Simpson's rules above which the table is too coarse. Our judgement.
TABLE_AND_SURFACE = 0.005


def check_standing(plan: Plan, boat: BoatJob, standing: Standing, shown: Shown) -> tuple[Finding, ...]:
    """List all findings on stability and sailing.

    Args:
        plan: The plan, with [boat].
        boat: The boat with her bulb.
        standing: Results on stability and sailing.
        shown: The builder's units.
    """
    found = [*check_curve(standing, plan.rig is not None, shown)]
    if standing.sailing is not None:
        found += _heel(standing.sailing, shown)
        found += _leeway(standing.sailing, standing.deeper_tip, shown)
    if plan.rudder is not None:
        counted = plan.rudder.mass is not None or plan.rudder.density is not None
        found += _rudder(boat.start.weigh_in, counted, shown)
    return tuple(found)


def check_curve(standing: Standing, rigged: bool, shown: Shown) -> Iterator[Finding]:
    """Findings on whether righting arms are known, and on the heel up to which they are positive.

    Args:
        standing: Results on stability and sailing.
        rigged: Whether the plan has a rig, which needs righting arms. [-]
        shown: The builder's units.
    """
    missing, over = standing.curve_missing, standing.surface_over_table
    if missing and (rigged or missing != NO_SURFACE):
        message, _, remedy = missing.partition(". ")
        yield RIGHTING_ARMS_NOT_TOLD(
            "boat",
            f"{message.rstrip('.')}.",
            remedy,
            # The boat's shape is known but she does not float.
            severity=Severity.NOTE if missing in (NO_SURFACE, NO_PLACES) else Severity.CAUTION,
        )
    vanishing = None if standing.curve is None else standing.curve.vanishing
    if vanishing is not None and vanishing < SMALLEST_VANISHING:
        yield VANISHES_EARLY(
            "boat",
            f"The righting arms vanish at {math.degrees(vanishing):.0f} degrees, so a boat laid flat will not come "
            "back up.",
            "Hang the bulb deeper, make it heavier, or remove weight from high up.",
            found=vanishing,
            limit=SMALLEST_VANISHING,
            unit="rad",
        )
    if over is not None and abs(over) > TABLE_AND_SURFACE:
        yield TABLE_AND_SURFACE_DIFFER(
            "boat.offsets",
            "The righting arms are calculated from a surface drawn through the table. At the design waterline it "
            f"displaces {shown.percent(abs(over))} {'more' if over > 0.0 else 'less'} than Simpson's rules give. The "
            "ballast target is based on Simpson's rules.",
            "Give more stations where the hull curves most, or give the hull as a surface.",
            found=over,
            limit=TABLE_AND_SURFACE,
        )


def _heel(sailing: Sailing, shown: Shown) -> Iterator[Finding]:
    """List findings on the heel in the wind given in the plan."""
    heel, wind = sailing.heel, sailing.wind
    if not sailing.wind_given or (heel is not None and heel <= LARGEST_SAILING_HEEL):
        return
    # Slightly less than the exact area, so that it still works when rounded to three digits.
    reefed = 0.99 * sailing.rig.area * (sailing.winds[1].wind / wind) ** 2
    limit = math.degrees(LARGEST_SAILING_HEEL)
    remedy = (
        f"Carry {shown.workshop.area(reefed)} of sail in this wind for {limit:.0f} degrees of heel, or use a deeper fin or "
        'a heavier bulb: see "Deeper or heavier".'
    )
    message = f"A steady wind of {shown.speed(wind)} "
    if heel is None:
        rule = BLOWN_FLAT
        message += "with these sails lays the boat flat. She has no steady heel below 90 degrees."
    else:
        rule = HEELS_FAR
        message += (
            f"heels the boat {math.degrees(heel):.0f} degrees. Beyond {limit:.0f} degrees she is slow and hard to steer "
            "(common practice)."
        )
    yield rule("rig", message, remedy, found=heel, limit=LARGEST_SAILING_HEEL, unit="rad")


def _leeway(sailing: Sailing, deeper_tip: float | None, shown: Shown) -> Iterator[Finding]:
    """Yield a finding if leeway exceeds the limit."""
    leeway, fin, limit = sailing.governing.leeway, sailing.governing.fin, sailing.limit
    if leeway is None or fin is None or leeway <= limit:
        return
    ways = []
    if deeper_tip is not None:
        ways.append(f"move the fin's tip to z = {shown.length(deeper_tip)}, with all else unchanged")
    if fin.same_span_area is not None:
        ways.append(f"give the fin an area of about {shown.area(fin.same_span_area)} at the same depth")
    said = joined([*ways, "sail in less wind or with less sail"], "or")
    beyond = (
        " That is also beyond the straight part of the lift curve, so the true leeway is even larger."
        if leeway > LINEAR_LIFT
        else ""
    )
    yield LEEWAY_BEYOND_LIMIT(
        "fin",
        f"At hull speed in a wind of {shown.speed(sailing.wind)} the boat makes {math.degrees(leeway):.1f} degrees of "
        f"leeway; the limit is {math.degrees(limit):.1f}.{beyond}",
        f"{said[0].upper()}{said[1:]}.",
        found=leeway,
        limit=limit,
        unit="rad",
    )


def _rudder(summed: WeighIn, counted: bool, shown: Shown) -> Iterator[Finding]:
    """Findings on a rudder whose mass is not counted exactly once. `counted` means that the plan gives its mass or
    density."""
    own = [line for line in summed.weights if line.name.strip().casefold() == "rudder"]
    if not counted and not any("rudder" in line.name.casefold() for line in summed.weights):
        yield RUDDER_MASS_NOT_GIVEN(
            "rudder",
            "The rudder's mass is not given: there is no rudder.mass or rudder.density, and no line of the weight list "
            "names it.",
            "Give one of these, or add a line to [[weights]].",
        )
    if counted and len(own) > 1:
        yield RUDDER_COUNTED_TWICE(
            "weights",
            f"A line of the weight list is called {own[0].name}, and [rudder] also gives the blade's mass. Both are "
            f"counted: {shown.mass(own[0].mass)} and {shown.mass(own[-1].mass)}.",
            "Remove the line, or remove mass or density from [rudder].",
            found=own[0].mass,
            unit="kg",
        )
