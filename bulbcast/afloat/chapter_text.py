"""`bulbcast float` on the terminal: how she lay, what is too much, what to do about it, and the tests before."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import TYPE_CHECKING

from bulbcast.findings import Finding
from bulbcast.quantities import alike, worded
from bulbcast.report.page import Page, finding_lines, printable
from bulbcast.safety import cautions
from bulbcast.sailing.results import SailingResults

_NOTHING = 5e-6
"""A length that is none. [m]"""

if TYPE_CHECKING:
    from bulbcast.afloat.record import RecordedTest
    from bulbcast.afloat.work import FloatResult
    from bulbcast.ballast.moving import WeightMove
    from bulbcast.quantities import Shown


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
    """A float test in words.

    Args:
        job: Of the plan.
        result: The test.
        findings: On the test and on the boat.
        earlier: Tests recorded before.
        recorded: Name of the file that this one went into; None where it was not recorded.
        colour: Whether to colour it with ANSI codes.
        width: Of the terminal, in characters. [-]
    """
    shown = job.shown
    page = Page(colour=colour, width=width)
    page.wrapped(f"{printable(job.plan.name)}: float test", code="1")
    page.line()
    page.wrapped(verdict(result, shown), code="1")
    for finding in findings:
        finding_lines(page, finding, finding.message, finding.remedy)
    page.heading(f"As she lay, in water of {shown.density(result.test_density)}")
    page.table(
        [("mark", "x", "y to starboard", "water against the line"), *mark_rows(result, shown)], figures=(1, 2)
    )
    page.line()
    page.table(lay_rows(result, shown), figures=(1,))
    page.heading("What is too much, with all aboard and in her own water")
    page.table(too_much_rows(result, shown), figures=(1,))
    told = things_to_do(result, shown)
    if told:
        page.heading("What would put her on her line")
        for one in told:
            page.wrapped(one, first="  - ", rest="    ")
        if result.holes is not None or result.trim_lead:
            _cautions(page)
    if result.taken:
        page.heading("Taken where nothing was said")
        page.table([(one.key, one.value, one.source) for one in result.taken], figures=(1,))
    if earlier:
        page.heading("Tests before this one")
        page.table(recorded_rows(earlier, shown), figures=(1, 2))
    page.line()
    page.wrapped("Not recorded." if recorded is None else f"Recorded in {recorded}.")
    return page.text()


def _cautions(page: Page) -> None:
    """Those for drilling lead, where that is told."""
    page.heading("Before lead is drilled")
    for one in cautions():
        if one.steps[0] == "cold-work":
            page.wrapped(one.short, first="  - ", rest="    ")


def verdict(result: FloatResult, shown: Shown) -> str:
    """In one or two sentences how she is.

    Args:
        result: The test.
        shown: The builder's units.
    """
    found, lay = result.found, result.found.attitude
    spread = found.mass_spread or 0.0
    heel = ""
    if _heels(result) and lay.heel is not None:
        side = "starboard" if lay.heel > 0.0 else "port"
        heel = f" She heels {abs(math.degrees(lay.heel)):.1f} degrees to {side}."
    if result.within_reading:
        return (
            f"She floats on her line as well as these marks can tell: to {shown.mass(spread)} and "
            f"{shown.length(_trim_spread(result))} of trim.{heel}"
        )
    mass = "She has her mass to what the marks can tell"
    if abs(found.mass) > spread:
        mass = alike(
            f"She is {{}} too {'heavy' if found.mass > 0.0 else 'light'} for her line, give or take {{}}",
            shown.mass(abs(found.mass)),
            shown.mass(spread),
        )
    if abs(found.moment) <= (found.moment_spread or 0.0):
        return f"{mass}, and lies level.{heel}"
    end = "stern" if found.trim > 0.0 else "bow"
    return f"{mass}, and trims {shown.length(abs(found.trim))} by the {end}.{heel}"


def _heels(result: FloatResult) -> bool:
    """Whether a heel was read that is more than the marks can mistake."""
    lay = result.found.attitude
    return lay.heel is not None and abs(lay.heel) > (lay.heel_spread or 0.0)


def _trim_spread(result: FloatResult) -> float:
    return (result.found.moment_spread or 0.0) / result.flotation.moment_per_trim


def mark_rows(result: FloatResult, shown: Shown) -> list[tuple[str, ...]]:
    """Each mark with its place and reading.

    Args:
        result: The test.
        shown: The builder's units.
    """
    return [
        (one.name, shown.length(one.x), shown.length(one.y), _against_line(one.above, shown))
        for one in result.marks
    ]


def _told(value: float, plus: str, minus: str, words: str, shown: Shown) -> tuple[str, str]:
    """A length without its sign and which way it goes; nothing is nothing, whichever way."""
    if abs(value) < _NOTHING:
        return shown.length(0.0), words
    return shown.length(abs(value)), f"{plus if value > 0.0 else minus}{', ' if words else ''}{words}"


def _against_line(above: float, shown: Shown) -> str:
    if above == 0.0:
        return "on it"
    return worded(
        f"{{}} {'above, deep there' if above > 0.0 else 'below, high there'}", shown.length(abs(above))
    )


def lay_rows(result: FloatResult, shown: Shown) -> list[tuple[str, str, str]]:
    """Sinkage, trim, heel and water displaced, as she lay.

    Args:
        result: The test.
        shown: The builder's units.
    """
    lay = result.found.attitude
    rows = [
        ("sinkage", *_told(lay.sinkage, "deeper", "higher", "at the centre of flotation", shown)),
        ("trim", *_told(lay.trim, "by the stern", "by the bow", "over her waterline", shown)),
    ]
    if lay.heel is not None:
        side = "starboard" if lay.heel >= 0.0 else "port"
        rows.append(("heel", f"{abs(math.degrees(lay.heel)):.1f} degrees", f"to {side}"))
    rows.append(("water displaced", shown.mass(result.floated), "by the marks and the plan's hull"))
    rows.append(("aboard by the plan", shown.mass(result.weigh_in), "sum of what was aboard"))
    if result.asked.weighed is not None:
        rows.append(("on the scale", shown.mass(result.asked.weighed), "as given"))
    return rows


def too_much_rows(result: FloatResult, shown: Shown) -> list[tuple[str, str, str]]:
    """Mass and moment too much, and what she does with them.

    Args:
        result: The test.
        shown: The builder's units.
    """
    found = result.found
    spread = "" if found.mass_spread is None else worded(", give or take {}", shown.mass(found.mass_spread))
    turn = (
        "" if found.moment_spread is None else worded(", give or take {}", shown.moment(found.moment_spread))
    )
    end = "aft" if found.moment >= 0.0 else "forward"
    rows = [
        (
            "mass",
            shown.mass(abs(found.mass)),
            worded(f"too {'much' if found.mass >= 0.0 else 'little'}{{}}", spread),
        ),
        (
            "moment",
            shown.moment(abs(found.moment)),
            worded(
                f"{end} about the centre of flotation at x = {{}}{{}}",
                shown.length(result.flotation.flotation_x),
                turn,
            ),
        ),
    ]
    if found.at_x is not None and result.flotation.fore_x <= found.at_x <= result.flotation.aft_x:
        rows.append(("one weight of it at x", shown.length(found.at_x), "would do both"))
    if found.across is not None:
        side = "starboard" if found.across >= 0.0 else "port"
        rows.append(("moment across", shown.moment(abs(found.across)), f"to {side}"))
    rows.append(
        ("she will float", *_told(found.sinkage, "deeper than her line", "higher than her line", "", shown))
    )
    rows.append(("and trim", *_told(found.trim, "by the stern", "by the bow", "", shown)))
    return rows


def things_to_do(result: FloatResult, shown: Shown) -> list[str]:
    """Each thing to do as a sentence, none where she is on her line to what the marks can tell.

    Args:
        result: The test.
        shown: The builder's units.
    """
    if result.within_reading:
        return _upright(result, shown)
    if result.without_bulb:
        return [_to_cast(result, shown)]
    cure, told = result.cure, []
    if cure is None:
        return []
    mass_matters = abs(result.found.mass) > (result.found.mass_spread or 0.0)
    left, after = -result.found.moment, cure.moves
    if cure.drilling is not None and mass_matters and not result.drillable:
        return [
            f"Take {shown.mass(result.found.mass)} out of the boat, or cast another bulb: so much lead cannot be drilled "
            "out of this one."
        ]
    if cure.drilling is not None and result.holes is not None and mass_matters:
        holes = result.holes
        each = "one hole" if holes.count == 1 else f"{holes.count} holes"
        told.append(
            f"Drill {shown.mass(cure.drilling.lead)} of lead out of the bulb from below and fill the holes flush with "
            f"{shown.mass(cure.drilling.filler)} of filler: {each} of {shown.length(cure.drilling.diameter)}, each "
            f"{shown.length(holes.depth)} deep, the middle of the row at x = {shown.length(holes.x)}, clear of the "
            "screws."
        )
        left, after = cure.drilling.moment_left, cure.moves_after
    if cure.adding is not None and mass_matters:
        adding = cure.adding
        place = (
            f"at x = {shown.length(adding.x)}"
            if adding.x is not None
            else f"at the {'stern' if result.found.moment < 0.0 else 'bow'}, as far out as it may lie"
        )
        told.append(
            f"Lay {shown.mass(adding.inside)} of lead inside the hull {place}; on the bulb it would take "
            f"{shown.mass(adding.outside)}, since that displaces water."
        )
        left, after = adding.moment_left, cure.moves_after
    if told and abs(left) > 1e-9 * result.flotation.mass * result.flotation.length:
        told.append(f"That leaves {shown.moment(abs(left))} wanting, {'aft' if left > 0.0 else 'forward'}.")
    if abs(left) > (0.0 if told else result.found.moment_spread or 0.0):
        told += [_move(one, shown) for one in after]
        told += [
            f"Or lay {shown.mass(lead.mass)} of trim lead at x = {shown.length(lead.x)} and drill as much, fillings "
            "reckoned in, out of the bulb under its mass centre: that mends the trim and leaves her mass."
            for lead in result.trim_lead
            if not (cure.drilling is not None or cure.adding is not None) or not mass_matters
        ]
    told += _upright(result, shown)
    return told


def _upright(result: FloatResult, shown: Shown) -> list[str]:
    """What takes the heel out, where one was read that the marks can tell."""
    across = result.found.across
    if across is None or not _heels(result):
        return []
    side = "port" if across > 0.0 else "starboard"
    words = f"Move {shown.moment(abs(across))} to {side} to take the heel out"
    if result.across is None:
        return [f"{words}."]
    name, distance = result.across
    return [f"{words}: {printable(name)} by {shown.length(abs(distance))}, say."]


def _move(one: WeightMove, shown: Shown) -> str:
    way = "aft" if one.distance > 0.0 else "forward"
    if abs(one.distance) < 5e-5:
        return f"Moving {printable(one.name)} does not help: it is as far that way as it may be."
    words = f"Move {printable(one.name)} from x = {shown.length(one.start)} {way} to {shown.length(one.end)}"
    if one.enough:
        return f"{words}: that puts the trim right."
    return f"{words}, as far as it may go: that leaves {shown.moment(abs(one.left))} wanting."


def _to_cast(result: FloatResult, shown: Shown) -> str:
    if result.to_cast is None:
        return "She is so heavy that nothing is left for a bulb: take weight out of her."
    return (
        f"The bulb was ashore: cast it to a hung mass of {shown.mass(result.to_cast.mass)} and hang its mass centre at "
        f"x = {shown.length(result.to_cast.x)}; set target_mass and mass_centre_x to these, and plan once more."
    )


def recorded_rows(tests: Sequence[RecordedTest], shown: Shown) -> list[tuple[str, str, str]]:
    """Tests on record: when, mass too much, trim by the stern.

    Args:
        tests: From the record.
        shown: The builder's units.
    """
    rows = [("when", "mass too much", "trim by the stern")]
    for one in tests:
        rows.append(
            (
                one.when,
                "\u2013" if one.mass is None else shown.mass(one.mass),
                "\u2013" if one.trim is None else shown.length(one.trim),
            )
        )
    return rows
