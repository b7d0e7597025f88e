"""Dates and times as a builder types them: in ISO 8601, in local time, within a plausible range of years."""

from __future__ import annotations

from datetime import date, datetime

YEARS = range(1970, 2200)
"""First and last year allowed for a reading; any other year is taken as a typing error."""
_WITHIN = f"from {YEARS[0]} to {YEARS[-1]}"
A_MOMENT = f"a date and a time such as 2026-06-01T10:00, {_WITHIN}"
A_DAY = f"a date, with or without a time, such as 2026-05-03 or 2026-05-03 14:30, {_WITHIN}"
_DAY_ALONE = len("2026-05-03")


def moment_of(text: str) -> datetime | None:
    """Read a date and time; None if the text is not a date, has no time of day, or has a year outside the range.

    Args:
        text: Text as typed. [-]
    """
    found = day_of(text) if len(text) > _DAY_ALONE else None
    return found if isinstance(found, datetime) else None


def day_of(text: str) -> date | None:
    """Read a date, and the time if one is typed; None if the text is not a date or its year is outside the range.

    Args:
        text: Text as typed. [-]
    """
    plain = text.strip()
    read = date.fromisoformat if len(plain) <= _DAY_ALONE else datetime.fromisoformat
    try:
        found = read(plain)
    except ValueError:
        return None
    return found if found.year in YEARS else None
