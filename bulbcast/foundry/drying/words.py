"""How the mould dries, in rows of texts: for the terminal and the report alike."""

from __future__ import annotations

from datetime import datetime, timedelta

from bulbcast.foundry.drying.log import DryingState, PartState
from bulbcast.foundry.drying.rules import lack_remedy, lack_words, when
from bulbcast.quantities import Shown

NEVER_SURE = (
    "The computed mass is necessary and never sufficient; nobody can see that a mould is dry. Steam seen at the pour: stop "
    "and stand back."
)


def part_rows(state: DryingState, shown: Shown) -> list[tuple[str, ...]]:
    """Part, just set, last weighing, its share, what it has to come down to, what is left.

    Args:
        state: By the log.
        shown: The builder's units.
    """
    rows: list[tuple[str, ...]] = []
    for part in state.parts:
        last = part.latest
        rows.append(
            (
                part.name,
                _mass(part.just_set, shown),
                _mass(None if last is None else last.value, shown),
                "\u2013" if part.share is None else shown.percent(part.share),
                _mass(part.target, shown),
                _mass(part.left, shown),
            )
        )
    return rows


PART_HEADS = ("part", "just set", "last weighed", "of just set", "dry at or below", "still to lose")


def _mass(kilograms: float | None, shown: Shown) -> str:
    return "\u2013" if kilograms is None else shown.mass(kilograms)


def pour_words(state: DryingState) -> str:
    """Whether the drying log lets the pour go on, in one sentence."""
    if state.passed and state.holds_until is not None:
        return (
            f"Dry by the log: the pass holds until {when(state.holds_until)}, and while the mould stays warm."
        )
    return "The pour is on hold."


def mix_words(state: DryingState, shown: Shown) -> str:
    """What the dry masses are reckoned with: a plan that is changed after the log was begun moves them unseen.

    Args:
        state: By the log.
        shown: The builder's units.
    """
    rules = state.rules
    sand = f"{shown.percent(rules.mix.sand)} of sand" if rules.mix.sand > 0.0 else "no sand"
    steel = f"{shown.mass(rules.reinforcement)} of steel" if rules.reinforcement > 0.0 else "no steel"
    return (
        f"The dry masses are reckoned for {100.0 * rules.mix.water:g} parts of water to 100 of plaster, a purity of "
        f"{shown.percent(rules.mix.purity)}, {sand}, and {steel} in each part: see that this is what was mixed."
    )


def part_words(part: PartState, state: DryingState, shown: Shown) -> list[str]:
    """What a part still lacks, what to do, and where it is going, a sentence each.

    Args:
        part: The part.
        state: It belongs to.
        shown: The builder's units.
    """
    if part.passed and part.holds_until is not None:
        return [f"It has passed; that holds until {when(part.holds_until)}."]
    words = [f"{_capital(lack_words(lack, part, state.rules, shown))}." for lack in part.lacks]
    trend = trend_words(part, state, shown)
    return [*words, *([trend] if trend else []), f"Next: {lack_remedy(part, state.rules, shown)}"]


def _to_the_hour(moment: datetime | None) -> datetime | None:
    """A projected time, no finer than it is known."""
    if moment is None:
        return None
    return (moment + timedelta(minutes=30)).replace(minute=0, second=0, microsecond=0)


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]


def trend_words(part: PartState, state: DryingState, shown: Shown) -> str:
    """The trend and the projected date; nothing where there is no trend.

    Args:
        part: The part.
        state: It belongs to.
        shown: The builder's units.
    """
    trend, last = part.trend, part.latest
    if trend is None or last is None:
        return ""
    each_day = trend.rate * 86400.0
    pace = (
        f"{shown.mass(each_day)} a day"
        if each_day < 0.05 * last.value
        else f"{shown.mass(each_day / 24.0)} an hour"
    )
    early, likely, late = (
        _to_the_hour(part.time_after(one)) for one in (trend.early, trend.likely, trend.late)
    )
    start = f"It loses {pace} now"
    if trend.scale_too_coarse:
        return (
            f"{start}, and ends near {shown.mass(trend.end_mass)} in this air; a scale that is off by "
            f"{shown.mass(state.rules.scale_spread)} cannot show that so light a part no longer loses mass, so that no "
            "date can be given."
        )
    if likely is None:
        first = "" if early is None else f", at the earliest by {when(early)}"
        return (
            f"{start}; {trend.never * 100.0:.0f} in 100 of the courses that fit its {trend.used} readings never come down "
            f"to the mass asked for{first}: in this air it ends near {shown.mass(trend.end_mass)}."
        )
    spread = f"early {when(early)}, " if early is not None else ""
    end = f"late {when(late)}" if late is not None else "the late end open"
    return (
        f"{start}; dry and constant likely by {when(likely)} ({spread}{end}), through {trend.used} readings."
    )
