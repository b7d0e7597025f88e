"""Position of the hung bulb along the fin chord and relative to the fin's elastic axis and the screws."""

from __future__ import annotations

from dataclasses import dataclass

from bulbcast.bulb.hung.ledger import HungBulb
from bulbcast.quantities.checked import STANDARD_GRAVITY


@dataclass(frozen=True, slots=True, kw_only=True)
class Balance:
    """Position of the hung bulb relative to the fin, and its twisting moment.

    Attributes:
        along_chord: Mass centre as a fraction of the tip chord aft of its leading edge. [-]
        from_elastic_axis: Distance of the mass centre aft of the fin's elastic axis. [m]
        twist_at_90: Twisting moment about the elastic axis at 90 degrees of heel, in air; positive if the mass centre
            is aft and turns the leading edge up. [N m]
        overhang_fore: Distance of the nose ahead of the tip's leading edge. [m]
        overhang_aft: Distance of the tail behind the tip's trailing edge. [m]
        from_screws_middle: Distance of the mass centre aft of the mean position of the screws on the pocket floor; None
            without screws. [m]
    """

    along_chord: float
    from_elastic_axis: float
    twist_at_90: float
    overhang_fore: float
    overhang_aft: float
    from_screws_middle: float | None


def balance_of(bulb: HungBulb, *, elastic_axis: float) -> Balance:
    """Calculate the position of the hung bulb relative to the fin.

    Args:
        bulb: The sized and placed bulb.
        elastic_axis: Elastic axis of the fin at its tip, as a fraction of the chord. [-]

    Returns:
        Distances and the twisting moment m g e, where e is the distance from the mass centre to the elastic axis. At 90
        degrees of heel the whole weight acts square to the fin's plane.
    """
    lead, chord = bulb.pocket.leading_edge_x, bulb.pocket.tip.chord
    off = bulb.mass_centre_x - (lead + elastic_axis * chord)
    places = [screw.at_x for screw in bulb.screw_cuts]
    return Balance(
        along_chord=(bulb.mass_centre_x - lead) / chord,
        from_elastic_axis=off,
        twist_at_90=bulb.mass * STANDARD_GRAVITY * off,
        overhang_fore=lead,
        overhang_aft=bulb.body.length - lead - chord,
        from_screws_middle=bulb.mass_centre_x - sum(places) / len(places) if places else None,
    )
