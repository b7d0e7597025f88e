"""All templates of a job, and the pages they are printed on."""

from __future__ import annotations

from dataclasses import dataclass

from bulbcast import __version__
from bulbcast.casting.stations import (
    FAIRING_STATIONS,
    Station,
    Surface,
    TurningRow,
    template_stations,
    turning_rows,
)
from bulbcast.drawing.pages import PAPERS, Page, Paper
from bulbcast.drawing.shapes import Contour
from bulbcast.drawing.templates.cover import cover_page, table_pages
from bulbcast.drawing.templates.fin import fin_templates, pocket_from_above
from bulbcast.drawing.templates.gauges import end_gauges
from bulbcast.drawing.templates.paper import SheetWords, furnished, laid_out
from bulbcast.drawing.templates.saddle import drill_list, saddle_templates
from bulbcast.drawing.templates.silhouettes import silhouettes
from bulbcast.drawing.templates.stations import station_templates
from bulbcast.drawing.templates.template import MM, Template, both_units
from bulbcast.drawing.templates.turning import TurningTable, turning_table
from bulbcast.job import Job
from bulbcast.sizing.ledger import HungBulb

FAMILIES = {
    "stations": "Stations: P of the pattern, F of the finished bulb",
    "gauges": "Nose and tail gauges",
    "silhouettes": "Silhouettes of the pattern, and the outline on the parting plane",
    "fin": "Fin tip and pocket",
    "saddle": "Drilling saddle",
    "ribs": "Ribs and planforms",
}
"""The families of templates in the order of the sheets, each a DXF and an SVG file of its own."""


@dataclass(frozen=True, slots=True, kw_only=True)
class TemplateSet:
    """Everything at full size that a job has.

    Attributes:
        pattern: The pattern's surface.
        finished: The finished lead's.
        stations: Of the pattern's templates.
        rows: Of the turning table.
        templates: On paper, in files, or both.
        turning: The turning table as texts.
        drilling: The drill list, or None.
    """

    pattern: Surface
    finished: Surface
    stations: tuple[Station, ...]
    rows: tuple[TurningRow, ...]
    templates: tuple[Template, ...]
    turning: TurningTable
    drilling: TurningTable | None

    def of_family(self, family: str) -> tuple[Template, ...]:
        """The templates of one family that go into files."""
        return tuple(one for one in self.templates if one.family == family and one.in_files)


def surfaces(job: Job) -> tuple[Surface, Surface]:
    """The pattern before its coat, and the finished lead.

    Args:
        job: The results.
    """
    body, pattern = job.bulb.body, job.pattern
    return (
        Surface(name="pattern", body=body, distance=pattern.offset, scale=pattern.scale),
        Surface(name="finished bulb", body=body, distance=0.0, scale=1.0),
    )


def parting_of(job: Job) -> str:
    """The plane at which a half of the pattern ends: "horizontal" or "vertical".

    Args:
        job: The results; where the plan does not say, the pattern parts where it is widest.
    """
    section = getattr(job.plan, "parting", None)
    plane = getattr(section, "plane", None)
    if plane in ("horizontal", "vertical"):
        return str(plane)
    return "horizontal" if job.bulb.body.width_to_height >= 1.0 else "vertical"


def turning_of(job: Job) -> tuple[Surface, tuple[TurningRow, ...]]:
    """The pattern's surface with its turning rows.

    Args:
        job: The results.
    """
    pattern, _ = surfaces(job)
    section = job.plan.templates
    spacing = None if section is None else section.turning_spacing
    imperial = job.plan.display_units == "imperial"
    return pattern, turning_rows(pattern, spacing=spacing, imperial=imperial)


def template_set(job: Job) -> TemplateSet:
    """All templates of a job.

    Args:
        job: The results.
    """
    pattern, rows = turning_of(job)
    _, finished = surfaces(job)
    section = job.plan.templates
    spacing = None if section is None else section.spacing
    imperial = job.plan.display_units == "imperial"
    stations = template_stations(pattern, spacing=spacing, imperial=imperial)
    fairing = template_stations(finished, spacing=spacing, imperial=imperial, about=FAIRING_STATIONS)
    parting = parting_of(job)
    depth = job.plan.fin.pocket_depth
    templates = (
        *station_templates(pattern, stations, letter="P", inside=True, parting=parting),
        *station_templates(finished, fairing, letter="F", inside=False, parting=parting),
        *end_gauges(pattern, letter="P"),
        *end_gauges(finished, letter="F"),
        *silhouettes(
            pattern, stations, letter="P", parting=parting, pocket=_pocket_on(pattern, job.bulb, depth)
        ),
        *fin_templates(job.bulb, pocket_depth=depth),
        *saddle_templates(job, finished),
    )
    if job.ribs is not None:
        from bulbcast.drawing.templates.ribs import rib_templates

        templates += tuple(one for built in job.ribs for one in rib_templates(built))
    return TemplateSet(
        pattern=pattern,
        finished=finished,
        stations=stations,
        rows=rows,
        templates=templates,
        turning=turning_table(pattern, rows),
        drilling=drill_list(job),
    )


def _pocket_on(pattern: Surface, bulb: HungBulb, depth: float) -> Contour:
    """The pocket's outline seen from above, from the pattern's nose. [mm]"""
    if depth <= 0.0:
        return ()
    ahead = MM * pattern.distance
    return tuple(
        (pattern.scale * (x + ahead), pattern.scale * y) for x, y in pocket_from_above(bulb)
    )


def paper_of(job: Job) -> Paper:
    """The paper that the plan asks for, or the usual one of its units.

    Args:
        job: The results.
    """
    section = job.plan.templates
    if section is not None and section.paper is not None:
        return PAPERS[section.paper]
    return PAPERS["letter" if job.plan.display_units == "imperial" else "A4"]


def template_pages(job: Job, chosen: TemplateSet) -> tuple[Page, ...]:
    """The pages: how to use them, tables, then the templates.

    Args:
        job: The results.
        chosen: Its templates.
    """
    paper = paper_of(job)
    tables = [chosen.turning, *([] if chosen.drilling is None else [chosen.drilling])]
    pages, places = table_pages(paper, tables, 2)
    contents = [(table.title, _numbers(on)) for table, on in zip(tables, places, strict=True)]
    printed = tuple(one for one in chosen.templates if one.on_paper)
    more, where = laid_out(printed, paper, 2 + len(pages))
    pages += more
    for family, words in FAMILIES.items():
        on = {number for one in printed if one.family == family for number in where[one.name]}
        if on:
            contents.append((words, _numbers(tuple(sorted(on)))))
    cover = cover_page(paper, name=job.plan.name, about=_about(job, chosen), contents=contents)
    words = SheetWords(
        project=job.plan.name, revision=f"plan {job.plan.sha256[:8]}, bulbcast {__version__}"
    )
    return furnished([cover, *pages], words)


def _about(job: Job, chosen: TemplateSet) -> list[str]:
    pattern, finished = chosen.pattern, chosen.finished

    def size(surface: Surface) -> str:
        if surface.round:
            return f"{both_units(surface.length)} long, diameter {both_units(surface.width)}"
        return (
            f"{both_units(surface.length)} long, {both_units(surface.width)} wide, "
            f"{both_units(surface.height)} high"
        )

    return [
        f"Pattern, before its coat: {size(pattern)}.",
        f"Finished bulb, lead only: {size(finished)}.",
        f"Parting {parting_of(job)}, through the axis.",
    ]


def _numbers(pages: tuple[int, ...]) -> str:
    """Page numbers in words: "page 3", "pages 3 to 5, 7"."""
    runs: list[list[int]] = []
    for page in pages:
        if runs and page == runs[-1][-1] + 1:
            runs[-1].append(page)
        else:
            runs.append([page])
    texts = [f"{run[0]}" if len(run) == 1 else f"{run[0]} to {run[-1]}" for run in runs]
    return f"page{'s' if len(pages) > 1 else ''} {', '.join(texts)}"
