"""Fault report for a request that no bulb meets, with the nearest values that would work."""

from __future__ import annotations

import math

from bulbcast.bulb.hung.solve import (
    MassCentreOutOfReachError,
    NoSolutionError,
    TailTooThickError,
    TargetOutOfReachError,
)
from bulbcast.bulb.hung.wish import tail_diameter_for
from bulbcast.plan.faults import Fault
from bulbcast.plan.keys import limits
from bulbcast.plan.sections import Plan
from bulbcast.quantities import Dimension, Shown


def _inside(low: float, high: float, step: float) -> tuple[float, float]:
    """Round the ends of a range inwards to whole steps, so that the rounded values are still within the range."""
    return math.ceil(low / step - 1e-9) * step, math.floor(high / step + 1e-9) * step


def no_solution_fault(plan: Plan, error: NoSolutionError, shown: Shown) -> Fault:
    """Return the fault in a plan that no bulb can satisfy, with values that would work.

    Args:
        plan: The plan.
        error: Error that gives the reason why there is no bulb, with figures in SI units.
        shown: The builder's units.

    Returns:
        The fault. The values it suggests work when typed as shown.
    """
    step = 0.0254 / 32.0 if shown.units == "imperial" else 1e-4
    if isinstance(error, TargetOutOfReachError):
        # Stay a five hundredth inside the limits, since the masses are for a roughly placed bulb and are shown rounded.
        least, most = limits("bulb.target_mass", Dimension.MASS)
        lightest = max(1.002 * error.lightest, 1.02 * least)
        heaviest = min(0.998 * error.heaviest, 0.98 * most)
        masses = f"target_mass between {shown.mass(lightest)} and {shown.mass(heaviest)}"
        if error.nearest is None:
            remedy = f"Set {masses}, or a smaller tail_diameter. With this tail, no {error.given} works."
        else:
            low, high = _inside(*error.nearest, step)
            remedy = f"Set {error.given} between {shown.length(low)} and {shown.length(high)}, or {masses}."
        carries = f"{shown.mass(error.lightest)} to {shown.mass(error.heaviest)}"
        return Fault(
            plan.source,
            f"bulb.{error.given}",
            f"{shown.length(error.value)} for a hung mass of {shown.mass(error.target)}",
            f"a {error.given} that suits that mass; any fineness from 2 to 20 gives {carries}",
            remedy,
        )
    bulb = plan.bulb
    if isinstance(error, TailTooThickError) and bulb.tail_diameter is None and bulb.diameter is not None:
        # No tail was typed, so the typed diameter is too thin for any tail.
        return Fault(
            plan.source,
            "bulb.diameter",
            f"{shown.length(error.diameter)} for a hung mass of {shown.mass(bulb.target_mass)}"
            if bulb.target_mass is not None
            else shown.length(error.diameter),
            f"more than the thinnest tail, {shown.length(error.tail)}",
            "Check its unit, or remove diameter to use the default fineness of 6.",
        )
    if isinstance(error, TailTooThickError):
        thinner = shown.length(tail_diameter_for(error.diameter, None))
        return Fault(
            plan.source,
            "bulb.tail_diameter",
            shown.length(error.tail),
            f"less than the bulb's diameter, which is about {shown.length(error.diameter)} for this mass",
            f"Set tail_diameter to {thinner}, or remove it.",
        )
    if isinstance(error, MassCentreOutOfReachError):
        low, high = error.nearest
        chord = plan.fin.tip_chord
        if plan.bulb.mass_centre_x is not None:
            key, read = "bulb.mass_centre_x", shown.length(error.wanted)
            low, high = _inside(low, high, step)
            remedy = f"Set mass_centre_x between {shown.length(low)} and {shown.length(high)}."
        else:
            key, read = "fin.carry_at", f"{plan.fin.carry_at:g}"
            fore, aft = _inside(error.along_tip[0] / chord, error.along_tip[1] / chord, 0.01)
            remedy = f"Set carry_at between {fore:.2f} and {aft:.2f}."
        stands = "a position that keeps the fin's tip on the bulb; the mass centre cannot be this far forward or aft"
        return Fault(plan.source, key, read, stands, remedy)
    # Imported only if a plan has a boat.
    from bulbcast.ballast.for_boat import NoPlaceUnderFinError

    if isinstance(error, NoPlaceUnderFinError):
        tip, shortest = shown.length(plan.fin.tip_chord), shown.length(error.shortest)
        expected = "a bulb that extends past both ends of the tip"
        remedy = f"Choose a fineness or length that makes the bulb at least {shortest} long."
        if error.longest is not None:
            expected += ", but no further than the allowed overhangs"
            longest = shown.length(error.longest)
            remedy = (
                f"Choose a fineness or length that makes the bulb {shortest} to {longest} long, or allow more "
                "overhang."
            )
        read = f"a bulb {shown.length(error.bulb_length)} long under a tip chord of {tip}"
        return Fault(plan.source, "bulb", read, expected, remedy)
    return Fault(plan.source, "bulb", str(error), "a bulb", "Change the figures.")
