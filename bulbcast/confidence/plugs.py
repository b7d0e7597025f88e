"""Lead plugs in the recesses over the screws, in place of filler: what they add to a casting that came out light."""

from __future__ import annotations

import math
import re

from bulbcast.bulb.hung.ledger import HungBulb
from bulbcast.quantities.frozen import frozen


@frozen
class LeadPlug:
    """One plug.

    Attributes:
        screw: Number of the screw over which it goes, from one. [-]
        x: Distance of its middle from the nose. [m]
        diameter: Diameter of the recess. [m]
        length: Length of a cylinder of that volume. [m]
        mass: Mass that it adds, less the filler it replaces. [kg]
    """

    screw: int
    x: float
    diameter: float
    length: float
    mass: float


def lead_plugs(bulb: HungBulb, short: float, lead: float, filler: float) -> tuple[LeadPlug, ...]:
    """The plugs that make up for a shortage, as far as the recesses go, each filled by the same share.

    Args:
        bulb: The bulb as planned.
        short: What it hangs too little. [kg]
        lead: Density of cast lead. [kg/m3]
        filler: Density of what else fills the recesses. [kg/m3]

    Returns:
        From the first screw on; none where nothing is short, or there is no recess.
    """
    found = []
    for line in bulb.lines:
        number = re.fullmatch(r"plug of screw (\d+)", line.name)
        if number is not None and line.piece.volume > 0.0:
            found.append((int(number[1]), line.piece))
    room = math.fsum(piece.volume for _, piece in found) * (lead - filler)
    if short <= 0.0 or room <= 0.0:
        return ()
    # All by the same share, so that the mass centre moves as little as it can.
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
