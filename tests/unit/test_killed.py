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

# One process plans again and again into fresh directories, so that a kill lands anywhere in the work
# without paying for a start each time.
LOOP = f"""
import sys
from pathlib import Path
from bulbcast.files.plan_file import load_plan
from bulbcast.job import run
from bulbcast.report.contents import write_bundle
plan, offsets, hull = load_plan(Path({str(EXAMPLE)!r}))
job = run(plan, offsets, hull)
print("ready", flush=True)
number = 0
while True:
    write_bundle(job, Path(sys.argv[1]) / f"out{{number}}")
    number += 1
"""


def test_killed_at_fifty_random_moments_every_directory_is_absent_or_whole(tmp_path: Path) -> None:
    chance = random.Random(20261125)
    whole = 0
    for kill in range(KILLS):
        folder = tmp_path / f"kill{kill}"
        folder.mkdir()
        process = subprocess.Popen(
            [sys.executable, "-c", LOOP, str(folder)],
            stdout=subprocess.PIPE,
            env={**os.environ, "PYTHONPATH": str(Path(__file__).parents[2])},
        )
        assert process.stdout is not None
        assert process.stdout.readline() == b"ready\n"
        time.sleep(chance.uniform(0.0, 0.6))
        process.send_signal(signal.SIGKILL if kill % 2 else signal.SIGTERM)
        process.wait()
        process.stdout.close()
        for out in folder.glob("out*"):
            plan = json.loads((out / "plan.json").read_text("utf-8"))
            names = {one["path"] for one in plan["files"]} | {"plan.json"}
            assert {path.name for path in out.iterdir()} == names
            whole += 1
    assert whole > 0
