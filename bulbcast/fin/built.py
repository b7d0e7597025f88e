"""Ribs for every foil in a plan that has [ribs], and the findings on them."""

from __future__ import annotations

from bulbcast.fin.foil import Foil
from bulbcast.fin.planned import fin_foil, rudder_foil
from bulbcast.fin.ribs import CentrePlate, Rib, plate_room, ribs_of
from bulbcast.findings import Finding, Rule, Severity
from bulbcast.plan.faults import Fault, PlanError
from bulbcast.plan.sections import Plan
from bulbcast.quantities import Shown
from bulbcast.quantities.frozen import frozen
from bulbcast.quantities.typed import length_down

RIB_VANISHES = Rule(
    "rib-vanishes",
    Severity.CAUTION,
    why="If the skin and the plate together are as thick as the fin, nothing is left for a rib.",
)
RIB_SLOT_THIN = Rule(
    "rib-slot-thin",
    Severity.CAUTION,
    why="Wood or plywood that is too thin next to a slot breaks when it is cut or handled.",
)

# Plywood or balsa next to a slot that is thinner than this breaks when it is cut (common practice, no source). [m]
LEAST_BESIDE_SLOT = 1.0e-3

# Outlines approximate the curves to a fiftieth of a knife's accuracy. [m]
_CHORD_ERROR = 2e-6


@frozen
class FoilRibs:
    """A built-up fin or rudder with its ribs.

    Attributes:
        name: Name, "fin" or "rudder".
        foil: Finished foil.
        skin: Thickness of the skin over the ribs. [m]
        plate: Centre plate, or None.
        ribs: Ribs in order from the root down.
    """

    name: str
    foil: Foil
    skin: float
    plate: CentrePlate | None
    ribs: tuple[Rib, ...]


def foils_of(plan: Plan) -> tuple[tuple[str, Foil], ...]:
    """Return the foils for which the plan gives both root and tip, with their names.

    Args:
        plan: Plan as read, with [rudder] if it has one.
    """
    found = []
    if plan.fin.root_chord is not None:
        found.append(("fin", fin_foil(plan.fin, 0.0)))
    if plan.rudder is not None:
        found.append(("rudder", rudder_foil(plan.rudder)))
    return tuple(found)


def ribs_job(plan: Plan, foils: tuple[tuple[str, Foil], ...] | None = None) -> tuple[FoilRibs, ...]:
    """Return the ribs of every foil in a plan.

    Args:
        plan: Plan with [ribs].
        foils: Foils to use in place of the plan's own foils.

    Returns:
        One built-up foil for each foil.

    Raises:
        PlanError: The centre plate extends past the edge of a foil, which the message names.
        ValueError: The plan has no [ribs].
    """
    section = plan.ribs
    if section is None:
        raise ValueError("the plan has no ribs")
    plate = None
    if section.plate_thickness is not None:
        plate = CentrePlate(thickness=section.plate_thickness, width=section.plate_width, at=section.plate_at)
    foils = foils_of(plan) if foils is None else foils
    if plate is not None and plate.width is not None:
        _require_plate_fits(plan, foils, plate.width, plate.at)
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


def _require_plate_fits(plan: Plan, foils: tuple[tuple[str, Foil], ...], width: float, at: float) -> None:
    """Check that the centre plate fits within the chord of every foil; the message names the narrowest foil."""
    name, foil = min(foils, key=lambda one: plate_room(one[1], at))
    room, shown = plate_room(foil, at), Shown(plan.display_units)
    if width < room:
        return
    chord = min(foil.root_chord, foil.tip_chord)
    raise PlanError(
        [
            Fault(
                file=plan.source,
                key="ribs.plate_width",
                read=f"a centre plate {shown.length(width)} wide, with its middle at {at:g} of the chord",
                expected=f"a plate narrower than {shown.length(room)}, to fit within the shortest chord of the {name}, "
                f"{shown.length(chord)}",
                remedy=f'Set plate_width = "{length_down(0.98 * room, shown)}" or less.',
            )
        ]
    )


def check_ribs(built: FoilRibs, shown: Shown) -> tuple[Finding, ...]:
    """Return a finding on the worst rib for each kind of fault. None of these findings stops work on the bulb.

    Args:
        built: Built-up foil.
        shown: The builder's units.
    """
    findings = []
    gone = [rib for rib in built.ribs if not rib.pieces]
    if gone:
        thinnest = min(gone, key=lambda rib: rib.thickness)
        if built.plate is None:
            taken, what, thinner = 2.0 * built.skin, "the skin on both sides needs", "Use a thinner skin"
        else:
            taken = 2.0 * built.skin + built.plate.thickness
            what, thinner = "the skin and the centre plate need", "Use a thinner skin or plate"
        findings.append(
            RIB_VANISHES(
                "ribs.skin",
                f"The {built.name} is {shown.length(thinnest.thickness)} thick at {shown.length(thinnest.below_root)} "
                f"below the root, but {what} {shown.length(taken)}. No rib is left at that "
                "height, and none is drawn.",
                f"{thinner}, or make that part of the foil from solid material.",
                found=taken,
                limit=thinnest.thickness,
                unit="m",
            )
        )
    beside = [(rib.beside_slot, rib) for rib in built.ribs if rib.beside_slot is not None]
    least, worst = min(beside, key=lambda one: one[0], default=(LEAST_BESIDE_SLOT, None))
    if worst is not None and least < LEAST_BESIDE_SLOT:
        what = (
            f"cuts through the side of the rib by {shown.length(-least)}"
            if least < 0.0
            else f"leaves {shown.length(least)} of the rib next to it"
        )
        findings.append(
            RIB_SLOT_THIN(
                "ribs.plate_width",
                f"The slot for the centre plate {what}, {shown.length(worst.below_root)} below the root of the "
                f"{built.name}. A strip thinner than {shown.length(LEAST_BESIDE_SLOT)} breaks when the slot is cut.",
                "Use a narrower or thinner plate, or remove plate_width to get half ribs on a full-width plate.",
                found=least,
                limit=LEAST_BESIDE_SLOT,
                unit="m",
            )
        )
    return tuple(findings)
