"""`bulbcast plan FILE --out DIR`: plan of the whole job."""

from __future__ import annotations

import os
import shutil
import sys
from pathlib import Path
from typing import TYPE_CHECKING

import click

from bulbcast.cli.outcome import STOPPED, print_json, reporting

if TYPE_CHECKING:
    from bulbcast.job import Job


@click.command(name="plan")
@click.argument("file", type=click.Path(path_type=Path))
@click.option(
    "--out", "directory", type=click.Path(path_type=Path), help="Directory for the bundle; new or empty."
)
@click.option("--replace", is_flag=True, help="Replace the files of an earlier bundle in that directory.")
@click.option("--step", is_flag=True, help="Also write bulb.step, for CAD. Needs the step extra.")
@click.option("--json", "as_json", is_flag=True, help="Print one JSON object and nothing else.")
@click.option("--full", is_flag=True, help="Print everything in the report.")
@click.option("--quiet", is_flag=True, help="Print only the verdict and the report's path.")
@click.option("--cooling", is_flag=True, help="Also simulate freezing and cooling. This takes a few seconds.")
@click.option(
    "--cells",
    type=click.IntRange(6, 60),
    help="With --cooling: cells across the largest section. Default: 12 for a bulb lying down, 28 for one on end.",
)
def command(
    file: Path,
    directory: Path | None,
    replace: bool,
    step: bool,
    as_json: bool,
    full: bool,
    quiet: bool,
    cooling: bool,
    cells: int | None,
) -> None:
    """Plan the whole job: sizes and checks. With --out, the bundle is written; without it, nothing is written."""
    if full + quiet + as_json > 1:
        raise click.UsageError("give only one of --full, --quiet and --json")
    if step and directory is None:
        raise click.UsageError("give --out DIR with --step, because the STEP file is part of the bundle")
    if replace and directory is None:
        raise click.UsageError("give --out DIR with --replace; without --out nothing is written")
    if cells is not None and not cooling:
        raise click.UsageError("--cells applies to the simulation, so give --cooling too")
    with reporting() as kept:
        from bulbcast.files.plan_file import load_plan
        from bulbcast.job import run
        from bulbcast.job.plan_json import plan_object

        if directory is not None:
            from bulbcast.bundle.bundle import require_writable

            require_writable(directory, replace=replace)
        if step:
            from bulbcast.bundle.step import require_kernel

            require_kernel()
        plan, offsets, hull = load_plan(file)
        drying_log = None
        if plan.mould is not None:
            from bulbcast.files.drying_log import drying_log_of

            drying_log = drying_log_of(plan, file)
        job = run(plan, offsets, hull, drying_log=drying_log)
        if cooling:
            job = _cooled(job, cells)
        names: tuple[str, ...] = ()
        if directory is None:
            from bulbcast.pattern_shop.measured import with_pieces

            job, _ = with_pieces(job, for_files=False)
        else:
            from bulbcast.bundle.contents import write_bundle

            written = write_bundle(job, directory, replace=replace, step=step)
            kept.append(f"the bundle in {directory}")
            job, names = written.job, written.names
        if as_json:
            print_json(plan_object(job) if directory is None else written.plan)
        else:
            _print(job, file, directory, names, full=full, quiet=quiet)
    if job.stopped:
        sys.exit(STOPPED)


def _print(
    job: Job, file: Path, directory: Path | None, names: tuple[str, ...], *, full: bool, quiet: bool
) -> None:
    """Text of the results for the terminal."""
    colour = sys.stdout.isatty() and "NO_COLOR" not in os.environ
    width = shutil.get_terminal_size((100, 24)).columns
    out = "" if directory is None else str(directory)
    if full:
        from bulbcast.job.terminal import terminal_text

        written = tuple(f"{out}/{name}" for name in names)
        click.echo(terminal_text(job, colour=colour, width=width, written=written), nl=False)
    else:
        from bulbcast.job.summary import summary_text

        others = max(len(names) - 1, 0)
        text = summary_text(
            job, colour=colour, width=width, file=str(file), out=out, others=others, quiet=quiet
        )
        click.echo(text, nl=False)


def _cooled(job: Job, cells: int | None) -> Job:
    """Add the simulated cooling to the job, with a progress bar on stderr."""
    from bulbcast.job import with_cooling

    # The first steps do not show how long the rest will take, so no remaining time is given.
    with click.progressbar(
        length=1000, label="Cooling, simulated", file=sys.stderr, width=40, show_eta=False
    ) as bar:

        def shown(done: float) -> None:
            step = int(1000 * done) - bar.pos
            if step > 0:
                bar.update(step)

        return with_cooling(job, cells=cells, progress=shown)
