"""Checks of the displacement in the plan: whether it agrees with the hull, and whether it is under the right key."""

from __future__ import annotations

from bulbcast.ballast.work import BoatJob
from bulbcast.findings import Finding, Rule, Severity, typed
from bulbcast.hull.design_line import drawn_for
from bulbcast.plan.boat_sections import BoatSection
from bulbcast.quantities import Shown

ALL_UP_DIFFERS = Rule(
    "all-up-differs",
    Severity.CAUTION,
    subject="boat",
    why="Two different figures for the same displacement give two different bulbs. One of the figures is for another "
    "boat, waterline or kind of water.",
)
HULL_ALONE = Rule(
    "displacement-of-hull-alone",
    Severity.NOTE,
    subject="boat",
    why="The displacement on a drawing is often that of the complete boat. If it is used for the hull alone, the bulb "
    "comes out too heavy.",
)

SPREADS = 3.0
"""Largest allowed difference between two figures for the displacement, in standard deviations. Judgement. [-]"""


def check_displacement(
    section: BoatSection, boat: BoatJob, water_density: float, shown: Shown
) -> tuple[Finding, ...]:
    """Return findings if two figures for the displacement differ, or if a figure may have been typed under the wrong key.

    Args:
        section: Boat's figures as typed.
        boat: Boat with her bulb.
        water_density: Density of the plan's water. [kg/m3]
        shown: The builder's units.
    """
    hull_alone = section.hull_displacement
    if section.displacement is not None:
        if section.hull is None and section.offsets is None and hull_alone is None:
            return ()
        return _against_hull(section, section.displacement, boat, water_density, shown)
    if hull_alone is None:
        return ()
    all_up = water_density * hull_alone / drawn_for(section, water_density) - boat.start.weigh_in.mass
    other = (
        f"the bulb will then weigh {shown.mass(all_up)}"
        if all_up > 0.0
        else "but that would leave nothing for a bulb, so the figure is probably for the hull alone"
    )
    return (
        HULL_ALONE(
            "boat.hull_displacement",
            f"{shown.mass(hull_alone)} is assumed to be the displacement of the hull alone. The fin and the bulb "
            f"displace {shown.mass(boat.displacement(water_density) - water_density * boat.start.hull.line.volume)} "
            f"more, so the bulb must weigh {shown.mass(boat.target_mass)}.",
            f"If the figure is for the complete boat, give it as boat.displacement; {other}.",
            found=boat.target_mass,
            limit=max(all_up, 0.0),
            unit="kg",
        ),
    )


def _against_hull(
    section: BoatSection, displacement: float, boat: BoatJob, water_density: float, shown: Shown
) -> tuple[Finding, ...]:
    # Both are for the plan's water, since the two figures give her volume on the line.
    given = displacement * water_density / drawn_for(section, water_density)
    found = boat.displacement(water_density)
    allowed = SPREADS * boat.displacement_spread
    if abs(given - found) <= allowed:
        return ()
    side = "higher" if given > found else "lower"
    return (
        ALL_UP_DIFFERS(
            "boat.displacement",
            f"The displacement given for the complete boat is {shown.mass(given)}, but the hull, fin and bulb together "
            f"displace {shown.mass(found)} at her line. The figure given is {shown.mass(abs(given - found))} {side}; "
            f"the limit is {shown.mass(allowed)}.",
            "The bulb is sized for the hull. Check the hull's scale, unit and waterline. If they are right, set "
            f"{typed('boat.displacement', shown.mass(found))}.",
            found=given,
            limit=found,
            unit="kg",
        ),
    )
