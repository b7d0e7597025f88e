"""The cheapest combination that levels the boat, compared with brute force and typed into the plan as shown."""

from __future__ import annotations

import itertools
import json
import random
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from plans import EXAMPLES, command
from scipy.optimize import linprog

from bulbcast.ballast.levelling import Lever, cheapest

FORWARD = (
    ('tip_leading_edge_x = "484 mm"', 'tip_leading_edge_x = "444 mm"'),
    ('overhang_forward = "140 mm"', 'overhang_forward = "140 mm"\ncarry_within = "30 mm"'),
)
FIXED = (
    ('movable_forward_to = "300 mm"\n', ""),
    ('movable_aft_to = "640 mm"\n', ""),
)


def drawn(chance: random.Random) -> tuple[list[Lever], float]:
    """Random adjustments for a boat, some of them useless, and the moment needed to level it."""
    levers = []
    for _ in range(chance.randint(1, 6)):
        mass = chance.uniform(0.02, 1.5)
        levers.append(Lever(most=chance.choice([0.0, mass * chance.uniform(0.0, 0.4)]), cost=1.0, mass=mass))
    for _ in range(chance.randint(0, 2)):
        mass = chance.uniform(0.1, 0.8)
        levers.append(Lever(most=mass * chance.uniform(0.05, 0.5), cost=1.1, mass=mass))
    return levers, chance.uniform(0.005, 0.6)


def by_brute_force(levers: list[Lever], moment: float) -> tuple[int, float] | None:
    """Smallest number of adjustments and their lowest cost, from a solver applied to every combination."""
    for count in range(1, len(levers) + 1):
        costs = []
        for chosen in itertools.combinations(levers, count):
            found = linprog(
                [one.cost for one in chosen],
                A_eq=np.ones((1, count)),
                b_eq=[moment],
                bounds=[(0.0, one.most) for one in chosen],
            )
            if found.status == 0:
                costs.append(float(found.fun))
        if costs:
            return count, min(costs)
    return None


def test_two_hundred_random_boats_against_a_solver_on_every_set() -> None:
    chance = random.Random(13)
    feasible = 0
    for _ in range(200):
        levers, moment = drawn(chance)
        found, best = cheapest(levers, moment), by_brute_force(levers, moment)
        assert (found is None) == (best is None)
        if found is None or best is None:
            continue
        feasible += 1
        assert sum(found) == pytest.approx(moment, rel=1e-12)
        assert all(0.0 <= part <= one.most for part, one in zip(found, levers, strict=True))
        assert sum(part > 0.0 for part in found) == best[0]
        cost = sum(part * one.cost for part, one in zip(found, levers, strict=True))
        assert cost == pytest.approx(best[1], rel=1e-8)
    assert feasible > 80


def test_among_equals_the_heaviest_goes_the_shortest_way() -> None:
    levers = [Lever(most=0.1, cost=1.0, mass=0.2), Lever(most=0.1, cost=1.0, mass=0.4)]
    assert cheapest(levers, 0.05) == (0.0, 0.05)


def said(folder: Path, text: str) -> dict[str, Any]:
    path = folder / "larkmoss.toml"
    path.write_text(text, encoding="utf-8")
    table = EXAMPLES / "larkmoss-offsets.csv"
    (folder / table.name).write_bytes(table.read_bytes())
    done = command("ballast", path, "--json")
    assert done.exit_code in (0, 3), done.output
    return json.loads(done.stdout)


def changed(*changes: tuple[str, str]) -> str:
    text = (EXAMPLES / "larkmoss.toml").read_text(encoding="utf-8")
    for old, new in changes:
        assert old in text, old
        text = text.replace(old, new, 1)
    return text


def typed_in(text: str, fix: list[dict[str, Any]]) -> str:
    """A plan with the lines of the first alternative typed in and new weights added at the end."""
    import tomllib

    new: dict[str, str] = {}
    listed = len(tomllib.loads(text)["weights"])
    for line in (one for one in fix if one["way"] == 1):
        number, leaf = line["key"].removeprefix("weights[").split("].")
        if int(number) > listed:
            new[leaf] = line["value"]
            continue
        parts = text.split("[[weights]]")
        rows = parts[int(number)].splitlines()
        at = next(i for i, row in enumerate(rows) if row.startswith(f"{leaf} ="))
        rows[at] = f"{leaf} = {line['value']}"
        parts[int(number)] = "\n".join(rows) + "\n"
        text = "[[weights]]".join(parts)
    if new:
        text += "\n[[weights]]\n" + "\n".join(f"{leaf} = {value}" for leaf, value in new.items()) + "\n"
    return text


@pytest.mark.parametrize("units", ["metric", "imperial"])
@pytest.mark.parametrize(
    ("changes", "moves"),
    [
        (FORWARD, ["battery"]),
        ((*FORWARD, *FIXED), ["trim lead"]),
        ((*FORWARD, ('"640 mm"', '"480 mm"')), ["trim lead"]),
        (
            (
                *FORWARD,
                ('movable_aft_to = "640 mm"', 'movable_aft_to = "560 mm"'),
                (
                    'x = "535 mm"\n',
                    'x = "535 mm"\nmovable_forward_to = "400 mm"\nmovable_aft_to = "555 mm"\n',
                ),
                # A mass that is typed in is not split.
                ('profile = "naca4"', 'target_mass = "1320 g"\nprofile = "naca4"'),
            ),
            ["battery", "winch, rudder servo and receiver"],
        ),
    ],
)
def test_typed_as_shown_it_levels_her(
    tmp_path: Path, changes: tuple[tuple[str, str], ...], moves: list[str], units: str
) -> None:
    text = changed(*changes, ('display_units = "metric"', f'display_units = "{units}"'))
    found = said(tmp_path, text)
    (stop,) = [one for one in found["findings"] if one["code"] == "bulb-out-of-reach"]
    # The fewest: only one if one is enough, whatever else could help.
    assert all(name in stop["remedy"].split(";")[0] for name in moves)
    fixed = said(tmp_path, typed_in(text, stop["fix"]))
    assert "bulb-out-of-reach" not in {one["code"] for one in fixed["findings"]}
    assert abs(fixed["boat"]["trim_by_stern_m"]) < 1e-4
    assert abs(fixed["boat"]["reach"]["short_m"]) < 1e-5


def test_a_wider_allowance_stands_beside_it_and_mends(tmp_path: Path) -> None:
    text = changed(*FORWARD)
    (stop,) = [one for one in said(tmp_path, text)["findings"] if one["code"] == "bulb-out-of-reach"]
    (line,) = [one for one in stop["fix"] if one["key"] == "fin.carry_within"]
    fixed = said(tmp_path, text.replace('carry_within = "30 mm"', f"carry_within = {line['value']}"))
    assert "bulb-out-of-reach" not in {one["code"] for one in fixed["findings"]}


def ways_of(found: dict[str, Any]) -> list[dict[str, str]]:
    """Lines of each alternative fix, by key."""
    (stop,) = [one for one in found["findings"] if one["code"] == "bulb-out-of-reach"]
    ways: dict[int, dict[str, str]] = {}
    for line in stop["fix"]:
        ways.setdefault(line["way"], {})[line["key"]] = line["value"]
    return list(ways.values())


def with_fin(text: str, lines: dict[str, str]) -> str:
    """A plan with the given lines added to [fin]."""
    for key, value in lines.items():
        leaf = key.removeprefix("fin.")
        before, section, after = text.partition("[fin]\n")
        own, bracket, rest = after.partition("\n[")
        rows = [row for row in own.splitlines() if not row.startswith(f"{leaf} =")]
        text = before + section + "\n".join([f"{leaf} = {value}", *rows]) + bracket + rest
    return text


AFT = (('tip_leading_edge_x = "484 mm"', 'tip_leading_edge_x = "524 mm"'), FORWARD[1])


@pytest.mark.parametrize("units", ["metric", "imperial"])
@pytest.mark.parametrize("changes", [FORWARD, AFT], ids=["fin too far forward", "fin too far aft"])
@pytest.mark.parametrize(
    "keys",
    [
        {"fin.tip_leading_edge_x", "fin.root_leading_edge_x"},
        {"fin.tip_leading_edge_x", "fin.rake"},
        {"fin.carry_within"},
    ],
    ids=["moved", "raked", "allowed"],
)
def test_each_alternative_typed_alone_levels_her(
    tmp_path: Path, changes: tuple[tuple[str, str], ...], keys: set[str], units: str
) -> None:
    text = changed(*changes, ('display_units = "metric"', f'display_units = "{units}"'))
    (way,) = [one for one in ways_of(said(tmp_path, text)) if set(one) == keys]
    fixed = said(tmp_path, with_fin(text, way))
    assert "bulb-out-of-reach" not in {one["code"] for one in fixed["findings"]}
    assert abs(fixed["boat"]["trim_by_stern_m"]) < 1e-4


def test_wider_overhangs_typed_level_her(tmp_path: Path) -> None:
    tight = ('overhang_forward = "140 mm"', 'overhang_forward = "90 mm"')
    text = changed(FORWARD[0], tight)
    text = with_fin(text, {"fin.overhang_aft": '"60 mm"'})
    ways = [one for one in ways_of(said(tmp_path, text)) if any("overhang" in key for key in one)]
    assert ways
    for way in ways:
        fixed = said(tmp_path, with_fin(text, way))
        assert "bulb-out-of-reach" not in {one["code"] for one in fixed["findings"]}
