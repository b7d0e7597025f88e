"""Metal on hand against what is wanted, and the charge in the pot against its mark, as bars."""

from __future__ import annotations

from typing import Literal

from bulbcast.drawing.layout import Layout
from bulbcast.drawing.shapes import Box, Contour, Hatch, Line, Region, Style, Text, View
from bulbcast.foundry.results import FoundryResults

_LEFT, _WIDE, _HIGH, _ROW = 34.0, 136.0, 7.0, 19.0


def stock_and_pot_view(job: FoundryResults) -> View | None:
    """Two bars, each only where the plan tells it.

    Args:
        job: The results.

    Returns:
        The view; None where the plan gives neither scrap nor pot.
    """
    melting = job.melting
    if melting is None or (melting.stock is None and melting.pots is None):
        return None
    shown, layout = job.shown, Layout(1.0)
    level = 0.0
    if melting.stock is not None:
        stock = melting.stock
        _bar(
            layout,
            level,
            "scrap, clean",
            stock.available,
            f"{shown.mass(stock.available)} on hand",
            stock.wanted,
            f"wanted {shown.mass(stock.wanted)}",
            max(stock.available, stock.wanted) * 1.05,
            short=stock.short > 0.0,
        )
    if melting.pots is not None and melting.pot is not None:
        pot, plan = melting.pot, melting.pots
        level -= 0.0 if melting.stock is None else _ROW
        brim = pot.capacity * pot.count
        what = plan.charge if plan.fits else plan.piece_charge
        name = "pot" if pot.count == 1 else f"{pot.count} pots"
        _bar(
            layout,
            level,
            name,
            what,
            f"{shown.mass(what)} a filling" if plan.fits else f"{shown.mass(what)} for one piece",
            pot.usable,
            f"fill mark {shown.mass(pot.usable)}",
            max(brim, what * 1.05),
            short=not plan.fits,
            brim=(brim, f"brim {shown.mass(brim)}"),
        )
    layout.extend(Box(left=0.0, bottom=level - 0.5 * _HIGH - 6.0, right=_LEFT + _WIDE + 6.0, top=_HIGH + 3.0))
    return layout.view("stock-and-pot", "Metal on hand and in the pot")


def _rectangle(left: float, bottom: float, right: float, top: float) -> Contour:
    return ((left, bottom), (right, bottom), (right, top), (left, top))


def _bar(
    layout: Layout,
    level: float,
    name: str,
    amount: float,
    amount_words: str,
    mark: float,
    mark_words: str,
    full: float,
    *,
    short: bool,
    brim: tuple[float, str] | None = None,
) -> None:
    half = 0.5 * _HIGH

    def at(value: float) -> float:
        return _LEFT + _WIDE * value / full

    layout.text(
        Text(at=(_LEFT - 3.0, level), text=name, height=layout.letter, anchor="end", style=Style.HEADING)
    )
    layout.add(
        Region(
            contours=(_rectangle(_LEFT, level - half, at(amount), level + half),),
            style=Style.LESS if short else Style.PART_A,
            hatch=Hatch(spacing=1.3, angle=45.0) if short else None,
        )
    )
    if brim is not None:
        layout.add(
            Region(
                contours=(_rectangle(_LEFT, level - half, at(brim[0]), level + half),), style=Style.OUTLINE
            )
        )
    layout.add(
        Line(start=(at(mark), level - half - 1.5), end=(at(mark), level + half + 1.5), style=Style.OUTLINE)
    )
    layout.text(
        Text(at=(at(mark), level + half + 3.4), text=mark_words, height=layout.letter, anchor=_side(at(mark)))
    )
    under = level - half - 3.0
    layout.text(
        Text(
            at=(at(min(amount, full)), under),
            text=amount_words,
            height=layout.letter,
            anchor=_side(at(amount)),
            style=Style.SHORT if short else Style.LETTERING,
        )
    )
    if brim is not None and abs(at(brim[0]) - at(amount)) > 42.0:
        layout.text(
            Text(at=(at(brim[0]), under), text=brim[1], height=layout.letter, anchor="end", style=Style.SMALL)
        )


def _side(x: float) -> Literal["start", "middle", "end"]:
    return "end" if x > _LEFT + 0.8 * _WIDE else "start" if x < _LEFT + 0.2 * _WIDE else "middle"
