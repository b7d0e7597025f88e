"""Selection of the figures that are worth plotting: those that differ and are not proportional to another figure."""

from __future__ import annotations

from collections.abc import Sequence

from bulbcast.compare.plot_series import Figure
from bulbcast.quantities import joined

_LITTLE = 0.01
"""Largest relative difference between figures, or between ratios of two figures, that are still considered the same. [-]"""


def worth_a_panel(figures: Sequence[Figure], inputs: Sequence[Figure] = ()) -> tuple[list[Figure], list[str]]:
    """Choose the figures to draw, and describe the others in sentences.

    Args:
        figures: All figures that differ from row to row, in order.
        inputs: Varied inputs; a figure proportional to one of them adds no information.

    Returns:
        The figures to draw, in the same order, and sentences that name the rest. A band is always drawn.
    """
    drawn: list[Figure] = []
    constant: list[str] = []
    following: dict[str, list[str]] = {}
    for figure in figures:
        if figure.upper is not None:
            drawn.append(figure)
            continue
        values = [value for value in figure.lower if value is not None]
        if _alike(values):
            shown = [figure.scale.shown(value) for value in (min(values), max(values))]
            unit = f" {figure.unit}" if figure.unit else ""
            constant.append(f"{figure.name} {shown[0]:.4g} to {shown[1]:.4g}{unit}")
            continue
        leader = next((one for one in (*inputs, *drawn) if _follows(figure, one)), None)
        if leader is None:
            drawn.append(figure)
        else:
            following.setdefault(leader.name, []).append(figure.name)
    said = []
    if constant:
        said.append(f"Not drawn, because the values are within 1 % of each other: {', '.join(constant)}.")
    said += [
        f"Not drawn, because the values are in proportion to {leader}, to within 1 %: {joined(names, 'and')}."
        for leader, names in following.items()
    ]
    return drawn, said


def _follows(figure: Figure, leader: Figure) -> bool:
    """Return whether a figure is in proportion to another figure in the rows that have both."""
    if leader.upper is not None or leader.dimension is not figure.dimension or figure.dimension is None:
        return False
    both = [
        (one, other)
        for one, other in zip(figure.lower, leader.lower, strict=True)
        if one is not None or other is not None
    ]
    if any(one is None or not other for one, other in both):
        return False
    return _alike([one / other for one, other in both if one is not None and other])


def _alike(values: Sequence[float]) -> bool:
    """Return whether there are at least two figures, all within 1 % of each other."""
    return len(values) > 1 and max(values) - min(values) < _LITTLE * min(abs(value) for value in values)
