"""Findings on the ribs of fin and rudder: what skin and centre plate leave of them."""

from __future__ import annotations

from bulbcast.fin.ribs import Rib
from bulbcast.findings import Finding, Rule, Severity
from bulbcast.quantities import Shown

RIB_VANISHES = Rule("rib-vanishes", Severity.CAUTION)
RIB_SLOT_THIN = Rule("rib-slot-thin", Severity.CAUTION)

# Ply or balsa beside a slot breaks out while it is cut below this (common practice, no source). [m]
LEAST_BESIDE_SLOT = 1.0e-3


def check_ribs(
    ribs: tuple[Rib, ...], *, foil: str, skin: float, plate_thickness: float | None, shown: Shown
) -> tuple[Finding, ...]:
    """A finding for the worst rib of each kind of fault; none withholds anything of the bulb.

    Args:
        ribs: Of one foil, root first.
        foil: What it is called.
        skin: Over the ribs. [m]
        plate_thickness: Of the centre plate; None without one. [m]
        shown: The builder's units.
    """
    findings = []
    gone = [rib for rib in ribs if not rib.pieces]
    if gone:
        thinnest = min(gone, key=lambda rib: rib.thickness)
        taken = 2.0 * skin + (plate_thickness or 0.0)
        findings.append(
            RIB_VANISHES(
                where="ribs.skin",
                found=taken,
                limit=thinnest.thickness,
                unit="m",
                message=f"At {shown.length(thinnest.below_root)} below the root the {foil} is "
                f"{shown.length(thinnest.thickness)} thick, and skin and centre plate take {shown.length(taken)}: "
                f"no rib is left there, and none is drawn.",
                remedy="Take a thinner skin or plate, or shape that part of solid stuff.",
            )
        )
    beside = [(rib.beside_slot, rib) for rib in ribs if rib.beside_slot is not None]
    least, worst = min(beside, key=lambda one: one[0], default=(LEAST_BESIDE_SLOT, None))
    if worst is not None and least < LEAST_BESIDE_SLOT:
        what = (
            f"breaks out of the rib by {shown.length(-least)}"
            if least < 0.0
            else f"leaves {shown.length(least)} of the rib beside it"
        )
        findings.append(
            RIB_SLOT_THIN(
                where="ribs.plate_width",
                found=least,
                limit=LEAST_BESIDE_SLOT,
                unit="m",
                message=f"The centre plate's slot {what}, {shown.length(worst.below_root)} below the root of the "
                f"{foil}; below {shown.length(LEAST_BESIDE_SLOT)} it breaks in the cutting.",
                remedy="Take a narrower or thinner plate, or leave plate_width out for half ribs on a whole plate.",
            )
        )
    return tuple(findings)
