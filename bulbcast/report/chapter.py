"""A chapter: what a subject says, shows and cautions, once. Terminal, report and plan.json are made from it by loops.

A subject's room fills a chapter with parts; the renderers beside this file know the parts and no subject. A figure stands
in one `Line`: its name in plan.json, its label, itself as text, a remark. What is written to plan.json is the value that
the text was made from, unless another is given.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

from bulbcast.quantities.figures import Figures
from bulbcast.quantities.frozen import frozen, replace
from bulbcast.report.steps import StepName

if TYPE_CHECKING:
    from bulbcast.drawing.shapes import View
    from bulbcast.findings import Finding
    from bulbcast.report.page import Page

Json = dict[str, object]
Only = Literal["", "report", "terminal"]
"""Which of the two readers a part is for; "" for both."""


class _FromText:
    """In place of a value: the one that the text shows."""


FROM_TEXT = _FromText()


@dataclass(frozen=True, slots=True)
class Line:
    """One figure, said once.

    Attributes:
        label: What it is; "" for one that appears only in plan.json.
        text: As people read it, such as `shown.length(metres)`.
        remark: What it means or where it stands.
        name: In plan.json, dotted from the chapter's own object, unit at its end; "" where it is not there.
        value: In plan.json, SI; if left out, the value that `text` shows, which must then be a single figure.
        other: The text in the other system of units; None: the table has no column for it.
        sheet: Its place among the few at the top of terminal and job sheet, from 1; 0 for none. The sheet has the first six.
        step: The step of the work at whose head it stands, one of a few; "" for none. The first one of a step also
            stands beside it on the job sheet.
        brief: On the job sheet in place of `text`, such as a mass rounded up: no figure for the melt comes before the
            cautions.
    """

    label: str
    text: str
    remark: str = ""
    name: str = ""
    value: object = FROM_TEXT
    other: str | None = None
    sheet: int = 0
    step: StepName | Literal[""] = ""
    brief: str = ""

    def cells(self) -> tuple[str, ...]:
        """Of its row."""
        return (self.label, self.text, *(() if self.other is None else (self.other,)), self.remark)

    def data(self) -> object:
        """Its value for plan.json.

        Raises:
            TypeError: None was given, and the text is not a single figure.
        """
        if not isinstance(self.value, _FromText):
            return self.value
        if not isinstance(self.text, Figures) or len(self.text.figures) != 1:
            raise TypeError(f'"{self.name}" needs its value: "{self.text}" is not one figure')
        return self.text.figures[0].value


def heads_of(records: Sequence[Sequence[Line]]) -> tuple[str, ...]:
    """The heads of a table whose rows are records and whose columns are their lines.

    Args:
        records: At least one; a line without a label stands in plan.json alone.
    """
    return tuple(line.label for line in records[0] if line.label)


def row_of(record: Sequence[Line]) -> tuple[str, ...]:
    """A record as a row of such a table.

    Args:
        record: Lines.
    """
    return tuple(line.text for line in record if line.label)


def record_of(record: Sequence[Line]) -> Json:
    """A record as an object of plan.json.

    Args:
        record: Lines; those without a name are only shown.
    """
    return {line.name: line.data() for line in record if line.name}


@frozen
class Table:
    """Rows of figures and words.

    Attributes:
        rows: Lines, or cells of plain texts. A line without a label is not shown.
        heads: Heads of the columns; empty for a table without a head.
        figures: Columns that hold figures, set to the right.
        total: Whether the last row is a sum.
        caption: Above the table in the report.
        heading: Before it on the terminal, where it is not the chapter's first.
        style: Class of the table in the report; "keys" for cards in place of a table.
        only: For one of the readers alone.
        withheld: Whether its figures are withheld: no row is shown, and its values are null.
    """

    rows: Sequence[Line | Sequence[str]]
    heads: Sequence[str] = ()
    figures: Sequence[int] = (1,)
    total: bool = False
    caption: str = ""
    heading: str = ""
    style: str = ""
    only: Only = ""
    withheld: bool = False

    def cells(self) -> list[Sequence[str]]:
        """The rows that are shown."""
        lines = [one.cells() if isinstance(one, Line) else one for one in self.rows]
        return [] if self.withheld else [row for row in lines if any(row)]


@frozen
class Words:
    """A paragraph; `style` is its class in the report, `code` its colour on the terminal. Folded: with the tables."""

    text: str
    style: str = ""
    code: str = ""
    folded: bool = False
    only: Only = ""


@frozen
class Heading:
    """A heading on the terminal, which has no sections; or one within the report's section."""

    text: str
    only: Only = "terminal"


@frozen
class Gap:
    """An empty line on the terminal."""

    only: Only = "terminal"


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Picture:
    """A drawing with its caption, in the report; drawn when it is shown, and left out where there is nothing to draw.

    Attributes:
        draw: Gives the view, or None.
        caption: Beneath it; `{title}` in it becomes the drawing's own, `{scale}` the scale when printed.
        folded: Whether it lies folded with the chapter's tables.
        sheet: Whether it stands at the top of the job sheet, and not in its chapter.
    """

    draw: Callable[[], View | None]
    caption: str = ""
    folded: bool = False
    sheet: bool = False
    only: Only = "report"


@frozen
class Sources:
    """Where figures come from, as a small list in the report."""

    words: Sequence[str]
    only: Only = "report"


@frozen
class Cautions:
    """Cautions beside what they concern, by their codes, in the report; the terminal has all of them in one place."""

    codes: Sequence[str]
    only: Only = "report"


@frozen
class Withheld:
    """In place of what is withheld: a title, the findings that withhold it, and those whose figures may not be said."""

    title: str
    reasons: Sequence[Finding]
    brief: Sequence[Finding] = ()
    only: Only = ""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Markup:
    """HTML of its own, where no other part will do; made when it is shown. Folded, it lies with the chapter's tables."""

    html: Callable[[], str]
    folded: bool = False
    only: Only = "report"


@frozen
class Items:
    """A short list under a sentence, or without one where `lead` is ""."""

    lead: str
    items: Sequence[str]
    only: Only = ""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Typed:
    """Lines of the terminal of its own, where no other part will do: given its page to write on."""

    write: Callable[[Page], None]
    only: Only = "terminal"


@frozen
class Data:
    """Values of plan.json that no line shows, by their dotted names from the chapter's own object."""

    values: Json
    only: Only = "report"


@frozen
class ToBuy:
    """What there is to buy for the subject, in round amounts; all of it stands in one list, on the job sheet.

    Attributes:
        lines: What, how much, and which.
    """

    lines: Sequence[Line]
    only: Only = "report"


Part = (
    ToBuy
    | Table
    | Words
    | Heading
    | Gap
    | Items
    | Picture
    | Sources
    | Cautions
    | Withheld
    | Markup
    | Typed
    | Data
)


@frozen
class Chapter:
    """What one subject says.

    Attributes:
        name: Name of its anchor in the report.
        title: Title of its section in the report; "" where it has none.
        heading: On the terminal, before its first part; "" where it is not said there.
        at: Its object in plan.json, dotted; "" for the top.
        only: "report" where the terminal of the whole plan leaves it to a command of its own.
        step: Step of the work, under which the report has it; "" for what stands by itself.
        parts: In the order that they are read.
    """

    name: str
    title: str = ""
    heading: str = ""
    at: str = ""
    only: Only = ""
    step: StepName | Literal[""] = ""
    parts: Sequence[Part]


def in_a_word(chapter: Chapter, words: str) -> Chapter:
    """The chapter in one paragraph, or with none of its own; its figures stay in plan.json.

    Args:
        chapter: Chapter of a subject.
        words: In place of its pictures and tables; "" drops its headings too.
    """
    tables = [part for part in chapter.parts if isinstance(part, Table)]
    lines = {
        line.name: None if part.withheld else line.data()
        for part in tables
        for line in part.rows
        if isinstance(line, Line) and line.name
    }
    kept: list[Part] = [part for part in chapter.parts if isinstance(part, Data)]
    kept.append(Data(values=lines))
    if not words:
        return replace(chapter, title="", heading="", parts=kept)
    return replace(chapter, parts=[Words(text=words), *kept])


def for_report(chapter: Chapter) -> tuple[list[Part], list[Part]]:
    """The parts that the report shows, and those that it folds, each in their order.

    Drawings, words, cautions and what is withheld are shown. Tables, sources and captions of tables are folded; a
    heading goes with what it is of.
    """
    shown: list[Part] = []
    folded: list[Part] = []
    headings: list[Part] = []
    under = folded
    for one in chapter.parts:
        if one.only == "terminal" or (isinstance(one, Picture) and one.sheet):
            continue
        if isinstance(one, Heading):
            headings.append(one)
            continue
        if isinstance(one, Picture | Markup):
            under = folded if one.folded else shown
        elif isinstance(one, Table | Sources) or (isinstance(one, Words) and one.folded):
            under = folded
        elif not (isinstance(one, Words) and one.style == "caption"):
            under = shown
        under += [*headings, one]
        headings = []
    return shown, folded


def for_terminal(chapter: Chapter) -> list[Part]:
    """The parts that the terminal shows, in their order."""
    return [one for one in chapter.parts if one.only != "report"]


def lines_of(chapter: Chapter) -> list[Line]:
    """The figures that are shown of a chapter, in their order.

    Args:
        chapter: Chapter of a subject.
    """
    tables = [one for one in chapter.parts if isinstance(one, Table) and not one.withheld]
    return [line for table in tables for line in table.rows if isinstance(line, Line) and line.label]


def data_of(chapter: Chapter) -> Json:
    """What the chapter puts into plan.json: nested objects from the top.

    Args:
        chapter: With lines that have names, and data.

    Raises:
        ValueError: One name twice.
    """
    said: Json = {}
    for part in chapter.parts:
        if isinstance(part, Data):
            for name, value in part.values.items():
                put(said, name, value)
        elif isinstance(part, Table):
            for line in part.rows:
                if isinstance(line, Line) and line.name:
                    put(said, line.name, None if part.withheld else line.data())
    for name in reversed(chapter.at.split(".") if chapter.at and said else []):
        said = {name: said}
    return said


def put(said: Json, name: str, value: object) -> None:
    """Put a value into nested objects at its dotted name.

    Raises:
        ValueError: It is there already.
    """
    *places, leaf = name.split(".")
    for place in places:
        inner = said.setdefault(place, {})
        if not isinstance(inner, dict):
            raise ValueError(f'"{name}" stands under "{place}", which is a value')
        said = inner
    if leaf in said:
        raise ValueError(f'"{name}" is said twice')
    said[leaf] = value


def joined_data(chapters: Sequence[Chapter]) -> Json:
    """What several chapters put into plan.json, in their order.

    Raises:
        ValueError: One name twice.
    """
    said: Json = {}

    def join(into: Json, more: Json) -> None:
        for name, value in more.items():
            there = into.get(name)
            if isinstance(there, dict) and isinstance(value, dict):
                join(there, value)
            elif name in into:
                raise ValueError(f'"{name}" is said twice')
            else:
                into[name] = value

    for chapter in chapters:
        join(said, data_of(chapter))
    return said
