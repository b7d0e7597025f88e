"""Instructions for bringing the boat to her line after a float test. Steps that can be undone come first."""

from __future__ import annotations

from bulbcast.afloat.cure import BulbToCast, EndLead, Holes
from bulbcast.afloat.marks_to_mass import Correction
from bulbcast.afloat.work import FloatResult
from bulbcast.ballast.moving import WeightMove
from bulbcast.ballast.weigh_in import Weight
from bulbcast.quantities import Shown
from bulbcast.report.page import printable


def heels(result: FloatResult) -> bool:
    """Whether the measured heel is larger than the error of the marks.

    Args:
        result: Results of the test.
    """
    lay = result.found.attitude
    return lay.heel is not None and abs(lay.heel) > (lay.heel_spread or 0.0)


def what_to_do(result: FloatResult, shown: Shown) -> list[str]:
    """List the steps to take, in words.

    Args:
        result: Results of the test.
        shown: The builder's units.
    """
    if result.within_reading:
        return _upright(result, shown)
    if result.without_bulb:
        return [_to_cast(result.to_cast, shown)]
    if result.cure is None:
        return []
    heavy = result.cure.drilling is not None and abs(result.found.mass) > result.found.mass_spread
    if heavy and not result.drillable:
        return _too_heavy_to_drill(result, shown)
    return _repaired(result, result.cure, shown) + _upright(result, shown)


def _too_heavy_to_drill(result: FloatResult, shown: Shown) -> list[str]:
    """Steps if more mass has to go than can be drilled out of the bulb."""
    ashore = [_left_ashore(one, result, shown) for one in result.can_stay]
    first = (
        "If the boat is still too heavy, remove the rest"
        if ashore
        else f"Remove {shown.mass(result.found.mass)}"
    )
    why = "That much lead cannot be drilled out of this bulb."
    if ashore and result.cure is not None and result.cure.drilling is not None:
        why = f"{shown.mass(result.cure.drilling.lead)} of lead cannot be drilled out of this bulb."
    if result.crowded and result.holes is not None:
        drill = shown.length(result.holes.diameter)
        why = f"{result.holes.count} holes of {drill} do not fit in a row along this bulb."
    return [*ashore, f"{first} from the boat, or cast another bulb. {why}"]


def _repaired(result: FloatResult, cure: Correction, shown: Shown) -> list[str]:
    """Steps to drill or add lead if the mass is wrong, and to move weights to correct the remaining moment."""
    said, found, holes = [], result.found, result.holes
    mass_matters = abs(found.mass) > found.mass_spread
    left, after = -found.moment, cure.moves
    if found.mass > 0.0 and mass_matters:
        said += [_left_ashore(one, result, shown) for one in result.can_stay]
        # Steps that can be undone come before those that cannot.
        if abs(found.moment) > found.moment_spread:
            said += [_move(one, shown) for one in cure.moves if one.enough]
    if cure.drilling is None and found.mass > 0.0 and mass_matters and result.nose_x is None:
        said.append(
            f"Remove {shown.mass(found.mass)} from the boat. To find where you can drill lead out of the bulb, give the "
            "fin's position in the boat: tip_leading_edge_x, tip_z and the fin's root."
        )
    ashore = len(said)
    if cure.drilling is not None and holes is not None and mass_matters:
        each = "one hole" if holes.count == 1 else f"{holes.count} holes"
        said.append(
            f"As a last step, because it cannot be undone, drill {shown.mass(cure.drilling.lead)} of lead out of the "
            f"bulb from below, clear of the screws: {each} of {shown.length(cure.drilling.diameter)}, each "
            f"{shown.length(holes.depth)} deep, {_row(result, holes, shown)}. Fill the holes flush with "
            f"{shown.mass(cure.drilling.filler)} of filler."
        )
        left, after = cure.drilling.moment_left, cure.moves_after
    if cure.adding is not None and mass_matters:
        adding = cure.adding
        place = f"as far {'aft' if found.moment < 0.0 else 'forward'} as possible"
        if adding.x is not None:
            place = f"at x = {shown.length(adding.x)}"
        said.append(
            f"Lay {shown.mass(adding.inside)} of lead inside the hull {place}. On the bulb you would need "
            f"{shown.mass(adding.outside)}, because lead there displaces water."
        )
        left, after = adding.moment_left, cure.moves_after
    if len(said) > ashore and abs(left) > 1e-9 * result.flotation.mass * result.flotation.length:
        said.append(
            f"After that, a moment of {shown.moment(abs(left))} {'aft' if left > 0.0 else 'forward'} is still needed."
        )
    if abs(left) > (0.0 if len(said) > ashore else found.moment_spread):
        said += [_move(one, shown) for one in after]
        if not mass_matters or (cure.drilling is None and cure.adding is None):
            said += [
                f"{'Or lay' if said else 'Lay'} {_laid(one, result, shown)}" for one in result.trim_lead_alone
            ]
            said += [
                f"Or, as a last step because it cannot be undone, lay {shown.mass(lead.mass)} of trim lead at x = "
                f"{shown.length(lead.x)}, and drill the same mass, allowing for fillings, out of the bulb under its mass "
                "centre. That fixes the trim and does not change the boat's mass."
                for lead in result.trim_lead
            ]
    return said


def _laid(lead: EndLead, result: FloatResult, shown: Shown) -> str:
    """Advice to lay trim lead inside the hull without drilling, with the resulting sinkage."""
    deeper = lead.mass / (result.flotation.water_density * result.flotation.waterplane_area)
    return (
        f"{shown.mass(lead.mass)} of trim lead in the hull at x = {shown.length(lead.x)} and drill nothing. That fixes "
        f"the trim, but the boat is {shown.mass(lead.mass)} heavier and floats {shown.length(deeper)} deeper."
    )


def _row(result: FloatResult, holes: Holes, shown: Shown) -> str:
    """Positions of the holes, measured from the bulb's nose."""
    x = shown.length(holes.x)
    if result.nose_x is None:
        return f"with the middle of the row at x = {x}"
    first = shown.length(holes.first_x - result.nose_x)
    if holes.count == 1:
        return f"with its centre {first} aft of the bulb's nose, at x = {x}"
    return (
        f"the first centred {first} aft of the bulb's nose, {shown.length(holes.pitch)} from centre to centre, with "
        f"the middle of the row at x = {x}"
    )


def _left_ashore(one: Weight, result: FloatResult, shown: Shown) -> str:
    """Effect of leaving one item of the weight list ashore."""
    found = result.found
    left = found.mass - one.mass
    words = f"Leave {printable(one.name)} ({shown.mass(one.mass)}) ashore"
    too = f"With only that left ashore, the boat is {shown.mass(abs(left))} too {'heavy' if left > 0.0 else 'light'}"
    if one.x is None:
        return f"{words}. {too}. Give the item's x to see the effect on trim."
    moment = found.moment - one.mass * (one.x - result.flotation.flotation_x)
    way = "aft" if moment > 0.0 else "forward"
    return f"{words}. {too}, with an excess moment of {shown.moment(abs(moment))} {way}."


def _upright(result: FloatResult, shown: Shown) -> list[str]:
    """Steps that correct the heel, if it was read and is larger than the error of the marks."""
    across = result.found.across
    if across is None or not heels(result):
        return []
    side = "port" if across > 0.0 else "starboard"
    words = f"Correct the heel with a moment of {shown.moment(abs(across))} to {side}"
    if result.across is None:
        return [f"{words}."]
    name, distance = result.across
    return [f"{words}, for example by moving {printable(name)} {shown.length(abs(distance))} to {side}."]


def _move(one: WeightMove, shown: Shown) -> str:
    way = "aft" if one.distance > 0.0 else "forward"
    if abs(one.distance) < 5e-5:
        return (
            f"Moving {printable(one.name)} does not help, because it is already at its limit in the direction "
            "needed."
        )
    words = f"Move {printable(one.name)} from x = {shown.length(one.start)} {way} to {shown.length(one.end)}"
    if one.enough:
        return f"{words}. That corrects the trim."
    return f"{words}, as far as its limits allow. A moment of {shown.moment(abs(one.left))} is still needed."


def _to_cast(bulb: BulbToCast | None, shown: Shown) -> str:
    if bulb is None:
        return "The boat is so heavy that nothing is left for a bulb. Remove weight from her."
    return (
        f"The bulb was ashore. Cast it to a mass of {shown.mass(bulb.mass)}, ready to hang, with its mass centre at x = "
        f"{shown.length(bulb.x)}. Set target_mass and mass_centre_x to these figures and plan again."
    )
