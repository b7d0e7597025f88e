"""Hulls from disk: surfaces and tables of offsets, worked out upright on the design waterline."""

from __future__ import annotations

import hashlib
from pathlib import Path
from typing import TYPE_CHECKING

from bulbcast.files.named import METRES, faults_of, named_bytes
from bulbcast.hull.faults import HullError
from bulbcast.hull.read import HullRead, faults_of_hull
from bulbcast.plan.faults import Fault, PlanError
from bulbcast.plan.input_file import InputFile

if TYPE_CHECKING:
    from bulbcast.plan.boat_sections import BoatSection
    from bulbcast.plan.sections import Plan

_LARGEST_SURFACE, _LARGEST_TABLE = 600_000_000, 2_000_000


def load_hull(plan: Plan, folder: Path) -> HullRead | None:
    """The hull that a plan names, at her design waterline.

    Args:
        plan: As read.
        folder: That its paths start from.

    Returns:
        The hull; None where the plan names no file for it.

    Raises:
        PlanError: The file cannot be read, or no hull can be made of it; every fault with its place.
    """
    boat = plan.boat
    if boat is None or (boat.hull is None and boat.offsets is None):
        return None
    if boat.hull is not None:
        return _of_surface(plan.source, boat, boat.hull, folder / boat.hull)
    typed = boat.offsets or ""
    return _of_table(plan.source, boat, typed, folder / typed)


def _of_surface(source: str, boat: BoatSection, typed: str, path: Path) -> HullRead:
    from bulbcast.hull.hydrostatics import design_line_of_mesh
    from bulbcast.hull.mesh import hull_from_triangles
    from bulbcast.hull.outline import outline_of_mesh
    from bulbcast.hull.placement import HullPlacement, rotation_from_axes
    from bulbcast.hull.surfaces import require_surface, surface_of
    from bulbcast.hull.unit_slip import length_remarks

    with faults_of(source, "boat.hull", typed):
        require_surface(path)
        content = named_bytes(path, _LARGEST_SURFACE)
        corners, unit_of_file = surface_of(path, content)
    if unit_of_file is not None and boat.unit not in (None, unit_of_file):
        fault = Fault(
            source,
            f"boat.unit ({typed})",
            f'unit = "{boat.unit}" with a file that says it is in {unit_of_file}',
            "the file's own unit",
            "Take unit out, or use scale where the file's own word is wrong.",
        )
        raise PlanError([fault])
    unit = unit_of_file or boat.unit or "mm"
    placement = HullPlacement(
        metres_per_unit=float(METRES[unit]),
        scale=1.0 if boat.scale is None else boat.scale,
        rotation=rotation_from_axes(boat.aft_axis or "x", boat.up_axis or "z"),
        waterline_level=boat.waterline or 0.0,
        forward_end=boat.forward_end,
        aft_end=boat.aft_end,
    )
    try:
        hull = hull_from_triangles(corners, placement=placement, half=boat.modelled == "half", source=typed)
    except HullError as error:
        raise PlanError(faults_of_hull(source, f"boat.hull ({typed})", error)) from None
    odd_length = length_remarks(
        hull.design_length,
        boat.waterline_length,
        unit=unit,
        unit_of_file=unit_of_file is not None,
        kind=boat.kind,
    )
    return HullRead(
        line=design_line_of_mesh(hull),
        remarks=(*hull.remarks, *odd_length),
        notes=(),
        mesh=hull,
        outline=outline_of_mesh(hull),
        unit=unit,
        unit_of_file=unit_of_file is not None,
        file=_input("boat.hull", typed, content),
    )


def _of_table(source: str, boat: BoatSection, typed: str, path: Path) -> HullRead:
    from bulbcast.files.hull_table import hull_table_of
    from bulbcast.hull.offsets_hull import design_line_of_offsets, offsets_hull
    from bulbcast.hull.outline import outline_of_offsets
    from bulbcast.hull.placement import HullPlacement

    with faults_of(source, "boat.offsets", typed):
        content = named_bytes(path, _LARGEST_TABLE)
        table = hull_table_of(content)
    placement = HullPlacement(
        waterline_level=boat.waterline or 0.0,
        forward_end=boat.forward_end,
        aft_end=boat.aft_end,
        scale=1.0 if boat.scale is None else boat.scale,
    )
    try:
        hull = offsets_hull(table, placement, typed)
    except HullError as error:
        raise PlanError(faults_of_hull(source, f"boat.offsets ({typed})", error)) from None
    line, notes = design_line_of_offsets(hull)
    return HullRead(
        line=line,
        remarks=hull.remarks,
        notes=notes,
        offsets=hull,
        outline=outline_of_offsets(hull),
        file=_input("boat.offsets", typed, content),
    )


def _input(key: str, typed: str, content: bytes) -> InputFile:
    return InputFile(key=key, path=typed, sha256=hashlib.sha256(content).hexdigest())
