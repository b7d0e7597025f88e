"""Setup of a simulation: the cavity, the block round it, the feeder, the temperatures, and the cells that model them.

In the cavity axes, x is measured from the nose along the bulb axis, and "up" refers to the mould as it stands when
poured. The model of a level bulb is half of its block, cut vertically along the bulb axis. The model of a bulb on end
is a body of revolution in a round block.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from bulbcast.bulb.body.integrals import parallel_volume
from bulbcast.bulb.hung.ledger import HungBulb
from bulbcast.foundry.cooling.grid import Axis, Grid, capped, even, graded
from bulbcast.foundry.cooling.radial import FreezingCase
from bulbcast.foundry.cooling.scene import (
    CASTING,
    FEEDER,
    MOULD,
    SLEEVE,
    Scene,
    Side,
    Sleeve,
    Stuff,
    Surface,
    scene_of,
)
from bulbcast.foundry.cooling.torch import HOLD_OVER, Torch, flux_over

Array = NDArray[np.float64]

Orientation = Literal["lying", "nose-up", "tail-up", "open-half"]

CELLS_LYING, CELLS_STANDING = 12, 28
"""Default number of cells across the largest section, for a level bulb and for one standing on end."""
FOOT_IN_FEEDER = 0.6
"""On a bulb standing on end, the feeder extends down to where the bulb's width is this fraction of the feeder's diameter,
which keeps the neck open."""
DEEPEST_FOOT = 0.10
"""On a bulb standing on end, the feeder covers no more than this fraction of the bulb's length. Our judgement."""
SLEEVE_WALL, COVER = 0.0125, 0.025
"""Thickness of the ceramic fibre blanket, one layer round a sleeved feeder and two over it. Common practice. [m]"""
FIBRE_CONDUCTIVITY, FIBRE_HEAT = 0.10, 128.0 * 1000.0
"""Properties of a ceramic fibre blanket of 128 kg/m3 between lead and mould. Makers give 0.06 to 0.10 W/(m K) at 200 to
400 degC and 1.0 kJ/(kg K); from memory. [W/(m K)], [J/(m3 K)]"""
_GROWTH, _GROWTH_ABOVE, _GROWTH_ALONG = 1.5, 1.2, 1.4
_OUTLINE = 241


@dataclass(frozen=True, slots=True, kw_only=True)
class Cavity:
    """Cavity filled with metal, without the feeder.

    Attributes:
        x: Distances from the cavity's nose, ascending. [m]
        across: Horizontal half size across the axis, as poured. [m]
        up: Half size in the third direction, vertical if the bulb is level. [m]
        volume: Volume of the cavity. [m3]
        area: Area of its skin. [m2]
        mean_curvature: Mean curvature of the skin, averaged over it. [1/m]
        scale: Ratio of the size as poured to that of the cold casting. [-]
        nose: Distance of the finished bulb's nose from the cavity's nose. [m]
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
        """Length of the cavity. [m]"""
        return self.x[-1]

    @property
    def modulus(self) -> float:
        """Modulus: volume divided by area. [m]"""
        return self.volume / self.area

    @property
    def thickest(self) -> float:
        """Position of the largest section. [m]"""
        return self.x[int(np.argmax(self.across))]

    def halves(self, x: Array) -> tuple[Array, Array]:
        """Half sizes across and up at x, each with the shape of x; 0 outside the cavity. [m]"""
        inside = (x >= 0.0) & (x <= self.length)
        across = np.where(inside, np.interp(x, self.x, self.across), 0.0)
        return across, np.where(inside, np.interp(x, self.x, self.up), 0.0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Feeder:
    """Open, nearly cylindrical feeder on the casting.

    Attributes:
        diameter: Diameter at its foot. [m]
        height: Height from the casting's highest point to the top of the block. [m]
        at: Distance of its axis from the cavity's nose, if the bulb is level. [m]
        kept: Whether it is kept liquid with a torch and topped up.
        until: Time at which the torch is taken off it; 0 if it is left alone. [s]
        foot: Distance below the casting's highest point at which it meets the skin. [m]
        taper: Increase in its radius per unit of height. [-]
        sleeved: Whether it is in an insulating sleeve with its top covered.
    """

    diameter: float
    height: float
    at: float
    kept: bool = False
    until: float = 0.0
    foot: float = 0.0
    taper: float = 0.0
    sleeved: bool = False

    def radius(self, over: Array) -> Array:
        """Radius of the feeder at a height above its foot. [m]"""
        return 0.5 * self.diameter + self.taper * over

    @property
    def widest(self) -> float:
        """Diameter of the feeder at its top. [m]"""
        return self.diameter + 2.0 * self.taper * (self.height + self.foot)


@dataclass(frozen=True, slots=True, kw_only=True)
class CoolingSetup(FreezingCase):
    """Input to a simulation: the metal and the mould, with their shapes and temperatures.

    Attributes:
        cavity: Cavity that is filled.
        orientation: Orientation when poured; "open-half" is the lower half, open at the top and without a feeder.
        feeder: Feeder; None for an open half and for a casting that is not fed.
        ends: Thickness of mould beyond the nose and tail of a level bulb; not used for a bulb on end. [m]
        sides: Thickness of mould at the sides. [m]
        below: Thickness of mould underneath. [m]
        above: Thickness of mould over a casting that is not fed. [m]
        open_below: Highest temperature of the metal at which the mould can be opened. [degC]
        cells: Number of cells across the largest section.
    """

    cavity: Cavity
    orientation: Orientation
    feeder: Feeder | None
    ends: float
    sides: float
    below: float
    above: float
    open_below: float
    cells: int

    @property
    def stands(self) -> bool:
        """Whether the bulb's axis is vertical."""
        return self.orientation in ("nose-up", "tail-up")

    @property
    def open_half(self) -> bool:
        """Whether half a bulb is poured, open at the top."""
        return self.orientation == "open-half"

    @property
    def over(self) -> float:
        """Height from the casting's highest point up to the top of the block. [m]"""
        if self.feeder is not None:
            return self.feeder.height
        return 0.0 if self.open_half else self.above


def cavity_of(bulb: HungBulb, *, finish: float, scale: float, on_its_side: bool = False) -> Cavity:
    """Build the cavity of a cast body, with cored cuts treated as solid.

    Args:
        bulb: Sized bulb.
        finish: Thickness of the layer by which the cast body is larger than the bulb. [m]
        scale: Ratio of the size as poured to that of the cold casting. [-]
        on_its_side: Whether the bulb's width is vertical as poured.

    Returns:
        Cavity as poured.
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
        # The layer is added along the normal of the outline in each of the two planes.
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


def scene_for(setup: CoolingSetup) -> Scene:
    """Build the cells and conductances for a setup.

    Args:
        setup: Casting and mould to cool.
    """
    sleeved = setup.feeder is not None and setup.feeder.sleeved
    top = 1.0 / (1.0 / setup.air.feeder + COVER / FIBRE_CONDUCTIVITY) if sleeved else setup.air.feeder
    side = Surface(film=setup.air.block, metal_film=top, temperature=setup.surroundings)
    holds = FIBRE_HEAT / (setup.mould.density * setup.mould.specific_heat)
    # On end, both ends and the round lose heat; on a level bulb, all faces but the plane of symmetry.
    faces: list[Side] = [(0, 0), (0, 1), (1, 1)] if setup.stands else [(0, 0), (0, 1), (1, 1), (2, 0), (2, 1)]
    return scene_of(
        _standing_grid(setup) if setup.stands else _lying_grid(setup),
        _standing_stuff(setup) if setup.stands else _lying_stuff(setup),
        metal_conductivity=setup.metal.conductivity_solid,
        mould_conductivity=setup.mould.conductivity,
        surfaces=dict.fromkeys(faces, side),
        sleeve=Sleeve(conductivity=FIBRE_CONDUCTIVITY, holds=holds) if sleeved else None,
        samples=6 if setup.stands else 4,
    )


def torch_on(setup: CoolingSetup, scene: Scene) -> Torch | None:
    """Return the torch on the feeder's open surface, or None if the feeder is left alone.

    Args:
        setup: Casting and mould to cool.
        scene: Cells of the setup.
    """
    feeder = setup.feeder
    if feeder is None or feeder.until <= 0.0:
        return None
    axis, last = (0, setup.orientation != "nose-up") if setup.stands else (2, True)
    row = -1 if last else 0
    index = tuple(row if i == axis else slice(None) for i in range(len(scene.grid.axes)))
    metal = np.zeros(scene.grid.shape)
    metal[index] = scene.metal.reshape(scene.grid.shape)[index]
    cells = np.flatnonzero(metal.ravel() > 0.0)
    area = metal.ravel()[cells] / float(scene.grid.axes[axis].widths[row])
    return Torch(
        cells=cells,
        area=area,
        flux=flux_over(scene.grid.copies * float(np.sum(area))),
        hold=max(setup.pour, setup.metal.liquidus + HOLD_OVER),
        full=setup.metal.liquidus,
        until=feeder.until,
    )


def standing_foot(cavity: Cavity, diameter: float, *, nose_up: bool) -> float:
    """Calculate how far a feeder reaches down from the upper end of a bulb standing on end.

    Args:
        cavity: Cavity of the bulb.
        diameter: Diameter of the feeder. [m]
        nose_up: Whether the nose is up, rather than the tail.

    Returns:
        Distance from the upper end. [m]
    """
    radius = np.sqrt(np.array(cavity.across) * np.array(cavity.up))
    from_end = np.array(cavity.x) if nose_up else cavity.length - np.array(cavity.x)[::-1]
    wide = np.flatnonzero((radius if nose_up else radius[::-1]) >= 0.5 * FOOT_IN_FEEDER * diameter)
    reach = float(from_end[wide[0]]) if len(wide) else cavity.length
    return min(reach, DEEPEST_FOOT * cavity.length)


def _standing_grid(setup: CoolingSetup) -> Grid:
    cavity, feeder = setup.cavity, setup.feeder
    widest = math.sqrt(max(cavity.across) * max(cavity.up))
    metal = max(widest, 0.0 if feeder is None else 0.5 * feeder.widest)
    cell = 2.0 * widest / setup.cells
    radial = even(0.0, metal, max(2, round(metal / cell)))
    radial += graded(metal, widest + setup.sides, cell, _GROWTH)[1:]
    along = cavity.length / (4 * setup.cells)
    above = setup.over
    fore, aft = (above, setup.below) if setup.orientation == "nose-up" else (setup.below, above)
    axial = graded(0.0, -fore, along, _GROWTH_ABOVE if fore == above else _GROWTH)[::-1][:-1]
    axial += even(0.0, cavity.length, 4 * setup.cells)
    axial += graded(cavity.length, cavity.length + aft, along, _GROWTH_ABOVE if aft == above else _GROWTH)[1:]
    return Grid(axes=(Axis(faces=tuple(axial)), Axis(faces=tuple(radial), kind="round")))


def _standing_stuff(setup: CoolingSetup) -> Stuff:
    cavity, feeder, nose_up = setup.cavity, setup.feeder, setup.orientation == "nose-up"

    def stuff(x: Array, r: Array) -> NDArray[np.int8]:
        across, up = cavity.halves(x)
        inside = r**2 < across * up
        if feeder is None:
            return np.where(inside, CASTING, MOULD).astype(np.int8)
        over = (x if nose_up else cavity.length - x) - feeder.foot
        return _columned(inside, -over, r, feeder)

    return stuff


def _lying_grid(setup: CoolingSetup) -> Grid:
    cavity, feeder, half = setup.cavity, setup.feeder, setup.cells // 2
    wide, high = max(cavity.across), max(cavity.up)
    metal = max(wide, 0.0 if feeder is None else 0.5 * feeder.widest)
    cell = min(wide, high) / half
    along = cavity.length / (3 * setup.cells)
    axial = graded(0.0, -setup.ends, along, _GROWTH)[::-1][:-1]
    axial += _along(cavity, feeder, along, cell)
    axial += graded(cavity.length, cavity.length + setup.ends, along, _GROWTH)[1:]
    level = even(0.0, metal, max(2, round(metal / cell)))
    level += graded(metal, wide + setup.sides, cell, _GROWTH)[1:]
    rows = max(2, round(high / cell))
    upright = graded(-high, -high - setup.below, cell, _GROWTH)[::-1][:-1]
    if setup.open_half:
        upright += even(-high, 0.0, rows)
    else:
        upright += even(-high, high, 2 * rows)
        upright += graded(high, high + setup.over, cell, _GROWTH_ABOVE)[1:]
    return Grid(
        axes=(Axis(faces=tuple(axial)), Axis(faces=tuple(level)), Axis(faces=tuple(upright))), copies=2.0
    )


def _columned(inside: NDArray[np.bool_], over: Array, off: Array, feeder: Feeder) -> NDArray[np.int8]:
    """Material of each sample: casting, feeder, sleeve or mould, given its height above the feeder's foot and its
    distance from the feeder's axis. [m]"""
    wide, stands = feeder.radius(over), over > 0.0
    round_it = np.where(stands & feeder.sleeved & (off < wide + SLEEVE_WALL), SLEEVE, MOULD)
    return np.where(inside, CASTING, np.where(stands & (off < wide), FEEDER, round_it)).astype(np.int8)


def _along(cavity: Cavity, feeder: Feeder | None, along: float, cell: float) -> list[float]:
    """Cell faces from nose to tail, as closely spaced under a feeder as across the bulb, because the feeder's neck
    matters most."""
    if feeder is None or cell >= along:
        return even(0.0, cavity.length, round(cavity.length / along))
    low = max(feeder.at - 0.5 * feeder.diameter, along)
    high = min(feeder.at + 0.5 * feeder.diameter, cavity.length - along)
    under = even(low, high, max(2, round((high - low) / cell)))
    fore = capped(low, 0.0, cell, _GROWTH_ALONG, along)[::-1]
    return fore[:-1] + under + capped(high, cavity.length, cell, _GROWTH_ALONG, along)[1:]


def _lying_stuff(setup: CoolingSetup) -> Stuff:
    cavity, feeder = setup.cavity, setup.feeder

    def stuff(x: Array, y: Array, z: Array) -> NDArray[np.int8]:
        across, up = cavity.halves(x)
        with np.errstate(divide="ignore", invalid="ignore"):
            inside = (y / across) ** 2 + (z / up) ** 2 < 1.0
        inside &= (across > 0.0) & (up > 0.0)
        if feeder is None:
            return np.where(inside, CASTING, MOULD).astype(np.int8)
        over = z - (max(cavity.up) - feeder.foot)
        return _columned(inside, over, np.sqrt((x - feeder.at) ** 2 + y**2), feeder)

    return stuff
