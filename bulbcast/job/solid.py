"""The report's 3-D view of the bulb, which can be turned with the mouse."""

from __future__ import annotations

import base64
from functools import cache

import numpy as np
from numpy.typing import NDArray

from bulbcast.quantities.frozen import frozen
from bulbcast.report.chapter import Chapter, Markup, Words


@frozen
class ViewMesh:
    """The cut solid with few facets, for display.

    Attributes:
        positions: Corners, bulb axes, shape (n, 3). [mm]
        triangles: Corner indices, counter-clockwise as seen from outside, shape (m, 3).
    """

    positions: NDArray[np.floating]
    triangles: NDArray[np.integer]


_SHOW = """\
(function () {
  function bytes(id) {
    return Uint8Array.from(atob(document.getElementById(id).textContent), (letter) => letter.charCodeAt(0)).buffer;
  }
  new SolidViewer(document.getElementById("solid-view"))
    .load(new Float32Array(bytes("solid-positions")), new Uint32Array(bytes("solid-triangles")));
})();
"""


@cache
def viewer_script() -> str:
    """Return the JavaScript of the viewer."""
    from importlib.resources import files

    return files("bulbcast.report").joinpath("viewer.js").read_text(encoding="utf-8")


def solid(mesh: ViewMesh | None) -> Chapter:
    """Return the HTML of the 3-D view; "" if there is no mesh.

    Args:
        mesh: Mesh of the cut solid.
    """
    words = "The finished lead with its pocket, screw holes and recesses, without skin and filler."
    parts = (
        ()
        if mesh is None
        else (Markup(html=lambda: _turned(mesh)), Words(text=words, style="caption", only="report"))
    )
    return Chapter(name="solid", title="The solid", step="bulb", parts=parts)


def _turned(mesh: ViewMesh) -> str:
    """Return the HTML of the canvas with its buttons, data and script."""
    positions = np.ascontiguousarray(mesh.positions, dtype="<f4").tobytes()
    triangles = np.ascontiguousarray(mesh.triangles, dtype="<u4").tobytes()
    return (
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
        '<p class="solid-hint" hidden>Drag to turn, scroll or pinch to zoom, use the arrow keys to turn in steps, '
        "double-click to reset the view.</p>\n"
        '<p class="solid-missing">The solid cannot be shown here: the view needs a browser with WebGL and scripts '
        "enabled. The drawings above and bulb.stl show the same body.</p>\n"
        "</div>\n"
        f'<script type="application/octet-stream" id="solid-positions">{base64.b64encode(positions).decode("ascii")}'
        "</script>\n"
        f'<script type="application/octet-stream" id="solid-triangles">{base64.b64encode(triangles).decode("ascii")}'
        "</script>\n"
        f"<script>\n{viewer_script()}{_SHOW}</script>\n"
    )
