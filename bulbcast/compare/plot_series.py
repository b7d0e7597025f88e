"""Contents of a study's plot: a figure for each panel, and a line for each value of the second input."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from bulbcast.compare import Column, Study, StudyRow, Variation
from bulbcast.compare.plot_marks import LOOKS, PLAIN, Look, raised
from bulbcast.compare.tables import is_varied, same_in_every_row
from bulbcast.quantities import Dimension, Shown
from bulbcast.report.scales import Scale, scale_for

MOST_NAMED = 8
"""Maximum number of lines that are all labelled. If there are more, only some are labelled and the rest are drawn plain."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Figure:
    """Content of one panel: a column, or the lower and upper drag columns.

    Attributes:
        name: Name in the builder's terms.
        unit: Unit as usually written; "" for a bare number.
        dimension: Dimension of the figure; None for a bare number.
        scale: Unit of the values shown.
        lower: A figure for each row, None if it is missing. [SI]
        upper: The same for the upper edge of a band; None for a single figure. [SI]
        speed: Speed in words; "" for none.
    """

    name: str
    unit: str
    dimension: Dimension | None
    scale: Scale
    lower: tuple[float | None, ...]
    upper: tuple[float | None, ...] | None
    speed: str = ""

    @property
    def title(self) -> str:
        """Title of the panel, including speed and unit."""
        return f"{self.name}{self.speed}{f', {self.unit}' if self.unit else ''}"

    def shown(self, row: int) -> float | None:
        """Return a row's figure, or None; for a band, the lower one. [the scale's unit]"""
        value = self.lower[row]
        return None if value is None else self.scale.shown(value)

    def shown_upper(self, row: int) -> float | None:
        """Return the upper figure of a row's band, or None. [the scale's unit]"""
        value = None if self.upper is None else self.upper[row]
        return None if value is None else self.scale.shown(value)

    def all_shown(self) -> list[float]:
        """Return all the figures that are not missing. [the scale's unit]"""
        rows = range(len(self.lower))
        both = [self.shown(row) for row in rows] + [self.shown_upper(row) for row in rows]
        return [figure for figure in both if figure is not None]


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """One line of the plot: a value of the second input, or the only line.

    Attributes:
        name: Name of the value; "" without a second input.
        place: Index of the value, from 0.
        look: Appearance of the line.
        named: Whether its name is written next to it.
        rows: Rows of the study, in the order of the first input's values.
    """

    name: str
    place: int
    look: Look
    named: bool
    rows: tuple[int, ...]


def figures_of(study: Study, shown: Shown) -> list[Figure]:
    """Return the candidates for a panel: the columns that differ from row to row. The two drag columns are combined
    and come first.

    Args:
        study: The study.
        shown: The builder's units.
    """
    same = {column.key for column in same_in_every_row(study, shown)}
    if "drag.high_n" not in same:
        same.discard("drag.low_n")
    figures: list[Figure] = []
    for column in study.columns:
        values = study.column(column.key)
        if column.key in same or is_varied(study, column) or all(value is None for value in values):
            continue
        if column.key == "drag.low_n":
            upper = study.column("drag.high_n")
            scale = _scale(column, upper, shown)
            speed = "" if study.speed is None else f" at {shown.speed(study.speed)}"
            # Someone who asks for drag looks at it first.
            figures.insert(
                0,
                Figure(
                    name="drag",
                    unit=scale.unit,
                    dimension=column.dimension,
                    scale=scale,
                    lower=values,
                    upper=upper,
                    speed=speed,
                ),
            )
        elif not column.key.startswith("drag."):
            scale = _scale(column, values, shown)
            figures.append(
                Figure(
                    name=column.name,
                    unit=raised(scale.unit),
                    dimension=column.dimension,
                    scale=scale,
                    lower=values,
                    upper=None,
                )
            )
    return figures


def inputs_of(study: Study) -> list[Figure]:
    """Return the inputs that are quantities, such as lengths and masses, as figures for every row that has a bulb.

    Args:
        study: The study.
    """
    return [
        Figure(
            name=each.leaf,
            unit="",
            dimension=each.dimension,
            scale=Scale(unit=""),
            lower=tuple(None if row.failed else each.numbers[row.at[place]] for row in study.rows),
            upper=None,
        )
        for place, each in enumerate(study.variations)
        if each.numbers is not None and each.dimension is not None
    ]


def _scale(column: Column, values: Sequence[float | None], shown: Shown) -> Scale:
    largest = max(abs(value) for value in values if value is not None)
    return scale_for(column.dimension, largest, shown.units)


def lines_of(study: Study) -> list[Line]:
    """Return a line for each value of the second input, or a single line if there is only one input.

    Args:
        study: The study.
    """
    second: Variation | None = study.variations[1] if len(study.variations) > 1 else None
    names = second.labels if second is not None else ("",)
    named = _which_named(len(names))
    lines = []
    for place, name in enumerate(names):
        rows = tuple(number for number, row in enumerate(study.rows) if second is None or row.at[1] == place)
        look = LOOKS[named.index(place) % len(LOOKS)] if place in named else PLAIN
        lines.append(Line(name=name, place=place, look=look, named=place in named, rows=rows))
    return lines


def _which_named(count: int) -> list[int]:
    """Return the indices of the lines that are labelled: all if there are few, otherwise some of them, including the
    first and the last."""
    if count <= MOST_NAMED:
        return list(range(count))
    return sorted({round(i * (count - 1) / (MOST_NAMED - 2)) for i in range(MOST_NAMED - 1)})


def inputs_in_words(study: Study) -> str:
    """Describe the varied inputs in a sentence.

    Args:
        study: The study.
    """
    first, *rest = study.variations
    words = [first.in_words]
    if rest:
        what = "line" if first.numbers is not None else "mark"
        plain = f", with plain {what}s for the values in between" if len(rest[0].labels) > MOST_NAMED else ""
        words.append(f"a {what} for each {rest[0].in_words}{plain}")
    return "; ".join(words)


def row_in_words(study: Study, row: StudyRow) -> str:
    """Return the inputs of one row, such as "fineness 5, target_mass 2 kg".

    Args:
        study: The study.
        row: One of its rows.
    """
    return ", ".join(
        f"{each.leaf} {label}" for each, label in zip(study.variations, study.labels(row), strict=True)
    )
