"""Mould from a plan: its design, the defaults that depend on the piece, and what to type for a different mould."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime

from bulbcast.bulb.hung.ledger import HungBulb
from bulbcast.findings import typed
from bulbcast.foundry.drying.log import DryingLog, DryingRules, DryingState, drying_state
from bulbcast.foundry.mould.design import MouldDesign, part_names
from bulbcast.foundry.mould.usual import mould_round
from bulbcast.pattern.allowances import Pattern
from bulbcast.pattern.cast_body import CastBody
from bulbcast.plan.reading import usual_section
from bulbcast.plan.sections import DefaultTaken, Plan
from bulbcast.quantities import Shown, joined

PRACTICE = "common practice, no source"


def weighed_parts(plan: Plan) -> tuple[str, ...]:
    """List the parts that a drying log may name; none without a plaster mould.

    Args:
        plan: Plan of the casting.
    """
    if plan.mould is None or plan.mould.material != "plaster":
        return ()
    cored = plan.fin.pocket == "cored" or any(screw.hole == "cored" for screw in plan.screws)
    return part_names(plan.mould, cored=cored)


def mould_design(plan: Plan, bulb: HungBulb, cast: CastBody, pattern: Pattern) -> MouldDesign:
    """Design the mould round the coated pattern.

    Args:
        plan: Plan with [mould].
        bulb: Sized bulb.
        cast: Cast body.
        pattern: Pattern of the cast body.

    Raises:
        ValueError: The plan has no mould.
    """
    if plan.mould is None:
        raise ValueError("the plan gives no mould")
    return mould_round(plan.mould, bulb, cast, pattern)


def as_open_halves(plan: Plan) -> tuple[Plan, str] | None:
    """Change the plan so that its bulb is poured as two open halves.

    Args:
        plan: Plan of the casting.

    Returns:
        Changed plan, and what to type under [mould] for it; None if the plan has open halves already. Without [mould],
        the halves are of baked plaster.
    """
    section = plan.mould
    if section is None:
        halves = replace(
            plan, mould=usual_section("mould", material="plaster", drying="baked", kind="open-halves")
        )
        return halves, (
            f"{typed('mould.material', 'plaster')}, {typed('mould.kind', 'open-halves', also=True)} and "
            f"{typed('mould.drying', 'baked', also=True)}"
        )
    if section.kind == "open-halves":
        return None
    out = [
        *(["mould.orientation"] if section.orientation != "lying" else []),
        *(["mould.cover"] if section.cover is not None else []),
    ]
    halves = replace(plan, mould=replace(section, kind="open-halves", orientation="lying", cover=None))
    return halves, typed("mould.kind", "open-halves") + taken_out(out)


def taken_out(keys: list[str]) -> str:
    """Words for removing keys that a typed line makes invalid; "" for none.

    Args:
        keys: Dotted keys.
    """
    return f" and remove {joined([typed(key, None) for key in keys], 'and')}" if keys else ""


def mould_defaults(design: MouldDesign, shown: Shown) -> tuple[DefaultTaken, ...]:
    """List the defaults of [mould] that depend on the piece, each with its source.

    Args:
        design: Mould as planned.
        shown: The builder's units.
    """
    margins = design.margins
    poured = (
        "for halves clamped or glued on either side of the fin"
        if design.pours == 2
        else "poured from the top"
    )
    taken = [
        ("split", design.split, f"{poured}; {PRACTICE}"),
        (
            "wall",
            shown.length(margins.sides),
            f"30 mm for pieces below 10 kg, 40 mm below 40 kg, 85 mm with mesh above; {PRACTICE}",
        ),
        (
            "floor",
            shown.length(margins.below),
            f"1.25 times the wall, since metal can break through a thin floor; {PRACTICE}",
        ),
    ]
    if design.kind == "closed":
        taken.append(("cover", shown.length(margins.above), f"same as the wall; {PRACTICE}"))
    if design.core is not None:
        taken.append(("core", design.core, "on the safe side: a plaster core keeps its bound water"))
    return tuple(
        DefaultTaken(key=f"mould.{leaf}", value=value, source=source)
        for leaf, value, source in taken
        if getattr(design.section, leaf) is None and leaf not in _boxed(design)
    )


def _boxed(design: MouldDesign) -> set[str]:
    """Keys of the plan that are replaced by the dimensions of a box."""
    section = design.section
    high = {"floor", "cover"} if section.box_height is not None else set()
    return high | ({"wall"} if section.box_length is not None and section.box_width is not None else set())


def drying_of(design: MouldDesign, log: DryingLog | None, moment: datetime | None) -> DryingState | None:
    """Judge the state of the mould's parts from the log; None for a sand mould, which is not weighed.

    Args:
        design: Mould as planned.
        log: Drying log next to the plan, or None.
        moment: Time at which to judge; None for that of the last log entry.
    """
    if design.mix is None:
        return None
    rules = DryingRules(
        drying=design.drying,
        mix=design.mix,
        purity_spread=design.section.purity_spread or 0.0,
        scale_spread=design.section.scale_spread or 0.0,
        reinforcement=design.reinforcement,
    )
    return drying_state({part.name: part.just_set for part in design.parts}, rules, log, moment=moment)
