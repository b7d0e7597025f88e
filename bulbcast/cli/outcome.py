"""Exit statuses, and how faults and failures are told: one place for every command."""

from __future__ import annotations

import os
import signal
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from types import FrameType
from typing import NoReturn

import click

from bulbcast.plan.faults import PlanError

DONE, FAILED, WRONG_INPUT, STOPPED = 0, 1, 2, 3


@contextmanager
def told() -> Iterator[None]:
    """Turn what can go wrong into words on stderr and an exit status; never a traceback.

    A TERM signal is taken as a wish to leave: what was half written goes first.
    """
    from bulbcast.files.refusals import DirectoryRefusedError, ReadBackError, StepMissingError

    def leave(signum: int, frame: FrameType | None) -> NoReturn:
        raise SystemExit(128 + signum)

    signal.signal(signal.SIGTERM, leave)
    try:
        yield
    except PlanError as error:
        count = len(error.faults)
        if count > 1:
            click.echo(f"{count} things in the plan have to be mended:", err=True)
        for fault in error.faults:
            click.echo(fault.message, err=True)
        sys.exit(WRONG_INPUT)
    except DirectoryRefusedError as error:
        click.echo(str(error), err=True)
        sys.exit(WRONG_INPUT)
    except BrokenPipeError:
        # Whoever read the output has gone; there is nobody to tell.
        sys.stderr.close()
        sys.exit(FAILED)
    except OSError as error:
        place = f"{error.filename}: " if error.filename else ""
        click.echo(f"{place}{error.strerror or error}; nothing was written.", err=True)
        sys.exit(FAILED)
    except MemoryError:
        click.echo("The machine ran out of memory; nothing was written.", err=True)
        sys.exit(FAILED)
    except (ReadBackError, StepMissingError) as error:
        click.echo(str(error), err=True)
        sys.exit(FAILED)
    except (click.exceptions.Exit, click.ClickException):
        raise
    except Exception as error:
        # A fault of ours: a builder is told in a line, a developer asks for the trace.
        if os.environ.get("BULBCAST_TRACE"):
            raise
        click.echo(
            f"This should not happen ({type(error).__name__}: {error}); nothing was written. Please report it with "
            "the plan; BULBCAST_TRACE=1 shows where.",
            err=True,
        )
        sys.exit(FAILED)
