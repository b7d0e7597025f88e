"""Files of the templates: sheets as PDF, parts as DXF and SVG, the turning table as CSV."""

from __future__ import annotations

import csv
import io

from bulbcast.bundle.bundle import BundleFile
from bulbcast.drawing.cutting_files import DXF_DECIMALS, SVG_DECIMALS, cutting_svg, dxf_bytes
from bulbcast.drawing.parts import sheet_of
from bulbcast.drawing.pdf import pdf_bytes
from bulbcast.drawing.read_back import dxf_outlines, hold_against, svg_outlines
from bulbcast.job import Job
from bulbcast.pattern.stations import Surface, TurningRow
from bulbcast.pattern_shop.templates.collected import FAMILIES, template_pages, template_set
from bulbcast.quantities.showing import sixty_fourths

_INCH = 0.0254


def template_files(job: Job) -> list[BundleFile]:
    """Everything at full size that a job has, read back.

    Args:
        job: The results; without a stop.

    Raises:
        ReadBackError: A DXF or SVG file did not read as it was written.
    """
    chosen = template_set(job)
    pages = template_pages(job, chosen)
    files = [
        BundleFile(
            path="templates.pdf",
            kind="templates",
            content=pdf_bytes(pages, title=f"{job.plan.name}: templates at full size"),
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


def turning_csv(surface: Surface, rows: tuple[TurningRow, ...]) -> str:
    """The turning table with the unit in each heading: decimals, and inches to 1/64 as a rule shows them.

    Args:
        surface: That is turned, or carved where it is not round.
        rows: Its stations.

    Returns:
        CSV; mm to 0.001 and inches to 0.0001.
    """
    names = (
        ("from_nose", "diameter", "radius", "rough_diameter")
        if surface.round
        else ("from_nose", "width", "height", "rough_width", "rough_height")
    )
    buffer = io.StringIO()
    writer = csv.writer(buffer, lineterminator="\n")
    writer.writerow(
        (
            "station",
            *(f"{name}_mm" for name in names),
            *(f"{name}_in" for name in names),
            *(f"{name}_in_64ths" for name in names),
        )
    )
    for row in rows:
        station = row.station
        lengths = (
            (station.place, 2.0 * station.half_width, station.half_width, row.rough_width)
            if surface.round
            else (
                station.place,
                2.0 * station.half_width,
                2.0 * station.half_height,
                row.rough_width,
                row.rough_height,
            )
        )
        writer.writerow(
            (
                station.number,
                *(f"{1e3 * each:.3f}" for each in lengths),
                *(f"{each / _INCH:.4f}" for each in lengths),
                *(sixty_fourths(each).removesuffix(" in") for each in lengths),
            )
        )
    return buffer.getvalue()
