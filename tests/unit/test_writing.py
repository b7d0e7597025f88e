"""Bundles are written completely or not at all, by one run at a time, without overwriting files, on any system."""

from __future__ import annotations

import errno
import hashlib
import json
import os
import signal
import subprocess
import sys
import threading
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from typing import Any

import pytest
from plans import EXAMPLES, command, example_text

from bulbcast.bundle import bundle
from bulbcast.bundle.bundle import bundle_record, require_writable, write_directory
from bulbcast.disk import writing
from bulbcast.disk.refusals import DirectoryRefusedError
from bulbcast.files.float_record import record_path, recorded, recorded_tests
from bulbcast.report.values import SCHEMA_NAME


def files_of(
    mark: str, names: tuple[str, ...] = ("report.html", "templates/one.dxf")
) -> list[tuple[str, bytes]]:
    """Files of a small bundle that contain a marker, with plan.json listing their checksums."""
    made = [(name, f"{name} of {mark}".encode()) for name in names]
    listed = [{"path": name, "sha256": hashlib.sha256(content).hexdigest()} for name, content in made]
    plan = {"meta": {"format": SCHEMA_NAME}, "files": listed, "mark": mark}
    return [*made, ("plan.json", json.dumps(plan).encode())]


def mark_of(directory: Path) -> str:
    """Marker of the bundle in a directory. Fails if the bundle is incomplete."""
    record = bundle_record(directory)
    assert record is not None
    mark = str(json.loads((directory / "plan.json").read_text())["mark"])
    for name in record:
        assert name == "plan.json" or (directory / name).read_bytes() == f"{name} of {mark}".encode()
    return mark


def neighbours(directory: Path) -> list[str]:
    return sorted(path.name for path in directory.parent.iterdir() if path != directory)


# --- Two runs


def test_of_many_runs_into_one_new_directory_the_first_stands_and_the_others_say_so(tmp_path: Path) -> None:
    out = tmp_path / "deep" / "out"
    together = threading.Barrier(8)

    def one(number: int) -> str:
        together.wait()
        try:
            write_directory(out, files_of(f"run {number}"))
        except DirectoryRefusedError as error:
            return str(error)
        return f"run {number}"

    with ThreadPoolExecutor(8) as pool:
        reporting = list(pool.map(one, range(8)))
    (first,) = [words for words in reporting if words.startswith("run")]
    assert mark_of(out) == first
    said = (
        f"{out}: another run wrote there in the meantime. Its files were not changed, and nothing from this run was "
        "written. Add --replace to replace them, or give --out another directory."
    )
    assert [words for words in reporting if words != first] == [said] * 7
    assert neighbours(out) == []


def test_a_plan_whose_directory_was_filled_meanwhile_says_so_and_leaves_it(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    from bulbcast.bundle import contents

    out = tmp_path / "out"

    def slow(*asked: object, **more: object) -> tuple[object, ...]:
        write_directory(out, files_of("the other"))
        return ()

    monkeypatch.setattr(contents, "bundle_files", slow)
    done = command("plan", EXAMPLES / "osierling.toml", "--out", out)
    assert done.exit_code == 2
    assert "another run wrote there in the meantime" in done.stderr
    assert mark_of(out) == "the other"


def test_writers_of_one_record_wait_for_each_other(tmp_path: Path) -> None:
    plan = tmp_path / "boat.toml"
    with ThreadPoolExecutor(8) as pool:
        list(pool.map(lambda number: recorded(plan, {"when": f"test {number}"}), range(24)))
    assert {test.when for test in recorded_tests(plan)} == {f"test {number}" for number in range(24)}
    assert os.listdir(tmp_path) == ["boat.floats.toml"]


def test_a_record_behind_a_link_is_written_where_it_lies_and_keeps_its_mode(tmp_path: Path) -> None:
    record, link = tmp_path / "kept" / "record.csv", tmp_path / "record.csv"
    record.parent.mkdir()
    record.write_bytes(b"before")
    record.chmod(0o640)
    link.symlink_to(record)
    writing.write_file(link, b"after")
    assert link.is_symlink()
    assert record.read_bytes() == b"after"
    assert record.stat().st_mode & 0o777 == 0o640
    assert sorted(os.listdir(tmp_path)) == ["kept", "record.csv"]
    assert os.listdir(record.parent) == ["record.csv"]


def test_a_writer_that_waits_in_vain_names_the_file(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    plan = tmp_path / "boat.toml"
    monkeypatch.setattr(writing, "_PATIENCE", 0.1)
    with writing.alone(record_path(plan)), pytest.raises(TimeoutError) as caught:
        recorded(plan, {"when": "now"})
    assert caught.value.filename == str(record_path(plan))
    assert "another run has been writing it" in str(caught.value)
    assert not record_path(plan).exists()


# --- The builder's own files


def test_a_file_that_the_builder_changed_is_named_and_nothing_is_replaced(tmp_path: Path) -> None:
    out = tmp_path / "out"
    write_directory(out, files_of("before"))
    (out / "report.html").write_text("my notes on the pour")
    for step in (
        lambda: require_writable(out, replace=True),
        lambda: write_directory(out, files_of("after"), replace=True),
    ):
        with pytest.raises(DirectoryRefusedError) as caught:
            step()
        assert str(caught.value) == (
            f"{out}: report.html is no longer as bulbcast wrote it. Nothing was replaced. Move it out of that directory "
            "if you want to keep your work, or give --out another directory."
        )
    assert (out / "report.html").read_text() == "my notes on the pour"
    assert json.loads((out / "plan.json").read_text())["mark"] == "before"
    # The fix, as it says.
    (out / "report.html").rename(tmp_path / "report.html")
    write_directory(out, files_of("after"), replace=True)
    assert mark_of(out) == "after"


@pytest.mark.parametrize("kind", ["file", "link", "folder"])
def test_a_file_of_the_builders_where_a_new_one_has_to_go_is_named(tmp_path: Path, kind: str) -> None:
    out, mine = tmp_path / "out", tmp_path / "mine"
    write_directory(out, files_of("before", ("report.html",)))
    mine.write_text("mine")
    place = out / "pattern.stl"
    if kind == "file":
        place.write_text("mine")
    elif kind == "link":
        place.symlink_to(mine)
    else:
        place.mkdir()
    with pytest.raises(
        DirectoryRefusedError, match=r"pattern\.stl is in that directory, but bulbcast did not write it"
    ):
        write_directory(out, files_of("after", ("report.html", "pattern.stl")), replace=True)
    assert mark_of(out) == "before"
    assert mine.read_text() == "mine"


def test_a_folder_of_the_bundle_that_was_linked_elsewhere_is_not_written_through(tmp_path: Path) -> None:
    out, elsewhere = tmp_path / "out", tmp_path / "elsewhere"
    write_directory(out, files_of("before"))
    (out / "templates").rename(elsewhere)
    (out / "templates").symlink_to(elsewhere)
    with pytest.raises(DirectoryRefusedError, match=r"templates/one\.dxf is no longer"):
        write_directory(out, files_of("after"), replace=True)
    assert (elsewhere / "one.dxf").read_text() == "templates/one.dxf of before"


def test_what_else_lies_in_a_bundle_stays_with_its_times_and_links(tmp_path: Path) -> None:
    out = tmp_path / "out"
    write_directory(out, files_of("before"))
    (out / "photos").mkdir()
    (out / "photos" / "pour.jpg").write_text("picture")
    (out / "photos" / "link").symlink_to("pour.jpg")
    os.utime(out / "photos", (1e9, 1e9))
    os.chmod(out, 0o750)
    write_directory(out, files_of("after", ("bulb.stl",)), replace=True)
    assert mark_of(out) == "after"
    assert not (out / "report.html").exists()
    assert (out / "photos" / "pour.jpg").read_text() == "picture"
    assert os.readlink(out / "photos" / "link") == "pour.jpg"
    assert (out / "photos").stat().st_mtime == 1e9
    assert out.stat().st_mode & 0o777 == 0o750


def test_a_file_saved_while_a_run_is_writing_is_not_lost(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    out = tmp_path / "out"
    write_directory(out, files_of("before"))
    write = bundle.write_new

    def meanwhile(place: Path, content: bytes) -> None:
        (out / "note.txt").write_text("saved this moment")
        write(place, content)

    monkeypatch.setattr(bundle, "write_new", meanwhile)
    monkeypatch.setattr(bundle, "_keep_the_rest", lambda *asked: None)
    with pytest.raises(DirectoryRefusedError, match="a file there was changed while this run was writing"):
        write_directory(out, files_of("after"), replace=True)
    assert (out / "note.txt").read_text() == "saved this moment"
    assert mark_of(out) == "before"
    assert neighbours(out) == []


def test_compare_replaces_its_own_files_and_no_changed_one(tmp_path: Path) -> None:
    out = tmp_path / "out"
    words = ("compare", EXAMPLES / "osierling.toml", "--vary", "bulb.fineness=5,6", "--out", out)
    assert command(*words).exit_code == 0
    (out / "note.txt").write_text("stays")
    assert "add --replace" in command(*words).stderr
    assert command(*words, "--replace").exit_code == 0
    assert sorted(os.listdir(out)) == ["compare.csv", "compare.svg", "note.txt"]
    for name in ("compare.csv", "compare.svg"):
        kept = (out / name).read_bytes()
        (out / name).write_bytes(kept.replace(b"fineness", b"FINENESS", 1))
        done = command(*words, "--replace")
        assert (done.exit_code, f"{name} is no longer as bulbcast wrote it" in done.stderr) == (2, True)
        (out / name).write_bytes(kept)


# --- Runs that end anywhere

# For each line: a number, a signal and a folder. A child writes a second bundle over the first in the folder's `out`, and
# sends itself the signal as it is about to take the step on disk of that number; it says whether it got so far.
CHILD = f"""
import os, sys
from pathlib import Path
sys.path[:0] = {[str(Path(__file__).parent), str(Path(__file__).parents[1] / "shared")]!r}
import filelock
from test_writing import files_of
from bulbcast.cli.outcome import reporting
from bulbcast.bundle.bundle import write_directory
STEPS = {{"open", "os.rename", "os.mkdir", "os.rmdir", "os.remove", "os.link", "os.utime", "os.chmod"}}
for line in sys.stdin:
    number, number_of_signal, folder = line.split(maxsplit=2)
    folder = folder.strip()
    child = os.fork()
    if child == 0:
        left = int(number)
        def watch(event, asked):
            global left
            if event in STEPS and any(folder in str(one) for one in asked):
                left -= 1
                if left == -1:
                    os.kill(os.getpid(), int(number_of_signal))
        sys.addaudithook(watch)
        try:
            with reporting():
                write_directory(Path(folder) / "out", files_of("after"), replace=True)
        except SystemExit as done:
            os._exit(done.code)
        if left < 0:
            os._exit(0)  # the signal was not there to end it: it came with the last step
        os._exit(77)
    print(os.waitstatus_to_exitcode(os.waitpid(child, 0)[1]), flush=True)
"""


@pytest.mark.skipif(not hasattr(os, "fork"), reason="the signals and the fork are POSIX's")
@pytest.mark.parametrize(
    ("number", "before"),
    [
        (9, True),
        (9, False),
        (1, True),
        pytest.param(1, False, marks=pytest.mark.slow),
        pytest.param(15, True, marks=pytest.mark.slow),
        pytest.param(15, False, marks=pytest.mark.slow),
    ],
)
def test_ended_at_any_step_on_disk_the_directory_is_whole_and_the_next_run_tidies_up(
    tmp_path: Path, number: int, before: bool
) -> None:
    """The process is killed (9), asked to end (15) or loses its terminal (1), at every step in turn."""
    whole, restored, clean = {"before": 0, "after": 0}, 0, 0
    with subprocess.Popen(
        [sys.executable, "-c", CHILD],
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        text=True,
        bufsize=1,
        env={**os.environ, "PYTHONPATH": str(Path(__file__).parents[2])},
    ) as process:
        assert process.stdin is not None
        assert process.stdout is not None
        for step in range(200):
            folder = tmp_path / f"at{step}"
            out = folder / "out"
            if before:
                write_directory(out, files_of("before"))
                (out / "note.txt").write_text("mine")
            else:
                folder.mkdir()
            process.stdin.write(f"{step} {number} {folder}\n")
            status = int(process.stdout.readline())
            if status == 77:  # it was done before that step came
                break
            assert status == (-9 if number == 9 else 128 + number)
            if number != 9 and before:
                assert mark_of(out) in whole  # at once, without a next run
            clean += set(neighbours(out)) <= {".out.bulbcast-lock"}
            restored += before and not out.exists()
            require_writable(out, replace=True)
            if before or out.exists():
                whole[mark_of(out)] += 1
            write_directory(out, files_of("next"), replace=True)
            assert mark_of(out) == "next"
            assert (out / "note.txt").exists() == before
            assert neighbours(out) == []
        else:
            pytest.fail("the steps never end")
        process.stdin.close()
    assert step > 8
    assert whole["after"] > 0
    assert not before or whole["before"] > 8
    if before and number == 9:
        assert restored == 1  # between the two renames
    if number != 9:
        assert clean > step / 2


def test_an_earlier_bundle_beside_a_directory_made_anew_is_named_and_kept(tmp_path: Path) -> None:
    out = tmp_path / "out"
    write_directory(out, files_of("before"))
    out.rename(tmp_path / ".out.bulbcast-old")
    (tmp_path / ".out.bulbcast-part").mkdir()
    out.mkdir()
    (out / "letter.txt").write_text("mine")
    with pytest.raises(DirectoryRefusedError, match=r"next to it as \.out\.bulbcast-old"):
        require_writable(out, replace=True)
    assert mark_of(tmp_path / ".out.bulbcast-old") == "before"
    (out / "letter.txt").unlink()
    require_writable(out, replace=True)
    assert mark_of(out) == "before"
    assert neighbours(out) == []


@pytest.mark.skipif(not hasattr(signal, "SIGHUP"), reason="no such signal here")
def test_under_nohup_a_closed_terminal_ends_nothing() -> None:
    script = (
        "import signal, os; signal.signal(signal.SIGHUP, signal.SIG_IGN)\n"
        "from bulbcast.cli.outcome import reporting\n"
        "with reporting(): os.kill(os.getpid(), signal.SIGHUP); print('still here')"
    )
    done = subprocess.run([sys.executable, "-c", script], capture_output=True, text=True, cwd=EXAMPLES.parent)
    assert done.stdout == "still here\n", done.stderr


# --- Windows and macOS: their refusals played here; none of this was run on those systems


@pytest.fixture
def foreign(monkeypatch: pytest.MonkeyPatch) -> None:
    """Make the calls for writing and locking fail as on Windows or on a disk without links and locks."""
    rename, replace, open_ = os.rename, os.replace, os.open

    def no_rename_onto(source: Any, target: Any, **more: Any) -> None:
        if os.path.lexists(target):
            raise FileExistsError(errno.EEXIST, "Cannot create a file when that file already exists", target)
        rename(source, target, **more)

    def no_directory_replaced(source: Any, target: Any, **more: Any) -> None:
        if os.path.isdir(target) or os.path.isdir(source):
            raise PermissionError(errno.EACCES, "Access is denied", target)
        replace(source, target, **more)

    def no_directory_opened(path: Any, flags: int, *more: Any, **named: Any) -> int:
        if os.path.isdir(path) and not flags & getattr(os, "O_TMPFILE", 0):
            raise PermissionError(errno.EACCES, "Permission denied", path)
        return open_(path, flags, *more, **named)

    def no_link(*asked: Any, **more: Any) -> None:
        if "follow_symlinks" in more:
            raise NotImplementedError("link: follow_symlinks unavailable on this platform")
        raise OSError(errno.EINVAL, "The request is not supported")

    monkeypatch.setattr(os, "rename", no_rename_onto)
    monkeypatch.setattr(os, "replace", no_directory_replaced)
    monkeypatch.setattr(os, "link", no_link)
    # shutil's removal goes by open directories where it can; Windows has no such thing.
    monkeypatch.setattr("shutil._use_fd_functions", False)
    monkeypatch.setattr(os, "open", no_directory_opened)


@pytest.fixture
def lockless(monkeypatch: pytest.MonkeyPatch) -> None:
    """Simulate a disk without file locks, for example a network disk."""
    fcntl = pytest.importorskip("fcntl")

    def flock(*asked: object) -> None:
        raise OSError(errno.ENOSYS, "Function not implemented")

    monkeypatch.setattr(fcntl, "flock", flock)


@pytest.mark.usefixtures("foreign")
@pytest.mark.parametrize("locks", [True, False])
@pytest.mark.filterwarnings("ignore:flock not supported")
def test_bundles_logs_and_records_are_written_where_those_calls_fail(
    tmp_path: Path, locks: bool, request: pytest.FixtureRequest
) -> None:
    if not locks:
        request.getfixturevalue("lockless")
    out = tmp_path / "out"
    out.mkdir()  # an empty one stands in the way
    write_directory(out, files_of("before"))
    (out / "note.txt").write_text("mine")
    with pytest.raises(DirectoryRefusedError, match="another run wrote there in the meantime"):
        write_directory(out, files_of("never"))
    require_writable(out, replace=True)
    write_directory(out, files_of("after"), replace=True)
    assert mark_of(out) == "after"
    assert (out / "note.txt").read_text() == "mine"
    plan = tmp_path / "fenwisp.toml"
    plan.write_bytes((EXAMPLES / "fenwisp.toml").read_bytes())
    for hour, mass in ((10, 3029), (12, 3000)):
        words = ("--just-set" if hour == 10 else "--weighed", f"drag={mass} g@2026-06-01T{hour}:00")
        done = command("dry", plan, *words, "--at", "2026-06-01T13:00")
        assert done.exit_code == 0, done.output
        recorded(plan, {"when": f"2026-06-01T{hour}:00"})
    assert len((tmp_path / "fenwisp-drying.csv").read_text().splitlines()) == 5
    assert len(recorded_tests(plan)) == 2
    assert sorted(os.listdir(tmp_path)) == [
        "fenwisp-drying.csv",
        "fenwisp.floats.toml",
        "fenwisp.toml",
        "out",
    ]


def held(monkeypatch: pytest.MonkeyPatch, place: Path, times: float) -> list[float]:
    """Simulate a file or directory that another program holds open for the first `times` tries; return the waiting
    times. [s]"""
    waited: list[float] = []
    monkeypatch.setattr("time.sleep", waited.append)
    for name in ("rename", "replace"):
        step: Callable[..., None] = getattr(os, name)

        def refused(source: Any, target: Any, step: Callable[..., None] = step) -> None:
            if place in (Path(source), Path(target)) and len(waited) < times:
                raise PermissionError(errno.EACCES, "Access is denied", str(source), None, str(target))
            step(source, target)

        monkeypatch.setattr(os, name, refused)
    return waited


def test_a_log_held_open_for_a_moment_is_written_after_it(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    plan = tmp_path / "boat.toml"
    recorded(plan, {"when": "first"})
    waited = held(monkeypatch, record_path(plan), 2)
    recorded(plan, {"when": "second"})
    assert len(waited) == 2
    assert [test.when for test in recorded_tests(plan)] == ["first", "second"]


def test_a_log_that_a_spreadsheet_holds_open_is_named_and_left(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    plan, log = tmp_path / "fenwisp.toml", tmp_path / "fenwisp-drying.csv"
    plan.write_bytes((EXAMPLES / "fenwisp.toml").read_bytes())
    words = ("dry", plan, "--just-set", "drag=3029 g@2026-06-01T10:00", "--at", "2026-06-01T11:00")
    assert command(*words).exit_code == 0
    before = log.read_bytes()
    waited = held(monkeypatch, log, float("inf"))
    done = command("dry", plan, "--weighed", "drag=3000 g@2026-06-01T12:00", "--at", "2026-06-01T13:00")
    assert done.exit_code == 1
    assert done.stderr == (
        f"{log}: it cannot be replaced; close the program that has it open (a spreadsheet, say) and run the "
        "command again; nothing was written.\n"
    )
    assert 1.0 < sum(waited) < 3.0
    assert log.read_bytes() == before
    assert sorted(os.listdir(tmp_path)) == ["fenwisp-drying.csv", "fenwisp.toml"]


def test_a_bundle_that_a_program_holds_open_is_named_and_left(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    out = tmp_path / "out"
    write_directory(out, files_of("before"))
    held(monkeypatch, out, float("inf"))
    with pytest.raises(PermissionError, match="close the program that has it open") as caught:
        write_directory(out, files_of("after"), replace=True)
    assert caught.value.filename == str(out)
    assert mark_of(out) == "before"
    assert neighbours(out) == []


def test_names_that_windows_keeps_for_devices_are_refused(tmp_path: Path) -> None:
    # Microsoft, "Naming Files, Paths, and Namespaces": the names, alone or with an ending.
    for name in ("con.toml", "NUL", "Aux.x.toml", "com1.toml", "LPT9", "com¹"):
        assert writing.is_device_name(name), name
    for name in ("console.toml", "com10.toml", "fenwisp.con", "auxiliary", "com.toml"):
        assert not writing.is_device_name(name), name
    done = command("new", tmp_path / "con.toml")
    assert done.exit_code == 2
    assert (
        done.stderr == f"{tmp_path / 'con.toml'}: Windows treats con.toml as a device; give another name.\n"
    )
    done = command("plan", EXAMPLES / "osierling.toml", "--out", tmp_path / "nul")
    assert done.exit_code == 2
    assert done.stderr == f"{tmp_path / 'nul'}: Windows treats nul as a device; give --out another name.\n"
    assert os.listdir(tmp_path) == []


@pytest.mark.parametrize("encoding", ["ascii", "cp1252"])
def test_json_is_utf_8_whatever_the_console(tmp_path: Path, encoding: str) -> None:
    plan = tmp_path / "plan.toml"
    text = example_text("osierling").replace('name = "', 'name = "Löffelente Łódź ', 1)
    plan.write_text(text, encoding="utf-8")
    done = subprocess.run(
        [sys.executable, "-m", "bulbcast", "plan", str(plan), "--json"],
        capture_output=True,
        env={**os.environ, "PYTHONIOENCODING": encoding, "PYTHONUTF8": "0"},
        cwd=EXAMPLES.parent,
    )
    assert json.loads(done.stdout.decode("utf-8"))["name"].startswith("Löffelente Łódź"), done.stderr
    assert b"\r" not in done.stdout


def test_every_command_prints_its_json_by_the_one_way_that_is_utf_8() -> None:
    for file in (EXAMPLES.parent / "bulbcast" / "cli").glob("*.py"):
        assert "echo(json_text" not in file.read_text(encoding="utf-8"), file.name


def test_a_plan_with_a_byte_order_mark_is_read(tmp_path: Path) -> None:
    plain, marked = EXAMPLES / "osierling.toml", tmp_path / "osierling.toml"
    marked.write_bytes(b"\xef\xbb\xbf" + plain.read_bytes())
    first, second = (json.loads(command("plan", plan, "--json").stdout) for plan in (plain, marked))
    assert first["meta"].pop("plan_sha256") != second["meta"].pop("plan_sha256")
    assert first == second


@pytest.mark.parametrize("name", ["larkmoss", "fenwisp"])
def test_result_and_report_do_not_hang_on_how_the_path_was_typed(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, name: str
) -> None:
    from bulbcast.files.drying_log import drying_log_of
    from bulbcast.files.plan_file import load_plan
    from bulbcast.job import run as run_plan
    from bulbcast.job.html import report_html
    from bulbcast.job.plan_json import plan_object
    from bulbcast.report.values import json_text

    for file in EXAMPLES.glob("*.*"):
        (tmp_path / file.name).write_bytes(file.read_bytes())
    (tmp_path / "sub").mkdir()
    file = f"{name}.toml"
    log = ("dry", tmp_path / file, "--just-set", "drag=3029 g@2026-06-01T10:00", "--at", "2026-06-01T11:00")
    assert name != "fenwisp" or command(*log).exit_code == 0
    made = []
    for folder, typed in (
        (tmp_path, tmp_path / file),
        (tmp_path / "sub", f"../sub/../{file}"),
    ):
        monkeypatch.chdir(folder)
        plan, offsets, hull = load_plan(Path(typed))
        job = run_plan(plan, offsets, hull, drying_log=drying_log_of(plan, Path(typed)))
        made.append((json_text(plan_object(job)), report_html(job, None)))
    assert made[0] == made[1]
