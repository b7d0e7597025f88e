"""Ledger lines of what fastens a bulb besides screws: cross pins, studs and tubes, the bond of two halves."""

from __future__ import annotations

from bulbcast.bulb.body.columns import Axis
from bulbcast.bulb.body.pieces import Piece
from bulbcast.bulb.cuts.fittings import PinCut, StudCut, pin_piece, stud_pieces
from bulbcast.bulb.cuts.union import Cuts
from bulbcast.bulb.hung.ledger_line import LedgerLine
from bulbcast.bulb.hung.wish import BulbWish


def fitting_lines(
    wish: BulbWish, axis: Axis, cuts: Cuts, pins: tuple[PinCut, ...], studs: tuple[StudCut, ...], bond: Piece
) -> list[LedgerLine]:
    """Pins and studs whole, what fills the room beside them, and the bond of two halves.

    Args:
        wish: Densities, in the order of the cuts.
        axis: Direction of the fin and level of the pocket floor.
        cuts: Of the body.
        pins: As cut.
        studs: As cast in.
        bond: The filler between two halves.
    """
    filler = wish.filler_density
    lines = []
    for number, (pin, cut, space) in enumerate(zip(wish.pins, pins, cuts.pins, strict=True), start=1):
        lines.append(_line(f"cross pin {number}", "pin", pin_piece(axis, cut), pin.density))
        lines.append(_line(f"plugs of cross pin {number}", "plug", space.plug, filler))
        lines.append(_line(f"bedding of cross pin {number}", "bedding", space.bedding, filler))
    for number, (stud, placed) in enumerate(zip(wish.studs, studs, strict=True), start=1):
        metal, bore = stud_pieces(axis, placed)
        lines.append(_line(f"stud {number}", "stud", metal, stud.density))
        if placed.bore > 0.0:
            lines.append(_line(f"filling of stud {number}", "stud", bore, stud.fill_density))
    if bond.volume > 0.0:
        lines.append(_line("bond between the halves", "bedding", bond, filler))
    return lines


def _line(name: str, kind: str, piece: Piece, density: float) -> LedgerLine:
    return LedgerLine(name=name, kind=kind, piece=piece, density=density)
