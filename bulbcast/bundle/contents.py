"""All files of a bundle. They are made, and the solids and templates read back, before any is written to disk."""

from __future__ import annotations

from pathlib import Path

import numpy as np

from bulbcast.bundle.bundle import PLAN_JSON, BundleFile, write_directory
from bulbcast.bundle.shop_files import plain_solid, shop_files, solid_files
from bulbcast.bundle.templates import template_files
from bulbcast.confidence.bar import bar_mesh, bar_volume
from bulbcast.files.offsets import offsets_csv
from bulbcast.job import Job
from bulbcast.job.html import ViewMesh, report_html
from bulbcast.job.plan_json import plan_object
from bulbcast.pattern.solids import bulb_solid, drilled_solid
from bulbcast.pattern_shop.measured import ShopSolids, with_pieces
from bulbcast.pattern_shop.pieces.pictures import pieces_picture
from bulbcast.quantities.frozen import frozen
from bulbcast.report.values import Json, json_text

# The picture in the report is turned with the mouse, and a tenth of the file's facets are enough for it.
_VIEW_CHORD_ERROR_IN_DIAMETERS = 1.0 / 150.0


@frozen
class Written:
    """Result of writing a bundle: the job with its pattern pieces measured, the content of plan.json and the names of all
    files."""

    job: Job
    plan: Json
    names: tuple[str, ...]


def write_bundle(job: Job, directory: Path, *, replace: bool = False, step: bool = False) -> Written:
    """Make the bundle and write it either completely or not at all.

    Args:
        job: The results.
        directory: A directory that is new, empty or a bundle written by this program.
        replace: Whether the files of an earlier bundle there may be replaced.
        step: Whether to write the finished bulb as STEP too.

    Returns:
        Record of the files written. If a finding is a stop, there is no pattern file.

    Raises:
        StepMissingError: STEP was requested but its kernel is not installed.
        ReadBackError: A solid failed the read-back check; nothing was written.
        DirectoryRefusedError: The program must not write to the directory, or its contents changed during the run;
            nothing was written.
        OSError: Writing failed; nothing was written.
    """
    job, solids = with_pieces(job)
    files = bundle_files(job, solids, step=step)
    plan = plan_object(job, [file.record() for file in files])
    contents = [(file.path, file.content) for file in files]
    contents.append((PLAN_JSON, json_text(plan).encode("utf-8")))
    write_directory(directory, contents, replace=replace)
    return Written(job=job, plan=plan, names=tuple(path for path, _ in contents))


def bundle_files(job: Job, solids: ShopSolids | None = None, *, step: bool = False) -> tuple[BundleFile, ...]:
    """Make every file of the bundle except plan.json, with the solids read back.

    Args:
        job: The results, with the pattern's pieces measured if `solids` is given.
        solids: Solids of the pattern and its pieces, cut for that job; None to cut them here.
        step: Whether to write the finished bulb as STEP too.
    """
    if solids is None:
        job, solids = with_pieces(job)
    files = list(solid_files(bulb_solid(job), "bulb solid"))
    if step:
        from bulbcast.bundle.step import step_file

        files.append(step_file(job))
    if not job.stopped:
        files += solid_files(solids.pattern, "pattern solid")
        files += shop_files(job, solids)
        files += template_files(job)
        schedule = None if job.confidence is None else job.confidence.schedule
        if schedule is not None and schedule.holes:
            files += solid_files(drilled_solid(job, schedule.holes), "bulb solid, drilled to its target")
        if job.plan.confidence is not None:
            volume, height = bar_volume()
            bar = plain_solid(job, "test-bar.stl", bar_mesh(), volume, np.array([0.0, 0.0, height]))
            files += solid_files(bar, "pattern of a test bar")
    files.append(BundleFile(path="offsets.csv", kind="offsets", content=offsets_csv(job).encode("utf-8")))
    html = report_html(job, view_mesh(job), pieces_picture(job), [one.record() for one in files])
    return (BundleFile(path="report.html", kind="report", content=html.encode("utf-8")), *files)


def view_mesh(job: Job) -> ViewMesh:
    """Coarse mesh of the finished bulb, for a view that can be rotated on screen."""
    # chord_error_used reduces the tolerance on small bulbs; the picture needs one in proportion to the size.
    coarse = max(job.bulb.body.diameter, 0.120) * _VIEW_CHORD_ERROR_IN_DIAMETERS
    mesh = bulb_solid(job, coarse).mesh
    return ViewMesh(positions=mesh.vertices * 1000.0, triangles=mesh.triangles)
