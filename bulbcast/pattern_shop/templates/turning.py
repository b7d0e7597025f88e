"""The turning table as texts: what report and sheets both show."""

from __future__ import annotations

from dataclasses import dataclass

from bulbcast.pattern.stations import Surface, TurningRow
from bulbcast.quantities.showing import sixty_fourths


@dataclass(frozen=True, slots=True, kw_only=True)
class TurningTable:
    """Headings and rows, every cell a text; the first column counts the stations.

    Attributes:
        title: What it is of.
        heads: Of the columns.
        rows: Cells, a row each.
        notes: Lines that belong under it.
    """

    title: str
    heads: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    notes: tuple[str, ...]


def turning_table(surface: Surface, rows: tuple[TurningRow, ...]) -> TurningTable:
    """The table in millimetres to 0.1 and in inches to 1/64.

    Args:
        surface: That is turned, or carved where it is not round.
        rows: Its stations with what to rough out to.
    """
    cells = []
    for row in rows:
        station = row.station
        sizes: tuple[float, ...]
        if surface.round:
            sizes = (2.0 * station.half_width, station.half_width, row.rough_width)
        else:
            sizes = (
                2.0 * station.half_width,
                2.0 * station.half_height,
                station.half_width,
                station.half_height,
            )
        lengths = (station.place, *sizes)
        cells.append(
            (
                str(station.number),
                *(f"{1e3 * each:.1f}" for each in lengths),
                *(sixty_fourths(each).removesuffix(" in") for each in lengths),
            )
        )
    names = (
        ("from nose", "diameter", "radius", "rough to")
        if surface.round
        else ("from nose", "width", "height", "half width", "half height")
    )
    notes = (
        "Rough to: the largest diameter between the stations before and after, and the finishing cut on it."
        if surface.round
        else "Flattened sections cannot be turned on a plain lathe: carve to the station templates.",
        "Sizes are the pattern's before its coat of sealer, measured from the pattern's own nose.",
    )
    return TurningTable(
        title=f"{'Turning' if surface.round else 'Carving'} table of the {surface.name}",
        heads=("", *(f"{name}, mm" for name in names), *(f"{name}, in" for name in names)),
        rows=tuple(cells),
        notes=notes,
    )
