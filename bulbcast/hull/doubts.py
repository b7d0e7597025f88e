"""What is odd about a hull, told as faults where no bulb can be found for her: most likely that is why."""

from __future__ import annotations

from typing import TYPE_CHECKING

from bulbcast.hull.unit_rules import remedy_of_slip, unit_name
from bulbcast.plan.faults import Fault
from bulbcast.plan.sections import Plan
from bulbcast.quantities import Shown

if TYPE_CHECKING:
    from bulbcast.hull.read import HullRead
    from bulbcast.hull.unit_slip import UnitSlip


def hull_doubts(plan: Plan, hull: HullRead | None, slip: UnitSlip | None) -> list[Fault]:
    """The doubts about a hull, each as a fault of the plan.

    Args:
        plan: With [boat].
        hull: As read; None for bare numbers, of which there is no doubt.
        slip: Another unit that her weigh-in would fit; None where nothing is odd.
    """
    if hull is None or plan.boat is None:
        return []
    key = "boat.offsets" if plan.boat.hull is None else "boat.hull"
    typed = plan.boat.hull or plan.boat.offsets
    doubtful = [one for one in hull.remarks if not one.mended]
    faults = [
        Fault(
            file=plan.source,
            key=f"{key} ({typed})",
            read=one.message.rstrip("."),
            expected="the hull that was meant, in her own unit and the right way up",
            remedy=one.remedy,
        )
        for one in doubtful
        if one.code in ("wrong-unit", "length-unlikely", "length-differs", "looks-upside-down")
    ]
    if slip is not None and not any(one.code == "wrong-unit" for one in doubtful):
        shown = Shown(plan.display_units)
        faults.append(
            Fault(
                file=plan.source,
                key="boat.unit",
                read=f"a hull that displaces {shown.mass(slip.displaced)} taken in {unit_name(slip.unit)}, while all but "
                f"the bulb weighs {shown.mass(slip.weighed)}",
                expected="a boat that weighs less than she displaces, and not next to nothing of it",
                remedy=remedy_of_slip(slip, unit_of_file=hull.unit_of_file, shown=shown),
            )
        )
    return faults
