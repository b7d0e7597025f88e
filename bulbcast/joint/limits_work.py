"""The limits that a plan types in, held against the bulb, with values that would keep to them.

No rule is shipped. Each value is rounded to the side that keeps to the limit, as a builder types it.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from typing import TYPE_CHECKING

from bulbcast.bulb.hung.ledger import HungBulb
from bulbcast.bulb.hung.wish import BulbWish
from bulbcast.plan.keys import limits as range_of
from bulbcast.plan.sections import Plan
from bulbcast.plan.strength_sections import LimitsSection
from bulbcast.quantities import Dimension, Shown, read_quantity

if TYPE_CHECKING:
    from collections.abc import Iterator

SLACK = 1e-9
"""A figure that is solved for keeps to a limit of the same value within this. [-]"""
# Another fineness or section changes pocket, skin and screws a little against the lead.
_MARGIN = 0.003


@dataclass(frozen=True, slots=True, kw_only=True)
class LimitHeld:
    """One limit.

    Attributes:
        name: Of its key in [limits].
        found: [SI]
        limit: [SI]
        unit: "m" or "kg".
        mends: Lines of the plan that would each keep to it, as typed; empty where it is kept, or where none
            could be worked out.
    """

    name: str
    found: float
    limit: float
    unit: str
    mends: tuple[str, ...]

    @property
    def kept(self) -> bool:
        """Whether the limit is kept; equal to it is."""
        return self.found <= self.limit * (1.0 + SLACK)


def limits_held(
    plan: Plan,
    asked: LimitsSection,
    bulb: HungBulb,
    wish: BulbWish,
    fin_mass: float | None,
    shown: Shown,
    *,
    deeper: float = 0.0,
) -> tuple[LimitHeld, ...]:
    """Every limit that the plan types in.

    Args:
        plan: The plan.
        asked: Its [limits].
        bulb: The sized bulb.
        wish: What it was sized for.
        fin_mass: Of the whole fin; None where the plan does not tell it. [kg]
        shown: The builder's units.
        deeper: How much deeper than her design line she floats over the bulb's underside. [m]

    Returns:
        One each, in the order of the keys. Widths and lengths are those over the skin.
    """
    skin = 2.0 * bulb.skin
    across = skin + (wish.fin.bond_line if wish.fin.through else 0.0)
    figures: list[tuple[str, float | None, float | None, str]] = [
        ("draught", deeper - bulb.underside_z, asked.draught, "m"),
        ("bulb_mass", bulb.mass, asked.bulb_mass, "kg"),
        ("fin_with_bulb", None if fin_mass is None else fin_mass + bulb.mass, asked.fin_with_bulb, "kg"),
        ("bulb_width", bulb.body.width + across, asked.bulb_width, "m"),
        ("bulb_length", bulb.body.length + skin, asked.bulb_length, "m"),
    ]
    held = []
    for name, found, limit, unit in figures:
        if found is None or limit is None:
            continue
        one = LimitHeld(name=name, found=found, limit=limit, unit=unit, mends=())
        if not one.kept:
            mends = tuple(_mends(name, found, limit, plan, bulb, wish, fin_mass, shown))
            one = LimitHeld(name=name, found=found, limit=limit, unit=unit, mends=mends)
        held.append(one)
    return tuple(held)


def _mends(
    name: str,
    found: float,
    limit: float,
    plan: Plan,
    bulb: HungBulb,
    wish: BulbWish,
    fin_mass: float | None,
    shown: Shown,
) -> Iterator[str]:
    if name == "draught":
        step = 0.0254 / 32.0 if shown.units == "imperial" else 1e-4
        level = plan.fin.tip_z + (found - limit) + step
        root = plan.fin.root_z
        if root is None or level < root:
            yield _typed("fin.tip_z", level, shown.length, Dimension.LENGTH, step, upwards=True)
        return
    if name in ("bulb_mass", "fin_with_bulb"):
        target = limit - (fin_mass or 0.0 if name == "fin_with_bulb" else 0.0)
        if target >= range_of("bulb.target_mass", Dimension.MASS)[0]:
            yield _typed("bulb.target_mass", target, shown.mass, Dimension.MASS, 1e-4)
        return
    # What is left for the lead between two thicknesses of skin, and a bond between two halves.
    lead = limit - 2.0 * bulb.skin
    if name == "bulb_width" and wish.fin.through:
        lead -= wish.fin.bond_line
    if lead <= 0.0:
        return
    if name == "bulb_width":
        narrower = lead / bulb.body.width
        ratio = bulb.body.width_to_height * narrower**2 * (1.0 - _MARGIN)
        if ratio >= range_of("bulb.width_to_height", None)[0] + 0.01:
            yield f"bulb.width_to_height = {math.floor(100.0 * ratio) / 100.0:.2f}"
        yield from _slimmer(wish, bulb, narrower, shown)
    else:
        yield from _shorter(wish, bulb, lead / bulb.body.length, shown)


def _slimmer(wish: BulbWish, bulb: HungBulb, factor: float, shown: Shown) -> Iterator[str]:
    """The dimension that the plan gives, changed so that the same lead has so much less diameter."""
    diameter = bulb.body.diameter * factor * (1.0 - _MARGIN)
    if wish.given == "fineness":
        fineness = math.ceil(100.0 * wish.value / factor**3 * (1.0 + 3.0 * _MARGIN)) / 100.0
        if fineness <= range_of("bulb.fineness", None)[1]:
            yield f"bulb.fineness = {fineness:.2f}"
    elif wish.given == "diameter":
        yield _typed("bulb.diameter", diameter, shown.length, Dimension.LENGTH, 1e-4)
    else:
        length = wish.value / factor**2 * (1.0 + 2.0 * _MARGIN)
        yield _typed("bulb.length", length, shown.length, Dimension.LENGTH, 1e-4, upwards=True)


def _shorter(wish: BulbWish, bulb: HungBulb, factor: float, shown: Shown) -> Iterator[str]:
    """Likewise for so much less length."""
    if wish.given == "fineness":
        fineness = math.floor(100.0 * wish.value * factor**1.5 * (1.0 - 1.5 * _MARGIN)) / 100.0
        if fineness >= range_of("bulb.fineness", None)[0]:
            yield f"bulb.fineness = {fineness:.2f}"
    elif wish.given == "length":
        yield _typed("bulb.length", bulb.body.length * factor, shown.length, Dimension.LENGTH, 1e-4)
    else:
        diameter = wish.value / math.sqrt(factor) * (1.0 + _MARGIN)
        yield _typed("bulb.diameter", diameter, shown.length, Dimension.LENGTH, 1e-4, upwards=True)


def _typed(
    key: str,
    value: float,
    write: Callable[[float], str],
    dimension: Dimension,
    step: float,
    *,
    upwards: bool = False,
) -> str:
    """A line of the plan whose value, read again as it is shown, lies at `value` or on its safe side."""
    text = write(value)
    for number in range(1, 40):
        read = read_quantity(text, dimension)
        if (read >= value) if upwards else (read <= value):
            break
        text = write(value + number * step if upwards else value - number * step)
    return f'{key} = "{text}"'
