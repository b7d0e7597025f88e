"""Elements of plan.json: figures, points, findings, files, and the marks of the format."""

from __future__ import annotations

import json
import math
import re

from bulbcast.findings import Finding
from bulbcast.quantities.frozen import frozen, replace
from bulbcast.report.results import Results

# Format mark of plan.json, which distinguishes bundles from other directories.
SCHEMA_NAME = "bulbcast plan"
SCHEMA_NUMBER = 1

Json = dict[str, object]
_UNIT = re.compile(r"_(kg(_m3|_s)?|m_s|n_m|rad|pa|m[235]?|[cns])$")
"""Unit suffixes of names in plan.json."""


@frozen
class FileRecord:
    """One file of a bundle as listed in plan.json.

    Attributes:
        path: Path inside the bundle.
        kind: "report", "bulb solid", "pattern solid", "pattern piece", "offsets", "templates", "turning table" and so
            on; with ", 3MF" added for the 3MF copy of an STL file.
        sha256: SHA-256 of its bytes.
        volume: Volume of a solid, as read back; None for other files. [m3]
        mass_centre: Mass centre of a solid, as read back, bulb axes; None for other files. [m]
    """

    path: str
    kind: str
    sha256: str
    volume: float | None = None
    mass_centre: tuple[float, float, float] | None = None


def json_text(value: object) -> str:
    """An object as JSON text, with the same bytes for the same object and without nan."""
    return json.dumps(value, ensure_ascii=False, allow_nan=False, indent=1) + "\n"


def finding_object(finding: Finding, *, withheld: bool = False) -> Json:
    """One finding as JSON; figures that are not numbers are null.

    Args:
        finding: Finding of a job or of a float test.
        withheld: Whether its figures are withheld; then the message is brief and the figures are null.
    """
    if withheld:
        finding = replace(
            finding,
            found=None,
            limit=None,
            message=finding.brief,
            remedy="First clear the finding that withholds its figures.",
            keys=finding.keys if finding.keys == (finding.where,) else (),
            fix=(),
        )
    return {
        "severity": finding.severity.value,
        "code": finding.code,
        "where": finding.where,
        "found": number(finding.found),
        "limit": number(finding.limit),
        "unit": finding.unit,
        "message": finding.message,
        "remedy": finding.remedy,
        "withholds": [step.value for step in finding.withholds],
        "keys": list(finding.keys),
        "fix": [line._asdict() for line in finding.fix],
    }


def inputs_object(job: Results) -> list[Json]:
    """Files other than the plan that a job's figures come from, as JSON."""
    return [{"key": one.key, "path": one.path, "sha256": one.sha256} for one in job.inputs]


def values_of(one: object, *names: str) -> Json:
    """Values of an object by their names in plan.json, which are field names followed by the unit, if any.

    Args:
        one: The object.
        names: In plan.json.

    Raises:
        AttributeError: The object has no such value.
    """
    return {name: getattr(one, name if hasattr(type(one), name) else _UNIT.sub("", name)) for name in names}


def number(value: float | None) -> float | None:
    """A figure for JSON; None if it is None or not a finite number."""
    return value if value is not None and math.isfinite(value) else None


def point(x: float, y: float, z: float) -> Json:
    """A point as JSON. [m]"""
    # Adding zero turns a minus zero into a plain one.
    return {"x": x + 0.0, "y": y + 0.0, "z": z + 0.0}
