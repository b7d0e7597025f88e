"""Bars that compare the metal on hand with the metal required, and the charge with the pot's fill mark."""

from __future__ import annotations

from typing import Literal

from bulbcast.drawing.layout import NARROW, Layout
from bulbcast.drawing.shapes import Box, Contour, Hatch, Line, Region, Style, Text, View, rectangle
from bulbcast.foundry.results import FoundryResults
from bulbcast.quantities.frozen import frozen

_HIGH = 7.0
Side = Literal["start", "middle", "end"]
Labelled = tuple[float, str]
"""A mass with its label. [kg]"""


@frozen
class _Room:
    """Start, length and spacing of the bars on paper; the names are next to or above them. [mm]"""

    left: float = 34.0
    wide: float = 128.0
    row: float = 19.0
    above: bool = False


def stock_and_pot_view(job: FoundryResults, *, narrow: bool = False) -> View | None:
    """Draw the two bars, each only if the plan gives its figures.

    Args:
        job: The results.
        narrow: Whether to draw it for the narrow screen of a phone.

    Returns:
        The view; None if the plan gives neither scrap nor pot.
    """
    melting, mass = job.melting, job.shown.mass
    if melting is None or (melting.stock is None and melting.pots is None):
        return None
    layout, level = Layout(1.0), 0.0
    room = _Room(left=0.0, wide=NARROW, row=25.0, above=True) if narrow else _Room()
    stock, pot, pots = melting.stock, melting.pot, melting.pots
    if stock is not None:
        available = (stock.available, f"{mass(stock.available)} on hand")
        wanted = (stock.wanted, f"required {mass(stock.wanted)}")
        full = max(stock.available, stock.wanted) * 1.05
        _bar(layout, room, level, "scrap, clean", available, wanted, full, short=stock.short > 0.0)
    if pots is not None and pot is not None:
        level -= 0.0 if stock is None else room.row
        brim = pot.brim
        what = pots.charge if pots.fits else pots.piece_charge
        charge = (what, f"{mass(what)} {'a filling' if pots.fits else 'for one piece'}")
        mark = (pot.usable, f"fill mark {mass(pot.usable)}")
        name = "pot" if pot.number == 1 else f"{pot.number} pots"
        full = max(brim, what * 1.05)
        _bar(
            layout,
            room,
            level,
            name,
            charge,
            mark,
            full,
            short=not pots.fits,
            brim=(brim, f"brim {mass(brim)}"),
        )
    right = room.left + room.wide + (0.0 if narrow else 6.0)
    layout.extend(Box(left=0.0, bottom=level - 0.5 * _HIGH - 6.0, right=right, top=_HIGH + 3.0))
    return layout.view("stock-and-pot-narrow" if narrow else "stock-and-pot", "Metal on hand and in the pot")


def _bar(
    layout: Layout,
    room: _Room,
    level: float,
    name: str,
    amount: Labelled,
    mark: Labelled,
    full: float,
    *,
    short: bool,
    brim: Labelled | None = None,
) -> None:
    half = 0.5 * _HIGH

    def at(value: float) -> float:
        return room.left + room.wide * value / full

    def bar(value: float) -> tuple[Contour, ...]:
        low, high = level - half, level + half
        return (rectangle(room.left, low, at(value), high),)

    def write(
        x: float, z: float, words: str, style: Style = Style.LETTERING, anchor: Side | None = None
    ) -> None:
        side = _side(x, room) if anchor is None else anchor
        layout.text(Text(at=(x, z), text=words, height=layout.letter, anchor=side, style=style))

    if room.above:
        write(room.left, level + half + 7.4, name, Style.HEADING, "start")
    else:
        write(room.left - 3.0, level, name, Style.HEADING, "end")
    hatch = Hatch(spacing=1.3, angle=45.0) if short else None
    layout.add(Region(contours=bar(amount[0]), style=Style.LESS if short else Style.PART_A, hatch=hatch))
    if brim is not None:
        layout.add(Region(contours=bar(brim[0]), style=Style.OUTLINE))
    place = at(mark[0])
    ends = ((place, level - half - 1.5), (place, level + half + 1.5))
    layout.add(Line(start=ends[0], end=ends[1], style=Style.OUTLINE))
    write(place, level + half + 3.4, mark[1])
    under = level - half - 3.0
    write(at(min(amount[0], full)), under, amount[1], Style.SHORT if short else Style.LETTERING)
    if brim is not None and abs(at(brim[0]) - at(amount[0])) > 42.0:
        write(at(brim[0]), under, brim[1], Style.SMALL, "end")


def _side(x: float, room: _Room) -> Side:
    return (
        "end" if x > room.left + 0.8 * room.wide else "start" if x < room.left + 0.2 * room.wide else "middle"
    )
