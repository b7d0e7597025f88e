"""Chapter with all the cautions in their short form, placed before any figure for the melt."""

from __future__ import annotations

from bulbcast.report.chapter import Chapter, Markup, Typed
from bulbcast.report.markup import paragraph, text
from bulbcast.report.page import Page
from bulbcast.safety import Caution, cautions, steps


def cautions_chapter() -> Chapter:
    """Return every caution in its short form, grouped by the first step of the work to which it applies."""
    said: dict[str, list[Caution]] = {}
    for step in steps():
        first = [one for one in cautions() if one.steps[0] == step.name]
        if first:
            said[step.title] = first

    def html() -> str:
        body = ""
        for title, some in said.items():
            items = "".join(
                f"<li><strong>{text(one.title)}.</strong> {text(one.short)}</li>\n" for one in some
            )
            body += f"<div><h3>{text(title)}</h3><ul>\n{items}</ul></div>\n"
        words = (
            "SAFETY.md gives them in full, with their sources. They are general. If local rules, makers' instructions "
            "or licensed practice require more, follow those."
        )
        return f'<div class="cautions">\n{body}</div>\n{paragraph(words, "caption")}'

    def write(page: Page) -> None:
        for title, some in said.items():
            page.line(f"  {title}")
            for one in some:
                page.wrapped(one.short, first="    - ", rest="      ")

    title = "Cautions: read them before melting any lead"
    return Chapter(
        name="cautions",
        title=title,
        heading=title,
        parts=[Markup(html=html), Typed(write=write)],
    )
