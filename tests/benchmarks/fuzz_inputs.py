"""Inputs for fuzzing: randomly corrupted plans, tables, hulls, drying logs and float records, and a command to run."""

from __future__ import annotations

import json
import random
import re
import sys
import tomllib
from functools import cache
from pathlib import Path
from typing import Any

ROOT = Path(__file__).parents[2]
sys.path += [str(ROOT / "tests" / "property"), str(ROOT / "examples")]

COMMANDS = ("plan", "plan", "plan", "bundle", "ballast", "dry", "pour", "pour", "float", "compare")
EXAMPLES = ("fenwisp", "larkmoss", "osierling", "puddlejack", "saltmarrow")

_ABSURD: tuple[Any, ...] = (
    *("0 mm", "-5 mm", "1e9 m", "1e-9 mm", "0.001 mm", "40 m", "unknown", "", " ", "NaN mm", "inf kg", "nan"),
    *(
        "3 furlong",
        "5",
        "1e400 kg",
        "1/0 in",
        "350 C",
        "-300 C",
        "3 kg",
        "1e-6 g",
        "20 t",
        "0.4 %",
        "-1 %",
        "100 %",
    ),
    *(
        "2.45 kg +- 90 %",
        "0.98 +- 0.35 %",
        "1,5 mm",
        "5 mm mm",
        "\u202e5 mm",
        "５ mm",
        "x" * 200,
        "yes",
        "2 l",
        "9 m/s",
    ),
    *(0, -1, 1, 1e308, -1e-300, 10**400, True, [], {}, [1, 2], {"a": 1}, float("nan"), float("inf")),
)
_UNITS = (
    "mm",
    "cm",
    "m",
    "in",
    "ft",
    "g",
    "kg",
    "lb",
    "oz",
    "t",
    "l",
    "cm3",
    "%",
    "C",
    "F",
    "N",
    "kN",
    "MPa",
    "GPa",
    "deg",
)
_FACTORS = (0.0, -1.0, 1e-3, 0.1, 0.3, 0.5, 0.7, 0.9, 0.99, 1.01, 1.1, 1.5, 2.0, 3.0, 10.0, 25.4, 1e3, 1e6)
_MILD = (0.3, 0.5, 0.7, 0.8, 0.9, 0.97, 1.03, 1.1, 1.25, 1.5, 2.0, 3.0)
_NUMBER = re.compile(r"-?\d+(?:\.\d+)?(?:[eE][-+]?\d+)?")

_ANYWHERE = (
    "mould",
    "scrap",
    "pot",
    "burner",
    "pour",
    "printer",
    "frame",
    "parting",
    "resin",
    "templates",
    "limits",
)
"""Sections that can be added to any plan."""

_LOG = """# Drying log of the mould
time,what,part,reading,air,moving air
2026-06-01T10:00,just set,drag,3029 g,21 C,no
2026-06-01T10:00,just set,cope,6127 g,21 C,no
2026-06-02T10:00,weighed,drag,2210 g,160 C,yes
2026-06-02T10:00,weighed,cope,4400 g,160 C,yes
2026-06-02T18:00,weighed,drag,1782 g,160 C,yes
2026-06-02T18:00,weighed,cope,3604 g,160 C,yes
2026-06-02T19:30,weighed,drag,1782 g,160 C,yes
2026-06-02T19:30,weighed,cope,3604 g,160 C,yes
2026-06-02T19:35,temperature,drag,110 C,,
"""
_RECORD = """format = "bulbcast float tests"

[[test]]
when = 2026-05-03
plan_sha256 = "0"

[test.too_much]
mass_kg = 0.031
trim_by_stern_m = -0.002
"""


def _text(value: Any) -> str:
    """Value in TOML notation."""
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, str):
        return json.dumps(value, ensure_ascii=False)
    if isinstance(value, dict):
        return "{" + ", ".join(f"{key} = {_text(one)}" for key, one in value.items()) + "}"
    if isinstance(value, list):
        return "[" + ", ".join(map(_text, value)) + "]"
    return repr(value)


def plan_text(table: dict[str, Any]) -> str:
    """Text of a plan file from a table of tables."""
    lines = []
    sections = {name: part for name, part in table.items() if _is_section(part)}
    lines = [f"{key} = {_text(value)}" for key, value in table.items() if key not in sections]
    for name, part in sections.items():
        for one in part if isinstance(part, list) else [part]:
            lines.append(f"[[{name}]]" if isinstance(part, list) else f"[{name}]")
            lines += [f"{key} = {_text(value)}" for key, value in one.items()]
    return "\n".join(lines) + "\n"


def _is_section(part: Any) -> bool:
    return isinstance(part, dict) or (
        bool(part) and isinstance(part, list) and all(isinstance(one, dict) for one in part)
    )


@cache
def _examples() -> dict[str, str]:
    return {name: (ROOT / "examples" / f"{name}.toml").read_text("utf-8") for name in EXAMPLES}


@cache
def _known_keys() -> tuple[tuple[str, str, str], ...]:
    """Section, key and example value of every known key."""
    from bulbcast.plan.keys import KEYS

    return tuple((*name.rpartition(".")[::2], key.example) for name, key in KEYS.items())


def _fresh(command: str, chance: random.Random) -> dict[str, Any]:
    """New plan to corrupt, in most cases one with the sections that the command needs."""
    from random_plans import random_plan

    about = {"dry": "mould", "pour": "mould", "ballast": "boat", "float": "boat"}.get(command)
    if chance.random() < 0.4:
        plans = (random_plan(chance.randrange(10**6)) for _ in range(12))
        return next((one for one in plans if about is None or about in one), random_plan(0))
    best = {"mould": "fenwisp", "boat": "larkmoss"}.get(about or "")
    table = tomllib.loads(_examples()[best if best and chance.random() < 0.9 else chance.choice(EXAMPLES)])
    if chance.random() < 0.4:
        other = random_plan(chance.randrange(10**6))
        for name in _ANYWHERE:
            if name in other and name not in table:
                table[name] = other[name]
    boat = table.get("boat")
    if isinstance(boat, dict) and "offsets" in boat and chance.random() < 0.4:
        del boat["offsets"]
        boat["hull"] = "hull.stl"
    if chance.random() < 0.1:
        for key in ("max_at", "nose_index", "nose_radius", "tail_radius", "prismatic"):
            table["bulb"].pop(key, None)
        table["bulb"] |= {"profile": "offsets", "offsets": "body.csv"}
    return table


def _places(table: dict[str, Any]) -> list[tuple[dict[str, Any], str]]:
    """Locations of all values, each as a table and a key."""
    found: list[tuple[dict[str, Any], str]] = []
    for key, value in table.items():
        if isinstance(value, dict):
            found += _places(value)
        elif isinstance(value, list):
            for one in value:
                found += _places(one) if isinstance(one, dict) else []
        else:
            found.append((table, key))
    return found


def _changed(value: Any, chance: random.Random, factors: tuple[float, ...]) -> Any:
    """Value with its figure multiplied by a factor."""
    factor = chance.choice(factors)
    if isinstance(value, bool):
        return not value
    if isinstance(value, (int, float)):
        return type(value)(value * factor) if abs(value) < 1e300 else 0
    figures = list(_NUMBER.finditer(value)) if isinstance(value, str) else []
    if not figures:
        return chance.choice(_ABSURD)
    one = chance.choice(figures)
    return f"{value[: one.start()]}{float(one.group()) * factor:.6g}{value[one.end() :]}"


def _other_unit(value: Any, chance: random.Random) -> Any:
    words = str(value).split(" ")
    return (
        " ".join([*words[:-1], chance.choice(_UNITS)])
        if len(words) > 1
        else f"{value} {chance.choice(_UNITS)}"
    )


def _spoil(table: dict[str, Any], chance: random.Random, wild: bool) -> None:
    """Make one change to a plan: a figure that is still plausible for a boat, or any kind of fault."""
    places = _places(table)
    if not places:
        return
    part, key = chance.choice(places)
    way = chance.random()
    if not wild or way < 0.5:
        if _NUMBER.match(str(part[key])):
            part[key] = _changed(part[key], chance, _MILD)
    elif way < 0.6:
        part[key] = _changed(part[key], chance, _FACTORS)
    elif way < 0.66:
        part[key] = chance.choice(_ABSURD)
    elif way < 0.70:
        part[key] = _other_unit(part[key], chance)
    elif way < 0.72:
        part[key] = "unknown"
    elif way < 0.78:
        del part[key]
    elif way < 0.82:
        other, there = chance.choice(places)
        if there in other:
            part[key], other[there] = other[there], part[key]
    elif way < 0.87:
        repeated = [
            one for one in table.values() if isinstance(one, list) and one and isinstance(one[0], dict)
        ]
        if repeated:
            rows = chance.choice(repeated)
            rows += [dict(chance.choice(rows)) for _ in range(chance.choice((1, 1, 3, 30)))]
    elif way < 0.90:
        sections = [name for name, one in table.items() if _is_section(one)]
        if sections:
            del table[chance.choice(sections)]
    else:
        section, name, example = chance.choice(_known_keys())
        holder = table.get(section, {}) if section else table
        holder = holder[0] if isinstance(holder, list) and holder else holder
        if isinstance(holder, dict):
            value = tomllib.loads(f"a = {example}")["a"]
            holder[name] = value if chance.random() < 0.6 else _changed(value, chance, _FACTORS)
            if section and section not in table:
                table[section] = holder


def _spoiled_text(text: str, chance: random.Random) -> bytes:
    """Text file with a corrupted line or byte, such as an editor, a spreadsheet or a bad disk might leave."""
    lines = text.split("\n")
    at = chance.randrange(len(lines))
    way = chance.randrange(9)
    if way == 0:
        lines.insert(at, lines[at])
    elif way == 1:
        del lines[at]
    elif way == 2:
        other = chance.randrange(len(lines))
        lines[at], lines[other] = lines[other], lines[at]
    elif way == 3:
        lines[at] = _changed(lines[at], chance, _FACTORS) if _NUMBER.search(lines[at]) else lines[at] + " 5"
    elif way == 4:
        lines[at] = lines[at].replace(",", ";", 1) if "," in lines[at] else f"{lines[at]},"
    raw = bytearray("\n".join(lines).encode("utf-8"))
    if way == 5 and raw:
        raw[chance.randrange(len(raw))] = chance.randrange(256)
    elif way == 6:
        del raw[chance.randrange(len(raw) + 1) :]
    elif way == 7:
        raw[:0] = b"\xef\xbb\xbf"
    elif way == 8:
        raw = bytearray(bytes(raw).replace(b"\n", b"\r\n"))
    return bytes(raw)


def _spoiled_table(text: str, chance: random.Random) -> bytes:
    """Comma-separated table with a few cells changed."""
    rows = [line.split(",") for line in text.splitlines()]
    for _ in range(chance.choice((1, 1, 2, 5))):
        row = chance.choice(rows)
        at = chance.randrange(len(row))
        way = chance.random()
        if way < 0.6 and _NUMBER.search(row[at]):
            row[at] = str(_changed(row[at], chance, _FACTORS if chance.random() < 0.3 else _MILD))
        elif way < 0.7:
            row[at] = ""
        elif way < 0.8:
            row[at] = str(chance.choice(_ABSURD))
        elif way < 0.9:
            rows.insert(chance.randrange(len(rows) + 1), list(row))
        elif len(rows) > 2:
            rows.remove(row)
    whole = "\n".join(map(",".join, rows)) + "\n"
    return _spoiled_text(whole, chance) if chance.random() < 0.15 else whole.encode("utf-8")


@cache
def _hull() -> bytes:
    """The hull from the examples, as a coarser surface."""
    import make_hull
    import numpy as np

    facets = make_hull.surface(24, 10)
    record = np.zeros(len(facets), np.dtype([("n", "<f4", 3), ("corners", "<f4", (3, 3)), ("rest", "<u2")]))
    record["corners"] = facets
    return bytes(80) + len(facets).to_bytes(4, "little") + record.tobytes()


def _spoiled_hull(chance: random.Random) -> bytes:
    import numpy as np

    raw = bytearray(_hull())
    count = (len(raw) - 84) // 50
    record = np.frombuffer(
        raw, np.dtype([("n", "<f4", 3), ("corners", "<f4", (3, 3)), ("rest", "<u2")]), count, 84
    )
    record = record.copy()
    way, corners = chance.randrange(12), record["corners"]
    draws = np.random.default_rng(chance.randrange(2**32))
    if way == 0:
        corners *= chance.choice((1e-3, 0.1, 10.0, 25.4, 1e3, 1e9, 0.0))
    elif way == 1:
        corners[:, :, chance.randrange(3)] *= chance.choice((-1.0, 0.0, 0.2, 5.0))
    elif way == 2:
        corners += np.array([chance.uniform(-900, 900), chance.choice((0.0, 20.0)), chance.uniform(-80, 80)])
    elif way == 3:
        record = record[draws.random(count) > chance.choice((0.002, 0.05, 0.5))]
    elif way == 4:
        turned = draws.random(count) < chance.choice((0.01, 0.3, 1.0))
        corners[turned] = corners[turned][:, ::-1]
    elif way == 5:
        corners[chance.randrange(count), chance.randrange(3)] = chance.choice((np.nan, np.inf, 3e38, 1e4))
    elif way == 6:
        corners += draws.normal(0.0, chance.choice((1e-3, 0.3, 5.0)), corners.shape)
    elif way == 7:
        record = record[corners[:, :, 0].mean(1) < chance.uniform(0, 1000)]
    elif way == 8:
        record = np.concatenate([record, record[: chance.randrange(count)]])
    elif way == 9:
        corners[:] = corners[:, :, draws.permutation(3)]
    head = bytes(80) + len(record).to_bytes(4, "little")
    whole = bytearray(head + record.tobytes())
    if way == 10:
        del whole[chance.randrange(len(whole)) :]
    elif way == 11:
        whole[chance.randrange(len(whole))] ^= 1 << chance.randrange(8)
    return bytes(whole)


def _body() -> str:
    """Table of a round body."""
    rows = [(4.0 * step, 20.0 * (1.0 - (step / 20.0 - 1.0) ** 2) ** 0.5) for step in range(41)]
    return "x_mm,r_mm\n" + "".join(f"{x:.1f},{r:.4f}\n" for x, r in rows)


def laid_out(seed: int, place: Path) -> tuple[str, list[str]]:
    """Write the files of a case into a directory, and choose the command to run there.

    Args:
        seed: Seed; equal seeds give equal cases.
        place: An empty directory.

    Returns:
        The kind of command, and its arguments.
    """
    chance = random.Random(seed)
    command, wild = chance.choice(COMMANDS), chance.random() < 0.4
    table = _fresh(command, chance)
    for _ in range(chance.choice((0, 1, 1, 2, 3) if wild else (2, 4, 8))):
        _spoil(table, chance, wild)
    text = plan_text(table)
    plan = place / "plan.toml"
    plan.write_bytes(
        _spoiled_text(text, chance) if wild and chance.random() < 0.1 else text.encode("utf-8", "replace")
    )
    offsets = (ROOT / "examples" / "larkmoss-offsets.csv").read_text("utf-8")
    kept = chance.random() < 0.5
    (place / "larkmoss-offsets.csv").write_bytes(
        offsets.encode() if kept else _spoiled_table(offsets, chance)
    )
    (place / "body.csv").write_bytes(
        _body().encode() if chance.random() < 0.3 else _spoiled_table(_body(), chance)
    )
    (place / "hull.stl").write_bytes(_hull() if chance.random() < 0.4 else _spoiled_hull(chance))
    if chance.random() < 0.7:
        (place / "plan-drying.csv").write_bytes(
            _LOG.encode() if chance.random() < 0.3 else _spoiled_table(_LOG, chance)
        )
    if chance.random() < 0.5:
        spoil = _RECORD.encode() if chance.random() < 0.3 else _spoiled_text(_RECORD, chance)
        (place / "plan.floats.toml").write_bytes(spoil)
    return command, _words(command, table, chance)


def _words(command: str, table: dict[str, Any], chance: random.Random) -> list[str]:
    json_too = ["--json"] if chance.random() < 0.6 else []
    if command == "plan":
        return ["plan", "plan.toml", "--json"]
    if command == "bundle":
        return ["plan", "plan.toml", "--out", "bundle", *json_too]
    if command == "ballast":
        return ["ballast", "plan.toml", *json_too]
    if command == "pour":
        moment = chance.choice(
            ("2026-06-02T20:00", "2026-06-02T20:00", "2026-06-09T08:00", "2026-06-01T08:00", "soon", "")
        )
        return ["pour", "plan.toml", "--at", moment, *json_too]
    if command == "dry":
        reading = chance.choice((*_ABSURD[:30], "2200 g", "1.7 kg", "4 lb"))
        part = chance.choice(("drag", "cope", "half 1", "mould", "DRAG", ""))
        moment = chance.choice(("", "@2026-06-03T10:00", "@1999-01-01", "@2026-06-31T10:00"))
        option = chance.choice(("--just-set", "--weighed", "--temperature"))
        given = [option, f"{part}={reading}{moment}"] if chance.random() < 0.7 else []
        given += ["--test-bar", "612 g", _changed("424 g", chance, _MILD)] if chance.random() < 0.2 else []
        given += (
            ["--room", str(chance.choice((*_ABSURD, "160 C", "40 C")))]
            if given and chance.random() < 0.3
            else []
        )
        return ["dry", "plan.toml", "--at", "2026-06-03T12:00", *given, *json_too]
    if command == "float":
        readings = (
            "3 mm",
            "-2 mm",
            "2 mm below",
            "on the line",
            "freeboard 88 mm",
            "freeboard 88 mm of 90 mm",
            "1/8 in",
        )
        words = [
            "float",
            "plan.toml",
            "--when",
            chance.choice(("2026-05-03", "2026-05-03 14:30", "0000-01-01")),
        ]
        for option in ("--bow", "--stern", "--port", "--starboard"):
            if chance.random() < (0.9 if option in ("--bow", "--stern") else 0.3):
                words += [option, str(chance.choice((*readings, *readings, *_ABSURD)))]
        for option, value in (("--weighed", "3.2 kg"), ("--ashore", "bulb"), ("--aboard", "40 g @ 600 mm")):
            if chance.random() < 0.25:
                words += [option, str(_changed(value, chance, _FACTORS)) if value != "bulb" else value]
        return words + json_too
    places = [
        (f"{name}.{key}", value)
        for name, section in table.items()
        if isinstance(section, dict)
        for key, value in section.items()
    ]
    name, value = chance.choice(places) if places else ("bulb.fineness", 5)
    values = [
        str(_changed(value, chance, _MILD + (_FACTORS if chance.random() < 0.2 else ()))) for _ in range(3)
    ]
    vary = f"{name}={','.join(values)}" if chance.random() < 0.7 else f"{name}={values[0]}:{values[1]}:4"
    speed = (
        ["--speed", chance.choice(("1.2 m/s", "3 kn", "0 m/s", "-1 m/s", "1e9 m/s"))]
        if chance.random() < 0.3
        else []
    )
    return ["compare", "plan.toml", "--vary", vary, *speed, *json_too]
