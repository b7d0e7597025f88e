"""Text, JSON and log entry for a measured test bar, and instructions for making and measuring one."""

from __future__ import annotations

from bulbcast import __version__
from bulbcast.confidence.bar import CALIPER, HEIGHT, LENGTH, WIDTH, BarSays, bar_volume
from bulbcast.confidence.results import ConfidenceResults
from bulbcast.quantities import Shown
from bulbcast.quantities.figures import give_or_take
from bulbcast.report.as_terminal import chapter_lines
from bulbcast.report.chapter import Chapter, Data, Line, Part, Table, Words, data_of
from bulbcast.report.page import Page, printable
from bulbcast.report.values import Json, inputs_object

FORMAT = "bulbcast weigh"


def bar_steps(job: ConfidenceResults) -> list[str]:
    """Return instructions for making and measuring a test bar.

    Args:
        job: Results of the plan with the same metal and mould.
    """
    shown = job.shown
    volume, _ = bar_volume()
    return [
        f"Print or plane the bar in test-bar.stl: {shown.length(LENGTH)} by {shown.length(WIDTH)} on its smaller face, "
        f"{shown.length(HEIGHT)} deep. Measure the length of the smaller face on the finished pattern; do not use the "
        "drawn length.",
        "Mould it in an open mould, with the larger face up, using the same mould material as for the bulb, mixed, "
        f"dried and warmed in the same way. Pour it from the same pot (about {shown.mass(job.alloy.density * volume)} "
        "of metal) and observe all the cautions for pouring.",
        "When it is cold, measure the same edge of the casting, as close to the smaller face as the caliper's jaws "
        "allow. Weigh it in air and hanging in water, to a tenth of a gram.",
        'bulbcast weigh FILE --bar "138.8 mm" --bar-pattern "140.1 mm" --bar-mass "424.3 g" --bar-in-water "386.2 g" '
        "adds it to the log. Then plan again.",
    ]


def bar_text(job: ConfidenceResults, says: BarSays, *, logged: str | None, colour: bool, width: int) -> str:
    """Describe a measured test bar.

    Args:
        job: Results of the plan.
        says: Results from the test bar.
        logged: Name of the log; None if it was not logged.
        colour: Whether to colour the text with ANSI codes.
        width: Width of the terminal, in characters. [-]
    """
    page = Page(colour=colour, width=width)
    page.wrapped(f"{printable(job.plan.name)}: test bar measured", code="1")
    chapter_lines(page, _chapter(job, says))
    page.line()
    page.wrapped(
        "Not logged." if logged is None else f"Logged in {logged}. Plan again before you make the pattern."
    )
    return page.text()


def bar_object(job: ConfidenceResults, says: BarSays, log: str | None) -> Json:
    """Return a measured test bar as one JSON object.

    Args:
        job: Results of the plan.
        says: Results from the test bar.
        log: Name of the log; None if it was not logged.
    """
    return {
        "name": job.plan.name,
        **data_of(_chapter(job, says)),
        "log": log,
        "meta": {
            "format": FORMAT,
            "version": __version__,
            "plan_sha256": job.plan.sha256,
            "inputs": inputs_object(job),
        },
    }


def bar_log(job: ConfidenceResults, says: BarSays, kind: tuple[str, str, str]) -> Json:
    """Return the log entry for a test bar. It has no plan hash, because a test bar does not belong to any bulb pattern.

    Args:
        job: Results of the plan.
        says: Results from the test bar.
        kind: Alloy, pattern-making method, and mould.
    """
    density = says.density
    return {
        "when": says.readings.when,
        "plan": job.plan.name,
        "bar": True,
        "alloy": kind[0],
        "made_by": kind[1],
        "mould": kind[2],
        "mould_expansion": job.plan.pattern.mould_expansion,
        "contraction": says.contraction[0],
        "contraction_sd": says.contraction[1],
        "density_kg_m3": None if density is None else density[0],
        "density_sd_kg_m3": None if density is None else density[1],
        "typed": dict(says.readings.typed),
    }


def _chapter(job: ConfidenceResults, says: BarSays) -> Chapter:
    shown, density = job.shown, says.density
    rows = [
        Line(
            "Contraction",
            give_or_take(shown.percent(says.contraction[0]), shown.percent(says.contraction[1])),
            f"with the mould's growth as planned; the plan gives {shown.percent(job.pattern.contraction)}",
            "contraction",
            says.contraction[0],
        ),
        Line("", "", name="contraction_sd", value=says.contraction[1]),
        Line("", "", name="density_kg_m3", value=None if density is None else density[0]),
        Line("", "", name="density_sd_kg_m3", value=None if density is None else density[1]),
    ]
    if density is not None:
        rows.append(
            Line(
                "Density",
                give_or_take(shown.density(density[0]), shown.density(density[1])),
                f"with the porosity as planned; the plan gives {shown.density(job.alloy.density)}",
            )
        )
    parts: list[Part] = [
        Table(rows=rows),
        Data(values={"pattern_measured": says.readings.pattern is not None}),
        Words(text=_more(says, shown)),
    ]
    return Chapter(name="bar", heading="Test bar results", at="bar", parts=parts)


def _more(says: BarSays, shown: Shown) -> str:
    """Suggest further measurements that would make the test bar more useful."""
    more = []
    if says.readings.pattern is None:
        more.append("--bar-pattern (the length of the pattern, now assumed to be as drawn)")
    if says.density is None:
        more.append("--bar-mass and --bar-in-water (for the density)")
    if more:
        return f"The bar would be more useful with {' and with '.join(more)}."
    return f"Caliper lengths are assumed to be accurate to {shown.length(CALIPER)} unless you give another value."
