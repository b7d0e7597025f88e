"""Templates and tables for a builder who works in inches: inches first, then millimetres."""

from __future__ import annotations

from bulbcast.drawing.shapes import Shape, Text
from bulbcast.drawing.template import Template
from bulbcast.pattern_shop.templates.turning import TurningTable
from bulbcast.quantities.frozen import replace
from bulbcast.quantities.prose import imperial_first


def template_in_inches(template: Template) -> Template:
    """A template with "4 23/32 in (120.0 mm)" in place of "120.0 mm (4 23/32 in)"; its lettering stays the same length."""
    return replace(
        template,
        title=imperial_first(template.title),
        notes=tuple(map(imperial_first, template.notes)),
        shapes=tuple(map(_shape, template.shapes)),
    )


def table_in_inches(table: TurningTable) -> TurningTable:
    """A table with the columns in inches before those in millimetres."""
    inches = [place for place, head in enumerate(table.heads) if head.endswith(", in")]
    metric = [place for place, head in enumerate(table.heads) if head.endswith(", mm")]
    order = list(range(len(table.heads)))
    for place, column in zip(sorted(inches + metric), inches + metric, strict=True):
        order[place] = column
    return replace(
        table,
        heads=tuple(table.heads[column] for column in order),
        rows=tuple(tuple(row[column] for column in order) for row in table.rows),
        notes=tuple(map(imperial_first, table.notes)),
    )


def _shape(shape: Shape) -> Shape:
    return replace(shape, text=imperial_first(shape.text)) if isinstance(shape, Text) else shape
