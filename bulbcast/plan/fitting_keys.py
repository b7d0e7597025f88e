"""Keys of the fastenings besides screws: how the fin's blade ends, [[cross_pins]], [[studs]].

A part of the table of keys; ranges and defaults are written as a builder types them.
"""

from __future__ import annotations

from bulbcast.plan.key import FORMAT, choice, quantity
from bulbcast.quantities import Dimension

_L, _DENSITY = Dimension.LENGTH, Dimension.DENSITY
_STEEL = ("8.0 g/cm3", "stainless steel of the austenitic kinds, 7.9 to 8.0 g/cm3; from memory")
_SOLID = ("50 kg/m3", "25000 kg/m3")

JOINT_KEYS = (
    choice(
        "fin.joint",
        ("pocket", "through"),
        "whether the blade ends in a pocket, or goes right through a bulb of two halves; left out: in a pocket",
    ),
    quantity("fin.bond_line", _L, "0 mm", "5 mm", "0.2 mm", "filler between two halves bonded on a blade"),
)

CROSS_PIN_KEYS = (
    quantity("cross_pins.at", _L, "-10 m", "10 m", "25 mm", "aft of the tip's leading edge", required=True),
    quantity(
        "cross_pins.height", _L, "0 mm", "5 m", "4 mm", "of its middle above the pocket floor", required=True
    ),
    quantity("cross_pins.diameter", _L, "0.5 mm", "200 mm", "3 mm", "of the pin", required=True),
    quantity(
        "cross_pins.hole_diameter", _L, "0.5 mm", "200 mm", "3.2 mm", "in the lead; left out: the pin's own"
    ),
    quantity("cross_pins.length", _L, "1 mm", "10 m", "30 mm", "half of it to each side", required=True),
    quantity(
        "cross_pins.density",
        _DENSITY,
        *_SOLID,
        "8.0 g/cm3",
        "of the pin",
        default=_STEEL[0],
        source=_STEEL[1],
    ),
)

STUD_KEYS = (
    quantity("studs.at", _L, "-10 m", "10 m", "25 mm", "aft of the tip's leading edge", required=True),
    quantity("studs.diameter", _L, "0.5 mm", "500 mm", "6 mm", "outside", required=True),
    quantity(
        "studs.bore",
        _L,
        "0 mm",
        "500 mm",
        "4.2 mm",
        "of a tube, inside",
        default="0 mm",
        source=f"{FORMAT}: a solid stud",
    ),
    quantity(
        "studs.below", _L, "0 mm", "10 m", "24 mm", "down into the lead from the pocket floor", required=True
    ),
    quantity(
        "studs.above", _L, "0 mm", "10 m", "20 mm", "up into the fin from the pocket floor", required=True
    ),
    quantity(
        "studs.density", _DENSITY, *_SOLID, "8.0 g/cm3", "of its metal", default=_STEEL[0], source=_STEEL[1]
    ),
    quantity(
        "studs.fill_density",
        _DENSITY,
        "0 kg/m3",
        "25000 kg/m3",
        "8.0 g/cm3",
        "of what fills the bore; left out: the filler's",
    ),
)
