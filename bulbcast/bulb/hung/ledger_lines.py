"""Lines of the hung mass: lead less its cuts, each fastening with its parts, fillings and skin.

Each kind of fastening has one function, which gives the lead that it removes and the mass that it adds.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from bulbcast.bulb.body.integrals import BodySurface, BodyVolume, parallel_volume
from bulbcast.bulb.body.pieces import Axis, Piece, cylinder_piece
from bulbcast.bulb.cuts.fittings import pin_piece, stud_pieces
from bulbcast.bulb.cuts.parts import Cuts, ScrewCut, ScrewSpace
from bulbcast.bulb.hung.wish import BulbWish

_NOTHING = Piece()
DRILLED = "drilled"
_DRILLED_AT = 0.7
"""Depth below the axis at which lead is drilled out, as a fraction of the half height. It is the depth of the middle
of holes drilled from the underside. Our judgement; the drilling schedule itself is calculated for the real casting."""


@dataclass(frozen=True, slots=True)
class LedgerLine:
    """One line of the hung mass.

    Attributes:
        name: Name of the part, in trade terms.
        kind: "lead", "screw", "washer", "pin", "stud", "plug", "bedding", "drilled" or "skin".
        piece: Volume and moments, which are negative for material removed. [m3], [m4]
        density: [kg/m3]
    """

    name: str
    kind: str
    piece: Piece
    density: float

    @property
    def mass(self) -> float:
        """Mass of the line, negative for material removed. [kg]"""
        return self.density * self.piece.volume


def ledger_lines(
    wish: BulbWish,
    axis: Axis,
    volume: BodyVolume,
    surface: BodySurface,
    cuts: Cuts,
    through_skin: Piece,
    bond: tuple[Piece, Piece],
) -> tuple[LedgerLine, ...]:
    """List everything that hangs, line by line.

    Args:
        wish: The wish, which gives the fillings and densities.
        axis: Direction of the cuts and height of the pocket floor.
        volume: Volume of the lead body.
        surface: Surface integrals of the lead body.
        cuts: The cuts in the lead body.
        through_skin: Part of the fin within the skin.
        bond: The filler between two halves, outside the pocket, and the extra filler in the pocket.

    Returns:
        The lines, lead first; their masses add up to the hung mass.
    """
    filler = wish.filler_density
    body = Piece(volume=volume.volume, moment_x=volume.moment_x)
    lines = _lead_lines(wish.cast_density, body, cuts)
    for number, screw in enumerate(cuts.screws, start=1):
        lines += _screw_lines(f"screw {number}", axis, screw, filler)
    for number, space in enumerate(cuts.pins, start=1):
        name = f"cross pin {number}"
        lines += [
            LedgerLine(name, "pin", pin_piece(axis, space.pin), space.pin.density),
            LedgerLine(f"plugs of {name}", "plug", space.plug, filler),
            LedgerLine(f"bedding of {name}", "bedding", space.bedding, filler),
        ]
    for number, stud in enumerate((space.stud for space in cuts.studs), start=1):
        metal, bore = stud_pieces(axis, stud)
        lines.append(LedgerLine(f"stud {number}", "stud", metal, stud.density))
        if stud.bore > 0.0:
            lines.append(LedgerLine(f"filling of stud {number}", "stud", bore, stud.fill_density))
    between, widened = bond
    if between.volume > 0.0:
        lines.append(LedgerLine("bond between the halves", "bedding", between, filler))
    lines.append(LedgerLine("bedding of the fin", "bedding", cuts.pocket_bedding + widened, filler))
    grown = parallel_volume(volume, surface, wish.skin)
    skin = Piece(volume=grown.volume, moment_x=grown.moment_x) - body - through_skin
    lines.append(LedgerLine("skin", "skin", skin, filler))
    return tuple(lines)


def with_drilled(lines: tuple[LedgerLine, ...], wish: BulbWish, half_height: float) -> tuple[LedgerLine, ...]:
    """Add a line for the lead drilled out of a casting made overweight on purpose, and for the filler that replaces it.

    The lead is removed at the balance point of the rest, so that the mass centre does not move along the bulb.

    Args:
        lines: Lines for everything that hangs on the fin, skin last.
        wish: The bulb that the plan asks for; without an excess the lines are unchanged.
        half_height: Half height of the lead body. [m]
    """
    if wish.excess <= 0.0:
        return lines
    mass = math.fsum(line.mass for line in lines)
    along = math.fsum(line.density * line.piece.moment_x for line in lines) / mass
    net = wish.cast_density - wish.filler_density
    volume = -wish.excess / net
    piece = Piece(volume=volume, moment_x=volume * along, moment_z=-volume * _DRILLED_AT * half_height)
    return (*lines[:-1], LedgerLine("lead drilled out, net of filler", DRILLED, piece, net), lines[-1])


def _lead_lines(lead: float, body: Piece, cuts: Cuts) -> list[LedgerLine]:
    """The body and the lead that each cut removes; lead shared by two cuts is added back once."""
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
    lines = [LedgerLine("lead body", "lead", body, lead)]
    lines += [LedgerLine(name, "lead", _NOTHING - piece, lead) for name, piece in taken]
    if overlap.volume > 1e-9 * body.volume:
        lines.append(LedgerLine("overlap between cuts", "lead", overlap, lead))
    else:
        # If the cuts are clear of each other, the parts differ from their sum only by rounding.
        lines[1] = LedgerLine("pocket", "lead", _NOTHING - cuts.pocket + overlap, lead)
    return lines


def _screw_lines(name: str, axis: Axis, space: ScrewSpace, filler: float) -> Iterator[LedgerLine]:
    """A screw, its washer, and the fillings of its recess and of the gap round its shank."""
    screw = space.screw
    # The whole screw at its seat; if it misses the lead it is placed at the floor.
    seat = 0.0 if math.isnan(space.seat) else space.seat
    yield LedgerLine(name, "screw", _screw_piece(axis, screw, screw.under_head(seat)), screw.density)
    if screw.washer is not None:
        disc, hole = (
            cylinder_piece(
                axis,
                screw.at_x,
                0.5 * across,
                low=screw.under_head(seat),
                high=seat,
            )
            for across in (screw.washer.diameter, screw.washer.hole_diameter)
        )
        yield LedgerLine(f"washer of {name}", "washer", disc - hole, screw.washer.density)
    yield LedgerLine(f"plug of {name}", "plug", space.plug, filler)
    yield LedgerLine(f"bedding of {name}", "bedding", space.bedding, filler)


def _screw_piece(axis: Axis, screw: ScrewCut, under_head: float) -> Piece:
    head, shank = screw.head_volume, screw.shank_volume
    volume = head + shank
    along = (
        head * (under_head - 0.5 * screw.head_height) + shank * (under_head + 0.5 * screw.length)
    ) / volume
    return Piece(
        volume=volume,
        moment_x=volume * (screw.at_x - along * math.sin(axis.rake)),
        moment_z=volume * (axis.floor + along * math.cos(axis.rake)),
    )
