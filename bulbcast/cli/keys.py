"""`bulbcast keys [SECTION | KEY]`: the reference for all keys of the plan file."""

from __future__ import annotations

import os
import shutil
import sys
from typing import TYPE_CHECKING

import click

from bulbcast.cli.outcome import WRONG_INPUT, reporting

if TYPE_CHECKING:
    from bulbcast.quantities import DisplayUnits


@click.command(name="keys")
@click.argument("asked", default="", metavar="[SECTION | KEY]")
@click.option(
    "--units",
    type=click.Choice(["metric", "imperial"], case_sensitive=False),
    default="metric",
    help="Units to show first.",
)
def command(asked: str, units: DisplayUnits) -> None:
    """List every key of a plan with its dimension, range, default, source and meaning."""
    with reporting():
        from bulbcast.report.keys_text import keys_text, unknown_words

        colour = sys.stdout.isatty() and "NO_COLOR" not in os.environ
        width = shutil.get_terminal_size((100, 24)).columns
        text = keys_text(asked.strip().strip("[]").lower(), colour=colour, width=width, units=units)
        if text is None:
            click.echo(f"bulbcast keys: {unknown_words(asked)}", err=True)
            sys.exit(WRONG_INPUT)
        click.echo(text, nl=False)
