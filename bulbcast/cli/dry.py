"""`bulbcast dry FILE`: the drying log of the mould."""

from __future__ import annotations

import os
import shutil
import sys
from pathlib import Path

import click

from bulbcast.cli.outcome import print_json, reporting


@click.command(name="dry")
@click.argument("file", type=click.Path(path_type=Path))
@click.option(
    "--just-set",
    "just_set",
    multiple=True,
    metavar="PART=MASS[@TIME]",
    help="Mass of a part, weighed as soon as it has set.",
)
@click.option(
    "--weighed",
    multiple=True,
    metavar="PART=MASS[@TIME]",
    help="Mass of a part, weighed while it dries. May be repeated.",
)
@click.option(
    "--temperature",
    multiple=True,
    metavar="PART=TEMPERATURE[@TIME]",
    help="Temperature of the part itself. A drying pass ends when the part cools.",
)
@click.option(
    "--room", metavar="TEMPERATURE", help="Temperature of the air around the parts: room, drying box or oven."
)
@click.option("--moving-air/--still-air", "moving_air", default=None, help="Whether a fan moves the air.")
@click.option(
    "--test-bar",
    "test_bar",
    nargs=2,
    metavar="JUST-SET DRY",
    help="Masses of a bar of the same mix, just set and after drying to constant mass at 40 to 45 C. Gives the "
    "plaster's purity.",
)
@click.option(
    "--at", "at", metavar="TIME", help="Time at which to judge the pour. Default: the computer's clock."
)
@click.option("--json", "as_json", is_flag=True, help="Print one JSON object and nothing else.")
def command(
    file: Path,
    just_set: tuple[str, ...],
    weighed: tuple[str, ...],
    temperature: tuple[str, ...],
    room: str | None,
    moving_air: bool | None,
    test_bar: tuple[str, str] | None,
    at: str | None,
    as_json: bool,
) -> None:
    """Keep the drying log of the mould: the mass of each part, its trend, and whether the pour is on hold.

    Readings are added to a plain-text log next to the plan (FILE with -drying.csv in place of its extension). Write
    times as 2026-06-01T10:00; if none is given, the current time is used. A drying pass is valid for 12 hours.
    """
    with reporting() as kept:
        from bulbcast.files.drying_log import add_to_log, drying_log_of, log_path
        from bulbcast.files.drying_typed import entries_of, present, test_bar_line
        from bulbcast.files.plan_file import load_plan
        from bulbcast.foundry.drying.chapter import dry_object, dry_text
        from bulbcast.foundry.mould.work import weighed_parts
        from bulbcast.job import run
        from bulbcast.report.page import Page, printable

        plan, offsets, hull = load_plan(file)
        parts = weighed_parts(plan)
        log = drying_log_of(plan, file) if parts else None
        typed = [
            *(("just set", one) for one in just_set),
            *(("weighed", one) for one in weighed),
            *(("temperature", one) for one in temperature),
        ]
        now = present(at, log, typed, plan=plan, room=room, moving_air=moving_air)
        lines = entries_of(typed, parts=parts, now=now, air=room, moving_air=moving_air, source=str(file))
        if test_bar is not None:
            click.echo(test_bar_line(plan, *test_bar), err=as_json)
        before = 0 if log is None else len(log.entries)
        run(plan, offsets, hull)  # a plan without a solution writes no log
        name = log_path(file).name
        if lines:
            log = add_to_log(log_path(file), lines, parts)
            kept.append(f"the new readings in {name}")
        job = run(plan, offsets, hull, drying_log=log, moment=now)
        if job.drying is None:
            raise ValueError("the plan has no plaster mould")
        if as_json:
            print_json(dry_object(job, job.drying))
            return
        added = (0 if log is None else len(log.entries)) - before
        page = Page(
            colour=sys.stdout.isatty() and "NO_COLOR" not in os.environ,
            width=shutil.get_terminal_size((100, 24)).columns,
            units=job.shown.units,
        )
        readings = f"{added} reading{'s' if added > 1 else ''} added to {printable(name)}." if added else ""
        click.echo(dry_text(job, job.drying, page, added=readings), nl=False)
