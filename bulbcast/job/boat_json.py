"""The boat with her bulb, and how she stands up, as plan.json and `bulbcast ballast` have them."""

from __future__ import annotations

from typing import TYPE_CHECKING

from bulbcast import __version__
from bulbcast.report.values import Json, finding_object, inputs_object
from bulbcast.sailing.chapter_json import standing_object
from bulbcast.sailing.results import SailingResults

if TYPE_CHECKING:
    pass
from bulbcast.ballast.chapter_json import boat_object


def boat_part(job: SailingResults) -> Json:
    """The boat's whole part of a result: the boat with her bulb, and how she stands up.

    Args:
        job: With a boat.

    Raises:
        ValueError: The job has no boat.
    """
    if job.boat is None:
        raise ValueError("the plan gives no boat")
    return {
        **boat_object(job.boat, job.plan.water.density),
        "metacentric_height_m": job.gm,
        **standing_object(job.standing),
    }


def ballast_object(job: SailingResults) -> Json:
    """What `bulbcast ballast` says as one JSON object.

    Args:
        job: With a boat.

    Raises:
        ValueError: The job has no boat.
    """
    if job.boat is None:
        raise ValueError("the plan gives no boat")

    return {
        "name": job.plan.name,
        "boat": boat_part(job),
        "findings": [finding_object(finding) for finding in job.findings if finding.subject == "boat"],
        "meta": {
            "format": "bulbcast ballast",
            "version": __version__,
            "plan_sha256": job.plan.sha256,
            "inputs": inputs_object(job),
        },
    }
