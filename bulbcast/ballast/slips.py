"""Cautions about typing slips in the boat's figures, each with the smallest slip reported.

| slip | smallest slip reported |
| --- | --- |
| a weight listed twice | the same name or position, and masses within 1 % |
| a weight or the rudder outside the boat | 15 % of the waterline beyond its ends (5 % beyond a hull read from a file) |
| a weight too high or too low | over 1.8 waterline lengths up (a tall rig's masthead: 1.7), or below the fin's tip |
| all x measured from the wrong end | bulb 10 % of the waterline off the fin's tip; under half of that with x reversed |
| waterplane area compared with length and beam | under 0.50 or over 0.92 of their product |
| waterplane area without a beam | under 0.04 or over 0.55 of length squared; without a length, against displacement |
| waterline length compared with displacement | under 2.2 or over 16 times the edge of a cube of that volume |
| BM compared with waterplane and displacement | half or twice the typical value for a waterplane of this size |
| a weight in another unit (ounces for grams) | bulb's fraction outside 0.12 to 0.80, corrected by one change of unit |
| sea water mistaken for fresh | displacement_water 1.5 % off the water density, if the kind of water is not given |
| displacement compared with the weights | the bulb's fraction of the complete boat is under 0.12 or over 0.80 |

All limits are our judgement. tests/benchmarks/slips.py and slips_unseen.py check them against seeded slips and sound
plans.
"""

from __future__ import annotations

from collections.abc import Iterator

from bulbcast.ballast.shares import SHARE, displacement_key, lines_alike, share_of_bulb, unit_that_fits
from bulbcast.ballast.work import BoatJob
from bulbcast.bulb.hung.wishes import USUAL_CARRY_AT
from bulbcast.findings import Finding, Rule, Severity, typed
from bulbcast.hull.estimate import ANY_SHAPE
from bulbcast.plan.boat_sections import BoatSection, WeightSection
from bulbcast.plan.sections import Plan
from bulbcast.quantities import Shown

WEIGHT_TWICE = Rule(
    "weight-twice",
    Severity.CAUTION,
    subject="boat",
    why="A weight listed twice makes the bulb too light by that weight.",
)
WEIGHT_OFF_BOAT = Rule(
    "weight-off-boat",
    Severity.CAUTION,
    subject="boat",
    why="A weight outside the boat has a longer lever than anything aboard could have, so the calculated trim is wrong.",
)
WRONG_END = Rule(
    "x-from-wrong-end",
    Severity.CAUTION,
    subject="boat",
    why="If x in the list was measured from the stern, the bulb ends up at the wrong end of the boat.",
)
WATERPLANE_UNLIKELY = Rule(
    "waterplane-unlikely",
    Severity.CAUTION,
    subject="boat",
    why="The waterplane area determines how far a mass sinks the boat. It is usually between just over half and nine "
    "tenths of length times beam.",
)
RADIUS_UNLIKELY = Rule(
    "metacentric-radius-unlikely",
    Severity.CAUTION,
    subject="boat",
    why="BM follows from the waterplane and the displaced volume. A value far from the one they give was mistyped or is "
    "a different quantity.",
)
UNIT_DOUBTFUL = Rule(
    "weight-unit-doubtful",
    Severity.CAUTION,
    subject="boat",
    why="A single weight in the wrong unit can leave nothing for a bulb or make the bulb many times too heavy.",
)
WATER_DIFFERS = Rule(
    "water-differs",
    Severity.CAUTION,
    subject="boat",
    why="The same hull carries 2.7 % more in sea water than in fresh water, and all of the difference goes into the bulb.",
)
DISPLACEMENT_DOUBTFUL = Rule(
    "displacement-doubtful",
    Severity.CAUTION,
    subject="boat",
    why="The bulb's mass is the displacement less the weights. If the two belong to different boats, the bulb fits neither.",
)

BEYOND_WATERLINE, BEYOND_HULL = 0.15, 0.05
HIGHEST = 1.8
OFF_THE_TIP = 0.10
MOSTLY_PLACED = 0.8
"""If the bulb's required x is not known, the check for x measured from the wrong end is made only if x is known for at
least this fraction of the mass without the bulb. Judgement. [-]"""
FULLNESS = (0.50, 0.92)
SQUARE = (0.04, 0.55)
"""Range of the waterplane area divided by its length squared, for a beam of a twelfth to six tenths of the length.
Judgement. [-]"""
CUBE = (2.0, 40.0)
"""Range of the waterplane area divided by the displaced volume to the power of two thirds. Judgement. [-]"""
SLENDER = (2.2, 16.0)
"""Range of the waterline length divided by the cube root of the displaced volume; for real boats it is 3 to 10.
Judgement. [-]"""
RADIUS_FACTOR = 2.0
WATERS_APART = 0.015
ACROSS = 0.062
"""Transverse second moment of a waterplane divided by area and beam squared: 1/12 for a box, 1/16 for an ellipse, 1/24
for two triangles. Hulls range from 0.058 to 0.066. Judgement. [-]"""


def check_slips(plan: Plan, section: BoatSection, boat: BoatJob, shown: Shown) -> tuple[Finding, ...]:
    """Return cautions on figures that are probably typing slips.

    Args:
        plan: Plan with its boat.
        section: Boat's figures as typed.
        boat: Boat with her bulb.
        shown: The builder's units.
    """
    return (
        *_twice(plan.weights, shown),
        *_off_boat(plan, boat, shown),
        *_wrong_end(plan, boat, shown),
        *_waterplane(section, boat, shown),
        *_shares(plan, section, boat, shown),
        *_waters(plan, section, shown),
    )


def _twice(weights: tuple[WeightSection, ...], shown: Shown) -> Iterator[Finding]:
    for first, second in lines_alike(weights):
        one, other = weights[first], weights[second]
        yield WEIGHT_TWICE(
            f"weights[{second + 1}]",
            f'"{other.name}" of {shown.mass(other.mass)} looks like a repeat of "{one.name}", weights[{first + 1}].',
            "Remove one of the two lines. If the boat has both, give each a different name and position.",
            found=other.mass,
            unit="kg",
        )


def _off_boat(plan: Plan, boat: BoatJob, shown: Shown) -> Iterator[Finding]:
    length, outline = boat.start.hull.line.length, boat.start.hull.outline
    if length is None:
        return
    low, high = -BEYOND_WATERLINE * length, (1.0 + BEYOND_WATERLINE) * length
    if outline is not None:
        low = min(outline.x) - BEYOND_HULL * length
        high = max(outline.x) + BEYOND_HULL * length
    deepest = min(plan.fin.tip_z if boat.start.fin is not None else -length, -0.1 * length)
    for number, one in enumerate(plan.weights, start=1):
        for axis, value, least, most in (
            ("x", one.x, low, high),
            ("z", one.z, deepest, HIGHEST * length),
        ):
            if value is not None and not least <= value <= most:
                yield WEIGHT_OFF_BOAT(
                    f"weights[{number}].{axis}",
                    f'"{one.name}" is at {axis} = {shown.length(value)}, but the boat extends only from '
                    f"{shown.length(least)} to {shown.length(most)}.",
                    "Check the unit and the point you measured from.",
                    found=value,
                    limit=least if value < least else most,
                    unit="m",
                )
    rudder = plan.rudder
    if rudder is not None and not low <= rudder.root_leading_edge_x <= high:
        yield WEIGHT_OFF_BOAT(
            "rudder.root_leading_edge_x",
            f"The rudder is at x = {shown.length(rudder.root_leading_edge_x)}, but the boat extends only from "
            f"{shown.length(low)} to {shown.length(high)}.",
            "Check the unit and the point you measured from.",
            found=rudder.root_leading_edge_x,
            limit=low if rudder.root_leading_edge_x < low else high,
            unit="m",
        )


def _wrong_end(plan: Plan, boat: BoatJob, shown: Shown) -> Iterator[Finding]:
    length, water = boat.start.hull.line.length, plan.water.density
    lines = [(one.mass, one.x) for one in plan.weights if one.x is not None]
    mass = sum(one for one, _ in lines)
    moment = sum(one * x for one, x in lines)
    wanted, carried = boat.hung.wanted_x, boat.hung.afloat.apparent(water)
    if wanted is None and mass >= MOSTLY_PLACED * boat.start.weigh_in.mass > 0.0:
        # Without the complete fin or the position of a light weight it is not known to the millimetre, but well enough to
        # show a slip.
        wanted, carried = _roughly(boat, water, mass, moment)
    if wanted is None or length is None:
        return
    turned = wanted + (2.0 * moment - mass * length) / carried
    under = plan.fin.tip_leading_edge_x + USUAL_CARRY_AT * plan.fin.tip_chord
    off, then = (abs(x - under) for x in (wanted, turned))
    if off > OFF_THE_TIP * length and then < 0.5 * off:
        yield WRONG_END(
            "weights",
            f"With the weights' x as typed, the bulb would have to hang at x = {shown.length(wanted)}, "
            f"{shown.length(off)} from the middle of the fin's tip. With x measured from the other end, the distance is "
            f"{shown.length(turned)}.",
            "x is measured aft from the forward end of the waterline. If your values were measured forward from the "
            f"after end, replace each value with {shown.length(length)} minus that value.",
            found=wanted,
            limit=under,
            unit="m",
        )


def _roughly(boat: BoatJob, water: float, mass: float, moment: float) -> tuple[float | None, float]:
    """Return the x [m] at which the bulb balances the weights of known position, and the bulb's apparent mass [kg]."""
    centre, left = boat.start.hull.line.buoyancy_x, boat.displacement(water) - mass
    if centre is None or left <= 0.0:
        return None, 0.0
    return (boat.displacement(water) * centre - moment) / left, left


def _waterplane(section: BoatSection, boat: BoatJob, shown: Shown) -> Iterator[Finding]:
    """Check the waterplane's length, beam and area against one another or, if only one or two are given, against the
    displacement."""
    line, area, beam = boat.start.hull.line, section.waterplane_area, section.waterline_beam
    length, look = (
        section.waterline_length,
        "Check the units, and make sure all figures are for the same waterline.",
    )
    edge = line.volume ** (1.0 / 3.0)
    box, bounds = "(length times beam)", FULLNESS
    if length is not None and not SLENDER[0] <= length / edge <= SLENDER[1]:
        few, many = (shown.length(each * edge) for each in SLENDER)
        yield WATERPLANE_UNLIKELY(
            "boat.waterline_length",
            f"A waterline length of {shown.length(length)} is unlikely for this displacement; boats of that size have "
            f"waterlines of {few} to {many}.",
            look,
            found=length,
            limit=edge * SLENDER[0 if length < edge * SLENDER[0] else 1],
            unit="m",
        )
    elif area is not None:
        whole = None if length is None or beam is None else length * beam
        if whole is None:
            box, bounds, whole = ("(length squared)", SQUARE, length**2) if length is not None else (
                "(displaced volume)^(2/3)", CUBE, edge**2)  # fmt: skip
        share = area / whole
        if not bounds[0] <= share <= bounds[1]:
            yield WATERPLANE_UNLIKELY(
                "boat.waterplane_area",
                f"The waterplane area divided by {box} is {share:.2g}; it is usually {bounds[0]:.2f} to "
                f"{bounds[1]:.2f}.",
                look,
                found=share,
                limit=bounds[0] if share < bounds[0] else bounds[1],
            )
    if area is None or length is None:
        return
    usual = (
        ("metacentric_radius_along", section.metacentric_radius_along, ANY_SHAPE.inertia * length**2),
        ("metacentric_radius", section.metacentric_radius, ACROSS * (beam or 0.0) ** 2),
    )
    for key, given, per_area in usual:
        expected = per_area * area / line.volume
        if given is None or expected <= 0.0:
            continue
        if not expected / RADIUS_FACTOR < given < expected * RADIUS_FACTOR:
            yield RADIUS_UNLIKELY(
                f"boat.{key}",
                f"{shown.length(given)} is far from {shown.length(expected)}, which is typical of a waterplane of this "
                "size.",
                f"{look} BM is measured from the centre of buoyancy; do not enter GM here.",
                found=given,
                limit=expected,
                unit="m",
            )


def _shares(plan: Plan, section: BoatSection, boat: BoatJob, shown: Shown) -> Iterator[Finding]:
    displaced, others = boat.displacement(plan.water.density), boat.start.weigh_in.mass
    share = share_of_bulb(displaced, others)
    # A hull file in the wrong unit has its own finding.
    if not plan.weights or boat.start.unit_slip is not None or SHARE[0] <= share <= SHARE[1]:
        return
    fits = unit_that_fits([one.mass for one in plan.weights], displaced, others)
    if fits is not None:
        number, said, meant = fits
        line = plan.weights[number]
        mass = typed(f"weights[{number + 1}].mass", shown.mass(meant))
        yield UNIT_DOUBTFUL(
            f"weights[{number + 1}].mass",
            f'With "{line.name}" at {shown.mass(line.mass)}, the bulb is {shown.percent(share)} of the complete boat. '
            f"If you typed {said}, the mass is {shown.mass(meant)}.",
            f"If so, write {mass}.",
            found=line.mass,
            limit=meant,
            unit="kg",
        )
    yield DISPLACEMENT_DOUBTFUL(
        displacement_key(section),
        f"The boat displaces {shown.mass(displaced)} and the listed weights add up to {shown.mass(others)}, so the bulb "
        f"would be {shown.percent(share)} of the complete boat. Even unusual boats have {shown.percent(SHARE[0])} to "
        f"{shown.percent(SHARE[1])}.",
        "Check the units of the displacement and of each weight, and make sure the list is complete.",
        found=share,
        limit=SHARE[0] if share < SHARE[0] else SHARE[1],
    )


def _waters(plan: Plan, section: BoatSection, shown: Shown) -> Iterator[Finding]:
    drawn, water = section.displacement_water, plan.water.density
    taken = any(one.key == "water.kind" for one in plan.defaults)
    if drawn is None or not taken or abs(drawn / water - 1.0) <= WATERS_APART:
        return
    kind = "salt" if drawn > 1012.0 else "fresh"
    yield WATER_DIFFERS(
        "water.kind",
        f"The displacement given is for water of {shown.density(drawn)}, but the plan uses {shown.density(water)}, which "
        "was assumed because [water] gives no density.",
        f"If the boat sails in the water she was designed for, set {typed('water.kind', kind)}; otherwise set the other "
        "kind.",
        found=water,
        limit=drawn,
        unit="kg/m3",
    )
