"""The way from finished lead to pattern in the report."""

from __future__ import annotations

from bulbcast.materials.patterns import pattern_materials
from bulbcast.pattern.results import PatternResults
from bulbcast.pattern.waterfall import amount_words, signed, waterfall
from bulbcast.quantities import Shown, worded
from bulbcast.report.markup import figure, paragraph, section, sources, table


def pattern_section(job: PatternResults) -> str:
    """From finished lead to pattern: picture, table, other rules, and what the pattern weighs."""
    shown, pattern = job.shown, job.pattern
    first = pattern.steps[0]
    rows, before = [], first
    for step in pattern.steps:
        start = step is first
        change = step.lead_mass - before.lead_mass
        rows.append(
            (
                step.name,
                amount_words(step.amount, step.is_length, shown),
                shown.length(step.length),
                shown.length(step.width),
                shown.length(step.height),
                shown.volume(step.volume),
                shown.mass(step.lead_mass),
                "" if start else signed(shown.mass(change)),
                "" if start else signed(shown.percent(change / first.lead_mass)),
            )
        )
        before = step
    body = ""
    if job.stopped:
        body += paragraph(
            "A finding says stop: no pattern file was written, and none is to be made.", "stopped"
        )
    body += figure(
        waterfall(job),
        "From finished lead to pattern, each size as the lead it would hold. Bars are cut off at the left so that "
        "the steps can be seen.",
    )
    body += table(
        (
            "after the step",
            "amount",
            "length",
            "width",
            "height",
            "volume",
            "as lead",
            "change",
            "of the lead",
        ),
        rows,
        figures=(1, 2, 3, 4, 5, 6, 7, 8),
        style="tight",
    )
    body += paragraph(
        f"Contraction {shown.percent(pattern.contraction)} of the cold length, give or take "
        f"{shown.percent(job.alloy.contraction_spread)} (one standard deviation). It is linear; mass feels it three "
        "times over, which makes it the largest doubt in the whole pattern.",
        "caption",
    )
    body += _rules(job) + _pattern_on_the_scale(job)
    return section("pattern", "From finished lead to pattern", body)


def _rules(job: PatternResults) -> str:
    shown = job.shown
    rows = [
        (
            cost.rule.name,
            shown.percent(cost.rule.contraction),
            f"{cost.scale:.5f}",
            signed(shown.percent(cost.mass_change)),
            signed(shown.mass(cost.mass_change * job.cast.mass)),
            cost.rule.source,
        )
        for cost in job.rules
    ]
    own = ("this plan", shown.percent(job.pattern.contraction), f"{job.pattern.scale:.5f}", "", "", "")
    return "<h3>Other shops' rules, and the mass each would cost</h3>\n" + table(
        ("rule", "contraction", "pattern scale", "casting heavier by", "", "source"),
        (own, *rows),
        figures=(1, 2, 3, 4),
    )


def _pattern_on_the_scale(job: PatternResults) -> str:
    """What the pattern weighs in its own stuff, before its coat."""
    shown, volume = job.shown, job.pattern.volume
    own = job.plan.pattern.density
    if own is not None:
        rows = [
            ("as planned", shown.density(own), shown.mass(own * volume), shown.other.mass(own * volume), "")
        ]
    else:
        rows = [
            (
                one.name,
                shown.density(one.density),
                shown.mass(one.density * volume),
                _between(one.lowest * volume, one.highest * volume, shown),
                one.note,
            )
            for one in pattern_materials()
        ]
    heads = (
        "material",
        "density",
        "pattern weighs",
        "in other units" if own is not None else "between",
        "note",
    )
    text = "<h3>Weigh the pattern before the mould is made</h3>\n" + paragraph(
        f"The pattern holds {shown.volume(volume)} before its coat of sealer. Solid, without infill, it weighs:"
    )
    text += table(heads, rows, figures=(1, 2, 3))
    if own is None:
        named: dict[str, list[str]] = {}
        for one in pattern_materials():
            named.setdefault(one.source, []).append(one.name)
        text += sources(f"{', '.join(names)}: {source}" for source, names in named.items())
    return text


def _between(low: float, high: float, shown: Shown) -> str:
    return worded("{} to {}", shown.mass(low), shown.mass(high))
