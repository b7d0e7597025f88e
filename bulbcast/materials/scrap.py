"""Kinds of lead scrap: density, what is lost of each, and what to look for. The figures are in scrap.toml."""

from __future__ import annotations

from functools import cache

from bulbcast.materials.alloys import AlloyError, alloy_of_grade, density_of_composition
from bulbcast.materials.tables import table
from bulbcast.quantities.frozen import frozen


@frozen
class ScrapKind:
    """A kind of scrap.

    Attributes:
        name: Word of the plan.
        title: The trade's name for it.
        density: Density of its sound metal. [kg/m3]
        density_spread: One standard deviation of it. [kg/m3]
        density_source: Their source.
        yield_: Ratio of clean metal to gross mass. [-]
        yield_spread: One standard deviation of it. [-]
        yield_source: Their source.
        dross: Fraction of what goes into the pot that is skimmed off. [-]
        remark: What to do or check before it goes in.
    """

    name: str
    title: str
    density: float
    density_spread: float
    density_source: str
    yield_: float
    yield_spread: float
    yield_source: str
    dross: float
    remark: str


@cache
def scrap_kinds() -> tuple[ScrapKind, ...]:
    """Every kind, in the order of the table."""
    return tuple(_kind(row) for row in table("scrap")["kind"])


def scrap_kind(name: str) -> ScrapKind:
    """The kind of that name.

    Args:
        name: Word of the plan, such as "sheet". [-]

    Returns:
        Its figures.

    Raises:
        AlloyError: No such kind.
    """
    found = next((kind for kind in scrap_kinds() if kind.name == name), None)
    if found is None:
        raise AlloyError(
            f'No scrap is called "{name}"; the kinds are {", ".join(kind.name for kind in scrap_kinds())}.'
        )
    return found


def _kind(row: dict[str, object]) -> ScrapKind:
    density, spread, source = row.get("density"), row.get("density_spread"), row.get("density_source")
    dross = row.get("dross")
    if "grade" in row:
        alloy = alloy_of_grade(str(row["grade"]))
        density, spread, source = alloy.density, alloy.density_spread, alloy.density_source
        dross = alloy.dross if dross is None else dross
    elif "composition" in row:
        parts = row["composition"]
        assert isinstance(parts, dict)
        density = density_of_composition([(symbol, part / 100.0) for symbol, part in parts.items()])
    return ScrapKind(
        name=str(row["name"]),
        title=str(row["title"]),
        density=float(str(density)),
        density_spread=float(str(spread)),
        density_source=str(source),
        yield_=float(str(row.get("yield", 1.0 - float(str(dross))))),
        yield_spread=float(str(row["yield_spread"])),
        yield_source=str(row["yield_source"]),
        dross=float(str(dross)),
        remark=str(row["remark"]),
    )
