"""Levelling the boat by moving the complete fin or by raking it about its root, with the values to type.

Both methods move the fin's mass and displacement with it. A new bulb is sized each time until the boat is level with
the figures as typed. Values are rounded outwards, because the bulb can slide back on a fin that was moved slightly too
far.
"""

from __future__ import annotations

import math
from collections.abc import Callable

from bulbcast.ballast.for_boat import BulbForBoat
from bulbcast.ballast.levelling import LEVEL
from bulbcast.ballast.reach import Reach
from bulbcast.plan.keys import limits
from bulbcast.plan.sections import Plan
from bulbcast.quantities import Dimension, Shown, read_quantity
from bulbcast.quantities.frozen import frozen, replace

_ROUNDS = 8
MOST_RAKED = math.radians(30.0)
"""Largest rake tried; with more, the fin would no longer be the same design. Judgement. [rad]"""
_STEP_OF_ANGLE = math.radians(0.1)


@frozen
class FinMove:
    """A moved or raked fin that levels the boat.

    Attributes:
        by: Distance that the tip moves, positive aft. [m]
        tip_x: x of the tip's leading edge. [m]
        root_x: x of the root's leading edge; None if the root stays and the fin is raked. [m]
        rake: New rake of the fin's axis at the tip; None if the fin is moved as a whole. [rad]
    """

    by: float
    tip_x: float
    root_x: float | None
    rake: float | None

    def plan(self, plan: Plan) -> Plan:
        """Return a copy of the plan with the fin moved or raked.

        Args:
            plan: Plan with the original fin.
        """
        fin = replace(plan.fin, tip_leading_edge_x=self.tip_x)
        if self.root_x is not None:
            fin = replace(fin, root_leading_edge_x=self.root_x)
        if self.rake is not None:
            fin = replace(fin, rake=self.rake)
        return replace(plan, fin=fin)


def fin_moved(
    plan: Plan, reach: Reach, *, raked: bool, sized: Callable[[Plan], BulbForBoat | None]
) -> FinMove | None:
    """Calculate how far the fin has to be moved or raked to level the boat.

    Args:
        plan: Plan that describes the complete fin.
        reach: Reach of the fin, which falls short.
        raked: Whether the root stays and only the tip swings.
        sized: Function that returns the bulb for a plan, or None if there is none.

    Returns:
        The moved or raked fin; None if the boat cannot be levelled in this way or needs more rake than `MOST_RAKED`.
    """
    fin = plan.fin
    if fin.root_leading_edge_x is None or fin.root_z is None:
        return None
    way = 1.0 if reach.moment > 0.0 else -1.0
    by = reach.wanted_x - reach.placed_x
    for _ in range(_ROUNDS):
        move = _typed(plan, by, way, raked=raked)
        if move is None:
            return None
        found = sized(move.plan(plan))
        if found is None or found.wanted_x is None:
            return None
        if abs(found.short) <= LEVEL:
            return move
        # This is the shortfall of the bulb alone. The fin's own weight and displacement move too, which the next round
        # corrects.
        by = move.by + found.short
    return None


def _typed(plan: Plan, by: float, way: float, *, raked: bool) -> FinMove | None:
    """Return the fin's move, rounded outwards to values that can be typed; None if it needs too much rake or is in the
    wrong direction."""
    fin, shown = plan.fin, Shown(plan.display_units)
    if by * way <= 0.0 or fin.root_leading_edge_x is None or fin.root_z is None:
        return None
    tip_x = _place(fin.tip_leading_edge_x + by, way, shown)
    moved = tip_x - fin.tip_leading_edge_x
    if not raked:
        root_x = _place(fin.root_leading_edge_x + moved, way, shown)
        return FinMove(by=moved, tip_x=tip_x, root_x=root_x, rake=None)
    lean = math.atan(math.tan(fin.rake) + moved / (fin.root_z - fin.tip_z))
    rake = read_quantity(shown.angle(round(lean / _STEP_OF_ANGLE) * _STEP_OF_ANGLE), Dimension.ANGLE)
    _, most = limits("fin.rake", Dimension.ANGLE)
    if abs(rake) > MOST_RAKED or abs(rake + plan.bulb.incidence) > most:
        return None
    return FinMove(by=moved, tip_x=tip_x, root_x=None, rake=rake)


def _place(x: float, way: float, shown: Shown) -> float:
    """Round a position, in the direction of the move, to a value that can be typed in the plan. [m]"""
    step = 0.0254 / 32.0 if shown.units == "imperial" else 1e-3 if abs(x) >= 1.99 else 1e-4
    whole = math.ceil(x / step - 1e-6) if way > 0.0 else math.floor(x / step + 1e-6)
    return read_quantity(shown.length(whole * step), Dimension.LENGTH)
