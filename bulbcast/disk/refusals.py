"""Errors of reading and writing, in a file of their own, so that catching them loads nothing else."""

from __future__ import annotations


class DirectoryRefusedError(ValueError):
    """The directory asked for may not be written to; the message says why and what to do."""


class FileRefusedError(ValueError):
    """A file that cannot be used as it is.

    Attributes:
        read: What was read.
        expected: What was expected.
        remedy: How to fix it.
    """

    def __init__(self, read: str, expected: str, remedy: str) -> None:
        self.read = read
        self.expected = expected
        self.remedy = remedy
        super().__init__(f"read {read}; expected {expected}. {remedy}")


class StepMissingError(RuntimeError):
    """The optional CAD kernel is not installed; the message says how to get it."""


class ReadBackError(RuntimeError):
    """A written solid is not what was meant to be written; none of it was kept."""
