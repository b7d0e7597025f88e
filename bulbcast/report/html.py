"""report.html: one self-contained page, the same bytes for the same Job."""

from __future__ import annotations

from functools import cache

from bulbcast.drawing.pieces_picture import PiecesPicture
from bulbcast.drawing.svg import drawing_css
from bulbcast.job import Job
from bulbcast.report.asked import asked_section, defaults_section, meta_section
from bulbcast.report.drawings import ViewMesh as ViewMesh
from bulbcast.report.drawings import drawings_section, solid_section
from bulbcast.report.findings import findings_section, key_section, verdict_box
from bulbcast.report.foundry import after_section, alloy_section, cautions_section, melt_section
from bulbcast.report.ledgers import balance_section, fastening_section, hung_section, pattern_section
from bulbcast.report.markup import text
from bulbcast.report.templates import templates_section


@cache
def report_css() -> str:
    """The page's style sheet."""
    from importlib.resources import files

    return files(__package__).joinpath("report.css").read_text(encoding="utf-8")


_CONTENTS = (
    ("findings", "Findings"),
    ("figures", "Key figures"),
    ("drawings", "Drawings"),
    ("ballast", "Ballast"),
    ("hung-mass-ledger", "What hangs"),
    ("balance", "Where"),
    ("fastening", "Fastening"),
    ("strength", "Strength"),
    ("limits", "Limits"),
    ("pattern", "Pattern"),
    ("pieces", "Pieces"),
    ("templates", "Templates"),
    ("mould", "Mould"),
    ("drying", "Drying"),
    ("cautions", "Cautions"),
    ("gating", "Gating"),
    ("melt", "Melt"),
    ("resin", "Without melting"),
    ("after", "After"),
    ("asked", "Plan"),
)


def report_html(job: Job, view_mesh: ViewMesh | None, pieces: PiecesPicture | None = None) -> str:
    """The whole report.

    Args:
        job: The results.
        view_mesh: The cut solid in few facets; None leaves the 3-D picture out.
        pieces: Outlines of the pattern's pieces; None leaves their pictures out.

    Returns:
        An HTML page that needs nothing but itself. Where a finding says stop it says so first; what is on hold
        is withheld with its reason; cautions stand before any figure of the melt.
    """
    name = text(job.plan.name)
    parts = (
        verdict_box(job),
        findings_section(job),
        key_section(job),
        drawings_section(job),
        solid_section(view_mesh),
        _boat(job),
        hung_section(job),
        balance_section(job),
        fastening_section(job),
        _judged(job),
        pattern_section(job),
        _pieces(job, pieces),
        templates_section(job),
        _mould(job),
        cautions_section(),
        alloy_section(job),
        _gating(job),
        melt_section(job),
        _resin(job),
        after_section(job),
        asked_section(job),
        defaults_section(job),
        meta_section(job),
    )
    body = "".join(parts)
    # What a plan does not have is not in the table of contents either.
    links = "".join(
        f'<a href="#{place}">{text(words)}</a>' for place, words in _CONTENTS if f' id="{place}"' in body
    )
    return (
        '<!DOCTYPE html>\n<html lang="en">\n<head>\n<meta charset="utf-8">\n'
        '<meta name="viewport" content="width=device-width, initial-scale=1">\n'
        f"<title>{name}: ballast bulb</title>\n<style>\n{report_css()}{drawing_css()}</style>\n</head>\n<body>\n"
        f'<header><p class="kind">Ballast bulb</p><h1>{name}</h1>'
        f'<nav aria-label="Contents">{links}</nav></header>\n<main>\n{body}</main>\n</body>\n</html>\n'
    )


# Rooms of which only some plans have need are loaded where they stand.


def _boat(job: Job) -> str:
    if job.boat is None:
        return ""
    from bulbcast.report.boat import boat_section

    return boat_section(job)


def _pieces(job: Job, pieces: PiecesPicture | None) -> str:
    if job.shop is None or job.shop.measured is None:
        return ""
    from bulbcast.report.pattern_shop import pattern_shop_section

    return pattern_shop_section(job, pieces)


def _judged(job: Job) -> str:
    if job.strength is None and not job.limits:
        return ""
    from bulbcast.report.strength import limits_section, strength_section

    return strength_section(job) + limits_section(job)


def _mould(job: Job) -> str:
    if job.mould is None:
        return ""
    from bulbcast.report.mould import mould_sections

    return mould_sections(job)


def _gating(job: Job) -> str:
    if job.melting is None or job.melting.gating is None:
        return ""
    from bulbcast.report.melt import gating_section

    return gating_section(job)


def _resin(job: Job) -> str:
    if job.resin is None:
        return ""
    from bulbcast.report.resin import resin_section

    return resin_section(job)
