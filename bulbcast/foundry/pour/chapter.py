"""Report chapter on the pour: the card for the day, or every reason why there is none."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime
from typing import TYPE_CHECKING

from bulbcast import __version__
from bulbcast.foundry.cooling.radial import FREEZES_FROM_SKIN, RUNS_UNTIL
from bulbcast.foundry.drying.rules import when
from bulbcast.foundry.gating.design import KEPT_SHARE
from bulbcast.foundry.pour.temperature import CAP, HOLD_FROM, STOP_FROM, vapour_bound
from bulbcast.foundry.results import FoundryResults
from bulbcast.materials.lead import MELTING_POINT
from bulbcast.quantities import Shown
from bulbcast.report.as_terminal import chapter_lines
from bulbcast.report.chapter import Chapter, Data, Json, Line, Table, Words, data_of
from bulbcast.report.page import COLOURS, Page, finding_lines, printable
from bulbcast.report.values import finding_object

if TYPE_CHECKING:
    from bulbcast.foundry.gating.parts import Gating
    from bulbcast.foundry.melt.work import MeltJob

BESIDE_THE_POUR = ("water-and-lead", "fume-and-dust", "pot", "hot-mould")
"""Codes of the cautions printed on the pour card itself."""
STOP_RULES = (
    "Steam, spitting or a rumble: stop pouring, stand back, let it freeze.",
    "The stream stopped for longer than the pause above: do not go on. Let the metal freeze; remelt it another day.",
    "Metal leaks at the parting: stop, and do not plug it by hand.",
    "Short of metal: do not drop scrap or ingots into the mould.",
    "Move nothing before the metal has frozen; open nothing while it is too hot to touch.",
)


def withheld_words(job: FoundryResults) -> str:
    """Say in one sentence whether the melt is withheld too, for a job whose pour is withheld."""
    if job.melt_withheld:
        return "The melt and the pour are withheld."
    return "The pour is withheld. The charge is shown so that you can buy metal and a pot."


def card_words(job: FoundryResults) -> str:
    """Say how to get the pour card, and what the drying log cannot decide without the current time."""
    # A plan without anything on the foundry is on hold because of that only when it comes to the pour.
    planned = "" if job.melting is not None else " and [mould] is planned"
    if job.pour_withheld:
        return (
            f"There is no pour card until the findings above are cleared{planned}. Then print it with bulbcast pour "
            "FILE."
        )
    drying = job.drying
    if drying is None or drying.moment is None or drying.holds_until is None:
        first = planned.replace(" and", " once") + "," if planned else ""
        return f"The pour card is prepared on the day:{first} print it with bulbcast pour FILE."
    return (
        f"According to the last log entry ({when(drying.moment)}), the mould is dry. The pass holds until "
        f"{when(drying.holds_until)}, and only while the mould stays warm. On the day, bulbcast pour FILE "
        "checks whether it still holds and, if so, prints the pour card."
    )


def runs_until(job: FoundryResults) -> str:
    """Clause saying how solid the metal is when it stops running in a thin channel."""
    if job.alloy.liquidus - job.alloy.solidus <= FREEZES_FROM_SKIN:
        return "by then it is frozen through"
    return (
        f"by then it is {100.0 * RUNS_UNTIL:.0f} % solid and no longer runs (our judgement; casting texts give 20 to "
        "35 %)"
    )


def leave_alone_line(gating: Gating, shown: Shown) -> Line:
    """Build the table row on how long to leave the mould alone.

    Args:
        gating: Gating of the mould.
        shown: The builder's units.
    """
    metal = "the casting is" if gating.feeder is None else "the casting and feeder are"
    how = "simulated" if gating.simulated else "calculated conservatively"
    remark = f"at least; by then {metal} solid in the slowest mould ({how}). Then wait until it is cold to the touch"
    return Line("Leave alone for", shown.duration(gating.leave_alone), remark, "leave_alone_s", step="pour")


def pour_figures(melting: MeltJob) -> Json:
    """Temperatures of the metal and the mould, for both plan.json and the pour card."""
    return {
        "temperature_c": melting.temperature,
        "mould_temperature_c": melting.mould_temperature,
        "vapour_bound_kg_m3": vapour_bound(max(melting.temperature, MELTING_POINT)),
    }


def pour_card(job: FoundryResults, melting: MeltJob) -> Chapter:
    """Build the pour card for the day.

    Args:
        job: Results judged at a given time, with nothing that withholds the pour.
        melting: Melt of the plan.
    """
    until = None if job.drying is None else job.drying.holds_until
    gating = melting.gating
    absent = (
        {} if gating is not None else dict.fromkeys(("fill_time_s", "longest_pause_s", "leave_alone_s"), None)
    )
    return Chapter(
        name="card",
        heading="Pour card",
        at="card",
        parts=[
            Table(rows=list(_card_lines(job, melting))),
            Words(
                text="The vapour figure is an upper bound for vapour alone. Dust from dross and oxide is a hazard at "
                "any temperature."
            ),
            Data(
                values={
                    **pour_figures(melting),
                    "not_after": None if until is None else until.isoformat(timespec="minutes"),
                    "pieces": 1 if gating is None else gating.cavity.mould.pours,
                    **absent,
                }
            ),
        ],
    )


def _card_lines(job: FoundryResults, melting: MeltJob) -> Iterator[Line]:
    shown, gating, both = job.shown, melting.gating, job.shown.temperature_both
    yield Line(
        "Pour at",
        both(melting.temperature),
        f"fully liquid from {both(job.alloy.liquidus)}; use a thermometer",
    )
    yield Line(
        "Never above",
        both(CAP),
        f"from {both(HOLD_FROM)} up, wait for it to cool; from {both(STOP_FROM)} up, turn the gas off",
    )
    bound = vapour_bound(max(melting.temperature, MELTING_POINT)) * 1e9
    yield Line(
        "Vapour over the pot, at most", f"{bound:.2g} micrograms/m\u00b3", "in air that has cooled to 20 C"
    )
    if job.drying is not None and job.drying.holds_until is not None:
        yield Line(
            "Not after",
            when(job.drying.holds_until),
            "the drying pass ends then, or sooner if the mould cools; run bulbcast pour again right before you pour",
        )
    if melting.mould_temperature is not None:
        yield Line("Mould", both(melting.mould_temperature), _mould_words(job))
    pieces = 1 if gating is None else gating.cavity.mould.pours
    poured = shown.mass(job.melt.poured / pieces)
    if pieces > 1:
        where, how = "Into each mould", f"{pieces} pieces, one after the other"
    else:
        where, how = "Into the mould", "in a single pour"
    yield Line(where, poured, how, "poured_a_piece_kg")
    if melting.pots is not None and melting.pots.ladle is not None:
        ladle = shown.mass(melting.pots.ladle)
        yield Line(
            "Ladles", str(melting.pots.ladles), f"of {ladle}; start each before the previous one is empty"
        )
    if gating is None:
        return
    fill, rate = shown.duration(gating.fill_time), f"{shown.mass(gating.pour_rate)} a second"
    if gating.choke is None:
        yield Line("Fill it in", fill, rate, "fill_time_s")
    else:
        # A mould on end is poured through its feeder.
        after = "the feeder" if gating.sprue is None else "sprue and feeder"
        yield Line("Fill the bulb in", fill, f"{rate}, then {after}; keep the cup full", "fill_time_s")
    pause = shown.duration(gating.pause)
    yield Line("Longest pause", pause, f"of the stream: {runs_until(job)}", "longest_pause_s")
    if gating.mark is not None:
        yield Line(
            "Fill to", shown.length(gating.mark.above_face), "above the flat face; top it up as it sinks"
        )
    if gating.force is not None:
        level, rough = gating.cavity.level_parting, shown.workshop
        yield Line(
            "On the mould before the pour",
            rough.mass(gating.force.weight) if level else rough.force(gating.force.clamp),
            "of weights, or clamps of equal force" if level else "in total, from clamps or straps",
        )
    yield from keeping_lines(gating, shown, withheld=bool(job.melt_withheld))
    yield leave_alone_line(gating, shown)


def keeping_lines(gating: Gating, shown: Shown, *, withheld: bool) -> Iterator[Line]:
    """Build the table rows for keeping a feeder liquid and topping it up, with times and amounts.

    Args:
        gating: Gating of the mould.
        shown: The builder's units.
        withheld: Whether masses of metal are withheld.
    """
    if gating.keep is None or gating.keep_least is None:
        return
    least = shown.duration(gating.keep_least)
    how = (
        "the shortest time found by simulation, in the slowest mould"
        if gating.simulated
        else f"{KEPT_SHARE:g} of the casting's freezing time in the slowest mould; {least} in this one. This errs on "
        "the safe side; --cooling gives the shortest time"
    )
    how += "; play the torch only on the metal's open face, never on plaster that may be damp"
    yield Line("Keep the feeder liquid for", shown.duration(gating.keep), how, "keep_liquid_s", step="pour")
    if withheld:
        return
    by = ", ".join(f"{shown.mass(one.in_all)} by {shown.duration(one.until)}" for one in gating.top_ups)
    sip = (
        f"hot metal from the pot, a little at a time as it sinks, with a dry ladle: about {by}; the feeder supplies "
        "the rest"
    )
    yield Line("Top it up with", shown.mass(gating.top_up), sip, "top_up_kg")


def _mould_words(job: FoundryResults) -> str:
    """Describe the state of the mould at the pour, depending on its material and drying method."""
    section = job.plan.mould
    if section is not None and section.material == "sand":
        oiled = section.sand_kind == "oil-bonded"
        how = "cured through and cold" if oiled else "dried hot, its moisture measured"
        return f"{how}; keep anything that holds water away from it"
    if section is not None and section.material == "mortar":
        return "warm from drying, its mass constant over two days at 60 C (140 F); shields on, nobody leaning over it"
    if section is not None and section.drying == "air":
        return "warm from the drying box, and dry according to the scale"
    return "warm from the oven, and dry according to the scale"


def pour_object(job: FoundryResults, moment: datetime) -> Json:
    """Build the output of `bulbcast pour` as one JSON object, with either the reasons why the pour is withheld or the
    figures of the card.

    Args:
        job: Results judged at `moment`.
        moment: Time at which the job was judged.

    Returns:
        Figures in SI units, with the unit at the end of each name.
    """
    withheld, melting = job.pour_withheld, job.melting
    card = {"card": None} if withheld or melting is None else data_of(pour_card(job, melting))
    return {
        "name": job.plan.name,
        "judged_at": moment.isoformat(timespec="minutes"),
        "withheld": [finding_object(finding, withheld=job.figures_withheld(finding)) for finding in withheld],
        **card,
        "meta": {"format": "bulbcast pour", "version": __version__, "plan_sha256": job.plan.sha256},
    }


def pour_text(job: FoundryResults, *, moment: datetime, colour: bool, width: int) -> str:
    """Write the output of `bulbcast pour` for the terminal: the card, or the reasons why it is withheld and
    what to do next.

    Args:
        job: Results judged at `moment`, with the pattern's pieces measured.
        moment: Time at which the job was judged.
        colour: Whether to colour it with ANSI codes.
        width: Width of the terminal, in characters. [-]

    Returns:
        Lines of text.
    """
    from bulbcast.safety import caution

    page = Page(colour=colour, width=width, units=job.shown.units)
    page.wrapped(f"{printable(job.plan.name)}: the pour as of {when(moment)}", code="1")
    page.line()
    withheld = job.pour_withheld
    if withheld:
        page.wrapped("Do not pour: there is no pour card.", code=COLOURS[withheld[0].severity])
        # The most serious finding comes first, and the mould is checked before metal is bought for it.
        for finding in withheld:
            if job.figures_withheld(finding):
                finding_lines(page, finding, finding.brief, "")
            else:
                finding_lines(page, finding, finding.message, finding.remedy)
        page.line()
        # A fix that contains withheld figures comes after what withholds them.
        first = next(one for one in withheld if not job.figures_withheld(one))
        page.wrapped(f"Next: {first.remedy}", code="1")
        return page.text()
    page.wrapped("Nothing in the plan or the log prevents the pour.", code="1;32")
    if job.melting is not None:
        chapter_lines(page, pour_card(job, job.melting))
    gating = None if job.melting is None else job.melting.gating
    torch = ("torch-on-feeder",) if gating is not None and gating.keep is not None else ()
    beside = [caution(code).short for code in (*BESIDE_THE_POUR, *torch)]
    for heading, items in (("When to stop", STOP_RULES), ("Before the burner is lit", beside)):
        page.heading(heading)
        for item in items:
            page.wrapped(item, first="  - ", rest="    ")
    page.wrapped(
        "You cannot see whether a mould is dry. Local rules, makers' instructions and licensed practice take "
        "precedence over this card.",
        first="  ",
        rest="  ",
    )
    return page.text()
