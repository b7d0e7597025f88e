"""The metal of the bulb: density, contraction, freezing range and dross of a lead alloy.

It can be given in one of four forms, one for each choice in the plan: a trade grade, a density, a composition, or a
sample weighed in air and in water. The function for each form returns a frozen `CastAlloy`. The figures and their
sources are in alloys.toml.

If no grade is given, the dross is that of clean metal of the same density, because a composition, density or sample
contains no clips or dirt. Listed scrap has its own dross, depending on its kind.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from functools import cache

from bulbcast.materials.tables import table
from bulbcast.quantities.frozen import frozen


class AlloyError(ValueError):
    """Raised for an impossible alloy: an unknown grade or element, fractions that do not add up, or a density that no
    lead alloy has."""


class WeighedSampleError(AlloyError):
    """Raised if a sample weighed in air and in water cannot be a lead alloy."""


@frozen
class PublishedDensity:
    """A published density, used only for comparison with ours.

    Attributes:
        alloy: Name of the alloy in the source.
        composition: Elements with their mass fractions, in the source's order. [-]
        density: Density as printed. [kg/m3]
        source: Book or page, and whether it was read or quoted from memory.
    """

    alloy: str
    composition: tuple[tuple[str, float], ...]
    density: float
    source: str


@frozen
class CastAlloy:
    """An alloy with all the properties that the casting calculations need.

    Attributes:
        name: Name of the grade, or the form in which the alloy was given.
        density: Density of sound metal at 20 degC, without pores. [kg/m3]
        density_spread: Standard deviation of the density. [kg/m3]
        contraction: Free linear contraction from solidus to 20 degC, per unit of the cold length. [-]
        contraction_spread: Standard deviation of the contraction. [-]
        solidus: Temperature below which all the metal is solid. [degC]
        liquidus: Temperature above which all the metal is liquid. [degC]
        dross: Fraction of the charge that is skimmed off, clips and dirt included. [-]
        density_source: Source of the density.
        density_spread_source: Source of the density's spread.
        contraction_source: Source of the contraction.
        contraction_spread_source: Source of the contraction's spread.
        melting_source: Source of solidus and liquidus.
        dross_source: Source of the dross.
        clean: Whether its dross is that of clean metal, without clips and dirt.
        interpolated: Whether contraction, solidus and liquidus were interpolated between the grades.
        unknown: Whether it is only known to be scrap; weigh a sample before pouring.
        published: A published density of the same alloy, or None.
    """

    name: str
    density: float
    density_spread: float
    contraction: float
    contraction_spread: float
    solidus: float
    liquidus: float
    dross: float
    density_source: str
    density_spread_source: str
    contraction_source: str
    contraction_spread_source: str
    melting_source: str
    dross_source: str
    clean: bool
    interpolated: bool
    unknown: bool
    published: PublishedDensity | None


def elements() -> tuple[str, ...]:
    """Return the symbols of the elements that a composition may contain, lead first."""
    return tuple(table("alloys")["elements"])


def element_density(symbol: str) -> float:
    """Return an element's density for the additive rule.

    Args:
        symbol: Chemical symbol, one of `elements()`. [-]

    Returns:
        Density at 20 degC. [kg/m3]

    Raises:
        AlloyError: The rule has no density for the element.
    """
    rows = table("alloys")["elements"]
    if symbol not in rows:
        raise AlloyError(
            f'No density is known for "{symbol}"; a composition may contain {", ".join(elements())}. '
            f"Omit elements present only in traces, or weigh a sample in air and in water."
        )
    return float(rows[symbol]["density"])


def density_of_composition(composition: Sequence[tuple[str, float]]) -> float:
    """Calculate an alloy's density by adding specific volumes: 1 / density = sum of fraction / density.

    This is exact for metals that do not mix when solid, which is nearly true of lead and antimony. It agrees with the
    published rows of alloys.toml within 0.13 % for lead-antimony and 0.74 % for alloys with tin.

    Args:
        composition: Elements with their mass fractions, which add up to 1. [-]

    Returns:
        Density of the sound alloy at 20 degC. [kg/m3]

    Raises:
        AlloyError: An element has no density or is named twice, a fraction is below zero or not finite, or the
            fractions do not add up to 1 within 1e-6.
    """
    seen: set[str] = set()
    for symbol, fraction in composition:
        element_density(symbol)
        if symbol in seen:
            raise AlloyError(
                f"{symbol} appears twice in the composition. Give it once, with its total fraction."
            )
        seen.add(symbol)
        if not math.isfinite(fraction) or fraction < 0.0:
            raise AlloyError(
                f"{symbol} makes up {fraction * 100:g} % of the composition. Give a fraction from 0 to 100 %."
            )
    total = math.fsum(fraction for _, fraction in composition)
    if abs(total - 1.0) > 1e-6:
        raise AlloyError(
            f"The fractions in the composition add up to {total * 100:.6g} %, not to 100 %. Give every element, "
            "including lead."
        )
    return 1.0 / math.fsum(fraction / element_density(symbol) for symbol, fraction in composition)


def rule_spread(composition: Sequence[tuple[str, float]]) -> float:
    """Return the standard deviation of the additive rule, as a fraction of the density.

    Args:
        composition: Elements with their mass fractions, which add up to 1. [-]

    Returns:
        0.001 for lead with antimony, or 0.004 if other elements make up more than 1 %. Each is the root mean square of
        the rule's error over the published rows of alloys.toml, rounded up. [-]
    """
    rule = table("alloys")["rule"]
    others = math.fsum(fraction for symbol, fraction in composition if symbol not in ("Pb", "Sb"))
    key = "binary_spread" if others <= rule["others_at_most"] else "with_others_spread"
    return float(rule[key])


def grades() -> tuple[str, ...]:
    """Return the names of the grades in the order of the table."""
    return tuple(row["name"] for row in table("alloys")["grade"])


@cache
def published_densities() -> tuple[PublishedDensity, ...]:
    """Return all the published densities used for the cross-check, each with its source."""
    return tuple(
        PublishedDensity(
            alloy=row["alloy"],
            composition=_fractions(row["composition"]),
            density=row["density"],
            source=row["source"],
        )
        for row in table("alloys")["published"]
    )


@cache
def alloy_of_grade(grade: str) -> CastAlloy:
    """Return the alloy for a trade grade.

    Args:
        grade: One of `grades()`. [-]

    Returns:
        The alloy; antimonial grades and linotype get their density from the additive rule.

    Raises:
        AlloyError: There is no such grade.
    """
    data = table("alloys")
    row = next((one for one in data["grade"] if one["name"] == grade), None)
    if row is None:
        raise AlloyError(f'There is no alloy grade called "{grade}"; the grades are {", ".join(grades())}.')
    if "composition" in row:
        composition = _fractions(row["composition"])
        density = density_of_composition(composition)
        density_source = f"{data['rule']['source']}, {_composition_text(composition)}"
    else:
        density, density_source = row["density"], row["density_source"]
    published = next(
        (
            known
            for known, entry in zip(published_densities(), data["published"], strict=True)
            if entry.get("grade") == grade
        ),
        None,
    )
    return CastAlloy(
        name=grade,
        density=density,
        density_spread=row["density_spread"],
        contraction=row["contraction"],
        contraction_spread=data["defaults"]["contraction_spread"],
        solidus=row["solidus"],
        liquidus=row["liquidus"],
        dross=row["dross"],
        density_source=density_source,
        density_spread_source=row["density_spread_source"],
        contraction_source=row["contraction_source"],
        contraction_spread_source=data["defaults"]["contraction_spread_source"],
        melting_source=row["melting_source"],
        dross_source=row["dross_source"],
        clean=row.get("clean", True),
        interpolated=False,
        unknown=grade == "unknown",
        published=published,
    )


def alloy_of_density(density: float, density_spread: float | None = None) -> CastAlloy:
    """Return the alloy for a density that the builder gives, with everything else interpolated between grades.

    Args:
        density: Density of sound metal at 20 degC. [kg/m3]
        density_spread: Standard deviation of the density; None means 0.5 % of it. [kg/m3]

    Returns:
        The alloy, marked as interpolated.

    Raises:
        AlloyError: The density is not between 5 and 11.6 g/cm3, or its spread is below zero.
    """
    limits = table("alloys")["range"]
    if not limits["lowest_density"] <= density <= limits["highest_density"]:
        raise AlloyError(
            f"A density of {density / 1000:.6g} g/cm3 is not that of a lead alloy: {_range_text()}. Pure lead is 11.34 "
            "g/cm3."
        )
    if density_spread is not None and not (math.isfinite(density_spread) and density_spread >= 0.0):
        raise AlloyError(f"The density's spread is {density_spread / 1000:g} g/cm3; it must be zero or more.")
    defaults = table("alloys")["defaults"]
    if density_spread is None:
        spread = defaults["typed_density_spread"] * density
        spread_source = defaults["typed_density_spread_source"]
    else:
        spread, spread_source = density_spread, "as given"
    return _interpolated(
        name="of the given density",
        density=density,
        density_spread=spread,
        density_source="as given",
        density_spread_source=spread_source,
    )


def alloy_of_composition(composition: Sequence[tuple[str, float]]) -> CastAlloy:
    """Return the alloy for a composition, with its density from the additive rule and its other properties
    interpolated by density.

    Args:
        composition: Elements with their mass fractions, which add up to 1. [-]

    Returns:
        The alloy, marked as interpolated; the spread of its density is only that of the rule, because the composition
        is assumed to be exact.

    Raises:
        AlloyError: Same as for `density_of_composition`.
    """
    density = density_of_composition(composition)
    spread = rule_spread(composition)
    return _interpolated(
        name=_composition_text(composition),
        density=density,
        density_spread=spread * density,
        density_source=f"{table('alloys')['rule']['source']}, {_composition_text(composition)}",
        density_spread_source=f"root mean square error of the rule compared with published densities, {spread * 100:.1f} %",
    )


def density_of_weighed_sample(
    *, in_air: float, in_water: float, water_density: float, sample_porosity: float = 0.0
) -> float:
    """Calculate the density of sound metal from a piece weighed in air and hanging in water (Archimedes).

    The density is in_air x (water density - air density) / (in_air - in_water) + air density, divided by (1 -
    porosity). The buoyancy of the piece in air amounts to 0.11 % of lead's density (0.012 g/cm3). The buoyancy of
    the scale's internal weights changes both readings by the same factor, which cancels out.

    Args:
        in_air: Reading in air. [kg]
        in_water: Reading with the piece hung completely under water. [kg]
        water_density: Density of the water. [kg/m3]
        sample_porosity: Fraction of voids in the piece. [-]

    Returns:
        Density of the metal without the voids. [kg/m3]

    Raises:
        WeighedSampleError: The readings cannot come from a piece hanging in water, or the density is not between 5 and
            11.6 g/cm3.

    References:
        Operating instructions of a laboratory balance's density set (YDK03MS, page 24): the formula including the
        buoyancy of air. Air of 1.2 kg/m3: OIML R 111-1 (2004), conventional value.
    """
    readings = f"{in_air * 1000:.6g} g in air and {in_water * 1000:.6g} g in water"
    if not (math.isfinite(in_air) and math.isfinite(in_water)) or in_air <= 0.0 or in_water < 0.0:
        raise WeighedSampleError(
            f"The sample weighs {readings}. The reading in air must be above zero and the reading in water "
            "zero or more. Weigh the piece dry, then hang it on a thread completely under water."
        )
    if in_water >= in_air:
        raise WeighedSampleError(
            f"The sample weighs {readings}. It must be lighter in water than in air. Check that the "
            "readings are not swapped and that the piece hangs clear of the bottom."
        )
    if not 0.0 <= sample_porosity < 1.0:
        raise WeighedSampleError(
            f"The weighed sample's porosity is {sample_porosity * 100:g} %; it must be at least 0 % and below 100 %."
        )
    air = float(table("alloys")["air"]["density"])
    density = (in_air * (water_density - air) / (in_air - in_water) + air) / (1.0 - sample_porosity)
    limits = table("alloys")["range"]
    if not limits["lowest_density"] <= density <= limits["highest_density"]:
        pores = "" if sample_porosity == 0.0 else f" and contains {sample_porosity * 100:g} % voids"
        raise WeighedSampleError(
            f"The sample weighs {readings}{pores}, which gives a density of {density / 1000:.4g} g/cm3; "
            f"{_range_text()}. Weigh it again on a thin thread, completely under water, clear of the vessel and free "
            "of air bubbles, with both readings in the same unit. If the result is the same, the piece is not a lead "
            "alloy: do not melt it."
        )
    return density


def alloy_of_weighed_sample(
    *,
    in_air: float,
    in_water: float,
    water_density: float,
    sample_porosity: float = 0.0,
    reading_spread: float,
) -> CastAlloy:
    """Return the alloy for a scrap sample weighed in air and in water.

    The spread comes from the scale's spread in both readings: (water density - air density) x reading spread x sqrt(in
    air^2 + in water^2) / (in air - in water)^2, divided by (1 - porosity), to first order.

    Args:
        in_air: Reading in air. [kg]
        in_water: Reading with the piece hung completely under water. [kg]
        water_density: Density of the water. [kg/m3]
        sample_porosity: Fraction of voids in the piece. [-]
        reading_spread: One standard deviation of one reading. [kg]

    Returns:
        The alloy, marked as interpolated.

    Raises:
        WeighedSampleError: Same as for `density_of_weighed_sample`, or the spread is below zero or not finite.
    """
    if not math.isfinite(reading_spread) or reading_spread < 0.0:
        raise WeighedSampleError(
            f"The standard deviation of one reading is {reading_spread * 1000:g} g; it must be zero or more."
        )
    density = density_of_weighed_sample(
        in_air=in_air, in_water=in_water, water_density=water_density, sample_porosity=sample_porosity
    )
    lifted = water_density - float(table("alloys")["air"]["density"])
    lost = in_air - in_water
    spread = lifted * reading_spread * math.hypot(in_air, in_water) / lost**2 / (1.0 - sample_porosity)
    return _interpolated(
        name="of the weighed sample",
        density=density,
        density_spread=spread,
        density_source=(
            f"sample weighed {in_air * 1000:.6g} g in air, {in_water * 1000:.6g} g in water of {water_density:.2f} "
            "kg/m3; corrected for the buoyancy of air"
        ),
        density_spread_source=f"{reading_spread * 1000:g} g on each reading",
    )


def _interpolated(
    *, name: str, density: float, density_spread: float, density_source: str, density_spread_source: str
) -> CastAlloy:
    """Return an alloy without a grade: contraction, solidus and liquidus are interpolated by density, and the dross is
    that of clean metal."""
    known = [alloy_of_grade(grade) for grade in grades() if grade != "unknown"]
    below, above, share = _neighbours(density, known)
    if below is above:
        how = f"same as for {below.name} ({below.density / 1000:.3f} g/cm3), the nearest grade"
    else:
        how = (
            f"interpolated by density between {below.name} ({below.density / 1000:.3f} g/cm3) and {above.name} "
            f"({above.density / 1000:.3f} g/cm3)"
        )

    def between(low: float, high: float) -> float:
        return low + share * (high - low)

    defaults = table("alloys")["defaults"]
    clean_below, clean_above, clean_share = _neighbours(density, [one for one in known if one.clean])
    return CastAlloy(
        name=name,
        density=density,
        density_spread=density_spread,
        contraction=between(below.contraction, above.contraction),
        contraction_spread=defaults["contraction_spread"],
        solidus=between(below.solidus, above.solidus),
        liquidus=between(below.liquidus, above.liquidus),
        dross=clean_below.dross + clean_share * (clean_above.dross - clean_below.dross),
        density_source=density_source,
        density_spread_source=density_spread_source,
        contraction_source=how,
        contraction_spread_source=defaults["contraction_spread_source"],
        melting_source=how,
        dross_source=defaults["ungraded_dross_source"],
        clean=True,
        interpolated=True,
        unknown=False,
        published=None,
    )


def _neighbours(density: float, known: Sequence[CastAlloy]) -> tuple[CastAlloy, CastAlloy, float]:
    """Find the nearest grades below and above in density, and the fraction of the distance between them. Beyond either
    end of the table, both are the grade at that end."""
    ordered = sorted(known, key=lambda one: one.density)
    above = next((one for one in ordered if one.density > density), ordered[-1])
    below = next((one for one in reversed(ordered) if one.density <= density), ordered[0])
    if below is above:
        return below, above, 0.0
    return below, above, (density - below.density) / (above.density - below.density)


def _fractions(percent: dict[str, float]) -> tuple[tuple[str, float], ...]:
    """Convert mass percentages from the table to fractions."""
    return tuple((symbol, share / 100.0) for symbol, share in percent.items())


def _composition_text(composition: Sequence[tuple[str, float]]) -> str:
    """Write a composition as founders do: "96 Pb 4 Sb"."""
    return " ".join(f"{fraction * 100:.4g} {symbol}" for symbol, fraction in composition)


def _range_text() -> str:
    """Describe the accepted range of densities."""
    limits = table("alloys")["range"]
    low, high = limits["lowest_density"] / 1000, limits["highest_density"] / 1000
    return f"it must be between {low:g} and {high:g} g/cm3"
