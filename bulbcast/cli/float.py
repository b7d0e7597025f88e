"""`bulbcast float FILE`: evaluation of a float test against the plan."""

from __future__ import annotations

import os
import shutil
import sys
from pathlib import Path

import click

from bulbcast.cli.outcome import STOPPED, WRONG_INPUT, print_text, reporting

_READING = (
    "Reading at the bow: '3 mm' or '3 mm above' if the water is above the line; '-2 mm' or '2 mm below'; 'on the line'; "
    "or 'freeboard 88 mm', followed by 'of 90 mm' if the plan's hull has no deck."
)


@click.command(name="float")
@click.argument("file", type=click.Path(path_type=Path))
@click.option("--bow", metavar="READING", help=_READING)
@click.option("--stern", metavar="READING", help="Reading at the stern, in the same form as --bow.")
@click.option(
    "--port",
    metavar="READING",
    help="Reading on the port side, in the same form as --bow. With --starboard, it gives the heel.",
)
@click.option(
    "--starboard", metavar="READING", help="Reading on the starboard side, in the same form as --bow."
)
@click.option("--bow-at", metavar="X", help="Distance of the bow mark aft of the waterline's forward end.")
@click.option(
    "--stern-at", metavar="X", help="Distance of the stern mark aft of the waterline's forward end."
)
@click.option(
    "--sides-at", metavar="X", help="Distance of the side marks aft of the waterline's forward end."
)
@click.option("--sides-apart", metavar="LENGTH", help="Distance between the port and starboard marks.")
@click.option(
    "--ashore",
    multiple=True,
    metavar="NAME|MASS@X",
    help="Something that was not aboard: a weight in the plan, the bulb or the fin by its name, or anything else by "
    "its mass and position.",
)
@click.option(
    "--aboard",
    multiple=True,
    metavar="MASS@X",
    help="Something that was aboard but does not belong there, such as '40 g @ 600 mm'.",
)
@click.option(
    "--water",
    metavar="fresh|salt|DENSITY",
    help="Water in which the test was done. Default: the plan's water.",
)
@click.option("--weighed", metavar="MASS", help="Mass of the boat as tested, weighed on a scale.")
@click.option("--reading-spread", metavar="LENGTH", help="Standard deviation of the reading at one mark.")
@click.option("--drill", metavar="LENGTH", help="Diameter of the drill for removing lead.")
@click.option(
    "--when", metavar="TIME", help="Date of the test, such as 2026-05-03 or '2026-05-03 14:30'. Default: now."
)
@click.option(
    "--sheet",
    type=click.Path(path_type=Path),
    metavar="FILE",
    help="Write a new page with drawings of the marks and the holes to drill, and a list of the steps to take. Never "
    "overwrites a file.",
)
@click.option("--no-record", is_flag=True, help="Do not add the test to the record next to the plan.")
@click.option("--json", "as_json", is_flag=True, help="Print one JSON object and nothing else.")
def command(
    file: Path,
    ashore: tuple[str, ...],
    aboard: tuple[str, ...],
    sheet: Path | None,
    no_record: bool,
    as_json: bool,
    **typed: str | None,
) -> None:
    """Evaluate a float test against the plan: the change of mass and the shift of weight that bring the boat to her line.

    Every test is added to a record next to the plan (FILE with .floats.toml in place of its extension). The exit status
    is 3 if a finding on the boat is a stop.
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
        # All output is prepared before anything is recorded, so a test that cannot be shown leaves no trace.
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
                click.echo(f"{sheet} already exists and was not changed. Give another name.", err=True)
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
