"""Findings on the drying log, and phrases for what a part lacks. The pour is on hold until the log releases it."""

from __future__ import annotations

import math
from collections.abc import Iterator
from datetime import datetime, timedelta

from bulbcast.findings import Finding, Rule, Severity, Step, typed
from bulbcast.foundry.drying.log import (
    AIR_FROM,
    AIR_TO,
    CONSTANT_GAP,
    CONSTANT_WITHIN,
    HIGHEST_OVEN,
    PASS_HOLDS,
    WARM_FROM,
    DryingRules,
    DryingState,
    Lack,
    PartState,
)
from bulbcast.quantities import Shown, joined
from bulbcast.quantities.typed import mass_down, mass_up

MOULD_OVER_BAKED = Rule(
    "mould-over-baked",
    Severity.HOLD,
    holds=(Step.POUR,),
    subject="drying log",
    why=(
        "A part that is lighter than dry plaster was baked too hot. It is weak, and may break when the lead is poured in."
    ),
)
MOULD_NOT_DRY = Rule(
    "mould-not-dry",
    Severity.HOLD,
    holds=(Step.POUR,),
    subject="drying log",
    why=(
        "Water under molten lead turns to steam at once and throws the metal out. Only weighing shows that no water is left."
    ),
)
SCALE_TOO_COARSE = Rule(
    "scale-too-coarse",
    Severity.CAUTION,
    why=(
        "Two weighings that agree show that a part is dry. A scale with too large an error cannot show that they agree."
    ),
)
OVEN_WAS_TOO_HOT = Rule(
    "oven-was-too-hot",
    Severity.CAUTION,
    why="Plaster baked too hot loses its strength and may crumble into the cavity.",
)
MOULD_DRY = Rule(
    "mould-dry",
    Severity.NOTE,
    why=(
        "Once a dry mould has cooled, it takes up water from the air again, so a pass is valid only for a limited time."
    ),
)
AIR_PURITY_UNKNOWN = Rule(
    "air-purity-unknown",
    Severity.NOTE,
    why=(
        "The mass of a dry mould depends on the purity of the plaster. While the purity is unknown, a value on the safe "
        "side is assumed."
    ),
)


def when(moment: datetime) -> str:
    """Write a date and time in everyday form, with the time zone if there is one: "2026-06-01 10:00"."""
    return moment.isoformat(sep=" ", timespec="minutes")


def to_the_hour(moment: datetime) -> datetime:
    """Round a projected time to the nearest full hour, as it is not known more precisely.

    Args:
        moment: Projected time.
    """
    return (moment + timedelta(minutes=30)).replace(minute=0, second=0, microsecond=0)


def gap_words(rules: DryingRules) -> str:
    """Words for the time required between the two weighings: "an hour" or "a day"."""
    return "a day" if rules.drying == "air" and CONSTANT_GAP["air"].days == 1 else "an hour"


def lack_words(lack: Lack, part: PartState, shown: Shown) -> str:
    """Say what is missing, as a clause without a full stop.

    Args:
        lack: One of the things the part lacks.
        part: State of the part.
        shown: The builder's units.
    """
    last, rules = part.latest, part.rules
    drying = rules.drying or "baked"
    mass = "" if last is None else shown.mass(last.value)
    just_set = "" if part.just_set is None else shown.mass(part.just_set)
    target = "" if part.target is None else shown.mass(part.target)
    within = shown.percent(CONSTANT_WITHIN[drying])
    if lack is Lack.NOT_CONSTANT:
        change = "" if part.change is None else f", most recently by {shown.percent(abs(part.change))}"
        apart = f"its weighings {gap_words(rules)} apart differ by more than {within}"
        return f"{apart}, allowing for the scale's error{change}"
    if lack is Lack.NOT_WEIGHED and part.left is not None:
        return f"it has not been weighed since it set, and must still lose {shown.mass(part.left)} to reach {target}"
    if lack is Lack.TOO_HEAVY and part.left is not None and mass == target:
        return f"it weighs {mass} and must still lose {mass_up(part.left, shown)}"
    return {
        Lack.DRYING_NOT_SAID: "the plan does not say how it is dried",
        Lack.NOT_JUST_SET: "its just-set mass is not in the log, so its dry mass is not known",
        Lack.SET_UNLIKE: (
            f"it weighed {just_set} when just set, far more than the {shown.mass(part.computed)} computed for its "
            "block, so the dry mass calculated from it would be too high"
        ),
        Lack.SET_LIGHT: f"it weighed {just_set} when just set, far less than the {shown.mass(part.computed)} "
        "computed for its block: its size, mix or steel is not as planned, and its dry mass cannot be trusted",
        Lack.NOT_WEIGHED: "it has not been weighed",
        Lack.MADE_ANEW: (
            "it has not been weighed again since its last just-set weighing, and weighings of the block it replaced do "
            "not count"
        ),
        Lack.HEAVIER_THAN_SET: f"it weighed {mass}, more than when just set, so one of the two readings is wrong",
        Lack.OVER_BAKED: f"it is over-baked: {mass} is below the "
        f"{'' if part.over_baked_below is None else shown.mass(part.over_baked_below)} at which plaster turns chalky",
        Lack.LIGHTER_THAN_CAN_BE: (
            f"it weighed {mass}, less than drying in air can achieve: a reading or its unit is wrong, or the part was "
            "baked"
        ),
        Lack.WEIGHED_COLD: f"it was weighed in air below {shown.temperature(WARM_FROM['baked'])}, where constant mass "
        "proves nothing",
        Lack.TOO_HEAVY: f"it weighs {mass} and must come down to {target}",
        Lack.WEIGHED_ONCE: f"no weighing was made {gap_words(rules)} or more before the last one, so there is nothing to "
        "compare it with",
        Lack.SCALE_TOO_COARSE: f"the scale is too coarse to show a change of {within} in {mass}",
        Lack.NOT_WARM: f"its weighings were not all made in moving air of {shown.temperature(AIR_FROM)} to "
        f"{shown.temperature(AIR_TO)}, and constant mass in cool or still air proves nothing",
        Lack.EXPIRED: (
            f"its last weighing is {PASS_HOLDS.seconds // 3600} hours old or more, and plaster takes up water again from "
            "the air"
        ),
        Lack.COOLED: f"it has cooled below {shown.temperature(WARM_FROM[drying])}, and cool plaster takes up water again",
        Lack.IN_THE_FUTURE: "an entry is dated after the time of this check, so a clock or a date is wrong",
    }[lack]


def lack_remedy(part: PartState, shown: Shown) -> str:
    """Say what to do next for a part.

    Args:
        part: State of the part, with what it lacks.
        shown: The builder's units.
    """
    lacks, name, rules = set(part.lacks), part.name, part.rules
    again, warm = gap_words(rules), shown.temperature(AIR_FROM)
    too_heavy = "Keep drying it, then weigh it again."
    # The mass seems constant, but is above the required mass.
    constant = part.change is not None and Lack.NOT_CONSTANT not in lacks
    ended = Lack.TOO_HEAVY in lacks and rules.drying == "air" and constant
    if ended:
        too_heavy = (
            (
                "Its mass has levelled off above the dry mass that the test bar gives. Keep drying it and weigh it "
                "again, or bake it. If it stays there, the bar and the mould were not made from the same mix."
            )
            if rules.purity_known
            else (
                "Its mass seems to have levelled off above the required mass. It is still damp, or its plaster is purer "
                "than the cautious value assumed. Bake it, or dry a test bar of the mix and type the purity that "
                "--test-bar gives."
            )
        )
    weigh = f'Dry it and log its mass: bulbcast dry FILE --weighed "{name}=MASS".'
    rewarm = f"Warm it again, weigh it twice {again} apart, and pour while it is warm."
    # The likeliest cause first.
    said = {
        Lack.IN_THE_FUTURE: "Fix the line in the log.",
        Lack.HEAVIER_THAN_SET: "Fix the line in the log.",
        Lack.LIGHTER_THAN_CAN_BE: 'Fix the line in the log; if the part was baked, set drying = "baked" under [mould].',
        Lack.SET_LIGHT: "Fix the line in the log, or give the block's true wall, floor, cover, consistency and "
        "reinforcement under [mould].",
        Lack.SET_UNLIKE: "Fix the line in the log, or give the block's true wall, floor and cover under [mould].",
        Lack.OVER_BAKED: f"Make the {name} again, with sand or silica in the mix, and bake it at a lower temperature.",
        Lack.NOT_JUST_SET: f"Weigh the {name} as soon as it is set, or give the sum of the plaster, water, sand and steel "
        f'that went into it: bulbcast dry FILE --just-set "{name}=MASS".',
        Lack.NOT_WEIGHED: weigh,
        Lack.MADE_ANEW: weigh,
        Lack.SCALE_TOO_COARSE: "Weigh on a finer scale and give its scale_spread under [mould].",
        **({Lack.TOO_HEAVY: too_heavy} if ended else {}),
        Lack.NOT_WARM: f"Dry it at {warm} to {shown.temperature(AIR_TO)} with a fan, and give --room and --moving-air with "
        "the weighings.",
        Lack.WEIGHED_COLD: (
            f"Weigh it twice {again} apart while it stays hot in an oven or drying box, and give the "
            "temperature of that air as --room."
        ),
        Lack.COOLED: rewarm,
        Lack.EXPIRED: rewarm,
        **({} if ended else {Lack.TOO_HEAVY: too_heavy}),
    }
    return next(
        (words for lack, words in said.items() if lack in lacks),
        f"Weigh it again {again} after the last weighing.",
    )


def check_drying(state: DryingState, shown: Shown) -> Iterator[Finding]:
    """Return the hold on the pour, or the pass and how long it is valid.

    Args:
        state: State of the mould according to the log.
        shown: The builder's units.
    """
    drying = state.rules.drying
    if drying is None:
        return  # the finding on the mould says so
    if not state.passed:
        yield from _purity_note(state, shown)
        yield from _scale_too_coarse(state, shown)
    if state.log is None:
        yield MOULD_NOT_DRY(
            "mould",
            "The mould can be made, but nothing shows that any part of it is dry: there is no drying log next to the plan.",
            "Weigh each part as soon as it has set, and keep the log: "
            f'bulbcast dry FILE --just-set "{state.parts[0].name}=MASS".',
        )
        return
    yield from (_part_finding(part, shown) for part in state.parts if not part.passed)
    for part in state.parts:
        if part.too_hot is not None:
            yield OVEN_WAS_TOO_HOT(
                f"mould.{part.name}",
                f"The {part.name} was in air at {shown.temperature(part.too_hot)}: above "
                f"{shown.temperature(HIGHEST_OVEN)}, plaster turns chalky from the outside in.",
                "Look for cracks and chalky areas, and bake at a lower temperature.",
                found=part.too_hot,
                limit=HIGHEST_OVEN,
                unit="degC",
            )
    if state.holds_until is not None:
        yield MOULD_DRY(
            "mould",
            f"Every part is dry according to the log. The pass holds until {when(state.holds_until)}, and only while "
            f"every part stays above {shown.temperature(WARM_FROM[drying])}.",
            "Run bulbcast dry FILE right before the pour. Once the pass has expired, weigh the parts again.",
        )


def _scale_too_coarse(state: DryingState, shown: Shown) -> Iterator[Finding]:
    """Finding that the scale can never show the smallest part to be dry, reported when the mould is planned."""
    rules, share = state.rules, state.rules.computed_share
    if share is None or rules.drying is None:
        return
    masses = {
        part.name: rules.mass_at(share, part.computed if part.just_set is None else part.just_set)
        for part in state.parts
    }
    name = min(masses, key=masses.__getitem__)
    # From here on two readings can no longer show constant mass.
    coarsest = CONSTANT_WITHIN[rules.drying] * masses[name] / math.sqrt(2.0)
    if rules.scale_spread < coarsest:
        return
    yield SCALE_TOO_COARSE(
        "mould.scale_spread",
        f"The {name} weighs {shown.mass(masses[name])} dry. A scale with an error of {shown.mass(rules.scale_spread)} "
        f"cannot show a change of {shown.percent(CONSTANT_WITHIN[rules.drying])} in that mass, so the part could never "
        "be shown to be dry.",
        # Use half of the limit, as two readings of a dry part may differ by the scale's error.
        f"Weigh it on a finer scale and give {typed('mould.scale_spread', mass_down(0.5 * coarsest, shown))} under "
        "[mould].",
        found=rules.scale_spread,
        limit=coarsest,
        unit="kg",
    )


def _purity_note(state: DryingState, shown: Shown) -> Iterator[Finding]:
    """Finding that the mass of air-dried plaster depends on a purity that the bag does not give, reported before days are
    spent on drying."""
    rules = state.rules
    safe, likely = rules.safe_share, rules.computed_share
    if rules.drying != "air" or safe is None or likely is None:
        return
    if safe * (1.0 + CONSTANT_WITHIN["air"]) < likely:
        yield AIR_PURITY_UNKNOWN(
            "mould.purity",
            f"Dried in air, plaster of {shown.percent(rules.mix.purity)} purity ends at {shown.percent(likely)} of its "
            f"just-set mass. To allow for an uncertain purity, {shown.percent(safe)} is required, which such a "
            "mould never reaches, so it stays on hold.",
            "Dry a test bar of the same mix along with the mould and type the purity that bulbcast dry FILE --test-bar "
            "JUST-SET DRY gives, or bake the mould.",
            found=rules.purity_spread,
        )


def _part_finding(part: PartState, shown: Shown) -> Finding:
    clauses = joined([lack_words(lack, part, shown) for lack in part.lacks], "and")
    over_baked = Lack.OVER_BAKED in part.lacks
    return (MOULD_OVER_BAKED if over_baked else MOULD_NOT_DRY)(
        f"mould.{part.name}",
        f"The {part.name} is not ready for the pour: {clauses}.",
        lack_remedy(part, shown),
        found=None if part.latest is None else part.latest.value,
        limit=part.over_baked_below if over_baked else part.target,
        unit="kg",
    )
