"""Finding and plan fault for standard deviations that are too large to be useful."""

from __future__ import annotations

import math
from statistics import NormalDist

from bulbcast.ballast.results import BallastResults
from bulbcast.confidence.work import LARGEST_BAND, Confidence, TooWideError
from bulbcast.findings import Finding, Rule, Severity, typed
from bulbcast.plan.faults import Fault
from bulbcast.plan.keys import KEYS
from bulbcast.plan.sections import Plan
from bulbcast.quantities import Shown

BAND_TOO_WIDE = Rule(
    "band-too-wide",
    Severity.CAUTION,
    why="If the mass of a casting cannot be predicted, you cannot set an aim for it or plan the drilling.",
)
NO_ROOM_TO_DRILL = Rule(
    "no-room-to-drill",
    Severity.CAUTION,
    why="If drilling cannot remove enough lead, the casting remains too heavy or must be filed all over.",
)
_DO = "Measure this input more precisely, or check that its unit is the one you mean."


def check_band(error: TooWideError, shown: Shown) -> Finding:
    """Return the finding that the band is too wide for an aim to be reported.

    Args:
        error: Cause of the wide band.
        shown: The builder's units.
    """
    return BAND_TOO_WIDE(
        _key(error),
        f"The casting's mass is uncertain by {shown.percent(error.share)}. The main cause is this input: "
        f"{error.widest.name}. Above {shown.percent(LARGEST_BAND)} (our judgement) no aim is reported.",
        _DO,
        found=error.share,
        limit=LARGEST_BAND,
    )


def band_fault(plan: Plan, error: TooWideError, shown: Shown) -> Fault:
    """Return the fault for a plan that sets an aim when the band is too wide for one.

    Args:
        plan: The plan, with [confidence].
        error: Cause of the wide band.
        shown: The builder's units.
    """
    return Fault(
        file=plan.source,
        key=_key(error),
        read=f"standard deviations that make the casting's mass uncertain by {shown.percent(error.share)}",
        expected=f"at most {shown.percent(LARGEST_BAND)}",
        remedy=f"The main cause is this input: {error.widest.name}. {_DO}",
    )


def _key(error: TooWideError) -> str:
    key = error.widest.key
    return key if key in KEYS else "confidence"


def check_room(job: BallastResults, found: Confidence, shown: Shown) -> tuple[Finding, ...]:
    """Check that there is room to drill out as much lead as may be necessary.

    Args:
        job: The bulb on the fin.
        found: The results, including the drilling.
        shown: The builder's units.
    """
    if found.no_room <= 1e-4 * found.target:
        return ()
    room = found.drill_most - found.no_room
    better = (
        f"; this helps most: {found.narrowing[0].name}"
        if found.narrowing
        else ": weigh and measure the metal and the pattern"
    )
    # All of it fits if the band reaches no further than half the room to both sides; a little less is used, to be safe.
    fits = math.floor(100.0 * NormalDist().cdf(0.48 * room / found.mass_sd))
    aim = f"Or aim lower, with {typed('confidence.probability', f'{fits} %')}. " if fits >= 50 else ""
    thin = found.no_room / (job.wish.cast_density * job.bulb.surface.area)
    return (
        NO_ROOM_TO_DRILL(
            "confidence",
            f"Up to {shown.mass(found.drill_most)} may have to be drilled out. Clear of screws and walls, only "
            f"{shown.mass(room)} can be drilled from the underside and the pocket floor.",
            f"Reduce the uncertainty before you cast{better}. {aim}Otherwise, be prepared to file the rest off the "
            f"whole surface: at most {shown.length(thin)}.",
            found=found.drill_most,
            limit=room,
            unit="kg",
        ),
    )
