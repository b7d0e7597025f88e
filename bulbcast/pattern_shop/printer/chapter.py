"""The report's chapter on the printer: the bed, the material, and whether the print withstands the heat."""

from __future__ import annotations

from collections.abc import Iterator

from bulbcast.materials.patterns import pattern_materials
from bulbcast.pattern_shop.pieces.picture import PiecesPicture
from bulbcast.pattern_shop.printer.softening import verdict
from bulbcast.pattern_shop.results import ShopResults
from bulbcast.pattern_shop.shop import Measured, PatternShop
from bulbcast.plan.pattern_sections import PrinterSection
from bulbcast.quantities import Shown, worded
from bulbcast.report.chapter import Heading, Line, Part, Picture, Sources, Table, Words
from bulbcast.report.values import Json, values_of

_VERDICTS = {
    "keeps": "keeps its shape",
    "marginal": "marginal",
    "softens": "softens",
    "not known": "not known",
}


def printer_parts(
    job: ShopResults,
    shop: PatternShop,
    printer: PrinterSection,
    measured: Measured,
    picture: PiecesPicture | None,
) -> Iterator[Part]:
    """Chapter on printing the pieces.

    Args:
        job: The results.
        shop: The job's pattern shop.
        printer: The plan's [printer].
        measured: The measured pieces.
        picture: Outlines of the pieces; None for no picture.
    """
    shown, bed = job.shown, shop.bed
    yield Heading(text="On the printer", only="report")
    if picture is not None:
        from bulbcast.pattern_shop.pieces.views import bed_view

        yield Picture(
            draw=lambda: bed_view(job, picture),
            caption="{title}. The bed from above. The dashed line is its margin.",
        )
    rows = [Line("position", shop.joints.position, f"{shop.joints.pieces} along the axis")]
    if bed is not None:
        sides = worded("{} by {} by {}", *map(shown.length, (bed.length, bed.width, bed.height)))
        rows.append(
            Line("bed within its margins", sides, f"{shown.length(bed.diagonal)} from corner to corner")
        )
    material = sum(piece.material_volume or 0.0 for piece in measured.pieces)
    mass = sum(piece.mass or 0.0 for piece in measured.pieces)
    made = f"{printer.material}, shell {shown.length(printer.shell)}, infill {shown.percent(printer.infill)}"
    rows.append(Line("material", shown.volume(material), made))
    estimate = "an estimate: the shell is calculated as surface area times thickness"
    rows.append(Line("all pieces together weigh about", shown.mass(mass), estimate))
    if shop.thin:
        rows.append(Line("thinnest point", shown.length(shop.thin[0].thickness), shop.thin[0].where))
    yield Table(rows=rows, only="report")
    yield from _heat(shop, shown)
    yield Words(
        text="Layer lines grip plaster. Glue and fair the pieces, fill, sand to 240 grit along the pull, seal with "
        f"two thin coats (the pattern's ledger allows {shown.length(job.plan.pattern.coat)}), rub down and wax. Then "
        "check the largest width and height against the ledger before the mould is made.",
        style="remarks",
        only="report",
    )


def _heat(shop: PatternShop, shown: Shown) -> Iterator[Part]:
    softening, rows = [], []
    for one in pattern_materials():
        if one.softens_from is not None and one.softens_to is not None:
            softening.append(one)
            gives = f"{shown.temperature(one.softens_from)} to {shown.temperature(one.softens_to)}"
            said = (_VERDICTS[verdict(one, event.temperature)] for event in shop.heat)
            rows.append((one.name, gives, *said))
    events = (f"{event.name}: {shown.temperature(event.temperature)}" for event in shop.heat)
    yield Table(
        rows=rows,
        heads=("material", "softens at", *events),
        figures=(),
        caption="When the mould warms the pattern",
        style="tight",
        only="report",
    )
    yield Sources(
        words=(
            *(f"{event.name}: {event.source}" for event in shop.heat),
            *(f"{one.name}: {one.softens_source}" for one in softening),
        )
    )


def printer_object(shop: PatternShop, printer: PrinterSection) -> Json:
    """Data on the bed, position and material for plan.json.

    Args:
        shop: The job's pattern shop.
        printer: The plan's [printer].
    """
    pieces = () if shop.measured is None else shop.measured.pieces
    masses = [piece.mass for piece in pieces if piece.mass is not None]
    plates = [piece.place.plate for piece in pieces if piece.place is not None]
    bed, material = shop.bed, shop.material
    assert bed is not None
    assert material is not None
    return {
        "bed_within_margins_m": values_of(bed, "length", "width", "height", "diagonal"),
        "position": shop.joints.position,
        "pieces_along_axis": shop.joints.pieces,
        "fits": shop.joints.fits,
        "material": material.name,
        "material_density_kg_m3": material.density,
        **values_of(printer, "shell_m", "infill", "layer_m"),
        "material_mass_kg": sum(masses) if masses else None,
        "plates": max(plates) if plates else None,
        "heat": [
            {
                "when": event.name,
                "temperature_degC": event.temperature,
                "materials": {
                    one.name: verdict(one, event.temperature)
                    for one in pattern_materials()
                    if one.softens_from is not None
                },
            }
            for event in shop.heat
        ],
    }
