"""The steps of the work as they are shown: bulb, pattern, mould, melt, pour, float, and how far each of them is."""

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
    """How far a step is. Its value is the word that people read."""

    READY = "ready"
    HOLD = "on hold"
    STOPPED = "stopped"
    NOT_PLANNED = "not planned"


STATE_SIGNS = {State.READY: "✓", State.HOLD: "‖", State.STOPPED: "✕", State.NOT_PLANNED: "○"}
"""Of a shape of its own each, so that none hangs on colour."""
STATE_COLOURS = {State.READY: "32", State.HOLD: "1;33", State.STOPPED: "1;31", State.NOT_PLANNED: "2"}
"""On the terminal."""


@frozen
class StepState:
    """One step.

    Attributes:
        name: Name of the step.
        state: How far it is.
        reasons: The findings that stop or hold it, gravest first.
        missing: For a step that is not planned: what the plan would have to give, such as "[mould]".
    """

    name: StepName
    state: State
    reasons: tuple[Finding, ...] = ()
    missing: str = ""

    @property
    def style(self) -> str:
        """Its class in the report."""
        return self.state.value.replace(" ", "-")
