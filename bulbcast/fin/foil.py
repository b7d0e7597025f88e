"""Fin and rudder as straight-tapered, swept foils of one section shape, with area, volume and centre.

A foil is in the centreline plane, and its sections are horizontal. Chord, thickness and leading edge vary linearly from
the root, at the hull, down to the tip. Every integral over the span is then that of a cubic, which two Gauss nodes give
exactly. Boat axes: x aft, z up.
"""

from __future__ import annotations

import math

from bulbcast.fin.shape import Shape, numbers_of
from bulbcast.quantities.checked import BoatFigureError, require_finite, require_positive, shown
from bulbcast.quantities.frozen import frozen
from bulbcast.solids.quadrature import gauss


@frozen
class Foil:
    """A fin or a rudder blade. The fin's tip is its lower end, which rests on the floor of the pocket.

    Attributes:
        root_chord: Chord at the hull. [m]
        tip_chord: Chord at the tip. [m]
        root_thickness: Nominal maximum thickness of the root section. [m]
        tip_thickness: Nominal maximum thickness of the tip section. [m]
        root_leading_edge_x: x of the root's leading edge, boat axes. [m]
        tip_leading_edge_x: x of the tip's leading edge, boat axes. [m]
        root_z: Height of the root, boat axes. [m]
        tip_z: Height of the tip, less than the root's, boat axes. [m]
        shape: Shape of every section; None for the plain four-digit section.

    Raises:
        BoatFigureError: A chord or thickness is not above 0, a section is thicker than its chord, the tip is not below
            the root, or a figure is not a number.
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
        require_finite("The leading edge at the foil's root", self.root_leading_edge_x, "m")
        require_finite("The leading edge at the foil's tip", self.tip_leading_edge_x, "m")
        require_finite("The height of the foil's root", self.root_z, "m")
        require_finite("The height of the foil's tip", self.tip_z, "m")
        if self.tip_z >= self.root_z:
            raise BoatFigureError(
                f"The foil's tip is at {shown(self.tip_z, 'm')} and its root at {shown(self.root_z, 'm')}; the tip must "
                "be lower than the root. Heights are measured upwards from the design waterline, so those under water "
                "are negative."
            )

    @property
    def span(self) -> float:
        """Vertical distance from root to tip. [m]"""
        return self.root_z - self.tip_z

    @property
    def area(self) -> float:
        """Area of one side in profile, span times mean chord. [m2]"""
        return 0.5 * self.span * (self.root_chord + self.tip_chord)

    @property
    def mean_chord(self) -> float:
        """Mean of root and tip chord. [m]"""
        return 0.5 * (self.root_chord + self.tip_chord)

    @property
    def quarter_chord_sweep(self) -> float:
        """Sweep angle of the quarter-chord line from the vertical, positive with the tip aft. [rad]"""
        aft = (self.tip_leading_edge_x + 0.25 * self.tip_chord) - (
            self.root_leading_edge_x + 0.25 * self.root_chord
        )
        return math.atan2(aft, self.span)

    def chord_at(self, share: float) -> float:
        """Return the chord at a given fraction of the span below the root. [m]"""
        return self.root_chord + share * (self.tip_chord - self.root_chord)

    def thickness_at(self, share: float) -> float:
        """Return the nominal thickness at a given fraction of the span below the root. [m]"""
        return self.root_thickness + share * (self.tip_thickness - self.root_thickness)

    def leading_edge_at(self, share: float) -> float:
        """Return x of the leading edge at a given fraction of the span below the root, boat axes. [m]"""
        return self.root_leading_edge_x + share * (self.tip_leading_edge_x - self.root_leading_edge_x)


@frozen
class FoilSolid:
    """Volume and mass of a foil, with their centres.

    Attributes:
        volume: Volume of the complete foil, from root to tip. [m3]
        centre_x: x of the centre of volume, boat axes. [m]
        centre_z: z of the centre of volume, boat axes. [m]
        area_centre_x: x of the centre of the profile area, boat axes. [m]
        area_centre_z: z of the centre of the profile area, boat axes. [m]
        mass: Mass at the given density; None if no density was given. [kg]
    """

    volume: float
    centre_x: float
    centre_z: float
    area_centre_x: float
    area_centre_z: float
    mass: float | None


def foil_solid(foil: Foil, density: float | None = None) -> FoilSolid:
    """Calculate the foil's volume and centre, exact for straight taper, and its mass if a density is given.

    Args:
        foil: Fin or rudder.
        density: Mean density of the foil, including spar and skins. [kg/m3]

    Returns:
        Volume, centres and mass. The density is uniform, so the mass centre coincides with the centre of volume.

    Raises:
        BoatFigureError: The density is not above 0.
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
    """Return the part of a foil between two heights, such as the exposed part between hull and bulb.

    Args:
        foil: Fin or rudder.
        top_z: Height of the part's top, at or below the root, boat axes. [m]
        bottom_z: Height of the part's bottom, at or above the tip and below `top_z`, boat axes. [m]

    Returns:
        That part as a separate foil.

    Raises:
        BoatFigureError: The heights are outside the foil or in the wrong order.
    """
    if not foil.tip_z <= bottom_z < top_z <= foil.root_z:
        raise BoatFigureError(
            f"The range from {shown(top_z, 'm')} down to {shown(bottom_z, 'm')} is not within the foil, which "
            f"runs from {shown(foil.root_z, 'm')} down to {shown(foil.tip_z, 'm')}. Give heights inside the foil, the "
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
