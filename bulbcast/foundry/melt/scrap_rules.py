"""Findings on the scrap: unsafe or unknown pieces, shortages, and the effect of the blend.

A weighed sample is checked against the sorting. If they cannot both be right, the pour is on hold and neither figure
replaces the other. Scrap of unknown composition was not sorted, so nothing contradicts its sample.
"""

from __future__ import annotations

import math

from bulbcast.findings import Finding, Rule, Severity, Step, melt_rule, typed
from bulbcast.foundry.melt.rules import accepts_unknown
from bulbcast.foundry.melt.stock import Stock
from bulbcast.foundry.melt.work import BlendEffect, Enough, MeltJob, Purchase, lot_of
from bulbcast.foundry.results import FoundryResults
from bulbcast.materials.scrap import scrap_kind
from bulbcast.plan.bulb_sections import WeighedSample
from bulbcast.plan.melt_sections import ACCEPT_UNKNOWN, ScrapSection
from bulbcast.quantities import Shown, alike, give_or_take, joined
from bulbcast.quantities.typed import mass_up

SCRAP_BATTERY = Rule(
    "scrap-battery",
    Severity.STOP,
    why="Battery lead contains acid, poisonous dust, and metals whose dross gives off poisonous gas.",
)
SCRAP_WET = Rule(
    "scrap-wet",
    Severity.STOP,
    why="Water that gets under molten lead turns to steam at once and throws the lead about.",
)
SCRAP_CLOSED = Rule(
    "scrap-closed",
    Severity.STOP,
    why="A closed hollow piece may contain water or air and burst in the pot.",
)
SCRAP_UNKNOWN = Rule(
    "scrap-unknown",
    Severity.HOLD,
    holds=(Step.POUR,),
    why=(
        "Scrap of unknown composition may be lighter than planned, or contain metals that must not be melted. Weighing "
        "a piece shows whether it is lighter."
    ),
)
SCRAP_UNKNOWN_ACCEPTED = Rule(
    "scrap-unknown-accepted",
    Severity.CAUTION,
    why="You have accepted scrap of unknown composition: the casting may be lighter or heavier than planned.",
)
SCRAP_TO_BE_CULLED = Rule(
    "scrap-to-be-culled",
    Severity.CAUTION,
    why="Zinc pieces among tyre weights spoil a whole pot: the metal turns thick and does not fill the mould.",
)
SCRAP_CONDITION_NOT_SAID = Rule(
    "scrap-condition-not-said",
    Severity.CAUTION,
    why="Water in scrap explodes under molten lead, so check every piece before it goes into the pot.",
)
SCRAP_SHORT = melt_rule(
    "scrap-short",
    Severity.HOLD,
    holds=(Step.POUR,),
    brief="There is not enough scrap: the pour is on hold.",
    why="The mould has to be filled in one pour, and there is not enough metal for it.",
)
SCRAP_TIGHT = melt_rule(
    "scrap-tight",
    Severity.CAUTION,
    brief="The scrap on hand is only just enough.",
    why="The yield of clean metal from the scrap is not known exactly, so there may not be enough.",
)
SAMPLE_DISPUTED = Rule(
    "sample-disputed",
    Severity.HOLD,
    holds=(Step.POUR,),
    why="Two values found for the density differ by more than their errors, so one of them is wrong.",
)
BLEND_OFF_PLAN = melt_rule(
    "blend-off-plan",
    Severity.CAUTION,
    brief="The scrap does not blend to the alloy that the bulb is sized for.",
    why="The bulb is sized for one density; metal of another density makes it too light or too heavy.",
)

CULLED_KINDS = ("wheel-weights-unsorted", "stick-on-weights")
"""Kinds of scrap from which zinc and steel pieces have to be sorted out."""
BLEND_MASS_SHARE = 0.005
"""Largest acceptable change of the hung mass due to the blend, as a fraction of that mass. Judgement: a kitchen scale
can show it."""
SAMPLE_APART = 2.0
"""Largest acceptable difference in density between a weighed sample and the kind of scrap it was sorted as, in combined
standard deviations. A difference due to chance alone exceeds it one time in twenty. Common practice, no source."""
BIGGER_PIECE = 1.0
"""Minimum mass of a bigger piece that settles whether the sample or the sorting is right; it must also be at least twice
as heavy as the sample. A scale that reads to half a gram gives the piece's density to 0.8 %. Judgement. [kg]"""


def scrap_findings(job: FoundryResults, melting: MeltJob) -> tuple[Finding, ...]:
    """Return every finding on the scrap.

    Args:
        job: Results that include the melt.
        melting: The melt.
    """
    plan, shown = job.plan, job.shown
    findings = [one for each in enumerate(plan.scrap, start=1) for one in _lot(*each, accepts_unknown(plan))]
    unsaid = [
        _name(section, number)
        for number, section in enumerate(plan.scrap, start=1)
        if section.condition is None and section.kind != "battery"
    ]
    if unsaid:
        findings.append(
            SCRAP_CONDITION_NOT_SAID(
                "scrap",
                f"The plan does not say that {joined(unsaid, 'and')} {'is' if len(unsaid) == 1 else 'are'} dry, open and "
                "checked.",
                'Check every piece, then write condition = "dry" in the [[scrap]] entry of each.',
                found=float(len(unsaid)),
                limit=0.0,
            )
        )
    for number, section in enumerate(plan.scrap, start=1):
        # Scrap of unknown composition was not sorted: nothing contradicts its sample.
        if section.weighed is not None and section.kind not in ("unknown", "battery"):
            lot, kind = lot_of(section, number), scrap_kind(section.kind)
            findings += check_sample(
                section.weighed,
                f"scrap[{number}].weighed",
                f"The sample of {_name(section, number)}",
                (lot.density, lot.density_spread),
                (f"{kind.title[0].upper()}{kind.title[1:]}", kind.density, kind.density_spread),
                f'the lot was sorted wrongly: in [[scrap]] {number}, set kind = "unknown" and enter that weighing',
                shown,
            )
    stock, effect, alloy = melting.stock, melting.effect, job.alloy
    if stock is None or effect is None:
        return tuple(findings)
    findings += _enough(stock, melting.purchases, len(plan.scrap), shown)
    disputed: tuple[Finding, ...] = ()
    if plan.alloy.weighed is not None:
        disputed = check_sample(
            plan.alloy.weighed,
            "alloy.weighed",
            "The weighed sample",
            (alloy.density, alloy.density_spread),
            ("The scrap as listed", stock.density, stock.density_spread),
            "the scrap was sorted wrongly: in each [[scrap]] entry for it, "
            'set kind = "unknown" and enter that weighing',
            shown,
            off=effect.hung_change,
        )
    return (*findings, *(disputed or _blend(job, stock, effect, melting.purchases, melting.enough)))


def _name(section: ScrapSection, number: int) -> str:
    return f"lot {number} ({section.kind})" if section.name is None else f'the lot "{section.name}"'


def _lot(number: int, section: ScrapSection, accepted: bool) -> list[Finding]:
    """Return the findings on a single lot."""
    where, name = f"scrap[{number}]", _name(section, number)
    name = f"{name[0].upper()}{name[1:]}"
    findings = []
    if section.kind == "battery":
        findings.append(
            SCRAP_BATTERY(
                where,
                f"{name} is battery lead. Its acid, its sulphate dust and the gases from its dross make it unfit for "
                "your pot.",
                "Return it intact to a battery dealer, and remove this [[scrap]] entry.",
            )
        )
    if section.condition == "wet":
        findings.append(
            SCRAP_WET(
                where,
                f"{name} is wet: water under molten lead explodes.",
                "Open up every piece, dry it in a warm place and inspect the inside. Then write condition = "
                '"dry".',
            )
        )
    if section.condition == "closed":
        findings.append(
            SCRAP_CLOSED(
                where,
                f"{name} is closed or hollow: it may contain water and burst when heated.",
                'Cut every piece open along its length and dry it. Then write condition = "dry".',
            )
        )
    said = (section.density, section.composition, section.weighed)
    if section.kind == "unknown" and said == (None, None, None):
        weigh = (
            "Weigh at least 1 kg of it in air and then hanging in water, and give weighed = "
            "{in_air = ..., in_water = ...}"
        )
        findings.append(
            SCRAP_UNKNOWN_ACCEPTED(
                where,
                f"{name} is of unknown composition, and you have accepted that: the casting may be lighter or heavier "
                "than planned.",
                f"{weigh}.",
            )
            if accepted
            else SCRAP_UNKNOWN(
                where,
                f"{name} is of unknown composition: the pour is on hold.",
                f'{weigh}; or accept it under [pour] with accept_unknown_alloy = "{ACCEPT_UNKNOWN}".',
            )
        )
    if section.kind in CULLED_KINDS:
        remark = scrap_kind(section.kind).remark
        findings.append(
            SCRAP_TO_BE_CULLED(
                where,
                f"{name} may hide zinc and steel pieces, and zinc spoils a whole pot.",
                f"{remark[0].upper()}{remark[1:]}.",
            )
        )
    return findings


def check_sample(
    sample: WeighedSample,
    where: str,
    name: str,
    shows: tuple[float, float],
    sorted_as: tuple[str, float, float],
    if_same: str,
    shown: Shown,
    *,
    off: float | None = None,
) -> tuple[Finding, ...]:
    """Check whether a weighed sample and the sorting of the scrap can both be right; neither replaces the other.

    Args:
        sample: A piece weighed in air and in water.
        where: Plan key of the sample.
        name: Name of what was weighed.
        shows: Measured density and its standard deviation. [kg/m3]
        sorted_as: Name of the kind it was sorted as, with its density and standard deviation. [kg/m3]
        if_same: Plan entry to write if a bigger piece gives the same result.
        shown: The builder's units.
        off: Error in mass of a bulb sized for one density and cast in metal of the other; None if unknown. [kg]
    """
    (density, spread), (what, sorted_density, sorted_spread) = shows, sorted_as
    if abs(density - sorted_density) <= SAMPLE_APART * math.hypot(spread, sorted_spread):
        return ()
    hangs = ""
    if off is not None:
        hangs = (
            f" A bulb sized for one density and cast in metal of the other would be {shown.mass(abs(off))} too light "
            "or too heavy."
        )
    bigger = mass_up(max(2.0 * sample.in_air, BIGGER_PIECE), shown)
    return (
        SAMPLE_DISPUTED(
            where,
            f"{name} shows a density of {give_or_take(shown.density(density), shown.density(spread))}. {what} should "
            f"be {give_or_take(shown.density(sorted_density), shown.density(sorted_spread))}. The two differ by more "
            f"than chance can explain, so the pour is on hold.{hangs}",
            f"Weigh a bigger piece, {bigger} or more, in air and in water. Or cast a test ingot of the mix and weigh "
            f"that. If the result is the same, {if_same}.",
            found=density,
            limit=sorted_density,
            unit="kg/m3",
        ),
    )


def _enough(stock: Stock, purchases: tuple[Purchase, ...], lots: int, shown: Shown) -> tuple[Finding, ...]:
    """Check that there is enough metal."""
    if stock.short > 1e-9 * stock.wanted:
        bought = joined([f"{mass_up(one.gross, shown)} of {one.kind.title}" for one in purchases], "or")
        return (
            SCRAP_SHORT(
                "scrap",
                alike(
                    "The scrap gives {} of clean metal, give or take {}, and {} is needed. That is {} short, so the "
                    "pour is on hold.",
                    *map(shown.mass, (stock.available, stock.spread, stock.wanted, stock.short)),
                ),
                f"Get {bought}, then add {_lot_typed(purchases[0], lots, shown)}, for example.",
                found=stock.available,
                limit=stock.wanted,
                unit="kg",
            ),
        )
    if stock.over < stock.spread:
        return (
            SCRAP_TIGHT(
                "scrap",
                f"The scrap leaves only {shown.mass(stock.over)} to spare, but its yield may be off by "
                f"{shown.mass(stock.spread)}, so it may run short.",
                f"Have another {mass_up(stock.spread, shown)} of clean metal ready.",
                found=stock.over,
                limit=stock.spread,
                unit="kg",
            ),
        )
    return ()


def _lot_typed(bought: Purchase, lots: int, shown: Shown) -> str:
    """Plan entry for a lot to buy, to be typed after the existing ones."""
    new = {"kind": bought.kind.name, "gross": mass_up(bought.gross, shown), "condition": "dry"}
    lines = [typed(f"scrap[{lots + 1}].{leaf}", value, also=True) for leaf, value in new.items()]
    return f"[[scrap]] {', '.join(lines)}"


def _blend(
    job: FoundryResults, stock: Stock, effect: BlendEffect, purchases: tuple[Purchase, ...], enough: Enough
) -> tuple[Finding, ...]:
    """Check that the blend is the metal that the bulb is sized for."""
    shown, change, body = job.shown, effect.hung_change, job.bulb.body
    if abs(change) <= BLEND_MASS_SHARE * job.bulb.mass:
        return ()
    sized = ""
    if effect.length is not None and effect.diameter is not None:
        planned = f"{shown.length(body.length)} by {shown.length(body.diameter)}"
        other = f"{shown.length(effect.length)} by {shown.length(effect.diameter)}"
        if other != planned:
            sized = f" Cast in the blend, a bulb of the required mass measures {other}, not {planned}."
    completed = stock if enough.completed is None else enough.completed
    line = typed("alloy.density", shown.density(completed.density), also=True)
    stands, alloy = "what is there now", job.plan.alloy
    old = [leaf for leaf in ("grade", "composition") if getattr(alloy, leaf) is not None]
    line = f"[alloy] {line} in place of {typed(f'alloy.{old[0]}', None, stands) if old else stands}"
    if job.plan.alloy.weighed is not None:
        # No handbook figure replaces what was weighed.
        remedy = "Keep the weighed figure. Weigh a bigger piece of the mix, or a test ingot of it, and give the result."
    elif purchases:
        remedy = (
            f"Add {_lot_typed(purchases[0], len(job.plan.scrap), shown)} and give {line}, or change the lots."
        )
    else:
        remedy = f"Give {line}, or change the lots."
    return (
        BLEND_OFF_PLAN(
            "scrap",
            "The blended scrap has a density of "
            f"{give_or_take(shown.density(stock.density), shown.density(stock.density_spread))}, but the bulb is "
            f"sized for {shown.density(job.alloy.density)}. Cast in the blend, it is "
            f"{shown.mass(abs(change))} too {'light' if change < 0.0 else 'heavy'}.{sized}",
            remedy,
            found=stock.density,
            limit=job.alloy.density,
            unit="kg/m3",
        ),
    )
