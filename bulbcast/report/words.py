"""What report and terminal both say: verdict, findings, key figures, rows of figures as texts.

Only formatting is done here: every figure comes from the Job and goes through its `Shown`.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from bulbcast.findings import Finding, Severity, Step
from bulbcast.job import Job
from bulbcast.quantities import Shown, worded

# Severity, its word and a sign of its own shape, so that none of them hangs on colour.
SEVERITY_WORDS = {
    Severity.STOP: "Stop",
    Severity.HOLD: "Hold",
    Severity.CAUTION: "Caution",
    Severity.NOTE: "Note",
}
SEVERITY_SIGNS = {
    Severity.STOP: "\u2715",
    Severity.HOLD: "\u2016",
    Severity.CAUTION: "!",
    Severity.NOTE: "i",
}

AFTER_CAUTIONS = "Its figures stand with the melt, after the cautions for lead."


def before_cautions(job: Job, finding: Finding) -> tuple[str, str]:
    """What the list of findings says of one: no figure of the melt stands before the cautions for lead.

    Args:
        job: The results.
        finding: One of its findings.

    Returns:
        Message and remedy; the remedy "" where both stand in full with the melt.
    """
    if job.figures_withheld(finding) or finding.tells is Step.MELT:
        return finding.brief, ""
    return finding.message, finding.remedy


def in_full(job: Job, but: tuple[Finding, ...] = ()) -> tuple[Finding, ...]:
    """The findings that tell figures of the melt, where those are not withheld; for after the cautions.

    Args:
        job: The results.
        but: Findings that are given elsewhere.
    """
    return tuple(
        one
        for one in job.findings
        if one.tells is Step.MELT and one not in but and not job.figures_withheld(one)
    )


def count_words(count: int, one: str, many: str) -> str:
    """ "1 hold", "2 holds"."""
    return f"{count} {one if count == 1 else many}"


def verdict(job: Job) -> tuple[Severity | None, str, str]:
    """The gravest severity that matters to the work, a headline, and what it means.

    Args:
        job: The results.

    Returns:
        STOP, HOLD or None; headline; explanation.
    """
    counts = {
        severity: sum(finding.severity is severity for finding in job.findings) for severity in Severity
    }
    stops = count_words(counts[Severity.STOP], "finding says", "findings say")
    if job.stopped:
        return (
            Severity.STOP,
            "This bulb must not be made as planned.",
            f"{stops} stop, and no pattern file was written. Each says how to mend it; the figures below are "
            "there to find the fault by, not to build from.",
        )
    rest = ", ".join(
        count_words(counts[severity], word, f"{word}s")
        for severity, word in (
            (Severity.HOLD, "hold"),
            (Severity.CAUTION, "caution"),
            (Severity.NOTE, "note"),
        )
        if counts[severity]
    )
    if counts[Severity.HOLD]:
        return (
            Severity.HOLD,
            "The pattern can be made; a later step is on hold.",
            f"{rest}. A step on hold is withheld below, with the reason, until that is mended.",
        )
    return (
        None,
        "No finding stops the work.",
        f"{rest}: read them before anything is made." if rest else "The checks found nothing to tell.",
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class KeyFigure:
    """One figure of the first glance.

    Attributes:
        name: What it is.
        value: In the builder's units.
        other: In the other system, or "".
        remark: A few words more, or "".
    """

    name: str
    value: str
    other: str = ""
    remark: str = ""


def key_figures(job: Job) -> tuple[KeyFigure, ...]:
    """The figures of the first glance, none of the melt among them.

    Args:
        job: The results.
    """
    bulb, shown, other = job.bulb, job.shown, job.shown.other
    body = bulb.body

    def length(name: str, metres: float, remark: str = "") -> KeyFigure:
        return KeyFigure(name=name, value=shown.length(metres), other=other.length(metres), remark=remark)

    figures = [
        KeyFigure(
            name="Hung mass",
            value=shown.mass(bulb.mass),
            other=other.mass(bulb.mass),
            remark=worded("asked: {}", shown.mass(job.wish.target_mass))
            if job.plan.bulb.target_mass is not None
            else "from the boat",
        ),
        length("Length", body.length, f"fineness {body.fineness:.2f}"),
    ]
    if body.width_to_height == 1.0:
        figures.append(length("Diameter", body.diameter, "at the largest section"))
    else:
        figures += [
            length("Width", body.width, f"{body.width_to_height:g} times the height"),
            length("Height", body.height, worded("area of a diameter of {}", shown.length(body.diameter))),
        ]
    figures += [
        length("Mass centre", bulb.mass_centre_x, "aft of the nose, everything hung"),
        KeyFigure(
            name="Casting",
            value=shown.mass(job.cast.mass),
            other=other.mass(job.cast.mass),
            remark="cold, before filing and cutting",
        ),
        length("Pattern length", job.pattern.length, f"scale {job.pattern.scale:.5f}, before its coat"),
        KeyFigure(
            name="Water displaced",
            value=shown.volume(bulb.displacement),
            other=other.volume(bulb.displacement),
            remark="by bulb and skin",
        ),
        KeyFigure(
            name="Wetted area",
            value=shown.area(bulb.surface.area),
            other=other.area(bulb.surface.area),
            remark="of the bare body, tail face included",
        ),
    ]
    return tuple(figures)


def side_word(metres: float, shown: Shown) -> str:
    """A distance along the boat in words: "2.4 mm aft", "1.0 mm forward"."""
    return worded(f"{{}} {'aft' if metres >= 0.0 else 'forward'}", shown.length(abs(metres)))


def overhang_words(metres: float, shown: Shown) -> str:
    """An overhang, or that the fin reaches beyond the bulb."""
    if metres >= 0.0:
        return shown.length(metres)
    return worded("none: the fin's tip reaches {} beyond it", shown.length(-metres))


def hanging_rows(job: Job) -> tuple[tuple[str, str, str], ...]:
    """Where the bulb hangs under the fin: what, how much, what it means.

    Args:
        job: The results.
    """
    balance, shown = job.balance, job.shown
    chord = job.plan.fin.tip_chord
    rows = [
        (
            "Mass centre along the tip chord",
            f"{balance.along_chord:.3f}",
            f"as a fraction of {shown.length(chord)}, from the leading edge aft",
        ),
        (
            "From the fin's elastic axis",
            side_word(balance.from_elastic_axis, shown),
            f"the axis lies at {job.plan.fin.elastic_axis:g} of the chord",
        ),
        (
            "Twisting moment at 90 degrees of heel",
            shown.torque(abs(balance.twist_at_90)),
            "tail down, leading edge up" if balance.twist_at_90 > 0.0 else "nose down, leading edge down"
            if balance.twist_at_90 < 0.0 else "none",
        ),
        ("Overhang ahead of the fin", overhang_words(balance.overhang_fore, shown), "nose to leading edge"),
        ("Overhang behind the fin", overhang_words(balance.overhang_aft, shown), "trailing edge to tail"),
    ]  # fmt: skip
    if balance.from_screws_middle is not None:
        rows.append(
            (
                "From the middle of the screws",
                side_word(balance.from_screws_middle, shown),
                "the mass centre, against the mean of the screws' places",
            )
        )
    incidence = job.bulb.incidence
    rows += [
        ("Nose, boat axes", shown.length(job.bulb.nose_x), "aft of the boat's origin is positive"),
        (
            "Bulb's axis, boat axes",
            shown.length(job.bulb.axis_z),
            "above the boat's origin is positive" + ("" if incidence == 0.0 else "; at the nose"),
        ),
        ("Underside, boat axes", shown.length(job.bulb.underside_z), "the lowest point, skin included"),
    ]
    if incidence != 0.0:
        rows.append(
            (
                "Incidence",
                shown.angle(abs(incidence)),
                f"the bulb's nose is {'up' if incidence > 0.0 else 'down'}",
            )
        )
    return tuple(rows)


def melt_rows(job: Job) -> tuple[tuple[str, float, str], ...]:
    """The charge line by line [kg]; the last is the sum.

    Args:
        job: The results.
    """
    melt, plan = job.melt, job.plan.melt
    shown = job.shown
    dross, of_lots = job.alloy.dross if plan.dross is None else plan.dross, ""
    if plan.dross is None and job.melting is not None and job.melting.stock is not None:
        dross, of_lots = job.melting.stock.dross, "; of the scrap's own kinds"
    return (
        ("Casting", melt.cast_mass, "the cast body, cold"),
        ("Feeder", melt.feeder, f"sprue and riser: {melt.feeder_source}"),
        (
            "Reserve",
            melt.reserve,
            f"{shown.percent(plan.reserve)} of what is poured; into dry warm ingot tins, never left to freeze "
            "in the pot",
        ),
        *(
            (("Heel", melt.heel, "that does not come out by pouring; into ingot tins while it is liquid"),)
            if melt.heel > 0.0
            else ()
        ),
        ("Dross", melt.dross, f"{shown.percent(dross)} of the charge, skimmed off{of_lots}"),
        ("Charge", melt.charge, "what goes into the pot"),
    )


def shown_or_dash(metres: float | None, shown: Shown) -> str:
    """A length, or a dash where there is none to measure."""
    return shown.length(metres) if metres is not None and math.isfinite(metres) else "\u2013"
