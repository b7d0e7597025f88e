"""STL and 3MF files of the solids. Each file is read back before it is written to disk."""

from __future__ import annotations

import numpy as np

from bulbcast.bundle.bundle import BundleFile
from bulbcast.job import Job
from bulbcast.pattern.solids import Solid
from bulbcast.pattern_shop.measured import ShopSolids
from bulbcast.pattern_shop.printer.packing import print_turn
from bulbcast.solids.mesh import Mesh
from bulbcast.solids.quadrature import Array
from bulbcast.solids.read_back import SolidMeant, read_back
from bulbcast.solids.stl import stl_bytes
from bulbcast.solids.three_mf import read_back_three_mf, three_mf_bytes


def solid_files(solid: Solid, kind: str, *, turn: Array | None = None) -> tuple[BundleFile, BundleFile]:
    """Make STL and 3MF files of one solid.

    Args:
        solid: The solid, with the values expected when it is read back.
        kind: Type of file as listed in plan.json.
        turn: Rotation that lays the solid on a printer's bed in the 3MF file; None for bulb axes. [-]

    Returns:
        Both files, each with volume and mass centre as read back.

    Raises:
        ReadBackError: A file as read back differs from what was written.
    """
    name = solid.meant.name
    content = stl_bytes(solid.mesh)
    found = read_back(content, solid.meant)
    stem = name.removesuffix(".stl")
    boxed = three_mf_bytes(solid.mesh, stem, turn=turn)
    again = read_back_three_mf(boxed, f"{stem}.3mf", volume=found.volume, centroid=found.centroid)
    return (
        _file(name, kind, content, found.volume, found.centroid),
        _file(f"{stem}.3mf", f"{kind}, 3MF", boxed, again.volume, again.centroid),
    )


def _file(path: str, kind: str, content: bytes, volume: float, centroid: Array) -> BundleFile:
    return BundleFile(
        path=path,
        kind=kind,
        content=content,
        volume=volume,
        mass_centre=(float(centroid[0]), float(centroid[1]), float(centroid[2])),
    )


def shop_files(job: Job, solids: ShopSolids) -> list[BundleFile]:
    """Make the files of the pattern's pieces, core boxes, frame and formers; none if a finding is a stop.

    Args:
        job: The results, with the pattern's pieces measured.
        solids: Solids cut for that job.
    """
    shop = job.shop
    if job.stopped or shop is None or shop.measured is None:
        return []
    files: list[BundleFile] = []
    figures = {piece.name: piece for piece in shop.measured.pieces}
    for piece in solids.pieces:
        said = figures[piece.name]
        turn = print_turn(
            piece.half, shop.joints.position, angle=said.angle, aft_face_down=said.aft_face_down
        )
        solid = plain_solid(job, f"pattern-{piece.name}.stl", piece.mesh, piece.volume, piece.centroid)
        files += solid_files(solid, "pattern piece", turn=turn)
    for other in solids.others:
        mesh, volume, centroid = other.solid.as_written()
        files += solid_files(plain_solid(job, f"{other.name}.stl", mesh, volume, centroid), other.kind)
    return files


def plain_solid(job: Job, name: str, mesh: Mesh, volume: float, centroid: Array) -> Solid:
    """Solid for which no separate quadrature is calculated; its file is checked against the values given here.

    Args:
        job: The results.
        name: Name of the file. [-]
        mesh: Closed mesh. [m]
        volume: Volume expected when the file is read back. [m3]
        centroid: Mass centre expected when the file is read back, shape (3,). [m]
    """
    return Solid(
        mesh=mesh,
        meant=SolidMeant(
            name=name,
            volume=volume,
            centroid=centroid,
            quadrature_volume=volume,
            quadrature_centroid=centroid,
            box=np.stack([mesh.vertices.min(axis=0), mesh.vertices.max(axis=0)]),
            chord_error=job.plan.pattern.chord_error,
        ),
    )
