"""Stability and sailing of a plan's boat: righting arms, heel under wind, leeway, the boat at another size, and a
deeper or heavier bulb.

hull + fin + rudder + bulb -> one surface -> righting arms -> heel and leeway in a wind -> the same for other bulbs
"""

from __future__ import annotations

from bulbcast.ballast.work import BoatJob
from bulbcast.hull.floating import FloatingError
from bulbcast.hull.hydrostatics import hydrostatics
from bulbcast.plan.sections import Plan
from bulbcast.quantities.checked import BoatFigureError
from bulbcast.quantities.frozen import frozen
from bulbcast.sailing.deeper import tip_for_leeway
from bulbcast.sailing.righting import STANDARD_HEELS, RightingArmCurve
from bulbcast.sailing.righting_work import BRIEF_HEELS, righting_arms
from bulbcast.sailing.sailing_work import Sailing, sailing_of
from bulbcast.sailing.trade import Trade, trade_of

NO_PLACES = "Righting arms need the x and z of every weight."
NO_SURFACE = (
    "A hull given only by figures has a GM, but righting arms at large angles need its shape. Give the hull as a "
    "surface or as a table of offsets."
)


@frozen
class Standing:
    """Results on stability and sailing.

    Attributes:
        curve: Righting arms from 0 to 180 degrees at free sinkage and trim; None if the hull's shape is not known.
        curve_missing: Reason why there is no curve; empty if there is one.
        side: Side to which the boat is heeled: the side to which she leans unaided, or starboard if she does not lean.
        sailing: Results under sail; None if the plan gives no rig, or nothing keeps the boat upright.
        sailing_missing: Reason why there are no results under sail; empty if there are some.
        trade: Results for other bulbs and fins; None without `sailing`, or if they would take too long to calculate.
        deeper_tip: Height of the tip at which the fin would keep within the leeway limit; None if the present fin does so
            already, or if no fin can. [m]
        surface_over_table: Difference in volume at the design waterline between the surface through a table of offsets
            and Simpson's rules, as a fraction; positive if the surface gives the larger volume, None if the hull is not
            a table. [-]
    """

    curve: RightingArmCurve | None
    curve_missing: str = ""
    side: str = "starboard"
    sailing: Sailing | None = None
    sailing_missing: str = ""
    trade: Trade | None = None
    deeper_tip: float | None = None
    surface_over_table: float | None = None


def standing_of(plan: Plan, boat: BoatJob, *, briefly: bool = False) -> Standing:
    """Calculate righting arms, and heel and leeway under the plan's rig.

    Args:
        plan: The plan, with [boat].
        boat: The boat with her bulb.
        briefly: Whether to stop at 60 degrees and skip other bulbs, as for a study. [-]
    """
    curve, missing, side, over = None, NO_SURFACE, "starboard", None
    hull = boat.start.hull.surface()
    x, y, z = boat.mass_centre
    if x is None or z is None:
        missing = NO_PLACES
        hull = None
    if hull is not None and x is not None and z is not None:
        try:
            curve, side = righting_arms(
                plan,
                hull,
                boat.hung.bulb,
                mass=boat.total_mass,
                mass_centre=(x, y, z),
                heels=BRIEF_HEELS if briefly else STANDARD_HEELS,
            )
            missing = ""
        except FloatingError as error:
            missing = str(error)
        if boat.start.hull.offsets is not None:
            over = hydrostatics(hull).volume / boat.start.hull.line.volume - 1.0
    sailing, no_sail = None, ""
    gm = boat.gm if curve is None else curve.gm
    if plan.rig is not None:
        if hull is not None and curve is None:
            # The boat's shape is known but she does not float, which GM at the design waterline does not show.
            no_sail = missing
        elif gm is None:
            no_sail = "The heel in a wind is not known, because neither the righting arms nor GM is known."
        elif gm <= 0.0:
            no_sail = "The boat does not float upright, even without wind."
        else:
            try:
                sailing = sailing_of(plan, plan.rig, boat, curve, gm)
            except BoatFigureError as error:
                no_sail = str(error)
    trade = deeper = None
    if sailing is not None and not briefly:
        leeway = sailing.governing.leeway
        if leeway is not None and leeway > sailing.limit:
            deeper = tip_for_leeway(plan, boat, sailing, hull)
        trade = trade_of(plan, boat, sailing, hull, curve)
    return Standing(
        curve=curve,
        curve_missing=missing,
        side=side,
        sailing=sailing,
        sailing_missing=no_sail,
        trade=trade,
        deeper_tip=deeper,
        surface_over_table=over,
    )
