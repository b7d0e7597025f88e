"""Stiffness of a fin section, which may be solid, cored with a tube, or of given stiffness.

Each kind of section gives the stiffness and the most highly stressed fibres for a section square to the fin's axis,
with chord c and nominal thickness t. Plane sections are assumed to stay plane. Each material is assumed to be isotropic,
although laminates and wood are not.
"""

from __future__ import annotations

import math

import numpy as np

from bulbcast.fin.foil import Foil
from bulbcast.fin.foil_section import torsion_constant
from bulbcast.fin.shape import Shape, numbers_of
from bulbcast.fin.tip_section import FinTip, half_thickness
from bulbcast.quantities.checked import BoatFigureError, require_not_negative, require_positive, shown
from bulbcast.quantities.frozen import frozen

TUBE_AT = 0.3
"""Default position of a tube's axis as a fraction of the chord, at the maximum thickness of the four-digit section. [-]"""


@frozen
class Material:
    """A fin material. The program contains no allowable stresses; give one with its source, or leave it out.

    Attributes:
        name: Name, such as "carbon laminate".
        modulus: Young's modulus along the span; 0 for a core that carries no load. [Pa]
        shear_modulus: Shear modulus. [Pa]
        allowable: Stress that must not be exceeded; None to report stresses without a limit. [Pa]
        source: Source of the figures.

    Raises:
        BoatFigureError: A figure is impossible.
    """

    name: str
    modulus: float
    shear_modulus: float
    allowable: float | None = None
    source: str = "as given"

    def __post_init__(self) -> None:
        require_not_negative(f'The modulus of "{self.name}"', self.modulus, "Pa")
        require_not_negative(f'The shear modulus of "{self.name}"', self.shear_modulus, "Pa")
        if self.allowable is not None:
            require_positive(f'The allowable stress of "{self.name}"', self.allowable, "Pa")


@frozen
class SolidFin:
    """A solid fin of one material."""

    material: Material


@frozen
class TubeCoredFin:
    """A fin with a round tube in the middle of its thickness, surrounded by another material.

    Attributes:
        body: Material round the tube, with modulus 0 if the tube alone carries the load.
        tube: Material of the tube.
        outer: Outer diameter of the tube. [m]
        inner: Inner diameter of the tube, 0 for a rod. [m]
        at: Distance of the tube's axis aft of the leading edge, as a fraction of the local chord. [-]

    Raises:
        BoatFigureError: The inner diameter is not less than the outer, or the tube's axis is outside the chord.
    """

    body: Material
    tube: Material
    outer: float
    inner: float
    at: float = TUBE_AT

    def __post_init__(self) -> None:
        require_positive("The tube's outer diameter", self.outer, "m")
        require_not_negative("The tube's inner diameter", self.inner, "m")
        if self.inner >= self.outer:
            raise BoatFigureError(
                f"The tube's outer diameter is {shown(self.outer, 'm')} and its inner diameter {shown(self.inner, 'm')}. "
                "Give an inner diameter smaller than the outer, or 0 for a rod."
            )
        if not 0.0 < self.at < 1.0:
            raise BoatFigureError(
                f"The tube's axis is at {self.at:g} of the chord; it must be between 0 and 1. Give the distance aft "
                "of the leading edge as a fraction of the chord."
            )
        require_positive("The tube's modulus", self.tube.modulus, "Pa")
        require_positive("The tube's shear modulus", self.tube.shear_modulus, "Pa")


@frozen
class GivenFin:
    """Stiffness given in the plan, constant along the span, measured on the fin or calculated for a laminate.

    Attributes:
        bending: EI for bending to port and starboard, of the section square to the fin's axis. [N m2]
        torsion: GJ of that section. [N m2]
        fore_and_aft: EI for bending in the fin's plane; None if the stress from grounding is not needed. [N m2]
        material: Material of the outer fibres, for stress; None to report strain only.

    Raises:
        BoatFigureError: A stiffness is not above 0.
    """

    bending: float
    torsion: float
    fore_and_aft: float | None = None
    material: Material | None = None

    def __post_init__(self) -> None:
        require_positive("The bending stiffness", self.bending, "N m2")
        require_positive("The torsional stiffness", self.torsion, "N m2")
        if self.fore_and_aft is not None:
            require_positive("The fore-and-aft stiffness", self.fore_and_aft, "N m2")


_NOT_SHARED = 2.25
# Found with finite elements for tubes from half the fin's thickness to nearly all of it.

FinSection = SolidFin | TubeCoredFin | GivenFin


@frozen
class Fibre:
    """Most highly stressed points in one material of a section.

    Attributes:
        material: Name of the material; "given" if the stiffness is given without a material.
        modulus: Young's modulus. If it is not known, this is None and only strain is reported. [Pa]
        allowable: Allowable stress; None if none was given. [Pa]
        half_depth: Distance from the chord plane to its outermost fibre. [m]
        fore: Distance from the neutral axis to its foremost fibre. [m]
        aft: Distance from the neutral axis to its aftmost fibre. [m]
    """

    material: str
    modulus: float | None
    allowable: float | None
    half_depth: float
    fore: float
    aft: float


@frozen
class StationStiffness:
    """Stiffness of a fin section at one height.

    Attributes:
        bending: EI about the chord line. [N m2]
        torsion: GJ. [N m2]
        fore_and_aft: EI in the fin's plane; None if not known. [N m2]
        axial: EA; None if not known. [N]
        neutral: Distance from the leading edge aft to the neutral axis for bending in the fin's plane. [m]
        flexural: Distance aft of the leading edge at which a load across the fin bends it without twist. [m]
        fibres: One entry for each material that carries load.
    """

    bending: float
    torsion: float
    fore_and_aft: float | None
    axial: float | None
    neutral: float
    flexural: float
    fibres: tuple[Fibre, ...]


def station_stiffness(
    section: FinSection, chord: float, thickness: float, shape: Shape | None = None
) -> StationStiffness:
    """Calculate the stiffness of a section at one height of the fin.

    Args:
        section: Construction of the fin.
        chord: Chord at that height, square to the fin's axis. [m]
        thickness: Nominal thickness at that height. [m]
        shape: Shape of the section; None for the plain four-digit one.

    Returns:
        Stiffness and fibres. For a solid four-digit section, I = 0.039407 c t^3 about the chord line, J comes from
        `torsion_constant`, and the in-plane I is 0.037820 t c^3. For a tube-cored section, the body less the hole for
        the tube is added to the tube, each with its own modulus; the torsional stiffness is found in the same way, less
        an allowance that keeps it on the safe side. For a given stiffness, the axial stiffness is the smallest that the
        fore-and-aft stiffness allows, EI / (fore x aft), which is on the safe side.

    Raises:
        BoatFigureError: A modulus of a solid fin is zero.

    References:
        Section sums: exact, from the NACA four-digit form. Parallel axes and circles: classical. The minimum area for a
            second moment: Bhatia and Davis (2000), variance at most (highest - mean)(mean - lowest).
    """
    if isinstance(section, SolidFin):
        return _solid(section.material, chord, thickness, shape)
    if isinstance(section, TubeCoredFin):
        return _cored(section, chord, thickness, shape)
    numbers = numbers_of(shape)
    fore, aft = numbers.centroid * chord, (1.0 - numbers.centroid) * chord
    return StationStiffness(
        bending=section.bending,
        torsion=section.torsion,
        fore_and_aft=section.fore_and_aft,
        axial=None if section.fore_and_aft is None else section.fore_and_aft / (fore * aft),
        neutral=fore,
        flexural=numbers.flexural_axis * chord,
        fibres=(
            Fibre(
                material="given" if section.material is None else section.material.name,
                modulus=None if section.material is None else section.material.modulus,
                allowable=None if section.material is None else section.material.allowable,
                half_depth=numbers.half_thickness * thickness,
                fore=fore,
                aft=aft,
            ),
        ),
    )


def thickness_at(share: float, thickness: float, shape: Shape | None = None) -> float:
    """Return the full thickness of a section at a point along its chord.

    Args:
        share: Distance aft of the leading edge, as a fraction of the chord, 0 to 1. [-]
        thickness: Nominal thickness. [m]
        shape: Shape of the section; None for the plain four-digit one.

    Returns:
        The thickness. [m]
    """
    half, _ = half_thickness(FinTip(chord=1.0, thickness=1.0, shape=shape), np.array([share]))
    return 2.0 * thickness * float(half[0])


def require_tube_inside(section: FinSection, foil: Foil) -> None:
    """Refuse a tube that does not fit inside the fin at the root or the tip. The fin's chord and thickness vary linearly
    between these two ends.

    Args:
        section: Construction of the fin.
        foil: The fin.

    Raises:
        BoatFigureError: The tube is at least as thick as the fin around it.
    """
    if not isinstance(section, TubeCoredFin):
        return
    for end, thickness in (("root", foil.root_thickness), ("tip", foil.tip_thickness)):
        room = thickness_at(section.at, thickness, foil.shape)
        if section.outer >= room:
            raise BoatFigureError(
                f"The tube is {shown(section.outer, 'm')} in diameter, but at the {end} the fin is only "
                f"{shown(room, 'm')} thick where the tube runs, at {section.at:g} of the chord. Use a thinner tube or a "
                f"thicker fin, or move the tube nearer to {numbers_of(foil.shape).max_at:.2g} of the chord."
            )


def _solid(material: Material, chord: float, thickness: float, shape: Shape | None) -> StationStiffness:
    require_positive(f'The modulus of "{material.name}", used for the complete fin,', material.modulus, "Pa")
    require_positive(
        f'The shear modulus of "{material.name}", used for the complete fin,', material.shear_modulus, "Pa"
    )
    numbers = numbers_of(shape)
    return StationStiffness(
        bending=material.modulus * numbers.across * chord * thickness**3,
        torsion=material.shear_modulus * torsion_constant(chord, thickness, numbers),
        fore_and_aft=material.modulus * numbers.along * thickness * chord**3,
        axial=material.modulus * numbers.area * chord * thickness,
        neutral=numbers.centroid * chord,
        flexural=numbers.flexural_axis * chord,
        fibres=(
            Fibre(
                material=material.name,
                modulus=material.modulus,
                allowable=material.allowable,
                half_depth=numbers.half_thickness * thickness,
                fore=numbers.centroid * chord,
                aft=(1.0 - numbers.centroid) * chord,
            ),
        ),
    )


def _cored(section: TubeCoredFin, chord: float, thickness: float, shape: Shape | None) -> StationStiffness:
    numbers = numbers_of(shape)
    body, tube, at = section.body, section.tube, section.at * chord
    hole_area, hole_second = 0.25 * math.pi * section.outer**2, math.pi / 64.0 * section.outer**4
    bore_area, bore_second = 0.25 * math.pi * section.inner**2, math.pi / 64.0 * section.inner**4
    whole_area, centroid = numbers.area * chord * thickness, numbers.centroid * chord
    body_axial, tube_axial = body.modulus * (whole_area - hole_area), tube.modulus * (hole_area - bore_area)
    axial = body_axial + tube_axial
    body_moment = body.modulus * (whole_area * centroid - hole_area * at)
    neutral = (body_moment + tube_axial * at) / axial
    body_second = (
        numbers.along * thickness * chord**3
        + whole_area * (centroid - neutral) ** 2
        - hole_second
        - hole_area * (at - neutral) ** 2
    )
    tube_second = hole_second - bore_second + (hole_area - bore_area) * (at - neutral) ** 2
    fibres = [
        Fibre(
            material=tube.name,
            modulus=tube.modulus,
            allowable=tube.allowable,
            half_depth=0.5 * section.outer,
            fore=neutral - at + 0.5 * section.outer,
            aft=at - neutral + 0.5 * section.outer,
        )
    ]
    if body.modulus > 0.0:
        fibres.append(
            Fibre(
                material=body.name,
                modulus=body.modulus,
                allowable=body.allowable,
                half_depth=numbers.half_thickness * thickness,
                fore=neutral,
                aft=chord - neutral,
            )
        )
    body_bending = body.modulus * numbers.across * chord * thickness**3
    ring_bending = tube.modulus * (hole_second - bore_second)
    bending = body_bending - body.modulus * hole_second + ring_bending
    # Each strip bends about its own position, so anything at the tube's axis that is not body counts as part of the tube.
    flexural = (body_bending * numbers.flexural_axis * chord + (bending - body_bending) * at) / bending
    return StationStiffness(
        bending=bending,
        torsion=_cored_torsion(section, torsion_constant(chord, thickness, numbers)),
        fore_and_aft=body.modulus * body_second + tube.modulus * tube_second,
        axial=axial,
        neutral=neutral,
        flexural=flexural,
        fibres=tuple(fibres),
    )


def _cored_torsion(section: TubeCoredFin, whole: float) -> float:
    """Return GJ of body and tube together, for a given torsion constant of the complete section [m4]. [N m2]

    The stiffnesses of body and tube are added. Up to 2.25 times the polar moment of the hole in the body is then
    subtracted; the factor grows with the difference between tube and body. The result is 0 to 12 % below finite-element
    results for body and tube bonded together.
    """
    body, tube = section.body.shear_modulus, section.tube.shear_modulus
    hole, bore = math.pi / 32.0 * section.outer**4, math.pi / 32.0 * section.inner**4
    alone = tube * (hole - bore)
    if body == 0.0:
        return alone
    unlike = min(abs(alone / (body * hole) - 1.0), 1.0)
    left = whole - hole - _NOT_SHARED * unlike * hole
    return body * max(left, 0.0) + alone
