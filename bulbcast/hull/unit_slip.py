"""Detection of a hull read in the wrong unit, from the boat's length and weight.

The unit is suspect if the boat without her bulb weighs less than a twentieth or more than nineteen twentieths of her
displacement. Below a hundredth, the finding is a stop, because an unfinished weight list cannot explain it.
"""

from __future__ import annotations

from bulbcast.findings import Finding, Rule, Severity, plain, typed
from bulbcast.hull.faults import HullRemark
from bulbcast.hull.read import HullRead
from bulbcast.plan.faults import Fault
from bulbcast.plan.sections import Plan
from bulbcast.quantities import Shown
from bulbcast.quantities.frozen import frozen
from bulbcast.quantities.units import BY_SYMBOL

HULL_UNIT_DOUBTFUL = Rule(
    "hull-unit-doubtful",
    Severity.STOP,
    Severity.CAUTION,
    subject="boat",
    why=(
        "The unit of the hull file is probably wrong: with it, the hull displaces far more or less than the boat weighs."
    ),
)

# Weighed mass divided by displaced mass, below which an unfinished weight list cannot be the reason. Judgement.
HOPELESS_SHARE = 0.01

METRES_PER_UNIT = {unit: float(BY_SYMBOL[unit].factor) for unit in ("mm", "cm", "m", "in", "ft")}

LENGTHS = {"model": (0.15, 4.0), "racing-model": (0.15, 3.0), "small-craft": (1.5, 15.0)}
"""Range of waterline length for each kind of boat, outside which the unit is questioned. Judgement. [m]"""
ANY_LENGTH = (0.15, 15.0)
"""Range of waterline length if the kind of boat is not given. Judgement. [m]"""

_USUAL_SHARE = (0.05, 0.95)
_WITHIN = 0.1
_SLIPS = (25.4, 1000.0, 10.0, 304.8, 12.0, 2.54, 100.0, 1000.0 / 25.4, 1000.0 / 304.8)
"""Factors by which a length is wrong if the unit of a file is mistaken for a different one."""


def length_remarks(
    length: float, stated: float | None, *, unit: str, unit_of_file: bool, kind: str | None
) -> list[HullRemark]:
    """Return remarks on a length that differs from the one stated or is unusual for the kind of boat, with a unit that
    would fit.

    Args:
        length: Length of the design waterline as read. [m]
        stated: Waterline length that the builder gives; None if not given. [m]
        unit: Unit in which the hull was read: mm, cm, m, in or ft. [-]
        unit_of_file: Whether the unit is stated in the file itself. [-]
        kind: "model", "racing-model" or "small-craft"; None if not given. [-]
    """
    if stated is None:
        low, high = ANY_LENGTH if kind is None else LENGTHS[kind]
        if low <= length <= high:
            return []
        seen = f"The design waterline is {length:.4g} m long if the file's unit is {unit}."
        remedy = _remedy(length, unit, unit_of_file, low, high)
        limit = low if length < low else high
        return [HullRemark("length-unlikely", seen, remedy, found=length, limit=limit, unit="m")]
    ratio = length / stated
    if abs(ratio - 1.0) <= _WITHIN:
        return []
    seen = f"The plan gives a design waterline of {stated:.4g} m, but the file makes it {length:.4g} m"
    code = "length-differs"
    if any(abs(slip - 1.0) <= _WITHIN for factor in _SLIPS for slip in (ratio / factor, ratio * factor)):
        code = "wrong-unit"
        seen += f", {max(ratio, 1.0 / ratio):.3g} times too {'long' if ratio > 1.0 else 'short'}"
    remedy = _remedy(length, unit, unit_of_file, (1.0 - _WITHIN) * stated, (1.0 + _WITHIN) * stated)
    return [HullRemark(code, f"{seen}.", remedy, found=ratio, limit=1.0)]


def _remedy(length: float, unit: str, unit_of_file: bool, low: float, high: float) -> str:
    fitting = [
        (other, length * METRES_PER_UNIT[other] / METRES_PER_UNIT[unit])
        for other in METRES_PER_UNIT
        if other != unit
    ]
    fitting = [(other, made) for other, made in fitting if low <= made <= high]
    if not fitting:
        return "Correct the file's unit, the scale, or the height and ends of the waterline."
    if unit_of_file:
        words = [
            f"{_scale(other, unit)} makes it {made:.4g} m, as if the file were in {other}"
            for other, made in fitting
        ]
        return f"The file itself says that its unit is {unit}. If that is wrong, {'; '.join(words)}."
    words = [f"{typed('boat.unit', other)} makes it {made:.4g} m" for other, made in fitting]
    return f"Correct the unit under [boat]: {', '.join(words)}."


def _scale(other: str, unit: str) -> str:
    return typed("boat.scale", f"{METRES_PER_UNIT[other] / METRES_PER_UNIT[unit]:.6g}")


@frozen
class UnitSlip:
    """A different unit that would fit the boat's weight list.

    Attributes:
        unit: Unit in which the hull was read.
        fits: Unit that would fit the weight list.
        displaced: Mass of water displaced by the hull as read. [kg]
        would_displace: Mass of water that the hull would displace in the unit that fits. [kg]
        weighed: Mass of the boat without the bulb. [kg]
    """

    unit: str
    fits: str
    displaced: float
    would_displace: float
    weighed: float


def unit_slip(*, hull_mass: float, below_mass: float, weighed: float, unit: str | None) -> UnitSlip | None:
    """Look for another unit that would fit the boat's weight if the one used does not.

    Before she has her bulb, a boat weighs between one twentieth and nineteen twentieths of her displacement (judgement,
    deliberately wide). Outside that range, the unit that brings the ratio nearest to one half is suggested.

    Args:
        hull_mass: Mass of water displaced by the hull as read. [kg]
        below_mass: Mass of water displaced by fin and rudder. [kg]
        weighed: Mass of everything but the bulb. [kg]
        unit: Unit in which the hull was read; None if the hull did not come from a surface. [-]

    Returns:
        The slip; None if the unit is not in doubt, nothing has been weighed, or no other unit fits.
    """
    if unit is None or not weighed > 0.0:
        return None
    low, high = _USUAL_SHARE

    def share(other: str) -> tuple[float, float]:
        displaced = hull_mass * (METRES_PER_UNIT[other] / METRES_PER_UNIT[unit]) ** 3 + below_mass
        return weighed / displaced, displaced

    if low <= share(unit)[0] <= high:
        return None
    fitting = [other for other in METRES_PER_UNIT if low <= share(other)[0] <= high]
    if not fitting:
        return None
    best = min(fitting, key=lambda other: abs(share(other)[0] - 0.5))
    return UnitSlip(
        unit=unit,
        fits=best,
        displaced=share(unit)[1],
        would_displace=share(best)[1],
        weighed=weighed,
    )


def check_unit(slip: UnitSlip | None, *, unit_of_file: bool, shown: Shown) -> tuple[Finding, ...]:
    """Return a stop or a caution if the hull's unit is probably wrong.

    Args:
        slip: Unit slip of the hull; None if there is none.
        unit_of_file: Whether the file itself states the unit. [-]
        shown: The builder's units.
    """
    if slip is None:
        return ()
    share = slip.weighed / slip.displaced
    return (
        HULL_UNIT_DOUBTFUL(
            "boat.unit",
            f"Read in {unit_name(slip.unit)}, the hull displaces {shown.mass(slip.displaced)}. Everything but the bulb "
            f"weighs {shown.mass(slip.weighed)}, {shown.percent(share)} of that. No boat is that light without her bulb.",
            remedy_of_slip(slip, unit_of_file=unit_of_file, shown=shown),
            severity=Severity.STOP if share < HOPELESS_SHARE else Severity.CAUTION,
            found=slip.displaced,
            limit=slip.would_displace,
            unit="kg",
        ),
    )


def remedy_of_slip(slip: UnitSlip, *, unit_of_file: bool, shown: Shown) -> str:
    """Return what to type if the hull's unit is wrong.

    Args:
        slip: Unit slip of the hull.
        unit_of_file: Whether the file itself states the unit. [-]
        shown: The builder's units.
    """
    would = f"she would then displace {shown.mass(slip.would_displace)}"
    name = unit_name(slip.fits)
    if unit_of_file:
        scale = _scale(slip.fits, slip.unit)
        return f"If the file is in {name} although it says {unit_name(slip.unit)}, set {scale}: {would}."
    return f"If the file is in {name}, set {typed('boat.unit', slip.fits)}: {would}."


def unit_name(unit: str) -> str:
    """Return a unit's name in words.

    Args:
        unit: Unit as a symbol: mm, cm, m, in or ft. [-]
    """
    return {"mm": "millimetres", "cm": "centimetres", "m": "metres", "in": "inches", "ft": "feet"}[unit]


def hull_doubts(plan: Plan, hull: HullRead | None, slip: UnitSlip | None) -> list[Fault]:
    """Return any doubts about a hull as faults in the plan.

    Args:
        plan: Plan with [boat].
        hull: Hull as read; None if the hull is given as numbers only, which are not questioned.
        slip: A different unit that would fit the weight list; None if the unit is not in doubt.
    """
    if hull is None or plan.boat is None:
        return []
    key = (
        f"{'boat.offsets' if plan.boat.hull is None else 'boat.hull'} ({plan.boat.hull or plan.boat.offsets})"
    )
    doubtful = [one for one in hull.remarks if not one.repaired]
    meant = "the right hull, read in the correct unit and the right way up"
    faults = [
        Fault(plan.source, key, one.message.rstrip("."), meant, plain(one.remedy))
        for one in doubtful
        if one.code in ("wrong-unit", "length-unlikely", "length-differs", "looks-upside-down")
    ]
    if slip is not None and not any(one.code == "wrong-unit" for one in doubtful):
        shown = Shown(plan.display_units)
        read = (
            f"a hull that displaces {shown.mass(slip.displaced)} when read in {unit_name(slip.unit)}, while everything "
            f"but the bulb weighs {shown.mass(slip.weighed)}"
        )
        weighs = "a boat whose mass without the bulb is a reasonable fraction of her displacement"
        remedy = remedy_of_slip(slip, unit_of_file=hull.unit_of_file, shown=shown)
        faults.append(Fault(plan.source, "boat.unit", read, weighs, plain(remedy)))
    return faults
