"""In-plane load at which the fin buckles, bending sideways as a column and twisting at the same time.

Classical stability of a straight bar held at its root, with a rigid bulb at its tip. The force keeps its direction and
its point of action on the bulb, and that point is free to slide sideways. Ground that holds the point would help, and so
would a round bulb that rolls.
"""

from __future__ import annotations

import numpy as np

from bulbcast.joint.fin_axis import FinAxis, Point, levels

BUCKLING_RESERVE = 3.0
"""Minimum ratio of the buckling load to the actual load. Common practice, no source. For comparison, straight steel
columns in buildings were given a ratio of 23 / 12 (AISC, allowable stress design, from memory), and a fin is neither as
straight nor as uniform. [-]"""

NOT_COVERED_AGROUND = (
    "This does not cover the shock of the blow, a fin that is not straight, a hull that flexes, skins that buckle "
    "separately, or the joint."
)
"""Caveat shown wherever the report says how many times the boat's weight a fin can bear when she is aground."""

_CELLS = 60


def buckling_force(axis: FinAxis, *, direction: Point, at: Point) -> float | None:
    """Smallest force in a given direction, at a given point of the bulb, that buckles the fin.

    Args:
        axis: Axis of the fin.
        direction: Direction of the force in the fin's plane, unit vector, x and z. [-]
        at: Point where it acts on the bulb, x and z, boat axes. [m]

    Returns:
        The force; None if no force in that direction buckles the fin. [N]

    References:
        Equilibrium of a bent and twisted bar in its deflected position, as in Timoshenko and Gere, Theory of Elastic
        Stability, on columns and on the lateral buckling of beams. The initial bending in the fin's plane is ignored,
        to be safe. Solved with constant curvature in each of 60 cells.
    """
    cells = levels(axis, tuple((number + 0.5) / _CELLS for number in range(_CELLS)))
    stations, places = [one.station for one in cells], np.array([one.at for one in cells])
    step = axis.length / _CELLS
    down, aft, force = np.array(axis.down), np.array(axis.aft), np.array(direction)
    along, across = places @ down, places @ aft
    ahead, off = float(np.array(at) @ down) - along, float(np.array(at) @ aft) - across
    pulled, pushed = float(force @ down), float(force @ aft)
    # The unknowns are the rates of bending and of twist in each cell; these give rotation and position at its middle.
    before = np.tril(np.ones((_CELLS, _CELLS)), -1) + 0.5 * np.eye(_CELLS)
    turned = step * before
    bent = step * (np.tril(along[:, None] - along, -1) + 0.125 * step * np.eye(_CELLS))
    swung = step * np.tril(across[:, None] - across, -1)
    # Sideways movement of the point of the force relative to each point of the axis, from bending and from twist.
    by_bend, by_twist = step * ahead[None, :] - bent, step * off[None, :] - swung
    in_plane = (off * pulled - ahead * pushed)[:, None]
    grows = np.block(
        [
            [-pulled * by_bend, -pulled * by_twist + in_plane * turned],
            [-pushed * by_bend - in_plane * turned, -pushed * by_twist],
        ]
    )
    stiff = np.array([one.bending for one in stations] + [one.torsion for one in stations])
    values = np.linalg.eigvals(grows / stiff[:, None])
    real = values.real[np.abs(values.imag) <= 1e-6 * np.abs(values.real)]
    most = float(real.max(initial=0.0))
    return 1.0 / most if most > 0.0 else None
