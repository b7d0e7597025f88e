"""The pictures: drawings to scale, and the solid to turn with the mouse."""

from __future__ import annotations

import base64
from dataclasses import dataclass
from functools import cache

import numpy as np
from numpy.typing import NDArray

from bulbcast.bulb.views.cross_sections import cross_sections
from bulbcast.bulb.views.fairness import fairness
from bulbcast.bulb.views.fin_plan import fin_plan
from bulbcast.bulb.views.legend import legend
from bulbcast.bulb.views.plan_view import plan_view
from bulbcast.bulb.views.side_view import shown_screws, side_view
from bulbcast.drawing.layout import scale_words
from bulbcast.drawing.shapes import View
from bulbcast.job import Job
from bulbcast.report.markup import figure, paragraph, section


@dataclass(frozen=True, slots=True, kw_only=True)
class ViewMesh:
    """The cut solid in few facets, to look at.

    Attributes:
        positions: Corners, bulb axes, shape (n, 3). [mm]
        triangles: Indices, outward side counter-clockwise, shape (m, 3).
    """

    positions: NDArray[np.floating]
    triangles: NDArray[np.integer]


def _scaled(view: View, words: str) -> str:
    return figure(view, f"{words} {scale_words(view.scale)} when printed without fitting to the page.")


def drawings_section(job: Job) -> str:
    """All drawings with their legend."""
    body = figure(legend(job))
    side = side_view(job)
    body += _scaled(
        side,
        "Side view, cut along the centreplane. Fastenings and elastic axis are measured aft of the tip's leading "
        "edge, along the pocket floor.",
    )
    body += _scaled(
        plan_view(job, beneath=side),
        "Plan view, from above. Letters and figures name the sections below.",
    )
    left_out = len(job.bulb.screw_cuts) - len(shown_screws(job))
    if left_out:
        body += paragraph(
            f"{left_out} of the screws lie so far from the bulb that they are not drawn.", "remarks"
        )
    sections = "".join(figure(view) for view in cross_sections(job))
    body += f'<div class="pair">\n{sections}</div>\n'
    body += paragraph("Sections are seen from aft, starboard on the right, all to one scale.", "caption")
    body += _scaled(
        fin_plan(job), "The fin's tip on the pocket floor, from above; distances from its leading edge."
    )
    body += figure(
        fairness(job),
        "Does it look fair? The curve of areas rises and falls without a bump, and its slope without a step.",
    )
    return section("drawings", "Drawings", body)


@cache
def viewer_script() -> str:
    """The viewer's own script."""
    from importlib.resources import files

    return files("bulbcast.report").joinpath("viewer.js").read_text(encoding="utf-8")


def solid_section(mesh: ViewMesh | None) -> str:
    """The solid to turn; nothing where there is no mesh."""
    if mesh is None:
        return ""
    positions = np.ascontiguousarray(mesh.positions, dtype="<f4").tobytes()
    triangles = np.ascontiguousarray(mesh.triangles, dtype="<u4").tobytes()
    body = (
        '<div class="solid" id="solid-view">\n'
        '<canvas id="solid-canvas" tabindex="0" role="img" '
        'aria-label="The finished lead with pocket and screw holes; arrow keys turn it"></canvas>\n'
        '<div class="solid-views" hidden>'
        + "".join(
            f'<button type="button" data-view="{name}">{words}</button>'
            for name, words in (
                ("quarter", "Quarter"),
                ("side", "Side"),
                ("top", "Above"),
                ("bottom", "Below"),
                ("front", "Ahead"),
            )
        )
        + "</div>\n"
        '<p class="solid-hint" hidden>Drag to turn, wheel or pinch to zoom, arrow keys to turn by steps, '
        "double-click to start again.</p>\n"
        '<p class="solid-missing">The solid cannot be shown here: this needs a browser with WebGL and scripts '
        "allowed. The drawings above and bulb.stl show the same body.</p>\n"
        "</div>\n"
        f'<script type="application/octet-stream" id="solid-positions">{base64.b64encode(positions).decode("ascii")}'
        "</script>\n"
        f'<script type="application/octet-stream" id="solid-triangles">{base64.b64encode(triangles).decode("ascii")}'
        "</script>\n"
        f"<script>\n{viewer_script()}</script>\n"
    )
    body += paragraph(
        "Finished lead: pocket, screw holes and recesses cut, skin and filler left off.", "caption"
    )
    return section("solid", "The solid", body)
