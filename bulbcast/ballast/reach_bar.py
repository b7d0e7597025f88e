"""Bar chart of the bulb's reach for the report: tip chord, possible range and required position of the mass centre."""

from __future__ import annotations

from bulbcast.ballast.work import BoatJob
from bulbcast.quantities import Shown
from bulbcast.report.markup import text


def reach_bar(boat: BoatJob, shown: Shown) -> str:
    """Return HTML that shows the chord, the reach and the required position along x, to scale; "" if the bulb's
    position is not known.

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

    def drawn(wide: float, style: str) -> str:
        """Draw the bar chart as an SVG of the given width. [px]"""
        scale = (wide - 40.0) / (high - low + 2.0 * room)

        def at(x: float) -> float:
            return 20.0 + scale * (x - low + room)

        def words(x: float, y: float, said: str, anchor: str) -> str:
            place = f'x="{x:.2f}" y="{y:g}" text-anchor="{anchor}"'
            return f'<text {place} font-size="12" fill="currentColor">{text(said)}</text>'

        def bar(x: tuple[float, float], y: float, fill: str, said: str) -> str:
            ends = (at(x[0]), "start") if at(x[0]) < 0.5 * wide else (at(x[1]), "end")
            return (
                f'<rect x="{at(x[0]):.2f}" y="{y:g}" width="{scale * (x[1] - x[0]):.2f}" height="14" fill="{fill}" '
                f'stroke="currentColor"/>{words(ends[0], y - 4.0, said, ends[1])}'
            )

        def mark(x: float, y: float, said: str, dash: str) -> str:
            anchor, aside = ("start", 4.0) if at(x) < 0.5 * wide else ("end", -4.0)
            return (
                f'<path d="M{at(x):.2f} 14V104" stroke="currentColor" stroke-width="2"{dash}/>'
                f"{words(at(x) + aside, y, said, anchor)}"
            )

        marks = mark(wanted, 118.0, f"required, {shown.length(wanted)}", "")
        if abs(wanted - placed) >= 1e-6:
            marks += mark(placed, 134.0, f"hangs, {shown.length(placed)}", ' stroke-dasharray="5 3"')
        return (
            f'<svg class="{style}" viewBox="0 0 {wide:g} 142" role="img" aria-label="{text(title)}">'
            + bar(tip, 34.0, "none", "chord of the fin's tip")
            + bar((band.fore_x, band.aft_x), 76.0, "#9bb7c9", "reach of the mass centre")
            + f"{marks}</svg>"
        )

    title = (
        f"Reach of the bulb's mass centre along x, with aft to the right: tip chord {shown.length(tip[0])} to "
        f"{shown.length(tip[1])}, reach {shown.length(band.fore_x)} to {shown.length(band.aft_x)}, required "
        f"{shown.length(wanted)}, bulb at {shown.length(placed)}."
    )
    return (
        f'<figure class="drawing">{drawn(680.0, "wide")}<div class="narrow">{drawn(330.0, "slim")}</div>'
        f"<figcaption>{text(title)}</figcaption></figure>\n"
    )
