"""Findings on the gating: the forces exerted by the metal, whether it fills the mould while still liquid, and whether
the casting is fed."""

from __future__ import annotations

import math
from collections.abc import Iterator

from bulbcast.bulb.hung.solve import NoSolutionError, size_and_place
from bulbcast.findings import Finding, Rule, Severity, Step, melt_rule, typed
from bulbcast.foundry.cooling.radial import freezing_times, running_bar
from bulbcast.foundry.gating.feeder import Feeder
from bulbcast.foundry.gating.formulas import sink_depth
from bulbcast.foundry.gating.parts import CoreLift, Gating
from bulbcast.foundry.gating.unfed import hollow_counted
from bulbcast.foundry.gating.work import freezing_case, thin_radius
from bulbcast.foundry.melt.work import MeltJob
from bulbcast.foundry.mould.work import taken_out
from bulbcast.foundry.results import FoundryResults
from bulbcast.plan.melt_sections import LONGEST_TENDING, PourSection
from bulbcast.quantities import Shown, alike, joined
from bulbcast.quantities.checked import STANDARD_GRAVITY
from bulbcast.quantities.frozen import replace
from bulbcast.quantities.typed import length_down, length_up, mass_up, whole_degrees

FILLS_SLOWLY = melt_rule(
    "fills-slowly",
    Severity.CAUTION,
    brief="The mould fills more slowly than its thinnest end freezes.",
    why="The thin end freezes while the rest is still filling, so the metal does not join up there.",
)
POUR_RATE_HIGH = melt_rule(
    "pour-rate-high",
    Severity.CAUTION,
    brief="The mould fills faster than anyone can pour by hand.",
    why="If nobody can pour that fast, the sprue runs empty and draws air in with the metal.",
)
GATING_ABOVE_COPE = Rule(
    "gating-above-cope",
    Severity.NOTE,
    why="The metal rises to the level of the cup, so it has to be contained up to that height.",
)
FEEDER_OVER_THIN_END = Rule(
    "feeder-over-thin-end",
    Severity.CAUTION,
    why="Metal cannot pass an end that has frozen, and the thin end freezes first.",
)
FEEDER_BELOW_GATING = melt_rule(
    "feeder-below-gating",
    Severity.CAUTION,
    brief="The feeder in the plan is smaller than the gating needs.",
    why="With too little metal in the pot, the sprue or feeder runs short and the casting has a hollow.",
)
COPE_LIFTS = Rule(
    "cope-lifts",
    Severity.CAUTION,
    why=(
        "The metal lifts the upper half as water lifts a boat. If the cope rises, metal runs out at the parting."
    ),
)
MOULD_BURSTS = Rule(
    "mould-bursts",
    Severity.CAUTION,
    why="The whole depth of metal pushes the halves apart; if the mould opens, metal runs out.",
)
CORE_FLOATS = Rule(
    "core-floats",
    Severity.CAUTION,
    why=(
        "Liquid lead is ten times as dense as dry plaster and seven times as dense as sand: a core under it is pushed "
        "up with a force several times its own weight."
    ),
)
FEEDER_SMALL = Rule(
    "feeder-small",
    Severity.CAUTION,
    why="A feeder works only if it stays liquid longer than the casting, and either holds enough metal or is topped up.",
)
FEEDER_WIDE = Rule(
    "feeder-wider-than-bulb",
    Severity.HOLD,
    holds=(Step.POUR,),
    why="A feeder that overhangs the bulb is locked into the mould, and its stub cannot be sawn off without cutting "
    "into the skin.",
)
FEEDER_NOT_MADE = Rule(
    "feeder-not-made", Severity.CAUTION, why="A feeder size has no effect if there is no feeder."
)
TENDING_LONG = Rule(
    "tending-long",
    Severity.CAUTION,
    why="Anyone who tends a flame and molten lead for so long gets tired and makes mistakes.",
)
NOT_FED = Rule(
    "not-fed",
    Severity.CAUTION,
    why="Lead shrinks by some 4 % before it is solid; without a feeder this leaves a hollow in the bulb.",
)

HOLLOW_COUNTED = Rule(
    "hollow-counted",
    Severity.NOTE,
    why="A bulb sized to allow for the hollow has the right mass, but the hollow is still there, and a screw may have "
    "no lead to grip.",
)

FASTEST_BY_HAND = 2.0
"""Maximum rate at which one person can pour steadily by hand, from a ladle or by tipping. Our judgement. [kg/s]"""
WARMEST_MOULD = 150.0
"""Maximum mould temperature suggested to make a thin end fill. Our judgement. [degC]"""
FULLEST = 3.0
"""Minimum fineness suggested to make a bulb's tail fill. Our judgement. [-]"""
WIDEST_TAIL = 0.5
"""Maximum width suggested for a cut tail to make it fill, as a fraction of the diameter. Our judgement. [-]"""
FINENESS_STEP, TAIL_MARGIN = 0.1, 1.02
"""Step in the search for a fuller bulb, and the factor by which a suggested tail is thicker than needed. [-]"""
WARMER_BY = 10.0
"""Largest step in the search for a warmer mould. [K]"""


def gating_findings(job: FoundryResults, melting: MeltJob, *, search: bool = True) -> tuple[Finding, ...]:
    """Return every finding on forces, filling and feeding; none without a mould.

    Args:
        job: Results with a mould.
        melting: Melt of the plan.
        search: Whether to search for a fuller bulb and a warmer mould that fix slow filling; a study reports only
            codes, so it does not search.
    """
    shown, gating = job.shown, melting.gating
    if gating is None or gating.cavity.mould.foundry_work:
        return ()
    return (
        *_forces(gating, shown),
        *(_core(core, shown) for core in gating.cores if core.held.force > 0.0),
        *_filling(job, melting, gating, search),
        *_fed(job, gating),
        *_feeder(melting.melt.feeder, gating, shown),
    )


def _forces(gating: Gating, shown: Shown) -> tuple[Finding, ...]:
    force, rough = gating.force, shown.workshop
    if force is None or force.weight <= 0.0:
        return ()
    if gating.cavity.level_parting:
        rule, limit, held = COPE_LIFTS, force.own_mass * STANDARD_GRAVITY, "cope"
        what = f"The metal lifts the cope with {rough.force(force.force)}; the cope itself weighs "
        what += rough.mass(force.own_mass)
        remedy = f"Lay {rough.mass(force.weight)} on it, or clamp it with {rough.force(force.clamp)} in all, before "
        remedy += "the pour, and leave it until the metal has frozen."
    else:
        rule, limit, held = MOULD_BURSTS, 0.0, "mould"
        what = f"The metal pushes the two parts apart with {rough.force(force.force)}"
        remedy = f"Clamp or strap the mould with {rough.force(force.clamp)} in all, or bury it in rammed sand, until "
        remedy += "the metal has frozen."
    message = f"{what}: secure the {held} against twice that force."
    return (rule("mould", message, remedy, found=force.force, limit=limit, unit="N"),)


def _core(lift: CoreLift, shown: Shown) -> Finding:
    hung = lift.thrust is not None and lift.thrust > lift.floating
    why = " at its lower end" if hung else " because it floats in lead"
    return CORE_FLOATS(
        "mould.core",
        f"The {lift.core.material} core of {lift.core.cut} is pushed up by a net force of "
        f"{shown.force(lift.held.force)}{why}.",
        "Anchor it in the mould or wire it so that it withstands an upward force of "
        f"{shown.workshop.force(lift.held.wanted)}.",
        found=lift.held.force,
        limit=0.0,
        unit="N",
    )


def _filling(job: FoundryResults, melting: MeltJob, gating: Gating, search: bool) -> list[Finding]:
    """Check whether the metal fills the mould while it is liquid, and whether anyone can pour that fast."""
    shown, pot, pour, choke = job.shown, job.plan.pot, job.plan.pour, gating.choke
    filled = pour is not None and pour.fill_time is not None
    instead = f" in place of {typed('pour.fill_time', None)}" if filled else ""
    findings = []
    if gating.fill_time > gating.thin_time * (1.0 + 1e-9):
        outs = [*_thicker(job, gating), *(_fuller(job, gating) if search else [])]
        warm = _warm_enough(job, melting, gating) if search else None
        if warm is not None:
            warmer = typed("pour.mould_temperature", whole_degrees(warm + 1.0, shown))
            outs.insert(0, f"a warmer mould, {warmer}")
        if choke is not None:
            wide = choke.diameter * (gating.fill_time / gating.thin_time) ** 0.5
            outs.insert(0, typed("pour.choke_diameter", length_up(wide, shown)) + instead)
        findings.append(
            FILLS_SLOWLY(
                "pour.fill_time",
                f"The mould fills in {gating.fill_time:.1f} s, but at its thinnest end, "
                f"{shown.length(2.0 * gating.cavity.thin_radius)} thick, the metal flows for only {gating.thin_time:.1f} "
                "s. That end may not fill.",
                f"Possible fixes: {', or '.join(outs)}."
                if outs
                else "Make the bulb thicker, or use a metal that stays liquid longer.",
                found=gating.fill_time,
                limit=gating.thin_time,
                unit="s",
            )
        )
    if gating.pour_rate > FASTEST_BY_HAND and (pot is None or pot.way != "tap"):
        if pot is not None:
            tap = typed("pot.way", "tap") + taken_out(["pot.ladle"] if pot.ladle is not None else [])
            remedy = f"Tap or tilt the pot over the mould: set {tap} under [pot]."
        elif choke is None:
            remedy = "Tap or tilt the pot over the mould, and describe the pot under [pot]."
        else:
            narrow = length_down(choke.diameter * (FASTEST_BY_HAND / gating.pour_rate) ** 0.5, shown)
            remedy = f"Set {typed('pour.choke_diameter', narrow)}{instead} under [pour], or tap or tilt the pot over the "
            remedy += "mould, and describe the pot under [pot]."
        findings.append(
            POUR_RATE_HIGH(
                "pour.fill_time",
                alike(
                    "The mould takes {} a second, more than the {} a second that one person can ladle or tip steadily.",
                    shown.mass(gating.pour_rate),
                    shown.mass(FASTEST_BY_HAND),
                ),
                remedy,
                found=gating.pour_rate,
                limit=FASTEST_BY_HAND,
                unit="kg/s",
            )
        )
    return findings


def _thin_radius_needed(gating: Gating) -> float:
    """Half the thickness that an end needs, with a margin, if metal is to run in it until the mould is full. The time
    for which it runs is proportional to the square of the thickness. [m]"""
    return TAIL_MARGIN * gating.cavity.thin_radius * math.sqrt(gating.fill_time / gating.thin_time)


def _thicker(job: FoundryResults, gating: Gating) -> list[str]:
    """Suggested wider tail, cut further forward; none if it would be too wide."""
    body = job.bulb.body
    thinner = min(math.sqrt(body.width_to_height), 1.0 / math.sqrt(body.width_to_height))
    wide = 2.0 * (_thin_radius_needed(gating) / job.pattern.scale - job.cast.finish) / thinner
    if wide > WIDEST_TAIL * body.diameter:
        return []
    return [f"a thicker tail, {typed('bulb.tail_diameter', length_up(wide, job.shown))}"]


def _fuller(job: FoundryResults, gating: Gating) -> list[str]:
    """Suggested fineness at which the tail fills; none if the plan gives a size or the bulb would be too full.

    Each bulb tried is sized in full, because the rule for cutting its tail has a minimum diameter and does not scale
    with the size.
    """
    bulb = job.plan.bulb
    if bulb.tail_diameter is not None or bulb.length is not None or bulb.diameter is not None:
        return []
    needed = _thin_radius_needed(gating)

    def runs(fineness: float) -> bool:
        try:
            body = size_and_place(replace(job.wish, given="fineness", value=fineness)).body
        except NoSolutionError:
            return False
        return thin_radius(body, job.cast.finish, job.pattern.scale) >= needed

    low, high = FULLEST, job.bulb.body.length / job.bulb.body.diameter
    if not runs(low):
        return []
    while high - low > FINENESS_STEP:
        middle = 0.5 * (low + high)
        low, high = (middle, high) if runs(middle) else (low, middle)
    fuller = math.floor(low / FINENESS_STEP) * FINENESS_STEP
    return [f"a fuller bulb, {typed('bulb.fineness', f'{fuller:.1f}')}"]


def _warm_enough(job: FoundryResults, melting: MeltJob, gating: Gating) -> float | None:
    """Mould temperature at which the thin end stays liquid while the mould fills; None if no such temperature exists."""
    mould, low = job.mould, melting.mould_temperature
    if mould is None or low is None or low >= WARMEST_MOULD:
        return None
    count = math.ceil((WARMEST_MOULD - low) / WARMER_BY)
    temperatures = [low + (WARMEST_MOULD - low) * i / count for i in range(1, count + 1)]
    case = freezing_case(job.alloy, mould, pour=melting.temperature, start=low)
    bars = [running_bar(case.metal, start=one) for one in temperatures]
    for temperature, bar, time in zip(temperatures, bars, freezing_times(bars, case), strict=True):
        if time * (gating.cavity.thin_radius / bar.radius) ** 2 >= gating.fill_time:
            return temperature
    return None


def _fed(job: FoundryResults, gating: Gating) -> Iterator[Finding]:
    """Check that the feeder freezes late enough, is large enough, is no wider than the bulb and is over the thick end."""
    feeder, cavity, pour, shown = gating.feeder, gating.cavity, job.plan.pour, job.shown
    if gating.above_cope > 1e-6:
        needed = cavity.cover + gating.above_cope
        yield GATING_ABOVE_COPE(
            "mould.cover",
            f"{'The cup reaches' if feeder is None else 'The feeder and cup reach'} {shown.length(gating.above_cope)} "
            f"above the cope, which is {shown.length(cavity.cover)} thick over the cavity.",
            "Put dry collars on the cope and hold both down, or make the cope thicker: [mould] "
            f"{typed('mould.cover', length_up(needed, shown))}.",
            found=cavity.cover,
            limit=needed,
            unit="m",
        )
    if feeder is None:
        yield from _not_fed(job, gating)
        return
    widest = 2.0 * min(max(cavity.skin.across), max(cavity.skin.up))
    given = [leaf for leaf in ("feeder_diameter", "feeder_height") if getattr(pour, leaf, None) is not None]
    out = joined([typed(f"pour.{leaf}", None) for leaf in given], "and") if given else ""
    if feeder.diameter > widest * (1.0 + 1e-9):
        ways = f"Set {typed('pour.feeding', 'kept')}" + (f", and remove {out}" if given else "")
        yield FEEDER_WIDE(
            "pour.feeding",
            f"A feeder left alone has to be {shown.length(feeder.diameter)} across to outlast the casting. The bulb is "
            f"only {shown.length(widest)} wide: the feeder would overhang it and be locked into the mould."
            if feeder.rule != "given"
            else f"A feeder {shown.length(feeder.diameter)} across overhangs the bulb, which is {shown.length(widest)} "
            "wide: it would be locked into the mould.",
            f"{ways}: the feeder is then kept liquid with a torch.",
            found=feeder.diameter,
            limit=widest,
            unit="m",
        )
    if feeder.way == "kept":
        yield from _kept(gating, pour, shown)
    yield from _small(feeder, out, shown)
    if cavity.high_end == "tail":
        yield FEEDER_OVER_THIN_END(
            "mould.orientation",
            "With the tail up, the feeder feeds through the thin end, which freezes first and cuts it off.",
            f"Pour the bulb nose up: set {typed('mould.orientation', 'nose-up')}, or pour it lying down.",
            found=2.0 * cavity.thin_radius,
            limit=feeder.diameter,
            unit="m",
        )


def _small(feeder: Feeder, out: str, shown: Shown) -> Iterator[Finding]:
    """Check that the feeder freezes late enough and holds enough metal or, if kept liquid, has a wide enough neck."""
    if feeder.rule != "given" and not out:
        return
    late = feeder.modulus >= feeder.modulus_wanted * (1.0 - 1e-9)
    if feeder.way == "kept":
        found, limit, unit = feeder.diameter, feeder.diameter_wanted, "m"
        if found >= limit * (1.0 - 1e-9):
            return
        why = (
            f"a neck narrower than {shown.length(limit)} freezes before the casting, with or without a torch"
        )
    elif not late:
        found, limit, unit = feeder.modulus, feeder.modulus_wanted, "m"
        why = f"its modulus is {shown.length(found)}; it needs {shown.length(limit)} to freeze after the casting"
    elif feeder.volume < feeder.volume_wanted * (1.0 - 1e-9):
        found, limit, unit = feeder.volume, feeder.volume_wanted, "m3"
        why = f"it holds {shown.volume(found)}, but the casting needs {shown.volume(limit)}"
    else:
        return
    yield FEEDER_SMALL(
        "pour.feeder_diameter",
        f"A feeder of {shown.length(feeder.diameter)} by {shown.length(feeder.height)} is too small according to the "
        f"rules: {why}. A shrinkage cavity may form in the casting.",
        f"Remove {out}: the feeder is then sized by the rules"
        + (
            "."
            if feeder.way == "kept"
            else f"; or keep it liquid with a torch, {typed('pour.feeding', 'kept')}."
        ),
        found=found,
        limit=limit,
        unit=unit,
    )


def _kept(gating: Gating, pour: PourSection | None, shown: Shown) -> Iterator[Finding]:
    """Check whether anyone can tend the feeder for as long as it is kept liquid. A study reports only codes and does not
    need the times."""
    keep, most = gating.keep, LONGEST_TENDING if pour is None else pour.longest_tending
    if keep is None or gating.roughly <= most:
        return
    if math.isnan(keep):
        keep = gating.roughly
    yield TENDING_LONG(
        "pour.longest_tending",
        f"The feeder has to be kept liquid for {shown.duration(keep)}, longer than the {shown.duration(most)} that you "
        "allow.",
        f"Stand the feeder in an insulating sleeve, {typed('pour.feeding', 'sleeved')}, or type the longer time: "
        f"{typed('pour.longest_tending', f'{math.ceil(keep / 60.0)} min')}.",
        found=keep,
        limit=most,
        unit="s",
    )


def _not_fed(job: FoundryResults, gating: Gating) -> Iterator[Finding]:
    """Findings on a casting that is not fed, with the size, position and depth of its hollow, and on a feeder size that
    has no effect."""
    pour, shown = job.plan.pour, job.shown
    if pour is not None:
        for leaf in ("feeder_diameter", "feeder_height"):
            if getattr(pour, leaf) is not None:
                yield FEEDER_NOT_MADE(
                    f"pour.{leaf}",
                    f"This mould has no feeder, so {leaf} has no effect.",
                    f"Remove {typed(f'pour.{leaf}', None)}.",
                )
    if gating.mark is not None:
        return
    cavity, cast = gating.cavity, job.cast
    lost, voids = gating.lost, job.plan.alloy.porosity
    thick = cavity.thick_at / job.pattern.scale - cast.finish
    shift = lost / (cast.mass - lost) * (cast.mass_centre_x - thick)
    place = (
        f"The hollow is under the top where the bulb is thickest, {shown.length(thick)} from the finished nose: a sink "
        f"some {shown.length(sink_depth(gating.feed) * cavity.height)} deep in the skin, or a pipe down to the axis. It "
        f"moves the casting's mass centre {shown.length(abs(shift))} {'aft' if shift > 0.0 else 'forward'}."
    )
    empty = f"{shown.volume(gating.feed * cavity.volume)} of it stays empty"
    kept = f"keep a feeder liquid with a torch, {typed('pour.feeding', 'kept')}"
    if hollow_counted(job.plan):
        yield NOT_FED(
            "pour.feeding",
            f"Nothing feeds the casting: {empty}, which is {shown.mass(lost)} of lead. The hung mass allows for it, so "
            f"the bulb is larger. {place}",
            f"{kept[0].upper()}{kept[1:]}; or probe the hollow and fill it before you fair the bulb.",
            found=gating.feed,
            limit=0.0,
        )
        return
    if voids >= gating.feed:
        yield HOLLOW_COUNTED(
            "pour.feeding",
            f"Nothing feeds the casting: {empty}, which the {shown.percent(voids)} allowed for voids in the hung "
            f"mass already covers. {place}",
            f"Probe the hollow and fill it before you fair the bulb; or {kept}.",
            found=gating.feed,
            limit=voids,
        )
        return
    counted = f"{math.ceil(1000.0 * (voids + gating.feed)) / 10.0:g} %"
    yield NOT_FED(
        "pour.feeding",
        f"Nothing feeds the casting: {empty}, so it comes out about {shown.mass(lost)} too light. {place}",
        f"{kept[0].upper()}{kept[1:]}; or allow for the hollow in the hung mass, {typed('alloy.porosity', counted)}.",
        found=gating.feed,
        limit=0.0,
    )


def _feeder(given: float, gating: Gating, shown: Shown) -> tuple[Finding, ...]:
    """Check that the feeder mass given in the plan is enough for its gating; by default it follows from the gating."""
    if given >= gating.feeder_mass * (1.0 - 1e-9):
        return ()
    return (
        FEEDER_BELOW_GATING(
            "melt.feeder",
            f"The plan gives {shown.mass(given)} for the feeder, but the sprue, feeder, vents and the casting's shrinkage "
            f"take {shown.mass(gating.feeder_mass)}.",
            f"Set {typed('melt.feeder', mass_up(gating.feeder_mass, shown))}, or remove it; the feeder mass "
            "then follows from the gating.",
            found=given,
            limit=gating.feeder_mass,
            unit="kg",
        ),
    )
