"""Depth of fin needed to keep leeway within the limit. The boat is solved again at each step, because a deeper fin also
changes her stability."""

from __future__ import annotations

from dataclasses import replace

from bulbcast.ballast.lying import whole_centre
from bulbcast.ballast.start import boat_start
from bulbcast.ballast.work import BoatJob, boat_job
from bulbcast.bulb.hung.solve import NoSolutionError
from bulbcast.hull.floating import FloatingError
from bulbcast.hull.mesh import HullMesh
from bulbcast.plan.faults import PlanError
from bulbcast.plan.sections import Plan
from bulbcast.quantities.checked import BoatFigureError
from bulbcast.sailing.righting_work import BRIEF_HEELS, righting_arms
from bulbcast.sailing.sailing_work import Sailing, sailing_of

_MOST_STEPS = 8
# The depth must work when typed to a tenth of a millimetre, so the search aims slightly inside the limit.
_INSIDE = 0.998
_CLOSE = 2e-5


def tip_for_leeway(plan: Plan, boat: BoatJob, sailing: Sailing, surface: HullMesh | None) -> float | None:
    """Find the height of the fin's tip that keeps leeway within the limit in the given wind, with everything else as
    typed.

    Args:
        plan: The plan, with its rig.
        boat: The boat as planned.
        sailing: The boat under sail as planned, beyond the limit.
        surface: Surface of the hull; None if its shape is not known.

    Returns:
        The height of the tip [m]; None if the exposed fin would need more than three times its span, or if no
        solution is found for the boat with a deeper fin.
    """
    tip, step = plan.fin.tip_z, sailing
    deepest = plan.fin.tip_z - 2.0 * sailing.free_fin.span
    try:
        for _ in range(_MOST_STEPS):
            fin = step.governing.fin
            if fin is None or step.heel is None:
                return None
            # Extra depth that the present fin needs for its present side force.
            wanted = tip - (fin.same_chord_span - step.free_fin.span)
            if wanted < deepest:
                return None
            done = abs(wanted - tip) < _CLOSE
            tip = wanted
            if done:
                return tip
            # Nothing else changes, because the builder types only this figure.
            deeper = replace(plan, fin=replace(plan.fin, tip_z=tip))
            step = _sailed(deeper, boat, sailing, surface)
    except (BoatFigureError, FloatingError, NoSolutionError, PlanError):
        return None
    return None


def _sailed(plan: Plan, boat: BoatJob, sailing: Sailing, surface: HullMesh | None) -> Sailing:
    wish = boat.hung.wish
    start = boat_start(plan, boat.start.hull, lead_density=wish.cast_density)
    deeper = boat_job(plan, start, replace(wish, fin=replace(wish.fin, tip_z=plan.fin.tip_z)))
    curve, gm = None, deeper.gm
    if surface is not None and sailing.by_curve:
        curve, _ = righting_arms(
            plan,
            surface,
            deeper.hung.bulb,
            mass=deeper.total_mass,
            mass_centre=whole_centre(deeper.mass_centre),
            heels=BRIEF_HEELS,
        )
        gm = curve.gm
    if plan.rig is None or gm is None or gm <= 0.0:
        raise BoatFigureError("The boat does not float upright with that fin.")
    # Uses the same wind, with a limit slightly inside the one set.
    section = replace(plan.rig, wind=sailing.wind, leeway_limit=_INSIDE * plan.rig.leeway_limit)
    return sailing_of(plan, section, deeper, curve, gm)
