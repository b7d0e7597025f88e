"""Bending and twist of the fin as a beam held by the hull, at 90 degrees of heel and when aground.

The beam is a cantilever along the fin's raked axis, held rigidly at its root. The section perpendicular to the axis is
as described in `fin.stiffness`, and it tapers with the fin. The bulb is rigid and fixed to the tip. The theory is
first-order, and the bending and twist of a raked fin are coupled. Only static loads are calculated. Shock, fatigue and
the joint are not.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from functools import lru_cache
from typing import Literal

from bulbcast.fin.foil import Foil, FoilSolid, foil_between, foil_solid
from bulbcast.fin.stiffness import Fibre, FinSection
from bulbcast.joint.fin_axis import FinAxis, Level, Point, fin_axis, levels, root_stress_factor
from bulbcast.joint.fin_buckling import buckling_force
from bulbcast.quantities.checked import (
    STANDARD_GRAVITY,
    BoatFigureError,
    require_finite,
    require_not_negative,
    require_positive,
    shown,
)
from bulbcast.quantities.frozen import frozen
from bulbcast.solids.quadrature import gauss

NOT_A_CLASSIFICATION_CALCULATION = (
    "Not a classification calculation: plain beam theory with loads and allowables as given. If the boat carries "
    "people, have a licensed naval architect design and check the keel and its fastening to the rules in force."
)

_NODES = 32
_STATIONS = tuple(number / 96 for number in range(97))


@frozen
class Stress:
    """Highest stress in one material.

    Attributes:
        material: Name of the material.
        at_z: Height of the point with that stress, boat axes. [m]
        strain: Strain; tension is positive. [-]
        stress: Stress; None if the modulus is not known. [Pa]
        allowable: Allowable stress as given; None if it was not given. [Pa]
    """

    material: str
    at_z: float
    strain: float
    stress: float | None
    allowable: float | None

    @property
    def used(self) -> float | None:
        """Stress as a fraction of the allowable, in tension or compression; None if no allowable is given. [-]"""
        if self.stress is None or self.allowable is None:
            return None
        return abs(self.stress) / self.allowable


@frozen
class Knockdown:
    """Results for the fin held flat at 90 degrees of heel, in air.

    Attributes:
        rake: Rake of the fin's axis; tip aft is positive. [rad]
        root_moment: Moment on the hull about a fore-and-aft line at the height of the root. [N m]
        root_shear: Shear force at the root. [N]
        tip_deflection: Deflection of the fin's tip, on its axis. [m]
        bulb_deflection: Deflection of the bulb's mass centre. [m]
        tip_slope: Angle by which the tip tilts about a fore-and-aft line. [rad]
        twist: Twist of the tip's horizontal section about a vertical line, from torque and from the bending of a raked
            fin. Leading edge up is positive. [rad]
        root_torque: Torque on the hull about a vertical line through the axis at the root, from the bulb and, if its
            density is given, from the fin itself. [N m]
        stresses: Highest stress in each material by beam theory, from bending only.
        root_stress_factor: Factor on those stresses at the end of a raked fin's root. [-]
    """

    rake: float

    root_moment: float
    root_shear: float
    tip_deflection: float
    bulb_deflection: float
    tip_slope: float
    twist: float
    root_torque: float
    stresses: tuple[Stress, ...]
    root_stress_factor: float


@frozen
class Grounding:
    """Results for the fin when the ground stops the bulb.

    Attributes:
        force: Force on the bulb. [N]
        root_moment: Magnitude of the moment: in the fin's plane, or sideways for a blow from the side. [N m]
        stresses: Highest stress in each material; empty if the fin's stiffness is not known.
        buckling_force: Load that would buckle the fin at the same point and in the same direction; None if no load
            would. [N]
        root_stress_factor: Factor on the stress at the end of a raked fin's root, for a blow from the side. [-]
        root_torque: Torque of a blow from the side, about a vertical line through the axis at the root. [N m]
    """

    force: float
    root_moment: float
    stresses: tuple[Stress, ...]
    buckling_force: float | None
    root_stress_factor: float = 1.0
    root_torque: float = 0.0


def knockdown(
    foil: Foil,
    section: FinSection,
    *,
    bulb_mass: float,
    bulb_x: float,
    bulb_z: float,
    fin_density: float = 0.0,
    elastic_axis: float | None = None,
) -> Knockdown:
    """Calculate the loads and bending of a fin held flat at 90 degrees of heel with the bulb's weight on it, in air.

    Args:
        foil: The fin from its support in the hull to the tip.
        section: Construction of the fin.
        bulb_mass: Mass of the bulb, ready to hang. [kg]
        bulb_x: Position x of its mass centre, boat axes. [m]
        bulb_z: Height z of its mass centre, below the root. [m]
        fin_density: Density used for the fin's weight; 0 ignores that weight. [kg/m3]
        elastic_axis: Elastic axis as a fraction of the chord at every height. None means that of each section. [-]

    Returns:
        Moments, deflections, twist and stresses.

    Raises:
        BoatFigureError: A figure is impossible, or a tube is thicker than the fin.

    References:
        sigma = M y E / EI; displacements by unit loads, int (M m / EI + T t / GJ) ds along the axis; classical beam
        theory. A raked fin is 1 to 5 % stiffer than this theory says, because the hull holds it along a horizontal
        line. This is ignored, to be safe.
    """
    require_positive("The bulb's mass", bulb_mass, "kg")
    require_not_negative("The fin's density", fin_density, "kg/m3")
    axis = fin_axis(foil, section, elastic_axis)
    _below_root(foil, (bulb_x, bulb_z), "The bulb's mass centre")
    weight, bulb = bulb_mass * STANDARD_GRAVITY, (bulb_x, bulb_z)

    def loads(level: Level, own: FoilSolid | None) -> list[tuple[float, Point]]:
        """Weights below a given height, each with its centre. [N], [m]"""
        if fin_density == 0.0 or own is None:
            return [(weight, bulb)]
        own_weight = fin_density * STANDARD_GRAVITY * own.volume
        return [(weight, bulb), (own_weight, (own.centre_x, own.centre_z))]

    tip_at = axis.place(1.0)
    bent = turned = tip = out = 0.0
    nodes, parts = (tuple(each.tolist()) for each in gauss(_NODES))
    for level, own, part in zip(levels(axis, nodes), parts_below(foil, nodes), parts, strict=True):
        station, below = level.station, loads(level, own)
        arms = [arms_from(axis, level, at) for _, at in below]
        step = part * axis.length
        bend = step * math.fsum(load * arm for (load, _), (arm, _) in zip(below, arms, strict=True))
        turn = step * math.fsum(load * arm for (load, _), (_, arm) in zip(below, arms, strict=True))
        bend, turn = bend / station.bending, turn / station.torsion
        bent, turned = bent + bend, turned + turn
        for_tip, for_bulb = arms_from(axis, level, tip_at), arms[0]
        tip += bend * for_tip[0] + turn * for_tip[1]
        out += bend * for_bulb[0] + turn * for_bulb[1]
    stations = levels(axis, _STATIONS)
    hanging = [loads(*each) for each in zip(stations, parts_below(foil, _STATIONS), strict=True)]
    moments = {
        level.share: math.fsum(load * arms_from(axis, level, at)[0] for load, at in below)
        for level, below in zip(stations, hanging, strict=True)
    }
    root = hanging[0]
    aft, up = math.sin(axis.rake), math.cos(axis.rake)
    return Knockdown(
        rake=axis.rake,
        root_moment=math.fsum(load * (foil.root_z - z) for load, (_, z) in root),
        root_shear=math.fsum(load for load, _ in root),
        tip_deflection=tip,
        bulb_deflection=out,
        tip_slope=bent * up - turned * aft,
        twist=bent * aft + turned * up,
        root_torque=math.fsum(load * (x - stations[0].at[0]) for load, (x, _) in root),
        stresses=_worst(
            axis,
            lambda level, fibre: (moments[level.share] * fibre.half_depth / level.station.bending,),
        ),
        root_stress_factor=root_stress_factor(section, axis.rake),
    )


@lru_cache(maxsize=32)
def parts_below(foil: Foil, shares: tuple[float, ...]) -> tuple[FoilSolid | None, ...]:
    """Part of the fin below each given fraction of its span; None at the tip. The result is cached, because it does not
    change with the bulb.

    Args:
        foil: The fin from root to tip.
        shares: Distances below the root as fractions of the span. [-]
    """
    return tuple(
        None
        if share == 1.0
        else foil_solid(foil_between(foil, top_z=foil.root_z - share * foil.span, bottom_z=foil.tip_z))
        for share in shares
    )


def arms_from(axis: FinAxis, level: Level, at: Point) -> tuple[float, float]:
    """Distance of a point from a station on the axis, along the axis and perpendicular to it.

    Args:
        axis: Axis of the fin.
        level: A station on that axis.
        at: The point, x and z. [m]

    Returns:
        The distances along and perpendicular to the axis. [m]
    """
    off, up = at[0] - level.at[0], at[1] - level.at[1]
    return off * axis.down[0] + up * axis.down[1], off * axis.aft[0] + up * axis.aft[1]


Blow = Literal["vertical_grounding", "longitudinal_grounding", "sideways_grounding"]
"""Directions of a grounding load, by their keys in [strength]: down on the bulb, nose first, or sideways on the nose."""


def grounding(
    foil: Foil,
    section: FinSection,
    blow: Blow,
    *,
    mass: float,
    multiple: float,
    at: Point,
    elastic_axis: float | None = None,
) -> Grounding:
    """Calculate the load on the fin when the bulb strikes the ground, which pushes it straight up, aft or sideways with
    a force that is a multiple of the boat's weight.

    Args:
        foil: The fin from its support in the hull to the tip.
        section: Construction of the fin.
        blow: Direction of the blow.
        mass: Mass brought to rest. Use the mass of the complete boat, to be safe. [kg]
        multiple: Multiple of that mass's weight, as set by the builder. [-]
        at: Point where the bulb strikes the ground, x and z, below the root; boat axes. [m]
        elastic_axis: Elastic axis, as in `knockdown`.

    Returns:
        Force, moment and stresses. The buckling load is included for a load in the fin's plane, and the torque for a
        load from the side.

    Raises:
        BoatFigureError: A figure is impossible, or a tube is thicker than the fin.
    """
    if blow == "sideways_grounding":
        # A fin held flat also has a sideways force on its bulb, so here the blow replaces the weight.
        struck = knockdown(
            foil, section, bulb_mass=multiple * mass, bulb_x=at[0], bulb_z=at[1], elastic_axis=elastic_axis
        )
        return Grounding(
            force=struck.root_shear,
            root_moment=struck.root_moment,
            root_torque=struck.root_torque,
            stresses=struck.stresses,
            buckling_force=None,
            root_stress_factor=struck.root_stress_factor,
        )
    up = blow == "vertical_grounding"
    _below_root(foil, at, "The point where the bulb strikes the ground" if up else "The bulb's nose")
    axis, direction = fin_axis(foil, section, elastic_axis), (0.0, 1.0) if up else (1.0, 0.0)
    require_positive("The mass that is brought to rest", mass, "kg")
    require_positive("The multiple of the weight", multiple, "")
    force = multiple * mass * STANDARD_GRAVITY
    pull = force * (direction[0] * axis.down[0] + direction[1] * axis.down[1])

    def bending(level: Level) -> float:
        """Bending moment in the fin's plane, positive if it puts the fibres at the leading edge in tension."""
        x, z = axis.neutral_place(level.share, level.station)
        return force * ((at[0] - x) * direction[1] + (z - at[1]) * direction[0])

    def strains(level: Level, fibre: Fibre) -> tuple[float, ...]:
        station = level.station
        if station.fore_and_aft is None or station.axial is None:
            return ()
        bend, even = bending(level) / station.fore_and_aft, pull / station.axial
        return (even + bend * fibre.fore, even - bend * fibre.aft)

    return Grounding(
        force=force,
        root_moment=abs(bending(levels(axis, _STATIONS)[0])),
        stresses=_worst(axis, strains),
        buckling_force=buckling_force(axis, direction=direction, at=at),
    )


def _worst(
    axis: FinAxis,
    strains: Callable[[Level, Fibre], tuple[float, ...]],
) -> tuple[Stress, ...]:
    """Maximum strain in each material over the fin's full height. In a tapered fin it need not be at the root."""
    found: dict[str, Stress] = {}
    # The root and the tip are among the stations checked.
    for level in levels(axis, _STATIONS):
        for number, fibre in enumerate(level.station.fibres):
            for strain in strains(level, fibre):
                key = f"{number} {fibre.material}"
                if key in found and abs(strain) <= abs(found[key].strain):
                    continue
                found[key] = Stress(
                    material=fibre.material,
                    at_z=level.at[1],
                    strain=strain,
                    stress=None if fibre.modulus is None else strain * fibre.modulus,
                    allowable=fibre.allowable,
                )
    return tuple(found.values())


def _below_root(foil: Foil, at: Point, what: str) -> None:
    """Refuse a point that is not finite or not below the root."""
    x, z = at
    require_finite(what, x, "m")
    require_finite(what, z, "m")
    if z >= foil.root_z:
        raise BoatFigureError(
            f"{what} is at {shown(z, 'm')}, not below the fin's root at {shown(foil.root_z, 'm')}. Heights are measured "
            "upward from the design waterline, so those under water are negative."
        )
