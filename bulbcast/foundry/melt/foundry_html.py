"""The hot and the dusty part: cautions first, then alloy, melt, and what is filed and cut afterwards."""

from __future__ import annotations

from collections.abc import Sequence

from bulbcast.findings import Severity
from bulbcast.foundry.melt.charge_bar import pot_bar
from bulbcast.foundry.melt.words import melt_rows
from bulbcast.foundry.pour.words import card_words, withheld_words
from bulbcast.foundry.results import FoundryResults
from bulbcast.quantities import give_or_take
from bulbcast.report.findings_html import melt_findings, withheld_card
from bulbcast.report.markup import figure, paragraph, section, sources, table, text
from bulbcast.safety import caution, cautions, steps


def cautions_section() -> str:
    """Every caution in its short form, by the step of the work at which it stands first."""
    body = '<div class="cautions">\n'
    for step in steps():
        items = "".join(
            f"<li><strong>{text(one.title)}.</strong> {text(one.short)}</li>\n"
            for one in cautions()
            if one.steps[0] == step.name
        )
        if items:
            body += f"<div><h3>{text(step.title)}</h3><ul>\n{items}</ul></div>\n"
    body += "</div>\n" + paragraph(
        "SAFETY.md has them in full, with their sources. They are general: where local rules, makers' instructions "
        "or licensed practice ask for more, those hold.",
        "caption",
    )
    return section("cautions", "Cautions: read before any lead is melted", body)


def beside(codes: Sequence[str]) -> str:
    """A few cautions where they concern what stands next to them."""
    items = "".join(f"<li>{text(caution(code).short)}</li>" for code in codes)
    return f'<aside class="beside"><span class="badge">Caution</span><ul>{items}</ul></aside>\n'


def alloy_section(job: FoundryResults) -> str:
    """What it is cast of, with spreads and sources."""
    shown, alloy = job.shown, job.alloy
    rows = [
        ("Alloy", alloy.name, ""),
        (
            "Density, sound metal",
            give_or_take(shown.density(alloy.density), shown.density(alloy.density_spread)),
            shown.other.density(alloy.density),
        ),
        (
            "Density of the casting",
            shown.density(job.wish.cast_density),
            f"less {shown.percent(job.plan.alloy.porosity)} of voids",
        ),
        (
            "Contraction, linear",
            shown.percent(alloy.contraction),
            f"solidus to 20 C; give or take {shown.percent(alloy.contraction_spread)}",
        ),
    ]
    if not job.pour_withheld:
        rows.append(
            (
                "All liquid above",
                shown.temperature_both(alloy.liquidus),
                f"all solid below {shown.temperature_both(alloy.solidus)}",
            )
        )
    words = [
        f"density: {alloy.density_source}",
        f"its spread: {alloy.density_spread_source}",
        f"contraction: {alloy.contraction_source}",
        f"its spread: {alloy.contraction_spread_source}",
        f"melting: {alloy.melting_source}",
    ]
    if alloy.published is not None:
        words.append(
            f"a published density to hold it against: {shown.density(alloy.published.density)} "
            f"({alloy.published.alloy}; {alloy.published.source})"
        )
    return section("alloy", "Alloy", table(("", "", ""), rows, figures=(1,)) + sources(words))


def melt_section(job: FoundryResults) -> str:
    """The charge, withheld with its reason where a finding says so, and where the pour card is to be had.

    The pour card itself depends on the day, so no bundle holds one.
    """
    withheld = job.pour_withheld
    charge_shown = not job.melt_withheld
    body = (
        beside(("water-and-lead", "fume-and-dust", "pot", "frozen-heel", "lifting")) if charge_shown else ""
    )
    if withheld:
        body += withheld_card(job, withheld_words(job), withheld)
    body += melt_findings(job, but=withheld)
    shown = job.shown
    if charge_shown:
        rows = [
            (name, shown.mass(mass), shown.other.mass(mass), remark) for name, mass, remark in melt_rows(job)
        ]
        body += figure(pot_bar(job))
        body += table(("", "mass", "in other units", ""), rows, figures=(1, 2), style="sum-last", total=True)
        if job.melting is not None:
            from bulbcast.foundry.melt.chapter_html import melt_list

            body += melt_list(job)
    body += paragraph(card_words(job))
    return section("melt", "Melt and pour", body)


def after_section(job: FoundryResults) -> str:
    """From the raw casting to the finished lead; withheld where a stop says that it is not to be made."""
    if job.stopped:
        reasons = tuple(one for one in job.findings if one.severity is Severity.STOP)
        return section(
            "after",
            "After the casting: file, cut, drill",
            withheld_card(job, "What is filed off is withheld.", reasons),
        )
    shown, cast = job.shown, job.cast
    later = (
        (
            "Casting, sprue and riser off",
            shown.mass(cast.mass),
            shown.other.mass(cast.mass),
            "as it leaves the mould",
        ),
        (
            "To be filed off",
            shown.mass(cast.finish_mass),
            shown.other.mass(cast.finish_mass),
            f"{shown.length(cast.finish)} all over: weigh until it is gone",
        ),
        (
            "To be cut and drilled out",
            shown.mass(cast.cut_later_mass),
            shown.other.mass(cast.cut_later_mass),
            "pocket, holes and recesses that are not cored",
        ),
        (
            "Finished lead",
            shown.mass(job.pattern.steps[0].lead_mass),
            shown.other.mass(job.pattern.steps[0].lead_mass),
            "before screws, filler and skin",
        ),
    )
    body = beside(("hot-mould", "cold-work", "seal-the-bulb"))
    body += table(("", "mass", "in other units", ""), later, figures=(1, 2), total=True)
    body += paragraph(
        f"The casting balances {shown.length(cast.mass_centre_x)} aft of the finished nose, the finished bulb with "
        f"all that hangs {shown.length(job.bulb.mass_centre_x)}.",
        "caption",
    )
    return section("after", "After the casting: file, cut, drill", body)
