"""Findings on the scrap: what must not go into a pot, what is not known, what is short, what the blend does."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from bulbcast.findings import Finding, Rule, Severity, Step
from bulbcast.foundry.melt.limits import BIGGER_PIECE, BLEND_MASS_SHARE, SAMPLE_APART
from bulbcast.foundry.melt.stock import Stock
from bulbcast.materials.alloys import CastAlloy
from bulbcast.quantities import Shown, alike, give_or_take, joined
from bulbcast.quantities.typed import mass_up

SCRAP_BATTERY = Rule("scrap-battery", Severity.STOP)
SCRAP_WET = Rule("scrap-wet", Severity.STOP)
SCRAP_CLOSED = Rule("scrap-closed", Severity.STOP)
SCRAP_UNKNOWN = Rule("scrap-unknown", Severity.HOLD, holds=(Step.POUR,))
SCRAP_UNKNOWN_ACCEPTED = Rule("scrap-unknown-accepted", Severity.CAUTION)
SCRAP_TO_BE_CULLED = Rule("scrap-to-be-culled", Severity.CAUTION)
SCRAP_CONDITION_NOT_SAID = Rule("scrap-condition-not-said", Severity.CAUTION)
SCRAP_SHORT = Rule(
    "scrap-short",
    Severity.HOLD,
    holds=(Step.POUR,),
    tells=Step.MELT,
    brief="The scrap on hand is short of what is wanted: the pour is on hold.",
)
SCRAP_TIGHT = Rule(
    "scrap-tight", Severity.CAUTION, tells=Step.MELT, brief="The scrap on hand is only just enough."
)
SAMPLE_DISPUTED = Rule("sample-disputed", Severity.HOLD, holds=(Step.POUR,))
BLEND_OFF_PLAN = Rule(
    "blend-off-plan",
    Severity.CAUTION,
    tells=Step.MELT,
    brief="The scrap does not blend to the alloy that the bulb is sized for.",
)


@dataclass(frozen=True, slots=True, kw_only=True)
class LotAsked:
    """One lot as the plan has it.

    Attributes:
        number: From 1.
        name: What the sheets call it.
        kind: Word of the plan.
        condition: dry, wet, closed, or None where it is not said.
        known: Whether anybody has said or weighed what it is.
        culled: Whether pieces of other metals are sorted out of it by hand.
        remark: What to do before it goes in.
    """

    number: int
    name: str
    kind: str
    condition: str | None
    known: bool
    culled: bool
    remark: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Purchase:
    """What would make up a shortage, by itself.

    Attributes:
        kind: Word of the plan.
        title: As the trade calls it.
        gross: To be bought. [kg]
    """

    kind: str
    title: str
    gross: float


@dataclass(frozen=True, slots=True, kw_only=True)
class SampleAsked:
    """A piece weighed in air and in water beside what its scrap was sorted as.

    Attributes:
        where: The plan's key.
        name: What was weighed.
        in_air: Mass of the piece. [kg]
        density: That it shows. [kg/m3]
        spread: One standard deviation of it. [kg/m3]
        sorted_as: What the sorting says it is.
        sorted_density: Of that. [kg/m3]
        sorted_spread: One standard deviation of it. [kg/m3]
        off: What a bulb sized for the one and cast of the other is off by; None where that is not known. [kg]
        if_same: What to write where the bigger piece shows the same.
    """

    where: str
    name: str
    in_air: float
    density: float
    spread: float
    sorted_as: str
    sorted_density: float
    sorted_spread: float
    off: float | None
    if_same: str


def check_sample(sample: SampleAsked, *, shown: Shown) -> tuple[Finding, ...]:
    """Whether a weighed sample and the sorting of the scrap can both be right: neither is thrown away for the other.

    Args:
        sample: With what it is held against.
        shown: The builder's units.
    """
    apart = abs(sample.density - sample.sorted_density)
    if apart <= SAMPLE_APART * math.hypot(sample.spread, sample.sorted_spread):
        return ()
    off = (
        ""
        if sample.off is None
        else f" Sized for the one and cast of the other, the bulb hangs {shown.mass(abs(sample.off))} off."
    )
    bigger = mass_up(max(2.0 * sample.in_air, BIGGER_PIECE), shown)
    return (
        SAMPLE_DISPUTED(
            where=sample.where,
            found=sample.density,
            limit=sample.sorted_density,
            unit="kg/m3",
            message=f"{sample.name} shows {give_or_take(shown.density(sample.density), shown.density(sample.spread))}. "
            f"{sample.sorted_as} is "
            f"{give_or_take(shown.density(sample.sorted_density), shown.density(sample.sorted_spread))}. "
            f"They differ by more than chance, and the pour is on hold.{off}",
            remedy=f"Weigh a bigger piece in air and in water, {bigger} or more; or melt a test ingot of the mix and "
            f"weigh that. Where it shows the same, {sample.if_same}.",
        ),
    )


def check_lots(lots: Sequence[LotAsked], *, accepted: bool, acceptance: str) -> tuple[Finding, ...]:
    """Findings on the lots themselves.

    Args:
        lots: All lots.
        accepted: Whether unknown metal has been accepted in words.
        acceptance: The line that accepts it.
    """
    findings = []
    for lot in lots:
        if lot.kind == "battery":
            findings.append(
                _lot(
                    SCRAP_BATTERY,
                    lot,
                    f"{lot.name} is battery lead: its acid, sulphate dust and the gases of its dross are not for any "
                    "pot of yours.",
                    "Take it back to the battery trade, whole, and take this [[scrap]] out.",
                )
            )
        if lot.condition == "wet":
            findings.append(
                _lot(
                    SCRAP_WET,
                    lot,
                    f"{lot.name} is wet: water under molten lead explodes.",
                    'Dry it warm and open, look into every piece, then write condition = "dry".',
                )
            )
        if lot.condition == "closed":
            findings.append(
                _lot(
                    SCRAP_CLOSED,
                    lot,
                    f"{lot.name} is closed or hollow: it may hold water and bursts when it is heated.",
                    'Cut every piece open along its length, dry it, then write condition = "dry".',
                )
            )
        if not lot.known and lot.kind != "battery":
            findings.append(
                _lot(
                    SCRAP_UNKNOWN_ACCEPTED if accepted else SCRAP_UNKNOWN,
                    lot,
                    f"{lot.name} is of unknown make"
                    + (", accepted with its spread." if accepted else ": the pour is on hold."),
                    "Weigh 1 kg or more of it in air and hung in water and give weighed = {in_air = ..., "
                    "in_water = ...}"
                    + ("." if accepted else f"; or accept it under [pour] with {acceptance}."),
                )
            )
        if lot.culled:
            findings.append(
                _lot(
                    SCRAP_TO_BE_CULLED,
                    lot,
                    f"{lot.name} may hide zinc and steel pieces, and zinc spoils a whole pot.",
                    f"{lot.remark[0].upper()}{lot.remark[1:]}.",
                )
            )
    unsaid = [lot for lot in lots if lot.condition is None and lot.kind != "battery"]
    if unsaid:
        findings.append(
            SCRAP_CONDITION_NOT_SAID(
                where="scrap",
                found=float(len(unsaid)),
                limit=0.0,
                message=f"Nothing says that {joined([lot.name for lot in unsaid], 'and')} "
                f"{'is' if len(unsaid) == 1 else 'are'} dry, open and looked through.",
                remedy='Look through it piece by piece, then write condition = "dry" in each [[scrap]].',
            )
        )
    return tuple(findings)


def check_stock(stock: Stock, purchases: Sequence[Purchase], *, shown: Shown) -> tuple[Finding, ...]:
    """Whether there is metal enough.

    Args:
        stock: The lots against what is wanted.
        purchases: What would make up a shortage.
        shown: The builder's units.
    """
    if stock.short > 1e-9 * stock.wanted:
        bought = joined([f"{mass_up(one.gross, shown)} of {one.title}" for one in purchases], "or")
        first = purchases[0]
        return (
            SCRAP_SHORT(
                where="scrap",
                found=stock.available,
                limit=stock.wanted,
                unit="kg",
                message=alike(
                    "The scrap gives {} of clean metal, give or take {}, and {} are needed: {} are short, "
                    "and the pour is on hold.",
                    *map(shown.mass, (stock.available, stock.spread, stock.wanted, stock.short)),
                ),
                remedy=f"Get {bought}; then add {purchase_line(first, shown)}, say.",
            ),
        )
    if stock.over < stock.spread:
        return (
            SCRAP_TIGHT(
                where="scrap",
                found=stock.over,
                limit=stock.spread,
                unit="kg",
                message=f"The scrap leaves {shown.mass(stock.over)} over what is wanted, less than the "
                f"{shown.mass(stock.spread)} by which its yield may be off: it may run short.",
                remedy=f"Have {mass_up(stock.spread, shown)} more of clean metal at hand.",
            ),
        )
    return ()


def purchase_line(bought: Purchase, shown: Shown) -> str:
    """A lot that is bought, as it is typed.

    Args:
        bought: The lot.
        shown: The builder's units.
    """
    return f'[[scrap]] kind = "{bought.kind}", gross = "{mass_up(bought.gross, shown)}", condition = "dry"'


def check_blend(
    stock: Stock,
    alloy: CastAlloy,
    *,
    hung_mass: float,
    hung_change: float,
    completed: Stock,
    purchases: Sequence[Purchase],
    sizes: tuple[tuple[float, float], tuple[float, float] | None],
    measured: bool,
    shown: Shown,
) -> tuple[Finding, ...]:
    """Whether the blend is what the bulb was sized for.

    Args:
        stock: The lots.
        alloy: What the plan says.
        hung_mass: As planned. [kg]
        hung_change: In it, were it cast of the blend. [kg]
        completed: The lots with what has to be bought.
        purchases: What would make up a shortage; the first is in `completed`.
        sizes: Length and diameter of the bulb as planned, and of one of the blend with the same mass. [m]
        measured: Whether the plan's density is that of a weighed sample, which no handbook figure replaces.
        shown: The builder's units.
    """
    if abs(hung_change) <= BLEND_MASS_SHARE * hung_mass:
        return ()
    lighter = hung_change < 0.0
    # Either may be the one that the plan gives.
    planned, other = (
        "" if one is None else f"{shown.length(one[0])} by {shown.length(one[1])}" for one in sizes
    )
    sized = (
        f" A bulb of the blend with the mass wanted is {other}, not {planned}."
        if other not in ("", planned)
        else ""
    )
    typed = shown.density(completed.density)
    line = f'[alloy] density = "{typed}" in place of what stands there'
    return (
        BLEND_OFF_PLAN(
            where="scrap",
            found=stock.density,
            limit=alloy.density,
            unit="kg/m3",
            message="The scrap blends to "
            f"{give_or_take(shown.density(stock.density), shown.density(stock.density_spread))}, "
            f"and the bulb is sized for {shown.density(alloy.density)}: cast "
            f"of the blend it hangs {shown.mass(abs(hung_change))} too {'light' if lighter else 'heavy'}.{sized}",
            remedy="Keep the weighed figure. Weigh a bigger piece of the mix, or a test ingot of it, and give that."
            if measured
            else f"Add {purchase_line(purchases[0], shown)} and give {line}, or change the lots."
            if purchases
            else f"Give {line}, or change the lots.",
        ),
    )


def _lot(rule: Rule, lot: LotAsked, message: str, remedy: str) -> Finding:
    return rule(where=f"scrap[{lot.number}]", message=f"{message[0].upper()}{message[1:]}", remedy=remedy)
