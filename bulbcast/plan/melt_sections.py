"""Sections [melt], [[scrap]] and [pour].

Values are frozen and in SI units; None means "not given". Nothing is calculated here: a default that depends on other
figures stays None, and is set and reported where its rule is declared.
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
"""Kinds of scrap; "battery" is accepted only so that it can be refused with the reason."""


ACCEPT_UNKNOWN = "I accept the alloy with its spread"
"""Sentence to type before pouring lead whose density has not been measured."""

Feeding = Literal["kept", "sleeved", "alone", "none"]

LONGEST_TENDING = 1800.0
"""Default for the longest time that you stand by with a torch; common practice, no source. [s]"""


def _spread_of(figure: str) -> OnlyWith:
    return OnlyWith(
        figure,
        read=f"{{leaf}} without the {figure} to which it belongs",
        expected=f"{{leaf}} only with a figure for {figure}",
        remedy=f"Add {figure}, or remove {{leaf}} to use the typical value for this kind.",
    )


@section("melt", step="melt")
class MeltSection:
    """Section [melt], with proportions as fractions and the feeder as a mass (kg) or a fraction of the cast mass, never
    both. If `dross` is None, the grade sets it."""

    feeder_mass: float | None = key(
        "mass of sprue and feeder, or a percentage of the cast mass; default: depends on the feeding method",
        MASS,
        "0 g to 20 t",
        leaf="feeder",
        example="200 g",
        others=((RATIO, "0 % to 300 %"),),
        find=(
            "Weigh what you cut off a casting from the same mould. If you omit this key, the mass is calculated with "
            "the gating."
        ),
    )
    feeder_fraction: float | None = same_key("feeder", RATIO)
    reserve: float = key(
        "reserve of metal, as a percentage of the metal poured; the surplus goes into dry, warm ingot tins",
        RATIO,
        "0 % to 200 %",
        default="10 %",
        source=COMMON,
        find=(
            "Your choice: 10 % covers a spill or a cold start. What is left goes into dry, warm ingot tins."
        ),
    )
    dross: float | None = key(
        "dross skimmed off, as a percentage of the charge; default: depends on the alloy's grade",
        RATIO,
        "0 % to 90 %",
        example="5 %",
        find="Weigh the dross that you skim off a melt of this metal, and divide by the mass that went in.",
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
        "Keep the one you trust most and remove the rest.",
        expected="at most one of density, composition and weighed",
    ),
)
class ScrapSection:
    """One [[scrap]] entry, with masses in kg, `yield_` as clean metal over gross mass, and densities in kg/m3.

    It has at most one of `density`, `composition` (mass fractions that add up to 1) and `weighed`. Without them, or
    without `yield_`, the typical figure for the kind applies with its full spread. Spreads are standard deviations;
    None means the typical values.
    """

    kind: str = key(
        "kind of scrap in this lot; unknown is allowed",
        "choice",
        choices=SCRAP_KINDS,
        example="sheet",
        required=True,
        means={
            "ingot": "refined pig lead",
            "sheet": "roofing and flashing",
            "pipe": "old water pipe",
            "cable-sheath": "stripped from cable",
            "wheel-weights": "clip-on tyre weights with zinc and steel already sorted out",
            "wheel-weights-unsorted": "clip-on tyre weights as collected, to be sorted piece by piece",
            "stick-on-weights": "stick-on tyre weights, nearly pure lead",
            "shot": "chilled shot",
            "magnum-shot": "hard shot",
            "linotype": "printer's metal",
            "solder": "plumber's solder",
            "unknown": "not known",
            "battery": "refused: it contains acid, and its dross gives off poisonous gas",
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
        find="Look at the heap and sort it into one lot for each kind.",
    )
    name: str | None = key(
        "name of the lot, as printed on the sheets",
        "text",
        example="roof offcuts",
        find="Use the name you call it by in the workshop.",
    )
    gross: float = key(
        "mass of the lot before cleaning",
        MASS,
        "above 0 g and up to 20 t",
        example="3.2 kg",
        required=True,
        title="Gross mass",
        find="Weigh the lot as it is, before cleaning.",
    )
    gross_spread: float | None = key(
        "standard deviation of the lot's mass; default: 2 % of it",
        MASS,
        "0 g to 1 t",
        example="50 g",
        find="Estimate how far the mass may be off. For a bathroom scale use 0.5 kg.",
    )
    yield_: float | None = key(
        "fraction of the lot that is clean metal; or unknown",
        RATIO,
        "above 0 % and up to 100 %",
        example="96 %",
        unknown=True,
        find=(
            "Weigh part of the lot, melt and skim it, and weigh the ingot. Divide the ingot's mass by the mass of that "
            "part."
        ),
    )
    yield_spread: float | None = key(
        "standard deviation of the yield; default: typical for this kind",
        RATIO,
        "0 % to 50 %",
        example="2 %",
        only_with=_spread_of("yield"),
        find="Omit it, or compare the yields of different parts of the lot.",
    )
    density: float | None = key(
        "density of the metal in the lot; or unknown",
        DENSITY,
        "8 g/cm3 to 11.6 g/cm3",
        example="11.1 g/cm3",
        unknown=True,
        find="Weigh an ingot of it in air and then hanging in water.",
    )
    density_spread: float | None = key(
        "standard deviation of the lot's density; default: 0.5 % of it",
        DENSITY,
        "0 g/cm3 to 2 g/cm3",
        example="0.05 g/cm3",
        only_with=_spread_of("density"),
        find="Weigh several ingots and take about a third of the range of their densities.",
    )
    composition: tuple[tuple[str, float], ...] | None = key(
        "composition of the lot, in per cent by mass; or unknown",
        "table",
        example="{Pb = 97, Sb = 3}",
        unknown=True,
        find="Copy it from the seller's analysis.",
    )
    weighed: WeighedSample | None = key(
        "sample of the lot, weighed dry and in fresh water; or unknown",
        "table",
        example='{in_air = "512.0 g", in_water = "466.4 g"}',
        unknown=True,
        title="Weighed sample",
        find="Cast a fist-sized ingot of it. Weigh the ingot dry, then hung on a thread in fresh water.",
    )
    condition: Literal["dry", "wet", "closed"] | None = key(
        "dry, wet or closed; wet scrap and closed scrap (hollow or sealed) are refused",
        "choice",
        means={
            "dry": "checked and found dry, and warmed before it goes into the pot",
            "wet": "refused: water under molten lead turns to steam and throws the metal about",
            "closed": "refused: a hollow may contain water; cut it open first",
        },
        also={"wet": ("damp",), "closed": ("sealed", "hollow")},
        find=(
            "Inspect every piece and cut open any hollow ones. Keep all the scrap warm and dry until it goes into the "
            "pot."
        ),
    )


@section(
    "pour",
    step="pour",
    basic="temperature",
    one_of=OneOf(
        ("fill_time", "choke_diameter"),
        "Keep choke_diameter if the sprue is already made, and fill_time if it is not. Either can be calculated from "
        "the other.",
    ),
)
class PourSection:
    """Section [pour], with temperatures in degC, `fill_time` in s and lengths in m. A `temperature` of None means 50 C
    above the liquidus.

    It has at most one of `fill_time` and `choke_diameter`. `accept_unknown_alloy` is the typed acceptance of an alloy
    whose density has not been measured.
    """

    temperature: float | None = key(
        "pouring temperature of the metal; default: liquidus + 50 C",
        TEMPERATURE,
        "240 C to 700 C",
        example="370 C",
        find=(
            "Your choice: about 50 C above the temperature at which the alloy is fully liquid. Measure it with a "
            "thermocouple in the stirred metal."
        ),
    )
    mould_temperature: float | None = key(
        "temperature of the mould when the lead is poured",
        TEMPERATURE,
        "-20 C to 230 C",
        example="80 C",
        find="Hold a thermocouple in the cavity just before the pour.",
    )
    fill_time: float | None = key(
        "time to fill the mould for one piece",
        TIME,
        "0.2 s to 10 min",
        example="5 s",
        find="Choose a value, or time how long water takes to run through the sprue.",
    )
    choke_diameter: float | None = key(
        "diameter of the choke at the foot of the sprue, in place of fill_time",
        LENGTH,
        "1 mm to 300 mm",
        example="8 mm",
        find="Measure the narrowest point of the sprue with a caliper.",
    )
    discharge: float = key(
        "flow through the sprue as a fraction of free-fall flow",
        "number",
        "0.3 to 1",
        default="0.8",
        source="foundry gating practice, 0.7 to 0.9, from memory",
        find=(
            "Time a jug of water running through the sprue and compare the flow with free fall, or leave the value at "
            "0.8."
        ),
    )
    feeding: Feeding | None = key(
        "method of feeding the casting as it shrinks; default: kept liquid, or sleeved if that takes longer than "
        "longest_tending",
        "choice",
        example="kept",
        means={
            "kept": "open feeder, kept liquid with a torch and topped up",
            "sleeved": "feeder in an insulating sleeve, with its top covered",
            "alone": "bare feeder, left alone",
            "none": "no feeder: a hollow remains",
        },
        title="Feeding",
        find="Choose what you can do: stand by with a torch, buy a ceramic fibre sleeve, or neither.",
    )
    longest_tending: float = key(
        "longest time you will stand by with a torch and ladle; if the feeder must stay liquid longer, it is sleeved",
        TIME,
        "0 s to 12 h",
        default="30 min",
        source=COMMON,
        find="Choose how long you can stand by with a torch next to molten lead before you tire or the gas runs out.",
    )
    feeder_diameter: float | None = key(
        "feeder diameter where it meets the bulb; default: if the feeder is kept liquid, 0.6 of the bulb's width; "
        "otherwise from the modulus and the feed demand",
        LENGTH,
        "3 mm to 1 m",
        example="25 mm",
        find="Measure the foot of the feeder former with a caliper, or omit this key to use the calculated size.",
    )
    feeder_height: float | None = key(
        "feeder height above the crown; default: if the feeder is kept liquid, 30 mm or the mould's cover, whichever "
        "is greater; otherwise from the diameter",
        LENGTH,
        "5 mm to 2 m",
        example="60 mm",
        find="Measure it above the crown, or omit it to use the calculated height.",
    )
    accept_unknown_alloy: str | None = key(
        "sentence to type in full to release the hold on an unknown alloy",
        "choice",
        choices=(ACCEPT_UNKNOWN,),
        find=(
            "First read how an unknown alloy can affect the bulb's mass and the pour. Then type the sentence in full."
        ),
    )
