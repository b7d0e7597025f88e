"""Sections [pot], [[other_pots]], [burner] and [lifting]: the pots, the heat, and the people who lift.

Values are frozen and in SI units; None means "not given". Nothing is calculated here.
"""

from __future__ import annotations

from typing import Literal

from bulbcast.plan.agreement import OnlyWith
from bulbcast.plan.declare import key, same_key, section
from bulbcast.plan.key import COMMON, FORMAT, MASS, POWER, RATIO, VOLUME

POT_MATERIALS = ("cast-iron", "steel", "stainless", "aluminium", "thin-can")
"""Pot materials; the last two are listed only so that the refusal can give the reason."""

Way = Literal["lift", "ladle", "tap"]

_POT_MEANS = {
    "cast-iron": "a casting without cracks",
    "steel": "welded from plate or pipe",
    "stainless": "stainless steel",
    "aluminium": "refused: it fails near the temperature of the melt",
    "thin-can": "refused: soldered or thin seams give way",
}
_POT_NAMES = {
    "cast-iron": ("iron",),
    "steel": ("mild steel", "carbon steel", "steel pot"),
    "stainless": ("stainless steel",),
    "aluminium": ("aluminum",),
    "thin-can": ("can", "tin can", "food can", "tin"),
}

_BESIDE_A_POT = OnlyWith(
    "pot",
    read="[[other_pots]] without [pot]",
    expected="[[other_pots]] only in addition to the first pot, [pot]",
    remedy="Call the largest of them [pot], or remove [[other_pots]].",
)

_BURNT = OnlyWith(
    {"fuel": ("propane", "butane", "paraffin")},
    expected="{leaf} only if a fuel is burnt",
    remedy="Remove {leaf}, or name the fuel.",
)


@section("pot", step="melt", basic="way")
class PotSection:
    """Section [pot], with `capacity` as `volume` (m3) or as the `nominal` mass of lead given by its maker (kg), and masses
    in kg. A `fill` of None means 75 % of a volume or 85 % of a nominal mass. If `heel` is None, it depends on how the
    metal is removed; if `mass` is None, it depends on the capacity.
    """

    volume: float | None = key(
        "volume of the pot to the brim, or the mass of lead that it holds according to its maker",
        VOLUME,
        "10 ml to 2 m3",
        leaf="capacity",
        example="1.2 l",
        required=True,
        others=((MASS, "50 g to 20 t"),),
        find=(
            "Fill it to the brim with water from a measuring jug, then dry it thoroughly; or use the maker's figure for "
            "the mass of lead that it holds."
        ),
    )
    nominal: float | None = same_key("capacity", MASS)
    material: str = key(
        "material of the pot; aluminium and thin cans are refused",
        "choice",
        choices=POT_MATERIALS,
        required=True,
        means=_POT_MEANS,
        also=_POT_NAMES,
        find="Hold a magnet to it and look at its seams. Do not use a pot of unknown material.",
    )
    mass: float | None = key(
        "mass of the empty pot; default: as if made of iron 8 mm thick",
        MASS,
        "10 g to 5 t",
        example="3 kg",
        find="Weigh it empty. Only the mass to lift and the fuel depend on it.",
    )
    fill: float | None = key(
        "how full the pot may be; default: 75 % of its volume, or 85 % of the mass stated by the maker",
        RATIO,
        "5 % to 100 %",
        example="75 %",
        find="Your choice: as full as it can be without slopping when it is carried.",
    )
    count: int = key(
        "number of identical pots heated at the same time",
        "number",
        "1 to 20",
        default="1",
        source=FORMAT,
        whole=("{typed}", "a whole number of pots", "Write count = {floor} or count = {next}."),
        find="Count the pots that are hot at the same time.",
    )
    way: Way = key(
        "how the metal leaves the pot: pot lifted and tipped, metal ladled, pot tapped or tilted on its stand",
        "choice",
        default="lift",
        source=f"{FORMAT}: the typical method for a model yacht bulb",
        title="Pouring method",
        means={
            "lift": "the pot is lifted and tipped",
            "ladle": "metal dipped out with a ladle",
            "tap": "metal run out through a spout at the bottom, or the pot tilted on its stand",
        },
        also={
            "lift": ("lifted", "tipped"),
            "ladle": ("ladled", "dipped"),
            "tap": ("tapped", "bottom pour", "bottom tap", "spout", "valve", "tilt", "tilted"),
        },
        find="Choose the method that your pot is built for.",
    )
    lift: float = key(
        "mass of pot and metal that one person can carry",
        MASS,
        "500 g to 100 kg",
        default="10 kg",
        source=COMMON,
        title="Maximum mass lifted",
        find=(
            "Try it with the cold pot full of sand. Give the mass that you can carry level and steady at arm's length, "
            "not the maximum that you can lift."
        ),
    )
    ladle: float | None = key(
        "mass of lead that the ladle holds; default: 2 kg",
        MASS,
        "20 g to 50 kg",
        example="2 kg",
        only_with=OnlyWith(
            {"way": "ladle"},
            read='{line} with way = "{word}"',
            expected='a ladle only with way = "ladle"',
            remedy='Write way = "ladle", or remove ladle.',
        ),
        find=(
            "Fill it with water, weigh the water and multiply by ten and a half: the density of liquid lead is 10.6 "
            "g/cm3."
        ),
    )
    heel: float | None = key(
        "metal that stays in the pot; default: 0, or 5 % when ladled",
        MASS,
        "0 g to 1 t",
        example="300 g",
        find="Weigh what stays in the pot after a pour.",
    )


@section("other_pots", step="melt", one="further pot", most=3, only_with=_BESIDE_A_POT)
class OtherPotSection:
    """One [[other_pots]] entry, a pot that differs from the first and is hot at the same time. Masses are in kg. A `fill` of
    None means 75 % of a volume or 85 % of a nominal mass; if `mass` is None, it depends on the capacity.
    """

    volume: float | None = key(
        "volume of the pot to the brim, or the mass of lead that it holds according to its maker",
        VOLUME,
        "10 ml to 2 m3",
        leaf="capacity",
        example="900 ml",
        required=True,
        others=((MASS, "50 g to 20 t"),),
        find="Fill it to the brim with water from a measuring jug, then dry it thoroughly.",
    )
    nominal: float | None = same_key("capacity", MASS)
    material: str = key(
        "material of the pot; aluminium and thin cans are refused",
        "choice",
        choices=POT_MATERIALS,
        required=True,
        means=_POT_MEANS,
        also=_POT_NAMES,
        find="Hold a magnet to it and look at its seams. Do not use a pot of unknown material.",
    )
    mass: float | None = key(
        "mass of the empty pot; default: as if made of iron 8 mm thick",
        MASS,
        "10 g to 5 t",
        example="2 kg",
        find="Weigh it empty.",
    )
    fill: float | None = key(
        "how full the pot may be; default: 75 % of its volume, or 85 % of the mass stated by the maker",
        RATIO,
        "5 % to 100 %",
        example="75 %",
        find="Your choice: as full as it can be without slopping when it is moved.",
    )


@section("lifting", step="melt", basic="people hoist")
class LiftingSection:
    """Section [lifting], with the people and gear that lift pots, mould parts and the casting. `hoist` is in kg."""

    people: int = key(
        "number of people who lift together, including you",
        "number",
        "1 to 20",
        default="1",
        source=FORMAT,
        whole=("{typed}", "a whole number of people", "Write people = {floor} or people = {next}."),
        title="People who lift",
        find="Count the people who are there for the entire pour and wear the same protective clothing as you.",
    )
    hoist: float | None = key(
        "working load limit of the hoist and everything it hangs from",
        MASS,
        "5 kg to 50 t",
        example="250 kg",
        title="Hoist's working load limit",
        find=(
            "Read the plates on the hoist, hook, chain and sling, and find out what the beam can carry. The lowest "
            "figure counts. Use chain or wire over molten lead, never webbing or rope."
        ),
    )


@section("burner", step="melt", basic="fuel fuel_on_hand")
class BurnerSection:
    """Section [burner], with power in W, proportions as fractions and `fuel_on_hand` in kg. An electric burner has
    neither margin nor fuel."""

    power: float = key(
        "total heat output of the burner",
        POWER,
        "50 W to 500 kW",
        example="8 kW",
        required=True,
        find=(
            "Read it off the rating plate, or weigh the bottle before and after an hour of use: each kilogram of "
            "propane per hour is 12.9 kW."
        ),
    )
    fuel: Literal["propane", "butane", "paraffin", "electric"] = key(
        "fuel that the burner uses",
        "choice",
        default="propane",
        source=FORMAT,
        means={
            "propane": "bottled gas for outdoors",
            "butane": "bottled gas for warm days",
            "paraffin": "lamp oil",
            "electric": "hot plate or electric pot",
        },
        also={
            "paraffin": ("kerosene", "kerosine", "lamp oil"),
            "electric": ("electricity", "electrical", "hot plate", "hotplate"),
        },
        find="Look at the bottle or the plug.",
    )
    efficiency: float = key(
        "fraction of the heat that reaches the pot and the metal",
        RATIO,
        "1 % to 100 %",
        default="12 %",
        source="one observed melt of 454 kg with 6.35 kg of propane; values of 5 to 40 % occur",
        find=(
            "Time how long it takes to warm a weighed amount of water in that pot by 50 degrees. Divide the heat that "
            "the water absorbs by the heat that the burner gives off in that time."
        ),
    )
    fuel_margin: float | None = key(
        "extra fuel beyond the calculated amount",
        RATIO,
        "0 % to 500 %",
        default="50 %",
        source="judgement: allows for wind, a cold pot and a second start",
        only_with=_BURNT,
        find="Your choice: on a cold, windy day you need half as much again.",
    )
    fuel_on_hand: float | None = key(
        "mass of fuel in the bottle",
        MASS,
        "0 g to 10 t",
        example="5 kg",
        only_with=_BURNT,
        find="Weigh the bottle and subtract the tare stamped on it.",
    )
