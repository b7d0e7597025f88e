"""What would mend a screw that leaves too little lead: nearest place, largest head. Searched, not guessed.

Every trial is one a builder can type and is shown in full: whole half millimetres along the fin, tenths
of a millimetre on a diameter, or 32nds of an inch. A small margin is kept, since the bulb itself moves by
hundredths of a millimetre when it is sized again with the mended screw.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from bulbcast.shape.cuts import ScrewCut
from bulbcast.shape.quadrature import Array
from bulbcast.sizing.ledger import HungBulb
from bulbcast.sizing.room import inside_outline, screw_walls, undersides

Flags = NDArray[np.bool_]

_INCH = 0.0254
_MARGIN = 0.0001


@dataclass(frozen=True, slots=True, kw_only=True)
class ScrewRemedy:
    """What would do for one screw; None where the search found nothing.

    Attributes:
        nearest_at: Aft of the tip's leading edge. [m]
        largest_head: Head diameter at the present place, where the head alone fills the recess. [m]
        largest_washer: Washer diameter at the present place, where the washer is the wider. [m]
    """

    nearest_at: float | None
    largest_head: float | None
    largest_washer: float | None = None

    @property
    def any(self) -> bool:
        """Whether the search found anything."""
        return any(one is not None for one in (self.nearest_at, self.largest_head, self.largest_washer))


def screw_remedy(bulb: HungBulb, number: int, *, wall_wanted: float, imperial: bool) -> ScrewRemedy:
    """The nearest place and the largest head that leave the wall wanted.

    Args:
        bulb: The sized bulb.
        number: Of the screw, from 1.
        wall_wanted: [m]
        imperial: Whether trials are fractions of an inch.

    Returns:
        What would do, each change on its own.
    """
    screw = bulb.screw_cuts[number - 1]
    step = _INCH / 32.0 if imperial else 0.0001
    by_washer = screw.washer is not None and screw.washer.diameter > screw.head_diameter
    narrower = _largest_recess(bulb, screw, wall_wanted, step)
    return ScrewRemedy(
        nearest_at=_nearest_place(bulb, screw, number, wall_wanted, _INCH / 32.0 if imperial else 0.0005),
        largest_head=None if by_washer else narrower,
        largest_washer=narrower if by_washer else None,
    )


def _nearest_place(
    bulb: HungBulb, screw: ScrewCut, number: int, wall_wanted: float, step: float
) -> float | None:
    chord = bulb.pocket.tip.chord
    step *= max(1.0, math.ceil(chord / step / 300.0))
    along: Array = step * np.arange(1, math.floor(chord / step) + 1, dtype=np.float64)
    lead = bulb.pocket.leading_edge_x
    fits = (
        (inside_outline(bulb.pocket, along, 0.0, np.full_like(along, 0.5 * screw.diameter)) > 0.0)
        & (
            inside_outline(
                bulb.pocket, along, bulb.pocket.clearance, np.full_like(along, 0.5 * screw.hole_diameter)
            )
            > 0.0
        )
        & _clear_of_others(bulb, number, along)
    )
    low, _ = undersides(bulb, along + lead)
    with np.errstate(invalid="ignore"):
        fits &= -(low + screw.recess) >= wall_wanted + _MARGIN
    trials = along[fits]
    if not len(trials):
        return None
    good = trials[
        _leaves_wall(bulb, [replace(screw, at_x=float(place) + lead) for place in trials], wall_wanted)
    ]
    if not len(good):
        return None
    now = screw.at_x - lead
    return float(good[np.argmin(np.abs(good - now))])


def _clear_of_others(bulb: HungBulb, number: int, along: Array) -> Flags:
    clear: Flags = np.full(len(along), True)
    mine = bulb.screw_cuts[number - 1]
    for i, other in enumerate(bulb.screw_cuts, start=1):
        if i != number:
            gap = np.abs(along + bulb.pocket.leading_edge_x - other.at_x) * math.cos(bulb.axis.rake)
            clear &= gap > 0.5 * (mine.recess_diameter + other.recess_diameter)
    return clear


def _largest_recess(bulb: HungBulb, screw: ScrewCut, wall_wanted: float, step: float) -> float | None:
    """Diameter of head, or of washer where that is the wider, whose recess leaves the wall wanted."""
    washer = screw.washer if screw.recess_diameter > screw.head_diameter else None
    largest = math.floor(screw.recess_diameter / step - 1e-9) * step
    smallest = step + (
        screw.hole_diameter if washer is None else max(screw.hole_diameter, washer.hole_diameter)
    )
    count = math.floor((largest - smallest) / step) + 1
    if count <= 0:
        return None
    step *= max(1.0, math.ceil(count / 200.0))
    heads = largest - step * np.arange(max(1, math.floor((largest - smallest) / step) + 1))
    good = heads[
        _leaves_wall(
            bulb,
            [
                replace(screw, head_diameter=float(head))
                if washer is None
                else replace(screw, washer=replace(washer, diameter=float(head)))
                for head in heads
            ],
            wall_wanted,
        )
    ]
    return float(good[0]) if len(good) else None


def _leaves_wall(bulb: HungBulb, trials: list[ScrewCut], wall_wanted: float) -> Flags:
    walls = screw_walls(bulb, tuple(trials))
    return np.array(
        [all(wall is not None and wall.thickness >= wall_wanted + _MARGIN for wall in pair) for pair in walls]
    )
