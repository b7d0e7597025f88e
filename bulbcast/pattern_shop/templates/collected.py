"""All templates of a job, and the pages on which they are printed.

Templates follow the pattern's parallel surface, not a scaled ellipse; on a flattened bulb the two differ. Those of the
finished bulb follow the lead, before its skin. On paper one line serves as both inside and outside template; in DXF and
SVG they are two parts, because the width of the beam cannot be allowed for on a line that both share.
"""

from __future__ import annotations

from bulbcast import __version__
from bulbcast.bulb.hung.ledger import HungBulb
from bulbcast.drawing.pages import PAPERS, Page
from bulbcast.drawing.paper import SheetWords, furnished
from bulbcast.drawing.shapes import Contour
from bulbcast.drawing.sheets import laid_out, sheets_needed
from bulbcast.drawing.template import MM, Template, both_units
from bulbcast.pattern.stations import Surface
from bulbcast.pattern_shop.results import ShopResults
from bulbcast.pattern_shop.templates.cover import cover_page, table_pages
from bulbcast.pattern_shop.templates.excess import excess_list
from bulbcast.pattern_shop.templates.fin import (
    fin_templates,
    pin_list,
    pin_templates,
    pocket_from_above,
    pocket_from_aside,
)
from bulbcast.pattern_shop.templates.inches import table_in_inches, template_in_inches
from bulbcast.pattern_shop.templates.saddle import drill_list, saddle_templates
from bulbcast.pattern_shop.templates.stations import end_gauges, silhouettes, station_templates
from bulbcast.pattern_shop.templates.surfaces import Stations, paper_of, stations_of
from bulbcast.pattern_shop.templates.turning import TurningTable, turning_table
from bulbcast.quantities.frozen import frozen
from bulbcast.quantities.prose import imperial_first

FAMILIES = {
    "silhouettes": "Silhouettes of the pattern, and the outline on the parting plane",
    "stations": "Stations: P for the pattern, F for the finished bulb",
    "gauges": "Nose and tail gauges",
    "fin": "Fin tip and pocket",
    "saddle": "Drilling saddle",
    "ribs": "Ribs and planforms",
}
"""Families of templates in order of use, each with its own DXF and SVG file."""

# More joined sheets than this do not stay accurate (common practice, no source).
MOST_SHEETS = 12


@frozen
class TemplateSet:
    """All full-size templates and tables of a job.

    Attributes:
        stations: Surfaces with their stations and turning rows.
        templates: The templates for paper, for files, or for both.
        turning: The turning table as text.
        drilling: The drill lists for screws and cross pins, if there are any.
    """

    stations: Stations
    templates: tuple[Template, ...]
    turning: TurningTable
    drilling: tuple[TurningTable, ...]

    def of_family(self, family: str) -> tuple[Template, ...]:
        """Templates of one family that are written to files."""
        return tuple(one for one in self.templates if one.family == family and one.in_files)


def template_set(job: ShopResults) -> TemplateSet:
    """Collect all templates of a job.

    Args:
        job: The results.
    """
    stations = stations_of(job)
    pattern, finished, parting = stations.pattern, stations.finished, stations.parting
    # As they are used: the block is sawn, the pattern carved, its pocket made, the casting faired and drilled.
    templates = (
        *silhouettes(
            pattern, stations.carving, letter="P", parting=parting, pockets=_pockets_on(pattern, job.bulb)
        ),
        *station_templates(pattern, stations.carving, letter="P", inside=True, parting=parting),
        *end_gauges(pattern, letter="P"),
        *fin_templates(job.bulb),
        *station_templates(finished, stations.fairing, letter="F", inside=False, parting=parting),
        *end_gauges(finished, letter="F"),
        *saddle_templates(job, finished),
        *pin_templates(job, finished),
    )
    if job.ribs is not None:
        from bulbcast.fin.rib_templates import rib_templates

        templates += tuple(one for built in job.ribs for one in rib_templates(built))
    turning = turning_table(pattern, stations.turning)
    drilling = tuple(
        table for table in (drill_list(job), pin_list(job), excess_list(job)) if table is not None
    )
    if job.shown.units == "imperial":
        templates = tuple(map(template_in_inches, templates))
        turning, drilling = table_in_inches(turning), tuple(map(table_in_inches, drilling))
    return TemplateSet(stations=stations, templates=templates, turning=turning, drilling=drilling)


def _pockets_on(pattern: Surface, bulb: HungBulb) -> tuple[Contour, Contour]:
    """Outlines of the pocket as seen from the side and from above, measured from the pattern's nose. [mm]"""
    if bulb.pocket_depth <= 1e-9:
        return (), ()
    ahead = MM * pattern.distance
    side, above = (
        tuple((pattern.scale * (x + ahead), pattern.scale * y) for x, y in contour)
        for contour in (pocket_from_aside(bulb), pocket_from_above(bulb))
    )
    return side, above


def template_pages(job: ShopResults, chosen: TemplateSet) -> tuple[Page, ...]:
    """Pages of instructions, then of tables, then of templates.

    Args:
        job: The results.
        chosen: The job's templates.
    """
    paper = PAPERS[paper_of(job.plan)]
    tables = [chosen.turning, *chosen.drilling]
    pages, places = table_pages(paper, tables, 2)
    contents = [(table.title, _numbers(on)) for table, on in zip(tables, places, strict=True)]
    wanted = [one for one in chosen.templates if one.on_paper]
    printed = tuple(one for one in wanted if sheets_needed(one, paper) <= MOST_SHEETS)
    more, where = laid_out(printed, paper, 2 + len(pages))
    pages += more
    for family, words in FAMILIES.items():
        on = {number for one in printed if one.family == family for number in where[one.name]}
        if on:
            contents.append((words, _numbers(tuple(sorted(on)))))
    large = [one.title for one in wanted if one not in printed]
    if large:
        contents.append(
            (
                f"More than {MOST_SHEETS} {paper.name} sheets each: {', '.join(large)}",
                "in DXF and SVG only",
            )
        )
    about = _about(chosen.stations)
    if job.shown.units == "imperial":
        about = list(map(imperial_first, about))
    cover = cover_page(paper, name=job.plan.name, about=about, contents=contents)
    block = SheetWords(project=job.plan.name, revision=f"plan {job.plan.sha256[:8]}, bulbcast {__version__}")
    return furnished([cover, *pages], block)


def _about(stations: Stations) -> list[str]:
    def size(surface: Surface) -> str:
        long, wide = both_units(surface.length), both_units(surface.width)
        if surface.round:
            return f"{long} long, diameter {wide}"
        return f"{long} long, {wide} wide, {both_units(surface.height)} high"

    axis, centre = "the bulb's axis, parallel to the waterline", "the centre line"
    level, upright = (axis, centre) if stations.parting == "horizontal" else (centre, axis)
    also = ", and the parting line;" if stations.parting == "horizontal" else " and the parting line;"
    return [
        f"Pattern, before coating: {size(stations.pattern)}.",
        f"Finished bulb, lead only: {size(stations.finished)}.",
        f"Parting {stations.parting}, through the axis.",
        f"At each station, the horizontal line is {level}{also}",
        f"the vertical one is {upright}.",
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
