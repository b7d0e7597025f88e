"""Findings on the thickness of the mould round the pattern, and on the box that it fills."""

from __future__ import annotations

from collections.abc import Iterator

from bulbcast.findings import Finding, Rule, Severity, Step, typed
from bulbcast.foundry.mould.design import LARGE_FROM, MouldDesign
from bulbcast.quantities import Shown
from bulbcast.quantities.typed import length_up

BOX_TOO_SMALL = Rule(
    "box-too-small",
    Severity.HOLD,
    holds=(Step.POUR,),
    why="A mould has to surround the pattern, or the metal runs out at the gap.",
)
BOX_LARGE = Rule(
    "box-large",
    Severity.CAUTION,
    why="A box far larger than its pattern takes far more material to fill, and plaster in it takes weeks to dry.",
)
MOULD_WALL_THIN = Rule(
    "mould-wall-thin",
    Severity.CAUTION,
    why="A thin wall cracks from the heat, and molten lead runs out.",
)

# Minimum wall round the pattern: 25 mm for models, 75 mm for pieces from 40 kg. Common practice, no source.
SMALLEST_WALL, SMALLEST_WALL_LARGE = 0.025, 0.075
BOX_OVER = 3.0
"""A box more than this many times the minimum size for the pattern is probably a mistake. Our judgement. [-]"""
LEAST_WALL = 0.005
"""Minimum wall that the plan accepts; a thinner layer between metal and box cannot contain the metal. [m]"""


def check_walls(design: MouldDesign, shown: Shown) -> Iterator[Finding]:
    """Return the findings on the walls and the box.

    Args:
        design: Mould as planned.
        shown: The builder's units.
    """
    wanted = SMALLEST_WALL_LARGE if design.piece_mass >= LARGE_FROM else SMALLEST_WALL
    section, margins, pattern = design.section, design.margins, design.pattern
    asked = {"wall": margins.sides, "floor": margins.below}
    if design.kind == "closed":
        asked["cover"] = margins.above
    lengths = {leaf: (f"mould.{leaf}", wanted) for leaf in asked}
    thin = min(margins.below, margins.above) if design.kind == "closed" else margins.below
    # Size of box and pattern, the wall left at the thinnest point, and the number of such walls that the box leaves in all.
    boxes = {
        "length": (section.box_length, pattern.length, margins.ends, 2.0),
        "width": (section.box_width, pattern.width, margins.sides, 2.0),
        "height": (section.box_height, pattern.height, thin, (margins.below + margins.above) / thin),
    }
    for leaf, (box, size, thick, times) in boxes.items():
        if box is None:
            continue
        needed = size + times * wanted
        for one in ("floor", "cover") if leaf == "height" else ("wall",):
            asked.pop(one, None)
        if box <= size + times * LEAST_WALL:
            yield BOX_TOO_SMALL(
                f"mould.box_{leaf}",
                f"The coated pattern takes up {shown.length(size)} of the box's inside {leaf} of "
                f"{shown.length(box)}: too little mould is left to contain the metal.",
                f"Use a box of {typed(f'mould.box_{leaf}', length_up(needed, shown))} or more, or remove the key to use "
                "the default size.",
                found=box,
                limit=size + times * LEAST_WALL,
                unit="m",
            )
            continue
        if box > BOX_OVER * needed:
            usual = typed(f"mould.box_{leaf}", length_up(needed, shown))
            yield BOX_LARGE(
                f"mould.box_{leaf}",
                f"The box's inside {leaf} is {shown.length(box)}, but the pattern with the minimum mould thickness "
                f"round it needs only {shown.length(needed)}.",
                f"Check that its unit is the one you meant. Set {usual} or a little more; if your box is larger, "
                "partition it.",
                found=box,
                limit=BOX_OVER * needed,
                unit="m",
            )
        asked[f"box_{leaf}"] = thick
        lengths[f"box_{leaf}"] = (f"mould.box_{leaf}", needed)
    for leaf, thick in asked.items():
        if thick < wanted * (1.0 - 1e-9):
            key, value = lengths[leaf]
            what = (
                f"mould's {leaf}"
                if not leaf.startswith("box_")
                else f"mould thickness left by the box {leaf[4:]}"
            )
            yield MOULD_WALL_THIN(
                key,
                f"The {what} is {shown.length(thick)}; a piece of {shown.mass(design.piece_mass)} needs "
                f"{shown.length(wanted)}, or the mould may crack or the metal may break out.",
                f"Set {typed(key, length_up(value, shown))} or more, and bed the mould in dry sand.",
                found=thick,
                limit=wanted,
                unit="m",
            )
