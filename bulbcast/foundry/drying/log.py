"""Drying log of a plaster mould, which shows when a part has reached its dry mass and stays there.

Reaching the computed mass is necessary but never sufficient. A part passes if its last weighing is at or below the mass
that stoichiometry gives, with allowances for purity and scale, AND the earlier weighings agree with it over the required
time, AND the air was suitable. For a mould dried in air, all weighings must be made at 30 to 45 degC in moving air; for a
baked one, none may be made in air recorded as cooler than 50 degC. A pass ends after 12 hours, or when the part has
cooled. A second just-set weighing means that the part has been remade, so weighings made before it do not count. Nothing
here reads a clock: the time at which to judge is an argument or, if that is omitted, the time of the last entry.

The dry mass of a part dried in air depends on the purity. A completely dry part never becomes lighter than its dry
mass, so a safety margin below that mass could never be reached. If the purity is known to 2.5 %, which takes a test bar
of half a kilogram, the dry mass itself is required. The tolerance is one combined spread of scale and bar, about 0.3 %
of the just-set mass for the least precise bar allowed; the proof is constant mass in warm moving air. If the purity is
that given on the bag, one spread is subtracted from the dry mass, and the 0.2 % within which mass counts as constant is
added. Most moulds then stay on hold; the solution is a test bar, or baking.

A part is judged by its last weighing, so a later weighing that fails ends an earlier pass. Once the part has cooled,
the pass is over, whatever happens to the temperature later. A mould dried in air counts as cooled below 30 C, a baked
one below 50 C.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import datetime, timedelta
from enum import StrEnum
from functools import cached_property
from typing import TYPE_CHECKING, Literal

from bulbcast.materials.plaster import PlasterMix
from bulbcast.plan.mould_sections import Drying
from bulbcast.quantities.frozen import frozen

if TYPE_CHECKING:
    from bulbcast.foundry.drying.trend import Trend

CONSTANT_WITHIN = {"baked": 0.001, "air": 0.002}
"""Maximum change in mass between the two weighings that are compared, as a fraction of the mass. Our judgement; 0.2 % a
day is common practice, no source."""
CONSTANT_GAP = {"baked": timedelta(hours=1), "air": timedelta(days=1)}
"""Shortest time between the two weighings that are compared."""
PASS_HOLDS = timedelta(hours=12)
"""Time for which a pass is valid; after that, the plaster may have taken up water from the air again. Our judgement."""
WARM_FROM = {"baked": 50.0, "air": 30.0}
"""Temperature below which a part that has passed counts as cooled and may have taken up water again. [degC] Founders pour
at 50 to 65 degC."""
AIR_FROM, AIR_TO = 30.0, 45.0
"""Air temperature limits for a mould that dries in air. In cooler air, constant mass proves nothing; in hotter air,
plaster begins to lose bound water. [degC] Plaster makers allow 43 to 49 degC at most."""
HIGHEST_OVEN = 180.0
"""Temperature above which hemihydrate turns into anhydrite. [degC] In calcining practice, 160 to 200 degC."""
BAKES_FROM = 100.0
"""Air cooler than this removes only the free water. [degC] In calcining, the change to hemihydrate takes place at 100 to
130 degC."""
_ROOT_TWO = math.sqrt(2.0)
JUST_SET_OVER_COMPUTED = 1.15
"""A just-set reading this far above the computed mass is wrong or belongs to another block, and would give too high a dry
mass. If it is this far below, the steel or the mix is not as planned. Our judgement."""
KNOWN_PURITY = 0.025
"""A purity known this well must come from a test bar, so the required dry mass then has no allowance for purity.
Our judgement: half a kilogram of the mix on a scale with 1 g resolution gives the purity to 2.2 %; the bag gives it to
5 %."""
_LONGEST_PROJECTION = 400.0 * 86400.0


class Lack(StrEnum):
    """Reasons why a part is not yet ready for the pour."""

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


@frozen
class LogEntry:
    """One entry of the log.

    Attributes:
        what: Kind of entry: a just-set or later mass, or the temperature of the part itself.
        part: Part of the mould.
        value: Value that was read. [kg] or [degC]
        time: Time of the reading; either all entries in a log have a time zone, or none do.
        air: Temperature of the air round the part in the room, drying box or oven; None if not given. [degC]
        moving_air: Whether that air was moved by a fan or a draught; None if not given.
        line: Line number in the file.
    """

    what: Literal["just set", "weighed", "temperature"]
    part: str
    value: float
    time: datetime
    air: float | None
    moving_air: bool | None
    line: int


@frozen
class DryingLog:
    """Complete log, with its entries in file order and the file's SHA-256 in hexadecimal."""

    entries: tuple[LogEntry, ...]
    sha256: str
    source: str


@frozen
class DryingRules:
    """Rules by which a part is judged.

    Attributes:
        drying: Drying method; None if the plan does not give it.
        mix: Plaster mix at the likely purity.
        purity_spread: Standard deviation of the purity. [-]
        scale_spread: Standard deviation of one reading. [kg]
        reinforcement: Mass of steel in each part. [kg]
    """

    drying: Drying | None
    mix: PlasterMix
    purity_spread: float
    scale_spread: float
    reinforcement: float

    @property
    def computed_share(self) -> float | None:
        """Ratio of dry mass to just-set mass at the likely purity. [-]"""
        if self.drying is None:
            return None
        return self.mix.baked_share if self.drying == "baked" else self.mix.air_share

    @property
    def purity_known(self) -> bool:
        """Whether the purity is known at least as precisely as a test bar of the mix would establish it."""
        return self.purity_spread <= KNOWN_PURITY

    @property
    def safe_share(self) -> float | None:
        """Required ratio of dry to just-set mass, with an allowance for the purity. [-]

        Less pure plaster binds less water, so its dry mass is lower. Unless a test bar has established the purity, the
        ratio is calculated for a purity one spread below the likely value. Plaster baked back to hemihydrate weighs the
        same at any purity.
        """
        if self.drying == "baked" or self.drying is None or self.purity_known:
            return self.computed_share
        return self._mix_at(-self.purity_spread).air_share

    def end_share(self, air: float | None) -> tuple[float, float]:
        """Estimate the final mass after drying in air at a given temperature, with its standard deviation.

        Args:
            air: Air temperature; None for air hot enough for this drying method. [degC]

        Returns:
            Ratio of dry mass to just-set mass, and its spread. [-]
        """
        if self.drying == "baked" and (air is None or air >= BAKES_FROM):
            # Drying does not stop exactly at hemihydrate, so take half-way to where it turns chalky.
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
        """Calculate a part's mass at a given fraction of its just-set mass; the fraction applies to the plaster, not to
        the steel.

        Args:
            share: Fraction of the plaster's just-set mass. [-]
            just_set: Just-set mass of the part. [kg]

        Returns:
            Mass of the part, steel included. [kg]
        """
        return share * (just_set - self.reinforcement) + self.reinforcement

    def target(self, just_set: float) -> float | None:
        """Calculate the reading that has to be reached, with allowances for the purity and the scale. [kg]

        One spread of the purity, and one of the scale for each of the two weighings, are subtracted. In air a
        completely dry part ends at its dry mass and never below it, so it could not reach a mass lower by that margin.
        If a test bar has shown the purity, the part's dry mass is required, with a tolerance of one combined spread of
        scale and bar; constant mass in warm moving air is then the proof. If the purity is that given on the bag, the
        0.2 % within which mass counts as constant is added, but the result never exceeds the computed mass.

        Args:
            just_set: Just-set mass as read. [kg]
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


@dataclass(frozen=True, kw_only=True)
class PartState:
    """State of one part at the time it is judged.

    Attributes:
        name: Name of the part.
        computed: Computed just-set mass of its block. [kg]
        rules: Rules by which it is judged.
        entries: Log entries for this part, in time order.
        moment: Time at which it is judged; None if the log is empty and no time was given.
    """

    name: str
    computed: float
    rules: DryingRules
    entries: tuple[LogEntry, ...]
    moment: datetime | None

    @cached_property
    def just_set(self) -> float | None:
        """Lowest just-set weighing; None if none was made. [kg]"""
        return min((one.value for one in self._just_set), default=None)

    @cached_property
    def _just_set(self) -> tuple[LogEntry, ...]:
        return tuple(one for one in self.entries if one.what == "just set")

    @cached_property
    def weighings(self) -> tuple[LogEntry, ...]:
        """Weighings made after the last just-set weighing, in chronological order.

        A second just-set weighing means a new part, which must not pass on the weighings of the old one.
        """
        return tuple(
            one
            for one in self.entries
            if one.what == "weighed" and all(one.time > other.time for other in self._just_set)
        )

    @property
    def latest(self) -> LogEntry | None:
        """The last weighing, or None."""
        return self.weighings[-1] if self.weighings else None

    @cached_property
    def target(self) -> float | None:
        """Reading that has to be reached; None without a just-set weighing or a drying method. [kg]"""
        return None if self.just_set is None else self.rules.target(self.just_set)

    @cached_property
    def chalky_below(self) -> float | None:
        """Mass half-way between fully baked plaster and anhydrite; None without a just-set weighing. [kg]"""
        share = self.rules.mix.over_baked_share
        return None if self.just_set is None else self.rules.mass_at(share, self.just_set)

    @property
    def over_baked_below(self) -> float | None:
        """Reading below which a baked part is chalky; None for other parts or without a just-set weighing. [kg]"""
        return self.chalky_below if self.rules.drying == "baked" else None

    @property
    def share(self) -> float | None:
        """Ratio of the last weighing to the just-set one, without the steel; None if either is missing. [-]"""
        if self.just_set is None or self.latest is None:
            return None
        steel = self.rules.reinforcement
        return (self.latest.value - steel) / (self.just_set - steel)

    @property
    def left(self) -> float | None:
        """Mass still to lose after the last weighing, or after the just-set one if there is no other; zero once the
        target is reached, None if unknown. [kg]"""
        newest = self.just_set if self.latest is None else self.latest.value
        return None if self.target is None or newest is None else max(newest - self.target, 0.0)

    @cached_property
    def earlier(self) -> LogEntry | None:
        """Latest weighing that is early enough to compare with the last one."""
        if self.rules.drying is None or not self.weighings:
            return None
        gap, last = CONSTANT_GAP[self.rules.drying], self.weighings[-1]
        return next((one for one in reversed(self.weighings) if last.time - one.time >= gap), None)

    @property
    def change(self) -> float | None:
        """Relative change in mass between the earlier weighing used for comparison and the last one; None if there is
        no earlier weighing. [-]"""
        last, earlier = self.latest, self.earlier
        return None if last is None or earlier is None else (last.value - earlier.value) / last.value

    @property
    def passed(self) -> bool:
        """Whether the part has passed, with no requirement left unmet."""
        return not self.lacks

    @property
    def holds_until(self) -> datetime | None:
        """Time at which the pass expires; None without a pass."""
        return self.weighings[-1].time + PASS_HOLDS if self.passed else None

    @property
    def too_hot(self) -> float | None:
        """Highest air or oven temperature recorded for a baked part, if above the limit; otherwise None. [degC]"""
        heats = [one.air for one in self.weighings if one.air is not None and one.air > HIGHEST_OVEN]
        return max(heats, default=None) if self.rules.drying == "baked" else None

    def time_after(self, seconds: float | None) -> datetime | None:
        """Convert a time on the trend to a date and time; None if there is none, or if it is more than 400 days ahead.

        Args:
            seconds: Time since the last weighing. [s]
        """
        if seconds is None or not self.weighings or seconds > _LONGEST_PROJECTION:
            return None
        return self.weighings[-1].time + timedelta(seconds=seconds)

    @cached_property
    def lacks(self) -> tuple[Lack, ...]:
        """List of what the part still lacks; empty if it has passed."""
        rules, just_set, last = self.rules, self.just_set, self.latest
        lacks: list[Lack] = []
        if just_set is not None and just_set > JUST_SET_OVER_COMPUTED * self.computed:
            lacks.append(Lack.SET_UNLIKE)
        if just_set is not None and just_set * JUST_SET_OVER_COMPUTED < self.computed:
            lacks.append(Lack.SET_LIGHT)
        if rules.drying is None:
            lacks.append(Lack.DRYING_NOT_SAID)
        if self.moment is not None and any(one.time > self.moment for one in self.entries):
            lacks.append(Lack.IN_THE_FUTURE)
        if just_set is None:
            lacks.append(Lack.NOT_JUST_SET)
        if last is None:
            before = any(one.what == "weighed" for one in self.entries)
            return (*lacks, Lack.MADE_ANEW if before else Lack.NOT_WEIGHED)
        if just_set is not None and last.value > just_set + _ROOT_TWO * rules.scale_spread:
            lacks.append(Lack.HEAVIER_THAN_SET)
        elif self.target is not None and last.value > self.target * (1.0 + 1e-9):
            lacks.append(Lack.TOO_HEAVY)
        elif self.chalky_below is not None and last.value < self.chalky_below:
            # Air drying cannot reach so low a mass. Without this check, a wrong unit or line would count as a very dry
            # mould.
            lacks.append(Lack.OVER_BAKED if rules.drying == "baked" else Lack.LIGHTER_THAN_CAN_BE)
        return (*lacks, *(_lacks_in_time(self, last, rules.drying) if rules.drying is not None else ()))

    @cached_property
    def trend(self) -> Trend | None:
        """Trend of the mass from the readings since the air last changed; None if unknown.

        The just-set reading counts as the first.
        """
        rules, just_set, target = self.rules, self.just_set, self.target
        if just_set is None or target is None or rules.drying is None or not self.weighings:
            return None
        made = max(one.time for one in self._just_set)
        first = [one for one in self._just_set if one.value == just_set and one.time == made]
        course = [*first, *self.weighings]
        # The new curve starts at the reading before a change.
        start = max((i for i in range(len(course) - 1) if _air_changed(course[i], course[i + 1])), default=0)
        kept = course[start:]
        if len(kept) < 2 or kept[-1].value <= target:
            return None
        from bulbcast.foundry.drying.trend import trend_of

        share, spread = rules.end_share(kept[-1].air)
        return trend_of(
            [(one.time - kept[0].time).total_seconds() for one in kept],
            [one.value for one in kept],
            reading_spread=rules.scale_spread,
            end_mass=rules.mass_at(share, just_set),
            end_spread=spread * (just_set - rules.reinforcement),
            target=target,
            constant_within=CONSTANT_WITHIN[rules.drying] * target - _ROOT_TWO * rules.scale_spread,
            constant_gap=CONSTANT_GAP[rules.drying].total_seconds(),
        )


def _lacks_in_time(part: PartState, last: LogEntry, drying: Drying) -> Iterator[Lack]:
    """Yield the requirements that are still not met by the weighings and their age, by the air in which they were made,
    or by the part's temperature."""
    spread, limit = part.rules.scale_spread, CONSTANT_WITHIN[drying] * last.value
    stretch: tuple[LogEntry, ...] = (last,)
    if part.earlier is None:
        yield Lack.WEIGHED_ONCE
    else:
        since = part.earlier.time
        stretch = tuple(one for one in part.weighings if one.time >= since)
        if spread >= limit / _ROOT_TWO:
            yield Lack.SCALE_TOO_COARSE
        elif any(abs(one.value - last.value) + _ROOT_TWO * spread > limit for one in stretch[:-1]):
            yield Lack.NOT_CONSTANT
    if drying == "air" and not all(
        one.air is not None and AIR_FROM <= one.air <= AIR_TO and one.moving_air is True for one in stretch
    ):
        yield Lack.NOT_WARM
    if drying == "baked" and any(one.air is not None and one.air < WARM_FROM["baked"] for one in stretch):
        yield Lack.WEIGHED_COLD
    warmth = [one for one in part.entries if one.what == "temperature"]
    before = [one.value for one in warmth if stretch[0].time <= one.time < last.time]
    after = [one.value for one in warmth if one.time >= last.time]
    # If it has been cold even once since the last weighing, it must be warmed and weighed again.
    if min([*before[-1:], *after], default=math.inf) < WARM_FROM[drying]:
        yield Lack.COOLED
    if part.moment is not None and part.moment >= last.time + PASS_HOLDS:
        yield Lack.EXPIRED


def _air_changed(before: LogEntry, after: LogEntry) -> bool:
    """Whether the air differs enough from one reading to the next to change the drying curve. Our judgement: a difference
    of 8 K, or between moving and still air."""
    if before.what == "just set":
        return False
    if before.air is not None and after.air is not None and abs(before.air - after.air) > 8.0:
        return True
    return None not in (before.moving_air, after.moving_air) and before.moving_air != after.moving_air


@frozen
class DryingState:
    """Drying state of the complete mould.

    Attributes:
        rules: Rules by which it was judged.
        moment: Time at which it was judged; None if the log is empty and no time was given.
        log: Drying log; None if there is none.
        parts: State of each part.
    """

    rules: DryingRules
    moment: datetime | None
    log: DryingLog | None
    parts: tuple[PartState, ...]

    @property
    def passed(self) -> bool:
        """Whether every part has passed and every pass is still valid at the time of judging."""
        return all(part.passed for part in self.parts)

    @property
    def holds_until(self) -> datetime | None:
        """Time at which the first of the passes expires; None unless all parts have passed."""
        ends = [part.holds_until for part in self.parts if part.holds_until is not None]
        return min(ends) if self.passed and ends else None


def drying_state(
    parts: Mapping[str, float], rules: DryingRules, log: DryingLog | None, *, moment: datetime | None = None
) -> DryingState:
    """Judge the state of a mould from its log.

    Args:
        parts: Parts of the mould, each with the computed just-set mass of its block. [kg]
        rules: Rules by which they are judged.
        log: Drying log, or None.
        moment: Time at which to judge; None for the time of the last entry, so the same log always gives the same
            answer.

    Returns:
        State of every part.
    """
    entries = sorted(() if log is None else log.entries, key=lambda one: one.time)
    at = entries[-1].time if moment is None and entries else moment
    return DryingState(
        rules=rules,
        moment=at,
        log=log,
        parts=tuple(
            PartState(
                name=name,
                computed=computed,
                rules=rules,
                entries=tuple(one for one in entries if one.part == name),
                moment=at,
            )
            for name, computed in parts.items()
        ),
    )
