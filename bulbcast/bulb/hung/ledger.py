"""The hung-mass ledger: everything that the fin carries, line by line, for one body in one position."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

import numpy as np

from bulbcast.bulb.body.attitude import Attitude, attitude_under_fin, lowest_point
from bulbcast.bulb.body.columns import piece_of_columns, through
from bulbcast.bulb.body.integrals import BodySurface, BodyVolume, body_surface, body_volume, parallel_volume
from bulbcast.bulb.body.pieces import Axis, Piece
from bulbcast.bulb.body.turned import TurnedBody
from bulbcast.bulb.cuts.fittings import PinCut, StudCut
from bulbcast.bulb.cuts.layers import outline_through_layer
from bulbcast.bulb.cuts.parts import Cuts, PocketCut, ScrewCut
from bulbcast.bulb.cuts.union import FinNodes, cuts_of
from bulbcast.bulb.hung.ledger_lines import LedgerLine, ledger_lines, with_drilled
from bulbcast.bulb.hung.wish import BulbWish
from bulbcast.fin.tip_section import pocket_span
from bulbcast.solids.quadrature import gauss_on_panels

_ROUNDS = 30


@dataclass(frozen=True, slots=True, kw_only=True)
class HungBulb:
    """One body in one position, with everything that hangs with it. Bulb axes, unless stated otherwise.

    Attributes:
        body: The finished lead body before the pocket and holes are cut.
        nose_x: x of the nose, boat axes. [m]
        axis_z: Height of the body's axis at the nose, boat axes. [m]
        incidence: Angle of the body's axis to the waterline, nose up positive. [rad]
        axis: Direction of the cuts and height of the pocket floor.
        pocket: The pocket in this body.
        bond: Filler between two halves, outside the pocket.
        widened: Extra filler in the pocket, which the bond makes wider.
        volume: Volume of the body.
        surface: Surface integrals of the body.
        cuts: The cuts in the body.
        fin_through_skin: Part of the fin within the skin.
        skin: Thickness of fairing and paint. [m]
        lines: The ledger.
        mass: Hung mass, the sum of the lines. [kg]
        mass_centre_x: Distance from the nose. [m]
        mass_centre_z: Height of the mass centre above the axis. [m]
    """

    body: TurnedBody
    nose_x: float
    axis_z: float
    incidence: float
    axis: Axis
    pocket: PocketCut
    bond: Piece
    widened: Piece
    volume: BodyVolume
    surface: BodySurface
    cuts: Cuts
    fin_through_skin: Piece
    skin: float
    lines: tuple[LedgerLine, ...]
    mass: float
    mass_centre_x: float
    mass_centre_z: float

    @property
    def screw_cuts(self) -> tuple[ScrewCut, ...]:
        """All screws as cut, in order."""
        return tuple(space.screw for space in self.cuts.screws)

    @property
    def pin_cuts(self) -> tuple[PinCut, ...]:
        """All cross pins as cut, in order."""
        return tuple(space.pin for space in self.cuts.pins)

    @property
    def fin_pins(self) -> tuple[PinCut, ...]:
        """The cross pins that pass through the fin; the others only hold two halves together."""
        return tuple(space.pin for space in self.cuts.pins if space.off_pocket < 0.0)

    @property
    def stud_cuts(self) -> tuple[StudCut, ...]:
        """All cast-in studs and tubes, in order."""
        return tuple(space.stud for space in self.cuts.studs)

    @property
    def through(self) -> bool:
        """Whether the fin's blade goes right through, so that the bulb is cast in two halves."""
        return self.axis.floor <= -0.5 * self.body.height

    @property
    def pocket_depth(self) -> float:
        """Depth from the crown down to the pocket floor, or to the underside for a blade that goes through. [m]"""
        return 0.5 * self.body.height - self.axis.floor

    @property
    def net_lead(self) -> Piece:
        """Volume and moments of the lead left after the pocket, holes and recesses are cut."""
        return Piece(volume=self.volume.volume, moment_x=self.volume.moment_x) - self.cuts.removed

    @property
    def displacement(self) -> float:
        """Volume of water displaced by the body and skin outside the fin's volume. [m3]"""
        return self.displaced.volume

    @property
    def displaced(self) -> Piece:
        """Volume and moments of the water displaced by the body and skin, without the part of the fin inside them.
        Bulb axes."""
        envelope = parallel_volume(self.volume, self.surface, self.skin)
        whole = Piece(volume=envelope.volume, moment_x=envelope.moment_x)
        # The boat counts the whole fin down to its horizontal tip, so what is trimmed off below the lead is subtracted here.
        return (
            whole
            + self.bond
            + self.widened
            - self.cuts.fin_inside
            - self.fin_through_skin
            - self.cuts.trimmed
        )

    @property
    def attitude(self) -> Attitude:
        """Attitude of the bulb axes in the boat axes."""
        return Attitude(nose_x=self.nose_x, nose_z=self.axis_z, incidence=self.incidence)

    @property
    def mass_centre(self) -> tuple[float, float]:
        """x and z of the mass centre, boat axes. [m]"""
        place = (self.mass_centre_x, self.mass_centre_z)
        return self.attitude.boat_x(*place), self.attitude.boat_z(*place)

    @property
    def displaced_centre(self) -> tuple[float, float]:
        """x and z of the centre of the displaced water, boat axes. [m]"""
        water = self.displaced
        place = (water.moment_x / water.volume, water.moment_z / water.volume)
        return self.attitude.boat_x(*place), self.attitude.boat_z(*place)

    @property
    def underside_z(self) -> float:
        """z of the lowest point of the hung bulb, skin included, boat axes. [m]"""
        # A parallel surface reaches further in every direction by its distance.
        return self.axis_z - lowest_point(self.body, self.incidence)[1] - self.skin

    @property
    def underside_x(self) -> float:
        """x of the lowest point of the hung bulb, boat axes. [m]"""
        along, depth = lowest_point(self.body, self.incidence)
        half = (depth - along * math.sin(self.incidence)) / math.cos(self.incidence)
        # The skin over that point is straight below it.
        return self.attitude.boat_x(along, -half)


def hang(
    body: TurnedBody, nose_x: float, wish: BulbWish, nodes: FinNodes, volume: BodyVolume | None = None
) -> HungBulb:
    """Hang one body in one position under the fin and add up the mass.

    Args:
        body: The finished lead body.
        nose_x: x of the nose, boat axes. [m]
        wish: The wish, which gives the fin, screws, fillings and densities.
        nodes: Nodes of the fin's section, from `fin_nodes`.
        volume: Volume of the body, if it is already known.

    Returns:
        The bulb with its ledger; the mass and mass centre are those of everything that hangs on the fin.
    """
    fin = wish.fin
    # A blade that goes right through ends at the height of the underside.
    depth = body.height if fin.through else fin.pocket_depth
    floor = 0.5 * body.height - depth if fin.slot_depth is None else _slot_floor(body, nose_x, wish)
    # The rake is that of the fin in the boat; the bulb's axis also leans by the incidence.
    axis = Axis(rake=fin.rake + wish.incidence, floor=floor)
    attitude, lead = attitude_under_fin(
        leading_edge_x=fin.leading_edge_x,
        tip_z=fin.tip_z,
        nose_x=nose_x,
        floor=axis.floor,
        incidence=wish.incidence,
    )
    pocket = PocketCut(tip=fin.tip, clearance=fin.clearance, leading_edge_x=lead)
    screws = tuple(replace(screw, at_x=lead + screw.at_x) for screw in wish.screws)
    pins = tuple(replace(pin, at_x=lead + pin.at_x) for pin in wish.pins)
    studs = tuple(replace(stud, at_x=lead + stud.at_x) for stud in wish.studs)
    volume = body_volume(body) if volume is None else volume
    surface = body_surface(body)
    cuts = cuts_of(body, axis, pocket, screws, nodes, pins=pins, studs=studs)
    bond, widened = bond_between(body, axis, pocket, fin.bond_line)
    through_skin = outline_through_layer(body, axis, pocket.leading_edge_x, nodes.thin, wish.skin)
    lines = ledger_lines(wish, axis, volume, surface, cuts, through_skin, (bond, widened))
    lines = with_drilled(lines, wish, 0.5 * body.height)
    mass = math.fsum(line.mass for line in lines)
    return HungBulb(
        body=body,
        nose_x=nose_x,
        axis_z=attitude.nose_z,
        incidence=wish.incidence,
        axis=axis,
        pocket=pocket,
        bond=bond,
        widened=widened,
        volume=volume,
        surface=surface,
        cuts=cuts,
        fin_through_skin=through_skin,
        skin=wish.skin,
        lines=lines,
        mass=mass,
        mass_centre_x=math.fsum(line.density * line.piece.moment_x for line in lines) / mass,
        mass_centre_z=math.fsum(line.density * line.piece.moment_z for line in lines) / mass,
    )


def _slot_floor(body: TurnedBody, nose_x: float, wish: BulbWish) -> float:
    """Height of the slot floor, from its depth below the lead surface at the middle of the slot. [m]"""
    fin, slot = wish.fin, wish.fin.tip.slot
    if slot is None or fin.slot_depth is None:
        raise ValueError("a slot depth was given without a slot")
    floor = 0.5 * body.height - fin.slot_depth
    # One iteration is enough with the bulb horizontal; with its nose up, the height of the floor moves the slot along by a
    # hundredth.
    for _ in range(_ROUNDS):
        _, lead = attitude_under_fin(
            leading_edge_x=fin.leading_edge_x,
            tip_z=fin.tip_z,
            nose_x=nose_x,
            floor=floor,
            incidence=wish.incidence,
        )
        middle = np.array([lead + slot.at + 0.5 * slot.length])
        top = float(body.radius(middle)[0]) / math.sqrt(body.width_to_height)
        before, floor = floor, top - fin.slot_depth
        if abs(floor - before) < 1e-16 or wish.incidence == 0.0:
            break
    return floor


def bond_between(body: TurnedBody, axis: Axis, pocket: PocketCut, thickness: float) -> tuple[Piece, Piece]:
    """Filler between two halves, outside and inside the pocket: the area of the centreplane there, times the filler's
    thickness.

    The halves move apart by that thickness, so no lead is lost and the pocket gets wider by the same amount. The skin
    gained along the edge and the filler displaced by a pin are ignored.

    Args:
        body: The lead body.
        axis: Direction of the fin and height of the pocket floor.
        pocket: The pocket.
        thickness: Thickness of the filler. [m]

    Returns:
        The filler outside the pocket, and the extra filler in it.
    """
    if thickness == 0.0:
        return Piece(), Piece()
    turn, weight = gauss_on_panels(np.linspace(0.0, 2.0 * math.asin(math.sqrt(body.cut)), 9), 12)
    x = body.uncut_length * np.sin(0.5 * turn) ** 2
    r2, _ = body.squared_radius(x)
    height = 2.0 * np.sqrt(np.maximum(r2, 0.0) / body.width_to_height)
    part = weight * 0.5 * body.uncut_length * np.sin(turn) * height
    whole = Piece(volume=float(np.sum(part)), moment_x=float(np.sum(part * x)))
    first, last, _ = pocket_span(pocket.tip, pocket.clearance)
    s, wide = gauss_on_panels(
        tuple(pocket.leading_edge_x + place for place in (first, 0.8 * first + 0.2 * last, last)), 16
    )
    low, high = through(body, axis, s, np.zeros_like(s))
    bottom = np.maximum(low, axis.floor)
    slot = piece_of_columns(axis, s, bottom, np.maximum(high, bottom), wide)

    def filled(area: Piece) -> Piece:
        return Piece(
            volume=thickness * area.volume,
            moment_x=thickness * area.moment_x,
            moment_z=thickness * area.moment_z,
        )

    return filled(whole - slot), filled(slot)
