"""The turning table as text and as CSV, with the same rows in the report, on the sheets and in the file."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable

from bulbcast.pattern.stations import Surface, TurningRow
from bulbcast.quantities.frozen import frozen
from bulbcast.quantities.showing import sixty_fourths

_INCH = 0.0254


@frozen
class TurningTable:
    """A table of headings and rows, in which every cell is text and the first column numbers the stations, screws or holes.

    Attributes:
        title: Title of the table.
        heads: Headings of the columns.
        rows: Rows of cells.
        notes: Lines of text below the table.
    """

    title: str
    heads: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    notes: tuple[str, ...]


def in_both(lengths: Iterable[float]) -> tuple[str, ...]:
    """Cells for several lengths, first in millimetres to the nearest 0.1, then in inches to the nearest 1/64.

    Args:
        lengths: The lengths. [m]
    """
    kept = tuple(lengths)
    return (*(f"{1e3 * each:.1f}" for each in kept), *map(_fraction, kept))


def heads_of_both(*names: str) -> tuple[str, ...]:
    """Headings for columns of lengths, first in millimetres, then in inches."""
    return (*(f"{name}, mm" for name in names), *(f"{name}, in" for name in names))


def _fraction(metres: float) -> str:
    return sixty_fourths(metres).removesuffix(" in")


def turning_table(surface: Surface, rows: tuple[TurningRow, ...]) -> TurningTable:
    """The turning table, in millimetres to the nearest 0.1 and in inches to the nearest 1/64.

    Args:
        surface: The surface to turn, or to carve if it is not round.
        rows: Its stations with their rough sizes.
    """
    cells = []
    for row in rows:
        one = row.station
        wide, high = one.half_width, one.half_height
        sizes = (2.0 * wide, wide, row.rough_width) if surface.round else (2.0 * wide, 2.0 * high, wide, high)
        cells.append((str(one.number), *in_both((one.place, *sizes))))
    names = (
        ("diameter", "radius", "rough to")
        if surface.round
        else ("width", "height", "half width", "half height")
    )
    return TurningTable(
        title=f"{'Turning' if surface.round else 'Carving'} table of the {surface.name}",
        heads=("", *heads_of_both("from nose", *names)),
        rows=tuple(cells),
        notes=(
            "Rough to: the largest diameter between the neighbouring stations, plus the finishing cut."
            if surface.round
            else "Flattened sections cannot be turned on a plain lathe. Carve them to the station templates.",
            "Sizes are for the pattern before its coat of sealer. Distances are from its nose.",
        ),
    )


def turning_csv(surface: Surface, rows: tuple[TurningRow, ...]) -> str:
    """The turning table as CSV, in mm, decimal inches and 64ths of an inch as on a rule; each heading gives the unit.

    Args:
        surface: The surface to turn, or to carve if it is not round.
        rows: Its stations.

    Returns:
        The CSV text, with mm to 0.001 and inches to 0.0001.
    """
    sizes = (
        ("diameter", "radius", "rough_diameter")
        if surface.round
        else ("width", "height", "rough_width", "rough_height")
    )
    heads = [f"{name}_{unit}" for unit in ("mm", "in", "in_64ths") for name in ("from_nose", *sizes)]
    buffer = io.StringIO()
    writer = csv.writer(buffer, lineterminator="\n")
    writer.writerow(("station", *heads))
    for row in rows:
        one = row.station
        wide, high = 2.0 * one.half_width, 2.0 * one.half_height
        lengths = (
            (one.place, wide, one.half_width, row.rough_width)
            if surface.round
            else (one.place, wide, high, row.rough_width, row.rough_height)
        )
        decimals = (*(f"{1e3 * each:.3f}" for each in lengths), *(f"{each / _INCH:.4f}" for each in lengths))
        writer.writerow((one.number, *decimals, *map(_fraction, lengths)))
    return buffer.getvalue()
