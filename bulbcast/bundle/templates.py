"""Template files: sheets as PDF, parts as DXF and SVG, and the turning table as CSV."""

from __future__ import annotations

from bulbcast.bundle.bundle import BundleFile
from bulbcast.drawing.cutting_files import DXF_DECIMALS, SVG_DECIMALS, cutting_svg, dxf_bytes
from bulbcast.drawing.parts import sheet_of
from bulbcast.drawing.pdf import pdf_bytes
from bulbcast.drawing.read_back import dxf_outlines, hold_against, svg_outlines
from bulbcast.job import Job
from bulbcast.pattern_shop.templates.collected import FAMILIES, template_pages, template_set
from bulbcast.pattern_shop.templates.turning import turning_csv


def template_files(job: Job) -> list[BundleFile]:
    """Make all full-size templates of a job, and read them back.

    Args:
        job: The results, which contain no stop.

    Raises:
        ReadBackError: A DXF or SVG file did not read back as it was written.
    """
    chosen = template_set(job)
    pages = template_pages(job, chosen)
    files = [
        BundleFile(
            path="templates.pdf",
            kind="templates",
            content=pdf_bytes(pages, title=f"{job.plan.name}: full-size templates"),
        ),
        BundleFile(
            path="turning.csv",
            kind="turning table",
            content=turning_csv(chosen.stations.pattern, chosen.stations.turning).encode("utf-8"),
        ),
    ]
    for family, words in FAMILIES.items():
        templates = chosen.of_family(family)
        if not templates:
            continue
        sheet = sheet_of(templates)
        dxf = dxf_bytes(sheet)
        svg = cutting_svg(sheet, title=f"{job.plan.name}: {words}").encode("utf-8")
        hold_against(sheet, dxf_outlines(dxf), f"template-{family}.dxf", decimals=DXF_DECIMALS)
        hold_against(sheet, svg_outlines(svg), f"template-{family}.svg", decimals=SVG_DECIMALS)
        files += [
            BundleFile(path=f"template-{family}.dxf", kind="templates", content=dxf),
            BundleFile(path=f"template-{family}.svg", kind="templates", content=svg),
        ]
    return files
