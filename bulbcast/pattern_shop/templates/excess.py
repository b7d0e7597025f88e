"""List of holes that bring an overweight casting down to its target mass, for the printed sheets."""

from __future__ import annotations

import math

from bulbcast.confidence.chapter import BEGINS, WEIGH_BETWEEN
from bulbcast.confidence.plugs import lead_plugs
from bulbcast.pattern_shop.results import ShopResults
from bulbcast.pattern_shop.templates.turning import TurningTable, heads_of_both, in_both


def excess_list(job: ShopResults) -> TurningTable | None:
    """Table of holes in order from the nose, with their depths; None if there is nothing to drill out.

    Args:
        job: The results.
    """
    found = job.confidence
    if found is None or found.schedule is None or not found.schedule.holes:
        return None
    schedule = found.schedule
    rows = [
        (
            f"{number} {BEGINS[one.floor]}",
            *in_both((one.x, one.diameter, one.depth)),
            job.shown.mass(schedule.mass(one)),
        )
        for number, one in enumerate(schedule.holes, start=1)
    ]
    return TurningTable(
        title="Drilling to the target",
        heads=("", *heads_of_both("from nose", "drill", "depth"), "removes"),
        rows=tuple(rows),
        notes=(
            f"This list is for a casting of average mass, {job.shown.mass(schedule.taken)} over target. Weigh your "
            "casting first: bulbcast weigh gives the list for it. " + WEIGH_BETWEEN,
            "Drill on the centreplane, at right angles to the axis, from the underside or down from the pocket floor. "
            "The depth is that of the full diameter, measured from the surface at the hole's centre. Fill flush with "
            "filler.",
            *_plug_notes(job),
            "Drill slowly, with wax or soap on the drill, and clear it every few turns: lead packs and grabs (common "
            "practice). Keep the turnings: they are lead.",
        ),
    )


def _plug_notes(job: ShopResults) -> tuple[str, ...]:
    """Sentence on the mass that lead plugs add in place of filler, if the casting comes out too light."""
    shown, wish = job.shown, job.wish
    plugs = lead_plugs(job.bulb, math.inf, wish.cast_density, wish.filler_density)
    if not plugs:
        return ()
    listed = "; ".join(
        f"screw {one.screw}, {shown.length(one.x)} from the nose, takes a plug {shown.length(one.diameter)} across and "
        f"{shown.length(one.length)} long, which adds {shown.mass(one.mass)}"
        for one in plugs
    )
    return (f"If the casting comes out light, fit lead plugs over the screws in place of filler: {listed}.",)
