"""The bulb's mass as a fraction of the complete boat's, which reveals a displacement or weight typed in the wrong unit."""

from __future__ import annotations

import re
from itertools import combinations

from bulbcast.plan.boat_sections import BoatSection, WeightSection
from bulbcast.plan.faults import Fault
from bulbcast.plan.sections import Plan
from bulbcast.quantities import Shown

ALIKE = 0.01
"""Largest difference in mass at which two lines count as the same weight, as a fraction of the first line's mass.
Judgement. [-]"""
SHARE = (0.12, 0.80)
"""Range of the bulb's mass as a fraction of the complete boat's; values outside it are questioned. Judgement. [-]"""
USUAL_SHARE = (0.20, 0.72)
"""A different unit is suggested only if it brings the bulb's fraction of the boat's mass into this range. Judgement. [-]"""
UNITS = {"ounces for grams": 28.349523125, "pounds for kilograms": 0.45359237, "kilograms for grams": 1000.0}
"""Unit mix-ups, with the typed unit named before the intended one, and the factor by which each makes the mass too
large."""


def lines_alike(weights: tuple[WeightSection, ...]) -> list[tuple[int, int]]:
    """Find lines that look like one weight typed twice, with the same name or position and the same mass.

    Args:
        weights: Weights in the plan.

    Returns:
        Pairs of positions in the list, the earlier one first.
    """
    found = []
    for (first, one), (second, other) in combinations(enumerate(weights), 2):
        alike = one.mass > 0.0 and abs(one.mass - other.mass) <= ALIKE * one.mass
        same_name = _bare(one.name) == _bare(other.name)
        placed = one.x is not None and one.z is not None
        same_place = placed and (one.x, one.y, one.z) == (other.x, other.y, other.z)
        apart = placed and other.x is not None and not same_place
        if alike and (same_place or (same_name and not apart)):
            found.append((first, second))
    return found


def _bare(name: str) -> str:
    return re.sub(r"[\W_]+", "", name.casefold())


def displacement_key(section: BoatSection) -> str:
    """Return the dotted key that gives the boat's displacement.

    Args:
        section: Boat's figures as typed.
    """
    keys = ("hull", "offsets", "hull_displacement")
    return f"boat.{next((one for one in keys if getattr(section, one) is not None), 'displacement')}"


def share_of_bulb(displaced: float, others: float) -> float:
    """Return the bulb's mass as a fraction of the complete boat's.

    Args:
        displaced: Mass of water displaced on the design waterline. [kg]
        others: Mass of everything but the bulb. [kg]

    Returns:
        The fraction, zero or negative if nothing is left for the bulb. [-]
    """
    return 1.0 - others / displaced


def unit_that_fits(masses: list[float], displaced: float, others: float) -> tuple[int, str, float] | None:
    """Find the one line whose mass, in a different unit, would leave a typical fraction for the bulb.

    Args:
        masses: Masses of the lines as typed. [kg]
        displaced: Mass of water displaced on the design waterline. [kg]
        others: Mass of everything but the bulb, including these lines. [kg]

    Returns:
        Position in the list, description of the mix-up, and intended mass [kg]; None if no line fits or the bulb's
        fraction is not unusual.
    """
    if SHARE[0] <= share_of_bulb(displaced, others) <= SHARE[1]:
        return None
    heaviest = sorted(range(len(masses)), key=lambda one: -masses[one])
    for number in heaviest:
        for words, factor in UNITS.items():
            for said, meant in ((words, masses[number] / factor), (_turned(words), masses[number] * factor)):
                share = share_of_bulb(displaced, others - masses[number] + meant)
                if USUAL_SHARE[0] <= share <= USUAL_SHARE[1]:
                    return number, said, meant
    return None


def _turned(words: str) -> str:
    return " for ".join(reversed(words.split(" for ")))


def doubts_of_shares(plan: Plan, displaced: float, others: float) -> list[Fault]:
    """Return faults of a plan that leaves nothing for a bulb because the listed weights do not fit the displacement.

    Args:
        plan: Plan with its boat.
        displaced: Mass of water displaced on the design waterline. [kg]
        others: Mass of everything but the bulb. [kg]

    Returns:
        The faults; an empty list if the fraction left for the bulb is not unusual or no weight is listed.
    """
    share, shown = share_of_bulb(displaced, others), Shown(plan.display_units)
    if plan.boat is None or not plan.weights or SHARE[0] <= share <= SHARE[1]:
        return []
    found = [
        Fault(
            plan.source,
            f"weights[{second + 1}]",
            f'"{plan.weights[second].name}" with the same mass as "{plan.weights[first].name}", weights[{first + 1}]',
            "each weight only once",
            "Remove one of the two lines. If the boat has both, give each a different name and position.",
        )
        for first, second in lines_alike(plan.weights)
    ]
    fits = unit_that_fits([one.mass for one in plan.weights], displaced, others)
    if fits is not None:
        number, said, meant = fits
        line = plan.weights[number]
        found.append(
            Fault(
                plan.source,
                f"weights[{number + 1}].mass",
                f'"{line.name}" of {shown.mass(line.mass)}, which brings the mass of everything but the bulb to '
                f"{shown.mass(others)}",
                f"weights that leave room for a bulb within her displacement of {shown.mass(displaced)}",
                f"If you typed {said}, the mass is {shown.mass(meant)}. Write that mass instead.",
            )
        )
    left = (
        f"leave {shown.percent(share)} of the displacement for the bulb"
        if share > 0.0
        else "leave nothing for a bulb"
    )
    found.append(
        Fault(
            plan.source,
            displacement_key(plan.boat),
            f"a boat that displaces {shown.mass(displaced)}, with listed weights of {shown.mass(others)}, which {left}",
            f"a bulb of {shown.percent(SHARE[0])} to {shown.percent(SHARE[1])} of the complete boat",
            "Check the units of the displacement and of each weight, and make sure the list is complete.",
        )
    )
    return found
