"""The drying log of a plaster mould and what it allows: when a part has come down to its dry mass and stays there.

The computed mass is necessary and never sufficient. A part passes where its last weighing is at or below the mass
that stoichiometry gives, on the safe side of purity and scale, AND the weighings before it agree with it over the
time asked for, AND, for a mould dried in air, all of them were made at 30 to 45 degC in moving air; of a baked one,
none in air that is said to be cooler than 50 degC. A pass ends after 12 hours, or when the part has cooled. A part
that is weighed just set once more has been made anew: what was weighed before does not count. Nothing here reads a
clock: the moment to judge at is given, or is that of the last entry.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime, timedelta
from enum import StrEnum
from typing import Literal

from bulbcast.foundry.drying.trend import Trend, trend_of
from bulbcast.materials.plaster import PlasterMix

CONSTANT_WITHIN = {"baked": 0.001, "air": 0.002}
"""Change of mass from one weighing to the other, over the mass. Judgement; 0.2 % a day common practice, no source."""
CONSTANT_GAP = {"baked": timedelta(hours=1), "air": timedelta(days=1)}
"""From the one weighing to the other, at least."""
PASS_HOLDS = timedelta(hours=12)
"""Plaster takes water back from the air. Judgement."""
WARM_FROM = {"baked": 50.0, "air": 30.0}
"""Below it a part that has passed has cooled and may have taken water back. [degC] 50 to 65 degC at the pour is founders'
practice."""
AIR_FROM, AIR_TO = 30.0, 45.0
"""Of the air round a mould that dries in air: below it constant mass proves nothing, above it plaster begins to lose
bound water. [degC] Plaster makers' guidance, 43 to 49 degC at most."""
HIGHEST_OVEN = 180.0
"""Above it hemihydrate goes on to anhydrite. [degC] Calcining practice, 160 to 200 degC."""
BAKES_FROM = 100.0
"""Cooler air takes the free water alone. [degC] Calcining: the change to hemihydrate runs at 100 to 130 degC."""
_ROOT_TWO = math.sqrt(2.0)
JUST_SET_OVER_COMPUTED = 1.15
"""A just-set reading so far above the computed mass is a slip, or the block is another one: its dry mass would be
reckoned too high. As far below it, its steel or its mix is not what the plan says. Judgement."""
KNOWN_PURITY = 0.025
"""A purity known as well as that is a test bar's: the dry mass it gives is then asked for as it is. Judgement: half a
kilogram of the mix on a scale of 1 g tells it to 2.2 %, the bag to 5 %."""
_LONGEST_PROJECTION = 400.0 * 86400.0


class Lack(StrEnum):
    """What a part still lacks for the pour."""

    DRYING_NOT_SAID = "drying-not-said"
    NOT_JUST_SET = "just-set-not-weighed"
    SET_UNLIKE = "just-set-too-heavy"
    SET_LIGHT = "just-set-too-light"
    NOT_WEIGHED = "not-weighed"
    MADE_ANEW = "made-anew"
    HEAVIER_THAN_SET = "heavier-than-just-set"
    OVER_BAKED = "over-baked"
    LIGHTER_THAN_CAN_BE = "lighter-than-can-be"
    TOO_HEAVY = "too-heavy"
    WEIGHED_ONCE = "weighed-once"
    NOT_CONSTANT = "not-constant"
    SCALE_TOO_COARSE = "scale-too-coarse"
    NOT_WARM = "not-in-warm-moving-air"
    WEIGHED_COLD = "weighed-in-cold-air"
    EXPIRED = "expired"
    COOLED = "cooled"
    IN_THE_FUTURE = "in-the-future"


@dataclass(frozen=True, slots=True, kw_only=True)
class LogEntry:
    """One line of the log.

    Attributes:
        what: Just set and weighed are masses, temperature is that of the part itself.
        part: Of the mould.
        value: [kg] or [degC]
        time: When it was read; all of a log with a time zone, or all without.
        air: Of the air round the part: room, drying box or oven; None where not said. [degC]
        moving_air: Whether that air was moved by a fan or a draught; None where not said.
        line: In the file.
    """

    what: Literal["just set", "weighed", "temperature"]
    part: str
    value: float
    time: datetime
    air: float | None
    moving_air: bool | None
    line: int


@dataclass(frozen=True, slots=True, kw_only=True)
class DryingLog:
    """A whole log: its entries in the order of the file, and the file's own sha256 in hexadecimal."""

    entries: tuple[LogEntry, ...]
    sha256: str
    source: str


@dataclass(frozen=True, slots=True, kw_only=True)
class DryingRules:
    """What a part is held to.

    Attributes:
        drying: The way of drying; None where the plan does not say.
        mix: Of the plaster, at the likely purity.
        purity_spread: Standard deviation of the purity. [-]
        scale_spread: Standard deviation of one reading. [kg]
        reinforcement: Steel in each part. [kg]
    """

    drying: Literal["air", "baked"] | None
    mix: PlasterMix
    purity_spread: float
    scale_spread: float
    reinforcement: float

    @property
    def computed_share(self) -> float | None:
        """Dry over just set at the likely purity. [-]"""
        if self.drying is None:
            return None
        return self.mix.baked_share if self.drying == "baked" else self.mix.air_share

    @property
    def purity_known(self) -> bool:
        """Whether the purity is known as well as a test bar of the mix tells it."""
        return self.purity_spread <= KNOWN_PURITY

    @property
    def safe_share(self) -> float | None:
        """Dry over just set that has to be reached, on the safe side of the purity. [-]

        Less pure plaster binds less water, so that its dry mass is lower: one spread below the likely purity is
        asked for, unless a test bar has shown the purity. What is baked back to hemihydrate weighs the same whatever
        the purity is.
        """
        if self.drying == "baked" or self.drying is None or self.purity_known:
            return self.computed_share
        return self._mix_at(-self.purity_spread).air_share

    def end_share(self, air: float | None) -> tuple[float, float]:
        """Where the drying ends in some air as far as the mix tells, and the standard deviation of that.

        Args:
            air: Temperature; None: hot enough for the way of drying. [degC]

        Returns:
            Dry over just set, and its spread. [-]
        """
        if self.drying == "baked" and (air is None or air >= BAKES_FROM):
            # It does not stop at hemihydrate to the gram: half-way to where it grows chalky.
            return (
                0.5 * (self.mix.baked_share + self.mix.over_baked_share),
                0.5 * (self.mix.baked_share - self.mix.over_baked_share),
            )
        share = self.mix.air_share
        return share, share - self._mix_at(-self.purity_spread).air_share

    def _mix_at(self, off: float) -> PlasterMix:
        purity = min(max(self.mix.purity + off, 0.01), 1.0)
        return PlasterMix(water=self.mix.water, purity=purity, sand=self.mix.sand)

    def mass_at(self, share: float, just_set: float) -> float:
        """A part's mass at a share of its just-set mass, the steel in it left out of both.

        Args:
            share: Of the plaster's just-set mass. [-]
            just_set: Of the part. [kg]

        Returns:
            [kg]
        """
        return share * (just_set - self.reinforcement) + self.reinforcement

    def target(self, just_set: float) -> float | None:
        """The reading that has to be reached, on the safe side of purity and scale. [kg]

        One spread of the purity, and one of the scale for each of the two weighings, are taken off. In air a part that
        is wholly dry ends at its own dry mass and never below it, so that no such margin could ever be reached. Where
        a test bar has shown the purity, the part's own dry mass is asked for, and what scale and bar may be off by (one
        joint spread) is granted: constant mass in warm moving air is then the proof. Where the purity is the bag's,
        the 0.2 % by which constant mass is told is given back, but never more than up to the computed mass itself.

        Args:
            just_set: As read. [kg]
        """
        share = self.safe_share
        if share is None:
            return None
        if self.drying == "air" and self.purity_known:
            off = self.end_share(None)[1] * (just_set - self.reinforcement)
            granted = math.hypot(self.scale_spread, share * self.scale_spread, off)
            return self.mass_at(share, just_set) + granted
        safe = self.mass_at(share, just_set - self.scale_spread) - self.scale_spread
        if self.drying == "baked":
            return safe
        return min(safe * (1.0 + CONSTANT_WITHIN["air"]), self.mass_at(self.mix.air_share, just_set))

    def coarsest_scale(self, mass: float) -> float | None:
        """Spread of one reading from which on two of them can no longer show constant mass. [kg]

        Args:
            mass: Of the part as it is weighed. [kg]

        Returns:
            None where the plan does not say how it is dried.
        """
        return None if self.drying is None else CONSTANT_WITHIN[self.drying] * mass / _ROOT_TWO


@dataclass(frozen=True, slots=True, kw_only=True)
class PartState:
    """How one part stands at the moment judged.

    Attributes:
        name: Of the part.
        just_set: The lowest just-set weighing; None where none was made. [kg]
        computed: Just-set mass that its block was computed to have. [kg]
        target: Reading that has to be reached; None without a just-set weighing or a way of drying. [kg]
        over_baked_below: Reading below which the plaster is chalky; None likewise. [kg]
        weighings: Later than the last just-set one, in the order of their times.
        share: Last weighing over the just-set one, steel left out; None where either is missing. [-]
        left: Still to lose, from the just-set weighing on, zero once it is down; None where unknown. [kg]
        change: From the weighing that the last one is held against to it, over the mass; None where there is none
            far enough back. [-]
        lacks: What is still missing; empty where the part has passed.
        passed: Whether it has.
        holds_until: When the pass ends by the clock; None without a pass.
        too_hot: Hottest air or oven above the highest allowed, of a baked part; None where none was. [degC]
        trend: Where it is going; None where that cannot be told.
    """

    name: str
    just_set: float | None
    computed: float
    target: float | None
    over_baked_below: float | None
    weighings: tuple[LogEntry, ...]
    share: float | None
    left: float | None
    change: float | None
    lacks: tuple[Lack, ...]
    passed: bool
    holds_until: datetime | None
    too_hot: float | None
    trend: Trend | None

    @property
    def latest(self) -> LogEntry | None:
        """The last weighing."""
        return self.weighings[-1] if self.weighings else None

    def time_after(self, seconds: float | None) -> datetime | None:
        """A time that the trend tells, by the clock; None where it tells none within 400 days.

        Args:
            seconds: From the last weighing. [s]
        """
        if seconds is None or not self.weighings or seconds > _LONGEST_PROJECTION:
            return None
        return self.weighings[-1].time + timedelta(seconds=seconds)


@dataclass(frozen=True, slots=True, kw_only=True)
class DryingState:
    """How the whole mould stands.

    Attributes:
        rules: What it was held to.
        moment: At which it was judged; None where the log is empty and no moment was given.
        log: What it was judged by; None where there is none.
        parts: Each part.
    """

    rules: DryingRules
    moment: datetime | None
    log: DryingLog | None
    parts: tuple[PartState, ...]

    @property
    def passed(self) -> bool:
        """Whether every part has passed, and all passes hold at the moment judged."""
        return all(part.passed for part in self.parts)

    @property
    def holds_until(self) -> datetime | None:
        """When the first of the passes ends; None unless all have passed."""
        ends = [part.holds_until for part in self.parts if part.holds_until is not None]
        return min(ends) if self.passed and ends else None


def drying_state(
    parts: Mapping[str, float], rules: DryingRules, log: DryingLog | None, *, moment: datetime | None = None
) -> DryingState:
    """How a mould stands by its log.

    Args:
        parts: Of the mould, each with the just-set mass that its block was computed to have. [kg]
        rules: What they are held to.
        log: The log, or None.
        moment: At which to judge; None: at the last entry, so that the same log gives the same answer.

    Returns:
        The state of every part.
    """
    entries = () if log is None else log.entries
    at = max((one.time for one in entries), default=None) if moment is None else moment
    return DryingState(
        rules=rules,
        moment=at,
        log=log,
        parts=tuple(
            _part_state(name, rules, [one for one in entries if one.part == name], at, computed)
            for name, computed in parts.items()
        ),
    )


def _part_state(
    name: str, rules: DryingRules, entries: list[LogEntry], moment: datetime | None, computed: float
) -> PartState:
    set_readings = [one.value for one in entries if one.what == "just set"]
    just_set = min(set_readings, default=None)
    every = tuple(sorted((one for one in entries if one.what == "weighed"), key=lambda one: one.time))
    # Weighed just set again, the part is another one: a mould made anew must not pass by the old one's weighings.
    made = max((one.time for one in entries if one.what == "just set"), default=None)
    weighings = tuple(one for one in every if made is None or one.time > made)
    warmth = sorted((one for one in entries if one.what == "temperature"), key=lambda one: one.time)
    target = None if just_set is None else rules.target(just_set)
    chalky = None if just_set is None else rules.mass_at(rules.mix.over_baked_share, just_set)
    last = weighings[-1] if weighings else None
    earlier = _held_against(weighings, rules)
    lacks = _lacks(rules, entries, just_set, target, chalky, weighings, earlier, warmth, moment)
    if just_set is not None and just_set > JUST_SET_OVER_COMPUTED * computed:
        lacks.insert(0, Lack.SET_UNLIKE)
    if just_set is not None and just_set * JUST_SET_OVER_COMPUTED < computed:
        lacks.insert(0, Lack.SET_LIGHT)
    if every and not weighings:
        lacks[lacks.index(Lack.NOT_WEIGHED)] = Lack.MADE_ANEW
    base = None if just_set is None else just_set - rules.reinforcement
    newest = just_set if last is None else last.value
    heats = [one.air for one in weighings if one.air is not None and one.air > HIGHEST_OVEN]
    return PartState(
        name=name,
        just_set=just_set,
        computed=computed,
        target=target,
        over_baked_below=chalky if rules.drying == "baked" else None,
        weighings=weighings,
        share=None if base is None or last is None else (last.value - rules.reinforcement) / base,
        left=None if target is None or newest is None else max(newest - target, 0.0),
        change=None if last is None or earlier is None else (last.value - earlier.value) / last.value,
        lacks=tuple(lacks),
        passed=not lacks,
        holds_until=None if lacks or last is None else last.time + PASS_HOLDS,
        too_hot=max(heats, default=None) if rules.drying == "baked" else None,
        trend=_trend(rules, entries, just_set, target, weighings),
    )


def _held_against(weighings: tuple[LogEntry, ...], rules: DryingRules) -> LogEntry | None:
    """The last weighing that lies far enough before the last of all."""
    if rules.drying is None or not weighings:
        return None
    gap = CONSTANT_GAP[rules.drying]
    far = [one for one in weighings if weighings[-1].time - one.time >= gap]
    return far[-1] if far else None


def _lacks(
    rules: DryingRules,
    entries: list[LogEntry],
    just_set: float | None,
    target: float | None,
    chalky: float | None,
    weighings: tuple[LogEntry, ...],
    earlier: LogEntry | None,
    warmth: list[LogEntry],
    moment: datetime | None,
) -> list[Lack]:
    drying = rules.drying
    lacks: list[Lack] = []
    if drying is None:
        lacks.append(Lack.DRYING_NOT_SAID)
    if moment is not None and any(one.time > moment for one in entries):
        lacks.append(Lack.IN_THE_FUTURE)
    if just_set is None:
        lacks.append(Lack.NOT_JUST_SET)
    if not weighings:
        return [*lacks, Lack.NOT_WEIGHED]
    last = weighings[-1]
    if just_set is not None and last.value > just_set + _ROOT_TWO * rules.scale_spread:
        lacks.append(Lack.HEAVIER_THAN_SET)
    elif target is not None and last.value > target * (1.0 + 1e-9):
        lacks.append(Lack.TOO_HEAVY)
    elif chalky is not None and last.value < chalky:
        # In air nothing comes down so far: a slip of the unit or the line would else count as the driest mould of all.
        lacks.append(Lack.OVER_BAKED if drying == "baked" else Lack.LIGHTER_THAN_CAN_BE)
    if drying is None:
        return lacks
    if earlier is None:
        lacks.append(Lack.WEIGHED_ONCE)
        stretch: tuple[LogEntry, ...] = (last,)
    else:
        stretch = tuple(one for one in weighings if one.time >= earlier.time)
        limit, coarsest = CONSTANT_WITHIN[drying] * last.value, rules.coarsest_scale(last.value)
        if coarsest is not None and rules.scale_spread >= coarsest:
            lacks.append(Lack.SCALE_TOO_COARSE)
        elif any(
            abs(one.value - last.value) + _ROOT_TWO * rules.scale_spread > limit for one in stretch[:-1]
        ):
            lacks.append(Lack.NOT_CONSTANT)
    if drying == "air" and not all(_warm_and_moving(one) for one in stretch):
        lacks.append(Lack.NOT_WARM)
    if drying == "baked" and any(one.air is not None and one.air < WARM_FROM["baked"] for one in stretch):
        lacks.append(Lack.WEIGHED_COLD)
    before = [one.value for one in warmth if stretch[0].time <= one.time < last.time]
    after = [one.value for one in warmth if one.time >= last.time]
    # Cold once after the last weighing is enough: warmed again it has still to be weighed again.
    if min([*before[-1:], *after], default=math.inf) < WARM_FROM[drying]:
        lacks.append(Lack.COOLED)
    if moment is not None and moment >= last.time + PASS_HOLDS:
        lacks.append(Lack.EXPIRED)
    return lacks


def _warm_and_moving(entry: LogEntry) -> bool:
    return entry.air is not None and AIR_FROM <= entry.air <= AIR_TO and entry.moving_air is True


def _trend(
    rules: DryingRules,
    entries: list[LogEntry],
    just_set: float | None,
    target: float | None,
    weighings: tuple[LogEntry, ...],
) -> Trend | None:
    """Through the readings since the air was last changed; the just-set one counts as the first."""
    drying = rules.drying
    if just_set is None or target is None or drying is None or not weighings:
        return None
    made = max(one.time for one in entries if one.what == "just set")
    first = [one for one in entries if one.what == "just set" and one.value == just_set and one.time == made]
    course = [*(one for one in first if one.time < weighings[0].time), *weighings]
    start = 0
    for number in range(1, len(course)):
        if _air_changed(course[number - 1], course[number]):
            # The reading before the change is where the new course starts.
            start = number - 1
    kept = course[start:]
    if len(kept) < 2 or kept[-1].value <= target:
        return None
    begin = kept[0].time
    share, spread = rules.end_share(kept[-1].air)
    return trend_of(
        [(one.time - begin).total_seconds() for one in kept],
        [one.value for one in kept],
        reading_spread=rules.scale_spread,
        end_mass=rules.mass_at(share, just_set),
        end_spread=spread * (just_set - rules.reinforcement),
        target=target,
        constant_within=CONSTANT_WITHIN[drying] * target - _ROOT_TWO * rules.scale_spread,
        constant_gap=CONSTANT_GAP[drying].total_seconds(),
    )


def _air_changed(before: LogEntry, after: LogEntry) -> bool:
    """Whether the air differs so much from one reading to the next that the course bends. Judgement: 8 K, or a fan."""
    if before.what == "just set":
        return False
    if before.air is not None and after.air is not None and abs(before.air - after.air) > 8.0:
        return True
    return None not in (before.moving_air, after.moving_air) and before.moving_air != after.moving_air
