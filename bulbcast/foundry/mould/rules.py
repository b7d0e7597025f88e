"""Findings on the mould before it is dried: walls, mix, weight, oven, bound water, sand, and pieces to leave to a
foundry."""

from __future__ import annotations

from collections.abc import Iterator

from bulbcast.findings import Finding, Rule, Severity, Step, typed
from bulbcast.foundry.drying.log import HIGHEST_OVEN
from bulbcast.foundry.melt.charge import LIFTED_ALONE, PIECE_TO_BE_HOISTED
from bulbcast.foundry.mould.design import LARGE_FROM, MouldDesign
from bulbcast.foundry.mould.wall_rules import check_walls
from bulbcast.foundry.mould.work import as_open_halves, taken_out
from bulbcast.materials.plaster import FRESH_MORTAR, bound_water, mortar_dry_density, moulding_sand
from bulbcast.plan.keys import keys_only_with
from bulbcast.plan.mould_sections import ACCEPT_BOUND_WATER, ACCEPT_MORTAR, MouldSection
from bulbcast.plan.sections import Plan
from bulbcast.quantities import Shown
from bulbcast.quantities.typed import round_mass

CORE_TO_BE_BAKED = Rule(
    "core-to-be-baked",
    Severity.NOTE,
    why="Metal surrounds a core on all sides, so the core's steam can only escape through the lead.",
)
MOULD_FOUNDRY = Rule(
    "mould-foundry",
    Severity.HOLD,
    holds=(Step.MELT, Step.POUR),
    why="A large pour is too much for a home-made mould and too heavy for one person to lift.",
)
PLASTER_LARGE = Rule(
    "plaster-large",
    Severity.CAUTION,
    why="Thick plaster takes weeks to dry right through and cracks under its own weight.",
)
MOULD_PART_NOT_ALONE = Rule(
    "mould-part-not-alone",
    Severity.CAUTION,
    why="A wet block of this mass is more than one person can safely lift off the floor.",
)
MOULD_PART_HEAVY = Rule(
    "mould-part-heavy",
    Severity.CAUTION,
    why="Wet plaster is heavy; one person cannot turn a block of this mass.",
)
PLASTER_BATCHES = Rule(
    "plaster-batches",
    Severity.CAUTION,
    why="Plaster sets within minutes, and a layer that has set does not bond to the next.",
)
CONSISTENCY_UNUSUAL = Rule(
    "consistency-unusual",
    Severity.CAUTION,
    why="Too much water weakens the plaster; with too little, it does not flow round the pattern.",
)
DRYING_NOT_SAID = Rule(
    "drying-not-said",
    Severity.HOLD,
    holds=(Step.POUR,),
    why="The damper a mould is, the more steam it gives off and the more dangerous it is to pour into.",
)
AIR_DRIED_CLOSED = Rule(
    "air-dried-closed",
    Severity.HOLD,
    holds=(Step.POUR,),
    why=(
        "Air-dried plaster still holds bound water, which the lead's heat drives out as steam. In a closed mould the "
        "steam blows through the metal."
    ),
)
AIR_DRIED_CORE = Rule(
    "air-dried-core",
    Severity.HOLD,
    holds=(Step.POUR,),
    why=(
        "Air-dried plaster still holds bound water, and the steam from a core can only escape through the lead."
    ),
)
AIR_DRIED_HEAVY = Rule(
    "air-dried-heavy",
    Severity.HOLD,
    holds=(Step.POUR,),
    why="More lead heats the mould to a greater depth and turns more of the bound water to steam.",
)
BOUND_WATER_ACCEPTED = Rule(
    "bound-water-accepted",
    Severity.CAUTION,
    why="You have accepted that the mould still holds bound water: steam may blow lead out of it.",
)
ACCEPTANCE_NOT_NEEDED = Rule(
    "acceptance-not-needed",
    Severity.NOTE,
    why="Remove an acceptance that releases no hold, so that it cannot hide a later hold.",
)
OVEN_TOO_HOT = Rule(
    "oven-too-hot",
    Severity.HOLD,
    holds=(Step.POUR,),
    why="Plaster baked too hot turns to a chalky form that cracks and crumbles.",
)
OVEN_TOO_COOL = Rule(
    "oven-too-cool",
    Severity.CAUTION,
    why="In an oven this cool, hardly any bound water is driven off, however long you bake the mould.",
)
MORTAR_NOT_DRY = Rule(
    "mortar-not-dry",
    Severity.HOLD,
    holds=(Step.POUR,),
    why="Water in cement mortar turns to steam under the lead. It bursts flakes off the mortar and throws metal.",
)
MORTAR_SPALLS = Rule(
    "mortar-spalls",
    Severity.CAUTION,
    why="You have accepted a mould of cement mortar. Even when weighing shows that it is dry, it still contains water "
    "bound in the cement.",
)
SAND_NOT_CURED = Rule(
    "sand-not-cured",
    Severity.HOLD,
    holds=(Step.POUR,),
    why="Uncured oil gives off gas in the heat and throws metal back.",
)
SAND_MOISTURE_UNKNOWN = Rule(
    "sand-moisture-unknown",
    Severity.HOLD,
    holds=(Step.POUR,),
    why="Moist sand makes steam under the lead; only a weighed sample shows that the sand is dry.",
)
SAND_DAMP = Rule(
    "sand-damp",
    Severity.HOLD,
    holds=(Step.POUR,),
    why="Steam from moist sand throws the lead about.",
)

# Heaviest piece to pour into a mould that keeps its bound water; a heavier one makes more steam than can escape. Our
# judgement.
AIR_DRIED_PIECE = 5.0
# Consistency in use, as parts of water to 100 of plaster, from plaster makers' tables.
LOWEST_CONSISTENCY, HIGHEST_CONSISTENCY = 60.0, 80.0
# Number of buckets that one person can mix and pour before the first one sets. Our judgement: it sets in 27 to 37 min, and
# soaking and stirring take 5 min.
MOST_BATCHES = 3
# Oven temperature below which a mould is hardly baked. In calcining, the change to hemihydrate takes place at 100 to 130
# degC.
COOLEST_OVEN = 130.0


def check_mould(plan: Plan, design: MouldDesign, shown: Shown) -> Iterator[Finding]:
    """Return every finding on the mould except those from its drying log.

    Args:
        plan: Plan with [mould].
        design: Mould as planned.
        shown: The builder's units.
    """
    section = design.section
    yield from _size(plan, design, shown)
    if design.foundry_work:
        return
    yield from check_walls(design, shown)
    if plan.lifting is None:
        yield from _heavy(design, shown)
    yield from _batches(design)
    if design.material == "sand":
        yield from _sand(section, shown)
        return
    if design.material == "mortar":
        yield _mortar(design, shown)
        return
    yield from _mix(design)
    if design.drying is None:
        yield _drying_not_said(design, shown)
    elif design.drying == "air":
        yield from _bound_water(design, shown)
    elif section.oven is not None:
        yield from _oven(section.oven, shown)
    if design.drying == "baked" and design.core == "plaster":
        yield CORE_TO_BE_BAKED(
            "mould.core",
            "Bake and weigh plaster cores as you do the mould: metal surrounds them on all sides.",
            "Bake them with the mould, or turn them from steel.",
        )


def _mortar(design: MouldDesign, shown: Shown) -> Finding:
    """Return a hold on cement mortar, or a caution if the risk is accepted."""
    water = shown.percent(1.0 - mortar_dry_density() / FRESH_MORTAR)
    thick = max(design.margins.sides, design.margins.below)
    weeks = max(4.0 * thick / 0.025, 4.0)
    spalls = (
        f"Cement mortar holds {water} of its mass as water that has to dry out. The cement binds more, which the heat of "
        "the lead drives out: trapped steam bursts flakes off the face into the metal."
    )
    if design.section.accept_mortar is None:
        return MORTAR_NOT_DRY(
            "mould.accept_mortar",
            f"{spalls} Nothing shows that it is dry, so the pour is on hold.",
            f"Let it dry for about {weeks:.0f} weeks: the flooring trade allows four for each {shown.length(0.025)}. "
            f"Then hold it at {shown.temperature(60.0)} until it loses nothing for two days, and write accept_mortar = "
            f'"{ACCEPT_MORTAR}", or set {typed("mould.material", "plaster")} and '
            f"{typed('mould.drying', 'baked', also=True)}.",
        )
    return MORTAR_SPALLS(
        "mould.accept_mortar",
        f"{spalls} Below 3 % moisture, explosive spalling is considered unlikely (EN 1992-1-2), but not impossible.",
        "Warm it slowly before the pour. Pour with shields on and nobody leaning over it, and stand back if you see steam.",
    )


def _size(plan: Plan, design: MouldDesign, shown: Shown) -> Iterator[Finding]:
    piece, foundry_from = design.piece_mass, design.section.foundry_from
    if design.foundry_work:
        halves = as_open_halves(plan)
        yield MOULD_FOUNDRY(
            "mould",
            f"A piece of {shown.mass(piece)} poured in one go into a {design.material} mould is a job for a foundry: above "
            f"{shown.mass(foundry_from)} the melt and the pour are on hold.",
            f"Take the pattern to a foundry, or set {halves[1]}: each half then weighs "
            f"{shown.mass(0.5 * piece)}."
            if halves is not None and 0.5 * piece <= foundry_from
            else "Take the pattern to a foundry.",
            found=piece,
            limit=foundry_from,
            unit="kg",
        )
    elif design.material == "plaster" and piece >= LARGE_FROM:
        weight = sum(part.just_set for part in design.parts)
        # Keys given in the plan that a sand mould does not use.
        defaults = {one.key for one in plan.defaults}
        plaster = keys_only_with("mould.material", "plaster")
        given = [leaf for leaf in plaster if getattr(design.section, leaf) is not None]
        out = taken_out([f"mould.{leaf}" for leaf in given if f"mould.{leaf}" not in defaults])
        sand = typed("mould.sand_kind", "oil-bonded", also=True)
        yield PLASTER_LARGE(
            "mould.material",
            f"A piece of {shown.mass(piece)} needs {shown.mass(weight)} of wet plaster with steel mesh, which takes "
            "weeks to dry. Founders would ram this mould in oil-bonded sand.",
            "Put mesh in both parts and give its mass as reinforcement, or set "
            f"{typed('mould.material', 'sand')} and {sand}{out}.",
            found=piece,
            limit=LARGE_FROM,
            unit="kg",
        )


def _heavy(design: MouldDesign, shown: Shown) -> Iterator[Finding]:
    for part in design.parts:
        weighs = f"The {part.name} weighs {shown.mass(part.just_set)} when just set. Above"
        if part.just_set > PIECE_TO_BE_HOISTED:
            yield MOULD_PART_HEAVY(
                f"mould.{part.name}",
                f"{weighs} {round_mass(PIECE_TO_BE_HOISTED, shown)}, the British HSE's guideline for a man holding a "
                "load close to the waist, use several people or a hoist to turn and carry it.",
                "Cast in bars or eyes to lift it by, and build it where it will dry.",
                found=part.just_set,
                limit=PIECE_TO_BE_HOISTED,
                unit="kg",
            )
        elif part.just_set > LIFTED_ALONE:
            yield MOULD_PART_NOT_ALONE(
                f"mould.{part.name}",
                f"{weighs} {round_mass(LIFTED_ALONE, shown)}, one person should not lift a smooth piece off the floor, "
                "according to the US NIOSH lifting equation.",
                "Turn and carry it with a second person, or build it on a board at bench height.",
                found=part.just_set,
                limit=LIFTED_ALONE,
                unit="kg",
            )


def _batches(design: MouldDesign) -> Iterator[Finding]:
    for part in design.parts:
        if part.batch is not None and part.batch.count > MOST_BATCHES:
            yield PLASTER_BATCHES(
                "mould.bucket",
                f"The {part.name} takes {part.batch.count} buckets of plaster: the first will set before the last is "
                "mixed, and plaster does not bond to a layer that has set.",
                "Mix several buckets at once with help, or use a larger bucket, and roughen each layer before it sets.",
                found=float(part.batch.count),
                limit=float(MOST_BATCHES),
            )


def _mix(design: MouldDesign) -> Iterator[Finding]:
    consistency = 0.0 if design.mix is None else 100.0 * design.mix.water
    if LOWEST_CONSISTENCY - 1e-9 <= consistency <= HIGHEST_CONSISTENCY + 1e-9:
        return
    limit, makes = (
        (HIGHEST_CONSISTENCY, "soft, with more water to dry out")
        if consistency > HIGHEST_CONSISTENCY
        else (LOWEST_CONSISTENCY, "dense, lets little steam through and sets fast")
    )
    yield CONSISTENCY_UNUSUAL(
        "mould.consistency",
        f"A consistency of {consistency:g} makes plaster that is {makes}.",
        f"Set {typed('mould.consistency', f'{limit:g}')}, or keep {consistency:g} if the bag specifies it.",
        found=consistency,
        limit=limit,
    )


def _drying_not_said(design: MouldDesign, shown: Shown) -> Finding:
    air = baked = ""
    if design.mix is not None:
        air, baked = shown.percent(design.mix.air_share), shown.percent(design.mix.baked_share)
    baking = typed("mould.drying", "baked")
    must = design.kind == "closed" or design.core == "plaster" or design.piece_mass > AIR_DRIED_PIECE
    return DRYING_NOT_SAID(
        "mould.drying",
        "The plan does not say how the mould is dried, and the trades disagree. Dried in air, it stays strong and "
        f"comes down to {air} of its just-set mass, but keeps {shown.percent(bound_water())} of its mass as bound "
        f"water, which lead drives out as steam. Baked, it comes down to {baked} and gives off little steam, but is weak. "
        f"Plaster makers dry at {shown.temperature(49.0)} at most; founders bake.",
        f"Set {baking}: this mould is closed, heavy, or has a plaster core."
        if must
        else f"Set {baking}, or {typed('mould.drying', 'air')} for this small open half.",
    )


def _bound_water(design: MouldDesign, shown: Shown) -> Iterator[Finding]:
    """Findings on air drying when steam cannot escape well: a hold for each reason, or one caution if the risk is
    accepted."""
    share = shown.percent(bound_water())
    baking = typed("mould.drying", "baked")
    remedy = f'Set {baking}. Otherwise only accept_bound_water = "{ACCEPT_BOUND_WATER}" releases this hold.'
    reasons = []
    if design.kind == "closed":
        reasons.append(
            AIR_DRIED_CLOSED(
                "mould.drying",
                f"A closed mould dried in air keeps {share} of its mass as bound water, and the steam can only escape "
                "through the lead.",
                remedy,
            )
        )
    if design.core == "plaster":
        reasons.append(
            AIR_DRIED_CORE(
                "mould.core",
                f"A plaster core dried in air keeps {share} of its mass as bound water, and molten lead surrounds it.",
                remedy,
            )
        )
    if design.piece_mass > AIR_DRIED_PIECE:
        reasons.append(
            AIR_DRIED_HEAVY(
                "mould.drying",
                f"A piece of {shown.mass(design.piece_mass)} heats an air-dried mould so deeply that more steam forms "
                f"than can escape; the limit is {shown.mass(AIR_DRIED_PIECE)}.",
                remedy,
                found=design.piece_mass,
                limit=AIR_DRIED_PIECE,
                unit="kg",
            )
        )
    if design.section.accept_bound_water is None:
        yield from reasons
    elif reasons:
        yield BOUND_WATER_ACCEPTED(
            "mould.accept_bound_water",
            "The plan accepts steam from the bound water. " + " ".join(one.message for one in reasons),
            "Pour with nobody leaning over the mould; stop and stand back if you see steam. Or set "
            f"{baking}{taken_out(['mould.accept_bound_water'])}.",
        )
    else:
        yield ACCEPTANCE_NOT_NEEDED(
            "mould.accept_bound_water",
            "Accepting the bound water has no effect: this open half was not on hold because of it.",
            f"Remove {typed('mould.accept_bound_water', None)}.",
        )


def _oven(oven: float, shown: Shown) -> Iterator[Finding]:
    heat = f"An oven at {shown.temperature(oven)}"
    if oven > HIGHEST_OVEN:
        yield OVEN_TOO_HOT(
            "mould.oven",
            f"{heat} bakes the plaster to anhydrite: above {shown.temperature(HIGHEST_OVEN)} it turns chalky and cracks.",
            f"Set {typed('mould.oven', f'{HIGHEST_OVEN:g} C')} or less.",
            found=oven,
            limit=HIGHEST_OVEN,
            unit="degC",
        )
    elif oven < COOLEST_OVEN:
        yield OVEN_TOO_COOL(
            "mould.oven",
            f"{heat} drives little of the bound water out of a thick block.",
            f"Set {typed('mould.oven', f'{COOLEST_OVEN:g} C')} or more.",
            found=oven,
            limit=COOLEST_OVEN,
            unit="degC",
        )


def _sand(section: MouldSection, shown: Shown) -> Iterator[Finding]:
    limit, moisture = moulding_sand().highest_moisture, section.sand_moisture
    if section.sand_kind != "dried":
        if section.cured_at is None or section.cured_for is None:
            yield SAND_NOT_CURED(
                "mould.cured_at",
                "Nothing shows that the oil-bonded sand is cured, so the pour is on hold. Uncured binder gives off gas "
                "and throws metal back.",
                "Cure it as the binder's maker says and let it cool. Then give cured_at and cured_for, for example "
                'cured_at = "210 C" and cured_for = "3 h".',
            )
    elif moisture is None:
        yield SAND_MOISTURE_UNKNOWN(
            "mould.sand_moisture",
            "The moisture of the dried sand is not known, so the pour is on hold.",
            "Weigh a sample, heat it until it loses no more, and weigh it again. Give the loss divided by the dry mass "
            "as sand_moisture.",
            limit=limit,
        )
    elif moisture > limit:
        yield SAND_DAMP(
            "mould.sand_moisture",
            f"The sand contains {shown.percent(moisture)} water; above {shown.percent(limit)} the pour is on hold.",
            "Heat it until it is dry, and measure again.",
            found=moisture,
            limit=limit,
        )
