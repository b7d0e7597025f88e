"""The pattern shop's part of plan.json: parting, pieces, draw, printer, heat, frame."""

from __future__ import annotations

import math

from bulbcast.materials.patterns import pattern_materials
from bulbcast.pattern_shop.frame.frame import MouldFrame
from bulbcast.pattern_shop.shop import DrawRow, PatternShop, PieceFigures
from bulbcast.report.values import Json, point


def parting_object(shop: PatternShop) -> Json:
    """Parting, joints, dowels and cores; pieces, ledger and draw where they have been measured.

    Args:
        shop: From the job.
    """
    measured = shop.measured
    return {
        "plane": shop.plane,
        "offset_m": shop.offset,
        "register": shop.register,
        "dowel_diameter_m": shop.dowel,
        "fit_m": shop.fit,
        "draft_wanted_rad": shop.draft,
        "joints_x_m": list(shop.joints.places),
        "cuts": [
            {"name": cut.name, "start_x_m": cut.start, "end_x_m": cut.end, "cored": cut.in_pattern}
            for cut in shop.cuts
        ],
        "dowels": [
            {
                "kind": pin.kind,
                "across": pin.face,
                "at_m": point(*pin.at),
                "along": pin.along,
                "diameter_m": pin.diameter,
                "hole_diameter_m": pin.hole,
                "depth_m": pin.depth,
            }
            for pin in shop.pins
        ],
        "cores": [
            {
                "name": core.name,
                "kind": core.kind,
                "print_above_m": core.above,
                "print_below_m": core.below,
            }
            for core in shop.cores
        ],
        "thin_places": [
            {"what": one.name, "where": one.where, "thickness_m": _finite(one.thickness)} for one in shop.thin
        ],
        "pieces": [] if measured is None else [_piece(piece) for piece in measured.pieces],
        "ledger": []
        if measured is None
        else [
            {"name": "pattern.stl", "volume_m3": measured.pattern_volume},
            *({"name": name, "volume_m3": volume} for name, volume in measured.lines),
            {"name": "sum of the pieces", "volume_m3": measured.pieces_volume},
        ],
        "draw": [] if measured is None else [_draw(row) for row in measured.draws],
    }


def _finite(value: float) -> float | None:
    return value if math.isfinite(value) else None


def _piece(piece: PieceFigures) -> Json:
    return {
        "name": piece.name,
        "file": piece.file,
        "start_x_m": piece.start,
        "end_x_m": piece.end,
        "volume_m3": piece.volume,
        "area_m2": piece.area,
        "on_bed_m": {"length": piece.size[0], "width": piece.size[1], "height": piece.size[2]},
        "turned_on_bed_rad": piece.angle,
        "plate": None if piece.place is None else piece.place.plate,
        "material_volume_m3": piece.material_volume,
        "material_mass_kg": piece.mass,
    }


def _draw(row: DrawRow) -> Json:
    draw = row.draw
    return {
        "solid": row.solid,
        "pull": row.pull,
        "for_comparison": not row.counts,
        "area_m2": draw.area,
        "undercut_area_m2": draw.undercut_area,
        "undercut_at_m": None if draw.undercut_at is None else point(*draw.undercut_at),
        "undercut_rad": draw.undercut_angle,
        "smallest_draft_rad": draw.smallest,
        "smallest_draft_at_m": point(*draw.smallest_at),
        "low_draft_area_m2": draw.low_area,
        "low_draft_height_m": draw.low_height,
    }


def printer_object(shop: PatternShop) -> Json | None:
    """Bed, position and material; None without [printer].

    Args:
        shop: From the job.
    """
    if shop.printer is None or shop.bed is None or shop.material is None:
        return None
    measured = shop.measured
    masses = [piece.mass for piece in measured.pieces if piece.mass is not None] if measured else []
    plates = [piece.place.plate for piece in measured.pieces if piece.place is not None] if measured else []
    return {
        "bed_within_margins_m": {
            "length": shop.bed.length,
            "width": shop.bed.width,
            "height": shop.bed.height,
            "diagonal": shop.bed.diagonal,
        },
        "position": shop.joints.position,
        "pieces_along_axis": shop.joints.pieces,
        "fits": shop.joints.fits,
        "material": shop.material.name,
        "material_density_kg_m3": shop.material.density,
        "shell_m": shop.printer.shell,
        "infill": shop.printer.infill,
        "layer_m": shop.printer.layer,
        "material_mass_kg": sum(masses) if masses else None,
        "plates": max(plates) if plates else None,
        "heat": [
            {
                "when": event.name,
                "temperature_degC": event.temperature,
                "materials": {
                    material.name: shop.heat_verdict(material, event)
                    for material in pattern_materials()
                    if material.softens_from is not None
                },
            }
            for event in shop.heat
        ],
    }


def frame_object(frame: MouldFrame) -> Json:
    """Mould frame, boards, keys and formers.

    Args:
        frame: From the job.
    """
    return {
        "kind": frame.kind,
        "plane": frame.plane,
        "wall_m": frame.wall,
        "floor_m": frame.floor,
        "inside_m": {"length": frame.inside[0], "width": frame.inside[1]},
        "inside_from_m": {"x": frame.along[0], "across": frame.across[0]},
        "depths_m": list(frame.depths),
        "board_m": frame.board,
        "boards": [
            {
                "name": one.name,
                "count": one.count,
                "length_m": one.length,
                "width_m": one.width,
                "thickness_m": one.thickness,
            }
            for one in frame.boards
        ],
        "keys": {
            "diameter_m": frame.key_diameter,
            "height_m": frame.key_height,
            "at_m": [{"x": x, "across": across} for x, across in frame.keys],
        },
        "formers": [
            {
                "kind": one.kind,
                "x_m": one.x,
                "y_m": one.y,
                "foot_z_m": one.foot_z,
                "top_z_m": one.top_z,
                "foot_diameter_m": one.foot_diameter,
                "top_diameter_m": one.top_diameter,
            }
            for one in frame.formers
        ],
        "mould_volume_m3": frame.mould_volume,
    }


def pattern_shop_parts(shop: PatternShop) -> Json:
    """All of it, by its keys in plan.json.

    Args:
        shop: From the job.
    """
    printer = printer_object(shop)
    return {
        "parting": parting_object(shop),
        **({} if printer is None else {"printer": printer}),
        **({} if shop.frame is None else {"frame": frame_object(shop.frame)}),
    }
