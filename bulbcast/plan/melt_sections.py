"""[melt], [[scrap]] and [pour].

SI and frozen; None means "not given". Nothing is calculated here: a default that depends on another figure stays None
and is set by the room that owns the rule, which also reports it.
"""

from __future__ import annotations

from typing import Literal

from bulbcast.plan.agreement import OneOf, OnlyWith
from bulbcast.plan.bulb_sections import WeighedSample
from bulbcast.plan.declare import key, same_key, section
from bulbcast.plan.key import COMMON, DENSITY, LENGTH, MASS, RATIO, TEMPERATURE, TIME

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
"""Words for a lot; "battery" is accepted only to be refused with its reason."""


ACCEPT_UNKNOWN = "I accept the alloy with its spread"
"""The sentence to type before lead that nobody has weighed is poured."""

Feeding = Literal["kept", "sleeved", "alone", "none"]

LONGEST_TENDING = 1800.0
"""How long somebody stands by with a torch where the plan gives no time; common practice, no source. [s]"""


def _spread_of(figure: str) -> OnlyWith:
    return OnlyWith(
        figure,
        read=f"{{leaf}} without a {figure} that it belongs to",
        expected=f"{{leaf}} only with a figure for {figure}",
        remedy=f"Add {figure}, or take {{leaf}} out: the kind's own is then used.",
    )


@section("melt", step="melt")
class MeltSection:
    """[melt]: fractions, and the feeder as a mass (kg) or a fraction of the cast mass, never both.
    `dross` None: by grade."""

    feeder_mass: float | None = key(
        "sprue and feeder; or a percentage of the cast mass; left out: what the way of feeding needs",
        MASS,
        "0 g to 20 t",
        leaf="feeder",
        example="200 g",
        others=((RATIO, "0 % to 300 %"),),
        find=(
            "Weigh what you cut off a casting of the same mould. Leave it out and the gating works it out."
        ),
    )
    feeder_fraction: float | None = same_key("feeder", RATIO)
    reserve: float = key(
        "of what is poured; it goes into dry warm ingot tins",
        RATIO,
        "0 % to 200 %",
        default="10 %",
        source=COMMON,
        find=("Choose it: 10 % covers a spill or a cold start; what is left goes into dry, warm ingot tins."),
    )
    dross: float | None = key(
        "of the charge, skimmed off; left out: by the alloy's grade",
        RATIO,
        "0 % to 90 %",
        example="5 %",
        find="Weigh what you skim off a melt of this metal, over what went in.",
    )


@section(
    "scrap",
    step="melt",
    basic="name condition",
    one="lot of scrap",
    most=100,
    varied="fixed",
    one_of=OneOf(
        ("density", "composition", "weighed"),
        "Keep the one you trust most and take out the rest.",
        expected="one at most of density, composition and weighed",
    ),
)
class ScrapSection:
    """One [[scrap]]: masses kg, `yield_` clean metal over gross mass, densities kg/m3.

    At most one of `density`, `composition` (mass parts that add up to 1) and `weighed`; none of them, and no
    `yield_`: the kind's own with its full spread. Spreads are standard deviations, None: the usual ones.
    """

    kind: str = key(
        "what the heap is; unknown is a legal answer",
        "choice",
        choices=SCRAP_KINDS,
        example="sheet",
        required=True,
        means={
            "ingot": "refined pig lead",
            "sheet": "roofing and flashing",
            "pipe": "old water pipe",
            "cable-sheath": "stripped from cable",
            "wheel-weights": "clip-on tyre weights, zinc and steel culled already",
            "wheel-weights-unsorted": "the same as they come, to be culled piece by piece",
            "stick-on-weights": "taped on, nearly pure",
            "shot": "chilled shot",
            "magnum-shot": "hard shot",
            "linotype": "printer's metal",
            "solder": "plumber's solder",
            "unknown": "nobody knows what it is",
            "battery": "refused: acid, and metal that gives off poisonous gas",
        },
        also={
            "ingot": ("ingots", "pig", "pigs", "pig lead"),
            "sheet": ("sheet lead", "roofing", "roofing lead", "roofing sheet", "flashing", "lead flashing"),
            "pipe": ("lead pipe", "water pipe", "pipes"),
            "cable-sheath": ("cable", "cable sheathing"),
            "wheel-weights": (
                "sorted wheel weights",
                "sorted tyre weights",
                "sorted tire weights",
                "sorted clip-on weights",
            ),
            "wheel-weights-unsorted": (
                "unsorted wheel weights",
                "tyre weights",
                "tire weights",
                "clip-on",
                "clip-ons",
                "clip-on weights",
                "clip-on wheel weights",
                "clip-on tyre weights",
                "clip-on tire weights",
            ),
            "stick-on-weights": (
                "stick-on",
                "stick-ons",
                "stick-on tyre weights",
                "stick-on tire weights",
                "stick-on wheel weights",
                "adhesive weights",
            ),
            "shot": ("lead shot", "chilled shot"),
            "magnum-shot": ("hard shot", "magnum"),
            "linotype": ("lino", "linotype metal"),
            "solder": ("plumber's solder", "plumbers solder"),
            "unknown": ("not known", "not sure", "mixed scrap"),
            "battery": ("batteries", "car battery", "car batteries", "battery plates", "battery lead"),
        },
        find="Look at the heap, and sort it: one lot for each kind.",
    )
    name: str | None = key(
        "what the sheets call it",
        "text",
        example="roof offcuts",
        find="Call it what you call it in the shed.",
    )
    gross: float = key(
        "as it lies there",
        MASS,
        "above 0 g and up to 20 t",
        example="3.2 kg",
        required=True,
        title="Gross mass",
        find="Weigh the lot as it lies there.",
    )
    gross_spread: float | None = key(
        "standard deviation; left out: 2 % of it",
        MASS,
        "0 g to 1 t",
        example="50 g",
        find="Estimate how far that may be off; a bathroom scale, 0.5 kg.",
    )
    yield_: float | None = key(
        "clean metal of it; or unknown",
        RATIO,
        "above 0 % and up to 100 %",
        example="96 %",
        unknown=True,
        find="Clean a weighed part of it, skim it and weigh the ingot: ingot over gross.",
    )
    yield_spread: float | None = key(
        "standard deviation; left out: the kind's own",
        RATIO,
        "0 % to 50 %",
        example="2 %",
        only_with=_spread_of("yield"),
        find="Leave it out, or compare several such parts.",
    )
    density: float | None = key(
        "of its metal; or unknown",
        DENSITY,
        "8 g/cm3 to 11.6 g/cm3",
        example="11.1 g/cm3",
        unknown=True,
        find="Weigh an ingot of it in air and hung in water.",
    )
    density_spread: float | None = key(
        "standard deviation; left out: 0.5 % of the density",
        DENSITY,
        "0 g/cm3 to 2 g/cm3",
        example="0.05 g/cm3",
        only_with=_spread_of("density"),
        find="Weigh several ingots: about a third of the range.",
    )
    composition: tuple[tuple[str, float], ...] | None = key(
        "parts per hundred by mass; or unknown",
        "table",
        example="{Pb = 97, Sb = 3}",
        unknown=True,
        find="Copy it from the seller's analysis.",
    )
    weighed: WeighedSample | None = key(
        "a piece of it, weighed dry and in fresh water; or unknown",
        "table",
        example='{in_air = "512.0 g", in_water = "466.4 g"}',
        unknown=True,
        title="Weighed sample",
        find="Melt a fist-sized ingot of it and weigh that dry, then hung on a thread in fresh water.",
    )
    condition: Literal["dry", "wet", "closed"] | None = key(
        "wet and closed (hollow, sealed) are refused",
        "choice",
        means={
            "dry": "seen to be dry, warmed before it goes in",
            "wet": "refused: water under molten lead throws it about",
            "closed": "refused: a hollow may hold water; cut it open first",
        },
        also={"wet": ("damp",), "closed": ("sealed", "hollow")},
        find=(
            "Look into every piece; what is hollow is cut open, and all of it is kept warm and dry "
            "before the pot."
        ),
    )


@section(
    "pour",
    step="pour",
    basic="temperature",
    one_of=OneOf(
        ("fill_time", "choke_diameter"),
        "Keep choke_diameter where the sprue is made already, fill_time where not; each gives the other.",
    ),
)
class PourSection:
    """[pour]: temperatures degC, `fill_time` s, lengths m. `temperature` None: 50 C above the liquidus.

    At most one of `fill_time` and `choke_diameter`. `accept_unknown_alloy` is the typed acceptance of an alloy that
    nobody has weighed.
    """

    temperature: float | None = key(
        "of the metal; left out: liquidus + 50 C",
        TEMPERATURE,
        "240 C to 700 C",
        example="370 C",
        find=(
            "Choose it: some 50 C above where the alloy is wholly liquid. Read a thermocouple in the "
            "stirred metal."
        ),
    )
    mould_temperature: float | None = key(
        "of the mould at the pour",
        TEMPERATURE,
        "-20 C to 230 C",
        example="80 C",
        find="Hold a thermocouple in the cavity just before the pour.",
    )
    fill_time: float | None = key(
        "for one piece",
        TIME,
        "0.2 s to 10 min",
        example="5 s",
        find="Choose it, or time a pour of water through the sprue.",
    )
    choke_diameter: float | None = key(
        "the sprue's foot, instead of fill_time",
        LENGTH,
        "1 mm to 300 mm",
        example="8 mm",
        find="Caliper the narrowest place of the sprue.",
    )
    discharge: float = key(
        "share of the free fall's flow that the sprue lets through",
        "number",
        "0.3 to 1",
        default="0.8",
        source="foundry gating practice, 0.7 to 0.9, from memory",
        find="Time a jug of water through the sprue against a free fall; or leave it at 0.8.",
    )
    feeding: Feeding | None = key(
        "how the shrinking casting gets metal; left out: kept, sleeved where that takes longer than longest_tending",
        "choice",
        example="kept",
        means={
            "kept": "from an open feeder that is kept liquid with a torch and topped up",
            "sleeved": "from one in an insulating sleeve, its top covered",
            "alone": "from a bare one, left alone",
            "none": "not at all: a hollow stays",
        },
        title="Feeding",
        find="Choose what you can do: stand by with a torch, get a sleeve of ceramic fibre, or neither.",
    )
    longest_tending: float = key(
        "that you stand by with torch and ladle; where keeping the feeder liquid takes longer, it is sleeved",
        TIME,
        "0 s to 12 h",
        default="30 min",
        source=COMMON,
        find="Choose how long you and your gas last with a flame beside molten lead.",
    )
    feeder_diameter: float | None = key(
        "where it meets the bulb; left out: 0.6 of the bulb's width where it is kept liquid, else by modulus and feed "
        "demand",
        LENGTH,
        "3 mm to 1 m",
        example="25 mm",
        find="Caliper its former at the foot, or leave it out and make what the plan says.",
    )
    feeder_height: float | None = key(
        "over the crown; left out: 30 mm or the mould's cover where it is kept liquid, else by the diameter",
        LENGTH,
        "5 mm to 2 m",
        example="60 mm",
        find="Measure it over the crown, or leave it out and make what the plan says.",
    )
    accept_unknown_alloy: str | None = key(
        "typed in full, releases the hold on an unknown alloy",
        "choice",
        choices=(ACCEPT_UNKNOWN,),
        find=("Read first what the unknown alloy may do to mass and pour; then type the sentence in full."),
    )
