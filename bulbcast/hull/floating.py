"""Floating position of a boat: sinkage, trim and heel for a mass and its centre.

The boat comes to rest at a minimum of potential energy, and the search only moves downhill, in short steps from the
starting attitude. It therefore cannot jump to another minimum, such as the boat upside down, or stop on a ridge, where
the forces also balance but the position is unstable.

Near the solution, each Newton step approximately squares the error. Once two steps have confirmed this and the next
step would leave no error, that step is made without clipping the hull again, since its effect follows from the
derivatives already known.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from bulbcast.hull.hydrostatics import Attitude, Cut, Point, cut, directions
from bulbcast.hull.mesh import HullMesh
from bulbcast.quantities.frozen import frozen
from bulbcast.solids.quadrature import Array

_STEPS = 200
_LARGEST_TURN = math.radians(8.0)
_LARGEST_DIP = 0.25
_GIMBAL = math.radians(85.0)
_CLOSE = 1e-12
_NEXT, _SURE = 1e-6, 0.1
_BOUND = 1e-9


class FloatingError(ValueError):
    """Raised if the boat does not come to rest afloat. The message gives the reason and a fix."""


@frozen
class Floating:
    """A boat at rest, except in directions that were held fixed.

    Attributes:
        attitude: Attitude of the boat.
        righting_arm: Horizontal distance of the centre of buoyancy to starboard of the mass centre. With the starboard
            side down, a positive arm rights the boat. It is zero if the heel is free. [m]
        energy: Potential energy divided by weight. Its increase is the work of heeling the boat divided by her weight,
            which is the area under the righting arm curve. [m]
        stable: Whether the boat resists every small change in a free direction.
        steps: Number of attitudes tried in the search.
    """

    attitude: Attitude
    righting_arm: float
    energy: float
    stable: bool
    steps: int

    @property
    def upright(self) -> bool:
        """Whether the boat's deck faces up. [-]"""
        return math.cos(self.attitude.heel) * math.cos(self.attitude.trim) > 0.0


@frozen
class _Load:
    """The load: mass divided by water density, and the mass centre relative to the centre of the hull's
    bounding box."""

    hull: HullMesh
    volume: float
    centre: Array


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _State:
    """Energy divided by weight [m], its gradient and second derivatives with respect to depth, trim and heel, and the
    righting arm. [m]"""

    energy: float
    gradient: Array
    hessian: Array
    arm: float

    def beside(self, step: Array, trim: float) -> _State:
        """From the derivatives, estimate the values after a small step, for a given new trim [rad]."""
        change = self.hessian @ step
        gradient = self.gradient + change
        return _State(
            energy=self.energy + float((self.gradient + 0.5 * change) @ step),
            gradient=gradient,
            hessian=self.hessian,
            arm=float(gradient[2]) / math.cos(trim),
        )


def _state(load: _Load, at: Array, part: Cut | None = None) -> _State:
    """Calculate the energy and its derivatives for a depth of the hull's middle [m], a trim and a heel [rad].

    E / W = up . G - d + (d V - up . M) / V0, with M the first moment of the immersed volume V, and V0 the volume that
    supports the weight. The terms are the heights of the weight and of the displaced water.
    """
    depth, trim, heel = (float(value) for value in at)
    world = directions(trim, heel)
    part = cut(load.hull, world, depth) if part is None else part
    share = part.volume / load.volume
    # Moment of buoyancy less that of weight, divided by weight.
    lever = part.moment / load.volume - load.centre
    ct, st = math.cos(trim), math.sin(trim)
    energy = depth * (share - 1.0) - float(world.up @ lever)
    along, athwart = float(world.aft @ lever), float(world.starboard @ lever)
    down = np.array([0.0, -math.sin(heel), math.cos(heel)])
    x, y = part.first / load.volume
    xx, xy, yy = part.second / load.volume
    hessian = np.array(
        [
            [part.area / load.volume, x, ct * y],
            [x, xx + float(world.up @ lever), ct * xy - st * athwart],
            [ct * y, ct * xy - st * athwart, ct * ct * yy + ct * float(down @ lever)],
        ]
    )
    return _State(
        energy=energy,
        gradient=np.array([share - 1.0, along, ct * athwart]),
        hessian=hessian,
        arm=athwart,
    )


def float_boat(
    hull: HullMesh,
    *,
    mass: float,
    mass_centre: Point,
    water_density: float,
    trim: float | None = None,
    heel: float | None = None,
    start: Attitude | None = None,
) -> Floating:
    """Find the attitude in which a boat comes to rest.

    Args:
        hull: Closed surface of everything that displaces water.
        mass: Mass of everything afloat. [kg]
        mass_centre: Mass centre, boat axes. [m]
        water_density: Density of the water. [kg/m3]
        trim: Trim to hold; None to leave it free. [rad]
        heel: Heel to hold; None to leave it free. [rad]
        start: Attitude to start from, such as the last one found; None for upright and level.

    Returns:
        The boat at rest at the energy minimum downhill from the start.

    Raises:
        FloatingError: The boat sinks or stands on end, or a figure is not usable.
    """
    _check(hull, mass, mass_centre, water_density, trim, heel)
    volume = mass / water_density
    load = _Load(hull=hull, volume=volume, centre=np.array(mass_centre) - hull.middle)
    begin = Attitude() if start is None else start
    turned = np.array([begin.trim if trim is None else trim, begin.heel if heel is None else heel])
    free = np.array([True, trim is None, heel is None])
    last = directions(begin.trim, begin.heel)
    at = np.array([begin.sinkage - float(last.up @ hull.middle), *turned])
    at[0], part = _afloat(load, at, guess=start is not None)
    at, state, steps = _downhill(load, at, free, part)
    off = np.abs(state.gradient[free]) / _scale(hull)[free]
    if np.max(off) > _BOUND:
        raise FloatingError(
            f"{hull.source}: after {steps} steps, the search for the floating position was still off by "
            f"{np.max(off):.2g} of the boat's size, at a trim of {math.degrees(at[1]):.1f} and a heel of "
            f"{math.degrees(at[2]):.1f} degrees. Check the hull and the mass centre."
        )
    lowest = float(np.min(np.linalg.eigvalsh(_scaled(load.hull, state)[np.ix_(free, free)])))
    # Convert the middle's depth to the origin's.
    sinkage = float(at[0] + directions(float(at[1]), float(at[2])).up @ hull.middle)
    return Floating(
        attitude=Attitude(sinkage=sinkage, trim=float(at[1]), heel=float(at[2])),
        righting_arm=state.arm,
        energy=state.energy,
        stable=lowest > 0.0,
        steps=steps,
    )


def _check(
    hull: HullMesh,
    mass: float,
    mass_centre: Point,
    water_density: float,
    trim: float | None,
    heel: float | None,
) -> None:
    """Raise an error if a figure is invalid or the load would sink the boat."""
    figures = (
        mass,
        water_density,
        *mass_centre,
        0.0 if trim is None else trim,
        0.0 if heel is None else heel,
    )
    if not all(math.isfinite(value) for value in figures):
        raise FloatingError(
            f"{hull.source}: a figure for the load is not a finite number. Correct the figure."
        )
    if not (mass > 0.0 and water_density > 0.0):
        raise FloatingError(
            f"{hull.source}: the mass is {mass:g} kg and the water density {water_density:g} kg/m3. "
            "Both must be positive."
        )
    most = water_density * hull.volume
    if mass >= most:
        raise FloatingError(
            f"{hull.source}: the boat sinks, because she weighs {mass:.4g} kg but displaces only {most:.4g} kg when "
            "fully submerged. Make her lighter, or correct the hull's unit or scale."
        )
    if trim is not None and abs(trim) > _GIMBAL:
        raise FloatingError(
            f"{hull.source}: the trim is {math.degrees(trim):.1f} degrees; it must be less than "
            f"{math.degrees(_GIMBAL):.0f}."
        )


def _scale(hull: HullMesh) -> Array:
    """Return the scale factors for the gradient components: 1 for depth, and the hull length for trim and heel."""
    size = float(np.max(hull.extent))
    return np.array([1.0, size, size])


def _scaled(hull: HullMesh, state: _State) -> Array:
    """Return the second derivatives, with depth as a fraction of the hull's size, so that they are all lengths. [m]"""
    size = _scale(hull)[1]
    factor = np.array([size, 1.0, 1.0])
    scaled: Array = state.hessian * factor[:, None] * factor[None, :] / size
    return scaled


def _afloat(load: _Load, at: Array, *, guess: bool) -> tuple[float, Cut | None]:
    """Find a depth at which about the required volume is under water [m], and the cut at that depth. A good guess is kept
    as it is.

    Uses Newton steps with the waterplane area if they stay within the bracket, otherwise bisection.
    """
    world = directions(float(at[1]), float(at[2]))
    height = np.einsum("ij,i->j", load.hull.rows, world.up)
    low, high = float(height.min()), float(height.max())
    depth = float(at[0]) if guess and low < at[0] < high else 0.5 * (low + high)
    for _ in range(60):
        part = cut(load.hull, world, depth)
        wanting = load.volume - part.volume
        if abs(wanting) < 0.1 * load.volume:
            return depth, part
        if wanting < 0.0:
            high = depth
        else:
            low = depth
        ahead = depth + wanting / part.area if part.area > 0.0 else low
        depth = ahead if low < ahead < high else 0.5 * (low + high)
    return depth, None


def _downhill(load: _Load, at: Array, free: Array, part: Cut | None) -> tuple[Array, _State, int]:
    """Make Newton steps in the free directions. They are reversed or shortened if necessary, and never lead uphill."""
    size = float(_scale(load.hull)[1])
    unit = np.array([size, 1.0, 1.0])
    # Dividing by the hull's size turns all derivatives into lengths, as in `_scaled`.
    lengths, among = np.outer(unit, unit) / size, np.ix_(free, free)
    dip = _LARGEST_DIP * float(np.min(load.hull.extent))
    limit = np.array([dip, _LARGEST_TURN, _LARGEST_TURN])
    state = _state(load, at, part)
    nudged = False
    steps, was = 1, 0.0
    while steps < _STEPS:
        gradient = (state.gradient * unit / size)[free]
        values, vectors = np.linalg.eigh((state.hessian * lengths)[among])
        off = float(np.max(np.abs(gradient)))
        settled = off <= _CLOSE
        if settled and values[0] < -1e-9 * size and not nudged:
            # The forces also balance on a ridge: push once to one side, and go downhill from there.
            push = vectors[:, 0] * np.sign(vectors[np.argmax(np.abs(vectors[:, 0])), 0])
            step = np.zeros(3)
            step[free] = 0.02 * push * unit[free]
            at, nudged = at + step, True
            state = _state(load, at)
            steps += 1
            continue
        if settled:
            break
        # If the energy curves the wrong way, a Newton step would lead uphill, so it is reversed.
        bend = np.maximum(np.abs(values), 1e-6)
        step = np.zeros(3)
        step[free] = -(vectors @ ((vectors.T @ gradient) / bend)) * unit[free]
        step *= min(1.0, 1.0 / max(float(np.max(np.abs(step) / limit)), 1e-300))
        # The step before left an error of off / was^2 times the square of `was`; this one leaves the same multiple of the
        # square of `off`.
        if off <= _NEXT and off**3 <= _SURE * _CLOSE * was**2 and values[0] > 1e-6:
            at = at + step
            return at, state.beside(step, float(at[1])), steps
        was = off
        slope = float(state.gradient @ step)
        moved = False
        for _ in range(40):
            ahead = at + step
            if abs(ahead[1]) > _GIMBAL:
                raise FloatingError(
                    f"{load.hull.source}: the boat stands on end, because her trim exceeds {math.degrees(_GIMBAL):.0f} "
                    "degrees. Her waterplane is too small for the position of her mass centre. Correct the load or its "
                    "centre."
                )
            tried = _state(load, ahead)
            steps += 1
            flat = 1e-15 * size
            if tried.energy <= state.energy + 1e-4 * slope or (
                tried.energy <= state.energy + flat
                and np.max(np.abs(tried.gradient * unit / size)[free]) < off
            ):
                moved = True
                break
            step, slope = 0.5 * step, 0.5 * slope
        if not moved:
            break
        at, state = ahead, tried
    return at, state, steps
