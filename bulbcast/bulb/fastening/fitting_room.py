"""Measurements of the lead and fin material left round cross pins and cast-in studs; nothing is judged here."""

from __future__ import annotations

import math

import numpy as np

from bulbcast.bulb.body.columns import through
from bulbcast.bulb.cuts.fittings import StudCut
from bulbcast.bulb.cuts.parts import PocketCut
from bulbcast.bulb.cuts.walls import Bore, Wall, bore_walls
from bulbcast.bulb.fastening.room import inside_outline
from bulbcast.bulb.hung.ledger import HungBulb
from bulbcast.fin.tip_section import pocket_half
from bulbcast.quantities.frozen import frozen

_SIDEWAYS = math.cos(math.radians(45.0))
_ALONG, _AROUND = 481, 241
Surface = tuple[np.ndarray, np.ndarray, np.ndarray, np.ndarray]


@frozen
class PinRoom:
    """Lead and fin material round one cross pin. Lengths in m.

    Attributes:
        in_fin: Smallest distance between the pin and the tip's leading, trailing and lower edges; negative outside the
            tip.
        off_pocket: Thinnest lead between its hole and the pocket in the centreplane; negative if they meet.
        pocket_half: Half width of the pocket at the pin; 0 if the pin passes clear of it.
        grip: Length of the pin in the lead on each side of the pocket; 0 if there is none.
        proud: Distance by which the pin's ends project from the lead where the lead is narrowest; 0 if they do not
            project.
        wall: Thinnest lead over, under, ahead of or behind its hole; None if the hole misses the lead.
    """

    in_fin: float
    off_pocket: float
    pocket_half: float
    grip: float
    proud: float
    wall: float | None


@frozen
class StudRoom:
    """Lead and fin material round one stud or tube. Lengths in m.

    Attributes:
        wall: Thinnest wall beside its foot; None if its axis misses the lead.
        lead_below: Least thickness of lead under its foot, along the axis; None if its axis misses the lead.
        inside_pocket: Smallest distance from its side to the pocket's outline; negative outside the pocket.
        cheek: Least thickness of fin beside the stud; negative if it leaves the section.
        in_lead: Its length in the lead.
    """

    wall: Wall | None
    lead_below: float | None
    inside_pocket: float
    cheek: float
    in_lead: float


@frozen
class FittingRoom:
    """Lead and fin material round all pins and studs, and the lead between them.

    Attributes:
        pins: Measurements for each pin, in order.
        studs: Measurements for each stud, in order.
        gaps: Names of each pair, and the thickness of lead between the two; negative if they meet. [m]
    """

    pins: tuple[PinRoom, ...]
    studs: tuple[StudRoom, ...]
    gaps: tuple[tuple[str, str, float], ...]


def fitting_room_of(bulb: HungBulb) -> FittingRoom:
    """Measure the lead and fin round every pin and stud of a sized bulb.

    Args:
        bulb: The sized and placed bulb.
    """
    surface = lead_surface(bulb) if bulb.pin_cuts else None
    return FittingRoom(
        pins=tuple(_pin_room(bulb, number, surface) for number in range(len(bulb.pin_cuts)) if surface),
        studs=tuple(_stud_room(bulb, stud) for stud in bulb.stud_cuts),
        gaps=_gaps(bulb),
    )


def _pin_room(bulb: HungBulb, number: int, surface: Surface) -> PinRoom:
    body, pocket, pin = bulb.body, bulb.pocket, bulb.pin_cuts[number]
    centre_x, centre_z = pin.centre(bulb.axis)
    radius, along = 0.5 * pin.diameter, pin.at_x - pocket.leading_edge_x
    half = 0.5 * pin.length
    space = bulb.cuts.pins[number]
    beside = space.off_pocket >= 0.0
    pocket_half = 0.0 if beside else _pocket_half(pocket, along)
    angle = 2.0 * math.pi * np.arange(64) / 64
    k = body.width_to_height
    r2, _ = body.squared_radius(centre_x + radius * np.cos(angle))
    narrow = float(np.min(np.sqrt(np.maximum(k * (r2 - k * (centre_z + radius * np.sin(angle)) ** 2), 0.0))))
    missed = space.half_width == 0.0
    wall = lead_about(surface, (centre_x, centre_z), pocket_half) - 0.5 * pin.hole_diameter
    return PinRoom(
        in_fin=min(along - radius, pocket.tip.chord - along - radius, pin.height - radius),
        off_pocket=space.off_pocket,
        pocket_half=pocket_half,
        grip=max(min(half, space.half_width) - pocket_half, 0.0),
        proud=max(half - narrow, 0.0),
        wall=None if missed else min(wall, space.off_pocket) if beside else wall,
    )


def _pocket_half(pocket: PocketCut, along: float) -> float:
    """Half width of the pocket at a point along the chord; 0 beyond the chord. [m]"""
    return pocket_half(pocket.tip, pocket.clearance, along)


def lead_about(surface: Surface, centre: tuple[float, float], pocket_half: float = 0.0) -> float:
    """Smallest thickness of lead above, below, ahead of or behind the middle of a hole across the bulb. [m]

    Args:
        surface: Surface of the lead, from `lead_surface`.
        centre: x and z of the hole's middle. [m]
        pocket_half: Half width of the pocket there. [m]
    """
    x, y, z, sideways = surface
    # In front of the hole's own mouths, and where the pocket is open, no wall is needed.
    counted = ~sideways & (y >= pocket_half)
    return float(np.min(np.where(counted, np.hypot(x - centre[0], z - centre[1]), math.inf)))


def lead_surface(bulb: HungBulb) -> Surface:
    """Points on the lead's starboard surface, and whether each faces sideways, shape (n,).

    Args:
        bulb: The sized bulb.
    """
    body = bulb.body
    phi = np.linspace(0.0, 2.0 * math.asin(math.sqrt(body.cut)), _ALONG)[:, None]
    angle = np.linspace(-0.5 * math.pi, 0.5 * math.pi, _AROUND)[None, :]
    x = body.uncut_length * np.sin(0.5 * phi) ** 2
    r2, slope = body.squared_radius(x)
    r, a = np.sqrt(np.maximum(r2, 0.0)), math.sqrt(body.width_to_height)
    across, up = r * np.cos(angle), r * np.sin(angle)
    nx, ny, nz = -0.5 * slope + 0.0 * angle, across / a, up * a
    length = np.sqrt(nx * nx + ny * ny + nz * nz)
    sideways = ny > _SIDEWAYS * np.where(length > 0.0, length, 1.0)
    return (x + 0.0 * angle).ravel(), (a * across).ravel(), (up / a).ravel(), sideways.ravel()


def _stud_room(bulb: HungBulb, stud: StudCut) -> StudRoom:
    axis, pocket = bulb.axis, bulb.pocket
    radius, along = 0.5 * stud.diameter, stud.at_x - pocket.leading_edge_x
    sine, cosine = math.sin(axis.rake), math.cos(axis.rake)
    angle = np.linspace(0.0, math.pi, 33)
    a, b = radius * np.cos(angle), radius * np.sin(angle)
    low, high = through(bulb.body, axis, stud.at_x + a / cosine, b)
    hit = low <= high
    foot = axis.floor + a * sine - stud.below * cosine
    inside, cheek = (
        float(inside_outline(pocket, np.array([along]), clearance, np.array([radius]))[0])
        for clearance in (pocket.clearance, 0.0)
    )
    wall, below = None, None
    if np.any(hit):
        bore = Bore(at_x=stud.at_x, radius=radius, low=-stud.below, high=0.0, opens_up=True)
        wall = bore_walls(bulb.body, axis, (bore,))[0]
        below = float(np.min(np.where(hit, foot - low, -stud.below * cosine))) / cosine
    return StudRoom(
        wall=wall,
        lead_below=below,
        inside_pocket=inside,
        cheek=cheek,
        in_lead=stud.below if np.any(hit) else 0.0,
    )


def _gaps(bulb: HungBulb) -> tuple[tuple[str, str, float], ...]:
    """Thickness of lead between cuts, for every pair of cuts that includes a pin or stud. [m]"""
    cosine = math.cos(bulb.axis.rake)
    screws = [
        (f"screw {n}", cut.at_x, 0.5 * max(cut.recess_diameter, cut.hole_diameter))
        for n, cut in enumerate(bulb.screw_cuts, start=1)
    ]
    studs = [(f"stud {n}", cut.at_x, 0.5 * cut.diameter) for n, cut in enumerate(bulb.stud_cuts, start=1)]
    upright = [*screws, *studs]
    reach = {f"stud {n}": cut.below * cosine for n, cut in enumerate(bulb.stud_cuts, start=1)}
    found = [
        (one[0], other[0], abs(one[1] - other[1]) * cosine - one[2] - other[2])
        for i, one in enumerate(upright)
        for other in upright[max(i + 1, len(screws)) :]
    ]
    pins = [
        (f"cross pin {n}", cut.centre(bulb.axis), 0.5 * cut.hole_diameter)
        for n, cut in enumerate(bulb.pin_cuts, start=1)
    ]
    found += [
        (one[0], other[0], math.dist(one[1], other[1]) - one[2] - other[2])
        for i, one in enumerate(pins)
        for other in pins[i + 1 :]
    ]
    # In the fin a pin meets a stud or a screw that stands in its way; below the pocket floor their holes meet.
    for number, pin in enumerate(bulb.pin_cuts, start=1):
        name = f"cross pin {number}"
        if pin.height < 0.5 * pin.hole_diameter:
            found += [
                (name, other, abs(pin.at_x - at) * cosine - 0.5 * pin.hole_diameter - radius)
                for other, at, radius in upright
                if pin.height + 0.5 * pin.hole_diameter > -reach.get(other, math.inf)
            ]
            continue
        found += [
            (name, f"stud {n}", abs(pin.at_x - stud.at_x) * cosine - 0.5 * (pin.diameter + stud.diameter))
            for n, stud in enumerate(bulb.stud_cuts, start=1)
            if pin.height - 0.5 * pin.diameter < stud.above * cosine
        ]
        found += [
            (name, f"screw {n}", abs(pin.at_x - screw.at_x) * cosine - 0.5 * (pin.diameter + screw.diameter))
            for n, screw in enumerate(bulb.screw_cuts, start=1)
        ]
    return tuple(found)
