"""Everything a bundle holds, made and read back before a byte of it reaches the disk."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from bulbcast.files.bundle import PLAN_JSON, BundleFile, json_text, listed_files, write_directory
from bulbcast.files.offsets import offsets_csv
from bulbcast.files.read_back import read_back
from bulbcast.files.solids import Solid, bulb_solid, pattern_solid
from bulbcast.files.stl import stl_bytes
from bulbcast.files.templates import template_files
from bulbcast.job import Job
from bulbcast.report.html import ViewMesh, report_html
from bulbcast.result import Json, plan_object

# The picture in the report turns with the mouse: a tenth of the facets of the file serve.
_VIEW_CHORD_ERROR_IN_DIAMETERS = 1.0 / 150.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Written:
    """What was written: plan.json's object and the names of all files."""

    plan: Json
    names: tuple[str, ...]


def write_bundle(job: Job, directory: Path, *, step: bool = False) -> Written:
    """Make the whole bundle and write it, whole or not at all.

    Args:
        job: The results.
        directory: Absent, empty, or a bundle of ours whose files are replaced.
        step: Whether to write the finished bulb as STEP too.

    Returns:
        What was written. Where a finding is a stop there is no pattern file.

    Raises:
        StepMissingError: STEP was asked for and its kernel is not installed.
        ReadBackError: A solid did not stand the read-back; nothing was written.
        OSError: The disk refused; nothing was written.
    """
    files = bundle_files(job, step=step)
    plan = plan_object(job, [file.record() for file in files])
    contents = [(file.path, file.content) for file in files]
    contents.append((PLAN_JSON, json_text(plan).encode("utf-8")))
    earlier = listed_files(directory) or ()
    write_directory(directory, contents, replaced=(*earlier, PLAN_JSON))
    return Written(plan=plan, names=tuple(path for path, _ in contents))


def bundle_files(job: Job, *, step: bool = False) -> tuple[BundleFile, ...]:
    """Every file of the bundle but plan.json, solids read back.

    Args:
        job: The results.
        step: Whether to write the finished bulb as STEP too.
    """
    files = [_solid_file(bulb_solid(job), "bulb solid")]
    if step:
        from bulbcast.files.step import step_file

        files.append(step_file(job))
    if not job.stopped:
        files.append(_solid_file(pattern_solid(job), "pattern solid"))
        files += template_files(job)
    files.append(BundleFile(path="offsets.csv", kind="offsets", content=offsets_csv(job).encode("utf-8")))
    html = report_html(job, view_mesh(job))
    return (BundleFile(path="report.html", kind="report", content=html.encode("utf-8")), *files)


def view_mesh(job: Job) -> ViewMesh:
    """The finished bulb in few facets, to turn on the screen."""
    # chord_error_used shrinks the allowance on small bulbs; the picture wants a share of the size.
    coarse = max(job.bulb.body.diameter, 0.120) * _VIEW_CHORD_ERROR_IN_DIAMETERS
    mesh = bulb_solid(job, coarse).mesh
    return ViewMesh(positions=mesh.vertices * 1000.0, triangles=mesh.triangles)


def _solid_file(solid: Solid, kind: str) -> BundleFile:
    content = stl_bytes(solid.mesh)
    found = read_back(content, solid.meant)
    return BundleFile(
        path=solid.meant.name,
        kind=kind,
        content=content,
        volume=found.volume,
        mass_centre=(float(found.centroid[0]), float(found.centroid[1]), float(found.centroid[2])),
    )
