"""What is said of how sure the casting is: band, aim, what moves the mass most, what measuring would save."""

from __future__ import annotations

from functools import partial

from bulbcast.bulb.results import BulbResults
from bulbcast.confidence.bar_chapter import bar_steps
from bulbcast.confidence.drilling import Schedule
from bulbcast.confidence.inputs import Input
from bulbcast.confidence.results import ConfidenceResults
from bulbcast.confidence.views import budget_bars, drilling_view, mass_band
from bulbcast.confidence.work import BudgetLine, Confidence
from bulbcast.quantities import Shown, worded
from bulbcast.quantities.figures import signed
from bulbcast.report.chapter import (
    Chapter,
    Data,
    Items,
    Line,
    Part,
    Picture,
    Table,
    Words,
    heads_of,
    record_of,
    row_of,
)
from bulbcast.report.values import Json, values_of

BEGINS = {False: "underside", True: "pocket floor"}
"""Where a hole begins, by whether that is the floor."""
WEIGH_BETWEEN = (
    "Weigh it three times, lifting it off each time, and take the mean. Weigh again before the last hole, which takes "
    "what is then left."
)
"""Request to whoever drills: with single weighings, one casting in a hundred ends outside what the drilling promises."""


def confidence_chapter(job: ConfidenceResults, found: Confidence) -> Chapter:
    """How sure the casting is.

    Args:
        job: The bulb in its place.
        found: Band, aim and budget.
    """
    shown, often = job.shown, job.shown.percent(found.probability)
    rest = shown.percent(1.0 - found.probability)
    records = [_record(line, shown) for line in found.budget]
    narrows = [
        worded("{}: {} less excess above the target", one.name, shown.mass(one.saved))
        for one in found.narrowing
    ]
    parts: list[Part] = [
        Words(text=_says(found, shown)),
        Table(
            rows=(
                Line("Target", shown.mass(found.target), "hangs on the fin when finished", "target_kg"),
                Line("Aim", shown.mass(found.aim), "as cast and hung, before drilling", "aim_kg"),
                Line(
                    "Give or take",
                    shown.mass(found.mass_sd),
                    "one standard deviation",
                    "mass_sd_kg",
                ),
                Line(
                    "Mass centre",
                    shown.length(found.centre_sd),
                    "one standard deviation along the fin, before drilling",
                    "mass_centre_sd_m",
                ),
                Line(
                    "Drilled off, mean",
                    shown.mass(found.drill_expected),
                    "cast to the aim; filler in the holes included",
                    "drill_expected_kg",
                ),
                Line(
                    "Drilled off, at most",
                    shown.mass(found.drill_most),
                    f"{rest} of castings need more",
                    "drill_most_kg",
                ),
                Line("", "", name="probability", value=found.probability),
                Line("", "", name="sized", value=found.sized),
            )
        ),
        Picture(draw=partial(mass_band, found, shown)),
        Table(
            heads=heads_of(records),
            rows=[row_of(one) for one in records],
            figures=tuple(range(1, len(heads_of(records)) - 1)),
            caption="What one standard deviation of each does to the hung mass",
            heading="What moves it",
            only="report",
        ),
        Table(
            rows=[(one[0].text, one[2].text, one[-1].text) for one in records],
            heading="One standard deviation of each, and how far it moves the mass",
            only="terminal",
        ),
        Picture(draw=partial(budget_bars, found, shown)),
        Words(text=_how(found, shown, often), style="caption", only="report", folded=True),
        Words(text=_if_not(found, shown, often), style="caption", only="report", folded=True),
        Data(
            values={
                **values_of(
                    found, "low_kg", "high_kg", "linear", "skewness", "scale_sd_kg", "if_wrong", "if_together"
                ),
                "budget": [
                    {
                        **record_of(record),
                        "key": line.input.key,
                        "value": line.input.value,
                    }
                    for record, line in zip(records, found.budget, strict=True)
                ],
                "drilling": [] if found.schedule is None else drilling_objects(found.schedule),
                "narrowing": [values_of(one, "name", "sd_kg", "saved_kg") for one in found.narrowing],
            }
        ),
    ]
    parts += drilling_parts(job, found.schedule)
    if narrows:
        parts.append(Items(lead="What measuring would save, largest first:", items=narrows))
    if found.sized:
        lead = "A test bar, before the bulb: how this metal behaves in this mould"
        parts.append(Items(lead=f"{lead}.", items=bar_steps(job), only="report"))
    title = "How sure the casting is"
    return Chapter(name="confidence", title=title, heading=title, at="confidence", parts=parts)


def _says(found: Confidence, shown: Shown) -> str:
    often, off = shown.percent(found.probability), shown.mass(found.aim - found.target)
    if found.sized:
        return (
            f"The body is sized to hang {shown.mass(found.aim)}: {off} more than the target, so that {often} of castings "
            "need drilling and no adding."
        )
    return (
        f"The body is sized to the target, so about one casting in two comes out light. For {often} of castings to need "
        f"drilling and no adding, aim {off} higher: write [confidence] in the plan."
    )


def _how(found: Confidence, shown: Shown, often: str) -> str:
    light = worded("{} to {}", shown.mass(found.low), shown.mass(found.high))
    words = (
        f"Of castings of the body as planned, all but {shown.percent(2.0 - 2.0 * found.probability)} hang between "
        f"{light}. Standard deviations are propagated by derivatives (JCGM 100) and by samples of the whole casting "
        "(JCGM 101). "
    )
    words += (
        "Both agree to two digits of the standard deviation."
        if found.linear
        else "They differ in the second digit, so the samples' figures are used."
    )
    if found.skewed:
        side = "heavy" if found.skewness > 0.0 else "light"
        words += f" The two ends differ: castings stray further to the {side} side."
    return (
        words
        + " One contraction holds for all lengths, and one pattern error for all faces. The pocket is set out from "
        "the casting's nose in proportion: its place in the plan times measured over planned length."
    )


def _if_not(found: Confidence, shown: Shown, often: str) -> str:
    """What still holds and what is lost where the standard deviations do not hold."""
    return (
        f"The {often} holds if the standard deviations do. With metal 1 % lighter and contraction two standard "
        f"deviations more than assumed, {shown.percent(found.if_wrong)} would need no adding; with contraction, mould "
        f"and pattern off from one cause, {shown.percent(found.if_together)}. A casting at or above its target still "
        "comes down to it, since you drill by the scale. An error of the scale stays in the bulb: check it with a known "
        "mass."
    )


def _record(line: BudgetLine, shown: Shown) -> tuple[Line, ...]:
    one = line.input
    return (
        Line("what", one.name, name="name", value=one.name),
        Line("give or take", spread_text(one, shown), name="sd", value=one.sd),
        Line("moves the mass", signed(shown.mass(line.mass)), name="dmass_kg", value=line.mass),
        Line("the mass centre", signed(shown.length(line.centre)), name="dmass_centre_m", value=line.centre),
        *_afloat(line, shown),
        Line("", "", name="unit", value=one.unit),
        Line("source", one.source, name="source", value=one.source),
    )


def _afloat(line: BudgetLine, shown: Shown) -> tuple[Line, ...]:
    """What it does to the boat's sinkage and trim, where her line is known."""
    if line.sinkage is None or line.trim is None:
        return (
            Line("", "", name="sinkage_m", value=None),
            Line("", "", name="trim_m", value=None),
        )
    return (
        Line("deeper", signed(shown.length(line.sinkage)), name="sinkage_m", value=line.sinkage),
        Line("by the stern", signed(shown.length(line.trim)), name="trim_m", value=line.trim),
    )


def spread_text(one: Input, shown: Shown) -> str:
    """A standard deviation as people read it.

    Args:
        one: Input.
        shown: The builder's units.
    """
    said = {"1": shown.percent, "m": shown.length, "kg": shown.mass, "kg/m3": shown.density}
    return said[one.unit](one.sd)


def _from_floor(schedule: Schedule) -> str:
    if not any(one.floor for one in schedule.holes):
        return ""
    return "Holes in the pocket's floor go down from it, before the fin is in the pocket. "


def drilling_objects(schedule: Schedule) -> list[Json]:
    """The holes as JSON.

    Args:
        schedule: What is drilled.
    """
    return [
        {
            "x_from_nose_m": hole.x,
            "diameter_m": hole.diameter,
            "depth_m": hole.depth,
            "mass_kg": schedule.mass(hole),
            "lead_volume_m3": hole.piece.volume,
            "from": BEGINS[hole.floor],
        }
        for hole in schedule.holes
    ]


def drilling_parts(
    job: BulbResults,
    schedule: Schedule | None,
    heading: str = "Drilling, for the mean; the real casting has its own",
) -> list[Part]:
    """What is drilled, as a table from the nose and a picture; nothing where nothing is.

    Args:
        job: The bulb in its place.
        schedule: What is drilled.
        heading: Heading of the table on the terminal.
    """
    if schedule is None or not schedule.holes:
        return []
    shown = job.shown
    rows = [
        (
            str(number),
            BEGINS[hole.floor],
            shown.length(hole.x),
            shown.length(hole.diameter),
            shown.length(hole.depth),
            shown.mass(schedule.mass(hole)),
        )
        for number, hole in enumerate(schedule.holes, start=1)
    ]
    return [
        Table(
            rows=[*rows, ("all", "", "", "", "", shown.mass(schedule.taken))],
            heads=("hole", "into", "from the nose", "drill", "depth", "takes off"),
            figures=(2, 3, 4, 5),
            total=True,
            caption="Drilling, for the mean: the real casting has its own, from bulbcast weigh",
            heading=heading,
        ),
        Picture(draw=partial(drilling_view, job, schedule)),
        Words(
            text=(
                "Square to the axis, on the centreplane. Depth is to the full diameter, at the middle of the hole; the "
                f"drill's point goes further. {_from_floor(schedule)}Fill flush with filler. Along the bulb the mass "
                f"centre stays within {shown.length(abs(schedule.shift))}. {WEIGH_BETWEEN}"
            ),
            style="caption",
        ),
    ]
