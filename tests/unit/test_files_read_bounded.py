"""Files named in a plan are read only if they are ordinary files, up to a size limit, and only from the plan's folder
if requested.
"""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest
from plans import EXAMPLES, example_text

from bulbcast.disk.bounded import UnreadFileError, bounded_bytes
from bulbcast.files.plan_file import load_plan
from bulbcast.plan.faults import PlanError


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
    """This runs in a separate process with a time limit, since reading a pipe or device would never end."""
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


OFFSETS = EXAMPLES / "larkmoss-offsets.csv"
PROFILE = "x_mm,r_mm\n0,0\n30,8\n80,12\n120,10\n160,5\n200,1\n"


def plan_in(folder, hull=OFFSETS.name, bulb=None):
    """Path of the Larkmoss plan in a separate folder, with the given hull and bulb files."""
    text = example_text("larkmoss").replace(f'offsets = "{OFFSETS.name}"', f"offsets = '{hull}'")
    if bulb is not None:
        text = text.replace('profile = "naca4"', f"profile = 'offsets'\noffsets = '{bulb}'")
    folder.mkdir(exist_ok=True)
    (folder / "plan.toml").write_text(text, encoding="utf-8")
    return folder / "plan.toml"


def test_a_confined_plan_reads_what_lies_in_its_own_folder(tmp_path):
    path = plan_in(tmp_path / "own", "tables/hull.csv", "bulb.csv")
    (path.parent / "tables").mkdir()
    (path.parent / "tables/hull.csv").write_bytes(OFFSETS.read_bytes())
    (path.parent / "profile.csv").write_text(PROFILE, encoding="utf-8")
    os.symlink("profile.csv", path.parent / "bulb.csv")
    free, confined = load_plan(path), load_plan(path, confined=True)
    assert (free[0], free[1], free[2].file) == (confined[0], confined[1], confined[2].file)
    assert confined[1] is not None


@pytest.mark.parametrize("key", ["boat.offsets", "bulb.offsets"])
@pytest.mark.parametrize(
    "typed",
    ["{outside}/table.csv", "../table.csv", "sub/../../own/table.csv", r"..\table.csv", r"C:\table.csv", "C:table.csv",
     r"\\server\table.csv", "link.csv", "linked/table.csv", "circle.csv"],
)  # fmt: skip
def test_a_confined_plan_names_no_file_elsewhere(tmp_path, key, typed):
    typed = typed.format(outside=tmp_path)
    path = plan_in(tmp_path / "own", **{"hull" if key == "boat.offsets" else "bulb": typed})
    for folder in (path.parent, path.parent / "sub", tmp_path):
        folder.mkdir(exist_ok=True)
        (folder / "table.csv").write_bytes(OFFSETS.read_bytes())
    (path.parent / OFFSETS.name).write_bytes(OFFSETS.read_bytes())
    os.symlink(tmp_path / "table.csv", path.parent / "link.csv")
    os.symlink(tmp_path, path.parent / "linked")
    os.symlink("circle.csv", path.parent / "circle.csv")
    with pytest.raises(PlanError) as caught:
        load_plan(path, confined=True)
    (fault,) = caught.value.faults
    assert fault.message == (
        f"{path}: {key} ({typed}): read a path that leads elsewhere; expected a file in the plan's folder. "
        "Put the file into that folder, and give only its name."
    )
    if (
        key == "boat.offsets"
        and typed.endswith(("table.csv", "link.csv"))
        and "\\" not in typed
        and ":" not in typed
    ):
        assert load_plan(path)[2] is not None, "the command line reads what it is given"
