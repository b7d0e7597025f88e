"""If the program is killed at any moment, a new or replaced output directory is either absent or complete."""

from __future__ import annotations

import json
import os
import random
import shutil
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest
from plans import EXAMPLES

from bulbcast.bundle.bundle import bundle_record, require_writable

EXAMPLE = EXAMPLES / "fenwisp.toml"

# One process loads everything, and then forks for each line it reads a child that plans again and again into fresh
# directories, or over its own last bundle: a kill lands anywhere in the work without paying for a start. The mesh
# kernel is loaded but not used before the fork, for its threads would not come along; the templates, which touch no
# file, are made once.
LOOP = f"""
import os
import sys
import time
from pathlib import Path
import manifold3d
import stl.mesh
from bulbcast.files.plan_file import load_plan
from bulbcast.job import run
from bulbcast.bundle import contents
from bulbcast.job.html import report_html
plan, offsets, hull = load_plan(Path({str(EXAMPLE)!r}))
job = run(plan, offsets, hull)
made = contents.template_files(job)
contents.template_files = lambda job: made
report_html(job, None)
for line in sys.stdin:
    child = os.fork()
    if child == 0:
        number = 0
        while True:
            start = time.monotonic()
            over = line.split()[1] == "over"
            contents.write_bundle(job, Path(line.split()[0]) / ("out" if over else f"out{{number}}"), replace=over)
            if number == 0:
                (Path(line.split()[0]) / "span").write_text(str(time.monotonic() - start))
            number += 1
    print(child, flush=True)
    os.waitpid(child, 0)
    print("gone", flush=True)
"""


@pytest.mark.parametrize("kills", [8, pytest.param(300, marks=pytest.mark.slow)])
def test_killed_at_random_moments_every_directory_is_absent_or_whole(tmp_path: Path, kills: int) -> None:
    chance = random.Random(20261125)
    whole = 0
    with subprocess.Popen(
        [sys.executable, "-c", LOOP],
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        text=True,
        bufsize=1,
        env={**os.environ, "PYTHONPATH": str(Path(__file__).parents[2])},
    ) as process:
        assert process.stdin is not None
        assert process.stdout is not None
        span = 0.6
        for kill in range(kills):
            folder = tmp_path / f"kill{kill}"
            folder.mkdir()
            over = kill // 2 % 2  # every second pair replaces its own bundle again and again
            process.stdin.write(f"{folder} {'over' if over else 'beside'}\n")
            child = int(process.stdout.readline())
            time.sleep(chance.uniform(0.0, 1.5 * span))
            os.kill(child, signal.SIGKILL if kill % 2 else signal.SIGTERM)
            assert process.stdout.readline() == "gone\n"
            if (folder / "span").is_file() and (said := (folder / "span").read_text()):
                # A kill should land within a bundle or two, however fast the machine is.
                span = float(said)
            elif kill % 2:
                span = min(2.0 * span, 6.0)
            require_writable(folder / "out", replace=True)  # what the next run does first
            for out in folder.glob("out*"):
                plan = json.loads((out / "plan.json").read_text("utf-8"))
                names = {one["path"] for one in plan["files"]} | {"plan.json"}
                assert {path.name for path in out.iterdir()} == names == set(bundle_record(out) or ())
                require_writable(out, replace=True)  # every sum is the recorded one
                whole += 1
            shutil.rmtree(folder)
        process.stdin.close()
    assert whole > 0
