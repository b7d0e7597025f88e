"""The fin's axis as a beam: where it runs, how far it is raked, and the section square to it.

A raked fin is longer along its axis than it is deep, and its section square to the axis is narrower than the
level one: at 23 degrees that is 39 % more deflection. Boat axes: x aft, z up.
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
    """The line along which a load across the fin bends it without twist.

    Attributes:
        foil: The fin from where the hull holds it to the tip.
        section: How the fin is made.
        fraction: Fraction of the chord at every level; None: each section's own. [-]
        rake: Rake of the axis from the upright, tip aft is positive. [rad]
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
        """Unit vector square to it in the fin's plane, x and z. [-]"""
        return math.cos(self.rake), math.sin(self.rake)

    def station(self, share: float) -> StationStiffness:
        """The section square to the axis at a share of the span: its chord is that of the level section times cos rake."""
        chord = self.foil.chord_at(share) * math.cos(self.rake)
        return station_stiffness(self.section, chord, self.foil.thickness_at(share), self.foil.shape)

    def place(self, share: float) -> Point:
        """The axis at a share of the span, x and z. [m]"""
        foil = self.foil
        fraction = _own(foil, self.section, share) if self.fraction is None else self.fraction
        return foil.leading_edge_at(share) + fraction * foil.chord_at(share), foil.root_z - share * foil.span

    def neutral_place(self, share: float, station: StationStiffness) -> Point:
        """The neutral point for bending in the fin's plane, on the section square to the axis, x and z. [m]"""
        x, z = self.place(share)
        on_chord = (x - self.foil.leading_edge_at(share)) * math.cos(self.rake)
        off = station.neutral - on_chord
        return x + off * self.aft[0], z + off * self.aft[1]


@frozen
class Level:
    """The fin's axis at one level.

    Attributes:
        share: Share of the span below the root. [-]
        at: Point on the axis, x and z. [m]
        station: The section square to it.
    """

    share: float
    at: Point
    station: StationStiffness


@lru_cache(maxsize=32)
def levels(axis: FinAxis, shares: tuple[float, ...]) -> tuple[Level, ...]:
    """The axis at shares of the span. It is cached: the loads change with the bulb, the fin does not.

    Args:
        axis: Axis of the fin.
        shares: Shares of the span below the root. [-]

    Returns:
        One for each share.
    """
    return tuple(Level(share=share, at=axis.place(share), station=axis.station(share)) for share in shares)


def fin_axis(foil: Foil, section: FinSection, fraction: float | None = None) -> FinAxis:
    """The fin's axis.

    Args:
        foil: The fin from where the hull holds it to the tip.
        section: How the fin is made.
        fraction: Fraction of the chord at every level, where it is known; None: the section's own. [-]

    Returns:
        The axis. Its rake is that of the straight line from root to tip.

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
    """How much more a raked fin is stressed at its root than the beam says, where the hull holds it level.

    The shorter way to the hull carries more: at the after end of the root of a fin raked aft, at the fore end of one
    raked forward.

    Args:
        section: How the fin is made; a tube counted alone has no such ends.
        rake: Rake of its axis, tip aft is positive, within 30 degrees. [rad]

    Returns:
        Factor on the beam's stress at the root; 1 upright. [-]

    References:
        Envelope of finite-element solutions for thin plates of this section held level, with spans from three chords and the
        bulb within 0.15 chords of the axis (the test keeps some). For deflection it is the other way: the beam is 1 to
        5 % above the plate.
    """
    if isinstance(section, TubeCoredFin) and section.body.modulus == 0.0:
        return 1.0
    lean = abs(math.tan(rake))
    return 1.0 + (1.6 * lean**2 if rake >= 0.0 else 1.05 * lean + 1.7 * lean**2)


def _own(foil: Foil, section: FinSection, share: float) -> float:
    """The section's own flexural axis as a fraction of the chord. [-]"""
    chord = foil.chord_at(share)
    return station_stiffness(section, chord, foil.thickness_at(share), foil.shape).flexural / chord
