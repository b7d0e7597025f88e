"""Findings on the mould before it is dried: walls, mix, weight, oven, bound water, sand, and what is a foundry's work."""

from __future__ import annotations

from dataclasses import dataclass

from bulbcast.bulb.fastening.limits import LIFTED_ALONE, PIECE_TO_BE_HOISTED
from bulbcast.findings import Finding, Rule, Severity, Step
from bulbcast.foundry.drying.log import HIGHEST_OVEN
from bulbcast.foundry.mould.design import LARGE_FROM, MouldDesign
from bulbcast.foundry.mould.limits import (
    AIR_DRIED_PIECE,
    COOLEST_OVEN,
    HIGHEST_CONSISTENCY,
    LOWEST_CONSISTENCY,
    MOST_BATCHES,
    SMALLEST_MOULD_WALL,
    SMALLEST_MOULD_WALL_LARGE,
)
from bulbcast.materials.plaster import bound_water, moulding_sand
from bulbcast.quantities import Shown
from bulbcast.quantities.typed import length_up, round_mass

CORE_TO_BE_BAKED = Rule("core-to-be-baked", Severity.NOTE)
MOULD_FOUNDRY = Rule("mould-foundry", Severity.HOLD, holds=(Step.MELT, Step.POUR))
PLASTER_LARGE = Rule("plaster-large", Severity.CAUTION)
MOULD_WALL_THIN = Rule("mould-wall-thin", Severity.CAUTION)
MOULD_PART_NOT_ALONE = Rule("mould-part-not-alone", Severity.CAUTION)
MOULD_PART_HEAVY = Rule("mould-part-heavy", Severity.CAUTION)
PLASTER_BATCHES = Rule("plaster-batches", Severity.CAUTION)
CONSISTENCY_UNUSUAL = Rule("consistency-unusual", Severity.CAUTION)
DRYING_NOT_SAID = Rule("drying-not-said", Severity.HOLD, holds=(Step.POUR,))
AIR_DRIED_CLOSED = Rule("air-dried-closed", Severity.HOLD, holds=(Step.POUR,))
AIR_DRIED_CORE = Rule("air-dried-core", Severity.HOLD, holds=(Step.POUR,))
AIR_DRIED_HEAVY = Rule("air-dried-heavy", Severity.HOLD, holds=(Step.POUR,))
BOUND_WATER_ACCEPTED = Rule("bound-water-accepted", Severity.CAUTION)
ACCEPTANCE_NOT_NEEDED = Rule("acceptance-not-needed", Severity.NOTE)
OVEN_TOO_HOT = Rule("oven-too-hot", Severity.HOLD, holds=(Step.POUR,))
OVEN_TOO_COOL = Rule("oven-too-cool", Severity.CAUTION)
SAND_NOT_CURED = Rule("sand-not-cured", Severity.HOLD, holds=(Step.POUR,))
SAND_MOISTURE_UNKNOWN = Rule("sand-moisture-unknown", Severity.HOLD, holds=(Step.POUR,))
SAND_DAMP = Rule("sand-damp", Severity.HOLD, holds=(Step.POUR,))


@dataclass(frozen=True, slots=True, kw_only=True)
class MouldWays:
    """What is typed under [mould] for another one, with the keys that then have to go.

    Attributes:
        halves: For open halves; None where it is one already.
        sand: For oil-bonded sand.
        baked: For baking.
    """

    halves: str | None
    sand: str
    baked: str


def check_mould(
    design: MouldDesign,
    *,
    oven: float | None,
    accepted: bool,
    accept_line: str,
    foundry_from: float,
    sand_kind: str | None,
    sand_moisture: float | None,
    cured: bool,
    ways: MouldWays,
    shown: Shown,
) -> tuple[Finding, ...]:
    """Every finding on the mould but those of its drying log.

    Args:
        design: The mould.
        oven: As planned for a baked mould; None for others. [degC]
        accepted: Whether the bound water's risk is typed as accepted.
        accept_line: What has to be typed for that, as a line of the plan.
        foundry_from: Piece that is a foundry's work. [kg]
        sand_kind: Of a sand mould.
        sand_moisture: Of dried sand; None where not measured. [-]
        cured: Whether the plan says how an oil-bonded sand mould was cured.
        ways: What is typed for another mould.
        shown: The builder's units.
    """
    findings = [
        *_size(design, foundry_from, ways, shown),
        *_walls(design, shown),
        *_parts(design, shown),
    ]
    if design.material == "sand":
        findings += _sand(sand_kind, sand_moisture, cured, shown)
        return tuple(findings)
    findings += _mix(design)
    if design.drying is None:
        findings.append(_drying_not_said(design, shown))
    elif design.drying == "air":
        findings += _bound_water(design, accepted, accept_line, ways, shown)
    elif oven is not None:
        findings += _oven(oven, shown)
    if design.drying == "baked" and design.core == "plaster":
        findings.append(
            CORE_TO_BE_BAKED(
                where="mould.core",
                message="Plaster cores are baked and weighed as the mould is: they lie in the metal on all sides.",
                remedy="Bake them with the mould, or turn them of steel.",
            )
        )
    return tuple(findings)


def _finding(
    rule: Rule,
    where: str,
    found: float | None,
    limit: float | None,
    unit: str,
    message: str,
    remedy: str,
) -> Finding:
    return rule(where=where, found=found, limit=limit, unit=unit, message=message, remedy=remedy)


def _size(design: MouldDesign, foundry_from: float, ways: MouldWays, shown: Shown) -> list[Finding]:
    piece = design.piece_mass
    if piece > foundry_from:
        halves = (
            f"Take the pattern to a foundry, or set {ways.halves}: each half is then a piece of {shown.mass(0.5 * piece)}."
            if ways.halves is not None and 0.5 * piece <= foundry_from
            else "Take the pattern to a foundry."
        )
        return [
            _finding(
                MOULD_FOUNDRY,
                "mould",
                piece,
                foundry_from,
                "kg",
                f"A piece of {shown.mass(piece)} poured at once into a mould of {design.material} is a foundry's work: "
                f"above {shown.mass(foundry_from)} melt and pour are on hold.",
                halves,
            )
        ]
    if design.material == "plaster" and piece >= LARGE_FROM:
        weight = sum(part.just_set for part in design.parts)
        return [
            _finding(
                PLASTER_LARGE,
                "mould.material",
                piece,
                LARGE_FROM,
                "kg",
                f"A piece of {shown.mass(piece)} takes {shown.mass(weight)} of wet plaster, steel mesh in it, and weeks to "
                "dry; founders ram such a mould in oil-bonded sand.",
                f"Put mesh in both parts and give its mass as reinforcement, or set {ways.sand}.",
            )
        ]
    return []


def _walls(design: MouldDesign, shown: Shown) -> list[Finding]:
    wanted = SMALLEST_MOULD_WALL_LARGE if design.piece_mass >= LARGE_FROM else SMALLEST_MOULD_WALL
    margins = design.margins
    asked = [("wall", margins.sides), ("floor", margins.below)]
    if design.kind == "closed":
        asked.append(("cover", margins.above))
    return [
        _finding(
            MOULD_WALL_THIN,
            f"mould.{leaf}",
            thick,
            wanted,
            "m",
            f"The mould's {leaf} is {shown.length(thick)}; a piece of {shown.mass(design.piece_mass)} wants "
            f"{shown.length(wanted)}, lest it crack or break through.",
            f'Set {leaf} = "{length_up(wanted, shown)}" or more, and bed the mould in dry sand.',
        )
        for leaf, thick in asked
        if thick < wanted * (1.0 - 1e-9)
    ]


def _parts(design: MouldDesign, shown: Shown) -> list[Finding]:
    findings = []
    for part in design.parts:
        if part.just_set > PIECE_TO_BE_HOISTED:
            findings.append(
                _finding(
                    MOULD_PART_HEAVY,
                    f"mould.{part.name}",
                    part.just_set,
                    PIECE_TO_BE_HOISTED,
                    "kg",
                    f"The {part.name} weighs {shown.mass(part.just_set)} just set. Above "
                    f"{round_mass(PIECE_TO_BE_HOISTED, shown)}, the British HSE's guideline for a man who holds it close "
                    "at the waist, it is turned and carried by several people or a hoist.",
                    "Cast bars or eyes into it to lift it by, and build it where it is dried.",
                )
            )
        elif part.just_set > LIFTED_ALONE:
            findings.append(
                _finding(
                    MOULD_PART_NOT_ALONE,
                    f"mould.{part.name}",
                    part.just_set,
                    LIFTED_ALONE,
                    "kg",
                    f"The {part.name} weighs {shown.mass(part.just_set)} just set. Above "
                    f"{round_mass(LIFTED_ALONE, shown)} a person alone does not lift a smooth piece off the floor, by the "
                    "lifting equation of the American NIOSH.",
                    "Turn and carry it with a second person, or build it on a board at the height of the bench.",
                )
            )
        if part.batch is not None and part.batch.count > MOST_BATCHES:
            findings.append(
                _finding(
                    PLASTER_BATCHES,
                    "mould.bucket",
                    float(part.batch.count),
                    float(MOST_BATCHES),
                    "",
                    f"The {part.name} takes {part.batch.count} buckets of plaster: the first has set before the last is "
                    "mixed, and layers that have set do not hold together.",
                    "Mix several at once with help, or in a larger bucket, and roughen each layer before it sets.",
                )
            )
    return findings


def _mix(design: MouldDesign) -> list[Finding]:
    if design.mix is None:
        return []
    consistency = 100.0 * design.mix.water
    if LOWEST_CONSISTENCY - 1e-9 <= consistency <= HIGHEST_CONSISTENCY + 1e-9:
        return []
    wet = consistency > HIGHEST_CONSISTENCY
    limit = HIGHEST_CONSISTENCY if wet else LOWEST_CONSISTENCY
    return [
        _finding(
            CONSISTENCY_UNUSUAL,
            "mould.consistency",
            consistency,
            limit,
            "",
            f"A consistency of {consistency:g} makes a plaster that is "
            + (
                "soft and holds more water to dry out."
                if wet
                else "dense, lets little steam through and sets fast."
            ),
            f"Set consistency = {limit:g}, or keep it where the bag asks for it.",
        )
    ]


def _drying_not_said(design: MouldDesign, shown: Shown) -> Finding:
    air = baked = ""
    if design.mix is not None:
        air, baked = shown.percent(design.mix.air_share), shown.percent(design.mix.baked_share)
    must = design.kind == "closed" or design.core == "plaster" or design.piece_mass > AIR_DRIED_PIECE
    return _finding(
        DRYING_NOT_SAID,
        "mould.drying",
        None,
        None,
        "",
        f"The plan does not say how the mould is dried, and the trade disagrees: dried in air it stays strong and comes "
        f"down to {air} of its just-set mass, but keeps {shown.percent(bound_water())} of its own mass as bound water, "
        f"which lead drives out as steam; baked it comes down to {baked} and gives little steam, but is weak. Plaster "
        f"makers dry at {shown.temperature(49.0)} at most, founders bake.",
        'Set drying = "baked": '
        + (
            "this mould is closed, heavy, or has a plaster core."
            if must
            else 'or drying = "air" for this small open half.'
        ),
    )


def _bound_water(
    design: MouldDesign, accepted: bool, accept_line: str, ways: MouldWays, shown: Shown
) -> list[Finding]:
    share = shown.percent(bound_water())
    reasons: list[tuple[Rule, str, float | None, float | None, str, str]] = []
    if design.kind == "closed":
        reasons.append(
            (
                AIR_DRIED_CLOSED,
                "mould.drying",
                None,
                None,
                "",
                f"A closed mould dried in air keeps {share} of bound water, and its steam has no way out but through "
                "the lead.",
            )
        )
    if design.core == "plaster":
        reasons.append(
            (
                AIR_DRIED_CORE,
                "mould.core",
                None,
                None,
                "",
                f"A plaster core dried in air keeps {share} of bound water with lead all round it.",
            )
        )
    if design.piece_mass > AIR_DRIED_PIECE:
        reasons.append(
            (
                AIR_DRIED_HEAVY,
                "mould.drying",
                design.piece_mass,
                AIR_DRIED_PIECE,
                "kg",
                f"A piece of {shown.mass(design.piece_mass)} heats the mould deep: above {shown.mass(AIR_DRIED_PIECE)} an "
                "air-dried mould gives more steam than can escape.",
            )
        )
    if not accepted:
        return [
            _finding(
                rule,
                where,
                found,
                limit,
                unit,
                message,
                f'Set drying = "baked"; only {accept_line} releases this hold otherwise.',
            )
            for rule, where, found, limit, unit, message in reasons
        ]
    return [
        _finding(
            BOUND_WATER_ACCEPTED,
            "mould.accept_bound_water",
            None,
            None,
            "",
            "Steam from the bound water is accepted by the plan. " + " ".join(one[-1] for one in reasons),
            f"Pour with nobody over the mould, stop and stand back if steam is seen; or set {ways.baked}.",
        )
    ] if reasons else [
        _finding(
            ACCEPTANCE_NOT_NEEDED,
            "mould.accept_bound_water",
            None,
            None,
            "",
            "The acceptance of the bound water releases nothing: this open half was not on hold for it.",
            "Take accept_bound_water out.",
        )
    ]  # fmt: skip


def _oven(oven: float, shown: Shown) -> list[Finding]:
    if oven > HIGHEST_OVEN:
        return [
            _finding(
                OVEN_TOO_HOT,
                "mould.oven",
                oven,
                HIGHEST_OVEN,
                "degC",
                f"An oven of {shown.temperature(oven)} bakes the plaster on to anhydrite: above "
                f"{shown.temperature(HIGHEST_OVEN)} it turns chalky and cracks.",
                f'Set oven = "{HIGHEST_OVEN:g} C" or less.',
            )
        ]
    if oven < COOLEST_OVEN:
        return [
            _finding(
                OVEN_TOO_COOL,
                "mould.oven",
                oven,
                COOLEST_OVEN,
                "degC",
                f"An oven of {shown.temperature(oven)} hardly drives the bound water out of a thick block.",
                f'Set oven = "{COOLEST_OVEN:g} C" or more.',
            )
        ]
    return []


def _sand(kind: str | None, moisture: float | None, cured: bool, shown: Shown) -> list[Finding]:
    if kind != "dried":
        if cured:
            return []
        return [
            _finding(
                SAND_NOT_CURED,
                "mould.cured_at",
                None,
                None,
                "",
                "Nothing says that the oil-bonded sand is cured: uncured binder gasses and throws metal back, and the pour "
                "is on hold.",
                "Cure it as its binder's maker says, let it cool, and write how, cured_at and cured_for, such as "
                'cured_at = "210 C" and cured_for = "3 h".',
            )
        ]
    limit = moulding_sand().highest_moisture
    if moisture is None:
        return [
            _finding(
                SAND_MOISTURE_UNKNOWN,
                "mould.sand_moisture",
                None,
                limit,
                "",
                "The moisture of the dried sand is not known, and the pour is on hold.",
                "Weigh a sample of it, heat it until it loses no more, weigh it again, and give the loss over the dry "
                "mass as sand_moisture.",
            )
        ]
    if moisture > limit:
        return [
            _finding(
                SAND_DAMP,
                "mould.sand_moisture",
                moisture,
                limit,
                "",
                f"The sand holds {shown.percent(moisture)} of water; above {shown.percent(limit)} the pour is on hold.",
                "Dry it hot and measure again.",
            )
        ]
    return []
