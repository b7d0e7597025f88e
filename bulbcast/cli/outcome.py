"""Exit statuses, and reporting of faults and failures, for all commands."""

from __future__ import annotations

import os
import signal
import sys
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from types import FrameType
from typing import NoReturn

import click

from bulbcast.plan.faults import PlanError

DONE, FAILED, WRONG_INPUT, STOPPED = 0, 1, 2, 3


@contextmanager
def reporting() -> Iterator[list[str]]:
    """Turn failures into a message on stderr and an exit status, never a traceback.

    A termination signal or a closed terminal means that the user wants to stop. Half-written files are removed first.

    Yields:
        List of what is complete on disk, such as "the bundle in DIR". The command adds each item as soon as it is
            written. A later failure, such as a closed output, does not undo any of them, and the message says so.
    """
    kept: list[str] = []
    from bulbcast.disk.refusals import DirectoryRefusedError, ReadBackError, StepMissingError

    def leave(signum: int, frame: FrameType | None) -> NoReturn:
        raise SystemExit(128 + signum)

    # Windows has no SIGHUP; there a closed console sends SIGBREAK.
    for name in ("SIGTERM", "SIGHUP", "SIGBREAK"):
        number = getattr(signal, name, None)
        # A run under nohup is intended to outlive its terminal.
        if number is not None and signal.getsignal(number) is not signal.SIG_IGN:
            signal.signal(number, leave)
    try:
        yield kept
    except PlanError as error:
        count = len(error.faults)
        if count > 1:
            click.echo(f"{count} things in the plan have to be fixed:", err=True)
        for fault in error.faults:
            click.echo(fault.message, err=True)
        sys.exit(WRONG_INPUT)
    except DirectoryRefusedError as error:
        click.echo(str(error), err=True)
        sys.exit(WRONG_INPUT)
    except BrokenPipeError:
        # The reader closed the output on purpose, so only files on the disk are worth a line.
        _output_closed()
        if kept:
            _last_words(f"The output was closed before the end; {_standing(kept)}.")
        sys.exit(FAILED)
    except OSError as error:
        _output_closed()
        place = f"{error.filename}: " if error.filename else ""
        _last_words(f"{place}{error.strerror or error}; {_standing(kept)}.")
        sys.exit(FAILED)
    except MemoryError:
        _last_words(f"The machine ran out of memory; {_standing(kept)}.")
        sys.exit(FAILED)
    except (ReadBackError, StepMissingError) as error:
        click.echo(str(error), err=True)
        sys.exit(FAILED)
    except (click.exceptions.Exit, click.ClickException):
        raise
    except Exception as error:
        # This is a fault in the program. A builder gets one line, and a developer can ask for the trace.
        if os.environ.get("BULBCAST_TRACE"):
            raise
        _last_words(
            f"This should not happen ({type(error).__name__}: {error}); {_standing(kept)}. Please report it with "
            "the plan; BULBCAST_TRACE=1 shows where."
        )
        sys.exit(FAILED)


def _standing(kept: list[str]) -> str:
    return f"complete on disk: {' and '.join(kept)}" if kept else "nothing was written"


def _last_words(words: str) -> None:
    # Stderr may be closed too; the exit status is still set.
    with suppress(OSError, ValueError):
        click.echo(words, err=True)


def _output_closed() -> None:
    """Discard what is left in the output buffer if the output cannot accept it.

    Otherwise the interpreter tries to write it on exit, and prints an error message.
    """
    try:
        sys.stdout.flush()
    except (OSError, ValueError):
        with suppress(OSError, ValueError):
            os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())


def print_json(value: object) -> None:
    """Print an object as JSON.

    Args:
        value: An object that `json_text` accepts.
    """
    from bulbcast.report.values import json_text

    print_text(json_text(value), as_json=True)


def print_text(text: str, *, as_json: bool) -> None:
    """Print the complete text of a result, unchanged.

    Args:
        text: The text, with its final newline.
        as_json: Whether the text is JSON, to be read by a program.
    """
    # Writing bytes avoids a console's encoding. A text-only stream, as in a notebook, has no encoding to avoid.
    for_programs = as_json and hasattr(sys.stdout, "buffer")
    click.echo(text.encode("utf-8") if for_programs else text, nl=False)
