"""`bulbcast explain KEY or CODE`: the meaning of a key and how to measure it, or the meaning of a finding and its reason."""

from __future__ import annotations

import os
import shutil
import sys
from typing import TYPE_CHECKING

import click

from bulbcast.cli.outcome import WRONG_INPUT, reporting

if TYPE_CHECKING:
    from bulbcast.quantities import DisplayUnits


@click.command(name="explain")
@click.argument("asked", metavar="KEY or CODE")
@click.option(
    "--units",
    type=click.Choice(["metric", "imperial"], case_sensitive=False),
    default="metric",
    help="Units to show first.",
)
def command(asked: str, units: DisplayUnits) -> None:
    """Explain a key and how to measure it, or a finding and its reason.

    Write KEY as in the plan, such as mould.wall, or a whole section, such as mould. Write CODE as shown in brackets in
    a report, such as wall-thin.
    """
    with reporting():
        from bulbcast.job.every_rule import every_rule
        from bulbcast.report.explained import explained, nothing_to_explain

        rules = every_rule()
        colour = sys.stdout.isatty() and "NO_COLOR" not in os.environ
        width = shutil.get_terminal_size((100, 24)).columns
        text = explained(asked, rules, colour=colour, width=width, units=units)
        if text is None:
            click.echo(f"bulbcast explain: {nothing_to_explain(asked, rules)}", err=True)
            sys.exit(WRONG_INPUT)
        click.echo(text, nl=False)
