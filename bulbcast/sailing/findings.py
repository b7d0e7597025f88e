"""What the checks say of how the boat stands up."""

from __future__ import annotations

from bulbcast.ballast.work import BoatJob
from bulbcast.findings import Finding
from bulbcast.plan.sections import Plan
from bulbcast.quantities import Shown
from bulbcast.sailing.rules import check_curve, check_heel, check_leeway, check_rudder
from bulbcast.sailing.sailing_work import governing_leeway
from bulbcast.sailing.work import NO_SURFACE, Standing


def standing_findings(plan: Plan, boat: BoatJob, standing: Standing, shown: Shown) -> tuple[Finding, ...]:
    """All that the checks say of how she stands up.

    Args:
        plan: With [boat].
        boat: With her bulb.
        standing: How she stands up.
        shown: The builder's units.
    """
    curve, sailing = standing.curve, standing.sailing
    found = check_curve(
        missing=standing.curve_missing,
        wanted=plan.rig is not None or standing.curve_missing != NO_SURFACE,
        afloat=standing.curve_missing in ("", NO_SURFACE),
        vanishing=None if curve is None else curve.vanishing,
        surface_over_table=standing.surface_over_table,
        shown=shown,
    )
    if sailing is not None:
        leeway = governing_leeway(sailing)
        found += check_heel(
            wind=sailing.wind,
            heel=sailing.heel,
            given=sailing.wind_given,
            area=sailing.rig.area,
            wind_for_limit=sailing.winds[1].wind,
            shown=shown,
        )
        found += check_leeway(
            wind=sailing.wind,
            leeway=leeway.leeway,
            limit=sailing.limit,
            fin=leeway.fin,
            tip_z=standing.deeper_tip,
            shown=shown,
        )
    if plan.rudder is not None:
        counted = plan.rudder.mass is not None or plan.rudder.density is not None
        found += check_rudder(boat.start.weigh_in, counted=counted, shown=shown)
    return found
