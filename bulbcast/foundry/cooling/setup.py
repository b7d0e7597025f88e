"""What is cooled: the cavity, the block round it, the feeder, temperatures; and the cells that stand for them.

Axes of the cavity: x from the nose along the bulb's axis, up as the mould stands when poured. A bulb that lies
is modelled as half a block, cut upright along its axis; one that stands, as a turned body in a round block.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from bulbcast.bulb.body.integrals import parallel_volume
from bulbcast.bulb.hung.ledger import HungBulb
from bulbcast.foundry.cooling.grid import Axis, Grid, even, graded
from bulbcast.foundry.cooling.radial import FreezingCase
from bulbcast.foundry.cooling.scene import CASTING, FEEDER, MOULD, Scene, Side, Stuff, Surface, scene_of

Array = NDArray[np.float64]

Orientation = Literal["lying", "nose-up", "tail-up", "open-half"]

CELLS_LYING, CELLS_STANDING = 12, 28
"""Default cells across the largest section."""
FEEDER_TO_CASTING = 1.2
"""Modulus of the feeder over that of the casting; casting texts."""
FEEDER_YIELD = 0.14
"""Share of an open cylinder's metal that it can give; casting texts, from memory."""
FOOT_IN_FEEDER = 0.6
"""A standing feeder comes down to where the bulb is this share of its diameter, for the way to stay open."""
DEEPEST_FOOT = 0.10
"""But covers no more than this share of the bulb's length. Judgement."""
_GROWTH, _GROWTH_ABOVE = 1.5, 1.2
_OUTLINE = 241


@dataclass(frozen=True, slots=True, kw_only=True)
class Cavity:
    """The hollow that is filled, without feeder.

    Attributes:
        x: From the cavity's nose, rising. [m]
        across: Half size, level and across the axis, as poured. [m]
        up: Half size in the third direction: upright where the bulb lies. [m]
        volume: [m3]
        area: [m2]
        mean_curvature: Of the skin, averaged over it. [1/m]
        scale: Size as poured over size of the cold casting. [-]
        nose: Of the finished bulb, from the cavity's nose. [m]
    """

    x: tuple[float, ...]
    across: tuple[float, ...]
    up: tuple[float, ...]
    volume: float
    area: float
    mean_curvature: float
    scale: float
    nose: float

    @property
    def length(self) -> float:
        """[m]"""
        return self.x[-1]

    @property
    def modulus(self) -> float:
        """Volume over area. [m]"""
        return self.volume / self.area

    @property
    def thickest(self) -> float:
        """Place of the largest section. [m]"""
        return self.x[int(np.argmax(self.across))]

    def halves(self, x: Array) -> tuple[Array, Array]:
        """Half sizes across and up at x, 0 outside, shape of x. [m]"""
        inside = (x >= 0.0) & (x <= self.length)
        across = np.where(inside, np.interp(x, self.x, self.across), 0.0)
        return across, np.where(inside, np.interp(x, self.x, self.up), 0.0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Feeder:
    """An open cylinder on the casting.

    Attributes:
        diameter: [m]
        height: From the casting's skin to the top of the block. [m]
        at: Of its axis from the cavity's nose, where the bulb lies. [m]
    """

    diameter: float
    height: float
    at: float


@dataclass(frozen=True, slots=True, kw_only=True)
class CoolingSetup(FreezingCase):
    """Everything that the simulation is asked for: what is poured into what, and its shape.

    Attributes:
        cavity: What is filled.
        orientation: As poured; "open-half": the lower half, open above, no feeder.
        feeder: None for an open half.
        ends: Mould beyond nose and tail; where the bulb stands, beside it. [m]
        sides: Mould beside it. [m]
        below: Mould under it. [m]
        open_below: Hottest metal when the mould may be opened. [degC]
        cells: Across the largest section.
    """

    cavity: Cavity
    orientation: Orientation
    feeder: Feeder | None
    ends: float
    sides: float
    below: float
    open_below: float
    cells: int

    @property
    def stands(self) -> bool:
        """Whether the bulb's axis is upright."""
        return self.orientation in ("nose-up", "tail-up")

    @property
    def open_half(self) -> bool:
        """Whether half the bulb is poured, open above."""
        return self.orientation == "open-half"


def cavity_of(bulb: HungBulb, *, finish: float, scale: float, on_its_side: bool = False) -> Cavity:
    """The hollow for a cast body, cored cuts taken as solid.

    Args:
        bulb: The sized bulb.
        finish: Parallel layer of the cast body on it. [m]
        scale: Size as poured over size of the cold casting. [-]
        on_its_side: Whether the bulb's width is upright as poured.

    Returns:
        The cavity.
    """
    body, bent = bulb.body, bulb.surface.mean_curvature
    volume = parallel_volume(bulb.volume, bulb.surface, finish).volume
    area = bulb.surface.area + 2.0 * bent * finish
    end = 2.0 * math.asin(math.sqrt(min(body.cut, 1.0)))
    x = body.uncut_length * np.sin(0.5 * np.linspace(0.0, end, _OUTLINE)) ** 2
    r2, _ = body.squared_radius(x)
    root = math.sqrt(body.width_to_height)
    halves = []
    for factor in (root, 1.0 / root):
        half = factor * np.sqrt(np.maximum(r2, 0.0))
        # The layer lies along the normal of the outline in each of the two planes.
        slope = np.gradient(half, x)
        slope[0] = np.inf if half[1] > 0.2 * x[1] else slope[0]
        with np.errstate(invalid="ignore"):
            sine = np.where(
                np.isinf(slope), 1.0, slope / np.sqrt(1.0 + np.where(np.isinf(slope), 0, slope) ** 2)
            )
        grown_x = x - finish * sine
        grown = half + finish * np.sqrt(np.maximum(1.0 - sine**2, 0.0))
        order = np.argsort(grown_x, kind="stable")
        at = np.concatenate(([-finish], grown_x[order], [body.length + finish]))
        size = np.concatenate(([0.0], grown[order], [half[-1] + finish]))
        halves.append((at, size))
    places = np.unique(np.concatenate(([-finish], x, [body.length, body.length + finish])))
    wide, high = (scale * np.interp(places, at, size) for at, size in halves)
    across, up = (high, wide) if on_its_side else (wide, high)
    return Cavity(
        x=tuple((scale * (places + finish)).tolist()),
        across=tuple(across.tolist()),
        up=tuple(up.tolist()),
        volume=scale**3 * volume,
        area=scale**2 * area,
        mean_curvature=bent / area / scale,
        scale=scale,
        nose=scale * finish,
    )


def default_feeder(cavity: Cavity, *, contraction: float) -> Feeder:
    """A feeder by modulus and by what it has to give.

    The modulus is that of the largest section, not of the whole casting: a bulb's thick middle freezes after
    what its volume over its area tells.

    Args:
        cavity: Of the casting.
        contraction: Volume lost from the poured liquid to the solid, of the solid's volume. [-]

    Returns:
        On the thickest section; as high as its volume asks for, and as its own diameter at least.
    """
    # Both are round and long: their moduli are a quarter of their diameters.
    diameter = 2.0 * FEEDER_TO_CASTING * math.sqrt(max(cavity.across) * max(cavity.up))
    share = contraction / FEEDER_YIELD
    volume = cavity.volume * share / (1.0 - min(share, 0.8))
    height = max(volume / (0.25 * math.pi * diameter**2), diameter)
    return Feeder(diameter=diameter, height=height, at=cavity.thickest)


def scene_for(setup: CoolingSetup) -> Scene:
    """Cells and conductances for a setup.

    Args:
        setup: What is cooled.
    """
    side = Surface(film=setup.air.block, metal_film=setup.air.feeder, temperature=setup.surroundings)
    # Standing: both ends and the round; lying: all but the plane of symmetry.
    faces: list[Side] = [(0, 0), (0, 1), (1, 1)] if setup.stands else [(0, 0), (0, 1), (1, 1), (2, 0), (2, 1)]
    return scene_of(
        _standing_grid(setup) if setup.stands else _lying_grid(setup),
        _standing_stuff(setup) if setup.stands else _lying_stuff(setup),
        metal_conductivity=setup.metal.conductivity_solid,
        mould_conductivity=setup.mould.conductivity,
        surfaces=dict.fromkeys(faces, side),
        samples=6 if setup.stands else 4,
    )


def standing_foot(setup: CoolingSetup) -> float:
    """How far from its upper end a standing bulb is covered by the feeder. [m]"""
    cavity, feeder = setup.cavity, setup.feeder
    if feeder is None:
        return 0.0
    radius = np.sqrt(np.array(cavity.across) * np.array(cavity.up))
    from_end = (
        np.array(cavity.x) if setup.orientation == "nose-up" else cavity.length - np.array(cavity.x)[::-1]
    )
    radius = radius if setup.orientation == "nose-up" else radius[::-1]
    wide = np.flatnonzero(radius >= 0.5 * FOOT_IN_FEEDER * feeder.diameter)
    reach = float(from_end[wide[0]]) if len(wide) else cavity.length
    return min(reach, DEEPEST_FOOT * cavity.length)


def _standing_grid(setup: CoolingSetup) -> Grid:
    cavity, feeder = setup.cavity, setup.feeder
    widest = math.sqrt(max(cavity.across) * max(cavity.up))
    metal = max(widest, 0.0 if feeder is None else 0.5 * feeder.diameter)
    cell = 2.0 * widest / setup.cells
    radial = even(0.0, metal, max(2, round(metal / cell)))
    radial += graded(metal, widest + setup.sides, cell, _GROWTH)[1:]
    along = cavity.length / (4 * setup.cells)
    above = 0.0 if feeder is None else feeder.height
    fore, aft = (above, setup.below) if setup.orientation == "nose-up" else (setup.below, above)
    axial = graded(0.0, -fore, along, _GROWTH_ABOVE if fore == above else _GROWTH)[::-1][:-1]
    axial += even(0.0, cavity.length, 4 * setup.cells)
    axial += graded(cavity.length, cavity.length + aft, along, _GROWTH_ABOVE if aft == above else _GROWTH)[1:]
    return Grid(axes=(Axis(faces=tuple(axial)), Axis(faces=tuple(radial), kind="round")))


def _standing_stuff(setup: CoolingSetup) -> Stuff:
    cavity, feeder, foot = setup.cavity, setup.feeder, standing_foot(setup)

    def stuff(x: Array, r: Array) -> NDArray[np.int8]:
        across, up = cavity.halves(x)
        inside = r**2 < across * up
        if feeder is None:
            return np.where(inside, CASTING, MOULD).astype(np.int8)
        near = x < foot if setup.orientation == "nose-up" else x > cavity.length - foot
        fed = near & (r < 0.5 * feeder.diameter)
        return np.where(inside, CASTING, np.where(fed, FEEDER, MOULD)).astype(np.int8)

    return stuff


def _lying_grid(setup: CoolingSetup) -> Grid:
    cavity, feeder, half = setup.cavity, setup.feeder, setup.cells // 2
    wide, high = max(cavity.across), max(cavity.up)
    metal = max(wide, 0.0 if feeder is None else 0.5 * feeder.diameter)
    cell = min(wide, high) / half
    along = cavity.length / (3 * setup.cells)
    axial = graded(0.0, -setup.ends, along, _GROWTH)[::-1][:-1]
    axial += even(0.0, cavity.length, 3 * setup.cells)
    axial += graded(cavity.length, cavity.length + setup.ends, along, _GROWTH)[1:]
    level = even(0.0, metal, max(2, round(metal / cell)))
    level += graded(metal, wide + setup.sides, cell, _GROWTH)[1:]
    rows = max(2, round(high / cell))
    upright = graded(-high, -high - setup.below, cell, _GROWTH)[::-1][:-1]
    if feeder is None:
        upright += even(-high, 0.0, rows)
    else:
        upright += even(-high, high, 2 * rows)
        upright += graded(high, high + feeder.height, cell, _GROWTH_ABOVE)[1:]
    return Grid(
        axes=(Axis(faces=tuple(axial)), Axis(faces=tuple(level)), Axis(faces=tuple(upright))), copies=2.0
    )


def _lying_stuff(setup: CoolingSetup) -> Stuff:
    cavity, feeder = setup.cavity, setup.feeder

    def stuff(x: Array, y: Array, z: Array) -> NDArray[np.int8]:
        across, up = cavity.halves(x)
        with np.errstate(divide="ignore", invalid="ignore"):
            inside = (y / across) ** 2 + (z / up) ** 2 < 1.0
        inside &= (across > 0.0) & (up > 0.0)
        if feeder is None:
            return np.where(inside, CASTING, MOULD).astype(np.int8)
        fed = ((x - feeder.at) ** 2 + y**2 < 0.25 * feeder.diameter**2) & (z > 0.0)
        return np.where(inside, CASTING, np.where(fed, FEEDER, MOULD)).astype(np.int8)

    return stuff
