"""Keys of the templates at full size, [templates], and of the ribs of fin and rudder, [ribs].

A part of the table of keys; ranges and defaults are written as a builder types them.
"""

from __future__ import annotations

from bulbcast.plan.key import COMMON, FORMAT, Key, choice, number, quantity
from bulbcast.quantities import Dimension

_L = Dimension.LENGTH

PAPER_NAMES = ("A4", "A3", "letter")

TEMPLATE_KEYS: tuple[Key, ...] = (
    choice("templates.paper", PAPER_NAMES, "size of the sheets; left out: A4, or letter in imperial units"),
    quantity(
        "templates.spacing",
        _L,
        "1 mm",
        "2 m",
        "25 mm",
        "between station templates; left out: about ten in the pattern's length",
    ),
    quantity(
        "templates.turning_spacing",
        _L,
        "0.5 mm",
        "2 m",
        "10 mm",
        "between lines of the turning table; left out: about thirty",
    ),
)

RIB_KEYS: tuple[Key, ...] = (
    number(
        "ribs.count",
        "2",
        "60",
        "5",
        "ribs from root to tip, both among them",
        default="5",
        source=COMMON,
    ),
    quantity(
        "ribs.skin",
        _L,
        "0 mm",
        "50 mm",
        "1 mm",
        "thickness of planking or laminate over the ribs",
        default="0 mm",
        source=f"{FORMAT}: the ribs are the foil's own sections",
    ),
    quantity("ribs.plate_thickness", _L, "0.1 mm", "100 mm", "2 mm", "of a centre plate; left out: none"),
    quantity(
        "ribs.plate_width",
        _L,
        "1 mm",
        "5 m",
        "25 mm",
        "of the centre plate, fore and aft; left out: the whole chord, with half ribs",
    ),
    number(
        "ribs.plate_at",
        "0",
        "1",
        "0.3",
        "middle of the centre plate, as a fraction of the chord",
        above=True,
        below=True,
        default="0.3",
        source=f"{FORMAT}: where the four-digit section is thickest",
    ),
)
