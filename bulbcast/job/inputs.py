"""List of the files, other than the plan, from which a result was made."""

from __future__ import annotations

from typing import TYPE_CHECKING

from bulbcast.plan.input_file import InputFile

if TYPE_CHECKING:
    from bulbcast.bulb.hung.wishes import OffsetsTable
    from bulbcast.hull.read import HullRead
    from bulbcast.plan.sections import Plan


def inputs_of(plan: Plan, offsets: OffsetsTable | None, hull: HullRead | None) -> tuple[InputFile, ...]:
    """Return the files other than the plan from which a job's figures come.

    Args:
        plan: The plan as read.
        offsets: The table of ordinates named in the plan.
        hull: The hull named in the plan.

    Returns:
        The files read from disk, in the order of the plan format.
    """
    found = []
    if offsets is not None and offsets.sha256 and plan.bulb.profile == "offsets":
        found.append(
            InputFile(key="bulb.offsets", path=plan.bulb.offsets or offsets.source, sha256=offsets.sha256)
        )
    if hull is not None and hull.file is not None:
        found.append(hull.file)
    if plan.learned is not None:
        found.append(InputFile(key="castings", path=plan.learned.source, sha256=plan.learned.sha256))
    return tuple(found)
