"""The plan's fin as a foil, from the hull down to its tip in the pocket."""

from __future__ import annotations

import math

from bulbcast.fin.foil import Foil, FoilSolid, foil_between, foil_solid
from bulbcast.fin.shape import Shape, foil_shape, measured_shape, numbers_of, plate_shape
from bulbcast.fin.tip_section import Slot
from bulbcast.plan.filling import made_from
from bulbcast.plan.fin_sections import FinSection
from bulbcast.plan.rig_sections import RudderSection


def section_of(fin: FinSection) -> Shape | None:
    """Return the shape of the fin's section; None for the plain four-digit section.

    Args:
        fin: The plan's fin.
    """
    if fin.section == "plate":
        return plate_shape(fin.tip_chord, fin.tip_thickness, fin.edge_radius)
    if fin.section == "measured" and fin.measured is not None:
        return measured_shape(fin.measured, fin.tip_chord)
    # The plain form is thickest at three tenths.
    return None if fin.max_at is None or abs(fin.max_at - 0.3) < 1e-9 else foil_shape(fin.max_at)


def slot_of(fin: FinSection) -> Slot | None:
    """Return the slot for the fin; None if the pocket has the shape of the fin's section.

    Args:
        fin: The plan's fin. If the slot's position is not given, the slot is centred on the chord.
    """
    if fin.slot_width is None or fin.slot_length is None:
        return None
    at = 0.5 * (fin.tip_chord - fin.slot_length) if fin.slot_at is None else fin.slot_at
    return Slot(at=at, length=fin.slot_length, width=fin.slot_width)


def slot_gap(fin: FinSection) -> float:
    """Clearance between the thickest part of the fin and each side of its slot, at least a micron. [m]"""
    return max(0.5 * ((fin.slot_width or 0.0) - fin.tip_thickness), 1e-6)


def fin_foil(fin: FinSection, incidence: float) -> Foil:
    """Return the complete fin as a foil.

    The tip is cut parallel to the bulb's axis, so it is not horizontal if the incidence is not zero. The foil then ends
    at the height of the centroid of the tip's section, which preserves the foil's volume to first order in the angle.

    Args:
        fin: Fin of the plan, with its root.
        incidence: Angle of the bulb's axis to the waterline, nose up positive. [rad]

    Returns:
        The foil, with horizontal sections.

    Raises:
        BoatFigureError: The fin's figures are impossible.
        ValueError: The root is not given; the plan reader requires it whenever the complete fin is needed.
    """
    if (
        fin.root_chord is None
        or fin.root_thickness is None
        or fin.root_leading_edge_x is None
        or fin.root_z is None
    ):
        raise ValueError(
            "the plan does not give the fin's root, although the plan reader should have required it"
        )
    shape = section_of(fin)
    leading, chord, level = fin.tip_leading_edge_x, fin.tip_chord, fin.tip_z
    if incidence != 0.0:
        trailing_x = leading + chord * math.cos(incidence)
        trailing_z = level - chord * math.sin(incidence)
        level -= numbers_of(shape).centroid * chord * math.sin(incidence)
        # Positions of the straight edges, extended or cut short, at that height.
        fore = (fin.root_z - level) / (fin.root_z - fin.tip_z)
        aft = (fin.root_z - level) / (fin.root_z - trailing_z)
        root_trailing = fin.root_leading_edge_x + fin.root_chord
        leading = fin.root_leading_edge_x + fore * (leading - fin.root_leading_edge_x)
        chord = root_trailing + aft * (trailing_x - root_trailing) - leading
    return made_from(Foil, fin, tip_chord=chord, tip_leading_edge_x=leading, tip_z=level, shape=shape)


def rudder_foil(rudder: RudderSection) -> Foil:
    """Return the complete rudder blade as a foil.

    Args:
        rudder: Rudder of the plan.
    """
    return made_from(Foil, rudder, shape=None)


def under_water(foil: Foil) -> FoilSolid:
    """Return the part of a foil under the design waterline, without the head of a transom-hung rudder.

    Args:
        foil: Foil with its tip under water.
    """
    if foil.root_z > 0.0 > foil.tip_z:
        foil = foil_between(foil, top_z=0.0, bottom_z=foil.tip_z)
    return foil_solid(foil)
