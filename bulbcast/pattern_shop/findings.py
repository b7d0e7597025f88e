"""The pattern shop's findings, out of its plan and, once they are cut, its solids."""

from __future__ import annotations

import math

from bulbcast.findings import Finding
from bulbcast.pattern_shop.frame.frame import MouldFrame
from bulbcast.pattern_shop.pieces.joints import stretches
from bulbcast.pattern_shop.printer.bed import Bed, rectangle_fits
from bulbcast.pattern_shop.rules import (
    check_bed,
    check_dowels,
    check_draft,
    check_frame,
    check_joints,
    check_keys,
    check_layers,
    check_plane,
    check_softening,
    check_sprue,
    check_standing,
    check_thin,
    check_undercut,
)
from bulbcast.pattern_shop.shop import PatternShop
from bulbcast.plan.sections import Plan
from bulbcast.quantities import Shown


def frame_outside(frame: MouldFrame, draft: float) -> tuple[float, float]:
    """Length and width of a printed frame, its taper reckoned in. [m]

    Args:
        frame: The frame.
        draft: Of its inside. [rad]
    """
    taper = 2.0 * max(frame.depths) * math.tan(draft)
    return frame.outside[0] + taper, frame.outside[1] + taper


def frame_fits(shop: PatternShop) -> bool:
    """Whether a printed frame fits the bed; True where none is wanted or no bed is given.

    Args:
        shop: With or without a frame.
    """
    if shop.frame is None or shop.frame.kind != "printed" or shop.bed is None:
        return True
    length, width = sorted(frame_outside(shop.frame, shop.draft), reverse=True)
    return rectangle_fits(length, width, shop.bed) and max(shop.frame.depths) <= shop.bed.height


def shop_findings(plan: Plan, shop: PatternShop, shown: Shown) -> tuple[Finding, ...]:
    """All that the checks say of the pattern shop.

    Args:
        plan: The plan.
        shop: Planned, or measured as well.
        shown: The builder's units.
    """
    outline = shop.outline
    half = float((outline.half_width if shop.plane == "vertical" else outline.half_height).max())
    found = check_plane(offset=shop.offset, half=half, plane=shop.plane, shown=shown)
    if shop.measured is not None:
        found += _draw_findings(shop, shown)
    found += check_dowels(without=_without_dowels(shop))
    if shop.frame is not None:
        found += _frame_findings(shop, shop.frame, shown)
    if shop.printer is not None and shop.bed is not None:
        found += _printer_findings(plan, shop, shown)
    return found


def _frame_findings(shop: PatternShop, frame: MouldFrame, shown: Shown) -> tuple[Finding, ...]:
    found: tuple[Finding, ...] = ()
    for sprue in frame.formers[:1]:
        found += check_sprue(
            at=sprue.x,
            ends=(shop.outline.nose, shop.outline.tail),
            best=shop.outline.widest_at,
            shown=shown,
        )
    return found + check_keys(diameter=frame.key_diameter, wall=frame.wall, shown=shown)


def _draw_findings(shop: PatternShop, shown: Shown) -> tuple[Finding, ...]:
    found: tuple[Finding, ...] = ()
    assert shop.measured is not None
    for row in shop.measured.draws:
        if not row.counts:
            continue
        found += check_undercut(
            solid=row.solid,
            pull=row.pull,
            area=row.draw.undercut_area,
            at=row.draw.undercut_at,
            angle=row.draw.undercut_angle,
            remedy=_undercut_remedy(shop),
            shown=shown,
        )
        wide = shop.outline.half_width if shop.plane == "vertical" else shop.outline.half_height
        found += check_draft(
            solid=row.solid,
            height=row.draw.low_height,
            depth=float(wide.max()),
            at=row.draw.low_at,
            wanted=shop.draft,
            sideways=bool(shop.cores)
            and shop.plane == "horizontal"
            and any(
                cut.in_pattern and cut.start <= (row.draw.low_at or (0.0,))[0] <= cut.end for cut in shop.cuts
            ),
            shown=shown,
        )
    return found


def _undercut_remedy(shop: PatternShop) -> str:
    if shop.offset != 0.0:
        return 'Set offset = "0 mm" under [parting], so that it parts at its widest.'
    if shop.plane != "vertical" and shop.cores:
        return 'Set plane = "vertical" under [parting]: raked core prints draw sideways only.'
    return "Choose the other plane under [parting], or core that cut less deep."


def _without_dowels(shop: PatternShop) -> tuple[str, ...]:
    """Stretches without two dowels across their parting, and joints without their pairs."""
    across = [pin.at[0] for pin in shop.pins if pin.face == "parting"]
    found = [
        f"stretch {number} from the nose" if shop.joints.pieces > 1 else "the pattern"
        for number, (start, end) in enumerate(stretches(shop.outline, shop.joints.places), start=1)
        if shop.plane != "none" and shop.register != "none" and sum(start <= x <= end for x in across) < 2
    ]
    pairs = 2 if shop.plane == "none" else 4
    found += [
        f"joint {number}"
        for number, place in enumerate(shop.joints.places, start=1)
        if sum(pin.face == "joint" and pin.at[0] == place for pin in shop.pins) < pairs
    ]
    return tuple(found)


def _measured_fit(shop: PatternShop, bed: Bed) -> bool:
    """Whether the pieces as they were cut fit the bed; True before they are cut."""
    hair = 1e-5
    return shop.measured is None or all(
        piece.size[0] <= bed.length + hair
        and piece.size[1] <= bed.width + hair
        and piece.size[2] <= bed.height + hair
        for piece in shop.measured.pieces
    )


def _printer_findings(plan: Plan, shop: PatternShop, shown: Shown) -> tuple[Finding, ...]:
    printer, bed, joints = shop.printer, shop.bed, shop.joints
    assert printer is not None
    assert bed is not None
    parts = stretches(shop.outline, joints.places)
    longest = max(end - start for start, end in parts)
    slenderness = 0.0
    for start, end in parts:
        foot = max((min(shop.outline.halves(x)) for x in (start, end)), default=0.0)
        if foot > 0.0:
            slenderness = max(slenderness, (end - start) / (foot if shop.plane != "none" else 2.0 * foot))
    tail = 2.0 * min(shop.outline.halves(shop.outline.tail - 1e-9))
    found = check_bed(
        fits=joints.fits and _measured_fit(shop, bed),
        pieces=joints.pieces,
        position=joints.position,
        longest=longest,
        bed=(bed.length, bed.width, bed.height),
        mend=None if shop.fits_in is None else (shop.fits_in.pieces, shop.fits_in.position),
        prints=bool(shop.cores),
        shown=shown,
    )
    found += check_joints(
        [(cut.name, cut.in_pattern) for cut in joints.struck],
        pieces=joints.pieces,
        clear_pieces=joints.clear_pieces,
    )
    found += check_thin(
        [(one.name, one.where, one.thickness) for one in shop.thin],
        smallest=printer.smallest_wall,
        shown=shown,
    )
    if joints.fits:
        found += check_standing(
            position=joints.position, pieces=joints.pieces, slenderness=slenderness, tail=tail, shown=shown
        )
    material = shop.material
    if material is not None:
        # Without a word on the drying only the setting counts: she takes the pattern out before it dries.
        for event in shop.heat if shop.drying is not None else shop.heat[:1]:
            found += check_softening(
                material=material.name,
                softens_from=material.softens_from,
                event=event.name,
                temperature=event.temperature,
                told=shop.heat_verdict(material, event),
                shown=shown,
            )
    found += check_layers(layer=printer.layer, coat=plan.pattern.coat, position=joints.position, shown=shown)
    if shop.frame is not None:
        found += check_frame(
            fits=frame_fits(shop),
            outside=frame_outside(shop.frame, shop.draft),
            bed=(bed.length, bed.width),
            shown=shown,
        )
    return found
