"""A finding where another unit of the hull's file would make sense of what she weighs."""

from __future__ import annotations

from bulbcast.findings import Finding, Rule, Severity
from bulbcast.hull.unit_slip import METRES_PER_UNIT, UnitSlip
from bulbcast.quantities import Shown

HULL_UNIT_DOUBTFUL = Rule("hull-unit-doubtful", Severity.STOP, Severity.CAUTION, subject="boat")

# Weighed over displaced below which no weigh-in that is merely unfinished explains it. Judgement.
HOPELESS_SHARE = 0.01


def check_unit(slip: UnitSlip | None, *, unit_of_file: bool, shown: Shown) -> tuple[Finding, ...]:
    """A stop or a caution where the hull's unit cannot be the one meant.

    Args:
        slip: Of the hull; None where there is none.
        unit_of_file: Whether the file itself says the unit. [-]
        shown: The builder's units.
    """
    if slip is None:
        return ()
    share = slip.weighed / slip.displaced
    return (
        HULL_UNIT_DOUBTFUL(
            severity=Severity.STOP if share < HOPELESS_SHARE else Severity.CAUTION,
            where="boat.unit",
            found=slip.displaced,
            limit=slip.would_displace,
            unit="kg",
            message=f"Taken in {unit_name(slip.unit)} the hull displaces {shown.mass(slip.displaced)}, and all but the bulb "
            f"weighs {shown.mass(slip.weighed)}, {shown.percent(share)} of it: no boat is so light without her bulb.",
            remedy=remedy_of_slip(slip, unit_of_file=unit_of_file, shown=shown),
        ),
    )


def remedy_of_slip(slip: UnitSlip, *, unit_of_file: bool, shown: Shown) -> str:
    """What to type where the hull's unit is the wrong one.

    Args:
        slip: Of the hull.
        unit_of_file: Whether the file itself says the unit. [-]
        shown: The builder's units.
    """
    would = f"she would then displace {shown.mass(slip.would_displace)}"
    name = unit_name(slip.fits)
    if unit_of_file:
        factor = METRES_PER_UNIT[slip.fits] / METRES_PER_UNIT[slip.unit]
        return f"If the file is in {name} although it says {unit_name(slip.unit)}, set scale = {factor:.6g}: {would}."
    return f'If the file is in {name}, set unit = "{slip.fits}": {would}.'


def unit_name(unit: str) -> str:
    """A unit's name in words.

    Args:
        unit: mm, cm, m, in or ft. [-]
    """
    return {"mm": "millimetres", "cm": "centimetres", "m": "metres", "in": "inches", "ft": "feet"}[unit]
