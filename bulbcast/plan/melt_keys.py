"""Keys of the melt and the pour: [[scrap]], [pot], [burner], [pour].

A part of the table of keys; ranges and defaults are written as a builder types them.
"""

from __future__ import annotations

from dataclasses import replace

from bulbcast.plan.key import COMMON, FORMAT, Key, Kind, Range, choice, number, quantity
from bulbcast.quantities import Dimension

_L, _M, _R, _DENSITY = Dimension.LENGTH, Dimension.MASS, Dimension.RATIO, Dimension.DENSITY
_T = Dimension.TEMPERATURE

SCRAP_KINDS = (
    "ingot",
    "sheet",
    "pipe",
    "cable-sheath",
    "wheel-weights",
    "wheel-weights-unsorted",
    "stick-on-weights",
    "shot",
    "magnum-shot",
    "linotype",
    "solder",
    "unknown",
    "battery",
)
"""Words for a lot; "battery" is taken only to be refused with its reason."""
POT_MATERIALS = ("cast-iron", "steel", "stainless", "aluminium", "thin-can")
"""The last two are taken only to be refused with their reason."""
ACCEPT_UNKNOWN = "I accept the alloy with its spread"
"""What has to be typed before lead that nobody has weighed is poured."""

SCRAP_KEYS = (
    replace(
        choice("scrap.kind", SCRAP_KINDS, "what the heap is; unknown is a legal answer"),
        required=True,
        example='"sheet"',
    ),
    Key(name="scrap.name", kind=Kind.TEXT, about="what the sheets call it", example='"roof offcuts"'),
    quantity("scrap.gross", _M, "0 g", "20 t", "3.2 kg", "as it lies there", above=True, required=True),
    quantity("scrap.gross_spread", _M, "0 g", "1 t", "50 g", "standard deviation; left out: 2 % of it"),
    replace(
        quantity("scrap.yield", _R, "0 %", "100 %", "96 %", "clean metal of it; or unknown", above=True),
        unknown=True,
    ),
    quantity("scrap.yield_spread", _R, "0 %", "50 %", "2 %", "standard deviation; left out: the kind's own"),
    replace(
        quantity(
            "scrap.density", _DENSITY, "8 g/cm3", "11.6 g/cm3", "11.1 g/cm3", "of its metal; or unknown"
        ),
        unknown=True,
    ),
    quantity(
        "scrap.density_spread",
        _DENSITY,
        "0 g/cm3",
        "2 g/cm3",
        "0.05 g/cm3",
        "standard deviation; left out: 0.5 % of the density",
    ),
    Key(
        name="scrap.composition",
        kind=Kind.TABLE,
        about="parts per hundred by mass; or unknown",
        example="{Pb = 97, Sb = 3}",
        unknown=True,
    ),
    Key(
        name="scrap.weighed",
        kind=Kind.TABLE,
        about="a piece of it, weighed dry and in fresh water; or unknown",
        example='{in_air = "512.0 g", in_water = "466.4 g"}',
        unknown=True,
    ),
    choice("scrap.condition", ("dry", "wet", "closed"), "wet and closed (hollow, sealed) are refused"),
)

SCRAP_WEIGHED_KEYS = (
    quantity(
        "scrap.weighed.in_air",
        _M,
        "0 g",
        "1 t",
        "512.0 g",
        "the piece on the scale",
        above=True,
        required=True,
    ),
    quantity(
        "scrap.weighed.in_water",
        _M,
        "0 g",
        "1 t",
        "466.4 g",
        "hung on a thread, wholly under fresh water",
        above=True,
        required=True,
    ),
    quantity(
        "scrap.weighed.water_temperature",
        _T,
        "0 C",
        "40 C",
        "20 C",
        "of that water",
        default="20 C",
        source=f"{FORMAT}: a room's temperature",
    ),
    quantity(
        "scrap.weighed.sample_porosity",
        _R,
        "0 %",
        "10 %",
        "0.5 %",
        "voids in the piece",
        default="0 %",
        source=f"{FORMAT}: the piece is taken as sound metal",
    ),
    quantity(
        "scrap.weighed.reading_spread",
        _M,
        "0 g",
        "1 kg",
        "0.5 g",
        "standard deviation of one reading of the scale",
        default="0.5 g",
        source="judgement: a kitchen scale that shows whole grams",
    ),
)

POT_KEYS = (
    Key(
        name="pot.capacity",
        kind=Kind.QUANTITY,
        about="brim-full; or the mass of lead that its maker gives",
        example='"1.2 l"',
        dimensions=(Dimension.VOLUME, _M),
        ranges=(Range(low="10 ml", high="2 m3"), Range(low="50 g", high="20 t")),
        required=True,
    ),
    replace(choice("pot.material", POT_MATERIALS, "aluminium and thin cans are refused"), required=True),
    quantity("pot.mass", _M, "10 g", "5 t", "3 kg", "its own, empty", required=True),
    quantity(
        "pot.fill",
        _R,
        "5 %",
        "100 %",
        "75 %",
        "as much of it as may be in it; left out: 75 %, 85 % of a maker's",
    ),
    number("pot.count", "1", "20", "1", "how many alike are on the fire at once", default="1", source=FORMAT),
    choice(
        "pot.way",
        ("lift", "ladle", "tap"),
        "how the metal gets out: lifted and tipped, ladled, tapped or tilted on its stand",
        default="lift",
        source=f"{FORMAT}: the usual way with a model's bulb",
    ),
    quantity(
        "pot.lift",
        _M,
        "500 g",
        "100 kg",
        "10 kg",
        "pot and metal that one person carries",
        default="10 kg",
        source=COMMON,
    ),
    quantity("pot.ladle", _M, "20 g", "50 kg", "2 kg", "lead that the ladle takes; left out: 2 kg"),
    quantity("pot.heel", _M, "0 g", "1 t", "300 g", "that does not come out; left out: 0, 5 % when ladled"),
)

BURNER_KEYS = (
    quantity(
        "burner.power", Dimension.POWER, "50 W", "500 kW", "8 kW", "all the heat that it makes", required=True
    ),
    choice(
        "burner.fuel",
        ("propane", "butane", "paraffin", "electric"),
        "what it burns",
        default="propane",
        source=FORMAT,
    ),
    quantity(
        "burner.efficiency",
        _R,
        "1 %",
        "100 %",
        "12 %",
        "share of it that gets into pot and metal",
        default="12 %",
        source="one observed melt of 454 kg with 6.35 kg of propane; 5 to 40 % are met with",
    ),
    quantity(
        "burner.fuel_margin",
        _R,
        "0 %",
        "500 %",
        "50 %",
        "more fuel than reckoned",
        default="50 %",
        source="judgement: wind, a cold pot, a second start",
    ),
    quantity("burner.fuel_on_hand", _M, "0 g", "10 t", "5 kg", "in the bottle"),
)

POUR_KEYS = (
    quantity("pour.temperature", _T, "240 C", "700 C", "370 C", "of the metal; left out: liquidus + 50 C"),
    quantity("pour.mould_temperature", _T, "-20 C", "230 C", "80 C", "of the mould at the pour"),
    quantity("pour.fill_time", Dimension.TIME, "0.2 s", "10 min", "5 s", "for one piece"),
    quantity("pour.choke_diameter", _L, "1 mm", "300 mm", "8 mm", "the sprue's foot, instead of fill_time"),
    number(
        "pour.discharge",
        "0.3",
        "1",
        "0.8",
        "share of the free fall's flow that the sprue lets through",
        default="0.8",
        source="foundry gating practice, 0.7 to 0.9, from memory",
    ),
    quantity("pour.riser_diameter", _L, "3 mm", "1 m", "40 mm", "left out: by modulus and by feed demand"),
    quantity("pour.riser_height", _L, "5 mm", "2 m", "60 mm", "over the crown; left out: 1.5 diameters"),
    choice(
        "pour.accept_unknown_alloy", (ACCEPT_UNKNOWN,), "typed in full, releases the hold on an unknown alloy"
    ),
)
