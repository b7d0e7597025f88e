"""Fin and rudder as straight-tapered, swept foils of one shape of section: area, volume, centre.

A foil hangs in the centreline plane. Its sections are level; chord, thickness and the place of the
leading edge run in straight lines from the root, at the hull, down to the tip. Every integral over the
span is then that of a cubic, which two Gauss nodes give exactly. Boat axes: x aft, z up.
"""

from __future__ import annotations

import math

from bulbcast.fin.shape import Shape, numbers_of
from bulbcast.quantities.checked import BoatFigureError, require_finite, require_positive, shown
from bulbcast.quantities.frozen import frozen
from bulbcast.solids.quadrature import gauss


@frozen
class Foil:
    """A fin or a rudder blade. The fin's tip is the bottom of its tongue, the pocket floor.

    Attributes:
        root_chord: At the hull. [m]
        tip_chord: [m]
        root_thickness: Nominal largest thickness of the root section. [m]
        tip_thickness: Likewise at the tip. [m]
        root_leading_edge_x: Boat axes. [m]
        tip_leading_edge_x: Boat axes. [m]
        root_z: Level of the root, boat axes. [m]
        tip_z: Level of the tip, below the root's. [m]
        shape: Of every section; None: the plain four-digit one.

    Raises:
        BoatFigureError: A chord or thickness that is not above 0, a section thicker than its chord, a
            tip that is not below the root, or a figure that is no number.
    """

    root_chord: float
    tip_chord: float
    root_thickness: float
    tip_thickness: float
    root_leading_edge_x: float
    tip_leading_edge_x: float
    root_z: float
    tip_z: float
    shape: Shape | None = None

    def __post_init__(self) -> None:
        for end, chord, thickness in (
            ("root", self.root_chord, self.root_thickness),
            ("tip", self.tip_chord, self.tip_thickness),
        ):
            require_positive(f"The foil's {end} chord", chord, "m")
            require_positive(f"The foil's {end} thickness", thickness, "m")
            if thickness > chord:
                raise BoatFigureError(
                    f"The foil's {end} thickness is {shown(thickness, 'm')}, which is more than its chord of "
                    f"{shown(chord, 'm')}. Give the thickness across the foil and the chord along it."
                )
        require_finite("The foil's root leading edge", self.root_leading_edge_x, "m")
        require_finite("The foil's tip leading edge", self.tip_leading_edge_x, "m")
        require_finite("The foil's root level", self.root_z, "m")
        require_finite("The foil's tip level", self.tip_z, "m")
        if self.tip_z >= self.root_z:
            raise BoatFigureError(
                f"The foil's tip is at {shown(self.tip_z, 'm')} and its root at {shown(self.root_z, 'm')}; the tip must "
                "be lower than the root. Levels are measured upwards from the design waterline, so those under water "
                "are negative."
            )

    @property
    def span(self) -> float:
        """From root to tip, upright. [m]"""
        return self.root_z - self.tip_z

    @property
    def area(self) -> float:
        """Of one side's profile: span times mean chord. [m2]"""
        return 0.5 * self.span * (self.root_chord + self.tip_chord)

    @property
    def mean_chord(self) -> float:
        """[m]"""
        return 0.5 * (self.root_chord + self.tip_chord)

    @property
    def quarter_chord_sweep(self) -> float:
        """Angle of the line through the quarter chords with the upright, tip aft is positive. [rad]"""
        aft = (self.tip_leading_edge_x + 0.25 * self.tip_chord) - (
            self.root_leading_edge_x + 0.25 * self.root_chord
        )
        return math.atan2(aft, self.span)

    def chord_at(self, share: float) -> float:
        """Chord at a share of the span below the root. [m]"""
        return self.root_chord + share * (self.tip_chord - self.root_chord)

    def thickness_at(self, share: float) -> float:
        """Nominal thickness at a share of the span below the root. [m]"""
        return self.root_thickness + share * (self.tip_thickness - self.root_thickness)

    def leading_edge_at(self, share: float) -> float:
        """x of the leading edge at a share of the span below the root, boat axes. [m]"""
        return self.root_leading_edge_x + share * (self.tip_leading_edge_x - self.root_leading_edge_x)


@frozen
class FoilSolid:
    """A foil's volume and what it weighs.

    Attributes:
        volume: Of the whole foil, root to tip. [m3]
        centre_x: Of the volume, boat axes. [m]
        centre_z: Of the volume, boat axes. [m]
        area_centre_x: Of the profile area, boat axes. [m]
        area_centre_z: Of the profile area, boat axes. [m]
        mass: At the density given; None where none was. [kg]
    """

    volume: float
    centre_x: float
    centre_z: float
    area_centre_x: float
    area_centre_z: float
    mass: float | None


def foil_solid(foil: Foil, density: float | None = None) -> FoilSolid:
    """Volume of the foil and its centre, exact for straight taper; its mass if a density is given.

    Args:
        foil: Fin or rudder.
        density: Of the foil as a whole, spar and skins together. [kg/m3]

    Returns:
        Volume, centres, mass. Of one material throughout, the mass centre is the volume's.

    Raises:
        BoatFigureError: A density that is not above 0.
    """
    if density is not None:
        require_positive("The foil's density", density, "kg/m3")
    numbers = numbers_of(foil.shape)
    volume = moment_x = moment_z = area_x = area_z = 0.0
    for node, weight in zip(*(each.tolist() for each in gauss(2)), strict=True):
        chord, leading = foil.chord_at(node), foil.leading_edge_at(node)
        height = foil.root_z - node * foil.span
        slice_volume = weight * foil.span * numbers.area * chord * foil.thickness_at(node)
        slice_area = weight * foil.span * chord
        volume += slice_volume
        moment_x += slice_volume * (leading + numbers.centroid * chord)
        moment_z += slice_volume * height
        area_x += slice_area * (leading + 0.5 * chord)
        area_z += slice_area * height
    return FoilSolid(
        volume=volume,
        centre_x=moment_x / volume,
        centre_z=moment_z / volume,
        area_centre_x=area_x / foil.area,
        area_centre_z=area_z / foil.area,
        mass=None if density is None else density * volume,
    )


def foil_between(foil: Foil, *, top_z: float, bottom_z: float) -> Foil:
    """The part of a foil between two levels, such as what stands free between hull and bulb.

    Args:
        foil: Fin or rudder.
        top_z: At or below the root, boat axes. [m]
        bottom_z: At or above the tip, below `top_z`, boat axes. [m]

    Returns:
        That part as a foil of its own.

    Raises:
        BoatFigureError: Levels outside the foil or in the wrong order.
    """
    if not foil.tip_z <= bottom_z < top_z <= foil.root_z:
        raise BoatFigureError(
            f"The part of the foil from {shown(top_z, 'm')} down to {shown(bottom_z, 'm')} is not within the foil, which "
            f"runs from {shown(foil.root_z, 'm')} down to {shown(foil.tip_z, 'm')}. Give levels inside the foil, the "
            "upper one first."
        )
    upper, lower = ((foil.root_z - level) / foil.span for level in (top_z, bottom_z))
    return Foil(
        root_chord=foil.chord_at(upper),
        tip_chord=foil.chord_at(lower),
        root_thickness=foil.thickness_at(upper),
        tip_thickness=foil.thickness_at(lower),
        root_leading_edge_x=foil.leading_edge_at(upper),
        tip_leading_edge_x=foil.leading_edge_at(lower),
        root_z=top_z,
        tip_z=bottom_z,
        shape=foil.shape,
    )
