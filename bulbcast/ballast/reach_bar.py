"""Bar of the bulb's reach in the report: tip chord, possible range and required place of the mass centre."""

from __future__ import annotations

from bulbcast.ballast.work import BoatJob
from bulbcast.quantities import Shown
from bulbcast.report.markup import text


def reach_bar(boat: BoatJob, shown: Shown) -> str:
    """Return HTML of chord, reach and required place along x, to scale; "" if the bulb has no place.

    Args:
        boat: Boat with her bulb.
        shown: The builder's units.
    """
    band, hang = boat.hung.band, boat.hung.hang
    if band is None or boat.hung.wanted_x is None:
        return ""
    tip = (hang.tip_leading_edge_x, hang.tip_leading_edge_x + hang.tip_chord)
    wanted, placed = boat.hung.wanted_x, boat.hung.afloat.x
    low, high = min(tip[0], band.fore_x, wanted), max(tip[1], band.aft_x, wanted)
    room = 0.04 * (high - low)
    scale = 640.0 / (high - low + 2.0 * room)

    def at(x: float) -> float:
        return 20.0 + scale * (x - low + room)

    def bar(x: tuple[float, float], y: float, fill: str, words: str) -> str:
        return (
            f'<rect x="{at(x[0]):.2f}" y="{y:g}" width="{scale * (x[1] - x[0]):.2f}" height="14" fill="{fill}" '
            f'stroke="currentColor"/><text x="{at(x[0]):.2f}" y="{y - 4:g}" font-size="12" '
            f'fill="currentColor">{text(words)}</text>'
        )

    def mark(x: float, words: str, y: float, dash: str) -> str:
        anchor = "start" if at(x) < 340.0 else "end"
        return (
            f'<path d="M{at(x):.2f} 14V104" stroke="currentColor" stroke-width="2"{dash}/>'
            f'<text x="{at(x) + (4.0 if anchor == "start" else -4.0):.2f}" y="{y:g}" text-anchor="{anchor}" '
            f'font-size="12" fill="currentColor">{text(words)}</text>'
        )

    title = (
        f"Reach of the bulb's mass centre along x, with aft to the right: tip chord {shown.length(tip[0])} to "
        f"{shown.length(tip[1])}, reach {shown.length(band.fore_x)} to {shown.length(band.aft_x)}, required "
        f"{shown.length(wanted)}, hangs {shown.length(placed)}."
    )
    marks = mark(wanted, f"required, {shown.length(wanted)}", 118.0, "")
    if abs(wanted - placed) >= 1e-6:
        marks += mark(placed, f"hangs, {shown.length(placed)}", 134.0, ' stroke-dasharray="5 3"')
    return (
        '<figure class="drawing"><svg class="wide" viewBox="0 0 680 142" role="img" '
        f'aria-label="{text(title)}">'
        + bar(tip, 34.0, "none", "chord of the fin's tip")
        + bar((band.fore_x, band.aft_x), 76.0, "#9bb7c9", "reach of the mass centre")
        + marks
        + f"</svg><figcaption>{text(title)}</figcaption></figure>\n"
    )
