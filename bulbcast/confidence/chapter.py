"""Report chapter on confidence in the casting: band, aim, main causes of error, and the benefit of measuring."""

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
"""Surface in which a hole begins, by whether it is drilled from the pocket floor."""
WEIGH_BETWEEN = (
    "Weigh it three times, lifting it off each time, and use the mean. Weigh it again before the last hole, which "
    "removes the remaining excess."
)
"""Instruction for drilling. With single weighings, one casting in a hundred ends up outside the stated limits."""


def confidence_chapter(job: ConfidenceResults, found: Confidence) -> Chapter:
    """Return the chapter on confidence in the casting.

    Args:
        job: The bulb on the fin.
        found: Results with the band, the aim and the error budget.
    """
    shown, often = job.shown, job.shown.percent(found.probability)
    rest = shown.percent(1.0 - found.probability)
    records = [_record(line, shown) for line in found.budget]
    narrows = [worded("{}: {}", one.name, shown.mass(one.saved)) for one in found.narrowing]
    parts: list[Part] = [
        Words(text=_says(found, shown)),
        Table(
            rows=(
                Line("Target", shown.mass(found.target), "hung mass of the finished bulb", "target_kg"),
                Line("Aim", shown.mass(found.aim), "hung mass as cast, before drilling", "aim_kg"),
                Line(
                    "Give or take",
                    shown.mass(found.mass_sd),
                    "one standard deviation",
                    "mass_sd_kg",
                ),
                Line(
                    "Mass centre",
                    shown.length(found.centre_sd),
                    "one standard deviation, fore and aft, before drilling",
                    "mass_centre_sd_m",
                ),
                Line(
                    "Drilled out, mean",
                    shown.mass(found.drill_expected),
                    "if cast to the aim, net of the filler in the holes",
                    "drill_expected_kg",
                ),
                Line(
                    "Drilled out, at most",
                    shown.mass(found.drill_most),
                    f"{rest} of castings need more drilling",
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
            caption="Effect of one standard deviation of each input on the hung mass",
            heading="Main causes",
            only="report",
        ),
        Table(
            rows=[(one[0].text, one[2].text, one[-1].text) for one in records],
            heading="Standard deviation of each input and its effect on the mass",
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
        parts.append(Items(lead="How much closer to the target you could aim with:", items=narrows))
    if found.sized:
        lead = "Test bar of this metal, cast in this mould"
        parts.append(Items(lead=f"{lead}.", items=bar_steps(job), only="report"))
    title = "Confidence in the casting"
    return Chapter(name="confidence", title=title, heading=title, at="confidence", parts=parts)


def _says(found: Confidence, shown: Shown) -> str:
    often, off = shown.percent(found.probability), shown.mass(found.aim - found.target)
    if found.sized:
        return (
            f"The body is sized for a hung mass of {shown.mass(found.aim)}, {off} above the target. In {often} of cases "
            "the casting then needs only drilling, and no lead has to be added."
        )
    return (
        f"The body is sized to the target, so about one casting in two is too light. For {often} of castings to need "
        f"only drilling and no added lead, aim {off} higher: add [confidence] to the plan."
    )


def _how(found: Confidence, shown: Shown, often: str) -> str:
    light = worded("{} and {}", shown.mass(found.low), shown.mass(found.high))
    words = (
        f"All but {shown.percent(2.0 - 2.0 * found.probability)} of castings made to this plan have a hung mass "
        f"between {light}. Standard deviations are propagated by derivatives (JCGM 100) and by samples of the complete "
        "casting (JCGM 101). "
    )
    words += (
        "The two methods agree to two digits of the standard deviation."
        if found.linear
        else "The two methods differ in the second digit, so the samples' figures are used."
    )
    if found.skewed:
        side = "heavy" if found.skewness > 0.0 else "light"
        words += f" The band is not symmetrical: castings deviate further on the {side} side."
    return (
        words
        + " The same contraction applies to all lengths, and the same pattern error to all faces. The pocket is set out "
        "from the casting's nose in proportion: its planned distance from the nose times the measured length "
        "divided by the planned length."
    )


def _if_not(found: Confidence, shown: Shown, often: str) -> str:
    """Describe which results remain true, and which do not, if the standard deviations are wrong."""
    return (
        f"The figure of {often} is valid only if the standard deviations are correct. With metal 1 % lighter and "
        f"contraction two standard deviations larger than assumed, {shown.percent(found.if_wrong)} of castings would "
        "need no added lead. If contraction, mould and pattern all deviate for the same reason, "
        f"{shown.percent(found.if_together)} would. A casting at or above its target can still be brought down to it, "
        "because you weigh it as you drill. Any scale error remains in the bulb, so check the scale with a known "
        "mass."
    )


def _record(line: BudgetLine, shown: Shown) -> tuple[Line, ...]:
    one = line.input
    return (
        Line("what", one.name, name="name", value=one.name),
        Line("give or take", spread_text(one, shown), name="sd", value=one.sd),
        Line("effect on mass", signed(shown.mass(line.mass)), name="dmass_kg", value=line.mass),
        Line("the mass centre", signed(shown.length(line.centre)), name="dmass_centre_m", value=line.centre),
        *_afloat(line, shown),
        Line("", "", name="unit", value=one.unit),
        Line("source", one.source, name="source", value=one.source),
    )


def _afloat(line: BudgetLine, shown: Shown) -> tuple[Line, ...]:
    """Effect on the boat's sinkage and trim, if the waterline is given."""
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
    """Format the standard deviation of an input in the builder's units.

    Args:
        one: The input.
        shown: The builder's units.
    """
    said = {"1": shown.percent, "m": shown.length, "kg": shown.mass, "kg/m3": shown.density}
    return said[one.unit](one.sd)


def _from_floor(schedule: Schedule) -> str:
    if not any(one.floor for one in schedule.holes):
        return ""
    return "Drill the holes in the pocket floor from above, before the fin is in the pocket. "


def drilling_objects(schedule: Schedule) -> list[Json]:
    """Return the holes as JSON.

    Args:
        schedule: Drilling schedule.
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
    heading: str = "Drilling for the average casting; a real casting gets its own schedule",
) -> list[Part]:
    """Return the drilling schedule as a table, in order from the nose, and a picture; nothing if there are no holes.

    Args:
        job: The bulb on the fin.
        schedule: Drilling schedule.
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
            heads=("hole", "into", "from the nose", "drill", "depth", "removes"),
            figures=(2, 3, 4, 5),
            total=True,
            caption="Drilling for the average casting; bulbcast weigh gives the schedule for a real one",
            heading=heading,
        ),
        Picture(draw=partial(drilling_view, job, schedule)),
        Words(
            text=(
                "Drill square to the axis, on the centreplane. The depth given is that of the full diameter at the "
                f"middle of the hole; the drill's point goes deeper. {_from_floor(schedule)}Fill the holes flush with "
                f"filler. Along the bulb, the mass centre shifts by no more than {shown.length(abs(schedule.shift))}. "
                f"{WEIGH_BETWEEN}"
            ),
            style="caption",
        ),
    ]
