"""The fin as a beam from the hull: bending and twist at 90 degrees of heel, and two ways of grounding.

A straight cantilever, held without give at its root, of the section that `fin_stiffness` describes, tapered
as the fin is; the bulb is rigid and hangs at its tip. First-order beam theory, sweep left out but for where
the elastic axis lies at each level. Static: no shock, no fatigue, no joint.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

from bulbcast.boat.figures import (
    BoatFigureError,
    require_finite,
    require_not_negative,
    require_positive,
    shown,
)
from bulbcast.boat.fin_stiffness import (
    Fibre,
    FinSection,
    StationStiffness,
    require_tube_inside,
    station_stiffness,
)
from bulbcast.boat.foil import Foil
from bulbcast.boat.foil_section import section_numbers
from bulbcast.materials.gravity import STANDARD_GRAVITY
from bulbcast.shape.fin_section import AREA_COEFFICIENT
from bulbcast.shape.quadrature import gauss

NOT_A_CLASSIFICATION_CALCULATION = (
    "Not a classification calculation: plain beam theory with loads and allowables as given. Boats that carry "
    "people need their keel and its fastening designed and checked by a licensed practice to the rules in force."
)

_NODES = 32
_STATIONS = 97


@dataclass(frozen=True, slots=True, kw_only=True)
class Stress:
    """The most that one material is stressed.

    Attributes:
        material: Name.
        at_z: Level of the fin where, boat axes. [m]
        strain: Tension positive. [-]
        stress: None where the modulus is not known. [Pa]
        allowable: As given; None where none was. [Pa]
    """

    material: str
    at_z: float
    strain: float
    stress: float | None
    allowable: float | None

    @property
    def used(self) -> float | None:
        """Stress over allowable, either way; None where there is none to hold it against. [-]"""
        if self.stress is None or self.allowable is None:
            return None
        return abs(self.stress) / self.allowable


@dataclass(frozen=True, slots=True, kw_only=True)
class Knockdown:
    """The fin held flat at 90 degrees of heel, in air.

    Attributes:
        root_moment: Bending. [N m]
        root_shear: [N]
        tip_deflection: Of the fin's tip. [m]
        bulb_deflection: Of the bulb's mass centre. [m]
        tip_slope: Angle by which the tip leans. [rad]
        twist: Of the tip, leading edge up where the bulb's centre lies aft of the axis is positive. [rad]
        root_torque: [N m]
        stresses: One for each material, bending only.
    """

    root_moment: float
    root_shear: float
    tip_deflection: float
    bulb_deflection: float
    tip_slope: float
    twist: float
    root_torque: float
    stresses: tuple[Stress, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Grounding:
    """The bulb held by the ground.

    Attributes:
        force: On the bulb. [N]
        root_moment: In the fin's plane, by its size. [N m]
        stresses: One for each material; none where the fin's stiffness that they need is not known.
        buckling_force: Load along the fin at which it would give way sideways, with the least stiffness
            along it taken all through; None where the load is not along it. [N]
    """

    force: float
    root_moment: float
    stresses: tuple[Stress, ...]
    buckling_force: float | None


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
    """The fin held flat at 90 degrees of heel with the bulb's weight on it, in air.

    Args:
        foil: From where the hull holds it to the tip.
        section: How it is made.
        bulb_mass: As hung. [kg]
        bulb_x: Of its mass centre, boat axes. [m]
        bulb_z: Likewise; below the root. [m]
        fin_density: To count the fin's own weight; 0 leaves it out. [kg/m3]
        elastic_axis: As a fraction of the chord at every level; None: the solid section's own, 0.3659. [-]

    Returns:
        Moments, deflections, twist and stresses.

    Raises:
        BoatFigureError: A figure that cannot be, or a tube thicker than the fin.

    References:
        sigma = M y E / EI, deflection = int M (l - s) / EI ds, twist = int T / GJ ds: classical beam theory.
    """
    require_positive("The bulb's mass", bulb_mass, "kg")
    require_finite("The bulb's mass centre", bulb_x, "m")
    require_not_negative("The fin's density", fin_density, "kg/m3")
    require_tube_inside(section, foil)
    axis = section_numbers().flexural_axis if elastic_axis is None else elastic_axis
    arm = _below_root(foil, bulb_z, "The bulb's mass centre")
    weight = bulb_mass * STANDARD_GRAVITY
    span = foil.span

    def moment(share: float) -> float:
        return weight * (arm - share * span) + _own_moment(foil, share, fin_density)

    def lean(share: float) -> float:
        """Curvature at a level."""
        return moment(share) / _station(foil, section, share).bending

    def torque(share: float) -> float:
        return weight * (bulb_x - foil.leading_edge_at(share) - axis * foil.chord_at(share))

    tip = slope = twist = 0.0
    for share, part in zip(*(each.tolist() for each in gauss(_NODES)), strict=True):
        curvature = lean(share)
        tip += part * span * curvature * span * (1.0 - share)
        slope += part * span * curvature
        twist += part * span * torque(share) / _station(foil, section, share).torsion
    return Knockdown(
        root_moment=moment(0.0),
        root_shear=weight + STANDARD_GRAVITY * fin_density * _own_volume(foil, 0.0),
        tip_deflection=tip,
        bulb_deflection=tip + slope * (arm - span),
        tip_slope=slope,
        twist=twist,
        root_torque=torque(0.0),
        stresses=_worst(
            foil,
            section,
            lambda share, station, fibre: (moment(share) * fibre.half_depth / station.bending,),
        ),
    )


def vertical_grounding(
    foil: Foil,
    section: FinSection,
    *,
    mass: float,
    multiple: float,
    ground_x: float,
) -> Grounding:
    """She comes down on the bulb: so many times her weight, straight up.

    Args:
        foil: From where the hull holds it to the tip.
        section: How it is made.
        mass: That is brought to rest; the whole boat, to be safe. [kg]
        multiple: Of its weight, as the builder sets it. [-]
        ground_x: Where the ground meets the bulb, boat axes. [m]

    Returns:
        Force, moment in the fin's plane, compression with it, and the load that would buckle the fin.

    Raises:
        BoatFigureError: A figure that cannot be, or a tube thicker than the fin.

    References:
        Classical beam theory; Euler's column held at one end, pi^2 EI / (4 l^2).
    """
    require_positive("The mass that is brought to rest", mass, "kg")
    require_positive("The multiple of the weight", multiple, "")
    require_finite("The place of the ground", ground_x, "m")
    require_tube_inside(section, foil)
    force = multiple * mass * STANDARD_GRAVITY

    def arm(share: float, station: StationStiffness) -> float:
        """Ground aft of the neutral axis at a level."""
        return ground_x - foil.leading_edge_at(share) - station.neutral

    def strains(share: float, station: StationStiffness, fibre: Fibre) -> tuple[float, ...]:
        if station.fore_and_aft is None or station.axial is None:
            return ()
        bend = force * arm(share, station) / station.fore_and_aft
        pressed = -force / station.axial
        # Pushed up aft of the axis, the after fibres are pressed and the fore ones pulled.
        return (pressed + bend * fibre.fore, pressed - bend * fibre.aft)

    least = min(_station(foil, section, share).bending for share in _shares())
    return Grounding(
        force=force,
        root_moment=force * abs(arm(0.0, _station(foil, section, 0.0))),
        stresses=_worst(foil, section, strains),
        buckling_force=math.pi**2 * least / (4.0 * foil.span**2),
    )


def longitudinal_grounding(
    foil: Foil,
    section: FinSection,
    *,
    mass: float,
    multiple: float,
    nose_z: float,
) -> Grounding:
    """She runs the bulb's nose against something: so many times her weight, straight aft.

    Args:
        foil: From where the hull holds it to the tip.
        section: How it is made.
        mass: That is brought to rest; the whole boat, to be safe. [kg]
        multiple: Of its weight, as the builder sets it. [-]
        nose_z: Level of the bulb's nose, boat axes; below the root. [m]

    Returns:
        Force, moment in the fin's plane, and stresses.

    Raises:
        BoatFigureError: A figure that cannot be, or a tube thicker than the fin.
    """
    require_positive("The mass that is brought to rest", mass, "kg")
    require_positive("The multiple of the weight", multiple, "")
    require_tube_inside(section, foil)
    force = multiple * mass * STANDARD_GRAVITY
    arm = _below_root(foil, nose_z, "The bulb's nose")

    def strains(share: float, station: StationStiffness, fibre: Fibre) -> tuple[float, ...]:
        if station.fore_and_aft is None:
            return ()
        bend = force * (arm - share * foil.span) / station.fore_and_aft
        # Pushed aft at the bottom, the fore fibres are pulled.
        return (bend * fibre.fore, -bend * fibre.aft)

    return Grounding(
        force=force,
        root_moment=force * arm,
        stresses=_worst(foil, section, strains),
        buckling_force=None,
    )


def _station(foil: Foil, section: FinSection, share: float) -> StationStiffness:
    return station_stiffness(section, foil.chord_at(share), foil.thickness_at(share))


def _shares() -> list[float]:
    """Levels at which stresses are looked at, root and tip among them."""
    return [number / (_STATIONS - 1) for number in range(_STATIONS)]


def _worst(
    foil: Foil,
    section: FinSection,
    strains: Callable[[float, StationStiffness, Fibre], tuple[float, ...]],
) -> tuple[Stress, ...]:
    """The largest strain of each material over the levels. A tapered fin's need not be at the root."""
    found: dict[str, Stress] = {}
    for share in _shares():
        station = _station(foil, section, share)
        for number, fibre in enumerate(station.fibres):
            for strain in strains(share, station, fibre):
                key = f"{number} {fibre.material}"
                if key in found and abs(strain) <= abs(found[key].strain):
                    continue
                found[key] = Stress(
                    material=fibre.material,
                    at_z=foil.root_z - share * foil.span,
                    strain=strain,
                    stress=None if fibre.modulus is None else strain * fibre.modulus,
                    allowable=fibre.allowable,
                )
    return tuple(found.values())


def _own_volume(foil: Foil, share: float) -> float:
    """Volume of the fin below a level. [m3]"""
    return _own_integral(foil, share, 0)


def _own_moment(foil: Foil, share: float, density: float) -> float:
    """Moment of the fin's own weight below a level, about that level. [N m]"""
    return density * STANDARD_GRAVITY * _own_integral(foil, share, 1)


def _own_integral(foil: Foil, share: float, power: int) -> float:
    """Integral of section area times (depth below the level)^power: cubic at most, exact with two nodes."""
    total = 0.0
    for node, weight in zip(*(each.tolist() for each in gauss(2)), strict=True):
        at = share + node * (1.0 - share)
        depth = (at - share) * foil.span
        area = AREA_COEFFICIENT * foil.chord_at(at) * foil.thickness_at(at)
        total += weight * (1.0 - share) * foil.span * area * depth**power
    return total


def _below_root(foil: Foil, z: float, what: str) -> float:
    """How far a level lies below the root. [m]"""
    require_finite(what, z, "m")
    if z >= foil.root_z:
        raise BoatFigureError(
            f"{what} is at {shown(z, 'm')}, not below the fin's root at {shown(foil.root_z, 'm')}. Levels are upward "
            "from the design waterline, so those under water are negative."
        )
    return foil.root_z - z
