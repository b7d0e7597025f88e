"""The lines of the hung mass: lead less its cuts, each fastening with what goes with it, fillings, skin.

One function a kind of fastening: what it takes from the lead, and what it puts back.
"""

from __future__ import annotations

import math
from collections.abc import Iterator

from bulbcast.bulb.body.columns import Axis
from bulbcast.bulb.body.integrals import BodySurface, BodyVolume, parallel_volume
from bulbcast.bulb.body.pieces import Piece, cylinder_piece
from bulbcast.bulb.cuts.fittings import PinCut, StudCut
from bulbcast.bulb.cuts.parts import Cuts, ScrewCut, ScrewSpace
from bulbcast.bulb.hung.fitting_lines import fitting_lines
from bulbcast.bulb.hung.ledger_line import LedgerLine as LedgerLine
from bulbcast.bulb.hung.wish import BulbWish, ScrewWish

_NOTHING = Piece()


def ledger_lines(
    wish: BulbWish,
    axis: Axis,
    volume: BodyVolume,
    surface: BodySurface,
    cuts: Cuts,
    screw_cuts: tuple[ScrewCut, ...],
    through_skin: Piece,
    pin_cuts: tuple[PinCut, ...] = (),
    stud_cuts: tuple[StudCut, ...] = (),
    bond: Piece = _NOTHING,
) -> tuple[LedgerLine, ...]:
    """Everything that hangs, line by line.

    Args:
        wish: Fin, screws, fillings and densities.
        axis: Direction of the cuts and level of the pocket floor.
        volume: Of the lead body.
        surface: Of the lead body.
        cuts: What is cut from it.
        screw_cuts: One each, in order.
        through_skin: The fin's own section through the skin.
        pin_cuts: One for each cross pin, in order.
        stud_cuts: One for each stud or tube, in order.
        bond: The filler between two halves.

    Returns:
        The lines, lead first; their masses add up to the hung mass.
    """
    filler = wish.filler_density
    lines = _lead_lines(wish.cast_density, volume, cuts)
    for number, (screw, cut, space) in enumerate(
        zip(wish.screws, screw_cuts, cuts.screws, strict=True), start=1
    ):
        lines += _screw_lines(number, screw, axis, cut, space, filler)
    lines += fitting_lines(wish, axis, cuts, pin_cuts, stud_cuts, bond)
    lines.append(
        LedgerLine(name="bedding of the fin", kind="bedding", piece=cuts.pocket_bedding, density=filler)
    )
    body = Piece(volume=volume.volume, moment_x=volume.moment_x)
    grown = parallel_volume(volume, surface, wish.skin)
    skin = Piece(volume=grown.volume, moment_x=grown.moment_x) - body - through_skin
    lines.append(LedgerLine(name="skin", kind="skin", piece=skin, density=filler))
    return tuple(lines)


def _lead_lines(lead: float, volume: BodyVolume, cuts: Cuts) -> list[LedgerLine]:
    """The body, and what each cut takes from it; what two cuts share is given back once."""
    body = Piece(volume=volume.volume, moment_x=volume.moment_x)
    taken = [("pocket", cuts.pocket)]
    for number, space in enumerate(cuts.screws, start=1):
        taken += [(f"hole of screw {number}", space.hole), (f"recess of screw {number}", space.recess)]
    taken += [(f"hole of cross pin {number}", pin.hole) for number, pin in enumerate(cuts.pins, start=1)]
    taken += [
        (f"lead displaced by stud {number}", stud.hole) for number, stud in enumerate(cuts.studs, start=1)
    ]
    counted = _NOTHING
    for _, piece in taken:
        counted = counted + piece
    overlap = counted - cuts.removed
    shared = overlap.volume > 1e-9 * volume.volume
    lines = [LedgerLine(name="lead body", kind="lead", piece=body, density=lead)]
    lines += [
        LedgerLine(name=name, kind="lead", piece=_NOTHING - piece, density=lead) for name, piece in taken
    ]
    if shared:
        lines.append(LedgerLine(name="cuts that share lead", kind="lead", piece=overlap, density=lead))
    else:
        # Rounding between the parts and their sum, none where the cuts are clear of each other.
        pocket = _NOTHING - cuts.pocket + overlap
        lines[1] = LedgerLine(name="pocket", kind="lead", piece=pocket, density=lead)
    return lines


def _screw_lines(
    number: int, screw: ScrewWish, axis: Axis, cut: ScrewCut, space: ScrewSpace, filler: float
) -> Iterator[LedgerLine]:
    """A screw, its washer, and what fills its recess and the gap round its shank."""
    name = f"screw {number}"
    yield LedgerLine(
        name=name, kind="screw", piece=_screw_piece(axis, screw, cut, space.seat), density=screw.density
    )
    if screw.washer is not None:
        ring = _ring_piece(axis, cut, space.seat)
        yield LedgerLine(name=f"washer of {name}", kind="washer", piece=ring, density=screw.washer.density)
    yield LedgerLine(name=f"plug of {name}", kind="plug", piece=space.plug, density=filler)
    yield LedgerLine(name=f"bedding of {name}", kind="bedding", piece=space.bedding, density=filler)


def _ring_piece(axis: Axis, cut: ScrewCut, seat: float) -> Piece:
    """A whole washer on its seat; where it misses the lead it is reckoned at the floor."""
    if cut.washer is None:
        return _NOTHING
    place = 0.0 if math.isnan(seat) else seat
    disc, hole = (
        cylinder_piece(
            at_x=cut.at_x,
            floor=axis.floor,
            rake=axis.rake,
            radius=0.5 * across,
            low=cut.under_head(place),
            high=place,
        )
        for across in (cut.washer.diameter, cut.washer.hole_diameter)
    )
    return disc - hole


def _screw_piece(axis: Axis, screw: ScrewWish, cut: ScrewCut, seat: float) -> Piece:
    """A whole screw at its seat; where it misses the lead it is reckoned at the floor."""
    place = cut.under_head(0.0 if math.isnan(seat) else seat)
    head = screw.head_volume
    shank = screw.shank_volume
    volume = head + shank
    along = (head * (place - 0.5 * screw.head_height) + shank * (place + 0.5 * screw.length)) / volume
    return Piece(
        volume=volume,
        moment_x=volume * (cut.at_x - along * math.sin(axis.rake)),
        moment_z=volume * (axis.floor + along * math.cos(axis.rake)),
    )
