"""Days and times as a builder types them, in ISO 8601, local time, and within a plausible range of years."""

from __future__ import annotations

from datetime import date, datetime

YEARS = range(1970, 2200)
"""First and last year allowed for a reading; a year outside them is a slip."""
_WITHIN = f"from {YEARS[0]} to {YEARS[-1]}"
A_MOMENT = f"a day and a time such as 2026-06-01T10:00, {_WITHIN}"
A_DAY = f"a date or a time as in 2026-05-03 or 2026-05-03 14:30, {_WITHIN}"
_DAY_ALONE = len("2026-05-03")


def moment_of(text: str) -> datetime | None:
    """Read a day with its time; None if the text is not one, has no time of day, or has a year outside the range.

    Args:
        text: Text as typed. [-]
    """
    found = day_of(text) if len(text) > _DAY_ALONE else None
    return found if isinstance(found, datetime) else None


def day_of(text: str) -> date | None:
    """Read a day, with its time if that is typed; None if the text is neither or has a year outside the range.

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
