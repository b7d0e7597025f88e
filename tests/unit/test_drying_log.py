"""The drying log is plain text: entries are appended, nothing is lost, and all errors are reported together."""

from __future__ import annotations

import hashlib
import os
import threading
from datetime import datetime
from pathlib import Path

import pytest

from bulbcast.files.drying_log import COLUMNS, add_to_log, load_drying_log, log_of, log_path
from bulbcast.files.drying_typed import entries_of
from bulbcast.plan.faults import PlanError
from bulbcast.quantities.moments import A_MOMENT, day_of, moment_of

PARTS = ("drag", "cope")
HEAD = ",".join(COLUMNS)
NOW = datetime(2026, 6, 4, 9, 30)


def lines(*typed, air=None, moving=None):
    return entries_of(typed, parts=PARTS, now=NOW, air=air, moving_air=moving, source="fen.toml")


def faults(call):
    with pytest.raises(PlanError) as caught:
        call()
    return [fault.message for fault in caught.value.faults]


def test_the_log_lies_beside_the_plan():
    assert log_path(Path("boats/fenwisp.toml")) == Path("boats/fenwisp-drying.csv")


def test_what_is_added_is_read_again(tmp_path):
    path = tmp_path / "fen-drying.csv"
    log = add_to_log(
        path,
        [
            *lines(("just set", "drag=3029 g@2026-06-01T10:00")),
            *lines(("weighed", "drag=2 lb 3 oz@2026-06-03 10:15"), air="40 C", moving=True),
            *lines(("temperature", "cope=145 F")),
        ],
        PARTS,
    )
    assert log == load_drying_log(path, PARTS)
    first, second, third = log.entries
    assert (first.what, first.part, first.value) == ("just set", "drag", pytest.approx(3.029))
    assert (second.value, second.air, second.moving_air) == (
        pytest.approx(0.992233),
        pytest.approx(40.0),
        True,
    )
    assert (third.value, third.time) == (pytest.approx((145 - 32) / 1.8), NOW)
    assert log.sha256 == hashlib.sha256(path.read_bytes()).hexdigest()


def test_no_file_is_no_log(tmp_path):
    assert load_drying_log(tmp_path / "none.csv", PARTS) is None


def test_what_stands_in_the_file_stays_byte_for_byte(tmp_path):
    path = tmp_path / "fen-drying.csv"
    before = (
        f"# the shed was cold\r\n\r\n{HEAD}\n2026-06-01T10:00,just set,drag,3029 g,,\n# scale moved".encode()
    )
    path.write_bytes(before)
    add_to_log(path, lines(("weighed", "drag=2500 g")), PARTS)
    after = path.read_bytes()
    assert after.startswith(before)
    assert after[len(before) :] == b"\n2026-06-04T09:30,weighed,drag,2500 g,,\n"


def test_the_same_reading_twice_is_taken_down_once(tmp_path):
    path = tmp_path / "fen-drying.csv"
    add_to_log(path, lines(("weighed", "drag=2500 g")), PARTS)
    once = path.read_bytes()
    add_to_log(path, lines(("weighed", "drag=2500 g"), ("weighed", "drag=2500 g")), PARTS)
    assert path.read_bytes() == once


def test_two_masses_at_one_time_are_refused_and_nothing_is_written(tmp_path):
    path = tmp_path / "fen-drying.csv"
    add_to_log(path, lines(("weighed", "drag=2500 g")), PARTS)
    once = path.read_bytes()
    said = faults(lambda: add_to_log(path, lines(("weighed", "drag=2300 g")), PARTS))
    assert said == [
        f"{path}: line 4: read another reading of drag at 2026-06-04T09:30; expected only one reading at that time. "
        "Nothing was added. Fix that line or put a # in front of it, or give the new reading a different "
        "time."
    ]
    assert path.read_bytes() == once


def test_a_full_disk_leaves_the_log_as_it_was(tmp_path, monkeypatch):
    path = tmp_path / "fen-drying.csv"
    add_to_log(path, lines(("weighed", "drag=2500 g")), PARTS)
    once = path.read_bytes()

    def full(handle):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "fsync", full)
    with pytest.raises(OSError, match="No space left"):
        add_to_log(path, lines(("weighed", "drag=2400 g@2026-06-05T10:00")), PARTS)
    assert path.read_bytes() == once
    assert os.listdir(tmp_path) == [path.name]


def test_two_writers_at_once_lose_no_line(tmp_path):
    path = tmp_path / "fen-drying.csv"

    def write(part):
        for hour in range(10):
            add_to_log(path, lines(("weighed", f"{part}=2500 g@2026-06-05T{hour:02}:00")), PARTS)

    writers = [threading.Thread(target=write, args=(part,)) for part in PARTS]
    for one in writers:
        one.start()
    for one in writers:
        one.join()
    assert len(load_drying_log(path, PARTS).entries) == 20


def test_every_fault_of_the_file_is_reported_in_one_go():
    text = (
        f"{HEAD}\n"
        "2026-06-01,just set,drag,3029 g,,\n"
        "2026-06-01T10:00,wieghed,drag,3029 g,,\n"
        "2026-06-01T10:00,weighed,top,3029 g,,\n"
        "2026-06-01T10:00,weighed,drag,3029,,\n"
        "2026-06-01T10:00,weighed,drag,0 g,,\n"
        "2026-06-01T10:00,weighed,drag,30 g,warm,often\n"
        "2026-06-01T10:00,weighed,drag\n"
    )
    said = faults(lambda: log_of(text.encode(), PARTS, source="log.csv"))
    fix = "Fix the line, or put a # before it."
    assert said[0] == f'log.csv: line 2: read "2026-06-01"; expected {A_MOMENT}. {fix}'
    assert (
        said[1] == f'log.csv: line 3: read "wieghed"; expected one of just set, weighed or temperature. {fix}'
    )
    assert said[2] == (
        'log.csv: line 4: read "top"; expected a part of this mould: drag or cope. Fix the name. If the '
        "plan's mould has changed, give the old log another name and start a new one."
    )
    assert said[3].startswith("log.csv: line 5: read")
    assert said[4] == f'log.csv: line 6: read "0 g"; expected a mass above zero and up to 20 t. {fix}'
    assert said[5].startswith("log.csv: line 7: read")
    assert said[6] == f'log.csv: line 7: read "often"; expected yes, no or a blank for moving air. {fix}'
    assert said[7] == f"log.csv: line 8: read 3 columns; expected the 6 columns {HEAD}. {fix}"


def test_an_oversized_cell_is_a_fault_with_its_line_and_the_other_faults_stand_beside_it():
    huge = "9" * 140_000
    text = f"{HEAD}\n2026-06-01T10:00,weighed,drag,{huge} g,,\n2026-06-01T10:00,weighed,drag,0 g,,\n"
    first, second = faults(lambda: log_of(text.encode(), PARTS, source="log.csv"))
    assert first == (
        "log.csv: line 2: read a line that cannot be read (field larger than field limit (131072)); expected the 6 "
        f"columns {HEAD}. Fix the line, or put a # before it."
    )
    assert second.startswith("log.csv: line 3: ")


def test_a_log_without_its_heading_is_reported():
    said = faults(lambda: log_of(b"2026-06-01T10:00,weighed,drag,3029 g,,\n", PARTS, source="log.csv"))
    assert said == [
        f'log.csv: line 1: read "2026-06-01T10:00,weighed,drag,3029 g,,"; expected the heading {HEAD}. '
        "Put the heading back."
    ]


def test_times_with_and_without_a_zone_are_not_mixed():
    text = f"{HEAD}\n2026-06-01T10:00,weighed,drag,3 kg,,\n2026-06-01T11:00+02:00,weighed,drag,3 kg,,\n"
    assert faults(lambda: log_of(text.encode(), PARTS, source="log.csv")) == [
        "log.csv: line 3: read times with and without a time zone; expected times that either all have a time "
        "zone or all have none. Write every time as the clock in the shed showed it, without a time zone."
    ]


@pytest.mark.parametrize("content", [b"\xff\xfe\x00", b"\x00" * 40])
def test_a_file_that_is_no_log_is_reported_without_a_traceback(content):
    assert faults(lambda: log_of(content, PARTS, source="log.csv"))


@pytest.mark.parametrize(
    ("typed", "message"),
    [
        (
            ("weighed", "drag"),
            'fen.toml: --weighed: read "drag"; expected part=reading or part=reading@time. Write --weighed "drag=3120 g", '
            "say.",
        ),
        (
            ("temperature", "drag="),
            'fen.toml: --temperature: read "drag="; expected part=reading or part=reading@time. Write --temperature '
            '"drag=62 C", say.',
        ),
        (
            ("weighed", "lid=3 kg"),
            'fen.toml: --weighed: read "lid"; expected a part of this mould: drag or cope. Type it again.',
        ),
        (
            ("weighed", "drag=21 t"),
            'fen.toml: --weighed: read "21 t"; expected a mass above zero and up to 20 t. Type it again.',
        ),
        (
            ("temperature", "drag=4000 C"),
            'fen.toml: --temperature: read "4000 C"; expected a temperature from -60 C to 1200 C. Type it again.',
        ),
        (
            ("just set", "drag=3,1 kg"),
            'fen.toml: --just-set: read "drag=3,1 kg"; expected part=reading or part=reading@time, without commas. '
            "Remove the comma. Decimals are written with a decimal point.",
        ),
    ],
)
def test_what_is_typed_wrong_is_reported_in_one_whole_message(typed, message):
    assert faults(lambda: lines(typed)) == [message]


@pytest.mark.parametrize(
    ("text", "read"), [("2199-12-31T23:59", True), ("2999-01-01T10:00", False), ("1969-12-31T10:00", False)]
)
def test_a_year_that_no_reading_is_of_is_a_slip(text: str, read: bool) -> None:
    assert (moment_of(text) is not None) is read
    assert (day_of(text[:10]) is not None) is read
