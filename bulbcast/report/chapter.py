"""A chapter contains the text, drawings and cautions of one subject. The terminal text, the report and plan.json are made
from it.

Each subject fills its chapter with parts; the renderers in this package depend on the parts but not on the subjects. A
`Line` contains one figure: its name in plan.json, label, text and remark. The value written to plan.json is the one
from which the text was made, unless another value is given.
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
"""Output that shows a part; "" for both."""


class _FromText:
    """Placeholder for the value shown in the text."""


FROM_TEXT = _FromText()


@dataclass(frozen=True, slots=True)
class Line:
    """One figure with its label and remark.

    Attributes:
        label: Label; "" for a figure that appears only in plan.json.
        text: Value as text, such as `shown.length(metres)`.
        remark: Remark on its meaning or position.
        name: Dotted name in plan.json, relative to the chapter's object and ending in the unit; "" if it is not in
            plan.json.
        value: SI value in plan.json; by default the value shown in `text`, which must then be a single figure.
        other: Text in the other system of units; None if the table has no column for that.
        sheet: Position among the main figures on the terminal and the job sheet, from 1; 0 for other figures. The sheet
            shows the first six.
        step: Step of the work for which it is a main figure; "" for none. The first of each step is also shown on the
            job sheet.
        brief: Text for the job sheet in place of `text`, such as a rounded mass, because no exact figure for the melt
            may precede the cautions.
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
        """Cells of the table row."""
        return (self.label, self.text, *(() if self.other is None else (self.other,)), self.remark)

    def data(self) -> object:
        """Return the value for plan.json.

        Raises:
            TypeError: No value was given, and the text is not a single figure.
        """
        if not isinstance(self.value, _FromText):
            return self.value
        if not isinstance(self.text, Figures) or len(self.text.figures) != 1:
            raise TypeError(f'"{self.name}" needs a value: "{self.text}" is not a single figure')
        return self.text.figures[0].value


def heads_of(records: Sequence[Sequence[Line]]) -> tuple[str, ...]:
    """Return the headings of a table that has a row for each record and a column for each line.

    Args:
        records: At least one record; a line without a label appears only in plan.json.
    """
    return tuple(line.label for line in records[0] if line.label)


def row_of(record: Sequence[Line]) -> tuple[str, ...]:
    """Return a record as a table row.

    Args:
        record: Lines of the record; a line without a label is not in the table.
    """
    return tuple(line.text for line in record if line.label)


def record_of(record: Sequence[Line]) -> Json:
    """Return a record as an object for plan.json.

    Args:
        record: Lines; a line without a name is shown but is not written to plan.json.
    """
    return {line.name: line.data() for line in record if line.name}


@frozen
class Table:
    """A table of figures and words.

    Attributes:
        rows: Lines, or rows of plain text cells. A line without a label is not shown.
        heads: Column headings; empty for none.
        figures: Indices of the columns with figures, which are right-aligned.
        total: Whether the last row is a sum.
        caption: Caption above the table in the report.
        heading: Heading on the terminal, unless the table is the chapter's first part.
        style: CSS class in the report; "keys" shows cards instead of a table.
        only: Output that shows it; "" for both.
        withheld: Whether its figures are withheld; if so, no row is shown and its values are null.
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
        """Rows that are shown."""
        lines = [one.cells() if isinstance(one, Line) else one for one in self.rows]
        return [] if self.withheld else [row for row in lines if any(row)]


@frozen
class Words:
    """A paragraph; `style` is its CSS class in the report, and `code` is its colour on the terminal. A folded
    paragraph is placed with the tables."""

    text: str
    style: str = ""
    code: str = ""
    folded: bool = False
    only: Only = ""


@frozen
class Heading:
    """A heading on the terminal, or within a section of the report."""

    text: str
    only: Only = "terminal"


@frozen
class Gap:
    """Empty line on the terminal."""

    only: Only = "terminal"


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Picture:
    """A drawing with its caption in the report. It is drawn when needed, and omitted if there is nothing to draw.

    Attributes:
        draw: Function that returns the view, or None.
        caption: Caption below it; `{title}` is replaced by the drawing's title, `{scale}` by its scale in print.
        folded: Whether it is folded together with the chapter's tables.
        sheet: Whether it is shown on the job sheet instead of in its chapter.
        narrow: Function that returns the same view for a phone screen; None if the drawing is scrolled there instead.
    """

    draw: Callable[[], View | None]
    caption: str = ""
    folded: bool = False
    sheet: bool = False
    narrow: Callable[[], View | None] | None = None
    only: Only = "report"


@frozen
class Sources:
    """Sources of figures, shown as a short list in the report."""

    words: Sequence[str]
    only: Only = "report"


@frozen
class Cautions:
    """Cautions, identified by their codes. The report shows each next to the text that it concerns; the terminal shows
    all of them together."""

    codes: Sequence[str]
    only: Only = "report"


@frozen
class Withheld:
    """Notice in place of a withheld part, with a title, the findings that withhold it, and findings whose figures must
    not be shown."""

    title: str
    reasons: Sequence[Finding]
    brief: Sequence[Finding] = ()
    only: Only = ""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Markup:
    """Raw HTML, used when no other kind of part fits. It is generated when needed. Folded HTML is placed with the
    tables."""

    html: Callable[[], str]
    folded: bool = False
    only: Only = "report"


@frozen
class Items:
    """A short list below an introductory sentence; if `lead` is "", there is no sentence."""

    lead: str
    items: Sequence[str]
    only: Only = ""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Typed:
    """A function that writes to the terminal page, used when no other kind of part fits."""

    write: Callable[[Page], None]
    only: Only = "terminal"


@frozen
class Data:
    """Values for plan.json that no line shows, keyed by dotted name within the chapter's object."""

    values: Json
    only: Only = "report"


@frozen
class ToBuy:
    """Things to buy for the subject, with the amounts rounded up; the job sheet lists the purchases of all chapters.

    Attributes:
        lines: Name, amount and remark for each.
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
    """The results of one subject as text, tables and drawings.

    Attributes:
        name: Anchor in the report.
        title: Title of its section in the report; "" for none.
        heading: Heading on the terminal, before its first part; "" for none.
        at: Dotted name of its object in plan.json; "" for the top level.
        only: "report" if the terminal shows it only with a separate command.
        step: Step of the work under which the report shows it; "" if it belongs to none.
        parts: Parts in reading order.
    """

    name: str
    title: str = ""
    heading: str = ""
    at: str = ""
    only: Only = ""
    step: StepName | Literal[""] = ""
    parts: Sequence[Part]


def in_a_word(chapter: Chapter, words: str) -> Chapter:
    """Return the chapter reduced to one paragraph, or to none. Its figures remain in plan.json.

    Args:
        chapter: Chapter of a subject.
        words: Text that replaces its pictures and tables; "" removes the headings too.
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
    """Return the parts that the report always shows and those that it folds, each list in order.

    Drawings, text, cautions and notices of withheld parts are shown. Tables and sources are folded; a heading is placed
    with the part that follows it.
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
    """Return the parts that the terminal shows, in order."""
    return [one for one in chapter.parts if one.only != "report"]


def lines_of(chapter: Chapter) -> list[Line]:
    """Return the figures shown in a chapter, in order.

    Args:
        chapter: Chapter of a subject.
    """
    tables = [one for one in chapter.parts if isinstance(one, Table) and not one.withheld]
    return [line for table in tables for line in table.rows if isinstance(line, Line) and line.label]


def data_of(chapter: Chapter) -> Json:
    """Return a chapter's part of plan.json, as nested objects from the top level.

    Args:
        chapter: Chapter with named lines and data.

    Raises:
        ValueError: A name occurs twice.
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
    """Insert a value into nested objects at its dotted name.

    Raises:
        ValueError: The name is already used.
    """
    *places, leaf = name.split(".")
    for place in places:
        inner = said.setdefault(place, {})
        if not isinstance(inner, dict):
            raise ValueError(f'"{name}" is inside "{place}", which is a value')
        said = inner
    if leaf in said:
        raise ValueError(f'"{name}" occurs twice')
    said[leaf] = value


def joined_data(chapters: Sequence[Chapter]) -> Json:
    """Return the part of plan.json that is made from a number of chapters.

    Raises:
        ValueError: A name occurs twice.
    """
    said: Json = {}

    def join(into: Json, more: Json) -> None:
        for name, value in more.items():
            there = into.get(name)
            if isinstance(there, dict) and isinstance(value, dict):
                join(there, value)
            elif name in into:
                raise ValueError(f'"{name}" occurs twice')
            else:
                into[name] = value

    for chapter in chapters:
        join(said, data_of(chapter))
    return said
