"""`bulbcast ballast FILE`: the weight list, and the mass and position that the bulb needs."""

from __future__ import annotations

import os
import shutil
import sys
from pathlib import Path

import click

from bulbcast.cli.outcome import STOPPED, print_json, reporting


@click.command(name="ballast")
@click.argument("file", type=click.Path(path_type=Path))
@click.option("--json", "as_json", is_flag=True, help="Print one JSON object and nothing else.")
def command(file: Path, as_json: bool) -> None:
    """Show the results of a plan that concern the boat: displacement, weight list, and the mass and position that the
    bulb needs.

    Writes nothing. The exit status is 3 if a finding on the boat is a stop.
    """
    with reporting():
        from bulbcast.files.float_record import recorded_tests
        from bulbcast.files.plan_file import load_plan
        from bulbcast.findings import Severity
        from bulbcast.job import run
        from bulbcast.job.ballast_text import ballast_object, ballast_text
        from bulbcast.plan.faults import Fault, PlanError

        plan, offsets, hull = load_plan(file)
        if plan.boat is None:
            remedy = (
                'Add [boat] with displacement = "4.2 kg" (all up), hull = "hull.stl" or offsets = "hull-offsets.csv", and '
                "[[weights]] for everything aboard except the bulb."
            )
            raise PlanError(
                [Fault(str(file), "[boat]", "nothing", "the boat for which the bulb is made", remedy)]
            )
        job = run(plan, offsets, hull)
        assert job.boat is not None
        tests = recorded_tests(file)
        if as_json:
            print_json(ballast_object(job, job.boat))
        else:
            colour = sys.stdout.isatty() and "NO_COLOR" not in os.environ
            width = shutil.get_terminal_size((100, 24)).columns
            click.echo(ballast_text(job, job.boat, colour=colour, width=width, tests=tests), nl=False)
        stopped = any(one.severity is Severity.STOP and one.subject == "boat" for one in job.findings)
    if stopped:
        sys.exit(STOPPED)
