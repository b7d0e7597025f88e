"""Bars that compare the metal on hand with the metal required, and the charge with the pot's fill mark."""

from __future__ import annotations

from typing import Literal

from bulbcast.drawing.layout import Layout
from bulbcast.drawing.shapes import Box, Contour, Hatch, Line, Region, Style, Text, View
from bulbcast.foundry.results import FoundryResults

_LEFT, _WIDE, _HIGH, _ROW = 34.0, 136.0, 7.0, 19.0
Side = Literal["start", "middle", "end"]
Labelled = tuple[float, str]
"""A mass with its label. [kg]"""


def stock_and_pot_view(job: FoundryResults) -> View | None:
    """Draw the two bars, each only if the plan gives its figures.

    Args:
        job: The results.

    Returns:
        The view; None if the plan gives neither scrap nor pot.
    """
    melting, mass = job.melting, job.shown.mass
    if melting is None or (melting.stock is None and melting.pots is None):
        return None
    layout, level = Layout(1.0), 0.0
    stock, pot, pots = melting.stock, melting.pot, melting.pots
    if stock is not None:
        available = (stock.available, f"{mass(stock.available)} on hand")
        wanted = (stock.wanted, f"required {mass(stock.wanted)}")
        full = max(stock.available, stock.wanted) * 1.05
        _bar(layout, level, "scrap, clean", available, wanted, full, short=stock.short > 0.0)
    if pots is not None and pot is not None:
        level -= 0.0 if stock is None else _ROW
        brim = pot.brim
        what = pots.charge if pots.fits else pots.piece_charge
        charge = (what, f"{mass(what)} {'a filling' if pots.fits else 'for one piece'}")
        mark = (pot.usable, f"fill mark {mass(pot.usable)}")
        name = "pot" if pot.number == 1 else f"{pot.number} pots"
        full = max(brim, what * 1.05)
        _bar(layout, level, name, charge, mark, full, short=not pots.fits, brim=(brim, f"brim {mass(brim)}"))
    layout.extend(Box(left=0.0, bottom=level - 0.5 * _HIGH - 6.0, right=_LEFT + _WIDE + 6.0, top=_HIGH + 3.0))
    return layout.view("stock-and-pot", "Metal on hand and in the pot")


def _bar(
    layout: Layout,
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
        return _LEFT + _WIDE * value / full

    def bar(value: float) -> tuple[Contour, ...]:
        low, high = level - half, level + half
        return (((_LEFT, low), (at(value), low), (at(value), high), (_LEFT, high)),)

    def write(
        x: float, z: float, words: str, style: Style = Style.LETTERING, anchor: Side | None = None
    ) -> None:
        side = _side(x) if anchor is None else anchor
        layout.text(Text(at=(x, z), text=words, height=layout.letter, anchor=side, style=style))

    write(_LEFT - 3.0, level, name, Style.HEADING, "end")
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


def _side(x: float) -> Side:
    return "end" if x > _LEFT + 0.8 * _WIDE else "start" if x < _LEFT + 0.2 * _WIDE else "middle"
