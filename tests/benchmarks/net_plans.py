"""Cases for the net: the five examples, 41 generated plans, some with further files, and 60 broken plans.

Everything is generated here and is the same each time. Some of the generated plans are random
(`random_plans.random_plan`, with seeds that together reach most findings); the rest are handmade, so that every
section and key is in at least one plan.
"""

from __future__ import annotations

import sys
import tomllib
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

sys.path[:0] = [str(Path(__file__).parent), str(Path(__file__).parents[1] / "property")]

from net_made import MADE, PROJECT  # noqa: E402
from random_plans import PlanTable, plan_text, random_plan  # noqa: E402

SEEDS = (58, 346, 241, 354, 517, 389, 349, 443, 303, 170, 308, 499, 489, 364, 612, 658)
SMALL_COOLED = ("made-dried-sand", "made-stops", "made-shop")
PARTS = {"on-edge": ("lower", "upper"), "nose-up": ("port", "starboard"), "tail-up": ("port", "starboard")}
AT = "2026-06-04T18:00"


@dataclass(frozen=True, slots=True)
class Case:
    """One plan with its files and the commands to run on it, in order, in one folder.

    Attributes:
        name: Name of the case; the plan is `plan.toml` in a folder of that name.
        text: Text of the plan.
        files: Further files in the folder, by name.
        commands: Arguments after `bulbcast`.
        cooling: Whether to run the simulated cooling too, except in a quick run.
    """

    name: str
    text: str
    files: dict[str, bytes] = field(default_factory=dict)
    commands: tuple[tuple[str, ...], ...] = ()
    cooling: bool = False


def examples() -> list[Case]:
    """The five examples with every command that applies."""
    return [
        _case(f"example-{path.stem}", tomllib.loads(text := path.read_text(encoding="utf-8")), text=text)
        for path in sorted((PROJECT / "examples").glob("*.toml"))
    ]


def generated() -> list[Case]:
    """Generated plans: the random ones from `SEEDS`, then the handmade ones."""
    return [
        *(_drawn(seed) for seed in SEEDS),
        *(_case(f"made-{name}", *made()) for name, made in MADE.items()),
    ]


def _drawn(seed: int) -> Case:
    table = random_plan(seed)
    # Facets as coarse as they may be: what is compared is the chain, and fine ones take minutes more.
    table.setdefault("pattern", {})["chord_error"] = "0.2 mm"
    return _case(f"drawn-{seed}", table)


def _case(name: str, table: PlanTable, files: dict[str, bytes] | None = None, text: str = "") -> Case:
    files = dict(files or {})
    beside = (PROJECT / "examples" / "larkmoss-offsets.csv").read_bytes()
    if table.get("boat", {}).get("offsets") == "larkmoss-offsets.csv":
        files.setdefault("larkmoss-offsets.csv", beside)
    return Case(
        name=name,
        text=text or plan_text(table),
        files=files,
        commands=tuple(_commands(name, table)),
        cooling=name.startswith("example-") or name in SMALL_COOLED,
    )


def _commands(name: str, table: PlanTable) -> Iterator[tuple[str, ...]]:
    example = name.startswith("example-")
    yield ("plan", "plan.toml", "--out", "bundle")
    if example:
        yield ("plan", "plan.toml", "--json")
    if "boat" in table:
        yield ("ballast", "plan.toml")
        yield from _floats(table, example)
    if "mould" in table:
        yield from _dried(name, table["mould"])
        yield ("pour", "plan.toml", "--at", AT)
        yield ("plan", "plan.toml", "--out", "bundle-with-records")
        yield ("pour", "plan.toml", "--at", AT, "--json")
    if example:
        yield ("compare", "plan.toml", "--vary", "bulb.skin=0.1mm,0.4mm", "--vary", "fin.pocket_clearance=0.2mm,0.5mm",
               "--speed", "1.2 m/s", "--out", "study")  # fmt: skip
        yield ("compare", "plan.toml", "--vary", "bulb.width_to_height=0.9,1.2", "--json")


def _dried(name: str, mould: dict[str, Any]) -> Iterator[tuple[str, ...]]:
    """Drying log of two mould parts: correct for the first example, but mostly far off for the others."""
    first, second = PARTS.get(mould.get("orientation", "lying"), ("drag", "cope"))
    parts = {first: ("3029 g", "1778 g"), second: ("2625 g", "1540 g")}
    room = "250 C" if name in ("made-stops", "made-shop") else "160 C"
    for time in ("16", "17"):
        words: list[str] = []
        for part, (wet, dry) in parts.items():
            if time == "16":
                words += ["--just-set", f"{part}={wet}@2026-06-01T10:00"]
            words += ["--weighed", f"{part}={dry}@2026-06-04T{time}:00"]
        yield ("dry", "plan.toml", *words, "--room", room, "--at", f"2026-06-04T{time}:30")
    if mould.get("drying") == "air":
        yield (
            "dry",
            "plan.toml",
            "--test-bar",
            "620 g",
            "410 g",
            "--moving-air",
            "--room",
            "40 C",
            "--at",
            AT,
        )
    yield ("dry", "plan.toml", "--temperature", f"{first}=62 C@{AT}", "--at", AT, "--json")


def _floats(table: PlanTable, example: bool) -> Iterator[tuple[str, ...]]:
    when = ("--when", "2026-05-03 14:30")
    marks = () if "offsets" in table["boat"] else ("--bow-at", "0 mm", "--stern-at", "900 mm")
    yield ("float", "plan.toml", "--bow", "3 mm above", "--stern", "1 mm below", *marks, *when)
    yield ("float", "plan.toml", "--bow", "-25 mm", "--stern", "30 mm", "--port", "9 mm", "--starboard", "-9 mm",
           "--sides-apart", "190 mm", "--sides-at", "475 mm", "--water", "salt", "--weighed", "9 kg",
           "--aboard", "camera: 40 g @ 600 mm", "--drill", "8 mm", "--reading-spread", "1 mm", *marks, *when,
           "--json")  # fmt: skip
    yield ("float", "plan.toml", "--bow", "3 mm", "--stern", "3 mm", "--ashore", "bulb", *marks, *when)
    if example:
        yield ("float", "plan.toml", "--bow", "1 mm", "--stern", "2 mm", "--port", "9 mm", "--starboard", "2 mm",
               "--sides-at", "475 mm", "--sides-apart", "190 mm", *when, "--json")  # fmt: skip
        yield ("float", "plan.toml", "--bow", "freeboard 86 mm", "--stern", "3 parts", *when)
