"""The mould out of a plan: what is asked of it, its design, and the defaults that hang on the piece."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime

from bulbcast.bulb.body.integrals import parallel_volume
from bulbcast.bulb.hung.ledger import HungBulb
from bulbcast.findings import Finding
from bulbcast.foundry.drying.log import DryingLog, DryingRules, DryingState, drying_state
from bulbcast.foundry.drying.rules import check_drying
from bulbcast.foundry.mould.design import MouldDesign, MouldWish, mould_of, part_names
from bulbcast.foundry.mould.rules import MouldWays, check_mould
from bulbcast.materials.plaster import PlasterMix
from bulbcast.pattern.allowances import Pattern
from bulbcast.pattern.cast_body import CastBody
from bulbcast.plan.mould_sections import ACCEPT_BOUND_WATER, PLASTER_ONLY, MouldSection
from bulbcast.plan.sections import DefaultTaken, Plan
from bulbcast.quantities import Shown, joined

PRACTICE = "common practice, no source"


def mix_of(section: MouldSection) -> PlasterMix | None:
    """The plaster mix as planned, the likely purity; None for sand.

    Args:
        section: [mould].
    """
    if section.consistency is None or section.purity is None or section.sand is None:
        return None
    return PlasterMix(water=0.01 * section.consistency, purity=section.purity, sand=section.sand)


def mould_wish(section: MouldSection) -> MouldWish:
    """What is asked of the mould.

    Args:
        section: [mould].
    """
    return MouldWish(
        material=section.material,
        drying=section.drying,
        kind=section.kind,
        orientation=section.orientation,
        split=section.split,
        wall=section.wall,
        floor=section.floor,
        cover=section.cover,
        mix=mix_of(section),
        bucket=section.bucket,
        spare=section.spare,
        reinforcement=0.0 if section.reinforcement is None else section.reinforcement,
        # A plaster core keeps its bound water as the mould does: the safe side where nothing is said.
        core="plaster" if section.core is None else section.core,
    )


def weighed_parts(plan: Plan) -> tuple[str, ...]:
    """Names of the parts that a drying log may tell of; none without a plaster mould.

    Args:
        plan: The plan.
    """
    section = plan.mould
    if section is None or section.material != "plaster":
        return ()
    return part_names(
        kind=section.kind,
        level=section.orientation == "lying",
        split=section.split,
        cored=plan.fin.pocket == "cored" or any(screw.hole == "cored" for screw in plan.screws),
    )


def mould_design(plan: Plan, bulb: HungBulb, cast: CastBody, pattern: Pattern) -> MouldDesign:
    """The mould round the coated pattern.

    Args:
        plan: The plan, with [mould].
        bulb: The sized bulb.
        cast: The cast body.
        pattern: The pattern.

    Raises:
        ValueError: The plan has no mould.
    """
    if plan.mould is None:
        raise ValueError("the plan gives no mould")
    # What the plaster is poured round is the pattern with its coat: the ledger's last step but one.
    coated = pattern.steps[-2]
    return mould_of(
        mould_wish(plan.mould),
        length=coated.length,
        width=coated.width,
        height=coated.height,
        volume=pattern.scale**3 * parallel_volume(bulb.volume, bulb.surface, cast.finish).volume,
        cast_mass=cast.mass,
        cored=cast.cored.pocket or any(cast.cored.screws),
    )


def as_open_halves(plan: Plan) -> tuple[Plan, str] | None:
    """The plan with its bulb poured as two open halves, and what is typed under [mould] for that.

    Args:
        plan: The plan.

    Returns:
        None where there is no mould, or one of halves already.
    """
    section = plan.mould
    if section is None or section.kind == "open-halves":
        return None
    out = [
        leaf
        for leaf, there in (
            ("orientation", section.orientation != "lying"),
            ("cover", section.cover is not None),
        )
        if there
    ]
    halves = replace(plan, mould=replace(section, kind="open-halves", orientation="lying", cover=None))
    return halves, f'kind = "open-halves"{taken_out(out)}'


def taken_out(leaves: list[str]) -> str:
    """What a line typed in asks for besides: keys that no longer belong there; "" for none.

    Args:
        leaves: Names of the keys.
    """
    return f" and take {joined(leaves, 'and')} out" if leaves else ""


def only_plaster(plan: Plan) -> list[str]:
    """Keys that the plan gives and that a sand mould does not take.

    Args:
        plan: With [mould].
    """
    taken = {one.key for one in plan.defaults}
    return [
        leaf
        for leaf in PLASTER_ONLY
        if getattr(plan.mould, leaf) is not None and f"mould.{leaf}" not in taken
    ]


def mould_defaults(plan: Plan, design: MouldDesign, shown: Shown) -> tuple[DefaultTaken, ...]:
    """Defaults of [mould] that hang on the piece, each with its source.

    Args:
        plan: With [mould].
        design: The mould.
        shown: The builder's units.
    """
    section = plan.mould
    if section is None:
        return ()
    margins = design.margins
    of_halves = "halves that are clamped or glued either side of the fin"
    taken: list[tuple[object, str, str, str]] = [
        (
            section.split,
            "split",
            design.split,
            f"{of_halves if design.pours == 2 else 'poured from the top'}; {PRACTICE}",
        ),
        (
            section.wall,
            "wall",
            shown.length(margins.sides),
            f"30 mm below 10 kg a piece, 40 mm below 40 kg, 85 mm with mesh from there on; {PRACTICE}",
        ),
        (
            section.floor,
            "floor",
            shown.length(margins.below),
            f"1.25 walls: a thin floor breaks through; {PRACTICE}",
        ),
    ]
    if design.kind == "closed":
        taken.append((section.cover, "cover", shown.length(margins.above), f"as the wall; {PRACTICE}"))
    if design.core is not None:
        taken.append(
            (section.core, "core", design.core, "the safe side: a plaster core keeps its bound water")
        )
    return tuple(
        DefaultTaken(key=f"mould.{leaf}", value=value, source=source)
        for given, leaf, value, source in taken
        if given is None
    )


def drying_of(
    plan: Plan, design: MouldDesign, log: DryingLog | None, moment: datetime | None
) -> DryingState | None:
    """How the mould's parts stand by the log; None for a sand mould, which is not weighed.

    Args:
        plan: With [mould].
        design: The mould.
        log: Beside the plan, or None.
        moment: At which to judge; None: at the log's last entry.
    """
    section = plan.mould
    if section is None or design.mix is None:
        return None
    rules = DryingRules(
        drying=section.drying,
        mix=design.mix,
        purity_spread=0.0 if section.purity_spread is None else section.purity_spread,
        scale_spread=0.0 if section.scale_spread is None else section.scale_spread,
        reinforcement=design.reinforcement,
    )
    return drying_state({part.name: part.just_set for part in design.parts}, rules, log, moment=moment)


def _ways(plan: Plan, section: MouldSection) -> MouldWays:
    halves = as_open_halves(plan)
    accepted = ["accept_bound_water"] if section.accept_bound_water is not None else []
    return MouldWays(
        halves=None if halves is None else halves[1],
        sand=f'material = "sand" and sand_kind = "oil-bonded"{taken_out(only_plaster(plan))}',
        baked=f'drying = "baked"{taken_out(accepted)}',
    )


def mould_findings(
    plan: Plan, design: MouldDesign, state: DryingState | None, shown: Shown
) -> tuple[Finding, ...]:
    """Every finding on the mould and its drying.

    Args:
        plan: With [mould].
        design: The mould.
        state: Of its drying; None for sand.
        shown: The builder's units.
    """
    section = plan.mould
    if section is None:
        return ()
    findings = check_mould(
        design,
        oven=section.oven,
        accepted=section.accept_bound_water is not None,
        accept_line=f'accept_bound_water = "{ACCEPT_BOUND_WATER}"',
        foundry_from=section.foundry_from,
        sand_kind=section.sand_kind,
        sand_moisture=section.sand_moisture,
        cured=section.cured_at is not None and section.cured_for is not None,
        ways=_ways(plan, section),
        shown=shown,
    )
    return findings if state is None else findings + check_drying(state, shown=shown)
