"""What the files room refuses to do: its errors in a file of their own, so that catching them loads nothing."""

from __future__ import annotations


class DirectoryRefusedError(ValueError):
    """The directory asked for may not be written to; the message says why and what to do."""


class StepMissingError(RuntimeError):
    """The optional CAD kernel is not installed; the message says how to get it."""


class ReadBackError(RuntimeError):
    """A written solid is not what was meant to be written; nothing was kept of it."""
