"""Results of the pattern shop: the plan of the pieces, bed and frame, and the measured pieces."""

from __future__ import annotations

import math
from typing import Literal

from bulbcast.materials.patterns import PatternMaterial
from bulbcast.pattern.outline import PatternOutline
from bulbcast.pattern_shop.frame.frame import MouldFrame
from bulbcast.pattern_shop.pieces.cores import CorePlan, ThinPlace
from bulbcast.pattern_shop.pieces.draw import Draw
from bulbcast.pattern_shop.pieces.joints import CutSpan, Joints, Plane, stretches
from bulbcast.pattern_shop.pieces.parting import Dowel, Register
from bulbcast.pattern_shop.printer.bed import Bed
from bulbcast.pattern_shop.printer.packing import Place
from bulbcast.pattern_shop.printer.softening import HeatEvent
from bulbcast.plan.pattern_sections import PrinterSection
from bulbcast.plan.sections import DefaultTaken
from bulbcast.quantities.frozen import frozen


@frozen
class PieceFigures:
    """Figures of one piece, measured on its solid.

    Attributes:
        name: Name of the piece, "upper-1" for example.
        file: Name of its STL file.
        half: "upper", "lower", "starboard", "port", or "" if the pattern is not parted.
        number: Its number, counted from 1 at the nose. [-]
        start: x of its forward end, bulb axes. [m]
        end: x of its aft end, bulb axes. [m]
        volume: Volume of the piece. [m3]
        area: Area of its whole surface. [m2]
        size: Length, width and height of the box round it on the bed. [m]
        angle: Angle on the bed, measured from its lengthwise direction. [rad]
        aft_face_down: Whether the aft end of a standing piece is down.
        place: Its position on the bed; None without [printer].
        material_volume: Volume of printed material; None without [printer]. [m3]
        mass: Mass of printed material; None without [printer]. [kg]
    """

    name: str
    file: str
    half: str
    number: int
    start: float
    end: float
    volume: float
    area: float
    size: tuple[float, float, float]
    angle: float
    aft_face_down: bool
    place: Place | None
    material_volume: float | None
    mass: float | None


@frozen
class DrawRow:
    """How one solid draws in one direction: the solid, the direction and the result.

    `counts` is False if the result is reported only for comparison.
    """

    solid: str
    pull: str
    draw: Draw
    counts: bool


@frozen
class Measured:
    """Measurements of the cut solids.

    Attributes:
        pieces: The pieces of each half in turn, in order from the nose.
        pattern_volume: Volume of the solid in pattern.stl. [m3]
        lines: The ledger from that volume to the sum of the pieces. [m3]
        pieces_volume: Volume of all pieces. [m3]
        whole_volume: Volume of the pattern with its prints, unparted. [m3]
        draws: How the halves and the unparted pattern draw.
    """

    pieces: tuple[PieceFigures, ...]
    pattern_volume: float
    lines: tuple[tuple[str, float], ...]
    pieces_volume: float
    whole_volume: float
    draws: tuple[DrawRow, ...]

    @property
    def ledger_gap(self) -> float:
        """Volume of all pieces, minus the pattern's volume and the ledger's lines, as a fraction of the pattern's
        volume. [-]"""
        expected = self.pattern_volume + sum(volume for _, volume in self.lines)
        return (self.pieces_volume - expected) / self.pattern_volume


@frozen
class PatternShop:
    """The pattern shop's plan for one pattern.

    Attributes:
        plane: Parting plane of the pattern.
        plane_why: Reason for that plane; "" if the plan gives the plane.
        offset: Distance of the plane from the axis. [m]
        register: Method of locating the halves.
        dowel: Diameter of a dowel. [m]
        fit: Play on the diameter. [m]
        draft: Draft required. [rad]
        outline: Outline of the pattern.
        cuts: Stretches of the axis occupied by the pocket and holes.
        cores: Cored cavities.
        joints: Joints across the axis.
        pins: Dowels and keys, starting with those across the parting.
        thin: Thin points, the thinnest first.
        printer: The plan's [printer]; None without it.
        bed: Bed within its margins; None without [printer].
        material: Material of the print; None without [printer].
        heat: Occasions on which the pattern gets warm.
        drying: Drying method of the mould, if the plan gives one.
        frame: The mould frame; None without [frame].
        defaults: Defaults chosen here.
        fits_in: Number of pieces and printing position that would fit, if those in the plan do not.
        measured: Measurements of the solids; None until they are cut.
    """

    plane: Plane
    plane_why: str
    offset: float
    register: Register
    dowel: float
    fit: float
    draft: float
    outline: PatternOutline
    cuts: tuple[CutSpan, ...]
    cores: tuple[CorePlan, ...]
    joints: Joints
    pins: tuple[Dowel, ...]
    thin: tuple[ThinPlace, ...]
    printer: PrinterSection | None
    bed: Bed | None
    material: PatternMaterial | None
    heat: tuple[HeatEvent, ...]
    drying: str | None
    frame: MouldFrame | None
    defaults: tuple[DefaultTaken, ...]
    fits_in: Joints | None
    measured: Measured | None

    @property
    def mould_plane(self) -> Literal["horizontal", "vertical"]:
        """Parting plane of the mould; horizontal for a pattern in one piece, which is bedded in to half its depth."""
        return "horizontal" if self.plane == "none" else self.plane

    @property
    def half_along_pull(self) -> float:
        """Half width or half height of the pattern, whichever is in the direction of pull. [m]"""
        outline = self.outline
        return float((outline.half_width if self.plane == "vertical" else outline.half_height).max())

    @property
    def misses(self) -> bool:
        """Whether the parting plane misses the pattern."""
        return self.plane != "none" and abs(self.offset) >= self.half_along_pull

    @property
    def stretches(self) -> tuple[tuple[float, float], ...]:
        """Both ends of each stretch between joints, bulb axes. [m]"""
        return stretches(self.outline, self.joints.places)


def angle_words(radians: float) -> str:
    """An angle rounded to a tenth of a degree, in words."""
    return f"{math.degrees(radians):.1f} deg".replace(".0 deg", " deg")
