"""What is said of the pour: its card for the day, and why there is none."""

from __future__ import annotations

from bulbcast.foundry.drying.rules import when
from bulbcast.foundry.gating.design import Gating
from bulbcast.foundry.melt.words import leave_alone_row, runs_until
from bulbcast.foundry.melt.work import MeltJob
from bulbcast.foundry.pour.temperature import CAP, HOLD_FROM, STOP_FROM, vapour_bound
from bulbcast.foundry.results import FoundryResults
from bulbcast.materials.lead import MELTING_POINT
from bulbcast.quantities import Shown

Row = tuple[str, str, str]

UPPER_BOUND = (
    "The vapour figure is an upper bound, and of vapour alone; the dust of dross and oxide is a hazard at any "
    "temperature."
)
STOP_RULES = (
    "Steam, spitting or a rumble: stop pouring, stand back, let it freeze.",
    "The stream has stopped for longer than the pause above: do not go on; let it freeze, melt it again another day.",
    "Metal runs out at the parting: stop, do not plug it by hand.",
    "Short of metal: do not drop scrap or ingots into the mould.",
    "Nothing is moved before it has frozen; nothing is opened while it is too hot to touch.",
)


def withheld_words(job: FoundryResults) -> str:
    """What is withheld of melt and pour, in one sentence; for a job whose pour is withheld."""
    if job.melt_withheld:
        return "Melt and pour are withheld."
    return "The pour is withheld; the charge is shown to buy metal and a pot by."


def card_words(job: FoundryResults) -> str:
    """Where the pour card is to be had, and what the drying log leaves open: a plan has no clock."""
    # A plan that says nothing of the foundry is on hold for it only once it is to be poured.
    planned = "" if job.melting is not None else " and [mould] is planned"
    if job.pour_withheld:
        return (
            f"There is no pour card while that stands. Once it is cleared{planned}, bulbcast pour with "
            "this plan prints it."
        )
    drying = job.drying
    if drying is None or drying.moment is None or drying.holds_until is None:
        first = planned.replace(" and", " once") + "," if planned else ""
        return f"The pour card is judged on the day:{first} bulbcast pour with this plan prints it."
    return (
        f"By the log's last entry, of {when(drying.moment)}, the mould is dry; the pass holds until "
        f"{when(drying.holds_until)}, and only while the mould stays warm. Whether it still holds is judged on the day: "
        "bulbcast pour with this plan prints the pour card then."
    )


def _mould_words(job: FoundryResults) -> str:
    """How the mould comes to the pour, by what it is made of and how it is dried."""
    section = job.plan.mould
    if section is not None and section.material == "sand":
        how = (
            "cured through and cold"
            if section.sand_kind == "oil-bonded"
            else "dried hot, its moisture measured"
        )
        return f"{how}; nothing that holds water near it"
    if section is not None and section.drying == "air":
        return "warm from the drying box, dry by the scale"
    return "warm from the oven, dry by the scale"


def _both(celsius: float, shown: Shown) -> str:
    return shown.temperature_both(celsius)


def _after(gating: Gating) -> str:
    """What fills once the bulb is full: an upright mould is poured through its riser."""
    return "the riser" if gating.sprue is None else "sprue and riser"


def pour_rows(job: FoundryResults, melting: MeltJob) -> list[Row]:
    """The pour card."""
    shown, gating = job.shown, melting.gating
    bound = vapour_bound(max(melting.temperature, MELTING_POINT)) * 1e9
    rows = [
        (
            "Pour at",
            _both(melting.temperature, shown),
            f"all liquid from {_both(job.alloy.liquidus, shown)}; by a thermometer",
        ),
        (
            "Never above",
            _both(CAP, shown),
            f"wait from {_both(HOLD_FROM, shown)}, gas off from {_both(STOP_FROM, shown)}",
        ),
        ("Vapour over the pot, at most", f"{bound:.2g} micrograms/m\u00b3", "in air that has cooled to 20 C"),
    ]
    until = None if job.drying is None else job.drying.holds_until
    if until is not None:
        rows.append(
            (
                "Not after",
                when(until),
                "the mould's drying pass ends, or sooner if it cools; ask bulbcast pour again right before you pour",
            )
        )
    if melting.mould_temperature is not None:
        rows.append(("Mould", _both(melting.mould_temperature, shown), _mould_words(job)))
    pieces = 1 if gating is None else gating.cavity.pours
    poured = job.melt.poured / pieces
    rows.append(
        (
            "Into each mould" if pieces > 1 else "Into the mould",
            shown.mass(poured),
            f"{pieces} pieces, one after the other" if pieces > 1 else "in one go",
        )
    )
    if melting.pots is not None and melting.pots.ladle is not None:
        rows.append(
            (
                "Ladles",
                str(melting.pots.ladles),
                f"of {shown.mass(melting.pots.ladle)}, each before the last has run out",
            )
        )
    if gating is not None:
        rows += [
            (
                "Fill it in" if gating.choke is None else "Fill the bulb in",
                shown.duration(gating.fill_time),
                f"{shown.mass(gating.pour_rate)} a second"
                + ("" if gating.choke is None else f", {_after(gating)} after it; keep the cup full"),
            ),
            ("Longest pause", shown.duration(gating.pause), f"of the stream: {runs_until(job)}"),
        ]
        if gating.mark is not None:
            rows.append(
                (
                    "Fill to",
                    shown.length(gating.mark.above_face),
                    "above the flat face; top it up while it sinks",
                )
            )
        if gating.force is not None:
            level = gating.cavity.parting == "horizontal"
            rows.append(
                (
                    "On the mould before the pour",
                    shown.workshop.mass(gating.force.weight)
                    if level
                    else shown.workshop.force(gating.force.clamp),
                    "of weights, or clamps as strong" if level else "of clamps or straps, in all",
                )
            )
        rows.append(leave_alone_row(job, gating))
    return rows
