"""Results of a float test as text, as JSON and for the record: the boat's attitude, the excess mass and moment, and the
steps to take."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass

from bulbcast import __version__
from bulbcast.afloat.what_to_do import heels, what_to_do
from bulbcast.afloat.work import FloatResult
from bulbcast.ballast.moving import WeightMove
from bulbcast.findings import Finding
from bulbcast.quantities import Shown, alike, worded
from bulbcast.report.as_terminal import chapter_lines
from bulbcast.report.chapter import Chapter, Data, Gap, Line, Table, Typed, data_of
from bulbcast.report.page import Page, finding_lines, printable
from bulbcast.report.sources import shown_source
from bulbcast.report.values import Json, finding_object, inputs_object, values_of
from bulbcast.safety import cautions
from bulbcast.sailing.results import SailingResults

FORMAT = "bulbcast float"
_NOTHING = 5e-6
"""Length below which a difference is treated as zero. [m]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class RecordedTest:
    """Data from a recorded test, shown again in later reports.

    Attributes:
        when: Date or time as recorded.
        mass: Excess mass, negative if the boat is too light; None if the record does not give it. [kg]
        trim: Trim by the stern, negative by the bow; None if the record does not give it. [m]
    """

    when: str
    mass: float | None
    trim: float | None


def float_text(
    job: SailingResults,
    result: FloatResult,
    findings: Sequence[Finding],
    *,
    earlier: Sequence[RecordedTest],
    recorded: str | None,
    colour: bool,
    width: int,
) -> str:
    """Report on a float test as text.

    Args:
        job: Results of the plan.
        result: Results of the test.
        findings: Findings on the test and on the boat.
        earlier: Tests recorded earlier.
        recorded: Name of the file in which this test was recorded; None if it was not recorded.
        colour: Whether to colour the text with ANSI codes.
        width: Width of the terminal, in characters. [-]
    """
    page = Page(colour=colour, width=width, units=job.shown.units)
    page.wrapped(f"{printable(job.plan.name)}: float test", code="1")
    page.line()
    page.wrapped(verdict_words(result, job.shown), code="1")
    for finding in findings:
        finding_lines(page, finding, finding.message, finding.remedy)
    chapter_lines(page, _chapter(result, job.shown, earlier))
    page.line()
    page.wrapped("Not recorded." if recorded is None else f"Recorded in {recorded}.")
    return page.text()


def float_object(
    job: SailingResults, result: FloatResult, findings: Sequence[Finding], record: str | None
) -> Json:
    """Results of `bulbcast float` as one JSON object.

    Args:
        job: Results of the plan.
        result: Results of the test.
        findings: Findings on the test and on the boat.
        record: Name of the file in which the test was recorded; None if it was not recorded.
    """
    return {
        "name": job.plan.name,
        **data_of(_chapter(result, job.shown)),
        "findings": [finding_object(one) for one in findings],
        "record": record,
        "meta": {
            "format": FORMAT,
            "version": __version__,
            "plan_sha256": job.plan.sha256,
            "inputs": inputs_object(job),
        },
    }


def record_object(job: SailingResults, result: FloatResult) -> Json:
    """Record entry for a float test: date, options as typed, and resulting figures.

    Args:
        job: Results of the plan.
        result: Results of the test.
    """
    typed: dict[str, str | list[str]] = {}
    for name, text in result.asked.typed:
        if name in ("ashore", "aboard"):
            typed[name] = [*typed.get(name, []), text]
        else:
            typed[name.replace("-", "_")] = text
    figures = data_of(_chapter(result, job.shown))
    return {
        "when": result.asked.when,
        "plan_sha256": job.plan.sha256,
        "version": __version__,
        "water_density_kg_m3": result.test_density,
        "typed": typed,
        "lay": figures["lay"],
        "too_much": figures["too_much"],
    }


def recorded_table(tests: Sequence[RecordedTest], heading: str, shown: Shown) -> Table:
    """Table of the recorded tests with date, excess mass and trim by the stern; empty if there are none.

    Args:
        tests: Tests from the record.
        heading: Heading above the table.
        shown: The builder's units.
    """

    def known(value: float | None, show: Callable[[float], str]) -> str:
        return "–" if value is None else show(value)

    return Table(
        rows=[(one.when, known(one.mass, shown.mass), known(one.trim, shown.length)) for one in tests],
        heads=("when", "excess mass", "trim by the stern"),
        figures=(1, 2),
        heading=heading,
        only="terminal",
    )


def _chapter(result: FloatResult, shown: Shown, earlier: Sequence[RecordedTest] = ()) -> Chapter:
    return Chapter(
        name="float",
        parts=(
            Table(
                rows=[
                    (one.name, shown.length(one.x), shown.length(one.y), _against_line(one.above, shown))
                    for one in result.marks
                ],
                heads=("mark", "x", "y to starboard", "water relative to line"),
                figures=(1, 2),
                heading=f"The boat as tested, in water of {shown.density(result.test_density)}",
            ),
            Gap(),
            _lay(result, shown),
            _too_much(result, shown),
            Typed(write=lambda page: _to_do(page, result, shown)),
            Table(
                rows=[(one.key, one.value, shown_source(one.source)) for one in result.taken],
                heading="Values assumed because none was given",
            ),
            recorded_table(earlier, "Earlier tests", shown),
            Data(values={"test": _test(result), "what_to_do": _cure(result)}),
        ),
    )


def verdict_words(result: FloatResult, shown: Shown) -> str:
    """Summary of how the boat floats, in one or two sentences.

    Args:
        result: Results of the test.
        shown: The builder's units.
    """
    found, lay = result.found, result.found.attitude
    heel = ""
    if heels(result) and lay.heel is not None:
        side = "starboard" if lay.heel > 0.0 else "port"
        heel = f" The boat heels {abs(math.degrees(lay.heel)):.1f} degrees to {side}."
    if result.within_reading:
        trim = found.moment_spread / result.flotation.moment_per_trim
        return (
            f"The boat floats on her line, within the accuracy of these marks: {shown.mass(found.mass_spread)} and "
            f"{shown.length(trim)} of trim.{heel}"
        )
    mass = "The boat has the correct mass, within the accuracy of the marks"
    if abs(found.mass) > found.mass_spread:
        mass = alike(
            f"The boat is {{}} too {'heavy' if found.mass > 0.0 else 'light'} for her line, give or take {{}}",
            shown.mass(abs(found.mass)),
            shown.mass(found.mass_spread),
        )
    if abs(found.moment) <= found.moment_spread:
        return f"{mass}, and floats level.{heel}"
    end = "stern" if found.trim > 0.0 else "bow"
    return f"{mass}, and trims {shown.length(abs(found.trim))} by the {end}.{heel}"


def _against_line(above: float, shown: Shown) -> str:
    if above == 0.0:
        return "on it"
    where = "above, deep there" if above > 0.0 else "below, high there"
    return worded(f"{{}} {where}", shown.length(abs(above)))


def _side(value: float) -> str:
    return f"to {'starboard' if value >= 0.0 else 'port'}"


def _hidden(name: str, value: object) -> Line:
    return Line("", "", name=name, value=value)


def _lay(result: FloatResult, shown: Shown) -> Table:
    """Table of the sinkage, trim, heel and water displaced during the test."""
    lay, weighed = result.found.attitude, result.asked.weighed
    heel = _hidden("lay.heel_to_starboard_rad", lay.heel)
    if lay.heel is not None:
        degrees = f"{abs(math.degrees(lay.heel)):.1f} degrees"
        heel = Line("heel", degrees, _side(lay.heel), heel.name, lay.heel)
    floated, aboard = shown.mass(result.floated), shown.mass(result.weigh_in)
    sinks = ("deeper", "higher", "at the centre of flotation")
    trims = ("by the stern", "by the bow", "over the waterline length")
    lines = [
        _way("sinkage", lay.sinkage, sinks, "lay.sinkage_m", shown),
        _way("trim", lay.trim, trims, "lay.trim_by_stern_m", shown),
        heel,
        _hidden("lay.misfit_m", lay.misfit),
        Line("water displaced", floated, "from the marks and the plan's hull", "lay.water_displaced_kg"),
        Line("mass aboard, from the plan", aboard, "sum of everything aboard", "lay.weigh_in_aboard_kg"),
    ]
    if weighed is not None:
        lines.append(Line("mass on the scale", shown.mass(weighed), "as given"))
    return Table(rows=lines)


def _way(label: str, value: float, ways: tuple[str, str, str], name: str, shown: Shown) -> Line:
    """Length without its sign, followed by its direction. Zero has no direction."""
    plus, minus, words = ways
    if abs(value) < _NOTHING:
        return Line(label, shown.length(0.0), words, name, value)
    way = f"{plus if value > 0.0 else minus}{', ' if words else ''}{words}"
    return Line(label, shown.length(abs(value)), way, name, value)


def _too_much(result: FloatResult, shown: Shown) -> Table:
    """Table of the excess mass and moment, and of the sinkage and trim that they cause."""
    found, flotation = result.found, result.flotation
    mass, moment, spread = found.mass, found.moment, shown.mass(found.mass_spread)
    at = (shown.moment(found.moment_spread), shown.length(flotation.flotation_x))
    too = f"too {'much' if found.mass >= 0.0 else 'little'}, give or take {{}}"
    end = "aft" if found.moment >= 0.0 else "forward"
    about = f"{end}, give or take {{}}, about the centre of flotation at x = {{}}"
    at_x = _hidden("too_much.at_x_m", found.at_x)
    across = _hidden("too_much.moment_to_starboard_kg_m", found.across)
    if found.at_x is not None and flotation.fore_x <= found.at_x <= flotation.aft_x:
        at_x = Line(
            "a single weight of that mass at x",
            shown.length(found.at_x),
            "accounts for both mass and moment",
            at_x.name,
        )
    if found.across is not None:
        aside = shown.moment(abs(found.across))
        across = Line("sideways moment", aside, _side(found.across), across.name, found.across)
    deeper, trims = (
        ("deeper than the design line", "higher than the design line", ""),
        ("by the stern", "by the bow", ""),
    )
    return Table(
        rows=[
            Line("mass", shown.mass(abs(mass)), worded(too, spread), "too_much.mass_kg", mass),
            _hidden("too_much.mass_spread_kg", found.mass_spread),
            Line("moment", shown.moment(abs(moment)), worded(about, *at), "too_much.moment_aft_kg_m", moment),
            _hidden("too_much.moment_spread_kg_m", found.moment_spread),
            at_x,
            across,
            _way("the boat will float", found.sinkage, deeper, "too_much.sinkage_m", shown),
            _way("and trim", found.trim, trims, "too_much.trim_by_stern_m", shown),
            _hidden("too_much.displacement_found_less_planned_kg", result.hull_differs),
        ],
        heading="Excess with everything aboard, in the plan's water",
    )


def _to_do(page: Page, result: FloatResult, shown: Shown) -> None:
    """Write the steps that bring the boat to her line and the cautions on drilling; nothing if no step is needed."""
    said = what_to_do(result, shown)
    if not said:
        return
    page.heading("How to bring the boat to her line")
    for one in said:
        page.wrapped(one, first="  - ", rest="    ")
    if result.holes is not None or result.trim_lead:
        page.heading("Before you drill lead")
        for caution in cautions():
            if caution.steps[0] == "cold-work":
                page.wrapped(caution.short, first="  - ", rest="    ")


def _test(result: FloatResult) -> Json:
    """Conditions of the test, as data for programs."""
    return {
        "marks": [
            {**values_of(one, "name", "x_m", "y_m"), "above_line_m": one.above} for one in result.marks
        ],
        "water_density_kg_m3": result.test_density,
        "reading_spread_m": result.reading_spread,
        "ashore": [{"name": one.name, "felt_mass_kg": one.mass, "x_m": one.x} for one in result.missing],
        "aboard_besides": [values_of(one, "name", "mass_kg", "x_m") for one in result.asked.aboard],
        "weighed_kg": result.asked.weighed,
        "taken": [values_of(one, "key", "value", "source") for one in result.taken],
    }


def _cure(result: FloatResult) -> Json:
    """Steps that bring the boat to her line, as data for programs."""
    cure, holes, cast = result.cure, result.holes, result.to_cast
    drill, add = None, None
    if cure is not None:
        drilling, adding = cure.drilling, cure.adding
        if drilling is not None and holes is not None:
            drill = {
                "lead_kg": drilling.lead,
                "filler_kg": drilling.filler,
                "drill_m": drilling.diameter,
                "holes": holes.count,
                "each_deep_m": holes.depth,
                "middle_x_m": holes.x,
                "moment_left_kg_m": drilling.moment_left,
            }
        if adding is not None:
            add = {
                "inside_kg": adding.inside,
                "on_the_bulb_kg": adding.outside,
                "x_m": adding.x,
                "moment_left_kg_m": adding.moment_left,
            }

    def move(one: WeightMove) -> Json:
        return {
            "name": one.name,
            "from_x_m": one.start,
            "to_x_m": one.end,
            "enough": one.enough,
            "moment_left_kg_m": one.left,
        }

    return {
        "within_reading": result.within_reading,
        "drill": drill,
        "add": add,
        "move": [] if cure is None else [move(one) for one in cure.moves],
        "move_after_drilling_or_adding": [] if cure is None else [move(one) for one in cure.moves_after],
        "trim_lead_alone": [{"mass_kg": one.mass, "x_m": one.x} for one in result.trim_lead_alone],
        "trim_lead_against_bulb": [{"mass_kg": one.mass, "x_m": one.x} for one in result.trim_lead],
        "bulb_to_cast": None if cast is None else {"hung_mass_kg": cast.mass, "x_m": cast.x},
    }
