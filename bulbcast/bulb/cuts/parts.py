"""Cuts in a lead body as plain values: the pocket, the screws, the lead that each removes, and the total."""

from __future__ import annotations

import math

from bulbcast.bulb.body.pieces import Piece
from bulbcast.bulb.cuts.fittings import PinSpace, StudSpace
from bulbcast.bulb.cuts.washer import Washer
from bulbcast.fin.tip_section import FinTip
from bulbcast.quantities.frozen import field, frozen


@frozen
class PocketCut:
    """The pocket: the section of the fin's tip grown by the clearance, from the floor upwards.

    Attributes:
        tip: The fin's tip.
        clearance: Horizontal clearance on each side. [m]
        leading_edge_x: x of the tip's leading edge at the floor, bulb axes. [m]
    """

    tip: FinTip
    clearance: float
    leading_edge_x: float


@frozen
class ScrewCut:
    """One screw with its hole and recess, along the raked axis.

    Attributes:
        at_x: x at which its axis crosses the pocket floor, measured aft of the tip's leading edge for a screw as typed,
            and in bulb axes once it is cut. [m]
        diameter: Diameter of the shank. [m]
        hole_diameter: Diameter of the clearance hole, from the head's seat to the pocket floor. [m]
        head_diameter: Diameter of the head, and of its recess unless a washer is wider. [m]
        head_height: [m]
        recess: Depth along the screw from the underside up to the seat on the lead. [m]
        length: Length under the head. [m]
        density: [kg/m3]
        washer: The washer between the head and the seat; None if there is none.
    """

    at_x: float
    diameter: float
    hole_diameter: float
    head_diameter: float
    head_height: float
    recess: float
    length: float
    density: float
    washer: Washer | None = None

    @property
    def head_volume(self) -> float:
        """Volume of the head. [m3]"""
        return 0.25 * math.pi * self.head_diameter**2 * self.head_height

    @property
    def shank_volume(self) -> float:
        """Volume of the shank. [m3]"""
        return 0.25 * math.pi * self.diameter**2 * self.length

    @property
    def recess_diameter(self) -> float:
        """Diameter of the recess for the head and the washer. [m]"""
        if self.washer is None:
            return self.head_diameter
        return max(self.head_diameter, self.washer.diameter)

    def under_head(self, seat: float) -> float:
        """Position of the head's underside along the axis, given the position of the seat on the lead; a washer may be
        between the two. [m]"""
        return seat if self.washer is None else seat - self.washer.thickness


@frozen
class ScrewSpace:
    """Lead removed by one screw's cuts, and their filling; positions are measured along the axis from the floor.

    Attributes:
        screw: The screw as cut.
        underside: Position at which the axis leaves the lead's underside; nan if it misses the lead. [m]
        seat: Seat of the head or its washer on the lead; nan if the axis misses the lead. [m]
        hole: Clearance hole inside the lead.
        recess: Recess inside the lead.
        plug: Filling of the rest of the recess, below the head and round the head and washer.
        bedding: Filling of the gap round the shank in its hole and in the washer hole.
    """

    screw: ScrewCut
    underside: float
    seat: float
    hole: Piece
    recess: Piece
    plug: Piece
    bedding: Piece


@frozen
class Cuts:
    """Everything cut from one body.

    Attributes:
        pocket: The pocket inside the lead body.
        fin_inside: The fin's own section inside the lead body.
        screws: Cuts for each screw, in the order given.
        pins: Cuts for each cross pin.
        studs: Cuts for each stud or tube cast in.
        removed: Total of all cuts, with overlaps counted once.
        trimmed: The part of the blade trimmed off below the lead, down to its tip; empty if the blade does not go right
            through the bulb.
    """

    pocket: Piece
    fin_inside: Piece
    screws: tuple[ScrewSpace, ...]
    removed: Piece
    pins: tuple[PinSpace, ...] = ()
    studs: tuple[StudSpace, ...] = ()
    trimmed: Piece = field(default_factory=Piece)

    @property
    def pocket_bedding(self) -> Piece:
        """Volume of the gap round the fin's tip in the pocket, inside the lead body."""
        return self.pocket - self.fin_inside
