"""`bulbcast new FILE`: a commented starter plan that runs as it is."""

from __future__ import annotations

from pathlib import Path

import click

from bulbcast.cli.outcome import reporting


@click.command(name="new")
@click.argument("file", type=click.Path(path_type=Path))
def command(file: Path) -> None:
    """Write a commented starter plan to FILE; never overwrites."""
    with reporting():
        from bulbcast.disk.writing import is_device_name
        from bulbcast.plan.starter import starter_plan

        if is_device_name(file.name):
            click.echo(f"{file}: Windows takes {file.name} for a device; give another name.", err=True)
            raise SystemExit(2)
        text = starter_plan()
        try:
            with open(file, "x", encoding="utf-8", newline="\n") as handle:
                handle.write(text)
        except FileExistsError:
            click.echo(f"{file} is there already and was left as it is; give another name.", err=True)
            raise SystemExit(2) from None
        except (FileNotFoundError, NotADirectoryError):
            click.echo(f"{file}: there is no such folder; make it first or give another name.", err=True)
            raise SystemExit(2) from None
        except OSError:
            # A disk that fills up half way must not leave half a plan behind.
            file.unlink(missing_ok=True)
            raise
        click.echo(f"{file} written. Put in your own figures, then: bulbcast plan {file} --out bundle")
