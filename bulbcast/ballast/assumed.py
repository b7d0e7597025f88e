"""Values assumed for the boat if the plan gives none: uncertainties, and the bulb's position if the trim is not known."""

from __future__ import annotations

from bulbcast.ballast.work import DISPLACEMENT_SHARE, BoatJob
from bulbcast.bulb.hung.wishes import USUAL_CARRY_AT
from bulbcast.plan.sections import DefaultTaken, Plan
from bulbcast.quantities import Shown


def ballast_defaults(plan: Plan, boat: BoatJob, shown: Shown) -> tuple[DefaultTaken, ...]:
    """List the bulb's position and the spreads that are assumed because the plan does not give them.

    Args:
        plan: Plan with its boat.
        boat: Boat with her bulb.
        shown: The builder's units.
    """
    if plan.boat is None:
        return ()
    share = f"{shown.percent(DISPLACEMENT_SHARE)} of the displacement; our judgement"
    found: list[tuple[object, str, str, str]] = [
        (
            plan.boat.displacement_spread,
            "boat.displacement_spread",
            shown.mass(boat.displacement_spread),
            share,
        )
    ]
    if boat.hung.wanted_x is None and plan.bulb.mass_centre_x is None:
        usual = "common practice; the position that levels the boat is not known"
        found.append((plan.fin.carry_at, "fin.carry_at", f"{USUAL_CARRY_AT:.2f}", usual))
    lines = zip(plan.weights, boat.start.weigh_in.weights, strict=False)
    for number, (one, line) in enumerate(lines, start=1):
        where, by_state = f"weights[{number}]", f"typical for a mass marked {one.state}; our judgement"
        found.append((one.spread, f"{where}.spread", shown.mass(line.mass_spread), by_state))
        if one.x is not None or one.z is not None:
            place = shown.length(line.place_spread)
            found.append(
                (
                    one.place_spread,
                    f"{where}.place_spread",
                    place,
                    f"typical fraction of the boat's length for a part marked {one.state}; our judgement",
                )
            )
    return tuple(
        DefaultTaken(key=key, value=value, source=source)
        for typed, key, value, source in found
        if typed is None
    )
