"""Hulls read from disk as surfaces or tables of offsets, with their figures when upright on the design waterline.

The last few hulls are cached, which saves reading them again after a change to the plan.
"""

from __future__ import annotations

import hashlib
from pathlib import Path
from typing import TYPE_CHECKING, NamedTuple

from bulbcast.files.named import METRES, faults_of, named_bytes, named_path
from bulbcast.hull.faults import HullError
from bulbcast.hull.read import HullRead, faults_of_hull
from bulbcast.plan.faults import Fault, PlanError
from bulbcast.plan.input_file import InputFile

if TYPE_CHECKING:
    from bulbcast.plan.sections import Plan

_LARGEST_SURFACE, _LARGEST_TABLE = 600_000_000, 2_000_000


class _Asked(NamedTuple):
    """Keys of [boat] for reading a hull file; the readers and the cache use nothing else from a plan."""

    unit: str | None
    scale: float | None
    aft_axis: str | None
    up_axis: str | None
    waterline: float | None
    forward_end: float | None
    aft_end: float | None
    modelled: str | None
    waterline_length: float | None
    kind: str | None


_kept: dict[tuple[InputFile, _Asked], HullRead] = {}
"""Cache of hulls by file name, hash and reading options, with the most recently used last."""
_MOST_KEPT, _LARGEST_KEPT = 4, 50_000_000
"""Maximum number of cached hulls, and the size in bytes of the largest file whose hull is cached. In memory, a
cached hull takes up five times as much space as its file."""


def load_hull(plan: Plan, folder: Path, *, confined: bool = False) -> HullRead | None:
    """Return the hull named in a plan, at her design waterline.

    Args:
        plan: The plan as read.
        folder: Folder to which its paths are relative.
        confined: Whether paths must stay inside the folder.

    Returns:
        The hull, as the same object for as long as its file and keys are unchanged; None if the plan names no file.

    Raises:
        PlanError: The file cannot be read, or no hull can be made from it; the error lists all faults with their
            locations.
    """
    boat = plan.boat
    if boat is None or (boat.hull is None and boat.offsets is None):
        return None
    surface, typed = boat.hull is not None, boat.hull or boat.offsets or ""
    key = "boat.hull" if surface else "boat.offsets"
    with faults_of(plan.source, key, typed):
        if surface:
            from bulbcast.hull.surfaces import require_surface

            require_surface(Path(typed))
        path = named_path(folder, typed, confined=confined)
        content = named_bytes(path, _LARGEST_SURFACE if surface else _LARGEST_TABLE)
    file = InputFile(key=key, path=typed, sha256=hashlib.sha256(content).hexdigest())
    asked = _Asked(*(getattr(boat, name) for name in _Asked._fields))
    read = _kept.pop((file, asked), None)
    if read is None:
        read = (_of_surface if surface else _of_table)(plan.source, asked, file, content)
    if len(content) <= _LARGEST_KEPT:
        _kept[file, asked] = read
    for oldest in list(_kept)[:-_MOST_KEPT]:
        _kept.pop(oldest, None)
    return read


def _of_surface(source: str, boat: _Asked, file: InputFile, content: bytes) -> HullRead:
    from bulbcast.hull.hydrostatics import design_line_of_mesh
    from bulbcast.hull.mesh import hull_from_triangles
    from bulbcast.hull.outline import outline_of_mesh
    from bulbcast.hull.placement import HullPlacement, rotation_from_axes
    from bulbcast.hull.surfaces import surface_of
    from bulbcast.hull.unit_slip import length_remarks

    typed = file.path
    with faults_of(source, file.key, typed):
        corners, unit_of_file = surface_of(Path(typed), content)
    if unit_of_file is not None and boat.unit not in (None, unit_of_file):
        fault = Fault(
            source,
            f"boat.unit ({typed})",
            f'unit = "{boat.unit}" with a file whose stated unit is {unit_of_file}',
            "the file's stated unit",
            "Remove unit, or use scale if the unit in the file is wrong.",
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
        file=file,
    )


def _of_table(source: str, boat: _Asked, file: InputFile, content: bytes) -> HullRead:
    from bulbcast.files.hull_table import hull_table_of
    from bulbcast.hull.offsets_hull import design_line_of_offsets, offsets_hull
    from bulbcast.hull.outline import outline_of_offsets
    from bulbcast.hull.placement import HullPlacement

    with faults_of(source, file.key, file.path):
        table = hull_table_of(content)
    placement = HullPlacement(
        waterline_level=boat.waterline or 0.0,
        forward_end=boat.forward_end,
        aft_end=boat.aft_end,
        scale=1.0 if boat.scale is None else boat.scale,
    )
    try:
        hull = offsets_hull(table, placement, file.path)
    except HullError as error:
        raise PlanError(faults_of_hull(source, f"{file.key} ({file.path})", error)) from None
    line, notes = design_line_of_offsets(hull)
    return HullRead(
        line=line,
        remarks=hull.remarks,
        notes=notes,
        offsets=hull,
        outline=outline_of_offsets(hull),
        file=file,
    )
