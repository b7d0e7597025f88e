"""Positions of a float test's marks on the boat, and their readings relative to the design line."""

from __future__ import annotations

import numpy as np

from bulbcast.afloat.asked import COMMAND_LINE, FloatAsked, Reading
from bulbcast.afloat.marks_to_mass import Mark
from bulbcast.ballast.work import BoatJob
from bulbcast.hull.trimming import Flotation
from bulbcast.plan.faults import Fault
from bulbcast.plan.sections import DefaultTaken
from bulbcast.sailing.results import SailingResults

_BEYOND_ENDS, _FURTHEST_OFF = 0.5, 0.15
"""Maximum distance of a mark beyond the ends of the waterline, and of the water from the design line, as fractions of
the waterline length. A larger distance is probably due to a wrong unit. Our judgement. [-]"""


class Placing:
    """Locates each mark on the boat, and lists the assumptions made and the faults found."""

    def __init__(self, job: SailingResults, boat: BoatJob, flotation: Flotation) -> None:
        self.job, self.boat, self.flotation = job, boat, flotation
        self.taken: list[DefaultTaken] = []
        self.faults: list[Fault] = []

    def take(self, key: str, value: str, source: str) -> None:
        if key not in [one.key for one in self.taken]:
            self.taken.append(DefaultTaken(key=key, value=value, source=source))

    def mark(self, asked: FloatAsked, reading: Reading) -> Mark | None:
        """Locate a reading on the boat. If data are missing or not plausible, a fault is reported and None returned."""
        x = self._along(asked, reading)
        y = self._across(asked, reading)
        if y is None or not self._on_her(reading.mark, x):
            return None
        above = reading.above or 0.0
        if reading.freeboard is not None:
            on_line = reading.freeboard_on_line
            if on_line is None:
                on_line = self._freeboard_on_line(reading, x)
            if on_line is None:
                return None
            above = on_line - reading.freeboard
        return Mark(name=reading.mark, x=x, y=y, above=above) if self._likely(reading, above) else None

    def _on_her(self, name: str, x: float) -> bool:
        """Whether a mark's position is possible on this boat. If not, a fault is reported."""
        flotation, shown = self.flotation, self.job.shown
        beyond = _BEYOND_ENDS * flotation.length
        low, high = flotation.fore_x - beyond, flotation.aft_x + beyond
        if low <= x <= high:
            return True
        self._fault(
            f"--{name if name in ('bow', 'stern') else 'sides'}-at",
            shown.length(x),
            f"a position on this boat, from {shown.length(low)} to {shown.length(high)}",
            "Measure x aft from the forward end of the waterline, and check the unit.",
        )
        return False

    def _likely(self, reading: Reading, above: float) -> bool:
        """Whether a boat can float as far from her line as the reading says. If not, a fault is reported."""
        most, shown = _FURTHEST_OFF * self.flotation.length, self.job.shown
        if abs(above) <= most:
            return True
        self._fault(
            f"--{reading.mark}",
            f'"{reading.typed}", {shown.length(abs(above))} from the design line',
            f"a reading within {shown.length(most)} of it",
            "Check the figure and its unit.",
        )
        return False

    def _along(self, asked: FloatAsked, reading: Reading) -> float:
        outline, flotation, shown = self.boat.start.hull.outline, self.flotation, self.job.shown
        if reading.mark in ("bow", "stern"):
            forward = reading.mark == "bow"
            given = asked.bow_x if forward else asked.stern_x
            if given is not None:
                return given
            if reading.freeboard is not None and outline is not None:
                x, source = outline.x[0 if forward else -1], "the end of the deck"
            else:
                x = flotation.fore_x if forward else flotation.aft_x
                source = f"the {'forward' if forward else 'after'} end of the waterline"
            self.take(f"--{reading.mark}-at", shown.length(x), source)
            return x
        if asked.sides_x is not None:
            return asked.sides_x
        x = 0.5 * (flotation.fore_x + flotation.aft_x)
        self.take("--sides-at", shown.length(x), "the middle of the waterline")
        return x

    def _across(self, asked: FloatAsked, reading: Reading) -> float | None:
        if reading.mark in ("bow", "stern"):
            return 0.0
        apart, beam = asked.sides_apart, self.boat.start.hull.line.beam
        if apart is None and beam is None:
            if reading.mark == "port":
                self._fault(
                    "--sides-apart",
                    "nothing",
                    "the distance between the port and starboard marks, because the plan gives no waterline_beam",
                    'Add, for example, --sides-apart "200 mm".',
                )
            return None
        if apart is None:
            apart = beam or 0.0
            self.take("--sides-apart", self.job.shown.length(apart), "the waterline beam")
        return 0.5 * apart if reading.mark == "starboard" else -0.5 * apart

    def _freeboard_on_line(self, reading: Reading, x: float) -> float | None:
        outline = self.boat.start.hull.outline
        if outline is None:
            self._fault(
                f"--{reading.mark}",
                f'"{reading.typed}"',
                "the freeboard on the design line as well, because a hull given only by figures has no deck",
                f'Write, for example, --{reading.mark} "{reading.typed} of 62 mm", or read a mark on the hull.',
            )
            return None
        if not outline.x[0] - 1e-9 <= x <= outline.x[-1] + 1e-9:
            shown = self.job.shown
            self._fault(
                f"--{reading.mark}",
                f"a freeboard at x = {shown.length(x)}",
                f"a position on the deck, from {shown.length(outline.x[0])} to {shown.length(outline.x[-1])}",
                "Correct the position, or give the freeboard on the design line.",
            )
            return None
        height = float(np.interp(x, outline.x, outline.sheer))
        self.take(
            f"--{reading.mark}",
            f"freeboard of {self.job.shown.length(height)} on the design line",
            "the deck edge of the hull",
        )
        return height

    def _fault(self, key: str, read: str, expected: str, remedy: str) -> None:
        self.faults.append(Fault(COMMAND_LINE, key, read, expected, remedy))
