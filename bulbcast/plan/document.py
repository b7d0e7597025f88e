"""Parser for a plan file's bytes or text as TOML, with a fault for each line that cannot be parsed.

A line that is wrong by itself (such as a figure with its unit but no quotes) is reported and skipped, and the rest is
still read, so the builder sees all faults together. If a fault may span several lines, reading stops there.
"""

from __future__ import annotations

import hashlib
import tomllib

from bulbcast.plan.faults import Fault
from bulbcast.plan.key import Key, Kind
from bulbcast.plan.keys import KEYS, REPEATED
from bulbcast.quantities import quoted
from bulbcast.quantities.frozen import frozen

LARGEST = 1_000_000
"""Maximum number of characters; a plan has a few thousand."""

_MOST_FAULTY_LINES = 20
_BARE_KEY = frozenset("ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789_-.\"' ")
_BYTE_ORDER_MARK = "\ufeff"


@frozen
class Document:
    """A parsed plan file.

    Attributes:
        table: The TOML table, without the faulty lines.
        faults: Faults in the text of the file.
        unreadable: Dotted keys on faulty lines, which are given but have an unknown value.
        complete: False if too much is wrong to check anything else.
        sha256: SHA-256 of the file's bytes, in hexadecimal.
    """

    table: dict[str, object]
    faults: tuple[Fault, ...]
    unreadable: frozenset[str]
    complete: bool
    sha256: str


def take_apart(text: str | bytes, *, source: str) -> Document:
    """Parse a plan file into a TOML table. Never raises for anything in the file.

    Args:
        text: Content of the file; bytes are read as UTF-8. [-]
        source: Name of the file in messages. [-]

    Returns:
        The table and the faults found.
    """
    data = text if isinstance(text, bytes) else text.encode("utf-8", errors="surrogatepass")
    taken = _Taken(source)
    decoded = text if isinstance(text, str) else taken.decoded(text)
    if decoded is not None and len(decoded) > LARGEST:
        taken.fault(
            "the file",
            f"{len(decoded)} characters",
            f"a plan of at most {LARGEST} characters",
            "Check that this is the plan file.",
        )
        decoded = None
    if decoded is not None:
        taken.parse(decoded)
    return Document(
        table=taken.table or {},
        faults=tuple(taken.faults),
        unreadable=frozenset(taken.unreadable),
        complete=taken.table is not None,
        sha256=hashlib.sha256(data).hexdigest(),
    )


class _Taken:
    """Faults and table found so far; `table` is None until the remaining text is valid TOML."""

    def __init__(self, source: str) -> None:
        self.source = source
        self.faults: list[Fault] = []
        self.unreadable: set[str] = set()
        self.table: dict[str, object] | None = None

    def fault(self, key: str, read: str, expected: str, remedy: str) -> None:
        self.faults.append(Fault(file=self.source, key=key, read=read, expected=expected, remedy=remedy))

    def decoded(self, data: bytes) -> str | None:
        """Decode the bytes as text; None if they are not text, with a fault for each line that cannot be decoded."""
        plain = "plain text in UTF-8"
        if data[:2] in (b"\xff\xfe", b"\xfe\xff"):
            self.fault("line 1", "a file in UTF-16", plain, "Save the file again as UTF-8.")
            return None
        try:
            return data.decode("utf-8")
        except UnicodeDecodeError:
            pass
        wrong = []
        for number, line in enumerate(data.split(b"\n"), start=1):
            try:
                line.decode("utf-8")
            except UnicodeDecodeError as error:
                wrong.append((number, line[error.start]))
        if len(wrong) > _MOST_FAULTY_LINES:
            self.fault(
                "the file",
                f"{len(wrong)} lines that are not UTF-8",
                plain,
                "Check that this is the plan file; if so, save it again as UTF-8.",
            )
            return None
        for number, byte in wrong:
            self.fault(
                f"line {number}",
                f"a byte that is not UTF-8 (0x{byte:02x})",
                plain,
                "Save the file again as UTF-8, or retype the characters of this line.",
            )
        return None

    def parse(self, text: str) -> None:
        # Editors on Windows add it without showing it.
        lines = text.removeprefix(_BYTE_ORDER_MARK).split("\n")
        for _ in range(_MOST_FAULTY_LINES):
            try:
                self.table = tomllib.loads("\n".join(lines))
                return
            except tomllib.TOMLDecodeError as error:
                reason, number = _reason_and_line(str(error))
                if number is None or not 1 <= number <= len(lines):
                    self._unfinished(reason)
                    return
                if not self._faulty_line(lines, number, reason):
                    return
                lines[number - 1] = ""
            except RecursionError:
                self.fault(
                    "the file", "lists or tables nested too deeply", "a plan", "Check that this is a plan."
                )
                return
            except ValueError:
                # tomllib passes on the interpreter's own error for these numbers, without a line.
                self.fault(
                    "the file",
                    "a number with thousands of digits",
                    "numbers of ordinary length",
                    "Check that this is a plan. If it is, find the number and shorten it.",
                )
                return
        self.fault(
            "the file",
            f"{_MOST_FAULTY_LINES} lines that are not TOML, and perhaps more after them",
            "a plan",
            "Fix these first. The rest of the file is read after that.",
        )

    def _unfinished(self, reason: str) -> None:
        self.fault(
            "the end of the file",
            f"the end of the file with something still open ({reason})",
            "all quoted text, lists and tables closed",
            "Look for a quote or bracket that is opened but not closed.",
        )

    def _faulty_line(self, lines: list[str], number: int, reason: str) -> bool:
        """Report a faulty line; True if the rest of the file can still be read without it."""
        line = lines[number - 1].strip()
        name, equals, value = (part.strip() for part in line.partition("="))
        statement = bool(equals) and bool(name) and set(name) <= _BARE_KEY
        if "overwrite" in reason or "twice" in reason or "mutate" in reason:
            what = name if statement else line
            several = "weights" if "weights" in line else "screws"
            self.fault(
                f"line {number}",
                f"{what} for the second time",
                "each key and each section once" + ("" if statement else f"; {several} as [[{several}]]"),
                "Keep one of the two.",
            )
            return statement
        key, where = _key_of(lines, number, name) if statement else (None, "")
        expected = f"a line such as {key.example_line}" if key else "a line of TOML, key = value"
        self.fault(
            f"line {number}",
            f"{quoted(line)} ({reason})",
            expected,
            _remedy(name, value, key) if statement else _remedy_without_statement(line),
        )
        if not statement:
            return False
        self.unreadable.add(where)
        reaches_on = any(line.count(a) != line.count(b) for a, b in ("[]", "{}"))
        return not reaches_on and '"""' not in line and "'''" not in line


def _reason_and_line(message: str) -> tuple[str, int | None]:
    """Reason and line of tomllib's error, from "Reason (at line 3, column 5)"."""
    reason, opened, place = message.rpartition(" (at line ")
    if not opened:
        return message.removesuffix(" (at end of document)"), None
    digits = place.partition(",")[0]
    return reason, int(digits) if digits.isdecimal() else None


def _key_of(lines: list[str], number: int, name: str) -> tuple[Key | None, str]:
    """Key to which a line gives a value, if any, and its dotted path, such as `screws[2].at`."""
    counts: dict[str, int] = {}
    section = ""
    for line in lines[: number - 1]:
        stripped = line.strip()
        if stripped.startswith("[["):
            section = stripped[2:].partition("]")[0].strip()
            counts[section] = counts.get(section, 0) + 1
        elif stripped.startswith("["):
            section = stripped[1:].partition("]")[0].strip()
    dotted = f"{section}.{name}" if section else name
    where = f"{section}[{counts.get(section, 0)}].{name}" if section in REPEATED else dotted
    return KEYS.get(dotted), where


def _remedy(name: str, value: str, key: Key | None) -> str:
    bare = value if value[:1] in ('"', "'") else value.partition("#")[0].strip()
    if not bare:
        return "Write a value after the equals sign, or remove the line."
    if bare[0] in "“”„‘’":
        return "Use straight quotes, \" or '."
    if bare[0] in "\"'":
        if '\\"' in bare:
            return (
                "The quote after \\ is read as an inch sign. Close the text with one more quote, or write inches as "
                '"2.75 in".'
            )
        if "\\" in bare:
            return "Put the value in single quotes, or write / for \\."
        if bare.count(bare[0]) > 2:
            return f'The text ends at the second {bare[0]}. Write inches as "2.75 in" and feet as "3 ft".'
        if bare.count(bare[0]) == 1:
            return f"Close the quotes at the end of the value with {bare[0]}."
    elif key is not None and key.kind is Kind.NUMBER:
        whole, comma, decimals = bare.partition(",")
        if comma and whole.isdecimal() and decimals.isdecimal():
            return f"Write {name} = {whole}.{decimals} with a decimal point."
        return f"Write a bare number, such as {key.example_line}."
    elif bare[0] not in "[{":
        mark = "'" if '"' in bare else '"'
        return f"Put the value in quotes: {name} = {mark}{bare}{mark}."
    return "Fix the line: put text and figures with a unit in quotes, and write bare numbers without quotes."


def _remedy_without_statement(line: str) -> str:
    if line.startswith("["):
        return "Write a section as [bulb] and a screw as [[screws]]."
    return "Write key = value; a comment begins with #."
