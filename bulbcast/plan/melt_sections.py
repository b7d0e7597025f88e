"""[melt], [[scrap]], [pot], [burner] and [pour].

SI and frozen; None means "not given". Nothing is calculated here: a default that depends on another figure stays None
and is settled by the room that owns the rule, which also says so in the report.
"""

from __future__ import annotations

from typing import Literal

from bulbcast.plan.agreement import OneOf, OnlyWith
from bulbcast.plan.bulb_sections import WeighedSample
from bulbcast.plan.declare import key, same_key, section
from bulbcast.plan.key import COMMON, DENSITY, FORMAT, LENGTH, MASS, POWER, RATIO, TEMPERATURE, TIME, VOLUME

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

Way = Literal["lift", "ladle", "tap"]

_BURNT = OnlyWith(
    {"fuel": ("propane", "butane", "paraffin")},
    expected="{leaf} only where something is burnt",
    remedy="Take {leaf} out, or name the fuel.",
)


def _spread_of(figure: str) -> OnlyWith:
    return OnlyWith(
        figure,
        read=f"{{leaf}} without a {figure} that it belongs to",
        expected=f"{{leaf}} only with a figure for {figure}",
        remedy=f"Add {figure}, or take {{leaf}} out: the kind's own is then taken.",
    )


@section("melt", step="melt")
class MeltSection:
    """[melt]: fractions, and the feeder as a mass (kg) or a fraction of the cast mass, never both.
    `dross` None: by grade."""

    feeder_mass: float | None = key(
        "sprue and riser; or a percentage of the cast mass; left out: 30 %",
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


@section("pot", step="melt", basic="way")
class PotSection:
    """[pot]: `capacity` as `volume` (m3) or as the `nominal` mass of lead its maker gives (kg); masses kg.

    `fill` None: 75 % of a volume, 85 % of a nominal mass. `heel` None: by the way the metal gets out.
    """

    volume: float | None = key(
        "brim-full; or the mass of lead that its maker gives",
        VOLUME,
        "10 ml to 2 m3",
        leaf="capacity",
        example="1.2 l",
        required=True,
        others=((MASS, "50 g to 20 t"),),
        find=(
            "Fill it to the brim with water from a litre jug, then dry it through; or read the "
            "maker's mass of lead."
        ),
    )
    nominal: float | None = same_key("capacity", MASS)
    material: str = key(
        "aluminium and thin cans are refused",
        "choice",
        choices=POT_MATERIALS,
        required=True,
        means={
            "cast-iron": "a casting without cracks",
            "steel": "of plate or pipe, welded",
            "stainless": "of stainless steel",
            "aluminium": "refused: it fails near the heat of the melt",
            "thin-can": "refused: soldered or thin seams give way",
        },
        also={
            "cast-iron": ("iron",),
            "steel": ("mild steel", "carbon steel", "steel pot"),
            "stainless": ("stainless steel",),
            "aluminium": ("aluminum",),
            "thin-can": ("can", "tin can", "food can", "tin"),
        },
        find="Hold a magnet to it and look at its seams; what is not known is not used.",
    )
    mass: float = key(
        "its own, empty",
        MASS,
        "10 g to 5 t",
        example="3 kg",
        required=True,
        find="Weigh it empty.",
    )
    fill: float | None = key(
        "as much of it as may be in it; left out: 75 %, 85 % of a maker's",
        RATIO,
        "5 % to 100 %",
        example="75 %",
        find="Choose it: so full that nothing slops when it is carried.",
    )
    count: int = key(
        "how many alike are on the fire at once",
        "number",
        "1 to 20",
        default="1",
        source=FORMAT,
        whole=("{typed}", "a whole number of pots", "Write count = {floor} or count = {next}."),
        find="Count the pots that are hot at the same time.",
    )
    way: Way = key(
        "how the metal gets out: lifted and tipped, ladled, tapped or tilted on its stand",
        "choice",
        default="lift",
        source=f"{FORMAT}: the usual way with a model's bulb",
        title="How the metal gets out",
        means={
            "lift": "the pot is lifted and tipped",
            "ladle": "dipped out",
            "tap": "out of a spout at the foot, or the pot tilts on its stand",
        },
        also={
            "lift": ("lifted", "tipped"),
            "ladle": ("ladled", "dipped"),
            "tap": ("tapped", "bottom pour", "bottom tap", "spout", "valve", "tilt", "tilted"),
        },
        find="Choose it by what the pot is built for.",
    )
    lift: float = key(
        "pot and metal that one person carries",
        MASS,
        "500 g to 100 kg",
        default="10 kg",
        source=COMMON,
        title="Most that is lifted",
        find=(
            "Try it with the cold pot full of sand: what you carry level and steady at arm's length, "
            "not what you can lift."
        ),
    )
    ladle: float | None = key(
        "lead that the ladle takes; left out: 2 kg",
        MASS,
        "20 g to 50 kg",
        example="2 kg",
        only_with=OnlyWith(
            {"way": "ladle"},
            read='{line} with way = "{word}"',
            expected='a ladle only with way = "ladle"',
            remedy='Write way = "ladle", or take ladle out.',
        ),
        find="Fill it with water and weigh that, times eleven.",
    )
    heel: float | None = key(
        "that does not come out; left out: 0, 5 % when ladled",
        MASS,
        "0 g to 1 t",
        example="300 g",
        find="Weigh what stays in the pot after a pour.",
    )


@section("burner", step="melt", basic="fuel fuel_on_hand")
class BurnerSection:
    """[burner]: power W, shares as fractions, `fuel_on_hand` kg; an electric one has neither margin nor fuel."""

    power: float = key(
        "all the heat that it makes",
        POWER,
        "50 W to 500 kW",
        example="8 kW",
        required=True,
        find=(
            "Read its plate; or weigh the bottle before and after an hour: 12.9 kW for each kilogram "
            "of propane an hour."
        ),
    )
    fuel: Literal["propane", "butane", "paraffin", "electric"] = key(
        "what it burns",
        "choice",
        default="propane",
        source=FORMAT,
        means={
            "propane": "bottled gas for outdoors",
            "butane": "bottled gas for warm days",
            "paraffin": "lamp oil",
            "electric": "a hot plate or an electric pot",
        },
        also={
            "paraffin": ("kerosene", "kerosine", "lamp oil"),
            "electric": ("electricity", "electrical", "hot plate", "hotplate"),
        },
        find="Look at the bottle or the plug.",
    )
    efficiency: float = key(
        "share of it that gets into pot and metal",
        RATIO,
        "1 % to 100 %",
        default="12 %",
        source="one observed melt of 454 kg with 6.35 kg of propane; 5 to 40 % are met with",
        find=(
            "Time how long it takes to warm weighed water in that pot by 50 degrees, and compare with "
            "its power."
        ),
    )
    fuel_margin: float | None = key(
        "more fuel than calculated",
        RATIO,
        "0 % to 500 %",
        default="50 %",
        source="judgement: wind, a cold pot, a second start",
        only_with=_BURNT,
        find="Choose it: wind and a cold day take half as much again.",
    )
    fuel_on_hand: float | None = key(
        "in the bottle",
        MASS,
        "0 g to 10 t",
        example="5 kg",
        only_with=_BURNT,
        find="Weigh the bottle and take off the tare stamped on it.",
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
    riser_diameter: float | None = key(
        "left out: by modulus and by feed demand",
        LENGTH,
        "3 mm to 1 m",
        example="40 mm",
        find="Caliper it, or leave it out and make what the plan says.",
    )
    riser_height: float | None = key(
        "over the crown; left out: 1.5 diameters",
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
