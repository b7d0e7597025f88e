"""Results for the bulb, once it is sized and placed."""

from __future__ import annotations

from typing import TYPE_CHECKING

from bulbcast.bulb.fastening.room import Room
from bulbcast.bulb.hung.balance import Balance
from bulbcast.bulb.hung.ledger import HungBulb
from bulbcast.bulb.hung.wish import BulbWish
from bulbcast.materials.alloys import CastAlloy
from bulbcast.quantities.frozen import frozen
from bulbcast.report.results import Results

if TYPE_CHECKING:
    # Loaded only where a plan has their section.
    from bulbcast.bulb.fastening.fitting_room import FittingRoom


@frozen
class BulbResults(Results):
    """Results for the sized and placed bulb.

    Attributes:
        alloy: The alloy it is cast from.
        wish: The wish that the bulb's size and position depend on.
        bulb: The sized and placed bulb with its hung-mass ledger.
        balance: Its position under the fin.
        room: Lead and fin material left round the cuts.
        wall_wanted: The wall required. [m]
        fittings: Lead and fin material left round pins, studs and a through-going blade; None if there are none.
        stud_lifts: Net upward force on each stud in the melt. [N]
    """

    alloy: CastAlloy
    wish: BulbWish
    bulb: HungBulb
    balance: Balance
    room: Room
    wall_wanted: float
    fittings: FittingRoom | None = None
    stud_lifts: tuple[float, ...] = ()
