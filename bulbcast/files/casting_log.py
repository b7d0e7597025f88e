"""Log of weighed castings, in one TOML file for all plans in a folder. Its castings refine the next plan of the same
kind.

A casting counts for a plan with the same alloy, the same method of making the pattern and the same kind of mould. Its
contraction and density are stored with their standard deviations, without the plan's prior estimate.
"""

from __future__ import annotations

import csv
import hashlib
import io
import math
import tomllib
from collections.abc import Mapping
from functools import partial
from pathlib import Path

from bulbcast.confidence.inputs import spread_by_default
from bulbcast.disk.writing import alone, final_place, write_file
from bulbcast.files.record_toml import appended
from bulbcast.files.records import text_of
from bulbcast.materials.learned import SAYS, LearnedMetal, Said
from bulbcast.plan.faults import Fault, PlanError
from bulbcast.plan.keys import KEYS
from bulbcast.plan.sections import Plan
from bulbcast.quantities.frozen import frozen

FORMAT = "bulbcast castings"
LOG = "castings.toml"
_MOST_CASTINGS = 100_000
_RANGES = {**SAYS, "mould_expansion": (-0.01, 0.01)}


@frozen
class LoggedCasting:
    """A casting in the log.

    Attributes:
        kind: Alloy, method of making the pattern, and mould.
        when: Time as written in the log.
        plan: Name of the plan.
        sha256: SHA-256 of the plan file, in hexadecimal.
        again: Whether it is a second measurement of the previous casting, which it then replaces.
        before: Number of castings in the log when its pattern was made; None if not given. [-]
        mould: Growth of the mould for which its contraction was found; None means as in the plan. [-]
        contraction: Contraction found from this casting alone, with its standard deviation; None if it gives none. [-]
        density: Density found from this casting, in the same form as `contraction`. [kg/m3]
        figures: All plain figures and strings in its entry, by name.
    """

    kind: tuple[str, str, str]
    when: str
    plan: str
    sha256: str
    again: bool
    before: int | None
    mould: float | None
    contraction: tuple[float, float] | None
    density: tuple[float, float] | None
    figures: tuple[tuple[str, str], ...]


def log_path(plan: Path) -> Path:
    """Path of the log of castings for the plans in a folder.

    Args:
        plan: The plan file.
    """
    return plan.with_name(LOG)


def kind_of(plan: Plan) -> tuple[str, str, str]:
    """Kind of casting: alloy, pattern and mould, which must be the same for one casting to be relevant to another."""
    alloy, mould = plan.alloy, plan.mould
    metal, made_in = "weighed sample", "not said"
    if alloy.grade is not None:
        metal = alloy.grade
    elif alloy.density is not None:
        metal = f"density {alloy.density:.0f} kg/m3"
    elif alloy.composition is not None:
        metal = ", ".join(f"{name} {share:g}" for name, share in alloy.composition)
    if mould is not None:
        made_in = f"plaster, {mould.drying}" if mould.material == "plaster" else mould.material
    return metal, plan.pattern.made_by, made_in


@frozen
class CastingLog:
    """Casting log kept next to a plan.

    Attributes:
        castings: Castings, in order.
        source: Name of the log.
        sha256: SHA-256 of its text, in hexadecimal.
    """

    castings: tuple[LoggedCasting, ...]
    source: str
    sha256: str

    def before(self, plan: Plan, *, anew: bool) -> int:
        """Number of castings in the log when this plan's pattern was made. [-]

        Args:
            plan: The plan as read.
            anew: Whether the pattern is newer than the last casting; otherwise it is the one used for this plan's last
                casting.
        """
        own = [place for place, one in enumerate(self.castings) if one.sha256 == plan.sha256]
        if anew or not own:
            return len(self.castings)
        said = self.castings[own[-1]].before
        # An entry without this figure was cast from the first pattern.
        return own[0] if said is None else min(said, len(self.castings))

    def learned(self, plan: Plan, *, first: int | None = None) -> LearnedMetal | None:
        """Results from the log for a plan; None if the log has none.

        Args:
            plan: The plan as read.
            first: Number of castings to use, starting with the oldest; None means all.
        """
        kind = kind_of(plan)
        same: list[tuple[int, LoggedCasting]] = []
        for number, one in enumerate(self.castings[:first], start=1):
            if one.kind != kind:
                continue
            if one.again and same and same[-1][1].sha256 == one.sha256:
                same.pop()
            same.append((number, one))
        key, grown = KEYS["pattern.mould_expansion"], plan.pattern.mould_expansion
        typed = plan.spread_typed("pattern.mould_expansion")
        found = LearnedMetal(
            contraction=tuple(
                Said(casting=n, value=c[0] + (0.0 if one.mould is None else grown - one.mould), sd=c[1])
                for n, one in same
                if (c := one.contraction)
            ),
            density=tuple(Said(casting=n, value=d[0], sd=d[1]) for n, one in same if (d := one.density)),
            mould_sd=spread_by_default(key, grown) if typed is None else typed,
            source=self.source,
            sha256=self.sha256,
        )
        return found if found.contraction or found.density else None


def casting_log(plan: Path) -> CastingLog | None:
    """Log next to a plan; None if there is none.

    Args:
        plan: The plan file.

    Raises:
        PlanError: The log exists but cannot be read.
    """
    log = log_path(plan)
    text = text_of(log, partial(_broken, log))
    if text is None:
        return None
    sha256 = hashlib.sha256(text.encode("utf-8")).hexdigest()
    return CastingLog(castings=_castings(log, text), source=log.name, sha256=sha256)


def log_casting(plan: Path, casting: Mapping[str, object]) -> Path:
    """Add a casting to the end of the log.

    Args:
        plan: The plan file.
        casting: Mapping of keys to strings, numbers, dates and tables of these.

    Returns:
        The log's path.

    Raises:
        PlanError: The log exists but cannot be read; it was left unchanged.
        OSError: The log cannot be written; it is unchanged.
    """
    path = log_path(plan)
    begin = (
        f'# Castings, newest last. Written by bulbcast; lines may be added by hand.\nformat = "{FORMAT}"\n'
    )
    appended(path, casting, table="casting", begin=begin, broken=_broken, entries=_castings)
    return path


def export_csv(plan: Path, target: Path) -> int:
    """Write the log as CSV with one line for each casting.

    Args:
        plan: The plan file.
        target: Path of the table; an existing file is replaced.

    Returns:
        Number of castings written. [-]

    Raises:
        PlanError: The log exists but cannot be read.
        OSError: The table cannot be written.
    """
    log = casting_log(plan)
    castings = () if log is None else log.castings
    names = list(dict.fromkeys(name for one in castings for name, _ in one.figures))
    table = io.StringIO()
    writer = csv.writer(table, lineterminator="\n")
    writer.writerow(names)
    for one in castings:
        figures = dict(one.figures)
        writer.writerow([figures.get(name, "") for name in names])
    with alone(final_place(target)):
        write_file(target, table.getvalue().encode("utf-8"))
    return len(castings)


def _castings(path: Path, text: str) -> tuple[LoggedCasting, ...]:
    try:
        table = tomllib.loads(text.removeprefix("\ufeff"))
    except (tomllib.TOMLDecodeError, ValueError, RecursionError) as error:
        raise _broken(path, f"text that is not TOML ({str(error)[:80]})") from None
    castings = table.get("casting", [])
    if table.get("format") != FORMAT or not isinstance(castings, list):
        raise _broken(path, "a file of another kind")
    found = []
    for number, one in enumerate(castings, start=1):
        if not isinstance(one, dict):
            raise _broken(path, f"casting {number}, which is not a table")
        found.append(
            LoggedCasting(
                kind=(str(one.get("alloy", "")), str(one.get("made_by", "")), str(one.get("mould", ""))),
                when=str(one.get("when", ""))[:40],
                plan=str(one.get("plan", ""))[:200],
                sha256=str(one.get("plan_sha256", ""))[:64],
                again=one.get("again") is True,
                before=_count(path, number, one.get("castings_before")),
                mould=_growth(path, number, one.get("mould_expansion")),
                contraction=_said(path, number, one, "contraction", ""),
                density=_said(path, number, one, "density", "_kg_m3"),
                figures=tuple(_flat(one)),
            )
        )
    return tuple(found)


def _count(path: Path, number: int, value: object) -> int | None:
    if value is None:
        return None
    if isinstance(value, int) and not isinstance(value, bool) and 0 <= value <= _MOST_CASTINGS:
        # Earlier castings may have been deleted by hand since then.
        return min(value, number - 1)
    raise _broken(
        path,
        f"castings_before = {str(value)[:40]} in casting {number}",
        f"a whole number from 0 to {_MOST_CASTINGS:,}, the number of castings logged when its pattern was made",
        "Fix that line, or remove it.",
    )


def _growth(path: Path, number: int, value: object) -> float | None:
    low, high = _RANGES["mould_expansion"]
    if value is None:
        return None
    if isinstance(value, (int, float)) and not isinstance(value, bool) and low <= value <= high:
        return float(value)
    raise _broken(
        path,
        f"mould_expansion = {str(value)[:40]} in casting {number}",
        f"a figure from {low:g} to {high:g}",
        "Fix that line, or remove it.",
    )


def _said(
    path: Path, number: int, one: Mapping[str, object], name: str, unit: str
) -> tuple[float, float] | None:
    """Figure found from a casting, with its standard deviation; None if the casting gives none."""
    value, sd = one.get(f"{name}{unit}"), one.get(f"{name}_sd{unit}")
    if value is None and sd is None:
        return None
    low, high = _RANGES[name]
    plain = all(isinstance(each, (int, float)) and not isinstance(each, bool) for each in (value, sd))
    if (
        plain
        and low <= float(str(value)) <= high
        and 0.0 < float(str(sd)) < high
        and math.isfinite(float(str(sd)))
    ):
        return float(str(value)), float(str(sd))
    raise _broken(
        path,
        f"{name}{unit} = {str(value)[:40]} with {name}_sd{unit} = {str(sd)[:40]} in casting {number}",
        f"two figures, the first from {low:g} to {high:g}",
        "Fix those lines, or put # before each line of that casting.",
    )


def _flat(values: Mapping[str, object], before: str = "") -> list[tuple[str, str]]:
    rows = []
    for name, value in values.items():
        if isinstance(value, Mapping):
            rows += _flat(value, f"{before}{name}.")
        else:
            rows.append((f"{before}{name}", str(value)))
    return rows


def _broken(
    path: Path,
    read: str,
    expected: str = f'TOML with format = "{FORMAT}" and a [[casting]] for each casting',
    remedy: str = "Fix it or move it elsewhere.",
) -> PlanError:
    return PlanError([Fault(str(path), "the log of castings", read, expected, remedy)])
