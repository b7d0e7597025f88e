"""What a plan names is read only where it is an ordinary file, and never more of it than is bounded."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest
from plans import EXAMPLES, example_text

from bulbcast.disk.bounded import UnreadFileError, bounded_bytes


def read(path, largest=1000):
    with pytest.raises(UnreadFileError) as caught:
        bounded_bytes(path, largest=largest)
    return caught.value.read


def test_a_file_up_to_the_limit_is_read_and_one_byte_more_is_refused(tmp_path):
    (tmp_path / "full").write_bytes(b"x" * 1000)
    (tmp_path / "over").write_bytes(b"x" * 1001)
    assert bounded_bytes(tmp_path / "full", largest=1000) == b"x" * 1000
    assert read(tmp_path / "over", 1000) == "a file of more than 0.001 MB"
    assert read(tmp_path) == "a directory"
    assert read(tmp_path / "none") == "nothing (No such file or directory)"
    assert read(tmp_path / "a\0b").startswith("nothing (")


def test_a_file_that_hides_its_length_is_bounded_all_the_same():
    # Such as the system makes up while it is read: it says that it has no bytes, and has 4096 and more.
    made_up = Path("/proc/self/smaps")
    if made_up.exists():
        assert read(made_up, 1000) == "a file of more than 0.001 MB"
        assert len(bounded_bytes(made_up, largest=10_000_000)) > 1000


READERS = """
import os, sys
from pathlib import Path
from bulbcast.files.drying_log import load_drying_log
from bulbcast.files.float_record import recorded_tests
from bulbcast.files.plan_file import load_plan
from bulbcast.plan.faults import PlanError

folder = Path(sys.argv[1])
readers = {
    "odd.toml": lambda: load_plan(folder / "odd.toml"),
    "odd.stl": lambda: load_plan(folder / "hull.toml"),
    "odd-hull.csv": lambda: load_plan(folder / "table.toml"),
    "odd-bulb.csv": lambda: load_plan(folder / "bulb.toml"),
    "odd-drying.csv": lambda: load_drying_log(folder / "odd-drying.csv", ("drag",)),
    "odd.floats.toml": lambda: recorded_tests(folder / "odd.toml"),
}
for name, reader in readers.items():
    for make, kind in ((os.mkfifo, "a pipe"), (lambda place: os.symlink("/dev/zero", place), "a device")):
        make(folder / name)
        try:
            reader()
        except PlanError as error:
            print(name, kind, [fault.read for fault in error.faults] == [kind], flush=True)
        os.unlink(folder / name)
"""


def test_a_pipe_or_a_device_is_refused_by_its_kind_before_it_is_read(tmp_path):
    """In a process of its own with a time to live: reading either would never end."""
    if not hasattr(os, "mkfifo"):
        return
    text = example_text("larkmoss")
    (tmp_path / "larkmoss-offsets.csv").write_bytes((EXAMPLES / "larkmoss-offsets.csv").read_bytes())
    table, profile = 'offsets = "larkmoss-offsets.csv"', 'profile = "naca4"'
    for name, old, new in (
        ("hull", table, 'hull = "odd.stl"'),
        ("table", table, 'offsets = "odd-hull.csv"'),
        ("bulb", profile, 'profile = "offsets"\noffsets = "odd-bulb.csv"'),
    ):
        assert text.count(old) == 1
        (tmp_path / f"{name}.toml").write_text(text.replace(old, new), encoding="utf-8")
    words = [sys.executable, "-c", READERS, str(tmp_path)]
    done = subprocess.run(words, timeout=120, capture_output=True, text=True)
    names = ("odd.toml", "odd.stl", "odd-hull.csv", "odd-bulb.csv", "odd-drying.csv", "odd.floats.toml")
    expected = [f"{name} {kind} True" for name in names for kind in ("a pipe", "a device")]
    assert (done.stdout.splitlines(), done.stderr) == (expected, "")
