"""One float test as it stands on record."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class RecordedTest:
    """A test on record, as far as it is told again.

    Attributes:
        when: As recorded.
        mass: Too much; too little is negative; None where the record does not say. [kg]
        trim: By the stern; by the bow is negative; None likewise. [m]
        plan_sha256: Of the plan that it was held against.
    """

    when: str
    mass: float | None
    trim: float | None
    plan_sha256: str
