"""Report chapter on the pattern: steps from the finished lead to the pattern, shop rules, and the pattern's weight."""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial
from itertools import pairwise
from typing import TYPE_CHECKING

from bulbcast.materials.patterns import pattern_materials
from bulbcast.pattern.made import MadePattern
from bulbcast.pattern.results import PatternResults
from bulbcast.quantities import worded
from bulbcast.quantities.figures import signed
from bulbcast.quantities.typed import length_bought
from bulbcast.report.chapter import Chapter, Data, Heading, Line, Part, Picture, Sources, Table, ToBuy, Words
from bulbcast.report.sources import shown_source
from bulbcast.report.values import Json, point, values_of

if TYPE_CHECKING:
    from bulbcast.drawing.shapes import View

_STEP_HEADS = (
    *("after the step", "amount", "length", "width", "height"),
    *("volume", "as lead", "change", "of the lead"),
)


def pattern_chapter(job: PatternResults) -> Chapter:
    """Return the chapter on the steps from finished lead to pattern: picture, ledger, shop rules, and the pattern's
    weight.

    Args:
        job: The results.
    """
    return Chapter(
        name="pattern",
        title="From finished lead to pattern",
        step="pattern",
        heading="From finished lead to pattern",
        parts=(*_steps(job), *_rules(job), *_on_the_scale(job), *_finished(job), _data(job), *_to_buy(job)),
    )


def _steps(job: PatternResults) -> Iterator[Part]:
    shown, pattern = job.shown, job.pattern
    first = pattern.steps[0]
    rows = []
    for before, step in pairwise((first, *pattern.steps)):
        change = step.lead_mass - before.lead_mass
        rows.append(
            (
                step.name,
                step.amount_words(shown),
                shown.length(step.length),
                shown.length(step.width),
                shown.length(step.height),
                shown.volume(step.volume),
                shown.mass(step.lead_mass),
                "" if step is first else signed(shown.mass(change)),
                "" if step is first else signed(shown.percent(change / first.lead_mass)),
            )
        )
    if job.stopped:
        yield Words(
            text="A finding says stop, so no pattern file was written. Do not make a pattern.",
            style="stopped",
            only="report",
        )

    def bars(*, narrow: bool = False) -> View:
        from bulbcast.pattern.waterfall import waterfall

        return waterfall(job, narrow=narrow)

    yield Picture(
        draw=bars,
        narrow=partial(bars, narrow=True),
        caption="{title}, with each size shown as the mass of lead that would fill it. The bars are cut off at the left "
        "to make the steps visible.",
    )
    yield Table(rows=rows, heads=_STEP_HEADS, figures=range(1, 9), style="tight", only="report")
    terminal = [(name, amount, length, mass, more) for name, amount, length, _, _, _, mass, more, _ in rows]
    yield Table(rows=terminal, figures=(1, 2, 3, 4), only="terminal")
    yield Words(
        text=f"Contraction is {shown.percent(pattern.contraction)} of the cold length, give or take "
        f"{shown.percent(job.alloy.contraction_spread)} (one standard deviation). It is linear and has three times "
        "that effect on the mass, so it is the largest uncertainty in the pattern.",
        style="caption",
        only="report",
    )


def _rules(job: PatternResults) -> Iterator[Part]:
    shown, pattern = job.shown, job.pattern
    yield Heading(text="Contraction rules of other shops and their effect on the mass", only="report")
    own = ("this plan", shown.percent(pattern.contraction), f"{pattern.scale:.5f}", "", "", "")
    others = [
        (
            cost.rule.name,
            shown.percent(cost.rule.contraction),
            f"{cost.scale:.5f}",
            signed(shown.percent(cost.mass_change)),
            signed(shown.mass(cost.mass_change * job.cast.mass)),
            shown_source(cost.rule.source),
        )
        for cost in job.rules
    ]
    yield Table(
        rows=[own, *others],
        heads=("rule", "contraction", "pattern scale", "change in cast mass", "", "source"),
        figures=(1, 2, 3, 4),
        only="report",
    )


def _on_the_scale(job: PatternResults) -> Iterator[Part]:
    """Return the weight of the uncoated pattern in various materials."""
    shown, volume = job.shown, job.pattern.volume
    own = job.plan.pattern.density
    yield Heading(text="Weigh the pattern before the mould is made", only="report")
    pattern = job.pattern
    across = worded("{} by {}", shown.length(pattern.width), shown.length(pattern.height))
    coat = "before its coat of sealer"
    lines = [
        Line("Pattern, width by height", across, coat, step="pattern"),
        Line("Volume of the pattern", shown.volume(volume), coat, step="pattern"),
    ]
    yield Table(rows=lines, only="report")
    yield Words(text="A solid pattern, without infill, weighs:", style="caption", only="report")
    if own is not None:
        mass = own * volume
        rows = [("as planned", shown.density(own), shown.mass(mass), shown.other.mass(mass), "")]
    else:
        rows = [
            (
                one.name,
                shown.density(one.density),
                shown.mass(one.density * volume),
                worded("{} to {}", shown.mass(one.lowest * volume), shown.mass(one.highest * volume)),
                one.note,
            )
            for one in pattern_materials()
        ]
    beside = "between" if own is None else "in other units"
    yield Table(
        rows=rows,
        heads=("material", "density", "pattern weighs", beside, "note"),
        figures=(1, 2, 3),
        only="report",
    )
    if own is None:
        named: dict[str, list[str]] = {}
        for one in pattern_materials():
            named.setdefault(one.source, []).append(one.name)
        yield Sources(words=[f"{', '.join(names)}: {source}" for source, names in named.items()])


def _finished(job: PatternResults) -> Iterator[Part]:
    """Return the results for a pattern that is already made."""
    made, shown = job.made, job.shown
    if made is None:
        return
    density = "using this metal density instead of pure lead's"
    remarks = ("", density, "", "", "three times the linear effect", "", "")
    casting, hung = shown.mass(made.cast_mass), shown.mass(made.hung_mass)
    over = signed(shown.mass(made.over))
    rows = [
        Line(
            "Pattern as made",
            shown.volume(made.volume),
            f"planned volume {shown.volume(made.planned_volume)}",
        ),
        *(
            Line(step.name, shown.mass(step.mass), remark)
            for step, remark in zip(made.steps, remarks, strict=False)
        ),
        Line("Casting from this pattern", casting, f"planned mass {shown.mass(job.cast.mass)}"),
        Line("Hangs", hung, f"{over} compared with the target, if filed, cut and drilled as planned"),
    ]
    name = "Casting from the finished pattern"
    yield Table(rows=rows, heading=name, caption=name)


def _to_buy(job: PatternResults) -> Iterator[Part]:
    """Return the block of material to buy for the pattern; none for a pattern that is printed or already made."""
    if job.made is not None or job.plan.printer is not None:
        return
    pattern = job.pattern
    sides = " by ".join(
        length_bought(side, job.shown) for side in (pattern.length, pattern.width, pattern.height)
    )
    remark = "minimum size of wood or board for the pattern; allow extra for holding it in a lathe or vice"
    yield ToBuy(lines=[Line("Pattern block", sides, remark)])


def _data(job: PatternResults) -> Data:
    cast, pattern, own = job.cast, job.pattern, job.plan.pattern.density
    steps: list[Json] = [
        {
            "name": step.name,
            "amount_m" if step.is_length else "amount": step.amount,
            **values_of(step, "length_m", "width_m", "height_m", "volume_m3", "lead_mass_kg"),
        }
        for step in pattern.steps
    ]
    rules: list[Json] = [
        {
            "name": cost.rule.name,
            "contraction": cost.rule.contraction,
            "scale": cost.scale,
            "mass_change": cost.mass_change,
            "mass_change_kg": cost.mass_change * cast.mass,
        }
        for cost in job.rules
    ]
    return Data(
        values={
            "cast": {
                "volume_m3": cast.volume,
                "mass_kg": cast.mass,
                "mass_centre_from_nose_m": point(cast.mass_centre_x, 0.0, cast.mass_centre_z),
                **values_of(
                    cast, "finish_m", "finish_mass_kg", "cut_later_mass_kg", "length_m", "width_m", "height_m"
                ),
            },
            "pattern": {
                **values_of(
                    pattern,
                    "scale",
                    "length_m",
                    "width_m",
                    "height_m",
                    "volume_m3",
                    "contraction",
                    "mould_expansion",
                    "coat_m",
                ),
                "own_mass_kg": None if own is None else own * pattern.volume,
                "steps": steps,
                "shop_rules": rules,
                "made": None if job.made is None else _made(job.made),
            },
        }
    )


def _made(made: MadePattern) -> Json:
    steps: list[Json] = [{"name": step.name, "mass_kg": step.mass} for step in made.steps]
    names = ("given", "volume_m3", "planned_volume_m3", "cast_mass_kg", "hung_mass_kg", "target_kg")
    ways = ("layer_m", "pure_lead", "pure_hung_mass_kg")
    return {**values_of(made, *names, *ways), "steps": steps}
