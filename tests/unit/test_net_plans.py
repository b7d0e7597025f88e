"""Plans from tests/benchmarks/net.py are read without errors and contain every key, and changed results are detected."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).parents[1] / "benchmarks"))

import net
import net_plans
from net_broken import broken
from net_reach import KEYS_OUT_OF_REACH

from bulbcast.plan.faults import PlanError
from bulbcast.plan.keys import KEYS
from bulbcast.plan.reading import read_plan


@pytest.fixture(scope="module")
def plans() -> list[net_plans.Case]:
    return [*net_plans.examples(), *net_plans.generated()]


def test_there_are_five_examples_the_made_plans_and_sixty_broken_ones(plans):
    names = [case.name for case in (*plans, *broken())]
    assert len(names) == len(set(names)) == 5 + 47 + 60
    assert set(net.QUICK_ONES) < set(names)


def test_every_plan_reads_without_a_fault_and_is_the_same_when_made_again(plans, tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    for case in plans:
        for name, data in case.files.items():
            (tmp_path / name).write_bytes(data)
        read_plan(case.text, source="plan.toml")
    assert net_plans.generated() == plans[5:]


def test_every_key_stands_in_a_plan_or_has_its_reason(plans):
    reached = set().union(*(net.keys_of(case.text) for case in plans))
    assert set(KEYS) - reached == set(KEYS_OUT_OF_REACH)


def test_every_broken_plan_has_a_fault():
    for case in broken():
        if case.name == "broken-offsets-missing":
            continue  # its fault is the file that is not there
        with pytest.raises(PlanError):
            read_plan(case.text, source="plan.toml")


def sides(tmp_path: Path, old: dict[str, bytes], new: dict[str, bytes]) -> tuple[net.Side, net.Side]:
    for side, files in (("old", old), ("new", new)):
        for name, data in files.items():
            path = tmp_path / side / "case" / name
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_bytes(data)
    return net.Side(tmp_path, tmp_path / "old", "1"), net.Side(tmp_path, tmp_path / "new", "2")


def test_a_word_a_key_a_byte_and_a_file_that_differ_are_found_and_a_sum_of_a_file_is_not(tmp_path):
    old = {
        "a.txt": b"one\ntwo\n",
        "b.json": b'{"x": {"y": [1, 2]}}',
        "c.stl": b"\0\1\2",
        "gone.svg": b"<svg/>",
        "same": b"s",
    }
    new = {"a.txt": b"one\ntoo\n", "b.json": b'{"x": {"y": [1, 3]}}', "c.stl": b"\0\1\3", "same": b"s"}
    for files in (old, new):
        files["sums"] = b" ".join(
            net.hashlib.sha256(files[name]).hexdigest().encode() for name in ("a.txt", "same")
        )
    both = sides(tmp_path, old, new)
    found = {(one.file, one.key): (one.was, one.now) for one in net.differences("case", both, [])}
    assert found == {
        ("a.txt", ""): ("line 2: two", "line 2: too"),
        ("b.json", "x.y[2]"): ("2", "3"),
        ("c.stl", ""): ("3 bytes, differing from 2 on: 02", "3 bytes, differing from 2 on: 03"),
        ("gone.svg", ""): ("6 bytes", "no file"),
    }


def test_what_is_allowed_is_allowed_there_and_nowhere_else(tmp_path):
    both = sides(
        tmp_path,
        {"a.txt": b"the lead, the mould\n", "b.json": b'{"x": 1, "y": 1}', "c.txt": b"the mould"},
        {"a.txt": b"the lead, the form\n", "b.json": b'{"x": 2, "y": 2}', "c.txt": b"a form"},
    )
    file = tmp_path / "allow.toml"
    file.write_text(
        '[[allowed]]\nfile = "*.txt"\nwas = "mould"\nnow = "form"\nreason = "a word"\n'
        '[[allowed]]\nfile = "b.json"\nkey = "x"\nreason = "a figure"\n',
        encoding="utf-8",
    )
    allowed = net.allowed_in(file)
    found = [(one.file, one.key) for one in net.differences("case", both, allowed)]
    assert found == [("b.json", "y"), ("c.txt", "")]
    assert [one.met for one in allowed] == [2, 1]
    file.write_text('[[allowed]]\nfile = "*"\nreason = " "\n', encoding="utf-8")
    with pytest.raises(SystemExit, match="has a reason"):
        net.allowed_in(file)
