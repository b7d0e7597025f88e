"""`bulbcast compare FILE --vary ...`: the same plan calculated with a range of values for one or two inputs."""

from __future__ import annotations

import sys
import time
from pathlib import Path
from typing import TYPE_CHECKING

import click

from bulbcast.cli.outcome import STOPPED, print_json, reporting

if TYPE_CHECKING:
    from collections.abc import Callable

# A study shorter than this needs no progress bar.
_PATIENCE = 1.0


@click.command(name="compare")
@click.argument("file", type=click.Path(path_type=Path))
@click.option(
    "--vary",
    "variations",
    multiple=True,
    required=True,
    metavar="KEY=A,B,C|KEY=A:B:N",
    help="Values of one input, or N values from A to B. Give the option twice for a grid.",
)
@click.option("--speed", metavar="SPEED", help='Add the drag at this speed, such as "1.2 m/s" or "3 kn".')
@click.option(
    "--out", "directory", type=click.Path(path_type=Path), help="Directory for compare.csv and compare.svg."
)
@click.option("--replace", is_flag=True, help="Replace an earlier comparison in that directory.")
@click.option("--json", "as_json", is_flag=True, help="Print one JSON object and nothing else.")
def command(
    file: Path,
    variations: tuple[str, ...],
    speed: str | None,
    directory: Path | None,
    replace: bool,
    as_json: bool,
) -> None:
    """Calculate the plan for a range of values of one or two inputs, and show the results as a table.

    Write a key as in the plan: bulb.fineness=4:8:9, bulb.target_mass=2kg:3kg:5, screws[1].recess=8mm,10mm. A row that
    fails is kept, with the reason. The exit status is 3 if any row has a stop.
    """
    with reporting() as kept:
        from bulbcast.bundle.bundle import require_writable, write_directory
        from bulbcast.bundle.comparison import comparison_files, comparison_record
        from bulbcast.compare import (
            compare,
            offsets_named,
            plan_with_boat,
            read_variations,
            study_csv,
            study_object,
            study_table,
        )
        from bulbcast.files.casting_log import casting_log
        from bulbcast.files.hull import load_hull
        from bulbcast.files.offsets import load_offsets
        from bulbcast.files.plan_file import plan_bytes
        from bulbcast.plan.document import take_apart
        from bulbcast.plan.faults import PlanError
        from bulbcast.quantities import Shown

        if directory is not None:
            require_writable(directory, replace=replace, recorded=comparison_record)
        document = take_apart(plan_bytes(file), source=str(file))
        if document.faults:
            raise PlanError(document.faults)
        varied = read_variations(variations, document.table)
        tables = {
            typed: load_offsets(file.parent, plan_source=str(file), typed=typed)
            for typed in offsets_named(document.table, varied)
        }
        plan = plan_with_boat(document.table, varied, source=str(file), sha256=document.sha256)
        log = casting_log(file)
        study = compare(
            document.table,
            varied,
            file=(str(file), document.sha256),
            speed=_speed(speed),
            offsets=tables,
            hull=None if plan is None else load_hull(plan, file.parent),
            learned=None if log is None else log.learned,
            progress=_bar(),
        )
        if directory is not None:
            from bulbcast.compare.plot import study_plot

            files = comparison_files(study_csv(study), study_plot(study, Shown(study.display_units)))
            write_directory(directory, files, replace=replace, recorded=comparison_record)
            kept.append(f"the comparison in {directory}")
        if as_json:
            print_json(study_object(study))
        else:
            import shutil

            width = shutil.get_terminal_size((110, 24)).columns
            click.echo(study_table(study, Shown(study.display_units), width), nl=False)
            if directory is not None:
                click.echo(f"Written to {directory}: {', '.join(name for name, _ in files)}")
    if study.stopped:
        sys.exit(STOPPED)


def _speed(text: str | None) -> float | None:
    from bulbcast.plan.faults import Fault, PlanError
    from bulbcast.quantities import Dimension, QuantityError, read_quantity

    if text is None:
        return None
    try:
        return read_quantity(text, Dimension.SPEED)
    except QuantityError as error:
        raise PlanError(
            [
                Fault(
                    file="the command line",
                    key="--speed",
                    read=error.read,
                    expected=error.expected,
                    remedy=error.remedy,
                )
            ]
        ) from None


def _bar() -> Callable[[int, int], None]:
    """Progress bar on the terminal for a study that takes more than a second. Without a terminal nothing is shown."""
    begun = time.monotonic()
    shown = False

    def progress(done: int, total: int) -> None:
        nonlocal shown
        if not sys.stderr.isatty() or (time.monotonic() - begun < _PATIENCE and not shown):
            return
        shown = True
        filled = 30 * done // total
        end = "\r" + " " * 60 + "\r" if done == total else ""
        click.echo(
            f"\r[{'#' * filled}{'.' * (30 - filled)}] {done} of {total} plans{end}", nl=False, err=True
        )

    return progress
