"""The list of holes that take a heavy casting to its target, for the sheets."""

from __future__ import annotations

import math

from bulbcast.confidence.chapter import BEGINS, WEIGH_BETWEEN
from bulbcast.confidence.plugs import lead_plugs
from bulbcast.pattern_shop.results import ShopResults
from bulbcast.pattern_shop.templates.turning import TurningTable, heads_of_both, in_both


def excess_list(job: ShopResults) -> TurningTable | None:
    """Holes from the nose, with their depths; None where nothing is drilled off.

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
        heads=("", *heads_of_both("from nose", "drill", "depth"), "takes off"),
        rows=tuple(rows),
        notes=(
            f"For a casting as heavy as the mean, {job.shown.mass(schedule.taken)} over its target. Weigh yours first: "
            "bulbcast weigh gives its own list. " + WEIGH_BETWEEN,
            "On the centreplane, square to the axis, from the underside or down from the pocket's floor; depth of the "
            "full diameter, from the surface at the hole's middle. Fill flush with filler.",
            *_plug_notes(job),
            "Slow, with wax or soap on the drill; clear it every few turns, since lead packs and grabs (common practice, "
            "no source). Keep the turnings: they are lead.",
        ),
    )


def _plug_notes(job: ShopResults) -> tuple[str, ...]:
    """What lead plugs in place of filler put on, should the casting come out light."""
    shown, wish = job.shown, job.wish
    plugs = lead_plugs(job.bulb, math.inf, wish.cast_density, wish.filler_density)
    if not plugs:
        return ()
    listed = "; ".join(
        f"screw {one.screw}, {shown.length(one.x)} from the nose: {shown.length(one.diameter)} across, "
        f"{shown.length(one.length)} long, {shown.mass(one.mass)}"
        for one in plugs
    )
    return (f"Should it come out light: lead plugs over the screws in place of filler put on, {listed}.",)
