"""List of a job's chapters, in the order used by the report and the terminal.

A chapter's module is imported only if the plan includes its subject, which saves time for other plans.
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial
from typing import TYPE_CHECKING

from bulbcast.job import Job
from bulbcast.report.chapter import Chapter, Markup, in_a_word

if TYPE_CHECKING:
    from bulbcast.job.solid import ViewMesh
    from bulbcast.pattern_shop.pieces.picture import PiecesPicture


def chapters(
    job: Job,
    view_mesh: ViewMesh | None = None,
    pieces: PiecesPicture | None = None,
    *,
    figures_alone: bool = False,
) -> Iterator[Chapter]:
    """Return all the chapters of a job.

    Args:
        job: The results.
        view_mesh: The cut solid with few facets, for the 3-D view in the report; None omits the view.
        pieces: Outlines of the pattern's pieces; None omits their pictures.
        figures_alone: Whether to skip chapters that add nothing to plan.json.
    """
    from bulbcast.bulb.chapter import what_hangs, where_it_hangs
    from bulbcast.bulb.fastening.chapter import fastening
    from bulbcast.foundry.melt.chapter import after_chapter, alloy_chapter, melt_chapter
    from bulbcast.job.key_figures import key_figures
    from bulbcast.pattern.chapter import pattern_chapter
    from bulbcast.pattern_shop.templates.chapter import templates_chapter

    yield key_figures(job)
    # These chapters only draw and describe results; `plan --json` spends most of its time on imports.
    if not figures_alone:
        from bulbcast.bulb.views.chapter import drawings
        from bulbcast.job.solid import solid

        yield drawings(job)
        yield solid(view_mesh)
    if job.boat is not None:
        from bulbcast.ballast.chapter import ballast_chapter
        from bulbcast.sailing.chapter import judged, standing_chapter

        yield ballast_chapter(job, job.boat, judged_later=judged(job.standing))
        if job.standing is not None:
            yield standing_chapter(job, job.standing)
    yield what_hangs(job)
    yield where_it_hangs(job)
    if job.fineness is not None:
        from bulbcast.sailing.fineness import fineness_chapter

        yield fineness_chapter(job.fineness, job.shown)
    yield fastening(job)
    if job.strength is not None:
        from bulbcast.joint.chapter import strength_chapter

        yield strength_chapter(job, job.strength)
    if job.limits:
        from bulbcast.joint.chapter import limits_chapter

        yield limits_chapter(job)
    if job.carried is not None:
        from bulbcast.joint.carried import carried_chapter

        yield carried_chapter(job.carried, job.bulb, job.shown)
    yield pattern_chapter(job)
    if job.confidence is not None:
        from bulbcast.confidence.chapter import confidence_chapter

        yield confidence_chapter(job, job.confidence)
    if job.shop is not None:
        from bulbcast.pattern_shop.chapter import pieces_chapter

        yield pieces_chapter(job, job.shop, pieces)
    yield templates_chapter(job)
    foundry_work = job.mould is not None and job.mould.foundry_work
    if job.mould is not None:
        from bulbcast.foundry.mould.chapter import mould_chapter
        from bulbcast.foundry.mould.design import foundry_words

        mould = mould_chapter(job)
        yield in_a_word(mould, foundry_words(job.mould, job.shown)) if foundry_work else mould
    if job.drying is not None:
        from bulbcast.foundry.drying.chapter import drying_chapter

        drying = drying_chapter(job.drying, job.shown)
        yield in_a_word(drying, "") if foundry_work else drying
    if not figures_alone:
        from bulbcast.report.cautions import cautions_chapter

        yield cautions_chapter()
    yield alloy_chapter(job)
    if job.melting is not None:
        from bulbcast.foundry.gating.chapter import gating_chapter

        gating = gating_chapter(job, job.melting)
        yield in_a_word(gating, "") if foundry_work else gating
    yield melt_chapter(job)
    if job.cooling is not None:
        from bulbcast.foundry.cooling.chapter import cooling_chapter

        yield cooling_chapter(job.cooling, job.shown)
    if job.resin is not None:
        from bulbcast.foundry.resin.chapter import resin_chapter

        yield resin_chapter(job, job.resin)
    if figures_alone:
        return
    from bulbcast.job.asked import asked_html, defaults_html, meta_html

    yield after_chapter(job)
    for name, title, html in (
        ("asked", "Values in the plan", asked_html),
        ("defaults", "Assumed values, not given in the plan", defaults_html),
        ("meta", "This report", meta_html),
    ):
        yield Chapter(name=name, title=title, parts=[Markup(html=partial(html, job), folded=True)])
