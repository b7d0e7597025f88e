"""The steps of the work as shown to the builder (bulb, pattern, mould, melt, pour and float), and the state of each."""

from __future__ import annotations

from enum import StrEnum
from typing import Literal, get_args

from bulbcast.findings import Finding
from bulbcast.quantities.frozen import frozen

StepName = Literal["bulb", "pattern", "mould", "melt", "pour", "float"]
STEP_NAMES: tuple[StepName, ...] = get_args(StepName)
STEP_TITLES: dict[StepName, str] = {
    "bulb": "The bulb and its fastening",
    "pattern": "The pattern",
    "mould": "The mould",
    "melt": "Metal and melt",
    "pour": "The pour",
    "float": "File, hang and float",
}


class State(StrEnum):
    """State of a step; the value is the word that is displayed."""

    READY = "ready"
    HOLD = "on hold"
    STOPPED = "stopped"
    NOT_PLANNED = "not planned"


STATE_SIGNS = {State.READY: "✓", State.HOLD: "‖", State.STOPPED: "✕", State.NOT_PLANNED: "○"}
"""Sign for each state. The signs differ in shape, so that none depends on colour."""
STATE_COLOURS = {State.READY: "32", State.HOLD: "1;33", State.STOPPED: "1;31", State.NOT_PLANNED: "2"}
"""ANSI colour code for each state, for the terminal."""


@frozen
class StepState:
    """One step of the work.

    Attributes:
        name: Name of the step.
        state: State of the step.
        reasons: The findings that stop or hold it, most serious first.
        missing: Section needed to plan the step, such as "[mould]"; "" if it is planned.
    """

    name: StepName
    state: State
    reasons: tuple[Finding, ...] = ()
    missing: str = ""

    @property
    def style(self) -> str:
        """CSS class of the state in the report."""
        return self.state.value.replace(" ", "-")
