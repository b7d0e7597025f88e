"""Files of a comparison, compare.csv and compare.svg, with the checksums that show that this program wrote them.

A comparison has no plan.json, so the last line of compare.svg contains the checksums of both files.
"""

from __future__ import annotations

import hashlib
import re
from pathlib import Path

from bulbcast.disk.bounded import UnreadFileError, bounded_bytes

CSV, SVG = "compare.csv", "compare.svg"

# The chart's last line is an XML comment. A table has no room for a checksum that every spreadsheet would keep.
_SUMS = re.compile(
    rb"<!-- sha256 of compare\.csv: ([0-9a-f]{64}); of the lines above: ([0-9a-f]{64}) -->\n\Z"
)
_LARGEST = 50_000_000


def comparison_files(csv: str, svg: str) -> tuple[tuple[str, bytes], ...]:
    """Names and contents of a comparison's files; the chart records the checksums of both files.

    Args:
        csv: The table.
        svg: The chart.
    """
    table, chart = csv.encode("utf-8"), svg.encode("utf-8")
    chart = chart if chart.endswith(b"\n") else chart + b"\n"
    sums = f"<!-- sha256 of {CSV}: {_sum(table)}; of the lines above: {_sum(chart)} -->\n"
    return ((CSV, table), (SVG, chart + sums.encode("ascii")))


def comparison_record(directory: Path) -> dict[str, str | None] | None:
    """Return the files of an earlier comparison with their checksums, or None if the directory contains none.

    Args:
        directory: The directory to examine.
    """
    try:
        content = bounded_bytes(directory / SVG, largest=_LARGEST)
    except UnreadFileError:
        return None
    sums = _SUMS.search(content)
    if sums is None:
        return None
    table, chart = (sum_.decode("ascii") for sum_ in sums.groups())
    # The record itself has no checksum. If it was changed, no checksum can match.
    return {CSV: table, SVG: None if _sum(content[: sums.start()]) == chart else ""}


def _sum(content: bytes) -> str:
    return hashlib.sha256(content).hexdigest()
