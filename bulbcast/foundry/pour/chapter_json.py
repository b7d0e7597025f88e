"""What `bulbcast pour` says as one JSON object: SI, the unit at the end of each name."""

from __future__ import annotations

from datetime import datetime

from bulbcast import __version__
from bulbcast.foundry.melt.chapter_json import pour_figures
from bulbcast.foundry.results import FoundryResults
from bulbcast.report.values import Json, finding_object


def pour_object(job: FoundryResults, moment: datetime) -> Json:
    """The pour at a moment: what withholds it, or the card's figures.

    Args:
        job: Judged at that moment.
        moment: At which it was judged.
    """
    withheld, melting = job.pour_withheld, job.melting
    drying = job.drying
    until = None if drying is None or drying.holds_until is None else drying.holds_until
    card: Json | None = None
    if not withheld and melting is not None:
        gating = melting.gating
        pieces = 1 if gating is None else gating.cavity.pours
        card = {
            **pour_figures(melting),
            "not_after": None if until is None else until.isoformat(timespec="minutes"),
            "pieces": pieces,
            "poured_a_piece_kg": job.melt.poured / pieces,
            "fill_time_s": None if gating is None else gating.fill_time,
            "longest_pause_s": None if gating is None else gating.pause,
            "leave_alone_s": None if gating is None else gating.leave_alone,
        }
    return {
        "name": job.plan.name,
        "judged_at": moment.isoformat(timespec="minutes"),
        "withheld": [finding_object(finding, withheld=job.figures_withheld(finding)) for finding in withheld],
        "card": card,
        "meta": {"format": "bulbcast pour", "version": __version__, "plan_sha256": job.plan.sha256},
    }
