"""Axis of the fin as a beam: its position, its rake and the fin's section perpendicular to it.

A raked fin is longer along its axis than it is deep, and its section perpendicular to the axis is narrower than the
horizontal one. At 23 degrees of rake this gives 39 % more deflection. Boat axes: x aft, z up.
"""

from __future__ import annotations

import math
from functools import lru_cache

from bulbcast.fin.foil import Foil
from bulbcast.fin.stiffness import (
    FinSection,
    StationStiffness,
    TubeCoredFin,
    require_tube_inside,
    station_stiffness,
)
from bulbcast.quantities.frozen import frozen

Point = tuple[float, float]


@frozen
class FinAxis:
    """Line along which a sideways load bends the fin without twisting it.

    Attributes:
        foil: The fin from its support in the hull to the tip.
        section: Construction of the fin.
        fraction: Position as a fraction of the chord, the same at every height. None means the flexural axis of each
            section. [-]
        rake: Rake of the axis from the vertical; tip aft is positive. [rad]
    """

    foil: Foil
    section: FinSection
    fraction: float | None
    rake: float

    @property
    def length(self) -> float:
        """Length along the axis from root to tip. [m]"""
        return self.foil.span / math.cos(self.rake)

    @property
    def down(self) -> Point:
        """Unit vector along the axis towards the tip, x and z. [-]"""
        return math.sin(self.rake), -math.cos(self.rake)

    @property
    def aft(self) -> Point:
        """Unit vector perpendicular to the axis in the fin's plane, x and z. [-]"""
        return math.cos(self.rake), math.sin(self.rake)

    def station(self, share: float) -> StationStiffness:
        """Section perpendicular to the axis at a given fraction of the span. Its chord is that of the horizontal section
        times cos rake."""
        chord = self.foil.chord_at(share) * math.cos(self.rake)
        return station_stiffness(self.section, chord, self.foil.thickness_at(share), self.foil.shape)

    def place(self, share: float) -> Point:
        """Point on the axis at a given fraction of the span, x and z. [m]"""
        foil = self.foil
        fraction = _own(foil, self.section, share) if self.fraction is None else self.fraction
        return foil.leading_edge_at(share) + fraction * foil.chord_at(share), foil.root_z - share * foil.span

    def neutral_place(self, share: float, station: StationStiffness) -> Point:
        """Neutral point for bending in the fin's plane, on the section perpendicular to the axis, x and z. [m]"""
        x, z = self.place(share)
        on_chord = (x - self.foil.leading_edge_at(share)) * math.cos(self.rake)
        off = station.neutral - on_chord
        return x + off * self.aft[0], z + off * self.aft[1]


@frozen
class Level:
    """Point on the fin's axis, with the section there.

    Attributes:
        share: Distance below the root as a fraction of the span. [-]
        at: Point on the axis, x and z. [m]
        station: Section perpendicular to the axis there.
    """

    share: float
    at: Point
    station: StationStiffness


@lru_cache(maxsize=32)
def levels(axis: FinAxis, shares: tuple[float, ...]) -> tuple[Level, ...]:
    """Points on the axis at given fractions of the span. They are cached, because a new bulb changes the loads but not
    the fin.

    Args:
        axis: Axis of the fin.
        shares: Distances below the root as fractions of the span. [-]

    Returns:
        One point for each fraction.
    """
    return tuple(Level(share=share, at=axis.place(share), station=axis.station(share)) for share in shares)


def fin_axis(foil: Foil, section: FinSection, fraction: float | None = None) -> FinAxis:
    """Find the fin's axis.

    Args:
        foil: The fin from its support in the hull to the tip.
        section: Construction of the fin.
        fraction: Position as a fraction of the chord at every height, if known. None means the flexural axis of each
            section. [-]

    Returns:
        The axis, with the rake of the straight line from root to tip.

    Raises:
        BoatFigureError: A solid fin has no stiffness, or a tube is thicker than the fin.
    """
    require_tube_inside(section, foil)
    root, tip = ((_own(foil, section, at) if fraction is None else fraction) for at in (0.0, 1.0))
    aft = (
        foil.leading_edge_at(1.0)
        + tip * foil.chord_at(1.0)
        - foil.leading_edge_at(0.0)
        - root * foil.chord_at(0.0)
    )
    return FinAxis(foil=foil, section=section, fraction=fraction, rake=math.atan2(aft, foil.span))


def root_stress_factor(section: FinSection, rake: float) -> float:
    """Factor by which the stress at the root of a raked fin exceeds the value from beam theory, because the hull holds
    the fin along a horizontal line.

    The shorter path to the hull carries more of the load: the after end of the root if the fin is raked aft, the fore end
    if it is raked forward.

    Args:
        section: Construction of the fin. If the tube alone carries the load, it has no root ends and the factor is 1.
        rake: Rake of its axis, within 30 degrees; tip aft is positive. [rad]

    Returns:
        Factor by which to multiply the beam's stress at the root; 1 for an upright fin. [-]

    References:
        Envelope of finite-element solutions for thin plates of this section held along a horizontal line, with spans of
        three chords or more and the bulb within 0.15 chords of the axis (the test contains some of them). For deflection
        the opposite is true: the beam bends 1 to 5 % more than the plate.
    """
    if isinstance(section, TubeCoredFin) and section.body.modulus == 0.0:
        return 1.0
    lean = abs(math.tan(rake))
    return 1.0 + (1.6 * lean**2 if rake >= 0.0 else 1.05 * lean + 1.7 * lean**2)


def _own(foil: Foil, section: FinSection, share: float) -> float:
    """Position of the section's flexural axis as a fraction of the chord. [-]"""
    chord = foil.chord_at(share)
    return station_stiffness(section, chord, foil.thickness_at(share), foil.shape).flexural / chord
