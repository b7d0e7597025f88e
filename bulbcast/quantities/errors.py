"""Error for text that cannot be read as a quantity."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Sequence

LONGEST_TEXT = 64
"""Maximum number of characters. Longer text is not a quantity, and reading must stay cheap whatever is typed."""


class QuantityError(ValueError):
    """Raised if text cannot be read as the required quantity.

    Attributes:
        read: What was read, in quotes, and what is wrong with it.
        expected: What was expected.
        remedy: How to fix it, in one or two sentences.
    """

    def __init__(self, *, read: str, expected: str, remedy: str) -> None:
        self.read = read
        self.expected = expected
        self.remedy = remedy
        super().__init__(f"read {read}; expected {expected}. {remedy}")

    def __reduce__(self) -> tuple[object, ...]:
        """Support pickling between processes, despite the keyword-only arguments."""
        return _rebuilt, (self.read, self.expected, self.remedy)


def _rebuilt(read: str, expected: str, remedy: str) -> QuantityError:
    return QuantityError(read=read, expected=expected, remedy=remedy)


def quoted(text: str, longest: int = LONGEST_TEXT) -> str:
    """Format typed text for messages, in quotes, on one line, with unprintable characters escaped.

    Args:
        text: The text as typed. [-]
        longest: Maximum length; longer text is cut and ends in dots. [-]

    Returns:
        The text in double quotes, or in single ones if it contains a double quote itself.
    """
    shown = "".join(each if each.isprintable() else ascii(each)[1:-1] for each in text[: longest + 1])
    if len(text) > longest or len(shown) > longest:
        shown = shown[:longest] + "..."
    return f"'{shown}'" if '"' in shown else f'"{shown}"'


def joined(words: Sequence[str], last: str) -> str:
    """Join words as a list in a sentence: "mm, in or ft".

    Args:
        words: Words to join, at least one. [-]
        last: The word before the last of them, such as "or". [-]

    Returns:
        The list.
    """
    return words[0] if len(words) == 1 else f"{', '.join(words[:-1])} {last} {words[-1]}"
