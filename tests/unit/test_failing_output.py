"""If output fails, files already on the disk stay there, and the message names these and no others."""

from __future__ import annotations

import errno
import os
import subprocess
import sys
from pathlib import Path

import click
import pytest
from plans import EXAMPLES

from bulbcast.cli.outcome import FAILED, reporting

EXAMPLE = EXAMPLES / "fenwisp.toml"


def run_with(output: int, *words: str) -> subprocess.CompletedProcess[str]:
    """Run the command with its standard output going to the given descriptor, then close the descriptor."""
    code = "from bulbcast.cli.main import main; main()"
    try:
        return subprocess.run(
            [sys.executable, "-c", code, *words],
            stdout=output,
            stderr=subprocess.PIPE,
            text=True,
            check=False,
            cwd=Path(__file__).parents[2],
        )
    finally:
        os.close(output)


def closed_pipe() -> int:
    reading, writing = os.pipe()
    os.close(reading)
    return writing


def full_device() -> int:
    if not os.path.exists("/dev/full"):
        pytest.fail("this test needs a device that is always full; run it where /dev/full exists")
    return os.open("/dev/full", os.O_WRONLY)


@pytest.mark.parametrize(
    ("output", "why"),
    [(closed_pipe, "The output was closed before the end"), (full_device, os.strerror(errno.ENOSPC))],
)
def test_a_bundle_stands_when_the_output_fails_and_the_message_says_so(tmp_path, output, why):
    place = tmp_path / "out"
    done = run_with(output(), "plan", str(EXAMPLE), "--out", str(place))
    assert done.returncode == FAILED
    assert done.stderr == f"{why}; complete on disk: the bundle in {place}.\n"
    assert {"plan.json", "report.html", "bulb.stl"} <= {one.name for one in place.iterdir()}


def test_where_nothing_was_written_the_message_says_that(tmp_path):
    done = run_with(full_device(), "plan", str(EXAMPLE), "--json")
    assert (done.returncode, done.stderr) == (FAILED, f"{os.strerror(errno.ENOSPC)}; nothing was written.\n")
    done = run_with(closed_pipe(), "plan", str(EXAMPLE), "--json")
    assert (done.returncode, done.stderr) == (FAILED, "")


@pytest.mark.parametrize(
    ("error", "words"),
    [
        (OSError(errno.EIO, "Input/output error"), "Input/output error; complete on disk: the test in x.floats.toml."),
        (MemoryError(), "The machine ran out of memory; complete on disk: the test in x.floats.toml."),
        (RuntimeError("odd"), "This should not happen (RuntimeError: odd); complete on disk: the test in x.floats.toml."),
    ],
)  # fmt: skip
def test_whatever_fails_later_undoes_nothing(capsys, error, words):
    def fails_after_writing():
        with reporting() as kept:
            kept.append("the test in x.floats.toml")
            raise error

    with pytest.raises(SystemExit) as left:
        fails_after_writing()
    assert left.value.code == FAILED
    assert capsys.readouterr().err.startswith(words)


def test_what_the_command_line_refuses_is_left_to_it():
    with pytest.raises(click.UsageError), reporting():
        raise click.UsageError("x")
