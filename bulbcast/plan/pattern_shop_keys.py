"""Keys of the pattern shop: [parting], [printer] and [frame].

A part of the table of keys; ranges and defaults are written as a builder types them.
"""

from __future__ import annotations

from bulbcast.plan.key import COMMON, FORMAT, Key, choice, number, quantity
from bulbcast.quantities import Dimension

_L, _R, _ANGLE = Dimension.LENGTH, Dimension.RATIO, Dimension.ANGLE

PRINTED_MATERIALS = ("PLA", "PETG", "ABS", "ASA", "printing resin")
"""Materials that a printer takes, as materials/patterns.toml names them."""

PARTING_KEYS: tuple[Key, ...] = (
    choice(
        "parting.plane",
        ("horizontal", "vertical", "none"),
        "where the pattern parts; left out: at its widest",
    ),
    quantity(
        "parting.offset",
        _L,
        "-1 m",
        "1 m",
        "0 mm",
        "of the plane from the axis, up or to starboard",
        default="0 mm",
        source=f"{FORMAT}: on the axis, where every section is widest",
    ),
    choice(
        "parting.register",
        ("dowels", "keys", "none"),
        "what brings the halves together: loose dowels in holes, or printed keys",
        default="dowels",
        source=f"{COMMON}: both halves then lie flat on a moulding board",
    ),
    quantity(
        "parting.dowel",
        _L,
        "1 mm",
        "40 mm",
        "4 mm",
        "diameter of the dowels or keys; left out: by the pattern's size",
    ),
    quantity(
        "parting.fit",
        _L,
        "0 mm",
        "3 mm",
        "0.2 mm",
        "play of a dowel in its hole, on the diameter",
        default="0.2 mm",
        source=f"{COMMON}: a sliding fit as printed",
    ),
    quantity(
        "parting.draft",
        _ANGLE,
        "0 deg",
        "15 deg",
        "2 deg",
        "taper of core prints, keys and formers on each side",
        default="2 deg",
        source=f"{COMMON}: 1 to 3 degrees on flat sides",
    ),
    quantity(
        "parting.print_length",
        _L,
        "1 mm",
        "500 mm",
        "12 mm",
        "how far core prints stand out; left out: as deep as the core, 6 to 40 mm",
    ),
)

PRINTER_KEYS: tuple[Key, ...] = (
    quantity(
        "printer.bed_length",
        _L,
        "40 mm",
        "3 m",
        "220 mm",
        "of the bed, the larger side",
        default="220 mm",
        source=f"{COMMON}: a small home printer",
    ),
    quantity(
        "printer.bed_width",
        _L,
        "40 mm",
        "3 m",
        "220 mm",
        "of the bed, the other side",
        default="220 mm",
        source=f"{COMMON}: a small home printer",
    ),
    quantity(
        "printer.bed_height",
        _L,
        "40 mm",
        "3 m",
        "250 mm",
        "how high it prints",
        default="250 mm",
        source=f"{COMMON}: a small home printer",
    ),
    quantity(
        "printer.margin",
        _L,
        "0 mm",
        "100 mm",
        "5 mm",
        "kept clear along the edges of the bed and between pieces",
        default="5 mm",
        source=f"{COMMON}: room for a brim",
    ),
    choice(
        "printer.position",
        ("lying", "standing"),
        "flat face down, or on end; left out: whichever needs fewer pieces, lying if equal",
    ),
    number("printer.pieces", "1", "40", "2", "along the axis; left out: as few as the bed allows"),
    choice(
        "printer.material",
        PRINTED_MATERIALS,
        "what it is printed in",
        default="PLA",
        source=f"{COMMON}: the usual filament",
    ),
    quantity(
        "printer.layer",
        _L,
        "0.01 mm",
        "2 mm",
        "0.2 mm",
        "height of a layer",
        default="0.2 mm",
        source=COMMON,
    ),
    quantity(
        "printer.shell",
        _L,
        "0.1 mm",
        "50 mm",
        "1.2 mm",
        "solid thickness under every face",
        default="1.2 mm",
        source=f"{COMMON}: three lines of 0.4 mm",
    ),
    quantity(
        "printer.infill",
        _R,
        "0 %",
        "100 %",
        "20 %",
        "of the inside that is printed",
        default="20 %",
        source=COMMON,
    ),
    quantity(
        "printer.smallest_wall",
        _L,
        "0.05 mm",
        "20 mm",
        "0.8 mm",
        "thinner than this it does not print soundly",
        default="0.8 mm",
        source=f"{COMMON}: two lines of 0.4 mm",
    ),
)

FRAME_KEYS: tuple[Key, ...] = (
    choice(
        "frame.kind",
        ("boards", "printed"),
        "screwed up of boards, or printed in one ring for each half",
        default="boards",
        source=FORMAT,
    ),
    quantity(
        "frame.wall",
        _L,
        "5 mm",
        "500 mm",
        "30 mm",
        "mould material round the pattern; left out: the mould's, or 30 mm, 75 mm from 40 kg up",
    ),
    quantity(
        "frame.floor",
        _L,
        "5 mm",
        "800 mm",
        "40 mm",
        "mould material above and below the pattern; left out: the mould's, or a quarter more than the wall",
    ),
    quantity("frame.board", _L, "1 mm", "100 mm", "12 mm", "thickness of the frame; left out: by its size"),
    quantity(
        "frame.key_diameter",
        _L,
        "4 mm",
        "100 mm",
        "14 mm",
        "of the round buttons that key the halves of the mould; left out: by the wall",
    ),
    quantity(
        "frame.sprue_diameter", _L, "3 mm", "300 mm", "18 mm", "at its foot; left out: the gating, or by mass"
    ),
    quantity(
        "frame.sprue_at",
        _L,
        "-1 m",
        "30 m",
        "96 mm",
        "aft of the nose; left out: the gating, or at the largest section",
    ),
    quantity("frame.vent_diameter", _L, "1 mm", "100 mm", "4 mm", "left out: the gating, or by mass"),
)

PATTERN_SHOP_KEYS = (*PARTING_KEYS, *PRINTER_KEYS, *FRAME_KEYS)
