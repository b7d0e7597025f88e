"""[ribs] to the ribs of every foil the plan gives: the fin, and whatever else is a foil."""

from __future__ import annotations

from dataclasses import dataclass

from bulbcast.fin.depth import rudder_foil
from bulbcast.fin.foil import Foil
from bulbcast.fin.ribs import CentrePlate, Rib, plate_room, ribs_of
from bulbcast.fin.ribs_rules import check_ribs
from bulbcast.findings import Finding
from bulbcast.plan.faults import Fault, PlanError
from bulbcast.plan.pattern_sections import RibsSection
from bulbcast.plan.sections import FinSection, Plan
from bulbcast.quantities import Shown
from bulbcast.quantities.typed import length_down

# Outlines stand in for the curves to a fiftieth of what a knife can follow. [m]
_CHORD_ERROR = 2e-6


@dataclass(frozen=True, slots=True, kw_only=True)
class FoilRibs:
    """One foil as it is built up.

    Attributes:
        name: "fin", "rudder".
        foil: The finished foil.
        skin: Over the ribs. [m]
        plate: The centre plate, or None.
        ribs: Root first.
    """

    name: str
    foil: Foil
    skin: float
    plate: CentrePlate | None
    ribs: tuple[Rib, ...]


def foils_of(plan: Plan) -> tuple[tuple[str, Foil], ...]:
    """The foils that the plan tells from root to tip, with their names.

    Args:
        plan: As read, [rudder] among it where it has one; a further foil joins here.
    """
    fin = plan.fin
    found = []
    if fin.root_chord is not None:
        found.append(("fin", _fin(fin)))
    if plan.rudder is not None:
        found.append(("rudder", rudder_foil(plan.rudder)))
    return tuple(found)


def ribs_job(plan: Plan, foils: tuple[tuple[str, Foil], ...] | None = None) -> tuple[FoilRibs, ...]:
    """The ribs of every foil.

    Args:
        plan: With [ribs].
        foils: In place of those the plan tells.

    Returns:
        One for each foil.

    Raises:
        PlanError: A centre plate that reaches past the edge of a foil; the message says of which.
        ValueError: The plan has no [ribs].
    """
    section = plan.ribs
    if section is None:
        raise ValueError("the plan gives no ribs")
    plate = _plate(section)
    foils = foils_of(plan) if foils is None else foils
    if plate is not None:
        _require_plate_fits(plan, foils, plate)
    return tuple(
        FoilRibs(
            name=name,
            foil=foil,
            skin=section.skin,
            plate=plate,
            ribs=ribs_of(foil, int(section.count), skin=section.skin, plate=plate, chord_error=_CHORD_ERROR),
        )
        for name, foil in foils
    )


def _require_plate_fits(plan: Plan, foils: tuple[tuple[str, Foil], ...], plate: CentrePlate) -> None:
    """See that the centre plate stands within the chords of every foil; the narrowest says what would do."""
    if plate.width is None:
        return
    name, foil = min(foils, key=lambda one: plate_room(one[1], plate.at))
    room, shown = plate_room(foil, plate.at), Shown(plan.display_units)
    if plate.width < room:
        return
    chord = min(foil.root_chord, foil.tip_chord)
    raise PlanError(
        [
            Fault(
                file=plan.source,
                key="ribs.plate_width",
                read=f"a centre plate {shown.length(plate.width)} wide about {plate.at:g} of the chord",
                expected=f"one inside the shortest chord of the {name}, {shown.length(chord)}: narrower than "
                f"{shown.length(room)}",
                remedy=f'Set plate_width = "{length_down(0.98 * room, shown)}" or less.',
            )
        ]
    )


def ribs_findings(foils: tuple[FoilRibs, ...], shown: Shown) -> tuple[Finding, ...]:
    """All that the checks say of the ribs.

    Args:
        foils: From `ribs_job`.
        shown: The builder's units.
    """
    found: tuple[Finding, ...] = ()
    for one in foils:
        thickness = None if one.plate is None else one.plate.thickness
        found += check_ribs(one.ribs, foil=one.name, skin=one.skin, plate_thickness=thickness, shown=shown)
    return found


def _plate(section: RibsSection) -> CentrePlate | None:
    if section.plate_thickness is None:
        return None
    return CentrePlate(thickness=section.plate_thickness, width=section.plate_width, at=section.plate_at)


def _fin(fin: FinSection) -> Foil:
    if (
        fin.root_chord is None
        or fin.root_thickness is None
        or fin.root_leading_edge_x is None
        or fin.root_z is None
    ):
        raise ValueError("the reader lets no ribs pass without the fin's root")
    return Foil(
        root_chord=fin.root_chord,
        tip_chord=fin.tip_chord,
        root_thickness=fin.root_thickness,
        tip_thickness=fin.tip_thickness,
        root_leading_edge_x=fin.root_leading_edge_x,
        tip_leading_edge_x=fin.tip_leading_edge_x,
        root_z=fin.root_z,
        tip_z=fin.tip_z,
    )
