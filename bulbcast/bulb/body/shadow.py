"""Area, outline and centroid of the body's shadow on a horizontal plane or on a vertical one along its axis.

Molten metal lifts a cope in proportion to the area of the cavity's shadow. In an open half-mould, this is also the area
of the metal's surface.
"""

from __future__ import annotations

import math
from typing import Literal

import numpy as np

from bulbcast.bulb.body.integrals import _phi_nodes
from bulbcast.bulb.body.turned import TurnedBody
from bulbcast.quantities.frozen import frozen

Seen = Literal["from above", "from the side"]


@frozen
class Shadow:
    """A plane outline that is symmetrical about the axis.

    Attributes:
        area: Area within the outline. [m2]
        moment_x: First moment of the area about the nose. [m3]
        perimeter: Length of the closed outline, tail face included. [m]
        perimeter_moment_x: First moment of the closed outline about the nose. [m2]
    """

    area: float
    moment_x: float
    perimeter: float
    perimeter_moment_x: float

    @property
    def centroid_x(self) -> float:
        """Distance of the centroid from the nose. [m]"""
        return self.moment_x / self.area


def shadow_of(body: TurnedBody, seen: Seen) -> Shadow:
    """The outline of the body, seen from above or from the side.

    Args:
        body: The body before anything is cut from it.
        seen: "from above" for an outline as wide as the body, "from the side" for one as high as the body.

    Returns:
        The area A = 2 int a r dx (a r is the half breadth of the section), the length of the outline, and the moments
        of both.
    """
    phi, weight = _phi_nodes(body)
    xi = np.sin(0.5 * phi) ** 2
    q, slope_q = body.profile.squared(xi)
    factor = math.sqrt(body.width_to_height if seen == "from above" else 1.0 / body.width_to_height)
    radius = 0.5 * body.diameter
    r = radius * np.sqrt(np.maximum(q, 0.0))
    with np.errstate(divide="ignore", invalid="ignore"):
        slope = np.where(r > 0.0, factor * radius**2 * slope_q / (2.0 * r * body.uncut_length), 0.0)
    dx = 0.5 * body.uncut_length * np.sin(phi) * weight
    x = xi * body.uncut_length
    line = 2.0 * np.hypot(1.0, slope) * dx
    face = 2.0 * factor * body.tail_radius
    return Shadow(
        area=float(np.sum(2.0 * factor * r * dx)),
        moment_x=float(np.sum(2.0 * factor * r * x * dx)),
        perimeter=float(np.sum(line)) + face,
        perimeter_moment_x=float(np.sum(line * x)) + face * body.length,
    )


def grown_shadow(shadow: Shadow, distance: float, *, length: float) -> Shadow:
    """The shadow of the body's parallel surface, by Steiner's formula in the plane.

    Args:
        shadow: Shadow of the body itself.
        distance: Distance of the parallel surface, outwards. [m]
        length: Length of the body. [m]

    Returns:
        A + P d + pi d^2 and P + 2 pi d; the terms in pi are split equally between the two ends.
    """
    # The outline turns by pi over the nose half and by pi over the tail half: their mean is the middle.
    round_x = 0.5 * length
    return Shadow(
        area=shadow.area + shadow.perimeter * distance + math.pi * distance**2,
        moment_x=shadow.moment_x + shadow.perimeter_moment_x * distance + math.pi * distance**2 * round_x,
        perimeter=shadow.perimeter + 2.0 * math.pi * distance,
        perimeter_moment_x=shadow.perimeter_moment_x + 2.0 * math.pi * distance * round_x,
    )


def scaled_shadow(shadow: Shadow, scale: float) -> Shadow:
    """The shadow of the body scaled about its nose.

    Args:
        shadow: Shadow of the body itself.
        scale: [-]
    """
    return Shadow(
        area=shadow.area * scale**2,
        moment_x=shadow.moment_x * scale**3,
        perimeter=shadow.perimeter * scale,
        perimeter_moment_x=shadow.perimeter_moment_x * scale**2,
    )
