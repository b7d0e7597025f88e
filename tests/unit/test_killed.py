"""Killed at any moment, the directory asked for is absent or whole."""

from __future__ import annotations

import json
import os
import random
import signal
import subprocess
import sys
import time
from pathlib import Path

EXAMPLE = Path(__file__).parents[2] / "examples" / "fenwisp.toml"
KILLS = 50

# One process loads everything, and then forks for each line it reads a child that plans again and again into fresh
# directories: a kill lands anywhere in the work without paying for a start. The mesh kernel is loaded but not used
# before the fork, for its threads would not come along; the templates, which touch no file, are made once.
LOOP = f"""
import os
import sys
import time
from pathlib import Path
import manifold3d
import stl.mesh
from bulbcast.files.plan_file import load_plan
from bulbcast.job import run
from bulbcast.report import contents
from bulbcast.report.html import report_html
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
            contents.write_bundle(job, Path(line.strip()) / f"out{{number}}")
            if number == 0:
                (Path(line.strip()) / "span").write_text(str(time.monotonic() - start))
            number += 1
    print(child, flush=True)
    os.waitpid(child, 0)
    print("gone", flush=True)
"""


def test_killed_at_fifty_random_moments_every_directory_is_absent_or_whole(tmp_path: Path) -> None:
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
        for kill in range(KILLS):
            folder = tmp_path / f"kill{kill}"
            folder.mkdir()
            process.stdin.write(f"{folder}\n")
            child = int(process.stdout.readline())
            time.sleep(chance.uniform(0.0, 1.5 * span))
            os.kill(child, signal.SIGKILL if kill % 2 else signal.SIGTERM)
            assert process.stdout.readline() == "gone\n"
            if (folder / "span").is_file() and (told := (folder / "span").read_text()):
                # A kill should land within a bundle or two, however fast the machine is.
                span = float(told)
            elif kill % 2:
                span = min(2.0 * span, 6.0)
            for out in folder.glob("out*"):
                plan = json.loads((out / "plan.json").read_text("utf-8"))
                names = {one["path"] for one in plan["files"]} | {"plan.json"}
                assert {path.name for path in out.iterdir()} == names
                whole += 1
        process.stdin.close()
    assert whole > 0
