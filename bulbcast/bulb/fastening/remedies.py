"""Search for a fix for a screw that leaves too little lead or fin: a new position, recess, length or head.

Every trial is a figure that a builder can type, and is shown in full: half millimetres along the fin, tenths of a
millimetre for a diameter or a depth, or 32nds of an inch. A small margin is kept, because the bulb itself changes by
hundredths of a millimetre when it is sized again with the corrected screw. With a much smaller head, less
lead is removed and the bulb becomes smaller. The smaller bulb is sized, and if its wall is too thin, the head is made
smaller still.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from bulbcast.bulb.cuts.parts import ScrewCut
from bulbcast.bulb.fastening.limits import ScrewNeeds
from bulbcast.bulb.fastening.room import inside_outline, screw_walls, undersides
from bulbcast.bulb.hung.ledger import HungBulb
from bulbcast.bulb.hung.solve import NoSolutionError, size_where_asked
from bulbcast.bulb.hung.wish import BulbWish
from bulbcast.quantities.frozen import frozen
from bulbcast.solids.quadrature import Array

Flags = NDArray[np.bool_]

_INCH = 0.0254
_MARGIN = 0.0001
_MARGIN_IN_HEIGHTS = 0.001
_MOST_TRIALS = 300
_MOST_ROUNDS = 4


@frozen
class ScrewRemedy:
    """Changes that fix one screw; None for anything unchanged. Lengths in m.

    Attributes:
        found: Whether a position was found at which the screw leaves enough lead and fin.
        good_practice: Whether that position leaves as much fin as good practice requires, or only the minimum allowed.
        at: The nearest position that works, aft of the tip's leading edge.
        recess: The deepest recess that works at that position, if the present one is too deep.
        length: The length for that position and recess, if the present one is too short.
        largest_head: Largest head that works at the present position with everything else unchanged.
        largest_washer: The same for the washer, if it is wider than the head.
    """

    found: bool
    good_practice: bool = False
    at: float | None = None
    recess: float | None = None
    length: float | None = None
    largest_head: float | None = None
    largest_washer: float | None = None

    @property
    def any(self) -> bool:
        """Whether the search found anything."""
        return self.found or self.largest_head is not None or self.largest_washer is not None


def screw_remedies(
    bulb: HungBulb, wish: BulbWish, needs: Mapping[int, ScrewNeeds], *, imperial: bool
) -> dict[int, ScrewRemedy]:
    """Fixes for several screws; each fix works alone or together with all the others.

    Args:
        bulb: The sized bulb.
        wish: The bulb that the plan asks for.
        needs: Limits for each screw that needs a fix, keyed by screw number, counted from 1.
        imperial: Whether trials are fractions of an inch.

    Returns:
        Remedies, keyed by screw number. No two screws are given the same position. Each screw keeps clear of the others
        at their present positions, and of the new positions given to screws before it.
    """
    found: dict[int, ScrewRemedy] = {}
    moved: list[ScrewCut] = []
    for number, wanted in needs.items():
        others = [cut for i, cut in enumerate(bulb.screw_cuts, start=1) if i != number]
        search = _Search(bulb, number, wanted, [*others, *moved], _Steps.of(imperial))
        remedy = search.remedy()
        found[number] = remedy
        if remedy.at is not None:
            cut = bulb.screw_cuts[number - 1]
            moved.append(replace(cut, at_x=remedy.at + bulb.pocket.leading_edge_x))
    for _ in range(_MOST_ROUNDS):
        smaller = _smaller_yet(wish, needs, found, _Steps.of(imperial))
        if not smaller:
            break
        found |= smaller
    return found


def _smaller_yet(
    wish: BulbWish, needs: Mapping[int, ScrewNeeds], found: Mapping[int, ScrewRemedy], steps: _Steps
) -> dict[int, ScrewRemedy]:
    """Remedies with an even smaller head for screws whose new head, typed alone or with all the others, leaves too thin
    a wall in the resulting bulb."""
    heads = {
        number: remedy
        for number, remedy in found.items()
        if remedy.largest_head is not None or remedy.largest_washer is not None
    }
    smaller: dict[int, ScrewRemedy] = {}
    for number, remedy in heads.items():
        for typed_in in ({number: remedy}, heads):
            screws = tuple(_with_head(screw, typed_in.get(i)) for i, screw in enumerate(wish.screws, start=1))
            try:
                bulb = size_where_asked(replace(wish, screws=screws))
            except NoSolutionError:
                continue
            cuts = bulb.screw_cuts
            walls = screw_walls(bulb, cuts[number - 1 : number])[0]
            if all(wall is not None and wall.thickness >= needs[number].wall for wall in walls):
                continue
            others = [cut for i, cut in enumerate(cuts, start=1) if i != number]
            search = _Search(bulb, number, needs[number], others, steps)
            head, washer = search.smaller_head(search.screw.at_x - search.lead)
            smaller[number] = replace(remedy, largest_head=head, largest_washer=washer)
    return smaller


def _with_head(screw: ScrewCut, remedy: ScrewRemedy | None) -> ScrewCut:
    """A copy of a screw with the head or washer that was found for it."""
    if remedy is None:
        return screw
    if remedy.largest_head is not None:
        return replace(screw, head_diameter=remedy.largest_head)
    if remedy.largest_washer is None or screw.washer is None:
        return screw
    return replace(screw, washer=replace(screw.washer, diameter=remedy.largest_washer))


@frozen
class Pair:
    """Positions for two screws of the same kind as a given one, measured aft of the tip's leading edge. [m]

    Attributes:
        forward: The forward position. [m]
        aft: The aft position. [m]
        unchanged: Whether the recess and length can stay the same at both positions.
    """

    forward: float
    aft: float
    unchanged: bool


def room_for_two(bulb: HungBulb, needs: ScrewNeeds, *, imperial: bool) -> Pair | None:
    """Positions with room for two screws like the bulb's single screw; None if the chord has no room for them.

    Args:
        bulb: The sized bulb.
        needs: Limits for that screw.
        imperial: Whether to try fractions of an inch.
    """
    screw = bulb.screw_cuts[0]
    search = _Search(bulb, 1, needs, (), _Steps.of(imperial))
    return search.pair(screw.at_x - bulb.pocket.leading_edge_x)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Places:
    """Positions that work: distance aft of the leading edge, the underside there measured from the floor, whether good
    practice is met, and the recess needed. [m]"""

    along: Array
    low: Array
    practice: Flags
    recess: tuple[float, ...]


@dataclass(frozen=True, slots=True)
class _Steps:
    """Steps by which a typed position and a typed size are varied. [m]"""

    place: float
    size: float

    @staticmethod
    def of(imperial: bool) -> _Steps:
        step = _INCH / 32.0
        return _Steps(step, step) if imperial else _Steps(0.0005, 0.0001)

    def down(self, size: float) -> float:
        return math.floor(size / self.size + 1e-9) * self.size

    def up(self, size: float) -> float:
        return math.ceil(size / self.size - 1e-9) * self.size


class _Search:
    """Search for a remedy for one screw."""

    def __init__(
        self, bulb: HungBulb, number: int, needs: ScrewNeeds, others: Sequence[ScrewCut], steps: _Steps
    ) -> None:
        self.bulb, self.needs, self.others, self.steps = bulb, needs, others, steps
        self.screw = bulb.screw_cuts[number - 1]
        self.lead = bulb.pocket.leading_edge_x
        self.margin = max(_MARGIN, _MARGIN_IN_HEIGHTS * bulb.body.height)

    def remedy(self) -> ScrewRemedy:
        """Changes of position, recess and length that work together, and a smaller head if that alone works."""
        now = self.screw.at_x - self.lead
        head, washer = self.smaller_head(now)
        places = self.places(now)
        if not len(places.along):
            return ScrewRemedy(found=False, largest_head=head, largest_washer=washer)
        # Good practice first, then what is allowed; in each case the nearest.
        wanted = places.practice if np.any(places.practice) else np.full(len(places.along), True)
        best = int(np.argmin(np.where(wanted, np.abs(places.along - now), math.inf)))
        at, recess = float(places.along[best]), places.recess[best]
        return ScrewRemedy(
            found=True,
            good_practice=bool(places.practice[best]),
            at=None if at == now else at,
            recess=None if recess == self.screw.recess else recess,
            length=self._longer(float(places.low[best]) + recess),
            largest_head=head,
            largest_washer=washer,
        )

    def places(self, now: float) -> _Places:
        """All positions along the chord where the screw leaves enough lead and fin, starting with the present one."""
        chord = self.bulb.pocket.tip.chord
        step = self.steps.place * max(1.0, math.ceil(chord / self.steps.place / _MOST_TRIALS))
        along: Array = np.concatenate([[now], step * np.arange(1, math.floor(chord / step) + 1)])
        edge = self._inside(along, 0.0, self.screw.diameter)
        low, _ = undersides(self.bulb, along + self.lead)
        deepest = -low - self.needs.wall - self.margin
        with np.errstate(invalid="ignore"):
            fits = (
                (edge >= self.needs.edge_allowed)
                & (self._inside(along, self.bulb.pocket.clearance, self.screw.hole_diameter) > 0.0)
                & self._clear(along)
                & (deepest >= self.steps.size)
            )
        along, edge, low = along[fits], edge[fits], low[fits]
        recess = [self._recess(float(one)) for one in deepest[fits]]
        good = self._leaves_wall(
            [
                replace(self.screw, at_x=float(place) + self.lead, recess=one)
                for place, one in zip(along, recess, strict=True)
            ]
        )
        return _Places(
            along=along[good],
            low=low[good],
            practice=edge[good] >= self.needs.edge_good,
            recess=tuple(one for one, keeps in zip(recess, good, strict=True) if keeps),
        )

    def pair(self, now: float) -> Pair | None:
        """Positions with room for two screws like this one, one towards each end of the chord."""
        places = self.places(now)
        as_it_is = np.array(
            [
                recess == self.screw.recess and self._longer(float(low) + recess) is None
                for low, recess in zip(places.low, places.recess, strict=True)
            ],
            dtype=bool,
        )
        everywhere = np.full(len(places.along), True)
        for unchanged, which in (
            (True, as_it_is & places.practice),
            (True, as_it_is),
            (False, everywhere),
        ):
            along = places.along[which]
            apart = self.screw.recess_diameter / math.cos(self.bulb.axis.rake)
            if len(along) and float(np.max(along) - np.min(along)) > apart:
                return Pair(forward=float(np.min(along)), aft=float(np.max(along)), unchanged=unchanged)
        return None

    def _inside(self, along: Array, clearance: float, diameter: float) -> Array:
        return inside_outline(self.bulb.pocket, along, clearance, np.full_like(along, 0.5 * diameter))

    def _clear(self, along: Array, recess_diameter: float | None = None) -> Flags:
        """Whether the recess keeps clear of other recesses and studs, and the shank clear of cross pins."""
        wide = self.screw.recess_diameter if recess_diameter is None else recess_diameter
        shank = self.screw.diameter
        apart = [(other.at_x, wide + other.recess_diameter) for other in self.others]
        apart += [(stud.at_x, wide + stud.diameter) for stud in self.bulb.stud_cuts]
        apart += [(pin.at_x, shank + pin.diameter) for pin in self.bulb.pin_cuts]
        clear: Flags = np.full(len(along), True)
        for at_x, both in apart:
            clear &= np.abs(along + self.lead - at_x) * math.cos(self.bulb.axis.rake) > 0.5 * both
        return clear

    def _recess(self, deepest: float) -> float:
        return self.screw.recess if self.screw.recess <= deepest else self.steps.down(deepest)

    def _longer(self, seat: float) -> float | None:
        """Screw length that gives the required thread from a given seat on the lead; None if the present
        screw is long enough."""
        needed = self.needs.thread - self.screw.under_head(seat)
        if self.screw.length >= needed:
            return None
        return self.steps.up(needed + self.margin)

    def _leaves_wall(self, trials: list[ScrewCut]) -> Flags:
        if not trials:
            return np.zeros(0, dtype=bool)
        walls = screw_walls(self.bulb, tuple(trials))
        least = self.needs.wall + self.margin
        return np.array(
            [all(wall is not None and wall.thickness >= least for wall in pair) for pair in walls]
        )

    def smaller_head(self, now: float) -> tuple[float | None, float | None]:
        """Find the largest diameter of the head, or of the washer if it is wider, whose recess leaves the required wall
        with everything else unchanged. Returns head and washer, None for either that does not change. [m]"""
        screw, step = self.screw, self.steps.size
        at: Array = np.array([now])
        low = float(undersides(self.bulb, at + self.lead)[0][0])
        right = (
            self._inside(at, 0.0, screw.diameter)[0] >= self.needs.edge_allowed
            and self._inside(at, self.bulb.pocket.clearance, screw.hole_diameter)[0] >= 0.0
            and -low - screw.recess >= self.needs.wall
            and screw.length + screw.under_head(low + screw.recess) >= self.needs.thread
        )
        if not right:
            return None, None
        washer = screw.washer if screw.recess_diameter > screw.head_diameter else None
        largest = math.floor(screw.recess_diameter / step - 1e-9) * step
        smallest = step + (
            screw.hole_diameter if washer is None else max(screw.hole_diameter, washer.hole_diameter)
        )
        if largest < smallest:
            return None, None
        step *= max(1.0, math.ceil((largest - smallest) / step / 200.0))
        heads = largest - step * np.arange(math.floor((largest - smallest) / step + 1e-9) + 1)
        trials = [
            replace(screw, head_diameter=float(head))
            if washer is None
            else replace(screw, washer=replace(washer, diameter=float(head)))
            for head in heads
        ]
        clear = np.array([self._clear(at, trial.recess_diameter)[0] for trial in trials])
        good = heads[self._leaves_wall(trials) & clear]
        if not len(good):
            return None, None
        return (float(good[0]), None) if washer is None else (None, float(good[0]))
