"""The cautions, the official limits and the vapour table, read once from cautions.toml."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from typing import Any, Literal

FROM_MEMORY = "from memory, check before quoting"


@dataclass(frozen=True, slots=True, kw_only=True)
class Step:
    """A step of the work that has cautions, such as "melt" with the title "Melt"."""

    name: str
    title: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Caution:
    """One caution.

    Attributes:
        code: Permanent name in kebab case.
        title: Short title.
        short: One or two sentences, for the terminal, report and sheets.
        brief: One line for use if there is no room for every caution in full; "" for cautions that are then omitted.
        full: Full text in paragraphs, for SAFETY.md.
        steps: Names of the steps to which it applies; in SAFETY.md it is listed under the first.
        sources: Sources; official ones if there are any.
    """

    code: str
    title: str
    short: str
    brief: str
    full: tuple[str, ...]
    steps: tuple[str, ...]
    sources: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class ExposureLimit:
    """An official limit as printed in its source.

    Attributes:
        kind: Lead in air, lead in blood, or other.
        rule: Issuing body, and the cases to which the limit applies.
        value: Value as printed, with its unit.
        source: Regulation or publication.
        read: Whether the value was read in the source; otherwise it is from memory and must be checked before use.
    """

    kind: Literal["lead in air", "lead in blood", "other"]
    rule: str
    value: str
    source: str
    read: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Vapour:
    """Maximum concentration of lead vapour in the air above the pot.

    Attributes:
        celsius: Temperature of the lead. [degC]
        at_pot: Concentration in air at that temperature. [µg/m3]
        at_20: Concentration in the same air after cooling to 20 degC. [µg/m3]
    """

    celsius: float
    at_pot: float
    at_20: float


@cache
def _data() -> dict[str, Any]:
    import tomllib  # both imported here, because they cost more at start-up than the rest of this package
    from importlib.resources import files

    return tomllib.loads(files("bulbcast.safety").joinpath("cautions.toml").read_text(encoding="utf-8"))


@cache
def steps() -> tuple[Step, ...]:
    """Return the steps in the order of the work."""
    return tuple(Step(**row) for row in _data()["step"])


@cache
def cautions() -> tuple[Caution, ...]:
    """Return all cautions in the order of the work.

    Raises:
        ValueError: The first step of a caution is not in the list of steps.
    """
    order = [step.name for step in steps()]
    found = [
        Caution(
            code=row["code"],
            title=row["title"],
            short=row["short"],
            brief=row.get("brief", ""),
            full=_paragraphs(row["full"]),
            steps=tuple(row["steps"]),
            sources=tuple(row["sources"]),
        )
        for row in _data()["caution"]
    ]
    return tuple(sorted(found, key=lambda one: order.index(one.steps[0])))


def caution(code: str) -> Caution:
    """Return the caution with a given code.

    Args:
        code: Code such as "water-and-lead". [-]

    Returns:
        The caution.

    Raises:
        KeyError: There is no such caution.
    """
    for one in cautions():
        if one.code == code:
            return one
    raise KeyError(f'There is no caution with the code "{code}".')


def cautions_at(step: str) -> tuple[Caution, ...]:
    """Return the cautions of one step: first those that belong to it, then those repeated from other steps.

    Args:
        step: Name of a step, such as "melt". [-]

    Returns:
        The cautions.

    Raises:
        KeyError: There is no such step.
    """
    if step not in {one.name for one in steps()}:
        raise KeyError(f'There is no step called "{step}".')
    concerned = [one for one in cautions() if step in one.steps]
    return tuple(sorted(concerned, key=lambda one: one.steps[0] != step))


@cache
def exposure_limits() -> tuple[ExposureLimit, ...]:
    """Return the official limits, each with its source."""
    return tuple(ExposureLimit(**row) for row in _data()["limit"])


@cache
def vapour_table() -> tuple[Vapour, ...]:
    """Return the concentrations of lead vapour above the pot by temperature. The figures are an upper limit, for vapour
    alone."""
    return tuple(Vapour(**row) for row in _data()["vapour"])


def introduction() -> tuple[str, ...]:
    """Opening paragraphs, before the cautions."""
    return _paragraphs(_data()["intro"])


def closing() -> tuple[str, ...]:
    """Closing paragraphs, which say that local rules and licensed practice take precedence."""
    return _paragraphs(_data()["closing"])


def _paragraphs(text: str) -> tuple[str, ...]:
    """Split text into paragraphs at blank lines, with each paragraph on one line."""
    return tuple(" ".join(part.split()) for part in text.strip().split("\n\n"))
