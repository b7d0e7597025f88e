"""Answers that the plan cannot give yet, with the figures that each needs. No other figures are requested."""

from __future__ import annotations

from bulbcast.ballast.work import BoatJob
from bulbcast.bulb.hung.wishes import USUAL_CARRY_AT
from bulbcast.findings import Finding, Rule, Severity
from bulbcast.plan.sections import Plan
from bulbcast.quantities import Shown, joined
from bulbcast.quantities.frozen import frozen

PLACE_NOT_KNOWN = Rule(
    "place-not-known",
    Severity.NOTE,
    subject="boat",
    why="The boat's displacement gives the bulb's mass. Where the bulb must hang depends on the positions of the "
    "weights and of the centre of buoyancy.",
)
TRIM_NOT_TOLD = Rule(
    "trim-not-told",
    Severity.NOTE,
    subject="boat",
    why="How far a moment trims the boat depends on the longitudinal metacentric radius.",
)

_MOST_NAMES = 3
"""Maximum number of weights with unknown positions to list by name."""


@frozen
class LeftOpen:
    """Answer that the plan cannot give yet.

    Attributes:
        what: Name of the answer. [-]
        needs: Keys and figures that would provide it. [-]
    """

    what: str
    needs: tuple[str, ...]

    @property
    def said(self) -> str:
        """Missing answer and the figures it needs, in one line."""
        return f"{self.what}: {joined(self.needs, 'and')}"


def left_open(boat: BoatJob) -> tuple[LeftOpen, ...]:
    """Return the answers that are not known yet, in the order in which the builder needs them.

    Args:
        boat: Boat with her bulb.
    """
    line, summed = boat.start.hull.line, boat.start.weigh_in
    fin = (
        ()
        if boat.start.fin is not None
        else ("the fin from hull to tip (fin.root_chord and the keys that go with it)",)
    )
    places, levels = (_places(boat, axis) for axis in ("x", "z"))

    def lacking(*figures: tuple[str, float | None]) -> tuple[str, ...]:
        return tuple(f"boat.{key}" for key, value in figures if value is None)

    centre = lacking(("buoyancy_x", line.buoyancy_x))
    area = lacking(("waterplane_area", line.waterplane_area))
    # With area and length, the rest is estimated.
    turning = lacking(("waterline_length", line.length))
    across = lacking(("metacentric_radius", line.bm_across), ("buoyancy_z", line.buoyancy_z))
    freeboard = () if boat.freeboard is not None else ("boat.freeboard, or a hull file",)
    known = summed.mass > 0.0
    answers = (
        ("What the boat weighs without the bulb", () if known else ("[[weights]], each with its mass",)),
        ("Where the bulb must hang for level trim", (*centre, *fin, *places)),
        ("How far an added mass sinks her", area),
        (
            "How far a moved weight trims her",
            () if boat.flotation is not None else (*area, *turning, *levels),
        ),
        ("GM, the boat's initial stability", (*across, *fin, *levels)),
        ("How much freeboard remains", freeboard),
    )
    return tuple(LeftOpen(what=what, needs=tuple(dict.fromkeys(needs))) for what, needs in answers if needs)


def _places(boat: BoatJob, axis: str) -> tuple[str, ...]:
    names = [f'"{one.name}"' for one in boat.start.weigh_in.without(axis)]
    if not names:
        return ()
    if len(names) > _MOST_NAMES:
        names = [*names[:_MOST_NAMES], f"{len(names) - _MOST_NAMES} more"]
    return (f"{axis} of {joined(names, 'and')}",)


def check_left_open(plan: Plan, boat: BoatJob, shown: Shown) -> tuple[Finding, ...]:
    """Return notes on the bulb's position and the boat's trim if the boat's figures do not give them.

    Args:
        plan: Plan with its boat.
        boat: Boat with her bulb.
        shown: The builder's units.
    """
    findings = []
    if boat.hung.wanted_x is None:
        needs = next((one.needs for one in left_open(boat) if one.what.startswith("Where the bulb")), ())
        chord = f"{USUAL_CARRY_AT:.2f} of the tip chord aft of its leading edge"
        hangs = (
            "The position given in the plan is used"
            if boat.place_imposed
            else f"Until it is, the bulb is assumed to hang {chord}"
        )
        findings.append(
            PLACE_NOT_KNOWN(
                "boat",
                "The bulb's mass follows from the displacement, but where it must hang for level trim is not known yet. "
                f"{hangs}.",
                f"To find the position, give {joined(needs, 'and')}.",
            )
        )
    elif boat.flotation_missing:
        message, _, remedy = boat.flotation_missing.partition(". ")
        findings.append(TRIM_NOT_TOLD("boat", f"{message.rstrip('.')}.", remedy))
    return tuple(findings)
