"""Findings on the gating: what the metal lifts and bursts, whether it gets there liquid, whether it is fed."""

from __future__ import annotations

from bulbcast.findings import Finding, Rule, Severity, Step
from bulbcast.foundry.gating.design import CoreLift, Gating
from bulbcast.foundry.melt.limits import FASTEST_BY_HAND
from bulbcast.quantities import Shown, alike
from bulbcast.quantities.typed import length_down, length_up, mass_up, whole_degrees

MOULD_NOT_PLANNED = Rule("mould-not-planned", Severity.HOLD, holds=(Step.POUR,))
FILLS_SLOWLY = Rule(
    "fills-slowly",
    Severity.CAUTION,
    tells=Step.MELT,
    brief="The mould fills more slowly than its thinnest end freezes.",
)
POUR_RATE_HIGH = Rule(
    "pour-rate-high",
    Severity.CAUTION,
    tells=Step.MELT,
    brief="The mould fills faster than metal is poured by hand.",
)
GATING_ABOVE_COPE = Rule("gating-above-cope", Severity.NOTE)
RISER_OVER_THIN_END = Rule("riser-over-thin-end", Severity.CAUTION)
FEEDER_BELOW_GATING = Rule(
    "feeder-below-gating",
    Severity.CAUTION,
    tells=Step.MELT,
    brief="The feeder given is less than the gating takes.",
)
COPE_LIFTS = Rule("cope-lifts", Severity.CAUTION)
MOULD_BURSTS = Rule("mould-bursts", Severity.CAUTION)
CORE_FLOATS = Rule("core-floats", Severity.CAUTION)
RISER_SMALL = Rule("riser-small", Severity.CAUTION)


def check_no_mould() -> Finding:
    """The hold of a melt without a mould: nothing shows that what the lead is poured into is dry."""
    return MOULD_NOT_PLANNED(
        where="mould",
        message="No mould is planned: nothing shows that what the lead is poured into is dry, and the pour is on "
        "hold.",
        remedy='Add [mould] with material = "plaster" and drying = "baked", say, and keep its drying log.',
    )


def check_gating(
    gating: Gating,
    *,
    by_hand: bool,
    fill_time_given: bool,
    tap: str | None,
    warm_enough: float | None,
    fast_enough: float | None,
    shown: Shown,
) -> tuple[Finding, ...]:
    """Findings on forces, filling and feeding.

    Args:
        gating: Of the mould.
        by_hand: Whether the metal is ladled or tipped by a person.
        fill_time_given: Whether the plan gives it, so that a choke takes its place.
        tap: What is typed under [pot] to tap it; None without one.
        warm_enough: Mould temperature at which the thin end stays liquid while the mould fills, where there
            is one that may be planned. [degC]
        fast_enough: Choke that fills the mould while the thin end stays liquid; None for an open one. [m]
        shown: The builder's units.
    """
    findings = [
        *_forces(gating, shown),
        *(_core(core, shown) for core in gating.cores if core.held.force > 0.0),
    ]
    if gating.fill_time > gating.thin_time * (1.0 + 1e-9):
        outs = []
        if fast_enough is not None:
            choke = f'choke_diameter = "{length_up(fast_enough, shown)}"'
            outs.append(f"{choke} in place of fill_time" if fill_time_given else choke)
        if warm_enough is not None:
            outs.append(f'a warmer mould, mould_temperature = "{whole_degrees(warm_enough + 1.0, shown)}"')
        outs.append("a thicker tail")
        findings.append(
            FILLS_SLOWLY(
                where="pour.fill_time",
                found=gating.fill_time,
                limit=gating.thin_time,
                unit="s",
                message=f"The mould fills in {gating.fill_time:.1f} s, and its thinnest end, "
                f"{shown.length(2.0 * gating.cavity.thin_radius)} thick, no longer lets metal run after "
                f"{gating.thin_time:.1f} s: it may run short there.",
                remedy=f"Ways out: {', or '.join(outs)}.",
            )
        )
    if by_hand and gating.pour_rate > FASTEST_BY_HAND:
        findings.append(
            POUR_RATE_HIGH(
                where="pour.fill_time",
                found=gating.pour_rate,
                limit=FASTEST_BY_HAND,
                unit="kg/s",
                message=alike(
                    "The mould takes {} a second, more than the {} a second that a person ladles or tips steadily.",
                    shown.mass(gating.pour_rate),
                    shown.mass(FASTEST_BY_HAND),
                ),
                remedy=_steadier(gating, fill_time_given, tap, shown),
            )
        )
    findings += _riser(gating, shown)
    if gating.above_cope > 1e-6:
        wanted = gating.cavity.cover + gating.above_cope
        findings.append(
            GATING_ABOVE_COPE(
                where="mould.cover",
                found=gating.cavity.cover,
                limit=wanted,
                unit="m",
                message=f"Riser and cup reach {shown.length(gating.above_cope)} above the cope, which covers the cavity "
                f"by {shown.length(gating.cavity.cover)}.",
                remedy="Set dry collars on the cope, held down with it, or make it thicker, "
                f'[mould] cover = "{length_up(wanted, shown)}".',
            )
        )
    if gating.cavity.high_end == "tail":
        findings.append(
            RISER_OVER_THIN_END(
                where="mould.orientation",
                found=2.0 * gating.cavity.thin_radius,
                limit=None if gating.riser is None else gating.riser.diameter,
                unit="m",
                message="With the tail up the riser feeds through the thin end, which freezes first and cuts it off.",
                remedy='Pour it nose up, orientation = "nose-up", or lying.',
            )
        )
    return tuple(findings)


def _steadier(gating: Gating, fill_time_given: bool, tap: str | None, shown: Shown) -> str:
    """A pot that is tapped, or a choke that lets through what a person pours."""
    if tap is not None:
        return f"Tap or tilt the pot over the mould, [pot] {tap}."
    if gating.choke is None:
        return "Tap or tilt the pot over the mould, and plan it under [pot]."
    diameter = gating.choke.diameter * (FASTEST_BY_HAND / gating.pour_rate) ** 0.5
    instead = " in place of fill_time" if fill_time_given else ""
    return (
        f'Set choke_diameter = "{length_down(diameter, shown)}"{instead} under [pour], or tap or tilt the pot over the '
        "mould, and plan it under [pot]."
    )


def check_feeder(given: float, gating: Gating, *, shown: Shown) -> tuple[Finding, ...]:
    """Whether the feeder that the plan gives is enough for its gating.

    Args:
        given: Feeder as given. [kg]
        gating: Of the mould.
        shown: The builder's units.
    """
    if given >= gating.feeder * (1.0 - 1e-9):
        return ()
    return (
        FEEDER_BELOW_GATING(
            where="melt.feeder",
            found=given,
            limit=gating.feeder,
            unit="kg",
            message=f"The feeder given is {shown.mass(given)}; sprue, riser, vents and what the casting shrinks by "
            f"take {shown.mass(gating.feeder)}.",
            remedy=f'Write feeder = "{mass_up(gating.feeder, shown)}", or leave it out: it then follows the gating.',
        ),
    )


def _forces(gating: Gating, shown: Shown) -> list[Finding]:
    force = gating.force
    if force is None or force.weight <= 0.0:
        return []
    level, rough = gating.cavity.parting == "horizontal", shown.workshop
    what = (
        f"Metal lifts the cope with {rough.force(force.force)}, and the cope itself weighs {rough.mass(force.own_mass)}"
        if level
        else f"Metal bursts the two parts asunder with {rough.force(force.force)}"
    )
    return [
        (COPE_LIFTS if level else MOULD_BURSTS)(
            where="mould",
            found=force.force,
            limit=force.own_mass * 9.80665 if level else 0.0,
            unit="N",
            message=f"{what}: it is held at twice that figure.",
            remedy=f"Lay {rough.mass(force.weight)} on it, or clamp it with {rough.force(force.clamp)} in all, before "
            "the pour and until it has frozen."
            if level
            else f"Clamp or strap it with {rough.force(force.clamp)} in all, or bury it in rammed sand, until it has "
            "frozen.",
        )
    ]


def _core(lift: CoreLift, shown: Shown) -> Finding:
    core = lift.core
    hung = lift.thrust is not None and lift.thrust > lift.floating
    return CORE_FLOATS(
        where="mould.core",
        found=lift.held.force,
        limit=0.0,
        unit="N",
        message=f"The {core.name}'s core of {core.material} is pushed up with {shown.force(lift.held.force)}"
        + (" at its lower end" if hung else ", for it floats in lead")
        + ", its own weight taken off.",
        remedy=f"Let it into the mould or wire it so that it holds {shown.workshop.force(lift.held.wanted)} upwards.",
    )


def _riser(gating: Gating, shown: Shown) -> list[Finding]:
    riser = gating.riser
    if riser is None:
        return []
    late = riser.modulus >= riser.modulus_wanted * (1.0 - 1e-9)
    enough = riser.volume >= riser.volume_wanted * (1.0 - 1e-9)
    if late and enough:
        return []
    why = (
        f"its modulus is {shown.length(riser.modulus)} where {shown.length(riser.modulus_wanted)} freeze after the "
        "casting"
        if not late
        else f"it holds {shown.volume(riser.volume)} where {shown.volume(riser.volume_wanted)} are needed to feed it"
    )
    return [
        RISER_SMALL(
            where="pour.riser_diameter",
            found=riser.modulus if not late else riser.volume,
            limit=riser.modulus_wanted if not late else riser.volume_wanted,
            unit="m" if not late else "m3",
            message=f"A riser of {shown.length(riser.diameter)} by {shown.length(riser.height)} is too small by the "
            f"rules: {why}, and the casting may draw a cavity.",
            remedy="Leave riser_diameter and riser_height out: they then follow the rules; or keep the riser liquid "
            "with a torch and top it up.",
        )
    ]
