"""[pattern], [parting], [printer], [frame], [templates] and [ribs].

SI and frozen; None means "not given". Nothing is calculated here: a default that depends on another figure stays None
and is set by the room that owns the rule, which also reports it.
"""

from __future__ import annotations

from functools import partial
from typing import Literal

from bulbcast.plan.agreement import DefaultWith, OnlyWith
from bulbcast.plan.declare import key, same_key, section
from bulbcast.plan.key import ANGLE, COMMON, DENSITY, FORMAT, LENGTH, MASS, RATIO, VOLUME

PRINTED_MATERIALS = ("PLA", "PETG", "ABS", "ASA", "printing resin")
"""Materials that a printer uses, as materials/patterns.toml names them."""


_PARTED = OnlyWith(
    {"plane": ("horizontal", "vertical")},
    ("none",),
    read='{line} with plane = "none"',
    expected="{leaf} only where the pattern parts",
    remedy="Take {leaf} out, or choose a plane.",
)
_PLATE = OnlyWith(
    "plate_thickness",
    read="{leaf} without plate_thickness",
    expected="the centre plate's thickness with it, or neither",
    remedy='Add plate_thickness = "2 mm", say, or take {leaf} out.',
)
_SMALL_PRINTER = "common practice, no source: a small home printer"
_of_printer = partial(key, written=LENGTH, within="40 mm to 3 m", source=_SMALL_PRINTER)


@section("pattern", step="pattern")
class PatternSection:
    """[pattern]: fractions and m. `contraction` and `finish` None: the alloy's, and by diameter. `density` (kg/m3) of the
    pattern's own material, None: several usual ones are shown. For a pattern that is made already, one of
    `made_volume` (m3), `made_mass` (kg), `made_length`."""

    contraction: float | None = key(
        "linear; left out: the alloy's own",
        RATIO,
        "0 % to 4 %",
        example="0.98 %",
        find=(
            "Cast a bar in a mould of known length and measure the cold bar: the difference over the bar's length. Left "
            "out, the alloy's own is used."
        ),
        spread="0.35 %",
        spread_source="judgement: free contraction, and what the mould holds back of it",
    )
    mould_expansion: float = key(
        "net growth of the cavity from pattern to pour",
        RATIO,
        "-1 % to 1 %",
        default="-0.05 %",
        source="judgement: baked plaster, the side that casts heavy, until [mould] says which",
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
                "judgement: plaster dried in air grows on setting; spread 0.20 %",
            ),
            DefaultWith({"mould.drying": "baked"}, "-0.05 %", "judgement: baked plaster; spread 0.20 %"),
            DefaultWith(
                "mould",
                "-0.05 %",
                "judgement: baked plaster, the side that casts heavy, until [mould] drying says which",
            ),
        ),
        find=(
            "Measure the pattern, and the dry cavity it left, with an inside caliper: the growth over "
            "the pattern's length."
        ),
        spread="0.20 %",
        spread_source="judgement",
    )
    finish: float | None = key(
        "filed off all over; left out: 0.5 % of the diameter, 0.1 to 0.5 mm",
        LENGTH,
        "0 mm to 20 mm",
        example="0.3 mm",
        find="Choose how much will be filed and scraped off the casting: 0.1 to 0.5 mm a side.",
        spread="30 % of it",
        spread_source="judgement: how evenly a file takes off what was planned",
    )
    coat: float = key(
        "sealer on the pattern",
        LENGTH,
        "0 mm to 5 mm",
        default="0.1 mm",
        source="judgement",
        find="Caliper a scrap before and after it is sealed as the pattern is; half the difference.",
        spread="30 % of it",
        spread_source="judgement",
    )
    made_by: Literal["printed", "turned", "carved"] = key(
        "how the pattern is made: its error follows",
        "choice",
        default="printed",
        source=f"{FORMAT}: the bundle holds the solid to print",
        means={
            "printed": "on a home printer; each face off by 0.2 mm, all lengths by 0.1 %",
            "turned": "on a lathe by the turning table; 0.1 mm and 0.05 %",
            "carved": "by hand to the templates; 0.4 mm and 0.2 %",
        },
        also={"printed": ("print", "3d printed"), "turned": ("lathe",), "carved": ("by hand", "planed")},
        rare=True,
        varied="without effect",
        find="Choose it: the more accurately it is made, the less has to be drilled.",
    )
    error: float | None = key(
        "standard deviation of each face of the finished pattern; left out: by the way it is made",
        LENGTH,
        "0 mm to 20 mm",
        example="0.1 mm",
        rare=True,
        varied="without effect",
        title="Error of the pattern",
        find=(
            "Caliper the finished pattern across at five places: half of what the readings differ from the "
            "plan, taken together."
        ),
    )
    chord_error: float = key(
        "largest gap between a facet and the true surface",
        LENGTH,
        "0.0005 mm to 2 mm",
        default="0.02 mm",
        source="judgement: finer than a printer's layer",
        varied="without effect",
        find="Choose how smooth the solid is to be: 0.02 mm cannot be felt on a print.",
    )
    density: float | None = key(
        "of the pattern's own material",
        DENSITY,
        "50 kg/m3 to 25000 kg/m3",
        example="0.45 g/cm3",
        varied="without effect",
        find="Weigh an offcut and divide by its volume; pine 0.45, balsa 0.15 g/cm3.",
    )
    made_volume: float | None = key(
        "a finished pattern by its volume, its mass or its length, before its coat and without core prints; "
        "a mass needs density, and is that of a pattern that is solid right through",
        VOLUME,
        "0.5 cm3 to 3 m3",
        leaf="made",
        example="214 cm3",
        others=((MASS, "1 g to 20 t"), (LENGTH, "10 mm to 31 m")),
        rare=True,
        varied="without effect",
        title="Finished pattern",
        find=(
            "Sink the sealed pattern in a full bucket and weigh what runs over; or weigh it, or rule "
            "it from end to end."
        ),
    )
    made_mass: float | None = same_key("made", MASS)
    made_length: float | None = same_key("made", LENGTH)


@section("parting", step="pattern", basic="plane", varied="without effect")
class PartingSection:
    """[parting]: where the pattern parts and what brings the halves together. Lengths m, `draft` rad.

    `plane` None: at the widest. `fit` is on the diameter.
    """

    plane: Literal["horizontal", "vertical", "none"] | None = key(
        "where the pattern parts; left out: at its widest",
        "choice",
        means={
            "horizontal": "upper and lower half",
            "vertical": "port and starboard half",
            "none": "the pattern stays in one piece",
        },
        also={
            "horizontal": ("level", "upper lower"),
            "vertical": ("upright", "port starboard"),
            "none": ("one piece", "whole"),
        },
        find="Choose it: at the widest the pattern draws from both halves.",
    )
    offset: float = key(
        "of the plane from the axis, up or to starboard",
        LENGTH,
        "-1 m to 1 m",
        default="0 mm",
        source=f"{FORMAT}: on the axis, where every section is widest",
        only_with=_PARTED,
        find="Choose it: 0 parts through the axis.",
    )
    register: Literal["dowels", "keys", "none"] = key(
        "what brings the halves together: loose dowels in holes, or printed keys",
        "choice",
        default="dowels",
        source="common practice, no source: both halves then lie flat on a moulding board",
        only_with=_PARTED,
        means={
            "dowels": "loose dowels in holes of both halves",
            "keys": "printed knobs and hollows",
            "none": "nothing",
        },
        also={"dowels": ("dowel", "pins", "pegs"), "keys": ("key", "knobs")},
        find="Choose it: dowels let both halves lie flat on a board.",
    )
    dowel: float | None = key(
        "diameter of the dowels or keys; left out: by the pattern's size",
        LENGTH,
        "1 mm to 40 mm",
        example="4 mm",
        find="Caliper the dowel rod that you have.",
    )
    fit: float = key(
        "play of a dowel in its hole, on the diameter",
        LENGTH,
        "0 mm to 3 mm",
        default="0.2 mm",
        source="common practice, no source: a sliding fit as printed",
        find="Print a test piece with holes 0.1 mm apart and see which one the dowel slides in.",
    )
    draft: float = key(
        "taper of core prints, keys and formers on each side",
        ANGLE,
        "0 deg to 15 deg",
        default="2 deg",
        source="common practice, no source: 1 to 3 degrees on flat sides",
        find="Choose it: 2 degrees draws from plaster, 3 from sand.",
    )
    print_length: float | None = key(
        "how far core prints stand out; left out: as deep as the core, 6 to 40 mm",
        LENGTH,
        "1 mm to 500 mm",
        example="12 mm",
        find="Choose it: as long as the core is deep keeps it from tipping.",
    )


@section(
    "printer",
    step="pattern",
    basic="bed_length bed_width bed_height material layer",
    varied="without effect",
)
class PrinterSection:
    """[printer]: bed and material. Lengths m, `infill` a fraction, `pieces` a count along the axis.

    `position` and `pieces` None: whatever the bed allows with the fewest pieces.
    """

    bed_length: float = _of_printer(
        "of the bed, the larger side",
        default="220 mm",
        find="Measure the longer side that it really prints on.",
    )
    bed_width: float = _of_printer(
        "of the bed, the other side",
        default="220 mm",
        find="Measure the other side that it really prints on.",
    )
    bed_height: float = _of_printer(
        "how high it prints",
        default="250 mm",
        find="Look up how high it prints.",
    )
    margin: float = key(
        "kept clear along the edges of the bed and between pieces",
        LENGTH,
        "0 mm to 100 mm",
        default="5 mm",
        source="common practice, no source: room for a brim",
        find="Choose room for a brim and for clips.",
    )
    position: Literal["lying", "standing"] | None = key(
        "flat face down, or on end; left out: whichever needs fewer pieces, lying if equal",
        "choice",
        means={"lying": "flat face down on the bed", "standing": "on end"},
        also={"lying": ("flat",), "standing": ("upright", "on end")},
        find="Choose it: lying needs no supports, standing shows rounder sections.",
    )
    pieces: float | None = key(
        "along the axis; left out: as few as the bed allows",
        "number",
        "1 to 40",
        example="2",
        whole=(
            "{line}",
            "a whole number of pieces",
            "Write pieces = {round}, or leave it out for as few as the bed allows.",
        ),
        find="Choose it where fewer would fit the bed but you want shorter ones.",
    )
    material: str = key(
        "what it is printed in",
        "choice",
        choices=PRINTED_MATERIALS,
        default="PLA",
        source="common practice, no source: the usual filament",
        means={
            "PLA": "the usual filament, soft from about 55 C",
            "PETG": "a little tougher and warmer",
            "ABS": "stands more heat, warps",
            "ASA": "as ABS",
            "printing resin": "cured by light in a vat",
        },
        also={"PLA": ("pla+",), "printing resin": ("resin", "sla", "photopolymer")},
        find="Look at the spool or the bottle.",
    )
    layer: float = key(
        "height of a layer",
        LENGTH,
        "0.01 mm to 2 mm",
        default="0.2 mm",
        source=COMMON,
        find="Look in the slicer's profile.",
    )
    shell: float = key(
        "solid thickness under every face",
        LENGTH,
        "0.1 mm to 50 mm",
        default="1.2 mm",
        source="common practice, no source: three lines of 0.4 mm",
        find="Look in the slicer's profile: walls times their width.",
    )
    infill: float = key(
        "of the inside that is printed",
        RATIO,
        "0 % to 100 %",
        default="20 %",
        source=COMMON,
        find="Look in the slicer's profile.",
    )
    smallest_wall: float = key(
        "thinner than this it does not print soundly",
        LENGTH,
        "0.05 mm to 20 mm",
        default="0.8 mm",
        source="common practice, no source: two lines of 0.4 mm",
        find="Print a wedge and see where it ends: about twice the nozzle.",
    )


@section("frame", step="mould", basic="kind", varied="without effect")
class FrameSection:
    """[frame]: the box round the half pattern while the mould is made. Lengths m, `sprue_at` from the nose."""

    kind: Literal["boards", "printed"] = key(
        "screwed up of boards, or printed in one ring for each half",
        "choice",
        default="boards",
        source=FORMAT,
        means={"boards": "screwed up of boards", "printed": "one printed ring for each half"},
        also={"boards": ("board", "wood", "wooden", "plywood"), "printed": ("print", "ring")},
        find="Choose it by what you have, boards or a printer.",
    )
    wall: float | None = key(
        "mould material round the pattern; left out: the mould's, or 30 mm, 75 mm from 40 kg up",
        LENGTH,
        "5 mm to 500 mm",
        example="30 mm",
        find="Choose it, or leave it out for what is usual at that mass.",
    )
    floor: float | None = key(
        "mould material above and below the pattern; left out: the mould's, or a quarter more than the wall",
        LENGTH,
        "5 mm to 800 mm",
        example="40 mm",
        find="Choose it, or leave it out for what is usual at that mass.",
    )
    board: float | None = key(
        "thickness of the frame; left out: by its size",
        LENGTH,
        "1 mm to 100 mm",
        example="12 mm",
        find="Caliper the board.",
    )
    key_diameter: float | None = key(
        "of the round buttons that key the halves of the mould; left out: by the wall",
        LENGTH,
        "4 mm to 100 mm",
        example="14 mm",
        find="Choose it, or measure the buttons or marbles that you have.",
    )
    sprue_diameter: float | None = key(
        "at its foot; left out: the gating, or by mass",
        LENGTH,
        "3 mm to 300 mm",
        example="18 mm",
        find="Choose it, or leave it to the gating.",
    )
    sprue_at: float | None = key(
        "aft of the nose; left out: the gating, or at the largest section",
        LENGTH,
        "-1 m to 30 m",
        example="96 mm",
        title="Place of the sprue",
        find="Choose it, or leave it to the gating; measured aft from the nose.",
    )
    vent_diameter: float | None = key(
        "left out: the gating, or by mass",
        LENGTH,
        "1 mm to 100 mm",
        example="4 mm",
        find="Choose it, or leave it to the gating.",
    )


@section("templates", step="pattern", basic="paper spacing", varied="without effect")
class TemplatesSection:
    """[templates]: the paper, and how far apart stations stand. Lengths m, None: settled by size."""

    paper: Literal["A4", "A3", "letter"] | None = key(
        "size of the sheets; left out: A4, or letter in imperial units",
        "choice",
        means={"A4": "210 by 297 mm", "A3": "297 by 420 mm", "letter": "8 1/2 by 11 in"},
        also={"letter": ("us letter", "ansi a")},
        find="Look into the printer's tray.",
    )
    spacing: float | None = key(
        "between station templates; left out: about ten in the pattern's length",
        LENGTH,
        "1 mm to 2 m",
        example="25 mm",
        find="Choose it: closer stations make a truer shape and more cutting.",
    )
    turning_spacing: float | None = key(
        "between lines of the turning table; left out: about thirty",
        LENGTH,
        "0.5 mm to 2 m",
        example="10 mm",
        find="Choose it by how often you want to set the tool.",
    )


@section("ribs", step="pattern", basic="count skin plate_thickness", varied="without effect")
class RibsSection:
    """[ribs]: how fin and rudder are built up. Lengths m; `count` is a whole number, `plate_at` a fraction of
    the chord; without `plate_thickness` there is no centre plate, without `plate_width` it takes the whole chord.
    """

    count: float = key(
        "ribs from root to tip, both among them",
        "number",
        "2 to 60",
        default="5",
        source=COMMON,
        whole=("{typed}", "a whole number of ribs", "Set count = {round}."),
        find="Choose it: closer ribs hold thin planking truer.",
    )
    skin: float = key(
        "thickness of planking or laminate over the ribs",
        LENGTH,
        "0 mm to 50 mm",
        example="1 mm",
        default="0 mm",
        source=f"{FORMAT}: the ribs are the foil's own sections",
        find="Caliper the planking, or a cured offcut of the laminate.",
    )
    plate_thickness: float | None = key(
        "of a centre plate; left out: none",
        LENGTH,
        "0.1 mm to 100 mm",
        example="2 mm",
        find="Caliper the plate.",
    )
    plate_width: float | None = key(
        "of the centre plate, fore and aft; left out: the whole chord, with half ribs",
        LENGTH,
        "1 mm to 5 m",
        example="25 mm",
        only_with=_PLATE,
        find="Rule across the plate, fore and aft.",
    )
    plate_at: float = key(
        "middle of the centre plate, as a fraction of the chord",
        "number",
        "above 0 and below 1",
        default="0.3",
        source=f"{FORMAT}: where the four-digit section is thickest",
        only_with=_PLATE,
        title="Place of the plate",
        find="Measure from the leading edge to the plate's middle and divide by the chord.",
    )
