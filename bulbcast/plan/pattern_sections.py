"""Sections [pattern], [parting], [printer], [frame], [templates] and [ribs].

Values are frozen and in SI units; None means "not given". Nothing is calculated here: a default that depends on other
figures stays None, and is set and reported where its rule is declared.
"""

from __future__ import annotations

from functools import partial
from typing import Literal

from bulbcast.plan.agreement import DefaultWith, OnlyWith
from bulbcast.plan.declare import key, same_key, section
from bulbcast.plan.key import ANGLE, COMMON, DENSITY, FORMAT, LENGTH, MASS, RATIO, VOLUME

PRINTED_MATERIALS = ("PLA", "PETG", "ABS", "ASA", "printing resin")
"""Printing materials, as named in materials/patterns.toml."""


_PARTED = OnlyWith(
    {"plane": ("horizontal", "vertical")},
    ("none",),
    read='{line} with plane = "none"',
    expected="{leaf} only with a parting plane",
    remedy="Remove {leaf}, or choose a plane.",
)
_PLATE = OnlyWith(
    "plate_thickness",
    read="{leaf} without plate_thickness",
    expected="both {leaf} and plate_thickness, or neither",
    remedy='Add plate_thickness = "2 mm", say, or remove {leaf}.',
)
_SMALL_PRINTER = "common practice, no source: a small home printer"
_of_printer = partial(key, written=LENGTH, within="40 mm to 3 m", source=_SMALL_PRINTER)


@section("pattern", step="pattern")
class PatternSection:
    """Section [pattern], with proportions as fractions and lengths in m. If `contraction` is None, that of the alloy is
    used; if `finish` is None, it is set by the diameter. `density` (kg/m3) is that of the pattern material; if it is
    None, several typical densities are shown. A pattern that is already made has one of `made_volume` (m3),
    `made_mass` (kg) and `made_length`."""

    contraction: float | None = key(
        "linear contraction of the casting; default: typical for the alloy",
        RATIO,
        "0 % to 4 %",
        example="0.98 %",
        find=(
            "Cast a bar in a mould of known length and measure the cold bar. Divide the difference by the bar's length. "
            "If you omit it, the alloy's typical contraction is used."
        ),
        spread="0.35 %",
        spread_source="judgement: free contraction, less the restraint of the mould",
    )
    mould_expansion: float = key(
        "net growth of the mould cavity from moulding to pouring",
        RATIO,
        "-1 % to 1 %",
        default="-0.05 %",
        source="judgement: assumes baked plaster, to err towards a heavy casting, until [mould] is given",
        default_with=(
            DefaultWith(
                {"mould.material": "sand"}, "0 %", f"{FORMAT}: a sand mould neither grows nor shrinks"
            ),
            DefaultWith(
                {"mould.material": "mortar"},
                "-0.06 %",
                "drying shrinkage of cement mortar, 0.04 to 0.10 %, from memory",
            ),
            DefaultWith(
                {"mould.drying": "air"},
                "0.20 %",
                "judgement: plaster dried in air expands as it sets; spread 0.20 %",
            ),
            DefaultWith({"mould.drying": "baked"}, "-0.05 %", "judgement: baked plaster; spread 0.20 %"),
            DefaultWith(
                "mould",
                "-0.05 %",
                "judgement: assumes baked plaster, to err towards a heavy casting, until drying is given in [mould]",
            ),
        ),
        find="Measure the pattern, then the dry cavity with an inside caliper. Divide the growth by the pattern length.",
        spread="0.20 %",
        spread_source="judgement",
    )
    finish: float | None = key(
        "thickness filed off all over; default: 0.5 % of the diameter, but at least 0.1 and at most 0.5 mm",
        LENGTH,
        "0 mm to 20 mm",
        example="0.3 mm",
        find="Choose how much will be filed and scraped off the casting, usually 0.1 to 0.5 mm a side.",
        spread="30 % of it",
        spread_source="judgement: accuracy with which filing removes the planned amount",
    )
    coat: float = key(
        "thickness of sealer on the pattern",
        LENGTH,
        "0 mm to 5 mm",
        default="0.1 mm",
        source="judgement",
        find="Measure a scrap with a caliper before and after sealing it like the pattern. Take half the difference.",
        spread="30 % of it",
        spread_source="judgement",
    )
    made_by: Literal["printed", "turned", "carved"] = key(
        "method of making the pattern, which sets its error",
        "choice",
        default="printed",
        source=f"{FORMAT}: the bundle contains the solid to print",
        means={
            "printed": "made on a home printer; each face is off by 0.2 mm, all lengths by 0.1 %",
            "turned": "turned on a lathe to the turning table; faces are off by 0.1 mm, lengths by 0.05 %",
            "carved": "carved by hand to the templates; faces are off by 0.4 mm, lengths by 0.2 %",
        },
        also={"printed": ("print", "3d printed"), "turned": ("lathe",), "carved": ("by hand", "planed")},
        rare=True,
        varied="without effect",
        find="Your choice: the more accurate the pattern, the less lead you have to drill out.",
    )
    error: float | None = key(
        "standard deviation of each face of the finished pattern; default: depends on how the pattern is made",
        LENGTH,
        "0 mm to 20 mm",
        example="0.1 mm",
        rare=True,
        varied="without effect",
        title="Error of the pattern",
        find=(
            "Measure across the finished pattern at five points with a caliper. Take half of the typical difference "
            "from the plan."
        ),
    )
    chord_error: float = key(
        "largest gap between a facet and the true surface",
        LENGTH,
        "0.0005 mm to 2 mm",
        default="0.02 mm",
        source="judgement: finer than a printer's layer",
        varied="without effect",
        find="Choose how smooth the solid should be: 0.02 mm cannot be felt on a print.",
    )
    density: float | None = key(
        "density of the pattern material",
        DENSITY,
        "50 kg/m3 to 25000 kg/m3",
        example="0.45 g/cm3",
        varied="without effect",
        find="Weigh an offcut and divide by its volume. Typical figures: pine 0.45 g/cm3, balsa 0.15 g/cm3.",
    )
    made_volume: float | None = key(
        "volume, mass or length of a finished pattern, before sealing and without core prints; a mass can be used only "
        "if density is given and the pattern is solid throughout",
        VOLUME,
        "0.5 cm3 to 3 m3",
        leaf="made",
        example="214 cm3",
        others=((MASS, "1 g to 20 t"), (LENGTH, "10 mm to 31 m")),
        rare=True,
        varied="without effect",
        title="Finished pattern",
        find=(
            "Sink the sealed pattern in a full bucket and weigh the water that runs over. Or weigh the pattern, or "
            "measure it from end to end."
        ),
    )
    made_mass: float | None = same_key("made", MASS)
    made_length: float | None = same_key("made", LENGTH)


@section("parting", step="pattern", basic="plane", varied="without effect")
class PartingSection:
    """Section [parting], with the plane at which the pattern parts and the dowels or keys that align its halves.
    Lengths are in m, and `draft` is in rad. A `plane` of None means the widest plane. `fit` is measured on the
    diameter.
    """

    plane: Literal["horizontal", "vertical", "none"] | None = key(
        "plane where the pattern parts; default: the widest plane",
        "choice",
        means={
            "horizontal": "upper and lower halves",
            "vertical": "port and starboard halves",
            "none": "the pattern stays in one piece",
        },
        also={
            "horizontal": ("level", "upper lower"),
            "vertical": ("upright", "port starboard"),
            "none": ("one piece", "whole"),
        },
        find="Your choice: if the pattern parts at its widest, it draws from both halves of the mould.",
    )
    offset: float = key(
        "distance of the parting plane from the axis, up or to starboard",
        LENGTH,
        "-1 m to 1 m",
        default="0 mm",
        source=f"{FORMAT}: on the axis, where every section is widest",
        only_with=_PARTED,
        find="Your choice: at 0 the pattern parts through the axis.",
    )
    register: Literal["dowels", "keys", "none"] = key(
        "what aligns the halves: loose dowels in holes, or printed keys",
        "choice",
        default="dowels",
        source="common practice, no source: with dowels, both halves lie flat on a moulding board",
        only_with=_PARTED,
        means={
            "dowels": "loose dowels in holes in both halves",
            "keys": "printed knobs and hollows",
            "none": "nothing",
        },
        also={"dowels": ("dowel", "pins", "pegs"), "keys": ("key", "knobs")},
        find="Your choice: dowels let both halves lie flat on a board.",
    )
    dowel: float | None = key(
        "diameter of the dowels or keys; default: depends on the pattern's size",
        LENGTH,
        "1 mm to 40 mm",
        example="4 mm",
        find="With a caliper, measure the dowel rod that you have.",
    )
    fit: float = key(
        "play of a dowel in its hole, on the diameter",
        LENGTH,
        "0 mm to 3 mm",
        default="0.2 mm",
        source="common practice, no source: a sliding fit as printed",
        find="Print a test piece with holes in steps of 0.1 mm and see which one the dowel slides into.",
    )
    draft: float = key(
        "taper on each side of core prints, keys and formers",
        ANGLE,
        "0 deg to 15 deg",
        default="2 deg",
        source="common practice, no source: 1 to 3 degrees on flat sides",
        find="Your choice: 2 degrees is enough for plaster, 3 for sand.",
    )
    print_length: float | None = key(
        "length of core prints beyond the pattern; default: the depth of the core, but at least 6 mm and at most 40 mm",
        LENGTH,
        "1 mm to 500 mm",
        example="12 mm",
        find="Your choice: a print as long as the core is deep keeps the core from tipping.",
    )


@section(
    "printer",
    step="pattern",
    basic="bed_length bed_width bed_height material layer",
    varied="without effect",
)
class PrinterSection:
    """Section [printer], with the bed and the material. Lengths are in m, `infill` is a fraction, and `pieces` is a
    count along the axis. If `position` or `pieces` is None, the value that gives the fewest pieces is used.
    """

    bed_length: float = _of_printer(
        "length of the printer's bed, the longer side",
        default="220 mm",
        find="Measure the longer side of the area that the printer can actually use.",
    )
    bed_width: float = _of_printer(
        "width of the printer's bed, the shorter side",
        default="220 mm",
        find="Measure the shorter side of the area that the printer can actually use.",
    )
    bed_height: float = _of_printer(
        "maximum height that the printer can print",
        default="250 mm",
        find="Look up the printer's maximum print height.",
    )
    margin: float = key(
        "margin kept clear along the edges of the bed and between pieces",
        LENGTH,
        "0 mm to 100 mm",
        default="5 mm",
        source="common practice, no source: room for a brim",
        find="Choose it to leave room for a brim and for clips.",
    )
    position: Literal["lying", "standing"] | None = key(
        "position of the pieces on the bed: flat face down, or on end; default: whichever needs fewer pieces, "
        "or flat face down if both need the same number",
        "choice",
        means={"lying": "flat face down on the bed", "standing": "on end"},
        also={"lying": ("flat",), "standing": ("upright", "on end")},
        find="Your choice: pieces laid flat need no supports; pieces on end have rounder sections.",
    )
    pieces: float | None = key(
        "number of pieces along the axis; default: as few as the bed allows",
        "number",
        "1 to 40",
        example="2",
        whole=(
            "{line}",
            "a whole number of pieces",
            "Write pieces = {round}, or omit it to get as few as the bed allows.",
        ),
        find="Set it to get more and shorter pieces than the bed requires.",
    )
    material: str = key(
        "material used for printing",
        "choice",
        choices=PRINTED_MATERIALS,
        default="PLA",
        source="common practice, no source: the most common filament",
        means={
            "PLA": "the most common filament, soft from about 55 C",
            "PETG": "a little tougher, and softens at a higher temperature",
            "ABS": "resists more heat, but warps",
            "ASA": "much like ABS",
            "printing resin": "cured by light in a vat",
        },
        also={"PLA": ("pla+",), "printing resin": ("resin", "sla", "photopolymer")},
        find="Look at the spool or the bottle.",
    )
    layer: float = key(
        "height of a printed layer",
        LENGTH,
        "0.01 mm to 2 mm",
        default="0.2 mm",
        source=COMMON,
        find="Look in the slicer profile.",
    )
    shell: float = key(
        "solid thickness under every face",
        LENGTH,
        "0.1 mm to 50 mm",
        default="1.2 mm",
        source="common practice, no source: three lines of 0.4 mm",
        find="Look in the slicer profile: multiply the number of walls by their width.",
    )
    infill: float = key(
        "fraction of the inside that is printed",
        RATIO,
        "0 % to 100 %",
        default="20 %",
        source=COMMON,
        find="Look in the slicer profile.",
    )
    smallest_wall: float = key(
        "thinnest wall that prints reliably",
        LENGTH,
        "0.05 mm to 20 mm",
        default="0.8 mm",
        source="common practice, no source: two lines of 0.4 mm",
        find="Print a wedge and measure its thickness where the print ends. Expect about twice the nozzle diameter.",
    )


@section("frame", step="mould", basic="kind", varied="without effect")
class FrameSection:
    """Section [frame], the box round the half pattern while the mould is made. Lengths are in m, and `sprue_at` is
    measured from the nose."""

    kind: Literal["boards", "printed"] = key(
        "kind of frame: boards screwed together, or one printed ring for each half",
        "choice",
        default="boards",
        source=FORMAT,
        means={"boards": "boards screwed together", "printed": "one printed ring for each half"},
        also={"boards": ("board", "wood", "wooden", "plywood"), "printed": ("print", "ring")},
        find="Choose it to suit what you have: boards or a printer.",
    )
    wall: float | None = key(
        "thickness of mould material round the pattern; default: as in [mould], otherwise 30 mm, or 75 mm from 40 kg up",
        LENGTH,
        "5 mm to 500 mm",
        example="30 mm",
        find="Choose a value, or omit it for the default thickness, which depends on the mass.",
    )
    floor: float | None = key(
        "thickness of mould material above and below the pattern; default: as in [mould], otherwise a quarter more "
        "than the wall",
        LENGTH,
        "5 mm to 800 mm",
        example="40 mm",
        find="Choose a value, or omit it for the default thickness, which depends on the mass.",
    )
    board: float | None = key(
        "thickness of the frame; default: depends on its size",
        LENGTH,
        "1 mm to 100 mm",
        example="12 mm",
        find="Measure the board with a caliper.",
    )
    key_diameter: float | None = key(
        "diameter of the round buttons that key the halves of the mould; default: depends on the wall",
        LENGTH,
        "4 mm to 100 mm",
        example="14 mm",
        find="Choose a value, or measure the buttons or marbles that you have.",
    )
    sprue_diameter: float | None = key(
        "diameter of the sprue at its foot; default: from the gating, or set by the mass",
        LENGTH,
        "3 mm to 300 mm",
        example="18 mm",
        find="Choose a value, or omit it to use the figure from the gating.",
    )
    sprue_at: float | None = key(
        "distance of the sprue aft of the nose; default: from the gating, or at the largest section",
        LENGTH,
        "-1 m to 30 m",
        example="96 mm",
        title="Position of the sprue",
        find="Choose a value, measured aft from the nose, or omit it to use the figure from the gating.",
    )
    vent_diameter: float | None = key(
        "diameter of the vents; default: from the gating, or set by the mass",
        LENGTH,
        "1 mm to 100 mm",
        example="4 mm",
        find="Choose a value, or omit it to use the figure from the gating.",
    )


@section("templates", step="pattern", basic="paper spacing", varied="without effect")
class TemplatesSection:
    """Section [templates], with the paper and the spacing of stations and turning rows. Lengths are in m. A spacing of
    None is set by the size of the pattern, and a `paper` of None by the display units."""

    paper: Literal["A4", "A3", "letter"] | None = key(
        "size of the sheets; default: A4, or letter with imperial units",
        "choice",
        means={"A4": "210 by 297 mm", "A3": "297 by 420 mm", "letter": "8 1/2 by 11 in"},
        also={"letter": ("us letter", "ansi a")},
        find="Look in the printer's paper tray.",
    )
    spacing: float | None = key(
        "distance between station templates; default: about ten in the pattern's length",
        LENGTH,
        "1 mm to 2 m",
        example="25 mm",
        find="Your choice: closer stations give a more accurate shape but more cutting.",
    )
    turning_spacing: float | None = key(
        "distance between rows of the turning table; default: about thirty rows",
        LENGTH,
        "0.5 mm to 2 m",
        example="10 mm",
        find="Choose it according to how often you want to set the tool.",
    )


@section("ribs", step="pattern", basic="count skin plate_thickness", varied="without effect")
class RibsSection:
    """Section [ribs], for a built-up fin and rudder. Lengths are in m, `count` is a whole number, and `plate_at` a
    fraction of the chord. Without `plate_thickness` there is no centre plate; without `plate_width` it covers the
    entire chord.
    """

    count: float = key(
        "number of ribs from root to tip, including both",
        "number",
        "2 to 60",
        default="5",
        source=COMMON,
        whole=("{typed}", "a whole number of ribs", "Set count = {round}."),
        find="Your choice: closer ribs keep thin planking closer to the true shape.",
    )
    skin: float = key(
        "thickness of planking or laminate over the ribs",
        LENGTH,
        "0 mm to 50 mm",
        example="1 mm",
        default="0 mm",
        source=f"{FORMAT}: the ribs have the full section of the foil",
        find="Measure the planking, or a cured offcut of the laminate, with a caliper.",
    )
    plate_thickness: float | None = key(
        "thickness of a centre plate; default: no plate",
        LENGTH,
        "0.1 mm to 100 mm",
        example="2 mm",
        find="Measure the plate's thickness with a caliper.",
    )
    plate_width: float | None = key(
        "width of the centre plate, fore and aft; default: the entire chord, with half ribs",
        LENGTH,
        "1 mm to 5 m",
        example="25 mm",
        only_with=_PLATE,
        find="Measure across the plate, fore and aft.",
    )
    plate_at: float = key(
        "middle of the centre plate, as a fraction of the chord",
        "number",
        "above 0 and below 1",
        default="0.3",
        source=f"{FORMAT}: where the four-digit section is thickest",
        only_with=_PLATE,
        title="Position of the plate",
        find="Measure from the leading edge to the plate's middle and divide by the chord.",
    )
