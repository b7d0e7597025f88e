"""Exit statuses, and how faults and failures are reported: one place for every command."""

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
    """Turn what can go wrong into words on stderr and an exit status; never a traceback.

    A signal to end, or a terminal that is closed, is taken as a wish to leave: what was half written goes first.


    Yields:
        What stands on the disk, for the command to add to as soon as it is there: "the bundle in DIR". A later
        failure, such as that of the output, undoes none of it and says so.
    """
    kept: list[str] = []
    from bulbcast.disk.refusals import DirectoryRefusedError, ReadBackError, StepMissingError

    def leave(signum: int, frame: FrameType | None) -> NoReturn:
        raise SystemExit(128 + signum)

    # Windows has no SIGHUP; a console that is closed there sends SIGBREAK.
    for name in ("SIGTERM", "SIGHUP", "SIGBREAK"):
        number = getattr(signal, name, None)
        # A run under nohup is meant to outlive its terminal.
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
        # Whoever read the output has gone of their own will: only what stands on the disk is worth a line.
        _output_closed()
        if kept:
            _last_words(f"The output was closed before its end; {_standing(kept)}.")
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
        # A fault of ours: a builder gets a line, a developer asks for the trace.
        if os.environ.get("BULBCAST_TRACE"):
            raise
        _last_words(
            f"This should not happen ({type(error).__name__}: {error}); {_standing(kept)}. Please report it with "
            "the plan; BULBCAST_TRACE=1 shows where."
        )
        sys.exit(FAILED)


def _standing(kept: list[str]) -> str:
    return f"{' and '.join(kept)} stands, whole" if kept else "nothing was written"


def _last_words(words: str) -> None:
    # Nobody may be listening on stderr either; the exit status remains.
    with suppress(OSError, ValueError):
        click.echo(words, err=True)


def _output_closed() -> None:
    """Send what is still in the output's buffer nowhere, where the output itself cannot take it.

    Else the interpreter tries to write it as it leaves, and complains in words of its own.
    """
    try:
        sys.stdout.flush()
    except (OSError, ValueError):
        with suppress(OSError, ValueError):
            os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())


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
