"""Lead plugs in the recesses over the screws, in place of filler, to add mass to a casting that is too light."""

from __future__ import annotations

import math
import re

from bulbcast.bulb.hung.ledger import HungBulb
from bulbcast.quantities.frozen import frozen


@frozen
class LeadPlug:
    """A lead plug.

    Attributes:
        screw: Number of the screw that it covers, counted from one. [-]
        x: Distance of the plug's middle from the nose. [m]
        diameter: Diameter of the recess. [m]
        length: Length of a cylinder of the same diameter and volume. [m]
        mass: Mass of the plug less the filler that it replaces. [kg]
    """

    screw: int
    x: float
    diameter: float
    length: float
    mass: float


def lead_plugs(bulb: HungBulb, short: float, lead: float, filler: float) -> tuple[LeadPlug, ...]:
    """Find the plugs that make up a shortage, as far as the recesses allow. The same fraction of each recess is filled.

    Args:
        bulb: The bulb as planned.
        short: Shortage of hung mass. [kg]
        lead: Density of cast lead. [kg/m3]
        filler: Density of the filler in the recesses. [kg/m3]

    Returns:
        Plugs in the order of the screws; none if there is no shortage or no recess.
    """
    found = []
    for line in bulb.lines:
        number = re.fullmatch(r"plug of screw (\d+)", line.name)
        if number is not None and line.piece.volume > 0.0:
            found.append((int(number[1]), line.piece))
    room = math.fsum(piece.volume for _, piece in found) * (lead - filler)
    if short <= 0.0 or room <= 0.0:
        return ()
    # All are filled by the same fraction, so that the mass centre moves as little as possible.
    share = min(1.0, short / room)
    plugs = []
    for screw, piece in found:
        across = bulb.screw_cuts[screw - 1].recess_diameter
        volume = share * piece.volume
        plugs.append(
            LeadPlug(
                screw=screw,
                x=piece.moment_x / piece.volume,
                diameter=across,
                length=volume / (0.25 * math.pi * across**2),
                mass=volume * (lead - filler),
            )
        )
    return tuple(plugs)
