"""Errors raised by reading and writing, in a separate file so that catching them loads nothing else."""

from __future__ import annotations


class DirectoryRefusedError(ValueError):
    """Raised if the requested directory cannot be written to; the message says why and what to do."""


class FileRefusedError(ValueError):
    """Raised if a file cannot be used as it is.

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
    """Raised if the optional CAD kernel is not installed; the message says how to get it."""


class ReadBackError(RuntimeError):
    """Raised if a written solid differs from the intended one; nothing was kept."""
