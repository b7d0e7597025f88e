"""Tables of the plan's values in both systems of units, of every default with its source, and of the files from which the
report was made."""

from __future__ import annotations

import dataclasses
import re
from pathlib import PurePath

from bulbcast import __version__
from bulbcast.job import Job
from bulbcast.plan.key import Kind
from bulbcast.plan.keys import KEYS, SECTIONS
from bulbcast.plan.sections import DefaultTaken
from bulbcast.quantities import Dimension, QuantityError, Shown, read_quantity_of
from bulbcast.quantities.figures import Figures
from bulbcast.quantities.prose import in_her_units
from bulbcast.quantities.showing import degrees_words
from bulbcast.quantities.units import BY_SYMBOL
from bulbcast.report.markup import paragraph, table
from bulbcast.report.sources import notes_on, shown_source

# Keys whose values may have one of two dimensions: the section's field, the key that gives the value, and the dimension.
_TWO_WAYS: dict[tuple[str, str], tuple[str, Dimension | None]] = {
    ("melt", "feeder_mass"): ("feeder", Dimension.MASS),
    ("melt", "feeder_fraction"): ("feeder", Dimension.RATIO),
    ("pot", "volume"): ("capacity", Dimension.VOLUME),
    ("pot", "nominal"): ("capacity", Dimension.MASS),
}


def asked_rows(job: Job) -> tuple[tuple[str, str, str, str], ...]:
    """Return a table of the values given in the plan: key, value in the builder's units, value in the other units,
    meaning.

    Args:
        job: The results.
    """
    plan = job.plan
    taken = {default.key for default in plan.defaults}
    rows = [
        ("name", plan.name, "", KEYS["name"].about),
        ("display_units", plan.display_units, "", KEYS["display_units"].about),
    ]
    for name in SECTIONS:
        value = getattr(plan, name)
        if value is None:
            continue
        for number, part in enumerate(value if isinstance(value, tuple) else (value,), start=1):
            place = f"{name}[{number}]" if isinstance(value, tuple) else name
            rows += _section_rows(part, name, place, job.shown)
    return tuple(row for row in rows if row[0] not in taken)


def _section_rows(part: object, name: str, place: str, shown: Shown) -> list[tuple[str, str, str, str]]:
    rows: list[tuple[str, str, str, str]] = []
    for field in dataclasses.fields(part):  # type: ignore[arg-type]
        value = getattr(part, field.name)
        leaf, dimension = _TWO_WAYS.get((name, field.name), (field.name.rstrip("_"), None))
        key = KEYS.get(f"{name}.{leaf}")
        if value is None or key is None or (name, leaf, value) == ("water", "kind", "given"):
            continue
        if dataclasses.is_dataclass(value):
            rows += _section_rows(value, f"{name}.{leaf}", f"{place}.{leaf}", shown)
            continue
        if key.kind is Kind.QUANTITY:
            dimension = dimension or key.dimensions[0]
            texts = (_quantity(value, dimension, shown), _quantity(value, dimension, shown.other))
        elif isinstance(value, tuple):
            texts = (", ".join(f"{symbol} {shown.percent(share)}" for symbol, share in value), "")
        else:
            texts = (f"{value:g}" if isinstance(value, float) else str(value), "")
        if texts[0] == texts[1]:
            texts = (texts[0], "")
        rows.append((f"{place}.{leaf}", *texts, in_her_units(key.about, shown.units)))
    return rows


def _quantity(value: float, dimension: Dimension, shown: Shown) -> str:
    if dimension is Dimension.ANGLE:
        return degrees_words(value)
    if dimension is Dimension.RATIO:
        return shown.percent(value)
    if dimension in (Dimension.TIME, Dimension.HEAT):
        unit = BY_SYMBOL["h" if dimension is Dimension.TIME else "kJ/kg"]
        return f"{value / float(unit.factor):.4g} {unit.symbol}"
    writers = {
        Dimension.LENGTH: shown.length,
        Dimension.MASS: shown.mass,
        Dimension.DENSITY: shown.density,
        Dimension.TEMPERATURE: shown.temperature,
        Dimension.SPEED: shown.speed,
        Dimension.AREA: shown.area,
        Dimension.VOLUME: shown.volume,
        Dimension.FORCE: shown.force,
        Dimension.POWER: shown.power,
        Dimension.TIME: shown.duration,
        Dimension.PRESSURE: shown.pressure,
        Dimension.STIFFNESS: shown.stiffness,
    }
    return writers[dimension](value)


def asked_html(job: Job) -> str:
    """Return a table of the plan's inputs as they were read."""
    body = paragraph(
        "The plan as it was read. Check both columns: ounces typed instead of grams, or inches instead of "
        "millimetres, are easy to spot here."
    )
    return body + table(
        ("key", "as read", "in other units", "meaning"), asked_rows(job), figures=(1, 2), style="keys-table"
    )


def _default(taken: DefaultTaken, shown: Shown) -> str:
    """Format a default, which is declared in metric units, in the builder's units."""
    key = KEYS.get(re.sub(r"\[\d+\]", "", taken.key))
    if key is None or key.kind is not Kind.QUANTITY or isinstance(taken.value, Figures):
        return taken.value
    try:
        dimension, value = read_quantity_of(taken.value, key.dimensions)
    except QuantityError:
        return taken.value
    plain = (Dimension.TIME, Dimension.HEAT, Dimension.RATIO, Dimension.ANGLE)
    return taken.value if dimension in plain else _quantity(value, dimension, shown)


def defaults_html(job: Job) -> str:
    """Return a table of every value missing from the plan, with the assumed value and its source."""
    return (
        table(
            ("key", "assumed", "source"),
            [
                (
                    one.key,
                    _default(one, job.shown),
                    in_her_units(shown_source(one.source), job.shown.units),
                )
                for one in job.defaults_shown
            ],
            figures=(1,),
            style="keys-table",
        )
        + paragraph(notes_on(one.source for one in job.defaults_shown))
        if job.defaults
        else paragraph("The plan gives every value, so none was assumed.")
    )


def meta_html(job: Job) -> str:
    """Return the program version and the files from which the report was made."""
    rows = (
        ("bulbcast", __version__),
        ("plan file", PurePath(job.plan.source).name),
        ("its sha256", job.plan.sha256),
        *((f"{one.key}, {one.path}: sha256", one.sha256) for one in job.inputs),
    )
    return table(("", ""), rows, style="meta")
