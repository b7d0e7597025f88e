"""`bulbcast pour FILE`: the pour card for the current time."""

from __future__ import annotations

import os
import shutil
import sys
from pathlib import Path

import click

from bulbcast.cli.outcome import STOPPED, print_json, reporting


@click.command(name="pour")
@click.argument("file", type=click.Path(path_type=Path))
@click.option(
    "--at", "at", metavar="TIME", help="Time at which to judge the pour. Default: the computer's clock."
)
@click.option("--json", "as_json", is_flag=True, help="Print one JSON object and nothing else.")
@click.option("--cooling", is_flag=True, help="Also simulate freezing and cooling. This takes a few seconds.")
def command(file: Path, at: str | None, as_json: bool, cooling: bool) -> None:
    """Print the pour card for the current time.

    Run this command right before the pour. The card is printed only while the mould's drying pass is valid and nothing
    withholds the pour. Otherwise every reason is given, with the next thing to do, and the exit status is 3. Nothing is
    written.
    """
    with reporting():
        from bulbcast.files.drying_log import drying_log_of
        from bulbcast.files.drying_typed import judged_at
        from bulbcast.files.plan_file import load_plan
        from bulbcast.foundry.pour.chapter import pour_object, pour_text
        from bulbcast.job import run, with_cooling, with_pour
        from bulbcast.pattern_shop.measured import with_pieces

        plan, offsets, hull = load_plan(file)
        log = None if plan.mould is None else drying_log_of(plan, file)
        moment = judged_at(at, log, plan=plan)
        job = run(plan, offsets, hull, drying_log=log, moment=moment)
        if cooling:
            job = with_cooling(job)
        # Checks that need the cut pattern can also give a stop.
        job, _ = with_pieces(with_pour(job), for_files=False)
        if as_json:
            print_json(pour_object(job, moment))
        else:
            colour = sys.stdout.isatty() and "NO_COLOR" not in os.environ
            width = shutil.get_terminal_size((100, 24)).columns
            click.echo(pour_text(job, moment=moment, colour=colour, width=width), nl=False)
        withheld = bool(job.pour_withheld)
    if withheld:
        sys.exit(STOPPED)
