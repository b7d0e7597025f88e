"""Sag of the fin and the bending moment in it at each station, at 90 degrees of heel.

The beam, loads and unit-load integrals are those of `fin_beam.knockdown`, but the results are given at every station, not
only at the tip.
"""

from __future__ import annotations

import math

from bulbcast.fin.foil import Foil
from bulbcast.fin.stiffness import FinSection
from bulbcast.joint.fin_axis import Level, fin_axis, levels
from bulbcast.joint.fin_beam import arms_from, parts_below
from bulbcast.quantities.checked import STANDARD_GRAVITY
from bulbcast.quantities.frozen import frozen
from bulbcast.solids.quadrature import gauss

_INTERVALS, _NODES = 24, 3


@frozen
class BentLevel:
    """Deflection and moment of the bent fin at one station.

    Attributes:
        depth: Vertical depth below the root. [m]
        thickness: Thickness of the fin at the station. [m]
        deflection: Deflection of its axis, in the direction in which the bulb's weight bends it. [m]
        moment: Moment of everything below, about a horizontal fore-and-aft line at the station. [N m]
    """

    depth: float
    thickness: float
    deflection: float
    moment: float


def bent_fin(
    foil: Foil,
    section: FinSection,
    *,
    bulb_mass: float,
    bulb_x: float,
    bulb_z: float,
    fin_density: float,
    elastic_axis: float | None,
) -> tuple[BentLevel, ...]:
    """Bending of a fin held flat as in `knockdown`, from the hull to the tip.

    Args:
        foil: The fin from its support in the hull to the tip.
        section: Construction of the fin.
        bulb_mass: Mass of the bulb, ready to hang. [kg]
        bulb_x: Position x of its mass centre, boat axes. [m]
        bulb_z: Height z of its mass centre. [m]
        fin_density: Density used for the fin's weight; 0 ignores that weight. [kg/m3]
        elastic_axis: Elastic axis as a fraction of the chord at every height. None means that of each section. [-]

    Returns:
        Stations from root to tip. The first has the moment at the hull, and the last the deflection of the tip.
    """
    axis = fin_axis(foil, section, elastic_axis)
    bulb = (bulb_mass * STANDARD_GRAVITY, (bulb_x, bulb_z))

    def hanging(shares: tuple[float, ...]) -> list[list[tuple[float, tuple[float, float]]]]:
        """Weights below each station, each with its centre. [N], [m]"""
        return [
            [bulb]
            if own is None or fin_density == 0.0
            else [bulb, (fin_density * STANDARD_GRAVITY * own.volume, (own.centre_x, own.centre_z))]
            for own in parts_below(foil, shares)
        ]

    def along(level: Level) -> tuple[float, float]:
        """Position of a station, along the axis and perpendicular to it."""
        x, z = level.at
        return x * axis.down[0] + z * axis.down[1], x * axis.aft[0] + z * axis.aft[1]

    ends = tuple(number / _INTERVALS for number in range(_INTERVALS + 1))
    nodes, parts = gauss(_NODES)
    inner = tuple(start + float(node) / _INTERVALS for start in ends[:-1] for node in nodes.tolist())
    # Sums from the root of bend, of turn, and of both times their position along the axis.
    sums = [(0.0, 0.0, 0.0)]
    for number, (level, below) in enumerate(zip(levels(axis, inner), hanging(inner), strict=True)):
        step = float(parts[number % _NODES]) * axis.length / _INTERVALS
        arms = [arms_from(axis, level, at) for _, at in below]
        bend = step * math.fsum(load * arm for (load, _), (arm, _) in zip(below, arms, strict=True))
        turn = step * math.fsum(load * arm for (load, _), (_, arm) in zip(below, arms, strict=True))
        bend, turn = bend / level.station.bending, turn / level.station.torsion
        down, aft = along(level)
        before = sums[-1]
        sums.append((before[0] + bend, before[1] + turn, before[2] + bend * down + turn * aft))
    found = []
    for number, (level, below) in enumerate(zip(levels(axis, ends), hanging(ends), strict=True)):
        bent, turned, lever = sums[number * _NODES]
        down, aft = along(level)
        found.append(
            BentLevel(
                depth=level.share * foil.span,
                thickness=foil.thickness_at(level.share),
                deflection=bent * down + turned * aft - lever,
                moment=math.fsum(load * (level.at[1] - z) for load, (_, z) in below),
            )
        )
    return tuple(found)
