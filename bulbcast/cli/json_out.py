"""`--json`: one object on standard output and nothing else there, in UTF-8 whatever the console's encoding."""

from __future__ import annotations

import sys

import click


def print_json(value: object) -> None:
    """Print an object as JSON.

    Args:
        value: As `json_text` takes it.
    """
    from bulbcast.report.values import json_text

    print_text(json_text(value), as_json=True)


def print_text(text: str, *, as_json: bool) -> None:
    """Print a text that is ready, as it is.

    Args:
        text: With its last line's end.
        as_json: Whether it is for a program to read.
    """
    # Bytes pass a console's encoding by; a stream of texts alone, in a notebook say, has none to pass.
    for_programs = as_json and hasattr(sys.stdout, "buffer")
    click.echo(text.encode("utf-8") if for_programs else text, nl=False)
