"""What goes into the pot, as a bar."""

from __future__ import annotations

from bulbcast.bulb.views.charts import stacked_bar
from bulbcast.drawing.shapes import (
    View,
)
from bulbcast.foundry.results import FoundryResults


def pot_bar(job: FoundryResults) -> View:
    """What makes up the charge.

    Args:
        job: The results.
    """
    melt = job.melt
    parts = [
        ("casting", melt.cast_mass),
        ("feeder", melt.feeder),
        ("reserve", melt.reserve),
        ("heel of the pot", melt.heel),
        ("dross", melt.dross),
    ]
    return stacked_bar("pot", "What the charge is made of", parts, job.shown)
