"""Elements of plan.json: figures, points, findings, files, and the name and number of the format."""

from __future__ import annotations

import json
import math
import re

from bulbcast.findings import Finding
from bulbcast.quantities.frozen import frozen, replace
from bulbcast.report.results import Results

# Format mark of plan.json, by which a bundle is distinguished from other directories.
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
            on; ", 3MF" is added for the 3MF copy of an STL file.
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
    """Return an object as JSON text: always the same bytes for the same object, and never nan."""
    return json.dumps(value, ensure_ascii=False, allow_nan=False, indent=1) + "\n"


def finding_object(finding: Finding, *, withheld: bool = False) -> Json:
    """Return one finding as JSON; figures that are not finite numbers are null.

    Args:
        finding: Finding on a job or on a float test.
        withheld: Whether its figures are withheld; then the message is brief and the figures are null.
    """
    if withheld:
        finding = replace(
            finding,
            found=None,
            limit=None,
            message=finding.brief,
            remedy="Some figures are withheld. First clear the finding that withholds them.",
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
    """Return, as JSON, the files other than the plan that a job's figures come from."""
    return [{"key": one.key, "path": one.path, "sha256": one.sha256} for one in job.inputs]


def values_of(one: object, *names: str) -> Json:
    """Return values of an object, keyed by their names in plan.json, which are field names followed by the unit, if any.

    Args:
        one: The object.
        names: Names in plan.json.

    Raises:
        AttributeError: The object has no such value.
    """
    return {name: getattr(one, name if hasattr(type(one), name) else _UNIT.sub("", name)) for name in names}


def number(value: float | None) -> float | None:
    """Return a figure for JSON; None if it is None or not a finite number."""
    return value if value is not None and math.isfinite(value) else None


def point(x: float, y: float, z: float) -> Json:
    """Return a point as JSON. [m]"""
    # Adding zero turns a minus zero into a plain one.
    return {"x": x + 0.0, "y": y + 0.0, "z": z + 0.0}
