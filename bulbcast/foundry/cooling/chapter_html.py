"""The cooling in the report: what freezes when, what the feeder reaches, when the mould may be opened."""

from __future__ import annotations

from bulbcast.foundry.cooling.results import Cooling
from bulbcast.foundry.cooling.rules import place_words
from bulbcast.foundry.cooling.views import freezing_map, fronts, history_plot
from bulbcast.foundry.melt.foundry_html import beside
from bulbcast.foundry.results import FoundryResults
from bulbcast.quantities import Shown, worded
from bulbcast.report.markup import figure, paragraph, section, sources, table

_STANDS = {
    "lying": "lying, the feeder upright on it",
    "nose-up": "nose up, the feeder on the nose",
    "tail-up": "tail up, the feeder on the tail",
    "open-half": "half the bulb, open above",
}


def cooling_section(job: FoundryResults) -> str:
    """Freezing map, fronts, temperatures and figures; empty where no cooling was asked for.

    Args:
        job: The results.
    """
    if job.cooling is None:
        return ""
    cooling, shown = job.cooling.cooling, job.shown
    body = beside(("hot-mould",))
    body += figure(
        freezing_map(cooling),
        "When each place freezes, as the mould stands: dark is late. The white cross-hair marks where the casting "
        "freezes last, a white disc the largest hollow in its true size.",
    )
    if cooling.through is not None:
        body += figure(freezing_map(cooling, along=False), "The same across the bulb.")
    body += figure(
        fronts(cooling, shown),
        "Dark metal still flows and can feed; between dark and grey it sets, like porridge; grey is solid.",
    )
    body += figure(
        history_plot(cooling, shown),
        "The scale of the time is drawn closer towards its end, as its square root.",
    )
    body += table(("", "", ""), _rows(cooling, shown), figures=(1,), caption="Freezing and feeding")
    body += table(
        ("", "share", ""),
        _energy_rows(cooling),
        figures=(1,),
        caption="Where the metal's heat has gone when all of the casting is solid",
    )
    body += paragraph(
        "A model of heat alone. The mould's conductivity is known to a third at best, and with it every time here: "
        "the range is told beside it. Weigh the mould dry, keep the feeder liquid, and open it cold to the hand.",
        "remarks",
    )
    body += sources((*cooling.told, *cooling.setup.mould.sources, *cooling.setup.metal.sources))
    return section("cooling", "Freezing and cooling", body)


def _rows(cooling: Cooling, shown: Shown) -> list[tuple[str, str, str]]:
    setup, rule = cooling.setup, cooling.rule
    rows = [
        (
            "How it stands",
            _STANDS[setup.orientation],
            f"{setup.mould.title}, {shown.density(setup.mould.density)}",
        ),
        (
            "Metal and mould at the pour",
            f"{shown.temperature(setup.pour)} and {shown.temperature(setup.start)}",
            f"air at {shown.temperature(setup.surroundings)}",
        ),
    ]
    if setup.feeder is not None and cooling.frozen_feeder is not None:
        rows.append(
            (
                "Feeder",
                worded("{} across", shown.length(setup.feeder.diameter)),
                f"{shown.length(setup.feeder.height)} over the casting; gives {shown.volume(cooling.drawn)} of its "
                f"{shown.volume(cooling.feeder_volume)}",
            )
        )
    rows.append(
        (
            "Casting all solid after",
            shown.duration(cooling.frozen),
            f"{shown.duration(cooling.frozen_low)} to {shown.duration(cooling.frozen_high)}, depending on the "
            f"mould's conductivity; "
            f"last {place_words(cooling, cooling.last_in_casting, shown)}",
        )
    )
    if cooling.frozen_feeder is not None:
        rows.append(
            (
                "Feeder all solid after",
                shown.duration(cooling.frozen_feeder),
                "last of all" if cooling.feeder_last else "before the casting",
            )
        )
    rows.append(
        (
            "Leave the mould alone for",
            shown.duration(cooling.leave_alone),
            "casting and feeder solid in a mould that conducts as badly as any",
        )
    )
    rows.append(
        (
            "Last way into the casting closes after" if setup.feeder is not None else "Top frozen over after",
            shown.duration(cooling.path_closes),
            f"{shown.percent(cooling.solid_at_closing)} of the casting is solid by then",
        )
    )
    rows.append(
        (
            "Left empty in the casting",
            shown.volume(cooling.cavity_volume),
            f"{shown.percent(cooling.cavity_share)} of it"
            + (
                f"; most of it {place_words(cooling, cooling.cavities[0].place, shown)}"
                if cooling.cavities
                else ""
            ),
        )
    )
    rows.append(
        (
            "Not to be opened before",
            shown.duration(cooling.open_after),
            f"hottest metal at {shown.temperature(setup.open_below)}",
        )
    )
    rows.append(
        (
            "Chvorinov's rule, as a check",
            shown.duration(rule.curved),
            "with the skin's curvature; it leaves out the feeder, "
            + ("the bound water, " if setup.mould.reaction_heat > 0.0 else "")
            + "the mould's end and the lead's own resistance, which holds the last drop of a ball back by up to a fifth: "
            "the simulation is the figure that counts",
        )
    )
    return rows


def _energy_rows(cooling: Cooling) -> list[tuple[str, str, str]]:
    energy = cooling.energy

    def row(name: str, joules: float, words: str = "") -> tuple[str, str, str]:
        return name, f"{100.0 * joules / energy.given:.1f} %", words or f"{joules * 1e-3:.4g} kJ"

    return [
        row("Into the mould", energy.warmed),
        row("With the bound water", energy.bound_water),
        row("To the air", energy.to_air),
    ]
