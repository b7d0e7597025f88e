"""Writes report.html: one self-contained page, with the same bytes for the same Job."""

from __future__ import annotations

import base64
import hashlib
import re
from collections.abc import Sequence
from functools import cache

from bulbcast.drawing.svg import drawing_css
from bulbcast.job import Job
from bulbcast.job.chapters import chapters
from bulbcast.job.sheet import Sheet, sheet_of
from bulbcast.job.sheet_html import section_names, sheet_html, state_html
from bulbcast.job.solid import ViewMesh as ViewMesh
from bulbcast.pattern_shop.pieces.picture import PiecesPicture
from bulbcast.quantities.prose import imperial_first
from bulbcast.report.as_html import chapter_html
from bulbcast.report.chapter import Chapter
from bulbcast.report.markup import text
from bulbcast.report.steps import STEP_TITLES, State, StepName, StepState
from bulbcast.report.values import FileRecord

BEFORE_CAUTIONS: tuple[StepName, ...] = ("bulb", "pattern")
"""Steps printed before the cautions; the cautions must be read before the mould is made."""
_OPENING = """\
(function () {
  var button = document.getElementById("open-all"), parts = document.querySelectorAll("details");
  button.hidden = parts.length === 0;
  button.addEventListener("click", function () {
    var open = button.getAttribute("aria-pressed") !== "true";
    parts.forEach(function (part) { part.open = open; });
    button.setAttribute("aria-pressed", String(open));
    button.textContent = open ? "Fold all" : "Open all";
  });
})();
"""
_FILES: tuple[tuple[str, StepName], ...] = (
    (r"bulb\.|offsets", "bulb"),
    (r"pattern|template|turning|shed", "pattern"),
    (r"mould|core|test-bar", "mould"),
)
"""Prefixes of file names, each with the step that needs the file."""


@cache
def report_css() -> str:
    """Return the style sheet of the page."""
    from importlib.resources import files

    return files("bulbcast.report").joinpath("report.css").read_text(encoding="utf-8")


def report_html(
    job: Job,
    view_mesh: ViewMesh | None,
    pieces: PiecesPicture | None = None,
    files: Sequence[FileRecord] = (),
) -> str:
    """Return the complete report.

    Args:
        job: The results.
        view_mesh: The cut solid with few facets; None omits the 3-D picture.
        pieces: Outlines of the pattern's pieces; None omits their pictures.
        files: Other files in the bundle, to be linked from the steps that need them.

    Returns:
        A self-contained HTML page. A stop is reported first. Results on hold are withheld, and the reason is given. The
        cautions precede any figure for the melt.
    """
    name = text(job.plan.name)
    said = list(chapters(job, view_mesh, pieces))
    sheet = sheet_of(job, said, out="DIR")
    steps = {
        one.name: _step(number, one, sheet, said, files) for number, one in enumerate(sheet.steps, start=1)
    }
    alone = {one.name: chapter_html(one) for one in said if not one.step}
    early = "".join(steps[one] for one in BEFORE_CAUTIONS)
    late = "".join(html for one, html in steps.items() if one not in BEFORE_CAUTIONS)
    body = sheet_html(job, sheet, said) + early + alone.pop("cautions", "") + late + "".join(alone.values())
    if job.shown.units == "imperial":
        body = imperial_first(body)
    style = f"{report_css()}{drawing_css()}{_running_title(job.plan.name)}"
    body = (
        f'<header><div class="head"><strong class="name">{name}</strong>\n'
        f'<nav aria-label="Steps">{_links(sheet)}</nav>\n'
        '<button type="button" id="open-all" aria-pressed="false" hidden>Open all</button></div></header>\n'
        f"<main>\n{body}</main>\n<script>{_OPENING}</script>\n"
    )
    return (
        '<!DOCTYPE html>\n<html lang="en">\n<head>\n<meta charset="utf-8">\n'
        f'<meta http-equiv="Content-Security-Policy" content="{policy(style, body)}">\n'
        '<meta name="viewport" content="width=device-width, initial-scale=1">\n'
        '<meta name="color-scheme" content="light dark">\n'
        f"<title>{name}: ballast bulb</title>\n<style>{style}</style>\n</head>\n<body>\n{body}</body>\n</html>\n"
    )


def policy(style: str, body: str) -> str:
    """Return the security policy of a page. It allows only the given style sheet and the page's own scripts, by their
    hashes, and no requests.

    Args:
        style: The complete style sheet.
        body: HTML of the page, including any scripts.

    Returns:
        Value of its Content-Security-Policy.
    """

    def of(content: str) -> str:
        return (
            f"'sha256-{base64.b64encode(hashlib.sha256(content.encode('utf-8')).digest()).decode('ascii')}'"
        )

    scripts = " ".join(of(one) for one in re.findall(r"<script>(.*?)</script>", body, re.DOTALL))
    scripts = scripts or "'none'"
    return f"default-src 'none'; style-src {of(style)}; script-src {scripts}; base-uri 'none'; form-action 'none'"


def _running_title(name: str) -> str:
    """Return the CSS for the footer of each printed page, with the name and page number. The name is escaped so that it
    cannot end the CSS string."""
    # A blank ends an escape and is not part of the text.
    safe = "".join(
        letter if letter.isalnum() or letter == " " else f"\\{ord(letter):06x} " for letter in name
    )
    return f'@page{{@bottom-left{{content:"{safe}: ballast bulb"}}}}\n'


def _links(sheet: Sheet) -> str:
    return "".join(f'<a href="#step-{one.name}">{one.name} {state_html(one)}</a>' for one in sheet.steps)


def _step(
    number: int, step: StepState, sheet: Sheet, said: Sequence[Chapter], files: Sequence[FileRecord]
) -> str:
    """Return the HTML of one step, with its figures, files and chapters."""
    heads = "".join(
        f"<div><dt>{text(line.label)}</dt><dd>{text(line.text)}</dd></div>" for line in sheet.heads[step.name]
    )
    needed = [one.path for one in files if _step_of(one.path) == step.name]
    links = ", ".join(f'<a href="{text(path)}">{text(path)}</a>' for path in needed)
    missing = ""
    if step.missing:
        missing = f'<p class="missing">Not planned: add {section_names(step.missing)} to the plan.</p>\n'
    elif step.reasons:
        codes = ", ".join(dict.fromkeys(one.code for one in step.reasons))
        missing = (
            f'<p class="missing">{step.state.value.capitalize()} because of '
            f'<a href="#findings">{text(codes)}</a>.</p>\n'
        )
    elif step.state is State.HOLD:
        done = "is done" if step.name == "float" else "is ready"
        missing = f'<p class="missing">On hold until the pour {done}.</p>\n'
    return (
        f'<div class="step" id="step-{step.name}">\n<h2><span class="count">{number}</span> '
        f"{text(STEP_TITLES[step.name])} {state_html(step)}</h2>\n{missing}"
        + (f'<dl class="heads">{heads}</dl>\n' if heads else "")
        + (f'<p class="files">Files: {links}</p>\n' if links else "")
        + "".join(chapter_html(one) for one in said if one.step == step.name)
        + "</div>\n"
    )


def _step_of(path: str) -> StepName | None:
    return next((step for start, step in _FILES if re.match(start, path)), None)
