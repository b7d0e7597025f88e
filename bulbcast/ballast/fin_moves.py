"""Moving the fin as one way to level her: moved whole, or raked about its root, with the values to type.

Both are tried with the whole fin, its mass and water included, and a new bulb sized under it, until she is level with
the figures as typed. Rounding goes outwards: a fin moved slightly too far lets the bulb slide back on it.
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
"""Largest rake tried: more would be a different fin. Judgement. [rad]"""
_STEP_OF_ANGLE = math.radians(0.1)


@frozen
class FinMove:
    """A fin that levels her, in place of one that does not.

    Attributes:
        by: How far the tip moves, aft is positive. [m]
        tip_x: Place of the tip's leading edge. [m]
        root_x: Place of the root's leading edge; None where it stays and the fin is raked. [m]
        rake: Rake of the fin's axis at the tip; None where it stays and the fin is moved whole. [rad]
    """

    by: float
    tip_x: float
    root_x: float | None
    rake: float | None

    def plan(self, plan: Plan) -> Plan:
        """The plan with this fin.

        Args:
            plan: The plan with the fin before.
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
    """How far the fin has to be moved, or raked, to level her.

    Args:
        plan: With the whole fin.
        reach: The reach with its shortfall.
        raked: Whether the root stays and the tip swings.
        sized: Gives the bulb of another plan; None where there is none.

    Returns:
        The fin; None where it does not level her, or needs more rake than `MOST_RAKED`.
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
        # The shortfall by the bulb alone; the fin's own weight and water move too, which the next round corrects.
        by = move.by + found.short
    return None


def _typed(plan: Plan, by: float, way: float, *, raked: bool) -> FinMove | None:
    """The move rounded outwards as it is typed; None where it is too much rake, or no move in the direction required."""
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
    """A place as it is read once typed, rounded in the direction of the move. [m]"""
    step = 0.0254 / 32.0 if shown.units == "imperial" else 1e-3 if abs(x) >= 1.99 else 1e-4
    whole = math.ceil(x / step - 1e-6) if way > 0.0 else math.floor(x / step + 1e-6)
    return read_quantity(shown.length(whole * step), Dimension.LENGTH)
