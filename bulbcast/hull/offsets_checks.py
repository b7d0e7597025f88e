"""What may be wrong with a table of offsets: every fault with its station and waterline."""

from __future__ import annotations

import numpy as np

from bulbcast.hull.faults import HullRemark, fault
from bulbcast.solids.quadrature import Array

SAME = 1e-9
"""Lengths this near are one. [m]"""


def shape_faults(x: Array, z: Array, y: Array, given: dict[str, Array]) -> list[HullRemark]:
    """A table of the wrong shape."""
    found = []
    if x.ndim != 1 or len(x) < 3 or z.ndim != 1 or len(z) < 2:
        found.append(
            fault(
                "table-too-small",
                f"The table has {x.size} stations and {z.size} waterlines.",
                "Give three stations and two waterlines at least; eleven and six make a fair table.",
            )
        )
    elif y.shape != (len(x), len(z)):
        found.append(
            fault(
                "table-shape",
                f"The half breadths do not fill {len(x)} stations by {len(z)} waterlines.",
                "Give one figure for each station on each waterline, blank where the hull does not reach.",
            )
        )
    for name, row in given.items():
        if row.shape != x.shape:
            found.append(
                fault(
                    "row-length",
                    f"The {name} row has {row.size} figures for {x.size} stations.",
                    "Give one for each station.",
                )
            )
    if ("sheer" in given) != ("sheer half breadth" in given):
        found.append(
            fault(
                "sheer-alone",
                "Of the deck edge's height and half breadth only one was given.",
                "Give both, or neither.",
            )
        )
    return found


def row_faults(x: Array, z: Array, y: Array, given: dict[str, Array]) -> list[HullRemark]:
    """Figures out of order, not finite or negative."""
    found = []
    for name, row in (("stations", x), ("waterlines", z)):
        if not np.isfinite(row).all():
            found.append(
                fault("not-finite", f"The {name} hold a figure that is not finite.", "Mend the table.")
            )
            continue
        wrong = np.flatnonzero(np.diff(row) <= 0.0)
        if len(wrong):
            n = int(wrong[0])
            found.append(
                fault(
                    "not-ascending",
                    f"The {name} do not ascend: number {n + 2} at {1e3 * row[n + 1]:.5g} mm follows "
                    f"{1e3 * row[n]:.5g} mm.",
                    "Sort them: stations from the bow aft, waterlines upwards.",
                )
            )
    for name, row in given.items():
        if not np.isfinite(row).all():
            found.append(
                fault("not-finite", f"The {name} row holds a figure that is not finite.", "Mend the table.")
            )
    breadths = [y] if "sheer half breadth" not in given else [y, given["sheer half breadth"][:, None]]
    for block in breadths:
        for i, j in np.argwhere((block < 0.0) | np.isinf(block))[:1]:
            found.append(
                fault(
                    "negative-half-breadth",
                    f"The half breadth at station {i + 1}, column {j + 1} was read as {1e3 * block[i, j]:.5g} mm.",
                    "Half breadths are measured outwards from the centreplane and are never negative.",
                )
            )
    return found


def blank_faults(x: Array, z: Array, y: Array, given: dict[str, Array]) -> list[HullRemark]:
    """Blanks that the keel and the sheer do not explain, and figures where there is no hull."""
    found = []
    for i in range(len(x)):
        filled = np.flatnonzero(~np.isnan(y[i]))
        where = f"station {i + 1} (x = {1e3 * x[i]:.5g} mm)"
        if len(filled) and np.any(np.isnan(y[i, filled[0] : filled[-1] + 1])):
            found.append(
                fault(
                    "blank-between",
                    f"A blank stands between figures at {where}.",
                    "Fill it in from the lines.",
                )
            )
        first, last = (filled[0], filled[-1]) if len(filled) else (len(z), -1)
        if first > 0 and "keel" not in given:
            found.append(
                fault(
                    "blank-without-keel",
                    f"The lowest waterline is blank at {where}, and the table has no heights of the keel.",
                    "Give the keel's height at every station, or 0 where the hull has no breadth.",
                )
            )
        if last < len(z) - 1 and "sheer" not in given:
            found.append(
                fault(
                    "blank-without-sheer",
                    f"The highest waterline is blank at {where}, and the table has no deck edge.",
                    "Give height and half breadth of the deck's edge at every station.",
                )
            )
        low, high = (
            given["keel"][i] if "keel" in given else z[0],
            given["sheer"][i] if "sheer" in given else z[-1],
        )
        if low > high + SAME:
            found.append(
                fault(
                    "keel-above-sheer",
                    f"The keel lies above the deck's edge at {where}.",
                    "Mend one of them; both are heights above the table's own base.",
                )
            )
        outside = [j for j in filled if (z[j] < low - SAME or z[j] > high + SAME) and y[i, j] > 0.0]
        if outside and low <= high + SAME:
            found.append(
                fault(
                    "breadth-outside",
                    f"The waterline at {1e3 * z[outside[0]]:.5g} mm has a half breadth at {where}, where the hull "
                    f"reaches from {1e3 * low:.5g} to {1e3 * high:.5g} mm.",
                    "Leave it blank, or mend the keel or the deck's edge.",
                )
            )
    return found
