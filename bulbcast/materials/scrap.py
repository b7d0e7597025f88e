"""Kinds of lead scrap: density, losses, and points to check. The figures are in scrap.toml."""

from __future__ import annotations

from functools import cache

from bulbcast.materials.alloys import AlloyError, alloy_of_grade, density_of_composition
from bulbcast.materials.tables import table
from bulbcast.quantities.frozen import frozen


@frozen
class ScrapKind:
    """A kind of scrap.

    Attributes:
        name: Name used in the plan.
        title: The trade's name for it.
        density: Density of its sound metal. [kg/m3]
        density_spread: Standard deviation of the density. [kg/m3]
        density_source: Source of density and spread.
        yield_: Ratio of clean metal to gross mass. [-]
        yield_spread: Standard deviation of the yield. [-]
        yield_source: Source of yield and spread.
        dross: Fraction of the charge that is skimmed off. [-]
        remark: Steps or checks required before it goes into the pot.
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
    """Return all kinds of scrap, in the order of the table."""
    return tuple(_kind(row) for row in table("scrap")["kind"])


def scrap_kind(name: str) -> ScrapKind:
    """Return the kind of scrap with the given name.

    Args:
        name: Name used in the plan, such as "sheet". [-]

    Returns:
        The kind of scrap with its figures.

    Raises:
        AlloyError: There is no such kind.
    """
    found = next((kind for kind in scrap_kinds() if kind.name == name), None)
    if found is None:
        raise AlloyError(
            f'There is no kind of scrap called "{name}"; the kinds are {", ".join(kind.name for kind in scrap_kinds())}.'
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
