"""The findings of a float test: on the test, and the boat's own stops."""

from __future__ import annotations

from bulbcast.afloat.rules import check_float_test
from bulbcast.afloat.work import FloatResult
from bulbcast.findings import Finding, Severity, sorted_by_severity
from bulbcast.sailing.results import SailingResults


def float_findings(job: SailingResults, result: FloatResult) -> tuple[Finding, ...]:
    """All that the checks say of a float test; of the plan's findings on the boat the stops only.

    Args:
        job: Of the plan.
        result: The test.
    """
    stops = tuple(one for one in job.findings if one.severity is Severity.STOP and one.subject == "boat")
    return sorted_by_severity(
        stops
        + check_float_test(
            result.found,
            reading_spread=result.reading_spread,
            waterline=result.flotation.length,
            displacement=result.flotation.mass,
            weigh_in=result.weigh_in,
            weighed=result.asked.weighed,
            hull_differs=result.hull_differs,
            holes=None if result.within_reading else result.holes,
            shown=job.shown,
        )
    )
