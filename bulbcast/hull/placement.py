"""Conversion from a modeller's axes and unit to boat axes, and faults in the figures given."""

from __future__ import annotations

import numpy as np

from bulbcast.hull.faults import HullError, HullRemark, Place
from bulbcast.quantities.frozen import frozen
from bulbcast.solids.quadrature import Array

_ENDS_DIFFER = 0.02


@frozen
class HullPlacement:
    """Conversion from a modeller's axes and unit to boat axes.

    Lengths here are as modelled, in metres, after the rotation but before scaling.

    Attributes:
        metres_per_unit: Length of the file's unit. [m]
        scale: Size of the boat as built divided by the size modelled, such as 0.1 for a boat built at one
            tenth of a full-size lines plan. [-]
        rotation: Matrix whose rows are the directions aft, to starboard and up in the file's axes; None if those are x,
            y and z already. [-]
        waterline_level: Height of the design waterline. [m]
        forward_end: x of the forward end of the design waterline; None to find it from the surface. [m]
        aft_end: x of the aft end of the design waterline; None to find it from the surface. [m]
    """

    metres_per_unit: float = 1.0
    scale: float = 1.0
    rotation: tuple[Place, Place, Place] | None = None
    waterline_level: float = 0.0
    forward_end: float | None = None
    aft_end: float | None = None


def rotation_from_axes(aft: str, up: str) -> tuple[Place, Place, Place]:
    """Return the rotation from a file's axes to boat axes.

    Args:
        aft: The file's axis that points aft: "x", "-x", "y", "-y", "z" or "-z". [-]
        up: The file's axis that points up; not the axis of `aft`. [-]

    Returns:
        Matrix with rows aft, starboard and up. The starboard direction follows from the other two, since mirrored axes
        would mirror the boat. [-]
    """
    a, u = (
        np.array([(-1.0 if word.startswith("-") else 1.0) * (each == word[-1]) for each in "xyz"])
        for word in (aft, up)
    )
    rows = [tuple(float(value) + 0.0 for value in row) for row in (a, np.cross(u, a), u)]
    return rows[0], rows[1], rows[2]  # type: ignore[return-value]


def off_the_line(
    vertices: Array, lines: Array, waterline: float, placement: HullPlacement
) -> list[HullRemark]:
    """Return a fault if the waterline does not cut the hull."""
    low, high = float(vertices[:, 2].min()), float(vertices[:, 2].max())
    if len(lines) and low < waterline < high:
        return []
    low, high = low / placement.scale, high / placement.scale
    return [
        HullRemark(
            "waterline-off-hull",
            f"The design waterline, at a height of {1e3 * placement.waterline_level:.5g} mm, does not cut the hull, which "
            f"extends from {1e3 * low:.5g} to {1e3 * high:.5g} mm as modelled.",
            "Correct the height, the unit or the axis that points up. The hull must extend above and below the waterline.",
            found=placement.waterline_level,
            limit=low if placement.waterline_level <= low else high,
            unit="m",
        )
    ]


def waterline_ends(
    lines: Array, placement: HullPlacement, source: str
) -> tuple[float, float, list[HullRemark]]:
    """Return the ends of the design waterline, as given or as found, with remarks on unlikely positions."""
    found = (float(lines[:, :, 0].min()), float(lines[:, :, 0].max()))
    given = tuple(
        None if value is None else value * placement.scale
        for value in (placement.forward_end, placement.aft_end)
    )
    forward, aft = (f if g is None else g for f, g in zip(found, given, strict=True))
    if not aft - forward > 0.0:
        fault = HullRemark(
            "ends-crossed",
            f"The design waterline's aft end at {1e3 * aft:.5g} mm is not aft of its forward end at "
            f"{1e3 * forward:.5g} mm, both as built.",
            "Correct the two ends or the axis that points aft.",
            found=aft - forward,
            limit=0.0,
            unit="m",
        )
        raise HullError(source, [fault])
    limit = _ENDS_DIFFER * (aft - forward)
    return (
        forward,
        aft,
        [
            HullRemark(
                "end-off-surface",
                f"The {name} end of the design waterline, as given, is {1e3 * abs(g - f):.3g} mm from the point where "
                "the surface meets the waterline.",
                "The given figure is used. Correct it if it is wrong.",
                found=abs(g - f),
                limit=limit,
                unit="m",
            )
            for name, f, g in zip(("forward", "aft"), found, given, strict=True)
            if g is not None and abs(g - f) > limit
        ],
    )
