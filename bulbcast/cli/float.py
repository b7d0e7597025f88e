"""`bulbcast float FILE`: a float test against the plan."""

from __future__ import annotations

import os
import shutil
import sys
from pathlib import Path

import click

from bulbcast.cli.outcome import STOPPED, WRONG_INPUT, print_text, reporting

_READING = (
    "'3 mm' or '3 mm above': the water stands above the line; '-2 mm' or '2 mm below'; 'on the line'; or "
    "'freeboard 88 mm', with 'of 90 mm' after it where the plan's hull has no deck."
)


@click.command(name="float")
@click.argument("file", type=click.Path(path_type=Path))
@click.option("--bow", metavar="READING", help=_READING)
@click.option("--stern", metavar="READING", help="Likewise.")
@click.option("--port", metavar="READING", help="Likewise; gives heel with --starboard.")
@click.option("--starboard", metavar="READING", help="Likewise.")
@click.option("--bow-at", metavar="X", help="Place of the bow's mark, aft of her waterline's forward end.")
@click.option("--stern-at", metavar="X", help="Place of the stern's mark.")
@click.option("--sides-at", metavar="X", help="Place of the marks at port and starboard.")
@click.option("--sides-apart", metavar="LENGTH", help="From the port mark to the starboard one.")
@click.option(
    "--ashore",
    multiple=True,
    metavar="NAME|MASS@X",
    help="A weight of the plan, bulb or fin that was not aboard, or another thing by mass and place.",
)
@click.option(
    "--aboard",
    multiple=True,
    metavar="MASS@X",
    help="Something that was aboard and does not belong there, such as '40 g @ 600 mm'.",
)
@click.option("--water", metavar="fresh|salt|DENSITY", help="That she was tested in; left out: the plan's.")
@click.option("--weighed", metavar="MASS", help="Of the boat as she floated, on a scale.")
@click.option("--reading-spread", metavar="LENGTH", help="How well a mark is read, one standard deviation.")
@click.option("--drill", metavar="LENGTH", help="Diameter of the drill for taking lead out.")
@click.option("--when", metavar="TIME", help="Such as 2026-05-03 or '2026-05-03 14:30'; left out: now.")
@click.option(
    "--sheet",
    type=click.Path(path_type=Path),
    metavar="FILE",
    help="A new page with drawings: her marks, what to do, where to drill. Never overwrites.",
)
@click.option("--no-record", is_flag=True, help="Do not record it beside the plan.")
@click.option("--json", "as_json", is_flag=True, help="One JSON object on stdout and nothing else.")
def command(
    file: Path,
    ashore: tuple[str, ...],
    aboard: tuple[str, ...],
    sheet: Path | None,
    no_record: bool,
    as_json: bool,
    **typed: str | None,
) -> None:
    """A float test against the plan: mass and shift that put the boat on her lines.

    Every test is recorded beside the plan, in FILE's name with .floats.toml, under those before it. The
    exit status is 3 where a finding on the boat is a stop.
    """
    with reporting() as kept:
        from bulbcast.afloat.chapter import float_object, float_text, record_object
        from bulbcast.afloat.rules import float_findings
        from bulbcast.files.float_record import record_path, recorded, recorded_tests
        from bulbcast.files.float_test import load_float_test
        from bulbcast.findings import Severity
        from bulbcast.report.values import json_text

        options = {name.replace("_", "-"): text for name, text in typed.items()}
        job, result = load_float_test(file, options, ashore=ashore, aboard=aboard)
        findings = float_findings(job, result)
        earlier = () if no_record else recorded_tests(file)
        name = None if no_record else record_path(file).name
        # All that is to be said is worked out before anything is recorded: a test that cannot be shown leaves no mark.
        if as_json:
            text = json_text(float_object(job, result, findings, name))
        else:
            colour = sys.stdout.isatty() and "NO_COLOR" not in os.environ
            width = shutil.get_terminal_size((100, 24)).columns
            text = float_text(
                job, result, findings, earlier=earlier, recorded=name, colour=colour, width=width
            )
        if sheet is not None:
            from bulbcast.bundle.float_sheet import float_sheet
            from bulbcast.disk.writing import write_new

            try:
                write_new(sheet, float_sheet(job, result, findings).encode("utf-8"))
            except FileExistsError:
                click.echo(f"{sheet} is there already and was left as it is; give another name.", err=True)
                sys.exit(WRONG_INPUT)
            kept.append(f"the drawings in {sheet}")
        if not no_record:
            recorded(file, record_object(job, result))
            kept.append(f"the test in {name}")
        print_text(text, as_json=as_json)
        if sheet is not None and not as_json:
            click.echo(f"Drawings: {sheet}")
        stopped = any(one.severity is Severity.STOP for one in findings)
    if stopped:
        sys.exit(STOPPED)
