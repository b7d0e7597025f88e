"""Makes the plan.json object of a Job. Values are in SI units, with the unit at the end of each name."""

from __future__ import annotations

from collections.abc import Sequence

from bulbcast import __version__
from bulbcast.job import Job
from bulbcast.report.chapter import joined_data
from bulbcast.report.values import (
    SCHEMA_NAME,
    SCHEMA_NUMBER,
    FileRecord,
    Json,
    finding_object,
    inputs_object,
    point,
)


def plan_object(job: Job, files: Sequence[FileRecord] = ()) -> Json:
    """Return the complete result as one JSON object.

    Args:
        job: The results.
        files: Files written in addition to plan.json, in order.

    Returns:
        A tree of dicts, lists, strings, numbers and None, without nan or infinity.
    """
    from bulbcast.job.chapters import chapters

    return {
        "name": job.plan.name,
        "water": {"kind": job.plan.water.kind, "density_kg_m3": job.plan.water.density},
        **joined_data(list(chapters(job, figures_alone=True))),
        "defaults": [
            {"key": taken.key, "value": taken.value, "source": taken.source} for taken in job.defaults_shown
        ],
        "findings": [
            finding_object(finding, withheld=job.figures_withheld(finding)) for finding in job.findings
        ],
        "files": [_file(record) for record in files],
        "meta": {
            "format": SCHEMA_NAME,
            "schema": SCHEMA_NUMBER,
            "version": __version__,
            "plan_sha256": job.plan.sha256,
            "inputs": inputs_object(job),
            **(
                {}
                if job.drying is None or job.drying.log is None
                else {"drying_log_sha256": job.drying.log.sha256}
            ),
        },
    }


def _file(record: FileRecord) -> Json:
    listed: Json = {"path": record.path, "kind": record.kind, "sha256": record.sha256}
    if record.volume is not None and record.mass_centre is not None:
        listed["volume_m3"] = record.volume
        listed["mass_centre_m"] = point(*record.mass_centre)
    return listed
