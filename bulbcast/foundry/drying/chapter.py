"""Drying of the mould for the report, the terminal and plan.json, and everything that `bulbcast dry` prints."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime
from typing import TYPE_CHECKING

from bulbcast import __version__
from bulbcast.foundry.drying.log import DryingState, PartState
from bulbcast.foundry.drying.rules import lack_remedy, lack_words, to_the_hour, when
from bulbcast.foundry.mould.chapter import mould_chapter
from bulbcast.foundry.results import FoundryResults
from bulbcast.quantities import Shown
from bulbcast.report.as_terminal import chapter_lines
from bulbcast.report.chapter import (
    Chapter,
    Data,
    Heading,
    Items,
    Json,
    Markup,
    Part,
    Picture,
    Table,
    Words,
    joined_data,
)
from bulbcast.report.page import Page, finding_lines, printable
from bulbcast.report.values import finding_object, number, values_of

if TYPE_CHECKING:
    from bulbcast.drawing.shapes import View

_NEVER_SURE = (
    "Reaching the computed mass is necessary but never sufficient. You cannot see whether a mould is dry. If you see "
    "steam at the pour, stop and stand back."
)
_NONE = "\u2013"


def drying_chapter(state: DryingState, shown: Shown) -> Chapter:
    """Build the chapter on how dry each part is. The terminal shows it if there is a log.

    Args:
        state: State of the mould according to the log.
        shown: The builder's units.
    """
    pour = _pour_words(state)

    def verdict() -> str:
        from bulbcast.report.markup import text

        return f"<p><strong>{text(pour)}</strong></p>\n"

    parts: list[Part] = [Markup(html=verdict)]
    if state.log is not None:
        parts.append(Words(text=pour, only="terminal"))
    if state.moment is not None:
        last = f"State as of the last log entry, {when(state.moment)}. Run bulbcast dry again right before the pour."
        parts.append(Words(text=last, style="caption", only="report"))
    parts += [
        _parts_table(state, shown, report=state.log is None),
        Words(text=_mix_words(state, shown), only="report"),
    ]
    for part in state.parts:
        parts += _part_parts(part, state, shown)
    parts += [Words(text=_NEVER_SURE, only="report"), Data(values=_data(state))]
    return Chapter(
        name="drying",
        title="Drying of the mould",
        step="mould",
        heading="Drying according to the log",
        at="drying",
        parts=parts,
    )


def _parts_table(state: DryingState, shown: Shown, *, report: bool = False) -> Table:
    def mass(kilograms: float | None) -> str:
        return _NONE if kilograms is None else shown.mass(kilograms)

    return Table(
        heads=("part", "just set", "last weighed", "of just set", "dry at or below", "still to lose"),
        rows=[
            (
                part.name,
                mass(part.just_set),
                mass(None if part.latest is None else part.latest.value),
                _NONE if part.share is None else shown.percent(part.share),
                mass(part.target),
                mass(part.left),
            )
            for part in state.parts
        ],
        figures=(1, 2, 3, 4, 5),
        only="report" if report else "",
    )


def _part_parts(part: PartState, state: DryingState, shown: Shown) -> Iterator[Part]:
    """Report section on one part: what it still needs to pass, its trend and its weighings."""

    def curve() -> View | None:
        from bulbcast.foundry.drying.curve import drying_curve

        return drying_curve(part, state, shown)

    yield Heading(text=_capital(part.name), only="report")
    yield Items(lead="", items=_part_words(part, shown), only="report")
    yield Picture(
        draw=curve,
        caption=(
            "{title}. The open mark is the just-set mass; filled marks are weighings. The line is the likely drying "
            "curve, and the band covers the middle 80 % of the curves that fit."
        ),
    )
    yield Table(
        heads=("weighed at", "mass", "air", ""),
        rows=[
            (
                when(one.time),
                shown.mass(one.value),
                _NONE if one.air is None else shown.temperature(one.air),
                {True: "moving", False: "still", None: _NONE}[one.moving_air],
            )
            for one in part.weighings
        ],
        figures=(1, 2),
        only="report",
    )


def _pour_words(state: DryingState) -> str:
    """Say whether the drying log lets the pour go ahead."""
    if state.holds_until is None:
        return "The pour is on hold."
    return f"Dry according to the log. The pass holds until {when(state.holds_until)}, as long as the mould stays warm."


def _mix_words(state: DryingState, shown: Shown) -> str:
    """State the mix used for the dry masses, because a change to the plan after the log was started would change them
    unnoticed."""
    rules = state.rules
    sand = f"{shown.percent(rules.mix.sand)} of sand" if rules.mix.sand > 0.0 else "no sand"
    steel = (
        f"{shown.mass(rules.reinforcement)} of steel in each part"
        if rules.reinforcement > 0.0
        else "no steel"
    )
    return (
        f"The dry masses are calculated for {100.0 * rules.mix.water:g} parts of water to 100 of plaster, a purity of "
        f"{shown.percent(rules.mix.purity)}, {sand}, and {steel}. Check that this is what was mixed."
    )


def _part_words(part: PartState, shown: Shown) -> list[str]:
    """Say what a part still lacks, how it is progressing and what to do next, in one sentence each."""
    if part.holds_until is not None:
        return [f"It has passed; the pass holds until {when(part.holds_until)}."]
    return [
        *(f"{_capital(lack_words(lack, part, shown))}." for lack in part.lacks),
        *_trend_words(part, shown),
        f"Next: {lack_remedy(part, shown)}",
    ]


def _capital(words: str) -> str:
    return words[:1].upper() + words[1:]


def _trend_words(part: PartState, shown: Shown) -> Iterator[str]:
    """Sentences on the trend and the projected date; empty if there is no trend."""
    trend, last = part.trend, part.latest
    if trend is None or last is None:
        return

    def by(seconds: float | None) -> str:
        """Date and time rounded to the hour, because they are not known more precisely."""
        moment = part.time_after(seconds)
        if moment is None:
            return ""
        return when(to_the_hour(moment))

    each_day = trend.rate * 86400.0
    pace = (
        f"{shown.mass(each_day)} a day"
        if each_day < 0.05 * last.value
        else f"{shown.mass(each_day / 24.0)} an hour"
    )
    start = f"It is losing {pace}"
    early, likely, late = by(trend.early), by(trend.likely), by(trend.late)
    if trend.scale_too_coarse:
        yield (
            f"{start} and will level off near {shown.mass(trend.end_mass)} in this air. A scale with an error of "
            f"{shown.mass(part.rules.scale_spread)} cannot show that so light a part has stopped losing mass, so no date "
            "can be given."
        )
    elif not likely:
        first = f"; one in ten reaches it by {early}" if early else ""
        yield (
            f"{start}. {trend.never * 100.0:.0f} % of the curves that fit its {trend.used} readings never reach the "
            f"required mass{first}. In this air its mass will level off near {shown.mass(trend.end_mass)}."
        )
    else:
        spread = f"early estimate {early}, " if early else ""
        end = f"late estimate {late}" if late else "no late estimate"
        yield (
            f"{start}; it will probably be dry and at constant mass by {likely} ({spread}{end}), judging by "
            f"{trend.used} readings."
        )


def _iso(moment: datetime | None, timespec: str = "auto") -> str | None:
    return None if moment is None else moment.isoformat(timespec=timespec)


def _data(state: DryingState) -> Json:
    return {
        "drying": state.rules.drying,
        "judged_at": _iso(state.moment),
        "dry": state.passed,
        "holds_until": _iso(state.holds_until),
        "dry_to_just_set": state.rules.computed_share,
        "safe_dry_to_just_set": state.rules.safe_share,
        "parts": [_part_data(part) for part in state.parts],
    }


def _part_data(part: PartState) -> Json:
    trend, last = part.trend, part.latest
    return {
        "name": part.name,
        "just_set_kg": part.just_set,
        "dry_at_or_below_kg": part.target,
        "over_baked_below_kg": part.over_baked_below,
        "last_kg": None if last is None else last.value,
        "last_at": None if last is None else _iso(last.time),
        "last_to_just_set": part.share,
        **values_of(part, "left_kg", "change", "passed"),
        "holds_until": _iso(part.holds_until),
        "lacks": [lack.value for lack in part.lacks],
        "weighings": [
            {"at": _iso(one.time), "mass_kg": one.value, "air_c": one.air, "moving_air": one.moving_air}
            for one in part.weighings
        ],
        "projected": None
        if trend is None
        else {
            "early": _iso(part.time_after(trend.early), "minutes"),
            "likely": _iso(part.time_after(trend.likely), "minutes"),
            "late": _iso(part.time_after(trend.late), "minutes"),
            "never_share": trend.never,
            "rate_kg_s": number(trend.rate),
            "time_constant_s": number(trend.time_constant),
            "end_mass_kg": trend.end_mass,
            "readings": trend.used,
        },
    }


def dry_text(job: FoundryResults, state: DryingState, page: Page, *, added: str = "") -> str:
    """Write everything a builder needs to see about the drying, for `bulbcast dry`.

    Args:
        job: Results with a plaster mould.
        state: State of its drying.
        page: Page to write on.
        added: Sentence on what has just been added to the log; "" if nothing was.

    Returns:
        Lines of text.
    """
    shown = job.shown
    page.wrapped(f"{printable(job.plan.name)}: drying of the mould", code="1")
    if added:
        page.wrapped(added)
    page.line()
    page.wrapped(_pour_words(state), code="1;32" if state.passed else "1;33")
    if state.moment is not None:
        page.wrapped(f"Judged at {when(state.moment)}.")
    said: list[Part] = [
        Heading(text="Parts"),
        _parts_table(state, shown),
        Words(text=_mix_words(state, shown)),
    ]
    for part in state.parts:
        said += [Heading(text=_capital(part.name)), *(Words(text=one) for one in _part_words(part, shown))]
    chapter_lines(page, Chapter(name="drying", parts=said))
    other = [one for one in job.pour_withheld if one.subject != "drying log"]
    if other:
        page.heading("Other holds on the pour")
    for finding in other:
        kept = job.figures_withheld(finding)
        words = (finding.brief, "") if kept else (finding.message, finding.remedy)
        finding_lines(page, finding, *words)
    page.line()
    page.wrapped(_NEVER_SURE)
    return page.text()


def dry_object(job: FoundryResults, state: DryingState) -> Json:
    """Build the output of `bulbcast dry` as one JSON object.

    Args:
        job: Results with a plaster mould.
        state: State of its drying.
    """
    return {
        "name": job.plan.name,
        **joined_data([mould_chapter(job), drying_chapter(state, job.shown)]),
        "pour_on_hold": bool(job.pour_withheld),
        "holds": [
            finding_object(finding, withheld=job.figures_withheld(finding)) for finding in job.pour_withheld
        ],
        "meta": {
            "format": "bulbcast dry",
            "version": __version__,
            "plan_sha256": job.plan.sha256,
            "drying_log_sha256": None if state.log is None else state.log.sha256,
        },
    }
