"""Reader for a plan file and the files named in it."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from bulbcast.disk.bounded import UnreadFileError, bounded_bytes
from bulbcast.files.casting_log import casting_log
from bulbcast.files.offsets import load_offsets
from bulbcast.job import OffsetsTable
from bulbcast.plan.faults import Fault, PlanError
from bulbcast.plan.reading import read_plan
from bulbcast.plan.sections import Plan
from bulbcast.quantities.frozen import replace

if TYPE_CHECKING:
    from bulbcast.hull.read import HullRead

_LONGEST = 1_000_000


def plan_bytes(path: Path) -> bytes:
    """Read the bytes of a plan file.

    Args:
        path: Path as typed.

    Raises:
        PlanError: The file cannot be read, or is far too long for a plan.
    """
    try:
        return bounded_bytes(path, largest=_LONGEST)
    except UnreadFileError as error:
        remedy = "Fix the name, or write a starter plan with: bulbcast new FILE"
        raise PlanError([Fault(str(path), "the file", error.read, "a plan file in TOML", remedy)]) from None


def load_plan(
    path: Path, *, confined: bool = False, castings: int | None = None
) -> tuple[Plan, OffsetsTable | None, HullRead | None]:
    """Read a plan with the table of ordinates and the hull named in it, if any.

    Args:
        path: Path as typed; paths in the plan are relative to its folder.
        confined: Whether those paths must stay inside that folder.
        castings: Number of castings to use from the log next to the plan, starting with the oldest; None means all.

    Returns:
        The plan, the table or None, the hull or None.

    Raises:
        PlanError: The file has faults; the error lists all of them.
    """
    plan = read_plan(plan_bytes(path), source=str(path))
    log = casting_log(path)
    if log is not None:
        plan = replace(plan, learned=log.learned(plan, first=castings))
    offsets, typed = None, plan.bulb.offsets
    if plan.bulb.profile == "offsets" and typed is not None:
        offsets = load_offsets(path.parent, plan_source=plan.source, typed=typed, confined=confined)
    if plan.boat is None:
        return plan, offsets, None
    from bulbcast.files.hull import load_hull

    return plan, offsets, load_hull(plan, path.parent, confined=confined)
