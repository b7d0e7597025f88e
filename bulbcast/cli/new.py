"""`bulbcast new FILE`: a commented starter plan that runs as written."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from bulbcast.cli.outcome import WRONG_INPUT, reporting

if TYPE_CHECKING:
    from bulbcast.plan.starter_boats import StarterKind
    from bulbcast.quantities import DisplayUnits


@click.command(name="new")
@click.argument("file", type=click.Path(path_type=Path))
@click.option(
    "--for", "kind", type=click.Choice(["model", "small-craft"], case_sensitive=False), help="Kind of boat."
)
@click.option("--with", "more", metavar="SECTION,...", help="Sections to add to the basic ones, or 'all'.")
@click.option(
    "--units",
    type=click.Choice(["metric", "imperial"], case_sensitive=False),
    default="metric",
    help="Units of the figures in the plan.",
)
def command(file: Path, kind: StarterKind | None, more: str | None, units: DisplayUnits) -> None:
    """Write a commented starter plan to FILE.

    Never overwrites a file. With --for or --with, the plan says how to measure each figure. The sections are those of
    `bulbcast keys`: boat (with its weights), rudder, rig, strength, limits, printer, mould, melt (scrap, pot, burner,
    lifting and pour) and others.
    """
    with reporting():
        from bulbcast.disk.writing import is_device_name
        from bulbcast.plan.starter import sections_asked, starter_plan

        sections, wrong = sections_asked([word for word in (more or "").split(",") if word.strip()])
        if wrong:
            click.echo("\n".join(wrong), err=True)
            raise SystemExit(WRONG_INPUT)

        if is_device_name(file.name):
            click.echo(f"{file}: Windows treats {file.name} as a device; give another name.", err=True)
            raise SystemExit(2)
        text = starter_plan(kind=kind, more=sections, units=units)
        try:
            with open(file, "x", encoding="utf-8", newline="\n") as handle:
                handle.write(text)
        except FileExistsError:
            click.echo(f"{file} already exists and was not changed. Give another name.", err=True)
            raise SystemExit(2) from None
        except (FileNotFoundError, NotADirectoryError):
            click.echo(f"{file}: the folder does not exist; make it first or give another name.", err=True)
            raise SystemExit(2) from None
        except OSError:
            # A disk that fills up during writing must not leave half a plan behind.
            file.unlink(missing_ok=True)
            raise
        click.echo(f"{file} written. Enter your own figures, then run: bulbcast plan {file} --out bundle")
